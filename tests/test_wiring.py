"""Wirings worked out by hand, and the facts of the trade."""

import itertools

import pytest

from packlearn.cells import Cell, cell
from packlearn.errors import BadValue, UnknownName
from packlearn.packs import Pack
from packlearn.wiring import Wiring

AA = cell("nimh-aa")


def plain(volts=1.5, ohm=0.5, ah=1.0, limit_a=5.0):
    """A cell that stays at its nominal voltage."""
    return Cell(
        name="plain", chemistry="as told", nominal_voltage_v=volts, full_voltage_v=volts,
        end_voltage_v=volts / 2, capacity_ah=ah, current_limit_a=limit_a, resistance_ohm=ohm,
    )  # fmt: skip


def line(series, one=None, **more):
    return Wiring.of(Pack(one or plain(), series, 1), **more)


def kinds(wiring):
    return [finding.kind for finding in wiring.findings]


# Names.


@pytest.mark.parametrize("series", range(1, 13))
@pytest.mark.parametrize("parallel", range(1, 7))
@pytest.mark.parametrize("strings", [False, True])
def test_every_pack_is_called_by_its_name(series, parallel, strings):
    wiring = Wiring.of(Pack(AA, series, parallel), strings=strings)
    assert wiring.name == f"{series}S{parallel}P"
    assert wiring.findings == wiring.faults == ()
    told_apart = series > 1 and parallel > 1
    assert wiring.form == (("strings" if strings else "groups") if told_apart else None)


def test_some_strings_joined_at_their_middles_are_a_mixed_form():
    strings = Wiring.of(Pack(AA, 3, 3), strings=True)
    assert strings.link("1A+", "1B+").form == "mixed"
    joined = strings.link("1A+", "1B+").link("1B+", "1C+").link("2A+", "2B+").link("2B+", "2C+")
    assert (joined.name, joined.form) == ("3S3P", "groups")


def test_a_link_may_be_made_twice_over_and_of_any_strip():
    ring = Wiring.of(Pack(AA, 2, 3)).link("1A-", "1C-", ohm=0.002)
    assert ring.name == "2S3P"
    assert ring.link("1A-", "1C-", ohm=0.001).links[-1].ohm == 0.001
    assert len(ring.link("1C-", "1A-").links) == len(ring.links)


def test_cell_by_cell_is_the_same_as_the_whole_pack():
    made = Wiring().place("1A", AA).place("2A", AA).link("1A+", "2A-").leads("2A+", "1A-")
    assert made == line(2, AA)
    assert hash(made) == hash(line(2, AA))


# What is wrong, by hand.


def test_a_turned_cell_in_line_counts_minus_one():
    # Case C17: three cells of 4.18 V, one the wrong way round: 4.18 V in all.
    tube = line(3, plain(4.18, 0.05))
    assert tube.reading_v("3A+", "1A-") == pytest.approx(12.54, abs=1e-6)
    wrong = tube.turn("2A")
    assert wrong.reading_v("3A+", "1A-") == pytest.approx(4.18, abs=1e-6)
    assert [(f.kind, f.where) for f in wrong.findings] == [("turned", ("2A",))]
    assert "2A" in wrong.faults[0]
    assert "3S1P" in wrong.faults[0]
    assert wrong.turn("2A") == tube


def test_turning_one_of_two_in_line_gives_nothing_and_is_not_parallel():
    # Case C48: two torch cells of 3 V in line, one turned: 0 V.
    wrong = line(2, plain(3.0)).turn("2A")
    assert wrong.reading_v("2A+", "1A-") == pytest.approx(0.0, abs=1e-9)
    assert wrong.name is None
    # The bank of four 6 V blocks in two strings of two: 12 V.
    bank = Wiring.of(Pack(plain(6.0), 2, 2), strings=True)
    assert bank.name == "2S2P"
    assert bank.reading_v("2A+", "1A-") == pytest.approx(12.0, rel=1e-6)


