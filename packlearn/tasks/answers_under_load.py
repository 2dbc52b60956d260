"""What a task can ask about a pack under load: sag, run time, charge left, converters.

Voltages and ohms are givens of their own: a data sheet states them for fresh, half-empty
and tired cells, and one cell of the catalogue is all of these in turn.
"""

from packlearn import curves, peukert, rules
from packlearn.cells import cell as find_cell
from packlearn.loads import Converter, LinearRegulator, Load
from packlearn.tasks.asked import Asked
from packlearn.tasks.formulas import work_out

# How far off a value may be that is read off a drawn curve, and off one continued by eye.
EYE, FORESIGHT = 0.06, 0.1
# Half of the distance of two fine lines of the sheet [V].
EYE_V = 0.025


def pack_ohm(givens):
    """Internal resistance [ohm] of the whole pack of a variant's givens."""
    return rules.pack_resistance_ohm(givens["each_ohm"], givens["series"], givens["parallel"])


def pack_open_v(givens):
    """Voltage [V] of the whole pack of a variant's givens with no load."""
    return rules.series_voltage_v(givens["open_v"], givens["series"])


def loaded_v(givens):
    """Voltage [V] of the whole pack of a variant's givens under its current."""
    return rules.terminal_voltage_v(pack_open_v(givens), pack_ohm(givens), givens["current_a"])


def _two_loaded_v(givens):
    return [
        rules.terminal_voltage_v(givens[f"{which}_v"], givens[f"{which}_ohm"], givens["current_a"])
        for which in ("first", "second")
    ]


def _larger(first, second):
    return "first" if first > second else "second"


def _converter(givens):
    return Converter(
        givens["output_v"], givens["efficiency"], input_v=(0.0, 10 * givens["output_v"])
    )


def _hours_through(givens, stage):
    load = Load.current(givens["output_a"]).through(stage)
    return rules.run_time_h(givens["label_ah"], load.current_at_a(givens["voltage_v"]))


def _profile_input_a(givens):
    load = Load.profile(
        [(Load.current(givens[f"{step}_a"]), givens[f"{step}_s"]) for step in ("sleep", "wake")]
    )
    return load.through(_converter(givens)).mean_current_a(givens["voltage_v"])


def _output_capacity_ah(givens):
    energy_wh = rules.energy_wh(givens["voltage_v"], givens["label_ah"])
    return energy_wh * givens["efficiency"] / givens["output_v"]


def _regulator(givens):
    return LinearRegulator(givens["output_v"], givens.get("dropout_v", 0.0))


def _count(formula):
    return lambda givens: int(work_out(formula, givens))


def _formula(formula):
    return lambda givens: work_out(formula, givens)


def _peukert(rule):
    return lambda g: rule(g["label_ah"], g["current_a"], g["peukert_k"], g["rate_h"])


def _read_off_ah(givens):
    """Charge [Ah] read off a cell's curves, with room for the eye to either side."""
    charge_ah = curves.capacity_ah(
        find_cell(givens["cell"]), givens["current_a"], givens["voltage_low_v"]
    )
    return charge_ah * (1 - EYE), charge_ah * (1 + EYE)


def _read_off_v(givens):
    """Voltage [V] read off a cell's curves, with room for the eye to either side."""
    volts = curves.voltage_v(find_cell(givens["cell"]), givens["current_a"], givens["drawn_ah"])
    return volts - EYE_V, volts + EYE_V


def _run_until_h(givens):
    """Hours until a pack has fallen to a voltage, with room for a curve continued by eye."""
    each_a = givens["current_a"] / givens["parallel"]
    low_v = givens["voltage_low_v"] / givens["series"]
    run_h = curves.capacity_ah(find_cell(givens["cell"]), each_a, low_v) / each_a
    return run_h * (1 - FORESIGHT), run_h * (1 + FORESIGHT)


def _table_share(givens):
    """Share of charge of a rested reading, on a straight line between two rows of a table."""
    step = (givens["voltage_v"] - givens["lower_v"]) / (givens["upper_v"] - givens["lower_v"])
    return givens["lower_share"] + step * (givens["upper_share"] - givens["lower_share"])


