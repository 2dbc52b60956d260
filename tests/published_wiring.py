"""Published values of circuits of sources, worked out as wirings; see ``published.py``.

Cells have the book's emf and resistance. Resistances of a circuit are links or the load; where a
book prescribes a current, the load that takes it is looked for. Ids, tolerances and the word
"companion" are as in ``published.py``.
"""

from published import (
    BOYLESTAD,
    CP,
    CP_EMF,
    CP_EXAMPLE,
    CP_METER,
    CP_STARTER,
    DHOGAL,
    GUPTA,
    KUPHALDT,
    KUPHALDT_11,
    MEHTA,
    UP,
    UP_EMF,
    UP_MORE,
    UP_TOY,
    Row,
    cell,
    solved,
)

from packlearn.packs import Pack
from packlearn.wiring import Wiring

CP_KIRCHHOFF = CP + "sec. 21.3 on Kirchhoff's rules, worked example"
CP_TEST = CP_EMF + "test preparation"
UP_REVERSED = UP + "sec. 10.3 on Kirchhoff's rules, problem of two batteries and three resistors"
KUPHALDT_10 = KUPHALDT + "ch. 10 on network analysis, "
BIRD_4 = "Bird, Electrical Circuit Theory and Technology, ch. 4, example 1, p. 35 (companion)"
BIRD_13 = "Bird, Electrical Circuit Theory and Technology, ch. 13, example 2, p. 168 (companion)"
ROBERTSON = "Robertson, Fundamental Electrical and Electronic Principles, ch. "
ROBERTSON_1 = ROBERTSON + "1, p. 16 (companion)"
ROBERTSON_2 = ROBERTSON + "2, example 2.10, p. 53 (companion)"
MEHTA_REVERSED = MEHTA + "example 5.42, p. 292 (companion)"
KULSHRESHTHA = "Kulshreshtha, Basic Electrical Engineering, ch. 3, example 3.31, p. 87 (companion)"
GUPTA_OPPOSED = GUPTA + "example 6.38, p. 198 (companion)"
GUPTA_SIX = GUPTA + "example 6.39, p. 198 (companion)"
GUPTA_7 = "Gupta, Modern Physics, ch. 7, example 7.2, p. 229 (companion)"
DHOGAL_SIX = DHOGAL + "example 9.5, p. 173 (companion)"
DHOGAL_TWO = DHOGAL + "example 9.9, p. 182 (companion)"
BUECHE = "Bueche, Principles of Physics, ch. 17, example 17.15, p. 874 (companion)"
BEISER = (
    "Beiser, Basic Mathematics for Electricity and Electronics, ch. 6, problem 6.7, p. 57 "
    "(companion)"
)
GROB = "Schultz, Grob's Basic Electronics, ch. 12, example 12-1, p. 368 (companion)"
MUTHU = (
    "Muthusubramanian and Salivahanan, Basic Electrical and Electronics Engineering, ch. 1, "
    "example 1.31, p. 44 (companion)"
)
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


# A source and what it feeds.

