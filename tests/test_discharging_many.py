"""Two ways to the same run, thousands of scattered packs, and what more or less must do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_cells import straight

from packlearn._simulation import running
from packlearn.cells import catalogue, cell
from packlearn.discharging import ENDINGS, Spread, discharge, run_times_h
from packlearn.loads import Converter, LinearRegulator, Load
from packlearn.packs import Pack

NAMES = list(catalogue())
SCATTER = Spread(capacity=0.03, resistance=0.1)


def loads(pack, part):
    """A load of each kind that takes a part of the pack's largest current."""
    volts, amps = pack.nominal_voltage_v, part * pack.current_limit_a
    watts = volts * amps
    regulator = LinearRegulator(0.7 * volts, 0.1 * volts)
    converter = Converter(9.0, 0.85, (0.5 * volts, 5.0 * volts), idle_a=0.002)
    pulse = Load.profile([(Load.current(0.01 * amps), 25.0), (Load.power(watts), 5.0)])
    return {
        "current": Load.current(amps),
        "power": Load.power(watts),
        "resistance": Load.resistance(volts / amps),
        "regulator": Load.current(amps).through(regulator),
        "regulator, ohms": Load.resistance(0.7 * volts / amps).through(regulator),
        "converter": Load.power(watts).through(converter),
        "pulses": pulse,
    }


# Equal cells: over charge and over time.

KINDS = list(loads(Pack(cell("nimh-aa"), 1, 1), 0.1))


def marched(monkeypatch, *args, **more):
    with monkeypatch.context() as patch:
        patch.setattr(running, "fits", lambda *_: False)
        return discharge(*args, **more)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", ["nimh-aa", "alkaline-aa", "li-ion-pouch-2ah", "alkaline-c"])
def test_over_charge_and_over_time_are_the_same_run(name, kind, monkeypatch):
    pack = Pack(cell(name), 4, 2)
    load = loads(pack, 0.3)[kind]
    one, other = discharge(pack, load), marched(monkeypatch, pack, load)
    assert one.run_time_h == pytest.approx(other.run_time_h, rel=3e-4)
    assert one.energy_wh == pytest.approx(other.energy_wh, rel=1e-3)
    assert one.ended_by == other.ended_by
    assert [e.kind for e in one.events] == [e.kind for e in other.events]
    for mine, its in zip(one.events, other.events, strict=True):
        assert mine.time_h == pytest.approx(its.time_h, rel=1e-3)
        assert mine.voltage_v == pytest.approx(its.voltage_v, rel=1e-6)
    inside = other.time_h < 0.99 * other.run_time_h
    volts = np.interp(other.time_h[inside], one.time_h, one.voltage_v)
    if kind != "pulses":
        assert np.abs(volts - other.voltage_v[inside]).max() < 4 * 0.005
    assert one.extrapolated == other.extrapolated


@settings(max_examples=20, deadline=None, derandomize=True)
@given(st.sampled_from(NAMES), st.sampled_from(KINDS), st.floats(0.02, 1.0), st.floats(0.2, 1.0))
def test_over_charge_and_over_time_for_any_cell(name, kind, part, share):
    pack = Pack(cell(name), 2, 1)
    load = loads(pack, part)[kind]
    with pytest.MonkeyPatch.context() as patch:
        other = marched(patch, pack, load, start_charge=share)
    one = discharge(pack, load, start_charge=share)
    assert one.ended_by == other.ended_by
    # Within 0.1 %; a minute may pass where a pulse comes once more or once less.
    assert one.run_time_h == pytest.approx(
        other.run_time_h, rel=1e-3, abs=1e-6 + 31 / 3600 * (kind == "pulses")
    )


# Scattered packs.


def scattered(packs, seed=1, **more):
    pack = Pack(cell("nimh-aa"), 6, 3)
    return discharge(pack, Load.current(1.8), spread=SCATTER, packs=packs, seed=seed, **more)


@pytest.fixture(scope="module")
def thousand():
    return scattered(1000)


