"""Checking an estimate with a range: right if the truth lies in it and it is narrow enough."""

import re

from packlearn.errors import BadValue
from packlearn.quantities import MissingUnit, read
from packlearn.tasks import steps
from packlearn.tasks.answers import ASKED
from packlearn.tasks.checking_plain import twice
from packlearn.tasks.verdict import Verdict
from packlearn.words import say

_BETWEEN = re.compile(r"(?:between|from)\s+(.+?)\s+(?:and|to)\s+(.+)", re.IGNORECASE | re.DOTALL)
_DASHED = re.compile(r"(.+?)\s*(?:\bto\b|\.\.+|[-–—])\s*(.+)", re.IGNORECASE | re.DOTALL)
_UNIT = re.compile(r"[^\d.,\s][^\d]*$")
# Two ends that are just as far apart as allowed, in spite of rounding.
HAIR = 1e-9


def read_range(text, unit):
    """Low and high end of a typed range: "5 h to 7 h", "between 5 and 7 h", "5-7 h".

    Args:
        text: as typed.
        unit: unit asked for.

    Returns:
        Two ``Reading``.

    Raises:
        PackError: it is no such range, or an end cannot be read.
    """
    found = _BETWEEN.fullmatch(text.strip()) or _DASHED.fullmatch(text.strip())
    if not found:
        raise BadValue("tasks.estimate.one", value=text.strip()[:40], limit=unit)
    low, high = found[1].strip(), found[2].strip()
    upper = read(high, unit)
    try:
        return read(low, unit), upper
    except MissingUnit:
        # "5 to 7 h": the unit behind the high end is meant for both.
        return read(f"{low} {_UNIT.search(high)[0]}", unit), upper


def clear(task, givens):
    """Whether the truth is one a range can hold."""
    return ASKED[task.asked].compute(givens) > 0


def check(var, typed):
    """Verdict on a typed range.

    Args:
        var: the ``Variant``.
        typed: as typed.
    """
    low, high = read_range(typed, var.task.unit)
    for end in (low, high):
        if not end.same_kind:
            return Verdict("ask", (end.says,))
    if not 0 < low.value < high.value:
        return Verdict("ask", (say("tasks.estimate.ends"),))
    asked, understood = ASKED[var.task.asked], say("tasks.estimate.read", **_ends(low, high))
    if high.value > asked.widest * low.value * (1 + HAIR):
        ratio, most = f"{high.value / low.value:.2g}", f"{asked.widest:g}"
        return Verdict("ask", (understood, say("tasks.estimate.wide", ratio=ratio, most=most)))
    truth = asked.compute(var.givens)
    if low.value <= truth <= high.value:
        return Verdict("right", (say("tasks.estimate.right"),), (), None, understood)
    key = "high" if low.value > truth else "low"
    says = (say(f"tasks.estimate.{key}"), steps.first_step(var))
    return Verdict("unknown", says, (), None, understood)


def _ends(low, high):
    return {"low": low.typed, "high": high.typed}


def answer_in_words(var):
    """The truth as text, with its unit."""
    return twice(var.task.unit, ASKED[var.task.asked].compute(var.givens))


def typed_in_words(var, typed):
    """The range as it was typed."""
    return typed.strip()
