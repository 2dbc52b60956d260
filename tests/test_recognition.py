"""Recognition is measured: every slip's value, typed as people round it, named or asked about."""

import itertools
import os
import tomllib
from collections import Counter
from importlib.resources import files

import pytest
from independent_answers import right_answer
from recognition import (
    SMALLER,
    TASKS,
    digits_of,
    drawn,
    forms,
    measure,
    outcome,
    parts,
    share_named,
    slips_of,
    some,
    typed,
)

from packlearn.quantities import read
from packlearn.tasks import checking, clearing, combining, matching
from packlearn.tasks.answers import ASKED
from packlearn.tasks.bank import Task
from packlearn.tasks.mistakes import rules_for, wrong_rules
from packlearn.tasks.variants import Variant, cell_givens
from packlearn.words import word

QUICK, ALL = int(os.environ.get("PACKLEARN_SEEDS", "40")), 200
every_task = pytest.mark.parametrize("task", TASKS, ids=lambda task: f"{task.page}/{task.id}")


def questions(task, first=0, last=QUICK):
    return [var for number in range(first, last) for var in parts(task, number)]


def where(var):
    return f"{var.task.page}/{var.task.id} {var.task.asked} variant {var.number}"


# The measurement.


def held_to_bounds(counts, lines):
    """What is not as it should be with the outcomes of a task."""
    both = counts[0] + counts[1]
    if both["wrongly"] or both["unknown"]:
        yield from (line for line in lines if not line.startswith("asked"))
    if share_named(both) < 0.97 or share_named(counts[0]) < 0.9:
        yield from lines
    if both["asked"] > 0.1 * both.total():
        yield f"{both['asked']} of {both.total()} are asked about"


TOTAL = {"single": Counter(), "two": Counter()}


@every_task
def test_what_people_type_is_recognised(task):
    *counts, lines = measure(task, 0, QUICK, singles=2, twos=6)
    for total, count in zip(TOTAL.values(), counts, strict=True):
        total.update(count)
    assert list(held_to_bounds(counts, lines)) == []


def test_of_all_tasks_nearly_all_values_are_named():
    if TOTAL["single"].total() == 0:
        pytest.skip("the measurement above did not run")
    assert share_named(TOTAL["single"]) > 0.99
    assert share_named(TOTAL["two"]) > 0.99


@pytest.mark.long
@every_task
def test_what_people_type_is_recognised_in_200_variants(task):
    *counts, lines = measure(task, 0, ALL, singles=99, combinations=2)
    assert list(held_to_bounds(counts, lines)) == []


def test_the_measurement_can_fail():
    assert list(held_to_bounds((Counter(named=99, wrongly=1), Counter()), ["wrongly: x"]))
    assert list(held_to_bounds((Counter(named=95, asked=5), Counter()), ["asked: x"]))
    assert list(held_to_bounds((Counter(named=8, asked=2), Counter(named=92)), ["asked: x"]))
    assert list(held_to_bounds((Counter(named=99, unknown=1), Counter()), ["unknown: x"]))
    assert not list(held_to_bounds((Counter(named=97, asked=3, listed=50), Counter()), []))


def test_a_number_is_typed_as_people_round():
    assert [digits_of(0.0945, digits) for digits in (2, 3)] == ["0.095", "0.0945"]
    assert [digits_of(value, 2) for value in (1845, 4.98, 0.104)] == ["1800", "5", "0.1"]
    assert list(forms(5.846, "V"))[:3] == ["5.85V", "5,85 V", "5850 mV"]
    assert [text for text in forms(1.5846, "h") if "min" in text][:1] == ["95.1 min"]
    assert len(list(forms(0.25, "%"))) == 4


# Single rules and two together.

SAMPLE = cell_givens("nimh-aa") | {"series": 4, "parallel": 3, "current_a": 0.6}


def by_hand(asked, givens=SAMPLE):
    task = Task(page="sheet", id="sample", skill="pack-figures", asked=asked, text="")
    return Variant(task, 0, givens)


