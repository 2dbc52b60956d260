"""Strips between cells, terminals and the switch, for a link's current."""

from __future__ import annotations

import math
from dataclasses import dataclass

from packlearn.building._data import ROUNDING, checked_pack, source_texts, table
from packlearn.building.fuses import load_currents_a, next_rating_a
from packlearn.errors import PackLimit
from packlearn.holders import layout
from packlearn.quantities import write
from packlearn.rules import check_share, number
from packlearn.words import say, word


@dataclass(frozen=True)
class Strip:
    """A strip that is sold.

    Attributes:
        metal: ``"nickel"`` or ``"copper"``.
        thickness_mm, width_mm: its section [mm].
    """

    metal: str
    thickness_mm: float
    width_mm: float

    @property
    def area_mm2(self):
        """Cross-section [mm2]."""
        return self.thickness_mm * self.width_mm

    @property
    def ohm_per_m(self):
        """Resistance of 1 m at 20 degC [ohm]."""
        return table("links")["metals"][self.metal] / self.area_mm2

    def limit_a(self, heating_k):
        """Current [A] that warms it by so much in free air: ``sqrt(h * 2 (w + t) * K / r)``.

        Args:
            heating_k: warmer than the air [K].
        """
        cooling = table("wires")["cooling"]["free_w_m2k"]
        around_m = 2.0 * (self.width_mm + self.thickness_mm) / 1000.0
        return math.sqrt(cooling * around_m * heating_k / self.ohm_per_m)


@dataclass(frozen=True)
class Links:
    """What joins the cells of a pack; made by ``links_for``.

    Attributes:
        strip: the weakest ``Strip`` that carries the current at the heating allowed.
        strip_count: how many, each from one contact to its neighbour.
        current_a: current of the link that carries most [A]: the pack's.
        limit_a: what the strip carries [A].
        resistance_ohm: of all strips that lie in the current's way [ohm].
        terminals: kinds of terminals that carry it, the smallest first.
    """

    strip: Strip
    strip_count: int
    current_a: float
    limit_a: float
    resistance_ohm: float
    terminals: tuple[str, ...]

    @property
    def sources(self):
        """Texts of where the figures come from."""
        return source_texts("practice", "memory", "cooling")

    @property
    def sentence(self):
        """Which strips and how many, in words."""
        return say(
            "building.links.chosen",
            count=self.strip_count,
            metal=word(f"building.links.metal.{self.strip.metal}"),
            thickness=f"{self.strip.thickness_mm:g}",
            width=f"{self.strip.width_mm:g}",
            current=write(self.current_a, "A"),
        )

    @property
    def terminal_words(self):
        """Names of the terminals that carry the current, the smallest first."""
        return tuple(word(f"building.links.terminal.{kind}") for kind in self.terminals)


def strips():
    """Strips that are sold, weakest first: tuple of ``Strip``."""
    rows = table("links")["strip"]
    return tuple(Strip(row["metal"], row["thickness_mm"], row["width_mm"]) for row in rows)


def strip_for(current_a, allowed_heating_k=None):
    """The weakest strip that carries a link's current.

    Args:
        current_a: current through the link [A].
        allowed_heating_k: how much warmer than the air it may become [K]; None takes 20.

    Raises:
        PackLimit: none here is strong enough.
    """
    current_a = number("building.links.current", current_a, above=0)
    heating = table("links")["usual"]["allowed_heating_k"]
    heating = number("building.wires.heating", allowed_heating_k or heating, above=0)
    limits = {each: each.limit_a(heating) for each in strips()}
    fitting = [each for each, limit in limits.items() if limit >= current_a * (1 - ROUNDING)]
    if not fitting:
        most = f"{max(limits.values()):.3g}"
        raise PackLimit("building.links.too_much", value=f"{current_a:.3g}", limit=most)
    return fitting[0]


def terminals_for(current_a, derating=None):
    """Kinds of terminals that carry a current, the smallest first.

    Args:
        current_a: current [A].
        derating: share of a terminal's limit one plans to use; None takes 0.8.

    Raises:
        PackLimit: none here carries it.
    """
    current_a = number("building.links.current", current_a, above=0)
    share = table("links")["usual"]["derating"] if derating is None else derating
    check_share("derating", share)
    rows = table("links")["terminal"]
    fitting = [row["kind"] for row in rows if share * row["limit_a"] >= current_a * (1 - ROUNDING)]
    if not fitting:
        most = f"{share * rows[-1]['limit_a']:.3g}"
        raise PackLimit("building.links.too_much", value=f"{current_a:.3g}", limit=most)
    return tuple(fitting)


def links_for(pack, current_a, *, strings=False, allowed_heating_k=None):
    """Strips and terminals of a pack in its holder.

    Args:
        pack: a ``Pack`` one builds; not of cells that are sold as ready-made packs.
        current_a: current of the pack [A]. The strip between two groups carries all of it.
        strings: strings are joined at their ends only.
        allowed_heating_k: how much warmer than the air a strip may become [K]; None takes 20.

    Returns:
        ``Links``.

    Raises:
        PackLimit: cells that are only bought as ready-made protected packs; or no strip here is
            strong enough.
    """
    pack = checked_pack(pack)
    if pack.cell.ready_made_only:
        raise PackLimit("building.links.ready_made", value=pack.cell.title, limit=pack.name)
    chosen = strip_for(current_a, allowed_heating_k)
    heating = allowed_heating_k or table("links")["usual"]["allowed_heating_k"]
    length_m = table("links")["usual"]["strip_length_mm"] / 1000.0
    between = max(pack.series - 1, 0)
    return Links(
        chosen,
        layout(pack.series, pack.parallel, strings).strip_count,
        float(current_a),
        chosen.limit_a(heating),
        between * length_m * chosen.ohm_per_m,
        terminals_for(current_a),
    )


@dataclass(frozen=True)
class Switch:
    """What the switch must be rated for; made by ``switch_for``.

    Attributes:
        rating_a: smallest usual rating [A], for direct current.
        voltage_v: direct voltage [V] it must break: the full pack's.
        current_a: largest current it makes and breaks [A].
    """

    rating_a: float
    voltage_v: float
    current_a: float

    @property
    def sentence(self):
        """What to buy and where it goes, in words."""
        rating, volts = write(self.rating_a, "A"), write(self.voltage_v, "V")
        return say("building.links.switch", rating=rating, volts=volts)


def switch_for(pack, load, derating=None, *, guarded_a=0.0):
    """The switch of a pack: rated for direct current, in the plus lead behind the fuse.

    Args:
        pack: a ``Pack``, at most 60 V.
        load: a ``Load``; its peak counts.
        derating: share of the switch's rating one plans to use; None takes 0.8.
        guarded_a: rating of the fuse before it [A]: it carries no less.

    Raises:
        PackLimit: more than the largest usual rating.
    """
    pack = checked_pack(pack)

    usual = table("links")["usual"]
    share = usual["derating"] if derating is None else derating
    check_share("derating", share)
    _, peak_a = load_currents_a(pack, load)
    rating = next_rating_a(max(peak_a / share, guarded_a), usual["switch_ratings_a"])
    return Switch(rating, pack.full_voltage_v, peak_a)
