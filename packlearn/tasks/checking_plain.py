"""Checking what is typed in one box or chosen from one list: numbers, counts, names, choices."""

import functools

from packlearn import sizing
from packlearn.packs import Pack
from packlearn.quantities import example_values, read, write, write_plain
from packlearn.tasks import clearing
from packlearn.tasks.combining import answer_to
from packlearn.tasks.givens import in_words
from packlearn.tasks.matching import SAFE_DISTANCE, holds, matches, step_of
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.steps import verdict_of
from packlearn.tasks.typed_ranges import read_one, read_pack
from packlearn.tasks.verdict import Verdict
from packlearn.words import fill, say, word


def answer_of(task, givens):
    """Right answer of a task for given numbers, worked out by the library."""
    return answer_to(task.asked, givens)


# Variants.


def clear(task, givens):
    """Whether no wrong rule, and no example in the box, gives the right answer.

    Args:
        task: the ``Task``.
        givens: the numbers drawn for it.
    """
    if task.kind == "design":
        return clearing.none_right(task.asked, givens)
    answer = answer_of(task, givens)
    read_off = task.kind in ("number", "range")
    if read_off and not all(far(task, told, answer) for told in _examples(task)):
        # The example of how to write a number must not be the number.
        return False
    return clearing.none_right(task.asked, givens)


@functools.cache
def _examples(task):
    return frozenset(_as_share(task, value) for value in example_values(task.unit))


def far(task, value, answer):
    """Whether a wrong rule's value is far enough from the answer to be told from it.

    Args:
        task: the ``Task``.
        value: what the rule gives.
        answer: the right one.
    """
    if task.kind in ("name", "count", "wire"):
        return value != answer
    low, high = answer if task.kind == "range" else (answer, answer)
    return value < low - SAFE_DISTANCE * abs(low) or value > high + SAFE_DISTANCE * abs(high)


# Checks.


def check_number(var, typed):
    """Verdict on a typed number, or on a reading within a range."""
    reading = read_one(typed, var.task.unit)
    if not reading.same_kind:
        return _other_kind(var, reading)
    answer, value = answer_of(var.task, var.givens), _as_share(var.task, reading.value)
    step = step_of(reading, var.task.unit)
    if holds(answer, value, step):
        return Verdict("right", (say("tasks.right"),), (), value, reading.says)
    rules = matches(var.task.asked, var.givens, value, reading.digits, step)
    return verdict_of(var, rules, value, reading.says)


def _as_share(task, value):
    return value / 100 if task.unit == "%" else value


def _other_kind(var, reading):
    rules = [rule for rule in rules_for(var.task.asked, var.givens) if rule.unit == reading.unit]
    says = rules[0].sentence(var.givens, typed=reading.typed) if rules else reading.says
    return Verdict("mistake", (says,), tuple(rules), None, reading.says)


def check_count(var, typed):
    """Verdict on a typed count."""
    reading = read(typed, var.task.unit)
    if not reading.same_kind:
        return _other_kind(var, reading)
    if reading.value == answer_of(var.task, var.givens):
        return Verdict("right", (say("tasks.right"),), (), reading.value, reading.says)
    rules = matches(var.task.asked, var.givens, reading.value, digits=0)
    return verdict_of(var, rules, reading.value, reading.says)


def check_name(var, typed):
    """Verdict on a typed name of a pack."""
    pair = read_pack(typed)
    if pair == answer_of(var.task, var.givens):
        return Verdict("right", (say("tasks.right"),), (), pair)
    return verdict_of(var, matches(var.task.asked, var.givens, pair, digits=0), pair)


def check_choice(var, typed):
    """Verdict on a chosen option."""
    if typed not in word(f"tasks.choices.{var.task.asked}"):
        return Verdict("ask", (say("tasks.empty"),))
    if typed == answer_of(var.task, var.givens):
        return Verdict("right", (say("tasks.right"),), (), typed)
    rules = rules_for(var.task.asked, var.givens)
    return verdict_of(var, [rule for rule in rules if rule.choice in ("any", typed)], typed)


def check_design(var, typed):
    """Verdict on a typed pack: every one that meets the need is right."""
    pack = Pack(var.cell, *read_pack(typed))
    need = answer_of(var.task, var.givens)
    choice = sizing.check(need, pack)
    if not choice.fits:
        return unfit(var, (pack.series, pack.parallel), choice.why_not)
    fewest = sizing.size(need, [var.cell])[0].pack
    key = "tasks.fits_best" if pack.cell_count == fewest.cell_count else "tasks.fits_more"
    said = say(key, name=pack.name, binds=choice.binds_words, fewest=fewest.name)
    return Verdict("right", (said,), (), (pack.series, pack.parallel))


def unfit(var, pair, why_not):
    """Verdict on a pack that does not meet its need, with the slip that leads to it.

    Args:
        var: the ``Variant``.
        pair: series and parallel.
        why_not: sentences on what the pack fails.
    """
    rules = matches(var.task.asked, var.givens, pair, digits=0)
    if len(rules) > 1:
        return Verdict("which", (*why_not, say("tasks.which")), rules, pair)
    told = tuple(rule.sentence(var.givens) for rule in rules)
    return Verdict("unfit", (*why_not, *told), rules, pair)


CHECKS = {
    "number": check_number,
    "range": check_number,
    "count": check_count,
    "name": check_name,
    "choice": check_choice,
    "design": check_design,
}


# In words.


def answer_in_words(var):
    """Right answer as text, with its unit."""
    task, value = var.task, answer_of(var.task, var.givens)
    if task.kind == "name":
        return "{}S{}P".format(*value)
    if task.kind == "choice":
        return options_of(var)[value]
    if task.kind == "design":
        best = sizing.size(value, [var.cell])[0]
        return say("tasks.design_answer", name=best.pack.name)
    if task.kind == "range" and isinstance(value, tuple):
        return say("tasks.between", low=write(value[0], task.unit), high=write(value[1], task.unit))
    return twice(task.unit, value)


def twice(unit, value):
    """A number in the unit asked for and, in brackets, as people would write it.

    Args:
        unit: unit of the answer.
        value: the number; a share where the unit is per cent.
    """
    value = 100 * value if unit == "%" else value
    plain, sensible = write_plain(value, unit), write(value, unit)
    # Both, so that what was typed can be set beside it whatever its unit.
    return plain if plain == sensible else say("tasks.twice", first=plain, second=sensible)


def plainly(task, value):
    """A wrong value in the unit asked for, so that it can be set beside what was typed.

    Args:
        task: the ``Task``.
        value: what a wrong rule gives.
    """
    if isinstance(value, tuple):
        return "{}S{}P".format(*value)
    return write_plain(100 * value if task.unit == "%" else value, task.unit)


def options_of(var):
    """Options of a choice task: dict of option -> text."""
    texts = word(f"tasks.choices.{var.task.asked}")
    return {key: fill(text, **in_words(var.givens)) for key, text in texts.items()}
