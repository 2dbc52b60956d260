"""Cells: what one holds, and what a slip in a user's own file is answered with."""

import copy
import dataclasses
import math
import pickle
import re
import tomllib
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from packlearn.cells import CHEMISTRIES, HIGHEST_PACK_VOLTAGE_V, Cell, catalogue, read_cells
from packlearn.errors import BadFile, BadValue, PackError
from packlearn.words import word

MINE = {
    "name": "mine",
    "chemistry": "NiMH",
    "nominal_voltage_v": 1.2,
    "capacity_ah": 1.9,
    "current_limit_a": 3.8,
    "resistance_ohm": 0.03,
}
FILE = files("packlearn") / "data" / "cells.toml"
law = settings(deadline=None, derandomize=True, max_examples=60)


def mine(**more):
    return Cell(**{**MINE, **more})


# One cell.


def test_figures_of_the_sample_cell():
    # teaching.md's sample: 1.2 V, 1.9 Ah, limit 3.8 A, which is 2C.
    sample = mine()
    assert sample.energy_wh == pytest.approx(2.28)
    assert sample.c_rate(3.8) == pytest.approx(2.0)
    assert sample.current_at_c_rate_a(2) == pytest.approx(3.8)
    assert sample.plannable_current_a() == pytest.approx(3.04)
    assert sample.plannable_current_a(derating=0.5) == pytest.approx(1.9)


def test_c_rates_of_the_handbook():
    # Linden's Handbook of Batteries, 4th ed., p. 3.4.
    assert mine(capacity_ah=5).current_at_c_rate_a(1 / 10) == pytest.approx(0.5)
    assert mine(capacity_ah=0.25).c_rate(0.05) == pytest.approx(0.2)


def test_c_rate_takes_arrays_and_charging_currents():
    rates = mine().c_rate(np.array([1.9, -0.95]))
    assert rates == pytest.approx([1.0, -0.5])


@law
@given(
    st.floats(1e-3, 1e3),
    st.floats(1e-3, 1e3),
    st.floats(1e-2, 1.0),
)
def test_c_rate_and_its_current_undo_each_other(capacity_ah, current_a, derating):
    sample = mine(capacity_ah=capacity_ah, current_limit_a=current_a)
    assert sample.current_at_c_rate_a(sample.c_rate(current_a)) == pytest.approx(current_a)
    assert sample.plannable_current_a(derating) <= current_a


@pytest.mark.parametrize("derating", [0, -0.1, 1.01, math.nan])
def test_a_derating_outside_0_to_1_is_refused(derating):
    with pytest.raises(BadValue, match="derating"):
        mine().plannable_current_a(derating)


def test_a_chemistry_fills_in_what_it_decides():
    block = mine(chemistry="LEAD-ACID", nominal_voltage_v=12, cells_inside=6)
    assert block.chemistry == "lead-acid"
    assert (block.full_voltage_v, block.end_voltage_v) == (14.7, 10.5)
    assert block.rechargeable is True
    assert block.max_parallel is None
    assert block.title == "mine"


def test_given_voltages_win_over_the_chemistry():
    sample = mine(full_voltage_v=1.5, end_voltage_v=0.9)
    assert (sample.full_voltage_v, sample.end_voltage_v) == (1.5, 0.9)


@pytest.mark.parametrize("name", [name for name, c in CHEMISTRIES.items() if not c.rechargeable])
def test_a_primary_chemistry_is_never_charged_nor_side_by_side(name):
    made = mine(chemistry=name, nominal_voltage_v=1.5 if name != "Li-MnO2" else 3.0)
    assert made.rechargeable is False
    assert made.max_parallel == 1
    assert "must not be charged" in made.max_parallel_reason


@pytest.mark.parametrize("name", ["Li-ion", "LiFePO4"])
def test_lithium_is_ready_made_whatever_the_file_says(name):
    made = mine(chemistry=name, nominal_voltage_v=3.2, ready_made_only=False)
    assert made.ready_made_only is True


