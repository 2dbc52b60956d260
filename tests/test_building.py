"""Building a pack: wire, fuse, links, protection, charging, keeping, carrying, measures."""

import dataclasses
import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import packlearn as pl
from packlearn import building, rules
from packlearn.building import carrying, fuses, links, minding, wires
from packlearn.building._data import table
from packlearn.building.differing import differences
from packlearn.cells import CHEMISTRIES, Cell, catalogue
from packlearn.errors import BadValue, PackError, PackLimit, UnknownName
from packlearn.loads import Load
from packlearn.packs import Pack
from packlearn.words import word

CELLS = list(catalogue().values())
NAMES = [cell.name for cell in CELLS]
PRIMARY = [cell for cell in CELLS if not cell.rechargeable]
CHARGED = [cell for cell in CELLS if cell.rechargeable]
LITHIUM = [cell for cell in CELLS if cell.chemistry in ("Li-ion", "LiFePO4")]
DATA = (
    "wires", "fuses", "links", "charging", "keeping", "transport", "sizes", "margins",
)  # fmt: skip


def named(cells):
    return pytest.mark.parametrize("cell", cells, ids=[cell.name for cell in cells])


def nimh(series=5, parallel=3):
    return Pack(pl.cell("nimh-aa"), series, parallel)


# Wires.


def test_wire_worked_by_hand():
    # 5 A over 3 m one way, 0.5 V may be lost. At 0.34 mm2 ... 1 mm2 the drop is too large:
    # 1 mm2 has 19.5 ohm/km, 6 m of it 0.117 ohm, 0.585 V; 1.5 mm2 has 13.3: 0.0798 ohm, 0.40 V.
    wire = building.wire_for(5.0, 3.0, allowed_drop_v=0.5)
    assert wire.area_mm2 == 1.5
    assert wire.resistance_20_ohm == pytest.approx(0.0798)
    # I2 r / (h pi D) = 25 x 0.0133 / (10 x 3.1416 x 0.0029) = 3.65 K at 20 degC copper.
    cold_k = 25 * 0.0133 / (10 * math.pi * 0.0029)
    warm_k = cold_k * (1 + 0.00393 * 5) / (1 - 0.00393 * cold_k)
    assert wire.heating_k == pytest.approx(warm_k)
    assert wire.resistance_ohm == pytest.approx(0.0798 * (1 + 0.00393 * (5 + warm_k)))
    assert wire.drop_v == pytest.approx(5 * wire.resistance_ohm)
    assert wire.binds == "drop"
    assert wire.drop_share is None


def test_a_short_wire_is_chosen_by_its_warmth():
    wire = building.wire_for(12.0, 0.1, voltage_v=12.0)
    assert wire.binds == "heating"
    assert wire.limit_a >= 12.0
    sizes = building.conductors("mm2")
    thinner = sizes[sizes.index(wire.conductor) - 1]
    assert thinner.limit_a(20.0) < 12.0
    assert wire.drop_share == pytest.approx(wire.drop_v / 12.0)


def test_a_tiny_current_takes_the_thinnest_wire():
    wire = building.wire_for(0.01, 0.5, voltage_v=6.0)
    assert (wire.binds, wire.area_mm2) == ("thinnest", building.conductors()[0].area_mm2)


def test_the_limit_of_a_wire_is_where_it_reaches_the_heating():
    for conductor, air in itertools.product(building.conductors("awg"), (0.0, 25.0, 40.0)):
        limit = conductor.limit_a(30.0, air)
        assert conductor.heating_k(limit, air) == pytest.approx(30.0)
        assert conductor.limit_a(30.0, air, bundled=True) < limit


def test_a_wire_far_too_thin_runs_away():
    assert building.conductors()[0].heating_k(1000.0) == math.inf


def test_both_conductors_count():
    wire = building.wire_for(1.0, 2.0, allowed_drop_v=0.2)
    assert wire.resistance_20_ohm == pytest.approx(2 * 2.0 * wire.conductor.ohm_per_m)
    assert building.drop_v(1.0, 2.0, 0.5) == pytest.approx(0.1376)
    assert building.area_for_drop_mm2(1.0, 2.0, 0.1376) == pytest.approx(0.5)


