"""Sizing: from what a device needs to every pack that meets it, and why the others fail."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from packlearn import choices
from packlearn.cells import HIGHEST_PACK_VOLTAGE_V, Cell, catalogue
from packlearn.errors import BadValue, UnknownName
from packlearn.loads import Load, check_window
from packlearn.packs import Pack
from packlearn.peaks import voltage_under_peak_v
from packlearn.rules import (
    check_share,
    number,
    pack_resistance_ohm,
    parallel_capacity_ah,
    parallel_current_limit_a,
    series_voltage_v,
)

LARGEST_COUNT = 24
LARGEST_FACTOR = 10
# Rank 1 comes from exact decimals such as 6 x 1.45 V against 8.7 V; binary floats miss them.
ROUNDING = 1e-9
RANKS = ("cells", "mass", "price", "run time")


@dataclass(frozen=True)
class Need:
    """What a device asks of its pack.

    Args:
        load: what it takes, as the pack sees it.
        run_time_h: how long it must run [h], above 0.
        voltage_v: lowest and highest voltage [V] at the pack's terminals; None takes the
            input window of the converter or regulator.
        current_derating: share of the current limit one plans to use; 0.8 is common practice.
        capacity_derating: share of the capacity one plans to use.
        ageing_factor: how many times larger a new pack must be so that it is still enough when
            it is replaced; 1.25 where that is at 80 %.
        design_margin: factor for what one does not know yet, 1.1 to 1.15 is usual.
        temperature_factor: how many times larger it must be in the cold.

    The three factors, from 1 to 10, multiply the capacity that is needed, as the worksheets for
    stationary batteries do (IEEE 485 and 1115).

    Raises:
        BadValue: a value out of bounds, or no voltage window to be had.
    """

    load: Load
    run_time_h: float
    voltage_v: tuple[float, float] | None = None
    current_derating: float = 0.8
    capacity_derating: float = 1.0
    ageing_factor: float = 1.0
    design_margin: float = 1.0
    temperature_factor: float = 1.0

    def __post_init__(self):
        if not isinstance(self.load, Load):
            raise BadValue("sizing.load", value=repr(self.load)[:60])
        number("sizing.run_time", self.run_time_h, above=0)
        check_share("current_derating", self.current_derating)
        check_share("capacity_derating", self.capacity_derating)
        for name in ("ageing_factor", "design_margin", "temperature_factor"):
            _check_factor(name, getattr(self, name))
        object.__setattr__(self, "voltage_v", self._window())
        if not self.load.mean_current_a(sum(self.voltage_v) / 2) > 0:
            raise BadValue("sizing.takes_nothing", value=0, limit=0)

    @property
    def usable_share(self):
        """Share of a new pack's capacity that is planned with, all factors counted."""
        factors = self.ageing_factor * self.design_margin * self.temperature_factor
        return self.capacity_derating / factors

    def _window(self):
        """The window given, narrowed by that of the converter or regulator."""
        given = (None, None) if self.voltage_v is None else check_window(self.voltage_v)
        lows, highs = zip(given, self.load.window_v, strict=True)
        low = max((volts for volts in lows if volts is not None), default=None)
        high = min((volts for volts in highs if volts is not None), default=None)
        if low is None or high is None:
            raise BadValue("sizing.no_window", value=None)
        if self.voltage_v is not None and not low < high:
            stage = [f"{volts:.3g} V" for volts in self.load.window_v if volts is not None]
            asked = "{:.3g} V to {:.3g} V".format(*given)
            raise BadValue("sizing.windows_apart", value=asked, limit=" to ".join(stage))
        return check_window((low, high))


def _check_factor(name, value):
    number("sizing.factor", value, least=1, name=name, most=LARGEST_FACTOR)
    if value > LARGEST_FACTOR:
        fields = {"name": name, "most": LARGEST_FACTOR}
        raise BadValue("sizing.factor", value=value, limit=1, **fields)


