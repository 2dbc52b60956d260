"""Unlike cells in line under a steady current, worked out over charge instead of time.

With no unlike cells side by side every cell gives a known part of a known current. The charge
drawn from each is then known at any time, so all voltages come at once and no step is taken.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from packlearn._simulation.cellwise import fresh, solved
from packlearn._simulation.sweeping import GAUSS, POINTS, root

# Charges near the start, as parts of the smallest cell: a slow part sets in there.
BEGIN = np.geomspace(1e-5, 1e-2, 24)


@dataclass(frozen=True)
class Line:
    """A pack of cells in line and the current through it.

    Args:
        build: ``Build`` whose groups have one row each.
        start: ``State`` of the pack before the load is put on.
        load_pieces: the one piece of the load.
    """

    build: object
    start: object
    load_pieces: tuple

    @property
    def pack_a(self):
        """Current of the pack [A]."""
        return self.load_pieces[0].idle_a

    def __call__(self, drawn_ah):
        """``State`` with one column for each charge drawn from the pack [Ah]."""
        drawn_ah = np.atleast_1d(np.asarray(drawn_ah, dtype=float))
        build, ones = self.build, np.ones(len(drawn_ah))
        charge_ah = self.start.charge_ah + drawn_ah / build.count
        hours = drawn_ah / self.pack_a
        state = fresh(
            build, charge_ah, self.start.per_size * ones, self.start.ohms * ones, 0.0 * hours
        )
        cell_a = self.pack_a / build.count * ones
        slow_v = state.slow_v
        if build.relaxes:
            settled = -np.expm1(-hours / build.relax_h)
            slow_v = build.relax_ohm * state.ohms * cell_a * settled
        open_v, ohm, slope = build.look_up(charge_ah, cell_a, state)
        found = solved(build, self.load_pieces, open_v - slow_v, ohm)
        more = {"slow_v": slow_v, "slope": slope, "highest_v": found["voltage_v"]}
        more |= {"time_h": hours, "drawn_ah": drawn_ah, "place": np.zeros(len(ones), dtype=int)}
        return replace(state, **found, **more)

    def points(self, tables):
        """Charges to look at [Ah]: the knots of all cells' curves, even steps, the start.

        Args:
            tables: ``_tables.Table`` of each row.
        """
        start, size = self.start.charge_ah[:, 0], 1.0 / self.start.per_size[:, 0]
        count = self.build.count[:, 0]
        rows = zip(tables, start, size, count, strict=True)
        knots = np.concatenate([(t.knots_ah * s - begun) * n for t, begun, s, n in rows])
        last = max(float(knots.max()), 0.0)
        begin = float((self.build.capacity_ah[:, 0] * size * count).min()) * BEGIN
        points = np.concatenate((knots, begin, np.linspace(0.0, last, POINTS)))
        return np.unique(points[(points >= 0) & (points <= last)])

    def summed(self, drawn_ah):
        """``State`` at rising charges, with energy and steps summed up."""
        middle, half = (drawn_ah[1:] + drawn_ah[:-1]) / 2, np.diff(drawn_ah) / 2
        volts = sum(self(middle + sign * 2 * GAUSS * half).voltage_v for sign in (-1, 1))
        states, energy_wh = self(drawn_ah), np.cumsum(half * volts)
        step_h = np.diff(states.time_h, prepend=0.0)
        return replace(states, energy_wh=np.concatenate(([0.0], energy_wh)), step_h=step_h)


def fits(build, profile):
    """Whether a run can be worked out so.

    Args:
        build: the ``Build``.
        profile: the ``Profile``.
    """
    load_pieces = profile.steps[0][0]
    steady = len(profile.steps) == 1 and len(load_pieces) == 1 and profile.steady
    return steady and build.width == 1 and not build.edged


def line_run(march, state, load_pieces, tables):
    """A run from its start to its end.

    Args:
        march: the ``March``, for its build and ends.
        state: ``State`` of one pack at rest.
        load_pieces: pieces of the load.
        tables: ``_tables.Table`` of each row.

    Returns:
        The ``Line`` and ``State`` whose packs are points in time, the last one the end; None in
        place of it where the curves hold no end.
    """
    line = Line(march.build, state, load_pieces)
    drawn_ah = line.points(tables)
    margin = march.ends.margin(line(drawn_ah))
    past = np.flatnonzero(margin < 0)
    if not past.size:
        return line, None
    first = int(past[0])
    if first == 0:
        return line, line.summed(drawn_ah[:1])
    ends = margin[first - 1], margin[first]
    end = root(lambda q: march.ends.margin(line(q)), *drawn_ah[first - 1 : first + 1], ends)
    return line, line.summed(np.unique(np.append(drawn_ah[:first], end)))


def moment(line, states, margin):
    """The moment at which a margin is used up.

    Args:
        line: the ``Line``.
        states: ``State`` at rising charges.
        margin: ``State`` -> margin, one for each point.

    Returns:
        ``State`` of one point, or None where the margin lasts.
    """
    left = margin(states)
    past = np.flatnonzero(left < 0)
    if not past.size:
        return None
    first = int(past[0])
    if first == 0:
        return states.take(slice(0, 1))
    ends = left[first - 1], left[first]
    between = states.drawn_ah[first - 1 : first + 1]
    return line(root(lambda q: margin(line(q)), *between, ends))