@settings(max_examples=150, deadline=None)
@given(
    st.floats(0.01, 8.0), st.floats(0.1, 4.0), st.floats(0.4, 3.0), st.floats(5.0, 60.0),
    st.floats(1.0, 2.0), st.sampled_from(("mm2", "awg")),
)  # fmt: skip
def test_more_is_never_met_by_thinner_wire(current, length, drop, heating, more, system):
    def area(current_a, length_m, drop_v, heating_k, **further):
        limits = {"allowed_drop_v": drop_v, "allowed_heating_k": heating_k, "system": system}
        try:
            return building.wire_for(current_a, length_m, **limits, **further).area_mm2
        except PackLimit:
            return math.inf

    least = area(current, length, drop, heating)
    assert area(current * more, length, drop, heating) >= least
    assert area(current, length * more, drop, heating) >= least
    assert area(current, length, drop / more, heating) >= least
    assert area(current, length, drop, heating / more) >= least
    assert area(current, length, drop, heating, bundled=True) >= least
    assert area(current, length, drop, heating, ambient_degc=50.0) >= least


@settings(max_examples=100, deadline=None)
@given(st.floats(0.01, 8.0), st.floats(0.1, 4.0), st.floats(0.4, 3.0))
def test_a_chosen_wire_keeps_within_what_is_allowed(current, length, drop):
    wire = building.wire_for(current, length, allowed_drop_v=drop)
    assert wire.drop_v <= drop * (1 + 1e-9)
    assert wire.heating_k <= wire.allowed_heating_k * (1 + 1e-9)
    assert wire.limit_a >= current * (1 - 1e-9)
    gauge = building.wire_for(current, length, allowed_drop_v=drop, system="awg")
    assert gauge.conductor.gauge == wire.gauge


def test_the_table_of_wires_goes_from_thin_to_thick():
    for system in wires.SYSTEMS:
        sizes = building.conductors(system)
        for before, after in itertools.pairwise(sizes):
            assert before.area_mm2 < after.area_mm2
            assert before.ohm_per_m > after.ohm_per_m
            assert before.outer_mm <= after.outer_mm
        assert all(each.sources and each.label for each in sizes)
    # The standard's limits lie above pure copper, and not by far more than a strand takes.
    for each in building.conductors("mm2"):
        pure = rules.wire_resistance_ohm(1.0, each.area_mm2)
        assert pure < each.ohm_per_m < 1.2 * pure


def test_two_ways_to_warm_copper_agree():
    for degc in range(-20, 101, 10):
        ours = building.warm_resistance_ohm(1.0, degc)
        assert ours * wires.to_20_degc_factor(degc) == pytest.approx(1.0, abs=0.006)


def test_gauges():
    # Three gauges on, half the copper; six gauges on, half the diameter, both roughly.
    assert building.gauge_area_mm2(20) / building.gauge_area_mm2(23) == pytest.approx(2, rel=0.01)
    assert building.gauge_diameter_mm(36) == pytest.approx(0.127)
    assert building.gauge_diameter_mm(np.array([36, 20])).shape == (2,)


def test_the_next_size():
    assert building.next_area_mm2(0.5) == 0.5
    assert building.next_area_mm2(0.5001) == 0.75
    assert building.next_area_mm2(0) == 0.14
    with pytest.raises(PackLimit, match=r"17 mm².*16"):
        building.next_area_mm2(17)


# Fuses.


def test_fuse_worked_by_hand():
    # 0.6 A over 75 % is 0.8 A; the wire of 2 A less a fifth is 1.6 A: 1 and 1.5 A of the UL series.
    fuse = building.fuse_for(nimh(), Load.current(0.6), 2.0)
    assert (fuse.least_a, fuse.most_a) == (pytest.approx(0.8), pytest.approx(1.6))
    assert (fuse.rating_a, fuse.ratings_a) == (1.0, (1.0, 1.5))
    assert (fuse.binds_least, fuse.binds_most, fuse.time_lag) == ("steady", "wire", False)
    # 5 x 1.45 V over 0.05 ohm.
    assert fuse.breaking_capacity_needed_a == pytest.approx(145.0)
    assert fuse.breaking_capacity_a >= 145.0
    # The other family runs at its rating.
    other = building.fuse_for(nimh(), Load.current(0.6), 2.0, "iec")
    assert (other.least_a, other.rating_a) == (pytest.approx(0.6), 0.63)
    assert other.build == "ceramic"


