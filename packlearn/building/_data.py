"""Data files of building, read when first used, and checks its modules share."""

import functools
import tomllib
from importlib.resources import files
from types import MappingProxyType

from packlearn._cell_checks import HIGHEST_PACK_VOLTAGE_V, shown
from packlearn.cells import Cell
from packlearn.errors import BadValue, PackLimit, UnknownName
from packlearn.packs import Pack
from packlearn.words import word

# Binary floats miss exact decimals such as 0.8 x 31.25 by a last digit.
ROUNDING = 1e-9


@functools.cache
def table(name):
    """Table of a data file.

    Args:
        name: file in ``data``, without ``.toml``.

    Returns:
        Read-only mapping of its top level.
    """
    path = files("packlearn") / "data" / f"{name}.toml"
    return MappingProxyType(tomllib.loads(path.read_text(encoding="utf-8")))


def source_texts(*names):
    """Texts of where values come from, each once, in order.

    Args:
        *names: keys of sources in the data files.
    """
    return tuple(word(f"building.sources.{name}") for name in dict.fromkeys(names))


def chemistry_words(chemistry):
    """Name of a chemistry, as people read it."""
    return word(f"build.chemistry.{chemistry}")


def checked_pack(pack):
    """A ``Pack`` of equal cells that stays within 60 V.

    Raises:
        BadValue: no such pack.
        PackLimit: above 60 V at full charge.
    """
    if not isinstance(pack, Pack):
        raise BadValue("building.pack", value=shown(repr(pack)))
    volts, limit = pack.full_voltage_v, HIGHEST_PACK_VOLTAGE_V
    if volts > limit + ROUNDING:
        raise PackLimit("building.over_60", value=f"{volts:.4g}", limit=f"{limit:g}")
    return pack


def checked_voltage(voltage_v):
    """Raise ``PackLimit`` for a voltage above 60 V."""
    if voltage_v > HIGHEST_PACK_VOLTAGE_V + ROUNDING:
        limit = f"{HIGHEST_PACK_VOLTAGE_V:g}"
        raise PackLimit("building.over_60", value=f"{voltage_v:.4g}", limit=limit)


def cell_of(thing):
    """The cell of a ``Pack``, or the ``Cell`` itself.

    Raises:
        BadValue: neither of them.
    """
    if isinstance(thing, Cell):
        return thing
    if isinstance(thing, Pack):
        return thing.cell
    raise BadValue("building.cell", value=shown(repr(thing)))


def of_chemistry(name, chemistry):
    """Table of a chemistry in a data file.

    Raises:
        UnknownName: none for this chemistry; the message lists those there are.
    """
    known = [key for key, entry in table(name).items() if isinstance(entry, dict)]
    if chemistry not in known:
        limit = ", ".join(known)
        raise UnknownName("building.chemistry", value=shown(chemistry), limit=limit)
    return table(name)[chemistry]
