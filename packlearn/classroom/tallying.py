"""Votes counted, and what their share of right ones asks for; knows no database.

No seat is in a ``Tally``, nor anything as it was typed: labels are packlearn's own.
"""

from collections import Counter
from dataclasses import dataclass
from typing import NamedTuple

from packlearn.errors import BadValue
from packlearn.words import word

FEWEST = 5
"""With fewer answers no bar and no share is shown: they would point at single seats."""
MOST_BARS = 8
LONGEST_LABEL = 80


class Vote(NamedTuple):
    """One vote of one seat.

    Attributes:
        seat: the seat.
        typed: as typed, which is hostile text.
        verdict: kind of the verdict.
        mistakes: ids of the wrong rules that fit.
        right: whether it is right.
        label: what was understood, made by packlearn and the same for equal values; "" where
            seats have unlike numbers, or nothing can be said in a line.
        rule: what somebody who follows the wrong rule would say they did, or "".
    """

    seat: int
    typed: str
    verdict: str
    mistakes: tuple
    right: bool
    label: str = ""
    rule: str = ""


class Bar(NamedTuple):
    """One answer and how many gave it.

    Attributes:
        label: what was understood, or what the wrong rule did; never text as typed.
        kind: "value" or "rule"; the counts of each kind add up to all votes.
        count: how many.
        right: True for what is right.
    """

    label: str
    kind: str
    count: int
    right: bool


class Tally(NamedTuple):
    """Votes counted; no seat is in it.

    Attributes:
        locked: how many votes.
        seats: number of seats.
        right_share: share of right votes, 0 to 1; None where there are not enough.
        bars: tuple of ``Bar``, the longest first; empty where there are not enough.
        enough: True with ``FEWEST`` votes or more.
    """

    locked: int
    seats: int
    right_share: float | None
    bars: tuple
    enough: bool


def tally(votes, seats):
    """Votes counted by value and by wrong rule.

    Args:
        votes: list of ``Vote``.
        seats: number of seats of the class.

    Returns:
        ``Tally``.
    """
    locked = len(votes)
    if locked < FEWEST:
        return Tally(locked, seats, None, (), False)
    share = sum(one.right for one in votes) / locked
    values = _bars("value", [(one.label or _unnamed(one), one.right) for one in votes])
    rules = _bars("rule", [(_rule(one), one.right) for one in votes])
    shown = values if any(one.label for one in votes) else ()
    return Tally(locked, seats, share, (*shown, *rules), True)


def _unnamed(vote):
    return word("live.right_answer" if vote.right else "live.other_answer")


def _rule(vote):
    if vote.right or not vote.mistakes:
        return _unnamed(vote)
    return vote.rule or ", ".join(vote.mistakes)


def _bars(kind, found):
    """Bars of labels, the longest first; the rest beyond ``MOST_BARS`` is one bar."""
    counts = Counter(found).items()
    bars = [Bar(label, kind, count, right) for (label, right), count in counts]
    bars.sort(key=lambda bar: (-bar.count, bar.label))
    kept = [bar for at, bar in enumerate(bars) if at < MOST_BARS - 1 or bar.right]
    rest = sum(bar.count for bar in bars if bar not in kept)
    return tuple(kept) + ((Bar(word("live.rest"), kind, rest, False),) if rest else ())


def advice(right_share):
    """What a share of right first votes asks for.

    Under 30 % explain, up to 70 % let them discuss, above it confirm and go on; common practice
    of teaching with two votes.

    Args:
        right_share: 0 to 1, or None where it is not known.

    Returns:
        "explain", "discuss" or "confirm"; None where the share is not known.
    """
    if right_share is None:
        return None
    if right_share < 0.3:
        return "explain"
    return "discuss" if right_share <= 0.7 else "confirm"


@dataclass(frozen=True)
class Hands:
    """A show of hands, counted and typed by the teacher.

    Args:
        counts: label -> number of hands.
        right: the label that is right, None where that is not said.
        seats: number of seats, 0 for as many as there are hands.

    Raises:
        BadValue: a count that is no whole number from 0 to 200.
    """

    counts: dict
    right: str | None = None
    seats: int = 0

    MOST = 200

    def __post_init__(self):
        for label, count in self.counts.items():
            whole = isinstance(count, int) and not isinstance(count, bool)
            if not whole or not 0 <= count <= self.MOST:
                shown = str(count)[:LONGEST_LABEL]
                raise BadValue(
                    "live.hands", value=shown, limit=self.MOST, label=str(label)[:LONGEST_LABEL]
                )

    @property
    def tally(self):
        """The ``Tally``; its bars are values."""
        locked = sum(self.counts.values())
        number = self.seats or locked
        if locked < FEWEST:
            return Tally(locked, number, None, (), False)
        pairs = [
            (str(label)[:LONGEST_LABEL], label == self.right)
            for label, count in self.counts.items()
            for _ in range(count)
        ]
        share = None if self.right is None else self.counts.get(self.right, 0) / locked
        return Tally(locked, number, share, _bars("value", pairs), True)

    @property
    def advice(self):
        """What the share of right hands asks for, see ``advice``."""
        return advice(self.tally.right_share)
