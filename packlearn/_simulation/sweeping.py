"""Packs of equal cells, worked out over charge instead of time.

Where every cell does the same, the charge drawn says all: the voltage and the current at each
charge come at once, and the time is the sum of ``dq / I``. It is the same model as the march,
without its steps.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from packlearn._simulation.cellwise import State, at_once, fresh
from packlearn._simulation.profiles import MANY_PERIODS, Periods, periods

# Points between full and empty, besides the knots of the curves.
POINTS = 200
# Gauss's two points of a stretch: exact for cubics.
GAUSS = 0.5 / 3**0.5
MOST_TRIALS = 100


@dataclass(frozen=True)
class Sweep:
    """What came out, point by point.

    Attributes:
        states: ``State`` whose packs are the points, the last one the end or, of a profile, the
            start of the period before the last; None where the run ends at the start.
        ended: row of the end (``Ends.words``), or None where the march has to go on.
        dropout: time [h] and voltage [V] at which a regulator gives up, or None.
    """

    states: State
    ended: int | None
    dropout: tuple[float, float] | None


def fits(build, state, profile):
    """Whether a run of equal cells can be swept.

    Args:
        build: ``Build`` of one row.
        state: ``State`` at the start.
        profile: the ``Profile``.
    """
    if np.isfinite(profile.period_h):
        return periods(build, state, profile) > MANY_PERIODS
    load_pieces = profile.steps[0][0]
    steady = len(load_pieces) == 1 and not (load_pieces[0].siemens or load_pieces[0].watts)
    return steady or not build.relaxes


def sweep(march, state, profile, table, held_v):
    """Sweep a pack of equal cells from its start to its end.

    Args:
        march: the ``March``, for its build and ends.
        state: ``State`` of one pack at the start.
        profile: ``Profile`` of the load.
        table: the cell's ``_tables.Table``.
        held_v: voltage below which a regulator gives up, or None.

    Returns:
        ``Sweep``.
    """
    ask = _Ask(march, state, profile)
    charge = _points(state, table, march.build)
    states = ask(charge)
    past = np.flatnonzero(march.ends.margin(states) < 0)
    last = int(past[0]) if past.size else len(charge) - 1
    if last > 0:
        end = root(lambda q: march.ends.margin(ask(q)), charge[last - 1], charge[last])
        charge = np.unique(np.append(charge[:last], end))
    else:
        charge = charge[:1]
    states = ask.timed(charge)
    if np.isfinite(profile.period_h):
        states = _before_last(ask, states, charge)
        return Sweep(states, None, _dropout(ask, states, states.charge_ah[0], held_v))
    ended = int(march.ends.cause(states.take(slice(-1, None)))[0])
    return Sweep(states, ended, _dropout(ask, states, charge, held_v))


def _before_last(ask, states, charge):
    """The points up to the start of the period before the last one."""
    period_h = ask.profile.period_h
    whole_h = max(np.floor(states.time_h[-1] / period_h) - 1.0, 0.0) * period_h
    place = max(int(np.searchsorted(states.time_h, whole_h, side="right")) - 1, 0)
    start, left_h = charge[place], whole_h - states.time_h[place]
    if left_h <= 0:
        return states.take(slice(0, place + 1))
    middle = ask(start + states.cell_a[0, place] * left_h / 2)
    exact = np.append(charge[: place + 1], start + middle.cell_a[0, 0] * left_h)
    states = ask.timed(exact)
    # The end of the last stretch is the start of a period, to rounding.
    return replace(states, time_h=np.append(states.time_h[:-1], whole_h))


class _Ask:
    """States of the pack at any charge drawn from each cell."""

    def __init__(self, march, state, profile):
        self.march, self.build, self.start, self.profile = march, march.build, state, profile
        self.periods = Periods(march, profile) if np.isfinite(profile.period_h) else None
        self.load_pieces = profile.steps[0][0]

    def __call__(self, charge):
        """``State`` with one column for each charge [Ah]; ``energy_wh`` holds the power [W]."""
        charge = np.atleast_1d(np.asarray(charge, dtype=float))
        ones = np.ones((1, len(charge)))
        zero = np.zeros(len(charge))
        state = fresh(self.build, charge[None], self.start.per_size * ones,
                      self.start.ohms * ones, zero)  # fmt: skip
        state = replace(state, place=np.zeros(len(charge), dtype=int))
        if self.periods:
            return self.periods.voltages(state, state.charge_ah, 0.0, state.cell_a)[0]
        if self.build.relaxes:
            state = replace(state, slow_v=self._slow_v(charge))
        state = at_once(self.build, state, self.load_pieces)
        return replace(state, energy_wh=state.voltage_v * state.current_a)

    def _slow_v(self, charge):
        """The slow voltage after a constant current has drawn a charge."""
        amps = self.load_pieces[0].idle_a / self.build.count
        hours = (charge[None] - self.start.charge_ah) / amps
        settled = 1.0 - np.exp(-hours / self.build.relax_h)
        return self.build.relax_ohm * self.start.ohms * amps * settled

    def timed(self, charge):
        """``State`` at rising charges with time, charge and energy summed up."""
        states = self(charge)
        middle, half = (charge[1:] + charge[:-1]) / 2, np.diff(charge)
        ahead = [self(middle + sign * GAUSS * half) for sign in (-1, 1)]
        hours = sum(half / 2 / each.cell_a[0] for each in ahead)
        work = sum(half / 2 * each.energy_wh / each.cell_a[0] for each in ahead)
        return replace(
            states,
            time_h=np.concatenate(([0.0], np.cumsum(hours))),
            energy_wh=np.concatenate(([0.0], np.cumsum(work))),
            drawn_ah=(charge - charge[0]) * self.build.count[0, 0],
            step_h=np.concatenate((hours[:1], hours)) if len(hours) else self.start.step_h,
        )


def _points(state, table, build):
    """Charges to look at: the knots of the curves, even steps, and finer ones at the start."""
    start, size = float(state.charge_ah[0, 0]), 1.0 / float(state.per_size[0, 0])
    knots = table.knots_ah * size
    even = np.linspace(start, max(knots[-1], start), POINTS)
    begin = start + build.capacity_ah[0, 0] * size * np.geomspace(1e-5, 1e-2, 24)
    points = np.unique(np.concatenate((knots[knots > start], even, begin)))
    return points[points <= max(knots[-1], start)]


def root(margin, low, high, ends=None):
    """Largest charge found at which a margin, not negative at ``low``, is not negative.

    Args:
        margin: array of charges [Ah] -> margins.
        low, high: charges [Ah] between which the margin becomes negative.
        ends: margins at both, where they are known.
    """
    over, under = ends or (float(margin(np.array([q]))[0]) for q in (low, high))
    if under >= 0:
        return high
    side = 0
    for trial in range(MOST_TRIALS):
        share = over / (over - under) if trial % 4 < 3 and np.isfinite(under) else 0.5
        middle = low + min(max(share, 1e-3), 1 - 1e-3) * (high - low)
        if not low < middle < high:
            break
        here = float(margin(np.array([middle]))[0])
        if here >= 0:
            low, over, under = middle, here, under / 2 if side > 0 else under
            side = 1
        else:
            high, under, over = middle, here, over / 2 if side < 0 else over
            side = -1
        if 0 <= here < 1e-12 or high - low < 1e-14 * high:
            break
    return low


def _dropout(ask, states, charge, held_v):
    if held_v is None:
        return None
    below = np.flatnonzero(states.voltage_v < held_v)
    if not below.size:
        return None
    first = int(below[0])
    if first == 0:
        return 0.0, float(states.voltage_v[0])
    at = root(lambda q: ask(q).voltage_v - held_v, charge[first - 1], charge[first])
    part = ask.timed(np.append(charge[:first], at) if at > charge[first - 1] else charge[:first])
    return float(part.time_h[-1]), float(part.voltage_v[-1])
