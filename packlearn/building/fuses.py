"""Fuses: above what the load takes, below what the thinnest wire carries; and where they go."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from packlearn._cell_checks import shown
from packlearn.building._data import ROUNDING, checked_pack, source_texts, table
from packlearn.building.wires import Wire, thicker_for_fuse
from packlearn.errors import BadValue, PackLimit, UnknownName
from packlearn.loads import Load
from packlearn.quantities import write
from packlearn.rules import check_share, number, short_circuit_current_a
from packlearn.words import say, word

FAMILIES = ("ul", "iec", "blade")


@dataclass(frozen=True)
class Family:
    """A family of fuses and its rules.

    Attributes:
        name: ``"ul"``, ``"iec"`` or ``"blade"``.
        run_share: share of the rating one may run at for long, at 25 degC.
        carries_share: share of the rating it may carry for an hour without opening.
        ratings_a: standard ratings [A].
        ac: whether its breaking capacity is stated for alternating current.
    """

    name: str
    run_share: float
    carries_share: float
    ratings_a: tuple[float, ...]
    ac: bool

    @property
    def sources(self):
        """Texts of where the figures come from."""
        return source_texts(*table("fuses")[self.name]["sources"].values())

    @property
    def sentence(self):
        """The rule of the family, in words."""
        share = f"{100 * self.run_share:g}"
        return say(f"building.fuses.family.{self.name}", share=share)

    def builds(self, rating_a, voltage_v):
        """Builds of one rating: pairs of name and breaking capacity [A], the weakest first.

        Args:
            rating_a: rating [A].
            voltage_v: voltage [V] it must break; what is stated at less does not count.
        """
        found = {}
        for row in table("fuses")[self.name]["breaks"]:
            right = rating_a <= row.get("up_to_a", np.inf) * (1 + ROUNDING)
            capacity_a = max(row["least_a"], row.get("times_rating", 0.0) * rating_a)
            # Rows of one voltage rise with the rating: the first that holds it counts.
            place = row["build"], row["voltage_v"]
            if right and voltage_v <= row["voltage_v"] * (1 + ROUNDING):
                found.setdefault(place, capacity_a)
        best = {}
        for (build, _), capacity_a in found.items():
            best[build] = max(capacity_a, best.get(build, 0.0))
        return tuple(sorted(best.items(), key=lambda pair: pair[1]))


def family(name):
    """A family of fuses by its name.

    Args:
        name: ``"ul"`` (runs at 75 % of its rating), ``"iec"`` (at 100 %) or ``"blade"``.

    Raises:
        UnknownName: another name.
    """
    if name not in FAMILIES:
        raise UnknownName("building.fuses.name", value=shown(name), limit=", ".join(FAMILIES))
    row = table("fuses")[name]
    ratings = tuple(row["ratings_a"])
    shares = row["run_share"], row["carries_share"]
    return Family(name, *shares, ratings, row["ac"])


def next_rating_a(least_a, ratings_a):
    """Smallest rating [A] that is not below a current.

    Args:
        least_a: current [A].
        ratings_a: ratings that are sold [A].

    Raises:
        PackLimit: above the largest of them.
    """
    fitting = ratings_between(least_a, np.inf, ratings_a)
    if not fitting:
        limit = f"{max(ratings_a):g}"
        raise PackLimit("building.fuses.above_all", value=f"{least_a:.3g}", limit=limit)
    return fitting[0]


def ratings_between(least_a, most_a, ratings_a):
    """Standard ratings between two currents, both ends counted.

    Args:
        least_a, most_a: the two currents [A].
        ratings_a: ratings that are sold [A].

    Returns:
        Tuple of ratings [A], smallest first.
    """
    low, high = least_a * (1 - ROUNDING), most_a * (1 + ROUNDING)
    return tuple(each for each in sorted(ratings_a) if low <= each <= high)


def fitting(kind, floors, most_a):
    """Ratings of a family that fit between what the load asks for and what the wire allows.

    Args:
        kind: the ``Family``.
        floors: lower ends by what sets them, ``"steady"`` and ``"peak"`` [A].
        most_a: upper end [A].

    Returns:
        Lower end [A], what sets it, ratings [A] in the order of choice, and whether the peak
        stands above them all, which takes a time-lag fuse.
    """
    binds = max(floors, key=floors.__getitem__)
    found = ratings_between(floors[binds], most_a, kind.ratings_a)
    if found or binds == "steady":
        return floors[binds], binds, found, False
    # The largest one is nearest to the peak.
    found = ratings_between(floors["steady"], most_a, kind.ratings_a)[::-1]
    return floors["steady"], "steady", found, True


def wire_share(share=None):
    """Share of a wire's current one plans with; None takes the usual 0.8.

    Args:
        share: the share.
    """
    usual = table("fuses")["usual"]["wire_derating"]
    derating = usual if share is None else share
    check_share("wire_derating", derating)
    return derating


@dataclass(frozen=True)
class Fuse:
    """A fuse that fits a pack, its load and its thinnest wire; made by ``fuse_for``.

    Attributes:
        family: its ``Family``.
        rating_a: the rating chosen [A]; ``ratings_a`` all that fit.
        least_a, most_a: the range the rating must lie in [A].
        binds_least: ``"steady"`` or ``"peak"``: what sets the lower end.
        binds_most: ``"wire"`` or ``"pack"``: what sets the upper end.
        steady_a, peak_a: what the load takes [A].
        time_lag: whether peaks stand above the rating, so that a quick fuse would open.
        build: which build of the family breaks what the pack can drive.
        breaking_capacity_a: what that build breaks [A], at the voltage of its family.
        breaking_capacity_needed_a: the full pack's short-circuit current [A].
        voltage_v: direct voltage it must be rated for [V].
    """

    family: Family
    rating_a: float
    ratings_a: tuple[float, ...]
    least_a: float
    most_a: float
    binds_least: str
    binds_most: str
    steady_a: float
    peak_a: float
    time_lag: bool
    build: str
    breaking_capacity_a: float
    breaking_capacity_needed_a: float
    voltage_v: float

    @property
    def sentence(self):
        """What to buy and between which currents it lies, in words."""
        return say(
            "building.fuses.chosen",
            rating=write(self.rating_a, "A"),
            least=write(self.least_a, "A"),
            most=write(self.most_a, "A"),
            lower=say(f"building.fuses.binds.{self.binds_least}"),
            upper=say(f"building.fuses.binds.{self.binds_most}"),
        )

    @property
    def notes(self):
        """Sentences on what to mind: voltage, breaking capacity, peaks, the family's rule."""
        needed, volts = self.breaking_capacity_needed_a, write(self.voltage_v, "V")
        notes = [
            self.family.sentence,
            say("building.fuses.breaks", needed=write(needed, "A"), volts=volts),
        ]
        if self.time_lag:
            notes.append(say("building.fuses.time_lag", peak=write(self.peak_a, "A")))
        if self.family.ac:
            notes.append(word("building.fuses.ac"))
        return tuple(notes)


