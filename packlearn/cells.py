"""Cells: what a data sheet says of one, the catalogue, and files of one's own.

The catalogue stands in ``data/cells.toml``, whose head describes the format; a
user's own file is read the same way.
"""

from __future__ import annotations

import dataclasses
import functools
import re
import tomllib
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType

from packlearn._ageing import aged_fields, check_capacity
from packlearn._cell_checks import (
    CHEMISTRIES,
    HIGHEST_PACK_VOLTAGE_V,
    REQUIRED,
    bad,
    check_key,
    checked,
    closest,
    shown,
)
from packlearn._curve_checks import Curve
from packlearn.errors import BadFile, PackError, UnknownName
from packlearn.rules import check_share
from packlearn.words import word

__all__ = [
    "CHEMISTRIES",
    "HIGHEST_PACK_VOLTAGE_V",
    "Cell",
    "Curve",
    "catalogue",
    "cell",
    "read_cells",
]


@dataclass(frozen=True)
class Cell:
    """One cell, or one block of several in a case, as its data sheet states it.

    Args:
        name: short name, such as ``"nimh-aa"``.
        chemistry: such as ``"NiMH"``; one of ``CHEMISTRIES``, or another with both voltages given.
        nominal_voltage_v: for naming and for energy [V].
        capacity_ah: capacity [Ah] at ``capacity_at_a`` down to ``capacity_to_v``.
        current_limit_a: continuous limit [A].
        resistance_ohm: internal resistance [ohm] about one second after a step; 0: ideal cell.
        full_voltage_v: straight off the charger, or fresh [V]; None takes the chemistry's.
        end_voltage_v: cut-off under load [V]; None takes the chemistry's.
        rested_voltage_v: lowest and highest voltage [V] an hour or more after charging, or None.
        title: name for people; empty takes ``name``.
        capacity_at_a: current [A] the capacity holds at, or None.
        capacity_to_v: voltage [V] the capacity holds down to, or None.
        resistance_meaning: how the resistance is meant, a sentence.
        mass_g: mass [g], or None.
        size_mm: diameter and length, or width, thickness and height [mm], or None.
        price_class: 1 (cheap) to 5, one piece; None if not known.
        rechargeable: None takes the chemistry's.
        cells_inside: single cells in the case; above 1 it is a block.
        max_series: largest sensible series count; None: only the 60 V limit holds.
        max_series_reason: why, a sentence.
        max_parallel: largest sensible parallel count; always 1 for cells that are not charged.
        max_parallel_reason: why, a sentence.
        ready_made_only: only built as ready-made protected pack; always so for lithium-ion.
        curves: discharge curves of the data sheet, ``Curve`` objects at different currents.
        relaxation_ohm: the part of the resistance [ohm] that sets in slowly and lets the
            voltage recover at rest; 0: none.
        relaxation_s: time constant [s] of that part.
        sources: field name -> note where its value comes from.

    A title, meaning, reason or note may also be the key of such a text in the word files.

    Raises:
        BadValue: a value that cannot be right; the message names field, value, limit and mend.
    """

    name: str
    chemistry: str
    nominal_voltage_v: float
    capacity_ah: float
    current_limit_a: float
    resistance_ohm: float
    full_voltage_v: float | None = None
    end_voltage_v: float | None = None
    rested_voltage_v: tuple[float, float] | None = None
    title: str = ""
    capacity_at_a: float | None = None
    capacity_to_v: float | None = None
    resistance_meaning: str = field(default="", repr=False)
    mass_g: float | None = None
    size_mm: tuple[float, ...] | None = None
    price_class: int | None = None
    rechargeable: bool | None = None
    cells_inside: int = 1
    max_series: int | None = None
    max_series_reason: str = field(default="", repr=False)
    max_parallel: int | None = None
    max_parallel_reason: str = field(default="", repr=False)
    ready_made_only: bool = False
    curves: tuple[Curve, ...] = field(default=(), repr=False)
    relaxation_ohm: float | None = None
    relaxation_s: float | None = None
    sources: dict[str, str] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self):
        for key, value in checked(vars(self)).items():
            object.__setattr__(self, key, value)
        check_capacity(self)

    @property
    def energy_wh(self):
        """Energy [Wh]: nominal voltage times capacity."""
        return self.nominal_voltage_v * self.capacity_ah

    def c_rate(self, current_a):
        """C-rate [1/h] of a current: ``A / Ah``.

        Args:
            current_a: current [A], scalar or array; negative while charging.
        """
        return current_a / self.capacity_ah

    def current_at_c_rate_a(self, c_rate):
        """Current [A] at a C-rate: ``C * Ah``.

        Args:
            c_rate: C-rate [1/h], scalar or array.
        """
        return c_rate * self.capacity_ah

    def idealised(self, resistance_ohm=0.0):
        """The same cell as the rule of thumb sees it: nominal voltage until it is empty.

        Args:
            resistance_ohm: internal resistance [ohm] it keeps.

        Returns:
            ``Cell`` with a flat voltage, no curves and no slow part.
        """
        return dataclasses.replace(
            self,
            chemistry="ideal",
            full_voltage_v=self.nominal_voltage_v,
            rested_voltage_v=None,
            resistance_ohm=resistance_ohm,
            curves=(),
            relaxation_ohm=None,
            relaxation_s=None,
        )

    def aged(self, capacity=1.0, resistance=1.0):
        """The same cell after long use: it holds less, and has more resistance.

        Its discharge curves go with it: charges shrink with the capacity, the voltage at no
        current stays at equal share of the charge, and the drop below it grows with the
        resistance. With ``resistance=1 / capacity`` it is a smaller cell of the same build: at
        the same C-rate it runs as long as the new one. To change ``capacity_ah`` alone does not
        change a run, since a run goes by the curves.

        Args:
            capacity: capacity as a share of the new cell's, above 0 to 1; 0.8 is a usual end of
                service (common practice).
            resistance: resistance as a multiple of the new cell's, above 0 to 100.

        Returns:
            ``Cell`` with its capacity, resistance, slow part and curves changed, and the current
            at which the capacity is stated; the current limit stays.

        Raises:
            BadValue: a share or a multiple out of these bounds.
        """
        return dataclasses.replace(self, **aged_fields(self, capacity, resistance))

    def plannable_current_a(self, derating=0.8):
        """Current [A] one plans with: a share of the continuous limit.

        Args:
            derating: share, above 0 to 1; 0.8 is common practice.

        Raises:
            BadValue: a share outside 0 to 1.
        """
        check_share("derating", derating)
        return self.current_limit_a * derating


