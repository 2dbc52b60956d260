"""Published values and how packlearn comes to them: textbooks, courses, makers' and users' notes.

One row a value. The numbers were read in the source named beside them unless it says
otherwise; the tolerance is half a unit of the last printed digit, and 0 means exact. Rows
marked "companion" give a textbook's numbers and the answer that a worked companion prints.
"""

from collections.abc import Callable
from dataclasses import dataclass

from packlearn import curves, peukert, rules
from packlearn.cells import Cell
from packlearn.cells import cell as catalogued
from packlearn.loads import Converter, Load
from packlearn.packs import Pack
from packlearn.quantities import write


@dataclass(frozen=True)
class Row:
    """One published value.

    ``id`` and ``tolerance`` are those of the project's list of published values.
    """

    id: str
    inputs: str
    expected: float
    unit: str
    tolerance: float
    source: str
    compute: Callable[[], float]


# Sources.

CP = "OpenStax College Physics 2e (2022), "
CP_EMF = CP + "sec. 21.2 on emf, "
CP_STARTER = CP_EMF + "problem 23"
CP_EXAMPLE = CP_EMF + "worked example on terminal voltage"
CP_METER = CP + "sec. 21.4 on meters, problem 50"
UP = "OpenStax University Physics vol. 2, "
UP_EMF = UP + "sec. 10.1 on emf, problems"
UP_TOY = UP + "ch. 10, problem of the toy with a weak cell"
UP_MORE = UP + "ch. 10, additional and challenge problems"
KUPHALDT = "Kuphaldt, Lessons in Electric Circuits, vol. I (2000-2017), "
KUPHALDT_11 = KUPHALDT + "ch. 11 on batteries"
BIRD = "Bird, Electrical Circuit Theory and Technology, ch. 4, example 1, p. 35 (companion)"
ROBERTSON = "Robertson, Fundamental Electrical and Electronic Principles, ch. 1 (companion)"
MEHTA = "Mehta and Mehta, Principles of Physics, ch. 5, "
KULSHRESHTHA = "Kulshreshtha, Basic Electrical Engineering, ch. 3, example 3.31, p. 87 (companion)"
GUPTA = "Gupta, Modern Physics, ch. 6, "
BOYLESTAD = "Boylestad, Introductory Circuit Analysis, 10th ed., "
DHOGAL = "Dhogal, Basic Electrical Engineering with Numerical Problems, ch. 9, "
ARMY = "US Army subcourse IT0335, basic electricity, lesson on cells and batteries, "
ZERBE = "Zerbe, Motors (1915), chapter on batteries, figs 35 and 36"
BEISER = "Beiser, Schaum's Outline of Physical Science, ch. 13, problem 13.12, p. 77 (companion)"
NASHUA = "Nashua Area Radio Society, page on working out battery life"
ZEPHYR = "Zephyr Project, dt-bindings/battery.h: points of cells' data-sheet curves at a low rate"
FRONTIER = "Chemistry Central Journal 6 (2012) S2, table 1 (after Larminie 2003)"
BLE = "applied-ee, example of a radio sensor's battery life"
GUPTA_CHARGER = "Gupta, Modern Physics, ch. 8, example 8.22 (companion)"


# How a source of the books becomes a pack.


def cell(volts, ohm=0.0, ah=1.0, limit_a=1.0):
    """Cell with the numbers of a book; it says nothing of full and empty."""
    return Cell(
        name="of a book",
        chemistry="as printed",
        nominal_voltage_v=volts,
        full_voltage_v=volts,
        end_voltage_v=volts / 2,
        capacity_ah=ah,
        current_limit_a=limit_a,
        resistance_ohm=ohm,
    )


def pack(volts, ohm=0.0, series=1, parallel=1, ah=1.0, limit_a=1.0):
    """Pack of equal cells with the numbers of a book."""
    return Pack(cell(volts, ohm, ah, limit_a), series, parallel)


def terminal_v(source, load_ohm):
    """Voltage at the ends of a pack that feeds a resistance."""
    return source.terminal_voltage_v(source.current_into_a(load_ohm))


def power_w(source, load_ohm):
    """Power that a pack hands to a resistance."""
    return Load.resistance(load_ohm).mean_power_w(terminal_v(source, load_ohm))


def lost_w(source, current_a):
    """Power lost inside a pack, charging or not."""
    drop_v = abs(source.nominal_voltage_v - source.terminal_voltage_v(current_a))
    return Load.current(abs(current_a)).mean_power_w(drop_v)


def solved(rule, target, low, high):
    """Number at which a rule, rising or falling all the way from low to high, meets a target."""
    rising = rule(high) > rule(low)
    for _ in range(64):
        middle = (low + high) / 2
        low, high = (middle, high) if (rule(middle) < target) == rising else (low, middle)
    return (low + high) / 2


