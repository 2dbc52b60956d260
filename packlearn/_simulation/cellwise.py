"""Many packs solved cell by cell over one step of time.

Arrays run over cells (rows) and packs (columns). A row stands for ``count`` equal cells side by
side, a group for ``times`` equal groups in line, so like cells are worked out once. Over a step
each cell is a source behind a resistance, so a parallel group and then the whole pack are one
such source too, and the load has a closed solution against it.

The step is the singly diagonally implicit Runge-Kutta method of second order with
g = 1 - 1/sqrt(2) (Alexander 1977): it damps fast equalising currents, and the charge that
leaves the cells is the charge the load gets, to rounding.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from packlearn._simulation.lines import Lines
from packlearn.demands import solve

GAMMA = 1.0 - 0.5**0.5
# A stage settles in a few rounds, as lines have knots; never more than these.
MOST_ROUNDS = 80
# Below these rounds this part of the way is gone.
SMALLER, SMALLEST = ((8, 1.0), (16, 0.5), (40, 0.25)), 0.1


@dataclass(frozen=True)
class Build:
    """What the packs are made of.

    Attributes:
        lines: ``Lines`` of all rows.
        count: equal cells side by side that a row stands for, (C, 1).
        starts: first row of each group, (G,).
        group_of: group of each row, (C,).
        times: equal groups in line that a group stands for, (G, 1).
        relax_ohm, relax_h: slow part of each row's resistance and its time constant, (C, 1).
        capacity_ah: stated capacity of each row's cell, (C, 1).
        end_v: end voltage of each group's cells, (G, 1).
    """

    lines: Lines
    count: np.ndarray
    starts: np.ndarray
    group_of: np.ndarray
    times: np.ndarray
    relax_ohm: np.ndarray
    relax_h: np.ndarray
    capacity_ah: np.ndarray
    edge_ah: np.ndarray
    end_v: np.ndarray

    @cached_property
    def width(self):
        """Rows of each group, or 0 where groups differ in their rows."""
        groups, rows = len(self.starts), len(self.group_of)
        even = np.array_equal(self.starts * groups, np.arange(groups) * rows)
        return rows // groups if even else 0

    @cached_property
    def edged(self):
        """Whether any cell is an ideal one."""
        return bool(np.isfinite(self.edge_ah).any())

    @cached_property
    def relaxes(self):
        """Whether any cell has a slow part."""
        return bool(self.relax_ohm.any())

    def look_up(self, charge_ah, current_a, scaled_by):
        """Voltage, resistance and slope of the voltage against charge of every cell.

        Args:
            charge_ah: charge drawn from each cell [Ah], (C, N).
            current_a: current of each cell [A], (C, N).
            scaled_by: what has the scales ``per_size`` and ``ohms`` of the cells.

        Returns:
            Open-circuit voltage [V], quick resistance [ohm], slope [V/Ah] at that current.
        """
        scaled = charge_ah * scaled_by.per_size
        open_v, slope, ohm, ohm_slope = self.lines.look_up(scaled, current_a)
        ohm *= scaled_by.ohms
        ohm_slope *= scaled_by.ohms
        ohm_slope *= current_a
        slope -= ohm_slope
        slope *= scaled_by.per_size
        return open_v, ohm, np.minimum(slope, 0.0, out=slope)

    def combined(self, source_v, ohm):
        """Each group as one source.

        Returns:
            Its voltage [V] and resistance [ohm], (G, N), and how far each cell's source lies
            above its group's [V], (C, N).
        """
        if self.width == 1:
            return source_v, ohm / self.count, 0.0
        weight = self.count / ohm
        # Counted from the group's first cell, so that equal cells differ by nothing at all.
        if self.width:
            source_v, weight = self._by_group(source_v), self._by_group(weight)
            first_v, total = source_v[:, 0], weight.sum(axis=1)
            over_v = source_v - source_v[:, :1]
            weight *= over_v
            mean_v = weight.sum(axis=1) / total
            over_v -= mean_v[:, None]
            return first_v + mean_v, 1.0 / total, over_v.reshape(ohm.shape)
        total = np.add.reduceat(weight, self.starts, axis=0)
        first_v = source_v[self.starts]
        over_v = source_v - first_v[self.group_of]
        mean_v = np.add.reduceat(weight * over_v, self.starts, axis=0) / total
        return first_v + mean_v, 1.0 / total, over_v - mean_v[self.group_of]

    def shared(self, over_v, ohm, group_ohm, current_a):
        """Voltage each group loses inside [V] and current of each cell [A] at a pack current."""
        lost_v = group_ohm * current_a
        if self.width == 1:
            return lost_v, current_a / self.count
        if self.width:
            cell_a = self._by_group(over_v) + lost_v[:, None]
            cell_a /= self._by_group(ohm)
            return lost_v, cell_a.reshape(ohm.shape)
        return lost_v, (over_v + lost_v[self.group_of]) / ohm

    def _by_group(self, values):
        """Values of rows (C, N) as (G, rows of a group, N)."""
        return values.reshape(len(self.starts), self.width, -1)


@dataclass(frozen=True)
class State:
    """Where the packs stand; every array has packs as its last axis.

    Attributes:
        charge_ah: charge drawn from each cell since full [Ah], (C, N).
        slow_v: voltage lost in the slow part of each cell [V], (C, N).
        cell_a: current of each cell [A], (C, N).
        slope: slope of each cell's voltage against its charge [V/Ah], (C, N).
        group_v: voltage of each group [V], (G, N).
        voltage_v, current_a, spare_v: of the pack: voltage, current, and what is left until the
            load can no longer be served [V], (N,).
        per_size, ohms: 1 / relative capacity and relative resistance of each cell, (C, N).
        time_h, drawn_ah, energy_wh: since the start, (N,).
        step_h: last step [h], (N,).
        place: which pack of the batch it is, (N,).
    """

    charge_ah: np.ndarray
    slow_v: np.ndarray
    cell_a: np.ndarray
    slope: np.ndarray
    group_v: np.ndarray
    voltage_v: np.ndarray
    current_a: np.ndarray
    spare_v: np.ndarray
    per_size: np.ndarray
    ohms: np.ndarray
    time_h: np.ndarray
    drawn_ah: np.ndarray
    energy_wh: np.ndarray
    step_h: np.ndarray
    place: np.ndarray
    highest_v: np.ndarray = field(default=None)

    def take(self, keep):
        """Some of the packs.

        Args:
            keep: flags, places or a slice of the packs.
        """
        if isinstance(keep, slice):
            return State(**{key: value[..., keep] for key, value in vars(self).items()})
        # Places are much faster than flags.
        keep = np.flatnonzero(keep) if keep.dtype == bool else keep
        return State(**{key: value.take(keep, axis=-1) for key, value in vars(self).items()})

    def put(self, where, other):
        """The packs, some of them replaced by later states of the same packs."""
        arrays = vars(self).copy()
        for key, value in vars(other).items():
            if key not in _LASTING:
                arrays[key] = arrays[key].copy()
                arrays[key][..., where] = value
        return State(**arrays)


# What a pack keeps all its life.
_LASTING = ("per_size", "ohms", "place")


def fresh(build, charge_ah, per_size, ohms, step_h):
    """``State`` of packs at rest.

    Args:
        build: the ``Build``.
        charge_ah: charge drawn from each cell [Ah], (C, N).
        per_size, ohms: scales of the cells, (C, N).
        step_h: length of the first step [h], (N,).
    """
    groups, packs = len(build.starts), charge_ah.shape[1]
    cells, zero = np.zeros_like(charge_ah), np.zeros(packs)
    group_v = np.zeros((groups, packs))
    return State(
        charge_ah, cells, cells, cells, group_v, zero, zero, zero, per_size, ohms,
        zero, zero, zero, step_h, np.arange(packs), zero,
    )  # fmt: skip


def at_once(build, state, load_pieces):
    """The packs right after a load was put on, before any time has passed."""
    open_v, ohm, slope = build.look_up(state.charge_ah, state.cell_a, state)
    stage = solved(build, load_pieces, open_v - state.slow_v, ohm)
    if _other_pair(build, state.cell_a, stage["cell_a"]):
        open_v, ohm, slope = build.look_up(state.charge_ah, stage["cell_a"], state)
        stage = solved(build, load_pieces, open_v - state.slow_v, ohm)
    return replace(state, slope=slope, highest_v=stage["voltage_v"], **stage)


def step(build, state, load_pieces, step_h, settled=None):
    """The packs one step of time later.

    Args:
        build: the ``Build``.
        state: ``State`` before.
        load_pieces: pieces of the load (``demands.pieces``).
        step_h: length of the step [h], (N,); 0 leaves a pack where it is.
        settled: look the lines up again where the charge has come to, until it moves by less
            than this share of the capacity; what comes out is then a continuous function of
            ``step_h``. None: look them up once.

    Returns:
        ``State`` after.
    """
    part_h = GAMMA * step_h
    lag, extra = _slow(build, state, part_h)
    stage = _Stage(state.per_size, state.ohms, state.charge_ah, part_h, lag, extra)
    first = _stage(build, load_pieces, stage, state.cell_a, settled)
    between = state.charge_ah + (step_h - part_h) * first["cell_a"]
    lag, extra = _slow(build, state, step_h)
    lag = lag + (1.0 - GAMMA) * extra * first["cell_a"] if build.relaxes else lag
    stage = _Stage(state.per_size, state.ohms, between, part_h, lag, GAMMA * extra)
    second = _stage(build, load_pieces, stage, first["cell_a"], settled)
    slow_v = lag + GAMMA * extra * second["cell_a"] if build.relaxes else state.slow_v
    return _advanced(state, first, second, step_h, between + part_h * second["cell_a"], slow_v)


def _advanced(state, first, second, step_h, charge_ah, slow_v):
    current_a = (1.0 - GAMMA) * first["current_a"] + GAMMA * second["current_a"]
    power_w = (1.0 - GAMMA) * first["current_a"] * first["voltage_v"]
    power_w = power_w + GAMMA * second["current_a"] * second["voltage_v"]
    spare_v = np.minimum(first["spare_v"], second["spare_v"])
    return replace(
        state,
        **(second | {"spare_v": spare_v}),
        charge_ah=charge_ah,
        slow_v=slow_v,
        highest_v=second["voltage_v"],
        time_h=state.time_h + step_h,
        drawn_ah=state.drawn_ah + step_h * current_a,
        energy_wh=state.energy_wh + step_h * power_w,
        step_h=np.where(step_h > 0, step_h, state.step_h),
    )


@dataclass(frozen=True)
class _Stage:
    """What a stage starts from.

    Attributes:
        per_size, ohms: scales of the cells, (C, N).
        charge_ah: charge drawn from each cell [Ah], (C, N).
        part_h: part of the step [h], (N,).
        lag, extra: what the slow parts keep [V] and the resistance they add [ohm], (C, N) or 0.
    """

    per_size: np.ndarray
    ohms: np.ndarray
    charge_ah: np.ndarray
    part_h: np.ndarray
    lag: np.ndarray | float
    extra: np.ndarray | float

    def take(self, keep):
        """The stage of some of the packs."""
        slow = (self.lag, self.extra)
        slow = (part if np.ndim(part) == 0 else part.take(keep, axis=-1) for part in slow)
        cells = (self.per_size, self.ohms, self.charge_ah)
        cells = (values.take(keep, axis=-1) for values in cells)
        return _Stage(*cells, self.part_h.take(keep), *slow)

    def unsettled(self, build, guess_a, cell_a, settled):
        """Places of packs of which a cell's charge lies apart from where it was looked up."""
        gap_ah = np.abs(self.part_h * (cell_a - guess_a))
        return np.flatnonzero((gap_ah > settled * build.capacity_ah).any(axis=0))


