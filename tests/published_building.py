"""Published values of wires, fuses, sizes, transport and sizing worksheets; see ``published.py``.

Ids and tolerances are those of the project's list of published values, themes 4 to 7. Tables are
held at their precision; a tolerance of 0 means exact. "From memory" marks what was not read.
"""

import math
from dataclasses import replace

from published import CP, KUPHALDT, UP, Row, cell, pack, solved

from packlearn import building, rules
from packlearn.building import fuses, wires
from packlearn.building import rated_energy_wh as rated_wh
from packlearn.building._data import table
from packlearn.cells import cell as catalogued
from packlearn.loads import Converter, Load
from packlearn.packs import Pack
from packlearn.sizing import Need, check, size

# Sources.

LINDEN = "Linden's Handbook of Batteries, 4th ed., table 4.9a, p. 4.11 (IEC 60086-2)"
PANASONIC = "Panasonic Ni-MH Handbook (Aug. 2005), data sheet "
CFR_171 = "49 CFR 171.8, definition of watt-hour; numbers by us"
FAA = "FAA, page on spare lithium batteries for passengers"
TSA = "TSA, page on what passengers may bring, lithium batteries"
CFR_175 = "49 CFR 175.10(a)(18)-(19), edition of 2018-10-01"
CFR_173 = "49 CFR 173.185(c)(1)(iv)"
SP_188 = "UN special provision 188 (from memory)"
GOST_86 = "GOST 28125-89 (= IEC 86-2:1987), sec. 24.2, scan page 75"
ASTM = "American wire gauge and ASTM B258-02 ratio (copy of an encyclopedia's page)"
GAUGES = "HyperPhysics, table of common wire gauges, 20 degC"
KUPHALDT_12 = KUPHALDT + "ch. 12 on conductors"
IEC_THIN = "IEC 60228, largest resistance, as tabulated by myCableEngineering"
IEC_THICK = "IEC 60228, largest resistance, tables 1-3, as tabulated by uecables.com"
BIRD_3 = "Bird, Electrical Circuit Theory and Technology, ch. 3, "
BOYLESTAD_3 = "Boylestad, Introductory Circuit Analysis, 10th ed., "
GROB = "Schultz, Grob's Basic Electronics, ch. 11, "
UP_9 = UP + "ch. 9, sec. 9.3"
UP_9_END = UP + "ch. 9, additional and challenge problems"
CP_CORD = CP + "sec. 20.2, problem 22"
CP_CORD_W = CP + "sec. 20.4, problem 44"
FUSEOLOGY = "Littelfuse, Fuseology Selection Guide (2014), "
UL_TABLE = FUSEOLOGY + "page on UL/CSA 248-14"
BIRD_2 = "Bird, Electrical Circuit Theory and Technology, ch. 2, example 20, p. 20 (companion)"
UP_LAMPS = UP + "ch. 10, additional and challenge problems; trips a 15 A breaker"
MAINI = "Maini and Agrawal, Satellite Communication, ch. 4, example 4.6 (companion)"
YUASA = "Yuasa NP series application manual, p. 7"
WORKSHEET = "stand-alone PV system sizing worksheet, worked example"
SAFT = "Saft Ni-Cd battery proposal by IEEE 1115"
BS_5839 = "note on BS 5839-1 standby battery capacity; prints 1.874"
IEEE_485 = "IEEE 485, example and factors (from memory)"
FOOT_M = 0.3048

# Theme 4: sizes, currents, limits of transport, designations.

SIZES = [
    Row(f"T4-{start + place:02d}", f"{name} {what}", value, "mm", 0, LINDEN, compute)
    for start, name, values in (
        (1, "R03", (10.5, 9.5, 44.5, 43.3)),
        (5, "R6", (14.5, 13.5, 50.5, 49.2)),
        (9, "R14", (26.2, 24.9, 50.0, 48.6)),
        (13, "R20", (34.2, 32.3, 61.5, 59.5)),
    )
    for place, (what, value, compute) in enumerate(
        zip(
            ("largest diameter", "smallest diameter", "largest height", "smallest height"),
            values,
            (
                lambda name=name: building.standard_size(name).diameter_mm[1],
                lambda name=name: building.standard_size(name).diameter_mm[0],
                lambda name=name: building.standard_size(name).height_mm[1],
                lambda name=name: building.standard_size(name).height_mm[0],
            ),
            strict=True,
        )
    )
]


