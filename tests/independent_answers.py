"""Right answers by a second path, so that the library does not mark itself.

Nothing of packlearn is used here, not even its reading of the data sheets: the
numbers come from a variant's givens and from ``cells.toml``. Fractions keep
8.7 V / 1.45 V exactly 6. Counts are found by trying 1, 2, 3 ... until the
device is satisfied; means by adding up seconds.
"""

import itertools
import math
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
        self.rested_v = tuple(map(exact, entry.get("rested_voltage_v", ())))
        self.curves = entry.get("curves", [])
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


def _mean_of_four_a(g):
    return _second_by_second(g, [(g.fourth_a, g.fourth_s)])


def _second_by_second(g, more=()):
    """Current of every second of one period, step after step."""
    steps = [(g.first_a, g.first_s), (g.second_a, g.second_s), (g.third_a, g.third_s), *more]
    seconds = [current for current, length in steps for _ in range(int(length))]
    return sum(seconds) / len(seconds)


def _carries_peak(g, cell, parallel):
    return parallel * cell.limit_a * g.current_derating >= g.peak_a


def _lasts_planned(g, cell, parallel):
    return parallel * cell.ah * g.usable_share >= g.current_a * g.run_time_h


def _what_binds(g, cell):
    """The condition that still fails while the other one holds."""
    peak = _first(lambda p: _carries_peak(g, cell, p))
    time = _first(lambda p: _lasts_planned(g, cell, p))
    return {True: "current", False: "time"}.get(peak > time) if peak != time else "same"


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


def _shares_a(g, ohms):
    """Currents of sources of one voltage side by side: found from the volts they all lose."""
    lost_v = g.current_a / sum(1 / ohm for ohm in ohms)
    return [lost_v / ohm for ohm in ohms]


def _loaded_v(g):
    """Walk along one string: every cell lifts, less what its share of the current costs."""
    share_a = g.current_a / int(g.parallel)
    return _along(g.open_v - share_a * g.each_ohm, g)


def _string_ohm(g):
    return sum(g.each_ohm for _ in range(int(g.series)))


def _pack_ohm(g):
    """Strings side by side: their conductances add."""
    return 1 / sum(1 / _string_ohm(g) for _ in range(int(g.parallel)))


def _most_power_w(g):
    """Into a load as large as the pack's own resistance goes the most power."""
    current_a = g.series * g.open_v / (2 * _pack_ohm(g))
    return current_a**2 * _pack_ohm(g)


def _steady_current_a(g):
    """Current of a constant-power load: start without sag and go round until it stays."""
    open_v, ohm, current_a = float(g.series * g.open_v), float(_pack_ohm(g)), 0.0
    for _ in range(2000):
        current_a = float(g.power_w) / (open_v - current_a * ohm)
    return current_a


def _better_pack(g):
    first = g.first_v - g.first_ohm * g.current_a
    second = g.second_v - g.second_ohm * g.current_a
    return "first" if first > second else "second"


def _longer_kind(g):
    return "first" if g.first_fast_ah / g.fast_a > g.second_fast_ah / g.fast_a else "second"


def _peukert_h(g):
    """With I**k * t the same at every current, and rate_h at the current of the label."""
    label_a, k = float(g.label_ah / g.rate_h), float(g.peukert_k)
    return float(g.rate_h) * label_a**k / float(g.current_a) ** k


def _between_rows(g):
    """The reading weighs each row by its distance from the other one."""
    up, down = g.voltage_v - g.lower_v, g.upper_v - g.voltage_v
    return (g.upper_share * up + g.lower_share * down) / (up + down)


def _out_mean_w(g):
    return g.output_v * _mean_a(g)


def _held_v(g):
    """Lowest input at which a regulator still gives its output, in steps of 10 mV."""
    step = Fraction(1, 100)
    return next(v * step for v in range(10000) if v * step - g.dropout_v >= g.output_v)


def _three(g):
    return [g.first_ah, g.second_ah, g.third_ah]


def _run_dry(g):
    """Take 10 mAh at a time from three cells in line until one is empty; what each has left."""
    left, step = _three(g), Fraction(1, 100)
    while min(left) >= step:
        left = [charge - step for charge in left]
    return left


