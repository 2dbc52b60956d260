"""What a task can ask for, and the right answer worked out by the library.

No answer is stored anywhere: each is computed from a variant's givens.
"""

from packlearn import rules
from packlearn.cells import cell as find_cell
from packlearn.loads import Converter, LinearRegulator, Load
from packlearn.packs import Pack
from packlearn.sizing import Need
from packlearn.tasks.answers_building import BUILDING
from packlearn.tasks.answers_estimates import ESTIMATES
from packlearn.tasks.answers_need import NEED
from packlearn.tasks.answers_orders import ORDERS
from packlearn.tasks.answers_own_pack import OWN_PACK
from packlearn.tasks.answers_picks import PICKS
from packlearn.tasks.answers_reasons import REASONS
from packlearn.tasks.answers_several import several_of
from packlearn.tasks.answers_under_load import UNDER_LOAD
from packlearn.tasks.answers_unlike import UNLIKE
from packlearn.tasks.answers_wiring import WIRING
from packlearn.tasks.asked import Asked
from packlearn.tasks.formulas import work_out


def pack_of(givens):
    """The ``Pack`` of a variant's givens."""
    return Pack(find_cell(givens["cell"]), givens["series"], givens["parallel"])


def profile_of(givens):
    """The sleep-and-wake ``Load`` of a variant's givens."""
    return Load.profile(
        [
            (Load.current(givens["sleep_a"]), givens["sleep_s"]),
            (Load.current(givens["wake_a"]), givens["wake_s"]),
        ]
    )


def converter_load(givens):
    """The ``Load`` behind a converter of a variant's givens."""
    converter = Converter(
        givens["output_v"], givens["efficiency"], input_v=(0.0, 10 * givens["output_v"])
    )
    return Load.current(givens["output_a"]).through(converter)


def regulator_load(givens):
    """The ``Load`` behind a linear regulator of a variant's givens."""
    return Load.current(givens["output_a"]).through(LinearRegulator(givens["output_v"], 0.0))


def need_of(givens):
    """The ``Need`` of a variant's givens: a steady load, or a profile where one is given."""
    load = profile_of(givens) if "wake_a" in givens else Load.current(givens["current_a"])
    return Need(
        load=load,
        run_time_h=givens["run_time_h"],
        voltage_v=(givens["voltage_low_v"], givens["voltage_high_v"]),
        current_derating=givens.get("current_derating", 0.8),
    )


def _bound_count(givens, formula):
    return int(work_out(formula, givens))


def _greater(first, second):
    if abs(first - second) <= 1e-9 * max(first, second):
        return "same"
    return "first" if first > second else "second"


def _other_pack(givens):
    return Pack(find_cell(givens["cell"]), givens["other_series"], givens["other_parallel"])


_PACK = ("cell", "series", "parallel")
_PROFILE = ("sleep_a", "sleep_s", "wake_a", "wake_s")
_NEED = ("voltage_low_v", "voltage_high_v", "run_time_h")
_PACK_AH = {"pack_capacity_ah": "parallel * cell_capacity_ah"}
_PERIOD = {
    "period_s": "sleep_s + wake_s",
    "sleep_share_as": "sleep_a * sleep_s",
    "wake_share_as": "wake_a * wake_s",
    "sum_as": "sleep_share_as + wake_share_as",
}
_MEAN = _PERIOD | {"mean_in_a": "sum_as / period_s"}
_IN_LINE = {
    "most_count": "voltage_high_v / cell_full_voltage_v",
    "fewest_count": "voltage_low_v / cell_end_voltage_v",
    "most_whole": "down(most_count)",
    "fewest_whole": "up(fewest_count)",
    "planned_a": "0.8 * cell_current_limit_a",
}

_P_CURRENT = "up(current_a / (current_derating * cell_current_limit_a))"
_P_TIME = "up(current_a * run_time_h / cell_capacity_ah)"

