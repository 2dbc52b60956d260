"""A wiring as a circuit diagram with the symbols of IEC 60617."""

from collections import Counter
from dataclasses import replace
from string import ascii_uppercase

from packlearn.pictures import drawing as d
from packlearn.pictures.bench_holder import MOST_MIDDLE, tagged, width_for
from packlearn.pictures.bench_meter import probe_tip
from packlearn.pictures.bench_placing import place
from packlearn.pictures.bench_sheet import ASIDE, BESIDE, BOTTOM, SIDE, SIZE, TOP, Sheet
from packlearn.pictures.bench_tracks import Stub, route
from packlearn.pictures.symbols import TERMINAL_RADIUS, terminal
from packlearn.quantities import write
from packlearn.words import word

MOST_USUAL, MOST_LOW = 30, 8
_HEIGHTS = (300, 350, 430)
_END_X, _METER_Y, _METER_R, _BEND_Y = 22, 38, 13, 56
_LARGE_SIDE, _LARGE_APART = 36, 5


def draw(shows, room=None):
    """The drawing.

    Args:
        shows: a ``bench_words.Shown``.
        room: the ``Room`` of a shared screen; None for a page.

    Returns:
        Width and height [px], and the parts of the drawing.
    """
    wiring = shows.wiring
    placed = place(wiring, shows.links)
    stubs = [
        (column + shift, Stub(joint, row, side))
        for each, (column, row) in zip(placed.elements, placed.places, strict=True)
        for joint, shift, side in ((each.left, 0, "R"), (each.right, 1, "L"))
    ]
    leads = _leads(wiring, placed, stubs)
    channels, runs, tracks = route(
        stubs + [lead for lead in leads.values() if lead[1].joint is not None],
        placed.places, placed.columns, placed.rows,
    )  # fmt: skip
    longest = max((d.text_width(f"{label}+", SIZE) for label, _ in wiring.places), default=0)
    below = max((track[2] + 1 for track in tracks), default=0)
    size, margins = _size(shows, room)
    sheet = Sheet(*size, placed, channels, below, longest, margins)
    if room is not None:
        sheet = replace(sheet, apart=_LARGE_APART)
    parts = [
        *_wires(sheet, runs, tracks),
        *_ends(sheet, leads, shows),
        *_elements(sheet),
        *_meter(sheet, shows),
        *_marks(sheet, shows),
    ]
    if shows.name:
        parts.append(d.text(16, 24, d.clip(shows.name, 110, 15, True), "strong", 15))
    return sheet.width, sheet.height, parts


def _size(shows, room):
    """Width and height [px], and the room at the side, above and below the rows [px]."""
    if room is None:
        count = len(shows.wiring.places)
        return (width_for(count), _height(shows.wiring)), (SIDE, TOP, BOTTOM)
    above = TOP if shows.has_meter else 26 if shows.name else 6
    return room.units(SIZE), (_LARGE_SIDE, above, BOTTOM if shows.load_ohm is not None else 6)


def _height(wiring):
    """By the cells alone, so that nothing moves while links are made [px]."""
    count = len(wiring.places)
    beside = max(
        Counter(label.rstrip(ascii_uppercase) for label, _ in wiring.places).values(), default=0
    )
    if count <= MOST_MIDDLE and beside <= MOST_LOW:
        return _HEIGHTS[0]
    return _HEIGHTS[1 if count <= MOST_USUAL else 2]


def _leads(wiring, placed, stubs):
    """Channel and ``Stub`` of each lead, by colour; its joint is None where it hangs free."""
    found = {}
    for side, channel, mark in (("black", 0, "L"), ("red", placed.columns, "R")):
        joint = placed.joint_of.get(getattr(wiring, side))
        rows = [stub.row for where, stub in stubs if where == channel and stub.joint == joint]
        others = {stub.row for where, stub in stubs if where == channel and stub.joint != joint}
        row = rows[0] if len(rows) == 1 else (placed.rows - 1) / 2
        if row in others:
            row += 0.5
        found[side] = channel, Stub(joint, row, mark, True)
    return found


# Wires.


def _wires(sheet, runs, tracks):
    """Wires of every joint, with dots where three or more meet."""
    lines, dots = {}, []
    for number, channel in enumerate(sheet.channels):
        for joint, rows in channel.rows_of.items():
            drawn = lines.setdefault(joint, [])
            _in_channel(sheet, number, joint, rows, drawn, dots)
    for joint, row, first, last in runs:
        y, left, right = sheet.y(row), sheet.edges[first][1], sheet.edges[last][0]
        lines[joint].append(d.line(left, y, right, y))
    for joint, reached, number in tracks:
        y = sheet.track_y(number)
        places = sorted(sheet.upright(channel, joint) for channel in reached)
        lines[joint].append(d.line(places[0], y, places[-1], y))
        for channel, x in zip(sorted(reached), places, strict=True):
            rows = sheet.heights(channel, joint)
            lines[joint].append(d.line(x, max(rows), x, y))
        dots += [d.ring(x, y, 3) for x in places[1:-1]]
    drawn = [tagged("".join(each), "wire", joint=joint) for joint, each in lines.items() if each]
    return [*drawn, d.shape("".join(dots), "head")]


