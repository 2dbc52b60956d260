"""What a task can ask about wirings, meters and faults."""

from itertools import combinations

from packlearn import rules
from packlearn.finding import Meter, Reading, explain
from packlearn.holders import layout
from packlearn.quantities import read_name
from packlearn.tasks import faults
from packlearn.tasks.asked import Asked
from packlearn.tasks.benches import built_so_far, contact_at, joined, opened, string_of
from packlearn.wiring import Wiring


def _name(givens):
    return read_name(joined(givens, givens["strings"]).name)


def _read_v(wiring, red, black):
    # Without the computer's last digits: what cancels out is 0 V. Adding 0 turns -0 into 0.
    return round(wiring.reading_v(red, black), 9) + 0.0


def _ends_v(wiring):
    return _read_v(wiring, wiring.red, wiring.black)


def _between_v(givens):
    ends = (contact_at(givens[f"{probe}_joint"]) for probe in ("red", "black"))
    return _read_v(string_of(givens), *ends)


def _largest_v(givens):
    made = built_so_far(givens)
    return float(max(abs(made.readings_v(list(combinations(made.contacts, 2))))))


def _touching(givens):
    """What two bare ends of a string short-circuit when they touch."""
    ends = [contact_at(givens[f"{probe}_joint"]) for probe in ("red", "black")]
    if ends[0] == ends[1]:
        return "nothing"
    # The catalogue's own voltage and resistance: a short needs both.
    string = string_of({"series": givens["series"]}).link(*ends)
    limit_a = string.cell_at("1A").cell.current_limit_a
    shorted = [label for label, amps in string.currents_a().items() if abs(amps) > limit_a]
    return "whole" if len(shorted) == givens["series"] else "part"


def _across_a(givens):
    cell = string_of({"series": 1}).cell_at("1A").cell
    one = Wiring().place("1A", cell).measured("1A", givens["open_v"], givens["each_ohm"])
    return one.ammeter_a("1A+", "1A-", shunt_ohm=givens["shunt_ohm"])


def _off_v(givens, volts):
    share, counts_v = givens["meter_share"], givens["meter_counts"] * givens["step_v"]
    return float(Meter(percent=100 * share, volts=counts_v).tolerance_v(volts))


def _span_v(givens):
    volts = _ends_v(string_of(givens))
    off_v = _off_v(givens, volts)
    return volts - off_v, volts + off_v


# How each kind of fault is told in a choice: what its readings alone can say.
_TOLD = {
    "turned": "turned",
    "dead": "flat",
    "shorted": "flat",
    "missing": "open",
    "link_missing": "open",
    "swapped": "swapped",
}


def _explained(givens):
    readings = [
        Reading("1A+", "1A-", givens["first_v"]),
        Reading("2A+", "2A-", givens["second_v"]),
        Reading("red", "black", givens["pack_v"]),
    ]
    found = explain(string_of({"series": 3, "reading_v": givens["reading_v"]}), readings)
    told = {_TOLD.get(each.kind) for each in found if each.rank == 1}
    return told.pop() if len(told) == 1 else None


_JOINTS = ("series", "reading_v", "red_joint", "black_joint")
_METER = ("meter_share", "meter_counts", "step_v")

WIRINGS = {
    "wiring_name": Asked("name", "", _name, ("series", "parallel", "strings")),
    "wire_it": Asked("wire", "", lambda g: (g["series"], g["parallel"]), ("series", "parallel")),
    "strip_count": Asked(
        "count",
        "",
        lambda g: layout(g["series"], g["parallel"], bool(g["strings"])).strip_count,
        ("series", "parallel", "strings"),
        {
            "contact_count": "2 * series * parallel",
            "joint_count": "(1 - strings) * (series + 1) + strings * (2 + parallel * (series - 1))",
        },
    ),
    "built_so_far_v": Asked(
        "number",
        "V",
        _largest_v,
        ("series", "reading_v", "made_count"),
        {"line_count": "made_count + 1"},
    ),
    "bare_ends_touch": Asked("choice", "", _touching, ("series", "red_joint", "black_joint"), {}),
    "wire_ohm_there_and_back": Asked(
        "number",
        "ohm",
        lambda g: rules.wire_resistance_ohm(2 * g["wire_m"], g["wire_mm2"]),
        ("wire_m", "wire_mm2"),
        {"both_m": "2 * wire_m", "each_m_ohm": f"{rules.COPPER_OHM_MM2_PER_M} / wire_mm2"},
    ),
}

READINGS = {
    "turned_reading_v": Asked(
        "number",
        "V",
        lambda g: _ends_v(string_of(g)),
        ("series", "turned", "reading_v"),
        {"forward_count": "series - turned", "net_count": "series - 2 * turned"},
    ),
    "point_reading_v": Asked(
        "number",
        "V",
        _between_v,
        _JOINTS,
        {"between_count": "most(red_joint, black_joint) - least(red_joint, black_joint)"},
    ),
    "open_reading_v": Asked(
        "number", "V", lambda g: _ends_v(opened(g)), ("series", "reading_v", "open_joint")
    ),
    "ammeter_short_a": Asked(
        "number",
        "A",
        _across_a,
        ("open_v", "each_ohm", "shunt_ohm", "current_a"),
        {"path_ohm": "each_ohm + shunt_ohm"},
    ),
    "return_current_a": Asked("number", "A", lambda g: g["current_a"], ("current_a", "parallel")),
    "ammeter_place": Asked(
        "choice",
        "",
        # A meter whose resistance is small beside any load's is made for currents.
        lambda g: "in_line" if g["meter_ohm"] < 1 else "across",
        ("meter_ohm",),
    ),
    "lead_polarity": Asked(
        "choice", "", lambda g: "red" if g["reading_v"] > 0 else "black", ("reading_v",)
    ),
    "meter_top_v": Asked(
        "number",
        "V",
        lambda g: g["voltage_v"] + _off_v(g, g["voltage_v"]),
        ("voltage_v", *_METER),
        {
            "part_v": "meter_share * voltage_v",
            "counted_v": "meter_counts * step_v",
            "off_v": "part_v + counted_v",
        },
    ),
    "meter_span_v": Asked(
        "range",
        "V",
        _span_v,
        ("cell", "series", "reading_v", *_METER),
        {
            "true_v": "series * reading_v",
            "part_v": "meter_share * true_v",
            "counted_v": "meter_counts * step_v",
        },
    ),
    "find_fault": Asked(
        "fault",
        "",
        lambda g: faults.key_of(faults.hidden(g).fault),
        ("series", "parallel", "load_ohm", "fault_number"),
    ),
    "fault_of_readings": Asked(
        "choice",
        "",
        _explained,
        ("reading_v", "first_v", "second_v", "pack_v"),
        {"whole_v": "3 * reading_v"},
    ),
}

WIRING = WIRINGS | READINGS
"""What can be asked: name -> ``Asked``."""
