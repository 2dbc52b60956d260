"""Published values of circuits of sources, worked out as wirings; see ``published.py``.

Cells have the book's emf and resistance. Resistances of a circuit are links or the load; where a
book prescribes a current, the load that takes it is looked for. Ids, tolerances and the word
"companion" are as in ``published.py``.
"""

from dataclasses import replace

import published
from published import (
    CP,
    CP_EMF,
    DHOGAL,
    GUPTA,
    KUPHALDT,
    MEHTA,
    UP,
    Row,
    cell,
    solved,
)

from packlearn.packs import Pack
from packlearn.wiring import Wiring

CP_KIRCHHOFF = CP + "sec. 21.3 on Kirchhoff's rules, worked example"
UP_REVERSED = UP + "sec. 10.3 on Kirchhoff's rules, problem of two batteries and three resistors"
KUPHALDT_10 = KUPHALDT + "ch. 10 on network analysis, "
BIRD_13 = "Bird, Electrical Circuit Theory and Technology, ch. 13, example 2, p. 168 (companion)"
ROBERTSON = "Robertson, Fundamental Electrical and Electronic Principles, ch. "
ROBERTSON_2 = ROBERTSON + "2, example 2.10, p. 53 (companion)"
MEHTA_REVERSED = MEHTA + "example 5.42, p. 292 (companion)"
KULSHRESHTHA = "Kulshreshtha, Basic Electrical Engineering, ch. 3, example 3.31, p. 87 (companion)"
GUPTA_OPPOSED = GUPTA + "example 6.38, p. 198 (companion)"
GUPTA_7 = "Gupta, Modern Physics, ch. 7, example 7.2, p. 229 (companion)"
DHOGAL_TWO = DHOGAL + "example 9.9, p. 182 (companion)"
LINDEN = "Linden's Handbook of Batteries, 4th ed., p. 5.8, text and figure"


# How a circuit of the books becomes a wiring.


def line(*cells):
    """Cells in line, leads at the ends."""
    return Wiring.of(Pack.of_cells([[each] for each in cells]))


def single(volts, ohm=0.0):
    """One source."""
    return line(cell(volts, ohm))


def pack(volts, ohm, series=1, parallel=1):
    """Equal cells, as strings where there are several."""
    return Wiring.of(Pack(cell(volts, ohm), series, parallel), strings=True)


def beside(*branches):
    """Sources with a resistance each in line, side by side: 1A, 1B, ...

    Args:
        branches: volts, ohm inside, ohm in line outside.
    """
    wiring = Wiring().place("1M", cell(1.0)).take_out("1M")
    for letter, (volts, inside, outside) in zip("ABC", branches, strict=False):
        wiring = wiring.place(f"1{letter}", cell(volts, inside))
        wiring = wiring.link(f"1{letter}-", "1M-").link(f"1{letter}+", "1M+", ohm=outside)
    return wiring.leads("1M+", "1M-")


def through(wiring, *ohms):
    """The red lead goes on through resistances side by side."""
    number, last = len(wiring.places) + 1, None
    for letter, ohm in zip("ABC", ohms, strict=False):
        label = f"{number}{letter}"
        wiring = wiring.place(label, cell(1.0)).take_out(label)
        wiring = wiring.link(wiring.red, f"{label}-", ohm=ohm)
        wiring = wiring.link(last, f"{label}-") if last else wiring
        last = f"{label}-"
    return wiring.leads(last, wiring.black)


def rest_v(wiring):
    """Voltage between the leads with no load."""
    return wiring.reading_v(wiring.red, wiring.black)


def load_v(wiring, load_ohm):
    """Voltage at a load between the leads."""
    return wiring.reading_v(wiring.red, wiring.black, load_ohm=load_ohm)


def across_v(wiring, label, load_ohm=None):
    """Voltage across one cell, its own plus against its own minus."""
    ends = ("-", "+") if wiring.cell_at(label).turned else ("+", "-")
    return wiring.reading_v(*(label + end for end in ends), load_ohm=load_ohm)


def amps(wiring, label, load_ohm=None):
    """Current of one cell."""
    return wiring.currents_a(load_ohm)[label]


def load_w(wiring, load_ohm):
    """Power of a load."""
    return load_v(wiring, load_ohm) * wiring.load_current_a(load_ohm)


def short_a(wiring):
    """Current through an ideal ammeter between the leads."""
    return wiring.ammeter_a(wiring.red, wiring.black, shunt_ohm=0.0)


def ohm(wiring):
    """Resistance between the leads: voltage with no load by current of a short circuit."""
    return rest_v(wiring) / short_a(wiring)