def _passed_ah(g):
    return g.first_ah - _run_dry(g)[0]


def _goes_first(g):
    left = {
        "first": g.first_ah * g.first_share,
        "second": g.second_ah * g.second_share,
        "third": g.third_ah * g.third_share,
    }
    return sorted(left, key=left.get)[0]


def _together_h(g):
    """A load of 1 A: as many ampere-hours in each as it lasts alone; both empty at once."""
    share_a = g.first_h / (g.first_h + g.second_h)
    return g.first_h / share_a


def _on_curve_v(curve, drawn_ah):
    """Voltage of a curve of the data sheet, on a straight line between two of its points."""
    points = list(zip(curve["charge_ah"], curve["voltage_v"], strict=True))
    for (q1, v1), (q2, v2) in zip(points, points[1:], strict=False):
        if q1 <= drawn_ah <= q2:
            return v1 + (v2 - v1) * (drawn_ah - q1) / (q2 - q1)
    return 0.0


def _read_ah(g, cell):
    """Charge at which a curve has fallen to a voltage, by halving; 6 % room for the eye."""
    (curve,) = [one for one in cell.curves if one["current_a"] == float(g.current_a)]
    low, high = 0.0, curve["charge_ah"][-1]
    for _ in range(60):
        middle = (low + high) / 2
        above = _on_curve_v(curve, middle) > float(g.voltage_low_v)
        low, high = (middle, high) if above else (low, middle)
    return 0.94 * low, 1.06 * low


def _until_h(g, cell):
    """Minute by minute down a curve that lies between the sheet's two, until a cell is low."""
    slow, fast = sorted(cell.curves, key=lambda one: one["current_a"])
    each_a, low_v = float(g.current_a / g.parallel), float(g.voltage_low_v / g.series)
    part = (each_a - slow["current_a"]) / (fast["current_a"] - slow["current_a"])

    def volts(drawn_ah):
        return (1 - part) * _on_curve_v(slow, drawn_ah) + part * _on_curve_v(fast, drawn_ah)

    drawn_ah, step_ah = 0.0, each_a / 60
    while volts(drawn_ah + step_ah) > low_v:
        drawn_ah += step_ah
    fall = volts(drawn_ah) - volts(drawn_ah + step_ah)
    hours = (drawn_ah + step_ah * (volts(drawn_ah) - low_v) / fall) / each_a
    return 0.9 * hours, 1.1 * hours


def _at_current_v(cell, current_a, drawn_ah):
    """Voltage between, or beyond, the sheet's two curves, on a straight line over the current."""
    slow, fast = sorted(cell.curves, key=lambda one: one["current_a"])
    part = (current_a - slow["current_a"]) / (fast["current_a"] - slow["current_a"])
    return (1 - part) * _on_curve_v(slow, drawn_ah) + part * _on_curve_v(fast, drawn_ah)


def _curve_v(g, cell):
    volts = _at_current_v(cell, float(g.current_a), float(g.drawn_ah))
    return volts - 0.025, volts + 0.025


def _until_low_h(g, cell, current_of):
    """Quarter minute by quarter minute, until a cell has fallen to its share of the minimum."""
    low_v, hours, drawn_ah, volts = float(g.voltage_low_v / g.series), 0.0, 0.0, 1.5
    while True:
        each_a = current_of(volts)
        for _ in range(4):
            volts = _at_current_v(cell, each_a, drawn_ah)
            each_a = current_of(volts)
        if volts <= low_v:
            return hours
        hours, drawn_ah = hours + 1 / 240, drawn_ah + each_a / 240


def _steady_h(g, cell):
    return _until_low_h(g, cell, lambda _: float(g.current_a / g.parallel))


def _power_h(g, cell):
    each_w = float(g.power_w / g.series / g.parallel)
    return _until_low_h(g, cell, lambda volts: each_w / volts)


def _wider(g):
    return (g.parallel > g.other_parallel) - (g.parallel < g.other_parallel)


MORE = {1: "first", 0: "same", -1: "second"}


def _orders(*needs):
    """Every order of the steps a to f in which each stands behind what it needs."""
    return {
        order
        for order in itertools.permutations("abcdef")
        if all(order.index(first) < order.index(later) for first, later in needs)
    }


