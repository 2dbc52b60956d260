"""How a pack is put together, step by step, and what a meter shows after each step."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from packlearn._simulation.plans import letters
from packlearn.building._data import table
from packlearn.building.wires import Wire
from packlearn.finding import Meter
from packlearn.holders import MOST_STRING_ROWS, layout
from packlearn.peaks import voltage_under_peak_v
from packlearn.quantities import write
from packlearn.words import say, word

STAGES = ("cell", "grows", "string", "pack", "leads", "load", "delivered", "charged")
STEPS = (
    "cells",
    "each",
    "lay",
    "black",
    "join",
    "red",
    "close",
    "alike",
    "string_fuses",
    "fuse",
    "device",
    "load",
    "label",
)


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
    """

    kind: str
    sentence: str
    contacts: tuple[str, ...] = ()
    reading: Reading | None = None


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


def with_tolerance(low_v, high_v):
    """A range widened by the meter's tolerance, both [V]."""
    meter = Meter()
    return low_v - float(meter.tolerance_v(low_v)), high_v + float(meter.tolerance_v(high_v))


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
        Tuple of ``Step``.
    """
    strings, fuse = joined_in_strings(pack), leads.fuse
    laid = layout(pack.series, pack.parallel, strings)
    joints = _joints(pack, laid, strings, form)
    red = _red(pack, laid, strings, "fused" if fuse else "bare", guarded)
    steps = [*_cells(pack, laid, form), *_black(pack, laid)]
    steps += [step for step in joints if step.kind != "close"] + red
    steps += [step for step in joints if step.kind == "close"]
    if strings:
        steps += _strings(pack, apart_v, leads.string_fuse)
    cell = pack.cell
    free = resting("leads", cell, pack.series)
    rating = {"rating": write(fuse.rating_a, "A")} if fuse else {}
    key = f"build.steps.fuse.{'fused' if fuse else 'bare'}"
    steps.append(_step("fuse", key, reading=free, **rating))
    steps.append(_step("device", "build.steps.device"))
    steps.append(_step("load", "build.steps.load", reading=under_load(pack, load, leads.wire)))
    told = {"volts": write(pack.nominal_voltage_v, "V"), "energy": write(pack.energy_wh, "Wh")}
    name = f"{pack.name} {cell.title}"
    steps.append(_step("label", "build.steps.label", name=name, **told))
    return tuple(steps)


def _cells(pack, laid, form):
    """What is done with the cells before anything is joined."""
    cell, labels = pack.cell, sorted_labels(laid)
    alone = len(labels) == 1
    kind = "charged" if cell.rechargeable else "fresh"
    noun = ("block" if form != "strip" else "cell") + ("" if alone else "s")
    what = word(f"build.steps.cells.{noun}")
    ends = {"plus": laid.red, "minus": laid.black}
    lay = f"build.steps.lay.{form}" + ("_one" if alone else "")
    # A single cell is its pack: its reading is that of the pack before the fuse.
    once = resting("pack", cell, 1, laid.red, laid.black) if alone else None
    each = {"first": labels[0], "last": labels[-1]}
    return [
        _step("cells", f"build.steps.cells.{kind}" + ("_one" if alone else ""), what=what),
        _step(
            "each",
            "build.steps.each." + ("one" if alone else "many"),
            labels,
            resting("cell", cell),
            **({} if alone else each),
        ),
        _step("lay", lay, labels, once, **(ends if alone else {})),
    ]


def sorted_labels(laid):
    """Labels of a layout, group after group from the minus end.

    Args:
        laid: a ``holders.Layout``.
    """
    names = [letters(place) for place in range(laid.parallel)]
    return [f"{group}{name}" for group in range(1, laid.series + 1) for name in names]


def _step(kind, key, contacts=(), reading=None, **fields):
    return Step(kind, say(key, **fields), tuple(contacts), reading)


def _listed(contacts):
    if len(contacts) == 1:
        return contacts[0]
    return say("bench.layout.listed", most=", ".join(contacts[:-1]), last=contacts[-1])


def _black(pack, laid):
    """The minus wire, and what it joins."""
    if pack.parallel == 1:
        return [_step("black", "build.steps.black.one", (laid.black,), contact=laid.black)]
    ends = [f"1{letters(place)}-" for place in range(pack.parallel)]
    told = {"ends": _listed(ends)}
    if joined_in_strings(pack):
        return [_step("black", "build.steps.black.strings", ends, **told)]
    return [_step("black", "build.steps.black.group", ends, contact=laid.black, **told)]


def _joints(pack, laid, strings, form):
    """A step for each joint between groups, the last of each way marked as closing."""
    steps = []
    for joint in laid.joints:
        plus = [name for name in joint.contacts if name.endswith("+")]
        minus = [name for name in joint.contacts if name.endswith("-")]
        if not (plus and minus):
            continue
        group = int(minus[0].rstrip("-ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
        letter = minus[0].strip("-0123456789")
        closes = group == pack.series
        stage = ("string" if strings else "pack") if closes else "grows"
        reading = resting(stage, pack.cell, group, f"{group}{letter}+", f"1{letter}-")
        kind = "close" if closes else "join"
        key = f"build.steps.{kind}.{form}" + ("_group" if len(joint.strips) > 1 else "")
        listed = _listed(joint.contacts)
        steps.append(_step(kind, key, joint.contacts, reading, ends=listed))
    return steps


def _red(pack, laid, strings, fused, guarded):
    """The fuse holder with what follows it, still without its fuse."""
    ends = [f"{pack.series}{letters(place)}+" for place in range(pack.parallel)]
    told = {"ends": _listed(ends)}
    if strings:
        fused, first = "main", [_step("red", "build.steps.red.strings", ends, **told)]
    else:
        first = [_step("red", "build.steps.red.group", ends, **told)] if len(ends) > 1 else []
    behind = word(f"build.steps.behind.{fused}_{'guarded' if guarded else 'plain'}")
    contact = {} if strings else {"contact": laid.red}
    return [*first, _step("red", f"build.steps.red.{fused}", ends, behind=behind, **contact)]


def tenth_words(volts):
    """A voltage as a meter with two decimals tells it, rounded down: ``0.04 V``."""
    return f"{max(0.01, math.floor(100 * volts) / 100):.2f} V"


def _strings(pack, apart_v, string_fuse):
    """Strings are held against one another before their fuses join them."""
    most = tenth_words(apart_v) if apart_v else ""
    alike = [_step("alike", "build.steps.alike", most=most)] if apart_v else []
    reading = resting("pack", pack.cell, pack.series, "", "")
    rating = write(string_fuse[0], "A")
    fuses = _step("string_fuses", "build.steps.string_fuses", reading=reading, rating=rating)
    return [*alike, fuses]
