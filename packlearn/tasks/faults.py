"""One hidden fault in a pack: where one may read, what the meter shows, how few readings do."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packlearn.errors import BadFile, PackError
from packlearn.finding import LEADS, Explanation, Reading, explain, next_reading
from packlearn.tasks.benches import plan_of

# What a simple meter shows is rounded to its last digit.
DIGITS = 2
LOADED = "load"


@dataclass(frozen=True)
class Hidden:
    """A fault that readings alone can find.

    Attributes:
        fault: its ``Explanation``.
        readings: those of somebody who always reads where it tells most.
    """

    fault: Explanation
    readings: tuple[Reading, ...]


def key_of(fault):
    """Kind and place of an ``Explanation`` in one word, such as ``turned=2A``."""
    return f"{fault.kind}={','.join(fault.where)}"


def known(givens):
    """Every single fault the pack of a variant can have: key -> ``Explanation``."""
    return {key_of(each): each for each in explain(plan_of(givens), ()) if each.kind != "none"}


def hidden(givens):
    """The ``Hidden`` fault of a variant.

    Args:
        givens: ``series``, ``parallel``, ``load_ohm``, ``fault_number``; ``cell`` and ``strings``
            where given.
    """
    names = ("cell", "series", "parallel", "strings", "load_ohm")
    found = _findable(tuple((name, givens[name]) for name in names if name in givens))
    return found[int(givens["fault_number"]) % len(found)]


@functools.lru_cache(maxsize=32)
def _findable(items):
    """Faults that end alone when one reads where it tells most; others would be a riddle."""
    givens = dict(items)
    plan, found = plan_of(givens), []
    # Faults begin with the same readings, so where to read next is asked once for all of them.
    where = functools.cache(lambda taken, load: next_reading(plan, taken, load_ohm=load))
    for fault in known(givens).values():
        readings = _searched(where, fault, givens["load_ohm"])
        left = [each for each in explain(plan, readings) if each.rank == 1]
        if len(left) == 1:
            found.append(Hidden(fault, readings))
    return tuple(found)


def _searched(where, fault, load_ohm):
    """Readings one after the other, first without a load and then with it."""
    readings = ()
    for load in (None, load_ohm):
        while (pair := where(readings, load)) is not None:
            readings = (*readings, _shown(fault, *pair, load))
    return readings


def _shown(fault, red, black, load_ohm):
    wiring = fault.wiring
    ends = [getattr(wiring, end) if end in LEADS else end for end in (red, black)]
    # Adding 0 turns -0 into 0.
    volts = round(wiring.reading_v(*ends, load_ohm=load_ohm), DIGITS) + 0.0
    return Reading(red, black, volts, load_ohm)


def read(givens, point, fault=None):
    """What the meter shows.

    Args:
        givens: the variant's.
        point: red, black, and whether the load is on; contacts, or "red" and "black" for the
            pack's own leads.
        fault: an ``Explanation`` to be taken in place of the hidden fault.

    Returns:
        ``Reading``.
    """
    red, black, loaded = point
    fault = fault or hidden(givens).fault
    return _shown(fault, red, black, givens["load_ohm"] if loaded else None)


def points(givens):
    """Where probes can be put: the pack's leads first, then its contacts."""
    return (*LEADS, *plan_of(givens).contacts)


# In one line, as the records keep it: the fault, then each reading's point.


def to_line(key, taken):
    """A fault and where readings were taken, as one line; empty for nothing at all.

    Args:
        key: key of the fault, or None.
        taken: points.
    """
    if key is None and not taken:
        return ""
    ends = ("/".join((red, black, *[LOADED] * loaded)) for red, black, loaded in taken)
    return " ".join((key or "-", *ends))


def from_line(line, givens):
    """Key and points of a line.

    Args:
        line: what ``to_line`` wrote; it may hold anything.
        givens: the variant's.

    Returns:
        key of a fault or None, and a tuple of points.

    Raises:
        BadFile: it is no such line.
    """
    key, *parts = line.split() or ["-"]
    taken, where = [], points(givens)
    for part in parts:
        red, black, *more = part.split("/") + [""] * (part.count("/") == 0)
        if red not in where or black not in where or more not in ([], [LOADED]):
            raise BadFile("tasks.fault.damaged", value=part[:40])
        taken.append((red, black, bool(more)))
    return (key if key in known(givens) else None), tuple(taken)


def usable(line, givens):
    """Whether a line can be read.

    Args:
        line: it may hold anything.
        givens: the variant's.
    """
    try:
        from_line(line, givens)
    except PackError:
        return False
    return True