def limit(part, name):
    """A limit of the rules of transport, as a float."""
    return float(table("transport")[part][name])


def it_ma(ah, c_rate):
    """Current of a C-rate [mA]."""
    return 1000 * cell(1.2, ah=ah).current_at_c_rate_a(c_rate)


def printed_it_ma():
    """What the sheet prints for 1 It beside the 700 mA of its own rule."""
    found = next(each for each in building.differences() if each.about == "one_it_current")
    assert found.taken == it_ma(0.7, 1.0)
    return found.values[0][0]


def cells_of(text, name):
    """A count of a battery's designation."""
    return float(getattr(building.designation(text), name))


LEAD = catalogued("lead-acid-12v-7ah")

STANDARDS = [
    *SIZES,
    Row("T4-27", "1200 mAh; 0.2 It", 240, "mA", 0, PANASONIC + "HHR120AA", lambda: it_ma(1.2, 0.2)),
    Row("T4-28", "700 mAh; 1 It", 650, "mA", 0, PANASONIC + "HHR70AAAJ, a slip", printed_it_ma),
    Row("T4-29", "700 mAh; 0.1 It", 70, "mA", 0, PANASONIC + "HHR70AAAJ", lambda: it_ma(0.7, 0.1)),
    Row(
        "T4-45",
        "10.5 V of a 12 V battery at the 20 h rate",
        1.75,
        "V",
        0.005,
        "Xantrex Link 20 owner's manual (Nov. 2002), p. 5",
        lambda: building.protection_for(Pack(LEAD, 1, 1)).under_voltage_v,
    ),
    Row("T4-51", "2.5 Ah; 3.6 V", 9, "Wh", 0.05, CFR_171, lambda: rated_wh(2.5, 3.6)),
    Row("T4-53", "no approval", 100, "Wh", 0, FAA, lambda: limit("passenger", "free_wh")),
    Row("T4-54", "approval", 160, "Wh", 0, FAA, lambda: limit("passenger", "approved_wh")),
    Row("T4-55", "spares", 2, "pcs", 0, FAA, lambda: limit("passenger", "approved_spares")),
    Row("T4-56", "lithium metal", 2, "g", 0, FAA, lambda: limit("passenger", "lithium_g")),
    Row("T4-57", "no approval", 100, "Wh", 0, TSA, lambda: limit("passenger", "free_wh")),
    Row("T4-58", "non-spillable", 12, "V", 0, CFR_175, lambda: limit("passenger", "lead_v")),
    Row("T4-59", "non-spillable", 100, "Wh", 0, CFR_175, lambda: limit("passenger", "lead_wh")),
    Row("T4-60", "cell, road", 60, "Wh", 0, CFR_173, lambda: limit("road", "cell_wh")),
    Row("T4-61", "battery, road", 300, "Wh", 0, CFR_173, lambda: limit("road", "battery_wh")),
    Row("T4-62", "cell, small", 20, "Wh", 0, SP_188, lambda: limit("road", "un_cell_wh")),
    Row("T4-63", "battery, small", 100, "Wh", 0, SP_188, lambda: limit("road", "un_battery_wh")),
    Row(
        "T4-66",
        "2ICP20/34/70-2",
        4,
        "cells",
        0,
        "IEC 61960, sec. 5.1, quoted in a forum thread; sample by us",
        lambda: cells_of("2ICP20/34/70-2", "cell_count"),
    ),
    Row("T4-67", "3R12", 3, "cells", 0, GOST_86, lambda: cells_of("3R12", "series")),
    Row("T4-68", "R12-3", 3, "cells", 0, GOST_86, lambda: cells_of("R12-3", "parallel")),
    Row("T4-69", "3R20-2", 6, "cells", 0, GOST_86, lambda: cells_of("3R20-2", "cell_count")),
    Row(
        "T4-70",
        "2HFLF 18/07/49",
        2,
        "cells",
        0,
        "GOST R IEC 61951-2-2019, sec. 5.1.3",
        lambda: cells_of("2HFLF 18/07/49", "series"),
    ),
]

