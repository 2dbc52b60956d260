"""Worked examples that fade: in full, without the first step, all the learner's own."""

import re

import pytest
from test_questions import lock, on_show, right_text, texts, wrong_text

from packlearn import panels
from packlearn.quantities import read, write_plain
from packlearn.records import Records
from packlearn.tasks import checking, examples
from packlearn.tasks.examples import START, example
from packlearn.tasks.skills import Skill, skills
from packlearn.words import say, word

WITH = [each.id for each in skills() if each.example]
# The first step of each example, worked out once more from what the task tells.
FIRST = {
    "need-read": lambda g: g["power_w"],
    "need-measure": lambda g: g["each_ohm"] + g["shunt_ohm"],
    "mean-current": lambda g: g["sleep_s"] + g["wake_s"],
    "energy": lambda g: g["voltage_v"] * g["current_a"],
    "converter-in": lambda g: g["output_v"] * g["output_a"],
    "regulator": lambda g: g["voltage_v"] - g["output_v"],
    "cell-label": lambda g: g["series"],
    "capacity-time": lambda g: g["parallel"] * g["cell_capacity_ah"],
    "c-rate": lambda g: g["parallel"] * g["cell_current_limit_a"],
    "derate": lambda g: g["parallel"] * g["cell_current_limit_a"],
    "series-volts": lambda g: g["series"],
    "series-rest": lambda g: g["cell_capacity_ah"],
    "parallel-share": lambda g: g["current_a"],
    "parallel-adds": lambda g: g["cell_capacity_ah"],
    "name": lambda g: g["series"],
    "pack-figures": lambda g: g["series"] * g["cell_nominal_voltage_v"],
    "choose-s": lambda g: g["cell_end_voltage_v"],
    "choose-p": lambda g: g["current_a"] * g["run_time_h"],
    "choose-cell": lambda g: g["current_a"] / g["parallel"],
    "curve-read": lambda g: g["fast_ah"],
    "sag": lambda g: g["series"] * g["open_v"],
    "end-time": lambda g: g["short_ah"],
    "charge-state": lambda g: g["voltage_v"] - g["lower_v"],
    "weakest": lambda g: min(g["first_ah"], g["second_ah"], g["third_ah"]),
    "wire-it": lambda g: g["made_count"] + 1,
    "meter-read": lambda g: abs(g["red_joint"] - g["black_joint"]),
    "fault": lambda g: 3 * g["reading_v"],
    "wire-size": lambda g: 2 * g["wire_m"],
    "fuse-size": lambda g: g["current_a"] / g["run_share"],
    "charge-plan": lambda g: g["label_ah"] * g["charge_factor"],
    "transport": lambda g: g["series"] * g["cell_nominal_voltage_v"],
    # The window holds one count only, so the most that full cells allow is the fewest as well.
    "whole-design": lambda g: int(g["voltage_high_v"] / g["cell_full_voltage_v"]),
}
# The end voltage of a cell of its chemistry.
ALWAYS_THE_SAME = ("choose-s",)
each_example = pytest.mark.parametrize("name", WITH)


def first_text(found):
    """The first step as somebody would type it."""
    text = write_plain(found.first_value, found.data.unit) if found.data.unit != "cells" else ""
    return text or f"{found.first_value} cells"


def asks(panel):
    """The buttons that ask why, in order."""
    return [step.children[0].children[1] for step in panel.steps.children]


def reasons(panel):
    return [step.children[1] for step in panel.steps.children]


def test_every_skill_has_an_example():
    assert [each.id for each in skills()] == WITH
    assert set(WITH) == set(FIRST)


@each_example
def test_an_example_is_of_its_skill_and_its_numbers_differ(name):
    found = example(name)
    assert found.task.skill == name
    one, other = (found.variant(stage) for stage in (0, 1))
    assert one.givens != other.givens
    assert START == one.number < other.number
    if name not in ALWAYS_THE_SAME:
        assert FIRST[name](one.givens) != FIRST[name](other.givens)


@each_example
@pytest.mark.parametrize("stage", [0, 1])
def test_every_step_of_the_working_has_its_reason(name, stage):
    found = example(name)
    pairs = found.steps(stage)
    assert [step for step, _ in pairs] == list(checking.working(found.variant(stage)))
    assert all(1 <= len(re.findall(r"[.?]", why)) <= 2 for _, why in pairs)
    assert len({why for _, why in pairs}) == len(pairs) >= 2


@each_example
def test_the_first_step_is_worked_out_a_second_way(name):
    found = example(name)
    givens = found.variant(1).givens
    assert found.first_value == pytest.approx(FIRST[name](givens), rel=1e-9)
    assert read(first_text(found), found.data.unit).same_kind


@each_example
def test_the_first_step_is_checked_with_unit_and_two_per_cent(name):
    found = example(name)
    unit, value = found.data.unit, found.first_value
    assert found.check_first(first_text(found))[0] is True
    assert found.check_first(f"{value * 1.3 + 1:.3f}0 {unit}")[0] is False
    right, says = found.check_first("a lot")
    assert (right, bool(says)) == (None, True)
    if unit != "cells":
        assert found.check_first(f"{value * 1.015:.6f}0 {unit}")[0] is True
        assert found.check_first(f"{value:.3f}0")[0] is None
        assert found.check_first("5 g")[0] is False


def test_a_skill_without_an_example_has_none(monkeypatch):
    monkeypatch.setattr(examples, "skill", lambda name: Skill(name, (1,)))
    assert example.__wrapped__("energy") is None


# On screen.


