"""The figures' own symbols: cells in four shapes, leads' ends, boxes, arrows, brackets.

The plus end of a cell is told by its shape (a narrow contact) and by a sign, the minus
end by a flat plate and a sign; colour only helps.
"""

import math
from dataclasses import dataclass

from packlearn.pictures import drawing as d

SHAPES = ("round", "coin", "block", "pouch")
TERMINAL_RADIUS = 10
# Below these sizes [px] a sign or a name inside a cell would be a blot.
SMALLEST_SIGNED = (22, 11)
SMALLEST_NAMED = 14


@dataclass(frozen=True)
class Lie:
    """Where a cell lies: its middle, its size and where its plus end points.

    Args:
        x: middle [px].
        y: middle [px].
        length: from end to end [px].
        thickness: across [px].
        toward: ``"right"``, ``"up"`` or ``"down"``.
    """

    x: float
    y: float
    length: float
    thickness: float
    toward: str = "right"

    def point(self, along, across):
        """Point on the page: ``along`` from the middle to the plus end, ``across`` it."""
        if self.toward == "right":
            return self.x + along, self.y + across
        return self.x + across, self.y + (along if self.toward == "down" else -along)

    def box(self, start, end, thick, radius=0):
        """Outline of a box from ``start`` to ``end`` along the cell, ``thick`` across."""
        (x1, y1), (x2, y2) = self.point(start, -thick / 2), self.point(end, thick / 2)
        left, top = min(x1, x2), min(y1, y2)
        return d.box(left, top, abs(x2 - x1), abs(y2 - y1), radius)


def _round(lie, nub):
    """Can with a nub at the plus end and a flat plate at the minus end."""
    half, thick = lie.length / 2, lie.thickness
    body = lie.box(-half + 2, half - nub, thick, min(4, thick / 4))
    contacts = lie.box(half - nub, half, thick * 0.42) + lie.box(-half, -half + 2, thick * 0.72)
    return body, contacts, ""


def _coin(lie, nub):
    """Side view of a flat can: the wide can is the plus end, the narrow cap the minus end."""
    end, flat, thick = lie.length / 2, _coin_half(lie), lie.thickness
    outline = [(-flat, 0.36), (-flat * 0.2, 0.36), (-flat * 0.2, 0.5), (flat, 0.5)]
    points = [lie.point(u, v * thick) for u, v in outline]
    points += [lie.point(u, -v * thick) for u, v in reversed(outline)]
    # In a small drawing the strips reach a coin themselves.
    far = lie.length > 90
    contacts = lie.box(flat, end, 2) + lie.box(-end, -flat, 2) if far else ""
    return d.polyline(points) + "z", contacts, ""


def _coin_half(lie):
    """Half of a coin's flatness [px]."""
    return min(lie.length * 0.3, max(5, lie.thickness * 0.2))


def _block(lie, nub):
    """Case with several cells in it: square corners, a narrow plus and a wide minus stud."""
    half, thick = lie.length / 2, lie.thickness
    body = lie.box(-half + nub, half - nub, thick)
    contacts = lie.box(half - nub, half, thick * 0.3) + lie.box(-half, -half + nub, thick * 0.56)
    u = half - nub - 2.5
    details = "".join(
        d.line(*lie.point(s * u, -thick / 2), *lie.point(s * u, thick / 2)) for s in (-1, 1)
    )
    return body, contacts, details if lie.length > 100 else ""


def _pouch(lie, nub):
    """Flat bag with a welded seam; both tabs thin, the plus tab the narrower one."""
    half, thick = lie.length / 2, lie.thickness
    inset = min(2.5, thick / 6)
    body = lie.box(-half + nub, half - nub, thick, min(5, thick / 3))
    contacts = lie.box(half - nub, half, thick * 0.22) + lie.box(-half, -half + nub, thick * 0.5)
    details = lie.box(-half + nub + inset, half - nub - inset, thick - 2 * inset, min(3, thick / 4))
    return body, contacts, details if thick > 12 else ""


_DRAW = {"round": _round, "coin": _coin, "block": _block, "pouch": _pouch}


def plus_sign(x, y, size):
    """Outline of a plus sign, ``size`` from its middle to its tips."""
    return d.line(x - size, y, x + size, y) + d.line(x, y - size, x, y + size)


def minus_sign(x, y, size):
    """Outline of a minus sign, ``size`` from its middle to its tips."""
    return d.line(x - size, y, x + size, y)