def mean_a(amps, share):
    """Mean current of a load that is on for a share of the time."""
    return Load.profile(
        [(Load.current(amps), share), (Load.current(0.0), 1 - share)]
    ).mean_current_a()


def pulse_mean_a(coulombs, period_s):
    """Mean current where a charge flows within one second of a period."""
    return mean_a(coulombs, 1 / period_s)


def chain(*efficiencies):
    """Share of the power that gets through converters one behind the other."""
    load = Load.power(1.0)
    for efficiency in reversed(efficiencies):
        load = load.through(Converter(10.0, efficiency, (1.0, 100.0)))
    return 1.0 / load.mean_power_w(10.0)


def toy(weak_ohm):
    """Three good cells and a weak one in line."""
    good, weak = cell(1.58, 0.02), cell(1.53, weak_ohm)
    return Pack.of_cells([[good], [good], [good], [weak]])


def series_cells(ohm_each):
    """Six cells whose emf is not known yet."""
    return pack(1.0, ohm_each, series=6)


def charging_a():
    """Current of a 250 V charger with 19.5 ohm in line into 50 cells of 1.8 V."""
    battery = pack(1.8, 0.01, series=50)

    def left_over(current_a):
        charger_v = rules.terminal_voltage_v(250.0, 0.1 + 19.4, current_a)
        return charger_v - battery.terminal_voltage_v(-current_a)

    return solved(left_over, 0.0, 0.0, 20.0)


def at_a_low_rate_v(name, share_left):
    """Voltage of a catalogue's cell at a fifth of its capacity an hour, by charge left."""
    one = catalogued(name)
    amps = one.current_at_c_rate_a(0.2)
    return curves.voltage_v(one, amps, (1 - share_left) * curves.capacity_ah(one, amps))


def aaa_ah():
    """Capacity of the catalogue's AAA cell, as a pack of one."""
    return Pack(catalogued("nimh-aaa"), 1, 1).capacity_ah


# Theme 1: sources with internal resistance.

