"""From full to the end: lengths of steps, exact moments of events, and what is kept.

A steady load is one step of a profile that lasts for ever. Each profile step is marched in
steps of time short enough for the cells' curves; a step that would pass an end is shortened
until it meets it. That is done for all packs of a batch at once, when the last one has come
to its end.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from packlearn._simulation import cellwise
from packlearn._tables import EDGE

# Nothing of a step's search for a moment is left open beyond this many trials.
MOST_TRIALS = 80
# A step that leaves less than one over this of the margin may be the last but one.
NEAR = 4.0
# What rounding may do to a voltage, and more.
ROUNDING_V = 1e-9
# The first step of a stretch of a profile, as a share of it, is no shorter than this.
LEAST_PART = 1e-3
# After so many of them the stretch is halved every other time.
PATIENCE = 12


@dataclass(frozen=True)
class Fineness:
    """How long a step may be.

    Attributes:
        share: most charge a cell gives in a step, as a share of its capacity.
        volts: most a cell's voltage should change in a step [V].
        close: how near to an end a run has to come [V].
        settled: how near a cell's charge lies to where its lines were looked up, as a share of its
            capacity, where a run comes to its end.
        first: first step, as a share of the shortest time a cell could last.
    """

    share: float = 1 / 100
    volts: float = 0.01
    close: float = 1e-12
    settled: float = 1e-13
    first: float = 1e-4


FINE = Fineness()
# A current that does not depend on the voltage leaves little to get wrong.
STEADY = Fineness(share=1 / 80, volts=0.015)
# Run times of scattered packs come out within 0.02 % of those of steps 50 times as short.
COARSE = Fineness(share=1 / 20, volts=0.06, close=1e-5, settled=1e-7, first=2e-3)


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

    def cause(self, state):
        """Place in ``words`` of the end that packs have come to, (N,)."""
        margins = self.margins(state)
        # A load that cannot be served at all counts before the voltage it would pull down to.
        return np.where(margins[2] < 0, 2, margins.argmin(axis=0))


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
        self.last.append((state, ends.cause(state)))


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
        self.over = []

    def hold(self, state, load_pieces, last_h):
        """Put a load on and hold it.

        Args:
            state: ``State`` of the packs.
            load_pieces: pieces of the load.
            last_h: how long [h]; may be infinite.

        Returns:
            ``State`` of the packs that have not ended.
        """
        state = cellwise.at_once(self.build, state, load_pieces)
        if np.isfinite(last_h):
            # After a pulse of a millisecond the steps of a rest of a month need not begin anew.
            state = replace(state, step_h=np.maximum(state.step_h, last_h * LEAST_PART))
        self.notice(state, state, load_pieces)
        self.log.keep(state)
        left_h = np.full(state.place.shape, last_h)
        gone = self.ends.margin(state) < 0
        if gone.any():
            self.log.end(state.take(gone), self.ends)
            state, left_h = state.take(~gone), left_h[~gone]
        while np.any(left_h > 0):
            step_h = np.minimum(self.longest_step_h(state), left_h)
            state, left_h = self._moved(state, load_pieces, step_h, left_h)
        self._end(load_pieces)
        return state

    def notice(self, before, after, load_pieces=None):
        """Look for events between two states."""
        if self.watch:
            self.watch(self, before, after, load_pieces)

    def exactly(self, state, load_pieces, step_h):
        """The packs one step later, each stage's lines looked up until they fit."""
        return cellwise.step(self.build, state, load_pieces, step_h, self.fineness.settled)

    def longest_step_h(self, state, *, averaged=False):
        """Longest step [h] the curves allow, (N,).

        Args:
            state: ``State`` of the packs.
            averaged: whole periods pass, so slow parts need no time to set in.
        """
        build, fine = self.build, self.fineness
        amps = np.abs(state.cell_a)
        # A cell driven on past the ends of its lines does not change any more.
        spent = state.charge_ah * state.per_size >= build.lines.highest
        if spent.any():
            amps = np.where(spent & (state.cell_a > 0), 0.0, amps)
        share = amps * state.per_size / build.capacity_ah / fine.share
        rate = np.maximum(share, np.abs(state.slope * state.cell_a) / fine.volts)
        if build.relaxes and not averaged:
            slow = build.relax_ohm * state.ohms * state.cell_a - state.slow_v
            rate = np.maximum(rate, np.abs(slow) / build.relax_h / fine.volts)
        if build.edged:
            rate = np.maximum(rate, self._edge_rate(state))
        with np.errstate(divide="ignore"):
            longest = 1.0 / rate.max(axis=0)
            if build.edged:
                # On the rise at an edge: no step so short that rounding leaves the charge alone.
                longest = np.maximum(longest, EDGE / fine.share / share.max(axis=0))
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

    def _short_of_edge(self, state, load_pieces):
        """Ideal cells on the rise at their edge, where voltages are noise, stand before it."""
        edge_ah = self.build.edge_ah / state.per_size
        rise_ah = 5 * EDGE * self.build.capacity_ah / state.per_size
        rising = np.abs(state.charge_ah - edge_ah) <= rise_ah
        packs = rising.any(axis=0)
        if not packs.any():
            return state
        some = replace(state, charge_ah=np.where(rising, edge_ah, state.charge_ah)).take(packs)
        return state.put(packs, cellwise.at_once(self.build, some, load_pieces))

    def _moved(self, state, load_pieces, step_h, left_h):
        """One step, shortened where it would jump too far; packs that pass an end are put by."""
        after, step_h = self._careful(state, load_pieces, step_h)
        left_h = left_h - step_h
        margin = self.ends.margin(after)
        # What may pass its end in this step or the next is worked out exactly.
        near = NEAR * margin < self.ends.margin(state)
        if near.any():
            exact = self.exactly(state.take(near), load_pieces, step_h[near])
            after = after.put(near, exact)
            margin[near] = self.ends.margin(exact)
        past = margin < 0
        if past.any():
            self.over.append((state.take(past), after.take(past)))
            state, after, left_h = state.take(~past), after.take(~past), left_h[~past]
        if after.place.size:
            self.notice(state, after, load_pieces)
            self.log.keep(after)
        if self.build.edged:
            after = self._over_edge(after)
        return after, left_h

    def _careful(self, state, load_pieces, step_h):
        """A step, with thirds of it where a cell's voltage would change too much.

        Returns:
            ``State`` after and the steps taken [h], (N,).
        """
        after = cellwise.step(self.build, state, load_pieces, step_h)
        for _ in range(MOST_TRIALS):
            past = self.ends.margin(after) < 0
            change = np.abs(after.group_v - state.group_v).max(axis=0)
            wide = (change > 4 * self.fineness.volts) & ~past
            wide |= self._astray(state, after)
            if not wide.any():
                break
            wide &= step_h > 1e-9 * self.longest_step_h(state)
            if not wide.any():
                break
            step_h = np.where(wide, step_h / 3.0, step_h)
            some = cellwise.step(self.build, state.take(wide), load_pieces, step_h[wide])
            after = after.put(wide, some)
        return after, step_h

    def _astray(self, state, after):
        """Where a cell's charge moved much further than its current at the start let expect.

        Cells side by side are balanced to a hair by small loads over long steps; where the lines
        bend, what they were taken to do leads astray.
        """
        if self.build.width == 1:
            return False
        moved = after.charge_ah - state.charge_ah
        np.abs(moved, out=moved)
        return (moved > 4 * self.fineness.share * self.build.capacity_ah).any(axis=0)

    def _end(self, load_pieces):
        """Find the ends of the packs put by, from the steps that go past them."""
        if not self.over:
            return
        before, after = (joined(states) for states in zip(*self.over, strict=True))
        self.over = []
        found = self.moment(load_pieces, self.ends.margin, before, after)
        found = self._short_of_edge(found, load_pieces) if self.build.edged else found
        # An ideal cell that is empty gives nothing from here on: the run ended before the step.
        over = self.ends.margin(found) < -ROUNDING_V
        found = found.put(over, before.take(over)) if over.any() else found
        self.notice(before, found, load_pieces)
        self.log.keep(found)
        self.log.end(self._over_edge(found) if self.build.edged else found, self.ends)

    def moment(self, load_pieces, margin, before, after):
        """The last moment of a step at which a margin is not negative.

        Args:
            load_pieces: pieces of the load.
            margin: ``State`` -> margin, (N,), not negative before and negative after.
            before, after: the states at both ends of an exact step.

        Returns:
            ``State`` at that moment.
        """
        search = _Search(margin(before), margin(after), after.time_h - before.time_h)
        start, found = before, []
        for trial in range(MOST_TRIALS):
            step_h = search.middle(halve=trial > PATIENCE and trial % 2 == 0)
            there = self.exactly(start, load_pieces, step_h)
            met, narrow = search.learn(step_h, margin(there), self.fineness.close)
            found.append(there.take(met))
            if narrow.any():
                low_h = search.low[narrow]
                found.append(self.exactly(start.take(narrow), load_pieces, low_h))
            if not search.keep(left := ~(met | narrow)):
                break
            # Its currents are where the next trial's are looked for.
            start = replace(start.take(left), cell_a=there.cell_a[..., left])
        else:
            found.append(self.exactly(start, load_pieces, search.low))
        found = joined(found)
        return found.take(np.argsort(found.place)[np.argsort(np.argsort(before.place))])