def test_three_cells_measured_one_by_one():
    # Case C15: cells read 1.49, 1.52 and -0.1 V; the torch has 2.91 V.
    torch = line(3).measured("1A", 1.49).measured("2A", 1.52).measured("3A", -0.1)
    assert torch.reading_v("3A+", "1A-") == pytest.approx(2.91, abs=1e-6)
    assert torch.reading_v("3A+", "3A-") == pytest.approx(-0.1, abs=1e-6)
    assert torch.name == "3S1P"


def test_swapped_leads_read_negative():
    wrong = line(3).leads("1A-", "3A+")
    assert wrong.reading_v(wrong.red, wrong.black) == pytest.approx(-4.5, rel=1e-6)
    assert kinds(wrong) == ["swapped"]


def test_an_open_link_reads_nothing_and_lets_nothing_flow():
    wrong = line(3).part("1A+", "2A-")
    assert wrong.reading_v("3A+", "1A-") == 0.0
    assert wrong.reading_v("3A+", "2A-") == pytest.approx(3.0, rel=1e-6)
    assert list(wrong.currents_a(5.0).values()) == pytest.approx([0.0] * 3, abs=1e-12)
    assert wrong.load_current_a(5.0) == pytest.approx(0.0, abs=1e-12)
    assert [(f.kind, f.where) for f in wrong.findings] == [("link_missing", ("1A+", "2A-"))]


def test_a_shorted_cell_is_told_with_its_current():
    # 1.5 V behind 0.5 ohm: 3 A.
    wrong = line(2).link("1A-", "1A+")
    assert wrong.findings[0].kind == "cell_short"
    assert wrong.findings[0].amps == pytest.approx(3.0)
    assert "about 3 A" in wrong.faults[0]
    assert "Do not build this" in wrong.faults[0]
    assert wrong.reading_v("2A+", "1A-") == pytest.approx(1.5, rel=1e-6)


def test_joined_leads_are_a_short_of_the_whole_pack():
    wrong = line(4).link("4A+", "1A-")
    assert wrong.findings[0].kind == "lead_short"
    assert wrong.findings[0].amps == pytest.approx(3.0)
    assert wrong.findings[0].where == ("4A+", "1A-")


def test_a_turned_cell_side_by_side_is_a_ring_and_told_as_turned():
    # Two of 1.5 V and 0.5 ohm, one turned: 3 V around 1 ohm.
    wrong = Wiring.of(Pack(plain(), 1, 2)).turn("1B")
    assert kinds(wrong) == ["ring", "turned"]
    assert wrong.findings[0].amps == pytest.approx(3.0)
    assert wrong.reading_v("1A+", "1A-") == pytest.approx(0.0, abs=1e-9)


def test_unequal_charge_side_by_side_lets_the_full_one_charge_the_empty_one():
    # 1.5 V and 1.3 V behind 0.5 ohm each: 0.2 A, at 1.4 V.
    pair = Wiring.of(Pack(plain(), 1, 2)).measured("1B", 1.3)
    assert pair.currents_a() == pytest.approx({"1A": 0.2, "1B": -0.2})
    assert pair.reading_v("1A+", "1A-") == pytest.approx(1.4, rel=1e-6)
    assert kinds(pair) == ["uneven"]
    assert pair.name == "1S2P"
    assert "0.2 A flows from 1A into 1B" in pair.faults[0]
    heavy = Wiring.of(Pack(plain(ohm=0.01), 1, 2)).measured("1B", 1.3)
    assert "Do not build this" in heavy.faults[0]


def test_unequal_groups_have_no_name():
    wrong = Wiring.of(Pack(plain(), 3, 2)).take_out("2B")
    assert (wrong.name, kinds(wrong)) == (None, ["unequal"])
    assert "2, 1 and 2 cells" in wrong.faults[0]


def test_a_cell_left_out_is_named():
    lone = line(2).place("3A", plain())
    assert [(f.kind, f.where) for f in lone.findings] == [("left_out", ("3A",))]
    assert "neither of its ends" in lone.faults[0]
    half = Wiring.of(Pack(plain(), 2, 2)).part("2A+", "2B+").part("2A-", "2B-")
    assert half.findings[0].kind in ("left_out", "link_missing")


