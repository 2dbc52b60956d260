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
    # Some titles say it already.
    if charge in cell.title:
        return [Part(count, cell.title)]
    return [_part(count, "cell" if count == 1 else "cells", title=cell.title, charge=charge)]


def _joining(plan):
    """Holder and what joins neighbours; none for a block alone."""
    joints = sum(step.kind in ("join", "close") for step in plan.steps or ())
    if plan.form == "strip":
        return _holders(plan) + _strips(plan)
    if plan.form == "snap":
        current = write(plan.each_guarded_a, "A")
        return [_part(plan.figures.cell_count, "snap", current=current)]
    found = [_part(1, "tray")]
    if joints and plan.wire:
        area = plan.wire.conductor.label
        found.append(_part(joints, "cable", wire=area))
    return found


def _holders(plan):
    pack = plan.pack
    count, places = (pack.parallel, pack.series) if plan.strings else (1, pack.cell_count)
    fields = {"current": write(plan.each_guarded_a, "A"), "terminal": _terminal(plan)}
    if places == 1:
        return [_part(count, "holder_one", **fields)]
    return [_part(count, "holder", places=places, **fields)]


def _strips(plan):
    """Strips between neighbours; along groups side by side as well."""
    joints = sum(step.kind == "join" for step in plan.steps or ())
    if not (plan.links and joints):
        return []
    strip = plan.links.strip
    metal = word(f"building.links.metal.{strip.metal}")
    section = {"thickness": f"{strip.thickness_mm:g}", "width": f"{strip.width_mm:g}"}
    count = joints if plan.strings else plan.links.strip_count
    return [_part(count, "strip", metal=metal, **section)]


def _terminal(plan):
    return word(f"building.links.terminal.{_kind(plan)}")


def _kind(plan):
    """The smallest kind of terminal on a wire that carries the current."""
    kinds = [kind for kind in plan.terminals if kind in ON_WIRES]
    return kinds[0] if kinds else ON_WIRES[0]


def _terminals(plan):
    """What wires end in at the pack, what joins the wires of strings, the device's ends."""
    if not plan.steps:
        return []
    at_pack = 2 * (plan.pack.parallel if plan.strings else 1)
    found = []
    if plan.form == "snap":
        joints = sum(step.kind == "join" for step in plan.steps)
        found.append(_part(1, "block", ways=at_pack + joints))
    else:
        # Ends of blocks differ; those of holders are asked for among the parts.
        kind = "fit" if plan.form == "cable" else _kind(plan)
        found.append(_part(at_pack, f"end_{kind}", current=write(plan.guarded_a, "A")))
    if plan.strings:
        # One for all plus ends, one for all minus ends, each with the wire that leads on.
        found.append(_part(2, "joining", ways=plan.pack.parallel + 1))
    return [*found, _part(2, "device")]


def _leads(plan):
    found = _fuses(plan)
    if plan.switch and not plan.ready_made:
        rating, volts = write(plan.switch.rating_a, "A"), write(plan.switch.voltage_v, "V")
        found.append(_part(1, "switch", rating=rating, volts=volts))
    if plan.wire:
        length, area = write(plan.lead_m, "m"), plan.wire.conductor.label
        found.append(_part(2, "wires", length=length, wire=area))
        short = short_wires(plan)
        found += [_part(count, name, wire=area) for name, count in short.items() if count]
    return found


def _fuses(plan):
    found = []
    if plan.fuse is None:
        return found
    broken = {
        "needed": write(plan.fuse.breaking_capacity_needed_a, "A", 2),
        "volts": write(plan.fuse.voltage_v, "V"),
    }
    if plan.string_fuse:
        rating, name = plan.string_fuse
        fields = {"rating": write(rating, "A")}
        build, count = word(f"build.fuse_kinds.{family(name).name}"), plan.pack.parallel
        holder = _part(count, "string_fuse_holder", rating=fields["rating"])
        found += [holder, _part(count, "fuse", build=build, **fields)]
    too = "_too" if plan.string_fuse else ""
    slow = "_slow" if plan.fuse.time_lag else ""
    build = word(f"build.fuse_kinds.{plan.fuse.family.name}{slow}")
    fields = broken | {"rating": write(plan.fuse.rating_a, "A")}
    main = "_main" if plan.string_fuse else ""
    holder = _part(1, f"fuse_holder{main}", rating=fields["rating"])
    return [*found, holder, _part(2, f"fuse_spare{too}", build=build, **fields)]


def short_wires(plan):
    """How many short wires lead to the cut-off and join the strings.

    Args:
        plan: a ``Plan``.

    Returns:
        dict of ``"short_wire"``, black ones, and ``"short_red"``.
    """
    if plan.ready_made:
        return {}
    guarded = plan.protection.kind == "cut_off"
    strings = plan.pack.parallel if plan.strings else 0
    return {"short_wire": strings + guarded, "short_red": int(guarded)}


def _tools(plan):
    guard = plan.protection
    found = []
    if guard.kind == "cut_off":
        fields = {"volts": write(guard.pack_under_v, "V"), "current": write(guard.current_a, "A")}
        found.append(_part(1, "cut_off", full=write(plan.figures.full_v, "V"), **fields))
    covers = sum(len(step.covered) for step in plan.steps or ())
    found += _terminals(plan)
    found += [_part(covers, "cover")] if covers else []
    return [*found, _part(1, "tools")]


def _charger(plan):
    if plan.charging is None:
        return []
    kind = "singly" if plan.charging.method == "constant_current" else plan.charging.method
    volts = write(plan.charging.voltage_v, "V")
    chemistry = chemistry_words(plan.charging.chemistry)
    found = [_part(1, f"charger_{kind}", chemistry=chemistry, volts=volts)]
    if plan.form == "cable" and plan.pack.series > 1:
        # For the first charge, and to level the blocks.
        one_v = plan.charging.voltage_v / plan.pack.series
        found.append(_part(1, "charger_block", volts=write(one_v, "V")))
    return found
