"""Checking a prediction: right, a known wrong rule, or a question back.

What is particular to one kind of answer stands in a module of its own.
"""

from __future__ import annotations

import functools
import re
from dataclasses import replace

from packlearn.errors import BadFile, PackError
from packlearn.quantities import read
from packlearn.tasks import (
    checking_plain,
    checking_wiring,
    clearing,
    estimates,
    missing,
    orders,
    picks,
    reasons,
    several,
    steps,
    variants,
)
from packlearn.tasks.checking_plain import answer_of, options_of
from packlearn.tasks.givens import in_words
from packlearn.tasks.levels import left_out, told_text
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.steps import first_step
from packlearn.tasks.verdict import Verdict
from packlearn.words import fill, say, word

__all__ = [
    "answer_in_words",
    "answer_of",
    "check",
    "first_step",
    "lead",
    "options_of",
    "text_of",
    "typed_in_words",
    "variant",
    "working",
    "wrong_values",
]

LONGEST_ANSWER = 200
LONGEST_CHAIN = 4

_CHECKS = checking_plain.CHECKS | {
    "wire": checking_wiring.check_wire,
    "fault": checking_wiring.check_fault,
    "numbers": several.check,
    "order": orders.check,
    "estimate": estimates.check,
    "reason": reasons.check,
    "pick": picks.check,
}
# Kinds with a module of their own, which says answer and typed line in words.
_MODULES = {
    "wire": checking_wiring,
    "fault": checking_wiring,
    "numbers": several,
    "order": orders,
    "estimate": estimates,
    "reason": reasons,
    "pick": picks,
}
_EMPTY = {
    "wire": "tasks.wire.nothing",
    "fault": "tasks.fault.nothing",
    "order": "tasks.order.nothing",
    "pick": "tasks.pick.nothing",
}
# What is cut off a line would make another answer of it.
_LONG = {
    "wire": "tasks.wire.long",
    "fault": "tasks.fault.long",
    "numbers": "tasks.numbers.long",
}


def variant(task, number):
    """Variant of a task whose wrong rules all stay clear of the right answer.

    Args:
        task: the ``Task``.
        number: which variant, from 0.
    """
    return _variant(task, number)


@functools.lru_cache(maxsize=4096)
def _variant(task, number):
    # Neighbours differ, so "other numbers" are other numbers. The first of each chain is drawn
    # freely, so that none needs many others; the last one differs from the next one's first.
    first, last = number % LONGEST_CHAIN == 0, (number + 1) % LONGEST_CHAIN == 0
    if (first and number or last) and _has_two_only(task):
        return replace(_variant(task, number % 2), number=number)
    neighbours = [number - 1] * (not first) + [number + 1] * last
    return _draw(task, number, [_variant(task, each) for each in neighbours])


def _draw(task, number, others):
    told = [_told(task, other.givens) for other in others]
    patience = clearing.Patience(task.asked, fixed=number == 0 and bool(task.opening))

    def acceptable(givens):
        fresh = _told(task, givens) not in told
        return fresh and _clear(task, givens) and patience.accepts(givens)

    return variants.draw(task, number, acceptable)


@functools.lru_cache(maxsize=1024)
def _has_two_only(task):
    """Whether two variants are all that differ; they take turns then."""
    try:
        return not _draw(task, 2, [_variant(task, 0), _variant(task, 1)])
    except BadFile:
        return True


# All of a task's variants are drawn one after the other when a class is marked.
@functools.lru_cache(maxsize=1024)
def _told(task, givens):
    """Givens without the helpers that only other givens are made of."""
    # What the text leaves out does not make one variant differ from the next.
    helpers = {name for name in givens if name.startswith("fit_")} | {left_out(givens)}
    told = {name: value for name, value in givens.items() if name not in helpers}
    module = _MODULES.get(task.kind)
    if hasattr(module, "told"):
        return told | module.told(task, givens)
    # Two numbers may hide the same fault.
    return told | {"fault_number": answer_of(task, givens)} if task.kind == "fault" else told