def test_the_band_of_a_fuse_lies_between_load_and_wire():
    # 2 A at 75 % ask for 2.67 A; 80 % of 5 A are 4 A.
    band = building.band_for(2.0, 2.0, 5.0)
    assert (band.floor_a, band.most_a) == (pytest.approx(8 / 3), pytest.approx(4.0))
    assert (band.least_a, band.ratings_a, band.time_lag) == (band.floor_a, (3.0, 4.0), False)
    assert building.band_for(2.0, 3.5, 5.0).ratings_a == (4.0,)
    slow = building.band_for(2.0, 9.0, 5.0)
    assert (slow.ratings_a, slow.time_lag, slow.least_a) == ((3.0, 4.0), True, slow.floor_a)
    assert building.band_for(4.0, 4.0, 5.0).ratings_a == ()
    with pytest.raises(BadValue, match="takes 1.0 A. It must be 2.0 A or more"):
        building.band_for(2.0, 1.0, 5.0)


def test_a_peak_raises_the_rating_or_asks_for_a_time_lag_fuse():
    load = Load.profile([(Load.current(0.2), 9), (Load.current(1.2), 1)])
    fuse = building.fuse_for(nimh(), load, 4.0)
    assert fuse.binds_least == "peak"
    assert fuse.rating_a == 1.5
    slow = building.fuse_for(nimh(), load, 1.3)
    assert slow.time_lag
    assert slow.steady_a / 0.75 <= slow.rating_a <= 0.8 * 1.3 < slow.peak_a
    assert slow.rating_a == max(slow.ratings_a) == 1.0
    assert len(slow.notes) > len(fuse.notes)


def test_no_fuse_and_the_mend():
    with pytest.raises(PackLimit, match=r"0\.8 A.*0\.4 A.*Thicker wire mends it: 0\.14 mm²"):
        building.fuse_for(nimh(), Load.current(0.6), 0.5)
    with pytest.raises(PackLimit, match=r"16 A.*pack itself.*11\.4 A.*stronger"):
        building.fuse_for(nimh(), Load.current(12.0), 40.0)
    with pytest.raises(PackLimit, match=r"breaks 1500 A at most"):
        building.fuse_for(Pack(pl.cell("lifepo4-prismatic-100ah"), 4, 1), Load.current(1), 9, "iec")
    with pytest.raises(PackLimit, match=r"36\.2 V.*32 V.*another family"):
        building.fuse_for(Pack(pl.cell("nimh-aa"), 25, 1), Load.current(1), 9, "blade")
    with pytest.raises(BadValue, match="internal resistance"):
        building.fuse_for(Pack(pl.cell("nimh-aa").idealised(), 5, 1), Load.current(1), 9)
    with pytest.raises(PackLimit, match=r"no rating there"):
        building.fuse_for(Pack(pl.cell("alkaline-aa"), 4, 1), Load.current(0.1), 9, "blade")


def test_the_thicker_wire_mends_it():
    with pytest.raises(PackLimit, match=r"Thicker wire mends it: 0\.5 mm²"):
        building.fuse_for(nimh(), Load.current(2.9), 2.0)
    wire = next(each for each in building.conductors() if each.area_mm2 == 0.5)
    assert building.fuse_for(nimh(), Load.current(2.9), wire.limit_a(20.0)).rating_a == 4.0


