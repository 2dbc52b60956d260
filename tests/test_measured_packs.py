"""Runs of packlearn against what others measured (``measured.py``): the figures a run must meet.

Where a bar is missed the test says by how much and why; the model is not bent to it.
"""

import numpy as np
import pytest
from measured import measured

from packlearn import curves
from packlearn.cells import Cell, Curve, cell
from packlearn.discharging import discharge
from packlearn.loads import Load
from packlearn.packs import Pack

# Voltages of the cells in the sets, as their makers or conditions state them.
MADE = {
    "alkaline_aa": {"chemistry": "alkaline", "volts": (1.5, 1.6, 0.8), "ah": 2.4},
    "liion_18650": {"chemistry": "Li-ion", "volts": (3.6, 4.2, 2.2), "ah": 1.78},
    "liion_pouch_33ah": {"chemistry": "Li-ion", "volts": (3.7, 4.2, 3.0), "ah": 30.33},
    "licoo2_pouch": {"chemistry": "Li-ion", "volts": (3.7, 4.2, 3.0), "ah": 2.28},
    "nimh_aa": {"chemistry": "NiMH", "volts": (1.2, 1.45, 1.0), "ah": 1.9},
}


def of_set(name, given, ohm=0.1):
    """Cell with some of a set's curves."""
    made = MADE[name]
    nominal, full, end = made["volts"]
    return Cell(
        name="of a log",
        chemistry=made["chemistry"],
        nominal_voltage_v=nominal,
        full_voltage_v=full,
        end_voltage_v=end,
        capacity_ah=made["ah"],
        current_limit_a=200.0,
        resistance_ohm=ohm,
        curves=tuple(Curve(c.current_a, c.charge_ah, c.voltage_v) for c in given),
    )


def run_ah(one, amps, **more):
    return discharge(Pack(one, 1, 1), Load.current(amps), **more).charge_ah[-1]


# Alkaline AA: mean of 25 types (Moragor/BatteryAnalyzer_MkII, MIT).

ALKALINE = measured("alkaline_aa")


@pytest.mark.parametrize("row", [0, 1])
@pytest.mark.parametrize("volts", [0.8, 0.9, 1.0, 1.1])
def test_alkaline_capacities_to_four_voltages_come_back(row, volts):
    one = of_set("alkaline_aa", ALKALINE.curves.values())
    table = ALKALINE.figures["table"]
    meant = getattr(table, f"charge_to_{volts:.1f}_ah".replace(".", "v"))[row]
    amps = table.current_a[row]
    # 2 mAh: the table's mean current is 0.4994 A; per cent of it moves the charge so much.
    assert run_ah(one, amps, until_v=volts) == pytest.approx(meant, abs=0.002)
    # The cell of the catalogue is drawn from the same table, to 1 %.
    assert run_ah(cell("alkaline-aa"), amps, until_v=volts) == pytest.approx(meant, rel=0.01)


@pytest.mark.parametrize("own", [True, False])
def test_alkaline_at_half_the_lightest_current(own):
    one = of_set("alkaline_aa", ALKALINE.curves.values()) if own else cell("alkaline-aa")
    light, known = run_ah(one, 0.05), run_ah(one, 0.1)
    # Fitted at 0.1 and 0.5 A only; 5.1 % more for the measured set, 3.9 % for the catalogue's.
    assert 1.01 < light / known < 1.10
    # Measured 2.637 Ah in another rig, other cells (RainerU/DestructiveBatteryTester, MIT).
    meant = measured("alkaline_aa_50ma").figures["alkaline"].charge_ah
    assert light == pytest.approx(meant, rel=0.10)
    assert discharge(Pack(one, 1, 1), Load.current(0.05)).extrapolated


