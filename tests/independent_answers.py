"""Right answers by a second path, so that the library does not mark itself.

Nothing of packlearn is used here, not even its reading of the data sheets: the
numbers come from a variant's givens and from ``cells.toml``. Fractions keep
8.7 V / 1.45 V exactly 6. Counts are found by trying 1, 2, 3 ... until the
device is satisfied; means by adding up seconds.
"""

import tomllib
from fractions import Fraction
from pathlib import Path

CELLS = tomllib.loads(
    (Path(__file__).parents[1] / "packlearn" / "data" / "cells.toml").read_text(encoding="utf-8")
)
SAFE_V = 60
MANY = 200


def exact(number):
    """The decimal number a float was written as."""
    return Fraction(str(number))


class Sheet:
    """What the data sheet of a variant's cell says, as exact numbers."""

    def __init__(self, givens):
        entry = CELLS[givens["cell"]]
        self.nominal_v = exact(entry["nominal_voltage_v"])
        self.full_v = exact(entry["full_voltage_v"])
        self.end_v = exact(entry["end_voltage_v"])
        self.ah = exact(entry["capacity_ah"])
        self.limit_a = exact(entry["current_limit_a"])
        self.ohm = exact(entry["resistance_ohm"])
        self.rested_v = tuple(map(exact, entry["rested_voltage_v"]))
        self.most_in_line = entry["max_series"]
        self.most_side_by_side = entry["max_parallel"]


class Given:
    """Givens of a variant as exact numbers, by attribute."""

    def __init__(self, givens):
        self.names = givens

    def __getattr__(self, name):
        return exact(self.names[name])


def _along(volts, g):
    """Walk along one string: every cell lifts by its own voltage."""
    return sum(volts for _ in range(int(g.series)))


def _across(share, g):
    """Walk across the strings: every string gives its own share."""
    return sum(share for _ in range(int(g.parallel)))


def _seconds(g):
    """Current of every second of one period, asleep and then awake."""
    return [g.sleep_a] * int(g.sleep_s) + [g.wake_a] * int(g.wake_s)


def _mean_a(g):
    seconds = _seconds(g)
    return sum(seconds) / len(seconds)


def _first(holds):
    return next(count for count in range(1, MANY) if holds(count))


def _last(holds):
    return next(count for count in range(MANY) if not holds(count + 1))


def _energy_wh(cell, cells):
    return sum(cell.nominal_v * cell.ah for _ in range(cells))


def _more_energy(g, cell):
    first = _energy_wh(cell, int(g.series * g.parallel))
    second = _energy_wh(cell, int(g.other_series * g.other_parallel))
    return "same" if first == second else "first" if first > second else "second"


def _carries(g, cell, parallel):
    return parallel * cell.limit_a * g.current_derating >= g.current_a


def _lasts(g, cell, parallel):
    return parallel * cell.ah >= g.current_a * g.run_time_h


WITHOUT_CELL = {
    "joint_voltage_v": lambda g: _along(g.voltage_v, g),
    "mean_current_a": _mean_a,
    "duty_cycle": lambda g: Fraction(int(g.wake_s), len(_seconds(g))),
    "need_energy_wh": lambda g: g.voltage_v * g.current_a * g.run_time_h,
    "need_capacity_ah": lambda g: g.current_a * g.run_time_h,
    # What goes in, less the loss, is what comes out.
    "converter_input_a": lambda g: g.output_v * g.output_a / (g.voltage_v * g.efficiency),
    "regulator_input_a": lambda g: g.output_a,
}
WITH_CELL = {
    "pack_voltage_v": lambda g, cell: _along(cell.nominal_v, g),
    "full_voltage_v": lambda g, cell: _along(cell.full_v, g),
    "end_voltage_v": lambda g, cell: _along(cell.end_v, g),
    "capacity_ah": lambda g, cell: _across(cell.ah, g),
    "current_limit_a": lambda g, cell: _across(cell.limit_a, g),
    "energy_wh": lambda g, cell: _energy_wh(cell, int(g.series * g.parallel)),
    "cell_count": lambda g, cell: _across(_along(1, g), g),
    "name": lambda g, cell: (_along(1, g), _across(1, g)),
    "pack_run_time_h": lambda g, cell: _across(cell.ah, g) / g.current_a,
    "pack_current_a": lambda g, cell: g.current_a,
    "string_current_a": lambda g, cell: g.current_a / _across(1, g),
    # Side by side amperes and ampere-hours grow alike: a pack has its cell's C-rate.
    "pack_c_rate": lambda g, cell: cell.limit_a / cell.ah,
    "rested_voltage_v": lambda g, cell: tuple(_along(volts, g) for volts in cell.rested_v),
    "which_energy": _more_energy,
    "profile_run_time_h": lambda g, cell: _across(cell.ah, g) / _mean_a(g),
    "cell_run_time_h": lambda g, cell: cell.ah / g.current_a,
    "c_rate_current_a": lambda g, cell: g.c_rate * cell.ah,
    "cell_planned_current_a": lambda g, cell: g.current_derating * cell.limit_a,
    "plannable_current_a": lambda g, cell: _across(g.current_derating * cell.limit_a, g),
    "fewest_series": lambda g, cell: _first(lambda s: s * cell.end_v >= g.voltage_low_v),
    "most_series": lambda g, cell: _last(lambda s: s * cell.full_v <= g.voltage_high_v),
    "parallel_for_current": lambda g, cell: _first(lambda p: _carries(g, cell, p)),
    "parallel_for_time": lambda g, cell: _first(lambda p: _lasts(g, cell, p)),
    "parallel_needed": lambda g, cell: _first(
        lambda p: _carries(g, cell, p) and _lasts(g, cell, p)
    ),
    "design": lambda g, cell: _designs(g, cell),
    "profile_design": lambda g, cell: _designs(g, cell),
}


def right_answer(asked, givens):
    """Right answer of a variant.

    Args:
        asked: what the task asks for.
        givens: the variant's givens.

    Returns:
        A fraction or a whole number; low and high for a range; series and parallel for
        a name; a word for a choice; the set of all (series, parallel) that do for a design.
    """
    if asked in WITHOUT_CELL:
        return WITHOUT_CELL[asked](Given(givens))
    return WITH_CELL[asked](Given(givens), Sheet(givens))


def _designs(g, cell):
    device = Device(g)
    in_line, side_by_side = range(1, cell.most_in_line + 1), range(1, cell.most_side_by_side + 1)
    return {(s, p) for s in in_line for p in side_by_side if does(device, cell, s, p)}


class Device:
    """What a device asks of its pack, as exact numbers."""

    def __init__(self, g):
        profile = "wake_a" in g.names
        self.peak_a, self.mean_a = (g.wake_a, _mean_a(g)) if profile else (g.current_a,) * 2
        self.low_v, self.high_v, self.hours = g.voltage_low_v, g.voltage_high_v, g.run_time_h
        self.derating = g.current_derating if "current_derating" in g.names else Fraction(8, 10)


def does(device, cell, s, p):
    """Whether S in line and P side by side meet a need, by hand.

    At the end of the run a peak above the mean current makes the pack sag below its
    end voltage, which holds under the mean current.
    """
    sag_v = (device.peak_a - device.mean_a) * cell.ohm * s / p
    return (
        s * cell.full_v <= min(device.high_v, SAFE_V)
        and s * cell.end_v - sag_v >= device.low_v
        and p * cell.limit_a * device.derating >= device.peak_a
        and p * cell.ah >= device.mean_a * device.hours
        and s <= cell.most_in_line
        and p <= cell.most_side_by_side
    )