def fuse_for(pack, load, wire, family_name="ul", *, wire_derating=None, pack_derating=1.0):
    """The main fuse of a pack: above what the load takes, below what the thinnest wire carries.

    The rating is at least the steady (root mean square) current over the family's share to run
    at, and at least the peak; where no rating reaches the peak, a time-lag fuse between the two
    is taken. It is at most the share of the wire's current one plans with, and at most the
    pack's own limit.

    Args:
        pack: a ``Pack``, at most 60 V.
        load: a ``Load``.
        wire: the thinnest wire behind the fuse: a ``Wire``, or the current it carries [A].
        family_name: ``"ul"``, ``"iec"`` or ``"blade"``.
        wire_derating: share of the wire's current; None takes 0.8.
        pack_derating: share of the pack's limit.

    Returns:
        ``Fuse``.

    Raises:
        BadValue: no pack, no load, no wire, a share out of bounds.
        PackLimit: no standard rating fits, or none breaks the pack's short circuit; the message
            says the mend.
    """
    pack, kind = checked_pack(pack), family(family_name)
    steady_a, peak_a = load_currents_a(pack, load)
    carries_a = wire_limit_a(wire)
    derating = wire_share(wire_derating)
    check_share("pack_derating", pack_derating)
    tops = {"wire": derating * carries_a, "pack": pack_derating * pack.current_limit_a}
    binds_most = min(tops, key=tops.__getitem__)
    floors = {"steady": steady_a / kind.run_share, "peak": peak_a}
    most_a = tops[binds_most]
    low, binds_least, found, time_lag = fitting(kind, floors, most_a)
    if not found:
        raise _none_fits(kind, low, most_a, binds_most, derating)
    build, capacity_a, needed_a = _build(pack, kind, found[0])
    return Fuse(
        kind,
        found[0],
        tuple(sorted(found)),
        low,
        most_a,
        binds_least,
        binds_most,
        steady_a,
        peak_a,
        time_lag,
        build,
        capacity_a,
        needed_a,
        pack.full_voltage_v,
    )


