"""Each part in the current's way carries no less than the fuse that guards it."""

import pytest
from test_build_plan import BUILT, FIT, plan

import packlearn as pl
from packlearn.building import plan_for
from packlearn.building._data import table

LIMITS = {row["kind"]: row["limit_a"] for row in table("links")["terminal"]}


def with_peaks():
    """A load that sleeps and transmits: its fuse stands far above its mean current."""
    load = pl.Load.profile([(pl.Load.current(2.0), 1), (pl.Load.current(0.05), 99)])
    need = pl.Need(load=load, run_time_h=3, voltage_v=(5.5, 9.0))
    return plan_for(need, pl.Pack(pl.cell("nimh-aa"), 6, 1))


PLANS = [*((name, lambda name=name: plan(name)) for name in BUILT), ("peaks", with_peaks)]


@pytest.mark.parametrize("made", [make for _, make in PLANS], ids=[name for name, _ in PLANS])
def test_no_part_is_weaker_than_its_fuse(made):
    made = made()
    assert made.trouble == ()
    rating_a = made.fuse.rating_a if made.fuse else made.figures.short_circuit_a
    assert made.guarded_a == pytest.approx(rating_a)
    assert made.switch.rating_a >= rating_a
    assert made.links.limit_a >= rating_a
    assert made.wire.limit_a >= rating_a
    assert all(LIMITS[kind] >= rating_a for kind in made.terminals)
    if made.protection.kind == "cut_off":
        assert made.protection.current_a >= rating_a
    if made.string_fuse:
        assert made.each_guarded_a == made.string_fuse[0]
        assert made.links.limit_a >= made.string_fuse[0]
        assert made.wire.limit_a >= made.string_fuse[0]


def test_the_cut_off_of_six_nimh_carries_its_fuse():
    made = plan("six NiMH")
    # 0.6 A over 0.8 is 0.75 A; the fuse lets 1 A through.
    assert made.fuse.rating_a == 1.0
    assert made.protection.current_a == 1.0


def test_the_switch_carries_its_fuse():
    need = pl.Need(load=pl.Load.current(0.79), run_time_h=2, voltage_v=(5.5, 9.0))
    made = plan_for(need, pl.Pack(pl.cell("nimh-aa"), 6, 1))
    # 0.79 A over 0.8 would be 1 A; over 0.75, the fuse's share, it is 2 A.
    assert made.fuse.rating_a == 2.0
    assert made.switch.rating_a == 3.0


def test_in_groups_each_holder_carries_its_share_with_one_cell_out():
    made = plan("groups of NiMH")
    assert made.each_guarded_a == pytest.approx(made.fuse.rating_a / 7)
    assert FIT["groups of NiMH"][2] == 8
