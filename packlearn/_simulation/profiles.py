"""Repeating profiles: many short periods at once while they change little.

Over many periods a cell empties by its mean current, while its voltage goes up and down with
every step of the profile. So time goes on by whole periods with the mean current, and every
step's voltage is worked out in each of them; where one would end the run, the last periods
are marched through step by step.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from packlearn._simulation import cellwise
from packlearn._simulation.cellwise import GAMMA
from packlearn._simulation.marching import joined
from packlearn.demands import pieces

# A profile with fewer periods than this in a run is marched step by step from the start.
MANY_PERIODS = 400
# The mean current and the voltages that depend on it agree to rounding after this many rounds.
ROUNDS = 4


@dataclass(frozen=True)
class Profile:
    """A repeating profile ready for marching.

    Attributes:
        steps: pairs of (pieces of the load, length [h]).
    """

    steps: tuple

    @classmethod
    def of(cls, load):
        """Profile of any ``Load``; a steady one has one step that lasts for ever."""
        if len(load.steps) == 1:
            return cls(((pieces(load.steps[0][0]), np.inf),))
        return cls(tuple((pieces(each), seconds / 3600.0) for each, seconds in load.steps))

    @property
    def period_h(self):
        """Length of a period [h]."""
        return sum(hours for _, hours in self.steps)

    @property
    def steady(self):
        """Whether no step's current depends on the voltage."""
        every = [piece for load_pieces, _ in self.steps for piece in load_pieces]
        return not any(piece.siemens or piece.watts for piece in every)

    @property
    def weights(self):
        """Share of the period of each step."""
        return [hours / self.period_h for _, hours in self.steps]


def run(march, state, profile, *, many=MANY_PERIODS):
    """March a batch through a profile until every pack has ended.

    Args:
        march: a ``March``.
        state: ``State`` at the start.
        profile: the ``Profile``.
        many: smallest number of periods that are taken many at once.
    """
    waits = np.isfinite(profile.period_h) and lasting(march.build, state, profile) > many
    while state.place.size:
        # Cells side by side first even out their charges, step by step.
        if waits and periods(march.build, state, profile) > many:
            state, waits = Periods(march, profile).go(state), False
        for load_pieces, hours in profile.steps:
            if state.place.size:
                state = march.hold(state, load_pieces, hours)


def periods(build, state, profile):
    """Rough number of periods in a run, from the mean currents of the cells as they stand.

    Args:
        build: the ``Build``.
        state: ``State`` of the packs.
        profile: the ``Profile``.
    """
    mean_a = _mean_over_period(build, state, profile, "cell_a")
    share = np.abs(mean_a) * state.per_size / build.capacity_ah * profile.period_h
    return 1.0 / max(share.max(), 1e-300)


def lasting(build, state, profile):
    """Rough number of periods in a run, from the mean current of the pack as it stands.

    It is more than ``periods`` while cells side by side charge each other.
    """
    drawn_ah = np.abs(_mean_over_period(build, state, profile, "current_a")) * profile.period_h
    size_ah = np.add.reduceat(build.count * build.capacity_ah / state.per_size, build.starts)
    return float((size_ah.min(axis=0) / np.maximum(drawn_ah, 1e-300)).min())


def _mean_over_period(build, state, profile, name):
    start = [cellwise.at_once(build, state, load_pieces) for load_pieces, _ in profile.steps]
    pairs = zip(profile.weights, start, strict=True)
    return sum(weight * getattr(each, name) for weight, each in pairs)


