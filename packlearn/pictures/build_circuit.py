"""The circuit of a pack with what stands in its leads: fuses, switch, cut-off, device."""

from packlearn.pictures import drawing as d
from packlearn.words import say, word

WIDTH, HEIGHT = 430, 214
MOST_STRINGS = 6
_TOP, _BOTTOM, _FIRST, _WIDEST, _STRINGS_END = 52, 188, 34, 54, 224
_CELL, _FUSE_TOP, _FUSE_LONG, _FUSE_THICK = 136, 62, 26, 12
_GUARD, _DEVICE = (284, 352), (366, 424)


def build_circuit(
    series, strings, *, ends, name="", fuse="", string_fuse="", guard="", several=None
):
    """Circuit diagram of a pack and its leads, plus on top.

    Args:
        series: cells in line in each string.
        strings: strings that are drawn, 1 to 6.
        ends: pairs of contacts of each string, plus end first: ``("5A+", "1A-")``.
        name: XsYp name beside a single string.
        fuse: rating of the main fuse; empty for none.
        string_fuse: rating of each string's fuse; empty for none.
        guard: voltage of the cut-off; empty for none.
        several: cells in line behind one symbol; None takes ``series``.

    Returns:
        ``Picture``, 430 x 214.

    Raises:
        BadValue: more strings than can be drawn.
    """
    strings = d.check_count("strings", strings, MOST_STRINGS)
    pitch = min(_WIDEST, (_STRINGS_END - _FIRST) // max(1, strings - 1))
    places = [_FIRST + pitch * place for place in range(strings)]
    parts = [_wires(places, fuse, guard)]
    for x, (plus, minus) in zip(places, ends, strict=True):
        parts += _string(x, series if several is None else several, plus, minus, string_fuse)
    parts += _top(places[-1], fuse, guard)
    device = d.shape(d.box(_DEVICE[0], 92, _DEVICE[1] - _DEVICE[0], 54, 4), "box")
    middle = sum(_DEVICE) / 2
    parts += [device, d.text(middle, 123, word("buildsheet.circuit.device"), "", 12, "middle")]
    if strings == 1 and name:
        parts.append(d.text(_FIRST + 26, _CELL + 5, d.clip(name, 120, 14, True), "strong", 14))
    if string_fuse:
        told = say("buildsheet.circuit.string_fuses", rating=string_fuse)
        parts.append(d.text(places[0] - 14, 206, told, "", 12))
    return d.picture(WIDTH, HEIGHT, parts, _sentence(series, strings, fuse, string_fuse, guard))


def _wires(places, fuse, guard):
    """Both buses, the leads and the way into the device."""
    middle = sum(_DEVICE) / 2
    wires = d.line(places[0], _BOTTOM, middle, _BOTTOM) + d.line(middle, 146, middle, _BOTTOM)
    wires += d.line(middle, _TOP, middle, 92)
    if len(places) > 1:
        wires += d.line(places[0], _TOP, places[-1], _TOP)
    dots = [d.ring(x, y, 3) for x in places[1:] for y in (_TOP, _BOTTOM)]
    return d.shape(wires, "wire") + d.shape("".join(dots), "head")


def _string(x, series, plus, minus, string_fuse):
    """One string: its fuse, its cells as a battery, the names of its ends."""
    long, thick = 15, 8
    plates = [_CELL - 3] if series == 1 else [_CELL - 15, _CELL + 9]
    wires = d.line(x, _TOP, x, plates[0]) + d.line(x, plates[-1] + 6, x, _BOTTOM)
    short = ""
    for y in plates:
        wires += d.line(x - long, y, x + long, y)
        short += d.box(x - thick, y + 4, 2 * thick, 4)
    parts = [d.shape(wires, "wire"), d.shape(short, "head")]
    if series > 1:
        parts.append(d.shape(d.line(x, plates[0] + 9, x, plates[1] - 1), "guide"))
    if string_fuse:
        box = d.box(x - _FUSE_THICK / 2, _FUSE_TOP, _FUSE_THICK, _FUSE_LONG)
        parts.append(d.shape(box, "frame"))
    at = x + 4
    parts.append(d.text(at, 108, plus.replace("-", d.MINUS), "quiet", 11))
    parts.append(d.text(at, 178, minus.replace("-", d.MINUS), "quiet", 11))
    return parts


def _top(last, fuse, guard):
    """Main fuse, switch and cut-off in the plus lead."""
    end = _GUARD[0] if guard else sum(_DEVICE) / 2
    room = (end - last) / 2
    at_fuse, at_switch = last + room * 0.55, last + room * (1.45 if fuse else 1)
    wires, parts = "", []
    left, right = at_switch - 13, at_switch + 13
    wires += d.line(last, _TOP, left, _TOP) + d.line(right, _TOP, end, _TOP)
    wires += d.line(left, _TOP, right - 2, _TOP - 13)
    told = word("buildsheet.circuit.switch")
    parts.append(d.text(at_switch, _TOP + 30, told, "", 12, "middle"))
    if fuse:
        long = _FUSE_LONG
        box = d.box(at_fuse - long / 2, _TOP - _FUSE_THICK / 2, long, _FUSE_THICK)
        parts.append(d.shape(box, "frame"))
        told = say("buildsheet.circuit.fuse", rating=fuse)
        parts.append(d.text(at_fuse, _TOP - 22, told, "", 12, "middle"))
    if guard:
        left, right = _GUARD
        middle = (left + right) / 2
        parts.append(d.shape(d.box(left, _TOP - 18, right - left, 36, 4), "box"))
        parts.append(d.text(middle, _TOP - 3, word("buildsheet.circuit.guard"), "", 12, "middle"))
        parts.append(d.text(middle, _TOP + 12, guard, "", 12, "middle"))
        wires += d.line(right, _TOP, sum(_DEVICE) / 2, _TOP)
    return [d.shape(wires, "wire"), *parts]


def _sentence(series, strings, fuse, string_fuse, guard):
    pieces = [say("buildsheet.circuit.told.pack", series=series, strings=strings)]
    if string_fuse:
        pieces.append(say("buildsheet.circuit.told.strings", rating=string_fuse))
    way = [say("buildsheet.circuit.told.fuse", rating=fuse)] if fuse else []
    way.append(word("buildsheet.circuit.switch"))
    if guard:
        way.append(say("buildsheet.circuit.told.guard", volts=guard))
    pieces.append(say("buildsheet.circuit.told.lead", way=", ".join(way)))
    return d.sentences(*pieces)