def test_shapes_have_packs_first(thousand):
    assert (
        thousand.run_time_h.shape == thousand.energy_wh.shape == thousand.ended_by.shape == (1000,)
    )
    points = thousand.time_h.shape[1]
    assert points > 50
    for name in ("voltage_v", "highest_v", "current_a", "charge_ah", "time_h"):
        assert getattr(thousand, name).shape == (1000, points)
    assert thousand.cell_current_a is thousand.group_voltage_v is thousand.cell_charge_ah is None
    assert thousand.events == ()
    group, string = thousand.weakest
    assert group.shape == string.shape == (1000,)
    assert set(group) == {1, 2, 3, 4, 5, 6}
    assert set(string) == {"A", "B", "C"}
    assert set(thousand.ended_by) <= set(ENDINGS)


def test_curves_of_scattered_packs_begin_full_and_end_at_their_end(thousand):
    assert np.all(thousand.time_h[:, 0] == 0)
    assert np.array_equal(thousand.time_h[:, -1], thousand.run_time_h)
    assert np.all(np.diff(thousand.time_h, axis=1) >= 0)
    # Many packs at once take coarser steps, but end as exactly as one.
    assert thousand.voltage_v[:, -1] == pytest.approx(6.0, abs=2e-5)
    assert np.all(thousand.voltage_v[:, -1] > 6.0 - 1e-12)
    assert thousand.charge_ah[:, -1] == pytest.approx(1.8 * thousand.run_time_h)


@pytest.mark.parametrize(
    ("name", "series", "parallel", "load"),
    [
        ("nimh-aa", 4, 2, Load.current(1.0)),
        ("li-ion-18650-power", 10, 3, Load.current(9.0)),
        ("alkaline-aa", 4, 1, Load.current(0.3)),
        ("lead-acid-12v-7ah", 2, 1, Load.current(2.0)),
        ("nimh-aa", 6, 3, Load.power(12.0)),
        ("lifepo4-26650", 4, 2, Load.resistance(3.0)),
    ],
)
def test_scattered_packs_meet_their_end_to_ten_microvolts(name, series, parallel, load):
    pack = Pack(cell(name), series, parallel)
    run = discharge(pack, load, spread=Spread(0.03, 0.1), packs=300, seed=1)
    assert set(run.ended_by) == {"end_voltage"}
    over_v = run.voltage_v[:, -1] - pack.end_voltage_v
    assert over_v.min() > -1e-12
    assert over_v.max() < 1e-5


def test_packs_with_many_bends_at_their_end_meet_it_too():
    # 72 cells, a third of them past their fall: what one gives decides where the others bend.
    slow = straight(relaxation_ohm=0.05, relaxation_s=60.0)
    rows = np.random.default_rng(5).choice([1.0, 0.9, 0.5, 0.1], (12, 6))
    pack = Pack.of_cells([[slow.aged(size) for size in row] for row in rows])
    run = discharge(pack, Load.current(0.12), spread=Spread(0.3, 0.0), packs=60, seed=2)
    over_v = run.voltage_v[:, -1] - pack.end_voltage_v
    assert over_v.min() > -1e-12
    assert over_v.max() < 1e-5


def test_the_same_seed_gives_the_same_packs(thousand):
    again = scattered(1000)
    assert np.array_equal(again.run_time_h, thousand.run_time_h)
    assert np.array_equal(again.voltage_v, thousand.voltage_v)
    assert not np.array_equal(scattered(1000, seed=2).run_time_h, thousand.run_time_h)


@pytest.mark.parametrize("packs", [1, 100, 249, 251, 700])
def test_fewer_packs_are_the_first_of_more(packs, thousand):
    fewer = scattered(packs)
    assert fewer.run_time_h == pytest.approx(thousand.run_time_h[:packs], rel=1e-8)
    assert np.array_equal(fewer.weakest[0], thousand.weakest[0][:packs])


def test_chunks_do_not_matter(thousand, monkeypatch):
    monkeypatch.setattr(running, "CELLS_AT_ONCE", 1)
    assert scattered(1000).run_time_h == pytest.approx(thousand.run_time_h, rel=1e-8)


def test_no_spread_is_the_single_run():
    pack = Pack(cell("nimh-aa"), 6, 3)
    for load in loads(pack, 0.2).values():
        none = discharge(pack, load, spread=Spread(), packs=4)
        alone = discharge(pack, load)
        # 30 s: the coarse march may meet a pulse once more or less.
        assert none.run_time_h == pytest.approx(np.full(4, alone.run_time_h), rel=1e-3, abs=0.01)
        assert set(none.ended_by) == {alone.ended_by}


