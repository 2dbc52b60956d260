"""A source with its resistance inside, and the volts a current loses there."""

from typing import NamedTuple

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.pictures.joined import resistor
from packlearn.pictures.room import LETTERS
from packlearn.pictures.symbols import Lie, arrow_head, cells, named_box, terminal
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH, HEIGHT = 800, 280
_THICK = 44


class _Sheet(NamedTuple):
    """Where everything lies [px].

    Attributes:
        width, height: of the picture.
        source, load: places of the two uprights of the circuit.
        top, bottom: its rails.
        case: upper and lower edge of the source's case.
        box_y, box_high: middle and height of the resistance.
        cell_y, length: middle and length of the cell.
        load_box: left edge and width of the load, its upper edge and height.
        bar, bar_wide, bar_top, bar_bottom: the bar of volts.
        text: where what the bar says begins.
        small: smallest letters.
    """

    width: float = WIDTH
    height: float = HEIGHT
    source: float = 150
    load: float = 360
    top: float = 50
    bottom: float = 258
    case: tuple = (72, 252)
    box_y: float = 106
    box_high: float = 42
    cell_y: float = 192
    length: float = 100
    load_box: tuple = (300, 120, 120, 68)
    bar: tuple = (500, 56, 40, 260)
    text: float = 572
    small: float = 12


_PAGE = _Sheet()


def _large(room):
    """Sheet of a shared screen."""
    width, height = room.units(LETTERS)
    top, bottom = 16, height - 14
    length = bottom - top - 80
    return _Sheet(
        width, height, 130, 256, top, bottom, (top + 14, bottom - 14), top + 37, 30,
        bottom - 20 - length / 2, length, (216, 80, (top + bottom) / 2 - 25, 50),
        (376, 36, 12, height - 8), 420, LETTERS,
    )  # fmt: skip


def sagging(
    open_v, resistance_ohm, current_a=None, terminal_v=None, *, title="", load="", room=None
):
    """Picture of a loaded source: what is lost inside, what is left at its ends.

    Args:
        open_v: voltage without load [V], above 0.
        resistance_ohm: internal resistance [ohm], 0 or more.
        current_a: current the load takes [A], or None where it is not told yet.
        terminal_v: voltage at the ends [V], 0 to ``open_v``; None where it is not told yet.
        title: the source.
        load: name of the load; "load" where left out.
        room: the ``Room`` of a shared screen, which it fills; None for a page.

    Returns:
        ``Picture``, 800 x 280 without ``room``.

    Raises:
        BadValue: an open voltage not above 0, or a terminal voltage outside 0 to it.
    """
    open_v = p.check_positive("open_v", open_v)
    if terminal_v is not None and not -1e-9 <= terminal_v <= open_v + 1e-9:
        raise BadValue(
            "curve_pictures.sagging.terminal", value=f"{terminal_v:g}", limit=f"{open_v:g}"
        )
    title, load = d.clean(title), d.clean(load or word("pictures.flow.load"))
    sheet = _large(room) if room else _PAGE
    x, middle = sheet.source - 42, (sheet.source + sheet.load) / 2 - 10 * (not room)
    parts = [_title(title, sheet), *_circuit(load, sheet)]
    parts += [
        d.text(x, sheet.cell_y + 4, write(open_v, "V"), "volt strong", 15, "end"),
        d.text(x, sheet.box_y + 4, write(resistance_ohm, "ohm"), "strong", 14, "end"),
        *_tag(middle, sheet.top, d.amount(current_a, "A")),
        *_bar(open_v, terminal_v, sheet),
    ]
    sentence = _sentence(title, load, open_v, resistance_ohm, current_a, terminal_v)
    return d.picture(sheet.width, sheet.height, parts, sentence)


def _title(title, sheet):
    """The title above, or on a shared screen beside the circuit."""
    if sheet is _PAGE:
        return p.heading(d.clip(title, WIDTH - 40, 15, True))
    x = sheet.source - 16
    return d.text(x, sheet.top + 5, d.clip(title, x, 14, True), "strong", 14, "end")