@settings(max_examples=150, deadline=None)
@given(
    st.floats(0.02, 9.0), st.floats(0.02, 9.0), st.floats(0.0, 1.0), st.floats(0.1, 40.0),
    st.sampled_from(fuses.FAMILIES),
)  # fmt: skip
def test_a_fuse_lies_between_load_and_wire(low, high, share, wire_a, name):
    load = Load.profile([(Load.current(low), 1 + 9 * share), (Load.current(high), 1)])
    try:
        fuse = building.fuse_for(nimh(), load, wire_a, name)
    except PackLimit:
        return
    assert fuse.rating_a in fuse.family.ratings_a
    assert load.rms_current_a(6.0) <= fuse.family.run_share * fuse.rating_a * (1 + 1e-9)
    assert fuse.rating_a <= 0.8 * wire_a * (1 + 1e-9)
    assert fuse.rating_a <= nimh().current_limit_a
    assert fuse.time_lag == (load.peak_current_a(6.0) > fuse.rating_a * (1 + 1e-9))
    # What it carries for long does not pass what the wire carries by much.
    assert fuse.rating_a * fuse.family.carries_share < 1.25 * wire_a


def test_families_and_their_rules():
    assert {name: building.family(name).run_share for name in fuses.FAMILIES} == {
        "ul": 0.75, "iec": 1.0, "blade": 0.75
    }  # fmt: skip
    for name in fuses.FAMILIES:
        kind = building.family(name)
        assert list(kind.ratings_a) == sorted(set(kind.ratings_a))
        assert f"{100 * kind.run_share:g} %" in kind.sentence
        assert kind.sources
    with pytest.raises(UnknownName, match="ul, iec, blade"):
        building.family("din")


def test_where_fuses_go():
    main, each = building.fuse_places(nimh())
    assert (main.kind, main.contacts, main.limit_a) == ("main", ("5A+",), pytest.approx(11.4))
    assert (each.kind, each.count, each.contacts) == ("string", 3, ("5A+", "5B+", "5C+"))
    assert each.limit_a == 3.8
    assert [place.kind for place in building.fuse_places(nimh(5, 1))] == ["main"]
    assert [place.kind for place in building.fuse_places(nimh(), strings=False)] == ["main"]
    ready = building.fuse_places(Pack(pl.cell("li-ion-18650-energy"), 3, 2))
    assert [place.kind for place in ready] == ["main", "inside"]
    assert all(place.sentence for place in (main, each, *ready))


# Links, terminals, switch.


def test_links_worked_by_hand():
    found = building.links_for(nimh(), 5.0)
    # 0.15 x 6 mm of nickel: 0.070 / 0.9 ohm/m; 12.3 mm around; 20 K.
    limit = math.sqrt(10 * 0.0123 * 20 / (0.070 / 0.9))
    assert found.limit_a == pytest.approx(limit)
    assert (found.strip.metal, found.strip.thickness_mm, found.strip.width_mm) == (
        "nickel",
        0.15,
        6,
    )
    assert found.resistance_ohm == pytest.approx(4 * 0.02 * 0.070 / 0.9)
    assert found.strip_count == 24
    assert found.terminals[0] == "push_on_small"
    assert len(found.terminal_words) == len(found.terminals)


def test_strips_and_terminals_stand_weakest_first():
    limits = [strip.limit_a(20.0) for strip in links.strips()]
    assert limits == sorted(limits)
    amps = [row["limit_a"] for row in table("links")["terminal"]]
    assert amps == sorted(amps)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.1, 30.0), st.floats(1.0, 1.1))
def test_more_current_never_takes_a_weaker_strip(current, more):
    limits = [building.strip_for(a).limit_a(20.0) for a in (current, current * more)]
    assert limits[0] <= limits[1]
    assert limits[0] >= current * (1 - 1e-9)


def test_too_much_for_any_link():
    for ask in (building.strip_for, building.terminals_for):
        with pytest.raises(PackLimit, match=r"99 A is more than anything here carries"):
            ask(99.0)


def test_switch():
    load = Load.profile([(Load.current(0.2), 9), (Load.current(1.2), 1)])
    switch = building.switch_for(nimh(), load)
    assert (switch.rating_a, switch.voltage_v) == (3.0, pytest.approx(7.25))
    assert switch.current_a == pytest.approx(1.2)


# Lithium: ready-made protected packs only.


