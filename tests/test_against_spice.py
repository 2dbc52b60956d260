"""Packs against a general circuit simulator, ngspice, run as a program (``spice.py``)."""

import subprocess

import numpy as np
import pytest
import spice

from packlearn.cells import cell
from packlearn.discharging import discharge
from packlearn.loads import Load
from packlearn.packs import Pack

# At 6000 steps the simulator itself is up to 1.1 mV off where a line bends.
STEPS = 12_000


def simulated(program, folder, *given):
    """Time [h] and voltage [V] of each group, (steps, S), by the simulator."""
    netlist = spice.netlist(*given, STEPS, spice.TIGHT)
    (folder / "pack.cir").write_text(netlist, encoding="utf-8")
    ran = subprocess.run(
        [program, "-b", "pack.cir"], cwd=folder, capture_output=True, text=True, timeout=120
    )
    assert (folder / spice.FOUND).exists(), ran.stdout[-500:] + ran.stderr[-500:]
    found = np.loadtxt(folder / spice.FOUND)
    # The first point is the simulator's start, before it has solved anything.
    return found[1:, 0] / 3600, np.diff(found[1:, 1:], axis=1, prepend=0.0)


NIMH, ALKALINE, LITHIUM = cell("nimh-aa"), cell("alkaline-aa"), cell("li-ion-18650-energy")


def even(one, series, parallel):
    return [[one] * parallel] * series, np.ones((series, parallel))


def uneven(one, series, parallel, **shares):
    """A pack with some cells not full; ``g2s1=0.05`` is group 3, string B."""
    rows, start = even(one, series, parallel)
    for place, share in shares.items():
        group, string = place[1:].split("s")
        start[int(group), int(string)] = share
    return rows, start


SIX, TEN = even(NIMH, 6, 3), even(NIMH, 10, 3)
NEARLY_EMPTY = uneven(NIMH, 6, 3, g2s1=0.05)
IN_LINE = uneven(NIMH, 6, 1, g2s0=0.4, g4s0=0.9)
SCATTERED = ([[NIMH] * 3] * 6, 1.0 - 0.25 * np.random.default_rng(7).random((6, 3)))

CASES = {
    "6S3P": (*SIX, Load.current(1.8), "Il {top} 0 1.8"),
    "10S3P": (*TEN, Load.current(1.8), "Il {top} 0 1.8"),
    "one nearly empty": (*NEARLY_EMPTY, Load.current(1.8), "Il {top} 0 1.8"),
    "one driven backwards": (*IN_LINE, Load.current(0.6), "Il {top} 0 0.6"),
    "every cell another": (*SCATTERED, Load.current(1.8), "Il {top} 0 1.8"),
    "a power": (*SIX, Load.power(13.0), "Bl {top} 0 I=13/max(V({top}),1)"),
    "a power, one nearly empty": (
        *NEARLY_EMPTY, Load.power(13.0), "Bl {top} 0 I=13/max(V({top}),1)",
    ),
    "a resistance": (*SIX, Load.resistance(4.0), "Rl {top} 0 4"),
    "a resistance, two unlike": (*IN_LINE, Load.resistance(12.0), "Rl {top} 0 12"),
    "with a slow part": (*even(ALKALINE, 4, 1), Load.resistance(25.0), "Rl {top} 0 25"),
    "lithium": (*uneven(LITHIUM, 4, 2, g3s1=0.5), Load.current(3.0), "Il {top} 0 3"),
}  # fmt: skip


LONG = ("every cell another", "a power, one nearly empty", "a resistance", "lithium")
NAMES = [pytest.param(name, marks=pytest.mark.long) if name in LONG else name for name in CASES]


@pytest.mark.parametrize("name", NAMES)
def test_every_group_is_within_a_millivolt_of_the_simulator(name, ngspice, tmp_path):
    rows, shares, load, element = CASES[name]
    run = discharge(Pack.of_cells(rows), load, start_charge=shares)
    assert run.run_time_h > 0.5
    time_h, volts = simulated(ngspice, tmp_path, rows, shares, element, 3600 * run.run_time_h)
    # At our own points in time; the simulator's lie closer together.
    assert len(time_h) > 10 * len(run.time_h)
    ours = run.time_h > time_h[0]
    for group in range(len(rows)):
        there = np.interp(run.time_h[ours], time_h, volts[:, group])
        off = np.abs(run.group_voltage_v[ours, group] - there)
        assert off.max() < 0.001, f"group {group + 1}: {1000 * off.max():.3f} mV"


def test_the_simulator_would_notice(ngspice, tmp_path):
    # One per cent more load, or one group with another charge: far beyond a millivolt.
    rows, shares = NEARLY_EMPTY
    run = discharge(Pack.of_cells(rows), Load.current(1.8), start_charge=shares)
    for element, start in (("Il {top} 0 1.818", shares), ("Il {top} 0 1.8", np.ones((6, 3)))):
        time_h, volts = simulated(ngspice, tmp_path, rows, start, element, 3600 * run.run_time_h)
        there = np.interp(run.time_h[1:], time_h, volts.sum(axis=1))
        assert np.abs(there - run.voltage_v[1:]).max() > 0.01