SOURCES = [
    Row(
        "T1-02", "12 V, 0.1 ohm; 10 ohm", 11.9, "V", 0.05, CP_EXAMPLE,
        lambda: terminal_v(pack(12.0, 0.1), 10.0),
    ),
    Row(
        "T1-03", "12 V, 0.1 ohm; 0.5 ohm", 20, "A", 0.05, CP_EXAMPLE,
        lambda: pack(12.0, 0.1).current_into_a(0.5),
    ),
    Row(
        "T1-04", "12 V, 0.1 ohm; 0.5 ohm", 10, "V", 0.05, CP_EXAMPLE,
        lambda: terminal_v(pack(12.0, 0.1), 0.5),
    ),
    Row(
        "T1-05", "12 V, 0.1 ohm; 0.5 ohm", 200, "W", 0.5, CP_EXAMPLE,
        lambda: power_w(pack(12.0, 0.1), 0.5),
    ),
    Row(
        "T1-06", "aged: 12 V, 0.5 ohm; 0.5 ohm", 12, "A", 0.05, CP_EXAMPLE,
        lambda: pack(12.0, 0.5).current_into_a(0.5),
    ),
    Row(
        "T1-09", "six equal cells in line give 12 V", 2, "V", 0.005, CP_EMF + "problem 14",
        lambda: solved(lambda v: pack(v, series=6).nominal_voltage_v, 12.0, 0.1, 10.0),
    ),
    Row(
        "T1-10", "3 V, 2 ohm; 0.3 mA", 2.9994, "V", 5e-5, CP_EMF + "problem 16",
        lambda: pack(3.0, 2.0).terminal_voltage_v(0.3e-3),
    ),
    Row(
        "T1-11", "12 V; 15 V while 8 A charge it", 0.375, "ohm", 5e-4, CP_EMF + "problem 18",
        lambda: solved(lambda r: pack(12.0, r).terminal_voltage_v(-8.0), 15.0, 0.0, 9.0),
    ),
    Row(
        "T1-13", "1.58 V, 0.1 ohm; 2.3 ohm", 0.997, "W", 5e-4, CP_EMF + "problem 21",
        lambda: power_w(pack(1.58, 0.1), 2.3),
    ),
    Row(
        "T1-14", "12 V, 0.01 ohm; starter 0.05 ohm", 200, "A", 0.5, CP_STARTER,
        lambda: pack(12.0, 0.01).current_into_a(0.05),
    ),
    Row(
        "T1-16", "12 V, 0.01 ohm; starter 0.05 ohm", 2, "kW", 0.005, CP_STARTER,
        lambda: power_w(pack(12.0, 0.01), 0.05) / 1000,
    ),
    Row(
        "T1-17", "the same with 0.09 ohm in the contacts", 80, "A", 0.05, CP_STARTER,
        lambda: pack(12.0, 0.01 + 0.09).current_into_a(0.05),
    ),
    Row(
        "T1-18", "the same with 0.09 ohm in the contacts", 4, "V", 0.05, CP_STARTER,
        lambda: terminal_v(pack(12.0, 0.01 + 0.09), 0.05),
    ),
    Row(
        "T1-20", "2 V less for 5 A more", 0.4, "ohm", 5e-4, CP_EMF + "problem 25",
        lambda: solved(lambda r: pack(12.0, r).terminal_voltage_v(5.0), 10.0, 0.0, 2.0),
    ),
    Row(
        "T1-23", "1 V less for 4 A", 0.25, "ohm", 0.005, CP_EMF + "graph in the test preparation",
        lambda: solved(lambda r: pack(9.0, r).terminal_voltage_v(4.0), 8.0, 0.0, 2.0),
    ),
    Row(
        "T1-24", "two cells of 0.25 ohm in line", 0.5, "ohm", 0.005,
        CP_EMF + "test preparation",
        lambda: pack(1.5, 0.25, series=2).resistance_ohm,
    ),
    Row(
        "T1-25", "1.585 V, 0.1 ohm; meter 1 kohm", 1.58, "mA", 0.005, CP_METER,
        lambda: 1000 * pack(1.585, 0.1).current_into_a(1000.0),
    ),
    Row(
        "T1-26", "1.585 V, 0.1 ohm; meter 1 kohm", 1.5848, "V", 5e-5, CP_METER,
        lambda: terminal_v(pack(1.585, 0.1), 1000.0),
    ),
    Row(
        "T1-27", "reading over emf of the same", 0.9999, "1", 5e-6, CP_METER,
        lambda: terminal_v(pack(1.585, 0.1), 1000.0) / 1.585,
    ),
    Row(
        "T1-31", "1.25 V, 0.04 ohm; radio 3.2 ohm", 0.476, "W", 5e-4, UP_EMF,
        lambda: power_w(pack(1.25, 0.04), 3.2),
    ),
    Row(
        "T1-32", "1.58 V, 0.2 ohm; radio 3.2 ohm", 0.691, "W", 5e-4, UP_EMF,
        lambda: power_w(pack(1.58, 0.2), 3.2),
    ),
    Row(
        "T1-33", "12 V; 16 V while 10 A charge it", 0.4, "ohm", 5e-4, UP_EMF,
        lambda: solved(lambda r: pack(12.0, r).terminal_voltage_v(-10.0), 16.0, 0.0, 9.0),
    ),
    Row(
        "T1-34", "0.4 ohm, charged with 10 A", 40, "W", 0.05, UP_EMF,
        lambda: lost_w(pack(12.0, 0.4), -10.0),
    ),
    Row(
        "T1-36", "3 x 1.58 V, 0.02 ohm and 1.53 V, 0.1 ohm; 10 ohm", 0.617, "A", 5e-4, UP_TOY,
        lambda: toy(0.1).current_into_a(10.0),
    ),
    Row(
        "T1-37", "3 x 1.58 V, 0.02 ohm and 1.53 V, 0.1 ohm; 10 ohm", 3.81, "W", 0.005, UP_TOY,
        lambda: power_w(toy(0.1), 10.0),
    ),
    Row(
        "T1-38", "the weak cell's resistance where 0.5 W is left", 18, "ohm", 0.05, UP_TOY,
        lambda: solved(lambda r: power_w(toy(r), 10.0), 0.5, 0.01, 100.0),
    ),
    Row(
        "T1-46", "2S2P of 1.5 V, 1 ohm; 10 ohm; one cell", 1.36, "V", 0.005, UP_MORE,
        lambda: pack(1.5, 1.0).terminal_voltage_v(
            pack(1.5, 1.0, series=2, parallel=2).current_into_a(10.0) / 2
        ),
    ),
    Row(
        "T1-47", "30 V, 1 ohm; 19 ohm outside", 1.5, "A", 0.005, UP_MORE,
        lambda: pack(30.0, 1.0).current_into_a(19.0),
    ),
    Row(
        "T1-49", "1 ohm inside, 1.5 A", 2.25, "W", 0.005, UP_MORE,
        lambda: lost_w(pack(30.0, 1.0), 1.5),
    ),
    Row(
        "T1-50", "30 V, 1.5 A", 45, "W", 0.005, UP_MORE,
        lambda: Load.current(1.5).mean_power_w(pack(30.0, 1.0).nominal_voltage_v),
    ),
    Row(
        "T1-51", "10 V, 0.2 ohm; 1 ohm", 8.333, "A", 5e-4, KUPHALDT_11 + ", ratings",
        lambda: pack(10.0, 0.2).current_into_a(1.0),
    ),
    Row(
        "T1-52", "10 V, 0.2 ohm; short", 50, "A", 0.5, KUPHALDT_11 + ", ratings",
        lambda: pack(10.0, 0.2).short_circuit_current_a,
    ),
    Row(
        "T1-53", "five cells of 0.2 ohm side by side", 0.04, "ohm", 0.005,
        KUPHALDT_11 + ", ratings",
        lambda: pack(2.0, 0.2, parallel=5).resistance_ohm,
    ),
    Row(
        "T1-55", "13 V, 5 ohm; 100 ohm", 12.381, "V", 5e-4, KUPHALDT_11 + ", test under load",
        lambda: terminal_v(pack(13.0, 5.0), 100.0),
    ),
    Row(
        "T1-56", "11.5 V, 20 ohm; 100 ohm", 9.583, "V", 5e-4, KUPHALDT_11 + ", test under load",
        lambda: terminal_v(pack(11.5, 20.0), 100.0),
    ),
    Row(
        "T1-57", "7.5 V, 50 ohm; 100 ohm", 5, "V", 5e-4, KUPHALDT_11 + ", test under load",
        lambda: terminal_v(pack(7.5, 50.0), 100.0),
    ),
    Row(
        "T1-64", "11.2 V, 0.8 ohm; short", 14, "A", 0.5, KUPHALDT + "ch. 10, Norton's theorem",
        lambda: pack(11.2, 0.8).short_circuit_current_a,
    ),
    Row(
        "T1-65", "eight cells of 2.2 V in line", 17.6, "V", 0.05, BIRD,
        lambda: pack(2.2, 0.2, series=8).nominal_voltage_v,
    ),
    Row(
        "T1-66", "eight cells of 0.2 ohm in line", 1.6, "ohm", 0.05, BIRD,
        lambda: pack(2.2, 0.2, series=8).resistance_ohm,
    ),
    Row(
        "T1-67", "eight cells of 2.2 V side by side", 2.2, "V", 0.05, BIRD,
        lambda: pack(2.2, 0.2, parallel=8).nominal_voltage_v,
    ),
    Row(
        "T1-78", "6 V, 0.15 ohm; 2 A", 5.7, "V", 0.05, ROBERTSON,
        lambda: pack(6.0, 0.15).terminal_voltage_v(2.0),
    ),
    Row(
        "T1-80", "12 V; 11.5 V at 5 A", 0.1, "ohm", 0.05, ROBERTSON,
        lambda: solved(lambda r: pack(12.0, r).terminal_voltage_v(5.0), 11.5, 0.0, 2.0),
    ),
    Row(
        "T1-81", "11.5 V, 5 A", 2.3, "ohm", 0.05, ROBERTSON,
        lambda: solved(lambda r: Load.resistance(r).current_at_a(11.5), 5.0, 0.1, 100.0),
    ),
    Row(
        "T1-86", "19 V at 0.5 A behind 2 ohm", 20, "V", 0.05,
        MEHTA + "example 5.40, p. 292 (companion)",
        lambda: solved(
            lambda v: pack(12.0, 2.0).terminal_voltage_v(0.5, open_circuit_v=v), 19.0, 1.0, 99.0
        ),
    ),
    Row(
        "T1-89", "two of 1.5 V, 0.5 and 0.25 ohm in line; 2.25 ohm", 1.25, "V", 0.005,
        MEHTA + "example 5.41, p. 292 (companion)",
        lambda: pack(1.5, 0.25).terminal_voltage_v(
            Pack.of_cells([[cell(1.5, 0.5)], [cell(1.5, 0.25)]]).current_into_a(2.25)
        ),
    ),
    Row(
        "T1-92", "four of 2 V side by side; 1.6 V across 7.5 ohm", 7.5, "ohm", 0.05,
        MEHTA + "example 5.47, p. 294 (companion)",
        lambda: solved(lambda r: terminal_v(pack(2.0, r, parallel=4), 7.5), 1.6, 0.1, 100.0),
    ),
    Row(
        "T1-94", "4 V, 0.5 ohm, charged with the circuit's 0.5 A", 4.25, "V", 0.005, KULSHRESHTHA,
        lambda: pack(4.0, 0.5).terminal_voltage_v(-0.5),
    ),
    Row(
        "T1-95", "8 V, 1 ohm, giving the circuit's 0.5 A", 7.5, "V", 0.005, KULSHRESHTHA,
        lambda: pack(8.0, 1.0).terminal_voltage_v(0.5),
    ),
    Row(
        "T1-97", "10 V, 3 ohm; 0.5 A", 8.5, "V", 0.05, GUPTA + "example 6.33, p. 197 (companion)",
        lambda: pack(10.0, 3.0).terminal_voltage_v(0.5),
    ),
    Row(
        "T1-100", "8 V, 2 ohm, charged with the circuit's 1.2 A", 10.4, "V", 0.05,
        GUPTA + "example 6.38, p. 198 (companion)",
        lambda: pack(8.0, 2.0).terminal_voltage_v(-1.2),
    ),
    Row(
        "T1-101", "six of 2 V, 0.015 ohm in line; 8.5 ohm", 1.397, "A", 5e-4,
        GUPTA + "example 6.39, p. 198 (companion)",
        lambda: pack(2.0, 0.015, series=6).current_into_a(8.5),
    ),
    Row(
        "T1-102", "six of 2 V, 0.015 ohm in line; 8.5 ohm", 11.874, "V", 5e-4,
        GUPTA + "example 6.39, p. 198 (companion)",
        lambda: terminal_v(pack(2.0, 0.015, series=6), 8.5),
    ),
    Row(
        "T1-103", "three of 4 V in line; 1.5 A through 6 ohm", 0.67, "ohm", 0.005,
        GUPTA + "example 6.40, p. 198 (companion)",
        lambda: solved(lambda r: pack(4.0, r, series=3).current_into_a(6.0), 1.5, 0.0, 9.0),
    ),
    Row(
        "T1-104", "2S2P of 2 V, 1.5 ohm; 10 ohm", 3.48, "V", 0.005,
        GUPTA + "example 6.43, p. 199 (companion)",
        lambda: terminal_v(pack(2.0, 1.5, series=2, parallel=2), 10.0),
    ),
    Row(
        "T1-110", "6 V, 0.9 ohm, charged with 2 A", 7.8, "V", 0.05,
        "Bueche, Principles of Physics, ch. 17, example 17.15, p. 874 (companion)",
        lambda: pack(6.0, 0.9).terminal_voltage_v(-2.0),
    ),
    Row(
        "T1-111", "1.5 V, 0.05 ohm; 0.4 ohm", 3.33, "A", 0.005,
        "Beiser, Basic Mathematics for Electricity and Electronics, ch. 6, problem 6.7, p. 57 "
        "(companion)",
        lambda: pack(1.5, 0.05).current_into_a(0.4),
    ),
    Row(
        "T1-112", "generator: 100 V; 80 V at 2 A", 10, "ohm", 0.5,
        "Schultz, Grob's Basic Electronics, ch. 12, example 12-1, p. 368 (companion)",
        lambda: solved(lambda r: pack(100.0, r).terminal_voltage_v(2.0), 80.0, 0.0, 40.0),
    ),
    Row(
        "T1-113", "12 V, 6 ohm; 3, 4 and 6 ohm side by side and 4 ohm", 5.647, "V", 5e-4,
        "Muthusubramanian and Salivahanan, Basic Electrical and Electronics Engineering, ch. 1, "
        "example 1.31, p. 44 (companion)",
        lambda: terminal_v(pack(12.0, 6.0), 1 / (1 / 3 + 1 / 4 + 1 / 6) + 4),
    ),
    Row(
        "T1-117", "40 V; 77 mA through 500 ohm", 19.48, "ohm", 0.005,
        BOYLESTAD + "example 5.21 (companion)",
        lambda: solved(lambda r: pack(40.0, r).current_into_a(500.0), 0.077, 0.0, 99.0),
    ),
    Row(
        "T1-118", "0.5 ohm inside; 75 % of the power is to get out", 1.5, "ohm", 0.05,
        BOYLESTAD + "example 9.14 b (companion)",
        lambda: solved(lambda r: terminal_v(pack(1.0, 0.5), r), 0.75, 0.01, 100.0),
    ),
    Row(
        "T1-120", "ten of 1.5 V, 1 ohm side by side; 4.9 ohm", 0.3, "A", 0.05,
        DHOGAL + "example 9.2, p. 167 (companion)",
        lambda: pack(1.5, 1.0, parallel=10).current_into_a(4.9),
    ),
    Row(
        "T1-121", "10S3P of 1.5 V, 0.5 ohm; 2.5 ohm", 3.6, "A", 0.05,
        DHOGAL + "example 9.3, p. 167 (companion)",
        lambda: pack(1.5, 0.5, series=10, parallel=3).current_into_a(2.5),
    ),
    Row(
        "T1-123", "six in line: 2.5 A in 3 ohm, 1.25 A in 9 ohm; emf", 2.5, "V", 0.05,
        DHOGAL + "example 9.5, p. 173 (companion)",
        lambda: solved(lambda v: pack(v, 0.5, series=6).current_into_a(3.0), 2.5, 0.1, 9.0),
    ),
    Row(
        "T1-124", "six in line: 2.5 A in 3 ohm, 1.25 A in 9 ohm; resistance", 0.5, "ohm", 0.05,
        DHOGAL + "example 9.5, p. 173 (companion)",
        lambda: solved(
            lambda r: series_cells(r).current_into_a(3.0) / series_cells(r).current_into_a(9.0),
            2.5 / 1.25, 0.0, 9.0,
        ),
    ),
    Row(
        "T1-125", "250 V into 50 of 1.8 V, 0.01 ohm; 0.1 and 19.4 ohm in line", 8, "A", 0.05,
        DHOGAL + "example 9.8, p. 176 (companion)",
        charging_a,
    ),
]  # fmt: skip