FEEDING = [
    Row(
        "T1-02", "12 V, 0.1 ohm; 10 ohm", 11.9, "V", 0.05, CP_EXAMPLE,
        lambda: load_v(single(12.0, 0.1), 10.0),
    ),
    Row(
        "T1-03", "12 V, 0.1 ohm; 0.5 ohm", 20, "A", 0.05, CP_EXAMPLE,
        lambda: single(12.0, 0.1).load_current_a(0.5),
    ),
    Row(
        "T1-04", "12 V, 0.1 ohm; 0.5 ohm", 10, "V", 0.05, CP_EXAMPLE,
        lambda: load_v(single(12.0, 0.1), 0.5),
    ),
    Row(
        "T1-05", "12 V, 0.1 ohm; 0.5 ohm", 200, "W", 0.5, CP_EXAMPLE,
        lambda: load_w(single(12.0, 0.1), 0.5),
    ),
    Row(
        "T1-06", "aged: 12 V, 0.5 ohm; 0.5 ohm", 12, "A", 0.05, CP_EXAMPLE,
        lambda: single(12.0, 0.5).load_current_a(0.5),
    ),
    Row(
        "T1-10", "3 V, 2 ohm; 0.3 mA", 2.9994, "V", 5e-5, CP_EMF + "problem 16",
        lambda: load_v(single(3.0, 2.0), load_for(single(3.0, 2.0), 0.3e-3)),
    ),
    Row(
        "T1-13", "1.58 V, 0.1 ohm; 2.3 ohm", 0.997, "W", 5e-4, CP_EMF + "problem 21",
        lambda: load_w(single(1.58, 0.1), 2.3),
    ),
    Row(
        "T1-14", "12 V, 0.01 ohm; starter 0.05 ohm", 200, "A", 0.5, CP_STARTER,
        lambda: single(12.0, 0.01).load_current_a(0.05),
    ),
    Row(
        "T1-16", "12 V, 0.01 ohm; starter 0.05 ohm", 2, "kW", 0.005, CP_STARTER,
        lambda: load_w(single(12.0, 0.01), 0.05) / 1000,
    ),
    Row(
        "T1-17", "the same with 0.09 ohm in the contacts", 80, "A", 0.05, CP_STARTER,
        lambda: starter().load_current_a(0.05),
    ),
    Row(
        "T1-18", "the same with 0.09 ohm in the contacts", 4, "V", 0.05, CP_STARTER,
        lambda: load_v(starter(), 0.05),
    ),
    Row(
        "T1-20", "2 V less for 5 A more", 0.4, "ohm", 5e-4, CP_EMF + "problem 25",
        lambda: solved(lambda r: load_v(single(12.0, r), 10.0 / 5.0), 10.0, 0.0, 9.0),
    ),
    Row(
        "T1-23", "1 V less for 4 A", 0.25, "ohm", 0.005, CP_TEST,
        lambda: solved(lambda r: load_v(single(9.0, r), 8.0 / 4.0), 8.0, 0.0, 9.0),
    ),
    Row(
        "T1-31", "1.25 V, 0.04 ohm; 3.2 ohm", 0.476, "W", 5e-4, UP_EMF,
        lambda: load_w(single(1.25, 0.04), 3.2),
    ),
    Row(
        "T1-32", "1.58 V, 0.2 ohm; 3.2 ohm", 0.691, "W", 5e-4, UP_EMF,
        lambda: load_w(single(1.58, 0.2), 3.2),
    ),
    Row(
        "T1-47", "30 V, 1 ohm; 20 ohm in all", 1.5, "A", 0.005, UP_MORE,
        lambda: single(30.0, 1.0).load_current_a(19.0),
    ),
    Row(
        "T1-49", "the same: lost inside", 2.25, "W", 0.005, UP_MORE,
        lambda: amps(single(30.0, 1.0), "1A", 19.0) * (30.0 - load_v(single(30.0, 1.0), 19.0)),
    ),
    Row(
        "T1-51", "10 V, 0.2 ohm; 1 ohm", 8.333, "A", 5e-4, KUPHALDT_11 + ", ratings",
        lambda: single(10.0, 0.2).load_current_a(1.0),
    ),
    Row(
        "T1-52", "10 V, 0.2 ohm; short", 50, "A", 0.5, KUPHALDT_11 + ", ratings",
        lambda: amps(single(10.0, 0.2).link("1A+", "1A-"), "1A"),
    ),
    Row(
        "T1-78", "6 V, 0.15 ohm; 2 A", 5.7, "V", 0.05, ROBERTSON_1,
        lambda: load_v(single(6.0, 0.15), load_for(single(6.0, 0.15), 2.0)),
    ),
    Row(
        "T1-80", "12 V; 11.5 V at 5 A", 0.1, "ohm", 0.05, ROBERTSON_1,
        lambda: solved(lambda r: load_v(single(12.0, r), 11.5 / 5.0), 11.5, 0.0, 2.0),
    ),
    Row(
        "T1-81", "12 V, 0.1 ohm; 5 A", 2.3, "ohm", 0.05, ROBERTSON_1,
        lambda: load_for(single(12.0, 0.1), 5.0),
    ),
    Row(
        "T1-86", "19 V at 0.5 A behind 2 ohm", 20, "V", 0.05,
        MEHTA + "example 5.40, p. 292 (companion)",
        lambda: solved(lambda v: load_v(single(v, 2.0), 19.0 / 0.5), 19.0, 1.0, 99.0),
    ),
    Row(
        "T1-97", "10 V, 3 ohm; 0.5 A", 8.5, "V", 0.05, GUPTA + "example 6.33, p. 197 (companion)",
        lambda: load_v(single(10.0, 3.0), load_for(single(10.0, 3.0), 0.5)),
    ),
    Row(
        "T1-111", "1.5 V, 0.05 ohm; 0.4 ohm", 3.33, "A", 0.005, BEISER,
        lambda: single(1.5, 0.05).load_current_a(0.4),
    ),
    Row(
        "T1-112", "generator: 100 V; 80 V at 2 A", 10, "ohm", 0.5, GROB,
        lambda: solved(lambda r: load_v(single(100.0, r), 80.0 / 2.0), 80.0, 0.0, 40.0),
    ),
    Row(
        "T1-113", "12 V, 6 ohm; 3, 4 and 6 ohm side by side and 4 ohm", 5.647, "V", 5e-4, MUTHU,
        lambda: across_v(through(single(12.0, 6.0), 3.0, 4.0, 6.0), "1A", 4.0),
    ),
    Row(
        "T1-117", "40 V; 77 mA through 500 ohm", 19.48, "ohm", 0.005,
        BOYLESTAD + "example 5.21 (companion)",
        lambda: solved(lambda r: single(40.0, r).load_current_a(500.0), 0.077, 0.0, 99.0),
    ),
]  # fmt: skip