@named(LITHIUM)
def test_nothing_is_joined_from_lithium_cells(cell):
    for series, parallel in ((1, 1), (3, 2)):
        with pytest.raises(PackLimit, match="ready-made protected pack"):
            building.links_for(Pack(cell, series, parallel), 1.0)
    guard = building.protection_for(Pack(cell, 3, 1))
    assert (guard.kind, guard.ready_made, guard.series, guard.sense_wires) == ("board", True, 3, 4)
    assert guard.balances
    assert guard.pack_over_v == pytest.approx(3 * guard.over_voltage_v)
    assert "short_circuit" in guard.guards
    assert len(guard.guard_words) == 5
    plan = building.charging_for(Pack(cell, 3, 1))
    assert plan.ready_made
    assert "charger" in plan.charger_words
    assert plan.balance == "board"


@named([cell for cell in CELLS if cell not in LITHIUM])
def test_other_cells_have_no_board(cell):
    guard = building.protection_for(Pack(cell, 1, 1))
    assert guard.kind == ("cut_off" if cell.rechargeable else "device")
    assert not guard.ready_made
    assert guard.sense_wires == 0
    assert building.links_for(Pack(cell, 2, 1), 0.1).strip_count >= 1


# Charging.


@named(PRIMARY)
def test_primary_cells_are_never_charged(cell):
    assert not building.may_be_charged(cell)
    with pytest.raises(PackLimit, match=f"{cell.title} must not be charged"):
        building.charging_for(Pack(cell, 2, 1))
    with pytest.raises(PackLimit, match="must not be charged"):
        building.charging_for(Pack(cell, 1, 1), current_a=0.001)
    said = [each for each in building.cautions(cell, "charging") if each.severity == "danger"]
    assert any("must not be charged" in each.sentence for each in said)


@named(CHARGED)
def test_charging_of_every_cell_that_is_charged(cell):
    assert building.may_be_charged(Pack(cell, 1, 1))
    plan = building.charging_for(Pack(cell, 2, 1))
    assert plan.voltage_v == pytest.approx(2 * cell.full_voltage_v)
    assert 0 < plan.current_a <= plan.most_a <= cell.capacity_ah
    assert plan.time_h >= cell.capacity_ah / plan.current_a
    slow = building.charging_for(Pack(cell, 2, 1), current_a=plan.current_a / 2)
    assert slow.time_h > plan.time_h
    with pytest.raises(PackLimit, match="too much"):
        building.charging_for(Pack(cell, 2, 1), current_a=1.01 * plan.most_a)
    for text in (plan.sentence, plan.end_words, plan.charger_words, plan.balance_words):
        assert text
    assert plan.sources
    assert plan.notes


def test_charging_worked_by_hand():
    plan = building.charging_for(nimh())
    # A tenth of 1.9 Ah; 1.4 times the charge; the three strings in turn.
    assert plan.current_a == pytest.approx(0.19)
    assert plan.time_h == pytest.approx(14)
    assert plan.strings_in_turn == 3
    assert not plan.holds_voltage
    lead = building.charging_for(Pack(pl.cell("lead-acid-12v-7ah"), 1, 1))
    assert lead.voltage_v == pytest.approx(pl.cell("lead-acid-12v-7ah").full_voltage_v)
    assert lead.float_v == pytest.approx(6 * 2.27)
    assert lead.time_h == pytest.approx(11 + 4)
    ion = building.charging_for(Pack(pl.cell("li-ion-18650-energy"), 3, 2))
    assert (ion.voltage_v, ion.current_a) == (pytest.approx(12.6), pytest.approx(3.4))
    assert ion.end_a == pytest.approx(0.34)
    assert building.charge_time_h(2.0, 0.2, 1.4) == pytest.approx(14)


def test_every_chemistry_that_is_charged_has_its_way():
    charged = {name for name, entry in table("charging").items() if isinstance(entry, dict)}
    assert charged == {name for name, kind in CHEMISTRIES.items() if kind.rechargeable}


# Keeping.


@named(CELLS)
def test_keeping_of_every_cell(cell):
    kept = building.keeping_of(cell)
    assert 0 < kept.loss_month < 0.5
    assert 0 <= kept.store_share[0] <= kept.store_share[1] <= 1
    assert kept.sentence
    assert kept.disposal_words
    assert kept.sources
    assert building.share_left(cell, 0) == 1
    assert building.share_left(cell, 2) == pytest.approx((1 - kept.loss_month) ** 2)
    shares = building.cold_share(cell, np.array([-20.0, -10.0, 0.0, 10.0, 20.0, 30.0]))
    assert np.all(np.diff(shares) >= 0)
    assert shares[-1] == 1
    with pytest.raises(BadValue, match="Below -20 degrees"):
        building.cold_share(cell, -21.0)