def _in_channel(sheet, number, joint, rows, drawn, dots):
    """Stubs and upright of a joint in a channel."""
    left, right = sheet.edges[number]
    x = sheet.upright(number, joint)
    if x is None:
        drawn += [
            d.line(left, sheet.y(row), right, sheet.y(row))
            for row, sides in rows.items()
            if len(sides) == 2
        ]
        return
    heights = sheet.heights(number, joint)
    low, high = min(heights), max(heights)
    goes_down = joint in sheet.channels[number].tracks
    if high > low:
        drawn.append(d.line(x, low, x, high))
    for y, ends in heights.items():
        for row, side in ends:
            edge, jog = (left, left + 2.5) if side == "L" else (right, right - 2.5)
            own = sheet.y(row)
            points = (
                [(edge, y), (x, y)] if own == y else [(edge, own), (jog, own), (jog, y), (x, y)]
            )
            drawn.append(d.polyline(points))
        if len(ends) + (y > low) + (y < high or goes_down) > 2:
            dots.append(d.ring(x, y, 3))


def _ends(sheet, leads, shows):
    """The ends of the pack's leads, and a load between them."""
    parts, places = [], {}
    for side, sign in (("black", "-"), ("red", "+")):
        _, stub = leads[side]
        y = sheet.y(stub.row)
        left = side == "black"
        x = _END_X if left else sheet.width - _END_X
        inner = x + (TERMINAL_RADIUS if left else -TERMINAL_RADIUS)
        edge = sheet.edges[0][0] if left else sheet.edges[-1][1]
        if stub.joint is not None:
            wire = d.line(inner, y, edge, y)
            parts.append(tagged(wire, "wire", lead=side, joint=stub.joint))
        parts.append(terminal(x, y, sign))
        places[side] = x, y + TERMINAL_RADIUS
    if shows.load_ohm is not None:
        parts += _load(sheet, places, write(shows.load_ohm, "ohm"))
    return parts


def _load(sheet, places, shown):
    (x1, y1), (x2, y2) = places["black"], places["red"]
    y, middle = sheet.height - 16, sheet.width / 2
    half = max(22, d.text_width(shown, 12) / 2 + 6)
    wire = d.polyline([(x1, y1), (x1, y), (middle - half, y)])
    wire += d.polyline([(middle + half, y), (x2, y), (x2, y2)])
    box = d.shape(d.box(middle - half, y - 9, 2 * half, 18), "box")
    return [
        tagged(wire, "wire", load="ends"),
        box,
        d.text(middle, y + 4.5, shown, "", 12, "middle"),
    ]


# Cells, empty places, links with resistance.


def _elements(sheet):
    parts, long, short, rings, boxes = [], [], [], [], []
    for each, (column, row) in zip(sheet.placed.elements, sheet.placed.places, strict=True):
        x, y, half = sheet.middle(column), sheet.y(row), sheet.column / 2
        if each.kind == "link":
            parts += _resistor(sheet, each, column, x, y, boxes)
            continue
        inner = 3 if each.kind == "cell" else 6
        for end, way in zip(each.ends, (-1, 1), strict=True):
            wire = d.line(x + way * inner, y, x + way * half, y)
            parts.append(tagged(wire, "wire", contact=end))
        if each.kind == "gap":
            rings += [d.ring(x - 6, y, 3), d.ring(x + 6, y, 3)]
        else:
            plus = -3 if each.flipped else 3
            long.append(d.line(x + plus, y - sheet.half_plate, x + plus, y + sheet.half_plate))
            short.append(d.box(x - plus - 2, y - sheet.half_plate / 2, 4, sheet.half_plate))
        parts += _written(sheet, each, x, y)
    parts += [d.shape("".join(long), "wire"), d.shape("".join(short), "head")]
    return [*parts, d.shape("".join(rings), "socket"), d.shape("".join(boxes), "box")]


def _resistor(sheet, each, column, x, y, boxes):
    """A link with resistance, its value above or below where there is room."""
    half, room = sheet.column / 2, sheet.column
    wide, high = min(13, half - 3), min(10, sheet.pitch - 3)
    if not any(channel.lanes for channel in sheet.channels[column : column + 2]):
        # Nothing upright beside it: it may reach over its column.
        wide = 13
        left, right = sheet.edges[column]
        room += (right - left) * (2 if sheet.mode == "label" else 1)
    boxes.append(d.box(x - wide, y - high / 2, 2 * wide, high))
    wide = min(wide, half - 1)
    wires = d.line(x - half, y, x - wide, y) + d.line(x + wide, y, x + half, y)
    parts = [tagged(wires, "wire", resistor=f"{each.left} {each.right}")]
    shown = write(each.ohm, "ohm")
    if d.text_width(shown, SIZE) <= room - 4 and sheet.pitch >= 24:
        base = y - 8 if sheet.mode == "names" else y + 17
        parts.append(d.text(x, base, shown, "", SIZE, "middle"))
    return parts