# What a voltmeter does to a source.

METERS = [
    Row(
        "T1-25", "1.585 V, 0.1 ohm; voltmeter of 1 kohm", 1.58, "mA", 0.005, CP_METER,
        lambda: 1000 * single(1.585, 0.1).load_current_a(1000.0),
    ),
    Row(
        "T1-26", "1.585 V, 0.1 ohm; voltmeter of 1 kohm", 1.5848, "V", 5e-5, CP_METER,
        lambda: single(1.585, 0.1).reading_v("1A+", "1A-", meter_ohm=1000.0),
    ),
    Row(
        "T1-27", "the same: reading by emf", 0.9999, "1", 5e-6, CP_METER,
        lambda: single(1.585, 0.1).reading_v("1A+", "1A-", meter_ohm=1000.0) / 1.585,
    ),
    Row(
        "T1-55", "13 V, 5 ohm; meter with 100 ohm", 12.381, "V", 5e-4, KUPHALDT_11 + ", test",
        lambda: single(13.0, 5.0).reading_v("1A+", "1A-", meter_ohm=100.0),
    ),
    Row(
        "T1-56", "11.5 V, 20 ohm; meter with 100 ohm", 9.583, "V", 5e-4, KUPHALDT_11 + ", test",
        lambda: single(11.5, 20.0).reading_v("1A+", "1A-", meter_ohm=100.0),
    ),
    Row(
        "T1-57", "7.5 V, 50 ohm; meter with 100 ohm", 5, "V", 5e-4, KUPHALDT_11 + ", test",
        lambda: single(7.5, 50.0).reading_v("1A+", "1A-", meter_ohm=100.0),
    ),
]  # fmt: skip

# In line and side by side.