def test_an_unknown_chemistry_needs_both_voltages():
    made = mine(chemistry="Ni-Zn", nominal_voltage_v=1.6, full_voltage_v=1.85, end_voltage_v=1.2)
    assert made.rechargeable is None
    assert made.max_parallel == 1
    with pytest.raises(BadValue) as caught:
        mine(chemistry="Ni-Zn", nominal_voltage_v=1.6, full_voltage_v=1.85)
    for part in ("Ni-Zn", "NiMH", "lead-acid", "full_voltage_v and end_voltage_v"):
        assert part in str(caught.value)


@law
@given(
    nominal_v=st.floats(0.01, 1000),
    capacity_ah=st.floats(1e-3, 1e3),
    over=st.floats(1.0, 1.5),
    under=st.floats(0.1, 0.99),
)
def test_a_sensible_cell_is_taken_as_it_is(nominal_v, capacity_ah, over, under):
    made = mine(
        nominal_voltage_v=nominal_v,
        capacity_ah=capacity_ah,
        full_voltage_v=nominal_v * over,
        end_voltage_v=nominal_v * under,
    )
    assert made.nominal_voltage_v == nominal_v
    assert made.capacity_ah == capacity_ah
    assert made.end_voltage_v < made.nominal_voltage_v <= made.full_voltage_v


NUMBERS = ("nominal_voltage_v", "capacity_ah", "current_limit_a", "full_voltage_v", "mass_g")


@law
@given(st.sampled_from(NUMBERS), st.floats(max_value=0) | st.just(math.nan) | st.just(math.inf))
def test_a_number_must_be_positive_and_finite(key, number):
    with pytest.raises(BadValue) as caught:
        mine(**{key: number})
    assert f"{key} is " in str(caught.value)
    assert "above 0" in str(caught.value)


@pytest.mark.parametrize("wrong", [None, True, "many", [1.2], 1 + 2j, 10**400])
def test_a_number_must_be_a_number(wrong):
    with pytest.raises(BadValue, match="capacity_ah is .*must be a number.*ampere-hours"):
        mine(capacity_ah=wrong)


def test_an_ideal_cell_has_no_resistance_but_never_a_negative_one():
    assert mine(resistance_ohm=0).resistance_ohm == 0
    with pytest.raises(BadValue, match="resistance_ohm is -0.1.*0 or more.*ohms"):
        mine(resistance_ohm=-0.1)


@law
@given(st.floats(0.1, 50), st.floats(0.1, 50), st.floats(0.1, 50))
def test_voltages_stand_in_order_or_are_refused(end_v, nominal_v, full_v):
    given_v = {"end_voltage_v": end_v, "nominal_voltage_v": nominal_v, "full_voltage_v": full_v}
    if end_v < nominal_v <= full_v:
        assert mine(**given_v).full_voltage_v == full_v
    else:
        with pytest.raises(BadValue, match="(end|full)_voltage_v is .*nominal voltage"):
            mine(**given_v)


def test_nominal_may_equal_full_but_not_end():
    assert mine(full_voltage_v=1.2).full_voltage_v == 1.2
    with pytest.raises(BadValue, match="end_voltage_v is 1.2 V. It must be below"):
        mine(end_voltage_v=1.2)
    with pytest.raises(BadValue, match="capacity_to_v is 1.2 V. It must be below"):
        mine(capacity_to_v=1.2)


@pytest.mark.parametrize("rested", [(1.4, 1.3), (1.3, 1.5)])
def test_a_rested_range_runs_upward_and_stays_below_full(rested):
    with pytest.raises(BadValue, match=r"rested_voltage_v is .*1\.45 V"):
        mine(rested_voltage_v=rested)


@law
@given(
    st.sampled_from(["cells_inside", "max_series", "max_parallel", "price_class"]),
    st.integers(-5, 0) | st.integers(1000, 10**9) | st.floats(1.1, 1.9) | st.sampled_from("a4"),
)
def test_counts_are_whole_and_at_least_one(key, count):
    with pytest.raises(BadValue, match=f"{key} is .*whole number from 1 to"):
        mine(**{key: count})


def test_price_classes_run_from_1_to_5():
    assert [mine(price_class=n).price_class for n in range(1, 6)] == [1, 2, 3, 4, 5]
    with pytest.raises(BadValue, match="price_class is 6.*from 1 to 5"):
        mine(price_class=6)


