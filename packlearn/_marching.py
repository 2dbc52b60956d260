"""From full to the end: lengths of steps, exact moments of events, and what is kept.

A steady load is one step of a profile that lasts for ever. Each profile step is marched in
steps of time short enough for the cells' curves; a step that would pass an end is shortened
until it meets it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from packlearn import _cellwise
from packlearn._tables import EDGE

# Nothing of a step's search for a moment is left open beyond this many halvings.
MOST_TRIALS = 80


@dataclass(frozen=True)
class Fineness:
    """How long a step may be.

    Attributes:
        share: most charge a cell gives in a step, as a share of its capacity.
        volts: most a cell's voltage should change in a step [V].
        close: how near to an end a run has to come [V].
    """

    share: float = 1 / 100
    volts: float = 0.01
    close: float = 1e-12


FINE = Fineness()
# A current that does not depend on the voltage leaves little to get wrong.
STEADY = Fineness(share=1 / 80, volts=0.015)
COARSE = Fineness(share=1 / 50, volts=0.03, close=1e-8)


@dataclass(frozen=True)
class Ends:
    """What ends a run: the pack's voltage, the first cell's, or a load that cannot be served.

    Attributes:
        stop_v: voltage at the pack's terminals [V].
        stop_word: what that voltage is.
        cell_v: end voltage of each group's cells [V], (G, 1); None: single cells do not end it.
    """

    stop_v: float
    stop_word: str
    cell_v: np.ndarray | None = None

    @property
    def words(self):
        """Words of the ends, in the order of ``margins``."""
        return (self.stop_word, "cell_end_voltage", "too_heavy")

    def margins(self, state):
        """Voltage left until each end [V], in the order of ``words``, (3, N)."""
        cells = np.full_like(state.voltage_v, np.inf)
        if self.cell_v is not None:
            cells = (state.group_v - self.cell_v).min(axis=0)
        return np.array((state.voltage_v - self.stop_v, cells, state.spare_v))

    def margin(self, state):
        """Voltage left until the first end [V], (N,)."""
        margin = np.minimum(state.voltage_v - self.stop_v, state.spare_v)
        if self.cell_v is None:
            return margin
        return np.minimum(margin, (state.group_v - self.cell_v).min(axis=0))


@dataclass
class Log:
    """What is kept of a batch of packs, step by step.

    Attributes:
        whole: keep group voltages and cell currents too (one pack).
        steps: rows of (place, time, voltage, highest voltage, current, charge).
        cells: for one pack, rows of (group voltages, cell currents, cell charges).
        last: the final ``State`` of each pack that ended, and the row of its end.
    """

    whole: bool = False
    steps: list = field(default_factory=list)
    cells: list = field(default_factory=list)
    last: list = field(default_factory=list)

    def keep(self, state):
        """Keep where the packs stand."""
        values = (state.time_h, state.voltage_v, state.highest_v, state.current_a, state.drawn_ah)
        self.steps.append((state.place, np.stack(values)))
        if self.whole:
            self.cells.append((state.group_v, state.cell_a, state.charge_ah))

    def end(self, state, ends):
        """Keep the end of some packs."""
        self.last.append((state, ends.margins(state).argmin(axis=0)))


class March:
    """A batch of packs on its way to the end.

    Args:
        build: ``Build`` of the packs.
        ends: the ``Ends``.
        fineness: how long a step may be.
        log: where to keep what happens.
        watch: called with this march, the states before and after, and the load's pieces (None
            where many periods passed at once); finds events. None: nothing is watched.
    """

    def __init__(self, build, ends, fineness, log, watch=None):
        self.build, self.ends, self.fineness = build, ends, fineness
        self.log, self.watch = log, watch

    def hold(self, state, load_pieces, last_h):
        """Put a load on and hold it.

        Args:
            state: ``State`` of the packs.
            load_pieces: pieces of the load.
            last_h: how long [h]; may be infinite.

        Returns:
            ``State`` of the packs that have not ended.
        """
        state = _cellwise.at_once(self.build, state, load_pieces)
        self.notice(state, state, load_pieces)
        self.log.keep(state)
        left_h = np.full(state.place.shape, last_h)
        state, left_h = self._leave(state, left_h, self.ends.margin(state) < 0)
        while np.any(left_h > 0):
            step_h = np.minimum(self.longest_step_h(state), left_h)
            state, left_h = self._moved(state, load_pieces, step_h, left_h)
        return state

    def notice(self, before, after, load_pieces=None):
        """Look for events between two states."""
        if self.watch:
            self.watch(self, before, after, load_pieces)

    def step(self, state, load_pieces, step_h):
        """The packs one step later."""
        return _cellwise.step(self.build, state, load_pieces, step_h)

    def longest_step_h(self, state):
        """Longest step [h] the curves allow, (N,)."""
        build, fine = self.build, self.fineness
        amps = np.abs(state.cell_a)
        share = amps * state.per_size / build.capacity_ah / fine.share
        rate = np.maximum(share, np.abs(state.slope * state.cell_a) / fine.volts)
        if build.relaxes:
            slow = build.relax_ohm * state.ohms * state.cell_a - state.slow_v
            rate = np.maximum(rate, np.abs(slow) / build.relax_h / fine.volts)
        if build.edged:
            rate = np.maximum(rate, self._edge_rate(state))
        with np.errstate(divide="ignore"):
            longest = 1.0 / rate.max(axis=0)
        return np.minimum(longest, 2.0 * state.step_h)

    def _edge_rate(self, state):
        """One over the time until an ideal cell is empty [1/h], (C, N)."""
        left = self.build.edge_ah - state.charge_ah * state.per_size
        ahead = (left > EDGE * self.build.capacity_ah) & (state.cell_a > 0)
        return np.where(ahead, state.cell_a * state.per_size / np.where(ahead, left, 1.0), 0.0)

    def _over_edge(self, state):
        """Ideal cells that have come to their edge lie behind it from now on."""
        size_ah = self.build.capacity_ah / state.per_size
        left = self.build.edge_ah / state.per_size - state.charge_ah
        at_edge = np.abs(left) <= EDGE * size_ah
        behind = state.charge_ah + np.where(at_edge, 10 * EDGE * size_ah, 0.0)
        return replace(state, charge_ah=behind)

    def _moved(self, state, load_pieces, step_h, left_h):
        """One step, shortened where it would jump too far or past an end."""
        after, past, step_h = self._careful(state, load_pieces, step_h)
        if past.any():
            after = after.put(past, self._at_end(state.take(past), load_pieces, after.take(past)))
        self.notice(state, after, load_pieces)
        left_h = left_h - step_h
        self.log.keep(after)
        if self.build.edged:
            after = self._over_edge(after)
        return self._leave(after, left_h, past)

    def _careful(self, state, load_pieces, step_h):
        """A step, with thirds of it where a cell's voltage would change too much.

        Returns:
            ``State`` after, which packs went past an end, and the steps taken [h], (N,).
        """
        after = self.step(state, load_pieces, step_h)
        for _ in range(MOST_TRIALS):
            past = self.ends.margin(after) < 0
            change = np.abs(after.group_v - state.group_v).max(axis=0)
            wide = (change > 4 * self.fineness.volts) & ~past
            if not wide.any():
                break
            wide &= step_h > 1e-9 * self.longest_step_h(state)
            if not wide.any():
                break
            step_h = np.where(wide, step_h / 3.0, step_h)
            some = self.step(state.take(wide), load_pieces, step_h[wide])
            after = after.put(wide, some)
        return after, past, step_h

    def _at_end(self, before, load_pieces, after):
        """The step at which the margin is used up, from a step that goes past it."""
        found = moment(
            lambda step_h: self.step(before, load_pieces, step_h),
            self.ends.margin,
            before,
            after,
            self.fineness.close,
        )
        # An ideal cell that is empty gives nothing from here on: the run ended before the step.
        over = self.ends.margin(found) < 0
        return found.put(over, before.take(over)) if over.any() else found

    def _leave(self, state, left_h, gone):
        """Packs that have not ended; those that have are kept in the log."""
        if not gone.any():
            return state, left_h
        self.log.end(state.take(gone), self.ends)
        return state.take(~gone), left_h[~gone]


def moment(step, margin, before, after, close=1e-12):
    """The last moment of a step at which a margin is not negative.

    Args:
        step: length of a step [h], (N,) -> ``State`` after it.
        margin: ``State`` -> margin, (N,), not negative before and negative after.
        before, after: the states at both ends.
        close: how small a margin will do.

    Returns:
        ``State`` at that moment.
    """
    low, high = np.zeros_like(after.step_h), after.time_h - before.time_h
    over, under = margin(before), margin(after)
    weight_low, weight_high = over.copy(), under.copy()
    side = np.zeros(low.shape)
    for trial in range(MOST_TRIALS):
        # False position, with the idle end's weight halved (Illinois); every third a halving.
        share = weight_low / (weight_low - weight_high)
        share = np.where((trial % 3 == 2) | ~np.isfinite(share), 0.5, share)
        middle = low + np.clip(share, 1e-3, 1 - 1e-3) * (high - low)
        here = margin(step(middle))
        good = here >= 0
        weight_high = np.where(good & (side > 0), weight_high / 2, weight_high)
        weight_low = np.where(~good & (side < 0), weight_low / 2, weight_low)
        side = np.where(good, 1.0, -1.0)
        low, weight_low = np.where(good, middle, low), np.where(good, here, weight_low)
        over = np.where(good, here, over)
        high, weight_high = np.where(good, high, middle), np.where(good, weight_high, here)
        if np.all((high - low <= 1e-13 * high) | (over <= close)):
            break
    return step(low)