def _stage(build, load_pieces, stage, guess_a, settled):
    """One stage of a step: currents at ``charge_ah + part_h * current``."""
    if settled is not None:
        return _exact(build, load_pieces, stage, guess_a, settled)
    found = _linear(build, load_pieces, stage, guess_a)
    if _other_pair(build, guess_a, found["cell_a"]):
        found = _linear(build, load_pieces, stage, found["cell_a"])
    return found


def _exact(build, load_pieces, stage, guess_a, settled):
    """A stage whose lines are looked up again until the charges settle."""
    found = _linear(build, load_pieces, stage, guess_a)
    for number in range(1, MOST_ROUNDS):
        left = stage.unsettled(build, guess_a, found["cell_a"], settled)
        if not left.size:
            break
        guess_a = guess_a + _part_of_way(number) * (found["cell_a"] - guess_a)
        if left.size == guess_a.shape[1]:
            found = _linear(build, load_pieces, stage, guess_a)
            continue
        some = _linear(build, load_pieces, stage.take(left), guess_a.take(left, axis=1))
        for key, values in some.items():
            found[key][..., left] = values
    return found


def _part_of_way(number):
    """How far a round goes to what the one before it found.

    Between two stretches a whole step may go to and fro; half of one lands between them. Many
    cells at bends at once need ever smaller ones.
    """
    for below, part in SMALLER:
        if number < below:
            return part if part < 1 or number % 3 else 0.5
    return SMALLEST


