"""Two cells side by side at different voltages, and the current that flows between them."""

from typing import NamedTuple

from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.pictures.room import LETTERS
from packlearn.pictures.symbols import Lie, arrow_head, cells, plus_sign
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH, HEIGHT = 800, 280
_TEXT, _THICK = 540, 44
_BOX_HIGH, _BOX_WIDE = 40, 22


class _Sheet(NamedTuple):
    """Where everything lies [px].

    Attributes:
        width, height: of the picture.
        left, right: middles of the two.
        top, bottom: the rails.
        case: upper and lower edge of each one's case.
        box_y, box_high: middle and height of each resistance.
        cell_y, length: middle and length of each cell.
    """

    width: float = WIDTH
    height: float = HEIGHT
    left: float = 180
    right: float = 390
    top: float = 46
    bottom: float = 258
    case: tuple = (66, 252)
    box_y: float = 102
    box_high: float = _BOX_HIGH
    cell_y: float = 192
    length: float = 104


def _large(room):
    """Sheet of a shared screen."""
    width, height = room.units(LETTERS)
    top, bottom = 20, height - 20
    length, case = bottom - top - 68, (top + 10, bottom - 10)
    return _Sheet(
        width, height, 150, 385, top, bottom, case, top + 31, 30, bottom - 16 - length / 2, length
    )


def joined(
    first_v,
    second_v,
    each_ohm,
    current_a=None,
    *,
    names=("A", "B"),
    title="",
    shape="round",
    room=None,
):
    """Picture of two cells or groups joined plus to plus and minus to minus.

    Args:
        first_v, second_v: their open-circuit voltages [V], above 0.
        each_ohm: internal resistance of each [ohm], above 0.
        current_a: current from the first into the second [A], negative the other way; None
            where it is not told yet.
        names: what the two are called.
        title: what they are.
        shape: one of ``symbols.SHAPES``.
        room: the ``Room`` of a shared screen, which it fills; None for a page. Title
            and working are left to the sentence there.

    Returns:
        ``Picture``, 800 x 280 without ``room``.

    Raises:
        BadValue: a voltage or resistance that is not above 0.
    """
    volts = [p.check_positive("volts", v) for v in (first_v, second_v)]
    each_ohm = p.check_positive("each_ohm", each_ohm)
    names, title = [d.clean(name, 24) for name in names], d.clean(title)
    sheet = _large(room) if room else _Sheet()
    parts = [] if room else [p.heading(d.clip(title, WIDTH - 40, 15, True))]
    parts.append(_rails(sheet))
    for x, v, name in zip((sheet.left, sheet.right), volts, names, strict=True):
        parts += _source(x, v, name, each_ohm, shape, sheet)
    parts += _current(volts, current_a, sheet)
    if current_a is not None and not room:
        parts += _working(volts, each_ohm, current_a)
    return d.picture(
        sheet.width, sheet.height, parts, _sentence(title, names, volts, each_ohm, current_a)
    )


def _rails(sheet):
    left, right, top, bottom = sheet.left, sheet.right, sheet.top, sheet.bottom
    middle = (left + right) / 2
    wires = d.line(left, top, right, top) + d.line(left, bottom, right, bottom)
    wires += "".join(d.line(x, top, x, bottom) for x in (left, right))
    signs = plus_sign(left + 14, top - 12, 4)
    signs += d.line(middle - 4, bottom + 12, middle + 4, bottom + 12)
    return d.shape(wires, "wire") + d.shape(signs, "sign")


def resistor(x, y, wide=_BOX_WIDE, high=_BOX_HIGH):
    """SVG of a resistance: the box of circuit diagrams, upright.

    Args:
        x, y: its middle [px].
        wide, high: its size [px].
    """
    return d.shape(d.box(x - wide / 2, y - high / 2, wide, high), "box")


def _source(x, v, name, each_ohm, shape, sheet):
    """A cell with its resistance inside a dashed case, its numbers beside it."""
    top, bottom = sheet.case
    case = d.box(x - 34, top, 68, bottom - top, 8)
    side, anchor = (x - 44, "end") if x == sheet.left else (x + 44, "start")
    ohms = write(each_ohm, "ohm")
    return [
        d.shape(case, "case unscaled"),
        d.shape(d.line(x, sheet.top, x, sheet.bottom), "wire"),
        cells([Lie(x, sheet.cell_y, sheet.length, _THICK, "up")], shape),
        resistor(x, sheet.box_y, high=sheet.box_high),
        d.text(side, sheet.cell_y + 4, write(v, "V"), "volt strong", 16, anchor),
        d.text(side, sheet.cell_y + 24, d.clip(name, 110, 13), "quiet", 13, anchor),
        d.text(side, sheet.box_y + 4, ohms, "strong", 14, anchor),
    ]


def _current(volts, current_a, sheet):
    """The current written in the upper rail, with heads where it flows."""
    left, right, top = sheet.left, sheet.right, sheet.top
    middle = (left + right) / 2
    words = d.amount(None if current_a is None else abs(current_a), "A")
    tag = d.shape(d.box(middle - 40, top - 13, 80, 26, 5), "tag")
    label = d.text(middle, top + 5, words, "amp strong", 15, "middle")
    if not current_a:
        return [d.shape(d.ring(left, top, 3) + d.ring(right, top, 3), "head"), tag, label]
    way = 1 if current_a > 0 else -1
    heads = arrow_head(middle + way * 62, top, 0 if way > 0 else 180, 10)
    heads += arrow_head(middle - way * 8, sheet.bottom, 180 if way > 0 else 0, 10)
    return [d.shape(heads, "head"), tag, label]


def _working(volts, each_ohm, current_a):
    """How the current follows from the difference and both resistances."""
    lines = [
        say("curve_pictures.joined.difference", volts=write(abs(volts[0] - volts[1]), "V")),
        say("curve_pictures.joined.sum", ohms=write(2 * each_ohm, "ohm")),
        say("curve_pictures.joined.current", current=write(abs(current_a), "A")),
    ]
    return [
        d.text(_TEXT, 116 + 24 * i, d.clip(words, WIDTH - _TEXT - 10, 14), "", 14)
        for i, words in enumerate(lines)
    ]


def _sentence(title, names, volts, each_ohm, current_a):
    fields = {
        "first": names[0], "second": names[1], "first_v": write(volts[0], "V"),
        "second_v": write(volts[1], "V"), "ohms": write(each_ohm, "ohm"),
    }  # fmt: skip
    told = [say("curve_pictures.joined.start", **fields)]
    if title:
        told.insert(0, f"{title}.")
    if current_a is None:
        return d.sentences(*told, word("curve_pictures.joined.open"))
    told += [f"{line[0].upper()}{line[1:]}." for line in _told(volts, each_ohm)]
    if abs(current_a) < 1e-12:
        return d.sentences(*told, word("curve_pictures.joined.still"))
    giver, taker = names if current_a > 0 else names[::-1]
    flows = {"current": write(abs(current_a), "A"), "giver": giver, "taker": taker}
    return d.sentences(*told, say("curve_pictures.joined.flows", **flows))


def _told(volts, each_ohm):
    yield say("curve_pictures.joined.difference", volts=write(abs(volts[0] - volts[1]), "V"))
    yield say("curve_pictures.joined.sum", ohms=write(2 * each_ohm, "ohm"))
