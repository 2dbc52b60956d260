"""The page of wire, fuse, charging and transport: what it asks, and how its slips are met."""

import collections

import pytest

from packlearn import building, words
from packlearn.tasks import bank, checking
from packlearn.tasks.answers_building import BUILDING
from packlearn.tasks.formulas import work_out

TASKS = bank.page("protect-and-charge").tasks
LEAST = {"wire-size": 3, "fuse-size": 3, "charge-plan": 3, "transport": 3}


def drawn(name, count=40):
    task = bank.page("protect-and-charge").task(name)
    return [checking.variant(task, number) for number in range(count)]


def test_three_tasks_for_each_skill_and_everything_is_asked():
    skills = collections.Counter(task.skill for task in TASKS)
    assert set(skills) == set(LEAST)
    assert all(skills[name] >= least for name, least in LEAST.items())
    assert {task.asked for task in TASKS} == set(BUILDING)


@pytest.mark.parametrize("name", ["lantern-fuse", "logger-fuse", "trike-fuse"])
def test_a_fuse_of_a_task_protects_its_wire(name):
    for var in drawn(name):
        g, fuse = var.givens, checking.answer_of(var.task, var.givens)
        assert g["current_a"] / g["run_share"] <= fuse * (1 + 1e-9)
        assert fuse <= 0.8 * g["wire_limit_a"] * (1 + 1e-9)
        kind = building.family("iec" if g["run_share"] == 1 else "ul")
        # The text lists what is sold, up to the pack's own limit: the slip can be seen.
        listed = [each for each in kind.ratings_a if f"{each:g}" in checking.text_of(var)]
        assert fuse in listed
        assert work_out("fuse_below(wire_limit_a, run_share)", g) in listed
        wrong = checking.check(var, f"{work_out('fuse_below(25, run_share)', g):g} A")
        assert not wrong.right


@pytest.mark.parametrize("name", ["tunnel-camera-cable", "trike-lights-cable"])
def test_the_bare_area_is_not_a_size_that_is_sold(name):
    for var in drawn(name):
        needed = work_out(BUILDING["wire_area_mm2"].extras["needed_mm2"], var.givens)
        size = checking.answer_of(var.task, var.givens)
        assert needed <= size * (1 + 1e-9)
        before = [each.area_mm2 for each in building.conductors() if each.area_mm2 < size]
        assert not before or before[-1] < needed


def test_whoever_counts_one_way_is_told_so():
    for var in drawn("mast-drop", 10):
        told = checking.check(var, f"{checking.answer_of(var.task, var.givens) / 2:.4g} V")
        assert [rule.id for rule in told.rules] == ["M33"]


def test_nothing_that_must_not_be_charged_has_a_charger():
    seen = set()
    for var in drawn("may-it-be-charged", 60):
        answer = checking.answer_of(var.task, var.givens)
        seen.add(answer)
        assert (answer == "never") == (not building.may_be_charged(var.cell))
        assert (answer == "own") == var.cell.ready_made_only
    assert seen == set(words.word("tasks.choices.may_it_be_charged"))


def test_tasks_of_transport_say_that_rules_change():
    for task in TASKS:
        if task.skill == "transport":
            assert "Rules change: look up the current one" in task.after
            assert "as noted in November 2026" in task.text or task.asked != "may_it_fly"
