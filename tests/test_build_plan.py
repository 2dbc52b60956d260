"""From a chosen pack to the bench: every figure of a plan worked out again by plain arithmetic."""

import itertools
import math
from dataclasses import replace

import pytest

import packlearn as pl
from packlearn.building import SITUATIONS, cautions, conductors, plan_for
from packlearn.building.planning import FORMS
from packlearn.building.stages import at_rest_v, resting, turned
from packlearn.errors import BadValue, PackLimit, UnknownName
from packlearn.wiring import Wiring

# Cell, S, P, load [A], window [V], hours: packs that fit.
FIT = {
    "one alkaline": ("alkaline-aa", 1, 1, 0.1, (0.7, 2.0), 10),
    "four alkaline": ("alkaline-aa", 4, 1, 0.3, (3.0, 7.0), 7),
    "six NiMH": ("nimh-aa", 6, 1, 0.6, (5.5, 9.0), 3),
    "strings of NiMH": ("nimh-aa", 5, 3, 0.6, (4.5, 8.0), 9),
    "groups of NiMH": ("nimh-aa", 10, 8, 3.0, (9.0, 15.0), 4),
    "side by side": ("nimh-aa", 1, 4, 1.0, (0.9, 1.6), 2),
    "lead blocks": ("lead-acid-12v-7ah", 2, 2, 1.0, (20.0, 30.0), 10),
    "one lead block": ("lead-acid-12v-7ah", 1, 1, 1.0, (10.0, 15.0), 6),
    "9 V block": ("alkaline-9v", 1, 1, 0.05, (4.5, 10.0), 10),
    "two 9 V blocks": ("nimh-9v", 2, 1, 0.1, (12.0, 22.0), 2),
    "coins": ("lithium-coin-cr2032", 2, 1, 0.001, (3.0, 7.0), 100),
    "zinc-carbon": ("zinc-carbon-aa", 3, 1, 0.1, (2.0, 6.0), 5),
    "ten Li-ion": ("li-ion-18650-energy", 10, 1, 2.0, (24.0, 43.0), 1.5),
    "four LiFePO4": ("lifepo4-26650", 4, 1, 1.0, (7.0, 15.0), 2),
}
BUILT = [name for name, row in FIT.items() if not row[0].startswith(("li-ion", "lifepo4"))]


def plan(which, /, **more):
    cell, series, parallel, amps, window, hours = FIT[which]
    need = pl.Need(load=pl.Load.current(amps), run_time_h=hours, voltage_v=window)
    return plan_for(need, pl.Pack(pl.cell(cell), series, parallel), **more)


@pytest.mark.parametrize("name", FIT)
def test_a_pack_that_fits_has_no_trouble(name):
    made = plan(name, name="Path lantern")
    assert made.trouble == ()
    assert made.name == "Path lantern"
    assert made.readings
    assert made.parts
    assert made.assumptions
    assert all(sentence and source for sentence, source in made.assumptions)


@pytest.mark.parametrize("name", FIT)
def test_margins_are_what_is_left(name):
    cell, series, parallel, amps, (low, high), hours = FIT[name]
    data, made = pl.cell(cell), plan(name)
    rows = {row.key: row for row in made.margins}
    assert rows["high"].left == pytest.approx(high - series * data.full_voltage_v)
    assert rows["low"].left == pytest.approx(series * data.end_voltage_v - low)
    # What the cells may give, or what the fuses of the pack as built let through.
    may_a = [0.8 * parallel * data.current_limit_a]
    if made.fuse and not made.ready_made:
        may_a.append(made.fuse.rating_a)
        may_a += [parallel * made.string_fuse[0]] if made.string_fuse else []
    assert rows["current"].left == pytest.approx(min(may_a) - amps)
    assert rows["run_time"].left == pytest.approx(parallel * data.capacity_ah / amps - hours)
    # Two conductors of half a metre, a little warmer than 20 degrees.
    drop = amps * 2 * 0.5 * made.wire.conductor.ohm_per_m
    assert rows["low"].have - rows["leads"].have == pytest.approx(drop, rel=0.12)


