"""The bank as a whole: enough tasks for every skill, at all three levels, of every kind."""

import re
from collections import Counter

import pytest

from packlearn import places
from packlearn.tasks import bank, checking
from packlearn.tasks.levels import LEVELS, left_out
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


@pytest.mark.parametrize("task", [task for task in TASKS if task.may_miss], ids=lambda t: t.id)
def test_a_text_without_one_of_its_figures_is_whole(task):
    drawn = [checking.variant(task, number) for number in range(30)]
    told = {left_out(var.givens): checking.text_of(var) for var in drawn}
    assert set(told) == {None, *task.may_miss}
    for text in told.values():
        assert not re.search(r"[\[\]]|\s[,.;:?]|[,.;:]{2}|  ", text), text
        starts = re.split(r"(?<=[.?]) ", text)
        assert all(start[0].isupper() or start[0].isdigit() for start in starts), text
