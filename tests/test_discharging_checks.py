"""What a run says of values that cannot be right, of temperatures, and of what it rests on."""

import dataclasses

import numpy as np
import pytest
from plain_cells import straight

import packlearn as pl
from packlearn.cells import Curve, cell
from packlearn.discharging import ENDINGS, Spread, discharge
from packlearn.errors import BadValue, PackError
from packlearn.loads import Load
from packlearn.packs import Pack

PACK, LOAD = Pack(cell("nimh-aa"), 2, 2), Load.current(1.0)


def run(pack=PACK, load=LOAD, **more):
    return discharge(pack, load, **more)


# What is wrong, and what the message says: the value, the limit and the mend.
WRONG = [
    (lambda: run(pack="5S3P"), "'5S3P'", "Make one with Pack"),
    (lambda: run(load=0.6), "0.6", "Load.current(0.6)"),
    (lambda: run(load=Load.current(0.0)), "0", "takes more than 0 A"),
    (lambda: run(load=Load.power(0.0)), "0", "takes more than 0 A"),
    (
        lambda: run(load=Load.profile([(Load.current(0.0), 5.0), (Load.power(0.0), 5.0)])),
        "0",
        "more",
    ),
    (lambda: run(start_charge=1.2), "1.2", "from 0 to 1"),
    (lambda: run(start_charge=-0.1), "-0.1", "from 0 to 1"),
    (lambda: run(start_charge="full"), "full", "0.5 for half full"),
    (lambda: run(start_charge=float("nan")), "nan", "0.5 for half full"),
    (lambda: run(start_charge=[[1, 1], [1, 7]]), "7", "from 0 to 1"),
    (lambda: run(start_charge=[[1, 1]]), "[2, 2]", "one row of shares for each group"),
    (lambda: run(start_charge=[1, 1]), "[2, 2]", "one row of shares for each group"),
    (lambda: run(start_charge=[[1, 1], [1]]), "[2, 2]", "one row of shares for each group"),
    (lambda: run(start_charge=np.ones((2, 3))), "[2, 2]", "one number for all"),
    (lambda: run(until_v=-1), "-1", "from 0 V up"),
    (lambda: run(until_v="5 V"), "5 V", "volts at the pack's ends"),
    (lambda: run(spread=0.03), "0.03", "Spread(capacity=0.03"),
    (lambda: run(packs=100), "100", "spread=Spread"),
    (lambda: run(spread=Spread(0.03), packs=0), "0", "1"),
    (lambda: run(spread=Spread(0.03), packs=2.5), "2.5", "1"),
    (lambda: run(spread=Spread(0.03), packs=20_000_000), "20000000", "10000000"),
    (lambda: run(spread=Spread(0.03), packs=3, seed=-1), "-1", "whole number from 0"),
    (lambda: run(spread=Spread(0.03), packs=3, seed=1.5), "1.5", "whole number from 0"),
    (lambda: run(spread=Spread(0.03), packs=3, seed="a"), "'a'", "The same seed"),
    (lambda: Spread(capacity=-0.1), "-0.1", "capacity", "0.03 means 3 %"),
    (lambda: Spread(resistance=3), "3", "resistance", "at most 0.3", "0.03 means 3 %"),
    (lambda: Spread(capacity="3 %"), "3 %", "0.03 means 3 %"),
    (lambda: run(spread=Spread(0.03), packs=3).run_time_percentile_h(101), "101", "0 and 100"),
    (lambda: run().run_time_percentile_h(-1), "-1", "0 and 100"),
    (lambda: run(temperature_degc=5.0), "5 degC", "NiMH AA", "room temperature only", "Leave the"),
    (lambda: run(temperature_degc="cold"), "cold", "degrees Celsius"),
]


@pytest.mark.parametrize(("wrong", "told"), [(first, rest) for first, *rest in WRONG])
def test_a_wrong_value_is_told_with_limit_and_mend(wrong, told):
    with pytest.raises(BadValue) as caught:
        wrong()
    for part in told:
        assert part in str(caught.value)
    assert isinstance(caught.value, (PackError, ValueError))
    assert str(caught.value).count(". ") >= 1


