"""Cells that hold less or have more resistance than new: their curves, worked out.

The zero-current line stays where it was at equal share of the charge; the drop from it to each
curve grows with the resistance. Currents shrink with the capacity, so that each curve stays at
its C-rate.
"""

import dataclasses

import numpy as np

from packlearn._curve_checks import MOST_POINTS
from packlearn._tables import table
from packlearn.errors import BadValue
from packlearn.rules import number

MOST_RESISTANCE = 100.0
# How far a stated capacity may lie from the end of the curves, as a share: another end voltage
# or the spread of a kind makes some per cent, another cell more.
MOST_APART = 0.25
# A curve counts as one at a current that lies within this factor.
NEAR_A = 1.25


def check_capacity(cell):
    """Raise BadValue where the stated capacity and the charge of the curves lie far apart.

    Only where there is a curve at about the current that the capacity holds at.
    """
    known = [c for c in cell.curves if c.temperature_degc is None]
    amps = np.array([c.current_a for c in known])
    at_a = cell.capacity_at_a
    if at_a is None or not amps.size or not amps[0] / NEAR_A < at_a < amps[-1] * NEAR_A:
        return
    ends_ah = float(np.interp(at_a, amps, [c.charge_ah[-1] for c in known]))
    if abs(cell.capacity_ah / ends_ah - 1.0) > MOST_APART:
        limit = f"{ends_ah:.4g}"
        raise BadValue("curves.capacity", value=f"{cell.capacity_ah:.4g}", limit=limit)


def aged_fields(cell, capacity, resistance):
    """Fields of a cell that change with age.

    Args:
        cell: a ``Cell``.
        capacity: share of its capacity that is left, above 0 to 1.
        resistance: its resistance as a multiple of that of the cell, above 0 to 100.

    Raises:
        BadValue: a share or a multiple out of these bounds.
    """
    capacity = _checked("curves.aged_capacity", capacity, 1.0)
    resistance = _checked("curves.aged_resistance", resistance, MOST_RESISTANCE)
    factors = {
        "capacity_ah": capacity,
        "capacity_at_a": capacity,
        "resistance_ohm": resistance,
        "relaxation_ohm": resistance,
        # Resistance times charge for a volt: a time constant grows with both.
        "relaxation_s": capacity * resistance,
    }
    given = {key: getattr(cell, key) for key in factors}
    fields = {key: factors[key] * value for key, value in given.items() if value is not None}
    return fields | {"curves": tuple(_aged(cell, c, capacity, resistance) for c in cell.curves)}


def _checked(key, value, most):
    value = number(key, value, above=0)
    if value > most:
        raise BadValue(key, value=value, limit=0)
    return value


def _aged(cell, curve, capacity, resistance):
    """One curve of the aged cell."""
    gain = capacity * resistance
    charge, volts = np.array(curve.charge_ah), np.array(curve.voltage_v)
    # A rounding of 1.25 * 0.8 must not touch the curve.
    if abs(gain - 1.0) > 1e-12:
        charge = _points(cell, curve)
        volts = _lowered(cell, curve, charge, gain)
    return dataclasses.replace(
        curve,
        current_a=capacity * curve.current_a,
        charge_ah=tuple(capacity * charge),
        voltage_v=tuple(volts),
    )


def _points(cell, curve):
    """Charges [Ah] at which a curve or the zero-current line under it may bend."""
    own = np.array(curve.charge_ah)
    all_ah = np.unique(np.concatenate([c.charge_ah for c in _alike(cell, curve)]))
    inside = all_ah[(all_ah >= own[0]) & (all_ah <= own[-1])]
    return inside if len(inside) <= MOST_POINTS else own


def _lowered(cell, curve, charge, gain):
    """Voltages of a curve whose drop from the zero-current line is so many times as large."""
    slow_v, later_v = _slow_part(cell, curve, charge, gain)
    settled = np.interp(charge, curve.charge_ah, curve.voltage_v) - slow_v
    if len(_alike(cell, curve)) < 2:
        open_v = settled + cell.resistance_ohm * curve.current_a
    else:
        open_v = table(cell, curve.temperature_degc).lines(charge, 0.0)[0]
    # A curve may not rise; one flatter than the zero-current line would begin to.
    return np.minimum.accumulate(open_v - gain * (open_v - settled) + later_v)


def _alike(cell, curve):
    return [c for c in cell.curves if c.temperature_degc == curve.temperature_degc]


def _slow_part(cell, curve, charge, gain):
    """What a slow part of the resistance still lacks [V] at some charges: new, and aged."""
    drop_v = (cell.relaxation_ohm or 0.0) * curve.current_a
    if not drop_v:
        return 0.0, 0.0
    constants = 3600.0 * charge / (curve.current_a * cell.relaxation_s)
    return drop_v * np.exp(-constants), gain * drop_v * np.exp(-constants / gain)