_PACKS = {
    "pack_voltage_v": Asked("number", "V", lambda g: pack_of(g).nominal_voltage_v, _PACK),
    "full_voltage_v": Asked("number", "V", lambda g: pack_of(g).full_voltage_v, _PACK),
    "end_voltage_v": Asked("number", "V", lambda g: pack_of(g).end_voltage_v, _PACK),
    "capacity_ah": Asked("number", "Ah", lambda g: pack_of(g).capacity_ah, _PACK),
    "current_limit_a": Asked("number", "A", lambda g: pack_of(g).current_limit_a, _PACK),
    "energy_wh": Asked(
        "number",
        "Wh",
        lambda g: pack_of(g).energy_wh,
        _PACK,
        _PACK_AH | {"pack_v": "series * cell_nominal_voltage_v"},
    ),
    "cell_count": Asked("count", "cells", lambda g: pack_of(g).cell_count, _PACK),
    "name": Asked("name", "", lambda g: (g["series"], g["parallel"]), _PACK),
    "pack_run_time_h": Asked(
        "number",
        "h",
        lambda g: pack_of(g).run_time_h(g["current_a"]),
        (*_PACK, "current_a"),
        _PACK_AH,
    ),
    "pack_current_a": Asked("number", "A", lambda g: g["current_a"], (*_PACK, "current_a")),
    "string_current_a": Asked(
        "number", "A", lambda g: g["current_a"] / g["parallel"], (*_PACK, "current_a")
    ),
    "pack_c_rate": Asked(
        "number",
        "C",
        lambda g: pack_of(g).current_limit_a / pack_of(g).capacity_ah,
        _PACK,
        _PACK_AH | {"pack_limit_a": "parallel * cell_current_limit_a"},
    ),
    "rested_voltage_v": Asked(
        "range",
        "V",
        lambda g: (
            g["series"] * g["cell_rested_low_v"],
            g["series"] * g["cell_rested_high_v"],
        ),
        _PACK,
    ),
    "joint_voltage_v": Asked(
        "number",
        "V",
        lambda g: rules.series_voltage_v(g["voltage_v"], g["series"]),
        ("voltage_v", "series"),
    ),
    "which_energy": Asked(
        "choice",
        "",
        lambda g: _greater(pack_of(g).energy_wh, _other_pack(g).energy_wh),
        (*_PACK, "other_series", "other_parallel"),
        {"pack_count": "series * parallel", "other_count": "other_series * other_parallel"},
    ),
    "mean_current_a": Asked(
        "number", "A", lambda g: profile_of(g).mean_current_a(), _PROFILE, _PERIOD
    ),
    "profile_run_time_h": Asked(
        "number",
        "h",
        lambda g: pack_of(g).run_time_h(profile_of(g).mean_current_a()),
        (*_PACK, *_PROFILE),
        _MEAN | _PACK_AH,
    ),
    "duty_cycle": Asked("number", "%", lambda g: profile_of(g).duty_cycle(), _PROFILE, _PERIOD),
    "need_energy_wh": Asked(
        "number",
        "Wh",
        lambda g: rules.energy_wh(g["voltage_v"], g["current_a"] * g["run_time_h"]),
        ("voltage_v", "current_a", "run_time_h"),
        {"power_w": "voltage_v * current_a"},
    ),
    "need_capacity_ah": Asked(
        "number", "Ah", lambda g: g["current_a"] * g["run_time_h"], ("current_a", "run_time_h")
    ),
    "converter_input_a": Asked(
        "number",
        "A",
        lambda g: converter_load(g).current_at_a(g["voltage_v"]),
        ("output_v", "output_a", "efficiency", "voltage_v"),
        {"output_w": "output_v * output_a", "input_w": "output_v * output_a / efficiency"},
    ),
    "regulator_input_a": Asked(
        "number",
        "A",
        lambda g: regulator_load(g).current_at_a(g["voltage_v"]),
        ("output_v", "output_a", "voltage_v"),
    ),
    "cell_run_time_h": Asked(
        "number",
        "h",
        lambda g: rules.run_time_h(g["cell_capacity_ah"], g["current_a"]),
        ("cell", "current_a"),
    ),
    "c_rate_current_a": Asked(
        "number",
        "A",
        lambda g: find_cell(g["cell"]).current_at_c_rate_a(g["c_rate"]),
        ("cell", "c_rate"),
    ),
    "plannable_current_a": Asked(
        "number",
        "A",
        lambda g: g["current_derating"] * pack_of(g).current_limit_a,
        (*_PACK, "current_derating"),
        {"pack_limit_a": "parallel * cell_current_limit_a"},
    ),
    "cell_planned_current_a": Asked(
        "number",
        "A",
        lambda g: find_cell(g["cell"]).plannable_current_a(g["current_derating"]),
        ("cell", "current_derating"),
    ),
    "fewest_series": Asked(
        "count",
        "cells",
        lambda g: _bound_count(g, "up(voltage_low_v / cell_end_voltage_v)"),
        ("cell", "voltage_low_v"),
        {"exact_count": "voltage_low_v / cell_end_voltage_v"},
    ),
    "most_series": Asked(
        "count",
        "cells",
        lambda g: _bound_count(g, "down(voltage_high_v / cell_full_voltage_v)"),
        ("cell", "voltage_high_v"),
        {"exact_count": "voltage_high_v / cell_full_voltage_v"},
    ),
    "parallel_for_current": Asked(
        "count",
        "cells",
        lambda g: _bound_count(g, _P_CURRENT),
        ("cell", "current_a", "current_derating"),
        {
            "planned_a": "current_derating * cell_current_limit_a",
            "exact_count": "current_a / (current_derating * cell_current_limit_a)",
        },
    ),
    "parallel_for_time": Asked(
        "count",
        "cells",
        lambda g: _bound_count(g, _P_TIME),
        ("cell", "current_a", "run_time_h"),
        {
            "needed_ah": "current_a * run_time_h",
            "exact_count": "current_a * run_time_h / cell_capacity_ah",
        },
    ),
    "parallel_needed": Asked(
        "count",
        "cells",
        lambda g: _bound_count(g, f"most({_P_CURRENT}, {_P_TIME})"),
        ("cell", "current_a", "run_time_h", "current_derating"),
        {
            "planned_a": "current_derating * cell_current_limit_a",
            "for_current": _P_CURRENT,
            "needed_ah": "current_a * run_time_h",
            "for_time": _P_TIME,
        },
    ),
    "design": Asked(
        "design",
        "",
        need_of,
        ("cell", "current_a", *_NEED),
        _IN_LINE
        | {
            "needed_ah": "current_a * run_time_h",
            "for_time": "up(needed_ah / cell_capacity_ah)",
            "for_current": "up(current_a / planned_a)",
        },
    ),
    "profile_design": Asked(
        "design",
        "",
        need_of,
        ("cell", *_PROFILE, *_NEED),
        _IN_LINE
        | _MEAN
        | {
            "needed_ah": "mean_in_a * run_time_h",
            "for_time": "up(needed_ah / cell_capacity_ah)",
            "for_peak": "up(wake_a / planned_a)",
        },
    ),
}

_SINGLE = _PACKS | NEED | UNDER_LOAD | UNLIKE | WIRING | BUILDING | OWN_PACK
ASKED = _SINGLE | several_of(_SINGLE) | ORDERS | ESTIMATES | REASONS | PICKS