TWO = [
    # 12 x 1.9 Ah, in thousandths; 4S3P has 5.7 Ah.
    ("capacity_ah", {}, "22800 Ah", "M01+M11b"),
    ("capacity_ah", {}, "22.8 mAh", "M01+M11a"),
    ("capacity_ah", {}, "5.7 mAh", "M11a"),
    ("pack_voltage_v", {}, "4800 V", "M11b"),
    ("pack_run_time_h", {}, "9.5 min", "M11c"),
    ("pack_run_time_h", {}, "570 h", "M11d"),
    # 4 x 1.9 Ah / 0.6 A = 12.67 h, its number of minutes as hours.
    ("pack_run_time_h", {}, "760 h", "M04+M11d"),
    ("full_voltage_v", {}, "14.4 V", "M18+M02"),
    ("pack_voltage_v", {}, "4.5 V", "M20+M04"),
    ("plannable_current_a", {"current_derating": 0.8}, "3.8 A", "M07+M45"),
    # 8.1 V / 1.2 V = 6.75, rounded down; 9 cells are needed.
    ("fewest_series", {"voltage_low_v": 8.1}, "6", "M19a+M34a M46"),
    ("fewest_series", {"voltage_low_v": 8.1}, "5", "M46+M34a"),
    # 11 A / 3.04 A = 3.6; 11 A / 3.8 A = 2.9.
    ("parallel_for_current", {"current_a": 11, "current_derating": 0.8}, "2", "M45+M34a"),
    # 6.2 V / 1 V = 6.2: 7 in line. 0.6 A x 8 h / 1.9 Ah = 2.5: 3 side by side.
    ("design", {"run_time_h": 8, "voltage_low_v": 6.2, "voltage_high_v": 10.4}, "3S6P", "M04+M34a"),
    ("design", {"run_time_h": 8, "voltage_low_v": 6.2, "voltage_high_v": 10.4}, "2S7P", "M04+M34a"),
    ("design", {"run_time_h": 8, "voltage_low_v": 6.2, "voltage_high_v": 10.4}, "3S7P", "M04"),
    ("design", {"run_time_h": 8, "voltage_low_v": 6.2, "voltage_high_v": 10.4}, "6S2P", "M34a"),
]


@pytest.mark.parametrize(("asked", "more", "text", "ids"), TWO)
def test_two_slips_together_by_hand(asked, more, text, ids):
    verdict = checking.check(by_hand(asked, SAMPLE | more), text)
    single = [each for each in ids.split() if "+" not in each]
    named = single if single and "+" in ids else [ids]
    assert [rule.id for rule in verdict.rules] == named
    assert verdict.kind in ("mistake", "unfit")


def test_a_single_rule_outranks_two_together():
    givens = SAMPLE | {"voltage_low_v": 8.1}
    slips = matching.known("fewest_series", givens)
    assert [slip.id for slip, value in slips.hidden if value == 6] == ["M19a+M34a"]
    assert [rule.id for rule in matching.matches("fewest_series", givens, 6, 0)] == ["M46"]


def test_of_a_single_rule_and_two_together_the_single_rule_is_taken():
    slips = matching.Slips((("one", 1.0),), (("two", 1.0), ("other two", 2.0)), ())
    assert matching._best(slips, lambda wrong: wrong == 1.0) == ["one"]
    assert matching._best(slips, lambda wrong: wrong == 2.0) == ["other two"]
    assert matching._best(slips, lambda wrong: wrong == 3.0) == []


def test_two_slips_are_named_only_if_no_other_two_fit():
    # One cell's 1.9 Ah / 0.6 A = 3.17 h, by M03 and by M05; with minutes for hours 190 h.
    verdict = checking.check(by_hand("pack_run_time_h"), "190 h")
    assert verdict.kind == "which"
    assert [rule.id for rule in verdict.rules] == ["M03+M11d", "M05+M11d"]
    assert len({rule.did for rule in verdict.rules}) == 2
    assert verdict.says == (word("tasks.which"),)


