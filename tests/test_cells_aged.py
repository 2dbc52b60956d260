"""Aged and smaller cells: their runs are the scaled runs; a capacity that its curves deny."""

import dataclasses

import numpy as np
import pytest
from plain_cells import END_V, FALL, FULL_V, OHM, ideal, straight

from packlearn import curves
from packlearn.cells import Cell, Curve, catalogue, cell, read_cells
from packlearn.discharging import discharge
from packlearn.errors import BadFile, BadValue
from packlearn.loads import Load
from packlearn.packs import Pack

NAMES = list(catalogue())
each_name = pytest.mark.parametrize("name", NAMES)
TWO_CURVES = [n for n in NAMES if len(cell(n).curves) == 2]


def run(one, load, **more):
    return discharge(Pack(one, 2 if one.cells_inside == 1 else 1, 1), load, **more)


# A smaller cell of the same build: resistance goes up as capacity goes down.


@each_name
@pytest.mark.parametrize("share", [0.8, 0.35])
def test_at_the_same_c_rate_a_smaller_cell_runs_as_long(name, share):
    new = cell(name)
    small = new.aged(capacity=share, resistance=1 / share)
    assert small.capacity_ah == pytest.approx(share * new.capacity_ah, rel=1e-12)
    for part in (0.1, 0.4):
        amps = part * new.current_limit_a
        whole, scaled = run(new, Load.current(amps)), run(small, Load.current(share * amps))
        assert scaled.run_time_h == pytest.approx(whole.run_time_h, rel=1e-9)
        assert scaled.energy_wh == pytest.approx(share * whole.energy_wh, rel=1e-9)
        assert curves.capacity_ah(small, share * amps) == pytest.approx(
            share * curves.capacity_ah(new, amps), rel=1e-9
        )


def test_so_it_does_at_a_constant_power():
    new = cell("li-ion-18650-power")
    small = new.aged(0.8, 1.25)
    whole, scaled = run(new, Load.power(20.0)), run(small, Load.power(16.0))
    assert scaled.run_time_h == pytest.approx(whole.run_time_h, rel=1e-9)


# Less charge at the same resistance.


@pytest.mark.parametrize("name", [n for n in TWO_CURVES if not cell(n).relaxation_ohm])
def test_at_the_same_current_four_fifths_of_the_charge_last_four_fifths_as_long(name):
    new = cell(name)
    for part in (0.1, 0.5):
        amps = part * new.current_limit_a
        whole, aged = run(new, Load.current(amps)), run(new.aged(0.8), Load.current(amps))
        assert aged.run_time_h == pytest.approx(0.8 * whole.run_time_h, rel=1e-9)


@each_name
def test_a_reading_of_an_aged_cell_is_a_share_of_what_it_holds_now(name):
    new = cell(name)
    volts = new.cells_inside * np.interp(0.4, [0, 1], [new.end_voltage_v, new.full_voltage_v])
    aged = new.aged(0.7, 1.3)
    before, after = (curves.charge_left(one, volts / new.cells_inside) for one in (new, aged))
    assert after == pytest.approx(before, abs=0.03)
    assert curves.is_measured_at_rest(aged) is curves.is_measured_at_rest(new)


# More resistance.


def test_a_straight_cell_by_hand():
    aged = straight().aged(capacity=0.8, resistance=1.5)
    drawn = np.linspace(0.0, 1.6, 5)
    meant = FULL_V - FALL * drawn / 0.8 - 1.5 * OHM * 1.2
    assert curves.voltage_v(aged, 1.2, drawn) == pytest.approx(meant)
    hours = 0.8 * (FULL_V - 1.5 * OHM * 1.2 - END_V) / FALL / 1.2
    found = discharge(Pack(aged, 1, 1), Load.current(1.2))
    assert found.run_time_h == pytest.approx(hours)
    assert aged.resistance_ohm == pytest.approx(1.5 * straight().resistance_ohm)


@pytest.mark.parametrize("name", [n for n in TWO_CURVES if not cell(n).relaxation_ohm])
def test_the_drop_grows_and_the_voltage_at_no_current_stays(name):
    new = cell(name)
    aged = new.aged(resistance=1.5)
    # Just behind its first spike the primary lithium cell's curve would rise, 4 mV: not there.
    drawn = np.linspace(0.3, 1.1, 40) * new.curves[1].charge_ah[-1]
    open_v = curves.open_circuit_v(new, drawn)
    assert curves.open_circuit_v(aged, drawn) == pytest.approx(open_v, abs=1e-9)
    ohm = curves.resistance_ohm(new, drawn)
    assert curves.resistance_ohm(aged, drawn) == pytest.approx(1.5 * ohm, rel=1e-9)
    assert run(aged, Load.current(0.5)).run_time_h < run(new, Load.current(0.5)).run_time_h


@pytest.mark.parametrize("name", ["alkaline-aa", "li-ion-pouch-2ah"])
def test_a_slow_part_ages_too(name):
    new = cell(name)
    aged = new.aged(resistance=1.5)
    assert aged.relaxation_ohm == pytest.approx(1.5 * new.relaxation_ohm)
    assert aged.relaxation_s == pytest.approx(1.5 * new.relaxation_s)
    for old, now in zip(new.curves, aged.curves, strict=True):
        whole, worn = (
            discharge(Pack(one, 1, 1), Load.current(old.current_a)) for one in (new, aged)
        )
        for part in (0.3, 0.5, 0.7):
            drawn = part * old.charge_ah[-1]
            open_v = curves.open_circuit_v(new, drawn)
            drops = [open_v - np.interp(drawn, r.charge_ah, r.voltage_v) for r in (whole, worn)]
            assert drops[1] == pytest.approx(1.5 * drops[0], rel=0.02)
        # At once: 1.5 times what the new cell loses at once.
        at_once = [curves.open_circuit_v(new, 0.0) - c.voltage_v[0] for c in (old, now)]
        assert at_once[1] == pytest.approx(1.5 * at_once[0], rel=1e-9)


