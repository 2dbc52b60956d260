"""Packs laid into holders: short strips, and an order of joints that keeps the pack open."""

import pytest
from joints import together

from packlearn import holders
from packlearn.cells import cell
from packlearn.errors import BadValue
from packlearn.holders import layout, slots_of
from packlearn.packs import Pack
from packlearn.wiring import Wiring

AA = cell("nimh-aa")
SIZES = [(s, p) for s in range(1, 13) for p in range(1, 7)]
ALL = [(s, p, strings) for s, p in SIZES for strings in (False, True)]


def cells_only(laid):
    wiring = Wiring()
    for slot in laid.slots:
        wiring = wiring.place(slot.label, AA)
    return wiring.leads(laid.red, laid.black)


def steps(laid):
    """The wiring after each strip, as pairs of a strip and a wiring."""
    wiring = cells_only(laid)
    for strip in laid.strips:
        wiring = wiring.link(*strip)
        yield strip, wiring


def by_label(laid):
    return {slot.label: slot for slot in laid.slots}


def parts_of(wiring, through_cells=True):
    """Contacts that hang together, by plain search."""
    pairs = [link.ends for link in wiring.links]
    if through_cells:
        pairs += [(f"{label}-", f"{label}+") for label in wiring.labels]
    return together(wiring.contacts, pairs)


# What the strips build.


@pytest.mark.parametrize(("series", "parallel", "strings"), ALL)
def test_the_strips_build_the_pack(series, parallel, strings):
    laid = layout(series, parallel, strings)
    *_, wiring = [wiring for _, wiring in steps(laid)] or [cells_only(laid)]
    assert wiring.name == f"{series}S{parallel}P"
    assert wiring.faults == ()
    told_apart = series > 1 and parallel > 1
    assert wiring.form == (("strings" if strings else "groups") if told_apart else None)
    assert laid.strings is (strings and told_apart)


@pytest.mark.parametrize(("series", "parallel", "strings"), ALL)
def test_a_strip_joins_neighbours_only(series, parallel, strings):
    laid = layout(series, parallel, strings)
    slots = by_label(laid)
    for one, other in laid.strips:
        a, b = slots[one[:-1]], slots[other[:-1]]
        if a.row == b.row:
            assert abs(a.column - b.column) == 1
            # Along one side of the row: no strip crosses a cell.
            assert a.is_up(one) == b.is_up(other)
        else:
            assert abs(a.row - b.row) == 1
            assert a.column == b.column
            # At an end of the row, where a strip has free way down.
            row = [slot.column for slot in laid.slots if slot.row == a.row]
            assert a.column in (min(row), max(row))


@pytest.mark.parametrize(("series", "parallel", "strings"), ALL)
def test_there_is_no_strip_too_many(series, parallel, strings):
    laid = layout(series, parallel, strings)
    wiring = cells_only(laid)
    for strip in laid.strips:
        wiring = wiring.link(*strip)
    joints = len(set(parts_of(wiring, through_cells=False).values()))
    assert laid.strip_count == len(laid.strips) == len(wiring.contacts) - joints


@pytest.mark.parametrize(("series", "parallel", "strings"), ALL)
def test_no_joint_holds_both_ends_of_a_cell(series, parallel, strings):
    for joint in layout(series, parallel, strings).joints:
        labels = [contact[:-1] for contact in joint.contacts]
        assert len(set(labels)) == len(labels)
        assert {end for strip in joint.strips for end in strip} == set(joint.contacts)


# By hand: P strips to the next group cost one bridge, and P - 1 lie along each end of a group.
COUNTS = [
    (1, 1, False, 0),
    (6, 1, False, 5),
    (1, 6, False, 10),
    (2, 3, False, 2 + 5 + 2),
    (3, 2, False, 1 + 3 + 3 + 1),
    (5, 3, False, 2 + 4 * 5 + 2),
    (3, 2, True, 1 + 2 + 2 + 1),
    (3, 3, True, 2 + 3 + 3 + 2),
    (12, 6, False, 5 + 11 * 11 + 5),
    (12, 6, True, 5 + 11 * 6 + 5),
]


@pytest.mark.parametrize(("series", "parallel", "strings", "count"), COUNTS)
def test_strips_counted_by_hand(series, parallel, strings, count):
    assert layout(series, parallel, strings).strip_count == count


# In which order.


@pytest.mark.parametrize(("series", "parallel"), SIZES)
def test_the_pack_stays_open_until_the_last_strip(series, parallel):
    laid = layout(series, parallel)
    if series == 1:
        return
    *before, last = [parts_of(wiring) for _, wiring in steps(laid)]
    assert all(parts[laid.red] != parts[laid.black] for parts in before)
    assert last[laid.red] == last[laid.black]


@pytest.mark.parametrize(("series", "parallel"), [(s, p) for s, p in SIZES if s > 1 and p > 1])
def test_strings_stay_open_until_the_last_joints(series, parallel):
    laid = layout(series, parallel, strings=True)
    assert all(len(joint.strips) == 1 for joint in laid.joints[-parallel:])
    for count, (_, wiring) in enumerate(steps(laid), 1):
        parts = parts_of(wiring)
        if count <= laid.strip_count - parallel:
            assert parts[laid.red] != parts[laid.black]
            # Until then nothing is closed: every strip joined two parts that were apart.
            assert len(set(parts.values())) == series * parallel - count
    assert parts[laid.red] == parts[laid.black]