def size(need, cells=None, *, rank_by="cells", largest=LARGEST_COUNT):
    """Every S and P of every cell, those that meet the need first, best first.

    Args:
        need: what the device asks.
        cells: cells to look at; None takes the whole catalogue.
        rank_by: ``"cells"`` (fewest), ``"mass"``, ``"price"`` or ``"run time"`` (longest).
        largest: largest series and parallel count looked at.

    Returns:
        ``Sizing``: a sequence of choices; ``.fits`` holds those that meet the need.

    Raises:
        UnknownName: ``rank_by`` is none of the four.
    """
    if rank_by not in RANKS:
        raise UnknownName("sizing.rank", value=str(rank_by)[:40], limit=", ".join(RANKS))
    cells = _as_cells(catalogue() if cells is None else cells)
    counts = np.arange(1, largest + 1)
    return Sizing(need, cells, counts, counts, rank_by)


def _as_cells(cells):
    if isinstance(cells, Cell):
        cells = (cells,)
    cells = tuple(cells.values() if isinstance(cells, Mapping) else cells)
    if not cells or not all(isinstance(cell, Cell) for cell in cells):
        raise BadValue("sizing.cells", value=repr(cells)[:60])
    return cells


def check(need, pack):
    """One pack held against a need.

    Args:
        need: what the device asks.
        pack: a ``Pack`` of equal cells.

    Returns:
        Its ``Choice``, with ``fits``, ``why_not`` and margins.
    """
    if not isinstance(pack, Pack):
        raise BadValue("sizing.pack", value=repr(pack)[:60])
    counts = np.array([pack.series]), np.array([pack.parallel])
    return Sizing(need, (pack.cell,), *counts, "cells")[0]