@functools.lru_cache(maxsize=1024)
def _clear(task, givens):
    return getattr(_MODULES.get(task.kind), "clear", checking_plain.clear)(task, givens)


def check(var, typed):
    """Verdict on a typed prediction.

    Args:
        var: the ``Variant``.
        typed: text as typed; for a choice the chosen option; for what is built, measured or
            typed into several boxes the one line that the kind's ``to_line`` makes of it.

    Returns:
        ``Verdict``; kind ``ask`` where the text cannot be read, which costs no attempt.
    """
    whole, kind = str(typed), var.task.kind
    typed = whole[:LONGEST_ANSWER]
    if not typed.strip():
        return Verdict("ask", (say(_EMPTY.get(kind, "tasks.empty")),))
    if kind in _LONG and whole != typed:
        return Verdict("ask", (say(_LONG[kind]),))
    named = missing.named(var, typed) if var.task.may_miss else None
    if named:
        return missing.check(var, named)
    try:
        if left_out(var.givens):
            return missing.number_typed(read(typed, var.task.unit).says)
        return _CHECKS[kind](var, typed)
    except PackError as trouble:
        return Verdict("ask", (str(trouble),))


def wrong_values(var):
    """What each wrong rule gives: pairs of rule and value in words, for the teacher.

    Args:
        var: the ``Variant``.
    """
    if left_out(var.givens):
        return []
    parts = several.parts_of(var) if var.task.kind == "numbers" else (var,)
    return [pair for part in parts for pair in _wrong_values(part)]


def _wrong_values(var):
    for rule, labels in picks.wrong_picks(var) if var.task.kind == "pick" else ():
        yield rule, picks.in_words(labels)
    for rule in rules_for(var.task.asked, var.givens):
        if rule.pick:
            continue
        if rule.formula:
            yield rule, checking_plain.plainly(var.task, rule.value(var.givens))
        elif rule.unit:
            number = f"{answer_of(var.task, var.givens):.3g}"
            yield rule, f"{number} {rule.unit}"
        elif rule.choice == "any":
            yield rule, say("tasks.other_choice")
        else:
            yield rule, options_of(var)[rule.choice]


def answer_in_words(var):
    """Right answer as text, with its unit."""
    module = missing if left_out(var.givens) else _MODULES.get(var.task.kind, checking_plain)
    return module.answer_in_words(var)


def text_of(var):
    """The question with the variant's numbers."""
    return fill(told_text(var.task.text, left_out(var.givens)), **in_words(var.givens))


def lead(var):
    """Formula and first step of a task that is led; nothing of others, never the answer.

    Args:
        var: the ``Variant``.

    Returns:
        Tuple of sentences.
    """
    if var.task.level != "led":
        return ()
    formula = word(f"tasks.working.{var.task.asked}.formula")
    first = working(var)[0]
    answers = re.split(r"[()]", answer_in_words(var))
    tells = "{answer}" in steps.steps(var)[0] or any(
        _holds(first, answer.strip()) for answer in answers if answer.strip()
    )
    return (formula,) if tells else (formula, first)


def _holds(text, answer):
    return re.search(rf"(?<![\w.]){re.escape(answer)}(?!\w|\.\d)", text) is not None


def typed_in_words(var, typed):
    """What was locked in, as a learner reads it.

    Args:
        var: the ``Variant``.
        typed: as it is kept.
    """
    named = missing.named(var, typed) if var.task.may_miss else None
    if named:
        return missing.typed_in_words(named)
    if var.task.kind == "choice":
        return options_of(var).get(typed, typed)
    if var.task.kind in _MODULES:
        return _MODULES[var.task.kind].typed_in_words(var, typed)
    return typed.strip()


def working(var):
    """Working, one sentence a step; the right number comes last."""
    if left_out(var.givens):
        return missing.working(var)
    module = _MODULES.get(var.task.kind)
    if hasattr(module, "working"):
        return tuple(module.working(var))
    answer = answer_in_words(var)
    return tuple(steps.step(var, text, answer=answer) for text in steps.steps(var))