def _written(sheet, each, x, y):
    """Names of a cell's contacts, or its label."""
    above = y - sheet.half_plate - 3
    if sheet.mode == "label":
        return [d.text(x, above, each.label, "quiet", SIZE, "middle")]
    if sheet.mode == "stacked":
        below = y + sheet.half_plate + 11
        places = ((x - ASIDE, below, "middle"), (x + ASIDE, above, "middle"))
    elif sheet.mode == "names":
        places = ((x - BESIDE, y - 3.5, "end"), (x + BESIDE, y - 3.5, "start"))
    else:
        return []
    return [
        d.text(at, base, _shown(end), "quiet", SIZE, anchor)
        for end, (at, base, anchor) in zip(each.ends, places, strict=True)
    ]


def _shown(contact):
    return contact.replace("-", d.MINUS)


# The meter, and what is chosen.


def _meter(sheet, shows):
    """The meter's circle above all rows, and its leads."""
    if not shows.has_meter:
        return []
    points = sheet.points
    probes = {side: getattr(shows, side) for side in ("red", "black") if getattr(shows, side)}
    places = {}
    for side, contact in probes.items():
        x, y, at_left = points[contact]
        # Clear of the names; two leads that go up at the same edge keep apart.
        off = 2 if sheet.mode in ("names", "stacked") else 0
        off += 5 if any(abs(x - other) < 4 for other, _ in places.values()) else 0
        places[side] = x + (off if at_left else -off), y
    order = sorted(places, key=lambda side: places[side][0])
    if len(order) == 1:
        order = ["red", "black"]
    elif not order:
        order = ["black", "red"]
    xs = [place[0] for place in places.values()] or [sheet.width / 2]
    left = 210 if shows.name else 80
    middle = min(max(sum(xs) / len(xs), left), sheet.width - 80)
    parts = []
    for side, way in zip(order, (-1, 1), strict=True):
        parts += _meter_lead(side, places.get(side), middle, way)
    parts.append(d.shape(d.ring(middle, _METER_Y, _METER_R), "terminal"))
    if shows.kind:
        parts.append(d.text(middle, _METER_Y + 5, shows.kind, "strong", 13, "middle"))
    look = "amp strong" if shows.kind == "A" else "volt strong"
    shown = d.clip(shows.reading, 140, 14, True)
    parts.append(d.text(middle, _METER_Y - _METER_R - 6, shown, look, 14, "middle"))
    return parts


def _meter_lead(side, place, middle, way):
    """One lead of the meter, its colour in words, and its tip."""
    inner, told = middle + way * _METER_R, word(f"bench.pictures.{side}")
    look = "amp-line" if side == "red" else "limit-dash"
    anchor = "end" if way < 0 else "start"
    name = d.text(inner + way * 5, _METER_Y - 5, told, "", 12, anchor)
    if place is None:
        return [d.shape(d.line(inner, _METER_Y, inner + way * 14, _METER_Y), look), name]
    x, y = place
    corners = [(inner, _METER_Y), (x, _METER_Y), (x, y)]
    if (x - inner) * way < 7:
        # Too near to go straight out: down from the circle, or round it.
        start = [(middle + way * 6, _METER_Y + _METER_R - 1)]
        if (x - middle) * way < 0:
            start = [(inner, _METER_Y), (inner + way * 7, _METER_Y)]
        corners = [*start, (start[-1][0], _BEND_Y), (x, _BEND_Y), (x, y)]
    return [tagged(d.polyline(corners), look, probe=side), name, probe_tip(side, x, y, up=True)]


def _marks(sheet, shows):
    """Frames around what is chosen."""
    frames, points = [], sheet.points
    half = sheet.column / 2
    above, below = {
        "names": (max(15, sheet.half_plate + 2), max(4, sheet.half_plate + 2)),
        "stacked": (sheet.half_plate + 15, sheet.half_plate + 15),
        "label": (sheet.half_plate + 15, sheet.half_plate + 3),
    }.get(sheet.mode, (sheet.half_plate + 2, sheet.half_plate + 2))
    for name in shows.chosen:
        if name in points:
            x, y, at_left = points[name]
            middle = x + half if at_left else x - half
            frames.append(_frame(sheet, middle, y, at_left, above, below))
        elif f"{name}+" in points:
            left = min(points[f"{name}-"][0], points[f"{name}+"][0])
            y = points[f"{name}+"][1]
            frames.append(d.box(left, y - above, 2 * half, above + below, 4))
    return [d.shape("".join(frames), "tick")]


def _frame(sheet, middle, y, at_left, above, below):
    """Frame around a contact: its name where that is written, and its wire."""
    half = sheet.column / 2
    if sheet.mode == "stacked":
        wide, off = sheet.longest + 4, -ASIDE if at_left else ASIDE
        top = y + sheet.half_plate if at_left else y - sheet.half_plate - 15
        return d.box(middle + off - wide / 2, top, wide, 15, 4)
    if sheet.mode == "names":
        return d.box(middle - half if at_left else middle + 4, y - above, half - 4, above + 4, 4)
    high = min(14, sheet.pitch)
    return d.box(middle - half if at_left else middle + 4, y - high / 2, half - 4, high, 4)
