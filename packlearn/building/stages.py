"""How a pack is put together, step by step, and what a meter shows after each step."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from packlearn._simulation.plans import letters
from packlearn.building._data import table
from packlearn.building.protecting import lowest_at_device_v
from packlearn.building.wires import Wire
from packlearn.finding import Meter
from packlearn.holders import MOST_STRING_ROWS, layout
from packlearn.peaks import voltage_under_peak_v
from packlearn.quantities import write
from packlearn.words import say, word

STAGES = ("cell", "grows", "string", "pack", "leads", "load", "delivered", "charged")
# Up to the black wire, up to the strings, up to the end.
STEPS = ("cells", "each", "lay", "black")
STEPS += ("join", "red", "close", "alike", "string_fuses")
STEPS += ("fuse", "device", "load", "label", "first_run")


# Cells whose readings have a line each; those of more are noted on their labels.
MOST_NOTED = 6


@dataclass(frozen=True)
class Reading:
    """What a meter should show at a stage of building.

    Attributes:
        stage: one of ``STAGES``.
        low_v, high_v: lowest and highest reading [V], the meter's tolerance counted in.
        red, black: contacts its leads touch, such as ``"2A+"``; empty at the leads of the pack.
        count: cells in line between them.
    """

    stage: str
    low_v: float
    high_v: float
    red: str = ""
    black: str = ""
    count: int = 1

    def __iter__(self):
        return iter((self.stage, self.low_v, self.high_v))

    @property
    def where(self):
        """Where the meter's leads go, in words."""
        if self.red:
            return say("build.where.contacts", red=self.red, black=self.black)
        return word(f"build.where.{self.stage}")

    @property
    def range_words(self):
        """The range with two decimals: ``1.27 V to 1.43 V``."""
        low, high = (f"{max(0.0, volts):.2f}" for volts in (self.low_v, self.high_v))
        return say("build.range", low=low, high=high)


@dataclass(frozen=True)
class Step:
    """One thing to do while building.

    Attributes:
        kind: one of ``STEPS``.
        sentence: what to do.
        contacts: contacts it is done at.
        reading: the ``Reading`` to take then, or None.
        covered: ends it puts a cover on, each for the first time: contacts, or wires.
        after: what to do when the reading lies outside, or empty.
    """

    kind: str
    sentence: str
    contacts: tuple[str, ...] = ()
    reading: Reading | None = None
    covered: tuple[str, ...] = ()
    after: str = ""


def at_rest_v(cell):
    """Lowest and highest voltage of one good cell that was charged, or is fresh, and rested [V].

    Args:
        cell: a ``Cell``.

    Returns:
        Its data's rested range; of a cell without one from nominal to fresh.
    """
    if cell.rested_voltage_v is not None:
        return tuple(cell.rested_voltage_v)
    return cell.nominal_voltage_v, cell.full_voltage_v


def resting(stage, cell, count=1, red="", black=""):
    """``Reading`` of cells in line with no load.

    Args:
        stage: one of ``STAGES``.
        cell: the ``Cell``.
        count: how many in line.
        red, black: contacts.
    """
    low, high = (count * volts for volts in at_rest_v(cell))
    return Reading(stage, *with_tolerance(low, high), red, black, count)


def turned(cell, count):
    """``Reading`` of cells in line of which one lies the wrong way round.

    Args:
        cell: the ``Cell``.
        count: how many in line, 2 or more.
    """
    low, high = at_rest_v(cell)
    between = (count - 1) * low - high, (count - 1) * high - low
    return Reading("grows", *with_tolerance(*between), count=count)


def with_tolerance(low_v, high_v):
    """A range widened by the meter's tolerance, both [V]."""
    meter = Meter()
    low, high = (float(meter.tolerance_v(abs(volts))) for volts in (low_v, high_v))
    return low_v - low, high_v + high


def under_load(pack, load, wire):
    """``Reading`` at the device's end of the leads, a minute after the load was switched on.

    Low end: the lowest rested voltage, the load's peak, twice the cells' resistance, every contact
    and the warm wire. High end: the highest rested voltage, the step that takes least, the cells'
    resistance alone.

    Args:
        pack: a ``Pack``.
        load: a ``Load``.
        wire: the ``Wire`` of the leads, or None.
    """
    low_v, high_v = (pack.series * volts for volts in at_rest_v(pack.cell))
    contacts = table("links")["contacts"]
    each = contacts["block_ohm"] if pack.cell.cells_inside > 1 else contacts["holder_ohm"]
    more = pack.series / pack.parallel * each + contacts["lead_ohm"]
    more += wire.resistance_ohm if isinstance(wire, Wire) else 0.0
    steps = [step for step, _ in load.steps]
    lowest = min(_sagged_v(step, low_v, 2 * pack.resistance_ohm + more) for step in steps)
    highest = max(_sagged_v(step, high_v, pack.resistance_ohm) for step in steps)
    return Reading("load", *with_tolerance(lowest, highest), count=pack.series)


