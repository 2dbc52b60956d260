"""Repeating profiles: many periods at once against every step, edges, ends by a pulse's sag."""

import numpy as np
import pytest
from plain_cells import END_V, FALL, FULL_V, OHM, straight

from packlearn import curves
from packlearn._simulation import profiles, running
from packlearn.cells import cell
from packlearn.discharging import Spread, discharge
from packlearn.loads import Converter, Load
from packlearn.packs import Pack


def pulses(low, low_s, high, high_s):
    return Load.profile([(low, low_s), (high, high_s)])


AMPS, WATTS, OHMS = Load.current, Load.power, Load.resistance
STAGE = Converter(output_v=9.0, efficiency=0.85, input_v=(2.7, 12.0), idle_a=0.002)
THREE = [(OHMS(300.0), 30.0), (OHMS(5.0), 10.0), (AMPS(0.0), 20.0)]

# Name: pack, load, and what else. The lantern's end comes by the pulse's sag, not by charge.
PROFILES = {
    "beacon": (
        Pack(cell("nimh-aa"), 3, 1),
        pulses(AMPS(0.01), 50, AMPS(0.5), 10).through(STAGE),
        {},
    ),
    "logger": (Pack(cell("alkaline-aa"), 3, 1), pulses(AMPS(0.01), 100, AMPS(0.3), 20), {}),
    "camera": (
        Pack(cell("nimh-aa"), 4, 1),
        pulses(WATTS(0.1), 20, WATTS(4.0), 10),
        {"start_charge": [[1.0], [1.0], [0.8], [1.0]]},
    ),
    "mast": (Pack(cell("li-ion-18650-energy"), 2, 1), Load.profile(THREE), {}),
    "sagging": (
        Pack(cell("alkaline-aa"), 4, 1),
        pulses(AMPS(0.01), 57, AMPS(1.0), 3),
        {"until_v": 3.6},
    ),
}


def stepped(pack, load, monkeypatch, **more):
    """The run with every step of every period marched through."""
    with monkeypatch.context() as patch:
        patch.setattr(running, "fits", lambda *_: False)
        patch.setattr(running, "run", lambda *three: profiles.run(*three, many=np.inf))
        return discharge(pack, load, **more)


def mean_current(run):
    return Load.current(run.charge_ah[-1] / run.run_time_h)


@pytest.mark.parametrize("name", PROFILES)
def test_many_periods_at_once_last_as_long_as_every_step(name, monkeypatch):
    pack, load, more = PROFILES[name]
    every = stepped(pack, load, monkeypatch, **more)
    once = discharge(pack, load, **more)
    assert 3600 * every.run_time_h / load.period_s > 400
    assert len(once.time_h) < len(every.time_h) / 5
    # Asked for: 0.5 %. Both end in the same period, so it is far less.
    assert once.run_time_h == pytest.approx(every.run_time_h, rel=1e-5)
    assert once.energy_wh == pytest.approx(every.energy_wh, rel=1e-3)
    assert once.charge_ah[-1] == pytest.approx(every.charge_ah[-1], rel=1e-4)
    assert once.ended_by == every.ended_by
    assert once.weakest == every.weakest
    # Lowest voltage of the periods, on the way.
    volts = np.interp(every.time_h, once.time_h, once.voltage_v)
    inside = every.time_h < 0.95 * every.run_time_h
    assert np.all(every.voltage_v[inside] > volts[inside] - 0.02 * pack.series)


def test_the_mean_current_misses_an_end_by_sag():
    pack, load, more = PROFILES["sagging"]
    run = discharge(pack, load, **more)
    flat = discharge(pack, mean_current(run), **more)
    assert run.ended_by == flat.ended_by == "device_minimum"
    # 0.06 A on average lasts about three times as long as the pulses of 1 A let it.
    assert flat.run_time_h > 2.5 * run.run_time_h
    left = 1 - run.charge_ah[-1] / curves.capacity_ah(pack.cell, 0.06, 3.6 / 4)
    assert left > 0.5


