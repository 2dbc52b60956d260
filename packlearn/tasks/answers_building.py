"""What a task can ask about wires, fuses, charging and transport; see ``answers``."""

from packlearn import building, rules
from packlearn.cells import cell as find_cell
from packlearn.packs import Pack
from packlearn.tasks.asked import Asked
from packlearn.tasks.formulas import work_out


def _pack(givens):
    return Pack(find_cell(givens["cell"]), givens["series"], givens.get("parallel", 1))


def _area_mm2(givens):
    asked = givens["current_a"], givens["wire_m"], givens["drop_v"]
    return building.next_area_mm2(building.area_for_drop_mm2(*asked))


def _charged(givens):
    """How a cell's pack is charged: never, by a charger of its kind, or only by its own."""
    cell = find_cell(givens["cell"])
    if not building.may_be_charged(cell):
        return "never"
    return "own" if building.charging_for(Pack(cell, 1, 1)).ready_made else "kind"


def _short_a(givens):
    """What a short circuit at the end of a cable drives, through cells and cable."""
    pack_ohm = rules.pack_resistance_ohm(
        givens["each_ohm"], givens["series"], givens.get("parallel", 1)
    )
    open_v = givens["series"] * givens["open_v"]
    return float(rules.short_circuit_current_a(open_v, pack_ohm + givens["cable_ohm"]))


def _rested_ah(givens):
    lost = 1.0 - givens["loss_share"]
    return givens["label_ah"] * lost ** givens["rest_months"]


def _band(givens):
    return building.band_of(building.rated_energy_wh(givens["label_ah"], givens["voltage_v"]))


_CABLE = ("wire_m", "current_a")
_BOTH = {"both_m": "2 * wire_m"}

BUILDING = {
    "wire_area_mm2": Asked(
        "number",
        "mm2",
        _area_mm2,
        (*_CABLE, "drop_v"),
        _BOTH | {"needed_mm2": f"{rules.COPPER_OHM_MM2_PER_M} * 2 * wire_m * current_a / drop_v"},
    ),
    "wire_drop_v": Asked(
        "number",
        "V",
        lambda g: building.drop_v(g["current_a"], g["wire_m"], g["wire_mm2"]),
        (*_CABLE, "wire_mm2"),
        _BOTH | {"wire_ohm": f"{rules.COPPER_OHM_MM2_PER_M} * 2 * wire_m / wire_mm2"},
    ),
    "cable_short_a": Asked(
        "number",
        "A",
        _short_a,
        ("series", "parallel", "open_v", "each_ohm", "cable_ohm", "current_a"),
        {
            "pack_v": "series * open_v",
            "pack_ohm": "series * each_ohm / parallel",
            "path_ohm": "series * each_ohm / parallel + cable_ohm",
        },
    ),
    "fuse_rating_a": Asked(
        "number",
        "A",
        lambda g: work_out("fuse_size(current_a / run_share, run_share)", g),
        ("cell", "parallel", "current_a", "run_share", "wire_limit_a"),
        {
            "least_a": "current_a / run_share",
            "most_a": "0.8 * wire_limit_a",
            "pack_limit_a": "parallel * cell_current_limit_a",
        },
    ),
    "fuse_place": Asked(
        "choice",
        "",
        lambda g: building.fuse_places(_pack(g))[-1].kind,
        ("cell", "series", "parallel"),
    ),
    "charge_voltage_v": Asked(
        "number",
        "V",
        lambda g: building.charging_for(_pack(g)).voltage_v,
        ("cell", "series"),
    ),
    "charge_time_h": Asked(
        "number",
        "h",
        lambda g: building.charge_time_h(g["label_ah"], g["charge_a"], g["charge_factor"]),
        ("label_ah", "charge_a", "charge_factor"),
        {"put_in_ah": "label_ah * charge_factor"},
    ),
    "rest_charge_ah": Asked(
        "number",
        "Ah",
        _rested_ah,
        ("label_ah", "loss_share", "rest_months"),
        {"kept_share": "1 - loss_share", "first_month_ah": "label_ah * (1 - loss_share)"},
    ),
    "may_it_be_charged": Asked("choice", "", _charged, ("cell",)),
    "board_series": Asked(
        "count",
        "cells",
        lambda g: building.protection_for(_pack(g)).series,
        ("cell", "series", "parallel", "voltage_v"),
        {"pack_count": "series * parallel"},
    ),
    "transport_wh": Asked(
        "number",
        "Wh",
        lambda g: building.transport_of(_pack(g)).energy_wh,
        ("cell", "series", "parallel"),
        {
            "pack_v": "series * cell_nominal_voltage_v",
            "pack_ah": "parallel * cell_capacity_ah",
            "pack_count": "series * parallel",
        },
    ),
    "may_it_fly": Asked(
        "choice",
        "",
        _band,
        ("voltage_v", "label_ah"),
        {"label_wh": "voltage_v * label_ah"},
    ),
}
"""What can be asked: name -> ``Asked``."""