def test_keeping_worked_by_hand():
    assert building.share_left(pl.cell("nimh-aa"), 3) == pytest.approx(0.512)
    # Ten kelvins warmer, three months count as six; ten colder, as one and a half.
    assert building.share_left(pl.cell("nimh-aa"), 3, 30) == pytest.approx(0.8**6)
    assert building.share_left(pl.cell("nimh-aa"), 3, 10) == pytest.approx(0.8**1.5)
    for degrees in (-1, 46):
        with pytest.raises(BadValue, match=f"shelf has {degrees} degrees.*0 to 45"):
            building.share_left(pl.cell("nimh-aa"), 3, degrees)
    assert building.cold_share(pl.cell("nimh-aa"), -10) == pytest.approx((0.5 + 0.85) / 2)


def test_margins():
    assert building.ageing_factor(0.5) == 2
    assert building.temperature_factor(25.0) == building.temperature_factor(35.0) == 1
    assert np.all(np.diff(building.temperature_factor(np.arange(-3.0, 26.0))) <= 0)
    with pytest.raises(BadValue, match="table ends at -3.9"):
        building.temperature_factor(-10.0)


# Transport.


def test_transport_worked_by_hand():
    ion = pl.cell("li-ion-18650-energy")
    for series, parallel, band, passenger in (
        (3, 2, "under_100", "free"),
        (3, 3, "100_to_160", "ask"),
        (4, 4, "above_160", "no"),
    ):
        pack = Pack(ion, series, parallel)
        found = building.transport_of(pack)
        assert found.energy_wh == pytest.approx(series * parallel * ion.energy_wh)
        assert (found.kind, found.band, found.passenger) == ("lithium_ion", band, passenger)
        assert "look up the current one" in found.sentence
        assert found.date in found.sentence
        assert found.marking
    assert building.transport_of(Pack(pl.cell("lead-acid-12v-7ah"), 1, 1)).passenger == "free"
    assert building.transport_of(Pack(pl.cell("lead-acid-12v-7ah"), 2, 1)).passenger == "no"
    metal = building.transport_of(Pack(pl.cell("lithium-aa"), 2, 1))
    assert (metal.kind, metal.lithium_g) == ("lithium_metal", pytest.approx(1.92))
    assert building.transport_of(Pack(pl.cell("lithium-aa"), 4, 1)).passenger == "no"
    assert "1.9 g" in carrying.lithium_g_words(Pack(pl.cell("lithium-aa"), 2, 1))
    assert carrying.lithium_g_words(nimh()) == ""
    assert carrying.guard_words()


def test_bands_count_their_limits_in():
    for energy, band in (
        (99.9, "under_100"), (100, "under_100"), (100.1, "100_to_160"), (160, "100_to_160"),
        (160.1, "above_160"),
    ):  # fmt: skip
        assert building.band_of(energy) == band
    with pytest.raises(BadValue, match="above 0 Wh"):
        building.band_of(0)


@named(CELLS)
def test_transport_of_every_cell(cell):
    found = building.transport_of(Pack(cell, 1, 1))
    assert found.energy_wh == pytest.approx(cell.energy_wh)
    assert found.sources
    assert found.sentence
    assert (found.band is None) == (cell not in LITHIUM)


def test_designations():
    assert building.designation("LR6") == carrying.Designation(1, 1)
    assert building.designation("6LR61").series == 6
    with pytest.raises(BadValue, match="no designation"):
        building.designation("hello")


# Measures.


def test_measures_worked_by_hand():
    # Fifteen cells of 27 g side by side in one row.
    found = building.measures_of(nimh())
    assert found.cells_g == pytest.approx(405)
    assert found.mass_g == pytest.approx(405 * 1.15)
    assert found.box_mm == (pytest.approx(15 * 16 + 1.5), pytest.approx(17.5), pytest.approx(60.5))
    assert found.volume_cm3 == pytest.approx(241.5 * 17.5 * 60.5 / 1000)
    assert found.wh_per_kg == pytest.approx(34.2 / (0.405 * 1.15))


