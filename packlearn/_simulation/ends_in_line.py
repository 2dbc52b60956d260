"""When scattered packs of cells in line come to their end under a steady current, all at once.

The charge drawn from each cell is known at any time, so the voltage of a pack is a known function
of time. It falls along straight stretches, and Newton's method finds where it comes to its end
in a few looks at the curves; where a step of it would leave the stretch that holds the end, the
stretch is halved.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

MOST_ROUNDS = 100
# How near to its end voltage a pack has to come [V].
CLOSE_V = 1e-9


@dataclass(frozen=True)
class Packs:
    """Scattered packs of cells in line.

    Attributes:
        build: their ``Build``; each group has one row.
        charge_ah: charge drawn from each cell at the start [Ah], (C, N).
        per_size, ohms: 1 / relative capacity and relative resistance of each cell, (C, N).
        pack_a: current [A].
    """

    build: object
    charge_ah: np.ndarray
    per_size: np.ndarray
    ohms: np.ndarray
    pack_a: float

    def take(self, places):
        """Some of the packs."""
        arrays = (self.charge_ah, self.per_size, self.ohms)
        arrays = (values.take(places, axis=1) for values in arrays)
        return Packs(self.build, *arrays, self.pack_a)

    def voltage_v(self, time_h):
        """Voltage [V] of each pack at a time [h] of its own, and its slope [V/h], (N,)."""
        build = self.build
        cell_a = self.pack_a / build.count * np.ones_like(time_h)
        open_v, ohm, slope = build.look_up(self.charge_ah + cell_a * time_h, cell_a, self)
        volts, slope = open_v - ohm * cell_a, slope * cell_a
        if build.relaxes:
            kept = np.exp(-time_h / build.relax_h)
            lost_v = build.relax_ohm * self.ohms * cell_a
            volts = volts - lost_v * (1.0 - kept)
            slope = slope - lost_v * kept / build.relax_h
        return (build.times.T @ volts)[0], (build.times.T @ slope)[0]

    def falls(self):
        """Whether the voltage of every cell only falls, so that a pack has one end."""
        lines = self.build.lines
        if lines.bounded:
            return False
        knots = lines.knots[None, lines.knots >= (self.charge_ah * self.per_size).min()]
        cell_a = self.pack_a / self.build.count[:1] * np.ones_like(knots)
        open_v, _, ohm, _ = lines.look_up(knots, cell_a)
        # Between the least and the largest resistance it is a mean of both.
        scales = self.ohms.min(), self.ohms.max()
        return all(np.all(np.diff(open_v - scale * ohm * cell_a) <= 0) for scale in scales)

    def last_h(self):
        """Time [h] after which no cell's voltage changes any more, (N,)."""
        left_ah = self.build.lines.highest / self.per_size - self.charge_ah
        return np.maximum((left_ah * self.build.count).max(axis=0) / self.pack_a, 0.0)


def ends_h(packs, stop_v, guess_h):
    """Time [h] at which each pack's voltage falls below its end, (N,).

    Args:
        packs: the ``Packs``.
        stop_v: end voltage [V].
        guess_h: about when.

    Returns:
        Array, or None where a pack may have several ends or none.
    """
    high = packs.last_h()
    if not packs.falls() or np.any(packs.voltage_v(high)[0] >= stop_v):
        return None
    found = np.zeros(len(high))
    places = np.flatnonzero(packs.voltage_v(found)[0] >= stop_v)
    packs, high, low = packs.take(places), high[places], np.zeros(len(places))
    time_h = np.minimum(guess_h, 0.9 * high)
    for _ in range(MOST_ROUNDS):
        volts, slope = packs.voltage_v(time_h)
        over_v = volts - stop_v
        low, high = np.where(over_v >= 0, time_h, low), np.where(over_v >= 0, high, time_h)
        with np.errstate(divide="ignore", invalid="ignore"):
            ahead = time_h - over_v / slope
        met = (np.abs(over_v) < CLOSE_V) | (high - low <= 1e-13 * high)
        found[places[met]] = time_h[met]
        if met.all():
            return found
        inside = (ahead > low) & (ahead < high)
        time_h = np.where(inside, ahead, (low + high) / 2)
        left = np.flatnonzero(~met)
        packs, places, time_h = packs.take(left), places[left], time_h[left]
        low, high = low[left], high[left]
    return None
