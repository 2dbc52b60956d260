"""A wiring in the holder on a shared screen: letters are large, so cells are short."""

from dataclasses import dataclass
from functools import cached_property

from packlearn.pictures.bench_holder import NAME_SIZE, Frame

_PAD, _STRIP, _TIGHT = 14, 6, 44
# Length of a cell that still holds its signs [px].
_SHORTEST = 24


@dataclass(frozen=True, eq=False)
class LargeFrame(Frame):
    """Frame of a shared screen: it fills a room in which its letters are large.

    Args:
        slots, columns, rows: as of a ``Frame``.
        room: width and height that it fills [px].
        metered: whether there is a meter.
    """

    room: tuple = ()
    metered: bool = False

    @property
    def width(self):
        """Width of the picture [px]."""
        return self.room[0]

    @property
    def height(self):
        """Height of the picture [px]."""
        return max(self.room[1], super().height)

    @property
    def side(self):
        """Room at the left and right [px]."""
        return 24

    @cached_property
    def thickness(self):
        """Thickness of a cell [px]; where many lie beside each other, names fill the contacts."""
        return super().thickness if self.pitch >= _TIGHT else self.pitch - 6

    @property
    def equipment(self):
        """Height of what stands below the holder [px]."""
        return 57 if self.metered else 36

    @cached_property
    def _free(self):
        """Height that is left for cells and channels [px]."""
        return self.room[1] - 2 - self.equipment - 2 * self.rows * (_PAD + _STRIP)

    @property
    def _above(self):
        """Height of the first channel [px]."""
        return 12 if self.metered else min(22, max(12, 0.2 * self._free))

    @cached_property
    def sizes(self):
        """Length of a cell, height of contacts, of strips, of channels [px]."""
        # Most wires lie below: there all that a short cell leaves, up to three full lanes.
        channel = min(24, max(9, 0.27 * self._free))
        length = (self._free - self.rows * channel - self._above) / self.rows
        return min(84, max(_SHORTEST, length)), _PAD, _STRIP, channel

    @cached_property
    def channels(self):
        """Upper and lower edge of the room above each row, and below the last [px]."""
        first, *others = super().channels
        off = first[1] - first[0] - self._above
        return [(first[0], first[1] - off), *((top - off, low - off) for top, low in others)]

    @property
    def edge(self):
        """Room between the strips and the edge of the case [px]."""
        return 3


def large_frame(wiring, strings, room, metered):
    """``LargeFrame`` of a wiring.

    Args:
        wiring: a ``Wiring``.
        strings: one string a row.
        room: the ``Room`` of a shared screen.
        metered: whether there is a meter.
    """
    usual = Frame.of(wiring, strings)
    return LargeFrame(usual.slots, usual.columns, usual.rows, room.units(NAME_SIZE), metered)