@pytest.mark.parametrize("name", FIT)
def test_the_fuse_lies_between_the_load_and_the_wire(name):
    _, _, parallel, amps, *_ = FIT[name]
    made = plan(name)
    short_a = made.figures.full_v / made.figures.resistance_ohm
    if made.fuse is None:
        assert short_a < 0.8 * made.wire.limit_a
        return
    assert amps <= made.fuse.rating_a * made.fuse.family.run_share * (1 + 1e-9)
    assert made.fuse.rating_a <= 0.8 * made.wire.limit_a * (1 + 1e-9)
    assert made.fuse.rating_a <= parallel * made.pack.cell.current_limit_a * (1 + 1e-9)
    assert made.fuse.breaking_capacity_a >= short_a
    if made.string_fuse:
        rating, _ = made.string_fuse
        assert amps / parallel <= rating <= made.pack.cell.current_limit_a


@pytest.mark.parametrize("name", BUILT)
def test_readings_are_the_cells_in_line_and_the_meters_tolerance(name):
    made, data = plan(name), pl.cell(FIT[name][0])
    low, high = data.rested_voltage_v or (data.nominal_voltage_v, data.full_voltage_v)
    for reading in made.readings:
        if reading.stage == "load":
            continue
        count = reading.count
        assert reading.low_v == pytest.approx(count * low - 0.005 * count * low - 0.02)
        assert reading.high_v == pytest.approx(count * high + 0.005 * count * high + 0.02)
    stages = [reading.stage for reading in made.readings]
    assert stages[0] == "cell"
    assert stages[-2:] == ["leads", "load"]
    # One cell alone is measured as a cell.
    assert "pack" in stages or made.pack.cell_count == 1


@pytest.mark.parametrize("name", BUILT)
def test_the_reading_under_load_lies_below_the_one_at_rest(name):
    cell, series, parallel, amps, *_ = FIT[name]
    made, data = plan(name), pl.cell(cell)
    *_, rest, load = made.readings
    low, high = data.rested_voltage_v or (data.nominal_voltage_v, data.full_voltage_v)
    highest = series * high - amps * series * data.resistance_ohm / parallel
    assert load.high_v == pytest.approx(highest * 1.005 + 0.02)
    contacts = series / parallel * (0.01 if data.cells_inside > 1 else 0.05) + 0.05
    ohm = 2 * series * data.resistance_ohm / parallel + contacts + made.wire.resistance_ohm
    lowest = series * low - amps * ohm
    assert load.low_v == pytest.approx(lowest * 0.995 - 0.02)
    assert load.low_v < rest.low_v


@pytest.mark.parametrize("name", BUILT)
def test_the_last_cell_closes_the_pack_and_no_fuse_is_in_before(name):
    """Strips inside a holder make no way round it: until then a place in each string is empty."""
    made = plan(name)
    kinds = [step.kind for step in made.steps]
    assert kinds[0] == "cells"
    tested = ["first_run"] if made.protection.kind == "cut_off" else []
    assert kinds[kinds.index("device") :] == ["device", "load", "label", *tested]
    assert kinds.index("black") < kinds.index("red") < kinds.index("fuse")
    if "close" in kinds:
        assert kinds.index("red") < kinds.index("close") < kinds.index("fuse")
        assert "join" not in kinds[kinds.index("close") :]
    cables = ("join", "close") if made.form == "cable" else ("join",)
    joined = {frozenset(s.contacts) for s in made.steps if s.kind in cables}
    both = {
        frozenset(joint.contacts)
        for joint in made.joints
        if {"+", "-"} <= {contact[-1] for contact in joint.contacts}
    }
    assert joined == both
    assert made.form in FORMS
    if made.form != "cable" and made.pack.series > 1:
        names = "ABCDEFGH"[: made.pack.parallel]
        last = [f"{made.pack.series}{letter}" for letter in names]
        laid = next(step.contacts for step in made.steps if step.kind == "lay")
        assert not set(laid) & set(last)
        closing = [cell for step in made.steps if step.kind == "close" for cell in step.contacts]
        assert closing == last
        assert len(laid) + len(last) == made.pack.cell_count


def test_the_cut_off_is_tested_in_the_first_run():
    # By hand: six cells of 1 V, 0.6 A through 1 m of 0.5 mm2 and 0.05 ohm; the meter's tolerance.
    made = plan("six NiMH")
    volts = 6 - made.wire.drop_v - 0.6 * 0.05
    told = f"before the meter falls below {math.floor(100 * (0.995 * volts - 0.02)) / 100:.2f} V"
    assert told in made.steps[-1].sentence
    assert 5.9 < volts < 5.95
    alkaline = [step.kind for step in plan("four alkaline").steps]
    assert "first_run" not in alkaline