def _signs(lie, nub, kind):
    if lie.length < SMALLEST_SIGNED[0] or lie.thickness < SMALLEST_SIGNED[1]:
        return ""
    size = max(2.5, min(9, lie.thickness / 8, lie.length / 14))
    if kind == "coin":
        # A coin is too flat to carry them: they stand before and behind it, beside its middle.
        along, across = _coin_half(lie) + size + 4, -size - 4
        return minus_sign(*lie.point(-along, across), size) + plus_sign(
            *lie.point(along, across), size
        )
    inset = size + (3 if kind == "block" and lie.length <= 100 else max(3.5, nub))
    flat = nub if kind in ("block", "pouch") else 1
    minus = lie.point(-lie.length / 2 + flat + inset, 0)
    plus = lie.point(lie.length / 2 - nub - inset + 1, 0)
    return minus_sign(*minus, size) + plus_sign(*plus, size)


def cells(lies, kind="round"):
    """SVG of many cells of one shape.

    Args:
        lies: a ``Lie`` for each cell.
        kind: one of ``SHAPES``.
    """
    bodies, contacts, details, signs = [], [], [], []
    for lie in lies:
        nub = max(2, min(12, lie.length * 0.07))
        body, contact, detail = _DRAW[kind](lie, nub)
        bodies.append(body)
        contacts.append(contact)
        details.append(detail)
        signs.append(_signs(lie, nub, kind))
    layers = [(contacts, "contact"), (bodies, "cell"), (details, "seam"), (signs, "sign")]
    return "".join(d.shape("".join(outline), look) for outline, look in layers)


def name_room(length, thickness):
    """Width [px] free for a name between the signs of a cell, 0 where none can stand."""
    if thickness < SMALLEST_NAMED or length < SMALLEST_SIGNED[0]:
        return 0
    size = max(2.5, min(9, thickness / 8, length / 14))
    return length - 2 * (2 * size + max(3.5, 0.07 * length)) - 0.14 * length - 4


def terminal(x, y, sign):
    """End of a lead: a ring with its sign, ``"+"`` or ``"-"``."""
    draw = plus_sign if sign == "+" else minus_sign
    return d.shape(d.ring(x, y, TERMINAL_RADIUS), "terminal") + d.shape(draw(x, y, 4.5), "sign")


def bracket_over(x1, x2, y):
    """Outline of a bracket above something, its hooks 6 px down."""
    return d.polyline([(x1, y + 6), (x1, y), (x2, y), (x2, y + 6)])


def bracket_left(x, y1, y2):
    """Outline of a bracket at the left of something, its hooks 6 px to the right."""
    return d.polyline([(x + 6, y1), (x, y1), (x, y2), (x + 6, y2)])


def arrow_head(x, y, angle=0.0, size=8):
    """Outline of an arrow head with its tip at a point.

    Args:
        x: tip [px].
        y: tip [px].
        angle: direction it points to [degrees], 0 right, 90 down.
        size: its length [px].
    """
    points = [(x, y)]
    for side in (150, -150):
        turn = math.radians(angle + side)
        points.append((x + size * math.cos(turn), y + size * math.sin(turn)))
    return d.polyline(points) + "z"


def span_arrow(x1, x2, y):
    """SVG of a dimension line with heads at both ends."""
    heads = arrow_head(x1, y, 180, 6) + arrow_head(x2, y, 0, 6)
    return d.shape(d.line(x1, y, x2, y), "hair") + d.shape(heads, "head")


def named_box(x, y, width, height, name, look="box"):
    """SVG of a device: a box with its name in the middle."""
    shown = d.clip(name, width - 10, 13)
    label = d.text(x + width / 2, y + height / 2 + 4.5, shown, "", 13, "middle")
    return d.shape(d.box(x + 0.5, y + 0.5, width, height, 6), look) + label


def fit_sign(x, y, fits):
    """SVG of a verdict's sign: a tick in a ring, or a bar across an open diamond."""
    if fits:
        tick = d.polyline([(x - 4, y), (x - 1, y + 3.5), (x + 4.5, y - 4)])
        return d.shape(d.ring(x, y, 8), "yes-ring") + d.shape(tick, "yes-tick")
    diamond = d.polyline([(x, y - 8), (x + 8, y), (x, y + 8), (x - 8, y)]) + "z"
    return d.shape(diamond, "no-ring") + d.shape(d.line(x - 3.5, y, x + 3.5, y), "no-bar")
