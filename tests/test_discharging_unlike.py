"""Packs of unlike cells: who goes first, who is driven backwards, how the current is shared."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_cells import END_V, FALL, FULL_V, OHM, ideal, straight

from packlearn import curves
from packlearn._simulation import in_line
from packlearn.cells import catalogue, cell
from packlearn.discharging import Spread, discharge
from packlearn.loads import Converter, LinearRegulator, Load
from packlearn.packs import Pack

# Two cells side by side, charges unlike.


def test_unequal_cells_side_by_side_equalise_as_worked_out_by_hand():
    """``dq1/dt = I/2 + (E1 - E2) / 2r``: the difference dies away with 2r / 2 fall."""
    pack = Pack(straight(), 1, 2)
    run = discharge(pack, Load.current(0.4), start_charge=[[1.0, 0.8]])
    gap_ah = run.cell_charge_ah[:, 0, 1] - run.cell_charge_ah[:, 0, 0]
    by_hand = 0.4 * np.exp(-run.time_h * FALL / OHM)
    assert gap_ah == pytest.approx(by_hand, abs=3e-4)
    # At first the fuller cell charges the other: (0.2 V / 0.2 ohm) = 1 A between them.
    assert run.cell_current_a[0, 0] == pytest.approx([0.2 + 1.0, 0.2 - 1.0])
    mean = (0.4 + 0.4 * run.time_h) / 2
    volts = FULL_V - FALL * mean - OHM * 0.2
    assert run.voltage_v == pytest.approx(volts, abs=1e-9)
    end_h = ((FULL_V - OHM * 0.2 - END_V) / FALL * 2 - 0.4) / 0.4
    assert run.run_time_h == pytest.approx(end_h, rel=1e-9)


def test_unequal_resistances_share_the_current_by_ohms_law():
    soft = straight(ohm=0.3)
    run = discharge(Pack.of_cells([[straight(), soft]]), Load.current(1.0))
    # Equal charges at first, so the currents stand as 1/0.1 to 1/0.3.
    assert run.cell_current_a[0, 0] == pytest.approx([0.75, 0.25])
    # Later the voltages of the cells make up for it: both empty at the same rate.
    assert run.cell_current_a[-1, 0] == pytest.approx([0.5, 0.5], abs=0.01)


def test_ideal_cells_side_by_side_last_as_long_as_their_sum():
    for ohm in (0.0, 0.05):
        pack = Pack.of_cells([[ideal(1.2, 1.0, ohm), ideal(1.2, 3.0, ohm)]])
        for amps in (0.1, 1.0):
            run = discharge(pack, Load.current(amps))
            assert run.run_time_h == pytest.approx(4.0 / amps, rel=1e-6)
            assert run.energy_wh == pytest.approx(4.0 * (1.2 - amps * run_ohm(ohm)), rel=0.02)
    half = discharge(
        Pack(ideal(1.2, 2.0), 2, 2), Load.current(1.0), start_charge=[[1, 0.5], [1, 1]]
    )
    assert half.run_time_h == pytest.approx(3.0, rel=1e-6)


def run_ohm(ohm):
    """Two side by side, then one alone: half the charge passes through each."""
    return 0.5 * ohm / 2 + 0.5 * ohm


@pytest.mark.parametrize("load", [Load.current(0.3), Load.resistance(12.0), Load.power(2.0)])
def test_no_voltage_is_made_up_where_an_ideal_cell_is_empty(load):
    # Between full of voltage and giving nothing lies a rise no charge can tell the places of.
    rows = [[cell("li-ion-pouch-2ah")], [ideal(0.5, 0.1)] * 3, [ideal(0.5, 5.0, 0.05)] * 3]
    run = discharge(Pack.of_cells(rows), load)
    assert run.cell_charge_ah[-1, 1] == pytest.approx([0.1] * 3, rel=1e-6)
    assert run.group_voltage_v[:, 1] == pytest.approx(0.5)
    assert run.group_voltage_v.sum(axis=1) == pytest.approx(run.voltage_v)
    most = discharge(Pack(ideal(18.0, 7.0, 1.0), 12, 6), load, spread=Spread(0.3, 0.3), packs=3,
                     start_charge=1e-9)  # fmt: skip
    assert np.all(most.voltage_v <= 12 * 18.0)


# Cells in line.


def test_the_smallest_cell_in_line_goes_first():
    # 24 V of 1.5 Ah and 10 Ah (case C13): with protection only the small one's charge is got.
    small, large = ideal(12.0, 1.5), ideal(12.0, 10.0)
    pack = Pack.of_cells([[large], [small]])
    run = discharge(pack, Load.current(0.5), protected=True)
    assert run.run_time_h == pytest.approx(3.0, rel=1e-6)
    assert run.ended_by == "cell_end_voltage"
    assert run.weakest == (2, "A")
    assert run.energy_wh == pytest.approx(36.0, rel=1e-6)


WEAK = [[1.0], [1.0], [1.0], [0.3], [1.0]]


def test_a_weak_cell_is_driven_backwards_and_the_run_tells_which_and_when():
    pack = Pack(cell("nimh-aa"), 5, 1)
    run = discharge(pack, Load.current(1.0), start_charge=WEAK)
    empty, reverse = run.events
    assert (empty.kind, reverse.kind) == ("cell_empty", "cell_reversed")
    assert (empty.group, empty.string) == (reverse.group, reverse.string) == run.weakest == (4, "A")
    assert empty.voltage_v == pytest.approx(1.0, abs=1e-9)
    assert reverse.voltage_v < 1e-9
    # 1.0 A from 0.3 * 1.9 Ah, to the same voltage as the capacity at 1.0 A.
    left_ah = curves.capacity_ah(cell("nimh-aa"), 1.0) - 0.7 * 1.9
    assert empty.time_h == pytest.approx(left_ah, rel=1e-9)
    assert empty.time_h < reverse.time_h < run.run_time_h
    at = np.interp(reverse.time_h, run.time_h, run.group_voltage_v[:, 3])
    assert abs(at) < 0.01
    assert run.group_voltage_v[-1, 3] < 0 < run.group_voltage_v[-1, [0, 1, 2, 4]].min()
    # It goes on giving charge: the others push it through.
    assert run.cell_charge_ah[-1, 3, 0] > cell("nimh-aa").capacity_ah
    assert run.extrapolated


def test_protection_stops_before_anything_is_driven_backwards():
    pack = Pack(cell("nimh-aa"), 5, 1)
    run = discharge(pack, Load.current(1.0), start_charge=WEAK, protected=True)
    free = discharge(pack, Load.current(1.0), start_charge=WEAK)
    assert run.ended_by == "cell_end_voltage"
    assert run.run_time_h == pytest.approx(free.events[0].time_h, rel=1e-9)
    assert run.group_voltage_v[-1].min() == pytest.approx(1.0, abs=1e-9)
    assert run.weakest == (4, "A")
    assert not [event for event in run.events if event.kind == "cell_reversed"]
    assert run.run_time_h < free.run_time_h


def test_groups_and_strings_are_named_in_their_order():
    starts = np.ones((4, 3))
    starts[1, 2] = 0.1
    run = discharge(Pack(cell("li-ion-18650-energy"), 4, 3), Load.current(5.0), start_charge=starts)
    assert run.weakest == (2, "C")
    assert run.events[0].group == 2
    assert run.cell_charge_ah.shape == run.cell_current_a.shape == (len(run.time_h), 4, 3)
    assert run.cell_charge_ah[0, 1, 2] == pytest.approx(0.9 * 3.4)
    assert run.group_voltage_v.shape == (len(run.time_h), 4)


def test_several_groups_run_empty_in_the_order_of_their_charge():
    starts = [[1.0], [0.5], [0.6], *[[1.0]] * 5, [0.55], [1.0]]
    pack = Pack(cell("li-ion-18650-energy"), 10, 1)
    run = discharge(pack, Load.current(1.7), start_charge=starts)
    empty = [event.group for event in run.events if event.kind == "cell_empty"]
    assert empty[:2] == [2, 9]
    times = [event.time_h for event in run.events]
    assert times == sorted(times)


def test_equal_cells_have_no_weakest():
    assert discharge(Pack(cell("nimh-aa"), 4, 2), Load.current(1.0)).weakest is None
    equal = discharge(Pack.of_cells([[cell("nimh-aa")] * 2] * 4), Load.current(1.0))
    assert equal.weakest is None
    assert equal.events == ()


def test_a_pack_of_equal_cells_is_the_same_either_way_it_is_written():
    one = discharge(Pack(cell("nimh-aa"), 4, 2), Load.current(1.0))
    other = discharge(Pack.of_cells([[cell("nimh-aa")] * 2] * 4), Load.current(1.0))
    each = discharge(Pack(cell("nimh-aa"), 4, 2), Load.current(1.0), start_charge=np.ones((4, 2)))
    assert other.run_time_h == pytest.approx(one.run_time_h, rel=1e-12)
    assert each.run_time_h == pytest.approx(one.run_time_h, rel=1e-12)
    assert np.array_equal(each.voltage_v, one.voltage_v)


# Where a run ends: the five words.


def test_end_voltage_of_the_pack():
    run = discharge(Pack(cell("nimh-aa"), 5, 1), Load.current(1.0))
    assert run.ended_by == "end_voltage"
    assert run.voltage_v[-1] == pytest.approx(5.0, abs=1e-9)


@pytest.mark.parametrize(("until_v", "word"), [(5.5, "device_minimum"), (4.5, "end_voltage")])
def test_the_higher_of_pack_and_device_ends_the_run(until_v, word):
    run = discharge(Pack(cell("nimh-aa"), 5, 1), Load.current(1.0), until_v=until_v)
    assert run.ended_by == word
    assert run.voltage_v[-1] == pytest.approx(max(until_v, 5.0), abs=1e-9)


def test_a_power_that_cannot_be_served_ends_the_run():
    # 4 V and 1 ohm give at most 4 W; at 3 W the load gives out at E = 2 sqrt(3) V, not before.
    weak = straight(ohm=1.0, end_v=0.5)
    run = discharge(Pack(weak, 1, 1), Load.power(3.0))
    assert run.ended_by == "too_heavy"
    last_v = 2 * math.sqrt(3.0)
    assert run.voltage_v[-1] == pytest.approx(last_v / 2, abs=1e-5)
    assert run.cell_charge_ah[-1, 0, 0] == pytest.approx((FULL_V - last_v) / FALL, rel=1e-9)


def test_a_power_beyond_the_largest_never_starts():
    run = discharge(Pack(straight(ohm=1.0, end_v=0.5), 1, 1), Load.power(4.001))
    assert run.ended_by == "too_heavy"
    assert run.run_time_h == 0.0
    assert run.charge_ah[-1] == run.energy_wh == run.mean_voltage_v == 0.0
    assert discharge(Pack(straight(ohm=1.0, end_v=0.5), 1, 1), Load.power(3.99)).run_time_h > 0


def test_a_converter_ends_at_its_lowest_input():
    stage = Converter(output_v=9.0, efficiency=0.85, input_v=(5.5, 12.0), idle_a=0.002)
    load = Load.current(0.3).through(stage)
    run = discharge(Pack(cell("nimh-aa"), 5, 1), load)
    assert run.ended_by == "input_window"
    assert run.voltage_v[-1] == pytest.approx(5.5, abs=1e-9)
    taken = run.voltage_v * (run.current_a - 0.002)
    assert taken == pytest.approx(9.0 * 0.3 / 0.85)


def test_a_run_that_is_over_before_it_begins():
    run = discharge(Pack(cell("nimh-aa"), 5, 1), Load.current(1.0), start_charge=0.0)
    assert run.run_time_h == 0.0
    assert run.ended_by == "end_voltage"
    late = discharge(Pack(cell("nimh-aa"), 5, 1), Load.current(1.0), until_v=8.0)
    assert (late.run_time_h, late.ended_by) == (0.0, "device_minimum")


@pytest.mark.parametrize(
    "behind", [Load.current(0.5), Load.power(2.5), Load.resistance(10.0)], ids=["A", "W", "ohm"]
)
@pytest.mark.parametrize("unlike", [False, True])
def test_a_regulator_gives_up_at_its_dropout_and_the_run_goes_on(behind, unlike):
    stage = LinearRegulator(output_v=5.0, dropout_v=0.5)
    starts = [[1.0], [0.95], [1.0], [1.0], [1.0]] if unlike else 1.0
    run = discharge(Pack(cell("nimh-aa"), 5, 1), behind.through(stage), start_charge=starts)
    dropout = next(event for event in run.events if event.kind == "dropout")
    assert dropout.voltage_v == pytest.approx(5.5, abs=1e-9)
    assert (dropout.group, dropout.string) == (None, None)
    held = run.time_h < dropout.time_h
    assert run.current_a[held] == pytest.approx(0.5)
    assert dropout.time_h < run.run_time_h
    # Below, what is left of the input reaches the load.
    left_v = run.voltage_v[~held][1:] - 0.5
    assert run.current_a[~held][1:] == pytest.approx(behind.current_at_a(left_v), rel=1e-6)


@pytest.mark.parametrize(
    "behind", [Load.current(0.1), Load.power(0.1), Load.resistance(10.0)], ids=["A", "W", "ohm"]
)
@pytest.mark.parametrize("idle_a", [0.0, 0.001])
def test_a_regulator_that_loses_more_than_the_pack_ends_the_run(behind, idle_a):
    # 2.2 V are lost of 2.8 V, and the pack's own end would be 2.0 V: nothing is left before.
    load = behind.through(LinearRegulator(1.0, 2.2, idle_a=idle_a))
    for starts in (1.0, [[1.0], [0.999]]):
        run = discharge(Pack(cell("nimh-aa"), 2, 1), load, start_charge=starts)
        assert run.ended_by == "too_heavy"
        assert run.run_time_h > 1
        assert run.voltage_v[-1] - 2.2 > 0.1 - 1e-9
        assert run.current_a.min() > idle_a
        if not isinstance(behind, type(Load.power(1))):
            assert run.voltage_v[-1] == pytest.approx(2.3, abs=1e-9)
    never = discharge(Pack(cell("nimh-aa"), 2, 1), behind.through(LinearRegulator(1.0, 3.0)))
    assert (never.run_time_h, never.ended_by) == (0.0, "too_heavy")
    assert never.group_voltage_v.sum(axis=1) == pytest.approx(never.voltage_v)


def test_a_resistance_behind_a_regulator_that_gives_up_from_the_start():
    # 0.1 ohm and 10 ohm over 2.5 V: what stands above falls by exp(-fall t / (r + R)).
    run = discharge(
        Pack(straight(), 1, 1), Load.resistance(10.0).through(LinearRegulator(4.0, 2.5, None))
    )
    assert run.ended_by == "end_voltage"
    left_v = (END_V - 2.5) * (10.0 + OHM) / 10.0
    assert run.run_time_h == pytest.approx(math.log(1.5 / left_v) * (10.0 + OHM) / FALL, rel=1e-8)


@pytest.mark.parametrize("charge", [0.0, 1.0])
def test_the_groups_add_up_even_where_nothing_runs(charge):
    # The idle current alone pulls the pack below 0 V; no power is left for the load.
    load = Load.current(0.1).through(Converter(9.0, 0.85, (1.0, 12.0), idle_a=20.0))
    run = discharge(Pack(straight(ohm=1.0), 3, 1), load, start_charge=charge)
    assert (run.run_time_h, run.ended_by) == (0.0, "too_heavy")
    assert run.group_voltage_v.sum(axis=1) == pytest.approx(run.voltage_v)


# Charge balance and sharing, in random packs and loads.

NIMH = ["nimh-aa", "nimh-aa-high-capacity", "nimh-aaa"]
rows_of_one_kind = [[c.name, c.name] for c in catalogue().values() if c.capacity_ah < 20]
pairs = st.sampled_from(rows_of_one_kind) | st.lists(st.sampled_from(NIMH), min_size=2, max_size=3)
shares = st.one_of(st.just(1.0), st.floats(0.3, 1.0))
rows = pairs.flatmap(lambda row: st.tuples(*[st.tuples(st.just(c), shares) for c in row]))


def loads(volts, amps):
    regulator = LinearRegulator(0.6 * volts, 0.1 * volts, idle_a=0.001)
    converter = Converter(9.0, 0.85, (0.3 * volts, 5.0 * volts), idle_a=0.002)
    steady = [
        Load.current(amps),
        Load.power(volts * amps),
        Load.resistance(volts / amps),
        Load.current(amps).through(regulator),
        Load.power(volts * amps).through(converter),
    ]
    return [
        *steady,
        Load.profile([(steady[1], 400.0), (Load.current(0.0), 300.0), (steady[2], 200.0)]),
    ]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    st.lists(rows, min_size=1, max_size=4),
    st.integers(0, 5),
    st.floats(0.05, 1.0),
    st.booleans(),
)
def test_what_leaves_the_cells_is_what_the_load_gets(rows, kind, part, protected):
    most = max(map(len, rows))
    rows = [(row * 3)[:most] for row in rows]
    pack = Pack.of_cells([[cell(name) for name, _ in row] for row in rows])
    load = loads(pack.nominal_voltage_v, part * pack.current_limit_a)[kind]
    run = discharge(
        pack, load, start_charge=[[s for _, s in row] for row in rows], protected=protected
    )
    given_ah = (run.cell_charge_ah - run.cell_charge_ah[0]).sum(axis=2)
    scale = np.abs(run.cell_charge_ah).max()
    assert np.abs(given_ah - run.charge_ah[:, None]).max() <= 1e-9 * scale
    shared = run.cell_current_a.sum(axis=2) - run.current_a[:, None]
    assert np.abs(shared).max() <= 1e-9 * np.abs(run.cell_current_a).max()
    assert run.group_voltage_v.sum(axis=1) == pytest.approx(run.voltage_v, abs=1e-9)
    assert np.all(np.diff(run.time_h) >= 0)
    assert run.time_h[-1] == run.run_time_h
    if len(load.steps) == 1:
        # No overshoot: a steady load ends at the voltage, not past it.
        assert run.run_time_h == 0 or run.voltage_v[-1] >= pack.end_voltage_v - 1e-9


def test_a_cell_driven_on_past_its_end_does_not_shorten_the_steps():
    # A cell of 0.02 Ah is empty soon; the others push 3 Ah more through it.
    small, strong = cell("nimh-aa").aged(0.01), straight(capacity_ah=4.0, fall=0.2, end_v=2.0)
    run = discharge(Pack.of_cells([[small], *[[strong]] * 3]), Load.current(0.1))
    assert run.events[1].kind == "cell_reversed"
    assert run.charge_ah[-1] > 3
    assert len(run.time_h) < 400


# Cells in line: over charge and over time.


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    name=st.sampled_from([name for name, each in catalogue().items() if each.max_series != 1]),
    shares=st.lists(st.sampled_from([0.0, 0.1, 0.6, 1.0]), min_size=2, max_size=6),
    capacity=st.sampled_from([0.3, 0.6, 0.95, 1.0]),
    part=st.sampled_from([0.02, 0.1, 0.3, 1.0]),
    protected=st.booleans(),
    until=st.sampled_from([None, 0.97]),
)
def test_in_line_over_charge_and_over_time_are_the_same_run(
    name, shares, capacity, part, protected, until
):
    one = cell(name)
    odd = one if capacity == 1 else one.aged(capacity=capacity)
    pack = Pack.of_cells([[odd], *[[one]] * (len(shares) - 1)])
    more = {"start_charge": [[share] for share in shares], "protected": protected}
    more["until_v"] = until and until * pack.nominal_voltage_v
    load = Load.current(part * one.current_limit_a)
    run = discharge(pack, load, **more)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(in_line, "fits", lambda *_: False)
        other = discharge(pack, load, **more)
    assert run.run_time_h == pytest.approx(other.run_time_h, rel=1e-8, abs=1e-12)
    assert run.energy_wh == pytest.approx(other.energy_wh, rel=1e-3, abs=1e-12)
    assert (run.ended_by, run.weakest) == (other.ended_by, other.weakest)
    assert run.extrapolated == other.extrapolated
    what = [[(e.kind, e.group, e.string) for e in each.events] for each in (run, other)]
    assert what[0] == what[1]
    for mine, its in zip(run.events, other.events, strict=True):
        assert mine.time_h == pytest.approx(its.time_h, rel=1e-6, abs=1e-9)
    inside = other.time_h <= run.run_time_h
    for mine, its in zip(run.group_voltage_v.T, other.group_voltage_v[inside].T, strict=True):
        # Lines are drawn between points.
        assert np.abs(np.interp(other.time_h[inside], run.time_h, mine) - its).max() < 0.002