def test_the_parts_are_counted():
    counts = {part.what: part.count for part in plan("strings of NiMH").parts}

    def count(beginning):
        return next(number for what, number in counts.items() if what.startswith(beginning))

    assert count("NiMH AA") == 15
    # Four strips in each of three strings of five.
    assert count("strip, ") == 12
    assert count("holder for 5 cells") == 3
    assert count("fuse holder with leads, string") == 3


def test_strings_may_differ_by_what_drives_the_usual_charging_current():
    made = plan("strings of NiMH")
    # 0.19 A through two strings of five cells of 0.03 ohm: 0.057 V.
    alike = next(step for step in made.steps if step.kind == "alike")
    assert "0.05 V" in alike.sentence


@pytest.mark.parametrize("name", BUILT)
def test_covers_are_as_many_as_the_steps_put_on(name):
    made = plan(name)
    named = [end for step in made.steps for end in step.covered]
    assert len(named) == len(set(named))
    assert {"black", "red"} <= set(named)
    (counted,) = (part.count for part in made.parts if part.what == "cover for an end")
    assert counted == len(named)
    for step in made.steps:
        assert bool(step.covered) == ("over" in step.sentence.replace("Uncover", "")), step
    if made.form == "cable":
        assert len(named) == 2 + 2 * made.pack.cell_count


@pytest.mark.parametrize("name", BUILT)
def test_every_wire_and_end_that_a_step_names_is_among_the_parts(name):
    made = plan(name)
    steps = " ".join(step.sentence for step in made.steps)
    parts = {part.what: part.count for part in made.parts}
    guarded = made.protection.kind == "cut_off"
    for end in ("in +", "in \u2212", "out +", "out \u2212"):
        assert (end in steps) == guarded
        assert any(what.startswith("cut-off") and end in what for what in parts) == guarded
    strings = made.pack.parallel if made.strings else 0
    assert parts.get("black wire, 0.1 m", 0) == strings + guarded
    assert parts.get("red wire, 0.1 m", 0) == guarded
    assert ("hort black wire" in steps) == bool(strings + guarded)
    assert ("hort red wire" in steps) == guarded
    joiners = [count for what, count in parts.items() if what.startswith("wire joiner")]
    assert joiners == ([2] if strings else [])
    assert ("wire joiner" in steps) == bool(strings)


@pytest.mark.parametrize("name", BUILT)
def test_a_turned_cell_reads_what_the_wiring_solver_says(name):
    """The ranges of the list of wrong readings, against the whole circuit solved."""
    made, cell = plan(name), pl.cell(FIT[name][0])
    low, high = at_rest_v(cell)
    for count in range(2, made.pack.series + 1):
        found = turned(cell, count)
        expected = resting("grows", cell, count)
        assert found.high_v < expected.low_v
        for each_v, turned_v in itertools.product((low, high), repeat=2):
            # One string alone, its second cell the wrong way round.
            wired = Wiring.of(pl.Pack(cell, count, 1))
            for group in range(1, count + 1):
                wired = wired.measured(f"{group}A", turned_v if group == 2 else each_v)
            shown = wired.turn("2A").reading_v(f"{count}A+", "1A-")
            assert found.low_v <= shown <= found.high_v


@pytest.mark.parametrize("name", FIT)
def test_cautions_of_every_situation_come_along(name):
    made = plan(name)
    assert set(made.cautions) == set(SITUATIONS)
    for situation, found in made.cautions.items():
        assert found == cautions(made.pack, situation)


@pytest.mark.parametrize("name", sorted(set(FIT) - set(BUILT)))
def test_a_ready_made_pack_has_nothing_to_join(name):
    made = plan(name)
    assert made.ready_made
    assert (made.form, made.links, made.joints, made.steps) == (None,) * 4
    assert [reading.stage for reading in made.readings] == ["delivered", "charged", "load"]
    assert made.charging.ready_made


def test_cells_that_are_not_charged_have_no_charger():
    assert plan("four alkaline").charging is None
    assert plan("six NiMH").charging.voltage_v == pytest.approx(6 * 1.45)


