"""A pack, its cable and a lamp, and the place where the two conductors touch. On paper only."""

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH, HEIGHT = 720, 168
_PACK, _PACK_WIDE, _LAMP, _LAMP_WIDE = 16, 212, 610, 94
_TOP, _HIGH, _OUT, _BACK = 30, 112, 62, 110
# Where the conductors touch, as a share of the way, and where a fuse sits.
_FAR, _NEAR, _FUSE = 0.88, 0.4, 0.14


def shorted(series, parallel, open_v, each_ohm, cable_ohm, current_a=None, *, fused=False):
    """Picture of a short circuit in a cable, as the question tells it.

    Args:
        series, parallel: cells in line, and side by side.
        open_v: volts of each cell with no load [V].
        each_ohm: ohms inside each cell.
        cable_ohm: ohms of the conductors up to where they touch, out and back.
        current_a: the current that flows [A], or None where it is not told yet.
        fused: whether a fuse sits close to the pack, and the conductors touch right behind it.

    Returns:
        ``Picture``, 720 x 168.

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
    left, right = _PACK + _PACK_WIDE, _LAMP
    touch = left + (_NEAR if fused else _FAR) * (right - left)
    parts = [*_boxes(fields), *_wires(left, right, touch, current_a is not None)]
    if fused:
        parts += _fuse(left + _FUSE * (right - left))
    parts += _labels(left, touch, fields)
    place = word("protect.shorted.near" if fused else "protect.shorted.far")
    known = "open" if current_a is None else "flows"
    told = [say("protect.shorted.told", place=place, **fields)]
    return d.picture(
        WIDTH, HEIGHT, parts, d.sentences(*told, say(f"protect.shorted.{known}", **fields))
    )


def _boxes(fields):
    boxes = d.box(_PACK, _TOP, _PACK_WIDE, _HIGH, 6) + d.box(_LAMP, _TOP, _LAMP_WIDE, _HIGH, 6)
    middle = _PACK + _PACK_WIDE / 2
    parts = [d.shape(boxes, "box")]
    for y, key, look in ((64, "name", "strong"), (90, "volts", "volt"), (114, "ohms", "")):
        words = say(f"protect.shorted.{key}", **fields)
        words = d.clip(words, _PACK_WIDE - 12, 13, look == "strong")
        parts.append(d.text(middle, y, words, look, 13, "middle"))
    at = _LAMP + _LAMP_WIDE / 2
    return [*parts, d.text(at, 90, word("protect.cable.lamp"), "quiet", 13, "middle")]


def _wires(left, right, touch, flows):
    """Both conductors, the strip where they touch, and heads once the current is told."""
    lines = d.line(left, _OUT, right, _OUT) + d.line(left, _BACK, right, _BACK)
    parts = [d.shape(lines, "wire"), d.shape(d.line(touch, _OUT, touch, _BACK), "strip")]
    if flows:
        x = left + 0.72 * (touch - left)
        heads = d.polyline([(x - 7, _OUT - 6), (x + 5, _OUT), (x - 7, _OUT + 6)]) + "z"
        heads += d.polyline([(x + 7, _BACK - 6), (x - 5, _BACK), (x + 7, _BACK + 6)]) + "z"
        parts.append(d.shape(heads, "head"))
    return parts


def _fuse(x):
    shape = d.box(x - 16, _OUT - 7, 32, 14) + d.line(x - 16, _OUT, x + 16, _OUT)
    name = d.text(x, _OUT - 14, word("protect.shorted.fuse"), "quiet", 13, "middle")
    return [d.shape(shape, "frame"), name]


def _labels(left, touch, fields):
    """Where they touch, ohms below the conductors, the current above or between them."""
    side = touch + 10
    anchor = "start"
    if side + d.text_width(word("protect.shorted.touch"), 13) > _LAMP - 6:
        side, anchor = touch - 10, "end"
    ohms = say("protect.shorted.cable", **fields)
    middle = left + 14 + d.text_width(ohms, 13) / 2
    return [
        d.text(side, (_OUT + _BACK) / 2 + 5, word("protect.shorted.touch"), "", 13, anchor),
        d.text(middle, _BACK + 22, ohms, "", 13, "middle"),
        d.text(left + 14, (_OUT + _BACK) / 2 + 5, fields["current"], "amp strong", 16),
    ]