@law
@given(st.floats(1.2, 60), st.integers(1, 60))
def test_no_largest_series_count_passes_60_v(full_v, most):
    if full_v * most <= HIGHEST_PACK_VOLTAGE_V:
        assert mine(full_voltage_v=full_v, max_series=most).max_series == most
    else:
        assume(full_v * most > HIGHEST_PACK_VOLTAGE_V + 1e-6)
        with pytest.raises(BadValue, match="max_series is .*60 V"):
            mine(full_voltage_v=full_v, max_series=most)


@law
@given(st.text(min_size=1) | st.text(min_size=41, max_size=500))
def test_typed_text_never_makes_a_long_or_broken_message(text):
    with pytest.raises(PackError) as caught:
        mine(capacity_ah=text)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 200


def test_a_cell_is_frozen_hashable_and_can_be_copied():
    made = mine(sources={"mass_g": "kitchen scales"})
    with pytest.raises(dataclasses.FrozenInstanceError):
        made.capacity_ah = 2.0
    for twin in (copy.deepcopy(made), pickle.loads(pickle.dumps(made)), mine()):
        assert twin == made
        assert hash(twin) == hash(made)
    assert dataclasses.replace(made, capacity_ah=2.0).capacity_ah == 2.0
    assert dataclasses.asdict(made)["sources"] == {"mass_g": "kitchen scales"}


# A user's own file.

GOOD = """\
[my-cell]
chemistry = "NiMH"
nominal_voltage_v = 1.2
capacity_ah = 1.9
current_limit_a = 3.8
resistance_ohm = 0.030
"""


def read(tmp_path, text):
    path = tmp_path / "own.toml"
    path.write_text(text, encoding="utf-8", newline="\n")
    return read_cells(path)


def refused(tmp_path, text):
    with pytest.raises(BadFile) as caught:
        read(tmp_path, text)
    assert "own.toml" in str(caught.value)
    assert str(caught.value).isprintable()
    return str(caught.value)


def test_the_catalogue_copied_reads_the_same(tmp_path):
    copied = read(tmp_path, FILE.read_text(encoding="utf-8"))
    assert list(copied) == list(catalogue())
    assert dict(copied) == dict(catalogue())
    for name, each in copied.items():
        assert each.sources == catalogue()[name].sources


def test_a_short_file_and_the_paths_it_may_come_by(tmp_path):
    made = read(tmp_path, GOOD)["my-cell"]
    assert made == mine(name="my-cell")
    assert read_cells(str(tmp_path / "own.toml"))["my-cell"] == made


def test_a_file_saved_on_windows(tmp_path):
    # The byte order mark and line ends that a plain editor there writes.
    (tmp_path / "own.toml").write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert read_cells(tmp_path / "own.toml")["my-cell"] == mine(name="my-cell")


def test_plain_sentences_are_taken_as_they_are(tmp_path):
    text = GOOD + (
        'title = "Shed cell"\nmax_series = 4\nmax_series_reason = "The holder takes four."\n'
        '[my-cell.sources]\ncapacity_ah = "label {of} the cell"\n'
    )
    made = read(tmp_path, text)["my-cell"]
    assert (made.title, made.max_series_reason) == ("Shed cell", "The holder takes four.")
    assert made.sources == {"capacity_ah": "label {of} the cell"}


def line(key, text):
    """The good file with the line of one key put differently."""
    return re.sub(rf"(?m)^{key} = .*$", lambda _: text, GOOD)