def load_for(wiring, current_a):
    """Load that takes a current."""
    return solved(wiring.load_current_a, current_a, 1e-3, 1e6)


def starter():
    """A car's battery whose contacts are corroded."""
    return through(single(12.0, 0.01), 0.09)


def charged(battery_ohm, charger_v):
    """A 12 V battery on a charger that holds a voltage."""
    return beside((12.0, battery_ohm, 0.0), (charger_v, 0.0, 0.0))


def toy(weak_ohm=0.1):
    """Three good cells and a weak one."""
    good = cell(1.58, 0.02)
    return line(good, good, good, cell(1.53, weak_ohm))


def openstax_two(turned):
    """1.6 V and 1.4 V, each behind 1 kohm, feed 2 kohm; the second may be turned."""
    wiring = beside((1.6, 0.0, 1000.0), (1.4, 0.0, 1000.0))
    return wiring.turn("1B") if turned else wiring


def to_red_ma(wiring, label, load_ohm):
    """Current of a branch towards the red lead [mA], whichever way its cell lies."""
    return 1000 * wiring.link_currents_a(load_ohm)[f"{label}+", "1M+"]


def ten(*turned):
    """Ten cells of 1.5 V in line, some turned."""
    wiring = pack(1.5, 0.1, series=10)
    for label in turned:
        wiring = wiring.turn(label)
    return wiring


def opposed(first, second):
    """Two sources in line, the first turned."""
    return line(cell(*first), cell(*second)).turn("1A")


def kulshreshtha():
    """4 V against 8 V, then 3 and 6 ohm side by side; 4.5 ohm is the load."""
    return through(opposed((4.0, 0.5), (8.0, 1.0)), 3.0, 6.0)


def gupta():
    """8 V against 20 V, then 12, 6 and 4 ohm side by side; 5 ohm is the load."""
    return through(opposed((8.0, 2.0), (20.0, 1.0)), 12.0, 6.0, 4.0)


def charger_of_fifty():
    """50 cells of 1.8 V against a charger of 250 V, 19.4 ohm in line."""
    cells = [cell(1.8, 0.01)] * 50
    wiring = through(line(cell(250.0, 0.1), *cells), 19.4)
    for label in wiring.labels[1:]:
        wiring = wiring.turn(label)
    return wiring


def four_with_one_turned(strings=1):
    """Four cells in line, the fourth turned; maybe two such strings side by side."""
    wiring = pack(1.5, 0.2, series=4, parallel=strings)
    return wiring.turn("4A")


def taking(wiring, load_ohm=None):
    """How many cells take current instead of giving it."""
    return float(sum(flow < -1e-9 for flow in wiring.currents_a(load_ohm).values()))


BY_ID = {row.id: row for row in published.ROWS}


def again(name, compute):
    """A row of ``published.py``, computed as a wiring."""
    return replace(BY_ID[name], compute=compute)


# A source and what it feeds.

FEEDING = [
    again("T1-02", lambda: load_v(single(12.0, 0.1), 10.0)),
    again("T1-03", lambda: single(12.0, 0.1).load_current_a(0.5)),
    again("T1-04", lambda: load_v(single(12.0, 0.1), 0.5)),
    again("T1-05", lambda: load_w(single(12.0, 0.1), 0.5)),
    again("T1-06", lambda: single(12.0, 0.5).load_current_a(0.5)),
    again("T1-10", lambda: load_v(single(3.0, 2.0), load_for(single(3.0, 2.0), 0.3e-3))),
    again("T1-13", lambda: load_w(single(1.58, 0.1), 2.3)),
    again("T1-14", lambda: single(12.0, 0.01).load_current_a(0.05)),
    again("T1-16", lambda: load_w(single(12.0, 0.01), 0.05) / 1000),
    again("T1-17", lambda: starter().load_current_a(0.05)),
    again("T1-18", lambda: load_v(starter(), 0.05)),
    again("T1-20", lambda: solved(lambda r: load_v(single(12.0, r), 10.0 / 5.0), 10.0, 0.0, 9.0)),
    again("T1-23", lambda: solved(lambda r: load_v(single(9.0, r), 8.0 / 4.0), 8.0, 0.0, 9.0)),
    again("T1-31", lambda: load_w(single(1.25, 0.04), 3.2)),
    again("T1-32", lambda: load_w(single(1.58, 0.2), 3.2)),
    again("T1-47", lambda: single(30.0, 1.0).load_current_a(19.0)),
    again(
        "T1-49",
        lambda: amps(single(30.0, 1.0), "1A", 19.0) * (30.0 - load_v(single(30.0, 1.0), 19.0)),
    ),
    again("T1-51", lambda: single(10.0, 0.2).load_current_a(1.0)),
    again("T1-52", lambda: amps(single(10.0, 0.2).link("1A+", "1A-"), "1A")),
    again("T1-78", lambda: load_v(single(6.0, 0.15), load_for(single(6.0, 0.15), 2.0))),
    again("T1-80", lambda: solved(lambda r: load_v(single(12.0, r), 11.5 / 5.0), 11.5, 0.0, 2.0)),
    again("T1-81", lambda: load_for(single(12.0, 0.1), 5.0)),
    again("T1-86", lambda: solved(lambda v: load_v(single(v, 2.0), 19.0 / 0.5), 19.0, 1.0, 99.0)),
    again("T1-97", lambda: load_v(single(10.0, 3.0), load_for(single(10.0, 3.0), 0.5))),
    again("T1-111", lambda: single(1.5, 0.05).load_current_a(0.4)),
    again(
        "T1-112", lambda: solved(lambda r: load_v(single(100.0, r), 80.0 / 2.0), 80.0, 0.0, 40.0)
    ),
    again("T1-113", lambda: across_v(through(single(12.0, 6.0), 3.0, 4.0, 6.0), "1A", 4.0)),
    again(
        "T1-117", lambda: solved(lambda r: single(40.0, r).load_current_a(500.0), 0.077, 0.0, 99.0)
    ),
]