def _sagged_v(load, rest_v, ohm):
    """Voltage at which a load holds itself behind a resistance [V]."""
    alone = np.array([rest_v]), np.array([ohm]), np.array([0.0])
    return float(voltage_under_peak_v(load, *alone)[0])


def joined_in_strings(pack):
    """Whether the strings of a pack are joined at their ends only, each with its own fuse."""
    return 1 < pack.parallel <= MOST_STRING_ROWS


def most_apart_v(pack, charging):
    """How far two strings may stand apart before they are joined [V], or None.

    So far that no more than the usual charging current of one string flows between two of them.

    Args:
        pack: a ``Pack``.
        charging: its ``Charging``, or None.
    """
    if charging is None or pack.parallel == 1:
        return None
    current_a = charging.current_a / (1 if charging.strings_in_turn > 1 else pack.parallel)
    return current_a * 2 * pack.series * pack.cell.resistance_ohm


def steps_for(pack, load, leads, apart_v, form="strip", guarded=False):
    """What one does with one's hands, in order, with the reading to take after each step.

    Args:
        pack: a ``Pack`` one builds.
        load: a ``Load``.
        leads: its ``leading.Leads``: the wire, the main fuse (None where none is needed), the
            strings' fuse.
        apart_v: how far strings may stand apart [V], or None.
        form: how neighbours are joined, as ``planning`` tells it.
        guarded: whether a cut-off stands behind the switch.

    Returns:
        Tuple of ``Step``. What closes the pack comes last, behind an empty fuse holder: the last
        cell of each string, which also holds where strips lie inside a holder; between blocks on
        a tray the last cable.
    """
    made = _Building(pack, form, "guarded" if guarded else "plain")
    steps = [*made.cells(), made.black(), *made.joints(), *made.red(leads.fuse), *made.closing()]
    if made.strings:
        steps += made.own_fuses(apart_v, leads.string_fuse)
    return (*steps, *made.in_use(load, leads))


def sorted_labels(laid):
    """Labels of a layout, group after group from the minus end.

    Args:
        laid: a ``holders.Layout``.
    """
    names = [letters(place) for place in range(laid.parallel)]
    return [f"{group}{name}" for group in range(1, laid.series + 1) for name in names]


def tenth_words(volts):
    """A voltage as a meter with two decimals tells it, rounded down: ``0.04 V``."""
    return f"{max(0.01, math.floor(100 * volts) / 100):.2f} V"


def _step(kind, key, contacts=(), reading=None, covered=(), **fields):
    return Step(kind, say(key, **fields), tuple(contacts), reading, tuple(covered))


def _listed(contacts):
    if len(contacts) == 1:
        return contacts[0]
    return say("bench.layout.listed", most=", ".join(contacts[:-1]), last=contacts[-1])


def _both(labels):
    """Both contacts of each cell."""
    return [f"{label}{sign}" for label in labels for sign in "+-"]