def test_free_leads_and_an_empty_holder_are_told():
    assert kinds(line(2).leads(None, "1A-")) == ["lead_free"]
    assert kinds(Wiring()) == ["no_cells"]
    assert kinds(line(1).take_out("1A")) == ["no_cells"]


def test_a_bridge_across_strings_is_one_too_many():
    wrong = Wiring.of(Pack(plain(), 3, 2), strings=True).link("1A+", "2B+")
    assert wrong.name is None
    assert ("link_extra", ("1A+", "2B+")) in [(f.kind, f.where) for f in wrong.findings]


# Readings and currents, by hand.


def test_a_meter_reads_a_little_less_through_its_own_resistance():
    # 1.5 V behind 1 megohm read with 10 megohm: 1.3636 V.
    weak = line(1, plain(1.5, 1e6))
    assert weak.reading_v("1A+", "1A-") == pytest.approx(1.5 * 10 / 11)
    assert weak.reading_v("1A+", "1A-", meter_ohm=1e6) == pytest.approx(0.75)


def test_between_parts_that_do_not_hang_together_a_meter_shows_nothing():
    apart = Wiring().place("1A", plain()).place("2A", plain())
    assert apart.reading_v("2A+", "1A-") == 0.0
    assert apart.reading_v("2A+", "2A-") == pytest.approx(1.5, rel=1e-6)


def test_many_readings_at_once_are_the_same_as_one_by_one():
    wrong = line(4).turn("2A").part("3A+", "4A-")
    pairs = [(red, black) for red in wrong.contacts for black in wrong.contacts]
    for load_ohm in (None, 7.5):
        each = [wrong.reading_v(*pair, load_ohm=load_ohm) for pair in pairs]
        assert wrong.readings_v(pairs, load_ohm=load_ohm).tolist() == each
    assert len(wrong.readings_v([])) == 0
    with pytest.raises(UnknownName, match="9Z"):
        wrong.readings_v([("1A+", "9Z-")])


@pytest.mark.parametrize("dead_ohm", [900.0, 1100.0, 1e6, 1e9])
@pytest.mark.parametrize("each_ohm", [0.0, 0.01])
def test_a_nearly_open_cell_takes_no_digits_away(dead_ohm, each_ohm):
    # 16.5 V behind the dead cell and a milliohm: a divider with the meter's 10 megohm.
    pack = line(12, plain(1.5, each_ohm)).measured("1A", 0.0, dead_ohm)
    pack = pack.link("4A+", "5A-", ohm=0.001)
    behind_ohm = dead_ohm + 11 * each_ohm + 0.001
    whole = 16.5 * 1e7 / (1e7 + behind_ohm)
    assert pack.reading_v("12A+", "1A-") == pytest.approx(whole, rel=1e-7)
    assert pack.reading_v("12A+", "2A-") == pytest.approx(16.5, rel=1e-7)
    assert pack.reading_v("5A-", "4A+") == pytest.approx(0.0, abs=1e-6)
    assert pack.load_current_a(5000.0) == pytest.approx(16.5 / (5000 + behind_ohm), rel=1e-6)
    across = -16.5 * dead_ohm / (5000 + behind_ohm)
    beside_meter = 1 + dead_ohm * 5000 / (dead_ohm + 5000) / 1e7
    read = pack.reading_v("1A+", "1A-", load_ohm=5000.0)
    assert read == pytest.approx(across / beside_meter, rel=1e-5)


@pytest.mark.parametrize("dead_ohm", [2e9, 1e12, 1e15])
def test_what_lets_nothing_through_is_open(dead_ohm):
    pack = line(12).measured("3A", 0.0, dead_ohm)
    assert pack.reading_v("12A+", "1A-") == 0.0
    assert pack.currents_a(5.0)["5A"] == pytest.approx(0.0, abs=1e-9)
    assert pack.reading_v("12A+", "4A-") == pytest.approx(13.5, rel=1e-6)


