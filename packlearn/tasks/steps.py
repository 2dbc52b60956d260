"""The steps of a task's working in words, and the verdict on a value that is not right."""

from packlearn.tasks import checking_wiring
from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import work_out
from packlearn.tasks.givens import in_words
from packlearn.tasks.verdict import Verdict
from packlearn.words import fill, say, word


def first_step(var):
    """Question that leads to the first step, for a value no known rule gives."""
    return step(var, word(f"tasks.working.{var.task.asked}.first"))


def steps(var):
    """Texts of the whole working, fields not filled in."""
    texts = word(f"tasks.working.{var.task.asked}")
    found = texts["steps"]
    for count in ("series", "parallel"):
        # One cell alone, or one string, is told in other words.
        if var.givens.get(count) == 1:
            found = texts.get(f"steps_one_{count}", found)
    return tuple(found)


def step(var, text, **more):
    """A step with the variant's numbers and what is worked out on the way.

    Args:
        var: the ``Variant``.
        text: the step, with ``{fields}``.
        **more: further fields, already in words, such as the answer.
    """
    worked = {}
    for name, formula in ASKED[var.task.asked].extras.items():
        worked[name] = work_out(formula, var.givens | worked)
    fields = in_words(var.givens | worked) | checking_wiring.fields(var)
    return fill(text, **fields | more)


def verdict_of(var, rules, value, understood=""):
    """Verdict on a value that is not right: its slip, which of several, or the first step.

    Args:
        var: the ``Variant``.
        rules: known slips that give the value.
        value: what was understood.
        understood: sentence on how the text was read.
    """
    one_each = {rule.id: rule for rule in rules}
    rules = tuple(one_each.values())
    if not rules:
        return Verdict("unknown", (first_step(var),), (), value, understood)
    if len(rules) > 1:
        return Verdict("which", (say("tasks.which"),), rules, value, understood)
    return Verdict("mistake", (rules[0].sentence(var.givens),), rules, value, understood)