def test_alkaline_between_its_curves_is_too_good():
    # Two makes at 0.1 and 0.2 A to 0.8 V: 2.426 and 1.766 Ah, 2.913 and 1.989 Ah (figures worked
    # out from the public logs nathanpc/battery-capacity). No bar was set; the straight line
    # between 0.1 and 0.5 A gives 0.91 where they have 0.73 and 0.68.
    one = cell("alkaline-aa")
    ratio = run_ah(one, 0.2) / run_ah(one, 0.1)
    assert 1.989 / 2.913 < 1.766 / 2.426 < ratio < 0.92


def test_alkaline_resistance_is_that_of_slow_impedance():
    # At 1 Hz, Barresi et al. (CC BY 4.0). Within 26 % from 90 to 60 % of the charge; from half
    # charge on the curves' resistance is far above it: 0.56 ohm against 0.94 at 40 %.
    one, table = cell("alkaline-aa"), measured("alkaline_rest").figures["table"]
    for left, ohm in list(zip(table.charge_left_percent, table.at_1hz_ohm, strict=True))[:4]:
        drawn = (1 - left / 100) * one.capacity_ah
        assert curves.resistance_ohm(one, drawn) == pytest.approx(ohm, rel=0.35), left
    assert curves.resistance_ohm(one, 0.6 * one.capacity_ah) > 1.5 * table.at_1hz_ohm[5]


# Leave one current out.

LEFT_OUT = [
    # Set, current left out, how far its capacity may be off, whether it lies between the others.
    ("liion_18650", "1A", 0.03, False),  # 2.6 %
    ("liion_18650", "2A", 0.03, True),  # 1.1 %
    # Misses the bar of 3 %: 3.5 %. At 4 A this cell heats itself to 69 degC.
    ("liion_18650", "4A", 0.04, False),
    # Misses the bar of 3 %: 3.3 %. Down from 2C and 3C the drop grows faster than the current.
    ("liion_pouch_33ah", "1C", 0.035, False),
    ("liion_pouch_33ah", "2C", 0.03, True),  # 1.1 %
    ("liion_pouch_33ah", "3C", 0.03, False),  # 2.8 %
]


@pytest.mark.parametrize(("name", "out", "bar", "between"), LEFT_OUT)
def test_a_current_left_out_is_found_from_the_others(name, out, bar, between):
    given = measured(name).curves
    one = of_set(name, [curve for key, curve in given.items() if key != out])
    found, meant = run_ah(one, given[out].current_a), given[out].charge_ah[-1]
    assert found == pytest.approx(meant, rel=bar)
    if between:
        assert found == pytest.approx(meant, rel=0.015)
    else:
        assert discharge(Pack(one, 1, 1), Load.current(given[out].current_a)).extrapolated


@pytest.mark.parametrize(("name", "rated_ah"), [("liion_18650", 2.0), ("liion_pouch_33ah", 33.1)])
def test_ah_over_a_misses_that_bar(name, rated_ah):
    # By the rating (of the new cell, as the sets tell it), and by the lightest measured current.
    given = list(measured(name).curves.values())
    for curve in given:
        by_rating = Pack(Cell("x", "as told", 3.6, rated_ah, 200, 0, full_voltage_v=4.2,
                              end_voltage_v=2.2), 1, 1)  # fmt: skip
        hours = curve.charge_ah[-1] / curve.current_a
        assert by_rating.run_time_h(curve.current_a) > 1.08 * hours
    heavy = given[-1]
    assert given[0].charge_ah[-1] > 1.06 * heavy.charge_ah[-1]


# The 6S2P pack from its single cell (batterysim/equiv-circ-model, MIT).

SINGLE, PACK = measured("liion_pouch_33ah"), measured("liion_pack_6s2p")
RATES = PACK.figures["table"]
OHM_0S5 = 0.001567


def big_pack():
    return Pack(of_set("liion_pouch_33ah", SINGLE.curves.values(), OHM_0S5), 6, 2)


