"""A live class: one question put to all seats, two votes, then the answer and the why.

What a class does right now is a ``Moment`` in the records that it shares. The teacher brings it
from stage to stage; notebooks of learners ask for it about once a second. A first vote is a
prediction's first attempt, a second vote its attempt 2, so no clock decides which is which: who
comes late, when the second vote is open, locks attempt 2 without a first one. What a seat locked
in before the class came to the question counts as its first vote, unless its answer was shown
there before. Counting is in ``tallying``.
"""

import functools
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from packlearn.classroom import seats
from packlearn.classroom.tallying import LONGEST_LABEL, Hands, Tally, Vote, advice, tally
from packlearn.errors import BadValue, PackError
from packlearn.tasks import bank, checking, checking_plain, faults, reasons
from packlearn.tasks.skills import of_lesson
from packlearn.words import word

__all__ = [
    "AGAIN",
    "FIRST",
    "FOLLOWING",
    "HELD",
    "STAGES",
    "TOLD",
    "Hands",
    "Moment",
    "Tally",
    "Vote",
    "Votes",
    "advice",
    "ask",
    "current",
    "moment",
    "number_of",
    "set_stage",
    "tally",
    "vote",
    "votes",
]

STAGES = ("asked", "talking", "again", "shown", "why", "done")
FOLLOWING = {
    "asked": ("talking", "shown", "done"),
    # Back again, where a vote was closed too soon; nothing was told yet.
    "talking": ("again", "asked", "shown", "done"),
    "again": ("shown", "talking", "done"),
    "shown": ("why", "done"),
    "why": ("done",),
    "done": (),
}
"""Stages that may follow each; the answer, once shown, is never hidden again."""

HELD = ("asked", "talking", "again")
"""Stages in which nothing of the answer is told."""
TOLD = ("shown", "why")
"""Stages in which the answer is told, or the answer and the why."""
_ENDS = (*TOLD, "done")

FIRST, AGAIN = 1, 2
"""Attempts that are the first and the second vote."""

LASTS_H = 3.0
"""A stage that is older, in hours, is over: somebody has forgotten to end it."""


@dataclass(frozen=True)
class Moment:
    """What a class does right now with one question.

    Attributes:
        code: the class code.
        page: page of the question.
        task: id of the question on it.
        stage: one of ``STAGES``.
        changed_at: when this stage began, in UTC; None where nobody keeps it.
        variant: how many variants beyond each seat's first one; a lesson's question has the
            same numbers at all seats.
        number: its number in the records; a question asked anew has another one.
        past: seats at which the answer was shown before; they have no vote.
        told_at: when votes ended, in UTC; None as long as they did not.
        told_id: number of the last prediction in the records then.
    """

    code: str
    page: str
    task: str
    stage: str
    changed_at: datetime | None
    variant: int = 0
    number: int = 0
    past: tuple[int, ...] = ()
    told_at: datetime | None = None
    told_id: int | None = None

    @property
    def shared(self):
        """True where all seats have the same numbers."""
        return of_lesson(_task(self.page, self.task))

    def number_at(self, seat):
        """Number of the question's variant at a seat.

        Args:
            seat: the seat, 1 to ``seats.MOST_SEATS``.
        """
        return number_of(self.page, self.task, seats.seat_text(self.code, seat)) + self.variant


@dataclass(frozen=True)
class Votes:
    """Votes of a moment, one of each kind at most for a seat.

    Attributes:
        first: list of ``Vote``, by seat.
        again: list of ``Vote``, by seat.
    """

    first: list = field(default_factory=list)
    again: list = field(default_factory=list)


# The moment.


def ask(records, code, page, task, variant=0):
    """Put a question to a class; the one before ends.

    Args:
        records: the ``Records`` that the class shares.
        code: the class code.
        page: page of the question.
        task: id of the question.
        variant: how many variants beyond each seat's first one.

    Returns:
        The ``Moment``, at its first stage.

    Raises:
        BadValue: the code cannot be.
        UnknownName: no such page or task.
        RecordsTrouble: the records cannot be written.
    """
    code = seats.read_code(code)
    numbers = _numbers(code, page, task, variant)
    return _moment(records.begin_moment(code, page, task, variant, numbers, STAGES[0]))


def set_stage(records, code, stage):
    """Bring a class to another stage of its question.

    Args:
        records: the ``Records`` that the class shares.
        code: the class code.
        stage: one of ``STAGES``; the stage it has reached changes nothing.

    Returns:
        The ``Moment``.

    Raises:
        BadValue: nothing is asked, or no such stage may follow; the message lists those that may.
        RecordsTrouble: the records cannot be written.
    """
    row, moved = records.move_moment(seats.read_code(code), stage, FOLLOWING, _ENDS)
    known = word(f"live.stages.{stage}") if stage in STAGES else str(stage)[:LONGEST_LABEL]
    if row is None:
        raise BadValue("live.nothing_asked", value=code, limit=known)
    if not moved:
        names = ", ".join(word(f"live.stages.{each}") for each in FOLLOWING[row.stage])
        now = word(f"live.stages.{row.stage}")
        raise BadValue("live.step", value=known, limit=names or word("live.no_more"), now=now)
    return _moment(row)


