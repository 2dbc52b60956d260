"""The skills: known to the bank, in an order that fits, with words that tell no answer."""

import pytest

from packlearn.errors import UnknownName
from packlearn.tasks import bank, skills
from packlearn.tasks.levels import LEVELS
from packlearn.tasks.skills import of_lesson, tasks_of

ALL = skills.skills()
IDS = [each.id for each in ALL]
TASKS = [task for name in bank.pages() for task in bank.page(name).tasks]
each_skill = pytest.mark.parametrize("skill", ALL, ids=IDS)


def test_every_skill_of_the_plan_is_there_once():
    assert len(IDS) == len(set(IDS)) == 32
    assert {"need-read", "energy", "c-rate", "name", "sag", "fault", "whole-design"} <= set(IDS)


def test_every_task_names_a_known_skill():
    assert {task.skill for task in TASKS} <= set(IDS)


@each_skill
def test_what_a_skill_needs_comes_before_it(skill):
    at = IDS.index(skill.id)
    assert set(skill.needs) <= set(IDS[:at])
    assert [each.lesson for each in ALL] == sorted(each.lesson for each in ALL)
    assert skill.lessons == tuple(sorted(skill.lessons))


def test_the_whole_design_stands_on_all_others():
    assert sorted(skills.skill("whole-design").needs) == sorted(IDS[:-1])
    assert IDS[-1] == "whole-design"


@each_skill
def test_a_skill_says_what_one_can_do(skill):
    assert skill.can.startswith("You can ")
    assert skill.can.endswith(".")
    assert 1 <= len(skill.title.split()) <= 5


@each_skill
def test_tasks_of_pages_come_before_those_of_lessons(skill):
    found = tasks_of(skill.id)
    assert all(task.skill == skill.id for task in found)
    assert [of_lesson(task) for task in found] == sorted(map(of_lesson, found))
    assert all(task.level in LEVELS for task in found)


def test_every_task_is_found_by_its_skill():
    assert sum(len(tasks_of(name)) for name in IDS) == len(TASKS)


def test_an_unknown_skill_is_answered_with_the_known_ones():
    with pytest.raises(UnknownName, match=r"no skill juggling.*need-read.*sag"):
        skills.skill("juggling")