def test_two_digits_leave_open_what_three_tell():
    givens = SAMPLE | {"series": 4, "parallel": 3, "current_a": 0.605}
    named = {
        text: [rule.id for rule in checking.check(by_hand("pack_run_time_h", givens), text).rules]
        for text in ("12.6 h", "13 h", "12.1 h")
    }
    assert named == {"12.6 h": ["M04"], "13 h": ["M04"], "12.1 h": []}


def test_the_sentence_of_two_tells_both_and_no_number():
    verdict = checking.check(by_hand("capacity_ah"), "22.8 mAh")
    (said,) = verdict.says
    assert "all 12 cells" in said
    assert "a thousand times too small" in said
    assert "mAh counts thousandths of Ah" in said
    assert "5.7" not in said
    assert verdict.rules[0].did == "I added the capacity of every cell, and I mixed Ah with mAh."


def all_twos(var):
    """Combinations of a variant, also those that look like a single rule there."""
    return [*slips_of(var)[1], *matching.known(var.task.asked, var.givens).hidden]


@every_task
def test_the_words_of_two_are_whole_and_give_nothing_away(task):
    for var in questions(task, last=10):
        answer = checking.answer_in_words(var).removeprefix("between ").split(" (")[0]
        question = checking.text_of(var)
        for slip, _ in all_twos(var):
            for text in (slip.sentence(var.givens), slip.did):
                assert not set("{}<>_") & set(text), text
                assert text[0].isupper(), text
                assert text[-1] in ".?", text
                assert max(map(len, map(str.split, text.split(". ")))) <= 25, text
                if answer not in question and not answer.isdigit():
                    assert f" {answer}" not in text, f"{where(var)}: {answer} in {text}"


def test_ids_of_two_are_short_enough_for_the_records():
    longest = max(
        (
            len(f'"{slip.id}", ') * 30
            for task in TASKS
            for slip, _ in slips_of(questions(task)[0])[1]
            if questions(task)
        ),
        default=0,
    )
    assert 0 < longest < 1000


def test_the_record_tells_two_slips_in_one_sentence():
    did = combining.did_of("M01+M11a")
    assert did == "I added the capacity of every cell, and I mixed A with mA."
    assert combining.did_of("M12") == "I divided the current by the capacity."
    assert [combining.did_of(each) for each in ("M999", "M01+M999", "")] == ["M999", "M01+M999", ""]


# The table of twos.


def table():
    text = (files("packlearn") / "data" / combining.FILE).read_text(encoding="utf-8")
    return tomllib.loads(text)


def test_every_listed_two_is_of_known_rules_and_is_met():
    ids = {rule.id for rule in wrong_rules()}
    met = {
        (asked, slip.id)
        for task in TASKS
        for var in questions(task)
        for asked in [var.task.asked]
        for slip, _ in all_twos(var)
    }
    for entry in table()["two"]:
        assert set(entry["ids"]) <= ids
        asked = entry["asked"] if isinstance(entry["asked"], list) else [entry["asked"]]
        for each in asked:
            assert each in ASKED
            assert (each, "+".join(entry["ids"])) in met, (each, entry["ids"])


def test_every_slip_of_units_is_met_alone_and_after_a_wrong_rule():
    met = {
        slip.id for task in TASKS for var in questions(task, last=5) for slip, _ in slips_of(var)[1]
    }
    for entry in table()["slip"]:
        assert entry["id"] in met
        assert any(each.endswith("+" + entry["id"]) for each in met)


