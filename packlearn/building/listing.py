"""What a pack takes to build or to buy: counts and things."""

from __future__ import annotations

from typing import NamedTuple

from packlearn.building.fuses import family
from packlearn.quantities import write
from packlearn.words import say, word

# What a holder's spring contact may carry at most is planned with like every terminal.
SMALLEST_LEAD_TERMINAL = "push_on_small"


class Part(NamedTuple):
    """One line of a list of parts.

    Attributes:
        count: how many.
        what: what it is, in words.
    """

    count: int
    what: str


def parts(plan):
    """Everything a plan takes, cells first.

    Args:
        plan: a ``Plan``.

    Returns:
        Tuple of ``Part``.
    """
    if plan.ready_made:
        return tuple(_ready_made(plan) + _leads(plan) + _charger(plan))
    return tuple(_cells(plan) + _joining(plan) + _leads(plan) + _tools(plan) + _charger(plan))


def _part(count, key, **fields):
    return Part(count, say(f"build.parts.{key}", **fields))


def _ready_made(plan):
    volts, charge = write(plan.figures.nominal_v, "V"), write(plan.figures.capacity_ah, "Ah")
    fields = {"chemistry": plan.pack.cell.chemistry, "volts": volts, "charge": charge}
    return [_part(1, "ready_made", **fields)]


def _cells(plan):
    cell, count = plan.pack.cell, plan.figures.cell_count
    charge = write(cell.capacity_ah, "Ah")
    return [_part(count, "cell" if count == 1 else "cells", title=cell.title, charge=charge)]


def _joining(plan):
    """Holder and what joins neighbours; none for a block alone."""
    pack, joints = plan.pack, sum(step.kind in ("join", "close") for step in plan.steps or ())
    if plan.form == "strip":
        count, kind = (pack.parallel, "holder_string") if plan.strings else (1, "holder")
        size = pack.series if plan.strings else plan.figures.cell_count
        kind = "holder_one" if size == 1 else kind
        found = [_part(count, kind, places=size, title=pack.cell.title)]
        if plan.links and joints:
            strip = plan.links.strip
            metal = word(f"building.links.metal.{strip.metal}")
            section = {"thickness": f"{strip.thickness_mm:g}", "width": f"{strip.width_mm:g}"}
            found.append(_part(_strips(plan, joints), "strip", metal=metal, **section))
        return found
    found = [] if plan.form == "snap" else [_part(1, "tray")]
    if plan.form == "snap":
        found.append(_part(plan.figures.cell_count, "snap"))
    if plan.form == "cable" and joints and plan.wire:
        area = plan.wire.conductor.label
        found.append(_part(joints, "cable", wire=area, terminal=_terminal(plan)))
    return found


def _strips(plan, joints):
    """Strips between neighbours; along groups side by side as well."""
    return joints if plan.strings else plan.links.strip_count


def _terminal(plan):
    kinds = [kind for kind in plan.terminals if kind in ("push_on_small", "push_on_large", "ring")]
    return word(f"building.links.terminal.{kinds[0] if kinds else SMALLEST_LEAD_TERMINAL}")


def _leads(plan):
    found = []
    if plan.string_fuse:
        rating, name = plan.string_fuse
        fields = {"rating": write(rating, "A"), "volts": write(plan.figures.full_v, "V")}
        build = word(f"build.fuse_kinds.{family(name).name}")
        count = plan.pack.parallel
        found += [_part(count, "string_fuse_holder"), _part(count, "fuse", build=build, **fields)]
    if plan.fuse:
        build = word(f"build.fuse_kinds.{plan.fuse.family.name}")
        fields = {
            "rating": write(plan.fuse.rating_a, "A"),
            "volts": write(plan.fuse.voltage_v, "V"),
        }
        found += [_part(1, "fuse_holder"), _part(2, "fuse_spare", build=build, **fields)]
    if plan.switch and not plan.ready_made:
        rating, volts = write(plan.switch.rating_a, "A"), write(plan.switch.voltage_v, "V")
        found.append(_part(1, "switch", rating=rating, volts=volts))
    if plan.wire:
        length, area = write(plan.lead_m, "m"), plan.wire.conductor.label
        found += [
            _part(1, f"{colour}_wire", length=length, wire=area) for colour in ("red", "black")
        ]
    return found


def _tools(plan):
    guard = plan.protection
    found = []
    if guard.kind == "cut_off":
        volts, current = write(guard.pack_under_v, "V"), write(guard.current_a, "A")
        found.append(_part(1, "cut_off", volts=volts, current=current))
    return [*found, _part(1, "connector"), _part(2, "cover"), _part(1, "label")]


def _charger(plan):
    if plan.charging is None:
        return []
    kind = "singly" if plan.charging.method == "constant_current" else plan.charging.method
    volts = write(plan.charging.voltage_v, "V")
    chemistry = plan.charging.chemistry
    return [_part(1, f"charger_{kind}", chemistry=chemistry, volts=volts)]