# Theme 5: wires.


def inches(gauge):
    """Diameter of a gauge [in]."""
    return wires.gauge_diameter_mm(gauge) / wires.INCH_MM


def circular_mils(gauge):
    """Area of a gauge [circular mils]."""
    return wires.gauge_area_mm2(gauge) / wires.CIRCULAR_MIL_MM2


def kft_ohm(gauge):
    """Resistance of 1000 ft at the gauge tables' resistivity."""
    copper = table("wires")["copper"]["gauge_ohm_mm2_per_m"]
    return rules.wire_resistance_ohm(1000 * FOOT_M, wires.gauge_area_mm2(gauge), copper)


def mil_ohm(feet, mils, ohm_mil_per_foot):
    """Resistance of a wire given in feet and circular mils, by a book's own resistivity."""
    resistivity = ohm_mil_per_foot * wires.CIRCULAR_MIL_MM2 / FOOT_M
    return rules.wire_resistance_ohm(feet * FOOT_M, mils * wires.CIRCULAR_MIL_MM2, resistivity)


def round_ohm(length_m, diameter_mm, ohm_m):
    """Resistance of a round wire by a book's own resistivity [ohm m]."""
    area_mm2 = wires.round_area_mm2(diameter_mm)
    return rules.wire_resistance_ohm(length_m, area_mm2, 1e6 * ohm_m)


def metric_ohm(area_mm2, key):
    """Largest resistance of 1 km in the table of sizes."""
    row = next(row for row in table("wires")["size"] if row["area_mm2"] == area_mm2)
    return row[f"{key}_ohm_km"]


def warm_lamp(wire_ohm):
    """Current of 14 V through a load of 250 ohm and two wires."""
    return pack(14.0, 2 * wire_ohm).current_into_a(250.0)


def warm_wire_ohm():
    """A wire of 15 ohm at 20 degC, at 35 degC, by the book's coefficient."""
    return wires.warm_resistance_ohm(15.0, 35.0, 0.004041)


def lost_v(ohm, amps):
    """Voltage that a wire loses."""
    return pack(0.0001, ohm).resistance_ohm * amps


def lost_w(ohm, amps):
    """Power that a wire loses."""
    return Load.current(amps).mean_power_w(lost_v(ohm, amps))


DIAMETERS = {
    "T5-02": (-3, 0.46, 5e-05, ASTM),
    "T5-03": (36, 0.005, 5e-05, ASTM),
    "T5-04": (10, 0.10189, 1e-05, GAUGES),
    "T5-06": (14, 0.06408, 1e-05, GAUGES),
    "T5-07": (16, 0.05082, 1e-05, GAUGES),
    "T5-09": (20, 0.03196, 1e-05, GAUGES),
    "T5-11": (24, 0.0201, 5e-05, GAUGES),
    "T5-13": (28, 0.01264, 1e-05, GAUGES),
}
MILS = {
    "T5-15": (10, 10380, 5),
    "T5-16": (12, 6530, 5),
    "T5-17": (14, 4107, 0.6),
    "T5-18": (16, 2583, 0.6),
    "T5-19": (18, 1624, 0.6),
    "T5-20": (20, 1022, 0.6),
    "T5-21": (22, 642.5, 0.1),
    "T5-22": (24, 404, 0.1),
    "T5-23": (26, 254.1, 0.1),
    "T5-24": (28, 159.8, 0.1),
    "T5-25": (30, 100.5, 0.1),
}
OHMS = {
    "T5-26": (10, 0.9989),
    "T5-27": (12, 1.588),
    "T5-28": (14, 2.525),
    "T5-29": (16, 4.016),
    "T5-30": (18, 6.385),
    "T5-31": (20, 10.15),
    "T5-32": (22, 16.14),
    "T5-33": (24, 25.67),
    "T5-34": (26, 40.81),
    "T5-35": (28, 64.9),
    "T5-36": (30, 103.2),
}
METRIC = {
    "T5-46": (0.5, "solid", 36, IEC_THIN),
    "T5-47": (0.5, "stranded", 39, IEC_THIN),
    "T5-48": (0.75, "solid", 24.5, IEC_THIN),
    "T5-49": (0.75, "stranded", 26, IEC_THIN),
    "T5-50": (1.0, "solid", 18.1, IEC_THICK),
    "T5-51": (1.0, "stranded", 19.5, IEC_THICK),
    "T5-52": (1.5, "solid", 12.1, IEC_THICK),
    "T5-53": (1.5, "stranded", 13.3, IEC_THICK),
    "T5-54": (2.5, "solid", 7.41, IEC_THICK),
    "T5-55": (2.5, "stranded", 7.98, IEC_THICK),
    "T5-56": (4.0, "solid", 4.61, IEC_THICK),
    "T5-57": (4.0, "stranded", 4.95, IEC_THICK),
    "T5-58": (6.0, "solid", 3.08, IEC_THICK),
    "T5-59": (6.0, "stranded", 3.3, IEC_THICK),
}
TO_20 = {"T5-61": (30, 0.962), "T5-62": (50, 0.893), "T5-63": (70, 0.833), "T5-64": (100, 0.758)}


