"""Checking a prediction: right, a known wrong rule, or a question back."""

from __future__ import annotations

import functools

from packlearn import sizing
from packlearn.errors import PackError
from packlearn.packs import Pack
from packlearn.quantities import example_values, read, read_name, write, write_plain
from packlearn.tasks import checking_wiring, variants
from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import work_out
from packlearn.tasks.givens import in_words
from packlearn.tasks.matching import TOLERANCE, matches
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.verdict import Verdict
from packlearn.words import fill, say, word

# Wrong rules stay this far from the answer, so that neither can be taken for the other.
SAFE_DISTANCE = 2.5 * TOLERANCE
LONGEST_ANSWER = 200
LONGEST_CHAIN = 50


def variant(task, number):
    """Variant of a task whose wrong rules all stay clear of the right answer.

    Args:
        task: the ``Task``.
        number: which variant, from 0.
    """
    return _variant(task, number)


@functools.lru_cache(maxsize=4096)
def _variant(task, number):
    # Neighbours differ, so "other numbers" are other numbers; each chain is short.
    before = _told(task, _variant(task, number - 1).givens) if number % LONGEST_CHAIN else None
    return variants.draw(
        task, number, lambda givens: _told(task, givens) != before and _clear(task, givens)
    )


def _told(task, givens):
    """Givens without the helpers that only other givens are made of."""
    told = {name: value for name, value in givens.items() if not name.startswith("fit_")}
    # Two numbers may hide the same fault.
    return told | {"fault_number": answer_of(task, givens)} if task.kind == "fault" else told


def _clear(task, givens):
    if task.kind == "design":
        need, cell = answer_of(task, givens), variants.find_cell(givens["cell"])
        return sizing.size(need, [cell]).fit_count >= 1
    answer = answer_of(task, givens)
    read_off = task.kind in ("number", "range")
    if read_off and not all(_far(task, told, answer) for told in _examples(task)):
        # The example of how to write a number must not be the number.
        return False
    values = (rule.value(givens) for rule in rules_for(task.asked, givens))
    return all(value is None or _far(task, value, answer) for value in values)


@functools.cache
def _examples(task):
    return frozenset(_as_share(task, value) for value in example_values(task.unit))


def _far(task, value, answer):
    if task.kind in ("name", "count", "wire"):
        return value != answer
    low, high = answer if task.kind == "range" else (answer, answer)
    return value < low - SAFE_DISTANCE * abs(low) or value > high + SAFE_DISTANCE * abs(high)


def answer_of(task, givens):
    """Right answer of a task for given numbers, worked out by the library."""
    return ASKED[task.asked].compute(givens)


def check(var, typed):
    """Verdict on a typed prediction.

    Args:
        var: the ``Variant``.
        typed: text as typed; for a choice the chosen option; for a wiring or a fault the line
            that ``benches.to_line`` or ``faults.to_line`` makes of it.

    Returns:
        ``Verdict``; kind ``ask`` where the text cannot be read, which costs no attempt.
    """
    whole = str(typed)
    typed = whole[:LONGEST_ANSWER]
    if not typed.strip():
        return Verdict("ask", (say(_EMPTY.get(var.task.kind, "tasks.empty")),))
    if var.task.kind in _EMPTY and whole != typed:
        # What is cut off a wiring would make another one of it.
        return Verdict("ask", (say(_LONG[var.task.kind]),))
    try:
        return _CHECKS[var.task.kind](var, typed)
    except PackError as trouble:
        return Verdict("ask", (str(trouble),))


def _check_number(var, typed):
    reading = read(typed, var.task.unit)
    if not reading.same_kind:
        return _other_kind(var, reading)
    answer, value = answer_of(var.task, var.givens), _as_share(var.task, reading.value)
    low, high = answer if var.task.kind == "range" else (answer, answer)
    if low - TOLERANCE * abs(low) <= value <= high + TOLERANCE * abs(high):
        return Verdict("right", (say("tasks.right"),), (), value, reading.says)
    rules = matches(var.task.asked, var.givens, value, reading.digits)
    return _verdict(var, rules, value, reading.says)


def _as_share(task, value):
    return value / 100 if task.unit == "%" else value


def _other_kind(var, reading):
    rules = [rule for rule in rules_for(var.task.asked, var.givens) if rule.unit == reading.unit]
    says = rules[0].sentence(var.givens, typed=reading.typed) if rules else reading.says
    return Verdict("mistake", (says,), tuple(rules), None, reading.says)


def _check_count(var, typed):
    reading = read(typed, var.task.unit)
    if not reading.same_kind:
        return _other_kind(var, reading)
    if reading.value == answer_of(var.task, var.givens):
        return Verdict("right", (say("tasks.right"),), (), reading.value, reading.says)
    rules = matches(var.task.asked, var.givens, reading.value, digits=0)
    return _verdict(var, rules, reading.value, reading.says)


def _check_name(var, typed):
    pair = read_name(typed)
    if pair == answer_of(var.task, var.givens):
        return Verdict("right", (say("tasks.right"),), (), pair)
    return _verdict(var, matches(var.task.asked, var.givens, pair, digits=0), pair)


