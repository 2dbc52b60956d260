"""The checks a cell goes through: single fields, then one field against another."""

from __future__ import annotations

import difflib
import functools
import math
import re
from dataclasses import dataclass
from numbers import Real
from types import MappingProxyType

from packlearn._curve_checks import checked_curves
from packlearn.errors import BadValue
from packlearn.words import say, word

# The usual limit of extra-low voltage for DC; from memory of IEC 62368-1.
HIGHEST_PACK_VOLTAGE_V = 60.0


@dataclass(frozen=True)
class Chemistry:
    """What holds for every cell of a chemistry, voltages per single cell.

    Args:
        full_voltage_v: straight off the charger, or fresh [V].
        end_voltage_v: cut-off under load [V].
        rechargeable: whether it may be charged.
        ready_made_only: built only as ready-made protected pack.
    """

    full_voltage_v: float
    end_voltage_v: float
    rechargeable: bool
    ready_made_only: bool = False


# Typical, from memory; the catalogue's cells carry their own notes.
CHEMISTRIES = MappingProxyType(
    {
        "NiMH": Chemistry(1.45, 1.0, True),
        "NiCd": Chemistry(1.45, 1.0, True),
        "alkaline": Chemistry(1.6, 0.8, False),
        "zinc-carbon": Chemistry(1.65, 0.8, False),
        "Li-FeS2": Chemistry(1.8, 0.8, False),
        "Li-MnO2": Chemistry(3.3, 2.0, False),
        "Li-ion": Chemistry(4.2, 2.5, True, True),
        "LiFePO4": Chemistry(3.65, 2.0, True, True),
        "lead-acid": Chemistry(2.45, 1.75, True),
    }
)


# Checks of single fields. Each takes the field's name and value and returns the value to keep.


def shown(value):
    """Text for a message, at most 40 printable characters."""
    try:
        text = str(value)
    except ValueError:  # an int too long to write out
        text = type(value).__name__
    text = "".join(c if c.isprintable() else "?" for c in text[:41])
    return text if len(text) <= 40 else text[:39] + "…"


def closest(name, names):
    """The one of the names that looks most like a name, or None."""
    tidy = shown(name).strip().lower().replace(" ", "-").replace("_", "-")
    plain = {known.lower().replace("_", "-"): known for known in names}
    return next((plain[c] for c in difflib.get_close_matches(tidy, plain, 1)), None)


def bad(problem, key, value, limit=None, **more):
    """BadValue about one field of a cell."""
    return BadValue(f"cells.{problem}", value=shown(value), limit=limit, field=key, **more)


def _text(key, value, most=300):
    # Spaces that do not break ("9 V") count as printable here.
    if not isinstance(value, str) or len(value) > most or not _SPACES.sub("", value).isprintable():
        raise bad("text", key, value, most)
    kind = key.rpartition("_")[2]
    return word("cells.texts").get(kind, {}).get(value, value)


def _name(key, value):
    if not isinstance(value, str) or not value.strip():
        raise bad("no_text", key, value, 40)
    return _text(key, value, 40)


_SPACES = re.compile("[\u00a0\u202f]")
_TYPED = re.compile(r"\s*\+?(\d{1,9}(?:[.,]\d{1,9})?)\s*([^\W\d]*)\s*")
_PREFIX = {"": 1.0, "m": 1e-3, "k": 1e3}


def _number_mend(key, value):
    """What to write instead of a value that is no number, as far as one can tell."""
    unit = key.rpartition("_")[2]
    number, name = _typed_number(value, unit)
    if number is None:
        return say("cells.mend.number", unit=word(f"cells.units.{unit}"))
    mend = "unit" if name else "comma" if "," in value else "quotes"
    return say(f"cells.mend.{mend}", number=f"{number:g}", unit=word(f"cells.units.{unit}"))


def _typed_number(value, unit):
    """Number and unit's name in a text such as "1900 mAh"; None where one would have to guess."""
    typed = _TYPED.fullmatch(value) if isinstance(value, str) else None
    if not typed or re.search(r",\d{3}$", typed[1]) or typed[2].startswith("M"):
        return None, ""
    name = typed[2].casefold().replace("ω", "ohm")
    prefix = name.removesuffix(unit)
    if name and (not name.endswith(unit) or prefix not in _PREFIX):
        return None, ""
    return float(typed[1].replace(",", ".")) * _PREFIX[prefix], name


def _number(key, value, zero=False):
    if isinstance(value, bool) or not isinstance(value, Real):
        raise bad("no_number", key, value, mend=_number_mend(key, value))
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number) or number < 0 or (number == 0 and not zero):
        limit = word("cells.from_zero" if zero else "cells.above_zero")
        raise bad("number", key, value, limit, mend=_number_mend(key, None))
    return number


def _numbers(key, value, counts):
    if not isinstance(value, list | tuple) or len(value) not in counts:
        raise bad("numbers", key, value, word(f"cells.numbers_of.{key}"))
    return tuple(_number(key, each) for each in value)


def _count(key, value, most=999):
    real = isinstance(value, Real) and not isinstance(value, bool)
    if not real or not 1 <= value <= most or value != int(value):
        raise bad("count", key, value, most)
    return int(value)