def test_loads_of_every_size_keep_few_networks():
    pack = line(3)
    amps = [pack.load_current_a(0.5 * ohms) for ohms in range(1, 40)]
    assert amps == [pytest.approx(4.5 / (1.5 + 0.5 * ohms)) for ohms in range(1, 40)]
    assert len(pack._networks) < 10


def test_a_load_takes_what_ohm_says():
    # 4.5 V behind 1.5 ohm into 7.5 ohm: 0.5 A.
    pack = line(3)
    assert pack.load_current_a(7.5) == pytest.approx(0.5)
    assert pack.currents_a(7.5) == pytest.approx({"1A": 0.5, "2A": 0.5, "3A": 0.5})
    assert pack.reading_v("3A+", "1A-", load_ohm=7.5) == pytest.approx(3.75, rel=1e-6)
    assert pack.link_currents_a(7.5)["1A+", "2A-"] == pytest.approx(0.5)


def test_a_link_with_resistance_takes_its_share():
    pack = line(2, plain(ohm=0.25)).link("1A+", "2A-", ohm=0.5)
    assert pack.load_current_a(5.0) == pytest.approx(0.5)
    assert pack.reading_v("1A+", "2A-", load_ohm=5.0) == pytest.approx(0.25, rel=1e-6)
    assert pack.link_currents_a(5.0)["1A+", "2A-"] == pytest.approx(0.5)


def test_strips_of_a_joined_group_carry_what_flows_past_them():
    # Leads at the first cells: the strip A-B carries two of three cells' currents.
    pack = Wiring.of(Pack(plain(), 1, 3))
    amps = pack.load_current_a(10.0)
    strips = pack.link_currents_a(10.0)
    assert strips["1A-", "1B-"] == pytest.approx(amps * 2 / 3)
    assert strips["1B-", "1C-"] == pytest.approx(amps / 3)
    assert strips["1A+", "1B+"] == pytest.approx(-amps * 2 / 3)


def test_a_ring_of_ideal_links_shares_like_equal_strips():
    # The current of 1A goes to the lead at 1C both ways: straight (1 strip) or past 1B (2 strips).
    pack = Wiring.of(Pack(plain(), 1, 3)).link("1A+", "1C+").leads("1C+", "1C-")
    for label in ("1B", "1C"):
        pack = pack.measured(label, 0.0, 1e9)
    strips = pack.link_currents_a(1.0)
    assert strips["1A+", "1C+"] == pytest.approx(1.0 * 2 / 3, rel=1e-6)
    assert strips["1A+", "1B+"] == pytest.approx(1.0 / 3, rel=1e-6)


def test_an_ammeter_in_line_reads_the_loads_current():
    pack = line(3)
    assert pack.ammeter_a("1A+", "2A-", load_ohm=7.5, shunt_ohm=0.0) == pytest.approx(0.5)
    assert pack.ammeter_a("2A-", "1A+", load_ohm=7.5, shunt_ohm=0.0) == pytest.approx(-0.5)
    burden = pack.ammeter_a("1A+", "2A-", load_ohm=7.5, shunt_ohm=1.0)
    assert burden == pytest.approx(4.5 / 10)


def test_an_ammeter_across_a_block_is_nearly_a_short():
    # Case C57: 9 V behind 1.7 ohm through a shunt of 1 ohm: 3.3 A at the first moment.
    block = line(1, plain(9.0, 1.7))
    assert block.ammeter_a("1A+", "1A-", shunt_ohm=1.0) == pytest.approx(3.33, abs=0.005)


def test_partly_charged_cells_in_line_and_side_by_side():
    # Common practice, no source: three partly charged NiMH cells read about 3.95 V in line on a
    # nominal 3.6 V, about 1.32 V side by side.
    assert line(3, AA, charge=0.7).reading_v("3A+", "1A-") == pytest.approx(3.95, abs=0.05)
    beside = Wiring.of(Pack(AA, 1, 3), charge=0.7)
    assert beside.reading_v("1A+", "1A-") == pytest.approx(1.32, abs=0.02)