to_20 = wires.to_20_degc_factor


def coefficient(place):
    """One of the published temperature coefficients of copper."""
    found = next(each for each in building.differences() if each.about == "copper_coefficient")
    return found.values[place][0]


WIRES = [
    *(
        Row(id_, f"AWG {n}", value, "in", slack, source, lambda n=n: inches(n))
        for id_, (n, value, slack, source) in DIAMETERS.items()
    ),
    *(
        Row(id_, f"AWG {n}", value, "cmil", slack, KUPHALDT_12, lambda n=n: circular_mils(n))
        for id_, (n, value, slack) in MILS.items()
    ),
    *(
        Row(id_, f"1000 ft, AWG {n}", value, "ohm", value / 1000, GAUGES, lambda n=n: kft_ohm(n))
        for id_, (n, value) in OHMS.items()
    ),
    *(
        Row(
            id_,
            f"1 km of {area:g} mm2 {key}",
            value,
            "ohm",
            0,
            source,
            lambda area=area, key=key: metric_ohm(area, key),
        )
        for id_, (area, key, value, source) in METRIC.items()
    ),
    *(
        Row(
            id_,
            f"{degc} degC",
            value,
            "1",
            0.0006,
            IEC_THICK,
            lambda t=degc: to_20(t),
        )
        for id_, (degc, value) in TO_20.items()
    ),
    Row("T5-65", "-", 0.00393, "1/K", 5e-06, "Hioki RM3545 manual, A5", lambda: coefficient(1)),
    Row("T5-66", "-", 0.004041, "1/K", 5e-07, KUPHALDT_12, lambda: coefficient(3)),
    Row(
        "T5-68",
        "14 V; 250 ohm; two wires of 15 ohm at 35 degC",
        49.677,
        "mA",
        0.0005,
        KUPHALDT_12,
        lambda: 1000 * warm_lamp(warm_wire_ohm()),
    ),
    Row(
        "T5-69",
        "the same, at the load",
        12.42,
        "V",
        0.005,
        KUPHALDT_12,
        lambda: 250 * warm_lamp(warm_wire_ohm()),
    ),
    Row("T5-70", "at 20 degC", 12.5, "V", 0.05, KUPHALDT_12, lambda: 250 * warm_lamp(15.0)),
    Row(
        "T5-71",
        "2300 ft of AWG 14; 10.09 ohm cmil/ft",
        5.651,
        "ohm",
        0.0005,
        KUPHALDT_12,
        lambda: mil_ohm(2300, 4107, 10.09),
    ),
    Row(
        "T5-72",
        "230 V; two runs of it",
        20.352,
        "A",
        0.003,
        KUPHALDT_12,
        lambda: rules.short_circuit_current_a(230, 2 * mil_ohm(2300, 4107, 10.09)),
    ),
    Row(
        "T5-73",
        "10 ohm at 20 degC; 0.004; 100 degC",
        13.2,
        "ohm",
        0.05,
        BIRD_3 + "example 11, p. 28 (companion)",
        lambda: wires.warm_resistance_ohm(10, 100, 0.004),
    ),
    Row(
        "T5-74",
        "50 ohm at 20 degC; 100 degC; no resistance at -234.5 degC",
        65.72,
        "ohm",
        0.005,
        BOYLESTAD_3 + "example 3.9 (companion)",
        lambda: wires.warm_resistance_ohm(50, 100, 1 / (234.5 + 20)),
    ),
    Row(
        "T5-75",
        "0.0039; twice that of 20 degC",
        276.4,
        "degC",
        0.05,
        UP_9,
        lambda: solved(lambda t: wires.warm_resistance_ohm(1, t, 0.0039), 2.0, 20.0, 999.0),
    ),
    Row(
        "T5-78",
        "1 km; 9.266 mm; 1.72e-8; 100 A",
        2550,
        "W",
        5,
        CP + "sec. 20.4, problem 58, which prints 25.5 W",
        lambda: lost_w(round_ohm(1000, 9.266, 1.72e-8), 100.0),
    ),
    Row(
        "T5-79",
        "60 km; 42.40 mm2; 1.68e-8",
        23.77,
        "ohm",
        0.005,
        UP_9_END,
        lambda: rules.wire_resistance_ohm(60_000, 42.40, 0.0168),
    ),
    Row("T5-80", "23.77 ohm; 100 A", 237_700, "W", 50, UP_9_END, lambda: lost_w(23.77, 100.0)),
    Row("T5-81", "AWG 12, 2.053 mm", 3.31, "mm2", 0.005, UP_9, lambda: wires.gauge_area_mm2(12)),
    Row("T5-82", "AWG 10; 2.588 mm", 5.26, "mm2", 0.005, UP_9, lambda: wires.gauge_area_mm2(10)),
    Row("T5-83", "0.300 ohm; 5.00 A", 1.5, "V", 0.005, CP_CORD, lambda: lost_v(0.3, 5.0)),
    Row("T5-84", "0.0600 ohm; 5.00 A", 0.3, "V", 0.0005, CP_CORD, lambda: lost_v(0.06, 5.0)),
    Row("T5-85", "0.0600 ohm; 5.00 A", 1.5, "W", 0.005, CP_CORD_W, lambda: lost_w(0.06, 5.0)),
    Row("T5-86", "0.300 ohm; 5.00 A", 7.5, "W", 0.005, CP_CORD_W, lambda: lost_w(0.3, 5.0)),
    Row(
        "T5-87",
        "650 ft of AWG 8",
        0.408,
        "ohm",
        0.0005,
        BOYLESTAD_3 + "example 3.4 (companion)",
        lambda: 0.65 * kft_ohm(8),
    ),
    Row(
        "T5-88",
        "AWG 12, 6529.9 cmil",
        0.0808,
        "in",
        5e-05,
        BOYLESTAD_3 + "example 3.5 (companion)",
        lambda: inches(12),
    ),
    Row(
        "T5-90",
        "16 strands of AWG 27",
        3224,
        "cmil",
        0.5,
        GROB + "example 11-2, p. 335 (companion)",
        # The table's 201.5 cmil, rounded from the gauge's area, sixteen times.
        lambda: 16 * round(circular_mils(27), 1),
    ),
    Row(
        "T5-91",
        "100 ft of AWG 20",
        1.02,
        "ohm",
        0.005,
        GROB + "example 11-3, p. 340 (companion)",
        lambda: mil_ohm(100, 1022, 10.4),
    ),
    Row(
        "T5-92",
        "100 ft of AWG 23",
        2.04,
        "ohm",
        0.005,
        GROB + "example 11-4, p. 342 (companion)",
        lambda: mil_ohm(100, 509.5, 10.4),
    ),
    Row(
        "T5-93",
        "250 m; 0.5 mm; 1.8e-8",
        22.92,
        "ohm",
        0.005,
        "Robertson, Fundamental Electrical and Electronic Principles, ch. 1, ex. 1.17 (companion)",
        lambda: round_ohm(250, 0.5, 1.8e-8),
    ),
    Row(
        "T5-94",
        "1200 m; 12 mm; 1.7e-8",
        0.18,
        "ohm",
        0.0005,
        BIRD_3 + "example 7 (companion)",
        lambda: round_ohm(1200, 12, 1.7e-8),
    ),
    Row(
        "T5-95",
        "120 m; 2.5 mm; 1.7e-8",
        0.416,
        "ohm",
        0.0005,
        "Sedha, A Textbook of Applied Electronics, ch. 3, example 3.8, p. 28 (companion)",
        lambda: round_ohm(120, 2.5, 1.7e-8),
    ),
    Row(
        "T5-96",
        "2300 ft; 0.2 ohm",
        116_035,
        "cmil",
        0.5,
        KUPHALDT_12,
        lambda: 1 / solved(lambda s: mil_ohm(2300, 1 / s, 10.09), 0.2, 1e-9, 1.0),
    ),
    Row(
        "T5-99",
        "100 ft one way; 4.99 ohm for 1000 ft; 4 A",
        4,
        "V",
        0.05,
        "electrician2.com, low-voltage training, p. 135 (NEC ch. 9, table 8)",
        lambda: lost_v(2 * 0.1 * stranded_16_ohm(), 4.0),
    ),
    Row(
        "T5-100",
        "the same, of 24 V",
        16.7,
        "%",
        0.05,
        "electrician2.com, low-voltage training, p. 135 (NEC ch. 9, table 8)",
        # The page counts with the drop as it prints it, 4.0 V.
        lambda: 100 * round(lost_v(2 * 0.1 * stranded_16_ohm(), 4.0), 1) / 24.0,
    ),
]


