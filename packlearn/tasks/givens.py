"""The glossary of givens: every name a task may use, its unit, and how it is written."""

from packlearn.quantities import write, write_plain
from packlearn.words import say

# Unit of each given; "" is a plain count, None a text.
UNITS = {
    "cell": None,
    "cell_title": None,
    "cell_nominal_voltage_v": "V",
    "cell_full_voltage_v": "V",
    "cell_end_voltage_v": "V",
    "cell_rested_low_v": "V",
    "cell_rested_high_v": "V",
    "cell_capacity_ah": "Ah",
    "cell_current_limit_a": "A",
    "cell_resistance_ohm": "ohm",
    "series": "",
    "parallel": "",
    "other_series": "",
    "other_parallel": "",
    "current_a": "A",
    "current_derating": "%",
    "c_rate": "C",
    "run_time_h": "h",
    "voltage_v": "V",
    "voltage_low_v": "V",
    "voltage_high_v": "V",
    "output_v": "V",
    "output_a": "A",
    "efficiency": "%",
    "sleep_a": "A",
    "sleep_s": "s",
    # Three or four steps that repeat, largest current of a load, share of capacity planned with.
    "first_a": "A",
    "second_a": "A",
    "third_a": "A",
    "fourth_a": "A",
    "first_s": "s",
    "second_s": "s",
    "third_s": "s",
    "fourth_s": "s",
    "peak_a": "A",
    "usable_share": "%",
    "wake_a": "A",
    "wake_s": "s",
    # One cell with no load, and its own resistance.
    "open_v": "V",
    "each_ohm": "ohm",
    "power_w": "W",
    "late_v": "V",
    "dropout_v": "V",
    # Charge one cell gives at a small and at a large current, as a data sheet says.
    "slow_a": "A",
    "slow_ah": "Ah",
    "fast_a": "A",
    "fast_ah": "Ah",
    "first_fast_ah": "Ah",
    "second_fast_ah": "Ah",
    # Charge until the device stops, and until the cell's own end voltage.
    "short_ah": "Ah",
    "whole_ah": "Ah",
    "label_ah": "Ah",
    "rate_h": "h",
    "peukert_k": "",
    # Two rows of a table of rested voltages, and the ends of a straight-line gauge.
    "upper_v": "V",
    "upper_share": "%",
    "lower_v": "V",
    "lower_share": "%",
    "gauge_full_v": "V",
    "gauge_empty_v": "V",
    # Unlike cells, packs or strings, one by one.
    "first_ah": "Ah",
    "second_ah": "Ah",
    "third_ah": "Ah",
    "first_share": "%",
    "second_share": "%",
    "third_share": "%",
    "first_v": "V",
    "second_v": "V",
    "reverse_v": "V",
    "first_ohm": "ohm",
    "second_ohm": "ohm",
    "first_h": "h",
    "second_h": "h",
    # Bars of a histogram, shortest run times first.
    "first_count": "",
    "second_count": "",
    "third_count": "",
    "fourth_count": "",
    # A wiring: 1 where strings are joined at their ends only, and how many cells are turned.
    "strings": "",
    "turned": "",
    # What each cell of it reads, and where the meter's probes lie: joints of a string are
    # counted from 0 at its minus end.
    "reading_v": "V",
    "pack_v": "V",
    "red_joint": "",
    "black_joint": "",
    "open_joint": "",
    "made_count": "",
    "load_ohm": "ohm",
    # Which of a pack's findable faults, counted round and round.
    "fault_number": "",
    # How steps, or the places of cells, are shuffled; the cell that is asked about.
    "shuffle_number": "",
    "place": "",
    # Charge that has left a cell.
    "drawn_ah": "Ah",
    # A meter: its own resistance, and what it may be off.
    "meter_ohm": "ohm",
    "shunt_ohm": "ohm",
    "meter_share": "%",
    "meter_counts": "",
    "step_v": "V",
    "wire_m": "m",
    "wire_mm2": "mm2",
    "drop_v": "V",
    # What the thinnest wire carries; share of its rating at which a fuse may run.
    "wire_limit_a": "A",
    "run_share": "%",
    # A cable, out and back, that is shorted at its end.
    "cable_ohm": "ohm",
    # Charging: current, and charge put in over charge stored; charge lost in a month of rest.
    "charge_a": "A",
    "charge_factor": "",
    "loss_share": "%",
    "rest_months": "",
}

_SUFFIXES = {
    "_m": "m",
    "_mm2": "mm2",
    "_as": "As",
    "_v": "V",
    "_a": "A",
    "_ah": "Ah",
    "_wh": "Wh",
    "_w": "W",
    "_h": "h",
    "_s": "s",
    "_ohm": "ohm",
    "_share": "%",
}


def unit_of(name):
    """Unit of a given or of a step on the way, told by the end of its name.

    Args:
        name: such as ``current_a`` or ``pack_capacity_ah``.
    """
    if name in UNITS:
        return UNITS[name]
    endings = (unit for end, unit in _SUFFIXES.items() if name.endswith(end))
    return next(endings, "")


def in_words(values):
    """Givens as texts with their units, for filling into sentences.

    Args:
        values: dict of name -> number or text.

    Returns:
        dict of name -> text, with ``series_cells`` ("5 cells") and ``parallel_strings``
        ("1 string") beside the counts.
    """
    texts = {
        name: _written(value, unit_of(name), plain=name.endswith("_in_a"))
        for name, value in values.items()
    }
    if "series" in values:
        texts["series_cells"] = _counted("cells", values["series"])
    if "parallel" in values:
        texts["parallel_strings"] = _counted("strings", values["parallel"])
    return texts


def _counted(what, count):
    return say(f"tasks.{what}_{'one' if count == 1 else 'many'}", count=count)


def _written(value, unit, plain=False):
    if isinstance(value, str):
        return value
    if unit == "%":
        return write(100 * value, "%")
    if unit == "As":
        return f"{value:.4g} As"
    # Rules of thumb are worked in hours and seconds: 3.5 h helps more than 3 h 30 min.
    if plain or unit in ("h", "s"):
        return write_plain(value, unit)
    if unit:
        return write(value, unit)
    return f"{value:.4g}"