# Theme 2: series, parallel, run time.

PACKS = [
    Row(
        "T2-01", "three of 2 V 2 Ah in line", 6, "V", 0, ARMY + "p. 11 of the copy on line",
        lambda: pack(2.0, series=3, ah=2.0).nominal_voltage_v,
    ),
    Row(
        "T2-02", "three of 2 V 2 Ah in line", 2, "Ah", 0, ARMY + "p. 11 of the copy on line",
        lambda: pack(2.0, series=3, ah=2.0).capacity_ah,
    ),
    Row(
        "T2-03", "six of 2 V 1 Ah in line", 12, "V", 0, ARMY + "p. 11 of the copy on line",
        lambda: pack(2.0, series=6, ah=1.0).nominal_voltage_v,
    ),
    Row(
        "T2-04", "six of 2 V 1 Ah in line", 1, "Ah", 0, ARMY + "p. 11 of the copy on line",
        lambda: pack(2.0, series=6, ah=1.0).capacity_ah,
    ),
    Row(
        "T2-05", "three of 1.5 V 1 Ah side by side", 1.5, "V", 0,
        ARMY + "p. 11 of the copy on line",
        lambda: pack(1.5, parallel=3, ah=1.0).nominal_voltage_v,
    ),
    Row(
        "T2-06", "three of 1.5 V 1 Ah side by side", 3, "Ah", 0,
        ARMY + "p. 11 of the copy on line",
        lambda: pack(1.5, parallel=3, ah=1.0).capacity_ah,
    ),
    Row(
        "T2-07", "three of 2 V 2 Ah side by side", 2, "V", 0, ARMY + "p. 12 of the copy on line",
        lambda: pack(2.0, parallel=3, ah=2.0).nominal_voltage_v,
    ),
    Row(
        "T2-08", "three of 2 V 2 Ah side by side", 6, "Ah", 0, ARMY + "p. 12 of the copy on line",
        lambda: pack(2.0, parallel=3, ah=2.0).capacity_ah,
    ),
    Row(
        "T2-09", "six of 25 A side by side", 150, "A", 0, ZERBE,
        lambda: pack(1.5, parallel=6, limit_a=25.0).current_limit_a,
    ),
    Row(
        "T2-10", "3S2P of 1.5 V", 4.5, "V", 0, ZERBE,
        lambda: pack(1.5, series=3, parallel=2, limit_a=25.0).nominal_voltage_v,
    ),
    Row(
        "T2-11", "3S2P of 25 A", 50, "A", 0, ZERBE,
        lambda: pack(1.5, series=3, parallel=2, limit_a=25.0).current_limit_a,
    ),
    Row(
        "T2-27", "70 Ah at 70 A", 1, "h", 0, KUPHALDT_11 + ", ratings",
        lambda: pack(12.0, ah=70.0).run_time_h(70.0),
    ),
    Row(
        "T2-28", "70 Ah at 1 mA", 70000, "h", 0, KUPHALDT_11 + ", ratings",
        lambda: pack(12.0, ah=70.0).run_time_h(0.001),
    ),
    Row(
        "T2-30", "1.5 V 3 Ah; three lamps of 300 ohm in line", 1800, "h", 0.5, UP_MORE,
        lambda: pack(1.5, ah=3.0).run_time_h(Load.resistance(900.0).mean_current_a(1.5)),
    ),
    Row(
        "T2-31", "1.5 V 3 Ah; three lamps of 300 ohm side by side", 200, "h", 0.5, UP_MORE,
        lambda: pack(1.5, ah=3.0).run_time_h(Load.resistance(100.0).mean_current_a(1.5)),
    ),
    Row(
        "T2-32", "1 Ah at 1.58 V; 1 W", 1.58, "h", 0.005, CP + "sec. 20.4 on power, problem 54",
        lambda: pack(1.58, ah=1.0).run_time_h(Load.power(1.0).mean_current_a(1.58)),
    ),
    Row(
        "T2-33", "4 C in 4 h", 0.278, "mA", 5e-4, CP + "sec. 20.1 on current, problem 1",
        lambda: 1000 * pulse_mean_a(4.0, 4 * 3600.0),
    ),
    Row(
        "T2-34", "12 V 80 Ah", 3456000, "J", 500, BEISER,
        lambda: 3600 * pack(2.0, series=6, ah=80.0).energy_wh,
    ),
    Row(
        "T2-35", "12 V 80 Ah; 60 W", 16, "h", 0.05, BEISER,
        lambda: pack(2.0, series=6, ah=80.0).run_time_h(Load.power(60.0).mean_current_a(12.0)),
    ),
    Row(
        "T2-37", "20 A for 15 h", 300, "Ah", 0, DHOGAL + "example 9.6, p. 173 (companion)",
        lambda: solved(lambda ah: rules.run_time_h(ah, 20.0), 15.0, 1.0, 1000.0),
    ),
    Row(
        "T2-41", "2.6 Ah at 0.135 A", 19.26, "h", 0.005, NASHUA,
        lambda: pack(12.0, ah=2.6).run_time_h(0.135),
    ),
    Row(
        "T2-42", "1500 mAh at 150 mA", 10, "h", 0, "Arizona Emergency Net, battery notes",
        lambda: pack(12.0, ah=1.5).run_time_h(0.150),
    ),
]  # fmt: skip