def test_charge_sets_the_voltage():
    pack = line(2, AA)
    lower = pack.charged("2A", 0.1)
    assert lower.reading_v("2A+", "2A-") < pack.reading_v("2A+", "2A-") - 0.05
    assert lower.charged("2A", 1.0) == pack
    # What was measured before counts no more.
    assert pack.measured("2A", 0.3).charged("2A", 0.1) == lower


# Undo, and what is refused.


def test_every_change_leaves_the_old_one_as_it_was():
    pack = line(3)
    for change in (
        pack.turn("1A"), pack.part("1A+", "2A-"), pack.link("1A-", "3A+"), pack.take_out("2A"),
        pack.charged("1A", 0.5), pack.leads(None, None), pack.place("4B", plain()),
    ):  # fmt: skip
        assert change != pack
    assert pack == line(3)
    assert pack.take_out("2A").place("2A", plain()) == pack


@pytest.mark.parametrize(
    ("job", "error", "words"),
    [
        (lambda w: w.link("1A+", "9Z+"), UnknownName, ["9Z+", "1A-, 1A+"]),
        (lambda w: w.link("1A+", "1A+"), BadValue, ["1A+", "two contacts"]),
        (lambda w: w.part("1A-", "3A+"), UnknownName, ["1A+-2A-"]),
        (lambda w: w.turn("7A"), UnknownName, ["7A", "1A, 2A, 3A"]),
        (lambda w: w.place("A1", plain()), BadValue, ["'A1'", "2B"]),
        (lambda w: w.place("4A", "cell"), BadValue, ["'cell'"]),
        (lambda w: w.charged("1A", 1.2), BadValue, ["1.2", "0.5"]),
        (lambda w: w.charged("1A", "0,5"), BadValue, ["0,5"]),
        (lambda w: w.measured("1A", float("nan")), BadValue, ["nan"]),
        (lambda w: w.link("1A-", "3A+", ohm=-1), BadValue, ["-1"]),
        (lambda w: w.leads("3A+", None).currents_a(5.0), BadValue, ["leads(red, black)"]),
        (lambda w: w.currents_a(-5.0), BadValue, ["-5"]),
        (lambda w: w.reading_v("1A+", "1A-", meter_ohm=0), BadValue, ["10 megohm"]),
        (lambda w: w.ammeter_a("1A+", "1A-", shunt_ohm=-1), BadValue, ["-1"]),
        (lambda w: Wiring.of("5S3P"), BadValue, ["'5S3P'", "Pack("]),
    ],
)
def test_what_is_refused_is_told_with_its_mend(job, error, words):
    with pytest.raises(error) as told:
        job(line(3))
    for part in words:
        assert part in str(told.value)


def test_a_hundred_cells_are_too_many():
    with pytest.raises(BadValue, match="96"):
        Wiring.of(Pack(plain(), 97, 1))


def test_strings_need_equal_groups():
    rows = [[plain()], [plain(), plain()]]
    with pytest.raises(BadValue, match=r"\[1, 2\]"):
        Wiring.of(Pack.of_cells(rows), strings=True)
    assert kinds(Wiring.of(Pack.of_cells(rows))) == ["unequal"]


@pytest.mark.parametrize("turned", ["1A", "2A", "3A"])
def test_nothing_is_read_as_a_plain_zero(turned):
    # Worked out as differences of sums, and so of either sign on one machine or another.
    pack = line(4).turn(turned)
    pairs = [*itertools.permutations(pack.contacts, 2)]
    zeros = [volts for volts in pack.readings_v(pairs) if abs(volts) < 1e-6]
    assert len(zeros) >= 8
    assert {str(float(volts)) for volts in zeros} == {"0.0"}


def test_an_end_copied_from_a_picture_is_understood():
    plain, copied = ("4A+", "1A-"), ("4A+", "1A\u2212")
    wiring = Wiring.of(Pack(AA, 4, 1))
    assert wiring.reading_v(*copied) == wiring.reading_v(*plain)
    assert wiring.leads(*copied) == wiring.leads(*plain)
    assert wiring.part("1A+", "2A\u2212") == wiring.part("1A+", "2A-")
    assert wiring.part("1A+", "2A-").link("2A\u2212", "1A+").name == "4S1P"
