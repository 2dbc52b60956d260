"""From a chosen pack to the bench: everything a build sheet tells, put together as data."""

from __future__ import annotations

from dataclasses import dataclass, replace

from packlearn._cell_checks import shown
from packlearn.building import leading, listing, reasons
from packlearn.building._data import checked_pack
from packlearn.building.carrying import Transport, transport_of
from packlearn.building.charging import Charging, charging_for, may_be_charged
from packlearn.building.fuses import Fuse, FusePlace, fuse_places, load_currents_a
from packlearn.building.keeping import Keeping, keeping_of
from packlearn.building.links import Links, Switch, links_for, switch_for
from packlearn.building.measures import Measures, measures_of
from packlearn.building.minding import SITUATIONS, Caution, cautions
from packlearn.building.protecting import Protection, protection_for
from packlearn.building.stages import (
    Reading,
    Step,
    joined_in_strings,
    most_apart_v,
    resting,
    steps_for,
    under_load,
    with_tolerance,
)
from packlearn.building.wires import Wire
from packlearn.choices import Choice
from packlearn.errors import BadValue, PackError, PackLimit, UnknownName
from packlearn.packs import Pack
from packlearn.rules import check_share, number, short_circuit_current_a
from packlearn.sizing import Need, check

LONGEST_NAME = 60
FACTORS = ("ageing_factor", "design_margin", "temperature_factor")
# How neighbours are joined: strips in a holder, cables between blocks, snaps of 9 V blocks.
FORMS = ("strip", "cable", "snap")


@dataclass(frozen=True)
class Figures:
    """Key figures of a pack.

    Attributes:
        nominal_v, full_v, end_v: its voltages [V].
        capacity_ah, energy_wh: charge [Ah] and energy [Wh].
        current_limit_a, resistance_ohm: continuous limit [A], internal resistance [ohm].
        short_circuit_a: what a short circuit of the full pack drives [A].
        steady_a, peak_a: what the load takes from it, root mean square and largest [A].
        cell_count: pieces to buy, cells or blocks.
    """

    nominal_v: float
    full_v: float
    end_v: float
    capacity_ah: float
    energy_wh: float
    current_limit_a: float
    resistance_ohm: float
    short_circuit_a: float
    steady_a: float
    peak_a: float
    cell_count: int


@dataclass(frozen=True)
class Margin:
    """What a pack gives beside what the device asks.

    Attributes:
        key: ``"high"``, ``"low"``, ``"leads"``, ``"current"`` or ``"run_time"``. The current of a
            pack one builds is what its fuses let through, where that is less than the cells'.
        have, need, left: in ``unit``; left below 0 is missing.
        unit: ``"V"``, ``"A"`` or ``"h"``.
    """

    key: str
    have: float
    need: float
    left: float
    unit: str


@dataclass(frozen=True)
class Plan:
    """All of a build sheet, as data; made by ``plan_for``.

    Attributes:
        name: the pack's name, as typed: not yet safe for HTML.
        pack, need: what is built, for what; ``choice`` the one held against the other.
        ready_made: bought as a protected pack; then ``links``, ``joints`` and ``steps`` are None.
        form: how neighbours are joined, one of ``FORMS``; None for ready-made packs.
        figures: ``Figures``.
        margins: tuple of ``Margin``.
        lead_m: length of the leads, one way [m]; ``ambient_c`` the air around them [degC].
        wire: ``Wire`` of the leads, or None; ``fuse`` the main ``Fuse``, or None.
        fuse_places: tuple of ``FusePlace``; ``string_fuse`` rating [A] and family
            of each string's fuse, or None.
        links: ``Links``; ``joints`` the ``Joint``s of the holder, ``steps`` the ``Step``s in order.
        switch: ``Switch``, or None; ``terminals`` kinds of terminals for the leads.
        protection: ``Protection``; ``charging`` ``Charging``, None for what is not charged.
        keeping, transport: ``Keeping`` and ``Transport``.
        measures: ``Measures``, or None where mass or size is not known.
        readings: ``Reading``s in order.
        parts: pairs of count and what.
        cautions: situation -> tuple of ``Caution``.
        assumptions: pairs of sentence and source.
        notes: what to mind though it fits, sentences.
        trouble: what stands in the way of building it, sentences; empty where it can be built.
    """

    name: str
    pack: Pack
    need: Need
    choice: Choice
    ready_made: bool
    form: str | None
    figures: Figures
    margins: tuple[Margin, ...]
    lead_m: float
    ambient_c: float
    wire: Wire | None
    fuse: Fuse | None
    fuse_places: tuple[FusePlace, ...]
    string_fuse: tuple[float, str] | None
    links: Links | None
    joints: tuple | None
    steps: tuple[Step, ...] | None
    switch: Switch | None
    terminals: tuple[str, ...]
    protection: Protection
    charging: Charging | None
    keeping: Keeping
    transport: Transport
    measures: Measures | None
    readings: tuple[Reading, ...]
    parts: tuple[tuple[int, str], ...]
    cautions: dict[str, tuple[Caution, ...]]
    assumptions: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    trouble: tuple[str, ...]

    @property
    def strings(self):
        """Whether its strings are joined at their ends only, each with its own fuse."""
        return not self.ready_made and joined_in_strings(self.pack)

    @property
    def guarded_a(self):
        """What each part behind the main fuse carries at least [A].

        The fuse's rating; without a fuse what a short circuit drives.
        """
        return self.fuse.rating_a if self.fuse else self.figures.short_circuit_a

    @property
    def each_guarded_a(self):
        """What each holder and what joins its cells carry at least [A].

        In strings the rating of the string's own fuse, so that one string alone with the whole
        load is guarded as well; in groups the share of the main fuse with one cell out.
        """
        if self.string_fuse:
            return self.string_fuse[0]
        return self.guarded_a / max(1, self.pack.parallel - 1)


