"""Which single fault explains what a meter shows.

A technician's reasoning: the plan is known, so every single fault is put into it, what the meter
would show is worked out, and held against what it did show. What lies within the meter's
tolerance at every point cannot be told apart by these readings.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

from packlearn.errors import BadValue
from packlearn.rules import number
from packlearn.wiring import METER_OHM, Wiring
from packlearn.words import say

# A dead cell gives no voltage and hardly lets anything through; typical, from memory.
DEAD_OHM = 10e3
# Of larger wirings the solved networks of all faults are not kept: they would fill the memory.
MOST_KEPT = 24
# Names of the pack's own leads, wherever they go.
LEADS = ("red", "black")


@dataclass(frozen=True)
class Reading:
    """What a voltmeter showed.

    Attributes:
        red, black: contacts its leads touched, such as ``"2A+"``; ``"red"`` and ``"black"`` are
            the pack's own leads, wherever they are.
        volts: what it showed [V].
        load_ohm: resistance of the load between the pack's leads [ohm]; None for no load.

    Raises:
        BadValue: the voltage is no number.
    """

    red: str
    black: str
    volts: float
    load_ohm: float | None = None

    def __post_init__(self):
        number("wiring.volts", self.volts)

    @property
    def point(self):
        """Where and under which load: all but the voltage."""
        return self.red, self.black, self.load_ohm


@dataclass(frozen=True)
class Meter:
    """A voltmeter's tolerance: a share of what it shows and some counts of its last digit.

    The defaults, 0.5 % and two counts of 0.01 V, are common practice for a cheap meter, no source.

    Attributes:
        percent: share of what it shows [%].
        volts: counts times the last digit [V].
        ohm: its own resistance [ohm].

    Raises:
        BadValue: a share below 0, or counts or a resistance not above 0.
    """

    percent: float = 0.5
    volts: float = 0.02
    ohm: float = METER_OHM

    def __post_init__(self):
        number("wiring.explained.percent", self.percent, least=0)
        number("wiring.explained.counts", self.volts, above=0)
        number("wiring.meter", self.ohm, above=0)

    def tolerance_v(self, volts):
        """How far what it shows may be off [V], from the volts it shows [V]."""
        return self.percent / 100 * np.abs(volts) + self.volts


@dataclass(frozen=True)
class Explanation:
    """One way to explain readings.

    Attributes:
        kind: "none" (all is as planned), "turned", "dead", "missing", "shorted" (a stray strip
            from end to end), "link_missing" or "swapped" (the leads).
        where: label of the cell, contacts of the link or of the leads.
        misfit: how far readings lie beyond the meter's tolerance, in tolerances (root of the mean
            square); 0 where all lie within.
        rank: 1 for the best; explanations that share a rank are not told apart by the readings.
        sentence: in plain words.
        wiring: the ``Wiring`` with this fault.
    """

    kind: str
    where: tuple[str, ...]
    misfit: float
    rank: int
    sentence: str
    wiring: Wiring

    @property
    def fits(self):
        """Whether it explains every reading within the meter's tolerance."""
        return self.misfit == 0


def explain(wiring, readings, meter=None):
    """Single faults that explain readings, the best first.

    Args:
        wiring: the ``Wiring`` as planned.
        readings: ``Reading``s of what was built.
        meter: the ``Meter``; None for the usual one.

    Returns:
        ``Explanation`` of every single fault, and of none, by rank; in a rank the closest first.

    Raises:
        BadValue: something else than a ``Reading``, or a load or a reading at a lead that hangs
            free.
        UnknownName: no such contact.
    """
    meter, readings = meter or Meter(), _readings(readings)
    suspects = _suspects(wiring)
    points = tuple(reading.point for reading in readings)
    volts = np.array([reading.volts for reading in readings])
    shown_v = _shown_v(wiring, points, meter.ohm)
    off = np.abs(shown_v - volts) / meter.tolerance_v(volts)
    misfit, closeness = _mean(np.maximum(off - 1.0, 0.0)), _mean(off)
    better = (misfit[None, :] < misfit[:, None]).sum(axis=1)
    return tuple(
        _explanation(*suspects[each], float(misfit[each]), int(better[each]) + 1)
        for each in np.lexsort((closeness, misfit))
    )


