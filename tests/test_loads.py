"""Loads, converters and regulators: sums by hand, the laws, and what errors say."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packlearn.errors import BadValue, PackError
from packlearn.loads import Converter, LinearRegulator, Load
from packlearn.words import word

law = settings(deadline=None, derandomize=True, max_examples=60)

volts = st.floats(0.5, 60)
amps = st.floats(0.001, 20)
shares = st.floats(0.05, 1)

steady = st.one_of(
    st.builds(Load.current, amps),
    st.builds(Load.power, st.floats(0.01, 100)),
    st.builds(Load.resistance, st.floats(0.1, 1000)),
)
profiles = st.lists(st.tuples(steady, st.floats(0.01, 1e5)), min_size=1, max_size=6).map(
    Load.profile
)
converters = st.builds(Converter, volts, shares, st.just((0.1, 80.0)), idle_a=st.floats(0, 0.1))
regulators = st.builds(LinearRegulator, volts, st.floats(0, 3), idle_a=st.floats(0, 0.1))
stages = st.one_of(converters, regulators)

# The mast: awake a tenth of the time. 70 mA asleep, 150 mA while sending.
MAST = Load.profile([(Load.current(0.070), 54), (Load.current(0.150), 6)])
# A tunnel camera: 2 mA asleep for 57 s, 0.3 A looking for 2 s, 1.2 A flash for 1 s.
CAMERA = Load.profile([(Load.current(0.002), 57), (Load.current(0.3), 2), (Load.current(1.2), 1)])


# Steady loads.


def test_steady_loads_by_hand():
    assert Load.current(0.6).current_at_a(7.2) == 0.6
    assert Load.current(0.6).current_at_a() == 0.6
    assert Load.power(3.0).current_at_a(6.0) == pytest.approx(0.5)
    assert Load.resistance(15).current_at_a(6.0) == pytest.approx(0.4)


def test_a_power_needs_more_and_more_current_towards_no_voltage():
    lamp = Load.power(3.0)
    assert lamp.current_at_a(3.0) == pytest.approx(2 * lamp.current_at_a(6.0))
    assert lamp.current_at_a(0.0) == math.inf
    assert lamp.current_at_a(-1.0) == math.inf
    assert Load.power(0).current_at_a(0.0) == 0


@law
@given(steady, volts)
def test_a_steady_load_is_its_own_mean_peak_and_rms(load, volts_):
    current_a = load.current_at_a(volts_)
    assert load.mean_current_a(volts_) == pytest.approx(current_a)
    assert load.peak_current_a(volts_) == pytest.approx(current_a)
    assert load.rms_current_a(volts_) == pytest.approx(current_a)
    assert load.mean_power_w(volts_) == pytest.approx(volts_ * current_a)
    assert load.duty_cycle(volts_) == 0
    assert load.steps == ((load, 1.0),)
    assert load.window_v == (None, None)


@law
@given(st.floats(0.01, 100), volts)
def test_power_and_resistance_give_back_what_made_them(number, volts_):
    assert Load.power(number).mean_power_w(volts_) == pytest.approx(number)
    assert volts_ / Load.resistance(number).current_at_a(volts_) == pytest.approx(number)


# Profiles.


def test_mean_peak_rms_and_duty_cycle_of_the_mast():
    # (54 x 70 mA + 6 x 150 mA) / 60 = 78 mA.
    assert MAST.mean_current_a() == pytest.approx(0.078)
    assert MAST.peak_current_a() == pytest.approx(0.150)
    # sqrt((54 x 0.0049 + 6 x 0.0225) / 60) = sqrt(0.00666)
    assert MAST.rms_current_a() == pytest.approx(math.sqrt(0.00666))
    assert MAST.duty_cycle() == pytest.approx(0.1)
    assert MAST.period_s == 60


def test_mean_peak_rms_and_duty_cycle_of_the_camera():
    # 0.114 As + 0.6 As + 1.2 As in 60 s.
    assert CAMERA.mean_current_a() == pytest.approx(1.914 / 60)
    assert CAMERA.peak_current_a() == pytest.approx(1.2)
    squares = 57 * 0.002**2 + 2 * 0.3**2 + 1.2**2
    assert CAMERA.rms_current_a() == pytest.approx(math.sqrt(squares / 60))
    assert CAMERA.duty_cycle() == pytest.approx(3 / 60)


def test_a_profile_of_unlike_loads_by_hand():
    # At 6 V: 0.1 A, 0.5 A and 0.4 A, for 6 s, 3 s and 1 s.
    mixed = Load.profile([(Load.current(0.1), 6), (Load.power(3), 3), (Load.resistance(15), 1)])
    assert mixed.mean_current_a(6.0) == pytest.approx((0.6 + 1.5 + 0.4) / 10)
    assert mixed.mean_power_w(6.0) == pytest.approx(1.5)
    assert mixed.current_at_a(6.0) == pytest.approx(0.25)
    # At 12 V the power takes half as much, the resistance twice as much.
    assert mixed.mean_current_a(12.0) == pytest.approx((0.6 + 0.75 + 0.8) / 10)
    assert mixed.peak_current_a(12.0) == pytest.approx(0.8)


@law
@given(profiles, volts)
def test_peak_is_at_least_rms_is_at_least_mean(load, volts_):
    peak, rms = load.peak_current_a(volts_), load.rms_current_a(volts_)
    mean = load.mean_current_a(volts_)
    assert peak >= rms * (1 - 1e-12)
    assert rms >= mean * (1 - 1e-12)
    assert mean >= load.step_currents_a(volts_).min() * (1 - 1e-12)
    assert 0 <= load.duty_cycle(volts_) < 1


@law
@given(profiles, volts, st.floats(0.001, 1000))
def test_only_the_shares_of_time_count(load, volts_, factor):
    stretched = Load.profile([(each, factor * seconds) for each, seconds in load.steps])
    assert stretched.period_s == pytest.approx(factor * load.period_s)
    for asked in ("mean_current_a", "rms_current_a", "peak_current_a", "duty_cycle"):
        expected = getattr(load, asked)(volts_)
        assert getattr(stretched, asked)(volts_) == pytest.approx(expected)


@law
@given(profiles, volts)
def test_the_order_of_the_steps_does_not_count(load, volts_):
    turned = Load.profile(load.steps[::-1])
    assert turned.mean_current_a(volts_) == pytest.approx(load.mean_current_a(volts_))
    assert turned.rms_current_a(volts_) == pytest.approx(load.rms_current_a(volts_))


# Converters.


def test_a_converter_by_hand():
    # 9 V x 0.2 A = 1.8 W out, 2 W in at 90 %: 0.5 A at 4 V, and 10 mA for itself.
    boost = Converter(output_v=9.0, efficiency=0.9, input_v=(3.0, 12.0), idle_a=0.01)
    load = Load.current(0.2).through(boost)
    assert load.current_at_a(4.0) == pytest.approx(0.51)
    assert load.current_at_a(8.0) == pytest.approx(0.26)
    assert boost.input_current_a(Load.current(0.2), 4.0) == pytest.approx(0.51)
    assert load.window_v == (3.0, 12.0)
    assert boost.window_v == (3.0, 12.0)


@law
@given(steady, converters, volts, st.floats(1.001, 10))
def test_input_current_rises_as_the_voltage_falls(load, stage, low_v, factor):
    fed = load.through(stage)
    assert fed.current_at_a(low_v) > fed.current_at_a(low_v * factor)


@law
@given(steady, converters, volts)
def test_power_in_is_power_out_and_its_loss(load, stage, input_v):
    fed = load.through(stage)
    output_w = stage.output_v * load.current_at_a(stage.output_v)
    input_w = input_v * (fed.current_at_a(input_v) - stage.idle_a)
    assert input_w * stage.efficiency == pytest.approx(output_w, rel=1e-6)
    assert input_v * fed.current_at_a(input_v) >= output_w * (1 - 1e-9)


@law
@given(profiles, converters, volts)
def test_a_profile_goes_through_a_converter_step_by_step(load, stage, input_v):
    fed = load.through(stage)
    assert len(fed.steps) == len(load.steps)
    expected = [
        stage.output_v * step.current_at_a(stage.output_v) / stage.efficiency / input_v
        + stage.idle_a
        for step, _ in load.steps
    ]
    assert fed.step_currents_a(input_v).tolist() == pytest.approx(expected)
    assert fed.peak_current_a(input_v) == pytest.approx(max(expected))
    assert fed.mean_current_a(input_v) == pytest.approx(fed.current_at_a(input_v))


def test_the_mast_through_a_converter():
    # 5 V x 78 mA = 0.39 W, 0.4875 W in at 80 %; the peak is 0.75 W, 0.9375 W in.
    fed = MAST.through(Converter(output_v=5.0, efficiency=0.8, input_v=(2.0, 6.0)))
    assert fed.mean_current_a(3.0) == pytest.approx(0.1625)
    assert fed.peak_current_a(3.0) == pytest.approx(0.3125)
    assert fed.duty_cycle(3.0) == pytest.approx(0.1)
    assert fed.period_s == 60


# Linear regulators.


def test_a_regulator_by_hand():
    # 9 V in, 5 V out, 0.2 A: 1.8 W in, 1 W out, 0.8 W of heat.
    regulator = LinearRegulator(output_v=5.0, dropout_v=1.0, input_max_v=15.0)
    load = Load.current(0.2)
    assert load.through(regulator).current_at_a(9.0) == pytest.approx(0.2)
    assert regulator.output_at_v(9.0) == 5.0
    assert regulator.heat_w(load, 9.0) == pytest.approx(0.8)
    assert regulator.window_v == (6.0, 15.0)
    assert load.through(regulator).window_v == (6.0, 15.0)


def test_a_regulator_below_its_dropout():
    regulator = LinearRegulator(output_v=5.0, dropout_v=1.0)
    assert regulator.output_at_v(6.0) == 5.0
    assert regulator.output_at_v(5.5) == pytest.approx(4.5)
    assert regulator.output_at_v(1.0) == 0
    assert regulator.output_at_v(0.2) == 0
    # A resistance then takes less, a power takes more, and nothing flows at 0 V.
    assert Load.resistance(10).through(regulator).current_at_a(5.5) == pytest.approx(0.45)
    assert Load.power(0.9).through(regulator).current_at_a(5.5) == pytest.approx(0.2)
    assert Load.current(0.2).through(regulator).current_at_a(0.8) == 0
    assert regulator.heat_w(Load.current(0.2), 5.5) == pytest.approx(0.2)
    assert regulator.window_v == (6.0, None)


def test_a_regulator_draws_its_idle_current_always():
    regulator = LinearRegulator(output_v=5.0, dropout_v=1.0, idle_a=0.005)
    assert regulator.input_current_a(Load.current(0.2), 9.0) == pytest.approx(0.205)
    assert regulator.input_current_a(Load.current(0.2), 0.5) == pytest.approx(0.005)
    # 0.8 W in the drop and 9 V x 5 mA.
    assert regulator.heat_w(Load.current(0.2), 9.0) == pytest.approx(0.845)


@law
@given(steady, regulators, volts)
def test_power_of_a_regulator_balances(load, stage, input_v):
    output_v = stage.output_at_v(input_v)
    output_w = output_v * load.current_at_a(output_v) if output_v > 0 else 0.0
    heat_w = stage.heat_w(load, input_v)
    input_w = input_v * stage.input_current_a(load, input_v)
    assert input_w == pytest.approx(output_w + heat_w, rel=1e-6, abs=1e-9)
    assert heat_w >= -1e-9


@law
@given(profiles, regulators, st.floats(0, 30))
def test_a_regulator_passes_the_current_of_every_step(load, stage, above_v):
    input_v = stage.output_v + stage.dropout_v + above_v
    fed = load.through(stage)
    expected = load.step_currents_a(stage.output_v) + stage.idle_a
    assert fed.step_currents_a(input_v).tolist() == pytest.approx(expected.tolist(), rel=1e-6)


# One stage behind another.


def test_a_regulator_behind_a_converter():
    # 0.1 A at 3.3 V; the regulator passes 0.1 A at 5 V: 0.5 W, 0.625 W in at 80 %, at 2.5 V.
    load = Load.current(0.1).through(LinearRegulator(output_v=3.3, dropout_v=0.3))
    fed = load.through(Converter(output_v=5.0, efficiency=0.8, input_v=(2.0, 6.0)))
    assert fed.current_at_a(2.5) == pytest.approx(0.25)
    assert fed.window_v == (2.0, 6.0)


@law
@given(profiles, stages, converters, volts)
def test_stages_follow_one_another(load, inner, outer, input_v):
    nested = load.through(inner).through(outer)
    middle = load.through(inner).mean_current_a(outer.output_v)
    expected = outer.output_v * middle / outer.efficiency / input_v + outer.idle_a
    assert nested.mean_current_a(input_v) == pytest.approx(expected)
    assert nested.window_v == outer.window_v
    assert len(nested.steps) == len(load.steps)


def test_steps_may_have_stages_of_their_own():
    radio = Load.power(1.0).through(Converter(9.0, 0.8, (4.0, 10.0)))
    lamp = Load.current(0.2).through(LinearRegulator(3.0, 0.5, 8.0))
    both = Load.profile([(radio, 10), (lamp, 30)])
    # At 5 V: 1.25 W / 5 V = 0.25 A for 10 s, 0.2 A for 30 s.
    assert both.mean_current_a(5.0) == pytest.approx((2.5 + 6) / 40)
    assert both.window_v == (4.0, 8.0)


# Scalars and arrays.

ASKED = ("mean_current_a", "rms_current_a", "peak_current_a", "current_at_a", "mean_power_w")
KINDS = {
    "current": Load.current(0.2),
    "power": Load.power(1.0),
    "resistance": Load.resistance(10),
    "profile": MAST,
    "converter": MAST.through(Converter(5.0, 0.8, (2.0, 12.0))),
    "regulator": CAMERA.through(LinearRegulator(3.3, 0.4)),
    "nested": CAMERA.through(LinearRegulator(3.3, 0.4)).through(Converter(5.0, 0.8, (2, 12))),
}


@pytest.mark.parametrize("asked", [*ASKED, "duty_cycle"])
@pytest.mark.parametrize("kind", KINDS)
def test_scalars_in_give_plain_floats_out(kind, asked):
    for volts_ in (6, 6.0, np.float64(6.0)):
        assert type(getattr(KINDS[kind], asked)(volts_)) is float


@pytest.mark.parametrize("asked", [*ASKED, "duty_cycle"])
@pytest.mark.parametrize("kind", KINDS)
def test_arrays_give_arrays(kind, asked):
    answer = getattr(KINDS[kind], asked)
    table = np.array([[2.0, 4.0, 6.0], [8.0, 10.0, 12.0]])
    got = np.broadcast_to(answer(table), table.shape)
    expected = [[answer(float(v)) for v in row] for row in table]
    np.testing.assert_allclose(got, expected, rtol=1e-12)


@pytest.mark.parametrize("stage", [Converter(5.0, 0.8, (2, 12)), LinearRegulator(5.0, 1.0)])
def test_a_stage_answers_with_plain_floats_too(stage):
    assert type(stage.input_current_a(Load.current(0.1), 8.0)) is float
    assert stage.input_current_a(Load.current(0.1), np.array([8.0, 9.0])).shape == (2,)
    if isinstance(stage, LinearRegulator):
        assert type(stage.heat_w(Load.current(0.1), 8.0)) is float
        assert type(stage.output_at_v(8)) is float


# What is said.

AMP = Load.current(1)
MISTAKES = [
    ("loads.current", lambda: Load.current(-1), "-1 A", "from 0 A up", "in amps"),
    ("loads.current", lambda: Load.current(math.inf), "inf A", "from 0 A up", "in amps"),
    ("loads.current", lambda: Load.current(math.nan), "nan A", "from 0 A up", "in amps"),
    ("loads.power", lambda: Load.power(-3), "-3 W", "from 0 W up", "in watts"),
    ("loads.resistance", lambda: Load.resistance(0), "0 ohm", "above 0 ohm", "a current of 0 A"),
    ("loads.resistance", lambda: Load.resistance(math.inf), "inf", "above 0", "current of 0 A"),
    (
        "loads.idle",
        lambda: Converter(5, 0.9, (3, 9), -0.1),
        "-0.1 A",
        "from 0 A",
        "nothing connected",
    ),
    (
        "loads.idle",
        lambda: LinearRegulator(5, 1, idle_a=-1),
        "-1 A",
        "from 0 A",
        "nothing connected",
    ),
    ("loads.dropout", lambda: LinearRegulator(5, -1), "-1 V", "from 0 V up", "data sheet names it"),
    ("loads.above_zero", lambda: Converter(0, 0.9, (3, 9)), "output_v is 0", "above 0", "in volts"),
    ("loads.above_zero", lambda: LinearRegulator(-5, 1), "output_v is -5", "above 0", "in volts"),
    (
        "packs.share",
        lambda: Converter(5, 85, (3, 9)),
        "efficiency is 85",
        "at most 1",
        "means 80 %",
    ),
    ("loads.no_steps", lambda: Load.profile([]), "0 steps", "at least 1", "pairs of a load"),
    (
        "loads.step_load",
        lambda: Load.profile([(0.2, 5)]),
        "0.2",
        "steady load",
        "Load.current(0.2)",
    ),
    ("loads.step_load", lambda: Load.profile([(MAST, 5)]), "ProfileLoad", "steady", "its seconds"),
    ("loads.step_time", lambda: Load.profile([(AMP, 0)]), "0 s", "more than 0 s", "Leave the step"),
    (
        "loads.step_time",
        lambda: Load.profile([(AMP, math.inf)]),
        "inf s",
        "than 0",
        "Leave the step",
    ),
    ("loads.pairs", lambda: Load.profile([AMP, AMP]), "CurrentLoad", "not a row", "such as [(Load"),
    ("loads.pairs", lambda: Load.profile([(AMP,)]), "CurrentLoad", "not a row", "such as [(Load"),
    ("loads.current", lambda: Load.current("0.6 A"), "'0.6 A' A", "from 0 A up", "in amps"),
    ("loads.power", lambda: Load.power(None), "None W", "from 0 W up", "in watts"),
    ("loads.resistance", lambda: Load.resistance(True), "True ohm", "above 0 ohm", "current of 0"),
    ("loads.step_time", lambda: Load.profile([(AMP, "5")]), "'5' s", "more than 0 s", "Leave"),
    ("loads.stage", lambda: AMP.through(5), "5 is", "neither a Converter", "pass it to through()"),
    (
        "loads.window_pair",
        lambda: Converter(5, 0.9, 5),
        "5 is",
        "lowest and the highest",
        "(5.0, 9.0)",
    ),
    ("loads.window_pair", lambda: Converter(5, 0.9, (3,)), "(3,) is", "lowest and", "(5.0, 9.0)"),
    ("loads.window_pair", lambda: Converter(5, 0.9, "low"), "'low' is", "lowest and", "(5.0, 9.0)"),
    (
        "loads.window",
        lambda: Converter(5, 0.9, (9, 3)),
        "9.0 V to 3.0 V",
        "below the highest",
        "Swap",
    ),
    (
        "loads.window",
        lambda: Converter(5, 0.9, (-1, 3)),
        "-1.0 V",
        "0 V or more",
        "Swap or correct",
    ),
    (
        "loads.window",
        lambda: LinearRegulator(5, 1, 5.5),
        "6.0 V to 5.5 V",
        "below",
        "Swap or correct",
    ),
    (
        "loads.voltage_needed",
        lambda: Load.power(3).mean_current_a(),
        "",
        "depends",
        "Give voltage_v",
    ),
    (
        "loads.voltage_needed",
        lambda: Load.resistance(3).current_at_a(),
        "",
        "depends",
        "Give voltage_v",
    ),
]


@pytest.mark.parametrize(("key", "act", "value", "limit", "mend"), MISTAKES)
def test_messages_name_value_limit_and_mend(key, act, value, limit, mend):
    with pytest.raises(PackError) as trouble:
        act()
    assert isinstance(trouble.value, BadValue)
    assert trouble.value.key == key
    for part in (value, limit, mend):
        assert part in str(trouble.value)


def test_every_error_of_loads_is_in_the_table():
    assert {f"loads.{name}" for name in word("loads")} <= {key for key, *_ in MISTAKES}