# Theme 9: duty cycle, energy, converters.

LOADS = [
    Row("T9-01", "0.8 A, 25 %", 0.2, "A", 0.005, NASHUA, lambda: mean_a(0.8, 0.25)),
    Row("T9-02", "1 A, 25 %", 0.25, "A", 0.005, NASHUA, lambda: mean_a(1.0, 0.25)),
    Row("T9-03", "1.5 A, 65 %", 0.98, "A", 0.0051, NASHUA, lambda: mean_a(1.5, 0.65)),
    Row("T9-04", "2 A, 65 %", 1.3, "A", 0.05, NASHUA, lambda: mean_a(2.0, 0.65)),
    Row("T9-05", "2.5 A, 30 %", 0.75, "A", 0.005, NASHUA, lambda: mean_a(2.5, 0.3)),
    Row("T9-06", "3.5 A, 30 %", 1.05, "A", 0.005, NASHUA, lambda: mean_a(3.5, 0.3)),
    Row("T9-07", "2.5 A, 25 %", 0.63, "A", 0.0051, NASHUA, lambda: mean_a(2.5, 0.25)),
    Row(
        "T9-08", "1.5 A, 30 %", 0.45, "A", 0.005, NASHUA + "; it prints 0.50, worked out here",
        lambda: mean_a(1.5, 0.3),
    ),
    Row(
        "T9-19", "102 222 h in years", 11.7, "years", 0.05, BLE,
        lambda: float(write(102222.0, "h").split()[0]),
    ),
    Row(
        "T9-20", "0.03747 uAh every 60 s", 2.25, "uA", 0.005,
        BLE + "; its items add up to 0.03767",
        lambda: 1e6 * pulse_mean_a(0.03747e-6 * 3600, 60.0),
    ),
    Row(
        "T9-26", "stages of 90, 85 and 95 %", 72.7, "%", 0.05,
        BOYLESTAD + "example 4.13 (companion)",
        lambda: 100 * chain(0.90, 0.85, 0.95),
    ),
    Row(
        "T9-27", "stages of 40, 85 and 95 %", 32.3, "%", 0.05,
        BOYLESTAD + "example 4.14 (companion)",
        lambda: 100 * chain(0.40, 0.85, 0.95),
    ),
    Row(
        "T9-30", "1989.33 W at 220 V", 9.04, "A", 0.005, BOYLESTAD + "example 4.10 (companion)",
        lambda: Load.power(1989.33).mean_current_a(220.0),
    ),
    Row(
        "T9-31", "720 C in 4 s", 180, "A", 0.5, UP + "sec. 9.1 on current",
        lambda: pulse_mean_a(720.0, 4.0),
    ),
    Row(
        "T9-34", "100 V, 8 A", 800, "W", 0.5, GUPTA_CHARGER,
        lambda: Load.current(8.0).mean_power_w(100.0),
    ),
    Row(
        "T9-35", "8 A in 8 and 3 ohm", 704, "W", 0.5, GUPTA_CHARGER,
        lambda: lost_w(pack(100.0, 8.0 + 3.0), 8.0),
    ),
    Row(
        "T9-36", "12 V, 8 A", 96, "W", 0.5, GUPTA_CHARGER,
        lambda: Load.current(8.0).mean_power_w(pack(12.0).nominal_voltage_v),
    ),
    Row(
        "T9-37", "12 V, 8 A for 15 min", 86400, "J", 0.5, GUPTA_CHARGER,
        lambda: 3600 * pack(12.0, ah=8.0 * 0.25).energy_wh,
    ),
]  # fmt: skip

