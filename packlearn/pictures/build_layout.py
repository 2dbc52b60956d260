"""A pack's cells as they lie in their holder, small and plain: for a sheet taken to the bench."""

from typing import NamedTuple

from packlearn.holders import layout
from packlearn.pictures import drawing as d
from packlearn.words import say, word

# Thickness of a strip, length of a nub or a terminal, room round all [px].
_STRIP, _NUB, _EDGE = 5, 3, 4


class _Look(NamedTuple):
    """Distance of columns and rows, width and length of a cell or block, its corners [px]."""

    pitch: int
    row: int
    wide: int
    long: int
    round: int
    # Of its signs and its name, from the middle.
    sign: int
    name: int


_CELL, _BLOCK = _Look(30, 56, 24, 40, 3, 12, 0), _Look(56, 82, 50, 66, 0, 24, -8)


def build_layout(series, parallel, *, strings=False, block=""):
    """Cells with their names and ends, and the strips between neighbours.

    Args:
        series: cells in line.
        parallel: cells side by side.
        strings: whether strings are joined at their ends only, one string a row.
        block: what a block says of itself, such as ``"12 V block"``; empty for round cells.

    Returns:
        ``Picture``, 30 px a column and 56 px a row; of blocks 56 px and 82 px.
    """
    look = _BLOCK if block else _CELL
    laid = layout(series, parallel, strings)
    slots = {slot.label: slot for slot in laid.slots}
    across = 1 + max(slot.column for slot in laid.slots)
    down = 1 + max(slot.row for slot in laid.slots)
    wide, tall = across * look.pitch + 2 * _EDGE, down * look.row + 2 * _EDGE
    # One holder for each string.
    holders = down if strings else 1
    deep = (tall - 2) / holders
    cases = "".join(d.box(1, 1 + at * deep, wide - 2, deep - 1, 6) for at in range(holders))
    parts = [d.shape(cases, "case"), _strips(laid, slots, look)]
    parts += [_cell(slot, look, block) for slot in laid.slots]
    # Read as they lie, row after row from the left.
    ordered = sorted(laid.slots, key=lambda slot: (slot.row, slot.column))
    names = ", ".join(
        say(f"buildsheet.circuit.lies.{'up' if slot.plus_up else 'down'}", cell=slot.label)
        for slot in ordered
    )
    return d.picture(wide, tall, parts, say("buildsheet.circuit.lies.all", cells=names))


def _middle(slot, look):
    return _EDGE + (slot.column + 0.5) * look.pitch, _EDGE + (slot.row + 0.5) * look.row


def _cell(slot, look, block):
    """A can with a nub at its plus end, or a box with two terminals; its name and its signs."""
    x, y = _middle(slot, look)
    side = -1 if slot.plus_up else 1
    if block:
        top, long = y - look.long / 2 + _NUB, look.long - 2 * _NUB
        ends = [y - look.long / 2, y + look.long / 2 - _NUB]
    else:
        top, long = y - look.long / 2 + (_NUB if slot.plus_up else 0), look.long - _NUB
        ends = [y + side * look.long / 2 - (_NUB if side > 0 else 0)]
    body = d.box(x - look.wide / 2, top, look.wide, long, look.round)
    nubs = "".join(d.box(x - 4, end, 8, _NUB) for end in ends)
    plus, minus = y + side * (look.sign - 1) + 1, y - side * (look.sign + 1) + 1
    if block:
        plus, minus = y + side * look.sign, y - side * look.sign
    told = [
        d.text(x, plus + 4, word("buildsheet.circuit.plus"), "strong", 12, "middle"),
        d.text(x, minus + 4, d.MINUS, "strong", 12, "middle"),
        d.text(x, y + 4 + (look.name or -side), slot.label, "", 10, "middle"),
    ]
    if block:
        told.append(d.text(x, y + 4 - look.name, block, "quiet", 10, "middle"))
    return "".join([d.shape(body, "cell"), d.shape(nubs, "contact"), *told])


def _strips(laid, slots, look):
    """Bars between neighbours that a strip joins; at the end of a row, down to the next one."""
    bars = ""
    for joint in laid.joints:
        if {"+", "-"} <= {contact[-1] for contact in joint.contacts}:
            for pair in joint.strips:
                (x1, y1), (x2, y2) = (_end(slots, contact, look) for contact in pair)
                bars += d.line(x1, y1, x2, y2)
    return d.shape(bars, "strip")


def _end(slots, contact, look):
    slot = slots[contact[:-1]]
    x, y = _middle(slot, look)
    far = look.long / 2 + _STRIP / 2
    return x, y - far if slot.is_up(contact) else y + far
