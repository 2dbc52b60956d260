"""The answer that is shown, typed back into the box, holds; and ranges and doubled numbers."""

import os
import subprocess
import sys

import pytest

from packlearn.errors import PackError
from packlearn.quantities import MissingUnit
from packlearn.tasks import bank, checking, several
from packlearn.tasks.levels import left_out
from packlearn.tasks.typed_ranges import WIDEST_NUMBER, read_one, read_pack, read_range, read_twice
from packlearn.words import word

TYPED = ("number", "range", "count", "name", "design", "estimate", "numbers")
TASKS = [t for name in bank.pages() for t in bank.page(name).tasks if t.kind in TYPED]
MOST = 6


def shown(var):
    """What is shown as the answer, as it would be typed into the box or the boxes."""
    if var.task.kind == "numbers":
        parts = several.parts_of(var)
        return several.to_line([checking.answer_in_words(part) for part in parts])
    return checking.answer_in_words(var)


@pytest.mark.parametrize("task", TASKS, ids=lambda task: f"{task.page}/{task.id}")
def test_the_shown_answer_typed_back_holds(task):
    drawn = [checking.variant(task, number) for number in range(MOST)]
    # A figure that is missing is chosen from a list.
    told = [shown(var) for var in drawn if not left_out(var.givens)]
    kept = [var for var in drawn if not left_out(var.givens)]
    assert kept or task.may_miss
    for var, text in zip(kept, told, strict=True):
        for typed in (text, f" {text} "):
            verdict = checking.check(var, typed)
            assert verdict.right, (var.number, text, verdict.says)


def test_every_typed_kind_has_a_task():
    assert {task.kind for task in TASKS} == set(TYPED)


TWICE = [("0.0366 A (36.6 mA)", "A", 0.0366), ("6.33 h (6 h 20 min)", "h", 6.33)]
TWICE += [
    ("109 h (4 d 13 h)", "h", 109),
    ("0,04 A(40 mA)", "A", 0.04),
    ("12.8 h (12:45 h)", "h", 12.8),
]


@pytest.mark.parametrize(("typed", "unit", "value"), TWICE)
def test_a_number_may_stand_there_twice(typed, unit, value):
    assert read_twice(typed, unit).value == pytest.approx(value)


@pytest.mark.parametrize(
    "typed", ["6 V (7 V)", "6.0 V (6.2 V)", "6 V (6 A)", "6 V (guess)", "6 V (6", "(6 V)", "6 V ()"]
)
def test_two_numbers_are_asked_back(typed):
    with pytest.raises(PackError):
        read_twice(typed, "V")


MIDDLE = ["between 5.9 V and 6.1 V", "5.9 to 6.1 V", "from 5.9 V to 6100 mV", "5,9-6,1 V"]


@pytest.mark.parametrize("typed", MIDDLE)
def test_a_narrow_range_stands_for_its_middle(typed):
    reading = read_one(typed, "V")
    assert reading.value == pytest.approx(6)
    assert "the middle of" in reading.says


@pytest.mark.parametrize(
    "typed", ["between 4 V and 6 V", "6.1 V to 5.9 V", "-6 V to -5.9 V", "5.9 V to 6.1 A", "to 6 V"]
)
def test_another_range_for_one_number_is_asked_back(typed):
    with pytest.raises(PackError):
        read_one(typed, "V")


def test_whether_a_range_is_asked_back_does_not_depend_on_the_answer():
    task = next(task for task in TASKS if task.kind == "range")
    for number in range(MOST):
        var = checking.variant(task, number)
        low, _ = checking.answer_of(task, var.givens)
        for times in (0.3, 0.8, 1, 1.5, 4):
            start = low * times
            narrow = f"{start:.4f} to {start * WIDEST_NUMBER * 0.99:.4f} {task.unit}"
            wide = f"{start:.4f} to {start * WIDEST_NUMBER * 1.01:.4f} {task.unit}"
            assert checking.check(var, narrow).kind != "ask"
            assert checking.check(var, wide).kind == "ask"


def test_a_missing_unit_is_still_asked_for():
    with pytest.raises(MissingUnit):
        read_one("6", "V")


@pytest.mark.parametrize("typed", ["5S1P", "5S1P (the smallest that fits)", "1P5S (why not?)"])
def test_a_name_may_have_a_remark_behind_it(typed):
    assert read_pack(typed) == (5, 1)


@pytest.mark.parametrize("typed", ["5S1P (or 6S1P)", "5S1P 6S1P", "(5S1P)", "5S1P (a) (b)"])
def test_two_names_are_asked_back(typed):
    with pytest.raises(PackError):
        read_pack(typed)


def test_the_words_of_a_range_come_from_the_words_files(tmp_path):
    (tmp_path / "words").mkdir()
    ranges = '["zwischen ... und ...", "von ... bis ...", "... bis ..."]'
    texts = f'ranges = {ranges}\nmiddle = "{{low}} {{high}}"\n'
    (tmp_path / "words" / "typed.toml").write_text(texts, encoding="utf-8")
    program = (
        "from packlearn.tasks.typed_ranges import read_range\n"
        "for text in ('5 bis 7 h', 'Zwischen 5 und 7 h', '5-7 h', '5 to 7 h'):\n"
        "    try: print([end.value for end in read_range(text, 'h')])\n"
        "    except Exception as trouble: print(type(trouble).__name__)\n"
    )
    env = os.environ | {"PACKLEARN_TEXTS": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", program], env=env, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines() == ["[5.0, 7.0]"] * 3 + ["BadValue"]


def test_every_way_to_write_a_range_holds_both_ends():
    for form in word("typed.ranges"):
        typed = form.replace("...", "5 h", 1).replace("...", "7 h", 1)
        low, high = read_range(typed, "h")
        assert (low.value, high.value) == (5, 7)


@pytest.mark.parametrize("typed", ["5 h to 7 h, which holds 6 h", "5 to 7 h, I think"])
def test_a_remark_may_stand_behind_a_range(typed):
    low, high = read_range(typed, "h")
    assert (low.value, high.value) == (5, 7)


@pytest.mark.parametrize("typed", ["5 h to 6 h, or 8 h to 9 h", "5 h, to 7 h, to 9 h", "5 h, 7 h"])
def test_two_ranges_are_asked_back(typed):
    with pytest.raises(PackError):
        read_range(typed, "h")