@functools.cache
def catalogue():
    """The generic cells that come with packlearn.

    Returns:
        Read-only mapping, name -> ``Cell``, in the order of the file.
    """
    path = files("packlearn") / "data" / "cells.toml"
    return _cells(path.read_text(encoding="utf-8"), path.name)


def cell(name):
    """Cell of the catalogue by its name.

    Args:
        name: such as ``"nimh-aa"``.

    Raises:
        UnknownName: no such cell; the message lists the names and the closest one.
    """
    cells = catalogue()
    if isinstance(name, str) and name in cells:
        return cells[name]
    close = closest(name, cells)
    key = "cells.unknown_close" if close else "cells.unknown"
    raise UnknownName(key, value=shown(name), limit=", ".join(cells), closest=close)


def read_cells(path):
    """Cells of a user's own TOML file, written as the catalogue is.

    Args:
        path: path of the file.

    Returns:
        Read-only mapping, name -> ``Cell``.

    Raises:
        BadFile: a mistake in the file; the message names file, cell, key, value and mend.
    """
    path = Path(path)
    try:
        with path.open("rb") as file:
            data = file.read(_LARGEST_FILE + 1)
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadFile("cells.not_utf8", value=shown(path.name)) from error
    except (OSError, ValueError) as error:
        raise BadFile("cells.no_file", value=shown(path.name)) from error
    if len(data) > _LARGEST_FILE:
        raise BadFile("cells.large", value=shown(path.name), limit=_LARGEST_FILE // 1000)
    return _cells(text, shown(path.name))


# Files of cells.

_LARGEST_FILE = 1_000_000


def _cells(text, file):
    try:
        tables = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise _syntax(text, file, str(error)) from error
    if not tables:
        raise BadFile("cells.empty", value=file)
    return MappingProxyType({name: _cell(name, entry, file) for name, entry in tables.items()})


def _cell(name, entry, file):
    if not isinstance(entry, dict):
        raise BadFile("cells.outside", value=shown(entry), file=file, field=shown(name))
    try:
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name):
            raise bad("name", "name", name)
        for key in entry:
            check_key(key)
        for key in REQUIRED[1:]:
            if key not in entry:
                raise bad("missing_key", key, None)
        return Cell(name=name, **entry)
    except PackError as error:
        raise BadFile("cells.in_file", value=str(error), file=file, cell=shown(name)) from error


# Slips of typing that TOML cannot read, told by the line they stand in.
_SLIPS = (
    ("comma", re.compile(r"=\s*[-+]?\d+,\d")),
    ("unit", re.compile(r"=\s*[-+]?\d+(\.\d+)?\s*[^\W\d]")),
    ("bare", re.compile(r"=\s*[^\W\d]")),
)


def _syntax(text, file, problem):
    lines = text.splitlines() or [""]
    found = re.search(r"line (\d+)", problem)
    number = min(int(found[1]), len(lines)) if found else len(lines)
    line = lines[number - 1].strip()
    slip = next((name for name, pattern in _SLIPS if pattern.search(line)), "other")
    if "twice" in problem or "overwrite" in problem:
        slip = "twice"
    heads = [re.match(r"\s*\[([\w-]+)", each) for each in lines[:number]]
    name = next((shown(head[1]) for head in reversed(heads) if head), word("cells.no_cell"))
    mend = word(f"cells.slips.{slip}")
    return BadFile("cells.syntax", value=shown(line), file=file, line=number, cell=name, mend=mend)
