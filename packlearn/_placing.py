"""What a wiring is made of: cells in their places, links, and which links a pack has."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from packlearn._simulation.plans import letters
from packlearn._tables import rested
from packlearn.cells import Cell
from packlearn.packs import PackOfCells


@dataclass(frozen=True)
class Placed:
    """A cell in its place.

    Attributes:
        cell: the ``Cell``.
        charge: share of its charge left, 0 to 1; sets its rested voltage.
        turned: its minus end lies at the contact marked plus.
        measured_v, measured_ohm: voltage [V] and resistance [ohm] that count instead of those of
            the charge and the data sheet, such as a dead cell's; None where they do not.
    """

    cell: Cell
    charge: float = 1.0
    turned: bool = False
    measured_v: float | None = None
    measured_ohm: float | None = None

    @cached_property
    def voltage_v(self):
        """Voltage between its ends with no load [V]."""
        if self.measured_v is not None:
            return self.measured_v
        volts, shares = rested(self.cell)
        return float(np.interp(self.charge, shares[::-1], volts[::-1]))

    @property
    def resistance_ohm(self):
        """Resistance [ohm]."""
        return self.cell.resistance_ohm if self.measured_ohm is None else self.measured_ohm


@dataclass(frozen=True)
class Link:
    """A strip or wire between two contacts.

    Attributes:
        first, second: names of the contacts, in the order of the holder.
        ohm: its resistance [ohm]; 0 for an ideal one.
    """

    first: str
    second: str
    ohm: float = 0.0

    @property
    def ends(self):
        """Both contacts."""
        return (self.first, self.second)


def rows_of(pack):
    """Cells of each group of a pack."""
    if isinstance(pack, PackOfCells):
        return pack.rows
    return [[pack.cell] * pack.parallel] * pack.series


def group_links(rows):
    """Every group joined: a strip from end to end along each joint, one piece to a neighbour."""
    minus = [[f"{g}{letters(i)}-" for i in range(len(row))] for g, row in enumerate(rows, 1)]
    plus = [[contact[:-1] + "+" for contact in row] for row in minus]
    joints = [minus[0], *(a + b for a, b in zip(plus, minus[1:], strict=False)), plus[-1]]
    return [pair for joint in joints for pair in zip(joint, joint[1:], strict=False)]


def string_links(rows):
    """Strings joined at their two ends only."""
    names = [letters(place) for place in range(len(rows[0]))]
    ends = [f"1{name}-" for name in names], [f"{len(rows)}{name}+" for name in names]
    pairs = [pair for end in ends for pair in zip(end, end[1:], strict=False)]
    inner = [(f"{g}{name}+", f"{g + 1}{name}-") for g in range(1, len(rows)) for name in names]
    return inner + pairs
