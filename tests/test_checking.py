"""Checking: right answers in every form, wrong ones by their rule, hostile text by a question."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from independent_answers import Device, Given, Sheet, does, right_answer

from packlearn.quantities import write
from packlearn.tasks import checking
from packlearn.tasks.bank import Task
from packlearn.tasks.variants import Variant, cell_givens
from packlearn.words import word
from tests.draws import ALL, QUICK, TASKS, drawn, three_digits, variants, where

ANSWERS = ("number", "range", "count", "name", "design", "choice")
KINDS = ("ask", "right", "mistake", "which", "unfit", "unknown")
# Other units of a kind, and how many make one of the unit asked for.
OTHERS = {
    "V": {"mV": 1000, "kV": 0.001},
    "A": {"mA": 1000},
    "Ah": {"mAh": 1000, "As": 3600},
    "Wh": {"mWh": 1000, "kWh": 0.001, "J": 3600},
    "h": {"min": 60, "s": 3600, "d": 1 / 24},
    "W": {"mW": 1000, "kW": 0.001},
    "ohm": {"mohm": 1000},
}
# A text in a unit of another kind, for each unit asked for.
OTHER_KIND = {"V": "3 A", "A": "3 Ah", "Ah": "3 A", "Wh": "3 V", "h": "3 A", "%": "3 V"}
OTHER_KIND |= {"C": "3 A", "cells": "3 V", "W": "3 Wh", "ohm": "3 V", "": "3 V", "mm2": "3 V"}


def every(kinds):
    chosen = [task for task in TASKS if task.kind in kinds]
    return pytest.mark.parametrize("task", chosen, ids=lambda task: f"{task.page}/{task.id}")


def right_numbers(var):
    """Right values by the independent path, in the unit asked for; a range has three."""
    answer = right_answer(var.task.asked, var.givens)
    values = answer if isinstance(answer, tuple) else (answer,)
    if len(values) > 1:
        values = (values[0], sum(values) / 2, values[1])
    return [float(100 * value if var.task.unit == "%" else value) for value in values]


# Right answers.


STYLES = ("{number} {unit}", "{number}{unit}", "  {number}  {unit} ")


def forms(value, unit, turn):
    """A number as people write it: point and comma, other units, three digits; styles by turns."""
    for place, (name, factor) in enumerate({unit: 1, **OTHERS.get(unit, {})}.items()):
        number, style = three_digits(value * factor), STYLES[(turn + place) % 3]
        yield style.format(number=number, unit=name)
        yield style.format(number=number.replace(".", ","), unit=name)


def refused(var):
    for turn, value in enumerate(right_numbers(var), var.number):
        for typed in forms(value, var.task.unit, turn):
            verdict = checking.check(var, typed)
            if not (verdict.right and verdict.says == (word("tasks.right"),)):
                yield f"{where(var)}: {typed}: {verdict}"


@every({"number", "range"})
def test_a_right_number_is_accepted_in_every_form(task):
    assert [line for var in variants(task) for line in refused(var)] == []


@pytest.mark.long
@every({"number", "range"})
def test_a_right_number_is_accepted_in_every_form_of_200_variants(task):
    assert [line for var in variants(task, QUICK, ALL) for line in refused(var)] == []


@every({"number", "range"})
def test_two_per_cent_are_forgiven_and_no_more(task):
    for var in variants(task, last=10):
        low, high = right_numbers(var)[0], right_numbers(var)[-1]
        for value in (low * 0.981, high * 1.019):
            assert checking.check(var, f"{value:.9f} {task.unit}").right, where(var)
        # Nothing is not to be had from nothing by a share; a few hundredths off are wrong.
        wrong = (low * 0.979, high * 1.021, -low) if low else (-0.05, 0.05)
        for value in wrong:
            assert not checking.check(var, f"{value:.9f} {task.unit}").right, where(var)


@every({"number", "count", "name", "choice"})
def test_the_answer_in_words_is_a_right_answer(task):
    for var in variants(task):
        typed = checking.answer_in_words(var).split(" (")[0]
        if task.kind == "choice":
            typed = {text: key for key, text in checking.options_of(var).items()}[typed]
        assert checking.check(var, typed).right, f"{where(var)}: {typed}"


@every({"number"})
def test_hours_may_be_given_as_hours_and_minutes(task):
    for var in variants(task) if task.unit == "h" else []:
        typed = write(right_numbers(var)[0], "h")
        assert checking.check(var, typed).right, f"{where(var)}: {typed}"


@every({"count"})
def test_a_count_is_right_or_wrong(task):
    for var in variants(task):
        answer = right_answer(task.asked, var.givens)
        for typed in (f"{answer}", f"{answer} cells", f" {answer}cells ", f"{answer}.0"):
            assert checking.check(var, typed).right, f"{where(var)}: {typed}"
        for typed in (f"{answer + 1}", f"{answer - 1}", f"{answer}.4 cells", f"-{answer}"):
            assert not checking.check(var, typed).right, f"{where(var)}: {typed}"


@every({"name"})
def test_a_name_is_read_both_ways_round(task):
    for var in variants(task):
        s, p = right_answer(task.asked, var.givens)
        for typed in (f"{s}S{p}P", f"{s}s {p}p", f"{p}P{s}S", f" {s}S-{p}P "):
            assert checking.check(var, typed).right, f"{where(var)}: {typed}"
        # A name without a P is that of one string, as the trade says 4S.
        short = f"{s}S" if p > 1 else f"{s + 1}S"
        for typed in (f"{s + 1}S{p}P", f"{s}S{p + 1}P", f"{p}S{s}P", short):
            assert not checking.check(var, typed).right, f"{where(var)}: {typed}"


@every({"choice"})
def test_one_option_is_right_and_the_others_are_not(task):
    for var in variants(task):
        right = [key for key in checking.options_of(var) if checking.check(var, key).right]
        assert right == [right_answer(task.asked, var.givens)]
        assert len(set(checking.options_of(var).values())) == len(checking.options_of(var))
        assert checking.check(var, "none of these").kind == "ask"


# Designs: many right answers, judged by the need.


def misjudged_designs(var):
    right = right_answer(var.task.asked, var.givens)
    near = {(s + i, p + j) for s, p in right for i in (-1, 0, 1) for j in (-1, 0, 1)}
    for s, p in near | {(p, s) for s, p in right}:
        if s > 0 and p > 0:
            verdict = checking.check(var, f"{s}S{p}P")
            # A slip that leads to such a pack may be told, or asked about.
            expected = ("right",) if (s, p) in right else ("unfit", "which")
            if verdict.kind not in expected or verdict.value != (s, p) or not verdict.says:
                yield f"{where(var)}: {s}S{p}P should be {expected}: {verdict}"


@every({"design"})
def test_a_design_is_judged_by_its_need(task):
    lines = [line for var in variants(task, last=QUICK // 2) for line in misjudged_designs(var)]
    assert lines == []


@pytest.mark.long
@every({"design"})
def test_a_design_is_judged_by_its_need_in_200_variants(task):
    lines = [line for var in variants(task, QUICK // 2, ALL) for line in misjudged_designs(var)]
    assert lines == []


@every({"design"})
def test_a_design_that_fits_hears_of_a_smaller_one(task):
    for var in variants(task, last=10):
        right = right_answer(var.task.asked, var.givens)
        fewest = min(s * p for s, p in right)
        smallest = [f"{s}S{p}P" for s, p in right if s * p == fewest]
        for s, p in right:
            (said,) = checking.check(var, f"{s}S{p}P").says
            assert said.startswith(f"{s}S{p}P meets the need"), where(var)
            others = set(re.findall(r"\d+S\d+P", said)) - {f"{s}S{p}P"}
            assert others <= set(smallest), where(var)
            assert bool(others) == (s * p > fewest), where(var)


@every({"design"})
def test_a_design_that_does_not_fit_is_told_why_and_no_name(task):
    for var in variants(task, last=10):
        device, cell = Device(Given(var.givens)), Sheet(var.givens)
        names = [f"{s}S{p}P" for s, p in right_answer(task.asked, var.givens)]
        for s, p in ((1, 1), (2, 3), (cell.most_in_line, 1), (cell.most_in_line + 9, 1)):
            if not does(device, cell, s, p):
                says = checking.check(var, f"{s}S{p}P").says
                assert says, where(var)
                assert not any(name in text for name in names for text in says), where(var)


# Asked back, or answered with a sentence; never an exception.


@every({"number", "range"})
def test_a_number_without_its_unit_is_asked_back(task):
    for var in variants(task, last=10):
        typed = three_digits(right_numbers(var)[0])
        verdict = checking.check(var, typed)
        assert verdict.kind == "ask", f"{where(var)}: {typed}"
        assert verdict.says[0].startswith(f"{typed} what?")
        assert verdict.value is None


@every({"number", "range", "count"})
def test_a_unit_of_another_kind_is_answered_with_a_sentence(task):
    for var in variants(task, last=10):
        typed = OTHER_KIND[task.unit]
        verdict = checking.check(var, typed)
        assert verdict.kind == "mistake", where(var)
        assert verdict.value is None
        assert verdict.says
        assert verdict.rules or typed in verdict.says[0], where(var)


@every(ANSWERS)
@pytest.mark.parametrize("typed", ["", " ", "\n\t", "\u00a0", "\u3000"])
def test_nothing_typed_is_asked_back(task, typed):
    verdict = checking.check(drawn(task.page, task.id, 0), typed)
    assert verdict.kind == "ask"
    assert verdict.says == (word("tasks.empty"),)


HOSTILE = [
    *("A" * 5000, "9" * 5000, "9" * 60, "9" * 59 + " V", "9" * 59 + "S", "5S3P" * 12, "1 h " * 50),
    *("<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "<b>777 V</b>", "&lt;777 V&gt;"),
    *("\u202e777.7 V", "777.7\u200b V", "777.7 V\x00", "\x1b[31m777.7 V", "\ufeff7 V"),
    *("{answer}", "{0.__class__}", "%(answer)s", "%s%n", "$(reboot)", "`x`", "'; drop table a;--"),
    *("../../etc/passwd", "C:\\CON", "=1+1", "@sum(A1)", "__import__('os')", "9**9**9", "1/0"),
    *("1e999 V", "1e-999 V", "nan V", "inf Ah", "-777.7 V", "0 V", "0 h", "7.7.7 V", "1,500.5 mAh"),
    *("1,900", "1.500 Ah", "5S0P", "0S0P", "0S3P", "999S999P", "1000S1P", "-5S3P", "5.5S3P", "SP"),
    *("\ud800", "same first", "SAME", "\U0001f50b", "٧٧٧٫٧ V", "７７７．７ V", "V", "Ah 6"),
    *(None, 777, 777.7, b"6 V", [], {}, True, object()),
]


@every(ANSWERS)
def test_hostile_text_is_answered_and_never_right(task):
    for number in (0, 7):
        var = drawn(task.page, task.id, number)
        nothing = task.kind == "number" and right_answer(task.asked, var.givens) == 0
        # Where the answer is 0 V, that is no nonsense.
        for typed in [text for text in HOSTILE if not (nothing and text == f"0 {task.unit}")]:
            verdict = checking.check(var, typed)
            assert verdict.kind in KINDS, ascii(typed)[:80]
            assert not verdict.right, f"{where(var)}: {ascii(typed)[:80]}"
            assert verdict.says, ascii(typed)[:80]
            assert all(0 < len(text) < 700 for text in verdict.says), ascii(typed)[:80]
            assert not any(len(run) > 80 for text in verdict.says for run in text.split())
            assert not any(ord(c) < 32 or c == "\u202e" for text in verdict.says for c in text)


@given(st.sampled_from(TASKS), st.text(max_size=70) | st.from_regex(r"[-0-9.,SP /hmAVW%C]{1,20}"))
@settings(deadline=None, derandomize=True, max_examples=400)
def test_any_text_gets_a_verdict(task, typed):
    verdict = checking.check(drawn(task.page, task.id, 0), typed)
    assert verdict.kind in KINDS
    assert all(verdict.says)
    assert verdict.says


# The table of teaching.md section 4, by hand.

SAMPLE = cell_givens("nimh-aa") | {"series": 5, "parallel": 3, "current_a": 0.6}
OTHER = SAMPLE | {"series": 4}
DEVICE = {"output_v": 9.0, "output_a": 0.6, "efficiency": 0.85, "voltage_v": 6.0}
BOARD = {"output_v": 3.3, "output_a": 0.6, "voltage_v": 6.0}
NEED = {"current_a": 7.0, "run_time_h": 0.2, "current_derating": 0.8}


# Of section 4 and of the cases: the sample pack under load, and what says so beside it.
LOADED = {"series": 5, "parallel": 3, "open_v": 1.2, "each_ohm": 0.03, "current_a": 5.0}
TIRED = {"first_v": 6.0, "first_ohm": 0.4 * 5 / 3, "second_v": 5.9, "second_ohm": 0.05}
POWER = {"label_ah": 5.7, "voltage_v": 6.0, "output_v": 9.0, "output_a": 0.6, "efficiency": 0.85}
# C46: rested voltages of one 18650 type, a gauge straight from 3.0 to 4.2 V.
ROWS = {"lower_v": 3.56, "lower_share": 0.258, "upper_v": 3.64, "upper_share": 0.379}
ROWS |= {"gauge_empty_v": 3.0, "gauge_full_v": 4.2, "voltage_v": 3.64}
# C52: 100 W through an inverter of 85 %, from 7 Ah at the 20 h rate.
INVERTER = {"label_ah": 7.0, "rate_h": 20, "current_a": 9.8, "peukert_k": 1.2}
THREE = {"first_ah": 1.9, "second_ah": 1.9, "third_ah": 1.1}
JOINED = {"first_v": 1.4, "second_v": 1.2, "each_ohm": 0.03}
PAIR = {"first_ah": 1.9, "second_ah": 1.1}
HOURS = {"first_h": 9.0, "second_h": 5.0}
# C60: five AA cells feed two motors of 1 A; the board starts anew below 4 V.
MOTORS = {"series": 5, "parallel": 1, "current_a": 2.0, "voltage_low_v": 4.0}
FRESH, HALF = {"open_v": 1.5, "each_ohm": 0.2}, {"open_v": 1.2, "each_ohm": 0.4}
# C58: a regulator of 1 V dropout behind four NiMH cells.
DROPPED = {"output_v": 5.0, "dropout_v": 1.0, "voltage_v": 4.8}
# C45: a gauge straight from 2.4 to 3.0 V.
VALVE = {"gauge_empty_v": 2.4, "gauge_full_v": 3.0, "voltage_v": 2.628}
# C15: a cell driven backwards.
TORCH = {"first_v": 1.49, "second_v": 1.52, "reverse_v": 0.1}
# C09: a power bank.
BANK = {"label_ah": 10.4, "voltage_v": 3.7, "output_v": 5.0, "efficiency": 0.9}
# Alkaline AA at 0.1 and 0.5 A, means of 25 types to 0.8 V and to 1.1 V (aa_alkaline_cc.md).
ALKALINE = {"slow_a": 0.1, "slow_ah": 2.396, "fast_a": 0.5, "fast_ah": 1.413}
CAMERA = {"parallel": 1, "current_a": 0.5, "short_ah": 0.493, "whole_ah": 1.413}


def by_hand(asked, givens):
    task = Task(page="sheet", id="sample", skill="pack-figures", asked=asked, text="")
    return Variant(task, 0, givens)


def test_the_sample_pack_is_the_one_of_the_table():
    stated = {"nominal_voltage_v": 1.2, "capacity_ah": 1.9, "current_limit_a": 3.8}
    assert {key: SAMPLE[f"cell_{key}"] for key in stated} == stated
    assert SAMPLE["cell_resistance_ohm"] == 0.030
    assert SAMPLE["cell_full_voltage_v"] == 1.45


RIGHT = [
    *(("cell_count", SAMPLE, "15"), ("pack_voltage_v", SAMPLE, "6.0 V")),
    *(("capacity_ah", SAMPLE, "5.7 Ah"), ("energy_wh", SAMPLE, "34.2 Wh")),
    *(("current_limit_a", SAMPLE, "11.4 A"), ("pack_run_time_h", SAMPLE, "9.5 h")),
    *(("pack_current_a", SAMPLE, "0.6 A"), ("string_current_a", SAMPLE, "0.2 A")),
    *(("pack_c_rate", SAMPLE, "2C"), ("full_voltage_v", SAMPLE, "7.25 V")),
    *(("rested_voltage_v", SAMPLE, "7.0 V"), ("rested_voltage_v", SAMPLE, "6.5 V")),
    *(("name", SAMPLE, "5S3P"), ("end_voltage_v", SAMPLE, "5 V")),
    *(("converter_input_a", DEVICE, "1.06 A"), ("regulator_input_a", BOARD, "0.6 A")),
    ("most_series", SAMPLE | {"voltage_high_v": 7.2}, "4"),
    ("fewest_series", SAMPLE | {"voltage_low_v": 5.5}, "6"),
    ("parallel_needed", SAMPLE | NEED, "3"),
    *(("pack_resistance_ohm", LOADED, "0.05 ohm"), ("pack_resistance_ohm", LOADED, "50 mohm")),
    *(("sag_voltage_v", LOADED, "5.75 V"), ("lost_inside_v", LOADED, "0.25 V")),
    ("sag_voltage_v", LOADED | {"each_ohm": 0.4}, "2.67 V"),
    ("sag_voltage_v", MOTORS | FRESH, "5.5 V"),
    ("sag_voltage_v", MOTORS | HALF, "2.0 V"),
    *(("holds_at_peak", MOTORS | FRESH, "yes"), ("holds_at_peak", MOTORS | HALF, "no")),
    ("which_holds_up", TIRED | {"current_a": 5.0}, "second"),
    ("which_holds_up", TIRED | {"current_a": 0.1}, "first"),
    # By hand, 6 V and 0.5 ohm: 18 W at most, and that at 3 V and 6 A.
    ("largest_power_w", LOADED | {"each_ohm": 0.3}, "18 W"),
    ("power_load_current_a", LOADED | {"each_ohm": 0.3, "power_w": 17.5}, "5 A"),
    *(("converter_run_time_h", POWER, "5.4 h"), ("output_capacity_ah", POWER, "3.23 Ah")),
    *(("output_capacity_ah", BANK, "6926 mAh"), ("regulator_lowest_v", DROPPED, "6 V")),
    ("regulator_run_time_h", BOARD | {"label_ah": 5.7}, "9.5 h"),
    ("regulator_heat_w", BOARD, "1.62 W"),
    ("board_voltage_v", DROPPED, "3.8 V"),
    ("board_voltage_v", DROPPED | {"voltage_v": 5.5}, "4.5 V"),
    ("board_voltage_v", DROPPED | {"voltage_v": 7.2}, "5 V"),
    *(("charge_left", ROWS, "38 %"), ("gauge_share", ROWS, "53 %"), ("gauge_share", VALVE, "38 %")),
    *(("peukert_run_time_h", INVERTER, "22 min"), ("curve_run_time_h", ALKALINE, "2.83 h")),
    *(("curve_share", ALKALINE, "59 %"), ("device_run_time_h", CAMERA, "0.986 h")),
    *(("weakest_charge_ah", THREE, "1.1 Ah"), ("usable_energy_wh", THREE | BOARD, "19.8 Wh")),
    ("left_inside_wh", THREE | {"voltage_v": 1.2}, "1.92 Wh"),
    *(("side_by_side_ah", PAIR, "3.0 Ah"), ("joined_h", HOURS, "14 h")),
    # C14: of a half-used and a fresh cell, half of the usual time.
    ("run_share", {"first_ah": 2.4, "second_ah": 1.2}, "50 %"),
    *(("equalising_a", JOINED, "3.3 A"), ("reversed_pack_v", TORCH, "2.91 V")),
    # C56: 1 V between two batteries, 0.05 ohm in the way.
    ("equalising_a", {"first_v": 11.0, "second_v": 12.0, "each_ohm": 0.025}, "20 A"),
    ("driven_cell_v", TORCH | {"voltage_v": 2.91}, "0.1 V"),
]


@pytest.mark.parametrize(("asked", "givens", "typed"), RIGHT)
def test_the_right_values_of_the_table(asked, givens, typed):
    assert checking.check(by_hand(asked, givens), typed).right


# asked, givens, wrong value typed, rules, what the sentence names of this variant
WRONG = [
    ("capacity_ah", SAMPLE, "28.5 Ah", "M01", ("15 cells", "1.9 Ah")),
    ("pack_run_time_h", SAMPLE, "47.5 h", "M01", ("15 cells", "1.9 Ah")),
    ("pack_voltage_v", SAMPLE, "18 V", "M02", ("15 cells",)),
    ("capacity_ah", SAMPLE, "1.9 Ah", "M03", ("3 strings",)),
    ("pack_run_time_h", SAMPLE, "3.2 h", "M03 M05", ()),
    ("pack_run_time_h", SAMPLE, "3 h 10 min", "M03 M05", ()),
    ("pack_voltage_v", SAMPLE, "3.6 V", "M04", ("You took 5", "and 3 for")),
    ("capacity_ah", SAMPLE, "9.5 Ah", "M04", ("You took 5", "and 3 for")),
    ("pack_run_time_h", SAMPLE, "15.8 h", "M04", ("You took 5", "and 3 for")),
    ("name", SAMPLE, "3S5P", "M04", ("number before S",)),
    ("pack_current_a", SAMPLE, "1.8 A", "M05", ("3 strings", "0.6 A")),
    ("string_current_a", SAMPLE, "1.8 A", "M05", ("0.6 A in all", "3 strings")),
    ("string_current_a", SAMPLE, "0.6 A", "M43", ("0.6 A in all", "3 strings")),
    ("current_limit_a", SAMPLE, "57 A", "M06a", ("15 cells",)),
    ("current_limit_a", SAMPLE, "19 A", "M06b", ("3.8 A",)),
    ("current_limit_a", SAMPLE, "3.8 A", "M07", ("3 strings",)),
    ("pack_current_a", SAMPLE, "5.7 A", "M08", ("0.6 A",)),
    ("pack_run_time_h", SAMPLE, "1.0 h", "M08", ("0.6 A",)),
    ("pack_c_rate", SAMPLE, "6C", "M09", ("3 times",)),
    ("energy_wh", SAMPLE, "11.4 Wh", "M10a", ("15 cells",)),
    ("pack_run_time_h", SAMPLE, "0.0095 h", "M11a", ("too small",)),
    ("pack_run_time_h", SAMPLE, "9500 h", "M11b", ("too large",)),
    ("pack_run_time_h", SAMPLE, "0.105 h", "M12", ("Divide the capacity",)),
    ("energy_wh", SAMPLE, "34.2 W", "M13", ("Watts say how fast",)),
    ("converter_input_a", DEVICE, "0.6 A", "M14", ("power",)),
    ("converter_input_a", DEVICE, "0.77 A", "M15", ("Divide",)),
    ("regulator_input_a", BOARD, "0.33 A", "M16", ("heat",)),
    ("full_voltage_v", SAMPLE, "6.0 V", "M18", ("average",)),
    ("rested_voltage_v", SAMPLE, "6.0 V", "M18", ("average",)),
    ("most_series", SAMPLE | {"voltage_high_v": 7.2}, "6", "M19a", ("1.45 V",)),
    ("energy_wh", SAMPLE, "41.3 Wh", "M19b", ("nominal",)),
    ("pack_voltage_v", SAMPLE, "7.5 V", "M20", ("1.5 V", "1.2 V")),
    # The table rounds 7 V / 1.2 V; a device's lowest voltage is held against the end voltage.
    ("fewest_series", SAMPLE | {"voltage_low_v": 5.5}, "5", "M19a M34a", ()),
    ("parallel_needed", SAMPLE | NEED, "1", "M34b", ("larger",)),
    ("sag_voltage_v", LOADED, "6.0 V", "M21", ("5 A",)),
    ("sag_voltage_v", LOADED, "3.75 V", "M22", ("15 cells", "3 strings")),
    ("pack_resistance_ohm", LOADED, "0.45 ohm", "M22", ("15 cells", "3 strings")),
    ("holds_at_peak", MOTORS | HALF, "yes", "M21", ("2 A",)),
    ("which_holds_up", TIRED | {"current_a": 5.0}, "first", "M23", ("5 A", "at rest")),
    ("charge_left", ROWS, "53 %", "M24", ("3 V", "4.2 V", "3.64 V")),
    ("converter_run_time_h", POWER, "9.5 h", "M14", ("0.6 A",)),
    ("converter_run_time_h", POWER, "7.5 h", "M15", ("Divide",)),
    ("output_capacity_ah", POWER, "5700 mAh", "M17", ("6 V", "9 V")),
    ("regulator_run_time_h", BOARD | {"label_ah": 5.7}, "17.3 h", "M16", ("heat",)),
    ("board_voltage_v", DROPPED, "5 V", "M37", ("1 V",)),
    ("peukert_run_time_h", INVERTER, "43 min", "M35", ("20 h", "9.8 A")),
    # 7 Ah taken as the charge at 1 A: 7 / 9.8 ** 1.2 = 0.453 h.
    ("peukert_run_time_h", INVERTER, "27 min", "M53", ("20 h",)),
    ("curve_run_time_h", ALKALINE, "4.8 h", "M35", ("0.1 A", "0.5 A")),
    ("device_run_time_h", CAMERA, "2.83 h", "M47", ("stops earlier",)),
    ("weakest_charge_ah", THREE, "1.63 Ah", "M27", ("same current",)),
    ("weakest_charge_ah", THREE, "0.51 Ah", "M28", ("capacitors",)),
    ("side_by_side_ah", PAIR, "2.2 Ah", "M29", ("never join",)),
    ("equalising_a", JOINED, "0 A", "M30", ("never join",)),
    ("joined_h", HOURS, "9 h", "M31a", ("never join",)),
    ("joined_h", HOURS, "7 h", "M31b", ("never join",)),
    ("reversed_pack_v", TORCH | {"reverse_v": 0.56}, "3.01 V", "M25", ("0.56 V",)),
    # Where S x V and P x C-rate do not meet in one figure: 4S3P.
    ("capacity_ah", OTHER, "22.8 Ah", "M01", ("12 cells", "1.9 Ah")),
    ("pack_voltage_v", OTHER, "14.4 V", "M02", ("12 cells",)),
    ("current_limit_a", OTHER, "45.6 A", "M06a", ("12 cells",)),
    ("energy_wh", OTHER, "9.12 Wh", "M10a", ("12 cells",)),
    ("energy_wh", OTHER, "27.4 W", "M13", ("volts times ampere-hours",)),
    ("energy_wh", OTHER, "27.4 Ah", "M13", ("ampere-hours how much charge",)),
]


@pytest.mark.parametrize(("asked", "givens", "typed", "ids", "named"), WRONG)
def test_the_wrong_values_of_the_table(asked, givens, typed, ids, named):
    verdict = checking.check(by_hand(asked, givens), typed)
    assert [rule.id for rule in verdict.rules] == ids.split()
    assert verdict.kind == ("which" if " " in ids else "mistake")
    assert all(part in verdict.says[0] for part in named), verdict.says


def test_a_value_of_no_rule_leads_to_the_first_step():
    verdict = checking.check(by_hand("capacity_ah", SAMPLE), "4.4 Ah")
    assert (verdict.kind, verdict.rules, verdict.value) == ("unknown", (), 4.4)
    assert "how many strings lie side by side" in verdict.says[0]


def test_amps_for_ampere_hours_name_both_kinds():
    verdict = checking.check(by_hand("capacity_ah", SAMPLE), "5.7 A")
    assert verdict.kind == "mistake"
    assert "5.7 A is a current" in verdict.says[0]
    assert "a capacity, in Ah" in verdict.says[0]
