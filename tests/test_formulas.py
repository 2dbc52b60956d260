"""Formulas of the text files: plain arithmetic works, everything else is refused."""

import math
import os
import subprocess
import sys

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from packlearn.errors import BadFile, PackError
from packlearn.tasks.formulas import FUNCTIONS, names, work_out

GIVENS = {"series": 5, "parallel": 3, "cell_capacity_ah": 1.9, "current_a": 0.6}
law = settings(deadline=None, derandomize=True, max_examples=400)

GOOD = {
    "1": 1,
    "2.5": 2.5,
    "series": 5,
    "series * parallel": 15,
    "series - parallel - 1": 1,
    "-series": -5,
    "2 + 3 * 4": 14,
    "(2 + 3) * 4": 20,
    "7 / 2": 3.5,
    "2 ** 3 ** 2": 512,
    "-2 ** 2": -4,
    "parallel * cell_capacity_ah / current_a": 9.5,
    "up(6.2)": 7,
    "down(6.8)": 6,
    "up(-1.5)": -1,
    "down(-1.5)": -2,
    "nearest(6.2)": 6,
    "nearest(1.2345, 2)": 1.23,
    "least(series, parallel)": 3,
    "most(series, parallel, 4)": 5,
    "root(9)": 3,
    "series > parallel": True,
    "series <= 4": False,
    "series != parallel and parallel > 1": True,
    "series == parallel or parallel == 3": True,
    "not series > parallel": False,
}


@pytest.mark.parametrize(("formula", "value"), GOOD.items())
def test_plain_arithmetic_works(formula, value):
    assert work_out(formula, GIVENS) == pytest.approx(value)


def test_binary_dust_does_not_move_a_count():
    # 3.3 / 1.1 is 3 in decimals and a little less in binary floats.
    assert 3.3 / 1.1 < 3
    for count in range(1, 60):
        givens = {"volts": round(count * 1.45, 2), "low": round(count * 1.1, 1)}
        assert work_out("down(volts / 1.45)", givens) == count
        assert work_out("up(volts / 1.45)", givens) == count
        assert work_out("up(low / 1.1)", givens) == work_out("down(low / 1.1)", givens) == count
    assert isinstance(work_out("up(7.000000001)", {}), int)


def test_a_real_step_does_move_a_count():
    assert work_out("up(7.001)", {}) == 8
    assert work_out("down(6.999)", {}) == 6


def test_names_are_the_givens_and_not_the_functions():
    formula = "most(series, up(current_a / limit_a)) * 2"
    assert names(formula) == {"series", "current_a", "limit_a"}
    assert names("3 + 4") == set()


@given(st.integers(-1000, 1000), st.floats(0.01, 100), st.integers(1, 24))
@settings(deadline=None, derandomize=True)
def test_formulas_count_like_python(whole, number, count):
    givens = {"whole": whole, "number": number, "count": count}
    expected = whole * number / count + count - number
    assert work_out("whole * number / count + count - number", givens) == pytest.approx(expected)
    assert work_out("most(whole, count)", givens) == max(whole, count)


REFUSED = (
    "series.real",
    "(1).bit_length()",
    "series.__class__.__mro__",
    "open(3)",
    "__import__('os')",
    "eval('1')",
    "print(1)",
    "up(least)",
    "root",
    "lambda: 1",
    "(lambda x: x)(1)",
    "[series for series in (1, 2)]",
    "{1: 2}",
    "{1, 2}",
    "[1, 2][0]",
    "(1, 2)",
    "'text'",
    "'a' * 3",
    "b'a'",
    "f'{series}'",
    "1j",
    "None",
    "...",
    "1 if series else 2",
    "series if 1 else parallel",
    "1 < series < 3",
    "series in (1, 2)",
    "series is parallel",
    "5 % 2",
    "5 // 2",
    "5 << 2",
    "5 | 2",
    "~5",
    "up(x=1)",
    "up(*[1])",
    "most(**{})",
    "nobody_gave_this * 2",
)
UNREADABLE = ("", "series *", "(1", "1;2", "x = 3", "(y := 3", "series 5", "1, 900 Ah", "\x00")


@pytest.mark.parametrize("formula", REFUSED)
def test_everything_else_is_refused_and_named(formula):
    with pytest.raises(BadFile) as trouble:
        work_out(formula, GIVENS)
    said = str(trouble.value)
    assert formula[:80] in said
    assert all(name in said for name in FUNCTIONS)


