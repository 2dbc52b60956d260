"""Lines of all cells of a pack, looked up at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

# Below any charge drawn [Ah].
FAR_BELOW = -1e300


@dataclass(frozen=True)
class Lines:
    """Lines of the cells of all rows, ready for looking up: value and slope of each stretch.

    The stretches of all tables stand one after the other, each table moved by an offset of
    charge, so that one search finds the stretch of every cell. A single table goes on level at
    both ends and needs no offset and no bounds: its ``bounded`` is False.
    """

    knots: np.ndarray
    bounded: bool
    offset: np.ndarray
    lowest: np.ndarray
    highest: np.ndarray
    bounds_a: np.ndarray
    next_pair: int
    open_v: np.ndarray
    open_slope: np.ndarray
    ohm: np.ndarray
    ohm_slope: np.ndarray

    @classmethod
    def of(cls, tables, *, falling=False):
        """Lines of the ``_tables.Table`` of each row of cells.

        Args:
            tables: a ``_tables.Table`` for each row.
            falling: take lines at no current that rise by a hair as level there. Cells side by
                side would push charge to and fro on a rise for ever.
        """
        distinct = list({id(table): table for table in tables}.values())
        blocks, where, charge = [], {}, 0.0
        bounded = len(distinct) > 1
        pairs = max(len(table.open_v) for table in distinct)
        for table in distinct:
            offset = charge - table.knots_ah[0] if bounded else 0.0
            where[id(table)] = (offset, table.knots_ah[0], table.knots_ah[-1])
            blocks.append(_block(table, offset, pairs, falling))
            charge += table.knots_ah[-1] - table.knots_ah[0] + 1.0
        offset, lowest, highest = np.array([where[id(t)] for t in tables]).T[:, :, None]
        values = [np.concatenate(part, axis=-1) for part in zip(*blocks, strict=True)]
        bounds = np.full((len(tables), pairs - 1, 1), np.inf)
        for row, table in enumerate(tables):
            bounds[row, : len(table.bounds_a), 0] = table.bounds_a
        if not bounded:
            values = [np.concatenate((each[..., :1], each), axis=-1) for each in values]
            values[0][0] = FAR_BELOW
            for slopes in values[2::2]:
                slopes[:, 0] = 0.0
        more = (bounds, len(values[0]), *(each.ravel() for each in values[1:]))
        return cls(values[0], bounded, offset, lowest, highest, *more)

    @property
    def many_pairs(self):
        """Whether a cell has more than two curves."""
        return self.bounds_a.shape[1] > 0

    def pair(self, current_a):
        """Pair of curves that holds at each cell's current, (C, N)."""
        return (current_a[:, None] > self.bounds_a).sum(axis=1)

    def look_up(self, charge_ah, current_a):
        """Open-circuit voltage, its slope, quick resistance and its slope, (C, N)."""
        charge = charge_ah
        if self.bounded:
            charge = np.minimum(np.maximum(charge, self.lowest), self.highest) + self.offset
        place = self.knots.searchsorted(charge, side="right") - 1
        past = charge - self.knots.take(place)
        if self.many_pairs:
            place = place + self.pair(current_a) * self.next_pair
        open_slope, ohm_slope = self.open_slope.take(place), self.ohm_slope.take(place)
        open_v = self.open_v.take(place) + open_slope * past
        return open_v, open_slope, self.ohm.take(place) + ohm_slope * past, ohm_slope


def _block(table, offset, pairs, falling):
    """Knots, then values and slopes of the stretches that begin at them, of one table."""
    gaps = np.diff(table.knots_ah)
    level = np.zeros((pairs, 1))
    rows = np.minimum(np.arange(pairs), len(table.open_v) - 1)
    found = [table.knots_ah + offset]
    open_v = np.minimum.accumulate(table.open_v, axis=1) if falling else table.open_v
    for lines in (open_v[rows], table.ohm[rows] - table.relaxation_ohm):
        found += [lines, np.hstack((np.diff(lines, axis=1) / gaps, level))]
    return found