# What a voltmeter does to a source.

METERS = [
    again("T1-25", lambda: 1000 * single(1.585, 0.1).load_current_a(1000.0)),
    again("T1-26", lambda: single(1.585, 0.1).reading_v("1A+", "1A-", meter_ohm=1000.0)),
    again("T1-27", lambda: single(1.585, 0.1).reading_v("1A+", "1A-", meter_ohm=1000.0) / 1.585),
    again("T1-55", lambda: single(13.0, 5.0).reading_v("1A+", "1A-", meter_ohm=100.0)),
    again("T1-56", lambda: single(11.5, 20.0).reading_v("1A+", "1A-", meter_ohm=100.0)),
    again("T1-57", lambda: single(7.5, 50.0).reading_v("1A+", "1A-", meter_ohm=100.0)),
]

# In line and side by side.

JOINED = [
    again("T1-09", lambda: solved(lambda v: rest_v(pack(v, 0.1, series=6)), 12.0, 0.1, 10.0)),
    again("T1-24", lambda: ohm(opposed((1.0, 0.25), (2.0, 0.25)))),
    again("T1-36", lambda: toy().load_current_a(10.0)),
    again("T1-37", lambda: load_w(toy(), 10.0)),
    again("T1-38", lambda: solved(lambda r: load_w(toy(r), 10.0), 0.5, 0.0, 99.0)),
    again("T1-46", lambda: across_v(pack(1.5, 1.0, 2, 2), "2B", 10.0)),
    again("T1-53", lambda: ohm(pack(10.0, 0.2, parallel=5))),
    again("T1-65", lambda: rest_v(pack(2.2, 0.2, series=8))),
    again("T1-66", lambda: ohm(pack(2.2, 0.2, series=8))),
    again("T1-67", lambda: rest_v(pack(2.2, 0.2, parallel=8))),
    again("T1-89", lambda: across_v(line(cell(1.5, 0.5), cell(1.5, 0.25)), "2A", 2.25)),
    again(
        "T1-92", lambda: solved(lambda r: load_v(pack(2.0, r, parallel=4), 7.5), 1.6, 0.1, 100.0)
    ),
    again("T1-101", lambda: pack(2.0, 0.015, series=6).load_current_a(8.5)),
    again("T1-102", lambda: load_v(pack(2.0, 0.015, series=6), 8.5)),
    again(
        "T1-103",
        lambda: solved(lambda r: pack(4.0, r, series=3).load_current_a(6.0), 1.5, 0.0, 9.0),
    ),
    again("T1-104", lambda: load_v(pack(2.0, 1.5, 2, 2), 10.0)),
    again("T1-120", lambda: pack(1.5, 1.0, parallel=10).load_current_a(4.9)),
    again("T1-121", lambda: pack(1.5, 0.5, 10, 3).load_current_a(2.5)),
    again(
        "T1-123",
        lambda: solved(lambda v: pack(v, 0.5, series=6).load_current_a(3.0), 2.5, 0.1, 9.0),
    ),
    again(
        "T1-124",
        lambda: solved(
            lambda r: pack(1.0, r, 6).load_current_a(3.0) / pack(1.0, r, 6).load_current_a(9.0),
            2.5 / 1.25,
            0.0,
            9.0,
        ),
    ),
]

