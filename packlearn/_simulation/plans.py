"""A run made ready: which cells there are, where they start, what ends the run."""

from __future__ import annotations

import string
from collections import Counter
from dataclasses import dataclass

import numpy as np

from packlearn._simulation.cellwise import Build
from packlearn._simulation.lines import Lines
from packlearn._simulation.marching import Ends
from packlearn._tables import table as lines_of
from packlearn.errors import BadValue
from packlearn.loads import Converter, Load, StageLoad
from packlearn.packs import Pack, PackOfCells
from packlearn.rules import number


@dataclass(frozen=True)
class Cells:
    """The rows a pack is worked out in, and where each cell of the pack is found.

    Attributes:
        build: the ``Build``.
        start: share of the capacity still in each row's cell, (C, 1).
        tables: ``_tables.Table`` of each row.
        row_of: row of each cell, by group and string; lists of lists.
        group_of: row of ``build.starts`` of each group.
        alike: every cell stands for all others.
    """

    build: Build
    start: np.ndarray
    tables: tuple
    row_of: list
    group_of: list
    alike: bool

    @property
    def names(self):
        """Group number and string letter of the first cell that each row stands for."""
        found = {}
        for group, rows in enumerate(self.row_of, 1):
            for place, row in enumerate(rows):
                found.setdefault(row, (group, letters(place)))
        return found


def letters(place):
    """Letters of a string: A to Z, then AA, AB ..."""
    name = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        name = string.ascii_uppercase[rest] + name
    return name


def cells_of(pack, start_charge, temperature_degc, *, each=False):
    """Rows of a pack.

    Args:
        pack: a ``Pack``, also of unlike cells.
        start_charge: share still in, scalar or (S, P).
        temperature_degc: temperature [degC] or None.
        each: a row for every cell, also where cells are alike.

    Raises:
        BadValue: no pack, or a start charge outside 0 to 1 or of another shape.
    """
    if not isinstance(pack, (Pack, PackOfCells)):
        raise BadValue("discharging.pack", value=repr(pack)[:40])
    shares = _shares(pack, start_charge)
    if isinstance(pack, Pack) and shares is None and not each:
        share = _share(start_charge)
        groups = [Counter({(pack.cell, share): pack.parallel})]
        return _alike(pack, groups[0], temperature_degc)
    rows = (
        pack.rows if isinstance(pack, PackOfCells) else [[pack.cell] * pack.parallel] * pack.series
    )
    if shares is None:
        shares = [[_share(start_charge)] * len(row) for row in rows]
    kinds = [list(zip(row, share, strict=True)) for row, share in zip(rows, shares, strict=True)]
    if each:
        return _rows([[(kind, 1) for kind in row] for row in kinds], [1] * len(kinds), kinds,
                     temperature_degc, list(range(len(kinds))))  # fmt: skip
    return _merged(kinds, temperature_degc)


def _alike(pack, counter, temperature_degc):
    kinds = [list(counter.items())]
    found = _rows(kinds, [pack.series], None, temperature_degc, [0])
    row_of = [[0] * pack.parallel] * pack.series
    return Cells(found[0], found[1], found[2], row_of, [0] * pack.series, True)


def _merged(kinds, temperature_degc):
    """Like cells of a group in one row, like groups in one group."""
    groups, times, group_of = [], [], []
    for kind in kinds:
        counted = Counter(kind)
        if counted not in groups:
            groups.append(counted)
            times.append(0)
        group_of.append(groups.index(counted))
        times[group_of[-1]] += 1
    lists = [list(counted.items()) for counted in groups]
    return _rows(lists, times, kinds, temperature_degc, group_of)


def _rows(groups, times, kinds, temperature_degc, group_of):
    flat = [(cell, share, count) for group in groups for (cell, share), count in group]
    sizes = [len(group) for group in groups]
    starts = np.concatenate(([0], np.cumsum(sizes)[:-1])).astype(int)
    tables = tuple(lines_of(cell, temperature_degc) for cell, _, _ in flat)
    build = Build(
        lines=Lines.of(tables, falling=max(sizes) > 1),
        count=_column([count for _, _, count in flat]),
        starts=starts,
        group_of=np.repeat(np.arange(len(groups)), sizes),
        times=_column(times),
        relax_ohm=_column([table.relaxation_ohm for table in tables]),
        relax_h=_column([table.relaxation_s / 3600.0 for table in tables]),
        capacity_ah=_column([cell.capacity_ah for cell, _, _ in flat]),
        edge_ah=_column([table.edge_ah for table in tables]),
        end_v=_column([max(cell.end_voltage_v for (cell, _), _ in group) for group in groups]),
    )
    start = _column([share for _, share, _ in flat])
    if kinds is None:
        return build, start, tables
    places = _places(groups, kinds, starts, group_of)
    return Cells(build, start, tables, places, group_of, len(flat) == 1)


def _places(groups, kinds, starts, group_of):
    """Row of each cell of the pack; equal cells with a row each take them in order."""
    places = []
    for kind, group in zip(kinds, group_of, strict=True):
        names = [each for each, _ in groups[group]]
        if len(names) == len(kind):
            rows = list(range(len(names))) if names == kind else [names.index(k) for k in kind]
        else:
            rows = [names.index(each) for each in kind]
        places.append([int(starts[group]) + row for row in rows])
    return places


def _column(values):
    return np.array(values, dtype=float)[:, None]


def _share(value):
    share = number("discharging.start", value, least=0)
    if share > 1:
        raise BadValue("discharging.start", value=value, limit=0)
    return share


def _shares(pack, start_charge):
    """Start charge of each cell as lists, or None where one number holds for all."""
    if not np.iterable(start_charge) or isinstance(start_charge, str):
        return None
    counts = (
        [len(row) for row in pack.rows]
        if isinstance(pack, PackOfCells)
        else [pack.parallel] * pack.series
    )
    try:
        rows = [[_share(share) for share in row] for row in start_charge]
    except TypeError:
        raise BadValue("discharging.start_shape", value=counts) from None
    if [len(row) for row in rows] != counts:
        raise BadValue("discharging.start_shape", value=counts)
    return rows


# What ends a run.


def ends_of(pack, load, until_v, protected, build):
    """The ``Ends`` of a run.

    Args:
        pack: the pack.
        load: its ``Load``.
        until_v: the device's minimum [V], or None.
        protected: whether the first cell's end voltage ends it.
        build: ``Build`` of the pack.
    """
    if not isinstance(load, Load):
        raise BadValue("discharging.load", value=repr(load)[:40])
    stops = [(pack.end_voltage_v, "end_voltage")]
    lowest = lowest_input_v(load)
    if lowest is not None:
        stops.append((lowest, "input_window"))
    if until_v is not None:
        stops.append((number("discharging.until", until_v, least=0), "device_minimum"))
    # Of two equal voltages the device's own counts, which stands later.
    volts, word = max(reversed(stops), key=lambda stop: stop[0])
    return Ends(volts, word, build.end_v if protected else None)


def lowest_input_v(load):
    """Lowest input [V] of the converters a load is fed through; None without one."""
    lows = [_lowest_of(step) for step, _ in load.steps]
    return max((low for low in lows if low is not None), default=None)


def _lowest_of(load):
    if not isinstance(load, StageLoad):
        return None
    if isinstance(load.stage, Converter):
        return load.stage.input_v[0]
    behind = _lowest_of(load.load)
    return None if behind is None else behind + load.stage.dropout_v