@every_task
def test_a_right_number_of_the_wrong_unit_is_known_on_every_number(task):
    units = {unit for entry in table()["slip"] for unit in entry["units"]}
    # Nobody mixes up mm2, cells or plain numbers by a milli.
    assert {asked.unit for asked in ASKED.values()} - units <= {"", "cells", "mm2", "m", "g"}
    for var in questions(task, last=5):
        if var.task.kind == "number" and var.task.unit in units:
            slips = (slip.id for both in slips_of(var) for slip, _ in both)
            answer = checking.answer_of(var.task, var.givens)
            assert answer == 0 or any(each.startswith("M11") for each in slips), where(var)


# Ties: listed where two rules are one thing, in every variant.


@every_task
def test_a_listed_tie_is_one_value_and_nothing_else_is(task):
    for var in questions(task):
        asked, givens = var.task.asked, var.givens
        if var.task.kind not in ("number", "range", "name", "wire"):
            continue
        for (one, value), (other, same) in itertools.combinations(slips_of(var)[0], 2):
            if one.formula and other.formula:
                listed = combining.one_thing(asked, givens, one.id, other.id)
                assert listed == (value == pytest.approx(same)), f"{where(var)} {one.id} {other.id}"


def test_every_listed_tie_is_met():
    met = set()
    for tie in combining.equals():
        for task in TASKS:
            for var in questions(task) if task.asked in tie.asked else []:
                if tie.holds(task.asked, var.givens):
                    ids = {rule.id for rule in rules_for(task.asked, var.givens)}
                    assert tie.ids <= ids, where(var)
                    met.add((tie.ids, task.asked))
    assert met == {(tie.ids, asked) for tie in combining.equals() for asked in tie.asked}


# No wrong value is right by luck.


def lucky(var):
    singles, twos = slips_of(var)
    for slip, wrong in (*singles, *twos, *matching.known(var.task.asked, var.givens).hidden):
        for text in typed(var, slip, wrong):
            if checking.check(var, text).right:
                yield f"{where(var)}: {text} of {slip.id} is taken for right"


@every_task
def test_no_slip_gives_the_right_answer(task):
    for var in questions(task):
        assert clearing.none_right(var.task.asked, var.givens), where(var)
    assert [line for var in questions(task, last=3) for line in lucky(var)] == []


@pytest.mark.long
@every_task
def test_no_slip_gives_the_right_answer_in_200_variants(task):
    assert [line for var in questions(task, 3, ALL) for line in lucky(var)] == []


def test_a_variant_of_luck_is_found():
    # 2 x 2 = 2 + 2, and one cell in line lifts as much as the label says.
    assert not clearing.none_right("cell_count", SAMPLE | {"series": 2, "parallel": 2})
    assert clearing.none_right("cell_count", SAMPLE)
    # 1.049 h would be typed as 1 h, and so would 0.997 h.
    answer = {"label_ah": 0.997, "output_a": 1.0, "voltage_v": 1.049, "output_v": 1.0}
    assert not clearing.none_right("regulator_run_time_h", answer)
    assert clearing.none_right("regulator_run_time_h", answer | {"voltage_v": 1.2})


def test_rules_that_cannot_be_told_apart_are_drawn_anew():
    near = SAMPLE | {"voltage_low_v": 5.5}
    assert not clearing.told_apart("fewest_series", near)
    patience = clearing.Patience("fewest_series")
    tries = [patience.accepts(near) for _ in range(clearing.MOST_REDRAWN + 1)]
    assert tries == [False] * clearing.MOST_REDRAWN + [True]
    assert clearing.Patience("fewest_series", fixed=True).accepts(near)


# A right answer is never refused.


def right_texts(var):
    """A right answer in every form: digits, units, marks, spaces, hours with minutes."""
    answer = right_answer(var.task.asked, var.givens)
    unit = var.task.unit
    for value in answer if isinstance(answer, tuple) else (answer,):
        value = float(value)
        for text in forms(value, unit):
            yield from (text, f"  {text} ")
        yield from (f"{digits_of(value * (100 if unit == '%' else 1), 5)}  {unit}",)
        if unit == "h" and value > 1 / 60:
            hours, minutes = divmod(round(value * 60), 60)
            yield from (
                f"{hours} h {minutes} min",
                f"{hours}h{minutes:02d}",
                f"{hours}:{minutes:02d} h",
            )


