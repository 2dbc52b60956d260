"""Room on a shared screen, and how large letters are there."""

from dataclasses import replace
from typing import NamedTuple

# 24 pt: what the last row of a room can read.
SCREEN_PX = 32
# Of a drawing made for such a room.
LETTERS = 13
_LEFT = 46


class Room(NamedTuple):
    """Room for a picture on a shared screen, whose letters are 32 px (24 pt) there.

    Attributes:
        width, height: room on the smallest screen, of 1366 x 768, in its px.
    """

    width: float
    height: float

    def units(self, letters):
        """Width and height of a drawing whose letters of a size come out as 32 px."""
        return tuple(round(side * letters / SCREEN_PX, 1) for side in self)


def plot_in(room, plot, *, top, below, beside):
    """A plot moved to a shared screen's room, and about how many values its scales show there.

    Args:
        room: the ``Room``; letters are 13 px of the drawing.
        plot: the ``Plot`` with its scales.
        top: room above it [px].
        below: room between its floor and its axis [px].
        beside: room at its right [px].
    """
    width, height = room.units(LETTERS)
    bottom = height - 24
    moved = replace(
        plot, top=top, floor=bottom - below, bottom=bottom, right=width - beside, left=_LEFT,
        width=width, edge=width - 4, letters=LETTERS, name_y=13,
    )  # fmt: skip
    high, wide = moved.floor - top, moved.right - _LEFT
    return moved, (max(2, int(wide // 40)), max(2, int(high // 22)))