@pytest.mark.parametrize("series", range(2, 13))
def test_cells_in_line_never_make_a_ring_and_begin_at_the_minus_end(series):
    laid = layout(series, 1)
    assert [joint.contacts for joint in laid.joints] == [
        (f"{k}A+", f"{k + 1}A-") for k in range(1, series)
    ]
    for _, wiring in steps(laid):
        whole_v = series * wiring.reading_v("1A+", "1A-")
        shown_v = wiring.reading_v(laid.red, laid.black)
        assert shown_v == pytest.approx(whole_v if wiring.name else 0.0, rel=1e-6, abs=1e-6)


def test_the_joints_of_two_groups_of_three_told():
    laid = layout(2, 3)
    assert [joint.sentence for joint in laid.joints] == [
        "Join 1A-, 1B- and 1C-. The black lead goes here.",
        "Join 2A+, 2B+ and 2C+. The red lead goes here.",
        "Last, join 1A+, 1B+, 1C+, 2A-, 2B- and 2C-. This closes the pack.",
    ]
    assert laid.joints[-1].strips[-1] == ("1C+", "2A-")
    assert laid.why.startswith("Start at the minus end and close the pack last.")
    assert "equally charged" in laid.why
    assert "equally" not in layout(2, 1).why
    assert "one cell's voltage" in layout(1, 2).why
    assert layout(1, 1).joints == ()
    assert layout(1, 1).why == "One cell needs no strip."
    assert layout(3, 2, strings=True).joints[-1].sentence.endswith("closes a string.")


# Where the cells lie.


@pytest.mark.parametrize(("series", "parallel", "strings"), ALL)
def test_every_cell_has_its_own_place(series, parallel, strings):
    slots = layout(series, parallel, strings).slots
    places = {(slot.row, slot.column) for slot in slots}
    assert len(places) == len(slots) == series * parallel
    assert max(slot.column for slot in slots) < holders.WIDEST_ROW
    rows = {slot.row for slot in slots}
    assert rows == set(range(len(rows)))


def test_neighbouring_groups_are_turned():
    turned = [slot.plus_up for slot in layout(3, 2).slots]
    assert turned == [True, True, False, False, True, True]
    assert [slot.column for slot in layout(3, 2).slots] == list(range(6))
    in_strings = layout(3, 2, strings=True).slots
    assert [(s.label, s.row, s.column, s.plus_up) for s in in_strings[:4]] == [
        ("1A", 0, 0, True), ("1B", 1, 0, True), ("2A", 0, 1, False), ("2B", 1, 1, False),
    ]  # fmt: skip


def test_the_second_row_runs_back():
    slots = by_label(layout(8, 5))
    assert (slots["1A"].row, slots["1A"].column) == (0, 0)
    assert (slots["4E"].row, slots["4E"].column) == (0, 19)
    assert (slots["5A"].row, slots["5A"].column) == (1, 19)
    assert (slots["8E"].row, slots["8E"].column) == (1, 0)
    # Down at the end of the first row, up at the start of the second: face to face.
    assert not slots["4E"].is_up("4E+")
    assert slots["5A"].is_up("5A-")


@pytest.mark.parametrize(("series", "parallel", "strings"), ALL)
def test_any_wiring_with_these_labels_lies_alike(series, parallel, strings):
    laid = layout(series, parallel, strings)
    made = Wiring.of(Pack(AA, series, parallel), strings=strings)
    assert sorted(slots_of(made, strings), key=str) == sorted(laid.slots, key=str)
    # What is joined, turned or taken out does not move a cell.
    changed = made.turn("1A").take_out("1A").leads(None, None)
    assert slots_of(changed, strings) == slots_of(made, strings)
    assert [slot.label for slot in slots_of(made)] == [label for label, _ in made.places]


def test_labels_with_gaps_still_lie_side_by_side():
    wiring = Wiring()
    for label in ("2B", "7A", "2AA", "11C", "2D"):
        wiring = wiring.place(label, AA)
    assert [(s.label, s.column, s.plus_up) for s in slots_of(wiring)] == [
        ("2B", 0, True), ("2D", 1, True), ("2AA", 2, True), ("7A", 3, False), ("11C", 4, True),
    ]  # fmt: skip
    assert slots_of(Wiring()) == ()
    rows = [(s.label, s.row, s.column) for s in slots_of(wiring, strings=True)]
    assert rows == [("2B", 1, 0), ("2D", 3, 0), ("2AA", 4, 0), ("7A", 0, 1), ("11C", 2, 2)]


def test_a_group_longer_than_a_row_goes_on_in_the_next():
    slots = slots_of(Wiring.of(Pack(AA, 1, 70)))
    assert len({(slot.row, slot.column) for slot in slots}) == 70
    assert len({slot.plus_up for slot in slots}) == 1
    assert [sum(slot.row == row for slot in slots) for row in range(3)] == [28, 28, 14]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ((0, 1), "series is 0"),
        ((25, 1), "from 1 to 24"),
        ((2, 2.5), "parallel is 2.5"),
        ((True, 1), "series is True"),
        ((3, 7, True), "from 1 to 6"),
        ((12, 12), "144 cells. A holder has room for 96"),
    ],
)
def test_what_does_not_fit_is_told(given, said):
    with pytest.raises(BadValue, match=said):
        layout(*given)