def refused(var, most=4):
    if var.task.kind in ("number", "range"):
        texts = [text for text in right_texts(var) if not asked_back(text, var.task.unit)]
    elif var.task.kind == "count":
        answer = right_answer(var.task.asked, var.givens)
        texts = [f"{answer}", f" {answer} ", f"{answer}.0"]
    elif var.task.kind == "name":
        answer = right_answer(var.task.asked, var.givens)
        texts = [text.format(*answer) for text in ("{}S{}P", "{} s {} p", "{1}P{0}S")]
    else:
        return
    for text in some(texts, most, var.number):
        if not checking.check(var, text).right:
            yield f"{where(var)}: {text}"


def asked_back(text, unit):
    """Whether a text may mean two things: never guessed, costs nothing."""
    body = text.strip().split(" ")[0]
    mark = "." if "." in body else ","
    whole, _, decimals = body.rstrip("VAhWmCon%i").partition(mark)
    return len(decimals) == 3 and 0 < len(whole) <= 3 and whole[0] != "0"


@every_task
def test_a_right_answer_is_never_refused(task):
    assert [line for var in questions(task) for line in refused(var)] == []


@pytest.mark.long
@every_task
def test_a_right_answer_is_never_refused_in_200_variants(task):
    assert [line for var in questions(task, 0, ALL) for line in refused(var, 99)] == []


# How exactly a number was typed.

STEPS = [
    *(("5.04 V", "V", 0.01), ("5.0 V", "V", 0.1), ("5 V", "V", 0.1), ("0.5 V", "V", 0.01)),
    *(("9500 h", "h", 100), ("9512 h", "h", 1), ("9000 h", "h", 100), ("95 min", "h", 1 / 60)),
    *(("1 h 40 min", "h", 1 / 60), ("500 mA", "A", 0.01), ("503 mA", "A", 0.001)),
    *(("25 %", "%", 0.01), ("2e3 V", "V", 100), ("0 V", "V", 0), ("1:30 h", "h", 1 / 60)),
    *(("-5.2 V", "V", 0.1), ("1 h 30.5 min", "h", 0.1 / 60)),
]


@pytest.mark.parametrize(("text", "unit", "step"), STEPS)
def test_what_one_more_in_the_last_digit_adds(text, unit, step):
    assert matching.step_of(read(text, unit), unit) == pytest.approx(step)


def test_the_right_answer_counts_in_each_digit_typed():
    assert matching.holds(1.04, 1.0, 0.1)
    assert not matching.holds(1.04, 1.0, 0.01)
    assert matching.holds((1.04, 1.2), 1.0, 0.1)
    assert not matching.holds(0.0, 0.01, 0.1)
    assert matching.holds(10.4, 10.0, 1)
    assert not matching.holds(9.6, 10.0, 1)
    assert not matching.holds(-1.04, 1.0, 0.1)


def test_an_outcome_is_told_by_the_verdict():
    var = by_hand("capacity_ah")
    singles = {slip.id: slip for slip, _ in slips_of(var)[0]}
    assert outcome(var, singles["M01"], "22.8 Ah") == "named"
    assert outcome(var, singles["M03"], "22.8 Ah") == "wrongly"
    assert outcome(var, singles["M03"], "4.4 Ah") == "unknown"
    assert outcome(var, singles["M03"], "5.7 Ah") == "wrongly"
    hours = by_hand("pack_run_time_h")
    m03 = next(slip for slip, _ in slips_of(hours)[0] if slip.id == "M03")
    assert outcome(hours, m03, "3.17 h") == "listed"


def test_every_unit_with_a_smaller_one_is_asked_for():
    assert set(SMALLER) <= {asked.unit for asked in ASKED.values()}
    assert drawn(TASKS[0].page, TASKS[0].id, 0).number == 0
