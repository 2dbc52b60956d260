"""What the steps to a learner's own pack ask beyond what other tasks do; see ``answers``."""

from packlearn.loads import Load
from packlearn.tasks.asked import Asked
from packlearn.tasks.formulas import work_out

THREE = ("first", "second", "third")
FOUR = (*THREE, "fourth")

_FOR_PEAK = "up(peak_a / (current_derating * cell_current_limit_a))"
_FOR_TIME = "up(current_a * run_time_h / (usable_share * cell_capacity_ah))"
_BOTH = ("cell", "peak_a", "current_a", "run_time_h", "current_derating", "usable_share")
_COUNTS = {
    "planned_a": "current_derating * cell_current_limit_a",
    "planned_ah": "usable_share * cell_capacity_ah",
    "needed_ah": "current_a * run_time_h",
    "for_peak": _FOR_PEAK,
    "for_time": _FOR_TIME,
}


def steps_of(givens):
    """Names of the three or four steps that repeat, of a variant's givens."""
    return FOUR if "fourth_a" in givens else THREE


def steps_load(givens):
    """The ``Load`` of three or four steps that repeat, of a variant's givens."""
    names = steps_of(givens)
    return Load.profile([(Load.current(givens[f"{n}_a"]), givens[f"{n}_s"]) for n in names])


def _mean_of(names):
    parts = {f"{name}_part_as": f"{name}_a * {name}_s" for name in names}
    sums = {
        "period_s": " + ".join(f"{name}_s" for name in names),
        "sum_as": " + ".join(parts),
    }
    needs = tuple(f"{name}_{unit}" for name in names for unit in ("a", "s"))
    return Asked("number", "A", lambda g: steps_load(g).mean_current_a(), needs, parts | sums)


def what_binds(givens):
    """What asks for more side by side: ``current``, ``time``, or ``same``."""
    peak, time = work_out(_FOR_PEAK, givens), work_out(_FOR_TIME, givens)
    if peak == time:
        return "same"
    return "current" if peak > time else "time"


OWN_PACK = {
    "mean_of_three_a": _mean_of(THREE),
    "mean_of_four_a": _mean_of(FOUR),
    "parallel_for_need": Asked(
        "count",
        "cells",
        lambda g: int(work_out(f"most({_FOR_PEAK}, {_FOR_TIME})", g)),
        _BOTH,
        _COUNTS,
    ),
    "which_binds": Asked("choice", "", what_binds, _BOTH, _COUNTS),
    "fuse_least_a": Asked(
        "number",
        "A",
        lambda g: work_out("most(current_a / run_share, peak_a)", g),
        ("cell", "parallel", "current_a", "peak_a", "run_share", "wire_limit_a"),
        {
            "steady_least_a": "current_a / run_share",
            "most_a": "0.8 * wire_limit_a",
            "pack_limit_a": "parallel * cell_current_limit_a",
        },
    ),
}
"""What can be asked: name -> ``Asked``."""
