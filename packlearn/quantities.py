"""Numbers as people write them, to floats and back: "6,2 V", "1900 mAh", "1 h 30 min".

``read`` takes what a learner typed and the unit a question asks for. It never
guesses: where a text can mean two things, it asks back. ``write`` is the way
back, with sensible digits. The spellings that work stand in ``data/units.txt``.
"""

import functools
import math
import re
from dataclasses import dataclass
from types import MappingProxyType

from packlearn import _units
from packlearn._numbers import (
    NUMBER,
    AmbiguousNumber,
    BadName,
    MissingUnit,
    NoNumber,
    UnknownUnit,
    either,
    in_range,
    number,
    plain,
    shown,
    tidy,
    unmistakable,
)
from packlearn._writing import write, write_plain
from packlearn.words import say, word

__all__ = [
    "KINDS",
    "AmbiguousNumber",
    "BadName",
    "MissingUnit",
    "NoNumber",
    "Reading",
    "UnknownUnit",
    "read",
    "read_name",
    "write",
    "write_plain",
]

LARGEST_COUNT = 999

KINDS = MappingProxyType(word("quantities.kinds"))
"""Unit a question can ask for -> its quantity in plain words, such as ``"a voltage"``."""

# A second unit for the mend of a missing one: "Write 6.2 V or 6200 mV."
_SECOND = {
    "V": "mV", "A": "mA", "Ah": "mAh", "W": "mW", "Wh": "mWh", "ohm": "mohm",
    "h": "min", "s": "min", "m": "cm", "g": "kg",
}  # fmt: skip