def test_shares_of_unequal_groups_are_told_by_their_rows():
    one = cell("nimh-aa")
    pack = Pack.of_cells([[one], [one, one]])
    run = discharge(pack, LOAD, start_charge=[[1.0], [1.0, 0.5]])
    assert run.cell_charge_ah[0, 1, 1] == pytest.approx(0.95)
    assert np.isnan(run.cell_charge_ah[:, 0, 1]).all()
    assert run.weakest == (1, "A")
    with pytest.raises(BadValue, match=r"\[1, 2\]"):
        discharge(pack, LOAD, start_charge=[[1.0], [1.0]])


# Temperature only where there are curves.


def two_seasons():
    warm = straight()
    cold = [
        dataclasses.replace(
            curve, voltage_v=tuple(v - 0.2 for v in curve.voltage_v), temperature_degc=-10.0
        )
        for curve in warm.curves
    ]
    return dataclasses.replace(warm, curves=(*warm.curves, *cold))


def test_at_a_temperature_with_curves_those_hold():
    pack = Pack(two_seasons(), 2, 1)
    room, cold = discharge(pack, LOAD), discharge(pack, LOAD, temperature_degc=-10)
    # 0.2 V less of 0.8 V, at 0.5 V an ampere-hour.
    assert room.run_time_h - cold.run_time_h == pytest.approx(0.4, rel=1e-9)
    assert cold.voltage_v[0] == pytest.approx(room.voltage_v[0] - 0.4)
    assert any("room temperature" in note for note in room.notes)
    assert not any("room temperature" in note for note in cold.notes)


def test_a_temperature_without_curves_lists_those_with():
    with pytest.raises(BadValue, match="at 20 degC. It has them at -10 degC"):
        discharge(Pack(two_seasons(), 2, 1), LOAD, temperature_degc=20)


def test_a_pack_is_only_as_sure_as_its_least_known_cell():
    known, other = two_seasons(), straight()
    with pytest.raises(BadValue, match="room temperature only"):
        discharge(Pack.of_cells([[known], [other]]), LOAD, temperature_degc=-10)
    mixed = discharge(Pack.of_cells([[known], [cell("nimh-d")]]), LOAD)
    assert mixed.typical


def test_one_curve_alone_says_nothing_of_resistance():
    lone = dataclasses.replace(cell("nimh-aa"), curves=cell("nimh-aa").curves[:1])
    assert discharge(Pack(lone, 2, 1), LOAD).typical


# The face.


def test_the_public_face():
    assert pl.discharge is discharge
    assert pl.Spread is Spread
    assert pl.Curve is Curve
    assert len(ENDINGS) == len(set(ENDINGS)) == 5


def test_results_and_scatter_do_not_change():
    result = discharge(PACK, LOAD)
    for thing, name in ((result, "run_time_h"), (Spread(), "capacity")):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(thing, name, 2.0)


def test_notes_are_sentences():
    typical = discharge(Pack(cell("nimh-d"), 2, 1), Load.current(30.0))
    assert len(typical.notes) == 3
    for note in typical.notes:
        assert note.endswith(".")
        assert "{" not in note


def test_values_of_a_run_are_plain():
    result = discharge(PACK, LOAD)
    assert type(result.run_time_h) is type(result.energy_wh) is type(result.mean_voltage_v) is float
    assert type(result.ended_by) is str
    assert type(result.extrapolated) is type(result.typical) is bool
    weak = discharge(PACK, LOAD, start_charge=[[1, 1], [0.2, 0.2]])
    assert [type(part) for part in weak.weakest] == [int, str]
    for event in weak.events:
        assert [type(part) for part in dataclasses.astuple(event)] == [str, float, int, str, float]


def test_start_charge_is_the_share_still_in():
    half = discharge(PACK, LOAD, start_charge=0.5)
    assert half.cell_charge_ah[0] == pytest.approx(np.full((2, 2), 0.95))
    assert half.charge_ah[0] == 0
    whole = discharge(PACK, LOAD)
    assert half.run_time_h == pytest.approx(whole.run_time_h - 1.9, rel=1e-6)