def stranded_16_ohm():
    """The larger of the two published resistances of AWG 16, for 1000 ft."""
    found = next(each for each in building.differences() if each.about == "stranded_gauge_16")
    return found.values[1][0]


# Theme 6: fuses.


def breaks_at_250_a(rating_a):
    """What a tube of the UL family breaks at 250 V."""
    return dict(fuses.family("ul").builds(rating_a, 250.0))["tube"]


def sum_a(volts, *watts):
    """Current of loads side by side."""
    return float(sum(Load.power(each).current_at_a(volts) for each in watts))


UL = table("fuses")["ul"]
SHOP = (5.0, 10.0, 13.0)
BREAKS = {"T6-07": (1.0, 35), "T6-08": (3.5, 100), "T6-09": (10.0, 200), "T6-10": (15.0, 750)}
BREAKS["T6-11"] = (30.0, 1500)

FUSES = [
    Row(
        "T6-01",
        "UL type, 25 degC",
        75,
        "%",
        0,
        FUSEOLOGY + "normal operating current",
        lambda: 100 * building.family("ul").run_share,
    ),
    Row(
        "T6-02",
        "opens within 1 h",
        135,
        "%",
        0,
        UL_TABLE,
        lambda: 100 * building.family("ul").carries_share,
    ),
    Row("T6-03", "200 %, to 30 A", 2, "min", 0, UL_TABLE, lambda: UL["twice_up_to_30_min"]),
    Row("T6-04", "200 %, to 60 A", 4, "min", 0, UL_TABLE, lambda: UL["twice_up_to_60_min"]),
    Row("T6-05", "carries", 100, "%", 0, UL_TABLE, lambda: 100 * UL["carries_whole_share"]),
    Row(
        "T6-06",
        "125 V AC, listed",
        10_000,
        "A",
        0,
        UL_TABLE,
        lambda: dict(building.family("ul").builds(1.0, 125.0))["tube"],
    ),
    *(
        Row(id_, f"250 V; {a:g} A", value, "A", 0, UL_TABLE, lambda a=a: breaks_at_250_a(a))
        for id_, (a, value) in BREAKS.items()
    ),
    Row(
        "T6-14",
        "1.5 A steady",
        2,
        "A",
        0.05,
        FUSEOLOGY + "normal current; numbers by us",
        lambda: building.fuse_for(pack(5.0, 0.1, limit_a=9.0), Load.current(1.5), 9.0).least_a,
    ),
    Row("T6-16", "1 kW; 240 V", 4.17, "A", 0.005, BIRD_2, lambda: sum_a(240.0, 1000.0)),
    Row(
        "T6-17",
        "5, 10, 13 A",
        5,
        "A",
        0,
        BIRD_2,
        lambda: building.next_rating_a(sum_a(240.0, 1000.0), SHOP),
    ),
    Row("T6-18", "3 kW; 240 V", 12.5, "A", 0.05, BIRD_2, lambda: sum_a(240.0, 3000.0)),
    Row(
        "T6-19",
        "5, 10, 13 A",
        13,
        "A",
        0,
        BIRD_2,
        lambda: building.next_rating_a(sum_a(240.0, 3000.0), SHOP),
    ),
    Row(
        "T6-20",
        "441 W, 4 x 100 W, 1500 W; 120 V",
        19.51,
        "A",
        0.005,
        UP_LAMPS,
        lambda: sum_a(120.0, 441.0, *[100.0] * 4, 1500.0),
    ),
    Row(
        "T6-21",
        "441 W, 4 x 18 W, 1500 W; 120 V",
        16.78,
        "A",
        0.005,
        UP_LAMPS,
        lambda: sum_a(120.0, 441.0, *[18.0] * 4, 1500.0),
    ),
    Row(
        "T6-22",
        "24 V; 2 A at 80 %; lamps of 0.5 W",
        76,
        "pcs",
        0,
        "Sedha, A Textbook of Applied Electronics, ch. 3, example 3.30, p. 43 (companion)",
        lambda: float(
            math.floor(cell(24.0, limit_a=2.0).plannable_current_a(0.8) / sum_a(24.0, 0.5))
        ),
    ),
    Row(
        "T6-29",
        "10 V; 0.2 ohm",
        50,
        "A",
        0.5,
        KUPHALDT + "ch. 11",
        lambda: (
            building.fuse_for(
                pack(10.0, 0.2, limit_a=9.0), Load.current(1.0), 9.0
            ).breaking_capacity_needed_a
        ),
    ),
]

