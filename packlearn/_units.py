"""The units of this trade: their spellings, kinds and sizes, worked out by pint.

pint is loaded with the first text that is read, and knows nothing but
``data/units.txt``. ``quantities.py`` is the public face.
"""

import functools
import re
from importlib.resources import files

from packlearn._numbers import either
from packlearn.errors import UnknownName
from packlearn.words import word

# Units a question can ask for, the base unit of each kind first.
ASKED = ("V", "A", "Ah", "W", "Wh", "ohm", "h", "s", "%", "m", "g", "mm2", "C", "cells", "")
TIMES = ("h", "s")
# Answers that need no unit behind the number.
COUNTED = ("", "cells")


def check_asked(unit):
    """Raise ``UnknownName`` if no question can ask for this unit."""
    if unit not in ASKED:
        limit = ", ".join(name or '""' for name in ASKED)
        raise UnknownName("quantities.asked_unit", value=unit, limit=limit)


@functools.cache
def _registry():
    from pint import UnitRegistry

    registry = UnitRegistry(None)
    text = (files("packlearn") / "data" / "units.txt").read_text(encoding="utf-8")
    registry.load_definitions(text.splitlines())
    return registry


@functools.cache
def _spellings():
    """Every spelling, and every spelling without capitals -> its names in units.txt."""
    exact, folded = {}, {}
    for spelling in _registry():
        name = _registry().get_name(spelling)
        exact.setdefault(_bare(spelling), set()).add(name)
        folded.setdefault(_bare(spelling).casefold(), set()).add(name)
    return exact, folded


def _bare(spelling):
    return re.sub(r"[ _*·⋅-]", "", spelling)


@functools.lru_cache(maxsize=1024)
def named(text):
    """Name in units.txt of a unit that was typed; None if there is none or more than one."""
    bare = _bare(text)
    exact, folded = _spellings()
    for spelling in (bare, bare[:-1] if len(bare) > 3 and bare[-1] in "sS" else bare):
        names = exact.get(spelling) or folded.get(spelling.casefold(), ())
        # "5.5 S" is no time: a capital S counts cells in line.
        if len(names) == 1 and bare != "S":
            return next(iter(names))
    return None


def asked_name(asked):
    """Name in units.txt of a unit that a question asks for."""
    return _registry().get_name(asked or "number")


@functools.cache
def _kind(name):
    return str(_registry().get_dimensionality(name))


def is_time(name):
    """Whether the named unit is one of time."""
    return name is not None and _kind(name) == _kind("hour")


def same_kind(name, asked):
    """Whether the named unit is of the kind that is asked for."""
    # "5 cells" is a fine answer where a plain number is asked for.
    return _kind(name) == _kind(asked_name(asked)) or (name == "cell" and asked == "")


@functools.cache
def base_unit(name):
    """The unit of ``ASKED`` into which another kind of quantity is converted."""
    return next(asked for asked in ASKED if _kind(asked_name(asked)) == _kind(name))


@functools.lru_cache(maxsize=4096)
def converted(value, name, to):
    """Value in another unit of its kind; both units by their names in units.txt."""
    if name == to or (name, to) == ("cell", "number"):
        return value
    # Fourteen digits leave out the traces of converting: 6.2, not 6.200000000000001.
    return float(f"{_registry().convert(value, name, to):.14g}")


def symbol(name):
    """Symbol of a named unit, as a learner sees it."""
    return "" if name == "number" else _registry().get_symbol(name)


@functools.cache
def that_work(asked):
    """Units that a question takes, small ones first: ``mV or V or kV``."""
    names = {name for name in map(_registry().get_name, _registry()) if same_kind(name, asked)}
    ordered = sorted(names - {"number"}, key=lambda name: _registry().get_base_units(name)[0])
    return either([symbol(name) for name in ordered])


def with_unit(text, unit):
    """A number's text with its symbol: ``6.2 V``, ``2C``, ``15 cells``, ``0.8``."""
    if unit in ("", "C"):
        return text + unit
    counted = word("quantities.counted").get(unit.removesuffix("s"))
    if counted:
        return f"{text} {counted['one' if text == '1' else 'more']}"
    return f"{text} {unit.replace('mm2', 'mm²')}"