def moment(records, code, now=None):
    """What a class does right now: one small query.

    Args:
        records: the ``Records`` that the class shares.
        code: the class code.
        now: this moment, the clock's if left out.

    Returns:
        ``Moment``; None where nothing was asked, or nothing for ``LASTS_H`` hours.

    Raises:
        RecordsTrouble: the records cannot be read; ``away`` is True while the server is away.
    """
    return current(records.moment(seats.read_code(code)), now)


def current(row, now=None):
    """The ``Moment`` of a row of the records; None where there is none, or it is over long since.

    Args:
        row: a row of the records, or None.
        now: this moment, the clock's if left out.
    """
    if row is None:
        return None
    age = (now or datetime.now(UTC)) - row.changed_at
    return None if age > timedelta(hours=LASTS_H) else _moment(row)


def _moment(row):
    past = tuple(where[1] for where in map(seats.parted, row.past) if where)
    names = ("code", "page", "task", "stage", "changed_at", "variant", "told_at", "told_id")
    fields = {name: getattr(row, name) for name in names}
    return Moment(**fields, number=row.id, past=past)


def number_of(page, task, seat_text):
    """Number of a question's first variant at a seat; a lesson's is 0 at every seat.

    Args:
        page: page of the question.
        task: id of the question.
        seat_text: what ``seats.seat_text`` made.
    """
    return 0 if of_lesson(_task(page, task)) else seats.first_variant_of(seat_text)


def _numbers(code, page, task, variant):
    texts = (seats.seat_text(code, seat) for seat in range(1, seats.MOST_SEATS + 1))
    return {text: number_of(page, task, text) + variant for text in texts}


def _task(page, task):
    return bank.page(page).task(task)


# The votes.


def votes(records, moment):
    """Votes of all seats in a moment; for the teacher only.

    Args:
        records: the ``Records`` that the class shares.
        moment: the ``Moment``.

    Returns:
        ``Votes``; seats at which the answer was shown before are left out, and what was locked in
        after the answer was told.

    Raises:
        RecordsTrouble: the records cannot be read.
    """
    numbers = _numbers(moment.code, moment.page, moment.task, moment.variant)
    by_attempt = {FIRST: [], AGAIN: []}
    for entry in records.locked_by(moment.page, moment.task, numbers):
        locked, (_, seat) = entry.locked, seats.parted(entry.locked.seat)
        if locked.attempt in by_attempt and seat not in moment.past and _in_time(locked, moment):
            cast = _vote(moment.page, moment.task, locked.variant, locked.typed, moment.shared)
            by_attempt[locked.attempt].append(cast._replace(seat=seat))
    return Votes(*(sorted(by_attempt[attempt]) for attempt in (FIRST, AGAIN)))


def _in_time(locked, moment):
    """Whether a prediction was locked before the answer was told.

    What waited for the server comes late, but says when it was locked; a clock alone would not
    do, as those of learners may be wrong.
    """
    told = moment.told_at
    return told is None or locked.id <= moment.told_id or locked.locked_at <= told


def vote(variant, typed, seat=0):
    """The vote that a typed line is, with its label and its rule.

    Args:
        variant: the ``Variant``.
        typed: as typed or kept.
        seat: the seat.
    """
    verdict = checking.check(variant, typed)
    ids = tuple(rule.id for rule in verdict.rules)
    named = " / ".join(dict.fromkeys(rule.did for rule in verdict.rules))
    label = _label(variant, typed, verdict)[:LONGEST_LABEL]
    return Vote(seat, typed, verdict.kind, ids, verdict.right, label, named)


@functools.lru_cache(maxsize=4096)
def _vote(page, task, number, typed, shared):
    # Asked for again and again while votes come in.
    cast = vote(checking.variant(_task(page, task), number), typed)
    return cast if shared else cast._replace(label="")


def _label(variant, typed, verdict):
    """What was understood, in packlearn's own words."""
    kind, value = variant.task.kind, verdict.value
    if kind in ("number", "range", "count", "name", "design"):
        return "" if value is None else checking_plain.plainly(variant.task, value)
    if kind == "choice":
        return checking.options_of(variant).get(typed, "")
    if kind == "fault":
        return _fault(variant, typed)
    if kind == "reason":
        choice, reason = reasons.from_line(typed)
        known = choice in checking.options_of(variant) and reason in reasons.reasons_of(
            variant.task
        )
        return checking.typed_in_words(variant, typed) if known else ""
    return ""


def _fault(variant, typed):
    try:
        key, _ = faults.from_line(typed, variant.givens)
        return faults.known(variant.givens)[key].sentence
    except (PackError, LookupError):
        return ""
