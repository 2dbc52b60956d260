"""Ways for wires around rows of cells: along channels between the rows, down the gaps.

A wire leaves a contact into the channel above or below its row. Wires that share a channel lie
in lanes of their own; one that must pass a row takes a gap between two cells or goes round the
outside. So wires cross, but never lie on one another. Where they cross, the level one passes over
the upright one, which is broken there, so that nobody takes a crossing for a joint.
"""

from dataclasses import dataclass
from itertools import pairwise

from packlearn.pictures import drawing as d

_PORT, _LANE, _BOXED, _OUTER, _GAP = 6, 7, 16, 6, 5
_THINNEST = 3
# A wire behind a strip could be taken for one that is joined to it.
_BEHIND_STRIP = 60
# Half the length of the bridge where one wire passes over another, and its room at a corner [px].
_BRIDGE, _CORNER = 4, 1.5


@dataclass(frozen=True)
class End:
    """Where a wire begins or ends.

    Args:
        channel: number of the channel it leaves into, 0 above the first row.
        column: column of the contact; None for something that stands below all rows.
        x, y: where it begins [px].
    """

    channel: int
    column: int | None
    x: float
    y: float


@dataclass(frozen=True)
class Wire:
    """A wire from one end to another.

    Args:
        ends: its two ``End``s.
        box: width of a box in the middle of it [px], 0 for none.
    """

    ends: tuple[End, End]
    box: float = 0


@dataclass(frozen=True)
class Way:
    """How a wire goes.

    Args:
        points: its corners [px].
        box: middle, width and height of the box in it [px]; None for none.
    """

    points: tuple
    box: tuple | None = None