# Unequal sources side by side.

UNEQUAL = [
    Row(
        "T1-28",
        "18 V, 0.5 + 2.5 ohm; 45 V, 0.5 + 1.5 ohm; 6 ohm",
        4.75,
        "A",
        0.005,
        CP_KIRCHHOFF,
        lambda: beside((18.0, 0.5, 2.5), (45.0, 0.5, 1.5)).load_current_a(6.0),
    ),
    Row(
        "T1-29",
        "the same: the weaker is charged",
        -3.5,
        "A",
        0.005,
        CP_KIRCHHOFF,
        lambda: amps(beside((18.0, 0.5, 2.5), (45.0, 0.5, 1.5)), "1A", 6.0),
    ),
    Row(
        "T1-30",
        "the same: the stronger",
        8.25,
        "A",
        0.005,
        CP_KIRCHHOFF,
        lambda: amps(beside((18.0, 0.5, 2.5), (45.0, 0.5, 1.5)), "1B", 6.0),
    ),
    Row(
        "T1-41",
        "1.6 V and 1.4 V behind 1 kohm each; 2 kohm: the second",
        0.2,
        "mA",
        0.05,
        UP_REVERSED,
        lambda: to_red_ma(openstax_two(turned=False), "1B", 2000.0),
    ),
    Row(
        "T1-43",
        "the same, the second turned: the first",
        1.52,
        "mA",
        0.005,
        UP_REVERSED,
        lambda: to_red_ma(openstax_two(turned=True), "1A", 2000.0),
    ),
    Row(
        "T1-44",
        "the same, the second turned: the second",
        -1.48,
        "mA",
        0.005,
        UP_REVERSED,
        lambda: to_red_ma(openstax_two(turned=True), "1B", 2000.0),
    ),
    Row(
        "T1-59",
        "28 V, 4 ohm; 7 V, 1 ohm; 2 ohm: the stronger",
        5,
        "A",
        0.5,
        KUPHALDT_10 + "branch currents",
        lambda: amps(beside((28.0, 4.0, 0.0), (7.0, 1.0, 0.0)), "1A", 2.0),
    ),
    Row(
        "T1-60",
        "the same: the load",
        4,
        "A",
        0.5,
        KUPHALDT_10 + "branch currents",
        lambda: beside((28.0, 0.0, 4.0), (7.0, 0.0, 1.0)).load_current_a(2.0),
    ),
    Row(
        "T1-61",
        "the same: into the weaker",
        1,
        "A",
        0.5,
        KUPHALDT_10 + "branch currents",
        lambda: -amps(beside((28.0, 4.0, 0.0), (7.0, 1.0, 0.0)), "1B", 2.0),
    ),
    Row(
        "T1-62",
        "the same, no load",
        11.2,
        "V",
        0.05,
        KUPHALDT_10 + "Thevenin's theorem",
        lambda: rest_v(beside((28.0, 4.0, 0.0), (7.0, 1.0, 0.0))),
    ),
    again("T1-64", lambda: short_a(beside((28.0, 4.0, 0.0), (7.0, 1.0, 0.0)))),
    Row(
        "T1-74",
        "4 V, 2 ohm; 2 V, 1 ohm; 4 ohm: the first",
        0.857,
        "A",
        5e-4,
        BIRD_13,
        lambda: amps(beside((4.0, 2.0, 0.0), (2.0, 1.0, 0.0)), "1A", 4.0),
    ),
    Row(
        "T1-75",
        "the same: into the second",
        0.286,
        "A",
        5e-4,
        BIRD_13,
        lambda: -amps(beside((4.0, 2.0, 0.0), (2.0, 1.0, 0.0)), "1B", 4.0),
    ),
    Row(
        "T1-76",
        "the same: the load",
        0.571,
        "A",
        5e-4,
        BIRD_13,
        lambda: beside((4.0, 2.0, 0.0), (2.0, 1.0, 0.0)).load_current_a(4.0),
    ),
    Row(
        "T1-82",
        "6 V, 1.5 ohm; 4.5 V, 2 ohm; 5 ohm: the first",
        0.951,
        "A",
        5e-4,
        ROBERTSON_2,
        lambda: amps(beside((6.0, 1.5, 0.0), (4.5, 2.0, 0.0)), "1A", 5.0),
    ),
    Row(
        "T1-84",
        "the same: the load",
        0.915,
        "A",
        5e-4,
        ROBERTSON_2,
        lambda: beside((6.0, 1.5, 0.0), (4.5, 2.0, 0.0)).load_current_a(5.0),
    ),
    Row(
        "T1-85",
        "the same: at the load",
        4.573,
        "V",
        5e-4,
        ROBERTSON_2,
        lambda: load_v(beside((6.0, 1.5, 0.0), (4.5, 2.0, 0.0)), 5.0),
    ),
    Row(
        "T1-105",
        "1.5 V, 1 ohm; 2 V, 2 ohm; 5 ohm: the first",
        0.0294,
        "A",
        5e-5,
        GUPTA_7,
        lambda: amps(beside((1.5, 1.0, 0.0), (2.0, 2.0, 0.0)), "1A", 5.0),
    ),
    Row(
        "T1-106",
        "the same: the second",
        0.2647,
        "A",
        5e-5,
        GUPTA_7,
        lambda: amps(beside((1.5, 1.0, 0.0), (2.0, 2.0, 0.0)), "1B", 5.0),
    ),
    Row(
        "T1-107",
        "the same: at the load",
        1.4706,
        "V",
        5e-5,
        GUPTA_7,
        lambda: load_v(beside((1.5, 1.0, 0.0), (2.0, 2.0, 0.0)), 5.0),
    ),
]