class _Search:
    """A search for where margins become negative, by false position.

    The idle end's weight is lessened as Anderson and Bjorck (1973) do.

    Args:
        over, under: margins at the start and the end of the stretch, (N,).
        length_h: length of the stretch [h], (N,).

    Attributes:
        low, high: between these lengths [h] the margins become negative, (N,).
    """

    def __init__(self, over, under, length_h):
        self.low, self.high = np.zeros(len(over)), length_h
        self.over, self.under = over, under
        self.side = np.zeros(len(over))

    def middle(self, *, halve):
        """Lengths to try [h]."""
        share = self.over / (self.over - self.under)
        share = np.where(np.isfinite(share) & (not halve), share, 0.5)
        return self.low + np.clip(share, 1e-3, 1 - 1e-3) * (self.high - self.low)

    def learn(self, tried_h, here, close):
        """Take in the margins at the lengths tried.

        Returns:
            Which have met their end, and which lie between lengths that cannot be told apart.
        """
        good = here >= 0
        side = np.where(good, 1.0, -1.0)
        # An end that stays twice has its weight lessened by what the other end's margin became.
        with np.errstate(divide="ignore", invalid="ignore"):
            less = 1.0 - here / np.where(good, self.over, self.under)
        less = np.where(side != self.side, 1.0, np.where(less > 0, less, 0.5))
        self.side = side
        self.under = np.where(good, self.under * less, here)
        self.over = np.where(good, here, self.over * less)
        self.low = np.where(good, tried_h, self.low)
        self.high = np.where(good, self.high, tried_h)
        met = good & (here <= close)
        return met, ~met & (self.high - self.low <= 1e-13 * self.high)

    def keep(self, left):
        """Search on in some places; False where none is left."""
        if not left.all():
            vars(self).update({name: value[left] for name, value in vars(self).items()})
        return bool(left.any())


def joined(states):
    """One ``State`` of the packs of several."""
    return cellwise.State(
        **{
            key: np.concatenate([getattr(state, key) for state in states], axis=-1)
            for key in vars(states[0])
        }
    )
