"""Runs of one pack with all that happens on the way, and of many scattered packs at once."""

from __future__ import annotations

import numpy as np

from packlearn._simulation import ends_in_line, in_line
from packlearn._simulation.cellwise import at_once, fresh
from packlearn._simulation.marching import COARSE, FINE, STEADY, Log, March
from packlearn._simulation.plans import letters
from packlearn._simulation.profiles import Profile, run
from packlearn._simulation.sweeping import fits, sweep
from packlearn.errors import BadValue
from packlearn.words import say

# Scattered packs are drawn in blocks of this many, so that more packs begin with the same ones.
BLOCK = 250
# About as many cells are worked on at once as a processor keeps near at hand.
CELLS_AT_ONCE = 20_000
# Points kept of the curves of many packs: of each, and of all.
MOST_POINTS, MOST_KEPT = 60, 2_000_000
CLIPPED_AT = 3.0
# Cells whose resistance is unlike by this part in both directions are taken as one where that
# changes the run time by no more than this share.
UNLIKE, HARDLY = 0.3, 0.005


def one(cells, ends, load):
    """One pack from start to end.

    Args:
        cells: the ``Cells``.
        ends: the ``Ends``.
        load: the ``Load``.

    Returns:
        Fields of ``Discharge`` (but notes), events as tuples.
    """
    build, log = cells.build, Log(whole=True)
    ones = np.ones((len(build.group_of), 1))
    watch = _Watch(cells, load)
    profile = Profile.of(load)
    march = March(build, ends, STEADY if profile.steady else FINE, log, watch)
    state = _started(march, cells.start, ones, ones, profile)
    outside = _outside_at_start(cells, state, profile)
    if cells.alike and fits(build, state, profile):
        state = _swept(march, state, profile, cells.tables[0], watch)
    elif in_line.fits(build, profile):
        state = _lined(march, state, profile.steps[0][0], cells.tables, watch)
    if state.place.size:
        run(march, state, profile)
    last, ended = log.last[0]
    steps = np.concatenate([values for _, values in log.steps], axis=1)
    group_v, cell_a, charge_ah = (
        np.concatenate(rows, axis=1).T for rows in zip(*log.cells, strict=True)
    )
    return {
        **_named(steps),
        "run_time_h": float(last.time_h[0]),
        "energy_wh": float(last.energy_wh[0]),
        "ended_by": ends.words[int(ended[0])],
        "weakest": _weakest_of_one(cells, last, watch.events),
        "extrapolated": outside or _outside(cells, charge_ah, cell_a),
        "typical": any(table.typical for table in cells.tables),
        "group_voltage_v": group_v[:, cells.group_of],
        "cell_current_a": _by_cell(cells, cell_a),
        "cell_charge_ah": _by_cell(cells, charge_ah),
        "events": tuple(_deepest(event, group_v[:, cells.group_of]) for event in watch.found()),
    }


def _swept(march, state, profile, table, watch):
    """Sweep a pack of equal cells; what is left to march is what comes back."""
    found = sweep(march, state, profile, table, watch.held_v)
    if found.dropout:
        watch.seen.add(("dropout", None))
        watch.events.append(("dropout", found.dropout[0], None, None, found.dropout[1]))
    march.log.keep(found.states)
    last = found.states.take(slice(-1, None))
    if found.ended is None:
        return last
    march.log.last.append((last, np.array([found.ended])))
    return last.take(slice(0, 0))


def _lined(march, state, load_pieces, tables, watch):
    """Work out unlike cells in line; what is left to march is what the curves hold no end of."""
    line, states = in_line.line_run(march, state, load_pieces, tables)
    if states is None:
        return state
    watch.along(line, states)
    march.log.keep(states)
    march.log.end(states.take(slice(-1, None)), march.ends)
    return state.take(slice(0, 0))