def _yes_no(key, value):
    if not isinstance(value, bool):
        raise bad("yes_no", key, value)
    return value


def _sources(key, value):
    if not isinstance(value, dict):
        raise bad("sources", key, value)
    for name in value:
        check_key(name)
    return {name: _text(key, note) for name, note in value.items()}


CHECKS = {
    "name": _name,
    "chemistry": _name,
    "nominal_voltage_v": _number,
    "capacity_ah": _number,
    "current_limit_a": _number,
    "resistance_ohm": functools.partial(_number, zero=True),
    "full_voltage_v": _number,
    "end_voltage_v": _number,
    "rested_voltage_v": functools.partial(_numbers, counts=(2,)),
    "title": functools.partial(_text, most=60),
    "capacity_at_a": _number,
    "capacity_to_v": _number,
    "resistance_meaning": _text,
    "mass_g": _number,
    "size_mm": functools.partial(_numbers, counts=(2, 3)),
    "price_class": functools.partial(_count, most=5),
    "rechargeable": _yes_no,
    "cells_inside": _count,
    "max_series": _count,
    "max_series_reason": _text,
    "max_parallel": _count,
    "max_parallel_reason": _text,
    "ready_made_only": _yes_no,
    "curves": checked_curves,
    "relaxation_ohm": functools.partial(_number, zero=True),
    "relaxation_s": _number,
    "sources": _sources,
}


REQUIRED = (
    "name",
    "chemistry",
    "nominal_voltage_v",
    "capacity_ah",
    "current_limit_a",
    "resistance_ohm",
)


def check_key(key):
    """Raise BadValue, with the closest key, unless a cell has such a key."""
    known = [each for each in CHECKS if each != "name"]
    if key not in known:
        close = closest(key, known)
        problem = "unknown_key_close" if close else "unknown_key"
        raise bad(problem, key, key, ", ".join(known), closest=close)


# A whole cell.


def checked(values):
    """Values of a cell, each checked and the missing ones filled in.

    Args:
        values: field name -> value as given, None where nothing was given.

    Returns:
        Field name -> value to keep.

    Raises:
        BadValue: the first value that cannot be right.
    """
    given = {
        key: CHECKS[key](key, value)
        for key, value in values.items()
        if value is not None or key in REQUIRED
    }
    whole = _filled({**values, **given})
    _check_voltages(whole)
    _check_series(whole)
    _check_relaxation(whole)
    return whole | _parallel(whole)


def _filled(cell):
    """Fill in what the chemistry decides; refuse what contradicts it."""
    spelling = {name.casefold(): name for name in CHEMISTRIES}
    chemistry = spelling.get(cell["chemistry"].casefold(), cell["chemistry"])
    known = CHEMISTRIES.get(chemistry)
    more = {"chemistry": chemistry, "title": cell["title"] or _text("title", cell["name"])}
    for key in ("full_voltage_v", "end_voltage_v"):
        if cell[key] is None:
            if not known:
                raise bad("chemistry", "chemistry", chemistry, ", ".join(CHEMISTRIES))
            more[key] = round(getattr(known, key) * cell["cells_inside"], 6)
    if known and cell["rechargeable"] is None:
        more["rechargeable"] = known.rechargeable
    if known and cell["rechargeable"] and not known.rechargeable:
        raise bad("charged_primary", "rechargeable", "true", chemistry)
    more["ready_made_only"] = cell["ready_made_only"] or bool(known and known.ready_made_only)
    return cell | more


def _check_voltages(cell):
    nominal_v, full_v = cell["nominal_voltage_v"], cell["full_voltage_v"]
    for key in ("end_voltage_v", "capacity_to_v"):
        if cell[key] is not None and not cell[key] < nominal_v:
            raise bad("end_voltage", key, cell[key], nominal_v)
    if not nominal_v <= full_v:
        raise bad("full_voltage", "full_voltage_v", full_v, nominal_v)
    low_v, high_v = cell["rested_voltage_v"] or (0, 0)
    if not low_v <= high_v <= full_v:
        raise bad("rested", "rested_voltage_v", [low_v, high_v], full_v)


def _check_series(cell):
    # A hair of room: 60 V exactly must not fail by the last bit of a float.
    most = int(HIGHEST_PACK_VOLTAGE_V / cell["full_voltage_v"] + 1e-9)
    if cell["max_series"] is not None and cell["max_series"] > most:
        raise bad("too_high", "max_series", cell["max_series"], most, volts=cell["full_voltage_v"])


def _check_relaxation(cell):
    if cell["relaxation_ohm"] and cell["relaxation_s"] is None:
        raise bad("relaxation", "relaxation_s", None)


def _parallel(cell):
    """Keep cells that are not charged out of parallel."""
    if cell["rechargeable"]:
        return {}
    if cell["max_parallel"] not in (None, 1):
        raise bad("primary_parallel", "max_parallel", cell["max_parallel"], 1)
    reason = cell["max_parallel_reason"] or _text("max_parallel_reason", "primary-parallel")
    return {"max_parallel": 1, "max_parallel_reason": reason}
