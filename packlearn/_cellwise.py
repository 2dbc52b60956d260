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

import numpy as np

from packlearn.demands import solve

GAMMA = 1.0 - 0.5**0.5


@dataclass(frozen=True)
class Lines:
    """Lines of the cells of all rows, ready for looking up: value and slope of each stretch.

    The stretches of all tables stand one after the other, each table moved by an offset of
    charge, so that one search finds the stretch of every cell.
    """

    knots: np.ndarray
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
    def of(cls, tables):
        """Lines of the ``_tables.Table`` of each row of cells."""
        distinct = list({id(table): table for table in tables}.values())
        blocks, where, charge = [], {}, 0.0
        pairs = max(len(table.open_v) for table in distinct)
        for table in distinct:
            offset = charge - table.knots_ah[0]
            where[id(table)] = (offset, table.knots_ah[0], table.knots_ah[-1])
            blocks.append(_block(table, offset, pairs))
            charge += table.knots_ah[-1] - table.knots_ah[0] + 1.0
        offset, lowest, highest = np.array([where[id(t)] for t in tables]).T[:, :, None]
        values = [np.concatenate(part, axis=-1) for part in zip(*blocks, strict=True)]
        bounds = np.full((len(tables), pairs - 1, 1), np.inf)
        for row, table in enumerate(tables):
            bounds[row, : len(table.bounds_a), 0] = table.bounds_a
        more = (bounds, len(values[0]), *(each.ravel() for each in values[1:]))
        return cls(values[0], offset, lowest, highest, *more)

    @property
    def many_pairs(self):
        """Whether a cell has more than two curves."""
        return self.bounds_a.shape[1] > 0

    def pair(self, current_a):
        """Pair of curves that holds at each cell's current, (C, N)."""
        return (current_a[:, None] > self.bounds_a).sum(axis=1)

    def look_up(self, charge_ah, current_a):
        """Open-circuit voltage, its slope, quick resistance and its slope, (C, N)."""
        charge = np.minimum(np.maximum(charge_ah, self.lowest), self.highest) + self.offset
        place = self.knots.searchsorted(charge, side="right") - 1
        past = charge - self.knots.take(place)
        if self.many_pairs:
            place = place + self.pair(current_a) * self.next_pair
        open_slope, ohm_slope = self.open_slope.take(place), self.ohm_slope.take(place)
        open_v = self.open_v.take(place) + open_slope * past
        return open_v, open_slope, self.ohm.take(place) + ohm_slope * past, ohm_slope


def _block(table, offset, pairs):
    """Knots, then values and slopes of the stretches that begin at them, of one table."""
    gaps = np.diff(table.knots_ah)
    level = np.zeros((pairs, 1))
    rows = np.minimum(np.arange(pairs), len(table.open_v) - 1)
    found = [table.knots_ah + offset]
    for lines in (table.open_v[rows], table.ohm[rows] - table.relaxation_ohm):
        found += [lines, np.hstack((np.diff(lines, axis=1) / gaps, level))]
    return found


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

    @property
    def edged(self):
        """Whether any cell is an ideal one."""
        return bool(np.isfinite(self.edge_ah).any())

    @property
    def relaxes(self):
        """Whether any cell has a slow part."""
        return bool(self.relax_ohm.any())

    def look_up(self, charge_ah, current_a, state):
        """Voltage, resistance and slope of the voltage against charge of every cell.

        Args:
            charge_ah: charge drawn from each cell [Ah], (C, N).
            current_a: current of each cell [A], (C, N).
            state: ``State`` with the scales of the cells.

        Returns:
            Open-circuit voltage [V], quick resistance [ohm], slope [V/Ah] at that current.
        """
        scaled = charge_ah * state.per_size
        open_v, open_slope, ohm, ohm_slope = self.lines.look_up(scaled, current_a)
        slope = (open_slope - current_a * state.ohms * ohm_slope) * state.per_size
        return open_v, ohm * state.ohms, np.minimum(slope, 0.0)

    def combined(self, source_v, ohm):
        """Each group as one source.

        Returns:
            Its voltage [V] and resistance [ohm], (G, N), and how far each cell's source lies
            above its group's [V], (C, N).
        """
        if len(self.starts) == len(self.group_of):
            return source_v, ohm / self.count, 0.0
        weight = self.count / ohm
        total = np.add.reduceat(weight, self.starts, axis=0)
        # Counted from the group's first cell, so that equal cells differ by nothing at all.
        first_v = source_v[self.starts]
        over_v = source_v - first_v[self.group_of]
        mean_v = np.add.reduceat(weight * over_v, self.starts, axis=0) / total
        return first_v + mean_v, 1.0 / total, over_v - mean_v[self.group_of]

    def shared(self, over_v, ohm, group_ohm, current_a):
        """Voltage each group loses inside [V] and current of each cell [A] at a pack current."""
        lost_v = group_ohm * current_a
        if len(self.starts) == len(self.group_of):
            return lost_v, current_a / self.count
        return lost_v, (over_v + lost_v[self.group_of]) / ohm


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
        """Some of the packs."""
        return State(**{key: value[..., keep] for key, value in vars(self).items()})

    def put(self, where, other):
        """The packs, some of them replaced by those of another state."""
        arrays = {key: value.copy() for key, value in vars(self).items()}
        for key, value in vars(other).items():
            arrays[key][..., where] = value
        return State(**arrays)


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


def step(build, state, load_pieces, step_h):
    """The packs one step of time later.

    Args:
        build: the ``Build``.
        state: ``State`` before.
        load_pieces: pieces of the load (``demands.pieces``).
        step_h: length of the step [h], (N,); 0 leaves a pack where it is.

    Returns:
        ``State`` after.
    """
    part_h = GAMMA * step_h
    lag, extra = _slow(build, state, part_h)
    first = _stage(build, state, load_pieces, state.charge_ah, state.cell_a, part_h, lag, extra)
    between = state.charge_ah + (step_h - part_h) * first["cell_a"]
    lag, extra = _slow(build, state, step_h)
    lag = lag + (1.0 - GAMMA) * extra * first["cell_a"]
    second = _stage(build, state, load_pieces, between, first["cell_a"], part_h, lag, GAMMA * extra)
    return _advanced(state, first, second, step_h, between + part_h * second["cell_a"],
                     lag + GAMMA * extra * second["cell_a"])  # fmt: skip


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


def _stage(build, state, load_pieces, charge_ah, guess_a, part_h, lag, extra):
    """One stage of a step: currents at ``charge_ah + part_h * current``."""
    ahead = charge_ah + part_h * guess_a
    open_v, ohm, slope = build.look_up(ahead, guess_a, state)
    source_v = open_v + slope * (charge_ah - ahead) - lag
    stage = solved(build, load_pieces, source_v, ohm - slope * part_h + extra)
    if _other_pair(build, guess_a, stage["cell_a"]):
        ahead = charge_ah + part_h * stage["cell_a"]
        open_v, ohm, slope = build.look_up(ahead, stage["cell_a"], state)
        source_v = open_v + slope * (charge_ah - ahead) - lag
        stage = solved(build, load_pieces, source_v, ohm - slope * part_h + extra)
    return stage | {"slope": slope}


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
