"""Cells of one kind that do not hold the same charge, in line or side by side."""

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.pictures.symbols import Lie, cells, name_room, terminal
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH = 720
MOST_CELLS = 6
_THICK = 36
_LEFT, _RIGHT, _LINE_Y, _LINE_HIGH, _HEAD, _FOOT = 60, 660, 60, 138, 36, 34


def unlike(capacities_ah, cell_title, *, side_by_side=False, told_ah=None, first=None):
    """Picture of unlike cells with the charge each holds written on it.

    Args:
        capacities_ah: capacity of each cell [Ah], above 0; 1 to 6, from the minus end.
        cell_title: what they are.
        side_by_side: True for cells side by side, else they are in line.
        told_ah: capacity of the whole [Ah], or None where it is not told yet.
        first: number from 1 of the cell that is empty first, or None.

    Returns:
        ``Picture``, 720 wide; 138 high in line, and 150 to 230 side by side, as the cells need.

    Raises:
        BadValue: no or too many cells, or a capacity not above 0.
    """
    held = d.check_length("capacities_ah", capacities_ah, MOST_CELLS)
    d.check_count("capacities_ah", len(held), MOST_CELLS)
    held = [p.check_positive("capacities_ah", value) for value in held]
    if first is not None and first not in range(1, len(held) + 1):
        raise BadValue("curve_pictures.unlike.first", value=str(first)[:40], limit=len(held))
    title = d.clean(cell_title)
    draw = _side_by_side if side_by_side else _in_line
    parts = [
        p.heading(d.clip(title[:1].upper() + title[1:], WIDTH - 40, 15, True)),
        *draw(held, first),
    ]
    words = None if told_ah is None else _told_words(told_ah)
    height = _HEAD + len(held) * _row(held) + _FOOT if side_by_side else _LINE_HIGH
    parts.append(d.text(WIDTH / 2, height - 14, words or "", "charge strong", 15, "middle"))
    sentence = _sentence(title, held, side_by_side, words, first)
    return d.picture(WIDTH, round(height), parts, sentence)


def _row(held):
    """Height of a row of cells side by side [px]."""
    return min(40.0, 160 / len(held))


def _told_words(told_ah):
    return say("curve_pictures.unlike.whole", charge=write(told_ah, "Ah"))


def _in_line(held, first):
    """Cells from left to right, plus end to minus end."""
    length = min(130.0, (_RIGHT - _LEFT) / len(held) - 12)
    left = WIDTH / 2 - (length + 12) * len(held) / 2
    lies = [
        Lie(left + (length + 12) * (i + 0.5), _LINE_Y, length, _THICK) for i in range(len(held))
    ]
    ends = left - 26, WIDTH - left + 26
    strips = d.line(ends[0], _LINE_Y, ends[1], _LINE_Y)
    parts = [d.shape(strips, "strip"), cells(lies)]
    parts += [terminal(ends[0], _LINE_Y, "-"), terminal(ends[1], _LINE_Y, "+")]
    return (
        parts
        + [_charge(lie, value) for lie, value in zip(lies, held, strict=True)]
        + _first([(lie.x, _LINE_Y + _THICK / 2) for lie in lies], first, below=True)
    )


def _side_by_side(held, first):
    """Cells one below the other, joined at both ends."""
    row = _row(held)
    middle = _HEAD + len(held) * row / 2
    ys = [middle + (i - (len(held) - 1) / 2) * row for i in range(len(held))]
    lies = [Lie(WIDTH / 2, y, 150, min(34, row - 4)) for y in ys]
    x1, x2 = WIDTH / 2 - 130, WIDTH / 2 + 130
    wires = "".join(d.line(x1, y, x2, y) for y in ys)
    wires += d.line(x1, ys[0], x1, ys[-1]) + d.line(x2, ys[0], x2, ys[-1])
    wires += d.line(x1 - 50, middle, x1, middle) + d.line(x2, middle, x2 + 50, middle)
    parts = [d.shape(wires, "wire"), cells(lies)]
    parts += [terminal(x1 - 50, middle, "-"), terminal(x2 + 50, middle, "+")]
    spots = [(x2 + 8, y) for y in ys]
    return (
        parts
        + [_charge(lie, value) for lie, value in zip(lies, held, strict=True)]
        + _first(spots, first, below=False)
    )


def _charge(lie, value):
    words = write(value, "Ah")
    if d.text_width(words, 13, True) <= name_room(lie.length, lie.thickness):
        return d.text(lie.x, lie.y + 4.5, words, "on-cell strong", 13, "middle")
    return d.text(lie.x, lie.y - lie.thickness / 2 - 7, words, "strong", 13, "middle")


def _first(spots, first, below):
    """Words at the cell that is empty first."""
    if first is None:
        return []
    x, y = spots[first - 1]
    words = word("curve_pictures.unlike.first_label")
    if below:
        half = d.text_width(words, 13, True) / 2
        middle = min(max(x, 12 + half), WIDTH - 12 - half)
        leader = d.shape(d.line(x, y + 3, x, y + 14), "hair")
        return [leader, d.text(middle, y + 28, words, "strong", 13, "middle")]
    return [d.text(x + 66, y - 4, words, "strong", 13)]


def _sentence(title, held, side_by_side, words, first):
    key = "side" if side_by_side else "line"
    listed = d.series_of(write(value, "Ah") for value in held)
    told = [say(f"curve_pictures.unlike.{key}", title=title, count=len(held), charges=listed)]
    told.append(f"{words}." if words else word("curve_pictures.unlike.open"))
    if first is not None:
        told.append(say("curve_pictures.unlike.first_told", number=first))
    return d.sentences(*told)
