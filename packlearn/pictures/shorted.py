"""A pack, its cable and a lamp, and the place where the two conductors touch. On paper only."""

from typing import NamedTuple

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.room import LETTERS
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH, HEIGHT = 720, 168
_TOP, _HIGH, _OUT, _BACK = 30, 112, 62, 110
# Where the conductors touch, as a share of the way, and where a fuse sits.
_FAR, _NEAR, _FUSE = 0.88, 0.4, 0.14


class _Sheet(NamedTuple):
    """Where pack and lamp lie, and how far all is moved down [px]."""

    width: float = WIDTH
    height: float = HEIGHT
    pack: float = 16
    pack_wide: float = 212
    lamp: float = 610
    lamp_wide: float = 94
    down: float = 0


def _large(room, fields):
    """Sheet of a shared screen, the pack's box as wide as its words."""
    width, height = room.units(LETTERS)
    wide = d.text_width(say("protect.shorted.name", **fields), LETTERS, True) + 14
    return _Sheet(width, height, 2, wide, width - 66, 64, (height - HEIGHT) / 2)


def shorted(
    series, parallel, open_v, each_ohm, cable_ohm, current_a=None, *, fused=False, room=None
):
    """Picture of a short circuit in a cable, as the question tells it.

    Args:
        series, parallel: cells in line, and side by side.
        open_v: volts of each cell with no load [V].
        each_ohm: ohms inside each cell.
        cable_ohm: ohms of the conductors up to where they touch, out and back.
        current_a: the current that flows [A], or None where it is not told yet.
        fused: whether a fuse sits close to the pack, and the conductors touch right behind it.
        room: the ``Room`` of a shared screen, which it fills; None for a page.

    Returns:
        ``Picture``, 720 x 168 without ``room``.

    Raises:
        BadValue: volts or ohms that are not above 0.
    """
    if min(open_v, each_ohm, cable_ohm) <= 0:
        value = f"{open_v:g} V, {each_ohm:g} ohm, {cable_ohm:g} ohm"
        raise BadValue("protect.shorted.positive", value=value, limit=0)
    fields = {
        "series": series,
        "parallel": parallel,
        "volts": write(open_v, "V"),
        "each": write(each_ohm, "ohm"),
        "cable": write(cable_ohm, "ohm"),
        "current": d.amount(current_a, "A"),
    }
    sheet = _large(room, fields) if room else _Sheet()
    left, right = sheet.pack + sheet.pack_wide, sheet.lamp
    touch = left + (_NEAR if fused else _FAR) * (right - left)
    parts = [*_boxes(fields, sheet), *_wires(left, right, touch, current_a is not None, sheet.down)]
    if fused:
        parts += _fuse(left + _FUSE * (right - left), sheet.down)
    parts += _labels(left, touch, fields, sheet)
    place = word("protect.shorted.near" if fused else "protect.shorted.far")
    known = "open" if current_a is None else "flows"
    told = [say("protect.shorted.told", place=place, **fields)]
    return d.picture(
        sheet.width,
        sheet.height,
        parts,
        d.sentences(*told, say(f"protect.shorted.{known}", **fields)),
    )


def _boxes(fields, sheet):
    top = _TOP + sheet.down
    boxes = d.box(sheet.pack, top, sheet.pack_wide, _HIGH, 6)
    boxes += d.box(sheet.lamp, top, sheet.lamp_wide, _HIGH, 6)
    middle = sheet.pack + sheet.pack_wide / 2
    parts = [d.shape(boxes, "box")]
    for y, key, look in ((64, "name", "strong"), (90, "volts", "volt"), (114, "ohms", "")):
        words = say(f"protect.shorted.{key}", **fields)
        words = d.clip(words, sheet.pack_wide - 12, 13, look == "strong")
        parts.append(d.text(middle, y + sheet.down, words, look, 13, "middle"))
    at = sheet.lamp + sheet.lamp_wide / 2
    return [*parts, d.text(at, 90 + sheet.down, word("protect.cable.lamp"), "quiet", 13, "middle")]


def _wires(left, right, touch, flows, down):
    """Both conductors, the strip where they touch, and heads once the current is told."""
    out, back = _OUT + down, _BACK + down
    lines = d.line(left, out, right, out) + d.line(left, back, right, back)
    parts = [d.shape(lines, "wire"), d.shape(d.line(touch, out, touch, back), "strip")]
    if flows:
        x = left + 0.72 * (touch - left)
        heads = d.polyline([(x - 7, out - 6), (x + 5, out), (x - 7, out + 6)]) + "z"
        heads += d.polyline([(x + 7, back - 6), (x - 5, back), (x + 7, back + 6)]) + "z"
        parts.append(d.shape(heads, "head"))
    return parts


def _fuse(x, down):
    out = _OUT + down
    shape = d.box(x - 16, out - 7, 32, 14) + d.line(x - 16, out, x + 16, out)
    name = d.text(x, out - 14, word("protect.shorted.fuse"), "quiet", 13, "middle")
    return [d.shape(shape, "frame"), name]


def _labels(left, touch, fields, sheet):
    """Where they touch, ohms below the conductors, the current above or between them."""
    side, between = touch + 10, (_OUT + _BACK) / 2 + 5 + sheet.down
    anchor = "start"
    if side + d.text_width(word("protect.shorted.touch"), 13) > sheet.lamp - 6:
        side, anchor = touch - 10, "end"
    ohms = say("protect.shorted.cable", **fields)
    middle = left + 14 + d.text_width(ohms, 13) / 2
    return [
        d.text(side, between, word("protect.shorted.touch"), "", 13, anchor),
        d.text(middle, _BACK + 22 + sheet.down, ohms, "", 13, "middle"),
        d.text(left + 14, between, fields["current"], "amp strong", 16),
    ]