def many(cells, ends, load, spread, packs, seed):
    """Scattered packs from start to end.

    Args:
        cells: the ``Cells``, one row for each.
        ends: the ``Ends``.
        load: the ``Load``.
        spread: the ``Spread``.
        packs: how many.
        seed: whole number.

    Returns:
        Fields of ``Discharge`` (but notes).
    """
    rows = len(cells.build.group_of)
    at_once_count = BLOCK * max(1, CELLS_AT_ONCE // (BLOCK * rows))
    points = int(np.clip(MOST_KEPT // packs, 2, MOST_POINTS))
    parts = [
        _chunk(cells, ends, load, spread, seed, first, min(at_once_count, packs - first), points)
        for first in range(0, packs, at_once_count)
    ]
    joined = {key: np.concatenate([part[key] for part in parts]) for key in parts[0]}
    weakest = (joined.pop("group"), joined.pop("string"))
    outside = bool(joined.pop("outside").any())
    typical = any(table.typical for table in cells.tables)
    return joined | {"weakest": weakest, "extrapolated": outside, "typical": typical}


def times_in_line(line, ends, load, spread, packs, seed, parallel):
    """Run times of scattered packs [h] under a steady current, each group taken as one cell.

    Of unlike cells side by side the mean capacity counts, and their resistance together: what
    is left out is of the second order of what they differ by.

    Args:
        line: ``Cells`` of one string of the pack, one row for each.
        ends, load, spread, packs, seed: as for ``many``.
        parallel: cells side by side in each group.

    Returns:
        Array (packs,), or None where a run cannot be worked out so.
    """
    build, profile = line.build, Profile.of(load)
    pack_a = profile.steps[0][0][0].idle_a
    if not (in_line.fits(build, profile) and pack_a > 0):
        return None
    rows = len(build.group_of)
    guess_h = float((line.start * build.capacity_ah).min()) * parallel / pack_a

    def ends_h(sizes, ohms):
        charge_ah = (1.0 - line.start) * build.capacity_ah * sizes
        packs = ends_in_line.Packs(build, charge_ah, 1.0 / sizes, ohms, pack_a / parallel)
        return ends_in_line.ends_h(packs, ends.stop_v, guess_h)

    if parallel > 1:
        ones = np.ones((rows, 2))
        ends_of_two_h = ends_h(ones, 1.0 + UNLIKE * np.array([-1.0, 1.0]) * ones)
        if ends_of_two_h is None or np.ptp(ends_of_two_h) > HARDLY * ends_of_two_h.max():
            return None
    sizes, ohms = _scattered(rows * parallel, spread, seed, 0, packs)
    sizes = sizes.reshape(rows, parallel, -1).mean(axis=1)
    ohms = parallel / (1.0 / ohms).reshape(rows, parallel, -1).sum(axis=1)
    return ends_h(sizes, ohms)


def notes(found, temperature_degc):
    """Sentences on what the figures of a run rest on."""
    said = []
    if temperature_degc is None:
        said.append(say("discharging.notes.room"))
    if found["typical"]:
        said.append(say("discharging.notes.typical"))
    if found["extrapolated"]:
        said.append(say("discharging.notes.extrapolated"))
    return tuple(said)


def _chunk(cells, ends, load, spread, seed, first, packs, points):
    build, log = cells.build, Log()
    sizes, ohms = _scattered(len(build.group_of), spread, seed, first, packs)
    profile = Profile.of(load)
    march = March(build, ends, COARSE, log)
    state = _started(march, cells.start, sizes, ohms, profile)
    outside = _outside_at_start(cells, state, profile)
    run(march, state, profile)
    words = np.array(ends.words)
    time_h, energy_wh = np.empty(packs), np.empty(packs)
    ended = np.empty(packs, dtype=words.dtype)
    group, name = np.empty(packs, dtype=int), np.empty(packs, dtype="<U3")
    for last, cause in log.last:
        time_h[last.place], energy_wh[last.place] = last.time_h, last.energy_wh
        ended[last.place] = words[cause]
        group[last.place], name[last.place] = _weakest(cells, last)
        outside |= _outside(cells, last.charge_ah.T * last.per_size.T, last.cell_a.T)
    more = {"run_time_h": time_h, "energy_wh": energy_wh, "ended_by": ended}
    more |= {"group": group, "string": name, "outside": np.array([outside])}
    return _named(_thinned(log.steps, packs, points)) | more


def _started(march, start, sizes, ohms, profile):
    """``State`` of packs at rest, ready for the first load."""
    build = march.build
    charge_ah = (1.0 - start) * build.capacity_ah * sizes
    zero = np.zeros(charge_ah.shape[1])
    state = fresh(build, charge_ah, 1.0 / sizes, ohms, zero)
    drawn = [at_once(build, state, load_pieces) for load_pieces, _ in profile.steps]
    served = all(each.spare_v.min() >= 0 for each in drawn)
    if served and not max(float(each.current_a.max()) for each in drawn) > 0:
        raise BadValue("discharging.no_current", value=0, limit=0)
    amps = np.max([np.abs(each.cell_a) for each in drawn], axis=0)
    first_h = march.fineness.first / np.maximum(np.max(amps / build.capacity_ah, axis=0), 1e-99)
    return fresh(build, charge_ah, 1.0 / sizes, ohms, first_h)


def _scattered(rows, spread, seed, first, packs):
    """Relative capacity and resistance of each cell, (C, N); the same for a pack's number."""
    blocks = []
    for block in range(first // BLOCK, -(-(first + packs) // BLOCK)):
        draw = np.random.default_rng([_seed(seed), block]).standard_normal((2, rows, BLOCK))
        blocks.append(np.clip(draw, -CLIPPED_AT, CLIPPED_AT))
    capacity, resistance = np.concatenate(blocks, axis=-1)[..., :packs]
    return 1.0 + spread.capacity * capacity, 1.0 + spread.resistance * resistance


def _seed(seed):
    if isinstance(seed, bool) or not isinstance(seed, (int, np.integer)) or seed < 0:
        raise BadValue("discharging.seed", value=repr(seed)[:40], limit=0)
    return int(seed)


def _named(steps):
    keys = ("time_h", "voltage_v", "highest_v", "current_a", "charge_ah")
    return dict(zip(keys, steps, strict=True))


def _thinned(steps, packs, points):
    """Curves of many packs at as many points each, evenly among their steps, the end exact."""
    places = np.concatenate([place for place, _ in steps])
    values = np.concatenate([values for _, values in steps], axis=1)
    # Pack by pack, each in the order of its steps.
    order = np.argsort(places, kind="stable")
    counts = np.bincount(places, minlength=packs)
    share = np.linspace(0.0, 1.0, points)
    chosen = np.rint(share * (counts[:, None] - 1)).astype(int)
    chosen += (np.cumsum(counts) - counts)[:, None]
    return values.take(order.take(chosen), axis=1)


def _by_cell(cells, values):
    """Values of rows (points, C) laid out by group and string (points, S, P)."""
    widest = max(len(rows) for rows in cells.row_of)
    laid = np.full((len(values), len(cells.row_of), widest), np.nan)
    for group, rows in enumerate(cells.row_of):
        laid[:, group, : len(rows)] = values[:, rows]
    return laid


# Beyond the curves, and the weakest cell.


def _outside(cells, charge_ah, current_a):
    """Whether any cell was used beyond its curves; values by point and row."""
    return any(
        bool(np.any(table.extrapolated(charge_ah[:, row], current_a[:, row])))
        for row, table in enumerate(cells.tables)
    )


def _outside_at_start(cells, state, profile):
    """Whether a step of the profile takes more than the curves know."""
    for load_pieces, _ in profile.steps:
        amps = at_once(cells.build, state, load_pieces).cell_a
        highest = np.array([[table.highest_a] for table in cells.tables])
        if np.any(amps > highest * (1 + 1e-9)):
            return True
    return False


def _weakest_rows(build, state):
    """Row of the emptiest cell of the group that is nearest to, or furthest past, its end."""
    left = 1.0 - state.charge_ah * state.per_size / build.capacity_ah
    margin = (state.group_v - build.end_v)[build.group_of]
    # The charge left only decides between groups of one voltage, and within a group.
    return (margin + 1e-6 * left).argmin(axis=0)


def _weakest(cells, state):
    rows = _weakest_rows(cells.build, state)
    groups = cells.build.group_of[rows]
    names = np.array([letters(place) for place in rows - cells.build.starts[groups]])
    return groups + 1, names


def _weakest_of_one(cells, state, events):
    if cells.alike:
        return None
    first = next((event for event in events if event[0] == "cell_empty"), None)
    if first:
        return first[2:4]
    return cells.names[int(_weakest_rows(cells.build, state)[0])]


def _deepest(event, group_v):
    """A reversed cell's event with the lowest voltage it came to."""
    if event[0] != "cell_reversed":
        return event
    return (*event[:4], float(group_v[:, event[2] - 1].min()))


class _Watch:
    """Finds the moments at which cells run empty, are driven backwards, or a regulator gives up.

    Args:
        cells: the ``Cells``.
        load: the ``Load``.
    """

    def __init__(self, cells, load):
        self.cells, self.events, self.seen = cells, [], set()
        pieces = [step[0] for step, _ in Profile.of(load).steps]
        held = [piece.above_v for piece in pieces if np.isfinite(piece.above_v)]
        self.held_v = max(held, default=None)

    def __call__(self, march, before, after, load_pieces):
        """Look at one step."""
        for key, margin in self._margins().items():
            if key in self.seen or not margin(after)[0] < 0:
                continue
            self.seen.add(key)
            self.events.append(
                self._event(key, self._at(march, before, after, margin, load_pieces))
            )

    def along(self, line, states):
        """Look at a whole run of cells in line.

        Args:
            line: the ``in_line.Line``.
            states: ``State`` whose packs are its points in time.
        """
        margins = self._margins().items()
        met = [(key, in_line.moment(line, states, margin)) for key, margin in margins]
        self.events += [self._event(key, there) for key, there in met if there is not None]
        # Who is the weakest one is seen from the first of them.
        self.events.sort(key=lambda event: event[1])

    def found(self):
        """Events in the order of time, one for each group."""
        return tuple(sorted(self.events, key=lambda event: event[1]))

    def _margins(self):
        """What must not fall below 0, by kind and group."""
        build, margins = self.cells.build, {}
        for group in range(len(build.starts)):
            end_v = build.end_v[group]
            margins["cell_empty", group] = lambda s, g=group, v=end_v: s.group_v[g] - v
            margins["cell_reversed", group] = lambda s, g=group: s.group_v[g]
        if self.held_v is not None:
            margins["dropout", None] = lambda s: s.voltage_v - self.held_v
        return margins

    def _at(self, march, before, after, margin, load_pieces):
        """State at the moment a margin is used up."""
        if not margin(before)[0] >= 0 or before is after:
            return before
        if load_pieces is None:
            return after
        exact = march.exactly(before, load_pieces, after.time_h - before.time_h)
        if margin(exact)[0] >= 0:
            return exact
        return march.moment(load_pieces, margin, before, exact)

    def _event(self, key, state):
        kind, group = key
        if group is None:
            return (kind, float(state.time_h[0]), None, None, float(state.voltage_v[0]))
        build = self.cells.build
        left = (1.0 - state.charge_ah * state.per_size / build.capacity_ah)[:, 0]
        rows = np.flatnonzero(build.group_of == group)
        name = self.cells.names[int(rows[left[rows].argmin()])]
        return (kind, float(state.time_h[0]), *name, float(state.group_v[group, 0]))
