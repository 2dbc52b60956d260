"""Mass and volume of a pack in its holder, or of a ready-made one in its case."""

from __future__ import annotations

from dataclasses import dataclass

from packlearn.building._data import checked_pack, source_texts, table
from packlearn.errors import BadValue, UnknownName
from packlearn.holders import layout
from packlearn.quantities import write
from packlearn.words import say


@dataclass(frozen=True)
class Measures:
    """Mass and size of a pack; made by ``measures_of``. Rough: a holder's share is from memory.

    Attributes:
        cells_g, holder_g: mass of the cells, and of the holder or case [g].
        box_mm: width, depth and height [mm].
        energy_wh: energy of the pack [Wh].
        ready_made: in its own case, not in a holder.
    """

    cells_g: float
    holder_g: float
    box_mm: tuple[float, float, float]
    energy_wh: float
    ready_made: bool

    @property
    def mass_g(self):
        """Mass with holder or case [g]."""
        return self.cells_g + self.holder_g

    @property
    def volume_cm3(self):
        """Volume of the box [cm3]."""
        width, depth, height = self.box_mm
        return width * depth * height / 1000.0

    @property
    def cells_wh_per_kg(self):
        """Energy over the cells' own mass [Wh/kg]."""
        return self.energy_wh / (self.cells_g / 1000.0)

    @property
    def wh_per_kg(self):
        """Energy over the whole mass [Wh/kg]."""
        return self.energy_wh / (self.mass_g / 1000.0)

    @property
    def wh_per_litre(self):
        """Energy over the volume [Wh/l]."""
        return self.energy_wh / (self.volume_cm3 / 1000.0)

    @property
    def sources(self):
        """Texts of where the holder's figures come from."""
        return source_texts("memory")

    @property
    def sentence(self):
        """Mass and size in words."""
        width, depth, height = (f"{each:.0f}" for each in self.box_mm)
        mass, cells = write(self.mass_g, "g"), write(self.cells_g, "g")
        size = {"width": width, "depth": depth, "height": height}
        kind = "case" if self.ready_made else "holder"
        return say(f"building.measures.{kind}", mass=mass, cells=cells, **size)


def measures_of(pack, strings=False):
    """Mass and volume of a pack in its holder.

    Args:
        pack: a ``Pack``, at most 60 V; its cell's mass and size must be known.
        strings: laid with one string a row.

    Returns:
        ``Measures``. Cells stand side by side, in the rows of ``holders.layout``.

    Raises:
        BadValue: no mass or size known, or more cells than a holder takes.
    """
    pack = checked_pack(pack)
    cell = pack.cell
    if cell.mass_g is None or cell.size_mm is None:
        raise BadValue("building.measures.unknown", value=cell.title)
    extra = table("sizes")["case" if cell.ready_made_only else "holder"]
    *across, length = cell.size_mm
    # A round cell is as deep as it is wide.
    wide, deep = across if len(across) == 2 else across * 2
    slots = layout(pack.series, pack.parallel, strings).slots
    columns = 1 + max(slot.column for slot in slots) - min(slot.column for slot in slots)
    rows = 1 + max(slot.row for slot in slots)
    wall = extra["wall_mm"]
    box = (
        columns * (wide + wall) + wall,
        rows * (deep + wall) + wall,
        length + extra["contacts_mm"] + extra["floor_mm"],
    )
    cells_g = cell.mass_g * pack.cell_count
    holder_g = cells_g * extra["mass_share"]
    return Measures(cells_g, holder_g, box, pack.energy_wh, cell.ready_made_only)


@dataclass(frozen=True)
class CellSize:
    """A standard size: least and most [mm].

    Attributes:
        diameter_mm, height_mm: pairs of least and most.
        usual: name in shops, such as ``"AA"``.
    """

    diameter_mm: tuple[float, float]
    height_mm: tuple[float, float]
    usual: str


def standard_size(name):
    """A standard size of IEC 60086-2.

    Args:
        name: ``"R03"``, ``"R6"``, ``"R14"`` or ``"R20"``, or AAA, AA, C, D.

    Raises:
        UnknownName: another name.
    """
    rows = {
        key: row for key, row in table("sizes").items() if isinstance(row, dict) and "usual" in row
    }
    for key, row in rows.items():
        if name in (key, row["usual"]):
            return CellSize(tuple(row["diameter_mm"]), tuple(row["height_mm"]), row["usual"])
    raise UnknownName("building.measures.size", value=str(name)[:40], limit=", ".join(rows))