@each_example
def test_the_three_stages_one_after_the_other(name):
    panel = panels.Faded(name)
    found = panel.example
    assert say("practice.faded.full") in panel.where.value
    assert panel.onward.description == say("practice.faded.without")
    assert len(asks(panel)) == len(found.steps(0))
    panel.onward.click()
    assert panel.steps.children == ()
    panel.first.value = first_text(found)
    panel.check.click()
    assert say("practice.faded.right") in panel.status.value
    assert len(panel.steps.children) == len(found.steps(1))
    panel.onward.click()
    assert panel.question in panel.whole.children
    assert panel.question.task == found.task
    assert panel.question.variant.givens != found.variant(0).givens
    assert (panel.errors, panel.alert.value) == ([], "")


def test_a_reason_opens_when_it_is_asked_for():
    panel = panels.Faded("mean-current")
    shown = [reason.layout.display != "none" for reason in reasons(panel)]
    assert shown == [False, False, False]
    asks(panel)[1].click()
    shown = [reason.layout.display != "none" for reason in reasons(panel)]
    assert shown == [False, True, False]
    assert reasons(panel)[1].value.startswith("<p>Current times time is charge.")
    asks(panel)[1].click()
    assert reasons(panel)[1].layout.display == "none"


def test_two_tries_then_the_first_step_is_told():
    panel = panels.Faded("energy")
    panel.onward.click()
    panel.check.click()
    assert say("practice.faded.empty") in panel.status.value
    panel.first.value = "4,2"
    panel.check.click()
    assert "what?" in panel.status.value
    assert panel.tries == 0
    for key in ("again", "told"):
        panel.first.value = "1234 W"
        panel.check.click()
        assert say(f"practice.faded.{key}") in panel.status.value
    assert panel.asking.layout.display == "none"
    assert panel.onward.layout.display is None


@each_example
def test_the_second_stage_shows_no_step_before_the_first_is_done(name):
    panel = panels.Faded(name)
    panel.onward.click()
    panel.go(1)
    assert panel.stage == 1
    shown = " ".join(texts(on_show(panel)))
    for step, why in panel.example.steps(1):
        assert step not in shown
        assert why not in shown


def kept_first(panel):
    return panel.file.read()


def test_what_is_typed_of_the_first_step_outlasts_a_restart():
    panel = panels.Faded("energy")
    panel.onward.click()
    panel.first.value = "12"
    again = panels.Faded("energy")
    assert (again.stage, again.first.value, again.tries) == (1, "12", 0)
    again.first.value = "1234 W"
    again.check.click()
    third = panels.Faded("energy")
    assert (third.stage, third.tries, third.first_done) == (1, 1, False)
    assert say("practice.faded.again") in third.status.value
    third.first.value = first_text(third.example)
    third.check.click()
    # What was done is read from the start once more, and is not asked again.
    last = panels.Faded("energy")
    assert (last.stage, last.first_done) == (0, True)
    last.go(1)
    assert len(last.steps.children) == len(last.example.steps(1))
    assert say("practice.faded.right") in last.status.value
    last.go(1)
    assert kept_first(last) == ""
    assert panels.Faded("energy").typed == []
    assert [each.errors for each in (panel, again, third, last)] == [[]] * 4


def test_a_second_try_after_a_restart_is_no_third_one():
    panel = panels.Faded("energy")
    for _ in range(2):
        panel.go(1)
        panel.first.value = "1234 W"
        panel.check.click()
        panel = panels.Faded("energy")
    assert panel.first_done
    assert say("practice.faded.told") in panel.status.value


@pytest.mark.parametrize(
    "line", ["{", "3", '["a", 3]', '["a", "b", "c", "d"]', "null", "x" * 99999]
)
def test_a_damaged_line_of_an_example_begins_anew(line):
    panel = panels.Faded("energy")
    panel.file.write(line)
    again = panels.Faded("energy")
    assert (again.stage, again.typed, again.first.value) == (0, [], "")
    assert again.errors == []


def test_another_seat_types_its_own_first_step(monkeypatch):
    from packlearn.panels import base

    panel = panels.Faded("energy")
    panel.go(1)
    panel.first.value = "12"
    with monkeypatch.context() as patch:
        patch.setattr(base, "seat", lambda: "HEDGE7-3")
        panel.take_seat()
        assert (panel.stage, panel.first.value) == (0, "")
        panel.first.value = "99"
    other = panels.Faded("energy")
    assert other.first.value == "12"


def test_what_is_typed_in_an_example_is_deleted_on_request():
    from packlearn.panels.work import forget_work

    panel = panels.Faded("energy")
    panel.first.value = "12"
    assert kept_first(panel)
    forget_work("")
    assert kept_first(panel) == ""


def test_one_can_go_back_and_the_answer_stays_with_its_question():
    panel = panels.Faded("energy")
    panel.go(1)
    panel.first.value = first_text(panel.example)
    panel.check.click()
    panel.go(1)
    question = panel.question
    lock(question, right_text(question.variant))
    panel.go(-1)
    assert panel.stage == 1
    assert len(panel.steps.children) == 3
    panel.go(1)
    assert panel.question is question
    assert [e.locked.task for e in Records.default().all()] == [panel.example.task.id]


def test_the_whole_task_has_numbers_not_asked_before():
    task = example("energy").task
    old = panels.Question(task.page, task.id)
    for _ in range(2):
        lock(old, wrong_text(old.variant))
    panel = panels.Faded("energy")
    panel.stage = 2
    panel.update()
    assert panel.question.number == 1
    assert panel.question.entries == []


def test_the_list_of_examples_opens_each():
    panel = panels.Examples()
    assert panel.stage.children == ()
    titles = [text for text, name in panel.skill.options if name]
    assert titles == [word(f"skills.{name}.title") for name in WITH]
    panel.skill.value = "sag"
    (shown,) = panel.stage.children
    assert shown.example.skill == "sag"
    assert panel.errors == []
