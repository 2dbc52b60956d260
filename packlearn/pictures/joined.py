"""Two cells side by side at different voltages, and the current that flows between them."""

from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.pictures.symbols import Lie, arrow_head, cells, plus_sign
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH, HEIGHT = 800, 280
_TOP, _BOTTOM, _LEFT, _RIGHT, _TEXT = 46, 258, 180, 390, 540
_CELL_Y, _LENGTH, _THICK = 192, 104, 44
_BOX_Y, _BOX_HIGH, _BOX_WIDE = 102, 40, 22


def joined(
    first_v, second_v, each_ohm, current_a=None, *, names=("A", "B"), title="", shape="round"
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

    Returns:
        ``Picture``, 800 x 280.

    Raises:
        BadValue: a voltage or resistance that is not above 0.
    """
    volts = [p.check_positive("volts", v) for v in (first_v, second_v)]
    each_ohm = p.check_positive("each_ohm", each_ohm)
    names, title = [d.clean(name, 24) for name in names], d.clean(title)
    parts = [p.heading(d.clip(title, WIDTH - 40, 15, True)), _rails()]
    for x, v, name in zip((_LEFT, _RIGHT), volts, names, strict=True):
        parts += _source(x, v, name, each_ohm, shape, left=x == _LEFT)
    parts += _current(volts, current_a)
    if current_a is not None:
        parts += _working(volts, each_ohm, current_a)
    return d.picture(WIDTH, HEIGHT, parts, _sentence(title, names, volts, each_ohm, current_a))


def _rails():
    middle = (_LEFT + _RIGHT) / 2
    wires = d.line(_LEFT, _TOP, _RIGHT, _TOP) + d.line(_LEFT, _BOTTOM, _RIGHT, _BOTTOM)
    wires += "".join(d.line(x, _TOP, x, _BOTTOM) for x in (_LEFT, _RIGHT))
    signs = plus_sign(_LEFT + 14, _TOP - 12, 4) + d.line(
        middle - 4, _BOTTOM + 12, middle + 4, _BOTTOM + 12
    )
    return d.shape(wires, "wire") + d.shape(signs, "sign")


def resistor(x, y, wide=_BOX_WIDE, high=_BOX_HIGH):
    """SVG of a resistance: the box of circuit diagrams, upright.

    Args:
        x, y: its middle [px].
        wide, high: its size [px].
    """
    return d.shape(d.box(x - wide / 2, y - high / 2, wide, high), "box")


def _source(x, v, name, each_ohm, shape, left):
    """A cell with its resistance inside a dashed case, its numbers beside it."""
    case = d.box(x - 34, _BOX_Y - 36, 68, _CELL_Y + _LENGTH / 2 - _BOX_Y + 44, 8)
    side, anchor = (x - 44, "end") if left else (x + 44, "start")
    ohms = write(each_ohm, "ohm")
    return [
        d.shape(case, "case unscaled"),
        d.shape(d.line(x, _TOP, x, _BOTTOM), "wire"),
        cells([Lie(x, _CELL_Y, _LENGTH, _THICK, "up")], shape),
        resistor(x, _BOX_Y),
        d.text(side, _CELL_Y + 4, write(v, "V"), "volt strong", 16, anchor),
        d.text(side, _CELL_Y + 24, d.clip(name, 110, 13), "quiet", 13, anchor),
        d.text(side, _BOX_Y + 4, ohms, "strong", 14, anchor),
    ]


def _current(volts, current_a):
    """The current written in the upper rail, with heads where it flows."""
    middle = (_LEFT + _RIGHT) / 2
    words = d.amount(None if current_a is None else abs(current_a), "A")
    tag = d.shape(d.box(middle - 40, _TOP - 13, 80, 26, 5), "tag")
    label = d.text(middle, _TOP + 5, words, "amp strong", 15, "middle")
    if not current_a:
        return [d.shape(d.ring(_LEFT, _TOP, 3) + d.ring(_RIGHT, _TOP, 3), "head"), tag, label]
    way = 1 if current_a > 0 else -1
    heads = arrow_head(middle + way * 62, _TOP, 0 if way > 0 else 180, 10)
    heads += arrow_head(middle - way * 8, _BOTTOM, 180 if way > 0 else 0, 10)
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