_COUNTS = ("series", "parallel")
_SOURCE = (*_COUNTS, "open_v", "each_ohm")
_OUTPUT = ("voltage_v", "output_v", "output_a")
_PEUKERT = ("label_ah", "rate_h", "current_a", "peukert_k")
_ROWS = ("upper_v", "upper_share", "lower_v", "lower_share")
_GAUGE = ("gauge_full_v", "gauge_empty_v")
_PACK_OHM = {"pack_ohm": "each_ohm * series / parallel"}
_PACK_OPEN = {"pack_open_v": "series * open_v"}
_LOST = _PACK_OHM | {"lost_v": "current_a * pack_ohm"}
_SAG = _PACK_OPEN | _LOST
_INPUT = {
    "output_w": "output_v * output_a",
    "input_w": "output_w / efficiency",
    "input_in_a": "input_w / voltage_v",
}
_PERIOD = {
    "period_s": "sleep_s + wake_s",
    "sleep_share_as": "sleep_a * sleep_s",
    "wake_share_as": "wake_a * wake_s",
    "mean_in_a": "(sleep_share_as + wake_share_as) / period_s",
    "output_w": "output_v * mean_in_a",
    "input_w": "output_w / efficiency",
}
_CELL_LEFT_V = "(open_v - current_a * each_ohm / parallel)"
_LOWEST = {"lowest_v": "output_v + dropout_v"}

SAG = {
    "sag_voltage_v": Asked("number", "V", loaded_v, (*_SOURCE, "current_a"), _SAG),
    "lost_inside_v": Asked(
        "number",
        "V",
        lambda g: g["current_a"] * pack_ohm(g),
        (*_COUNTS, "each_ohm", "current_a"),
        _LOST,
    ),
    "pack_resistance_ohm": Asked(
        "number",
        "ohm",
        pack_ohm,
        (*_COUNTS, "each_ohm"),
        {"string_ohm": "series * each_ohm"},
    ),
    "largest_power_w": Asked(
        "number",
        "W",
        lambda g: rules.largest_power_w(pack_open_v(g), pack_ohm(g)),
        _SOURCE,
        _PACK_OPEN | _PACK_OHM | {"half_v": "pack_open_v / 2", "half_in_a": "half_v / pack_ohm"},
    ),
    "power_load_current_a": Asked(
        "number",
        "A",
        lambda g: rules.current_for_power_a(pack_open_v(g), pack_ohm(g), g["power_w"]),
        (*_SOURCE, "power_w"),
        _PACK_OPEN
        | _PACK_OHM
        | {
            "light_in_a": "power_w / pack_open_v",
            "lower_v": "pack_open_v - light_in_a * pack_ohm",
            "next_in_a": "power_w / lower_v",
        },
    ),
    "late_current_a": Asked(
        "number", "A", lambda g: g["power_w"] / g["late_v"], ("power_w", "voltage_v", "late_v")
    ),
    "holds_at_peak": Asked(
        "choice",
        "",
        lambda g: "yes" if loaded_v(g) >= g["voltage_low_v"] else "no",
        (*_SOURCE, "current_a", "voltage_low_v"),
        _SAG | {"left_v": "pack_open_v - lost_v"},
    ),
    "series_for_peak": Asked(
        "count",
        "cells",
        _count(f"up(voltage_low_v / {_CELL_LEFT_V})"),
        ("parallel", "open_v", "each_ohm", "current_a", "voltage_low_v"),
        {
            "share_in_a": "current_a / parallel",
            "lost_v": "share_in_a * each_ohm",
            "cell_left_v": _CELL_LEFT_V,
            "exact_count": f"voltage_low_v / {_CELL_LEFT_V}",
        },
    ),
    "which_holds_up": Asked(
        "choice",
        "",
        lambda g: _larger(*_two_loaded_v(g)),
        ("first_v", "first_ohm", "second_v", "second_ohm", "current_a"),
        {
            "first_left_v": "first_v - current_a * first_ohm",
            "second_left_v": "second_v - current_a * second_ohm",
        },
    ),
}

