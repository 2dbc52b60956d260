"""Voltage over time: packs of real cells emptied by a load, one or thousands at once.

A cell is what its discharge curves say (``curves.py``); a pack is solved cell by cell, so the
current shares itself, the weakest cell goes first and may be driven backwards by the others.
With no resistance and a flat voltage the run is the rule of thumb, ``Ah / A``.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from packlearn._simulation import running
from packlearn._simulation.plans import cells_of, ends_of
from packlearn.errors import BadValue
from packlearn.packs import Pack
from packlearn.rules import check_count, number

MOST_PACKS = 10_000_000

ENDINGS = ("end_voltage", "device_minimum", "cell_end_voltage", "too_heavy", "input_window")


@dataclass(frozen=True)
class Spread:
    """How cells of one kind scatter: relative standard deviations, clipped at three of them.

    Args:
        capacity: of the capacity, such as 0.03; from 0 to 0.3.
        resistance: of the internal resistance; from 0 to 0.3.

    Raises:
        BadValue: a value outside these bounds.
    """

    capacity: float = 0.0
    resistance: float = 0.0

    def __post_init__(self):
        for name in ("capacity", "resistance"):
            value = number("discharging.spread", getattr(self, name), least=0, name=name)
            if value > 0.3:
                raise BadValue("discharging.spread_high", value=value, limit=0.3, name=name)


@dataclass(frozen=True)
class Event:
    """Something that happened during a run.

    Attributes:
        kind: ``"cell_empty"`` (a cell at its end voltage), ``"cell_reversed"`` (below 0 V) or
            ``"dropout"`` (a regulator can no longer hold its output).
        time_h: when [h].
        group: number of the parallel group, from 1 at the minus end; None for the pack.
        string: letter of the cell that was emptiest in the group; None for the pack.
        voltage_v: voltage of that cell, or of the pack, then [V]; of a reversed cell the lowest
            it came to.
    """

    kind: str
    time_h: float
    group: int | None
    string: str | None
    voltage_v: float


@dataclass(frozen=True)
class Discharge:
    """A run from the start to its end.

    Arrays run over points in time; with ``spread`` packs are the first axis. Of a profile with
    many periods ``voltage_v`` is the lowest of each period and ``current_a`` its mean.

    Attributes:
        time_h: time since the start [h].
        voltage_v: voltage at the pack's ends [V].
        highest_v: highest voltage of the period [V]; as ``voltage_v`` for a steady load.
        current_a: current of the pack [A].
        charge_ah: charge drawn since the start [Ah].
        run_time_h: time until the end [h]; an array with ``spread``.
        energy_wh: energy delivered [Wh]; an array with ``spread``.
        ended_by: word of ``ENDINGS``; an array of words with ``spread``.
        weakest: group (from 1 at the minus end) and string letter of the cell that went first;
            None where all cells are alike; two arrays with ``spread``.
        group_voltage_v: voltage of each group [V], (points, S); None with ``spread``.
        cell_current_a: current of each cell [A], (points, S, P), NaN where a group has fewer;
            None with ``spread``.
        cell_charge_ah: charge drawn from each cell since full [Ah], likewise.
        events: what happened on the way; empty with ``spread``.
        extrapolated: a cell was used beyond its curves.
        typical: a cell's curves are its chemistry's, not its own.
        notes: what to know of these figures, sentences.
    """

    time_h: np.ndarray
    voltage_v: np.ndarray
    highest_v: np.ndarray
    current_a: np.ndarray
    charge_ah: np.ndarray
    run_time_h: float | np.ndarray
    energy_wh: float | np.ndarray
    ended_by: str | np.ndarray
    weakest: tuple | None
    extrapolated: bool
    typical: bool
    notes: tuple[str, ...]
    group_voltage_v: np.ndarray | None = field(default=None, repr=False)
    cell_current_a: np.ndarray | None = field(default=None, repr=False)
    cell_charge_ah: np.ndarray | None = field(default=None, repr=False)
    events: tuple[Event, ...] = ()

    @property
    def mean_voltage_v(self):
        """Energy over charge [V]; 0 where no charge was drawn."""
        drawn = self.charge_ah[..., -1]
        with np.errstate(divide="ignore", invalid="ignore"):
            mean = np.where(drawn > 0, self.energy_wh / drawn, 0.0)
        return mean.item() if mean.ndim == 0 else mean

    def run_time_percentile_h(self, percent):
        """Run time [h] that this share of the packs does not reach.

        Args:
            percent: 0 to 100, scalar or array.
        """
        wrong = np.asarray(percent)
        if not np.all((wrong >= 0) & (wrong <= 100)):
            raise BadValue("discharging.percent", value=percent, limit=100)
        found = np.percentile(self.run_time_h, percent)
        return found.item() if np.ndim(found) == 0 else found


def discharge(
    pack,
    load,
    *,
    start_charge=1.0,
    until_v=None,
    protected=False,
    temperature_degc=None,
    spread=None,
    packs=1,
    seed=0,
):
    """Empty a pack with a load.

    The run ends at the higher of the pack's end voltage and ``until_v``, at a converter's
    lowest input, where the pack cannot serve the load (more power than it can give, or a
    regulator's output down to a tenth), or, if ``protected``, where the first cell comes to its
    own end voltage. Without protection a weak cell may be driven backwards.

    Args:
        pack: a ``Pack``, also one of unlike cells.
        load: a ``Load``.
        start_charge: share of each cell's capacity still in, 0 to 1: scalar or (S, P).
        until_v: the device's minimum at the pack's ends [V].
        protected: stop at the first cell's end voltage.
        temperature_degc: temperature [degC] of the curves to use; None: room temperature.
        spread: ``Spread`` of the cells; None: cells as the data sheet says.
        packs: how many scattered packs.
        seed: whole number; the same one gives the same packs.

    Returns:
        ``Discharge``.

    Raises:
        BadValue: a value that cannot be right, a load that takes no current, a temperature
            without curves.
    """
    cells = cells_of(pack, start_charge, temperature_degc, each=spread is not None)
    ends = ends_of(pack, load, until_v, protected, cells.build)
    if spread is None:
        if packs != 1:
            raise BadValue("discharging.packs_alone", value=repr(packs)[:40], limit=1)
        found = running.one(cells, ends, load)
    elif isinstance(spread, Spread):
        count = check_count("packs", packs, MOST_PACKS)
        found = running.many(cells, ends, load, spread, count, seed)
    else:
        raise BadValue("discharging.no_spread", value=repr(spread)[:40])
    notes = running.notes(found, temperature_degc)
    events = tuple(Event(*event) for event in found.pop("events", ()))
    return Discharge(**found, notes=notes, events=events)


def run_times_h(pack, load, spread, packs, *, seed=0):
    """Run times of scattered packs alone, fast enough to follow a slider.

    Under a steady current, of cells whose voltage only falls, no step is taken. Packs of cells in
    line come within 0.01 % of ``discharge``. Cells side by side are taken as one of their mean
    capacity where their resistance hardly matters: mean and percentiles come within 0.3 % up to
    spreads of 0.1 in capacity and 0.3 in resistance. Anything else is left to ``discharge``.

    Args:
        pack: a ``Pack`` of like cells.
        load: a ``Load``.
        spread: ``Spread`` of the cells.
        packs: how many.
        seed: whole number; the same packs as of ``discharge``.

    Returns:
        Array of run times from full to the pack's end voltage [h], (packs,).

    Raises:
        BadValue: as ``discharge``.
    """
    found = None
    if isinstance(pack, Pack) and isinstance(spread, Spread):
        line = Pack(pack.cell, pack.series, 1)
        cells = cells_of(line, 1.0, None, each=True)
        ends = ends_of(line, load, None, False, cells.build)
        count = check_count("packs", packs, MOST_PACKS)
        found = running.times_in_line(cells, ends, load, spread, count, seed, pack.parallel)
    if found is None:
        return discharge(pack, load, spread=spread, packs=packs, seed=seed).run_time_h
    return found
