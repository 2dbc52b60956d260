"""Discharge curves of a data sheet, and the checks they go through."""

from __future__ import annotations

import math
from dataclasses import dataclass
from numbers import Real

import numpy as np

from packlearn.errors import BadValue

MOST_POINTS = 5000
COLDEST_DEGC, WARMEST_DEGC = -100.0, 200.0


@dataclass(frozen=True)
class Curve:
    """One discharge curve: the voltage of a cell while a constant current empties it.

    Args:
        current_a: the current [A], above 0.
        charge_ah: charge drawn since full [Ah], rising from 0 or a little above.
        voltage_v: terminal voltage [V] at those charges, not rising.
        temperature_degc: temperature of the test [degC]; None: room temperature.

    Raises:
        BadValue: lists of unequal length or in a wrong order, values that are no numbers.
    """

    current_a: float
    charge_ah: tuple[float, ...]
    voltage_v: tuple[float, ...]
    temperature_degc: float | None = None

    def __post_init__(self):
        amps = _number("current_a", self.current_a)
        if not amps > 0:
            raise BadValue("curves.current", value=amps, limit=0)
        charge, volts = (_row(key, getattr(self, key)) for key in ("charge_ah", "voltage_v"))
        if len(charge) != len(volts) or len(charge) < 2:
            raise BadValue("curves.lengths", value=len(charge), limit=len(volts))
        _check_order(charge, volts)
        object.__setattr__(self, "current_a", amps)
        object.__setattr__(self, "charge_ah", charge)
        object.__setattr__(self, "voltage_v", volts)
        if self.temperature_degc is not None:
            degc = _number("temperature_degc", self.temperature_degc)
            if not COLDEST_DEGC < degc < WARMEST_DEGC:
                raise BadValue("curves.temperature_range", value=degc, limit=WARMEST_DEGC)
            object.__setattr__(self, "temperature_degc", degc)


def checked_curves(key, value):
    """Curves of a cell as a tuple, sorted by temperature and current.

    Args:
        key: name of the field.
        value: ``Curve`` objects, or tables with its fields.

    Raises:
        BadValue: no row of curves, two of one current, or voltages that rise with the current.
    """
    if not isinstance(value, list | tuple):
        raise BadValue("curves.no_list", value=repr(value)[:40], field=key)
    curves = sorted((_curve(each) for each in value), key=_place)
    for low, high in zip(curves, curves[1:], strict=False):
        if _warmth(low) == _warmth(high):
            _check_pair(low, high)
    return tuple(curves)


def _place(curve):
    return (_warmth(curve), curve.current_a)


def _warmth(curve):
    return -math.inf if curve.temperature_degc is None else curve.temperature_degc


def _curve(value):
    if isinstance(value, Curve):
        return value
    if not isinstance(value, dict):
        raise BadValue("curves.no_curve", value=repr(value)[:40])
    known = ("current_a", "charge_ah", "voltage_v", "temperature_degc")
    for name in value:
        if name not in known:
            raise BadValue("curves.key", value=repr(name)[:40], limit=", ".join(known))
    for name in known[:3]:
        if name not in value:
            raise BadValue("curves.missing", value=name, limit=", ".join(known[:3]))
    return Curve(**value)


def _check_pair(low, high):
    """More current must mean less voltage at every charge both curves know."""
    if low.current_a == high.current_a:
        raise BadValue("curves.twice", value=low.current_a)
    last = min(low.charge_ah[-1], high.charge_ah[-1])
    charge = np.unique([q for q in (*low.charge_ah, *high.charge_ah) if q <= last])
    drop = np.interp(charge, low.charge_ah, low.voltage_v) - np.interp(
        charge, high.charge_ah, high.voltage_v
    )
    if not np.all(drop > 0):
        at = f"{charge[np.argmin(drop)]:.4g}"
        raise BadValue("curves.cross", value=high.current_a, limit=low.current_a, charge=at)


def _check_order(charge, volts):
    if charge[0] < 0 or any(b <= a for a, b in zip(charge, charge[1:], strict=False)):
        raise BadValue("curves.order", value=_first_out_of_order(charge), limit=0)
    for before, after in zip(volts, volts[1:], strict=False):
        if after > before:
            raise BadValue("curves.rising", value=after, limit=before)


def _first_out_of_order(charge):
    return next((b for a, b in zip(charge, charge[1:], strict=False) if b <= a), charge[0])


def _row(key, value):
    if not isinstance(value, list | tuple | np.ndarray) or len(value) > MOST_POINTS:
        raise BadValue("curves.row", value=repr(value)[:40], limit=MOST_POINTS, field=key)
    return tuple(_number(key, each) for each in value)


def _number(key, value):
    real = isinstance(value, Real | np.number) and not isinstance(value, bool)
    if not real or not math.isfinite(value):
        raise BadValue("curves.number", value=repr(value)[:40], field=key)
    return float(value)
