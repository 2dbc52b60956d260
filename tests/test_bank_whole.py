"""The bank as a whole: enough tasks for every skill, at all three levels, of every kind."""

from collections import Counter

import pytest

from packlearn import places
from packlearn.tasks import bank
from packlearn.tasks.levels import LEVELS
from packlearn.tasks.skills import skills

PAGES = [path.stem for path in places.exercises_folder().glob("*.toml")]
TASKS = [task for name in PAGES for task in bank.page(name).tasks]
KINDS = {
    *("number", "numbers", "name", "count", "range", "choice", "pick", "wire", "fault"),
    *("design", "order", "estimate", "reason"),
}


def test_there_are_enough_tasks():
    assert len(TASKS) >= 160


def test_every_kind_of_answer_is_asked_for():
    assert {task.kind for task in TASKS} == KINDS


@pytest.mark.parametrize("skill", [entry.id for entry in skills()])
def test_every_skill_has_three_tasks_of_one_structure_and_all_levels(skill):
    mine = [task for task in TASKS if task.skill == skill]
    structures = Counter(task.asked for task in mine)
    assert max(structures.values(), default=0) >= 3
    assert {task.level for task in mine} == set(LEVELS)


def test_some_open_tasks_lack_a_needed_figure():
    lacking = [task for task in TASKS if task.may_miss]
    assert len(lacking) >= 20
    assert len({task.skill for task in lacking}) >= 15