@pytest.mark.parametrize("formula", UNREADABLE)
def test_what_is_no_formula_is_refused_with_one_that_is(formula):
    with pytest.raises(BadFile, match="series \\* cell_nominal_voltage_v"):
        work_out(formula, GIVENS)
    with pytest.raises(BadFile):
        names(formula)


def test_a_message_stays_short():
    with pytest.raises(BadFile) as trouble:
        work_out("series.real + " * 200 + "1", GIVENS)
    assert len(str(trouble.value)) < 400


def test_a_number_or_a_long_text_is_no_formula():
    for formula in (3, None, "1 + " * 200 + "1"):
        with pytest.raises(BadFile, match="is no formula. Write arithmetic as text"):
            work_out(formula, GIVENS)


def test_a_division_by_nothing_is_named():
    with pytest.raises(BadFile, match="1 / .series - 5. gives no usable number"):
        work_out("1 / (series - 5)", GIVENS)


@pytest.mark.parametrize("formula", ["series.real", "open(series)", "'a' * series", "[series]"])
def test_names_refuses_what_working_out_refuses(formula):
    with pytest.raises(BadFile):
        names(formula)


NO_NUMBER = (
    "1 / 0",
    "1 / (series - 5)",
    "0 ** -1",
    "2.0 ** 5000",
    "root(-1)",
    "(-8) ** 0.5",
    "up((-8) ** 0.5)",
    "1e400",
    "up(1e400)",
    "down(1e400 - 1e400)",
    "least()",
    "least(1)",
    "up()",
    "up(1, 2)",
    "root(1, 2)",
    "nearest()",
    "cell - 1",
    "cell * 3",
    "up(cell)",
)


@pytest.mark.parametrize("formula", NO_NUMBER)
def test_a_formula_without_a_number_as_its_value_is_refused(formula):
    with pytest.raises(BadFile):
        work_out(formula, GIVENS | {"cell": "nimh-aa"})


@pytest.mark.parametrize(
    "formula", ["-" * 3000 + "1", "+".join(["1"] * 20000), "(" * 300 + "1" + ")" * 300, "\ud800"]
)
def test_a_formula_too_deep_or_strange_to_be_read_is_refused(formula):
    with pytest.raises(BadFile):
        work_out(formula, GIVENS)
    with pytest.raises(BadFile):
        names(formula)


HUGE = (
    "9**9**9",
    "10**10**10",
    "9**9999999 * 0 + 1",
    "nearest(12345, -10**9)",
    "cell * 10**10",
)


@pytest.mark.parametrize("formula", HUGE)
def test_a_huge_power_does_not_hang(formula):
    # In a process of its own, because a hanging one cannot be stopped from inside.
    script = (
        "from packlearn.errors import BadFile\n"
        "from packlearn.tasks.formulas import work_out\n"
        f"try:\n    work_out({formula!r}, {{'cell': 'nimh-aa'}})\n"
        "except BadFile:\n    print('refused')\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        timeout=5,
        check=False,
        env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
    )
    assert done.stdout.strip() == "refused", done.stderr[-300:]


PIECES = st.sampled_from(
    ("series", "cell", "up(", "least(", "nearest(", "root(", ")", "(", "+", "-", "*", "/", ".", ",")
    + ("1", "0", "2.5", "1e9", "-7", " ", "<", "==", "!=", "and", "or", "not", "[", "]", "'", "if")
    + ("lambda", ":", "x", "=", "\n", "\t", "#", "\\", "é", "\u202e", "\ud800", "\x00", "True")
)


@law
@given(st.lists(PIECES, max_size=12).map("".join) | st.text(max_size=40))
@example("1or 2")
@example("1/0")
@example("'\\d'")
@example("up(cell)")
def test_any_text_is_worked_out_or_refused_never_worse(text):
    # Powers have their own test: there they can hang.
    text = text.replace("**", "*")
    try:
        value = work_out(text, GIVENS | {"cell": "nimh-aa"})
    except PackError:
        return
    assert isinstance(value, (bool, int, float, str))
    assert isinstance(value, str) or math.isfinite(value)


@law
@given(st.lists(PIECES, max_size=12).map("".join) | st.text(max_size=40))
def test_names_of_any_text_are_found_or_it_is_refused(text):
    try:
        found = names(text)
    except PackError:
        return
    assert all(name.isidentifier() for name in found)
