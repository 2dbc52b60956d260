"""A source with its resistance inside, and the volts a current loses there."""

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.pictures.joined import resistor
from packlearn.pictures.symbols import Lie, arrow_head, cells, named_box, terminal
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH, HEIGHT = 800, 280
_SOURCE, _TOP, _BOTTOM, _LOAD, _BAR, _TEXT = 150, 50, 258, 340, 500, 572
_CELL_Y, _LENGTH, _THICK, _BOX_Y = 192, 100, 44, 106
_BAR_TOP, _BAR_BOTTOM, _BAR_WIDE = 40, 260, 56


def sagging(open_v, resistance_ohm, current_a=None, terminal_v=None, *, title="", load=""):
    """Picture of a loaded source: what is lost inside, what is left at its ends.

    Args:
        open_v: voltage without load [V], above 0.
        resistance_ohm: internal resistance [ohm], 0 or more.
        current_a: current the load takes [A], or None where it is not told yet.
        terminal_v: voltage at the ends [V], 0 to ``open_v``; None where it is not told yet.
        title: the source.
        load: name of the load; "load" where left out.

    Returns:
        ``Picture``, 800 x 280.

    Raises:
        BadValue: an open voltage not above 0, or a terminal voltage outside 0 to it.
    """
    open_v = p.check_positive("open_v", open_v)
    if terminal_v is not None and not -1e-9 <= terminal_v <= open_v + 1e-9:
        raise BadValue(
            "curve_pictures.sagging.terminal", value=f"{terminal_v:g}", limit=f"{open_v:g}"
        )
    title, load = d.clean(title), d.clean(load or word("pictures.flow.load"))
    parts = [p.heading(d.clip(title, WIDTH - 40, 15, True)), *_circuit(load)]
    parts += [
        d.text(_SOURCE - 42, _CELL_Y + 4, write(open_v, "V"), "volt strong", 15, "end"),
        d.text(_SOURCE - 42, _BOX_Y + 4, write(resistance_ohm, "ohm"), "strong", 14, "end"),
        *_tag(_LOAD - 95, _TOP, d.amount(current_a, "A")),
        *_bar(open_v, terminal_v),
    ]
    sentence = _sentence(title, load, open_v, resistance_ohm, current_a, terminal_v)
    return d.picture(WIDTH, HEIGHT, parts, sentence)


def _circuit(load):
    wire = d.polyline(
        [(_SOURCE, _TOP), (_LOAD + 20, _TOP), (_LOAD + 20, _BOTTOM), (_SOURCE, _BOTTOM)]
    )
    wire += d.line(_SOURCE, _TOP, _SOURCE, _BOTTOM)
    case = d.box(_SOURCE - 36, _BOX_Y - 34, 72, _CELL_Y + _LENGTH / 2 - _BOX_Y + 44, 8)
    return [
        d.shape(case, "case unscaled"),
        d.shape(wire, "wire"),
        d.shape(
            arrow_head(_LOAD - 32, _TOP, 0, 9) + arrow_head(_SOURCE + 90, _BOTTOM, 180, 9), "head"
        ),
        cells([Lie(_SOURCE, _CELL_Y, _LENGTH, _THICK, "up")]),
        resistor(_SOURCE, _BOX_Y, 22, 42),
        terminal(_SOURCE, _TOP, "+"),
        terminal(_SOURCE, _BOTTOM, "-"),
        named_box(_LOAD - 40, 120, 120, 68, load),
    ]


def _tag(x, y, words):
    body = d.shape(d.box(x - 38, y - 13, 76, 26, 5), "tag")
    return [body, d.text(x, y + 5, d.clip(words, 70, 15, True), "amp strong", 15, "middle")]


def _bar(open_v, terminal_v):
    """All the source's volts as one bar: the hatched part on top is lost inside."""
    high = _BAR_BOTTOM - _BAR_TOP
    frame = d.shape(d.box(_BAR, _BAR_TOP, _BAR_WIDE, high), "frame")
    whole = d.text(_BAR - 10, _BAR_TOP + 5, write(open_v, "V"), "volt strong", 14, "end")
    zero = d.text(_BAR - 10, _BAR_BOTTOM + 4, "0 V", "quiet", 12, "end")
    if terminal_v is None:
        return [
            frame,
            whole,
            zero,
            d.text(_BAR + 28, 156, d.amount(None, "V"), "strong", 18, "middle"),
        ]
    cut = _BAR_TOP + high * (1 - terminal_v / open_v)
    lost = (_BAR, _BAR_TOP, _BAR_WIDE, cut - _BAR_TOP)
    parts = [d.shape(d.box(_BAR, cut, _BAR_WIDE, _BAR_BOTTOM - cut), "volt-area")]
    parts += [d.shape(d.box(*lost), "loss"), d.shape(d.hatch(*lost), "hatch")]
    places = d.spread(
        [(_BAR_TOP + cut) / 2, (cut + _BAR_BOTTOM) / 2], 44, _BAR_TOP + 4, _BAR_BOTTOM - 18
    )
    lines = [
        (word("curve_pictures.sagging.lost"), _lost_words(open_v, terminal_v)),
        (word("curve_pictures.sagging.left"), write(terminal_v, "V")),
    ]
    for y, (name, value) in zip(places, lines, strict=True):
        parts.append(d.text(_TEXT, y, d.clip(name, WIDTH - _TEXT - 8, 13), "", 13))
        parts.append(d.text(_TEXT, y + 18, value, "volt strong", 15))
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
