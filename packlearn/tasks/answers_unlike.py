"""What a task can ask about unlike cells: in line, side by side, joined, driven backwards."""

from packlearn import rules
from packlearn.tasks.asked import Asked
from packlearn.tasks.formulas import work_out

_WHICH = ("first", "second", "third")
_THREE = tuple(f"{which}_ah" for which in _WHICH)
_COUNTED = tuple(f"{which}_count" for which in (*_WHICH, "fourth"))


def smallest_ah(givens):
    """Charge [Ah] that can pass through three cells in line: the smallest one's."""
    return min(givens[name] for name in _THREE)


def _left_inside_wh(givens):
    charge_ah = sum(givens[name] - smallest_ah(givens) for name in _THREE)
    return rules.energy_wh(givens["voltage_v"], charge_ah)


def _equalising_a(givens):
    difference_v = abs(givens["first_v"] - givens["second_v"])
    return rules.current_into_a(difference_v, givens["each_ohm"], givens["each_ohm"])


def _first_share_a(givens):
    both_ohm = givens["first_ohm"] + givens["second_ohm"]
    return givens["current_a"] * givens["second_ohm"] / both_ohm


def _first_empty(givens):
    return min(_WHICH, key=lambda which: givens[f"{which}_ah"] * givens[f"{which}_share"])


def _share_reaching(givens):
    counts = [givens[name] for name in _COUNTED]
    return sum(counts[2:]) / sum(counts)


def _formula(formula):
    return lambda givens: work_out(formula, givens)


_LEAST = {"least_ah": "least(first_ah, second_ah, third_ah)"}
_ALL_AH = {"all_ah": "first_ah + second_ah + third_ah"}

IN_LINE = {
    "weakest_charge_ah": Asked("number", "Ah", smallest_ah, _THREE),
    "weakest_run_time_h": Asked(
        "number",
        "h",
        lambda g: rules.run_time_h(smallest_ah(g), g["current_a"]),
        (*_THREE, "current_a"),
        _LEAST,
    ),
    "usable_energy_wh": Asked(
        "number",
        "Wh",
        lambda g: rules.energy_wh(rules.series_voltage_v(g["voltage_v"], 3), smallest_ah(g)),
        (*_THREE, "voltage_v"),
        _LEAST | {"line_v": "3 * voltage_v"},
    ),
    "left_inside_wh": Asked(
        "number",
        "Wh",
        _left_inside_wh,
        (*_THREE, "voltage_v"),
        _LEAST | _ALL_AH | {"used_ah": "3 * least_ah", "left_ah": "all_ah - used_ah"},
    ),
    "run_share": Asked(
        "number",
        "%",
        lambda g: min(g["first_ah"], g["second_ah"]) / g["first_ah"],
        ("first_ah", "second_ah"),
    ),
    "first_empty": Asked(
        "choice",
        "",
        _first_empty,
        (*_THREE, *(f"{which}_share" for which in _WHICH)),
        {f"{which}_left_ah": f"{which}_ah * {which}_share" for which in _WHICH},
    ),
    "reversed_pack_v": Asked(
        "number",
        "V",
        _formula("first_v + second_v - reverse_v"),
        ("first_v", "second_v", "reverse_v"),
    ),
    "driven_pack_v": Asked(
        "number",
        "V",
        _formula("(series - 1) * voltage_v - reverse_v"),
        ("series", "voltage_v", "reverse_v"),
        {"good_count": "series - 1", "good_v": "good_count * voltage_v"},
    ),
    "driven_cell_v": Asked(
        "number",
        "V",
        _formula("first_v + second_v - voltage_v"),
        ("voltage_v", "first_v", "second_v"),
        {"good_v": "first_v + second_v"},
    ),
}

SIDE_BY_SIDE = {
    "side_by_side_ah": Asked(
        "number", "Ah", _formula("first_ah + second_ah"), ("first_ah", "second_ah")
    ),
    "equalising_a": Asked(
        "number",
        "A",
        _equalising_a,
        ("first_v", "second_v", "each_ohm"),
        {
            "difference_v": "most(first_v, second_v) - least(first_v, second_v)",
            "both_ohm": "2 * each_ohm",
        },
    ),
    "joined_h": Asked("number", "h", _formula("first_h + second_h"), ("first_h", "second_h")),
    "first_share_a": Asked(
        "number",
        "A",
        _first_share_a,
        ("current_a", "first_ohm", "second_ohm"),
        {"both_ohm": "first_ohm + second_ohm", "part": "second_ohm / both_ohm"},
    ),
    "share_reaching": Asked(
        "number",
        "%",
        _share_reaching,
        _COUNTED,
        {
            "all_count": " + ".join(_COUNTED),
            "long_count": "third_count + fourth_count",
        },
    ),
}

UNLIKE = IN_LINE | SIDE_BY_SIDE
"""What can be asked: name -> ``Asked``."""
