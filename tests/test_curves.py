"""What discharge curves say of a cell: lines, capacity, charge left; and what a curve must be."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_cells import FALL, FULL_V, OHM, ideal, straight

from packlearn import _tables, curves
from packlearn.cells import Cell, Curve, catalogue, cell, read_cells
from packlearn.discharging import discharge
from packlearn.errors import BadFile, BadValue
from packlearn.loads import Load
from packlearn.packs import Pack

NAMES = list(catalogue())
each_name = pytest.mark.parametrize("name", NAMES)

LIGHT = Curve(0.2, (0.0, 0.5, 1.0, 1.6, 1.9, 2.0), (1.42, 1.31, 1.28, 1.24, 1.15, 0.9))
HEAVY = Curve(1.0, (0.0, 0.6, 1.1, 1.5, 1.8), (1.36, 1.25, 1.21, 1.16, 0.9))
HARD = Curve(3.0, (0.0, 0.7, 1.2, 1.5), (1.25, 1.10, 1.04, 0.9))
BASE = {
    "name": "drawn", "chemistry": "NiMH", "nominal_voltage_v": 1.2, "capacity_ah": 1.9,
    "current_limit_a": 4.0, "resistance_ohm": 0.04, "end_voltage_v": 0.9,
}  # fmt: skip


def drawn(*given, **more):
    return Cell(**(BASE | more), curves=given)


# Lines.


def test_straight_curves_give_their_line_and_resistance():
    one, charge = straight(), np.linspace(0.0, 2.0, 9)
    assert curves.open_circuit_v(one, charge) == pytest.approx(FULL_V - FALL * charge)
    assert curves.resistance_ohm(one, charge) == pytest.approx(np.full(9, OHM))
    assert curves.voltage_v(one, 1.3, charge) == pytest.approx(FULL_V - FALL * charge - 0.13)


@pytest.mark.parametrize("given", [(LIGHT, HEAVY), (LIGHT, HARD), (LIGHT, HEAVY, HARD)])
def test_the_voltage_at_a_given_current_is_the_curve(given):
    one = drawn(*given)
    for curve in given:
        charge = np.linspace(0.0, curve.charge_ah[-1], 301)
        meant = np.interp(charge, curve.charge_ah, curve.voltage_v)
        assert curves.voltage_v(one, curve.current_a, charge) == pytest.approx(meant, abs=1e-12)


def test_three_curves_make_two_resistances():
    one = drawn(LIGHT, HEAVY, HARD)
    volts = [np.interp(0.8, c.charge_ah, c.voltage_v) for c in (LIGHT, HEAVY, HARD)]
    low, high = (volts[0] - volts[1]) / 0.8, (volts[1] - volts[2]) / 2.0
    assert curves.resistance_ohm(one, 0.8) == pytest.approx(low)
    assert curves.resistance_ohm(one, 0.8, 0.9) == pytest.approx(low)
    assert curves.resistance_ohm(one, 0.8, 1.1) == pytest.approx(high)
    assert curves.resistance_ohm(one, 0.8, 99.0) == pytest.approx(high)
    # The voltage itself does not jump where one pair hands over to the next.
    assert curves.voltage_v(one, 1.0 - 1e-9, 0.8) == pytest.approx(curves.voltage_v(one, 1.0, 0.8))
    assert curves.voltage_v(one, 1.0 + 1e-9, 0.8) == pytest.approx(volts[1])
    # Nor past the ends of the shorter curves.
    for charge in (1.6, 1.85, 1.95):
        below, above = (curves.voltage_v(one, 1.0 + hair, charge) for hair in (-1e-9, 1e-9))
        assert below == pytest.approx(above, abs=1e-6)


def test_past_the_shorter_curve_the_resistance_goes_on_rising():
    one = drawn(LIGHT, HEAVY)
    last = 1.8
    near = (curves.resistance_ohm(one, last) - curves.resistance_ohm(one, 0.97 * last)) / 0.03
    there = curves.resistance_ohm(one, 1.05 * last)
    assert there == pytest.approx(curves.resistance_ohm(one, last) + 0.05 * near, rel=0.05)
    # The longer curve itself still comes back there.
    assert curves.voltage_v(one, 0.2, 1.9) == pytest.approx(1.15)


def test_charging_raises_the_voltage():
    assert curves.voltage_v(straight(), -1.0, 1.0) == pytest.approx(FULL_V - FALL + OHM)


def test_arrays_are_broadcast_and_numbers_stay_numbers():
    one = cell("nimh-aa")
    grid = curves.voltage_v(one, np.array([[0.2], [1.0]]), np.linspace(0, 1.8, 5))
    assert grid.shape == (2, 5)
    assert grid[1, 3] == curves.voltage_v(one, 1.0, 1.35)
    for value in (curves.voltage_v(one, 1, 1), curves.open_circuit_v(one, 1),
                  curves.resistance_ohm(one, 1), curves.capacity_ah(one, 1)):  # fmt: skip
        assert type(value) is float


@each_name
def test_every_cell_falls_under_every_load(name):
    one = cell(name)
    charge = np.linspace(0.0, 1.3 * one.capacity_ah, 400)
    known = max([c.current_a for c in one.curves], default=one.current_limit_a)
    for share in (0.0, 0.1, 0.5, 1.0):
        volts = curves.voltage_v(one, share * known, charge)
        # 5 mV: the pouch cell's line at no current rises by a hair at its start.
        assert np.max(volts - np.minimum.accumulate(volts)) < 0.005 * one.cells_inside
    light, heavy = (curves.voltage_v(one, x * one.current_limit_a, charge) for x in (0.1, 0.5))
    assert np.all(light > heavy)
    assert np.all(curves.resistance_ohm(one, charge) > 0)


@each_name
def test_beyond_full_and_far_past_empty_the_lines_stay_sane(name):
    one = cell(name)
    beyond = curves.open_circuit_v(one, np.array([-0.5, -0.05, 3.0, 50.0]) * one.capacity_ah)
    assert beyond[0] <= 1.15 * one.full_voltage_v
    assert beyond[0] == pytest.approx(beyond[1])
    # Where a cell that others drive on settles.
    assert beyond[2] == beyond[3]
    assert -1.5 * one.cells_inside <= beyond[2] < 0


# Typical shapes.


@each_name
def test_typical_or_own(name):
    assert curves.is_typical(cell(name)) is (not cell(name).curves)


@pytest.mark.parametrize("name", [n for n in NAMES if not cell(n).curves])
def test_a_shape_is_scaled_so_that_the_stated_capacity_comes_back(name):
    one = cell(name)
    assert curves.capacity_ah(one, one.capacity_at_a, one.capacity_to_v) == pytest.approx(
        one.capacity_ah, rel=1e-9
    )


def test_two_sizes_of_one_chemistry_have_one_shape():
    small = drawn(capacity_to_v=1.0, capacity_at_a=0.38)
    large = drawn(capacity_to_v=1.0, capacity_at_a=3.8, capacity_ah=19.0, resistance_ohm=0.004)
    shares = np.linspace(0, 1.1, 12)
    volts = [
        curves.voltage_v(c, 0.1 * c.capacity_ah, shares * c.capacity_ah) for c in (small, large)
    ]
    assert volts[0] == pytest.approx(volts[1])


def test_an_unknown_chemistry_keeps_its_nominal_voltage():
    one = ideal(1.2, 2.0, 0.1)
    assert curves.is_typical(one)
    assert curves.voltage_v(one, 1.0, np.linspace(0, 2.0, 5)) == pytest.approx(np.full(5, 1.1))
    # Past empty it still shows its voltage to a meter, but gives nothing.
    assert curves.open_circuit_v(one, 2.1) == pytest.approx(1.2)
    assert curves.resistance_ohm(one, 2.1) > 1e5
    assert curves.capacity_ah(one, 1.0) == pytest.approx(2.0)


def test_lines_are_worked_out_once_for_equal_cells():
    assert _tables.table(straight()) is _tables.table(straight())
    assert _tables.table(straight()) is not _tables.table(straight(ohm=0.2))


# Capacity and curve.


def test_capacity_where_the_straight_line_meets_the_voltage():
    one = straight()
    assert curves.capacity_ah(one, 1.0) == pytest.approx((FULL_V - OHM - 3.1) / FALL)
    assert curves.capacity_ah(one, 0.0, 3.5) == pytest.approx(1.0)
    assert curves.capacity_ah(one, 2.0, 3.9) == 0.0
    # A voltage it never comes to: all there is.
    assert curves.capacity_ah(one, 0.5, -50.0) >= 2.0


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(NAMES), st.floats(0.02, 1.0), st.floats(0.7, 1.0))
def test_capacity_falls_with_the_current_and_with_the_voltage(name, part, to):
    one = cell(name)
    amps, volts = part * one.current_limit_a, to * one.nominal_voltage_v
    known = curves.capacity_ah(one, amps, volts)
    assert curves.capacity_ah(one, 1.1 * amps, volts) <= known
    assert curves.capacity_ah(one, amps, 1.02 * volts) <= known
    assert known <= curves.capacity_ah(one, 0.0, volts) * (1 + 1e-9)


@settings(max_examples=30, deadline=None)
@given(st.sampled_from([n for n in NAMES if not cell(n).relaxation_ohm]), st.floats(0.05, 1.0))
def test_capacity_is_what_a_run_gives(name, part):
    one = cell(name)
    amps = part * one.current_limit_a
    run = discharge(Pack(one, 1, 1), Load.current(amps))
    assert run.charge_ah[-1] == pytest.approx(curves.capacity_ah(one, amps), rel=1e-6, abs=1e-9)


@each_name
@pytest.mark.parametrize("points", [120, 12])
def test_a_curve_for_drawing_runs_from_full_to_the_end(name, points):
    one = cell(name)
    amps = 0.2 * one.current_limit_a
    charge, volts = curves.curve(one, amps, points=points)
    assert len(charge) == len(volts) <= points
    assert charge[0] == 0.0
    assert np.all(np.diff(charge) > 0)
    assert charge[-1] == pytest.approx(curves.capacity_ah(one, amps))
    assert volts[-1] == pytest.approx(one.end_voltage_v, abs=1e-6)
    assert volts == pytest.approx(curves.voltage_v(one, amps, charge))
    shorter, _ = curves.curve(one, amps, to_v=1.05 * one.end_voltage_v)
    assert shorter[-1] < charge[-1]


# Charge left from a voltage.


TABLE_V, TABLE = [3.0, 3.2, 3.2, 3.4], [0.0, 0.2, 0.6, 1.0]


@pytest.mark.parametrize(
    ("reading", "error", "meant"),
    [
        (3.1, 0.0, (0.1, 0.1)),
        (3.3, 0.0, (0.8, 0.8)),
        # Where the table is flat a reading says no more than its two ends.
        (3.2, 0.0, (0.2, 0.6)),
        (3.2, 0.1, (0.1, 0.8)),
        (2.9, 0.0, (0.0, 0.0)),
        (3.9, 0.0, (1.0, 1.0)),
        (3.0, 0.5, (0.0, 1.0)),
    ],
)
def test_share_at_in_a_table(reading, error, meant):
    assert curves.share_at(TABLE_V, TABLE, reading, error) == pytest.approx(meant)
    per_cent = [100 * share for share in TABLE]
    in_per_cent = curves.share_at(TABLE_V, per_cent, reading, error)
    assert in_per_cent == pytest.approx([100 * share for share in meant])


# What is wrong is told: value, limit, mend.

NIMH = cell("nimh-aa")
WRONG = [
    (lambda: curves.capacity_ah(NIMH, -1), "-1 A", "from 0 A up", "what one cell delivers"),
    (lambda: curves.capacity_ah(NIMH, "1 A"), "1 A", "from 0 A up", "in amps"),
    (lambda: curves.capacity_ah(NIMH, 1, "low"), "low", "volts", "0.9"),
    (lambda: curves.charge_left(NIMH, "1.2 V"), "1.2 V", "volts", "1.27"),
    (lambda: curves.charge_left(NIMH, 1.2, -0.1), "-0.1", "from 0 V up", "how far the meter"),
    (lambda: curves.share_at([3.0, 3.2], [0, 0.5, 1], 3.1), "3 charges", "2 voltages", "as many"),
    (lambda: curves.share_at([3.0], [0], 3.1), "two or more", "pairs that belong together"),
    (lambda: curves.share_at([3.2, 3.0], [0, 1], 3.1), "[3.2, 3.0]", "Sort it"),
    (lambda: curves.share_at([3.0, 3.2], [1, 0], 3.1), "not in order", "shares rise"),
    (lambda: Curve(0, (0, 1), (2, 1)), "0.0 A", "above 0 A", "the data sheet names"),
    (lambda: Curve("1 A", (0, 1), (2, 1)), "'1 A'", "current_a", "without a unit"),
    (lambda: Curve(True, (0, 1), (2, 1)), "True", "current_a", "without a unit"),
    (lambda: Curve(1, (0, 1), (2, float("nan"))), "nan", "voltage_v", "with a point"),
    (lambda: Curve(1, (0, 1), 2), "2 is not a row", "voltage_v", "[0.0, 0.5, 1.0]"),
    (lambda: Curve(1, (0,), (2,)), "1 charges", "1 voltages", "two or more"),
    (lambda: Curve(1, (0, 1, 2), (2, 1)), "3 charges", "2 voltages", "pairs that belong together"),
    (lambda: Curve(1, (0, 2, 1), (3, 2, 1)), "1.0 Ah", "rise from 0 Ah", "Sort the points"),
    (lambda: Curve(1, (-1, 1), (2, 1)), "-1.0 Ah", "rise from 0 Ah", "Sort the points"),
    (lambda: Curve(1, (0, 1), (1, 2)), "from 1.0 V to 2.0 V", "must not rise", "Smooth the curve"),
    (lambda: Curve(1, (0, 1), (2, 1), 500), "500", "-100 and 200", "Give degrees"),
    (lambda: Curve(1, [0] * 6000, [0] * 6000), "5000", "not a row", "[0.0, 0.5"),
    (lambda: Cell(**BASE, curves="two"), "'two'", "curves", "Give a row of curves"),
    (lambda: Cell(**BASE, curves=[3]), "3", "not a discharge curve", "Give a Curve"),
    (lambda: drawn(LIGHT, LIGHT), "0.2 A", "Two curves", "Leave one of them out"),
    (lambda: drawn(LIGHT, dataclasses.replace(LIGHT, current_a=1)), "1.0 A", "0.2 A", "Read both"),
    (
        lambda: Cell(**BASE, curves=[{"current": 1, "charge_ah": [0, 1], "voltage_v": [2, 1]}]),
        "no key 'current'", "current_a, charge_ah, voltage_v",
    ),
    (lambda: Cell(**BASE, curves=[{"current_a": 1}]), "lacks charge_ah", "It needs current_a"),
]  # fmt: skip


@pytest.mark.parametrize(("wrong", "told"), [(first, rest) for first, *rest in WRONG])
def test_a_wrong_value_is_told_with_limit_and_mend(wrong, told):
    with pytest.raises(BadValue) as caught:
        wrong()
    for part in told:
        assert part in str(caught.value)


def test_curves_are_kept_in_the_order_of_their_currents():
    assert drawn(HARD, LIGHT, HEAVY).curves == (LIGHT, HEAVY, HARD)
    assert drawn(HEAVY, LIGHT) == drawn(LIGHT, HEAVY)
    assert Curve(0.2, list(LIGHT.charge_ah), np.array(LIGHT.voltage_v)) == LIGHT
    assert hash(drawn(LIGHT, HEAVY)) == hash(drawn(HEAVY, LIGHT))


FILE = """
[mine]
chemistry = "NiMH"
nominal_voltage_v = 1.2
capacity_ah = 1.9
current_limit_a = 4.0
resistance_ohm = 0.04

