"""What a pack takes to build or to buy: counts and things."""

from __future__ import annotations

from typing import NamedTuple

from packlearn.building._data import chemistry_words
from packlearn.building.fuses import family
from packlearn.quantities import write
from packlearn.words import say, word

# Kinds of terminals that end a wire, the smallest first.
ON_WIRES = ("push_on_small", "push_on_large", "ring")


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
    fields = {
        "chemistry": chemistry_words(plan.pack.cell.chemistry),
        "volts": volts,
        "charge": charge,
    }
    return [_part(1, "ready_made", **fields)]


def _cells(plan):
    cell, count = plan.pack.cell, plan.figures.cell_count
    charge = write(cell.capacity_ah, "Ah")
    return [_part(count, "cell" if count == 1 else "cells", title=cell.title, charge=charge)]


def _joining(plan):
    """Holder and what joins neighbours; none for a block alone."""
    joints = sum(step.kind in ("join", "close") for step in plan.steps or ())
    if plan.form == "strip":
        return _holders(plan) + (_strips(plan, joints) if joints else [])
    if plan.form == "snap":
        return [_part(plan.figures.cell_count, "snap")]
    found = [_part(1, "tray")]
    if joints and plan.wire:
        area = plan.wire.conductor.label
        found.append(_part(joints, "cable", wire=area, terminal=_terminal(plan)))
    return found


def _holders(plan):
    pack = plan.pack
    count, places = (pack.parallel, pack.series) if plan.strings else (1, pack.cell_count)
    current = write(plan.figures.steady_a / pack.parallel, "A", 2)
    fields = {"title": pack.cell.title, "current": current}
    if places == 1:
        return [_part(count, "holder_one", **fields)]
    return [_part(count, "holder", places=places, **fields)]


def _strips(plan, joints):
    """Strips between neighbours; along groups side by side as well."""
    if not plan.links:
        return []
    strip = plan.links.strip
    metal = word(f"building.links.metal.{strip.metal}")
    section = {"thickness": f"{strip.thickness_mm:g}", "width": f"{strip.width_mm:g}"}
    count = joints if plan.strings else plan.links.strip_count
    return [_part(count, "strip", metal=metal, **section)]


def _terminal(plan):
    kinds = [kind for kind in plan.terminals if kind in ON_WIRES]
    return word(f"building.links.terminal.{kinds[0] if kinds else ON_WIRES[0]}")


def _terminals(plan):
    """What wires end in at the pack, and what joins wires of the leads."""
    if not plan.steps:
        return []
    at_pack = 2 * (plan.pack.parallel if plan.strings else 1)
    # Behind the fuse, the switch and the cut-off; what joins the strings at both ends as well.
    ways = sum((plan.fuse is not None, True, plan.protection.kind == "cut_off"))
    ways += 2 if plan.strings else 0
    found = []
    if plan.form == "snap":
        ways += 2 + sum(step.kind in ("join", "close") for step in plan.steps)
    else:
        found.append(_part(at_pack, "terminal", terminal=_terminal(plan)))
    if "screw_block" in plan.terminals:
        return [*found, _part(1, "block", ways=ways)]
    return [*found, _part(ways, "rings")]


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
        found.append(_part(2, "wires", length=length, wire=area))
        if plan.strings:
            found.append(_part(plan.pack.parallel, "short_wire", wire=area))
    return found


def _tools(plan):
    guard = plan.protection
    found = []
    if guard.kind == "cut_off":
        volts, current = write(guard.pack_under_v, "V"), write(guard.current_a, "A")
        found.append(_part(1, "cut_off", volts=volts, current=current))
    covers = 2 + sum(len(step.contacts) for step in plan.steps or () if step.kind == "red")
    found += _terminals(plan)
    found += [_part(covers, "cover"), _part(1, "label")]
    return [*found, _part(1, "tools")]


def _charger(plan):
    if plan.charging is None:
        return []
    kind = "singly" if plan.charging.method == "constant_current" else plan.charging.method
    volts = write(plan.charging.voltage_v, "V")
    chemistry = chemistry_words(plan.charging.chemistry)
    return [_part(1, f"charger_{kind}", chemistry=chemistry, volts=volts)]
