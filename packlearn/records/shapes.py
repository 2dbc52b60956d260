"""What is kept: a prediction, the same once locked, its result, and all three together.

Every text may come from a learner and is hostile: it is bounded in length,
kept as typed and never evaluated. Only two kinds of character cannot be stored
by every database (the null character and half of a surrogate pair); each
becomes the replacement sign when the prediction is made, so that what is shown
is what is stored.
"""

import dataclasses
import json
import math
import operator
import re
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from packlearn.errors import BadValue
from packlearn.words import word

CONFIDENCES = ("guess", "think", "sure")
SAW = ("less", "equal", "more")

# Largest lengths in characters; the columns of the database are as wide.
LENGTHS = {"page": 100, "task": 100, "typed": 200, "unit": 40, "seat": 60, "reason": 1000}
GIVENS_LENGTH = 20_000
VERDICT_LENGTH = 60
MISTAKES_LENGTH = 1000

_UNSTORABLE = re.compile("[\x00\ud800-\udfff]")


@dataclass(frozen=True, kw_only=True)
class Prediction:
    """What a learner says will happen, before they see it.

    Args:
        page: page of tasks, up to 100 characters, not empty.
        task: task on that page, up to 100 characters, not empty.
        variant: seed of the task's numbers, a 64-bit whole number.
        attempt: 1 for the first, 2 for the second ...
        givens: the numbers of this variant, plain JSON values by name.
        typed: the answer as typed, up to 200 characters.
        value: the number understood from it, in ``unit``; None if there is none.
        unit: the unit understood, up to 40 characters.
        confidence: "guess", "think" (or "think so") or "sure".
        seat: seat code in a class, up to 60 characters; "" when learning alone.
        reason: why, in the learner's words, up to 1000 characters.

    Raises:
        BadValue: something is too long, empty, not finite or not of its kind.
    """

    page: str
    task: str
    variant: int
    attempt: int
    givens: dict = field(hash=False)
    typed: str
    value: float | None
    unit: str
    confidence: str
    seat: str = ""
    reason: str = ""

    def __post_init__(self):
        tidy = {name: bounded(name, getattr(self, name), limit) for name, limit in LENGTHS.items()}
        for name in ("page", "task"):
            if not tidy[name]:
                raise BadValue("records.empty", what=word(f"records.names.{name}"))
        tidy["variant"] = _whole("variant", self.variant, -(2**63), 2**63 - 1)
        tidy["attempt"] = _whole("attempt", self.attempt, 1, 2**31 - 1)
        tidy["givens"] = json.loads(canonical(self.givens))
        tidy["value"] = _finite(self.value)
        tidy["confidence"] = _confidence(self.confidence)
        for name, value in tidy.items():
            object.__setattr__(self, name, value)


PREDICTION_FIELDS = tuple(entry.name for entry in dataclasses.fields(Prediction))


@dataclass(frozen=True, kw_only=True)
class Locked(Prediction):
    """A prediction that is on disk and cannot be changed any more.

    Args:
        id: its number, in the order of locking.
        locked_at: when it was locked, in UTC, to the microsecond.
    """

    id: int
    locked_at: datetime

    @property
    def prediction(self):
        """The prediction as it was handed in, without number and time."""
        return Prediction(**{name: getattr(self, name) for name in PREDICTION_FIELDS})


@dataclass(frozen=True, kw_only=True)
class Result:
    """What checking said about one prediction; equal if it says the same.

    Args:
        verdict: one word of the task's checking, up to 60 characters.
        mistakes: ids of the wrong rules that fit, in order.
        right: whether the prediction was right.
        revealed: whether the answer was shown with it.
        settled_at: when it was written, in UTC.
    """

    verdict: str
    mistakes: tuple[str, ...] = ()
    right: bool
    revealed: bool = False
    settled_at: datetime | None = field(default=None, compare=False)

    def __post_init__(self):
        mistakes = tuple(bounded("mistakes", one, MISTAKES_LENGTH) for one in self.mistakes)
        bounded("mistakes", json.dumps(mistakes), MISTAKES_LENGTH)
        object.__setattr__(self, "verdict", bounded("verdict", self.verdict, VERDICT_LENGTH))
        object.__setattr__(self, "mistakes", mistakes)
        object.__setattr__(self, "right", bool(self.right))
        object.__setattr__(self, "revealed", bool(self.revealed))

    def __str__(self):
        marks = [name for name in ("right", "revealed") if getattr(self, name)]
        return ", ".join([self.verdict, *self.mistakes, *map(_heading, marks)])


@dataclass(frozen=True)
class Entry:
    """One line of the records.

    Args:
        locked: the prediction.
        result: its result, or None as long as there is none.
        saw: "less", "equal" or "more", or None as long as nothing was said.
    """

    locked: Locked
    result: Result | None = None
    saw: str | None = None


class Trace(NamedTuple):
    """One line of the records without the numbers of its task: quick to read by the thousand.

    ``value`` is None where no number was understood, ``right`` as long as there is no result,
    ``saw`` as long as nothing was said.
    """

    id: int
    page: str
    task: str
    variant: int
    attempt: int
    confidence: str
    locked_at: datetime
    value: float | None
    right: bool | None
    saw: str | None


def canonical(givens):
    """Givens as JSON text that is the same for the same givens.

    Args:
        givens: dict of plain JSON values.

    Raises:
        BadValue: not a dict, not plain JSON, not finite, or over 20,000 characters.
    """
    if not isinstance(givens, dict):
        raise BadValue("records.givens", value=type(givens).__name__)
    try:
        text = json.dumps(givens, sort_keys=True, separators=(",", ":"), allow_nan=False)
    except (TypeError, ValueError, RecursionError) as error:
        raise BadValue("records.givens", value=str(error)) from error
    return bounded("givens", text, GIVENS_LENGTH)


def bounded(name, text, limit):
    """Text that fits into the records.

    Args:
        name: what it is, a key of ``records.names``.
        text: the text.
        limit: most characters.

    Raises:
        BadValue: no text, or too long.
    """
    what = word(f"records.names.{name}")
    if not isinstance(text, str):
        raise BadValue("records.not_text", value=type(text).__name__, what=what)
    if len(text) > limit:
        raise BadValue("records.too_long", value=len(text), limit=limit, what=what)
    return _UNSTORABLE.sub("\ufffd", text)


def one_of(name, value, choices):
    """The value, if it is one of the choices.

    Raises:
        BadValue: it is not; the message lists them.
    """
    if value not in choices:
        what = word(f"records.names.{name}")
        raise BadValue("records.choice", value=value, limit=", ".join(choices), what=what)
    return value


def _heading(column):
    return word(f"records.columns.{column}")


def _confidence(value):
    return "think" if value == "think so" else one_of("confidence", value, CONFIDENCES)


def _whole(name, value, low, high):
    what = word(f"records.names.{name}")
    try:
        whole = operator.index(value)
    except TypeError:
        raise BadValue("records.whole", value=value, low=low, high=high, what=what) from None
    if not low <= whole <= high:
        raise BadValue("records.whole", value=whole, low=low, high=high, what=what)
    return whole


def _finite(value):
    if value is None:
        return None
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        raise BadValue("records.finite", value=value) from None
    if not math.isfinite(number):
        raise BadValue("records.finite", value=value)
    return number