_QUANTITY = re.compile(rf"{NUMBER} ?(?P<unit>[^\d]*)")
_RATE = re.compile(rf"[cC] ?/ ?{NUMBER}(?: ?h)?")
_CLOCK = re.compile(r"(?P<first>\d{1,3}):(?P<second>[0-5]\d) ?(?P<unit>[^\d]*)")
_TIME_PART = re.compile(r"(?P<number>\d{1,6}(?:[.,]\d{1,2})?) ?(?P<unit>[A-Za-z]+)(?: and |, ?| ?)")
_BARE_MINUTES = re.compile(r".*\d ?[hH] ?[0-5]\d")
_S, _P = r"(?P<series>\d+) ?[sS]", r"(?P<parallel>\d+) ?[pP]"
_WHOLE_NAMES = (re.compile(f"{_S}[ -]?{_P}"), re.compile(f"{_P}[ -]?{_S}"))
_HALF_NAMES = (re.compile(_S), re.compile(_P))


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What was understood of a typed text.

    Attributes:
        value: the number, in ``unit``.
        unit: the unit asked for; if a unit of another kind was typed, the base unit of that kind.
        typed: the text as it was typed, without spaces around it.
        same_kind: whether the unit is of the kind asked for.
        says: one sentence for the learner, such as "Understood as 6200 mV = 6.2 V."
        digits: how many significant digits were typed (zeros at the end count).
        decimals: how many digits were typed after the point or comma.
        step: what one more in the last digit that counts would add, in ``unit``; zeros at the
            end of a whole number count only as far as it has two digits.
    """

    value: float
    unit: str
    typed: str
    same_kind: bool
    says: str
    digits: int
    decimals: int
    step: float


@dataclass(frozen=True, kw_only=True)
class _Typed:
    """A number in the unit it was typed in; ``simple`` if nothing had to be worked out."""

    value: float
    name: str
    shown: str
    digits: int
    step: float
    decimals: int = 0
    simple: bool = False


def read(text, unit):
    """Number with its unit, as a learner types it.

    Args:
        text: what was typed, at most 60 characters; comma or point for the decimals.
        unit: unit the question asks for, one of ``KINDS``.

    Returns:
        A ``Reading``. A unit of another kind is no error: ``same_kind`` is then False.

    Raises:
        NoNumber: it cannot be read.
        MissingUnit: the unit is missing; counts and plain numbers need none.
        AmbiguousNumber: it can mean two things, such as ``1,900 mAh`` and ``1,500.5``.
        UnknownUnit: the unit is not in ``data/units.txt``.
        UnknownName: ``unit`` is not one of ``KINDS``.
    """
    _units.check_asked(unit)
    forms = _any_of(tuple(word("quantities.forms")[unit]))
    line = tidy(text, forms)
    if _looks_like_name(line):
        raise NoNumber("quantities.is_a_name", value=line, limit=KINDS[unit])
    for form in (_read_clock, _read_rate, _read_one, _read_times):
        typed = form(line, unit, forms)
        if typed:
            return _reading(typed, text.strip(), unit, forms)
    raise _not_read(line, forms)


def example_values(unit):
    """Values of the examples that are shown where a number cannot be read.

    Args:
        unit: unit a question asks for.

    Returns:
        Floats in that unit.
    """
    return [read(text, unit).value for text in word("quantities.forms")[unit]]


@functools.lru_cache(maxsize=64)
def _any_of(texts):
    return functools.reduce(lambda one, more: say("quantities.or", first=one, second=more), texts)


def _looks_like_name(line):
    # A small "5 s" may be seconds; with a capital it is half a name.
    half = line[-1] in "SP" and any(form.fullmatch(line) for form in _HALF_NAMES)
    return half or any(form.fullmatch(line) for form in _WHOLE_NAMES)


def _not_read(line, forms):
    return NoNumber("quantities.no_number", value=shown(line), limit=forms)


def _read_clock(line, asked, forms):
    """``1:30 h``; without the h it is asked back."""
    found = _CLOCK.fullmatch(line)
    if not found:
        return None
    first, second, name = found["first"], found["second"], _units.named(found["unit"])
    if name == "hour":
        value = int(first) + int(second) / 60
        said = f"{int(first)} h {int(second)} min"
        digits = len(first + second)
        return _Typed(value=value, name=name, shown=said, digits=digits, step=1 / 60)
    if name == "minute" or (asked in _units.TIMES and not found["unit"]):
        both = [f"{int(first)} {a} {int(second)} {b}" for a, b in (("h", "min"), ("min", "s"))]
        raise AmbiguousNumber("quantities.clock", value=shown(line), limit=either(both))
    return None


def _read_rate(line, asked, forms):
    """``C/5``: the current that takes five hours."""
    found = _RATE.fullmatch(line)
    if not found:
        return None
    hours = number(found, line, forms, "C/{}".format)
    if hours.value == 0:
        raise _not_read(line, forms)
    step = _step(1 / hours.value, hours.digits)
    said, digits = f"C/{hours.text}", hours.digits
    return _Typed(value=1 / hours.value, name="c_rate", shown=said, digits=digits, step=step)


def _step(value, digits, whole=False):
    """What one more in the last of so many digits adds; zeros may fill a whole number up."""
    if value == 0:
        return 10.0 ** (1 - digits)
    step = 10.0 ** (math.floor(math.log10(abs(value)) + 1e-9) - digits + 1)
    count = round(abs(value) / step)
    while whole and count >= 100 and count % 10 == 0:
        step, count = 10 * step, count // 10
    return step


def _read_one(line, asked, forms):
    """A number and a unit."""
    found = _QUANTITY.fullmatch(line)
    if not found or not re.match("$|[%°]", found["unit"]) and not found["unit"][0].isalpha():
        return None
    name = _unit_typed(found["unit"].strip(), asked)
    unit = _units.symbol(name) if name else asked
    typed = number(found, line, forms, lambda text: _units.with_unit(text, unit))
    if name is None and asked not in _units.COUNTED:
        raise MissingUnit("quantities.missing_unit", value=shown(line), limit=_mend(typed, asked))
    if name == "metre" and asked in _units.TIMES:
        raise _minutes_or_metres(typed, line)
    return _Typed(
        value=typed.value,
        name=name or _units.asked_name(asked),
        shown=_units.with_unit(typed.text, unit),
        digits=typed.digits,
        step=_step(typed.value, typed.digits, whole=not typed.decimals),
        decimals=typed.decimals,
        simple="e" not in typed.text,
    )


def _unit_typed(text, asked):
    """Name of a typed unit, None for no text."""
    name = _units.named(text)
    if text and not name:
        key = "quantities.unknown_unit_none" if asked == "" else "quantities.unknown_unit"
        limit = (
            _any_of(tuple(word("quantities.forms")[""])) if asked == "" else _units.that_work(asked)
        )
        raise UnknownUnit(key, value=shown(text), kind=KINDS[asked], limit=limit)
    return name


def _mend(typed, asked):
    """A bare number with the units it may have: ``6.2 V or 6200 mV``."""
    mends = [_units.with_unit(unmistakable(typed.text), asked)]
    if asked == "%" and abs(typed.value) <= 1:
        mends.insert(0, _units.with_unit(unmistakable(plain(typed.value * 100)), "%"))
    second = _SECOND.get(asked)
    if second:
        value = _units.converted(typed.value, _units.asked_name(asked), _units.named(second))
        text = plain(value)
        if text == plain(value, 6) == unmistakable(text):
            mends.append(_units.with_unit(text, second))
    return either(mends)


def _minutes_or_metres(typed, line):
    limit = _units.with_unit(unmistakable(typed.text), "min")
    return AmbiguousNumber("quantities.minutes", value=shown(line), limit=limit)


def _read_times(line, asked, forms):
    """``1 h 30 min``, ``2 d 4 h``, ``1h30``: larger units first, decimals in the last only."""
    line += " min" if _BARE_MINUTES.fullmatch(line) else ""
    sign = "-" if line[0] == "-" else ""
    line = line.lstrip("+-").strip()
    parts = list(_TIME_PART.finditer(line))
    if len(parts) < 2 or "".join(part[0] for part in parts) != line:
        return None
    names = ["minute" if part["unit"] == "m" else _units.named(part["unit"]) for part in parts]
    if not all(map(_units.is_time, names)) or not _descending(names):
        return None
    numbers = [part["number"].replace(",", ".") for part in parts]
    if not all(text.isdigit() for text in numbers[:-1]):
        return None
    pairs = list(zip(numbers, names, strict=True))
    hours = sum(_units.converted(float(text), name, "hour") for text, name in pairs)
    said = " ".join(_units.with_unit(text, _units.symbol(name)) for text, name in pairs)
    digits = len("".join(numbers).replace(".", "").lstrip("0")) or 1
    decimals = len(numbers[-1].partition(".")[2])
    return _Typed(
        value=float(sign + repr(hours)),
        name="hour",
        shown=sign + said,
        digits=digits,
        step=_units.converted(10.0**-decimals, names[-1], "hour"),
    )


def _descending(names):
    sizes = [_units.converted(1.0, name, "second") for name in names]
    return all(large > small for large, small in zip(sizes, sizes[1:], strict=False))


def _reading(typed, text, asked, forms):
    same = _units.same_kind(typed.name, asked)
    unit = asked if same else _units.base_unit(typed.name)
    value = _units.converted(typed.value, typed.name, _units.asked_name(unit))
    return Reading(
        value=in_range(value, text, forms),
        unit=unit,
        typed=text,
        same_kind=same,
        says=_says(typed, value, unit) if same else _says_other(typed, asked),
        digits=typed.digits,
        decimals=typed.decimals,
        step=_units.converted(typed.step, typed.name, _units.asked_name(unit)),
    )


def _says(typed, value, unit):
    if unit == "cells" and value != int(value):
        return say("quantities.not_whole", shown=typed.shown)
    if typed.simple and typed.name in (_units.asked_name(unit), "cell"):
        return say("quantities.understood", shown=typed.shown)
    digits = max(typed.digits, 3, len(str(int(abs(value)))))
    text = _units.with_unit(plain(value, digits), unit)
    return say("quantities.converted", shown=typed.shown, value=text)


def _says_other(typed, asked):
    key = "quantities.other_kind_no_unit" if asked in _units.COUNTED else "quantities.other_kind"
    kind = KINDS[_units.base_unit(typed.name)]
    return say(key, shown=typed.shown, kind=kind, asked=KINDS[asked], unit=asked)


def read_name(text):
    """Series and parallel count of a pack's name.

    Args:
        text: ``5S3P``, ``5s 3p``, ``3P5S``; ``5S`` means 5S1P and ``3P`` means 1S3P.

    Returns:
        ``(series, parallel)``, each from 1 to 999.

    Raises:
        BadName: it is no such name, or a count is out of bounds.
        NoNumber: nothing was typed, or it is too long or has hidden characters.
    """
    line = tidy(text, "7S4P")
    for form in _WHOLE_NAMES + _HALF_NAMES:
        found = form.fullmatch(line)
        if found:
            counts = {"series": "1", "parallel": "1"} | found.groupdict()
            return tuple(_count(counts[which], line) for which in ("series", "parallel"))
    raise BadName("quantities.not_a_name", value=shown(line), limit=LARGEST_COUNT)


def _count(digits, line):
    if not 1 <= int(digits) <= LARGEST_COUNT:
        raise BadName("quantities.name_count", value=shown(line), limit=LARGEST_COUNT)
    return int(digits)
