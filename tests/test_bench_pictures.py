"""Pictures of any wiring: what is drawn as joined is joined, nothing overlaps, all is told."""

import random
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from joints import together
from test_pictures import (
    HOSTILE,
    WIDEST,
    assert_says_its_numbers,
    assert_sound,
    elements,
    size,
    texts,
)

from packlearn import pictures
from packlearn.cells import cell
from packlearn.holders import layout, slots_of
from packlearn.packs import Pack
from packlearn.pictures.bench import circuit_view, holder_view
from packlearn.tasks import benches
from packlearn.wiring import Wiring

ROOT = Path(__file__).parent.parent
AA = cell("nimh-aa")
SIZES = [(s, p) for s in range(1, 13) for p in range(1, 7)]
USUAL = [(s, p) for s, p in SIZES if s * p <= 24]
VIEWS = {"holder": holder_view, "circuit": circuit_view}
SEEDS = range(80)


def pack(series, parallel, strings=False):
    return Wiring.of(Pack(AA, series, parallel), strings=strings)


def anything(seed, most=24):
    """A wiring made by throwing dice: turned cells, empty places, links of any kind."""
    dice = random.Random(seed)
    wiring = Wiring()
    for place in range(dice.randint(1, most)):
        label = f"{place // 4 + 1}{'ABCD'[place % 4]}"
        wiring = wiring.place(label, AA, turned=dice.random() < 0.3)
        if dice.random() < 0.1:
            wiring = wiring.take_out(label)
    contacts = wiring.contacts
    for _ in range(dice.randint(0, len(contacts) // 2 + 1)):
        ohm = 0.5 if dice.random() < 0.15 else 0
        wiring = wiring.link(*dice.sample(contacts, 2), ohm=ohm)
    leads = [None if dice.random() < 0.15 else dice.choice(contacts) for _ in range(2)]
    return wiring.leads(*leads)


def marks(wiring, seed):
    """A meter, a load and a choice, by dice."""
    dice = random.Random(seed)
    red, black = dice.sample(wiring.contacts, 2)
    return {
        "red": red,
        "black": black if dice.random() < 0.8 else None,
        "reading": dice.choice(["1.30 V", "-0.02 V", "12.45 V"]),
        "load_ohm": dice.choice([None, 8, 1200.0]),
        "chosen": dice.choice([(), red, (red, black), black[:-1]]),
    }


FAULTS = {
    "turned": lambda: pack(5, 1).turn("3A"),
    "missing": lambda: pack(3, 2).part("1B+", "2A-"),
    "left out": lambda: pack(3, 2).take_out("2B"),
    "short": lambda: pack(4, 1).link("2A-", "2A+"),
    "bridge": lambda: pack(3, 3, strings=True).link("1A+", "1B+"),
    "resistance": lambda: pack(6, 1).link("2A+", "3A-", ohm=0.5),
    "swapped": lambda: pack(4, 1).leads("1A-", "4A+"),
    "ring": lambda: pack(3, 1).link("1A-", "3A+"),
    "free": lambda: replace(pack(6, 1), links=()).leads(None, None),
    "uneven": lambda: pack(3, 2).place("2C", AA).link("2B+", "2C+").link("2B-", "2C-"),
}
MANY = {
    **{f"dice {seed}": lambda seed=seed: anything(seed) for seed in SEEDS},
    **FAULTS,
    **{f"{s}S{p}P": lambda s=s, p=p: pack(s, p) for s, p in USUAL},
    **{f"{s}S{p}P, strings": lambda s=s, p=p: pack(s, p, True) for s, p in USUAL},
}


# --- reading a drawing ------------------------------------------------------------------


def paths(picture, data=None, look=None):
    """Paths with a data attribute, or of a class."""
    return [
        e
        for e in elements(picture)
        if e.tag.endswith("path")
        and (data is None or e.get(f"data-{data}") is not None)
        and (look is None or look in e.get("class", "").split())
    ]


def lines(element):
    """Straight pieces of a path, as pairs of points."""
    found = []
    for part in element.get("d").split("M")[1:]:
        points = [tuple(map(float, point.split())) for point in part.rstrip("z").split("L")]
        found += list(zip(points, points[1:], strict=False))
    return found


def boxes(element):
    """Rectangles of a path: left, top, right, bottom."""
    found = re.findall(r"M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)", element.get("d"))
    round_ = re.findall(r"M([\d.]+) ([\d.]+)h([\d.]+)a([\d.]+) [^v]*v([\d.]+)", element.get("d"))
    plain = [(float(x), float(y), float(x) + float(w), float(y) + float(h)) for x, y, w, h in found]
    for x, y, w, r, h in round_:
        x, y, w, r, h = map(float, (x, y, w, r, h))
        plain.append((x - r, y, x + w + r, y + h + 2 * r))
    return plain


def rings(element):
    """Middles of the circles of a path."""
    found = re.findall(r"M(-?[\d.]+) (-?[\d.]+)a([\d.]+) ", element.get("d"))
    return [(float(x) + float(r), float(y)) for x, y, r in found]


def on(point, piece, near=0.16):
    """Whether a point lies on an upright or level piece of wire."""
    (x1, y1), (x2, y2) = piece
    x, y = point
    return (
        min(x1, x2) - near <= x <= max(x1, x2) + near
        and min(y1, y2) - near <= y <= max(y1, y2) + near
    )


def ways_out(point, pieces):
    """Directions in which wires leave a point."""
    found = set()
    for piece in pieces:
        if on(point, piece):
            for x, y in piece:
                dx, dy = x - point[0], y - point[1]
                if max(abs(dx), abs(dy)) > 0.3:
                    found.add((dx > 0.3) - (dx < -0.3) or ("down" if dy > 0 else "up"))
    return found


def drawn_joints(picture):
    """Which ends a circuit diagram joins, found from where its wires touch alone.

    Returns:
        End -> number of its part, and the pieces of wire.
    """
    named = [
        (name, piece) for data in ("contact", "lead") for name, piece in ends_of(picture, data)
    ]
    for count, (name, piece) in enumerate(ends_of(picture, "resistor")):
        named.append((f"{name} {count % 2}", piece))
    pieces = [piece for _, piece in named]
    pieces += [piece for element in paths(picture, "joint") for piece in lines(element)]
    part = list(range(len(pieces)))
    for i, one in enumerate(pieces):
        for j, other in enumerate(pieces[:i]):
            if any(on(end, other) for end in one) or any(on(end, one) for end in other):
                old, new = part[i], part[j]
                part = [new if each == old else each for each in part]
    found = {}
    for at, (name, _) in enumerate(named):
        assert found.setdefault(name, part[at]) == part[at], name
    return found, pieces


def ends_of(picture, data):
    """Pieces of wire with a data attribute, and its value."""
    return [(e.get(f"data-{data}"), piece) for e in paths(picture, data) for piece in lines(e)]


def joined(wiring):
    """Contacts joined by ideal links, by plain search: contact -> one of its joint."""
    return together(wiring.contacts, [link.ends for link in wiring.links if not link.ohm])


# --- the circuit diagram is the wiring --------------------------------------------------


@pytest.mark.parametrize("name", MANY)
def test_the_diagram_joins_what_the_wiring_joins_and_nothing_else(name):
    wiring = MANY[name]()
    picture = circuit_view(wiring)
    parts, pieces = drawn_joints(picture)
    joint_of = joined(wiring)
    assert set(wiring.contacts) <= set(parts)
    for one in wiring.contacts:
        for other in wiring.contacts:
            assert (parts[one] == parts[other]) == (joint_of[one] == joint_of[other]), (one, other)
    for side in ("red", "black"):
        lead = getattr(wiring, side)
        assert (side in parts) == (lead is not None)
        assert lead is None or parts[side] == parts[lead]
    assert_resistors_between_their_joints(wiring, parts)
    assert_dots(picture, pieces)


def assert_resistors_between_their_joints(wiring, parts):
    drawn = {}
    for name, part in parts.items():
        if " " in name:
            drawn.setdefault(name.rpartition(" ")[0], []).append(part)
    asked = [link for link in wiring.links if link.ohm]
    wanted = sorted(sorted((parts[link.first], parts[link.second])) for link in asked)
    # Two links between the same two joints have one name.
    found = sorted(sorted(ends) for ends in drawn.values())
    assert found == sorted([pair for n, pair in enumerate(wanted) if pair not in wanted[:n]])


def assert_dots(picture, pieces):
    """Three wires meet in a dot; a dot stands nowhere else."""
    dots = [dot for e in paths(picture, look="pl-head") for dot in rings(e)]
    for point in {end for piece in pieces for end in piece}:
        near_dot = any(abs(x - point[0]) + abs(y - point[1]) < 0.4 for x, y in dots)
        assert near_dot == (len(ways_out(point, pieces)) > 2), point
    for dot in dots:
        assert any(abs(x - dot[0]) + abs(y - dot[1]) < 0.4 for piece in pieces for x, y in piece)


@pytest.mark.parametrize("seed", range(8))
def test_a_large_diagram_joins_what_the_wiring_joins(seed):
    wiring = anything(1000 + seed, most=40)
    parts, _ = drawn_joints(circuit_view(wiring))
    joint_of = joined(wiring)
    pairs = [(a, b) for a in wiring.contacts for b in wiring.contacts]
    assert all((parts[a] == parts[b]) == (joint_of[a] == joint_of[b]) for a, b in pairs)


def places(picture):
    """Middle of each contact's wire."""
    found = {}
    for element in paths(picture, "contact"):
        ((x1, y1), (x2, _)) = lines(element)[0]
        found[element.get("data-contact")] = (x1 + x2) / 2, y1
    return found


@pytest.mark.parametrize(("series", "parallel"), SIZES)
@pytest.mark.parametrize("strings", [False, True])
def test_a_pack_comes_out_as_in_a_textbook(series, parallel, strings):
    at = places(circuit_view(pack(series, parallel, strings)))
    columns = [{at[f"{k}{'ABCDEF'[i]}+"][0] for i in range(parallel)} for k in range(1, series + 1)]
    assert all(len(column) == 1 for column in columns)
    from_left = [column.pop() for column in columns]
    assert from_left == sorted(set(from_left))
    rows = [{at[f"{k}{name}-"][1] for k in range(1, series + 1)} for name in "ABCDEF"[:parallel]]
    assert all(len(row) == 1 for row in rows)
    assert all(at[f"{k}A-"][0] < at[f"{k}A+"][0] for k in range(1, series + 1))


def test_the_same_six_cells_come_out_as_the_pack_they_make():
    six = replace(pack(6, 1), links=())
    turned = six.turn("2A").turn("5A")
    for first, second in (
        ("1A-", "2A+"), ("2A+", "3A-"), ("1A+", "2A-"), ("2A-", "3A+"), ("3A+", "4A-"),
        ("4A-", "5A+"), ("5A+", "6A-"), ("4A+", "5A-"), ("5A-", "6A+"),
    ):  # fmt: skip
        turned = turned.link(first, second)
    assert turned.name == "2S3P"
    at = places(circuit_view(turned))
    assert len({x for x, _ in at.values()}) == 4
    assert len({y for _, y in at.values()}) == 3
    # A turned cell is drawn with its plus end, at the contact marked minus, towards the red lead.
    assert at["2A+"][0] < at["2A-"][0]


def plates(picture):
    """Long thin lines and short thick ones: (x, y, height) of each."""
    long = [
        p
        for e in paths(picture, look="pl-wire")
        if not set(e.keys()) - {"class", "d"}
        for p in lines(e)
    ]
    short = [box for e in paths(picture, look="pl-head") for box in boxes(e)]
    return (
        [(x, (y1 + y2) / 2, y2 - y1) for (x, y1), (_, y2) in long],
        [((a + c) / 2, (b + d) / 2, d - b) for a, b, c, d in short],
    )


def test_the_long_line_is_the_plus_end():
    long, short = plates(circuit_view(pack(3, 1)))
    assert len(long) == len(short) == 3
    for (x1, y1, high), (x2, y2, low) in zip(long, short, strict=True):
        assert x1 > x2
        assert y1 == pytest.approx(y2, abs=0.2)
        assert high >= 1.8 * low
    turned = plates(circuit_view(pack(3, 1).turn("2A")))
    sides = [a[0] > b[0] for a, b in zip(*turned, strict=True)]
    assert sides == [True, False, True]


def test_a_turned_cell_and_an_empty_place_stay_where_they_were():
    whole = pack(4, 2)
    at = places(circuit_view(whole))
    assert places(circuit_view(whole.turn("2B"))) == at
    empty = circuit_view(whole.take_out("2B"))
    assert {c: y for c, (_, y) in places(empty).items()} == {c: y for c, (_, y) in at.items()}
    assert len(plates(empty)[0]) == 7


# --- the holder is the wiring -----------------------------------------------------------


def pads(picture):
    return {e.get("data-contact"): boxes(e)[0] for e in paths(picture, "contact")}


def touches(point, box, near=0.2):
    x, y = point
    return box[0] - near <= x <= box[2] + near and box[1] - near <= y <= box[3] + near


def crosses(piece, box, near=1.0):
    (x1, y1), (x2, y2) = piece
    left, right, top, bottom = min(x1, x2), max(x1, x2), min(y1, y2), max(y1, y2)
    return (
        left < box[2] - near and right > box[0] + near
        and top < box[3] - near and bottom > box[1] + near
    )  # fmt: skip


def along(one, other, near=0.8):
    """Whether two pieces lie on one another."""
    for axis in (0, 1):
        level = all(abs(piece[0][1 - axis] - piece[1][1 - axis]) < 0.05 for piece in (one, other))
        if level and abs(one[0][1 - axis] - other[0][1 - axis]) < near:
            a, b = (sorted((piece[0][axis], piece[1][axis])) for piece in (one, other))
            if min(a[1], b[1]) - max(a[0], b[0]) > 0.5:
                return True
    return False


@pytest.mark.parametrize("name", MANY)
def test_every_strip_and_wire_runs_from_contact_to_contact(name):
    wiring = MANY[name]()
    picture = holder_view(wiring, **(marks(wiring, 1) if name.startswith("dice") else {}))
    pad = pads(picture)
    assert set(pad) == set(wiring.contacts)
    links = {tuple(e.get("data-link").split()): e for e in paths(picture, "link")}
    assert set(links) == {link.ends for link in wiring.links}
    for ends, element in links.items():
        if "pl-plate" in element.get("class"):
            (strip,) = boxes(element)
            under = {c for c, box in pad.items() if abs(box[1] - strip[3]) < 0.2}
            under |= {c for c, box in pad.items() if abs(box[3] - strip[1]) < 0.2}
            assert {c for c in under if strip[0] < sum(pad[c][::2]) / 2 < strip[2]} == set(ends)
        else:
            assert_wire(element, ends, pad)
    for side in ("red", "black"):
        wires = [e for e in paths(picture, "lead") if e.get("data-lead") == side]
        assert [e.get("data-at") for e in wires] == [c for c in [getattr(wiring, side)] if c]
        for element in wires:
            assert touches(lines(element)[0][0], pad[getattr(wiring, side)])


def assert_wire(element, ends, pad):
    pieces = lines(element)
    assert touches(pieces[0][0], pad[ends[0]])
    assert touches(pieces[-1][1], pad[ends[1]])


@pytest.mark.parametrize("seed", SEEDS)
def test_wires_never_lie_on_one_another_nor_on_cells(seed):
    wiring = anything(seed)
    picture = holder_view(wiring, **marks(wiring, seed))
    wires = wires_of(picture)
    bodies = [box for e in paths(picture, look="pl-cell") for box in boxes(e)]
    covered = [*bodies, *pads(picture).values()]
    for name, pieces in wires.items():
        assert not any(crosses(piece, box) for piece in pieces for box in covered), name
        for other, more in wires.items():
            if other > name:
                assert not any(along(a, b) for a in pieces for b in more), (name, other)


def wires_of(picture):
    return {
        (data, e.get(f"data-{data}")): lines(e)
        for data in ("link", "lead", "probe")
        for e in paths(picture, data)
        if "pl-plate" not in e.get("class")
    }


def crossings(wires):
    """Where a level piece of one wire passes an upright piece of another, clear of corners."""
    for name, pieces in wires.items():
        uprights = [each for other, more in wires.items() if other != name for each in more]
        for (x1, y1), (x2, y2) in pieces:
            for (x, top), (x_too, bottom) in uprights:
                level = abs(y1 - y2) < 0.05 and abs(x - x_too) < 0.05
                inside = min(x1, x2) + 2 < x < max(x1, x2) - 2
                if level and inside and min(top, bottom) + 2 < y1 < max(top, bottom) - 2:
                    yield x, y1


@pytest.mark.parametrize("seed", SEEDS)
def test_where_wires_cross_one_passes_over_the_other(seed):
    wiring = anything(seed)
    picture = holder_view(wiring, **marks(wiring, seed))
    over = [piece for e in paths(picture, look="pl-bridge") for piece in lines(e)]
    for x, y in crossings(wires_of(picture)):
        assert any(a[0] < x < b[0] and abs(a[1] - y) < 0.1 for a, b in over), (x, y)


def test_what_does_not_cross_has_no_bridge_and_what_does_has():
    assert not list(paths(holder_view(pack(6, 1)), look="pl-bridge"))
    crossed = pack(6, 1).link("1A-", "3A-").link("2A+", "4A+")
    assert list(paths(holder_view(crossed), look="pl-bridge"))
    assert list(crossings(wires_of(holder_view(crossed))))


@pytest.mark.parametrize("strings", [False, True])
@pytest.mark.parametrize(("series", "parallel"), [(2, 2), (2, 3), (2, 4), (2, 5)])
def test_two_groups_in_line_need_no_wire_between_their_middle_contacts(series, parallel, strings):
    wiring = benches.joined({"series": series, "parallel": parallel}, strings)
    ends = [set(end.split()) for kind, end in wires_of(holder_view(wiring)) if kind == "link"]
    outer = {f"{n}A{'-' if n % 2 else '+'}" for n in range(1, 2 * parallel + 1)}
    assert ends
    assert all(pair <= outer for pair in ends)


@pytest.mark.parametrize(("series", "parallel"), SIZES)
@pytest.mark.parametrize("strings", [False, True])
def test_the_strips_of_a_layout_are_short(series, parallel, strings):
    laid = layout(series, parallel, strings)
    wiring = Wiring()
    for slot in laid.slots:
        wiring = wiring.place(slot.label, AA)
    for strip in laid.strips:
        wiring = wiring.link(*strip)
    picture = holder_view(wiring, strings=strings)
    slots = {slot.label: slot for slot in slots_of(wiring, strings)}
    for element in paths(picture, "link"):
        a, b = (slots[end[:-1]] for end in element.get("data-link").split())
        assert ("pl-plate" in element.get("class")) == (a.row == b.row)


def middles_of(picture):
    """Where the contacts lie: contact -> middle (x, y) [px]."""
    boxes = pads(picture).items()
    return {name: ((x1 + x2) / 2, (y1 + y2) / 2) for name, (x1, y1, x2, y2) in boxes}


@pytest.mark.parametrize(("series", "parallel"), [*SIZES, (24, 1), (1, 24), (24, 4)])
@pytest.mark.parametrize("strings", [False, True])
def test_every_contact_can_be_pressed(series, parallel, strings):
    wiring = pack(series, parallel)
    picture = holder_view(wiring, strings=strings)
    at = middles_of(picture)
    assert set(at) == set(wiring.contacts)
    width, height = map(float, size(picture)[:2])
    for x, y in at.values():
        assert 12 <= x <= width - 12
        assert 12 <= y <= height - 12
    middles = sorted(at.values())
    for place, (x, y) in enumerate(middles):
        for ox, oy in middles[place + 1 :]:
            if ox - x >= 24:
                break
            assert (ox - x) ** 2 + (oy - y) ** 2 >= 24**2


@pytest.mark.parametrize("view", VIEWS)
def test_pictures_of_up_to_14_cells_fit_beside_each_other_on_a_bench(view):
    # A bench is 1220 px wide with 20 px between its two views.
    widths = {(s, p): int(size(VIEWS[view](pack(s, p)))[0]) for s, p in [(3, 3), (7, 2), (14, 1)]}
    assert widths == dict.fromkeys(widths, 600)
    assert int(size(VIEWS[view](pack(8, 1)))[0]) == 430


def test_nothing_moves_when_something_is_changed():
    wiring = pack(4, 2)
    changed = wiring.turn("2A").take_out("3B").part("1A+", "1B+").leads(None, "2A+")
    assert middles_of(holder_view(wiring)) == middles_of(holder_view(changed))
    for view in VIEWS.values():
        assert size(view(wiring)) == size(view(changed, red="1A+", reading="1.2 V", load_ohm=8))


def test_cell_ends_are_told_by_shape_and_sign():
    whole, turned = (holder_view(w) for w in (pack(2, 1), pack(2, 1).turn("2A")))
    nub, nubs = (
        [b for e in paths(p, look="pl-contact") for b in boxes(e)] for p in (whole, turned)
    )
    assert len(nub) == len(nubs) == 4
    assert nub[:2] == nubs[:2]
    assert nub[2:] != nubs[2:]
    signs = ["".join(e.get("d") for e in paths(p, look="pl-sign")) for p in (whole, turned)]
    assert signs[0] != signs[1]
    # The empty place of a cell is dashed.
    assert len(boxes(paths(holder_view(pack(2, 1).take_out("1A")), look="pl-guide")[0])) == 1


# --- both -------------------------------------------------------------------------------


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", MANY)
def test_nothing_overlaps_and_the_sentence_has_the_numbers(name, view):
    wiring = MANY[name]()
    for more in ({}, marks(wiring, len(name))):
        picture = VIEWS[view](wiring, **more)
        assert_sound(picture)
        assert_says_its_numbers(picture)
        assert not re.search(r"nan|inf|\de", " ".join(e.get("d", "") for e in elements(picture)))


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("strings", [False, True])
@pytest.mark.parametrize(("series", "parallel"), [s for s in SIZES if s not in USUAL] + [(24, 4)])
def test_large_packs_are_small_but_clear(series, parallel, strings, view):
    wiring = pack(series, parallel, strings)
    more = {"strings": strings} if view == "holder" else {}
    picture = VIEWS[view](wiring, red="1A+", black="2B-", reading="1.30 V", load_ohm=8, **more)
    assert_sound(picture)
    assert_says_its_numbers(picture)


@pytest.mark.parametrize("view", VIEWS)
def test_an_image_with_one_sentence_for_those_who_hear_it(view):
    picture = VIEWS[view](pack(3, 2), red="1A+", black="1A-", reading=1.36, chosen="2A")
    root, inner = elements(picture)[:2]
    assert root.get("role") == "img"
    assert root.get("aria-label") == picture.sentence
    assert inner.get("aria-hidden") == "true"
    assert not any(e.get("id") for e in elements(picture))
    known = set(re.findall(r"\.(pl-[a-z-]+)", pictures.style_sheet()))
    used = {c for e in elements(picture) for c in e.get("class", "").split()}
    assert used - known == set()


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("content", [HOSTILE, WIDEST, ""])
def test_any_text_stays_text_and_stays_inside(content, view):
    wiring = pack(6, 1)
    picture = VIEWS[view](wiring, reading=content, name=content, red="1A+", black="3A+")
    assert "<script" not in picture.svg
    assert "\x00" not in picture.svg + picture.sentence
    assert_sound(picture)
    assert size(picture) == size(VIEWS[view](wiring))


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize(("series", "parallel"), USUAL)
@pytest.mark.parametrize("strings", [False, True])
def test_the_name_is_told_only_where_it_is_given(series, parallel, strings, view):
    wiring = pack(series, parallel, strings)
    picture = VIEWS[view](wiring)
    name = f"{series}S{parallel}P"
    shown = picture.sentence + " ".join(e.text or "" for e in texts(picture))
    assert not re.search(r"\d+S\d+P|group|string|parallel|series|in line|side by side", shown)
    told = VIEWS[view](wiring, name=name)
    assert told.sentence.startswith(f"It is marked {name}. ")
    assert name in [e.text for e in texts(told)]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", FAULTS)
def test_faults_are_not_told(name, view):
    wiring = FAULTS[name]()
    said = VIEWS[view](wiring).sentence
    for fault in wiring.faults:
        assert fault not in said
    assert not re.search(r"short circuit|missing|wrong|swapped|too many", said)


def test_the_sentence_tells_joints_turned_cells_leads_and_meter():
    wiring = pack(3, 2).turn("2B").take_out("3B").link("1A-", "2A-", ohm=0.5)
    said = holder_view(
        wiring, red="2A+", black="1A-", reading="2.70 V", load_ohm=8, chosen=("1A+", "2A-")
    ).sentence
    for sentence in (
        "Cells in a holder: 1A, 1B, 2A, 2B and 3A.",
        "Turned, with the minus end at the contact marked plus: 2B.",
        "Empty places: 3B.",
        "Joined: 1A\u2212 and 1B\u2212.",
        "Joined: 1A+, 1B+, 2A\u2212 and 2B\u2212.",
        "A link of 0.5 ohm joins 1A\u2212 and 2A\u2212.",
        "The black lead is on 1A\u2212.",
        "The red lead is on 3A+.",
        "A load of 8 ohm is between the leads.",
        "The meter's red probe touches 2A+.",
        "The meter's black probe touches 1A\u2212.",
        "The meter reads 2.70 V.",
        "Chosen: 1A+ and 2A\u2212.",
    ):
        assert sentence in said, sentence
    bare = circuit_view(Wiring().place("1A", AA)).sentence
    assert bare == (
        "A circuit diagram of the cells 1A. Nothing is joined. "
        "The black lead touches no contact. The red lead touches no contact."
    )
    assert holder_view(Wiring()).sentence.startswith("A holder without cells.")
    dark = holder_view(wiring, red="2A+").sentence
    assert "The meter's black probe touches nothing." in dark
    assert dark.endswith("The meter shows nothing.")


@pytest.mark.parametrize("view", VIEWS)
def test_every_change_changes_the_picture_and_its_sentence(view):
    wiring = pack(3, 2)
    changed = [
        wiring,
        wiring.turn("2A"),
        wiring.take_out("2A"),
        wiring.part("1A+", "1B+"),
        wiring.link("1A-", "3B+"),
        wiring.link("1A+", "1B+", ohm=0.1),
        wiring.leads("3B+", "1A-"),
        wiring.leads(None, "1A-"),
    ]
    drawn = [VIEWS[view](each) for each in changed]
    more = [{"red": "1A+"}, {"black": "1A+"}, {"reading": "1.3 V"}, {"load_ohm": 8}]
    drawn += [VIEWS[view](wiring, **each) for each in more]
    assert len({picture.sentence for picture in drawn}) == len(drawn)
    # Two joined contacts of one joint are one and the same point of a circuit.
    alike = 1 if view == "circuit" else 0
    inside = {picture.svg.partition(">")[2] for picture in drawn}
    assert len(inside) == len(drawn) - alike


def test_an_ammeter_takes_the_place_of_the_link_between_its_probes():
    wiring = pack(3, 1)
    measured = {"red": "1A+", "black": "2A-", "reading": "0.62 A"}
    holder, circuit = holder_view(wiring, **measured), circuit_view(wiring, **measured)
    assert [e.get("data-link") for e in paths(holder, "link")] == ["2A+ 3A-"]
    parts, _ = drawn_joints(circuit)
    assert parts["1A+"] != parts["2A-"]
    assert "A" in [e.text for e in texts(circuit)]
    for picture in (holder, circuit):
        assert "takes the place of the link between 1A+ and 2A\u2212" in picture.sentence
    volts = circuit_view(wiring, **measured | {"reading": "0.00 V"})
    parts, _ = drawn_joints(volts)
    assert parts["1A+"] == parts["2A-"]
    assert "V" in [e.text for e in texts(volts)]
    dark = circuit_view(wiring, red="1A+", black="2A-", kind="A")
    assert "A" in [e.text for e in texts(dark)]


@pytest.mark.parametrize("seed", range(20))
def test_probes_touch_their_contacts(seed):
    wiring = anything(seed)
    more = marks(wiring, seed)
    holder, circuit = holder_view(wiring, **more), circuit_view(wiring, **more)
    for side in ("red", "black"):
        wires = [
            [e for e in paths(p, "probe") if e.get("data-probe") == side] for p in (holder, circuit)
        ]
        if more[side] is None:
            assert wires == [[], []]
            continue
        assert touches(lines(wires[0][0])[0][0], pads(holder)[more[side]])
        (stub,) = (e for e in paths(circuit, "contact") if e.get("data-contact") == more[side])
        assert any(on(lines(wires[1][0])[-1][1], piece) for piece in lines(stub))
    # Red and black are told by word and by shape.
    for picture in (holder, circuit):
        assert {"red", "black"} <= {e.text for e in texts(picture)}


def test_what_is_chosen_has_a_frame():
    for view in VIEWS.values():
        assert paths(view(pack(3, 1)), look="pl-tick") == []
        for chosen, count in (("2A", 1), ("2A+", 1), (("1A-", "2A+"), 2), ("9Z", 0)):
            frames = paths(view(pack(3, 1), chosen=chosen), look="pl-tick")
            assert sum(len(boxes(e)) for e in frames) == count


def test_the_benchmark_draws_every_wiring():
    job = "from tests.bench import pictures_of_wiring; pictures_of_wiring.main(runs=1)"
    command = [sys.executable, "-c", job]
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120)
    assert ran.returncode == 0, ran.stderr
    told = ran.stdout.splitlines()
    assert told[0].startswith("Pictures of a wiring")
    rows = [re.findall(r"\d+\.\d\d", line) for line in told[2:]]
    assert len(rows) == 6
    assert all(len(row) == 2 and all(float(each) > 0 for each in row) for row in rows)