END = {
    "curve_run_time_h": Asked(
        "number",
        "h",
        lambda g: rules.run_time_h(g["fast_ah"], g["fast_a"]),
        ("slow_a", "slow_ah", "fast_a", "fast_ah"),
    ),
    "curve_read_ah": Asked(
        "range", "Ah", _read_off_ah, ("cell", "current_a", "voltage_low_v"), by_eye=True
    ),
    "curve_read_v": Asked(
        "range", "V", _read_off_v, ("cell", "current_a", "drawn_ah"), by_eye=True
    ),
    "run_until_h": Asked(
        "range",
        "h",
        _run_until_h,
        ("cell", *_COUNTS, "current_a", "voltage_low_v"),
        {"each_in_a": "current_a / parallel", "each_low_v": "voltage_low_v / series"},
        by_eye=True,
    ),
    "curve_share": Asked(
        "number", "%", lambda g: g["fast_ah"] / g["slow_ah"], ("slow_ah", "fast_ah")
    ),
    "which_runs_longer": Asked(
        "choice",
        "",
        lambda g: _larger(g["first_fast_ah"], g["second_fast_ah"]),
        ("first_ah", "second_ah", "first_fast_ah", "second_fast_ah", "fast_a"),
        {"first_h": "first_fast_ah / fast_a", "second_h": "second_fast_ah / fast_a"},
    ),
    "device_run_time_h": Asked(
        "number",
        "h",
        lambda g: rules.run_time_h(
            rules.parallel_capacity_ah(g["short_ah"], g["parallel"]), g["current_a"]
        ),
        ("parallel", "short_ah", "whole_ah", "current_a"),
        {"pack_short_ah": "parallel * short_ah"},
    ),
    "stop_cell_v": Asked(
        "number",
        "V",
        lambda g: g["voltage_low_v"] / g["series"],
        (*_COUNTS, "voltage_low_v"),
    ),
    "peukert_run_time_h": Asked(
        "number",
        "h",
        _peukert(peukert.run_time_h),
        _PEUKERT,
        {
            "rate_in_a": "label_ah / rate_h",
            "times": "current_a / rate_in_a",
            "power": "times ** peukert_k",
        },
    ),
    "peukert_capacity_ah": Asked(
        "number",
        "Ah",
        _peukert(peukert.capacity_ah),
        _PEUKERT,
        {
            "rate_in_a": "label_ah / rate_h",
            "times": "current_a / rate_in_a",
            "power": "times ** (peukert_k - 1)",
        },
    ),
    "charge_left": Asked(
        "number",
        "%",
        _table_share,
        (*_ROWS, *_GAUGE, "voltage_v"),
        {"part_v": "voltage_v - lower_v", "row_v": "upper_v - lower_v"},
    ),
    "gauge_share": Asked(
        "number",
        "%",
        _formula("(voltage_v - gauge_empty_v) / (gauge_full_v - gauge_empty_v)"),
        (*_GAUGE, "voltage_v"),
        {"above_v": "voltage_v - gauge_empty_v", "span_v": "gauge_full_v - gauge_empty_v"},
    ),
    "charge_span": Asked("number", "%", _formula("upper_share - lower_share"), (*_ROWS, *_GAUGE)),
}

STAGES = {
    "converter_run_time_h": Asked(
        "number",
        "h",
        lambda g: _hours_through(g, _converter(g)),
        (*_OUTPUT, "label_ah", "efficiency"),
        _INPUT,
    ),
    "profile_input_a": Asked(
        "number",
        "A",
        _profile_input_a,
        ("sleep_a", "sleep_s", "wake_a", "wake_s", "output_v", "efficiency", "voltage_v"),
        _PERIOD,
    ),
    "output_capacity_ah": Asked(
        "number",
        "Ah",
        _output_capacity_ah,
        ("label_ah", "voltage_v", "output_v", "efficiency"),
        {"whole_wh": "label_ah * voltage_v", "out_wh": "whole_wh * efficiency"},
    ),
    "regulator_run_time_h": Asked(
        "number", "h", lambda g: _hours_through(g, _regulator(g)), (*_OUTPUT, "label_ah")
    ),
    "regulator_heat_w": Asked(
        "number",
        "W",
        lambda g: _regulator(g).heat_w(Load.current(g["output_a"]), g["voltage_v"]),
        _OUTPUT,
        {"extra_v": "voltage_v - output_v"},
    ),
    "regulator_lowest_v": Asked(
        "number", "V", lambda g: _regulator(g).window_v[0], ("output_v", "dropout_v")
    ),
    "regulator_fewest_series": Asked(
        "count",
        "cells",
        _count("up((output_v + dropout_v) / cell_end_voltage_v)"),
        ("cell", "output_v", "dropout_v"),
        _LOWEST | {"exact_count": "(output_v + dropout_v) / cell_end_voltage_v"},
    ),
    "board_voltage_v": Asked(
        "number",
        "V",
        lambda g: _regulator(g).output_at_v(g["voltage_v"]),
        ("voltage_v", "output_v", "dropout_v"),
        _LOWEST,
    ),
}

UNDER_LOAD = SAG | END | STAGES
"""What can be asked: name -> ``Asked``."""