# Figures of other themes that the same parts work out.

OTHERS = [
    Row(
        "T3-02", "200 Ah in 20 h; 20 A for 8.5 h", 1.23, "1", 0.005,
        "Victron Energy BMV-501 manual (German), p. 8; exact 1.2345",
        lambda: peukert.exponent_from_times(200.0 / 20.0, 20.0, 20.0, 8.5),
    ),
    Row(
        "T3-03", "exponent a battery monitor begins with", 1.25, "1", 0,
        "Xantrex Link 20 owner's manual (Nov. 2002), p. 26; lead-acid",
        lambda: peukert.exponent_of("lead-acid").value,
    ),
    Row(
        "T3-09", "100 Ah in 20 h, k = 1.2; 10 A", 8.7, "h", 0.05,
        "encyclopedia's worked example of Peukert's law, from memory",
        lambda: peukert.run_time_h(100.0, 10.0, 1.2, rated_time_h=20.0),
    ),
    Row(
        "T3-19", "5 Ah at C/10", 0.5, "A", 0.05, "Linden's Handbook of Batteries, 4th ed., p. 3.4",
        lambda: cell(1.2, ah=5.0).current_at_c_rate_a(1 / 10),
    ),
    Row(
        "T3-20", "250 mAh at 50 mA", 0.2, "C", 0.05,
        "Linden's Handbook of Batteries, 4th ed., p. 3.4",
        lambda: cell(1.2, ah=0.25).c_rate(0.05),
    ),
    Row(
        "T4-51", "2.5 Ah, 3.6 V", 9, "Wh", 0.05,
        "49 CFR 171.8, watt-hour: the definition was read, the numbers are ours",
        lambda: pack(3.6, ah=2.5).energy_wh,
    ),
    Row(
        "T7-23", "six strings of 478 Ah", 2868, "Ah", 0.5,
        "worked example of a stand-alone PV sizing worksheet",
        lambda: pack(12.0, series=2, parallel=6, ah=478.0).capacity_ah,
    ),
    Row(
        "T7-24", "2868 Ah at 24 V", 68.8, "kWh", 0.05,
        "worked example of a stand-alone PV sizing worksheet",
        lambda: pack(12.0, series=2, parallel=6, ah=478.0).energy_wh / 1000,
    ),
    Row(
        "T7-25", "150 W behind an inverter of 85 %", 176, "W", 0.5,
        "worked example of a stand-alone PV sizing worksheet",
        lambda: Load.power(150.0).through(Converter(230.0, 0.85, (20.0, 30.0))).mean_power_w(24.0),
    ),
    Row(
        "T8-22", "3 V into 250 kohm less 5 %", 12.63, "uA", 0.005,
        UP + "sec. 9.4 on Ohm's law, problems",
        lambda: 1e6 * pack(1.5, series=2).current_into_a(0.95 * 250e3),
    ),
    Row(
        "T8-23", "3 V into 250 kohm and 5 % more", 11.43, "uA", 0.005,
        UP + "sec. 9.4 on Ohm's law, problems",
        lambda: 1e6 * pack(1.5, series=2).current_into_a(1.05 * 250e3),
    ),
]  # fmt: skip