# What needs what, by the letters of the steps in a usual order.
ORDERS = {
    "order_joints": _orders("ac", "bd", "cd", "de", "ef"),
    "order_ammeter": _orders("ac", "bd", "cd", "de", "ef"),
    "order_design": _orders("ac", "bd", "ce", "de", "ef"),
}


def _lifts(g):
    """Lift of each cell of a string, the turned ones downwards."""
    return [g.reading_v] * int(g.series - g.turned) + [-g.reading_v] * int(g.turned)


def _height(g, joint):
    """Height of a joint above the minus end."""
    return sum(g.reading_v for _ in range(int(joint)))


def _strips(g):
    """Every strip joins two heaps of cell ends into one, until only the joints are left."""
    ends = 2 * _across(_along(1, g), g)
    joints = 2 + _across(1, g) * (g.series - 1) if g.strings else g.series + 1
    return ends - joints


def _touching(g):
    between = abs(g.red_joint - g.black_joint)
    return {0: "nothing", g.series: "whole"}.get(between, "part")


def _off_v(g, volts):
    return g.meter_share * volts + g.meter_counts * g.step_v


def _span_v(g):
    volts = _along(g.reading_v, g)
    return volts - _off_v(g, volts), volts + _off_v(g, volts)


def _what_is_wrong(g):
    """How many cells' volts are left at the leads."""
    left = round(g.pack_v / g.reading_v)
    return {1: "turned", 2: "flat", 0: "open", -3: "swapped"}[left]


