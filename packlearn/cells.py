"""Cells: what a data sheet says of one, the catalogue, and files of one's own.

The catalogue stands in ``data/cells.toml``, whose head describes the format; a
user's own file is read the same way.
"""

from __future__ import annotations

import difflib
import functools
import math
import re
import tomllib
from dataclasses import MISSING, dataclass, field, fields
from importlib.resources import files
from numbers import Real
from pathlib import Path
from types import MappingProxyType

from packlearn.errors import BadFile, BadValue, PackError, UnknownName
from packlearn.rules import check_share
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


@dataclass(frozen=True)
class Cell:
    """One cell, or one block of several in a case, as its data sheet states it.

    Args:
        name: short name, such as ``"nimh-aa"``.
        chemistry: such as ``"NiMH"``; one of ``CHEMISTRIES``, or another with both voltages given.
        nominal_voltage_v: for naming and for energy [V].
        capacity_ah: capacity [Ah] at ``capacity_at_a`` down to ``capacity_to_v``.
        current_limit_a: continuous limit [A].
        resistance_ohm: internal resistance [ohm] about one second after a step; 0: ideal cell.
        full_voltage_v: straight off the charger, or fresh [V]; None takes the chemistry's.
        end_voltage_v: cut-off under load [V]; None takes the chemistry's.
        rested_voltage_v: lowest and highest voltage [V] an hour or more after charging, or None.
        title: name for people; empty takes ``name``.
        capacity_at_a: current [A] the capacity holds at, or None.
        capacity_to_v: voltage [V] the capacity holds down to, or None.
        resistance_meaning: how the resistance is meant, a sentence.
        mass_g: mass [g], or None.
        size_mm: diameter and length, or width, thickness and height [mm], or None.
        price_class: 1 (cheap) to 5, one piece; None if not known.
        rechargeable: None takes the chemistry's.
        cells_inside: single cells in the case; above 1 it is a block.
        max_series: largest sensible series count; None: only the 60 V limit holds.
        max_series_reason: why, a sentence.
        max_parallel: largest sensible parallel count; always 1 for cells that are not charged.
        max_parallel_reason: why, a sentence.
        ready_made_only: only built as ready-made protected pack; always so for lithium-ion.
        sources: field name -> note where its value comes from.

    A title, meaning, reason or note may also be the key of such a text in the word files.

    Raises:
        BadValue: a value that cannot be right; the message names field, value, limit and mend.
    """

    name: str
    chemistry: str
    nominal_voltage_v: float
    capacity_ah: float
    current_limit_a: float
    resistance_ohm: float
    full_voltage_v: float | None = None
    end_voltage_v: float | None = None
    rested_voltage_v: tuple[float, float] | None = None
    title: str = ""
    capacity_at_a: float | None = None
    capacity_to_v: float | None = None
    resistance_meaning: str = ""
    mass_g: float | None = None
    size_mm: tuple[float, ...] | None = None
    price_class: int | None = None
    rechargeable: bool | None = None
    cells_inside: int = 1
    max_series: int | None = None
    max_series_reason: str = ""
    max_parallel: int | None = None
    max_parallel_reason: str = ""
    ready_made_only: bool = False
    sources: dict[str, str] = field(default_factory=dict, compare=False)

    def __post_init__(self):
        for key, check in _CHECKS.items():
            if getattr(self, key) is not None or key in _REQUIRED:
                _put(self, key, check(key, getattr(self, key)))
        _take_from_chemistry(self)
        _check_voltages(self)
        _check_counts(self)

    @property
    def energy_wh(self):
        """Energy [Wh]: nominal voltage times capacity."""
        return self.nominal_voltage_v * self.capacity_ah

    def c_rate(self, current_a):
        """C-rate [1/h] of a current: ``A / Ah``.

        Args:
            current_a: current [A], scalar or array; negative while charging.
        """
        return current_a / self.capacity_ah

    def current_at_c_rate_a(self, c_rate):
        """Current [A] at a C-rate: ``C * Ah``.

        Args:
            c_rate: C-rate [1/h], scalar or array.
        """
        return c_rate * self.capacity_ah

    def plannable_current_a(self, derating=0.8):
        """Current [A] one plans with: a share of the continuous limit.

        Args:
            derating: share, above 0 to 1; 0.8 is common practice.

        Raises:
            BadValue: a share outside 0 to 1.
        """
        check_share("derating", derating)
        return self.current_limit_a * derating


@functools.cache
def catalogue():
    """The generic cells that come with packlearn.

    Returns:
        Read-only mapping, name -> ``Cell``, in the order of the file.
    """
    path = files("packlearn") / "data" / "cells.toml"
    return _cells(path.read_text(encoding="utf-8"), path.name)