class Lanes:
    """Ways of wires, found together.

    Args:
        wires: ``Wire``s.
        channels: upper and lower edge of each channel [px].
        gaps: places of the gaps between columns, the outer ones first and last [px].
        port_room: width of a contact [px].
        gap_room: width of an inner gap [px].
        outer_room: width at the left and right side [px].
        struck: pairs of row and gap where a strip lies across.
    """

    def __init__(self, wires, channels, gaps, port_room, gap_room, outer_room, struck=()):
        self.wires, self.channels, self.gaps = wires, channels, gaps
        self.port_room, self.outer_room, self.struck = port_room, outer_room, set(struck)
        self.gap_lanes = max(0, int((gap_room + 1) // _GAP))
        self.taken, self.room = [[] for _ in gaps], {}

    def ways(self):
        """A ``Way`` for each wire."""
        gap_of = [self._gap(number) for number in range(len(self.wires))]
        down_x = self._gap_places()
        port_x = self._ports(gap_of)
        self._step_aside(port_x, down_x)
        runs = []
        for number, wire in enumerate(self.wires):
            (a, b), (xa, xb) = wire.ends, port_x[number]
            if a.channel == b.channel:
                runs.append((a.channel, xa, xb, number, wire.box))
            else:
                runs.append((a.channel, xa, down_x[number], number, wire.box))
                runs.append((b.channel, down_x[number], xb, number, 0))
        lane_y = self._lane_places(runs)
        return [self._way(number, port_x[number], down_x, lane_y) for number in range(len(gap_of))]

    # Gaps.

    def _gap(self, number):
        """Number of the gap that a wire takes; None where it stays in one channel."""
        a, b = self.wires[number].ends
        if a.channel == b.channel:
            return None
        rows = range(min(a.channel, b.channel), max(a.channel, b.channel))
        last = len(self.gaps) - 1
        best, least = 0, None
        for gap, x in enumerate(self.gaps):
            inner = 0 < gap < last
            if inner and len(self.taken[gap]) >= self.gap_lanes:
                continue
            cost = abs(x - a.x) + abs(x - b.x)
            cost += sum(_BEHIND_STRIP for row in rows if (row, gap) in self.struck)
            cost += 0 if inner else len(self.taken[gap])
            if least is None or cost < least:
                best, least = gap, cost
        self.taken[best].append(number)
        return best

    def _gap_places(self):
        """Where each wire passes its rows [px]."""
        places, last = {}, len(self.gaps) - 1
        for gap, numbers in enumerate(self.taken):
            step = min(_OUTER, (self.outer_room - 4) / max(1, len(numbers)))
            for at, number in enumerate(numbers):
                if 0 < gap < last:
                    off = (at - (len(numbers) - 1) / 2) * _GAP
                else:
                    off = (-1 if gap == 0 else 1) * step * (at + 0.5)
                places[number] = self.gaps[gap] + off
        return places

    # Ports: where wires leave a contact.

    def _ports(self, gap_of):
        """Places where each wire begins and ends [px], none above another of its column."""
        pools, found = {}, [[wire.ends[0].x, wire.ends[1].x] for wire in self.wires]
        for number, wire in enumerate(self.wires):
            for which, end in enumerate(wire.ends):
                if end.column is None:
                    continue
                gap, other = gap_of[number], wire.ends[1 - which]
                to = other.x if gap is None else self.gaps[gap]
                pool = pools.setdefault((end.channel, end.column), {})
                # A wire straight down from contact to contact has one place for both ends.
                pool.setdefault(number, []).append((to, which, end.x))
        for pool in pools.values():
            order = sorted(pool, key=lambda number: pool[number][0][0])
            step = min(_PORT, (self.port_room - 4) / max(1, len(order) - 1))
            for at, number in enumerate(order):
                for _, which, x in pool[number]:
                    found[number][which] = x + (at - (len(order) - 1) / 2) * step
        return found

    def _step_aside(self, port_x, down_x):
        """Move what comes from below the rows where it would lie on another upright piece."""
        last = len(self.channels) - 1
        busy, below = [], []
        for number, wire in enumerate(self.wires):
            if number in down_x:
                busy.append(down_x[number])
            for which, end in enumerate(wire.ends):
                if end.column is None:
                    below.append((number, which))
                elif end.channel == last:
                    busy.append(port_x[number][which])
        for number, which in below:
            x = port_x[number][which]
            tries = (x + off for off in (0, 2, -2, 4, -4))
            free = (at for at in tries if all(abs(at - other) >= 1.5 for other in busy))
            port_x[number][which] = next(free, x)
            busy.append(port_x[number][which])

    # Lanes.

    def _lane_places(self, runs):
        """Height of each run [px], by wire and channel."""
        lanes = [[] for _ in self.channels]
        for channel, x1, x2, number, box in sorted(runs, key=_length):
            low, high = _span(x1, x2, box)
            for lane in lanes[channel]:
                if all(high + 5 < left or right + 5 < low for left, right, *_ in lane):
                    break
            else:
                lane = []
                lanes[channel].append(lane)
            lane.append((low, high, number, box))
        found = {}
        for channel, (top, bottom) in enumerate(self.channels):
            boxed = [any(run[3] for run in lane) for lane in lanes[channel]]
            heights = _heights(boxed, bottom - top - 2)
            # Clear of the case's edge, as long as there is room.
            y = max(1, min(5, bottom - top - sum(heights)))
            for lane, height in zip(lanes[channel], heights, strict=True):
                at = y + height / 2
                y += height
                for _, _, number, _ in lane:
                    found[number, channel] = bottom - at if channel == 0 else top + at
                    self.room[number] = height
        return found

    def _way(self, number, ports, down_x, lane_y):
        wire = self.wires[number]
        (a, b), (xa, xb) = wire.ends, ports
        ya = lane_y[number, a.channel]
        if a.channel == b.channel:
            middle = [] if xa == xb else [(xa, ya), (xb, ya)]
            over = (xa, xb)
        else:
            x, yb = down_x[number], lane_y[number, b.channel]
            middle = [(xa, ya), (x, ya), (x, yb), (xb, yb)]
            over = (xa, x)
        high = min(_BOXED, self.room[number]) - 2
        box = ((over[0] + over[1]) / 2, ya, wire.box, high) if wire.box else None
        return Way(((xa, a.y), *middle, (xb, b.y)), box)


def _heights(boxed, room):
    """Heights of lanes [px]; those with a box in them shrink last."""
    count, boxes = len(boxed), sum(boxed)
    plain = min(_LANE, (room - boxes * _BOXED) / max(1, count - boxes))
    if plain < _THINNEST:
        shrunk = min(1, room / max(1, boxes * _BOXED + (count - boxes) * _LANE))
        return [shrunk * (_BOXED if has_box else _LANE) for has_box in boxed]
    return [_BOXED if has_box else plain for has_box in boxed]


def _length(run):
    return abs(run[2] - run[1])


def _span(x1, x2, box):
    low, high = min(x1, x2), max(x1, x2)
    if box:
        middle = (low + high) / 2
        low, high = min(low, middle - box / 2), max(high, middle + box / 2)
    return low, high


def outline(way):
    """Outline of a way."""
    return d.polyline(way.points)


def bridges(ways):
    """Where a level piece of one way passes over an upright piece of another.

    Args:
        ways: the ``Way``s.

    Returns:
        For each way the short level pieces of it that pass over others, as pairs of points [px].
    """
    uprights = [
        (number, x, *sorted((y1, y2)))
        for number, way in enumerate(ways)
        for (x, y1), (x2, y2) in pairwise(way.points)
        if x == x2 and y1 != y2
    ]
    return [list(_passed(number, way, uprights)) for number, way in enumerate(ways)]


def _passed(number, way, uprights):
    for (x1, y), (x2, y2) in pairwise(way.points):
        if y != y2:
            continue
        low, high = sorted((x1, x2))
        for other, x, top, bottom in uprights:
            across = low + _CORNER < x < high - _CORNER and top + _CORNER < y < bottom - _CORNER
            if other != number and across:
                yield (max(low, x - _BRIDGE), y), (min(high, x + _BRIDGE), y)
