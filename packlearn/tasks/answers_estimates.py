"""What is to be estimated: the truth comes from the simulation, the answer is a range."""

import functools

from packlearn.cells import cell as find_cell
from packlearn.discharging import discharge
from packlearn.loads import Load
from packlearn.packs import Pack
from packlearn.tasks.asked import Asked

# The high end of a range over its low end, at most.
WIDEST = 1.5


@functools.lru_cache(maxsize=4096)
def _run_h(cell, series, parallel, load, value, low_v):
    pack = Pack(find_cell(cell), series, parallel)
    return float(discharge(pack, getattr(Load, load)(value), until_v=low_v).run_time_h)


def _hours(load, value):
    def compute(g):
        return _run_h(g["cell"], g["series"], g["parallel"], load, g[value], g["voltage_low_v"])

    return compute


_PACK = ("cell", "series", "parallel", "voltage_low_v")

ESTIMATES = {
    "estimate_run_h": Asked(
        "estimate",
        "h",
        _hours("current", "current_a"),
        (*_PACK, "current_a"),
        {"rule_in_h": "parallel * cell_capacity_ah / current_a"},
        widest=WIDEST,
    ),
    "estimate_power_run_h": Asked(
        "estimate",
        "h",
        _hours("power", "power_w"),
        (*_PACK, "power_w"),
        {
            "middle_v": "series * (cell_nominal_voltage_v + voltage_low_v / series) / 2",
            "drawn_in_a": "power_w / middle_v",
            "rule_in_h": "parallel * cell_capacity_ah / drawn_in_a",
        },
        widest=WIDEST,
    ),
}
"""What can be asked: name -> ``Asked``."""
