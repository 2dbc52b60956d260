"""What a cell's discharge curves say of it: voltage, resistance and capacity at any current.

The curves given come back exactly, and between them the voltage at equal charge is linear in
the current (``_tables.py``). A cell without two curves takes its chemistry's shape
(``data/shapes.toml``), scaled to its capacity and resistance; without a shape its voltage stays
at the nominal one until it is empty. Charge is counted as drawn since full, in Ah.
"""

from __future__ import annotations

import numpy as np

from packlearn._tables import rested, rests_as_measured, table
from packlearn.errors import BadValue
from packlearn.rules import number

# A reading off a flat stretch must not miss it by the last bit of a float.
HAIR_V = 1e-12


def is_typical(cell):
    """Whether a cell's curves are its chemistry's, not its own."""
    return table(cell).typical


def is_measured_at_rest(cell):
    """Whether ``charge_left`` of a cell goes by voltages measured at rest.

    So it does for alkaline cells, and for lithium-ion cells with the curves of the measured kind
    or with none. False: it goes by curves under load, by their line at no current.
    """
    return rests_as_measured(cell)


def voltage_v(cell, current_a, drawn_ah):
    """Terminal voltage [V] of one cell under a steady current: ``E(q) - R(q) I``.

    Args:
        cell: a ``Cell``.
        current_a: current [A], scalar or array; negative while charging.
        drawn_ah: charge drawn since full [Ah], scalar or array.
    """
    amps, drawn = np.asarray(current_a, dtype=float), np.asarray(drawn_ah, dtype=float)
    open_v, ohm = table(cell).lines(drawn, amps)
    return _plain(open_v - ohm * amps)


def open_circuit_v(cell, drawn_ah):
    """Voltage [V] of one cell with no load, after a rest.

    Args:
        cell: a ``Cell``.
        drawn_ah: charge drawn since full [Ah], scalar or array.
    """
    return voltage_v(cell, 0.0, drawn_ah)


def resistance_ohm(cell, drawn_ah, current_a=0.0):
    """Resistance [ohm] of one cell by its curves: what a long load meets, slow part included.

    Args:
        cell: a ``Cell``.
        drawn_ah: charge drawn since full [Ah], scalar or array.
        current_a: current [A]; matters where there are three curves or more.
    """
    drawn, amps = np.asarray(drawn_ah, dtype=float), np.asarray(current_a, dtype=float)
    return _plain(table(cell).lines(drawn, amps)[1])


def capacity_ah(cell, current_a, to_v=None):
    """Charge [Ah] one cell gives at a constant current down to a voltage.

    Args:
        cell: a ``Cell``.
        current_a: current [A], 0 or more.
        to_v: voltage [V]; None takes the cell's end voltage.

    Returns:
        Charge [Ah]; 0 where the voltage stands below ``to_v`` from the start.
    """
    number("curves.load", current_a, least=0)
    return _crossing_ah(table(cell), current_a, _stop_v(cell, to_v))


def curve(cell, current_a, to_v=None, points=120):
    """Discharge curve at a constant current, for drawing.

    Args:
        cell: a ``Cell``.
        current_a: current [A], 0 or more.
        to_v: voltage it ends at [V]; None takes the cell's end voltage.
        points: most points.

    Returns:
        Charge drawn [Ah] and voltage [V], arrays of one length.
    """
    lines = table(cell)
    last_ah = capacity_ah(cell, current_a, to_v)
    knots = lines.knots_ah[(lines.knots_ah > 0) & (lines.knots_ah < last_ah)]
    drawn = np.unique(np.concatenate(([0.0], knots, [last_ah])))
    if len(drawn) > points:
        drawn = np.linspace(0.0, last_ah, points)
    return drawn, np.asarray(voltage_v(cell, current_a, drawn))


def charge_left(cell, voltage_v, error_v=0.0):
    """Share of the charge a rested voltage may stand for.

    Args:
        cell: a ``Cell``.
        voltage_v: reading [V] of one cell with no load, rested.
        error_v: how far the reading may be off [V] to either side.

    Returns:
        Lowest and highest share left, 0 to 1, of what the cell gives down to its end voltage.

    It goes by voltages measured at rest where there are some (``is_measured_at_rest``), else by
    the line at no current, which comes from curves under load and may be ten per cent of the
    charge off. Lithium-ion cells of different cathodes differ more than that: at 3.64 V one
    measured kind has 12 % left, another published kind 38 %.
    """
    number("curves.reading", voltage_v)
    number("curves.reading_error", error_v, least=0)
    volts, shares = rested(cell)
    return _span(volts[::-1], shares[::-1], voltage_v, error_v)


def share_at(table_v, table_share, voltage_v, error_v=0.0):
    """Share left that a voltage stands for in a table of rested voltages.

    Args:
        table_v: rested voltages [V], not falling, (M,).
        table_share: shares left at those voltages, 0 to 1 (or per cent), rising, (M,).
        voltage_v: the reading [V].
        error_v: how far the reading may be off [V] to either side.

    Returns:
        Lowest and highest share; within the table's ends.

    Raises:
        BadValue: a table out of order, or a reading that is no number.
    """
    number("curves.reading", voltage_v)
    number("curves.reading_error", error_v, least=0)
    volts, shares = np.asarray(table_v, dtype=float), np.asarray(table_share, dtype=float)
    if volts.shape != shares.shape or volts.ndim != 1 or len(volts) < 2:
        raise BadValue("curves.lengths", value=shares.size, limit=volts.size)
    if np.any(np.diff(volts) < 0) or np.any(np.diff(shares) <= 0):
        raise BadValue("curves.table_order", value=repr(table_v)[:40])
    return _span(volts, shares, voltage_v, error_v)


def _span(volts, shares, voltage_v, error_v):
    """Lowest and highest share at which a line comes to lie within a reading's error.

    A line may fall for a while as the share rises: from the empty end the first share that is
    high enough counts, from the full end the first that is low enough.
    """
    low = _first_share(volts, shares, voltage_v - error_v)
    high = -_first_share(-volts[::-1], -shares[::-1], -(voltage_v + error_v))
    return low, high


def _first_share(volts, shares, at_v):
    """Smallest share at which the voltage reaches a value."""
    reached = np.flatnonzero(volts >= at_v - HAIR_V)
    place = int(reached[0]) if reached.size else len(volts)
    if place == 0 or place == len(volts):
        return float(shares[min(place, len(volts) - 1)])
    rise = volts[place] - volts[place - 1]
    part = min((at_v - volts[place - 1]) / rise, 1.0)
    return float(shares[place - 1] + part * (shares[place] - shares[place - 1]))


def _plain(values):
    return np.asarray(values).item() if np.ndim(values) == 0 else values


def _stop_v(cell, to_v):
    return cell.end_voltage_v if to_v is None else number("curves.to_v", to_v)


def _crossing_ah(lines, current_a, to_v):
    """Charge at which the voltage at a current first falls to a value."""
    row = int(lines.pair(current_a))
    volts = lines.open_v[row] - lines.ohm[row] * current_a
    volts, knots = _from_zero(lines.knots_ah, volts)
    below = np.flatnonzero(volts <= to_v)
    if not below.size:
        return float(knots[-1])
    last = int(below[0])
    if last == 0:
        return 0.0
    fall = volts[last - 1] - volts[last]
    part = (volts[last - 1] - to_v) / fall
    return float(knots[last - 1] + part * (knots[last] - knots[last - 1]))


def _from_zero(knots, volts):
    start = np.interp(0.0, knots, volts)
    ahead = knots > 0
    return np.concatenate(([start], volts[ahead])), np.concatenate(([0.0], knots[ahead]))