# Theme 7: sizing worksheets, worked out by ``size`` and ``check``.


def needed_ah(need, volts=2.0, ah=1.0):
    """Capacity at which a battery just meets a need's run time."""
    held = check(need, pack(volts, ah=ah, limit_a=1e6))
    return ah * need.run_time_h / held.run_time_h


def need_of(load, hours, **factors):
    """A need with a wide window."""
    return Need(load, hours, (0.1, 59.0), **factors)


def satellite_wh():
    """Energy of a satellite's battery."""
    fed = Load.power(3600.0).through(Converter(28.0, 0.95, (0.1, 59.0)))
    return 1.3 * needed_ah(need_of(fed, 1.2, capacity_derating=0.8), 1.3)


def cells_kg(energy_wh, wh_per_kg):
    """Mass of cells that hold an energy."""

    def share(kg):
        one = replace(cell(1.0, ah=energy_wh), mass_g=1000 * kg, size_mm=(20.0, 50.0))
        return building.measures_of(Pack(one, 1, 1)).cells_wh_per_kg

    return solved(share, wh_per_kg, 1.0, 1000.0)


def island():
    """The best pack of 12 V 478 Ah for the worksheet's charge."""
    battery = replace(cell(12.0, ah=478.0, limit_a=1000.0), rechargeable=True, max_parallel=24)
    return size(Need(Load.current(2721 / 100), 100.0, (11.0, 30.0)), [battery]).fits[0].pack