# Theme 8: meters, voltages and resistances of cells.

CELLS = [
    Row(
        "T8-25", "24 V, two of 250 Mohm in line; meter of 10 Mohm across one", 0.8889, "V", 5e-4,
        KUPHALDT + "ch. 8, voltmeter impact on the measured circuit",
        lambda: terminal_v(pack(12.0, 125e6), 10e6),
    ),
    Row(
        "T8-32", "lithium cell with 20 % of its charge", 3.372, "V", 5e-4, ZEPHYR,
        lambda: at_a_low_rate_v("li-ion-18650-energy", 0.2),
    ),
    Row(
        "T8-33", "lithium cell with 50 % of its charge", 3.602, "V", 5e-4, ZEPHYR,
        lambda: at_a_low_rate_v("li-ion-18650-energy", 0.5),
    ),
    Row(
        "T8-34", "lithium cell with 80 % of its charge", 3.842, "V", 5e-4, ZEPHYR,
        lambda: at_a_low_rate_v("li-ion-18650-energy", 0.8),
    ),
    Row(
        "T8-50", "NiMH freshly charged, 1.40 to 1.45 V", 1.425, "V", 0.025,
        "table of NiMH voltage and charge on voltagebasics.com",
        lambda: Pack(catalogued("nimh-aa"), 1, 1).full_voltage_v,
    ),
    Row(
        "T8-55", "resistance of a NiMH cell of 1 Ah, as 1 / capacity", 0.06, "ohm", 0.003, FRONTIER,
        lambda: Pack(catalogued("nimh-aaa"), 1, 1).resistance_ohm * aaa_ah(),
    ),
]  # fmt: skip

ROWS = SOURCES + PACKS + LOADS + OTHERS + CELLS
