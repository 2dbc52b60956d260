"""Choices that ask for a reason too: right only with both."""

from packlearn.tasks.answers_under_load import loaded_v
from packlearn.tasks.asked import Asked


def _more(first, second):
    return "same" if first == second else "first" if first > second else "second"


def _strings(givens):
    return _more(givens["parallel"], givens["other_parallel"])


_TWO = ("cell", "series", "parallel", "other_series", "other_parallel")

REASONS = {
    "stronger_pack": Asked("reason", "", _strings, _TWO, because=lambda g: "strings"),
    "longer_pack": Asked("reason", "", _strings, (*_TWO, "current_a"), because=lambda g: "side"),
    "holds_because": Asked(
        "reason",
        "",
        lambda g: "yes" if loaded_v(g) >= g["voltage_low_v"] else "no",
        ("series", "parallel", "open_v", "each_ohm", "current_a", "voltage_low_v"),
        {
            "pack_open_v": "series * open_v",
            "pack_ohm": "each_ohm * series / parallel",
            "lost_v": "current_a * pack_ohm",
            "left_v": "pack_open_v - lost_v",
        },
        because=lambda g: "loss",
    ),
}
"""What can be asked: name -> ``Asked``."""