def most_in_line(volts, limit_v):
    """Largest series count whose full voltage keeps within a limit; above 60 V none is offered."""
    held = [
        check(Need(Load.current(1.0), 1.0, (0.1, limit_v)), pack(volts, series=s))
        for s in range(1, 99)
    ]
    within = [each for each in held if each.margins["high_v"] >= -1e-9]
    assert not any(each.fits for each in within if each.full_v > 60)
    return float(max(each.pack.series for each in within))


def end_v(volts, series):
    """End voltage of a cell whose pack ends at a voltage."""

    def whole(each):
        return Pack(replace(cell(4.0), end_voltage_v=each), series, 1).end_voltage_v

    return solved(whole, volts, 0.5, 3.9)


STANDBY = Load.profile([(Load.current(0.05), 24 * 3600), (Load.current(0.6), 1800)])

WORKSHEETS = [
    Row("T7-02", "3600 W; 1.2 h; 0.8; 0.95", 5684.2, "Wh", 0.05, MAINI, satellite_wh),
    Row(
        "T7-03",
        "60 Wh/kg",
        94.74,
        "kg",
        0.005,
        MAINI,
        lambda: cells_kg(satellite_wh(), 60.0),
    ),
    Row("T7-05", "204 V; 120 cells", 1.7, "V", 0.05, YUASA, lambda: end_v(204.0, 120)),
    Row(
        "T7-06",
        "5300 W; 120 cells",
        44.17,
        "W",
        0.005,
        YUASA,
        lambda: 2.0 * Load.power(5300.0).current_at_a(pack(2.0, series=120).nominal_voltage_v),
    ),
    Row(
        "T7-07",
        "44.17 W; 1.872 W for each Ah",
        23.59,
        "Ah",
        0.01,
        YUASA,
        lambda: needed_ah(need_of(Load.power(44.17), 1.0), 1.872),
    ),
    Row("T7-08", "120 cells", 20, "pcs", 0, YUASA, lambda: 120 / LEAD.cells_inside),
    Row(
        "T7-18",
        "7463 Wh; 24 V",
        311,
        "Ah",
        0.5,
        WORKSHEET,
        lambda: needed_ah(need_of(Load.power(7463 / 24), 24.0), 24.0),
    ),
    Row("T7-20", "2721 Ah; 478 Ah", 6, "pcs", 0, WORKSHEET, lambda: float(island().parallel)),
    Row("T7-21", "24 V; 12 V", 2, "pcs", 0, WORKSHEET, lambda: float(island().series)),
    Row("T7-23", "6 x 478 Ah", 2868, "Ah", 0.5, WORKSHEET, lambda: island().capacity_ah),
    Row("T7-24", "2868 Ah; 24 V", 68.8, "kWh", 0.05, WORKSHEET, lambda: island().energy_wh / 1000),
    Row(
        "T7-25",
        "150 W; 0.85",
        176,
        "W",
        0.5,
        WORKSHEET,
        lambda: Load.power(150.0).through(Converter(230.0, 0.85, (10.0, 30.0))).mean_power_w(24.0),
    ),
    Row(
        "T7-27",
        "1400 A; 0.4868; 1.2738",
        868.12,
        "Ah",
        0.02,
        SAFT,
        # The time factor Kt is the run time at which the discharge rate counts.
        lambda: needed_ah(need_of(Load.current(1400.0), 0.4868, temperature_factor=1.2738)),
    ),
    Row(
        "T7-29",
        "0.05 A, 24 h; 0.3 Ah; 1.25",
        1.875,
        "Ah",
        0.0015,
        BS_5839,
        lambda: needed_ah(need_of(STANDBY, 24.5, ageing_factor=1.25)),
    ),
    Row("T7-31", "140 V; 2.33 V", 60, "cells", 0, IEEE_485, lambda: most_in_line(2.33, 140.0)),
    Row("T7-32", "105 V; 60 cells", 1.75, "V", 0.005, IEEE_485, lambda: end_v(105.0, 60)),
    Row("T7-33", "replaced at 80 %", 1.25, "1", 0, IEEE_485, lambda: building.ageing_factor()),
    Row(
        "T7-34",
        "15.6 degC",
        1.11,
        "1",
        0.005,
        IEEE_485,
        lambda: building.temperature_factor(15.6),
    ),
    Row(
        "T7-35",
        "middle of the usual margin",
        1.125,
        "1",
        0.025,
        IEEE_485,
        lambda: sum(building.usual_design_margin()) / 2,
    ),
]

ROWS = [*STANDARDS, *WIRES, *FUSES, *WORKSHEETS]