@named(CELLS)
def test_measures_hold_all_cells(cell):
    previous = 0.0
    for series in (1, 2):
        found = building.measures_of(Pack(cell, series, 1))
        *across, length = cell.size_mm
        own = length * (across[0] * across[-1]) * (math.pi / 4 if len(across) == 1 else 1) / 1000
        assert found.volume_cm3 > series * own
        assert found.mass_g > series * cell.mass_g
        assert found.mass_g > previous
        assert found.wh_per_kg < found.cells_wh_per_kg
        assert found.wh_per_litre > 0
        assert found.sentence
        previous = found.mass_g


def test_measures_need_mass_and_size():
    bare = Cell("mine", "NiMH", 1.2, 2.0, 2.0, 0.03)
    with pytest.raises(BadValue, match="mass_g and size_mm"):
        building.measures_of(Pack(bare, 1, 1))


def test_standard_sizes_fit_the_catalogue():
    for name, usual in (("aaa", "AAA"), ("aa", "AA"), ("c", "C"), ("d", "D")):
        size = building.standard_size(usual)
        assert pl.cell(f"alkaline-{name}").size_mm == (size.diameter_mm[1], size.height_mm[1])
        assert size.diameter_mm[0] < size.diameter_mm[1]
    with pytest.raises(UnknownName, match="R03, R6, R14, R20"):
        building.standard_size("B")


# What holds for all of them.

ASKS = {
    "fuse": lambda pack: building.fuse_for(pack, Load.current(0.1), 5.0),
    "places": building.fuse_places,
    "links": lambda pack: building.links_for(pack, 0.1),
    "switch": lambda pack: building.switch_for(pack, Load.current(0.1)),
    "board": building.protection_for,
    "charging": building.charging_for,
    "transport": building.transport_of,
    "measures": building.measures_of,
}


@pytest.mark.parametrize("ask", ASKS.values(), ids=ASKS)
def test_nothing_above_sixty_volts(ask):
    with pytest.raises(PackLimit, match=r"60\.9 V. Nothing above 60 V"):
        ask(Pack(pl.cell("nimh-aa"), 42, 1))
    for other in ("5S3P", Pack.of_cells([[pl.cell("nimh-aa")]]), None):
        with pytest.raises(BadValue, match="not a pack of equal cells"):
            ask(other)


def test_no_wire_above_sixty_volts():
    with pytest.raises(PackLimit, match="Nothing above 60 V"):
        building.wire_for(1.0, 1.0, voltage_v=61.0)


WRONG = [
    (lambda: building.wire_for(0, 1, voltage_v=6), "current is 0 A.*above 0"),
    (lambda: building.wire_for(1, -1, voltage_v=6), "length is -1 m"),
    (lambda: building.wire_for(1, 1), "allowed drop is None.*voltage_v"),
    (lambda: building.wire_for(1, 1, voltage_v=6, allowed_heating_k=0), "heating is 0 K"),
    (lambda: building.wire_for(1, 1, voltage_v=6, system="inch"), "inch.*mm2, awg"),
    (lambda: building.wire_for(50, 90, voltage_v=6), "No wire here carries 50 A over 90 m"),
    (lambda: building.wire_for(1, 1, voltage_v=6, ambient_degc="warm"), "air has 'warm'"),
    (lambda: building.fuse_for(nimh(), 0.6, 2), "0.6 is not a load"),
    (lambda: building.fuse_for(nimh(), Load.current(0), 2), "takes 0 A"),
    (lambda: building.fuse_for(nimh(), Load.current(1), 0), "wire carries 0 A"),
    (lambda: building.next_rating_a(99, (1, 2)), "99 A.*2 A"),
    (lambda: building.strip_for(0), "current is 0 A"),
    (lambda: building.charging_for(nimh(), 0), "charging current is 0 A"),
    (lambda: building.share_left(pl.cell("nimh-aa"), -1), "time is -1 months"),
    (lambda: building.may_be_charged("NiMH"), "'NiMH' is neither"),
    (lambda: building.cautions("lead", "wiring"), "Nothing is known of lead.*NiMH"),
    (lambda: building.cautions("NiMH", "cooking"), "cooking.*joining, wiring"),
    (lambda: building.keeping_of(pl.cell("nimh-aa").idealised()), "ideal here. Take one of"),
]