class Periods:
    """Whole periods at once.

    Args:
        march: the ``March``.
        profile: the ``Profile``.
    """

    def __init__(self, march, profile):
        self.march, self.profile = march, profile
        self.build = march.build
        self.kept = self._kept()
        self.ready = []

    def go(self, state):
        """Take periods until each pack is within one period of its end.

        Returns:
            ``State`` of all packs, each at the start of the period in which it ends.
        """
        start, _ = self.voltages(state, state.charge_ah, 0.0, state.cell_a)
        state = replace(start, energy_wh=state.energy_wh)
        state = self._apart(state, self.march.ends.margin(state) < 0)
        self.march.log.keep(state)
        while state.place.size:
            longest = self.march.longest_step_h(state, averaged=True)
            count = np.maximum(np.floor(longest / self.profile.period_h), 1.0)
            after = self._after(state, count * self.profile.period_h)
            past = self.march.ends.margin(after) < 0
            # One period that goes past the end is the last one; many are tried again as fewer.
            state = self._kept_or_tried(state, after, past, count)
        return self._together()

    def _kept_or_tried(self, state, after, past, count):
        last = past & (count <= 1)
        again = past & ~last
        shorter_h = np.where(again, count * self.profile.period_h / 8.0, after.step_h)
        if past.any():
            after = after.put(past, state.take(past))
        after = replace(after, step_h=shorter_h)
        moved = after.take(~past)
        if moved.place.size:
            self.march.notice(state, moved)
            self.march.log.keep(moved)
        return self._apart(after, last)

    def _apart(self, state, last):
        """Put aside the packs that are in their last period."""
        if last.any():
            self.ready.append(state.take(last))
            state = state.take(~last)
        return state

    def _together(self):
        state = joined(self.ready)
        return state.take(np.argsort(state.place))

    def _kept(self):
        """How much of each step's slow voltage is left at the end of each step, periodic.

        Row k, column j: share of step j's settled slow voltage at the end of step k, (C, 1).
        """
        hours = [h for _, h in self.profile.steps]
        relax_h, period = self.build.relax_h, self.profile.period_h
        ends = np.cumsum(hours)
        once = 1.0 - np.exp(-period / relax_h)
        return [
            [
                (1.0 - np.exp(-hours[j] / relax_h))
                * np.exp(-((ends[k] - ends[j]) % period) / relax_h)
                / once
                for j in range(len(hours))
            ]
            for k in range(len(hours))
        ]

    def _after(self, state, step_h):
        """The packs some whole periods later; the step of ``cellwise.step`` in mean currents."""
        part_h = GAMMA * step_h
        first, mean = self.voltages(state, state.charge_ah, part_h, state.cell_a)
        between = state.charge_ah + (step_h - part_h) * mean
        second, last = self.voltages(state, between, part_h, mean)
        current_a = (1.0 - GAMMA) * first.current_a + GAMMA * second.current_a
        energy = (1.0 - GAMMA) * first.energy_wh + GAMMA * second.energy_wh
        return replace(
            second,
            charge_ah=between + part_h * last,
            spare_v=np.minimum(first.spare_v, second.spare_v),
            time_h=state.time_h + step_h,
            drawn_ah=state.drawn_ah + step_h * current_a,
            energy_wh=state.energy_wh + step_h * (energy - state.energy_wh),
            step_h=step_h,
        )

    def voltages(self, state, charge_ah, part_h, guess_a):
        """Voltages of every step at ``charge_ah + part_h * mean current``.

        Args:
            state: ``State`` before.
            charge_ah: charge drawn from each cell [Ah], (C, N).
            part_h: part of the step [h], (N,), or 0.
            guess_a: what each cell's mean current may be [A], (C, N).

        Returns:
            ``State`` with the mean currents and the lowest voltages of the period (its
            ``energy_wh`` grown by the mean power [W]), and each cell's mean current [A].
        """
        ahead = charge_ah + part_h * guess_a
        open_v, ohm, slope = self.build.look_up(ahead, guess_a, state)
        source_v = open_v + slope * (charge_ah - ahead)
        slow = self.build.relax_ohm * state.ohms
        pack_a = state.current_a
        step_a = [guess_a] * len(self.profile.steps)
        for _ in range(ROUNDS):
            mean_a = self._mean(source_v, ohm + slow - slope * part_h, pack_a)
            moved_v = slope * (charge_ah + part_h * mean_a - ahead)
            lines = self._lines(ahead, step_a, state, open_v, ohm)
            solved = self._every_step(lines, moved_v, slow, step_a)
            step_a = [each["cell_a"] for each in solved]
            pack_a = self._weighted([each["current_a"] for each in solved])
        return self._period(state, solved, step_a, slope), self._weighted(step_a)

    def _lines(self, ahead, step_a, state, open_v, ohm):
        """Open-circuit voltage and resistance at each step's own current."""
        if not self.build.lines.many_pairs:
            return [(open_v, ohm)] * len(step_a)
        return [self.build.look_up(ahead, amps, state)[:2] for amps in step_a]

    def _mean(self, source_v, ohm, pack_a):
        """Mean current of each cell at a mean current of the pack."""
        _, group_ohm, over_v = self.build.combined(source_v, ohm)
        return self.build.shared(over_v, ohm, group_ohm, pack_a)[1]

    def _every_step(self, lines, moved_v, slow, step_a):
        """Every step of the profile solved with the slow voltages the others leave behind."""
        solved = []
        for number, (load_pieces, _) in enumerate(self.profile.steps):
            kept, (open_v, quick) = self.kept[number], lines[number]
            others = sum(kept[j] * amps for j, amps in enumerate(step_a) if j != number)
            source_v = open_v + moved_v - slow * others
            ohm = quick + slow * kept[number]
            solved.append(cellwise.solved(self.build, load_pieces, source_v, ohm))
        return solved

    def _weighted(self, values):
        pairs = zip(self.profile.weights, values, strict=True)
        return sum(weight * value for weight, value in pairs)

    def _period(self, state, solved, step_a, slope):
        volts = np.stack([each["voltage_v"] for each in solved])
        power = self._weighted([each["voltage_v"] * each["current_a"] for each in solved])
        kept = self.kept[-1]
        slow_a = sum(part * amps for part, amps in zip(kept, step_a, strict=True))
        return replace(
            state,
            cell_a=self._weighted(step_a),
            slope=slope,
            slow_v=self.build.relax_ohm * state.ohms * slow_a,
            group_v=np.minimum.reduce([each["group_v"] for each in solved]),
            voltage_v=volts.min(axis=0),
            highest_v=volts.max(axis=0),
            current_a=self._weighted([each["current_a"] for each in solved]),
            spare_v=np.minimum.reduce([each["spare_v"] for each in solved]),
            energy_wh=state.energy_wh + power,
        )