SLIPS = {
    "unknown key": (
        line("capacity_ah", "capacty_ah = 1.9"),
        ["cell my-cell", '"capacty_ah"', "closest one is capacity_ah"],
    ),
    "unknown key like none": (
        GOOD + "colour = 3\n",
        ["cell my-cell", '"colour"', "Take one of: chemistry, nominal_voltage_v"],
    ),
    "missing key": (
        line("capacity_ah", ""),
        ["cell my-cell", "capacity_ah is missing", "Add a line capacity_ah ="],
    ),
    "number with its unit in quotes": (
        line("nominal_voltage_v", 'nominal_voltage_v = "1.2 V"'),
        ["cell my-cell", 'nominal_voltage_v is "1.2 V"', "Write 1.2 without the unit", "volts"],
    ),
    "number with a smaller unit": (
        line("capacity_ah", 'capacity_ah = "1900mAh"'),
        ["cell my-cell", 'capacity_ah is "1900mAh"', "Write 1.9 without", "ampere-hours"],
    ),
    "ohm sign": (
        line("resistance_ohm", 'resistance_ohm = "30 mΩ"'),
        ["cell my-cell", 'resistance_ohm is "30 mΩ"', "Write 0.03 without", "ohms"],
    ),
    "unit of another kind": (
        line("capacity_ah", 'capacity_ah = "1.9 A"'),
        ["cell my-cell", 'capacity_ah is "1.9 A"', "Write a plain number in ampere-hours"],
    ),
    "capital M is not guessed": (
        line("capacity_ah", 'capacity_ah = "1900 MAH"'),
        ["cell my-cell", "Write a plain number in ampere-hours"],
    ),
    "comma in quotes": (
        line("capacity_ah", 'capacity_ah = "1,9"'),
        ["cell my-cell", 'capacity_ah is "1,9"', "Write 1.9, with a point"],
    ),
    "comma and three digits is not guessed": (
        line("capacity_ah", 'capacity_ah = "1,900"'),
        ["cell my-cell", 'capacity_ah is "1,900"', "Write a plain number in ampere-hours"],
    ),
    "number in quotes": (
        line("capacity_ah", 'capacity_ah = "1.9"'),
        ["cell my-cell", 'capacity_ah is "1.9"', "Write 1.9 without quotes"],
    ),
    "date for a number": (
        line("capacity_ah", "capacity_ah = 2024-01-09"),
        ["cell my-cell", 'capacity_ah is "2024-01-09"', "Write a plain number in ampere-hours"],
    ),
    "nan": (
        line("capacity_ah", "capacity_ah = nan"),
        ["cell my-cell", "capacity_ah is nan", "above 0"],
    ),
    "negative": (
        line("capacity_ah", "capacity_ah = -1.9"),
        ["cell my-cell", "capacity_ah is -1.9", "above 0", "ampere-hours"],
    ),
    "number for a text": (
        line("chemistry", "chemistry = 5"),
        ["cell my-cell", 'chemistry is "5"', "40 characters", "in quotes"],
    ),
    "text too long": (
        GOOD + f'title = "{"x" * 61}"\n',
        ["cell my-cell", 'title is "xxx', "at most 60 characters", "keep it short"],
    ),
    "text for true or false": (
        GOOD + 'rechargeable = "yes"\n',
        ["cell my-cell", "rechargeable is yes", "true or false", "without quotes"],
    ),
    "pair with commas": (
        GOOD + "rested_voltage_v = [1,30, 1,40]\n",
        ["cell my-cell", "rested_voltage_v is [1, 30, 1, 40]", "two numbers", "[1.30, 1.40]"],
    ),
    "size with text": (
        GOOD + 'size_mm = ["14.5 mm", 50.5]\n',
        ["cell my-cell", 'size_mm is "14.5 mm"', "Write 14.5 without the unit", "millimetres"],
    ),
    "sources not a table": (
        GOOD + 'sources = "label"\n',
        ["cell my-cell", "sources is label", "[NAME.sources]"],
    ),
    "source of an unknown key": (
        GOOD + '[my-cell.sources]\nmass = "scales"\n',
        ["cell my-cell", '"mass"', "closest one is mass_g"],
    ),
    "unknown chemistry": (
        line("chemistry", 'chemistry = "potato"'),
        ["cell my-cell", 'chemistry is "potato"', "NiMH", "full_voltage_v and end_voltage_v"],
    ),
    "block without cells_inside": (
        line("nominal_voltage_v", "nominal_voltage_v = 8.4"),
        ["cell my-cell", "full_voltage_v is 1.45 V", "8.4 V", "cells_inside"],
    ),
    "charged primary": (
        line("chemistry", 'chemistry = "alkaline"\nrechargeable = true'),
        ["cell my-cell", "rechargeable is true", "alkaline cells must never be charged", "false"],
    ),
    "parallel primary": (
        line("chemistry", 'chemistry = "alkaline"\nmax_parallel = 2'),
        ["cell my-cell", "max_parallel is 2", "must be 1", "Write 1"],
    ),
    "past 60 V": (
        GOOD + "max_series = 42\n",
        ["cell my-cell", "max_series is 42", "at most 41", "1.45 V", "60 V", "Write 41 or less"],
    ),
    "name with a capital": (
        GOOD.replace("[my-cell]", "[My_Cell]"),
        ["cell My_Cell", 'name is "My_Cell"', "[nimh-aa]"],
    ),
    "value outside a cell": (
        "capacity_ah = 1.9\n" + GOOD,
        ["capacity_ah = 1.9", "outside a cell", "[my-cell]"],
    ),
    "empty file": ("# nothing yet\n", ["no cell", "[my-cell]"]),
    "bare comma": (
        line("capacity_ah", "capacity_ah = 1,9"),
        ["line 4", "cell my-cell", '"capacity_ah = 1,9"', "takes a point"],
    ),
    "bare unit": (
        line("nominal_voltage_v", "nominal_voltage_v = 1.2 V"),
        ["line 3", "cell my-cell", '"nominal_voltage_v = 1.2 V"', "without its unit"],
    ),
    "bare text": (
        line("chemistry", "chemistry = NiMH"),
        ["line 2", "cell my-cell", '"chemistry = NiMH"', "in quotes"],
    ),
    "no value": (
        line("capacity_ah", "capacity_ah ="),
        ["line 4", "cell my-cell", '"capacity_ah ="', "an equals sign and a value"],
    ),
    "key twice": (
        GOOD + "capacity_ah = 2.0\n",
        ["line 7", "cell my-cell", '"capacity_ah = 2.0"', "twice"],
    ),
    "cell twice": (GOOD + GOOD, ["line 7", "cell my-cell", '"[my-cell]"', "twice"]),
    "not TOML at all": ("a cell, please", ["line 1", "(none yet)", "equals sign"]),
    "bracket left open": (
        GOOD + "size_mm = [14.5, 50.5\n",
        ["cell my-cell", "Check quotes and brackets"],
    ),
    "endless digits": (
        line("capacity_ah", f"capacity_ah = {'9' * 5000}"),
        ["cell my-cell"],
    ),
    "endless hexadecimal digits": (
        line("capacity_ah", f"capacity_ah = 0x{'9' * 5000}"),
        ["cell my-cell", "capacity_ah is int", "above 0"],
    ),
    "endless brackets": (GOOD + f"size_mm = {'[' * 50_000}\n", ["cannot be read"]),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_in_a_file_is_answered_with_its_place_and_its_mend(tmp_path, slip):
    text, parts = SLIPS[slip]
    message = refused(tmp_path, text)
    assert [part for part in parts if part not in message] == []
    assert len(message) < 700


def test_a_file_that_is_not_there_or_no_text(tmp_path):
    with pytest.raises(BadFile, match=r"nowhere\.toml cannot be read. Check its name"):
        read_cells(tmp_path / "nowhere.toml")
    with pytest.raises(BadFile, match="cannot be read"):
        read_cells(tmp_path)
    (tmp_path / "own.toml").write_bytes(GOOD.replace("NiMH", "Ni\xb5").encode("latin-1"))
    with pytest.raises(BadFile, match=r"own\.toml is not UTF-8 text. Save it"):
        read_cells(tmp_path / "own.toml")


@law
@given(st.text(max_size=80), st.integers(0, len(GOOD)))
def test_whatever_is_typed_into_a_file_gives_cells_or_a_sentence(tmp_path_factory, typed, place):
    path = tmp_path_factory.mktemp("typed") / "own.toml"
    path.write_text(GOOD[:place] + typed + GOOD[place:], encoding="utf-8", newline="")
    try:
        outcome = read_cells(path)
    except BadFile as error:
        outcome = str(error)
    if isinstance(outcome, str):
        assert outcome.isprintable()
        assert len(outcome) < 900
    else:
        assert all(isinstance(each, Cell) for each in outcome.values())


def test_the_words_hold_every_mend_the_code_can_ask_for():
    units = {key.rpartition("_")[2] for key in tomllib.loads(GOOD)["my-cell"]} - {"chemistry"}
    assert units | {"g", "mm", "s"} == set(word("cells.units"))