class Sizing(Sequence):
    """All packs looked at for one need, best first; made by ``size``.

    Figures are arrays of shape (cells, S, P); a ``Choice`` is made when it is asked for.
    """

    def __init__(self, need: Need, cells: tuple[Cell, ...], series, parallel, rank_by):
        self.need = need
        self.cells = cells
        self.series = series
        self.parallel = parallel
        self.rank_by = rank_by
        self._work_out()

    def _column(self, name):
        values = [getattr(cell, name) for cell in self.cells]
        # A cell without a largest count or a mass in its data: no bound, and ranked last.
        return np.array([np.inf if v is None else v for v in values], dtype=float)[:, None, None]

    def _work_out(self):
        load, s, p = self.need.load, self.series[None, :, None], self.parallel[None, None, :]
        low, high = self.need.voltage_v
        self.full_v = series_voltage_v(self._column("full_voltage_v"), s)
        self.lowest_v = self._lowest_voltage_v(s, p)
        # A resistance takes most from a full pack, a constant power from an empty one.
        self.peak_a = np.maximum(
            load.peak_current_a(self.lowest_v), load.peak_current_a(self.full_v)
        )
        self.allowed_a = self.need.current_derating * parallel_current_limit_a(
            self._column("current_limit_a"), p
        )
        mean_a = load.mean_current_a(series_voltage_v(self._column("nominal_voltage_v"), s))
        usable_ah = self.need.usable_share * parallel_capacity_ah(self._column("capacity_ah"), p)
        # Where the voltage is too low for the load to take anything, nothing runs.
        takes = mean_a > 0
        hours = usable_ah / np.where(takes, mean_a, 1.0)
        self.mean_a, self.run_time_h = mean_a, np.where(takes, hours, 0.0)
        # Share by which each condition is met (above 0) or missed (below 0), in a fixed order.
        shares = (
            1 - self.full_v / high,
            self.lowest_v / max(low, ROUNDING) - 1,
            self.allowed_a / np.maximum(self.peak_a, ROUNDING * self.allowed_a) - 1,
            self.run_time_h / self.need.run_time_h - 1,
            1 - self.full_v / HIGHEST_PACK_VOLTAGE_V,
            1 - s / self._column("max_series"),
            1 - p / self._column("max_parallel"),
        )
        shape = np.broadcast_shapes(*map(np.shape, shares))
        self.shares = np.stack([np.broadcast_to(share, shape) for share in shares])
        self.met = self.shares >= -ROUNDING

    def _lowest_voltage_v(self, s, p):
        """Terminal voltage at the end of the run, while the load takes its peak.

        The end voltage holds under the mean current; the rest of the peak sags further:
        V + (I_peak(V) - I_mean) R = S V_end, and the highest V that solves it counts. A pack
        that cannot hold the peak comes out at 0 V.
        """
        load = self.need.load
        end_v = series_voltage_v(self._column("end_voltage_v"), s)
        ohm = pack_resistance_ohm(self._column("resistance_ohm"), s, p)
        mean_a = np.broadcast_to(load.mean_current_a(end_v), ohm.shape)
        return voltage_under_peak_v(load, np.broadcast_to(end_v, ohm.shape), ohm, mean_a)

    @cached_property
    def _order(self):
        return self._sorted(np.arange(len(self)))

    @cached_property
    def _missed(self):
        """Whether each pack fails, and by how much."""
        fails = ~self.met.all(axis=0).ravel()
        return fails, np.where(fails, -np.minimum(self.shares, 0.0).sum(axis=0).ravel(), 0.0)

    def _sorted(self, places):
        """Some of the packs, best first."""
        fails, missed = self._missed
        keys = [self._rank_key(name) for name in (self.rank_by, "mass", "cells", "price")]
        # lexsort takes the last key first: fits, then least missed among those that fail.
        keys = [key[places] for key in (*keys[::-1], missed, fails)]
        return places[np.lexsort(keys)]

    def _rank_key(self, name):
        pieces = self.series[None, :, None] * self.parallel[None, None, :]
        if name == "mass":
            key = pieces * self._column("mass_g")
        elif name == "price":
            prices = [choices.relative_price(cell) for cell in self.cells]
            key = pieces * np.array(prices)[:, None, None]
        elif name == "run time":
            key = -self.run_time_h
        else:
            key = pieces
        return np.broadcast_to(key, self.met.shape[1:]).ravel()

    def __repr__(self):
        return f"<Sizing fit_count={self.fit_count} of {len(self)}>"

    def __len__(self):
        return self.met[0].size

    def __getitem__(self, index):
        if isinstance(index, slice):
            return [self._choice(flat) for flat in self._order[index]]
        return self._choice(self._order[index])

    def _choice(self, flat):
        i, j, k = np.unravel_index(flat, self.met.shape[1:])

        def pick(figure):
            # An axis of one value holds for all places.
            place = (
                at if size > 1 else 0 for at, size in zip((i, j, k), figure.shape, strict=True)
            )
            return float(figure[tuple(place)])

        return choices.Choice(
            need=self.need,
            pack=Pack(self.cells[i], int(self.series[j]), int(self.parallel[k])),
            shares=tuple(self.shares[:, i, j, k].tolist()),
            met=tuple(self.met[:, i, j, k].tolist()),
            full_v=pick(self.full_v),
            lowest_v=pick(self.lowest_v),
            peak_a=pick(self.peak_a),
            allowed_a=pick(self.allowed_a),
            mean_a=pick(self.mean_a),
            run_time_h=pick(self.run_time_h),
        )

    @property
    def fit_count(self):
        """How many of the packs looked at meet the need."""
        return int(self.met.all(axis=0).sum())

    @property
    def fits(self):
        """The choices that meet the need, best first."""
        return self[: self.fit_count]

    def best_of_each_cell(self):
        """One choice per cell, best first: its best fit, or its nearest miss."""
        counts = len(self.series) * len(self.parallel)
        missed = self._missed[1].reshape(-1, counts)
        # Packs that miss by more than another one of the same cell need no sorting.
        near = np.flatnonzero(missed == missed.min(axis=1, keepdims=True))
        order = self._sorted(near)
        _, first = np.unique(order // counts, return_index=True)
        return [self._choice(order[place]) for place in sorted(first)]