WITHOUT_CELL = {
    "stronger_pack": lambda g: MORE[_wider(g)],
    "longer_pack": lambda g: MORE[_wider(g)],
    "holds_because": lambda g: "no" if _loaded_v(g) < g.voltage_low_v else "yes",
    "wiring_name": lambda g: (_along(1, g), _across(1, g)),
    "wire_it": lambda g: (_along(1, g), _across(1, g)),
    "strip_count": _strips,
    "built_so_far_v": lambda g: g.reading_v * (g.made_count + 1),
    "bare_ends_touch": _touching,
    # IEC 60028: annealed copper of 1/58 ohm mm2/m, rounded to 0.0172; there and back.
    "wire_ohm_there_and_back": lambda g: (g.wire_m + g.wire_m) * exact(0.0172) / g.wire_mm2,
    "turned_reading_v": lambda g: sum(_lifts(g)),
    "point_reading_v": lambda g: _height(g, g.red_joint) - _height(g, g.black_joint),
    "open_reading_v": lambda g: 0,
    "ammeter_short_a": lambda g: 1 / (g.each_ohm / g.open_v + g.shunt_ohm / g.open_v),
    "return_current_a": lambda g: g.current_a,
    "ammeter_place": lambda g: "in_line" if g.meter_ohm < 1 else "across",
    "lead_polarity": lambda g: "black" if g.reading_v < 0 else "red",
    "meter_top_v": lambda g: g.voltage_v + _off_v(g, g.voltage_v),
    "meter_span_v": _span_v,
    "fault_of_readings": _what_is_wrong,
    "sag_voltage_v": _loaded_v,
    "lost_inside_v": lambda g: _along(g.current_a / int(g.parallel) * g.each_ohm, g),
    "pack_resistance_ohm": _pack_ohm,
    "largest_power_w": _most_power_w,
    "power_load_current_a": _steady_current_a,
    "late_current_a": lambda g: g.power_w / g.late_v,
    "holds_at_peak": lambda g: "no" if _loaded_v(g) < g.voltage_low_v else "yes",
    "series_for_peak": lambda g: _first(
        lambda s: s * (g.open_v - g.current_a / g.parallel * g.each_ohm) >= g.voltage_low_v
    ),
    "which_holds_up": _better_pack,
    "curve_run_time_h": lambda g: g.fast_ah / g.fast_a,
    "curve_share": lambda g: g.fast_ah / g.slow_ah,
    "which_runs_longer": _longer_kind,
    "device_run_time_h": lambda g: _across(g.short_ah, g) / g.current_a,
    "stop_cell_v": lambda g: g.voltage_low_v / _along(1, g),
    "peukert_run_time_h": _peukert_h,
    "peukert_capacity_ah": lambda g: float(g.current_a) * _peukert_h(g),
    "charge_left": _between_rows,
    "gauge_share": lambda g: (
        1 - (g.gauge_full_v - g.voltage_v) / (g.gauge_full_v - g.gauge_empty_v)
    ),
    "charge_span": lambda g: g.upper_share - g.lower_share,
    # Energy in the pack, less the loss, over the power that leaves.
    "converter_run_time_h": lambda g: (
        g.label_ah * g.voltage_v * g.efficiency / (g.output_v * g.output_a)
    ),
    "profile_input_a": lambda g: _out_mean_w(g) / g.efficiency / g.voltage_v,
    "output_capacity_ah": lambda g: g.label_ah * g.efficiency * g.voltage_v / g.output_v,
    "regulator_run_time_h": lambda g: g.label_ah / g.output_a,
    # What goes in, less what comes out.
    "regulator_heat_w": lambda g: g.voltage_v * g.output_a - g.output_v * g.output_a,
    "regulator_lowest_v": _held_v,
    "board_voltage_v": lambda g: (
        g.output_v if g.voltage_v >= _held_v(g) else g.voltage_v - g.dropout_v
    ),
    "weakest_charge_ah": _passed_ah,
    "weakest_run_time_h": lambda g: _passed_ah(g) / g.current_a,
    "usable_energy_wh": lambda g: sum(g.voltage_v * _passed_ah(g) for _ in range(3)),
    "left_inside_wh": lambda g: sum(g.voltage_v * charge for charge in _run_dry(g)),
    "run_share": lambda g: 1 - (g.first_ah - g.second_ah) / g.first_ah,
    "first_empty": _goes_first,
    "reversed_pack_v": lambda g: sum([g.first_v, g.second_v, -g.reverse_v]),
    "driven_pack_v": lambda g: sum([*[g.voltage_v] * (int(g.series) - 1), -g.reverse_v]),
    "driven_cell_v": lambda g: -(g.voltage_v - g.first_v - g.second_v),
    "side_by_side_ah": lambda g: g.second_ah + g.first_ah,
    # Both settle at the middle: the higher one loses half of the difference in its own ohms.
    "equalising_a": lambda g: (
        (max(g.first_v, g.second_v) - (g.first_v + g.second_v) / 2) / g.each_ohm
    ),
    "joined_h": _together_h,
    "first_share_a": lambda g: _shares_a(g, [g.first_ohm, g.second_ohm])[0],
    "share_reaching": lambda g: (
        1
        - (g.first_count + g.second_count)
        / sum([g.first_count, g.second_count, g.third_count, g.fourth_count])
    ),
    "joint_voltage_v": lambda g: _along(g.voltage_v, g),
    "mean_current_a": _mean_a,
    "mean_of_three_a": _second_by_second,
    "mean_of_four_a": _mean_of_four_a,
    "label_current_a": lambda g: g.power_w / g.voltage_v,
    "told_current_a": lambda g: g.current_a,
    # Every second warms the wire by its own current squared.
    "rms_current_a": lambda g: math.sqrt(
        sum(current * current for current in _seconds(g)) / len(_seconds(g))
    ),
    "duty_cycle": lambda g: Fraction(int(g.wake_s), len(_seconds(g))),
    "need_energy_wh": lambda g: g.voltage_v * g.current_a * g.run_time_h,
    "need_capacity_ah": lambda g: g.current_a * g.run_time_h,
    # What goes in, less the loss, is what comes out.
    "converter_input_a": lambda g: g.output_v * g.output_a / (g.voltage_v * g.efficiency),
    "regulator_input_a": lambda g: g.output_a,
}


def _window(g, cell):
    if _along(cell.full_v, g) > g.voltage_high_v:
        return "above"
    return "below" if _along(cell.end_v, g) < g.voltage_low_v else "holds"


# Sizes of wire and ratings of fuses that are sold, written down again; and how cells are charged.
WIRE_SIZES = [exact(a) for a in (0.14, 0.25, 0.34, 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10)]
AT_75 = [exact(a) for a in (0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 25)]
AT_100 = [exact(a) for a in (0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25)]
AT_100 += [exact(a) for a in (1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10)]