def start_charges():
    """Charge of each group by its rest voltage, in the table of the single cell's pulse test."""
    pulses = SINGLE.figures["pulses"]
    volts = pulses.rest_v[::-1]
    removed_ah = np.maximum(pulses.removed_ah, 0.0)
    left_ah = MADE["liion_pouch_33ah"]["ah"] - removed_ah[::-1]
    shares = np.cumsum(np.diff(left_ah, prepend=0.0)) / MADE["liion_pouch_33ah"]["ah"]
    found = [curves.share_at(volts, shares, v)[0] for v in PACK.figures["rest"].at_65a_v]
    return [[share] * 2 for share in found]


def pack_run(amps):
    return discharge(big_pack(), Load.current(amps), start_charge=start_charges(), protected=True)


def test_the_groups_start_as_their_rest_voltages_say():
    # Group 1 lacks 2.3 Ah of a cell's 30.3 Ah, group 4 lacks 1.9 Ah, the others 0.6 to 1.0 Ah.
    lacking = 30.33 * (1 - np.array(start_charges())[:, 0])
    assert lacking == pytest.approx([2.28, 0.71, 0.57, 1.90, 0.98, 0.85], abs=0.01)


def test_the_pack_at_65_a():
    run = pack_run(65.0)
    at = RATES.current_a.index(65.0)
    # 22.57 V against 22.68 V.
    assert run.mean_voltage_v == pytest.approx(RATES.mean_v[at], rel=0.01)
    # 0.924 of the ideal 60.66 Ah; measured 0.911.
    ideal_ah = 2 * SINGLE.curves["1C"].charge_ah[-1]
    assert run.charge_ah[-1] / ideal_ah == pytest.approx(0.91, abs=0.03)
    assert run.charge_ah[-1] == pytest.approx(RATES.charge_ah[at], rel=0.03)
    # Group 1 ends it at 3.0 V, group 4 is the next lowest.
    assert run.ended_by == "cell_end_voltage"
    assert run.weakest[0] == 1
    ends = run.group_voltage_v[-1]
    assert ends[0] == pytest.approx(3.0, abs=1e-9)
    assert list(np.argsort(ends)[:2]) == [0, 3]
    # 3.12 V and 3.33 to 3.40 V; measured 3.21 V and 3.43 to 3.48 V.
    assert ends == pytest.approx(PACK.figures["end"].at_65a_v, abs=0.12)


def test_the_pack_at_65_a_all_the_way():
    log, run = PACK.curves["1.0c"], pack_run(65.0)
    inside = (run.charge_ah > 2.0) & (run.charge_ah < 50.0)
    off = run.voltage_v[inside] - log.at_v(run.charge_ah[inside])
    # Of 22.7 V; 0.25 % of it is the offset between the meters of pack and groups.
    assert np.sqrt(np.mean(off**2)) < 0.02 * 22.7 / 2
    assert abs(np.mean(off)) < 0.01 * 22.7


def test_the_start_resistance_from_the_half_second_value():
    at = RATES.current_a.index(65.0)
    assert big_pack().resistance_ohm == pytest.approx(RATES.first_sample_ohm[at], rel=0.10)


def test_without_the_unequal_start_the_pack_would_give_its_ideal_charge():
    even = discharge(big_pack(), Load.current(65.0), protected=True)
    ideal_ah = 2 * SINGLE.curves["1C"].charge_ah[-1]
    assert even.charge_ah[-1] / ideal_ah > 0.99


# Rate, capacity over measured, mean voltage over measured, and why it misses.
OTHER_RATES = [
    # 9.75 A a cell lies far below the fitted 30.6 A: 3.2 % too much.
    (19.5, 1.032, 0.994),
    # 65 A a cell lies inside; the pack warms from 25 to 36 degC, which the model does not know.
    (130.0, 0.993, 0.987),
    # 90 A a cell, warming to 40 degC: the real pack gives as much as at 19.5 A.
    (180.0, 0.962, 0.981),
]


