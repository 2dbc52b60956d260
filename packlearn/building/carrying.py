"""Carrying packs: energy for the rules of transport, and what a battery's designation says."""

from __future__ import annotations

import re
from dataclasses import dataclass

from packlearn._cell_checks import shown
from packlearn.building._data import ROUNDING, cell_of, checked_pack, source_texts, table
from packlearn.errors import BadValue
from packlearn.quantities import write
from packlearn.rules import energy_wh, number
from packlearn.words import say, word

BANDS = ("under_100", "100_to_160", "above_160")
LITHIUM_ION, LITHIUM_METAL = ("Li-ion", "LiFePO4"), ("Li-FeS2", "Li-MnO2")


@dataclass(frozen=True)
class Transport:
    """What the rules of transport ask of a pack; made by ``transport_of``.

    Attributes:
        kind: ``"lithium_ion"``, ``"lithium_metal"``, ``"lead"`` or ``"dry"``.
        energy_wh: rated capacity times nominal voltage [Wh].
        cell_energy_wh: the same of one cell [Wh].
        lithium_g: lithium metal of a primary lithium pack [g], else None.
        band: one of ``BANDS`` for lithium-ion, else None.
        passenger: ``"free"``, ``"ask"`` (the airline must approve) or ``"no"``.
        eased_on_road: whether it keeps within the eased rules for sending it, or None where
            they do not apply.
        date: month at which the limits were noted.
    """

    kind: str
    energy_wh: float
    cell_energy_wh: float
    lithium_g: float | None
    band: str | None
    passenger: str
    eased_on_road: bool | None
    date: str

    @property
    def sources(self):
        """Texts of where the limits come from."""
        names = {
            "lithium_ion": ("cfr-171", "faa", "faa-tsa", "cfr-173", "un-188"),
            "lithium_metal": ("faa", "memory"),
            "lead": ("cfr-175",),
            "dry": ("memory",),
        }
        return source_texts(*names[self.kind])

    @property
    def sentence(self):
        """What a passenger meets, in words, with the date; and that rules change."""
        energy = write(self.energy_wh, "Wh")
        told = say(f"building.carrying.{self.kind}.{self.passenger}", energy=energy)
        return f"{told} {self.rules_change}"

    @property
    def rules_change(self):
        """That rules change, with the month at which these were noted."""
        return say("building.carrying.rules_change", date=self.date)

    @property
    def marking(self):
        """What stands on the pack, in words."""
        return say(f"building.carrying.marking.{self.kind}", energy=write(self.energy_wh, "Wh"))


def rated_energy_wh(capacity_ah, nominal_voltage_v):
    """Watt-hour rating: rated ampere-hours times nominal volts (49 CFR 171.8).

    Args:
        capacity_ah: rated capacity [Ah], scalar or array.
        nominal_voltage_v: nominal voltage [V].
    """
    return energy_wh(nominal_voltage_v, capacity_ah)


def band_of(energy_wh_, limits=None):
    """Which band of the passenger rule an energy falls into.

    Args:
        energy_wh_: energy of one lithium-ion pack [Wh].
        limits: the two limits [Wh]; None takes those noted here (100 and 160 Wh).

    Returns:
        One of ``BANDS``. What is exactly at a limit is still within it.
    """
    energy = number("building.carrying.energy", energy_wh_, above=0)
    rules = table("transport")["passenger"]
    low, high = limits or (rules["free_wh"], rules["approved_wh"])
    over = (energy > low * (1 + ROUNDING)) + (energy > high * (1 + ROUNDING))
    return BANDS[over]


def transport_of(pack):
    """What the rules of transport ask of a pack, as noted at a date. Rules change.

    Args:
        pack: a ``Pack``, at most 60 V.

    Returns:
        ``Transport``.
    """
    pack = checked_pack(pack)
    cell = cell_of(pack)
    energy = rated_energy_wh(pack.capacity_ah, pack.nominal_voltage_v)
    each = cell.energy_wh / cell.cells_inside
    limits, road = table("transport")["passenger"], table("transport")["road"]
    kind, grams, band, eased = "dry", None, None, None
    passenger = "free"
    if cell.chemistry in LITHIUM_ION:
        kind, band = "lithium_ion", band_of(energy)
        passenger = ("free", "ask", "no")[BANDS.index(band)]
        eased = each <= road["un_cell_wh"] and energy <= road["un_battery_wh"]
    elif cell.chemistry in LITHIUM_METAL:
        kind = "lithium_metal"
        grams = table("transport")["content"]["lithium_g_per_ah"] * cell.capacity_ah
        grams *= pack.cell_count
        passenger = "free" if grams <= limits["lithium_g"] else "no"
    elif cell.chemistry == "lead-acid":
        kind = "lead"
        within = pack.nominal_voltage_v <= limits["lead_v"] and energy <= limits["lead_wh"]
        passenger = "free" if within else "no"
    return Transport(kind, energy, each, grams, band, passenger, eased, table("transport")["date"])


@dataclass(frozen=True)
class Designation:
    """What a battery's designation says of its cells.

    Attributes:
        series, parallel: cells in line, and side by side.
    """

    series: int
    parallel: int

    @property
    def cell_count(self):
        """Number of cells."""
        return self.series * self.parallel


def designation(text):
    """Cells of a battery by its standard designation.

    Args:
        text: such as ``"3R12"``, ``"3R20-2"``, ``"2ICP20/34/70-2"``: cells in line in front,
            cells side by side behind the hyphen; 1 is left out.

    Returns:
        ``Designation``.

    Raises:
        BadValue: no such designation.
    """
    found = re.fullmatch(r"(\d{0,2})([A-Z]+)[ ]?[\d/.]+(?:-(\d{1,2}))?", str(text).strip()[:40])
    if not found:
        raise BadValue("building.carrying.designation", value=shown(text))
    return Designation(int(found[1] or 1), int(found[3] or 1))


def lithium_g_words(pack):
    """Grams of lithium metal in a primary lithium pack, in words; empty for others.

    Args:
        pack: a ``Pack``.
    """
    grams = transport_of(pack).lithium_g
    return "" if grams is None else say("building.carrying.lithium", grams=f"{grams:.2g}")


def guard_words():
    """How every pack is carried: ends covered, switched off, protected from crushing."""
    return word("building.carrying.guard")
