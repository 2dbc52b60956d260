"""Lines of cells: zero-current voltage and resistance against charge, from discharge curves.

Between two curves the voltage at equal charge is linear in the current. So each pair of
neighbouring curves gives an open-circuit line E(q) and a resistance R(q), and the curves
themselves come back exactly: ``V(q, I) = E(q) - R(q) I``. Below the smallest current the
first pair goes on, down to no current and to charging; above the largest the last pair.
Past the end of the shorter curve the resistance goes on by its last slope. Before full and
past empty the lines end level.
"""

from __future__ import annotations

import dataclasses
import functools
import math
import tomllib
from dataclasses import dataclass
from importlib.resources import files

import numpy as np

from packlearn.errors import BadValue
from packlearn.rules import number

# A resistance of 0 is this, so that nothing is divided by 0; far below what any figure shows.
LEAST_OHM = 1e-12
# The resistance of an ideal cell that is empty; far above what any load could use.
EMPTY_OHM = 1e12
# How far past its capacity an ideal cell gives nothing more, as a share.
EDGE = 1e-13
# How far past full the lines go on, as a share of the capacity.
PAST_FULL = 0.05
# From the end voltage to where a cell driven on settles, as a share of the capacity, where the
# chemistry's shape says nothing else; typical, from memory.
FALL_SHARE = 0.03
# Moments while a slow part sets in, in time constants.
SETTLING = np.array([0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.3, 1.6, 2.0, 2.5, 3.0, 4.0, 5.0])
# The stretch of charge over which a last slope is measured.
SLOPE_STRETCH = 0.04
# Two lines at no current are alike that lie within 20 mV from 10 to 90 % left: the catalogue's
# cells lie within 1 mV of their chemistry's, or 80 mV and more off it.
ALIKE, ALIKE_V = np.linspace(0.1, 0.9, 17), 0.020


@dataclass(frozen=True)
class Table:
    """Lines of one cell at shared knots of charge, one row for each pair of curves.

    Attributes:
        knots_ah: charge drawn [Ah], rising, (M,).
        open_v: zero-current line of each pair [V], (pairs, M).
        ohm: resistance of each pair [ohm], (pairs, M).
        bounds_a: currents [A] at which one pair hands over to the next, (pairs - 1,).
        lowest_a, highest_a: currents [A] the curves span.
        ends_ah: charge at which each pair's shorter curve ends [Ah], (pairs,).
        last_ah: charge at which the longest curve ends [Ah].
        relaxation_ohm, relaxation_s: the slow part of the resistance and its time constant.
        typical: the shape is the chemistry's, not the cell's own.
        edge_ah: charge at which an ideal cell is empty at once [Ah]; infinite for others.
    """

    knots_ah: np.ndarray
    open_v: np.ndarray
    ohm: np.ndarray
    bounds_a: np.ndarray
    lowest_a: float
    highest_a: float
    ends_ah: np.ndarray
    last_ah: float
    relaxation_ohm: float
    relaxation_s: float
    typical: bool
    edge_ah: float = math.inf

    def pair(self, current_a):
        """Row of the pair of curves that holds at a current [A], scalar or array."""
        return np.searchsorted(self.bounds_a, current_a)

    def lines(self, drawn_ah, current_a):
        """Zero-current voltage [V] and resistance [ohm] at a charge and a current, arrays."""
        drawn, rows = np.broadcast_arrays(drawn_ah, self.pair(current_a))
        open_v, ohm = np.empty(drawn.shape), np.empty(drawn.shape)
        for row in range(len(self.open_v)):
            here = rows == row
            open_v[here] = np.interp(drawn[here], self.knots_ah, self.open_v[row])
            ohm[here] = np.interp(drawn[here], self.knots_ah, self.ohm[row])
        return open_v, ohm

    def extrapolated(self, drawn_ah, current_a):
        """Whether a point lies beyond what the curves span, scalar or array."""
        drawn, amps = np.broadcast_arrays(drawn_ah, current_a)
        hair = 1e-9
        outside = (amps < self.lowest_a * (1 - hair)) | (amps > self.highest_a * (1 + hair))
        row = np.minimum(self.pair(amps), len(self.ends_ah) - 1)
        low_a = np.concatenate(([self.lowest_a], self.bounds_a))[row]
        past = (drawn > self.ends_ah[row] * (1 + hair)) & (amps > low_a * (1 + hair))
        return outside | past | (drawn > self.last_ah * (1 + hair))


@functools.lru_cache(maxsize=512)
def table(cell, temperature_degc=None):
    """Lines of a cell.

    Args:
        cell: a ``Cell``.
        temperature_degc: temperature [degC]; None is room temperature.

    Raises:
        BadValue: a temperature the cell has no two curves for.
    """
    if temperature_degc is not None:
        number("curves.temperature", temperature_degc)
    curves = [c for c in cell.curves if c.temperature_degc == temperature_degc]
    if len(curves) >= 2:
        return _from_curves(cell, curves)
    if temperature_degc is not None:
        _no_temperature(cell, temperature_degc)
    shape = shapes().get(cell.chemistry)
    return _from_shape(cell, shape) if shape else _flat(cell)


