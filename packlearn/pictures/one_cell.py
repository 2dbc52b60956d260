"""One cell, big, with its label, its two ends and a meter across them."""

from packlearn.pictures import drawing as d
from packlearn.pictures.symbols import SHAPES, Lie, cells, minus_sign, plus_sign
from packlearn.words import say, word

WIDTH, HEIGHT = 720, 250
_CELL = Lie(238, 112, 380, 116)
_METER_LEFT, _METER_TOP, _METER_WIDTH, _METER_HEIGHT = 526, 34, 168, 158
_SOCKET_Y = _METER_TOP + _METER_HEIGHT - 28
_MINUS_SOCKET, _PLUS_SOCKET = _METER_LEFT + 116, _METER_LEFT + 52
_MOST_LINES = 3


def cell(title, label_lines=(), meter_v=None, meter_dark=True, shape="round"):
    """Picture of one cell and a meter.

    Args:
        title: what the cell is, printed large on it.
        label_lines: lines of its label, such as ``["1.2 V", "1900 mAh"]``, three at most.
        meter_v: voltage between its ends [V], or None.
        meter_dark: the meter is off; ``meter_v`` is then told nowhere.
        shape: ``"round"``, ``"coin"``, ``"block"`` or ``"pouch"``.

    Returns:
        ``Picture``, 720 x 250.

    Raises:
        BadValue: an unknown shape, or more than three lines.
    """
    d.check_choice("shape", shape, SHAPES)
    lines = [d.clean(line) for line in d.check_length("label_lines", label_lines, _MOST_LINES)]
    title = d.clean(title)
    shown_v = None if meter_dark else meter_v
    label = _coin_label(title, lines) if shape == "coin" else _label(title, lines)
    parts = [_leads(), cells([_CELL], shape), *label, *_ends(shape), *_meter(shown_v)]
    meter = "pictures.cell.dark" if shown_v is None else "pictures.cell.lit"
    sentence = d.sentences(
        say("pictures.cell.start", title=title),
        say("pictures.cell.label", lines=d.series_of(lines)) if lines else "",
        say(meter, volts="" if shown_v is None else d.reading(shown_v)),
    )
    return d.picture(WIDTH, HEIGHT, parts, sentence)


def _label(title, lines):
    """Title and label lines, one block in the middle of the cell."""
    room = _CELL.length - 120
    y = _CELL.y + 7 - 11 * len(lines)
    parts = [d.text(_CELL.x, y, d.clip(title, room, 20, True), "on-cell strong", 20, "middle")]
    for i, line in enumerate(lines):
        shown = d.clip(line, room, 15)
        parts.append(d.text(_CELL.x, y + 24 + 21 * i, shown, "on-cell", 15, "middle"))
    return parts


def _coin_label(title, lines):
    """Title above a coin, which is too flat to carry it, and the label lines in one row."""
    shown = d.clip(" \u00b7 ".join(lines), _CELL.length, 15)
    title = d.clip(title, _CELL.length, 20, True)
    return [
        d.text(_CELL.x, 26, title, "strong", 20, "middle"),
        d.text(_CELL.x, 46, shown, "", 15, "middle"),
    ]


def _ends(shape):
    """Names of the two ends, below them."""
    out = _CELL.length / 2 - 10
    y = _CELL.y + _CELL.thickness / 2 + 22
    if shape == "coin":
        out, y = 120, _CELL.y + 24
    return [
        d.text(_CELL.x - out, y, word("pictures.cell.minus_end"), "quiet", 13),
        d.text(_CELL.x + out, y, word("pictures.cell.plus_end"), "quiet", 13, "end"),
    ]


def _leads():
    """Test leads from both ends round below to the meter's sockets."""
    left, right = _CELL.x - _CELL.length / 2, _CELL.x + _CELL.length / 2
    low, bend, y = 234, 14, _CELL.y
    minus = (
        f"M{d.n(left)} {d.n(y)}H{d.n(left - 4)}Q{d.n(left - 20)} {d.n(y)} {d.n(left - 20)} "
        f"{d.n(y + 16)}V{low - bend}q0 {bend} {bend} {bend}"
        f"H{_MINUS_SOCKET - bend}q{bend} 0 {bend} -{bend}V{_SOCKET_Y}"
    )
    plus = (
        f"M{d.n(right)} {d.n(y)}H{d.n(right + 20)}q{bend} 0 {bend} {bend}V{low - 24 - bend}"
        f"q0 {bend} {bend} {bend}H{_PLUS_SOCKET - bend}q{bend} 0 {bend} -{bend}V{_SOCKET_Y}"
    )
    return d.shape(minus, "wire") + d.shape(plus, "wire")


def _meter(volts):
    """The meter: a display, dark or with a reading, and two sockets with signs."""
    left, top, wide = _METER_LEFT, _METER_TOP, _METER_WIDTH
    display = (left + 14, top + 14, wide - 28, 60)
    middle, base = left + wide / 2, top + 53
    parts = [d.shape(d.box(left, top, wide, _METER_HEIGHT, 10), "box")]
    if volts is None:
        parts.append(d.shape(d.box(*display, 4), "dark"))
        parts.append(d.text(middle, base - 4, word("pictures.cell.off"), "quiet", 13, "middle"))
    else:
        parts.append(d.shape(d.box(*display, 4), "display"))
        parts.append(d.text(middle, base + 2, d.reading(volts), "volt strong", 27, "middle"))
    for x, draw in ((_PLUS_SOCKET, plus_sign), (_MINUS_SOCKET, minus_sign)):
        parts.append(d.shape(d.ring(x, _SOCKET_Y, 7), "socket"))
        parts.append(d.shape(d.ring(x, _SOCKET_Y, 2.5), "head"))
        parts.append(d.shape(draw(x, _SOCKET_Y - 17, 4.5), "sign"))
    return parts
