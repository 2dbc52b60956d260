"""Checking a choice with its reason."""

from packlearn.tasks.answers import ASKED
from packlearn.tasks.checking_plain import options_of
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.steps import verdict_of
from packlearn.tasks.verdict import Verdict
from packlearn.words import say, word

BETWEEN = "|"


def to_line(choice, reason):
    """A choice and its reason as one line; empty where neither is chosen.

    Args:
        choice: key of the option, or None.
        reason: key of the reason, or None.
    """
    return f"{choice or ''} {BETWEEN} {reason or ''}" if choice or reason else ""


def from_line(line):
    """Keys of choice and reason of a line; empty ones where there is none.

    Args:
        line: what ``to_line`` wrote; it may hold anything.
    """
    choice, _, reason = line.partition(BETWEEN)
    return choice.strip(), reason.strip()


def reasons_of(task):
    """Reasons one can choose from: key -> words.

    Args:
        task: the ``Task``.
    """
    return word(f"tasks.reasons.{task.asked}")


def clear(task, givens):
    """Any numbers will do."""
    return True


def check(var, typed):
    """Verdict on a choice and its reason: right only with both.

    Args:
        var: the ``Variant``.
        typed: what ``to_line`` wrote.
    """
    choice, reason = from_line(typed)
    asked = ASKED[var.task.asked]
    if choice not in options_of(var):
        return Verdict("ask", (say("tasks.empty"),))
    if reason not in reasons_of(var.task):
        return Verdict("ask", (say("tasks.reason.empty"),))
    if choice != asked.compute(var.givens):
        rules = rules_for(var.task.asked, var.givens)
        return verdict_of(var, [rule for rule in rules if rule.choice in ("any", choice)], choice)
    if reason != asked.because(var.givens):
        why = word(f"tasks.reasons_wrong.{var.task.asked}.{reason}")
        return Verdict("unknown", (say("tasks.reason.half"), why), (), choice)
    return Verdict("right", (say("tasks.right"),), (), choice)


def answer_in_words(var):
    """The right choice with its reason."""
    asked = ASKED[var.task.asked]
    return _both(var, asked.compute(var.givens), asked.because(var.givens))


def typed_in_words(var, typed):
    """A choice with its reason as a learner reads it; as it is kept where it cannot be read.

    Args:
        var: the ``Variant``.
        typed: the line.
    """
    choice, reason = from_line(typed)
    known = choice in options_of(var) and reason in reasons_of(var.task)
    return _both(var, choice, reason) if known else typed.strip()


def _both(var, choice, reason):
    parts = {"choice": options_of(var)[choice], "reason": reasons_of(var.task)[reason]}
    return say("tasks.reason.both", **parts)