@functools.cache
def shapes():
    """Shapes of the chemistries, per single cell: chemistry -> lines over the share drawn."""
    path = files("packlearn") / "data" / "shapes.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _no_temperature(cell, temperature_degc):
    known = sorted({c.temperature_degc for c in cell.curves if c.temperature_degc is not None})
    listed = ", ".join(f"{degc:g}" for degc in known)
    key = "curves.no_temperature" if known else "curves.room_only"
    raise BadValue(key, value=f"{temperature_degc:g}", limit=listed, cell=cell.title)


# Making the lines.


def rested(cell):
    """Rested voltages [V] of a cell, falling, and the share of its charge left at them.

    The chemistry's measured table where it holds for the cell, else the line at no current down
    to the end voltage. Such a line may rise a little in a knee.
    """
    if not rests_as_measured(cell):
        return _line_left(cell)
    shape = shapes()[cell.chemistry]
    return cell.cells_inside * np.array(shape["rested_v"]), np.array(shape["rested_left"])


@functools.lru_cache(maxsize=512)
def rests_as_measured(cell):
    """Whether the chemistry's table of rested voltages, where there is one, holds for a cell."""
    shape = shapes().get(cell.chemistry, {})
    if "rested_v" not in shape:
        return False
    if shape.get("rested_one_kind", False) or table(cell).typical:
        return True
    # Cathodes differ: the table is for cells whose own curves have the shape measured with it.
    (volts, shares), (shape_v, shape_shares) = (
        _line_left(one) for one in (cell, dataclasses.replace(cell, curves=()))
    )
    off = np.interp(ALIKE, shares[::-1], volts[::-1])
    off -= np.interp(ALIKE, shape_shares[::-1], shape_v[::-1])
    return bool(np.all(np.abs(off) < ALIKE_V * cell.cells_inside))


def _line_left(cell):
    """Voltages [V] at no current down to the end voltage, and the share of the charge left."""
    lines = table(cell)
    volts, knots = lines.open_v[0], lines.knots_ah
    below = np.flatnonzero(volts <= cell.end_voltage_v)
    last = int(below[0]) if below.size else len(volts) - 1
    at = slice(max(last - 1, 0), last + 1)
    whole_ah = float(np.interp(-cell.end_voltage_v, -volts[at], knots[at]))
    inside = (knots > 0) & (knots < whole_ah)
    drawn = np.concatenate(([0.0], knots[inside], [whole_ah]))
    return np.interp(drawn, knots, volts), 1.0 - drawn / whole_ah


def _from_curves(cell, curves):
    """Lines that give two or more measured curves back."""
    knots = np.unique(np.concatenate([_knots(c, cell.relaxation_s) for c in curves]))
    # Two knots a hair apart would be a stretch of no length.
    knots = knots[np.concatenate(([True], np.diff(knots) > 1e-9 * knots[-1]))]
    relax_ohm = cell.relaxation_ohm or 0.0
    volts = np.array([_settled(c, knots, relax_ohm, cell.relaxation_s) for c in curves])
    amps = np.array([c.current_a for c in curves])
    ends = np.array([c.charge_ah[-1] for c in curves])
    ohm, pair_ends = [], []
    _lengthen(volts[0], knots, ends[0])
    for row in range(len(curves) - 1):
        end = min(ends[row], ends[row + 1])
        gap = amps[row + 1] - amps[row]
        slope = (volts[row] - volts[row + 1]) / gap
        _lengthen(slope, knots, end, falls=False)
        slope = np.maximum(slope, relax_ohm + LEAST_OHM)
        _go_on(volts, row, slope * gap, knots, ends)
        ohm.append(slope)
        pair_ends.append(end)
    ohm = np.array(ohm)
    lines = volts[:-1] + ohm * amps[:-1, None]
    more = (amps[1:-1], amps[0], amps[-1], np.array(pair_ends), float(ends.max()))
    return _bounded(cell, knots, lines, ohm, more, typical=False)


def _knots(curve, relax_s):
    """Charges of a curve's points, with more of them while a slow part sets in."""
    charge = np.asarray(curve.charge_ah)
    if relax_s is None:
        return charge
    setting_in = curve.current_a * relax_s / 3600.0 * SETTLING
    return np.concatenate((charge, setting_in[setting_in < charge[-1]]))


def _go_on(volts, row, drop, knots, ends):
    """Go on past the end of the shorter of two curves, in place, by the drop between them."""
    if ends[row + 1] > ends[row]:
        past = (knots > ends[row]) & (knots <= ends[row + 1])
        volts[row][past] = (volts[row + 1] + drop)[past]
    past = knots > ends[row + 1]
    volts[row + 1][past] = (volts[row] - drop)[past]


def _settled(measured, knots, relax_ohm, relax_s):
    """A curve at the knots as it would be had its slow part set in from the start."""
    volts = np.interp(knots, measured.charge_ah, measured.voltage_v)
    if not relax_ohm:
        return volts
    seconds = 3600.0 * knots / measured.current_a
    return volts - relax_ohm * measured.current_a * np.exp(-seconds / relax_s)


