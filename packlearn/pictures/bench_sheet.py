"""The sheet of a circuit diagram: where columns, rows, channels and tracks lie."""

from dataclasses import dataclass
from functools import cached_property

from packlearn.pictures.bench_placing import Placing
from packlearn.pictures.bench_tracks import SHIFT

SIDE, TOP, BOTTOM = 46, 64, 40
# Letters, and how far names begin from the middle of a cell: beside it, over or under it.
SIZE, BESIDE, ASIDE = 11, 6, 6
_PROBE, _LANE, _TRACK, _EDGE, _HIGHEST = 8, 9, 8, 5, 58
# Rows that lie closer [px] leave no room for names or labels.
_LOWEST = {"names": 14, "stacked": 41, "label": 27}


@dataclass(frozen=True)
class Sheet:
    """Where columns, rows, channels and tracks lie.

    Args:
        width, height: of the picture [px].
        placed: the ``Placing``.
        channels: the ``Channel``s between its columns.
        tracks: how many tracks lie below all rows.
        longest: width of the longest name of a contact [px].
        margins: room at the side, above and below the rows [px].
        apart: room beside names over and under a cell [px].
    """

    width: int
    height: int
    placed: Placing
    channels: list
    tracks: int
    longest: float
    margins: tuple = (SIDE, TOP, BOTTOM)
    apart: float = 3

    @property
    def _rows_room(self):
        return self.height - self.margins[1] - self.margins[2]

    @cached_property
    def pitch(self):
        """From row to row [px]."""
        room = self._rows_room - self.tracks * self.track
        return min(_HIGHEST, room / self.placed.rows)

    @cached_property
    def track(self):
        """From track to track [px]."""
        return min(_TRACK, 0.4 * self._rows_room / max(1, self.tracks))

    @cached_property
    def mode(self):
        """What is written: "names" of contacts beside or "stacked" over and under the cell,
        its "label", or "" for nothing.
        """
        lanes = 0.7 * sum(self._wish(channel) for channel in self.channels)
        room = (self._room - lanes) / self.placed.columns
        for mode, lowest in _LOWEST.items():
            if self.pitch >= lowest and room >= self._column(mode):
                return mode
        return ""

    def _column(self, mode):
        if mode == "names":
            return 2 * (BESIDE + self.longest + _PROBE)
        if mode == "stacked":
            return self.longest + 2 * (ASIDE + self.apart)
        # A label is a contact's name without its sign.
        return max(2 * (BESIDE + 2), self.longest - 0.84 * SIZE + 2 if mode else 0)

    @staticmethod
    def _wish(channel):
        return 2 * _EDGE + channel.lanes * _LANE

    @cached_property
    def column(self):
        """Width of a column [px]."""
        wide = self._column(self.mode)
        return wide if self.mode else min(wide, 0.6 * self._room / self.placed.columns)

    @property
    def _room(self):
        return self.width - 2 * self.margins[0]

    @cached_property
    def _across(self):
        """Left edge of the first channel, and how much each is stretched [px]."""
        free = self._room - self.placed.columns * self.column
        wished = sum(self._wish(channel) for channel in self.channels)
        # A small circuit is drawn in the middle, not pulled apart.
        most = max(1.8 * wished, 34 * len(self.channels))
        used = min(free, most)
        return self.margins[0] + (free - used) / 2, used / wished

    @cached_property
    def edges(self):
        """Left and right edge of each channel [px]."""
        x, stretch = self._across
        found = []
        for channel in self.channels:
            wide = self._wish(channel) * stretch
            found.append((x, x + wide))
            x += wide + self.column
        return found

    def middle(self, column):
        """Middle of a column [px]."""
        return self.edges[column][1] + self.column / 2

    @cached_property
    def _first_y(self):
        room = self._rows_room - self.tracks * self.track
        return self.margins[1] + room / 2 - (self.placed.rows - 1) * self.pitch / 2

    def y(self, row):
        """Height of a row, or of a place between two [px]."""
        return self._first_y + row * self.pitch

    def track_y(self, number):
        """Height of a track [px]."""
        return self.height - self.margins[2] + 4 - (self.tracks - number) * self.track

    def upright(self, channel, joint):
        """Place of a joint's upright in a channel [px], or None."""
        lane = self.channels[channel].uprights.get(joint)
        if lane is None:
            return None
        left, right = self.edges[channel]
        return left + (right - left) * (lane + 1) / (self.channels[channel].lanes + 1)

    @cached_property
    def half_plate(self):
        """Half the length of a cell's long line [px]."""
        free = {"names": 3, "stacked": 26, "label": 14}.get(self.mode, 2)
        return max(2.5, min(11, (self.pitch - free) / 2))

    def heights(self, channel, joint):
        """Where wires meet a joint's upright: height [px] -> pairs of a row and a side."""
        shifted = self.channels[channel].shifted
        found = {}
        for row, sides in self.channels[channel].rows_of[joint].items():
            for side in sides:
                y = self.y(row + (SHIFT if (row, side) in shifted else 0))
                found.setdefault(y, []).append((row, side))
        return found

    @cached_property
    def points(self):
        """Where each contact is: (x, y, whether it is at the left of its cell) [px]."""
        found = {}
        for each, (column, row) in zip(self.placed.elements, self.placed.places, strict=True):
            if each.ends:
                x, y, half = self.middle(column), self.y(row), self.column / 2
                found[each.ends[0]] = x - half, y, True
                found[each.ends[1]] = x + half, y, False
        return found
