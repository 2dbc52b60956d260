"""Checking an estimate with a range: right if the truth lies in it and it is narrow enough."""

from dataclasses import replace

from packlearn.quantities import write_plain
from packlearn.tasks import matching, steps
from packlearn.tasks.answers import ASKED
from packlearn.tasks.checking_plain import twice
from packlearn.tasks.typed_ranges import read_range
from packlearn.tasks.verdict import Verdict
from packlearn.words import say

# Two ends that are just as far apart as allowed, in spite of rounding.
HAIR = 1e-9
# The shown range is a little narrower than may be, so that its rounded ends still are.
SHOWN_SHARE = 0.45


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
    side = say("tasks.estimate.high" if low.value > truth else "tasks.estimate.low")
    told = steps.verdict_of(var, _slips(var, low.value, high.value), None, understood)
    return replace(told, says=(side, *told.says))


def _slips(var, low, high):
    """Known wrong rules whose value lies in a range."""
    singles = matching.known(var.task.asked, var.givens).singles
    return [rule for rule, value in singles if low <= value <= high]


def _ends(low, high):
    return {"low": low.typed, "high": high.typed}


def answer_in_words(var):
    """A range that holds, with the truth behind it."""
    asked, truth = ASKED[var.task.asked], ASKED[var.task.asked].compute(var.givens)
    ends = {"low": truth / asked.widest**SHOWN_SHARE, "high": truth * asked.widest**SHOWN_SHARE}
    ends = {name: write_plain(value, var.task.unit) for name, value in ends.items()}
    return say("tasks.estimate.answer", **ends, truth=_truth(var))


def _truth(var):
    return twice(var.task.unit, ASKED[var.task.asked].compute(var.givens))


def working(var):
    """Working, one sentence a step; the truth comes last."""
    return tuple(steps.step(var, text, answer=_truth(var)) for text in steps.steps(var))


def typed_in_words(var, typed):
    """The range as it was typed."""
    return typed.strip()