def plain_loop(one, series, steps, until_v, tick_s=1.0):
    """Currents on equal cells in line, ticked through in plain Python; hours until the end."""
    grid = np.linspace(0.0, 1.2 * one.capacity_ah, 40001)
    open_v = curves.open_circuit_v(one, grid).tolist()
    quick = (curves.resistance_ohm(one, grid) - one.relaxation_ohm).tolist()
    kept, per_ah = np.exp(-tick_s / one.relaxation_s), (len(grid) - 1) / grid[-1]
    drawn_ah = slow_v = seconds = 0.0
    while True:
        for amps, length_s in steps:
            for _ in range(round(length_s / tick_s)):
                drawn_ah += amps * tick_s / 3600
                slow_v = slow_v * kept + amps * one.relaxation_ohm * (1 - kept)
                seconds += tick_s
                at = int(drawn_ah * per_ah)
                if series * (open_v[at] - amps * quick[at] - slow_v) < until_v:
                    return seconds / 3600


def test_a_plain_loop_finds_the_same_end():
    pack, load, more = PROFILES["sagging"]
    by_loop = plain_loop(pack.cell, 4, [(0.01, 57), (1.0, 3)], 3.6)
    # It may differ by a tick, or by one of the 800 periods.
    assert discharge(pack, load, **more).run_time_h == pytest.approx(by_loop, rel=0.0015)


def test_edges_are_met_exactly():
    pack = Pack(straight(), 2, 1)
    load = Load.profile([(AMPS(1.0), 700.0), (AMPS(0.1), 1100.0)])
    run = discharge(pack, load)
    seconds = 3600 * run.time_h
    edges = np.cumsum([700.0, 1100.0] * 3)
    for number, edge in enumerate(edges[edges < seconds[-1]]):
        here = np.flatnonzero(np.abs(seconds - edge) < 1e-6)
        before, after = run.voltage_v[here[0]], run.voltage_v[here[-1]]
        step = 2 * OHM * 0.9 * (1 if number % 2 == 0 else -1)
        assert after - before == pytest.approx(step, abs=1e-9)


def test_charge_and_end_of_a_profile_by_hand():
    # Every period draws (1.0 A * 700 s + 0.1 A * 1100 s) / 3600.
    pack = Pack(straight(), 2, 1)
    run = discharge(pack, Load.profile([(AMPS(1.0), 700.0), (AMPS(0.1), 1100.0)]))
    period_ah = (700.0 + 110.0) / 3600
    last_ah = (FULL_V - OHM - END_V) / FALL
    whole, left_ah = divmod(last_ah, period_ah)
    assert left_ah < 700.0 / 3600
    assert 3600 * run.run_time_h == pytest.approx(1800.0 * whole + 3600 * left_ah, rel=1e-9)
    assert run.charge_ah[-1] == pytest.approx(last_ah, rel=1e-9)
    assert run.voltage_v[-1] == pytest.approx(2 * END_V, abs=1e-9)


def test_an_end_at_an_edge_is_at_that_moment():
    # 3.3 V at 0.1 A, but 1.0 A would pull it below 3.1 V: it ends as the pulse sets in.
    pack = Pack(straight(ohm=0.5), 1, 1)
    run = discharge(pack, Load.profile([(AMPS(0.5), 3600.0), (AMPS(2.0), 60.0)]))
    assert run.run_time_h == pytest.approx(1.0, rel=1e-12)
    assert run.charge_ah[-1] == pytest.approx(0.5)
    assert run.voltage_v[-2] == pytest.approx(FULL_V - FALL * 0.5 - 0.5 * 0.5)
    assert run.voltage_v[-1] == pytest.approx(FULL_V - FALL * 0.5 - 0.5 * 2.0)
    assert run.ended_by == "end_voltage"