def test_scatter_is_as_asked():
    # One cell in line: a flat voltage makes the run time its capacity over the current.
    single = Pack(cell("nimh-aa").idealised(), 1, 1)
    run = discharge(single, Load.current(1.0), spread=Spread(0.05), packs=4000, seed=3)
    size = run.run_time_h / 1.9
    assert size.mean() == pytest.approx(1.0, abs=0.003)
    # Clipped at three standard deviations, which takes 1 % off them.
    assert size.std() == pytest.approx(0.0493, abs=0.002)
    assert 0.8499999 < size.min() < 0.87
    assert 1.13 < size.max() < 1.1500001


def test_scattered_resistance_moves_the_voltage_only():
    single = Pack(cell("nimh-aa").idealised(0.1), 1, 1)
    run = discharge(single, Load.current(1.0), spread=Spread(0.0, 0.1), packs=1000, seed=3)
    drop = 1.2 - run.voltage_v[:, 0]
    assert drop.mean() == pytest.approx(0.1, rel=0.02)
    assert drop.std() == pytest.approx(0.01, rel=0.1)
    assert run.run_time_h == pytest.approx(np.full(1000, 1.9), rel=1e-6)


@pytest.mark.parametrize("name", ["li-ion-pouch-2ah", "alkaline-aa", "straight, slow part"])
@pytest.mark.parametrize("amps", [1e-6, 1e-9])
def test_cells_side_by_side_give_their_charge_to_the_smallest_load(name, amps):
    # Steps are a thousand times longer than the cells take to even out.
    slow = straight(relaxation_ohm=0.05, relaxation_s=60.0)
    pack = Pack(slow if name.startswith("straight") else cell(name), 2, 3)
    more, less = (
        discharge(pack, Load.current(each), spread=Spread(0.1, 0.1), packs=20)
        for each in (1e-3, amps)
    )
    assert less.charge_ah[:, -1] == pytest.approx(more.charge_ah[:, -1], rel=0.002)
    assert less.voltage_v.max() < 1.001 * more.voltage_v.max()
    kinds = pack.cell, pack.cell.aged(0.8, 1.5)
    alone = discharge(Pack.of_cells([kinds, kinds]), Load.current(amps))
    assert alone.cell_charge_ah.min() >= 0
    assert alone.charge_ah[-1] == pytest.approx(1.8 / 3 * more.charge_ah[:, -1].mean(), rel=0.2)
    assert len(alone.time_h) < 2000


def test_percentiles_are_the_share_that_falls_short(thousand):
    tenth = thousand.run_time_percentile_h(10)
    assert np.mean(thousand.run_time_h < tenth) == pytest.approx(0.1, abs=0.002)
    both = thousand.run_time_percentile_h([0, 100])
    assert list(both) == [thousand.run_time_h.min(), thousand.run_time_h.max()]
    assert type(thousand.run_time_percentile_h(50)) is float
    alone = discharge(Pack(cell("nimh-aa"), 2, 1), Load.current(1.0))
    assert alone.run_time_percentile_h(10) == alone.run_time_h


def test_a_scattered_pack_lasts_less_than_one_of_equal_cells(thousand):
    # The weakest group ends it, and six groups have a weak one more often than not.
    equal = discharge(Pack(cell("nimh-aa"), 6, 3), Load.current(1.8)).run_time_h
    assert thousand.run_time_h.mean() < equal
    assert np.mean(thousand.run_time_h > equal) < 0.4
    protected = scattered(200, protected=True)
    assert set(protected.ended_by) == {"cell_end_voltage"}
    assert np.all(protected.run_time_h <= thousand.run_time_h[:200] + 1e-9)


# More or less.

parts = st.floats(0.05, 0.9)
fewer_tries = settings(max_examples=20, deadline=None, derandomize=True)


@fewer_tries
@given(st.sampled_from(NAMES), parts, st.floats(1.01, 2.0), st.sampled_from(["A", "W", "ohm"]))
def test_more_load_never_lasts_longer(name, part, times, kind):
    pack = Pack(cell(name), 2, 1)
    volts, amps = pack.nominal_voltage_v, part * pack.current_limit_a
    make = {"A": Load.current, "W": Load.power, "ohm": lambda x: Load.resistance(volts**2 / x)}[
        kind
    ]
    size = amps if kind == "A" else volts * amps
    light, heavy = (discharge(pack, make(each * size)) for each in (1.0, times))
    assert heavy.run_time_h < light.run_time_h
    assert heavy.charge_ah[-1] <= light.charge_ah[-1] * (1 + 1e-9)