def _circuit(load, sheet):
    x, top, bottom = sheet.source, sheet.top, sheet.bottom
    wire = d.polyline([(x, top), (sheet.load, top), (sheet.load, bottom), (x, bottom)])
    wire += d.line(x, top, x, bottom)
    case_top, case_bottom = sheet.case
    case = d.box(x - 36, case_top, 72, case_bottom - case_top, 8)
    left, wide, box_top, high = sheet.load_box
    heads = arrow_head(sheet.load - (52 if sheet is _PAGE else 8), top, 0, 9)
    return [
        d.shape(case, "case unscaled"),
        d.shape(wire, "wire"),
        d.shape(heads + arrow_head(x + 90, bottom, 180, 9), "head"),
        cells([Lie(x, sheet.cell_y, sheet.length, _THICK, "up")]),
        resistor(x, sheet.box_y, 22, sheet.box_high),
        terminal(x, top, "+"),
        terminal(x, bottom, "-"),
        named_box(left, box_top, wide, high, load),
    ]


def _tag(x, y, words):
    body = d.shape(d.box(x - 38, y - 13, 76, 26, 5), "tag")
    return [body, d.text(x, y + 5, d.clip(words, 70, 15, True), "amp strong", 15, "middle")]


def _bar(open_v, terminal_v, sheet):
    """All the source's volts as one bar: the hatched part on top is lost inside."""
    left, wide, top, bottom = sheet.bar
    high = bottom - top
    frame = d.shape(d.box(left, top, wide, high), "frame")
    whole = d.text(left - 10, top + 5, write(open_v, "V"), "volt strong", 14, "end")
    zero = d.text(left - 10, bottom + 4, "0 V", "quiet", sheet.small, "end")
    if terminal_v is None:
        return [
            frame,
            whole,
            zero,
            d.text(
                left + wide / 2, (top + bottom) / 2 + 6, d.amount(None, "V"), "strong", 18, "middle"
            ),
        ]
    cut = top + high * (1 - terminal_v / open_v)
    lost = (left, top, wide, cut - top)
    parts = [d.shape(d.box(left, cut, wide, bottom - cut), "volt-area")]
    parts += [d.shape(d.box(*lost), "loss"), d.shape(d.hatch(*lost), "hatch")]
    places = d.spread([(top + cut) / 2, (cut + bottom) / 2], 44, top + 4, bottom - 18)
    lines = [
        (word("curve_pictures.sagging.lost"), _lost_words(open_v, terminal_v)),
        (word("curve_pictures.sagging.left"), write(terminal_v, "V")),
    ]
    for y, (name, value) in zip(places, lines, strict=True):
        parts.append(d.text(sheet.text, y, d.clip(name, sheet.width - sheet.text - 8, 13), "", 13))
        parts.append(d.text(sheet.text, y + 18, value, "volt strong", 15))
    return [*parts, frame, whole, zero]


def _lost_words(open_v, terminal_v):
    lost = max(0.0, open_v - terminal_v)
    fields = {"volts": write(lost, "V"), "share": write(100 * lost / open_v, "%", 2)}
    return say("curve_pictures.sagging.lost_value", **fields)


def _sentence(title, load, open_v, resistance_ohm, current_a, terminal_v):
    told = [f"{title}."] if title else []
    source = {"volts": write(open_v, "V"), "ohms": write(resistance_ohm, "ohm")}
    told.append(say("curve_pictures.sagging.start", **source))
    current = word("pictures.not_told") if current_a is None else write(current_a, "A")
    told.append(say("curve_pictures.sagging.takes", load=load, current=current))
    if terminal_v is None:
        return d.sentences(*told, word("curve_pictures.sagging.open"))
    fields = {"lost": _lost_words(open_v, terminal_v), "volts": write(terminal_v, "V")}
    return d.sentences(*told, say("curve_pictures.sagging.told", **fields))