def test_a_step_of_no_current_lets_the_voltage_recover():
    pack = Pack(cell("alkaline-aa"), 2, 1)
    run = discharge(pack, Load.profile([(AMPS(0.5), 1200.0), (AMPS(0.0), 1800.0)]))
    resting = (run.current_a == 0) & (run.time_h < 0.8)
    volts = run.voltage_v[resting]
    assert np.all(np.diff(volts) >= -1e-12)
    assert volts[-1] - volts[0] > 0.02
    # So alkaline cells give more with rests than without, to the same voltage.
    steady = discharge(pack, AMPS(0.5))
    assert run.charge_ah[-1] > 1.001 * steady.charge_ah[-1]


def test_the_order_of_steps_does_not_matter_over_many_periods():
    pack = Pack(cell("li-ion-18650-energy"), 2, 1)
    one = discharge(pack, Load.profile(THREE))
    other = discharge(pack, Load.profile(THREE[1:] + THREE[:1]))
    assert other.run_time_h == pytest.approx(one.run_time_h, abs=2 * 60 / 3600)


def test_a_month_of_waking_and_sleeping_takes_few_steps():
    pack = Pack(cell("alkaline-d"), 4, 1)
    load = pulses(AMPS(0.0002), 595, AMPS(0.3), 5)
    run = discharge(pack, load, until_v=3.6)
    assert run.run_time_h > 30 * 24
    assert len(run.time_h) < 1000
    # 2.7 mA on average; ends by the sag of 0.3 A.
    assert run.charge_ah[-1] / run.run_time_h == pytest.approx(load.mean_current_a(), rel=1e-4)


def test_scattered_packs_with_a_profile_are_each_as_alone(monkeypatch):
    pack, load, more = PROFILES["sagging"]
    none = discharge(pack, load, spread=Spread(), packs=3, **more)
    alone = discharge(pack, load, **more)
    # A coarser march: it may end a few periods off.
    assert none.run_time_h == pytest.approx(alone.run_time_h, rel=0.005)
    assert list(none.ended_by) == ["device_minimum"] * 3


def test_cells_that_even_out_do_not_hide_how_long_a_profile_lasts(monkeypatch):
    # 1.9 Ah against 1.7 Ah side by side: at first more than an ampere flows between them.
    pack, load = Pack(cell("nimh-aa"), 2, 2), pulses(AMPS(0.002), 3585, AMPS(1.0), 15)
    starts = [[1.0, 0.9], [1.0, 1.0]]
    once = discharge(pack, load, start_charge=starts)
    assert abs(once.cell_current_a[0, 0]).min() > 0.5
    every = stepped(pack, load, monkeypatch, start_charge=starts)
    assert 3600 * every.run_time_h / load.period_s > 400
    assert len(once.time_h) < 200
    assert once.run_time_h == pytest.approx(every.run_time_h, rel=1e-5)
    assert once.energy_wh == pytest.approx(every.energy_wh, rel=1e-3)
    assert (once.ended_by, once.weakest[0]) == (every.ended_by, every.weakest[0])


def test_a_slow_part_does_not_shorten_the_steps_of_many_periods():
    pack, load = Pack(cell("alkaline-aa"), 3, 1), pulses(AMPS(0.0002), 595, AMPS(0.3), 5)
    run = discharge(pack, load, start_charge=[[1.0], [0.9], [1.0]])
    assert run.run_time_h > 600
    assert len(run.time_h) < 120


def test_a_long_rest_after_a_short_pulse_takes_few_steps():
    pack = Pack(cell("nimh-aa"), 2, 1)
    load = pulses(AMPS(0.0), 30 * 86400.0, AMPS(1.0), 60.0)
    run = discharge(pack, load, start_charge=[[1.0], [0.95]])
    months = run.run_time_h / load.period_s * 3600
    assert 90 < months < 120
    assert len(run.time_h) < 30 * months
