"""A pack's cells as they lie in their holder, small and plain: for a sheet taken to the bench."""

from packlearn.holders import layout
from packlearn.pictures import drawing as d
from packlearn.words import say, word

# Distance of columns, width and length of a cell, its nub, thickness of a strip, room round [px].
_PITCH, _WIDE, _LONG, _NUB, _STRIP, _EDGE = 30, 24, 40, 3, 5, 4
_ROW = _LONG + 2 * _STRIP + 6


def build_layout(series, parallel, *, strings=False):
    """Cells with their names and ends, and the strips between neighbours.

    Args:
        series: cells in line.
        parallel: cells side by side.
        strings: whether strings are joined at their ends only, one string a row.

    Returns:
        ``Picture``, 30 px a column and 56 px a row.
    """
    laid = layout(series, parallel, strings)
    slots = {slot.label: slot for slot in laid.slots}
    across = 1 + max(slot.column for slot in laid.slots)
    down = 1 + max(slot.row for slot in laid.slots)
    wide, tall = across * _PITCH + 2 * _EDGE, down * _ROW + 2 * _EDGE
    # One holder for each string.
    holders = down if strings else 1
    deep = (tall - 2) / holders
    cases = "".join(d.box(1, 1 + at * deep, wide - 2, deep - 1, 6) for at in range(holders))
    parts = [d.shape(cases, "case"), _strips(laid, slots)]
    parts += [_cell(slot) for slot in laid.slots]
    # Read as they lie, row after row from the left.
    ordered = sorted(laid.slots, key=lambda slot: (slot.row, slot.column))
    names = ", ".join(
        say(f"buildsheet.circuit.lies.{'up' if slot.plus_up else 'down'}", cell=slot.label)
        for slot in ordered
    )
    return d.picture(wide, tall, parts, say("buildsheet.circuit.lies.all", cells=names))


def _middle(slot):
    return _EDGE + (slot.column + 0.5) * _PITCH, _EDGE + (slot.row + 0.5) * _ROW


def _cell(slot):
    """A can with a nub at its plus end, its name and the signs of its ends."""
    x, y = _middle(slot)
    side = -1 if slot.plus_up else 1
    top = y - _LONG / 2 + (_NUB if slot.plus_up else 0)
    body = d.box(x - _WIDE / 2, top, _WIDE, _LONG - _NUB, 3)
    nub = d.box(x - 4, y + side * _LONG / 2 - (_NUB if side > 0 else 0), 8, _NUB)
    plus, minus = y + side * 11 + 1, y - side * 13 + 1
    return (
        d.shape(body, "cell")
        + d.shape(nub, "contact")
        + d.text(x, plus + 4, word("buildsheet.circuit.plus"), "strong", 12, "middle")
        + d.text(x, minus + 4, d.MINUS, "strong", 12, "middle")
        + d.text(x, y + 4 - side, slot.label, "", 10, "middle")
    )


def _strips(laid, slots):
    """Bars between neighbours that a strip joins; at the end of a row, down to the next one."""
    bars = ""
    for joint in laid.joints:
        if {"+", "-"} <= {contact[-1] for contact in joint.contacts}:
            for pair in joint.strips:
                (x1, y1), (x2, y2) = (_end(slots, contact) for contact in pair)
                bars += d.line(x1, y1, x2, y2)
    return d.shape(bars, "strip")


def _end(slots, contact):
    slot = slots[contact[:-1]]
    x, y = _middle(slot)
    far = _LONG / 2 + _STRIP / 2
    return x, y - far if slot.is_up(contact) else y + far