def plan_for(
    need,
    choice_or_pack,
    *,
    lead_m=0.5,
    voltage_drop_share=0.03,
    ambient_c=25.0,
    name="",
    margins=None,
):
    """Put together all that a build sheet tells of one pack for one need.

    Args:
        need: a ``Need``.
        choice_or_pack: a ``Choice`` of ``size``, or a ``Pack`` of equal cells, at most 60 V.
        lead_m: length of the leads, one way [m]; both conductors count.
        voltage_drop_share: most of the nominal voltage that both leads may lose.
        ambient_c: temperature of the air [degC].
        name: what the pack is called, at most 60 signs; empty takes its XsYp name and cell.
        margins: mapping of ``ageing_factor``, ``design_margin`` or ``temperature_factor`` to a
            factor that replaces the need's; None leaves the need as it is.

    Returns:
        ``Plan``. A pack that misses the need, or for which no wire or fuse fits, has ``trouble``.

    Raises:
        BadValue: a value out of bounds, a name too long, no pack or need.
        PackLimit: above 60 V, or more cells in line or side by side than its cell allows.
        UnknownName: another margin, or a chemistry nothing is known of.
    """
    need = _with_margins(need, margins)
    pack = _allowed(choice_or_pack)
    number("build.lead", lead_m, above=0)
    check_share("voltage_drop_share", voltage_drop_share)
    choice = check(need, pack)
    trouble = list(choice.why_not)
    leads = leading.leads_for(choice, lead_m, voltage_drop_share, ambient_c, trouble)
    made = _Made(choice, leads, trouble)
    built = {} if pack.cell.ready_made_only else made.built()
    plan = Plan(
        name=_name(name, choice),
        need=need,
        choice=choice,
        margins=_margins(choice, leads),
        lead_m=float(lead_m),
        ambient_c=float(ambient_c),
        wire=leads.wire,
        fuse=leads.fuse,
        string_fuse=leads.string_fuse,
        switch=made.tried(switch_for, pack, need.load, guarded_a=made.guarded_a),
        terminals=leads.terminals,
        charging=made.charging,
        notes=(*choice.notes, *leads.notes),
        trouble=(),
        **(_of_pack(pack, need.load, made.guarded_a) | made.nothing_to_build() | built),
    )
    plan = replace(plan, trouble=tuple(dict.fromkeys(trouble)))
    return replace(plan, parts=listing.parts(plan), assumptions=reasons.assumptions(plan))


def _of_pack(pack, load, guarded_a):
    """Fields that follow from the pack, its load and the rating of its main fuse [A]."""
    return {
        "pack": pack,
        "ready_made": pack.cell.ready_made_only,
        "figures": _figures(pack, load),
        "fuse_places": fuse_places(pack, joined_in_strings(pack)),
        "protection": protection_for(pack, load_currents_a(pack, load)[1], guarded_a=guarded_a),
        "keeping": keeping_of(pack),
        "transport": transport_of(pack),
        "measures": _measures(pack),
        "cautions": {situation: cautions(pack, situation) for situation in SITUATIONS},
    }


