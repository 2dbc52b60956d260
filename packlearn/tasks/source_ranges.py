"""Ranges of a given, such as ``{ from = 2, to = 8, step = 1 }``: what is wrong with one."""

from packlearn.tasks.formulas import LARGEST
from packlearn.words import say, word

MOST_STEPS = 1_000_000
_KEYS = ("from", "to", "step")


def is_number(value):
    """Whether a value is a number that a formula can take.

    Args:
        value: anything.
    """
    # Larger ones would be refused by the first formula.
    return type(value) in (int, float) and abs(value) <= LARGEST


def trouble_of(source):
    """What is wrong with a range, as a sentence, or None.

    Args:
        source: the table as read.
    """
    for name in source:
        if name not in _KEYS:
            return say("task_files.range.unknown", name=str(name)[:40])
    for name in _KEYS[:2]:
        if name not in source:
            return say("task_files.range.missing", name=name)
    if not all(map(is_number, source.values())):
        return no_number(list(source.values()))
    return _trouble_of_numbers(source["from"], source["to"], source.get("step", 1))


def _trouble_of_numbers(low, high, step):
    if low > high:
        return word("task_files.range.turned")
    if step <= 0:
        return word("task_files.range.step")
    if (high - low) / step > MOST_STEPS:
        return say("task_files.range.wide", most=MOST_STEPS)
    if low < high and step > (high - low) * (1 + 1e-9):
        ends = {"low": f"{low:g}", "high": f"{high:g}", "step": f"{step:g}"}
        return say("task_files.range.one", **ends, mend=f"{_step_between(low, high):g}")
    return None


def _step_between(low, high):
    """A round step that leaves a few numbers: the largest power of ten below the half."""
    step = 1.0
    while step > (high - low) / 2:
        step /= 10
    return step


def no_number(source):
    """Why a value gives no numbers, as a sentence.

    Args:
        source: anything that is no number, list of numbers, formula or range.
    """
    texts = isinstance(source, list) and any(isinstance(value, str) for value in source)
    return word("task_files.range.texts" if texts else "task_files.range.other")
