"""What stands below a holder: the ends of the pack's leads, a load between them, the meter."""

from packlearn.pictures import drawing as d
from packlearn.pictures.bench_lanes import End
from packlearn.pictures.symbols import TERMINAL_RADIUS, terminal
from packlearn.quantities import write
from packlearn.words import word

EQUIPMENT = 82
_WIDTH, _HEIGHT = 174, 46
_END_X, _END_Y, _LOAD_Y = 24, 22, 68


def ends_and_load(shows, seen):
    """The ends of the pack's leads, and the load between them.

    Args:
        shows: a ``bench_words.Shown``.
        seen: a ``bench_holder.Frame``.

    Returns:
        ``End``s of the wires by colour, and the parts of the drawing.
    """
    top = seen.channels[-1][1]
    left, right, y = _END_X, seen.width - _END_X, top + _END_Y
    parts = [terminal(left, y, "-"), terminal(right, y, "+")]
    if shows.load_ohm is not None:
        parts += _load(left, right, y + TERMINAL_RADIUS, top + _LOAD_Y, shows.load_ohm)
    if shows.name:
        room = seen.width - 2 * _END_X - 40 - (_WIDTH + 20 if shows.has_meter else 0)
        parts.append(d.text(left + 22, y + 5, d.clip(shows.name, room, 15, True), "strong", 15))
    ends = {
        side: End(seen.rows, None, x, y - TERMINAL_RADIUS)
        for side, x in (("black", left), ("red", right))
    }
    return ends, parts


def _load(left, right, top, y, ohm):
    """A resistor between two places, its value in it."""
    shown = write(ohm, "ohm")
    middle, wide = (left + right) / 2, max(44, d.text_width(shown, 12) + 12)
    wire = d.polyline([(left, top), (left, y), (middle - wide / 2, y)])
    wire += d.polyline([(middle + wide / 2, y), (right, y), (right, top)])
    box = d.shape(d.box(middle - wide / 2, y - 9, wide, 18), "box")
    return [d.shape(wire, "wire"), box, d.text(middle, y + 4.5, shown, "", 12, "middle")]


def meter(shows, seen):
    """The meter, if there is one.

    Args:
        shows: a ``bench_words.Shown``.
        seen: a ``bench_holder.Frame``.

    Returns:
        ``End``s of its leads by colour, and the parts of the drawing.
    """
    if not shows.has_meter:
        return {}, []
    top = seen.channels[-1][1] + 8
    left = seen.width - 2 * _END_X - _WIDTH - (0 if seen.width < 600 else 60)
    places = {"black": left + _WIDTH - 60, "red": left + _WIDTH - 18}
    parts = [d.shape(d.box(left, top, _WIDTH, _HEIGHT, 6), "box")]
    parts += _display(left + 7, top + 7, 88, _HEIGHT - 14, shows)
    for side, x in places.items():
        parts.append(probe_tip(side, x, top, up=False))
        parts.append(d.text(x, top + 27, word(f"bench.pictures.{side}"), "", 12, "middle"))
    return {side: End(seen.rows, None, x, top + 8) for side, x in places.items()}, parts


def _display(left, top, width, height, shows):
    if not shows.reading:
        return [d.shape(d.box(left, top, width, height, 3), "dark")]
    look = "amp strong" if shows.kind == "A" else "volt strong"
    text = d.clip(shows.reading, width - 6, 16, True)
    return [
        d.shape(d.box(left, top, width, height, 3), "display"),
        d.text(left + width / 2, top + height / 2 + 6, text, look, 16, "middle"),
    ]


def probe_tip(side, x, y, up):
    """Tip of a probe: a triangle for red, a square for black.

    Args:
        side: "red" or "black".
        x, y: what it touches [px].
        up: whether it comes from above.
    """
    away = -8 if up else 8
    if side == "black":
        return d.shape(d.box(x - 4, min(y, y + away), 8, 8), "head")
    outline = d.polyline([(x, y), (x - 5, y + away), (x + 5, y + away)]) + "z"
    return d.shape(outline, "socket") + d.shape(outline, "amp-line")