JOINED = [
    Row(
        "T1-09", "six equal cells in line give 12 V", 2, "V", 0.005, CP_EMF + "problem 14",
        lambda: solved(lambda v: rest_v(pack(v, 0.1, series=6)), 12.0, 0.1, 10.0),
    ),
    Row(
        "T1-24", "two of 0.25 ohm in line, against each other", 0.5, "ohm", 0.005, CP_TEST,
        lambda: ohm(opposed((1.0, 0.25), (2.0, 0.25))),
    ),
    Row(
        "T1-36", "three good cells and a weak one; 10 ohm", 0.617, "A", 5e-4, UP_TOY,
        lambda: toy().load_current_a(10.0),
    ),
    Row(
        "T1-37", "three good cells and a weak one; 10 ohm", 3.81, "W", 0.005, UP_TOY,
        lambda: load_w(toy(), 10.0),
    ),
    Row(
        "T1-38", "the same; 0.5 W: resistance of the weak one", 18, "ohm", 0.05, UP_TOY,
        lambda: solved(lambda r: load_w(toy(r), 10.0), 0.5, 0.0, 99.0),
    ),
    Row(
        "T1-46", "2S2P of 1.5 V, 1 ohm; 10 ohm: each cell", 1.36, "V", 0.005, UP_MORE,
        lambda: across_v(pack(1.5, 1.0, 2, 2), "2B", 10.0),
    ),
    Row(
        "T1-53", "five of 0.2 ohm side by side", 0.04, "ohm", 0.005, KUPHALDT_11 + ", ratings",
        lambda: ohm(pack(10.0, 0.2, parallel=5)),
    ),
    Row(
        "T1-65", "eight of 2.2 V in line", 17.6, "V", 0.05, BIRD_4,
        lambda: rest_v(pack(2.2, 0.2, series=8)),
    ),
    Row(
        "T1-66", "eight of 0.2 ohm in line", 1.6, "ohm", 0.05, BIRD_4,
        lambda: ohm(pack(2.2, 0.2, series=8)),
    ),
    Row(
        "T1-67", "eight of 2.2 V side by side", 2.2, "V", 0.05, BIRD_4,
        lambda: rest_v(pack(2.2, 0.2, parallel=8)),
    ),
    Row(
        "T1-89", "two of 1.5 V, 0.5 and 0.25 ohm in line; 2.25 ohm", 1.25, "V", 0.005,
        MEHTA + "example 5.41, p. 292 (companion)",
        lambda: across_v(line(cell(1.5, 0.5), cell(1.5, 0.25)), "2A", 2.25),
    ),
    Row(
        "T1-92", "four of 2 V side by side; 1.6 V across 7.5 ohm", 7.5, "ohm", 0.05,
        MEHTA + "example 5.47, p. 294 (companion)",
        lambda: solved(lambda r: load_v(pack(2.0, r, parallel=4), 7.5), 1.6, 0.1, 100.0),
    ),
    Row(
        "T1-101", "six of 2 V, 0.015 ohm in line; 8.5 ohm", 1.397, "A", 5e-4, GUPTA_SIX,
        lambda: pack(2.0, 0.015, series=6).load_current_a(8.5),
    ),
    Row(
        "T1-102", "six of 2 V, 0.015 ohm in line; 8.5 ohm", 11.874, "V", 5e-4, GUPTA_SIX,
        lambda: load_v(pack(2.0, 0.015, series=6), 8.5),
    ),
    Row(
        "T1-103", "three of 4 V in line; 1.5 A through 6 ohm", 0.67, "ohm", 0.005,
        GUPTA + "example 6.40, p. 198 (companion)",
        lambda: solved(lambda r: pack(4.0, r, series=3).load_current_a(6.0), 1.5, 0.0, 9.0),
    ),
    Row(
        "T1-104", "2S2P of 2 V, 1.5 ohm; 10 ohm", 3.48, "V", 0.005,
        GUPTA + "example 6.43, p. 199 (companion)",
        lambda: load_v(pack(2.0, 1.5, 2, 2), 10.0),
    ),
    Row(
        "T1-120", "ten of 1.5 V, 1 ohm side by side; 4.9 ohm", 0.3, "A", 0.05,
        DHOGAL + "example 9.2, p. 167 (companion)",
        lambda: pack(1.5, 1.0, parallel=10).load_current_a(4.9),
    ),
    Row(
        "T1-121", "10S3P of 1.5 V, 0.5 ohm; 2.5 ohm", 3.6, "A", 0.05,
        DHOGAL + "example 9.3, p. 167 (companion)",
        lambda: pack(1.5, 0.5, 10, 3).load_current_a(2.5),
    ),
    Row(
        "T1-123", "six in line: 2.5 A in 3 ohm, 1.25 A in 9 ohm; emf", 2.5, "V", 0.05, DHOGAL_SIX,
        lambda: solved(lambda v: pack(v, 0.5, series=6).load_current_a(3.0), 2.5, 0.1, 9.0),
    ),
    Row(
        "T1-124", "the same; resistance", 0.5, "ohm", 0.05, DHOGAL_SIX,
        lambda: solved(
            lambda r: pack(1.0, r, 6).load_current_a(3.0) / pack(1.0, r, 6).load_current_a(9.0),
            2.5 / 1.25, 0.0, 9.0,
        ),
    ),
]  # fmt: skip

# Unequal sources side by side.