[[mine.curves]]
current_a = 0.2
charge_ah = [0.0, 1.0, 2.0]
voltage_v = [1.40, 1.25, 1.00]

[[mine.curves]]
current_a = 2.0
charge_ah = [0.0, 0.9, 1.7]
voltage_v = [1.30, 1.15, 1.00]
"""


def test_a_file_of_ones_own_may_hold_curves(tmp_path):
    (tmp_path / "cells.toml").write_text(FILE, encoding="utf-8")
    mine = read_cells(tmp_path / "cells.toml")["mine"]
    assert not curves.is_typical(mine)
    assert curves.voltage_v(mine, 2.0, 0.9) == pytest.approx(1.15)
    assert discharge(Pack(mine, 4, 1), Load.current(2.0)).run_time_h == pytest.approx(0.85)


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ("[1.30, 1.15, 1.00]", "[1.30, 1.15]", "3 charges and 2 voltages"),
        ("[1.30, 1.15, 1.00]", "[1.30, 1.15, 1.20]", "must not rise"),
        ("current_a = 2.0", "current_a = 0.2", "Leave one of them out"),
        ("charge_ah = [0.0, 0.9, 1.7]", "charge = [0.0, 0.9, 1.7]", "no key 'charge'"),
    ],
)
def test_a_mistake_in_a_file_names_file_and_cell(right, wrong, told, tmp_path):
    (tmp_path / "cells.toml").write_text(FILE.replace(right, wrong), encoding="utf-8")
    with pytest.raises(BadFile) as caught:
        read_cells(tmp_path / "cells.toml")
    for part in (told, "cells.toml", "mine"):
        assert part in str(caught.value)
