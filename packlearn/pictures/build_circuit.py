"""The circuit of a pack with what stands in its leads: fuses, switch, cut-off, device."""

from dataclasses import dataclass

from packlearn.pictures import drawing as d
from packlearn.words import say, word

MOST_STRINGS = 6
# Plus wire, first string, most room from string to string [px].
_TOP, _FIRST, _PITCH = 40, 20, 46
_FUSE_LONG, _FUSE_THICK, _BOX_WIDE = 26, 12, 62
# From the last string to the fuse, the switch and the device [px].
_TO_FUSE, _TO_SWITCH, _TO_DEVICE = 42, 98, 150
# Of the cut-off: top and bottom, its ways from its middle, the minus lead before it [px].
_GUARD, _WAYS, _BEFORE = (58, 98), 16, 64
# Top and bottom of the device with and without a cut-off before it [px].
_DEVICE, _DEVICE_GUARDED = (84, 112), (120, 142)


@dataclass(frozen=True)
class _Rows:
    """Heights of what stands in a string, with or without a fuse of its own [px]."""

    plus: int
    cell: int
    minus: int
    bottom: int
    height: int


_PLAIN, _FUSED = _Rows(66, 96, 138, 144, 150), _Rows(98, 122, 162, 168, 174)


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
        ``Picture``, 204 px wide, wider with more strings. Of a cut-off all four ends are drawn,
        in + and in -, out + and out -: the minus lead passes it too.

    Raises:
        BadValue: more strings than can be drawn.
    """
    strings = d.check_count("strings", strings, MOST_STRINGS)
    places = [_FIRST + _PITCH * place for place in range(strings)]
    rows = _FUSED if string_fuse else _PLAIN
    right = places[-1] + _TO_DEVICE
    parts = [_wires(places, right, rows, bool(guard))]
    for x, (plus, minus) in zip(places, ends, strict=True):
        parts += _string(x, series if several is None else several, plus, minus, rows)
    parts += [*_top(places[-1], fuse), *_side(right, guard)]
    if strings == 1 and name:
        told = d.clip(name, 70, 12, True)
        parts.append(d.text(_FIRST + 20, rows.cell + 5, told, "strong", 12))
    if string_fuse:
        # Two lines, so that they stay clear of the switch where letters print large.
        for y, told in ((_TOP + 23, word("buildsheet.circuit.each")), (_TOP + 39, string_fuse)):
            parts.append(d.text(places[-1] + 11, y, told, "", 11))
    told = _sentence(series, strings, fuse, string_fuse, guard)
    return d.picture(right + _BOX_WIDE // 2 + (26 if guard else 4), rows.height, parts, told)


def _wires(places, right, rows, guarded):
    """Both buses, the leads and the way through the boxes at the right."""
    if guarded:
        wires = _through(places[0], right, rows)
    else:
        wires = d.line(places[0], rows.bottom, right, rows.bottom)
        wires += d.line(right, _TOP, right, rows.bottom)
    if len(places) > 1:
        wires += d.line(places[0], _TOP, places[-1], _TOP)
    dots = [d.ring(x, y, 3) for x in places[1:] for y in (_TOP, rows.bottom)]
    return d.shape(wires, "wire") + d.shape("".join(dots), "head")


def _through(first, right, rows):
    """Both leads through a cut-off: in at the top and the left, out at the bottom."""
    (top, bottom), before = _GUARD, right - _BEFORE
    inlet = bottom - 10
    wires = d.line(right, _TOP, right + _WAYS, _TOP) + d.line(
        right + _WAYS, _TOP, right + _WAYS, top
    )
    wires += d.line(first, rows.bottom, before, rows.bottom)
    wires += d.line(before, rows.bottom, before, inlet)
    wires += d.line(before, inlet, right - _BOX_WIDE / 2, inlet)
    for x in (right - _WAYS, right + _WAYS):
        wires += d.line(x, bottom, x, _DEVICE_GUARDED[0])
    return wires


def _string(x, series, plus, minus, rows):
    """One string: its fuse, its cells as a battery, the names of its ends."""
    long, thick = 13, 7
    plates = [rows.cell - 3] if series == 1 else [rows.cell - 14, rows.cell + 8]
    wires = d.line(x, _TOP, x, plates[0]) + d.line(x, plates[-1] + 6, x, rows.bottom)
    short = ""
    for y in plates:
        wires += d.line(x - long, y, x + long, y)
        short += d.box(x - thick, y + 4, 2 * thick, 4)
    parts = [d.shape(wires, "wire"), d.shape(short, "head")]
    if series > 1:
        parts.append(d.shape(d.line(x, plates[0] + 9, x, plates[1] - 1), "guide"))
    if rows is _FUSED:
        box = d.box(x - _FUSE_THICK / 2, _TOP + 9, _FUSE_THICK, _FUSE_LONG)
        parts.append(d.shape(box, "frame"))
    at = x + 4
    parts.append(d.text(at, rows.plus, plus.replace("-", d.MINUS), "quiet", 11))
    parts.append(d.text(at, rows.minus, minus.replace("-", d.MINUS), "quiet", 11))
    return parts


def _top(last, fuse):
    """Main fuse and switch in the plus lead."""
    wires, parts = "", []
    left, right = last + _TO_SWITCH - 12, last + _TO_SWITCH + 12
    wires += d.line(last, _TOP, left, _TOP) + d.line(right, _TOP, last + _TO_DEVICE, _TOP)
    wires += d.line(left, _TOP, right - 2, _TOP - 12)
    told = word("buildsheet.circuit.switch")
    parts.append(d.text(last + _TO_SWITCH, _TOP + 16, told, "", 11, "middle"))
    if fuse:
        at = last + _TO_FUSE
        box = d.box(at - _FUSE_LONG / 2, _TOP - _FUSE_THICK / 2, _FUSE_LONG, _FUSE_THICK)
        parts.append(d.shape(box, "frame"))
        told = say("buildsheet.circuit.fuse", rating=fuse)
        parts.append(d.text(at, _TOP - 16, told, "", 11, "middle"))
    return [d.shape(wires, "wire"), *parts]


def _side(middle, guard):
    """Cut-off and device, on the way down."""
    device = [word("buildsheet.circuit.device")]
    boxes = [(*_DEVICE, device)]
    if guard:
        boxes = [(*_GUARD, [word("buildsheet.circuit.guard"), guard]), (*_DEVICE_GUARDED, device)]
        yield from _ways(middle)
    for top, bottom, told in boxes:
        yield d.shape(d.box(middle - _BOX_WIDE / 2, top, _BOX_WIDE, bottom - top, 4), "box")
        first = (top + bottom) / 2 + 4 - 8 * (len(told) - 1)
        for place, each in enumerate(told):
            yield d.text(middle, first + 16 * place, each, "", 11, "middle")


def _ways(middle):
    """Names of the four ends of the cut-off, each beside its wire."""
    (top, bottom), out = _GUARD, _DEVICE_GUARDED[0]
    names = {
        "in_plus": (middle + _WAYS + 4, top - 5, ""),
        "in_minus": (middle - _BOX_WIDE / 2 - 4, bottom - 15, "end"),
        "out_minus": (middle - _WAYS - 4, out - 8, "end"),
        "out_plus": (middle + _WAYS + 4, out - 8, ""),
    }
    for name, (x, y, anchor) in names.items():
        yield d.text(x, y, word(f"buildsheet.circuit.{name}"), "quiet", 11, anchor or "start")


def _sentence(series, strings, fuse, string_fuse, guard):
    pieces = [say("buildsheet.circuit.told.pack", series=series, strings=strings)]
    if string_fuse:
        pieces.append(say("buildsheet.circuit.told.strings", rating=string_fuse))
    way = [say("buildsheet.circuit.told.fuse", rating=fuse)] if fuse else []
    way.append(word("buildsheet.circuit.switch"))
    if guard:
        way.append(say("buildsheet.circuit.told.guard", volts=guard))
    pieces.append(say("buildsheet.circuit.told.lead", way=", ".join(way)))
    back = "guarded" if guard else "straight"
    pieces.append(word(f"buildsheet.circuit.told.{back}"))
    return d.sentences(*pieces)
