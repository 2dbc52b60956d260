"""What a plan takes for granted: each assumption as a sentence, with where it comes from."""

from __future__ import annotations

from packlearn.building._data import source_texts, table
from packlearn.building.stages import at_rest_v, most_apart_v, tenth_words
from packlearn.finding import Meter
from packlearn.quantities import write
from packlearn.words import say, word

_FELT_K = 3.0


def assumptions(plan):
    """Everything of a plan that is assumed and not measured.

    Args:
        plan: a ``Plan``.

    Returns:
        Tuple of pairs: sentence, source.
    """
    rows = [*_of_need(plan), *_of_cell(plan), *_of_leads(plan), *_of_readings(plan)]
    rows += _of_charging(plan)
    if plan.transport.kind != "dry":
        rows.append(_row("transport", "; ".join(plan.transport.sources)))
    return tuple(rows)


def _row(key, source, **fields):
    return say(f"build.assumed.{key}", **fields), source


def _sources(*names):
    return "; ".join(source_texts(*names))


def _percent(share):
    return f"{100 * share:.3g} %"


def _of_need(plan):
    need, practice = plan.need, _sources("practice")
    rows = [_row("current_derating", practice, share=_percent(need.current_derating))]
    if need.capacity_derating != 1:
        rows.append(_row("capacity_derating", practice, share=_percent(need.capacity_derating)))
    for name in ("ageing_factor", "design_margin", "temperature_factor"):
        factor = getattr(need, name)
        if factor != 1:
            rows.append(_row(name, _sources("ieee-485"), factor=f"{factor:.4g}"))
    if (need.ageing_factor, need.design_margin, need.temperature_factor) == (1, 1, 1):
        rows.append(_row("no_factors", word("build.sources.choice")))
    rows.append(_row("run_time", _sources("arithmetic")))
    return rows


def _of_cell(plan):
    cell = plan.pack.cell
    fields = {"title": cell.title, "charge": write(cell.capacity_ah, "Ah")}
    source = cell.sources.get("capacity_ah") or word("build.sources.sheet")
    if cell.capacity_at_a:
        stated = write(cell.capacity_at_a, "A")
        rows = [_row("capacity_at", source, current=stated, **fields)]
    else:
        rows = [_row("capacity", source, **fields)]
    source = cell.sources.get("resistance_ohm") or word("build.sources.sheet")
    rows.append(_row("resistance", source, ohm=write(cell.resistance_ohm, "ohm")))
    return rows


def _of_leads(plan):
    if plan.wire is None:
        return []
    wire = plan.wire
    air, heat = f"{plan.ambient_c:g}", f"{wire.allowed_heating_k:g}"
    rows = [
        _row("drop", _sources("practice"), volts=write(wire.allowed_drop_v, "V", 2)),
    ]
    # Warmth that is hardly felt decided nothing.
    if wire.heating_k >= _FELT_K:
        rows.append(_row("heating", _sources("cooling"), air=air, heat=heat))
    if plan.fuse:
        usual = _percent(table("fuses")["usual"]["wire_derating"])
        run = _percent(plan.fuse.family.run_share)
        rows.append(_row("fuse_wire", _sources("practice"), share=usual))
        rows.append(_row("fuse_run", "; ".join(plan.fuse.family.sources), share=run))
    return rows


def _of_readings(plan):
    meter, cell = Meter(), plan.pack.cell
    low, high = (f"{volts:.2f}" for volts in at_rest_v(cell))
    share, counts = f"{meter.percent:g} %", f"{meter.volts:g} V"
    source = cell.sources.get("rested_voltage_v") or _sources("memory")
    rows = [_row("meter", _sources("practice"), share=share, volts=counts)]
    kind = "rested" if cell.rested_voltage_v is not None else "fresh"
    rows.append(_row(kind, source, low=low, high=high))
    if plan.ready_made:
        rows.append(_row("load_ready", _sources("practice")))
    else:
        rows.append(_row("load", _sources("memory"), **_contacts(plan)))
        if plan.measures:
            rows.append(_row("holder", _sources("memory")))
    if plan.string_fuse and (apart_v := most_apart_v(plan.pack, plan.charging)):
        rows.append(_row("apart", _sources("arithmetic"), most=tenth_words(apart_v)))
    return rows


def _contacts(plan):
    contacts = table("links")["contacts"]
    each = contacts["block_ohm" if plan.pack.cell.cells_inside > 1 else "holder_ohm"]
    return {"each": write(each, "ohm"), "leads": write(contacts["lead_ohm"], "ohm")}


def _of_charging(plan):
    if plan.charging is None:
        return []
    return [_row("charging", "; ".join(plan.charging.sources))]
