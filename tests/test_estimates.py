"""Estimates with a range: how one may be written, and what it is told."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packlearn.errors import PackError
from packlearn.tasks import bank, checking
from packlearn.tasks.answers import ASKED
from packlearn.tasks.typed_ranges import read_range
from packlearn.words import word

TASKS = [t for name in bank.pages() for t in bank.page(name).tasks if t.kind == "estimate"]
every = pytest.mark.parametrize("task", TASKS, ids=lambda task: task.id)

SAME = [
    "5 h to 7 h",
    "5 to 7 h",
    "between 5 and 7 h",
    "Between 5 h and 7 h",
    "from 5 to 7 hours",
    "5-7 h",
    "5 h - 7 h",
    "5 h – 7 h",
    "5..7 h",
    "  5,0 h to 420 min ",
    "300 min to 7 h",
]


@pytest.mark.parametrize("typed", SAME)
def test_a_range_is_read_as_people_write_it(typed):
    low, high = read_range(typed, "h")
    assert (low.value, high.value) == (pytest.approx(5), pytest.approx(7))


def test_hours_and_minutes_can_be_the_ends():
    low, high = read_range("5 h 30 min to 7 h 15 min", "h")
    assert (low.value, high.value) == (pytest.approx(5.5), pytest.approx(7.25))


@pytest.mark.parametrize("typed", ["5 h", "about six", "5 to 7", "to 7 h", "5 h to", "-", "5;7 h"])
def test_what_is_no_range_is_asked_back(typed):
    with pytest.raises(PackError):
        read_range(typed, "h")
    assert checking.check(checking.variant(TASKS[0], 0), typed).kind == "ask"


@given(st.text(max_size=60) | st.from_regex(r"[-0-9.,to hmin]{1,30}"))
@settings(deadline=None, derandomize=True, max_examples=200)
def test_any_text_gets_a_verdict(typed):
    verdict = checking.check(checking.variant(TASKS[0], 0), typed)
    assert verdict.kind in ("ask", "right", "unknown")
    assert verdict.says


def typed(low, high):
    return f"{low:.4f} h to {high:.4f} h"


@every
def test_a_narrow_range_round_the_truth_is_right(task):
    for number in range(5):
        var = checking.variant(task, number)
        truth = checking.answer_of(task, var.givens)
        for low, high in ((0.95, 1.05), (0.7, 1.04), (0.97, 1.4)):
            verdict = checking.check(var, typed(low * truth, high * truth))
            assert verdict.right, (number, low, high, verdict)


@every
def test_a_range_beside_the_truth_is_told_on_which_side(task):
    var = checking.variant(task, 0)
    truth = checking.answer_of(task, var.givens)
    high = checking.check(var, typed(1.01 * truth, 1.3 * truth))
    low = checking.check(var, typed(0.8 * truth, 0.99 * truth))
    assert (high.kind, high.says[0]) == ("unknown", word("tasks.estimate.high"))
    assert (low.kind, low.says[0]) == ("unknown", word("tasks.estimate.low"))
    answer = checking.answer_in_words(var)
    assert not any(answer in text for verdict in (high, low) for text in verdict.says)


@every
def test_a_range_too_wide_costs_no_try_and_does_not_say_whether_it_holds(task):
    var, widest = checking.variant(task, 0), ASKED[task.asked].widest
    truth = checking.answer_of(task, var.givens)
    holds = checking.check(var, typed(0.8 * truth, 0.81 * truth * widest))
    misses = checking.check(var, typed(8 * truth, 8.1 * truth * widest))
    assert holds.kind == misses.kind == "ask"
    assert holds.says[1] == misses.says[1]
    assert f"{widest:g} times" in holds.says[1]
    assert f"{widest:g} times" in checking.text_of(var)


@pytest.mark.parametrize("text", ["7 h to 5 h", "0 h to 1 h", "6 h to 6 h"])
def test_ends_the_wrong_way_round_are_asked_back(text):
    verdict = checking.check(checking.variant(TASKS[0], 0), text)
    assert (verdict.kind, verdict.says) == ("ask", (word("tasks.estimate.ends"),))


def test_a_range_of_another_kind_is_asked_back():
    verdict = checking.check(checking.variant(TASKS[0], 0), "5 A to 7 A")
    assert verdict.kind == "ask"
    assert "a current" in verdict.says[0]


@every
def test_the_rule_of_thumb_alone_is_wrong(task):
    for number in range(40):
        var = checking.variant(task, number)
        truth, g = checking.answer_of(task, var.givens), var.givens
        amps = g.get("current_a") or g["power_w"] / (1.25 * g["series"])
        assert g["parallel"] * g["cell_capacity_ah"] / amps > ASKED[task.asked].widest * truth


SLIPS = {
    "estimate_run_h": {
        "M35": lambda g: g["parallel"] * g["cell_capacity_ah"] / g["current_a"],
        "M01": lambda g: g["series"] * g["parallel"] * g["cell_capacity_ah"] / g["current_a"],
    },
    "estimate_power_run_h": {
        "M35": lambda g: (
            g["parallel"]
            * g["cell_capacity_ah"]
            * (g["series"] * g["cell_nominal_voltage_v"] + g["voltage_low_v"])
            / 2
            / g["power_w"]
        ),
    },
}


@every
def test_a_range_round_a_wrong_rule_names_it_after_its_side(task):
    for number in range(20):
        var = checking.variant(task, number)
        for slip, hours in SLIPS[task.asked].items():
            wrong = hours(var.givens)
            verdict = checking.check(var, typed(0.95 * wrong, 1.05 * wrong))
            side = "low" if wrong < checking.answer_of(task, var.givens) else "high"
            assert (verdict.kind, [rule.id for rule in verdict.rules]) == ("mistake", [slip])
            assert verdict.says[0] == word(f"tasks.estimate.{side}")
            assert verdict.says[1] == verdict.rules[0].sentence(var.givens)


@every
def test_a_range_round_the_truth_is_right_even_where_it_holds_a_slip_too(task):
    var = checking.variant(task, 0)
    truth = checking.answer_of(task, var.givens)
    assert checking.check(var, typed(0.8 * truth, 1.19 * truth)).right