@pytest.mark.parametrize(("amps", "charge", "volts"), OTHER_RATES)
def test_the_pack_at_other_rates_misses_by_this_much(amps, charge, volts):
    run, at = pack_run(amps), RATES.current_a.index(amps)
    assert run.charge_ah[-1] / RATES.charge_ah[at] == pytest.approx(charge, abs=0.003)
    assert run.mean_voltage_v / RATES.mean_v[at] == pytest.approx(volts, abs=0.003)
    assert run.weakest[0] == 1
    assert list(np.argsort(run.group_voltage_v[-1])[:2]) == [0, 3]
    # Below the fitted currents, or group 1 past the end of the next heavier curve.
    assert run.extrapolated


# NiMH between two currents (published curves, jankokert/EnergyHarvestingWSN).


def test_nimh_at_1_a_from_0_4_and_2_a():
    table = measured("nimh_aa").figures["table"]

    def through(amps, volts, last_ah):
        return Curve(amps, (0.0, *table.drawn_ah, last_ah), (volts[0] + 0.05, *volts, 1.0))

    light = through(0.4, table.at_0a4_v, table.charge_to_1v0_ah[0])
    heavy = through(2.0, table.at_2a0_v, table.charge_to_1v0_ah[2])
    one = of_set("nimh_aa", [light, heavy])
    run = discharge(Pack(one, 1, 1), Load.current(1.0))
    found = np.interp(table.drawn_ah, run.charge_ah, run.voltage_v)
    assert found == pytest.approx(table.at_1a0_v, abs=0.005)
    assert not run.extrapolated or run.charge_ah[-1] > heavy.charge_ah[-1]
    assert run.charge_ah[-1] == pytest.approx(table.charge_to_1v0_ah[1], rel=0.005)


# LiCoO2 pouch (Ai et al. 2020; files in pybamm, BSD 3-Clause).


@pytest.mark.parametrize("rate", ["0.5C", "1C"])
def test_licoo2_between_0_1c_and_2c(rate):
    given = measured("licoo2_pouch").curves
    one = of_set("licoo2_pouch", [given["0.1C"], given["2C"]])
    run = discharge(Pack(one, 1, 1), Load.current(given[rate].current_a))
    drawn = np.linspace(0.0, 2.15, 2151)
    off = np.interp(drawn, run.charge_ah, run.voltage_v) - given[rate].at_v(drawn)
    # 11 mV at 0.5C, 14 mV at 1C.
    assert np.sqrt(np.mean(off**2)) < 0.020
    # 0.5 and 0.8 % too much.
    assert run.charge_ah[-1] == pytest.approx(given[rate].charge_ah[-1], rel=0.01)


# LiFePO4: how little a reading says (Kawakita de Souza 2021, CC BY 4.0).


def test_a_lifepo4_reading_says_little():
    rest = measured("lfp_26650").figures["rest"]
    shares = np.array(rest.charge_left_percent) / 100
    reading = float(np.interp(0.60, shares, rest.open_circuit_v))
    low, high = curves.share_at(rest.open_circuit_v, shares, reading, 0.010)
    # From 38 to 68 %.
    assert low < 0.60 < high
    assert high - low > 0.25
    exact = curves.share_at(rest.open_circuit_v, shares, reading)
    assert exact == pytest.approx((0.60, 0.60), abs=1e-9)
    # A lithium cell with a sloping voltage says ten times as much for the same meter.
    low, high = curves.charge_left(cell("li-ion-18650-energy"), 3.7, 0.010)
    assert high - low < 0.05


# Other sets, so that each is held against something.


def test_a_lithium_primary_cell_loses_almost_nothing():
    given = measured("lifes2_aa")
    table = given.figures["table"]
    light, heavy = (run_ah(cell("lithium-aa"), amps) for amps in table.current_a[:2])
    meant = table.charge_to_0v8_ah[1] / table.charge_to_0v8_ah[0]
    assert heavy / light == pytest.approx(meant, abs=0.01)
    alkaline = [run_ah(cell("alkaline-aa"), amps) for amps in (0.1, 0.5)]
    assert alkaline[1] / alkaline[0] == pytest.approx(1.413 / 2.396, abs=0.01)
