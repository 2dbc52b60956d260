"""Wires of a circuit diagram: straight on where they can, else upright between two columns.

Between two columns lies a channel. A joint has one upright there, and a stub to every end it
joins. A joint that reaches several channels runs along a free row, or along a track below all
rows. Uprights keep clear of one another, so what touches is joined and what crosses is not.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from functools import cached_property


@dataclass(frozen=True)
class Stub:
    """An end that a joint reaches in a channel.

    Args:
        joint: number of the joint.
        row: row, or a place between two rows.
        side: "L" for an end at the left of the channel, "R" at the right.
        fixed: whether it stays in its row: what runs along a free row, and leads.
    """

    joint: int
    row: float
    side: str
    fixed: bool = False


@dataclass
class Channel:
    """What lies between two columns.

    Args:
        stubs: ``Stub``s.
        tracks: joints whose uprights go down to the track below.
        uprights: joint -> number of its lane.
        lanes: how many lanes there are.
        shifted: ends, as pairs of a row and a side, whose wires leave their row.
    """

    stubs: list = field(default_factory=list)
    tracks: set = field(default_factory=set)
    uprights: dict = field(default_factory=dict)
    lanes: int = 0
    shifted: set = field(default_factory=set)

    @cached_property
    def rows_of(self):
        """Rows that each joint reaches, with sides, once all stubs are there."""
        found = defaultdict(lambda: defaultdict(set))
        for stub in self.stubs:
            found[stub.joint][stub.row].add(stub.side)
        return found


# How far a wire leaves its row where two uprights would have to lie left of each other.
SHIFT = 0.3
_APART = 0.15


def route(stubs, taken, columns, rows):
    """Wires between all ends.

    Args:
        stubs: pairs of a channel and a ``Stub``.
        taken: pairs of column and row where something lies.
        columns, rows: how many there are.

    Returns:
        the ``Channel``s; runs along free rows, as (joint, row, first channel, last channel); and
        tracks below all rows, as (joint, first channel, last channel, number of the track).
    """
    channels = [Channel() for _ in range(columns + 1)]
    reach = defaultdict(set)
    for channel, stub in stubs:
        channels[channel].stubs.append(stub)
        reach[stub.joint].add(channel)
    used = set(taken)
    runs, spans = [], []
    for joint, reached in reach.items():
        if len(reached) > 1:
            _spread(joint, sorted(reached), channels, used, rows, runs, spans)
    tracks = _tracks(spans)
    for channel in channels:
        _uprights(channel, rows)
    return channels, runs, tracks


def _spread(joint, reached, channels, used, rows, runs, spans):
    """Join the channels that a joint reaches, along free rows or below all rows."""
    low = []
    for first, last in zip(reached, reached[1:], strict=False):
        row = _free_row(joint, first, last, channels, used, rows)
        if row is None:
            low.append((first, last))
            continue
        used.update((column, row) for column in range(first, last))
        channels[first].stubs.append(Stub(joint, row, "R", True))
        channels[last].stubs.append(Stub(joint, row, "L", True))
        runs.append((joint, row, first, last))
    for first, last in low:
        if spans and spans[-1][0] == joint and spans[-1][2] == first:
            spans[-1][2] = last
            spans[-1][3].append(last)
        else:
            spans.append([joint, first, last, [first, last]])
        channels[first].tracks.add(joint)
        channels[last].tracks.add(joint)


def _free_row(joint, first, last, channels, used, rows):
    """A row free between two channels: one that the joint reaches, if there is one."""
    own = {s.row for s in channels[first].stubs if s.joint == joint and s.side == "L"}
    own |= {s.row for s in channels[last].stubs if s.joint == joint and s.side == "R"}
    others = {s.row for s in channels[first].stubs if s.joint != joint and s.side == "L"}
    others |= {s.row for s in channels[last].stubs if s.joint != joint and s.side == "R"}
    free = [
        row
        for row in range(rows)
        if row not in others and all((column, row) not in used for column in range(first, last))
    ]
    return min(free, key=lambda row: (row not in own, row), default=None)


def _tracks(spans):
    """Number of the track of each span: (joint, channels it reaches, number)."""
    ends, found = [], []
    for joint, first, last, reached in sorted(spans, key=lambda span: span[2] - span[1]):
        free = (all(last < a or b < first for a, b in taken) for taken in ends)
        number = next((at for at, is_free in enumerate(free) if is_free), len(ends))
        if number == len(ends):
            ends.append([])
        ends[number].append((first, last))
        found.append((joint, tuple(reached), number))
    return found


def _uprights(channel, rows):
    """Give every joint that needs one an upright, left of those it must not cross."""
    rows_of = channel.rows_of
    upright = {
        joint: (min(reached), rows if joint in channel.tracks else max(reached))
        for joint, reached in rows_of.items()
        if joint in channel.tracks or len(reached) > 1
    }
    after = _order(channel, upright)
    lanes, lane_of = [], channel.uprights
    left = dict(sorted(upright.items(), key=lambda item: item[1]))
    while left:
        ready = [joint for joint in left if not after[joint] & left.keys()]
        if not ready:
            _shift(channel, next(iter(left)), left, after)
            continue
        joint = ready[0]
        low, high = left.pop(joint)
        low, high = low - SHIFT - _APART, high + SHIFT + _APART
        number = max((lane_of[other] + 1 for other in after[joint]), default=0)
        while number < len(lanes) and any(low < b and a < high for a, b in lanes[number]):
            number += 1
        while number >= len(lanes):
            lanes.append([])
        lanes[number].append((low, high))
        lane_of[joint] = number
    channel.lanes = len(lanes)


def _order(channel, upright):
    """Joints that must lie left of each joint: their stubs share a row with its own."""
    left = {s.row: s.joint for s in channel.stubs if s.side == "L"}
    after = {joint: set() for joint in upright}
    for stub in channel.stubs:
        other = left.get(stub.row)
        apart = stub.side == "R" and other in upright and stub.joint in upright
        if apart and other != stub.joint:
            after[stub.joint].add(other)
    return after


def _shift(channel, joint, left, after):
    """Let the ends of a joint leave their rows where others would have to lie left of it."""
    rows = {stub.row: stub for stub in channel.stubs if stub.side == "L"}
    for stub in channel.stubs:
        if stub.joint != joint or stub.side != "R" or stub.row not in rows:
            continue
        other = rows[stub.row]
        if other.joint in left and other.joint != joint:
            moved = other if stub.fixed else stub
            channel.shifted.add((moved.row, moved.side))
    after[joint] -= left.keys()
