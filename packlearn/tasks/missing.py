"""Open tasks in which a needed figure may be missing: the right answer is to say which."""

from packlearn.tasks.answers import ASKED
from packlearn.tasks.givens import in_words
from packlearn.tasks.levels import figures_of, left_out
from packlearn.tasks.verdict import Verdict
from packlearn.words import say, word

# What is locked in where a figure is named: this, then the figure.
MARK = "missing="


def to_line(name):
    """A figure that is said to be missing, as one line.

    Args:
        name: name of the given.
    """
    return MARK + name


def named(var, typed):
    """Name of the figure that a line says is missing, or None.

    Args:
        var: the ``Variant``.
        typed: the line; it may hold anything.
    """
    name = typed.strip().removeprefix(MARK)
    known = typed.strip().startswith(MARK) and name in figures_of(var.task)
    return name if known else None


def options_of(task):
    """Figures one can choose from: pairs of words and name, in the order of the text.

    Args:
        task: a ``Task`` that may miss a figure.
    """
    return tuple((figure(name), name) for name in figures_of(task))


def figure(name):
    """A figure in words.

    Args:
        name: name of the given.
    """
    return word(f"tasks.figures.{name}")


def check(var, name):
    """Verdict on a figure that is said to be missing.

    Args:
        var: the ``Variant``.
        name: name of the figure.
    """
    missing = left_out(var.givens)
    if name == missing:
        return Verdict("right", (say("tasks.missing.right", figure=figure(name)),))
    says = [_told(var, name)]
    # Whether another one is missing is for the learner to find out.
    says.append(say("tasks.missing.go_on"))
    return Verdict("unknown", tuple(says))


def _told(var, name):
    needed = {*ASKED[var.task.asked].needs, *var.task.may_miss}
    if name not in needed:
        return say("tasks.missing.no_need", figure=figure(name))
    return say("tasks.missing.told", figure=figure(name), value=in_words(var.givens)[name])


def number_typed(value_words):
    """Verdict on a number where a figure is missing.

    Args:
        value_words: sentence on how the text was read.
    """
    return Verdict("unknown", (say("tasks.missing.number"),), (), None, value_words)


def answer_in_words(var):
    """The right answer where a figure is missing."""
    return say("tasks.missing.answer", figure=figure(left_out(var.givens)))


def typed_in_words(name):
    """A named figure as a learner reads it.

    Args:
        name: name of the figure.
    """
    return say("tasks.missing.wrote", figure=figure(name))


def working(var):
    """Why it cannot be known, one sentence a step."""
    texts = word(f"tasks.working.{var.task.asked}")
    formula = [texts["formula"]] if "formula" in texts else []
    name = figure(left_out(var.givens))
    return (
        *formula,
        say("tasks.missing.not_told", figure=name),
        say("tasks.missing.so", figure=name),
    )