def cell(name):
    """Cell of the catalogue by its name.

    Args:
        name: such as ``"nimh-aa"``.

    Raises:
        UnknownName: no such cell; the message lists the names and the closest one.
    """
    cells = catalogue()
    if isinstance(name, str) and name in cells:
        return cells[name]
    key, close = "cells.unknown", _closest(name, cells)
    if close:
        key = "cells.unknown_close"
    raise UnknownName(key, value=_shown(name), limit=", ".join(cells), closest=close)


def read_cells(path):
    """Cells of a user's own TOML file, written as the catalogue is.

    Args:
        path: path of the file.

    Returns:
        Read-only mapping, name -> ``Cell``.

    Raises:
        BadFile: a mistake in the file; the message names file, cell, key, value and mend.
    """
    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadFile("cells.not_utf8", value=_shown(path.name)) from error
    except OSError as error:
        raise BadFile("cells.no_file", value=_shown(path.name)) from error
    return _cells(text, _shown(path.name))


# Checks of single fields: each takes the field's name and value and returns the value to keep.


def _shown(value):
    """Text for a message, at most 40 printable characters."""
    try:
        text = value if isinstance(value, str) else str(value)
    except ValueError:  # an int too long to write out
        text = type(value).__name__
    text = "".join(c if c.isprintable() else "?" for c in text[:41])
    return text if len(text) <= 40 else text[:39] + "…"


def _closest(name, names):
    tidy = _shown(name).strip().lower().replace(" ", "-").replace("_", "-")
    plain = {known.lower().replace("_", "-"): known for known in names}
    return next((plain[c] for c in difflib.get_close_matches(tidy, plain, 1)), None)


def _bad(problem, key, value, limit=None, **more):
    return BadValue(f"cells.{problem}", value=_shown(value), limit=limit, field=key, **more)


def _text(key, value, most=300):
    if not isinstance(value, str) or not value.isprintable() or len(value) > most:
        raise _bad("text", key, value, most)
    texts = word("cells.texts")
    return texts.get(key, texts.get(key.rpartition("_")[2], {})).get(value, value)


def _name(key, value):
    if not isinstance(value, str) or not value.strip():
        raise _bad("no_text", key, value, 40)
    return _text(key, value, 40)


_TYPED = re.compile(r"\s*([-+]?\d{1,9}(?:[.,]\d{1,9})?)\s*([^\W\d]*)\s*")
_PREFIX = {"": 1.0, "m": 1e-3, "k": 1e3}


def _number_mend(key, value):
    """What to write instead of a value that is no number, as far as one can tell."""
    unit = key.rpartition("_")[2]
    said = say("cells.mend.number", unit=word(f"cells.units.{unit}"))
    typed = _TYPED.fullmatch(value) if isinstance(value, str) else None
    if not typed or re.search(r",\d{3}$", typed[1]):
        return said
    name = typed[2].casefold().replace("ω", "ohm")
    prefix = name.removesuffix(unit) if name.endswith(unit) else name
    if prefix not in _PREFIX or (prefix and not name.endswith(unit)):
        return said
    number = f"{float(typed[1].replace(',', '.')) * _PREFIX[prefix]:g}"
    mend = "unit" if name else "comma" if "," in typed[1] else "quotes"
    return say(f"cells.mend.{mend}", number=number, unit=word(f"cells.units.{unit}"))


def _number(key, value, zero=False):
    if isinstance(value, bool) or not isinstance(value, Real):
        raise _bad("no_number", key, value, mend=_number_mend(key, value))
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number) or number < 0 or (number == 0 and not zero):
        limit = word("cells.from_zero" if zero else "cells.above_zero")
        raise _bad("number", key, value, limit, mend=_number_mend(key, None))
    return number


def _numbers(key, value, counts):
    if not isinstance(value, list | tuple) or len(value) not in counts:
        raise _bad("numbers", key, value, word(f"cells.numbers_of.{key}"))
    return tuple(_number(key, each) for each in value)


def _count(key, value, most=999):
    real = isinstance(value, Real) and not isinstance(value, bool)
    if not real or not 1 <= value <= most or value != int(value):
        raise _bad("count", key, value, most)
    return int(value)


def _yes_no(key, value):
    if not isinstance(value, bool):
        raise _bad("yes_no", key, value)
    return value


def _sources(key, value):
    if not isinstance(value, dict):
        raise _bad("sources", key, value)
    for name in value:
        _check_key(name)
    return {name: _text(key, note) for name, note in value.items()}


_CHECKS = {
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
    "sources": _sources,
}
_REQUIRED = tuple(
    f.name for f in fields(Cell) if f.default is MISSING and f.default_factory is MISSING
)


# Checks of one field against another.


def _put(cell, key, value):
    object.__setattr__(cell, key, value)