def _linear(build, load_pieces, stage, guess_a):
    """A stage with the lines taken as straight around where a guessed current leads."""
    moved = stage.part_h * guess_a
    open_v, ohm, slope = build.look_up(stage.charge_ah + moved, guess_a, stage)
    source_v = open_v - slope * moved
    ohm -= slope * stage.part_h
    if build.relaxes:
        source_v -= stage.lag
        ohm += stage.extra
    return solved(build, load_pieces, source_v, ohm) | {"slope": slope}


def solved(build, load_pieces, source_v, ohm):
    """Currents and voltages of packs whose cells are sources behind resistances.

    Args:
        build: the ``Build``.
        load_pieces: pieces of the load.
        source_v, ohm: voltage [V] and resistance [ohm] of each cell, (C, N).

    Returns:
        Fields of ``State``: cell_a, group_v, current_a, voltage_v, spare_v.
    """
    group_v, group_ohm, over_v = build.combined(source_v, ohm)
    pack_v, pack_ohm = (build.times.T @ group_v)[0], (build.times.T @ group_ohm)[0]
    current_a, voltage_v, spare_v = solve(load_pieces, pack_v, pack_ohm)
    lost_v, cell_a = build.shared(over_v, ohm, group_ohm, current_a)
    return {
        "cell_a": cell_a,
        "group_v": group_v - lost_v,
        "current_a": current_a,
        "voltage_v": voltage_v,
        "spare_v": spare_v,
    }


def _slow(build, state, time_h):
    """Voltage the slow parts keep after a time, and the resistance they add until then."""
    if not build.relaxes:
        return 0.0, 0.0
    kept = np.exp(-time_h / build.relax_h)
    return state.slow_v * kept, build.relax_ohm * state.ohms * (1.0 - kept)


def _other_pair(build, guess_a, cell_a):
    """Whether a current left the pair of curves it was looked up in."""
    lines = build.lines
    return lines.many_pairs and bool(np.any(lines.pair(guess_a) != lines.pair(cell_a)))
