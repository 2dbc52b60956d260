"""Packs: what S cells in line and P side by side give.

The rules themselves stand in ``rules.py``; ``Pack`` puts them in the words of
a learner's question.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from packlearn import rules
from packlearn.cells import Cell
from packlearn.errors import BadValue, PackLimit
from packlearn.words import say

LARGEST_COUNT = 999


class _PackFigures:
    """What every pack can answer once it has voltages, capacity, limit and resistance."""

    @property
    def energy_wh(self):
        """Energy [Wh], from nominal voltage and capacity."""
        return rules.energy_wh(self.nominal_voltage_v, self.capacity_ah)

    @property
    def short_circuit_current_a(self):
        """Current [A] through an ideal short at the nominal voltage; infinite for r = 0."""
        return rules.short_circuit_current_a(self.nominal_voltage_v, self.resistance_ohm)

    def run_time_h(self, current_a, capacity_derating=1.0):
        """Run time [h] by the rule of thumb, ``Ah * derating / A``.

        Args:
            current_a: mean current [A], scalar or array, more than 0.
            capacity_derating: share of the capacity one plans to use.
        """
        return rules.run_time_h(self.capacity_ah, current_a, capacity_derating)

    def terminal_voltage_v(self, current_a, open_circuit_v=None):
        """Voltage [V] at the pack's ends while a current flows: ``V - A * ohm``.

        Args:
            current_a: current [A], scalar or array; negative while charging.
            open_circuit_v: voltage with no load [V]; None counts from the nominal voltage,
                an average over use (``terminal_voltage_words`` says so in a sentence).

        Raises:
            PackLimit: more than the short-circuit current.
        """
        source_v = self.nominal_voltage_v if open_circuit_v is None else open_circuit_v
        volts = rules.terminal_voltage_v(source_v, self.resistance_ohm, current_a)
        if not np.all(volts >= 0):
            most = rules.shown(rules.short_circuit_current_a(source_v, self.resistance_ohm))
            raise PackLimit("packs.beyond_short", value=rules.shown(current_a), limit=most)
        return volts

    def terminal_voltage_words(self, current_a, open_circuit_v=None):
        """The terminal voltage as a sentence that names the voltage it is counted from."""
        volts = self.terminal_voltage_v(current_a, open_circuit_v)
        key = "packs.from_nominal" if open_circuit_v is None else "packs.from_open_circuit"
        start = self.nominal_voltage_v if open_circuit_v is None else open_circuit_v
        return say(key, volts=f"{volts:.2f}", start=f"{start:.4g}", current=f"{current_a:.4g}")

    def current_into_a(self, resistance_ohm, open_circuit_v=None):
        """Current [A] a resistance takes from the pack: ``V / (r + R)``.

        Args:
            resistance_ohm: resistance of the load [ohm], scalar or array, not negative.
            open_circuit_v: voltage with no load [V]; None takes the nominal voltage.
        """
        if not np.all(np.asarray(resistance_ohm) >= 0):
            raise BadValue("packs.resistance", value=resistance_ohm, limit=0)
        source_v = self.nominal_voltage_v if open_circuit_v is None else open_circuit_v
        return rules.current_into_a(source_v, self.resistance_ohm, resistance_ohm)

    def current_for_power_a(self, power_w, open_circuit_v=None):
        """Current [A] at which the pack hands over a power; the smaller of the two solutions.

        Args:
            power_w: power at the terminals [W], scalar or array, not negative.
            open_circuit_v: voltage with no load [V]; None takes the nominal voltage.

        Raises:
            PackLimit: more than ``V**2 / (4 r)``; ``limit`` is that largest power [W].
        """
        if not np.all(np.asarray(power_w) >= 0):
            raise BadValue("packs.power", value=power_w, limit=0)
        source_v = self.nominal_voltage_v if open_circuit_v is None else open_circuit_v
        current_a = rules.current_for_power_a(source_v, self.resistance_ohm, power_w)
        if np.any(np.isnan(current_a)):
            most = rules.largest_power_w(source_v, self.resistance_ohm)
            fields = {"value": rules.shown(power_w), "shown": rules.shown(most)}
            raise PackLimit("packs.too_much_power", limit=most, **fields)
        return current_a


@dataclass(frozen=True, repr=False)
class Pack(_PackFigures):
    """A pack of equal cells, S in line and P side by side.

    Args:
        cell: the cell it is made of.
        series: series count S, a whole number from 1.
        parallel: parallel count P, a whole number from 1.

    Raises:
        BadValue: a count that is no whole number from 1 to 999.
    """

    cell: Cell
    series: int
    parallel: int

    def __repr__(self):
        return f"<Pack {self.name} {self.cell.title}>"

    def __post_init__(self):
        if not isinstance(self.cell, Cell):
            raise BadValue("packs.not_a_cell", value=repr(self.cell)[:40])
        for name in ("series", "parallel"):
            count = rules.check_count(name, getattr(self, name), LARGEST_COUNT)
            object.__setattr__(self, name, count)

    @classmethod
    def from_name(cls, name, cell):
        """Pack from its name.

        Args:
            name: such as ``"5S3P"``, as people type it.
            cell: the cell it is made of.
        """
        from packlearn.quantities import read_name

        return cls(cell, *read_name(name))

    @staticmethod
    def of_cells(rows):
        """Pack whose cells may differ: one row per parallel group, minus end first.

        Args:
            rows: rows of cells; every row holds at least one.
        """
        try:
            return PackOfCells(tuple(tuple(row) for row in rows))
        except TypeError:
            raise BadValue("packs.rows", value=repr(rows)[:40]) from None

    @property
    def name(self):
        """XsYp name, such as ``"5S3P"``."""
        return f"{self.series}S{self.parallel}P"

    @property
    def cell_count(self):
        """Number of cells (of blocks, where the cell is a block)."""
        return self.series * self.parallel

    @property
    def nominal_voltage_v(self):
        """Nominal voltage [V]: for the name and for energy."""
        return rules.series_voltage_v(self.cell.nominal_voltage_v, self.series)

    @property
    def full_voltage_v(self):
        """Voltage straight off the charger [V]: the one to hold against a limit."""
        return rules.series_voltage_v(self.cell.full_voltage_v, self.series)

    @property
    def end_voltage_v(self):
        """End voltage [V], under load."""
        return rules.series_voltage_v(self.cell.end_voltage_v, self.series)

    @property
    def capacity_ah(self):
        """Capacity [Ah]."""
        return rules.parallel_capacity_ah(self.cell.capacity_ah, self.parallel)

    @property
    def current_limit_a(self):
        """Continuous current limit [A]."""
        return rules.parallel_current_limit_a(self.cell.current_limit_a, self.parallel)

    @property
    def resistance_ohm(self):
        """Internal resistance [ohm]."""
        return rules.pack_resistance_ohm(self.cell.resistance_ohm, self.series, self.parallel)


@dataclass(frozen=True)
class PackOfCells(_PackFigures):
    """A pack whose cells may differ: parallel groups in line, minus end first.

    Args:
        rows: one row of cells per parallel group.

    Raises:
        BadValue: no rows, an empty row, or something that is no cell.
    """

    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self):
        if not self.rows or not all(self.rows):
            raise BadValue("packs.empty_row", value=[len(row) for row in self.rows], limit=1)
        for cell in (cell for row in self.rows for cell in row):
            if not isinstance(cell, Cell):
                raise BadValue("packs.not_a_cell", value=repr(cell)[:40])

    @property
    def series(self):
        """Number of groups in line."""
        return len(self.rows)

    @property
    def parallel(self):
        """Cells side by side where every group has as many, else None."""
        counts = {len(row) for row in self.rows}
        return counts.pop() if len(counts) == 1 else None

    @property
    def name(self):
        """XsYp name, or None where the groups are unequal in number."""
        return f"{self.series}S{self.parallel}P" if self.parallel else None

    @property
    def cell_count(self):
        """Number of cells."""
        return sum(map(len, self.rows))

    @property
    def nominal_voltage_v(self):
        """Nominal voltage [V]: the groups' mean nominal voltages added."""
        return float(sum(np.mean([c.nominal_voltage_v for c in row]) for row in self.rows))

    @property
    def full_voltage_v(self):
        """Highest voltage [V] it can start from: each group counted at its highest cell."""
        return float(sum(max(c.full_voltage_v for c in row) for row in self.rows))

    @property
    def end_voltage_v(self):
        """End voltage [V]: each group stops at its highest cell end voltage."""
        return float(sum(max(c.end_voltage_v for c in row) for row in self.rows))

    @property
    def capacity_ah(self):
        """Capacity [Ah]: the smallest group's sum ends the run."""
        return float(min(sum(c.capacity_ah for c in row) for row in self.rows))

    @property
    def current_limit_a(self):
        """Continuous limit [A] of the weakest group, each cell counted as its weakest.

        Unlike cells do not share a current evenly, so the smallest limit counts for each.
        """
        return float(min(len(row) * min(c.current_limit_a for c in row) for row in self.rows))

    @property
    def resistance_ohm(self):
        """Internal resistance [ohm]: groups in line, cells of a group side by side."""
        return float(sum(_side_by_side_ohm(row) for row in self.rows))


def _side_by_side_ohm(row):
    if any(cell.resistance_ohm == 0 for cell in row):
        return 0.0
    return 1.0 / sum(1.0 / cell.resistance_ohm for cell in row)
