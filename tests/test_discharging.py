"""Runs of packs against what can be worked out by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_cells import END_V, FALL, FULL_V, OHM, ideal, straight

from packlearn.cells import Cell, Curve, catalogue, cell
from packlearn.discharging import discharge
from packlearn.loads import Load
from packlearn.packs import Pack

quick = settings(max_examples=25, deadline=None, derandomize=True)
counts = st.integers(1, 6)


# The rule of thumb as a special case.


@quick
@given(counts, counts, st.floats(0.5, 4.0), st.floats(0.1, 20.0), st.floats(0.01, 10.0))
def test_idealised_cells_obey_the_rule_of_thumb(series, parallel, volts, ah, amps):
    run = discharge(Pack(ideal(volts, ah), series, parallel), Load.current(amps))
    assert run.run_time_h == pytest.approx(parallel * ah / amps, rel=1e-9)
    assert run.energy_wh == pytest.approx(series * volts * parallel * ah, rel=1e-9)
    assert run.voltage_v[:-1] == pytest.approx(series * volts, rel=1e-11)
    assert run.charge_ah[-1] == pytest.approx(parallel * ah, rel=1e-9)
    assert run.ended_by == "end_voltage"


@pytest.mark.parametrize("name", list(catalogue()))
def test_every_cell_idealised_gives_ah_over_a(name):
    pack = Pack(cell(name).idealised(), 3, 2)
    amps = 0.3 * pack.current_limit_a
    run = discharge(pack, Load.current(amps))
    assert run.run_time_h == pytest.approx(pack.run_time_h(amps), rel=1e-9)
    assert run.mean_voltage_v == pytest.approx(pack.nominal_voltage_v, rel=1e-9)


def test_idealised_cells_with_a_power_and_a_resistance():
    pack = Pack(ideal(1.2, 2.0), 5, 3)
    power, ohms = discharge(pack, Load.power(12.0)), discharge(pack, Load.resistance(3.0))
    assert power.run_time_h == pytest.approx(36.0 / 12.0, rel=1e-9)
    assert ohms.run_time_h == pytest.approx(6.0 / 2.0, rel=1e-9)


def test_idealised_cells_are_empty_for_the_smallest_load_too():
    # A sleeping sensor: less than a microampere has to end with the charge, and soon.
    pack = Pack(ideal(1.2, 2.0), 3, 2)
    for load, amps in ((Load.current(1e-8), 1e-8), (Load.resistance(1e9), 3.6e-9)):
        for start in (1.0, [[1.0, 0.8]] * 3):
            run = discharge(pack, load, start_charge=start)
            assert run.run_time_h * amps == pytest.approx(4.0 if start == 1.0 else 3.6, rel=1e-6)
            assert len(run.time_h) < 300


def test_a_resistance_is_the_one_effect_that_is_switched_on():
    pack = Pack(cell("nimh-aa").idealised(0.03), 5, 3)
    run = discharge(pack, Load.current(3.0))
    assert run.voltage_v[:-1] == pytest.approx(6.0 - 3.0 * 0.05)
    assert run.run_time_h == pytest.approx(pack.run_time_h(3.0), rel=1e-9)


# The curves come back.


def logged(amps, drawn, volts):
    return Curve(amps, tuple(drawn), tuple(volts))


LIGHT = logged(0.2, [0.0, 0.1, 0.5, 1.0, 1.6, 1.9, 2.0], [1.42, 1.36, 1.31, 1.28, 1.24, 1.15, 0.9])
MIDDLE = logged(1.0, [0.0, 0.2, 0.6, 1.1, 1.5, 1.8], [1.36, 1.28, 1.25, 1.21, 1.16, 0.9])
HEAVY = logged(3.0, [0.0, 0.15, 0.7, 1.2, 1.5], [1.25, 1.15, 1.10, 1.04, 0.9])


def of_curves(*given, **more):
    return Cell("drawn", "NiMH", 1.2, 1.9, 4.0, 0.04, end_voltage_v=0.9, curves=given, **more)


def off_points(run, one, series=1, parallel=1):
    """How far a run lies from the points of a curve [V of a cell]."""
    volts = []
    for charge, meant in zip(one.charge_ah, one.voltage_v, strict=True):
        place = np.abs(run.charge_ah - parallel * charge).argmin()
        assert run.charge_ah[place] == pytest.approx(parallel * charge, rel=1e-7, abs=1e-12)
        volts.append(abs(run.voltage_v[place] / series - meant))
    return max(volts)


def off_between(run, one, series=1, parallel=1):
    meant = np.interp(run.charge_ah / parallel, one.charge_ah, one.voltage_v)
    return np.abs(run.voltage_v / series - meant).max()


SLOW = {"relaxation_ohm": 0.02, "relaxation_s": 200.0}
GIVEN = [
    ((LIGHT, MIDDLE), {}),
    ((MIDDLE, LIGHT, HEAVY), {}),
    ((LIGHT, MIDDLE), SLOW),
    ((LIGHT, MIDDLE, HEAVY), SLOW),
]


@pytest.mark.parametrize(("given", "more"), GIVEN)
@pytest.mark.parametrize(("series", "parallel"), [(1, 1), (4, 2)])
def test_the_given_curves_come_back_at_their_currents(given, more, series, parallel):
    pack = Pack(of_curves(*given, **more), series, parallel)
    for one in given:
        run = discharge(pack, Load.current(parallel * one.current_a))
        assert off_points(run, one, series, parallel) < 1e-9
        # Between the points a slow part bends what the data sheet joins by a straight line.
        assert off_between(run, one, series, parallel) < (1e-9 if not more else 0.0005)
        assert run.charge_ah[-1] == pytest.approx(parallel * one.charge_ah[-1], rel=1e-8)
        assert run.run_time_h == pytest.approx(one.charge_ah[-1] / one.current_a, rel=1e-8)
        assert not run.extrapolated
        assert not run.typical


@pytest.mark.parametrize("name", [n for n, c in catalogue().items() if c.curves])
def test_curves_of_the_catalogue_come_back(name):
    for one in cell(name).curves:
        run = discharge(Pack(cell(name), 1, 1), Load.current(one.current_a))
        assert off_points(run, one) < 1e-9
        # Where the cell has a slow part: 0.5 mV at most.
        assert off_between(run, one) < (0.0005 if cell(name).relaxation_ohm else 1e-9)
        assert run.charge_ah[-1] == pytest.approx(one.charge_ah[-1], rel=1e-6)


def test_between_two_curves_the_voltage_is_linear_in_the_current():
    run = discharge(Pack(of_curves(LIGHT, MIDDLE), 1, 1), Load.current(0.6))
    at = run.charge_ah < 1.7
    low, high = (
        np.interp(run.charge_ah[at], one.charge_ah, one.voltage_v) for one in (LIGHT, MIDDLE)
    )
    assert run.voltage_v[at] == pytest.approx((low + high) / 2, abs=1e-9)
    assert not run.extrapolated or run.charge_ah[-1] > MIDDLE.charge_ah[-1]


@pytest.mark.parametrize(
    ("amps", "beyond"), [(0.1, True), (0.2, False), (0.7, True), (1.0, False), (1.5, True)]
)
def test_beyond_the_curves_the_run_says_so(amps, beyond):
    # At 0.7 A the run passes the end of the 1.0 A curve, where the resistance is continued.
    run = discharge(Pack(of_curves(LIGHT, MIDDLE), 2, 1), Load.current(amps))
    assert run.extrapolated is beyond
    assert any("beyond its curves" in note for note in run.notes) is beyond


def test_a_cell_without_curves_is_typical_and_says_so():
    run = discharge(Pack(cell("nimh-d"), 4, 1), Load.current(1.7))
    assert run.typical
    assert any("typical" in note for note in run.notes)
    # Scaled so that the stated capacity comes back at its current and voltage.
    own = cell("nimh-d")
    run = discharge(Pack(own, 4, 1), Load.current(own.capacity_at_a))
    assert run.charge_ah[-1] == pytest.approx(own.capacity_ah, rel=1e-6)


# Straight lines: every load has a closed form.

STEADY = [
    (Load.current, 1.0, (FULL_V - OHM - END_V) / FALL),
    # I = E / (r + R): E falls exponentially.
    (Load.resistance, 3.0, math.log(FULL_V / (END_V * (3.0 + OHM) / 3.0)) * (3.0 + OHM) / FALL),
]


def power_time_h(watts):
    """``E = V + r W / V`` and ``dE = -fall * W / V dt``, integrated from full to the end."""
    start_v = (FULL_V + math.sqrt(FULL_V**2 - 4 * OHM * watts)) / 2
    half = (start_v**2 - END_V**2) / 2
    return (half - OHM * watts * math.log(start_v / END_V)) / (FALL * watts)


@pytest.mark.parametrize("march", [False, True])
@pytest.mark.parametrize(("series", "parallel"), [(1, 1), (3, 2)])
def test_straight_cells_end_when_worked_out_by_hand(series, parallel, march, monkeypatch):
    if march:
        monkeypatch.setattr("packlearn._simulation.running.fits", lambda *_: False)
    pack, share = Pack(straight(), series, parallel), series / parallel
    runs = [
        (Load.current(1.0 * parallel), STEADY[0][2]),
        (Load.resistance(3.0 * share), STEADY[1][2]),
        (Load.power(3.0 * series * parallel), power_time_h(3.0)),
    ]
    for load, hours in runs:
        run = discharge(pack, load)
        # Over charge it is exact; over time it is the error of many short steps.
        assert run.run_time_h == pytest.approx(hours, rel=1e-6 if march else 1e-10)
        assert run.voltage_v[-1] == pytest.approx(series * END_V, abs=1e-9)
        assert run.voltage_v[-1] >= series * END_V
        assert run.time_h[-1] == run.run_time_h


def test_a_power_keeps_its_power_and_a_resistance_its_law():
    pack = Pack(cell("nimh-aa"), 6, 1)
    power, ohms = discharge(pack, Load.power(7.0)), discharge(pack, Load.resistance(9.0))
    assert power.voltage_v * power.current_a == pytest.approx(7.0)
    assert power.energy_wh == pytest.approx(7.0 * power.run_time_h)
    assert ohms.voltage_v / ohms.current_a == pytest.approx(9.0)


def test_the_slow_part_goes_and_comes_with_its_time_constant():
    pack = Pack(straight(relaxation_ohm=0.06, relaxation_s=60.0), 2, 1)
    run = discharge(pack, Load.profile([(Load.current(1.0), 2400.0), (Load.current(0.0), 900.0)]))
    seconds = 3600 * run.time_h
    lost_v = FULL_V - FALL * run.charge_ah - run.voltage_v / 2
    # After 40 minutes it has set in: 0.1 V in all. The lines leave up to 0.4 mV of it out.
    rest = (seconds >= 2400.0) & (seconds <= 3300.0) & (run.current_a == 0)
    assert rest.sum() > 5
    assert lost_v[rest] == pytest.approx(0.06 * np.exp(-(seconds[rest] - 2400.0) / 60.0), abs=5e-4)
    again = (seconds >= 3300.0) & (seconds <= 5700.0) & (run.current_a == 1.0)
    settling = 0.1 - 0.06 * np.exp(-(seconds[again] - 3300.0) / 60.0)
    assert again.sum() > 5
    assert lost_v[again] == pytest.approx(settling, abs=5e-4)
