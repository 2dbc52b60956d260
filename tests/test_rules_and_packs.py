"""The rules of packs and ``Pack`` itself: the laws, sums by hand, and what errors say."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packlearn import rules
from packlearn.cells import Cell
from packlearn.errors import BadValue, PackError, PackLimit
from packlearn.packs import Pack, PackOfCells
from packlearn.words import word

law = settings(deadline=None, derandomize=True, max_examples=60)

counts = st.integers(1, 40)
volts = st.floats(0.5, 20)
hours_of_amps = st.floats(0.01, 200)
amps = st.floats(0.001, 100)
ohms = st.floats(0.0001, 20)


@st.composite
def cells(draw):
    nominal_v = draw(volts)
    return Cell(
        name="drawn",
        chemistry="drawn up",
        nominal_voltage_v=nominal_v,
        full_voltage_v=nominal_v * draw(st.floats(1, 1.3)),
        end_voltage_v=nominal_v * draw(st.floats(0.4, 0.95)),
        capacity_ah=draw(hours_of_amps),
        current_limit_a=draw(amps),
        resistance_ohm=draw(ohms),
        rechargeable=True,
    )


packs = st.builds(Pack, cells(), counts, counts)


def nimh(**more):
    fields = {
        "name": "mine",
        "chemistry": "NiMH",
        "nominal_voltage_v": 1.2,
        "capacity_ah": 1.9,
        "current_limit_a": 3.8,
        "resistance_ohm": 0.03,
    }
    return Cell(**{**fields, **more})


# One pack by hand.


def test_a_5s3p_pack_by_hand():
    pack = Pack(nimh(), series=5, parallel=3)
    assert pack.name == "5S3P"
    assert pack.cell_count == 15
    assert pack.nominal_voltage_v == pytest.approx(6.0)
    assert pack.full_voltage_v == pytest.approx(7.25)
    assert pack.end_voltage_v == pytest.approx(5.0)
    assert pack.capacity_ah == pytest.approx(5.7)
    assert pack.current_limit_a == pytest.approx(11.4)
    assert pack.energy_wh == pytest.approx(34.2)
    assert pack.resistance_ohm == pytest.approx(0.05)
    assert pack.run_time_h(0.6) == pytest.approx(9.5)
    assert pack.run_time_h(0.6, capacity_derating=0.8) == pytest.approx(7.6)
    assert pack.terminal_voltage_v(5.0) == pytest.approx(5.75)
    assert pack.terminal_voltage_v(5.0, open_circuit_v=6.6) == pytest.approx(6.35)
    assert pack.short_circuit_current_a == pytest.approx(120)
    assert pack.current_into_a(0.75) == pytest.approx(7.5)
    assert pack.current_into_a(0.75, open_circuit_v=7.2) == pytest.approx(9.0)


def test_a_pack_by_its_name():
    assert Pack.from_name("5S3P", nimh()) == Pack(nimh(), 5, 3)
    assert Pack.from_name("5s 3p", nimh()).name == "5S3P"


def test_a_pack_cannot_be_changed():
    pack = Pack(nimh(), 5, 3)
    with pytest.raises(dataclasses.FrozenInstanceError):
        pack.series = 6


def test_whole_floats_count_as_counts():
    pack = Pack(nimh(), 5.0, np.int64(3))
    assert (pack.series, pack.parallel) == (5, 3)
    assert type(pack.series) is int
    assert type(pack.parallel) is int


# The laws.


@law
@given(cells(), counts, counts)
def test_series_multiplies_voltages_only(cell, series, parallel):
    one, many = Pack(cell, 1, parallel), Pack(cell, series, parallel)
    for name in ("nominal_voltage_v", "full_voltage_v", "end_voltage_v"):
        assert getattr(many, name) == pytest.approx(series * getattr(one, name))
    for name in ("capacity_ah", "current_limit_a"):
        assert getattr(many, name) == getattr(one, name)


@law
@given(cells(), counts, counts)
def test_parallel_multiplies_capacity_and_current_limit_only(cell, series, parallel):
    one, many = Pack(cell, series, 1), Pack(cell, series, parallel)
    for name in ("capacity_ah", "current_limit_a"):
        assert getattr(many, name) == pytest.approx(parallel * getattr(one, name))
    for name in ("nominal_voltage_v", "full_voltage_v", "end_voltage_v"):
        assert getattr(many, name) == getattr(one, name)


@law
@given(cells(), counts, counts)
def test_energy_counts_cells_and_not_their_arrangement(cell, series, parallel):
    pack, turned = Pack(cell, series, parallel), Pack(cell, parallel, series)
    in_line = Pack(cell, 1, 1)
    assert pack.energy_wh == pytest.approx(turned.energy_wh)
    assert pack.energy_wh == pytest.approx(pack.cell_count * in_line.energy_wh)


@law
@given(cells(), counts, counts)
def test_resistance_grows_with_series_and_falls_with_parallel(cell, series, parallel):
    expected = cell.resistance_ohm * series / parallel
    assert Pack(cell, series, parallel).resistance_ohm == pytest.approx(expected)


@law
@given(packs, amps, st.floats(1, 100), st.floats(0.05, 1), st.floats(0.05, 1))
def test_more_load_or_less_capacity_never_lengthens_the_run(pack, current_a, factor, one, other):
    assert pack.run_time_h(current_a * factor) <= pack.run_time_h(current_a)
    small, large = sorted((one, other))
    assert pack.run_time_h(current_a, small) <= pack.run_time_h(current_a, large)


@law
@given(packs, amps)
def test_run_time_and_current_give_back_the_capacity(pack, current_a):
    assert pack.run_time_h(current_a) * current_a == pytest.approx(pack.capacity_ah)


@law
@given(packs, st.floats(0, 1), st.floats(0, 1))
def test_more_current_sags_more_and_the_short_ends_at_nothing(pack, one, other):
    most = pack.short_circuit_current_a
    small, large = sorted((one * most * 0.999, other * most * 0.999))
    assert pack.terminal_voltage_v(large) <= pack.terminal_voltage_v(small)
    assert pack.terminal_voltage_v(0) == pack.nominal_voltage_v
    assert pack.terminal_voltage_v(0.5 * most) == pytest.approx(pack.nominal_voltage_v / 2)


@law
@given(packs, amps)
def test_a_charging_current_lifts_the_voltage(pack, current_a):
    lifted = pack.terminal_voltage_v(-current_a)
    rise = current_a * pack.cell.resistance_ohm * pack.series / pack.parallel
    assert lifted == pytest.approx(pack.nominal_voltage_v + rise)
    assert lifted > pack.nominal_voltage_v


@law
@given(packs, st.floats(0.001, 1000))
def test_the_same_current_flows_through_source_and_resistance(pack, load_ohm):
    current_a = pack.current_into_a(load_ohm)
    assert current_a * load_ohm == pytest.approx(pack.terminal_voltage_v(current_a))
    assert current_a < pack.short_circuit_current_a


@law
@given(packs, st.floats(0, 0.9999))
def test_current_for_a_power_solves_the_equation_the_small_way(pack, share):
    power_w = share * pack.nominal_voltage_v**2 / (4 * pack.resistance_ohm)
    current_a = pack.current_for_power_a(power_w)
    assert pack.terminal_voltage_v(current_a) * current_a == pytest.approx(power_w)
    # Above half the voltage: the smaller of the two currents.
    assert pack.terminal_voltage_v(current_a) >= 0.5 * pack.nominal_voltage_v


@law
@given(packs, st.floats(1.0001, 1000))
def test_more_than_the_largest_power_names_the_largest_power(pack, factor):
    most_w = pack.nominal_voltage_v**2 / (4 * pack.resistance_ohm)
    with pytest.raises(PackLimit) as trouble:
        pack.current_for_power_a(factor * most_w)
    assert trouble.value.key == "packs.too_much_power"
    assert trouble.value.limit == pytest.approx(most_w)
    assert f"{most_w:.3g} W" in str(trouble.value)


def test_largest_power_by_hand():
    # 6 V behind 0.05 ohm: 180 W at 60 A; 100 W takes the smaller of 20 A and 100 A.
    pack = Pack(nimh(), 5, 3)
    assert rules.largest_power_w(6.0, 0.05) == pytest.approx(180)
    assert pack.current_for_power_a(100.0) == pytest.approx(20)
    assert pack.current_for_power_a(0.0) == 0


def test_an_ideal_cell_gives_the_rule_of_thumb():
    pack = Pack(nimh(resistance_ohm=0), 5, 3)
    assert pack.terminal_voltage_v(1000.0) == pack.nominal_voltage_v
    assert pack.current_for_power_a(60.0) == pytest.approx(10)
    assert pack.short_circuit_current_a == math.inf
    assert rules.largest_power_w(6.0, 0.0) == math.inf
    assert pack.current_into_a(0.0) == math.inf


# Beyond the short circuit.


def test_no_voltage_beyond_the_short_circuit():
    pack = Pack(nimh(), 5, 3)
    assert pack.terminal_voltage_v(120.0) == pytest.approx(0)
    with pytest.raises(PackLimit) as trouble:
        pack.terminal_voltage_v(120.1)
    assert trouble.value.key == "packs.beyond_short"
    assert trouble.value.limit == "120"
    with pytest.raises(PackLimit):
        pack.terminal_voltage_v(np.array([1.0, 120.1]))
    assert pack.terminal_voltage_v(120.1, open_circuit_v=7.0) == pytest.approx(0.995)


@pytest.mark.parametrize("asked", ["terminal_voltage_v", "current_for_power_a"])
def test_limits_of_several_open_circuit_voltages_at_once(asked):
    pack = Pack(nimh(), 5, 3)
    with pytest.raises(PackLimit):
        getattr(pack, asked)(1000.0, open_circuit_v=np.array([6.0, 7.0]))


# Copper wire. Tables of solid annealed copper at 20 degC: HyperPhysics (Georgia State University),
# "Common Wire Gauges", ohm for 1000 ft; diameters of the same table, in inches.
GAUGES = [
    (10, 0.10189, 0.9989),
    (14, 0.06408, 2.525),
    (16, 0.05082, 4.016),
    (20, 0.03196, 10.15),
    (28, 0.01264, 64.9),
]
# IEC 60228, largest resistance of plain copper conductors of class 1 and 2 at 20 degC, ohm for
# 1 km, as tabulated by myCableEngineering and uecables.com.
LARGEST = [(0.5, 36), (0.75, 24.5), (1, 18.1), (1.5, 12.1), (2.5, 7.41)]


@pytest.mark.parametrize(("gauge", "diameter_in", "ohm"), GAUGES)
def test_wire_has_the_resistance_of_the_gauge_tables(gauge, diameter_in, ohm):
    area_mm2 = np.pi / 4 * (25.4 * diameter_in) ** 2
    # 0.0172 is 0.24 % below the standard's 1/58.
    assert rules.wire_resistance_ohm(304.8, area_mm2) == pytest.approx(ohm, rel=0.004), gauge


@pytest.mark.parametrize(("area_mm2", "most_ohm"), LARGEST)
def test_wire_stays_below_what_the_standard_allows(area_mm2, most_ohm):
    # The limits leave up to 8 % for stranding and tolerances.
    assert 0.92 * most_ohm < rules.wire_resistance_ohm(1000, area_mm2) < most_ohm


# Scalars and arrays.

RULES = [
    (rules.series_voltage_v, (1, 6)),
    (rules.parallel_capacity_ah, (2, 3)),
    (rules.parallel_current_limit_a, (4, 3)),
    (rules.pack_resistance_ohm, (1, 6, 3)),
    (rules.energy_wh, (12, 7)),
    (rules.run_time_h, (2, 1)),
    (rules.terminal_voltage_v, (6, 1, 2)),
    (rules.current_into_a, (6, 1, 2)),
    (rules.short_circuit_current_a, (6, 2)),
    (rules.largest_power_w, (6, 2)),
    (rules.current_for_power_a, (6, 1, 5)),
    (rules.wire_resistance_ohm, (4, 2)),
]
RULE_NAMES = [rule.__name__ for rule, _ in RULES]


def test_the_table_of_rules_is_whole():
    public = {n for n, r in vars(rules).items() if hasattr(r, "__wrapped__")}
    assert public == set(RULE_NAMES)


@pytest.mark.parametrize(("rule", "numbers"), RULES, ids=RULE_NAMES)
def test_scalars_in_give_a_plain_float_out(rule, numbers):
    for kind in (int, float, np.float64, np.float32, np.int64):
        assert type(rule(*map(kind, numbers))) is float
    assert rule(*numbers) == pytest.approx(float(rule(*map(float, numbers))))


@pytest.mark.parametrize(("rule", "numbers"), RULES, ids=RULE_NAMES)
def test_arrays_broadcast(rule, numbers):
    first, second, *rest = map(float, numbers)
    table = rule(np.array([[first], [2 * first]]), np.array([second, 2 * second, 1.0]), *rest)
    assert table.shape == (2, 3)
    assert table[1, 1] == pytest.approx(rule(2 * first, 2 * second, *rest))
    assert table[0, 2] == pytest.approx(rule(first, 1.0, *rest))


@pytest.mark.parametrize(("rule", "numbers"), RULES, ids=RULE_NAMES)
def test_narrow_integers_do_not_overflow(rule, numbers):
    # The integers of numpy in a browser, and on Windows before numpy 2, have 32 bits.
    large = [60000, 60000, 60000][: len(numbers)]
    if rule is rules.current_for_power_a:
        large = [60000, 1, 60000]
    narrow = rule(*(np.array([number], dtype=np.int32) for number in large))
    wide = rule(*map(float, large))
    np.testing.assert_allclose(narrow, [wide])


def test_figures_of_a_pack_are_plain_numbers():
    for pack in (Pack(nimh(), 5, 3), Pack.of_cells([[nimh()] * 3] * 5)):
        for name in (
            "nominal_voltage_v", "full_voltage_v", "end_voltage_v", "capacity_ah",
            "current_limit_a", "energy_wh", "resistance_ohm", "short_circuit_current_a",
        ):  # fmt: skip
            assert type(getattr(pack, name)) is float, name
        for answer in (
            pack.run_time_h(1), pack.terminal_voltage_v(1), pack.current_into_a(1),
            pack.current_for_power_a(1), pack.run_time_h(np.float64(1)),
        ):  # fmt: skip
            assert type(answer) is float


def test_a_pack_answers_for_arrays():
    pack = Pack(nimh(), 5, 3)
    currents = np.array([0.6, 1.2, 5.7])
    assert pack.run_time_h(currents) == pytest.approx([9.5, 4.75, 1.0])
    assert pack.terminal_voltage_v(currents) == pytest.approx([5.97, 5.94, 5.715])
    assert pack.current_into_a(np.array([[0.25], [0.75]])).shape == (2, 1)
    assert pack.current_for_power_a(np.array([0.0, 100.0])) == pytest.approx([0, 20])


# Packs whose cells may differ.


@law
@given(cells(), st.integers(1, 8), st.integers(1, 8))
def test_equal_cells_give_the_plain_pack(cell, series, parallel):
    plain, mixed = Pack(cell, series, parallel), Pack.of_cells([[cell] * parallel] * series)
    assert (mixed.name, mixed.cell_count) == (plain.name, plain.cell_count)
    assert (mixed.series, mixed.parallel) == (series, parallel)
    for name in (
        "nominal_voltage_v", "full_voltage_v", "end_voltage_v", "capacity_ah",
        "current_limit_a", "energy_wh", "resistance_ohm",
    ):  # fmt: skip
        assert getattr(mixed, name) == pytest.approx(getattr(plain, name)), name
    assert mixed.run_time_h(0.5) == pytest.approx(plain.run_time_h(0.5))


@law
@given(st.lists(st.lists(cells(), min_size=1, max_size=4), min_size=1, max_size=5))
def test_laws_of_unlike_cells(rows):
    pack = Pack.of_cells(rows)
    sums = [sum(cell.capacity_ah for cell in row) for row in rows]
    assert pack.capacity_ah == pytest.approx(min(sums))
    assert pack.cell_count == sum(len(row) for row in rows)
    weakest = min(cell.current_limit_a for row in rows for cell in row)
    assert pack.current_limit_a >= weakest
    for row in rows:
        assert pack.current_limit_a <= sum(cell.current_limit_a for cell in row) * (1 + 1e-12)
    # The order of the groups does not matter.
    turned = Pack.of_cells(rows[::-1])
    assert turned.resistance_ohm == pytest.approx(pack.resistance_ohm)
    assert turned.nominal_voltage_v == pytest.approx(pack.nominal_voltage_v)


def test_unlike_cells_by_hand():
    weak = nimh(capacity_ah=1.0, current_limit_a=2.0, resistance_ohm=0.06)
    pack = Pack.of_cells([[nimh(), nimh()], [nimh(), weak]])
    assert pack.name == "2S2P"
    assert pack.nominal_voltage_v == pytest.approx(2.4)
    assert pack.capacity_ah == pytest.approx(2.9)
    assert pack.energy_wh == pytest.approx(6.96)
    assert pack.current_limit_a == pytest.approx(4.0)
    # 0.03 // 0.03 = 0.015, and 0.03 // 0.06 = 0.02.
    assert pack.resistance_ohm == pytest.approx(0.035)
    assert isinstance(pack, PackOfCells)


def test_unlike_cells_of_unlike_voltages():
    # Straight off the charger each group is counted at its highest cell, and stops
    # at the cell that is empty first.
    odd = nimh(nominal_voltage_v=1.25, full_voltage_v=1.5, end_voltage_v=1.1)
    pack = Pack.of_cells([[nimh(), odd], [nimh(), nimh()]])
    assert pack.full_voltage_v == pytest.approx(1.5 + 1.45)
    assert pack.end_voltage_v == pytest.approx(1.1 + 1.0)
    assert pack.nominal_voltage_v == pytest.approx(1.225 + 1.2)


def test_unequal_groups_have_no_name():
    pack = Pack.of_cells([[nimh()], [nimh(), nimh()]])
    assert pack.name is None
    assert pack.parallel is None
    assert pack.series == 2
    assert pack.cell_count == 3
    assert pack.capacity_ah == pytest.approx(1.9)
    assert pack.current_limit_a == pytest.approx(3.8)


def test_an_ideal_cell_among_others_shorts_its_group():
    pack = Pack.of_cells([[nimh(), nimh(resistance_ohm=0)], [nimh()]])
    assert pack.resistance_ohm == pytest.approx(0.03)


# What is said.

PACK = Pack(nimh(), 5, 3)
MISTAKES = [
    ("packs.count", lambda: Pack(nimh(), 0, 1), "series is 0", "1 to 999", "such as series=5"),
    ("packs.count", lambda: Pack(nimh(), 1, 2.5), "parallel is 2.5", "1 to 999", "parallel=5"),
    ("packs.count", lambda: Pack(nimh(), 1000, 1), "series is 1000", "999", "number of cells"),
    ("packs.count", lambda: Pack(nimh(), "5", 1), "series is '5'", "999", "number of cells"),
    ("packs.count", lambda: Pack(nimh(), True, 1), "series is True", "999", "number of cells"),
    ("packs.count", lambda: Pack(nimh(), None, 1), "series is None", "999", "number of cells"),
    ("packs.count", lambda: Pack(nimh(), math.nan, 1), "is nan", "999", "number of cells"),
    ("packs.count", lambda: Pack(nimh(), math.inf, 1), "is inf", "999", "number of cells"),
    ("packs.count", lambda: Pack(nimh(), -3, 1), "series is -3", "999", "number of cells"),
    (
        "packs.share",
        lambda: PACK.run_time_h(1, 80),
        "capacity_derating is 80",
        "at most 1",
        "0.8 means 80 %",
    ),
    (
        "packs.share",
        lambda: PACK.run_time_h(1, 0),
        "capacity_derating is 0",
        "above 0",
        "0.8 means 80 %",
    ),
    ("packs.share", lambda: PACK.run_time_h(1, math.nan), "is nan", "above 0", "0.8 means 80 %"),
    (
        "packs.current_positive",
        lambda: PACK.run_time_h(0),
        "is 0 A",
        "above 0 A",
        "what the load takes, in amps",
    ),
    (
        "packs.current_positive",
        lambda: PACK.run_time_h(-0.6),
        "is -0.6 A",
        "above 0 A",
        "what the load takes, in amps",
    ),
    (
        "packs.current_positive",
        lambda: PACK.run_time_h(np.array([1, 0])),
        "is 0 A",
        "above 0 A",
        "in amps",
    ),
    (
        "packs.resistance",
        lambda: PACK.current_into_a(-1),
        "-1 ohm",
        "below 0 ohm",
        "the load's resistance in ohms",
    ),
    (
        "packs.power",
        lambda: PACK.current_for_power_a(-2),
        "-2 W",
        "below 0 W",
        "what the load takes, in watts",
    ),
    ("packs.power", lambda: PACK.current_for_power_a(math.nan), "nan W", "below 0 W", "in watts"),
    (
        "packs.not_a_cell",
        lambda: Pack("nimh-aa", 5, 3),
        "'nimh-aa'",
        "not a cell",
        'such as cell("nimh-aa")',
    ),
    (
        "packs.not_a_cell",
        lambda: Pack.of_cells([[nimh(), 3]]),
        "3 is",
        "not a cell",
        "make one with Cell(...)",
    ),
    (
        "packs.rows",
        lambda: Pack.of_cells([nimh(), nimh()]),
        "Cell(",
        "not rows",
        "[[a, b], [c, d]]",
    ),
    ("packs.rows", lambda: Pack.of_cells(3), "3 are", "not rows", "[[a, b], [c, d]]"),
    (
        "packs.empty_row",
        lambda: Pack.of_cells([]),
        "[]",
        "at least 1 cell",
        "one row of cells for each parallel group",
    ),
    (
        "packs.empty_row",
        lambda: Pack.of_cells([[nimh()], []]),
        "[1, 0]",
        "at least 1 cell",
        "one row of cells",
    ),
    (
        "packs.beyond_short",
        lambda: PACK.terminal_voltage_v(121),
        "121 A",
        "only 120 A",
        "Ask for less current",
    ),
    (
        "packs.too_much_power",
        lambda: PACK.current_for_power_a(181),
        "181 W",
        "180 W",
        "Ask for less power",
    ),
]


@pytest.mark.parametrize(("key", "act", "value", "limit", "mend"), MISTAKES)
def test_messages_name_value_limit_and_mend(key, act, value, limit, mend):
    with pytest.raises(PackError) as trouble:
        act()
    assert trouble.value.key == key
    for part in (value, limit, mend):
        assert part in str(trouble.value)


def test_every_error_of_packs_is_in_the_table():
    sentences = {"from_nominal", "from_open_circuit"}
    keys = {f"packs.{name}" for name in word("packs") if name not in sentences}
    assert keys == {key for key, *_ in MISTAKES}


def test_kinds_of_errors():
    with pytest.raises(BadValue):
        Pack(nimh(), 0, 1)
    with pytest.raises(ValueError, match="whole number"):
        Pack(nimh(), 0, 1)
    with pytest.raises(PackLimit):
        PACK.terminal_voltage_v(121)


def test_the_sentence_names_the_voltage_it_counts_from():
    assert PACK.terminal_voltage_words(5.0) == (
        "At 5 A the ends read 5.75 V. This is counted from the nominal 6 V, an average over use."
    )
    assert PACK.terminal_voltage_words(5.0, open_circuit_v=6.6) == (
        "At 5 A the ends read 6.35 V. This is counted from 6.6 V with no load."
    )