# Charged, opposed, turned.

AGAINST = [
    again("T1-11", lambda: solved(lambda r: amps(charged(r, 15.0), "1A"), -8.0, 0.1, 9.0)),
    again("T1-33", lambda: solved(lambda r: amps(charged(r, 16.0), "1A"), -10.0, 0.1, 9.0)),
    again("T1-34", lambda: -amps(charged(0.4, 16.0), "1A") * (rest_v(charged(0.4, 16.0)) - 12.0)),
    Row(
        "T1-90",
        "ten of 1.5 V, 0.1 ohm; 4 ohm: less with two turned",
        1.2,
        "A",
        0.05,
        MEHTA_REVERSED,
        lambda: ten().load_current_a(4.0) - ten("3A", "7A").load_current_a(4.0),
    ),
    Row(
        "T1-93",
        "4 V against 8 V; 3 and 6 ohm side by side, 4.5 ohm",
        0.5,
        "A",
        0.005,
        KULSHRESHTHA,
        lambda: kulshreshtha().load_current_a(4.5),
    ),
    again("T1-94", lambda: across_v(kulshreshtha(), "1A", 4.5)),
    again("T1-95", lambda: across_v(kulshreshtha(), "2A", 4.5)),
    Row(
        "T1-98",
        "20 V against 8 V; 12, 6 and 4 ohm side by side, 5 ohm",
        1.2,
        "A",
        0.05,
        GUPTA_OPPOSED,
        lambda: gupta().load_current_a(5.0),
    ),
    again("T1-100", lambda: across_v(gupta(), "1A", 5.0)),
    again("T1-110", lambda: across_v(opposed((6.0, 0.9), (24.0, 0.1)), "1A", 8.0)),
    again("T1-125", lambda: short_a(charger_of_fifty())),
    Row(
        "T1-127",
        "230 V through 5 ohm into 122 V, 0.4 ohm and 130 V, 0.5 ohm",
        20,
        "A",
        0.05,
        DHOGAL_TWO,
        lambda: amps(beside((122.0, 0.4, 0.0), (130.0, 0.5, 0.0), (230.0, 0.0, 5.0)), "1C"),
    ),
    Row(
        "T1-128",
        "the same: the 130 V battery",
        0,
        "A",
        0.05,
        DHOGAL_TWO,
        lambda: amps(beside((122.0, 0.4, 0.0), (130.0, 0.5, 0.0), (230.0, 0.0, 5.0)), "1B"),
    ),
    Row(
        "T10-01",
        "four in line, one turned, under load: how many are charged",
        1,
        "cells",
        0,
        LINDEN,
        lambda: taking(four_with_one_turned(), 10.0),
    ),
    Row(
        "T10-02",
        "two strings, one cell turned, no load: whether current flows",
        1,
        "bool",
        0,
        LINDEN,
        lambda: float(taking(four_with_one_turned(strings=2)) > 0),
    ),
    Row(
        "T10-03",
        "four of 1.5 V in line, one turned",
        3,
        "V",
        0.05,
        CP_EMF + "rule; numbers ours",
        lambda: rest_v(four_with_one_turned()),
    ),
    Row(
        "T10-04",
        "ten of 1.5 V in line, two turned",
        9,
        "V",
        0.05,
        MEHTA_REVERSED + "; number derived",
        lambda: rest_v(ten("1A", "2A")),
    ),
]

ROWS = FEEDING + METERS + JOINED + UNEQUAL + AGAINST