def test_curves_of_a_cold_day_and_a_lone_one_age_too():
    cold = (
        Curve(0.5, (0.0, 1.5), (3.6, 2.9), 0.0),
        Curve(1.0, (0.0, 1.5), (3.4, 2.7), 0.0),
        Curve(1.0, (0.0, 1.0), (3.1, 2.2), -20.0),
    )
    warm = straight()
    aged = dataclasses.replace(warm, curves=warm.curves + cold).aged(0.5, 3.0)
    by_place = {(c.temperature_degc, c.current_a): c for c in aged.curves}
    # 0 degC: 3.8 V at no current, 0.4 ohm; half the current, three times the resistance.
    assert by_place[0.0, 0.5].charge_ah == (0.0, 0.75)
    assert by_place[0.0, 0.5].voltage_v == pytest.approx((3.8 - 0.6, 3.1 - 0.6))
    # A lone curve has the stated resistance only: 0.05 V more at 1.5 times the drop.
    assert by_place[-20.0, 0.5].voltage_v == pytest.approx((3.05, 2.15))


def test_nothing_changes_unless_told_and_steps_add_up():
    for one in catalogue().values():
        assert one.aged() == one
    one = cell("nimh-aa")
    twice, once = one.aged(0.8, 1.5).aged(0.5, 2.0), one.aged(0.4, 3.0)
    assert twice.capacity_ah == pytest.approx(once.capacity_ah)
    for a, b in zip(twice.curves, once.curves, strict=True):
        assert a.charge_ah == pytest.approx(b.charge_ah)
        assert a.voltage_v == pytest.approx(b.voltage_v)
    # The rule of thumb's cell has no curves at all.
    flat = ideal(1.2, 2.0, 0.1).aged(0.8, 1.5)
    assert (flat.capacity_ah, flat.resistance_ohm) == pytest.approx((1.6, 0.15))
    found = discharge(Pack(flat, 1, 1), Load.current(1.0))
    assert found.run_time_h == pytest.approx(1.6)


def test_far_aged_cells_still_are_cells():
    for one in catalogue().values():
        for capacity, resistance in ((0.05, 1.0), (1.0, 5.0), (0.3, 0.2), (0.5, 100.0)):
            aged = one.aged(capacity, resistance)
            light, heavy = (curves.capacity_ah(aged, c * aged.capacity_ah) for c in (0.01, 1.0))
            assert 0 <= heavy <= light


@pytest.mark.parametrize(
    ("make", "value", "limit", "mend"),
    [
        (lambda one: one.aged(80), "80", "at most 1", "0.8 for 80 %"),
        (lambda one: one.aged(0), "0", "above 0", "0.8 for 80 %"),
        (lambda one: one.aged("0.8"), "'0.8'", "above 0", "0.8 for 80 %"),
        (lambda one: one.aged(0.8, 150), "150", "at most 100", "1.5 for half as much"),
        (lambda one: one.aged(0.8, -1), "-1", "above 0", "1.5 for half as much"),
        (lambda one: one.aged(0.8, float("nan")), "nan", "above 0", "1.5 for half as much"),
    ],
)
def test_a_wrong_share_is_told(make, value, limit, mend):
    with pytest.raises(BadValue) as caught:
        make(cell("nimh-aa"))
    for part in (value, limit, mend):
        assert part in str(caught.value)


# A capacity that the curves deny.


@pytest.mark.parametrize("factor", [0.5, 0.7, 1.3, 2.0])
def test_a_capacity_far_from_its_curves_is_refused(factor):
    for name in [n for n in NAMES if cell(n).curves]:
        one = cell(name)
        with pytest.raises(BadValue, match=r"aged\(capacity=") as caught:
            dataclasses.replace(one, capacity_ah=factor * one.capacity_ah)
        assert f"{factor * one.capacity_ah:.4g} Ah" in str(caught.value)


def test_a_capacity_near_its_curves_or_at_another_current_is_taken():
    one = cell("nimh-aa")
    for factor in (0.8, 1.2):
        changed = dataclasses.replace(one, capacity_ah=factor * one.capacity_ah)
        assert changed.capacity_ah == factor * one.capacity_ah
    # A label that holds at 0.025 A beside a curve for 0.5 A, of which no more than half comes.
    curve = cell("alkaline-aa").curves[1]
    base = dict.fromkeys(("capacity_at_a",), 0.025)
    label = Cell("label", "alkaline", 1.5, 2.85, 1.0, 0.2, curves=(curve,), **base)
    assert label.capacity_ah == 2.85
    for free in (None, 0.025):
        assert dataclasses.replace(label, capacity_at_a=free).capacity_ah == 2.85
    # Without curves at room temperature there is nothing to hold it against.
    cold = dataclasses.replace(curve, temperature_degc=-10.0)
    at_it = dataclasses.replace(label, capacity_at_a=0.5, curves=(cold,))
    assert at_it.capacity_ah == 2.85


def test_a_file_with_such_a_capacity_names_the_cell(tmp_path):
    text = """
[mine]
chemistry = "NiMH"
nominal_voltage_v = 1.2
capacity_ah = 19
capacity_at_a = 0.2
current_limit_a = 4
resistance_ohm = 0.03
[[mine.curves]]
current_a = 0.2
charge_ah = [0.0, 1.9]
voltage_v = [1.4, 1.0]
"""
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadFile, match=r"cell mine.*19 Ah.*1\.9 Ah"):
        read_cells(path)