@fewer_tries
@given(st.sampled_from(NAMES), parts, st.integers(1, 4))
def test_more_side_by_side_never_lasts_shorter(name, part, parallel):
    load = Load.current(part * cell(name).current_limit_a)
    fewer, more = (discharge(Pack(cell(name), 2, p), load) for p in (parallel, parallel + 1))
    assert more.run_time_h / fewer.run_time_h >= (parallel + 1) / parallel - 1e-9


@fewer_tries
@given(st.sampled_from(NAMES), parts, st.floats(0.2, 0.99), st.integers(0, 2), st.booleans())
def test_a_weaker_cell_never_makes_it_last_longer(name, part, share, group, protected):
    pack = Pack(cell(name), 3, 1)
    load = Load.current(part * pack.current_limit_a)
    starts = np.ones((3, 1))
    starts[group] = share
    whole = discharge(pack, load, protected=protected)
    weak = discharge(pack, load, protected=protected, start_charge=starts)
    assert weak.run_time_h <= whole.run_time_h * (1 + 1e-9)
    assert discharge(pack, load, start_charge=share).run_time_h <= weak.run_time_h * (1 + 1e-9)


@fewer_tries
@given(st.sampled_from(NAMES), parts, st.floats(0.7, 0.95), st.floats(0.96, 1.0))
def test_a_higher_stop_comes_earlier(name, part, high, low):
    pack = Pack(cell(name), 3, 1)
    load = Load.current(part * pack.current_limit_a)
    free = discharge(pack, load)
    stops = [share * free.voltage_v[0] for share in (high, low)]
    times = [discharge(pack, load, until_v=stop).run_time_h for stop in stops]
    assert times[1] <= times[0] <= free.run_time_h


# Run times alone.


def both_times(name, series, parallel, part, spread):
    pack = Pack(cell(name), series, parallel)
    load = Load.current(part * pack.current_limit_a)
    quick = run_times_h(pack, load, spread, 250, seed=7)
    return quick, discharge(pack, load, spread=spread, packs=250, seed=7).run_time_h


def figures_of(times_h):
    return np.array([times_h.mean(), *np.percentile(times_h, (10, 50, 90))])


SPREADS = st.sampled_from([0.0, 0.03, 0.1]), st.sampled_from([0.0, 0.1, 0.3])
PARTS = st.sampled_from([0.02, 0.1, 0.2, 0.8])


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.sampled_from(NAMES), st.integers(1, 8), PARTS, *SPREADS)
def test_run_times_in_line_are_those_of_whole_runs(name, series, part, capacity, resistance):
    series = min(series, cell(name).max_series or series)
    quick, whole = both_times(name, series, 1, part, Spread(capacity, resistance))
    assert quick == pytest.approx(whole, rel=1e-4, abs=1e-9)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.sampled_from(NAMES), st.integers(1, 6), st.integers(2, 3), PARTS, *SPREADS)
def test_mean_and_percentiles_of_run_times_side_by_side(
    name, series, parallel, part, capacity, resistance
):
    series = min(series, cell(name).max_series or series)
    parallel = min(parallel, cell(name).max_parallel or parallel)
    quick, whole = both_times(name, series, parallel, part, Spread(capacity, resistance))
    assert figures_of(quick) == pytest.approx(figures_of(whole), rel=0.003, abs=1e-9)


def test_run_times_come_without_steps_where_they_can(monkeypatch):
    pack, load = Pack(cell("nimh-aa"), 6, 3), Load.current(0.2)
    expected = figures_of(discharge(pack, load, spread=Spread(0.1, 0.3), packs=250).run_time_h)
    monkeypatch.setattr("packlearn.discharging.discharge", None)
    found = run_times_h(pack, load, Spread(0.1, 0.3), 250)
    # The lesson's load and the largest spreads of its sliders.
    assert figures_of(found) == pytest.approx(expected, rel=2e-4)


@pytest.mark.parametrize("load", [Load.power(2.0), Load.resistance(20.0)])
def test_run_times_of_other_loads_are_those_of_whole_runs(load):
    pack = Pack(cell("nimh-aa"), 4, 1)
    whole = discharge(pack, load, spread=SCATTER, packs=20, seed=3).run_time_h
    assert np.array_equal(run_times_h(pack, load, SCATTER, 20, seed=3), whole)