@pytest.mark.parametrize(("ask", "text"), WRONG, ids=[text for _, text in WRONG])
def test_errors_name_value_limit_and_mend(ask, text):
    with pytest.raises(PackError, match=text):
        ask()


def test_results_cannot_be_changed():
    wire = building.wire_for(0.6, 2, voltage_v=6)
    with pytest.raises(dataclasses.FrozenInstanceError):
        wire.drop_v = 0
    assert "0.34 mm²" in wire.sentence
    assert wire.sources


# Sources.


def numbers_of(entry, name, before=()):
    """Every value of a data file with its table's sources."""
    for key, value in entry.items():
        if isinstance(value, dict) and key != "sources":
            yield from numbers_of(value, name, (*before, key))
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            if key != "breaks":
                for row in value:
                    yield from numbers_of(row, name, (*before, key))
            else:
                yield (*before, key), entry.get("sources", {}).get(key)
        elif isinstance(value, (int, float, list)) and not isinstance(value, bool) and before:
            yield (*before, key), entry.get("sources", {}).get(key)


@pytest.mark.parametrize("name", DATA)
def test_every_value_says_where_it_comes_from(name):
    known, found = word("building.sources"), list(numbers_of(table(name), name))
    assert found
    for path, source in found:
        # A nominal area is the name of a size.
        assert source in known or path[-1] == "area_mm2", path
    assert table(name)["date"] >= "2026-11"


def test_published_values_that_differ_are_all_shown():
    found = differences()
    assert len(found) == 7
    for each in found:
        volts = [value for value, _ in each.values]
        assert each.taken in volts
        assert volts == sorted(volts)
        assert len(set(volts)) == len(volts) >= 2
        assert all(source for _, source in each.values)
        assert each.why
    taken = {each.about: each.taken for each in found}
    assert taken["copper_resistivity"] == rules.COPPER_OHM_MM2_PER_M
    assert taken["copper_coefficient"] == table("wires")["copper"]["temperature_coefficient"]


# Cautions.


@pytest.mark.parametrize("situation", building.SITUATIONS)
@pytest.mark.parametrize("chemistry", sorted({cell.chemistry for cell in CELLS} | {"NiCd"}))
def test_every_chemistry_has_a_caution_in_every_situation(chemistry, situation):
    found = building.cautions(chemistry, situation)
    # One of its own beside the one that names whose rules go first.
    assert len(found) >= 2
    assert found == tuple(sorted(found, key=lambda each: minding.SEVERITIES.index(each.severity)))
    own = [each.sentence for each in found if each.key == "own_rules"]
    assert len(own) == 1
    for words in ("Local codes", "data sheet", "school's or club's own rules", "licence"):
        assert words in own[0]
    assert all(each.label and each.severity in minding.SEVERITIES for each in found)


def test_cautions_take_a_cell_or_a_pack():
    assert building.cautions(nimh(), "cold") == building.cautions("NiMH", "cold")


def test_cautions_of_what_can_hurt_come_first():
    for situation in ("joining", "wiring", "charging", "mixing", "cold"):
        assert building.cautions("Li-ion", situation)[0].severity == "danger"
    assert "ready-made" in building.cautions("LiFePO4", "joining")[0].sentence


def test_no_caution_is_for_nobody():
    for key, row in table("cautions").items():
        assert set(row) <= {"severity", "situations", "chemistries"}, key
        assert row["severity"] in minding.SEVERITIES
        assert set(row["situations"]) <= set(building.SITUATIONS)
        assert set(row.get("chemistries", CHEMISTRIES)) <= set(CHEMISTRIES)


# Loading.


def test_building_is_reached_by_its_name():
    assert pl.building is building
    assert "building" in dir(pl)