def test_margins_given_replace_those_of_the_need():
    made = plan("six NiMH", margins={"ageing_factor": 1.25, "design_margin": 1.1})
    rows = {row.key: row for row in made.margins}
    assert rows["run_time"].have == pytest.approx(1.9 / 1.25 / 1.1 / 0.6)
    assert made.trouble
    assert made.steps is None
    with pytest.raises(UnknownName, match="ageing_factor"):
        plan("six NiMH", margins={"luck": 2})


# Mistakes.


def test_above_60_v_nothing_is_planned():
    need = pl.Need(load=pl.Load.current(1), run_time_h=1, voltage_v=(10, 80))
    cell = replace(pl.cell("nimh-aa"), max_series=None)
    with pytest.raises(PackLimit, match="60"):
        plan_for(need, pl.Pack(cell, 42, 1))


@pytest.mark.parametrize(
    ("cell", "series", "parallel", "limit"),
    [("alkaline-aa", 4, 2, 1), ("nimh-aa", 11, 1, 10), ("nimh-aa", 2, 9, 8)],
)
def test_more_cells_than_allowed_are_refused_with_the_reason(cell, series, parallel, limit):
    need = pl.Need(load=pl.Load.current(0.1), run_time_h=1, voltage_v=(0.5, 30))
    with pytest.raises(PackLimit, match="sensible") as caught:
        plan_for(need, pl.Pack(pl.cell(cell), series, parallel))
    assert caught.value.limit == limit


def test_a_pack_that_misses_the_need_is_not_built_yet():
    need = pl.Need(load=pl.Load.current(6), run_time_h=9, voltage_v=(5.5, 9))
    made = plan_for(need, pl.Pack(pl.cell("nimh-aa"), 4, 1))
    assert len(made.trouble) >= 3
    assert made.steps is None
    assert made.readings == ()


@pytest.mark.parametrize(
    "wrong",
    [{"lead_m": 0}, {"lead_m": math.nan}, {"voltage_drop_share": 2}, {"name": "x" * 61}],
)
def test_values_out_of_bounds_are_told(wrong):
    with pytest.raises(BadValue):
        plan("six NiMH", **wrong)


def test_neither_need_nor_pack():
    with pytest.raises(BadValue, match="need"):
        plan_for("3 W", pl.Pack(pl.cell("nimh-aa"), 6, 1))
    with pytest.raises(BadValue, match="pack"):
        plan_for(plan("six NiMH").need, "6S1P")


def test_long_leads_take_thicker_wire_and_too_long_ones_are_told():
    thin, thick = plan("six NiMH"), plan("six NiMH", lead_m=20)
    assert thin.wire.area_mm2 < thick.wire.area_mm2
    endless = plan("six NiMH", lead_m=5000)
    assert endless.wire is None
    assert any("shorter" in sentence for sentence in endless.trouble)
    assert endless.steps is None
    assert conductors()[-1].area_mm2 >= thick.wire.area_mm2


def test_a_load_behind_a_converter_is_planned_from_the_packs_side():
    load = pl.Load.power(3).through(pl.Converter(output_v=5, efficiency=0.8, input_v=(4, 12)))
    need = pl.Need(load=load, run_time_h=2)
    made = plan_for(need, pl.Pack(pl.cell("nimh-aa"), 6, 1))
    assert made.trouble == ()
    # At the end voltage it takes most.
    assert made.figures.peak_a == pytest.approx(3 / 0.8 / 6.0)
    *_, load_reading = made.readings
    assert 0 < load_reading.low_v < load_reading.high_v < 6 * 1.45


# Published worked examples, whole, through a plan; their sources stand in published_building.py.


def battery(volts, ah, **more):
    """A lead-acid battery of so many volts and ampere-hours."""
    cells = round(volts / 2)
    more = {"current_limit_a": 5 * ah, "resistance_ohm": 0.05 / ah, "max_parallel": 24} | more
    more |= {"end_voltage_v": 1.75 * cells, "full_voltage_v": 2.45 * cells, "cells_inside": cells}
    return pl.Cell("published", "lead-acid", volts, ah, **more)


