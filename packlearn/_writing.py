"""Values with their units, as a learner reads them. ``quantities.py`` is the public face.

pint is not needed here: pictures write values on every move of a slider.
"""

import math

from packlearn import _units
from packlearn._numbers import plain, rounded
from packlearn.words import word

# Below this a value in its asked unit is the dust of computing and written as 0.
DUST = 1e-12

# Units to write a value in: from this size up, so many to the asked unit, symbol.
LADDERS = {
    "V": ((0.1, 1, "V"), (0, 1e3, "mV")),
    "A": ((0.1, 1, "A"), (1e-4, 1e3, "mA"), (0, 1e6, "µA")),
    "Ah": ((0.1, 1, "Ah"), (0, 1e3, "mAh")),
    "W": ((1e4, 1e-3, "kW"), (0.1, 1, "W"), (1e-4, 1e3, "mW"), (0, 1e6, "µW")),
    "Wh": ((1e4, 1e-3, "kWh"), (0.1, 1, "Wh"), (0, 1e3, "mWh")),
    "ohm": ((1e6, 1e-6, "Mohm"), (1e3, 1e-3, "kohm"), (0.01, 1, "ohm"), (0, 1e3, "mohm")),
    "m": ((0.1, 1, "m"), (0.01, 100, "cm"), (0, 1e3, "mm")),
    "g": ((1e3, 1e-3, "kg"), (0.1, 1, "g"), (0, 1e3, "mg")),
}


def write(value, unit, digits=3):
    """Value with its unit, as a learner reads it: ``1.36 V``, ``50 mA``, ``1 h 36 min``.

    A 5 is rounded up; zeros after the point are dropped; counts are never rounded.

    Args:
        value: a number [``unit``], Python's or numpy's, no array.
        unit: one of ``KINDS``. Small and large values change to mA, kohm, days and so on.
        digits: significant digits. With four or more, ``read`` may ask back (1.234 V).

    Raises:
        UnknownName: ``unit`` is not one of ``KINDS``.
    """
    _units.check_asked(unit)
    value = float(value)
    if unit in _units.TIMES and math.isfinite(value) and abs(value) >= DUST:
        return _write_time(value * (3600 if unit == "h" else 1), digits)
    for least, factor, symbol in LADDERS.get(unit, ()):
        if abs(value) >= max(least, DUST):
            return write_plain(value * factor, symbol, digits)
    return write_plain(value, unit, digits)


def write_plain(value, unit, digits=3):
    """Value in the unit given: ``9.5 h``, ``0.05 A``, ``15 cells``.

    Args:
        value: a number [``unit``], Python's or numpy's, no array.
        unit: any symbol, such as ``"mAh"``.
        digits: significant digits.
    """
    value = float(value)
    if not math.isfinite(value):
        return word("quantities.unknown" if math.isnan(value) else "quantities.endless")
    if abs(value) < DUST:
        value = 0.0
    exact = unit in _units.COUNTED and value == int(value)
    return _units.with_unit(plain(value, 12 if exact else digits), unit)


def _write_time(seconds, digits):
    """Seconds below a minute, then min and s, min, h and min, d and h, days, years.

    The steps keep every time within 2 %, the tolerance of the marking.
    """
    if seconds < 0:
        return "-" + _write_time(-seconds, digits)
    minutes, hours = _whole(seconds / 60), _whole(seconds / 3600)
    if rounded(seconds, digits) < 60:
        in_ms = seconds < 0.1
        return write_plain(seconds * 1000 if in_ms else seconds, "ms" if in_ms else "s", digits)
    if _whole(seconds) < 25 * 60:
        return _two_units(_whole(seconds), 60, ("min", "s"))
    if minutes < 48 * 60:
        return _two_units(minutes, 60, ("h", "min"))
    if hours < 30 * 24:
        return _two_units(hours, 24, ("d", "h"))
    days = seconds / 86400
    if days < 2 * 365.25:
        return _units.with_unit(str(_whole(days)), "d")
    return write_plain(days / 365.25, "year", digits)


def _whole(value):
    return math.floor(float(f"{value:.12g}") + 0.5)


def _two_units(count, size, units):
    pairs = zip(divmod(count, size), units, strict=True)
    return " ".join(f"{part} {unit}" for part, unit in pairs if part)