class _Made:
    """What follows from a choice and its leads, and what stood in its way."""

    def __init__(self, choice, leads, trouble):
        self.pack, self.need, self.leads, self.trouble = choice.pack, choice.need, leads, trouble
        self.charging = charging_for(self.pack) if may_be_charged(self.pack) else None
        self.guarded_a = leads.fuse.rating_a if leads.fuse else 0.0

    def tried(self, function, *given, **named):
        """What a function returns; None with its trouble noted where a limit stands in the way."""
        try:
            return function(*given, **named)
        except PackLimit as error:
            self.trouble.append(str(error))
            return None

    def nothing_to_build(self):
        """Fields of a ready-made pack."""
        nothing = dict.fromkeys(("form", "links", "joints", "steps"))
        readings = () if self.trouble else self._ready_readings()
        return nothing | {"readings": readings, "parts": (), "assumptions": ()}

    def _ready_readings(self):
        pack, low, high = self.pack, self.pack.end_voltage_v, self.pack.full_voltage_v
        delivered = Reading("delivered", *with_tolerance(low, high), count=pack.series)
        charged = resting("charged", pack.cell, pack.series)
        return (delivered, charged, under_load(pack, self.need.load, self.leads.wire))

    def built(self):
        """Fields of a pack one builds."""
        from packlearn.holders import layout

        pack, leads = self.pack, self.leads
        strings, form = joined_in_strings(pack), form_of(pack.cell)
        found = {"form": form, "joints": layout(pack.series, pack.parallel, strings).joints}
        carried_a = max(self.guarded_a, load_currents_a(pack, self.need.load)[0])
        found["links"] = self.tried(links_for, pack, carried_a, strings=strings)
        if self.trouble:
            return found | {"readings": ()}
        apart_v = most_apart_v(pack, self.charging)
        guarded = may_be_charged(pack)
        given = pack, self.need.load, leads, apart_v, form, guarded
        found["steps"] = steps_for(*given)
        readings = (step.reading for step in found["steps"] if step.reading)
        return found | {"readings": tuple(readings)}


def form_of(cell):
    """How neighbours of a cell or block are joined, one of ``FORMS``."""
    if cell.chemistry == "lead-acid":
        return "cable"
    return "snap" if cell.cells_inside > 1 else "strip"


def _with_margins(need, margins):
    if not isinstance(need, Need):
        raise BadValue("build.need", value=shown(repr(need)))
    for key in margins or {}:
        if key not in FACTORS:
            raise UnknownName("build.margin", value=shown(key), limit=", ".join(FACTORS))
    return replace(need, **dict(margins or {}))


def _allowed(choice_or_pack):
    """The pack, within 60 V and within what its cell allows in line and side by side."""
    pack = choice_or_pack.pack if isinstance(choice_or_pack, Choice) else choice_or_pack
    pack = checked_pack(pack)
    cell = pack.cell
    for way in ("series", "parallel"):
        count, most = getattr(pack, way), getattr(cell, f"max_{way}")
        if most is not None and count > most:
            why = getattr(cell, f"max_{way}_reason")
            raise PackLimit(f"build.too_many.{way}", value=count, limit=most, why=why)
    return pack


def _name(name, choice):
    told = " ".join(str(name).split())
    if len(told) > LONGEST_NAME:
        raise BadValue("build.name", value=shown(told), limit=LONGEST_NAME)
    return told or choice.title


def _figures(pack, load):
    steady_a, peak_a = load_currents_a(pack, load)
    return Figures(
        pack.nominal_voltage_v,
        pack.full_voltage_v,
        pack.end_voltage_v,
        pack.capacity_ah,
        pack.energy_wh,
        pack.current_limit_a,
        pack.resistance_ohm,
        float(short_circuit_current_a(pack.full_voltage_v, pack.resistance_ohm)),
        steady_a,
        peak_a,
        pack.cell_count,
    )


def _margins(choice, leads):
    left, (low, high) = choice.margins, choice.need.voltage_v
    rows = [
        Margin("high", choice.full_v, high, left["high_v"], "V"),
        Margin("low", choice.lowest_v, low, left["low_v"], "V"),
    ]
    if leads.wire is not None:
        behind_v = choice.lowest_v - leads.peak_drop_v
        rows.append(Margin("leads", behind_v, low, behind_v - low, "V"))
    built_a = _as_built_a(choice, leads)
    rows += [
        Margin("current", built_a, choice.peak_a, built_a - choice.peak_a, "A"),
        Margin("run_time", choice.run_time_h, choice.need.run_time_h, left["run_time_h"], "h"),
    ]
    return tuple(rows)


def _as_built_a(choice, leads):
    """What a pack as built may give [A]: the cells' share, and what its fuses let through.

    A slow fuse lets short peaks through that stand above its rating.
    """
    fuse, limits = leads.fuse, [choice.allowed_a]
    if fuse and not fuse.time_lag and not choice.pack.cell.ready_made_only:
        limits.append(fuse.rating_a)
        if leads.string_fuse:
            limits.append(choice.pack.parallel * leads.string_fuse[0])
    return min(limits)


def _measures(pack):
    try:
        return measures_of(pack)
    except PackError:
        return None