def test_a_published_island_of_24_v():
    """T7-18 to T7-24: 2721 Ah at 24 V out of 12 V batteries of 478 Ah are 2S6P, 68.8 kWh."""
    need = pl.Need(load=pl.Load.current(13.605), run_time_h=200, voltage_v=(20, 30))
    made = plan_for(need, pl.Pack(battery(12.0, 478.0, resistance_ohm=0.02), 2, 6), lead_m=2)
    assert made.trouble == ()
    assert made.figures.capacity_ah == pytest.approx(2868, abs=0.5)
    assert made.figures.energy_wh / 1000 == pytest.approx(68.8, abs=0.05)
    left = next(row.left for row in made.margins if row.key == "run_time")
    assert left == pytest.approx(2868 / 13.605 - 200)
    five = plan_for(need, pl.Pack(battery(12.0, 478.0, resistance_ohm=0.02), 2, 5), lead_m=2)
    assert any("runs" in sentence for sentence in five.trouble)


def test_a_published_standby_battery_with_its_margin_for_age():
    """T7-29: 50 mA for 24 h and 0.3 Ah of alarm, 25 % more for age, are 1.875 Ah."""
    steps = [(pl.Load.current(0.05), 24 * 3600), (pl.Load.current(0.6), 1800)]
    need = pl.Need(load=pl.Load.profile(steps), run_time_h=24.5, voltage_v=(20, 30))
    old = {"ageing_factor": 1.25}
    made = plan_for(need, pl.Pack(battery(24.0, 1.875), 1, 1), margins=old)
    assert made.trouble == ()
    assert next(row.left for row in made.margins if row.key == "run_time") == pytest.approx(0)
    assert plan_for(need, pl.Pack(battery(24.0, 1.86), 1, 1), margins=old).trouble
    assert any("1.25" in sentence for sentence, _ in made.assumptions)


def test_a_published_section_in_the_cold_is_counted_but_not_built():
    """T7-27: 1400 A for a time factor of 0.4868, 1.2738 for the cold, are 868.12 Ah."""
    need = pl.Need(load=pl.Load.current(1400.0), run_time_h=0.4868, voltage_v=(1.0, 59.0))
    cell = battery(24.0, 868.12)
    made = plan_for(need, pl.Pack(cell, 1, 1), margins={"temperature_factor": 1.2738})
    left = next(row.left for row in made.margins if row.key == "run_time")
    assert left == pytest.approx(0, abs=2e-5)
    # No wire here carries so much.
    assert made.wire is None
    assert made.trouble


def test_sixty_published_cells_of_140_v_are_refused():
    """T7-31: 60 cells of 2.33 V for 140 V: right for a substation, and above 60 V."""
    need = pl.Need(load=pl.Load.current(1.0), run_time_h=1, voltage_v=(50, 140))
    with pytest.raises(PackLimit, match="60 V"):
        plan_for(need, pl.Pack(battery(2.0, 100.0), 60, 1))


def test_a_published_fuse_for_1_5_a():
    """T6-14: 1.5 A at 75 % of the rating take a fuse of 2 A."""
    need = pl.Need(load=pl.Load.current(1.5), run_time_h=2, voltage_v=(10, 15))
    fuse = plan_for(need, pl.Pack(battery(12.0, 7.0), 1, 1)).fuse
    assert (fuse.rating_a, fuse.family.run_share) == (2.0, 0.75)


def test_a_published_short_circuit_of_50_a():
    """T6-29: 10 V behind 0.2 ohm drive 50 A."""
    need = pl.Need(load=pl.Load.current(0.5), run_time_h=1, voltage_v=(5, 11))
    cell = replace(battery(8.0, 5.0, resistance_ohm=0.2), full_voltage_v=10.0)
    made = plan_for(need, pl.Pack(cell, 1, 1))
    assert made.figures.short_circuit_a == pytest.approx(50)
    assert made.fuse.breaking_capacity_needed_a == pytest.approx(50)


def test_a_published_rating_of_9_wh():
    """T4-51: 2.5 Ah at 3.6 V are 9 Wh on a label."""
    cell = pl.Cell("published", "Li-ion", 3.6, 2.5, current_limit_a=5.0, resistance_ohm=0.03)
    need = pl.Need(load=pl.Load.current(0.5), run_time_h=4, voltage_v=(2.4, 4.5))
    assert plan_for(need, pl.Pack(cell, 1, 1)).transport.energy_wh == pytest.approx(9)
