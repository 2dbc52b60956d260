"""The leads of a pack: wire and main fuse that fit each other, fuses of strings, terminals."""

from __future__ import annotations

from dataclasses import dataclass

from packlearn.building._data import table
from packlearn.building.fuses import (
    FAMILIES,
    Fuse,
    family,
    fuse_for,
    load_currents_a,
    ratings_between,
)
from packlearn.building.links import terminals_for
from packlearn.building.stages import joined_in_strings
from packlearn.building.wires import Wire, conductors, wire_for
from packlearn.errors import PackError, PackLimit
from packlearn.quantities import write
from packlearn.rules import short_circuit_current_a
from packlearn.words import say

# Blade fuses first: their breaking capacity is stated for direct current.
ORDER = ("blade", "iec", "ul")
# Thinner wire breaks at its ends when it is bent; common practice, no source.
LEAST_MM2 = 0.5


@dataclass(frozen=True)
class Leads:
    """Wire, fuses and terminals of a pack's leads; made by ``leads_for``.

    Attributes:
        wire: ``Wire``, or None where none fits.
        fuse: main ``Fuse``, or None where none fits or none is needed.
        string_fuse: rating [A] and family's name of each string's fuse, or None.
        terminals: kinds of terminals that carry the current, the smallest first.
        peak_drop_v: what both leads lose at the load's peak [V].
        notes: what to mind, sentences.
    """

    wire: Wire | None
    fuse: Fuse | None
    string_fuse: tuple[float, str] | None
    terminals: tuple[str, ...]
    peak_drop_v: float
    notes: tuple[str, ...]


def leads_for(choice, lead_m, drop_share, ambient_c, trouble):
    """Wire and fuses of a choice; what stands in the way is added to ``trouble``.

    The wire loses at most the share of the nominal voltage at the load's peak, and no more than
    the lowest voltage leaves where that can be had; it carries what its fuse lets through.

    Args:
        choice: a ``Choice``.
        lead_m: length of the leads, one way [m].
        drop_share: most of the nominal voltage that may be lost.
        ambient_c: temperature of the air [degC].
        trouble: list of sentences.

    Returns:
        ``Leads``.
    """
    pack, load = choice.pack, choice.need.load
    steady_a, peak_a = load_currents_a(pack, load)
    notes, size = [], _Size(steady_a, peak_a, lead_m, ambient_c, _allowed_v(choice, drop_share))
    wire = fuse = None
    try:
        wire = size.wire()
    except PackLimit as error:
        trouble.append(str(error))
    if wire is not None:
        wire, fuse = _fused(pack, load, wire, size, trouble, notes)
    drop = wire.drop_v * peak_a / steady_a if wire else 0.0
    left_v = choice.lowest_v - drop - choice.need.voltage_v[0]
    if wire is not None and left_v < -1e-9 and choice.fits:
        there = write(left_v + choice.need.voltage_v[0], "V", 4)
        notes.append(say("build.notes.leads", drop=write(drop, "V", 2), there=there))
    string_fuse = _string_fuse(pack, steady_a, peak_a, fuse, trouble)
    # So that a terminal's whole limit is no less than the fuse before it.
    share = table("links")["usual"]["derating"]
    terminals = _terminals(max(steady_a, share * fuse.rating_a if fuse else 0.0), trouble)
    return Leads(wire, fuse, string_fuse, terminals, drop, tuple(notes))


@dataclass(frozen=True)
class _Size:
    """What a wire is chosen for."""

    steady_a: float
    peak_a: float
    lead_m: float
    ambient_c: float
    allowed_v: float

    def wire(self, least_mm2=LEAST_MM2):
        """Thinnest wire that loses no more than allowed at the peak and is at least so thick."""
        return wire_for(
            self.steady_a,
            self.lead_m,
            allowed_drop_v=self.allowed_v * self.steady_a / self.peak_a,
            ambient_degc=self.ambient_c,
            least_mm2=least_mm2,
        )


def _allowed_v(choice, drop_share):
    """What the leads may lose at the peak [V]."""
    share_v = drop_share * choice.pack.nominal_voltage_v
    left_v = choice.margins["low_v"]
    # Where hardly anything is left a wire cannot make up for it; the plan says so.
    return min(share_v, left_v) if left_v >= share_v / 3 else share_v


def _fused(pack, load, wire, size, trouble, notes):
    """Wire and main fuse that fit each other: a thicker wire where no fuse protects a thin one."""
    thicker = [each.area_mm2 for each in conductors() if each.area_mm2 >= wire.area_mm2]
    why = {}
    for name in ORDER:
        for area in thicker:
            chosen = wire if area == wire.area_mm2 else size.wire(area)
            try:
                return chosen, fuse_for(pack, load, chosen, name)
            except PackLimit as error:
                why[name] = error
                if error.key != "building.fuses.thin_wire":
                    break
    short_a = short_circuit_current_a(pack.full_voltage_v, pack.resistance_ohm)
    if short_a <= table("fuses")["usual"]["wire_derating"] * wire.limit_a:
        short, limit = write(short_a, "A", 2), write(wire.limit_a, "A", 2)
        notes.append(say("build.notes.no_fuse", short=short, limit=limit))
    else:
        trouble.append(str(why[ORDER[0]] if len(why) == 1 else _plainest(why)))
    return wire, None


def _plainest(why):
    """Of the reasons of all families the one that tells most: what binds last."""
    keys = ("breaking", "between", "thin_wire", "pack", "voltage", "above_all")
    order = {f"building.fuses.{key}": place for place, key in enumerate(keys)}
    return min(why.values(), key=lambda error: order.get(error.key, len(order)))


def _string_fuse(pack, steady_a, peak_a, fuse, trouble):
    """Rating [A] and family of each string's fuse, between its share and its cells' limit."""
    if pack.cell.ready_made_only or fuse is None or not joined_in_strings(pack):
        return None
    share_a = steady_a / pack.parallel / fuse.family.run_share
    peak_each_a = peak_a / pack.parallel
    most_a = pack.cell.current_limit_a
    for name in (fuse.family.name, *(each for each in FAMILIES if each != fuse.family.name)):
        ratings = family(name).ratings_a
        fitting = ratings_between(max(share_a, peak_each_a), most_a, ratings)
        fitting = fitting or ratings_between(share_a, most_a, ratings)[::-1]
        if fitting:
            return fitting[0], name
    least, most = write(share_a, "A"), write(most_a, "A")
    trouble.append(say("build.trouble.string_fuse", least=least, most=most))
    return None


def _terminals(current_a, trouble):
    try:
        return terminals_for(current_a)
    except PackError as error:
        trouble.append(str(error))
        return ()
