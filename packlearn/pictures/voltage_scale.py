"""A vertical scale of volts: the voltages of a cell or pack, and a device's window."""

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.symbols import arrow_head
from packlearn.words import say, word

WIDTH, HEIGHT = 720, 330
_TOP, _BOTTOM = 52, 306
_AXIS, _RANGE_LEFT, _RIGHT, _LABELS = 84, 150, 300, 340
_LABEL_GAP, _MOST_LEVELS = 24, 9


def levels(title, levels, window=None, marker=None):
    """Picture of voltages on one scale.

    Args:
        title: what they belong to, such as ``"NiMH AA"`` or ``"5S1P"``.
        levels: pairs ``(name, volts)`` [V]; a range is ``(name, (low, high))``.
        window: the device's window ``(low, high)`` [V], drawn as a hatched band.
        marker: ``(name, volts)`` or volts alone: one voltage pointed at [V].

    Returns:
        ``Picture``, 720 x 330.

    Raises:
        BadValue: nothing to show, or more than nine levels.
    """
    levels, title = d.check_length("levels", levels, _MOST_LEVELS), d.clean(title)
    entries = [_entry(name, value, "level") for name, value in levels]
    if window is not None:
        entries.append(_entry(word("pictures.levels.window"), tuple(window), "window"))
    if marker is not None:
        name, volts = marker if isinstance(marker, tuple | list) else ("", marker)
        entries.append(_entry(name or word("pictures.levels.marker"), volts, "marker"))
    if not entries:
        raise BadValue("pictures.levels.none", value=0, limit=1)
    _tell(entries)
    to_y, marks = _scale(entries)
    parts = [d.text(16, 26, d.clip(title, WIDTH - 32, 16, True), "strong", 16)]
    # The window first, so that the levels lie over its hatching.
    parts += [_mark(e, to_y) for e in sorted(entries, key=lambda e: e["kind"] != "window")]
    parts += [_axis(to_y, marks), *_labels(entries, to_y)]
    told = [
        say(f"pictures.levels.{e['kind']}_told", name=e["name"], volts=e["told"]) for e in entries
    ]
    return d.picture(
        WIDTH, HEIGHT, parts, say("pictures.levels.told", title=title, levels="; ".join(told))
    )


def _entry(name, value, kind):
    """One line or range: its name and its ends."""
    low, high = value if isinstance(value, tuple | list) else (value, value)
    return {"name": d.clean(name), "low": float(low), "high": float(high), "kind": kind}


def _tell(entries):
    """Put each value into words, all with as many decimals as the finest one needs."""
    values = [value for e in entries for value in (e["low"], e["high"])]
    places = max(_decimals(round(value, 3)) for value in values)
    for e in entries:
        low, high = f"{e['low']:.{places}f}", f"{e['high']:.{places}f} V"
        e["told"] = (
            high if e["low"] == e["high"] else say("pictures.levels.range", low=low, high=high)
        )


def _scale(entries):
    """Volts to places, and the marks of the axis."""
    low, high = min(e["low"] for e in entries), max(e["high"] for e in entries)
    edge = max(0.08 * (high - low), 0.02 * abs(high), 0.01)
    low, high = max(0.0, low - edge) if low >= 0 else low - edge, high + edge

    def to_y(volts):
        return _BOTTOM - (volts - low) / (high - low) * (_BOTTOM - _TOP)

    marks, step = d.ticks(low, high, 7)
    return to_y, [(volts, f"{volts:.{_decimals(step)}f}") for volts in marks]


def _decimals(step):
    for places in range(4):
        if abs(step * 10**places - round(step * 10**places)) < 1e-6:
            return places
    return 4


def _axis(to_y, marks):
    strokes = d.line(_AXIS + 0.5, _TOP - 8, _AXIS + 0.5, _BOTTOM + 4)
    strokes += "".join(d.line(_AXIS - 5, to_y(v), _AXIS, to_y(v)) for v, _ in marks)
    texts = [
        d.text(_AXIS - 10, to_y(v) + 4.5, f"{name} V", "quiet", 12, "end") for v, name in marks
    ]
    return d.shape(strokes, "axis") + "".join(texts)


def _mark(entry, to_y):
    """A line, a bar for a range, a hatched band for the window, a pointer for the marker."""
    top, bottom = to_y(entry["high"]), to_y(entry["low"])
    wide = _RIGHT - _RANGE_LEFT
    if entry["kind"] == "window":
        band = d.box(_RANGE_LEFT, top, wide, bottom - top)
        lines = d.hatch(_RANGE_LEFT, top, wide, bottom - top, 9)
        return d.shape(band, "window") + d.shape(lines, "hatch")
    if entry["kind"] == "marker":
        pointer = arrow_head(_AXIS + 1, top, 180, 14)
        return d.shape(d.line(_AXIS + 12, top, _RIGHT, top), "volt-bar") + d.shape(
            pointer, "volt-dot"
        )
    if top != bottom:
        bar = d.box(_RANGE_LEFT + 44, top, wide - 88, bottom - top)
        return d.shape(bar, "range") + d.shape(
            d.line(_AXIS, top, _RIGHT, top) + d.line(_AXIS, bottom, _RIGHT, bottom), "level"
        )
    return d.shape(d.line(_AXIS, top, _RIGHT, top), "level")


def _labels(entries, to_y):
    """Names and values at the right, moved apart where levels lie close."""
    ordered = sorted(entries, key=lambda e: -(e["low"] + e["high"]))
    wished = [to_y((e["low"] + e["high"]) / 2) for e in ordered]
    places = d.spread(wished, _LABEL_GAP, _TOP - 4, _BOTTOM)
    parts, leaders = [], []
    for entry, y, place in zip(ordered, wished, places, strict=True):
        leaders.append(
            d.polyline([(_RIGHT, y), (_RIGHT + 14, y), (_LABELS - 12, place), (_LABELS - 5, place)])
        )
        look = "strong" if entry["kind"] == "marker" else ""
        value_width = d.text_width(entry["told"], 14, True)
        name = d.clip(entry["name"], WIDTH - 16 - _LABELS - value_width - 14, 14, bool(look))
        parts.append(d.text(_LABELS, place + 5, name, look, 14))
        parts.append(d.text(WIDTH - 12, place + 5, entry["told"], "volt strong", 14, "end"))
    return [d.shape("".join(leaders), "hair"), *parts]