class _Building:
    """The steps of one pack.

    Args:
        pack: a ``Pack`` one builds.
        form: how neighbours are joined.
        guard: ``"guarded"`` where a cut-off stands behind the switch, else ``"plain"``.
    """

    def __init__(self, pack, form, guard):
        self.pack, self.form, self.guard = pack, form, guard
        self.strings = joined_in_strings(pack)
        self.laid = layout(pack.series, pack.parallel, self.strings)
        self.labels = sorted_labels(self.laid)
        self.names = [letters(place) for place in range(pack.parallel)]
        # What goes in last; blocks on a tray stand there from the start.
        kept_out = pack.series > 1 and form != "cable"
        self.last = [f"{pack.series}{name}" for name in self.names] if kept_out else []

    def cells(self):
        """What is done with the cells before anything is joined."""
        cell, alone = self.pack.cell, len(self.labels) == 1
        kind = ("charged" if cell.rechargeable else "fresh") + ("_one" if alone else "")
        noun = ("block" if self.form != "strip" else "cell") + ("s" if kind == "fresh" else "")
        what = word(f"build.steps.cells.{noun}")
        each = "one" if alone else "many" if len(self.labels) <= MOST_NOTED else "labels"
        outside = word(f"build.steps.outside.{'charged' if cell.rechargeable else 'fresh'}")
        told = say(f"build.steps.each.{each}", names=self._names())
        return [
            _step("cells", f"build.steps.cells.{kind}", what=what),
            Step("each", told, tuple(self.labels), resting("cell", cell), after=outside),
            self._lay(),
        ]

    def _names(self):
        """Names of all cells in words, a part for each string."""
        count = self.pack.series
        if count == 1:
            first, last = self.labels[0], self.labels[-1]
            return say("build.steps.each.string", first=first, last=last)
        return ", ".join(
            say("build.steps.each.string", first=f"1{name}", last=f"{count}{name}")
            for name in self.names
        )

    def _lay(self):
        ends = {"plus": self.laid.red, "minus": self.laid.black, "last": _listed(self.last or [""])}
        laid = [label for label in self.labels if label not in self.last]
        how = "_one" if len(self.labels) == 1 else "_but" if self.last else ""
        covered = () if self.form == "strip" else _both(laid)
        return _step("lay", f"build.steps.lay.{self.form}{how}", laid, covered=covered, **ends)

    def black(self):
        """The minus wires, through the cut-off where there is one."""
        ends = [f"1{name}-" for name in self.names]
        parallel = "strings" if self.strings else "group" if len(ends) > 1 else "one"
        key = f"build.steps.black.{parallel}_{self.guard}"
        fields = {"ends": _listed(ends), "contact": self.laid.black}
        return _step("black", key, ends, covered=["black"], **fields)

    def joints(self):
        """A step for each joint between groups that does not close the pack."""
        return [step for step in self._all_joints() if step.kind == "join"]

    def _all_joints(self):
        for joint in self.laid.joints:
            plus = [name for name in joint.contacts if name.endswith("+")]
            minus = [name for name in joint.contacts if name.endswith("-")]
            if not (plus and minus):
                continue
            group = int(minus[0].rstrip("-ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
            closes = group == self.pack.series
            reading = self._reading(group, minus[0].strip("-0123456789"))
            many = "_group" if len(joint.strips) > 1 else ""
            listed = {"ends": _listed(joint.contacts)}
            if closes and self.form == "cable":
                yield _step("close", "build.steps.close.cable", joint.contacts, reading, **listed)
                continue
            # Nothing can be measured there while the last cell is out.
            reading = None if closes else reading
            key = f"build.steps.join.{self.form}{many}"
            yield _step("join", key, joint.contacts, reading, **listed)

    def _reading(self, group, letter):
        stage = ("string" if self.strings else "pack") if group == self.pack.series else "grows"
        return resting(stage, self.pack.cell, group, f"{group}{letter}+", f"1{letter}-")

    def closing(self):
        """The last cell of each string, or the last cable between blocks."""
        if self.form == "cable":
            return [step for step in self._all_joints() if step.kind == "close"]
        key = f"build.steps.close.{self.form}"
        if not self.last:
            return []
        if not self.strings:
            reading = self._reading(self.pack.series, "A")
            return [_step("close", key, self.last, reading, cells=_listed(self.last))]
        return [
            _step("close", key, [cell], self._reading(self.pack.series, name), cells=cell)
            for cell, name in zip(self.last, self.names, strict=True)
        ]

    def red(self, fuse):
        """The fuse holder with what follows it, still without its fuse."""
        ends = [f"{self.pack.series}{name}+" for name in self.names]
        told, first = {"ends": _listed(ends), "contact": self.laid.red}, []
        if len(ends) > 1:
            kind = "strings" if self.strings else "group"
            first = [_step("red", f"build.steps.red.{kind}", ends, **told)]
        way = "main" if self.strings else "fused" if fuse else "bare"
        behind = word(f"build.steps.behind.{'bare' if way == 'bare' else 'fused'}_{self.guard}")
        key = f"build.steps.red.{way}"
        return [*first, _step("red", key, ends, covered=["red"], behind=behind, **told)]

    def own_fuses(self, apart_v, string_fuse):
        """Strings are held against one another before their fuses join them."""
        alike = []
        if apart_v:
            alike = [self._alike(apart_v)]
        reading = resting("pack", self.pack.cell, self.pack.series)
        fields = {"rating": write(string_fuse[0], "A")}
        fields |= {"first": self.names[0], "rest": ", ".join(self.names[1:])}
        key = "build.steps.string_fuses"
        return [*alike, _step("string_fuses", key, self.names, reading, **fields)]

    def _alike(self, apart_v):
        """How far strings may stand apart, and what is done where they do."""
        alone = "_one" if self.form == "cable" and self.pack.series == 1 else ""
        again = word(f"build.steps.again.{self.form}{alone}")
        many = "two" if len(self.names) == 2 else "many"
        fields = {"most": tenth_words(apart_v), "again": again}
        return _step("alike", f"build.steps.alike.{many}", **fields)

    def in_use(self, load, leads):
        """The main fuse, the device, the label."""
        pack, fuse = self.pack, leads.fuse
        rating = {"rating": write(fuse.rating_a, "A")} if fuse else {}
        key = f"build.steps.fuse.{'strings' if self.strings else 'fused' if fuse else 'bare'}"
        loaded = under_load(pack, load, leads.wire)
        told = {"volts": write(pack.nominal_voltage_v, "V"), "energy": write(pack.energy_wh, "Wh")}
        told["name"] = f"{pack.name} {pack.cell.title}"
        return [
            _step("fuse", key, reading=resting("leads", pack.cell, pack.series), **rating),
            _step("device", "build.steps.device"),
            _step("load", "build.steps.load", reading=loaded),
            _step("label", "build.steps.label", **told),
            *self._first_run(load, leads),
        ]

    def _first_run(self, load, leads):
        """Whether the cut-off ends the run in time; without one nothing."""
        if self.guard == "plain":
            return []
        volts = lowest_at_device_v(self.pack, load, leads.peak_drop_v)
        low = tenth_words(with_tolerance(volts, volts)[0])
        return [_step("first_run", "build.steps.first_run", low=low)]
