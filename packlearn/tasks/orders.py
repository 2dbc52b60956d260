"""Checking steps that were put in order: only what needs the other before it counts."""

from packlearn.errors import BadFile
from packlearn.tasks.answers_orders import STEPS, shuffled
from packlearn.tasks.verdict import Verdict
from packlearn.words import say, word


def to_line(order):
    """An order as one line.

    Args:
        order: names of the steps.
    """
    return " ".join(order)


def from_line(line, asked):
    """Steps of a line.

    Args:
        line: what ``to_line`` wrote; it may hold anything.
        asked: what the task asks for.

    Raises:
        BadFile: it does not hold each step once.
    """
    order = tuple(line.split())
    if sorted(order) != sorted(STEPS[asked].names):
        raise BadFile("tasks.order.damaged", value=line[:40])
    return order


def text_of(asked, name):
    """A step in words.

    Args:
        asked: what the task asks for.
        name: name of the step.
    """
    return word(f"tasks.orders.{asked}.steps.{name}")


def clear(task, givens):
    """Any shuffling will do."""
    return True


def told(task, givens):
    """What a learner sees of a variant's numbers: two of them may shuffle alike."""
    return {"shuffle_number": shuffled(task.asked, givens)}


def check(var, typed):
    """Verdict on an order.

    Args:
        var: the ``Variant``.
        typed: what ``to_line`` wrote.
    """
    asked = var.task.asked
    pair = STEPS[asked].wrong_pair(from_line(typed, asked))
    if pair is None:
        return Verdict("right", (say("tasks.order.right"),))
    first, later = (text_of(asked, name) for name in pair)
    why = word(f"tasks.orders.{asked}.why.{'_'.join(pair)}")
    return Verdict("unknown", (say("tasks.order.wrong", first=first, later=later), why))


def answer_in_words(var):
    """One right order."""
    return _listed(var.task.asked, STEPS[var.task.asked].names)


def typed_in_words(var, typed):
    """An order as a learner reads it; as it is kept where it cannot be read.

    Args:
        var: the ``Variant``.
        typed: the line.
    """
    try:
        return _listed(var.task.asked, from_line(typed, var.task.asked))
    except BadFile:
        return typed.strip()


def _listed(asked, order):
    steps = (text_of(asked, name).rstrip(".") for name in order)
    return "; ".join(say("tasks.order.item", at=at, step=step) for at, step in enumerate(steps, 1))