def _fuse_a(g):
    sold = AT_100 if g.run_share == 1 else AT_75
    fitting = [a for a in sold if a * g.run_share >= g.current_a and a <= g.wire_limit_a * 4 / 5]
    return min(fitting)


def _thinnest(g):
    lost = {a: g.current_a * exact(0.0172) * (g.wire_m + g.wire_m) / a for a in WIRE_SIZES}
    return min(a for a, volts in lost.items() if volts <= g.drop_v)


def _how_charged(name):
    if name.startswith(("alkaline", "zinc", "lithium")):
        return "never"
    return "own" if name.startswith(("li-ion", "lifepo4")) else "kind"


def _shorted_a(g):
    # One string alone: its share of the current makes its share of the cable's drop P times.
    string_ohm = g.series * g.each_ohm + g.parallel * g.cable_ohm
    return g.parallel * g.series * g.open_v / string_ohm


def _rested_ah(g):
    left = g.label_ah
    for _ in range(int(g.rest_months)):
        left -= left * g.loss_share
    return left


def _by_air(wh):
    return "under_100" if wh <= 100 else "100_to_160" if wh <= 160 else "above_160"


WITHOUT_CELL |= {
    "wire_area_mm2": _thinnest,
    "wire_drop_v": lambda g: g.current_a * (g.wire_m + g.wire_m) * exact(0.0172) / g.wire_mm2,
    "fuse_rating_a": _fuse_a,
    # The peak passes, and what flows for long is at most its share of the rating.
    "fuse_least_a": lambda g: max(g.peak_a, g.current_a * (1 / g.run_share)),
    "cable_short_a": _shorted_a,
    "rest_charge_ah": _rested_ah,
    "fuse_place": lambda g: "string" if g.parallel > 1 else "main",
    "charge_time_h": lambda g: g.label_ah / (g.charge_a / g.charge_factor),
    "may_it_be_charged": lambda g: _how_charged(g.names["cell"]),
    "may_it_fly": lambda g: _by_air(g.voltage_v * g.label_ah),
}

WITH_CELL = {
    "charge_voltage_v": lambda g, cell: _along(cell.full_v, g),
    "board_series": lambda g, cell: round(g.voltage_v / cell.nominal_v),
    "transport_wh": lambda g, cell: _energy_wh(cell, int(g.series * g.parallel)),
    "curve_read_v": _curve_v,
    "estimate_run_h": _steady_h,
    "estimate_power_run_h": _power_h,
    "window_verdict": _window,
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
    "parallel_for_need": lambda g, cell: _first(
        lambda p: _carries_peak(g, cell, p) and _lasts_planned(g, cell, p)
    ),
    "which_binds": _what_binds,
    "parallel_needed": lambda g, cell: _first(
        lambda p: _carries(g, cell, p) and _lasts(g, cell, p)
    ),
    "curve_read_ah": _read_ah,
    "run_until_h": _until_h,
    "regulator_fewest_series": lambda g, cell: _first(
        lambda s: s * cell.end_v - g.dropout_v >= g.output_v
    ),
    "design": lambda g, cell: _designs(g, cell),
    "profile_design": lambda g, cell: _designs(g, cell),
}


# What several numbers at once are made of.
TOGETHER = {
    "pack_sheet": ("pack_voltage_v", "capacity_ah", "current_limit_a", "energy_wh"),
    "pack_levels_v": ("full_voltage_v", "pack_voltage_v", "end_voltage_v"),
    "need_sheet": ("need_capacity_ah", "need_energy_wh"),
    "sag_sheet": ("pack_resistance_ohm", "lost_inside_v", "sag_voltage_v"),
}


def right_answer(asked, givens):
    """Right answer of a variant.

    Args:
        asked: what the task asks for.
        givens: the variant's givens.

    Returns:
        A fraction or a whole number; low and high for a range; series and parallel for
        a name; a word for a choice; the set of all (series, parallel) that do for a design;
        one answer each for several at once.
    """
    if asked in TOGETHER:
        return tuple(right_answer(part, givens) for part in TOGETHER[asked])
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