def next_reading(wiring, readings, meter=None, load_ohm=None):
    """The two contacts at which one more reading splits the best explanations most evenly.

    Args:
        wiring: the ``Wiring`` as planned.
        readings: ``Reading``s so far; none yet is an empty list.
        meter: the ``Meter``; None for the usual one.
        load_ohm: load under which the next reading will be taken [ohm]; None for no load.

    Returns:
        (red, black), contacts or ``("red", "black")`` for the pack's leads; None where no reading
        could tell the best explanations apart. Of equally good ones a reading across a cell comes
        first, then one across a link.

    Raises:
        BadValue, UnknownName: as ``explain``.
    """
    meter, readings = meter or Meter(), _readings(readings)
    left = [each for each in explain(wiring, readings, meter) if each.rank == 1]
    # Reading the same again would tell nothing new.
    taken = {frozenset(each.point[:2]) for each in readings if each.load_ohm == load_ohm}
    pairs = [pair for pair in _pairs(wiring) if frozenset(pair) not in taken]
    points = tuple((*pair, load_ohm) for pair in pairs)
    shown_v = np.array([_readings_v(each.wiring, points, meter.ohm) for each in left])
    still = _still_together(shown_v, meter)
    best = min(range(len(pairs)), key=still.__getitem__, default=None)
    return None if best is None or still[best] >= len(left) else pairs[best]


def _readings(readings):
    readings = tuple(readings)
    for each in readings:
        if not isinstance(each, Reading):
            raise BadValue("wiring.explained.no_reading", value=repr(each)[:40])
    return readings


def _mean(off):
    """Root of the mean square over the readings, rounded so that equal ones are equal."""
    count = max(off.shape[1], 1)
    return np.round(np.sqrt((off**2).sum(axis=1) / count), 9)


def _explanation(kind, where, wiring, misfit, rank):
    first, second = where if len(where) == 2 else ("", "")
    words = {"where": "".join(where[:1]), "first": first, "second": second}
    sentence = say(f"wiring.explained.{kind}", **words)
    return Explanation(kind, where, misfit, rank, sentence, wiring)


# Every single fault.


@lru_cache(maxsize=4)
def _suspects(wiring):
    """Kind, place and wiring of every single fault, that of none first."""
    found = [("none", (), wiring)]
    for label in wiring.labels:
        ends = (label + "-", label + "+")
        found.append(("turned", (label,), wiring.turn(label)))
        found.append(("dead", (label,), wiring.measured(label, 0.0, DEAD_OHM)))
        found.append(("missing", (label,), wiring.take_out(label)))
        if not wiring.linked(*ends):
            found.append(("shorted", (label,), wiring.link(*ends)))
    found += [("link_missing", each.ends, wiring.part(*each.ends)) for each in wiring.links]
    if wiring.red and wiring.black:
        leads = (wiring.red, wiring.black)
        found.append(("swapped", leads, wiring.leads(*leads[::-1])))
    return tuple(found)


# What the meter would show.


@lru_cache(maxsize=32)
def _shown_v(wiring, points, meter_ohm):
    """What a meter would show at points under every single fault [V], (suspects, points)."""
    rows = [_readings_v(each, points, meter_ohm) for _, _, each in _suspects(wiring)]
    return np.array(rows).reshape(len(rows), len(points))


def _readings_v(wiring, points, meter_ohm):
    """What a meter would show at points: (red, black, load), [V]."""
    if len(wiring.labels) > MOST_KEPT:
        wiring = Wiring(wiring.places, wiring.links, wiring.red, wiring.black)
    shown_v = np.zeros(len(points))
    loads = [load_ohm for *_, load_ohm in points]
    for load_ohm in dict.fromkeys(loads):
        there = [place for place, load in enumerate(loads) if load == load_ohm]
        pairs = [[_contact(wiring, end) for end in points[place][:2]] for place in there]
        shown_v[there] = wiring.readings_v(pairs, load_ohm=load_ohm, meter_ohm=meter_ohm)
    return shown_v


def _contact(wiring, end):
    """Contact of an end of the meter: a lead of the pack lies where it lies."""
    if end not in LEADS:
        return end
    contact = wiring.red if end == "red" else wiring.black
    if contact is None:
        raise BadValue("wiring.explained.lead_free", value=end)
    return contact


# Where to read next.


def _pairs(wiring):
    """Pairs of contacts to read at, the plain ones first."""
    pairs = [(label + "+", label + "-") for label in wiring.labels]
    pairs += [link.ends for link in wiring.links]
    pairs += [LEADS] if wiring.red and wiring.black else []
    known = {frozenset(pair) for pair in pairs}
    others = combinations(reversed(wiring.contacts), 2)
    return pairs + [pair for pair in others if frozenset(pair) not in known]


def _still_together(shown_v, meter):
    """How many explanations a reading at each pair will leave on average, (pairs,).

    Explanations whose readings lie within the meter's tolerance of the next one stay together.
    """
    shown_v = np.sort(shown_v, axis=0)
    count, pairs = shown_v.shape
    split = np.diff(shown_v, axis=0) > meter.tolerance_v(shown_v[1:])
    heap = np.vstack([np.zeros((1, pairs), dtype=int), np.cumsum(split, axis=0)])
    sizes = np.zeros((count, pairs))
    np.add.at(sizes, (heap, np.arange(pairs)), 1.0)
    return (sizes**2).sum(axis=0) / count