def _check_choice(var, typed):
    if typed not in word(f"tasks.choices.{var.task.asked}"):
        return Verdict("ask", (say("tasks.empty"),))
    if typed == answer_of(var.task, var.givens):
        return Verdict("right", (say("tasks.right"),), (), typed)
    rules = rules_for(var.task.asked, var.givens)
    return _verdict(var, [rule for rule in rules if rule.choice in ("any", typed)], typed)


def _check_design(var, typed):
    pack = Pack(var.cell, *read_name(typed))
    need = answer_of(var.task, var.givens)
    choice = sizing.check(need, pack)
    if not choice.fits:
        return Verdict("unfit", choice.why_not, (), (pack.series, pack.parallel))
    fewest = sizing.size(need, [var.cell])[0].pack
    key = "tasks.fits_best" if pack.cell_count == fewest.cell_count else "tasks.fits_more"
    said = say(key, name=pack.name, binds=choice.binds_words, fewest=fewest.name)
    return Verdict("right", (said,), (), (pack.series, pack.parallel))


_CHECKS = {
    "number": _check_number,
    "range": _check_number,
    "count": _check_count,
    "name": _check_name,
    "choice": _check_choice,
    "design": _check_design,
    "wire": checking_wiring.check_wire,
    "fault": checking_wiring.check_fault,
}
_EMPTY = {"wire": "tasks.wire.nothing", "fault": "tasks.fault.nothing"}
_LONG = {"wire": "tasks.wire.long", "fault": "tasks.fault.long"}


def _verdict(var, rules, value, understood=""):
    one_each = {rule.id: rule for rule in rules}
    rules = tuple(one_each.values())
    if not rules:
        return Verdict("unknown", (first_step(var),), (), value, understood)
    if len(rules) > 1:
        return Verdict("which", (say("tasks.which"),), rules, value, understood)
    return Verdict("mistake", (rules[0].sentence(var.givens),), rules, value, understood)


def wrong_values(var):
    """What each wrong rule gives: pairs of rule and value in words, for the teacher.

    Args:
        var: the ``Variant``.
    """
    pairs = []
    for rule in rules_for(var.task.asked, var.givens):
        if rule.formula:
            pairs.append((rule, _plainly(var.task, rule.value(var.givens))))
        elif rule.unit:
            number = f"{answer_of(var.task, var.givens):.3g}"
            pairs.append((rule, f"{number} {rule.unit}"))
        elif rule.choice == "any":
            pairs.append((rule, say("tasks.other_choice")))
        else:
            pairs.append((rule, options_of(var)[rule.choice]))
    return pairs


def answer_in_words(var):
    """Right answer as text, with its unit."""
    return _in_words(var.task, answer_of(var.task, var.givens), var)


def _in_words(task, value, var=None):
    if task.kind == "name":
        return "{}S{}P".format(*value)
    if task.kind in _EMPTY:
        return checking_wiring.answer_in_words(var)
    if task.kind == "choice":
        return fill(word(f"tasks.choices.{task.asked}")[value], **in_words(var.givens))
    if task.kind == "design":
        best = sizing.size(value, [var.cell])[0]
        return say("tasks.design_answer", name=best.pack.name)
    if task.kind == "range" and isinstance(value, tuple):
        return say("tasks.between", low=write(value[0], task.unit), high=write(value[1], task.unit))
    value = 100 * value if task.unit == "%" else value
    plain, sensible = write_plain(value, task.unit), write(value, task.unit)
    # Both, so that what was typed can be set beside it whatever its unit.
    return plain if plain == sensible else say("tasks.twice", first=plain, second=sensible)


def _plainly(task, value):
    """A wrong value in the unit asked for, so that it can be set beside what was typed."""
    if task.kind in ("name", "wire"):
        return "{}S{}P".format(*value)
    return write_plain(100 * value if task.unit == "%" else value, task.unit)


def text_of(var):
    """The question with the variant's numbers."""
    return fill(var.task.text, **in_words(var.givens))


def options_of(var):
    """Options of a choice task: dict of option -> text."""
    texts = word(f"tasks.choices.{var.task.asked}")
    return {key: fill(text, **in_words(var.givens)) for key, text in texts.items()}


def typed_in_words(var, typed):
    """What was locked in, as a learner reads it.

    Args:
        var: the ``Variant``.
        typed: as it is kept.
    """
    if var.task.kind == "choice":
        return options_of(var).get(typed, typed)
    if var.task.kind in _EMPTY:
        return checking_wiring.typed_in_words(var, typed)
    return typed.strip()


def first_step(var):
    """Question that leads to the first step, for a value no known rule gives."""
    return _step(var, word(f"tasks.working.{var.task.asked}.first"))


def working(var):
    """Working, one sentence a step; the right number comes last."""
    texts = word(f"tasks.working.{var.task.asked}")
    steps = texts["steps"]
    for count in ("series", "parallel"):
        # One cell alone, or one string, is told in other words.
        if var.givens.get(count) == 1:
            steps = texts.get(f"steps_one_{count}", steps)
    return tuple(_step(var, text) for text in steps)


def _step(var, text):
    extras = ASKED[var.task.asked].extras
    worked = {}
    for name, formula in extras.items():
        worked[name] = work_out(formula, var.givens | worked)
    fields = in_words(var.givens | worked) | checking_wiring.fields(var)
    return fill(text, answer=answer_in_words(var), **fields)
