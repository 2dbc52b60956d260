"""Worked examples of the skills, in three stages, made of a task's givens and working."""

import functools
from dataclasses import dataclass

from packlearn.errors import PackError
from packlearn.quantities import read
from packlearn.tasks import bank, checking
from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import work_out
from packlearn.tasks.givens import in_words
from packlearn.tasks.skills import ExampleData, skill
from packlearn.words import fill, word

# Variants far from those a learner is asked.
START = 900
_SEARCH = 12
TOLERANCE = 0.02
LONGEST = 200


@dataclass(frozen=True)
class Example:
    """One skill's worked example.

    Attributes:
        skill: id of the skill.
        data: where it comes from.
    """

    skill: str
    data: ExampleData

    @property
    def task(self):
        """The ``Task`` it is made of."""
        return bank.page(self.data.page).task(self.data.task)

    def variant(self, stage):
        """Numbers of a stage: 0 worked in full, 1 with its first step asked."""
        return checking.variant(self.task, _number(self) if stage else START)

    def steps(self, stage):
        """The working of a stage, with the reason of each step: pairs of texts."""
        working = checking.working(self.variant(stage))
        return tuple(zip(working, word(f"skills.{self.skill}.why"), strict=True))

    @property
    def first(self):
        """What is asked at the second stage."""
        return fill(word(f"skills.{self.skill}.first"), **in_words(self.variant(1).givens))

    @property
    def first_value(self):
        """Value of that first step, in ``data.unit``."""
        return self._value(self.variant(1).givens)

    def _value(self, givens):
        worked = dict(givens)
        for name, formula in ASKED[self.task.asked].extras.items():
            worked[name] = work_out(formula, worked)
        return work_out(self.data.first, worked)

    def check_first(self, typed):
        """Whether a typed first step holds.

        Args:
            typed: text as typed.

        Returns:
            True or False, and what was understood; None where nothing could be read, and why.
        """
        try:
            reading = read(typed[:LONGEST], self.data.unit)
        except PackError as trouble:
            return None, str(trouble)
        value = self.first_value
        near = abs(reading.value - value) <= TOLERANCE * abs(value)
        return reading.same_kind and near, reading.says


@functools.cache
def _number(found):
    """A variant whose first step is not the one just read, where the task has such."""
    read_before = found._value(found.variant(0).givens)
    numbers = range(START + 1, START + _SEARCH)
    others = (
        number
        for number in numbers
        if found._value(checking.variant(found.task, number).givens) != read_before
    )
    return next(others, START + 1)


@functools.cache
def example(name):
    """The worked example of a skill; None where it has none.

    Args:
        name: id of the skill.
    """
    data = skill(name).example
    return Example(name, data) if data else None