UNEQUAL = [
    Row(
        "T1-28", "18 V, 0.5 + 2.5 ohm; 45 V, 0.5 + 1.5 ohm; 6 ohm", 4.75, "A", 0.005, CP_KIRCHHOFF,
        lambda: beside((18.0, 0.5, 2.5), (45.0, 0.5, 1.5)).load_current_a(6.0),
    ),
    Row(
        "T1-29", "the same: the weaker is charged", -3.5, "A", 0.005, CP_KIRCHHOFF,
        lambda: amps(beside((18.0, 0.5, 2.5), (45.0, 0.5, 1.5)), "1A", 6.0),
    ),
    Row(
        "T1-30", "the same: the stronger", 8.25, "A", 0.005, CP_KIRCHHOFF,
        lambda: amps(beside((18.0, 0.5, 2.5), (45.0, 0.5, 1.5)), "1B", 6.0),
    ),
    Row(
        "T1-41", "1.6 V and 1.4 V behind 1 kohm each; 2 kohm: the second", 0.2, "mA", 0.05,
        UP_REVERSED,
        lambda: to_red_ma(openstax_two(turned=False), "1B", 2000.0),
    ),
    Row(
        "T1-43", "the same, the second turned: the first", 1.52, "mA", 0.005, UP_REVERSED,
        lambda: to_red_ma(openstax_two(turned=True), "1A", 2000.0),
    ),
    Row(
        "T1-44", "the same, the second turned: the second", -1.48, "mA", 0.005, UP_REVERSED,
        lambda: to_red_ma(openstax_two(turned=True), "1B", 2000.0),
    ),
    Row(
        "T1-59", "28 V, 4 ohm; 7 V, 1 ohm; 2 ohm: the stronger", 5, "A", 0.5,
        KUPHALDT_10 + "branch currents",
        lambda: amps(beside((28.0, 4.0, 0.0), (7.0, 1.0, 0.0)), "1A", 2.0),
    ),
    Row(
        "T1-60", "the same: the load", 4, "A", 0.5, KUPHALDT_10 + "branch currents",
        lambda: beside((28.0, 0.0, 4.0), (7.0, 0.0, 1.0)).load_current_a(2.0),
    ),
    Row(
        "T1-61", "the same: into the weaker", 1, "A", 0.5, KUPHALDT_10 + "branch currents",
        lambda: -amps(beside((28.0, 4.0, 0.0), (7.0, 1.0, 0.0)), "1B", 2.0),
    ),
    Row(
        "T1-62", "the same, no load", 11.2, "V", 0.05, KUPHALDT_10 + "Thevenin's theorem",
        lambda: rest_v(beside((28.0, 4.0, 0.0), (7.0, 1.0, 0.0))),
    ),
    Row(
        "T1-64", "the same, short", 14, "A", 0.5, KUPHALDT_10 + "Norton's theorem",
        lambda: short_a(beside((28.0, 4.0, 0.0), (7.0, 1.0, 0.0))),
    ),
    Row(
        "T1-74", "4 V, 2 ohm; 2 V, 1 ohm; 4 ohm: the first", 0.857, "A", 5e-4, BIRD_13,
        lambda: amps(beside((4.0, 2.0, 0.0), (2.0, 1.0, 0.0)), "1A", 4.0),
    ),
    Row(
        "T1-75", "the same: into the second", 0.286, "A", 5e-4, BIRD_13,
        lambda: -amps(beside((4.0, 2.0, 0.0), (2.0, 1.0, 0.0)), "1B", 4.0),
    ),
    Row(
        "T1-76", "the same: the load", 0.571, "A", 5e-4, BIRD_13,
        lambda: beside((4.0, 2.0, 0.0), (2.0, 1.0, 0.0)).load_current_a(4.0),
    ),
    Row(
        "T1-82", "6 V, 1.5 ohm; 4.5 V, 2 ohm; 5 ohm: the first", 0.951, "A", 5e-4, ROBERTSON_2,
        lambda: amps(beside((6.0, 1.5, 0.0), (4.5, 2.0, 0.0)), "1A", 5.0),
    ),
    Row(
        "T1-84", "the same: the load", 0.915, "A", 5e-4, ROBERTSON_2,
        lambda: beside((6.0, 1.5, 0.0), (4.5, 2.0, 0.0)).load_current_a(5.0),
    ),
    Row(
        "T1-85", "the same: at the load", 4.573, "V", 5e-4, ROBERTSON_2,
        lambda: load_v(beside((6.0, 1.5, 0.0), (4.5, 2.0, 0.0)), 5.0),
    ),
    Row(
        "T1-105", "1.5 V, 1 ohm; 2 V, 2 ohm; 5 ohm: the first", 0.0294, "A", 5e-5, GUPTA_7,
        lambda: amps(beside((1.5, 1.0, 0.0), (2.0, 2.0, 0.0)), "1A", 5.0),
    ),
    Row(
        "T1-106", "the same: the second", 0.2647, "A", 5e-5, GUPTA_7,
        lambda: amps(beside((1.5, 1.0, 0.0), (2.0, 2.0, 0.0)), "1B", 5.0),
    ),
    Row(
        "T1-107", "the same: at the load", 1.4706, "V", 5e-5, GUPTA_7,
        lambda: load_v(beside((1.5, 1.0, 0.0), (2.0, 2.0, 0.0)), 5.0),
    ),
]  # fmt: skip