def _take_from_chemistry(cell):
    """Fill in what the chemistry decides; refuse what contradicts it."""
    spelling = {name.casefold(): name for name in CHEMISTRIES}
    _put(cell, "chemistry", spelling.get(cell.chemistry.casefold(), cell.chemistry))
    known = CHEMISTRIES.get(cell.chemistry)
    for key in ("full_voltage_v", "end_voltage_v"):
        if getattr(cell, key) is None:
            if not known:
                raise _bad("chemistry", "chemistry", cell.chemistry, ", ".join(CHEMISTRIES))
            _put(cell, key, round(getattr(known, key) * cell.cells_inside, 6))
    if known and cell.rechargeable is None:
        _put(cell, "rechargeable", known.rechargeable)
    if known and cell.rechargeable and not known.rechargeable:
        raise _bad("charged_primary", "rechargeable", "true", cell.chemistry)
    _put(cell, "ready_made_only", cell.ready_made_only or bool(known and known.ready_made_only))
    _put(cell, "title", cell.title or cell.name)


def _check_voltages(cell):
    nominal_v, full_v = cell.nominal_voltage_v, cell.full_voltage_v
    if not cell.end_voltage_v < nominal_v:
        raise _bad("end_voltage", "end_voltage_v", cell.end_voltage_v, nominal_v)
    if not nominal_v <= full_v:
        raise _bad("full_voltage", "full_voltage_v", full_v, nominal_v)
    if cell.capacity_to_v is not None and not cell.capacity_to_v < nominal_v:
        raise _bad("end_voltage", "capacity_to_v", cell.capacity_to_v, nominal_v)
    if cell.rested_voltage_v:
        low_v, high_v = cell.rested_voltage_v
        if not low_v <= high_v <= full_v:
            raise _bad("rested", "rested_voltage_v", cell.rested_voltage_v, full_v)


def _check_counts(cell):
    """Hold the counts against 60 V; keep cells that are not charged out of parallel."""
    # A hair of room, since 4 x 14.7 is not exactly 58.8 in floats.
    most = int(HIGHEST_PACK_VOLTAGE_V / cell.full_voltage_v + 1e-9)
    if cell.max_series is not None and cell.max_series > most:
        raise _bad("too_high", "max_series", cell.max_series, most, volts=cell.full_voltage_v)
    if not cell.rechargeable:
        if cell.max_parallel not in (None, 1):
            raise _bad("primary_parallel", "max_parallel", cell.max_parallel, 1)
        reason = cell.max_parallel_reason or "primary-parallel"
        _put(cell, "max_parallel", 1)
        _put(cell, "max_parallel_reason", _text("max_parallel_reason", reason))


# Files of cells.


def _check_key(key):
    if key in _CHECKS and key != "name":
        return
    close = _closest(key, [known for known in _CHECKS if known != "name"])
    problem = "unknown_key_close" if close else "unknown_key"
    raise _bad(problem, key, key, ", ".join(_CHECKS), closest=close)


def _cells(text, file):
    try:
        tables = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise _syntax(text, file, str(error)) from error
    if not tables:
        raise BadFile("cells.empty", value=file)
    return MappingProxyType({name: _cell(name, entry, file) for name, entry in tables.items()})


def _cell(name, entry, file):
    try:
        if not isinstance(entry, dict):
            raise _bad("outside", _shown(name), entry)
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name):
            raise _bad("name", "name", name)
        for key in entry:
            _check_key(key)
        for key in _REQUIRED[1:]:
            if key not in entry:
                raise _bad("missing_key", key, None)
        return Cell(name=name, **entry)
    except PackError as error:
        place = {"file": file, "cell": _shown(name)}
        raise BadFile("cells.in_file", value=str(error), **place) from error


# Slips of typing that TOML cannot read, told by the line they stand in.
_SLIPS = (
    ("comma", re.compile(r"=\s*[-+]?\d+,\d")),
    ("unit", re.compile(r"=\s*[-+]?\d+(\.\d+)?\s*[^\W\d]")),
    ("bare", re.compile(r"=\s*[^\W\d]")),
)


def _syntax(text, file, problem):
    lines = text.splitlines() or [""]
    found = re.search(r"line (\d+)", problem)
    number = min(int(found[1]), len(lines)) if found else len(lines)
    line = lines[number - 1].strip()
    slip = next((name for name, pattern in _SLIPS if pattern.search(line)), "other")
    if "twice" in problem or "overwrite" in problem:
        slip = "twice"
    heads = [re.match(r"\s*\[([\w-]+)", each) for each in lines[:number]]
    cell = next((_shown(head[1]) for head in reversed(heads) if head), word("cells.no_cell"))
    mend = word(f"cells.slips.{slip}")
    return BadFile("cells.syntax", value=_shown(line), file=file, line=number, cell=cell, mend=mend)
