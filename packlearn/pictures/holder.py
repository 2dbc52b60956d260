"""A pack as its cells stand in a holder: every second group turned, strips above and below."""

from dataclasses import dataclass

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.symbols import TERMINAL_RADIUS, Lie, cells, terminal

MOST_CELLS = 96
ROOM, MIDDLE, TOP, BOTTOM = 680, 430, 14, 268
_WIDEST, _NARROWEST_IN_ONE_ROW = 44, 22
_STRIP = 7
_CASE_EDGE, _LEAD = 8, 34


@dataclass(frozen=True)
class Group:
    """One group of cells as it stands.

    Args:
        places: middles of its cells [px], in the order of the wiring.
        y: middle of its row [px].
        length: length of a cell [px].
        minus_up: whether the minus ends are at the top.
    """

    places: tuple
    y: float
    length: float
    minus_up: bool

    def side_y(self, up):
        """Where a strip lies at the top or the bottom of the group [px]."""
        return self.y + (-1 if up else 1) * (self.length / 2 + _STRIP / 2)


def draw(series, parallel, shape, volts):
    """Parts of the drawing.

    Args:
        series: groups in line.
        parallel: cells of a group.
        shape: shape of a cell.
        volts: must be None; readings are not drawn here.

    Raises:
        BadValue: too many cells, or readings.
    """
    if volts is not None:
        raise BadValue("pictures.holder_readings", value="readings")
    if series * parallel > MOST_CELLS:
        raise BadValue("pictures.holder_cells", value=series * parallel, limit=MOST_CELLS)
    groups, pitch = _groups(series, parallel)
    thickness = pitch - max(2, min(6, pitch // 5))
    lies = [
        Lie(x, g.y, g.length, thickness, "down" if g.minus_up else "up")
        for g in groups
        for x in g.places
    ]
    parts = [_case(groups, pitch), _leads(groups, pitch), _links(groups, thickness)]
    return [*parts, cells(lies, shape)]


def _groups(series, parallel):
    """The groups in one row, or in two where one would be too tight; and the pitch."""
    rows = 1 if series * parallel * _NARROWEST_IN_ONE_ROW <= ROOM or series == 1 else 2
    first = -(-series // rows)
    pitch = min(_WIDEST, ROOM // (first * parallel))
    left = MIDDLE - first * parallel * pitch // 2
    if rows == 1:
        row = _row(range(series), parallel, pitch, left, 1, (TOP + BOTTOM) / 2, 136, False)
        return row, pitch
    length = 84
    y1, y2 = TOP + 18 + length / 2, BOTTOM - 18 - length / 2
    # The first row must end at its lower side, where the second row begins.
    upper = _row(range(first), parallel, pitch, left, 1, y1, length, first % 2 == 1)
    right = left + first * parallel * pitch
    lower = _row(range(series - first), parallel, pitch, right, -1, y2, length, True)
    return upper + lower, pitch


def _row(numbers, parallel, pitch, start, way, y, length, minus_up):
    groups = []
    for k in numbers:
        steps = range(k * parallel, (k + 1) * parallel)
        places = tuple(start + way * (i + 0.5) * pitch for i in steps)
        groups.append(Group(places, y, length, minus_up ^ (k % 2 == 1)))
    return groups


def _edges(groups, pitch):
    """Left and right side of the holder [px]."""
    places = [x for g in groups for x in g.places]
    return min(places) - pitch / 2 - _CASE_EDGE, max(places) + pitch / 2 + _CASE_EDGE


def _case(groups, pitch):
    """The holder around the cells."""
    left, right = _edges(groups, pitch)
    top = min(g.side_y(True) for g in groups) - 10
    bottom = max(g.side_y(False) for g in groups) + 10
    return d.shape(d.box(left, top, right - left, bottom - top, 10), "case")


def _plate(places, y, thickness):
    """A strip over or under some cells."""
    left, right = min(places) - thickness / 2, max(places) + thickness / 2
    return d.box(left, y - _STRIP / 2, right - left, _STRIP, 2)


def _links(groups, thickness):
    """Strips that join each group to the next, and the two at the ends."""
    first, last = groups[0], groups[-1]
    plates = [_plate(first.places, first.side_y(first.minus_up), thickness)]
    for g, after in zip(groups, groups[1:], strict=False):
        y1, y2 = g.side_y(not g.minus_up), after.side_y(after.minus_up)
        if g.y == after.y:
            plates.append(_plate(g.places + after.places, y1, thickness))
        else:
            right = max(g.places) + thickness / 2
            plates.append(_plate(g.places, y1, thickness) + _plate(after.places, y2, thickness))
            plates.append(d.box(right - _STRIP, y1, _STRIP, y2 - y1))
    plates.append(_plate(last.places, last.side_y(not last.minus_up), thickness))
    return d.shape("".join(plates), "plate")


def _leads(groups, pitch):
    first, last = groups[0], groups[-1]
    y1, y2 = first.side_y(first.minus_up), last.side_y(not last.minus_up)
    left, right = _edges(groups, pitch)
    minus_x, plus_x, back, edge = left - _LEAD, right + _LEAD, -1, max(last.places)
    if first.y != last.y:
        plus_x, back, edge = minus_x, 1, min(last.places)
    wires = d.line(minus_x + TERMINAL_RADIUS, y1, min(first.places), y1)
    wires += d.line(plus_x + back * TERMINAL_RADIUS, y2, edge, y2)
    return d.shape(wires, "wire") + terminal(minus_x, y1, "-") + terminal(plus_x, y2, "+")