# Charged, opposed, turned.

AGAINST = [
    Row(
        "T1-11", "12 V; 15 V while 8 A charge it", 0.375, "ohm", 5e-4, CP_EMF + "problem 18",
        lambda: solved(lambda r: amps(charged(r, 15.0), "1A"), -8.0, 0.1, 9.0),
    ),
    Row(
        "T1-33", "12 V; 16 V while 10 A charge it", 0.4, "ohm", 5e-4, UP_EMF,
        lambda: solved(lambda r: amps(charged(r, 16.0), "1A"), -10.0, 0.1, 9.0),
    ),
    Row(
        "T1-34", "the same: heat in the battery", 40, "W", 0.05, UP_EMF,
        lambda: -amps(charged(0.4, 16.0), "1A") * (rest_v(charged(0.4, 16.0)) - 12.0),
    ),
    Row(
        "T1-90", "ten of 1.5 V, 0.1 ohm; 4 ohm: less with two turned", 1.2, "A", 0.05,
        MEHTA_REVERSED,
        lambda: ten().load_current_a(4.0) - ten("3A", "7A").load_current_a(4.0),
    ),
    Row(
        "T1-93", "4 V against 8 V; 3 and 6 ohm side by side, 4.5 ohm", 0.5, "A", 0.005,
        KULSHRESHTHA,
        lambda: kulshreshtha().load_current_a(4.5),
    ),
    Row(
        "T1-94", "the same: across the weaker, charged", 4.25, "V", 0.005, KULSHRESHTHA,
        lambda: across_v(kulshreshtha(), "1A", 4.5),
    ),
    Row(
        "T1-95", "the same: across the stronger", 7.5, "V", 0.005, KULSHRESHTHA,
        lambda: across_v(kulshreshtha(), "2A", 4.5),
    ),
    Row(
        "T1-98", "20 V against 8 V; 12, 6 and 4 ohm side by side, 5 ohm", 1.2, "A", 0.05,
        GUPTA_OPPOSED,
        lambda: gupta().load_current_a(5.0),
    ),
    Row(
        "T1-100", "the same: across the weaker, charged", 10.4, "V", 0.05, GUPTA_OPPOSED,
        lambda: across_v(gupta(), "1A", 5.0),
    ),
    Row(
        "T1-110", "24 V, 0.1 ohm charges 6 V, 0.9 ohm through 8 ohm", 7.8, "V", 0.05, BUECHE,
        lambda: across_v(opposed((6.0, 0.9), (24.0, 0.1)), "1A", 8.0),
    ),
    Row(
        "T1-125", "250 V into 50 of 1.8 V, 0.01 ohm; 0.1 and 19.4 ohm in line", 8, "A", 0.05,
        DHOGAL + "example 9.8, p. 176 (companion)",
        lambda: short_a(charger_of_fifty()),
    ),
    Row(
        "T1-127", "230 V through 5 ohm into 122 V, 0.4 ohm and 130 V, 0.5 ohm", 20, "A", 0.05,
        DHOGAL_TWO,
        lambda: amps(beside((122.0, 0.4, 0.0), (130.0, 0.5, 0.0), (230.0, 0.0, 5.0)), "1C"),
    ),
    Row(
        "T1-128", "the same: the 130 V battery", 0, "A", 0.05, DHOGAL_TWO,
        lambda: amps(beside((122.0, 0.4, 0.0), (130.0, 0.5, 0.0), (230.0, 0.0, 5.0)), "1B"),
    ),
    Row(
        "T10-01", "four in line, one turned, under load: how many are charged", 1, "cells", 0,
        LINDEN,
        lambda: taking(four_with_one_turned(), 10.0),
    ),
    Row(
        "T10-02", "two strings, one cell turned, no load: whether current flows", 1, "bool", 0,
        LINDEN,
        lambda: float(taking(four_with_one_turned(strings=2)) > 0),
    ),
    Row(
        "T10-03", "four of 1.5 V in line, one turned", 3, "V", 0.05, CP_EMF + "rule; numbers ours",
        lambda: rest_v(four_with_one_turned()),
    ),
    Row(
        "T10-04", "ten of 1.5 V in line, two turned", 9, "V", 0.05,
        MEHTA_REVERSED + "; number derived",
        lambda: rest_v(ten("1A", "2A")),
    ),
]  # fmt: skip

ROWS = FEEDING + METERS + JOINED + UNEQUAL + AGAINST