def load_currents_a(pack, load):
    """Steady (root mean square) and peak current [A] a load takes, the most from full to empty.

    Args:
        pack: a ``Pack``.
        load: a ``Load``.

    Raises:
        BadValue: no load, or one that takes nothing.
    """
    if not isinstance(load, Load):
        raise BadValue("building.load", value=shown(repr(load)))
    volts = np.array([pack.end_voltage_v, pack.full_voltage_v])
    steady_a = float(np.max(load.rms_current_a(volts)))
    peak_a = float(np.max(load.peak_current_a(volts)))
    if not (steady_a > 0 and np.isfinite(peak_a)):
        raise BadValue("building.takes_nothing", value=f"{steady_a:g}", limit=0)
    return steady_a, peak_a


def wire_limit_a(wire):
    """Current a wire carries [A]: of a ``Wire``, or the number itself."""
    if isinstance(wire, Wire):
        return wire.limit_a
    return number("building.fuses.wire", wire, above=0)


def _none_fits(kind, least_a, most_a, binds_most, derating):
    """``PackLimit`` with the mend."""
    value, limit = f"{least_a:.3g}", f"{most_a:.3g}"
    above = [each for each in kind.ratings_a if each >= least_a * (1 - ROUNDING)]
    if not above:
        largest = f"{kind.ratings_a[-1]:g}"
        return PackLimit("building.fuses.above_all", value=value, limit=largest)
    if binds_most == "pack" and least_a <= most_a:
        return PackLimit("building.fuses.between", value=value, limit=limit)
    if binds_most == "pack":
        return PackLimit("building.fuses.pack", value=value, limit=limit)
    thicker = thicker_for_fuse(above[0] / derating)
    mend = thicker.label if thicker else word("building.fuses.no_thicker")
    return PackLimit("building.fuses.thin_wire", value=value, limit=limit, mend=mend)


def _build(pack, kind, rating_a):
    """Weakest build that breaks the short circuit, what it breaks, what is needed [A]."""
    needed_a = short_circuit_current_a(pack.full_voltage_v, pack.resistance_ohm)
    if not np.isfinite(needed_a):
        raise BadValue("building.fuses.no_resistance", value=0, limit=0)
    builds = kind.builds(rating_a, pack.full_voltage_v)
    if not builds:
        highest = max(row["voltage_v"] for row in table("fuses")[kind.name]["breaks"])
        fields = {"value": f"{pack.full_voltage_v:.3g}", "limit": f"{highest:g}"}
        raise PackLimit("building.fuses.voltage", **fields)
    for build, capacity_a in builds:
        if capacity_a >= needed_a:
            return build, capacity_a, needed_a
    value, limit = f"{needed_a:.3g}", f"{builds[-1][1]:g}"
    raise PackLimit("building.fuses.breaking", value=value, limit=limit)


@dataclass(frozen=True)
class FusePlace:
    """Where fuses go.

    Attributes:
        kind: ``"main"``, ``"string"`` or ``"inside"`` (a ready-made pack holds its own).
        count: how many fuses.
        contacts: contacts they stand next to, such as ``"5A+"``.
        limit_a: current of the cells behind each [A]: its rating must not be above it.
    """

    kind: str
    count: int
    contacts: tuple[str, ...]
    limit_a: float

    @property
    def sentence(self):
        """Where they go and why, in words."""
        contacts = ", ".join(self.contacts)
        return say(f"building.fuses.places.{self.kind}", count=self.count, contacts=contacts)


def fuse_places(pack, strings=True):
    """Where the fuses of a pack go.

    Args:
        pack: a ``Pack``.
        strings: strings are joined at their ends only; else every group is joined, and no
            string stands alone.

    Returns:
        Tuple of ``FusePlace``: the main one; one in each string where there are several; for
        ready-made packs the one inside as well.
    """
    pack = checked_pack(pack)
    from packlearn._simulation.plans import letters

    names = [letters(place) for place in range(pack.parallel)]
    main = FusePlace("main", 1, (f"{pack.series}A+",), pack.current_limit_a)
    if pack.cell.ready_made_only:
        return main, FusePlace("inside", 1, (), pack.current_limit_a)
    if pack.parallel == 1 or not strings:
        return (main,)
    contacts = tuple(f"{pack.series}{name}+" for name in names)
    return main, FusePlace("string", pack.parallel, contacts, pack.cell.current_limit_a)