def _lengthen(values, knots, end, falls=True):
    """Go on past a curve's end by its last slope, in place."""
    past = knots > end * (1 + 1e-12)
    if not past.any():
        return
    start = np.searchsorted(knots, end * (1 - SLOPE_STRETCH))
    last = np.searchsorted(knots, end * (1 + 1e-12)) - 1
    start = min(start, last - 1) if last > 0 else 0
    rise = values[last] - values[start]
    slope = rise / (knots[last] - knots[start]) if last > start else 0.0
    slope = min(slope, 0.0) if falls else max(slope, 0.0)
    values[past] = values[last] + slope * (knots[past] - knots[last])


def _from_shape(cell, shape):
    """Lines of the chemistry, scaled so that the stated capacity comes back."""
    share = np.array(shape["share"], dtype=float)
    open_v = cell.cells_inside * np.array(shape["open_circuit_v"], dtype=float)
    ohm = np.maximum(cell.resistance_ohm * np.array(shape["resistance_ratio"]), LEAST_OHM)
    amps = cell.capacity_at_a or 0.2 * cell.capacity_ah
    to_v = cell.end_voltage_v if cell.capacity_to_v is None else cell.capacity_to_v
    volts = open_v - ohm * amps
    below = np.flatnonzero(volts <= to_v)
    end = share[-1]
    if below.size and below[0] > 0:
        at = slice(below[0] - 1, below[0] + 1)
        end = float(np.interp(-to_v, -volts[at], share[at]))
    knots = share * (cell.capacity_ah / end)
    more = (np.array([]), 0.0, cell.current_limit_a, knots[-1:], float(knots[-1]))
    return _bounded(cell, knots, open_v[None], ohm[None], more, typical=True)


def _flat(cell):
    """Lines of the rule of thumb: the nominal voltage until it is empty, then nothing flows."""
    # The rise takes no charge worth naming; a step that ends at the edge ends before it.
    knots = cell.capacity_ah * np.array([0.0, 1.0 + EDGE, 1.0 + 2 * EDGE])
    ohm = max(cell.resistance_ohm, LEAST_OHM)
    return Table(
        knots_ah=knots,
        open_v=np.full((1, 3), cell.nominal_voltage_v),
        ohm=np.array([[ohm, ohm, EMPTY_OHM]]),
        bounds_a=np.array([]),
        lowest_a=0.0,
        highest_a=math.inf,
        ends_ah=knots[-1:],
        last_ah=float(knots[-1]),
        relaxation_ohm=0.0,
        relaxation_s=1.0,
        typical=True,
        edge_ah=cell.capacity_ah,
    )


def _bounded(cell, knots, open_v, ohm, more, *, typical):
    """Add a stretch past full and the fall to where a cell driven past empty settles."""
    bounds, lowest, highest, ends, last = more
    shape = shapes().get(cell.chemistry, {})
    floor_v = cell.cells_inside * shape.get("reversed_v", 0.0)
    before = knots[0] - PAST_FULL * cell.capacity_ah
    first = (open_v[:, 1] - open_v[:, 0]) / (knots[1] - knots[0])
    # No steeper than a tenth of the voltage over the stretch: a start spike must not run away.
    rise = np.clip(-first * (knots[0] - before), 0.0, 0.1 * open_v[:, 0])
    tail, tail_v = _tail(cell, knots, open_v, last, floor_v, shape.get("fall_share", FALL_SHARE))
    knots = np.concatenate(([before], knots, tail))
    open_v = np.column_stack((open_v[:, 0] + rise, open_v, tail_v))
    ohm = np.column_stack((ohm[:, 0], ohm, ohm[:, -1], ohm[:, -1]))
    relax = (cell.relaxation_ohm or 0.0, cell.relaxation_s or 1.0)
    return Table(knots, open_v, ohm, bounds, lowest, highest, ends, last, *relax, typical)


def _tail(cell, knots, open_v, last, floor_v, fall_share):
    """Past the curves: by the last slope to the end voltage, then down to the floor."""
    slope = _last_slopes(knots, open_v, last)
    left_v = max(float(open_v[0, -1]) - max(cell.end_voltage_v, floor_v), 0.0)
    on_ah = max(left_v / -float(slope[0]), 1e-9 * last)
    there_v = np.maximum(open_v[:, -1] + slope * on_ah, floor_v)
    fall_ah = fall_share * cell.capacity_ah
    floors = np.full_like(there_v, floor_v)
    tail = knots[-1] + np.array([on_ah, on_ah + fall_ah])
    return tail, np.column_stack((there_v, floors))


def _last_slopes(knots, open_v, last):
    start = min(int(np.searchsorted(knots, last * (1 - SLOPE_STRETCH))), len(knots) - 2)
    slope = (open_v[:, -1] - open_v[:, start]) / (knots[-1] - knots[start])
    # A line that does not fall at its end still has to end some time.
    return np.minimum(slope, -open_v[:, 0] / last)
