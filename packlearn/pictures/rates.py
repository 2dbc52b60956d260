"""A scale of current and C-rate, with a cell's limit and the share of it one plans to use."""

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.symbols import arrow_head
from packlearn.words import say

WIDTH, HEIGHT = 720, 182
_LEFT, _RIGHT = 40, 680
_BAR_TOP, _BAR_HIGH = 62, 26


def c_rate(current_a, capacity_ah, limit_a, derating=0.8, title=""):
    """Picture of a current on a scale of amps and C-rates.

    Args:
        current_a: the current [A], or None to point at none.
        capacity_ah: capacity [Ah], more than 0.
        limit_a: continuous limit [A], more than 0.
        derating: share of the limit one plans to use, 0 to 1.
        title: the cell or pack.

    Returns:
        ``Picture``, 720 x 182.

    Raises:
        BadValue: a capacity or limit not above 0, or a negative current.
    """
    if capacity_ah <= 0 or limit_a <= 0 or (current_a or 0) < 0:
        value = f"{capacity_ah:g} Ah, {limit_a:g} A"
        raise BadValue("pictures.rates.positive", value=value, limit=0)
    title = d.clean(title)
    top_a = max(limit_a * 1.15, (current_a or 0) * 1.08)
    planned_a = limit_a * derating

    def to_x(amps):
        return _LEFT + amps / top_a * (_RIGHT - _LEFT)

    parts = [d.text(16, 22, d.clip(title, WIDTH - 32, 15, True), "strong", 15)] if title else []
    parts += _bar(to_x, current_a, limit_a, top_a)
    parts += _marks(to_x, top_a, capacity_ah)
    shown_limit, shown_planned = _shown(limit_a, capacity_ah), _shown(planned_a, capacity_ah)
    names = [
        (planned_a, say("pictures.rates.planned", share=f"{derating * 100:g}", **shown_planned)),
        (limit_a, say("pictures.rates.limit", **shown_limit)),
    ]
    parts += _named_lines(to_x, names)
    key = "told" if title else "plain"
    told = [
        say(f"pictures.rates.{key}", title=title, capacity=d.amount(capacity_ah, "Ah")),
        say("pictures.rates.lines_told", planned=names[0][1], limit=names[1][1]),
    ]
    if current_a is not None:
        words = say("pictures.rates.current", **_shown(current_a, capacity_ah))
        parts += _pointer(to_x(current_a), words)
        told.append(say("pictures.rates.current_told", **_shown(current_a, capacity_ah)))
    return d.picture(WIDTH, HEIGHT, parts, d.sentences(*told))


def _shown(amps, capacity_ah):
    return {"current": d.amount(amps, "A"), "rate": d.amount(amps / capacity_ah, "C")}


def _bar(to_x, current_a, limit_a, top_a):
    """The scale's bar: filled up to the current, hatched past the limit."""
    past = (to_x(limit_a), _BAR_TOP, to_x(top_a) - to_x(limit_a), _BAR_HIGH)
    parts = [d.shape(d.box(*past), "window")]
    if current_a:
        filled = d.box(_LEFT, _BAR_TOP, to_x(current_a) - _LEFT, _BAR_HIGH)
        parts.append(d.shape(filled, "amp-area"))
    parts.append(d.shape(d.hatch(*past), "hatch"))
    frame = d.box(_LEFT, _BAR_TOP, _RIGHT - _LEFT, _BAR_HIGH)
    return [*parts, d.shape(frame, "frame")]


def _marks(to_x, top_a, capacity_ah):
    """Amps just below the bar, C-rates in a second row."""
    low = _BAR_TOP + _BAR_HIGH
    parts, strokes = [], ""
    amps, _ = d.ticks(0, top_a, 7)
    rates, _ = d.ticks(0, top_a / capacity_ah, 7)
    for value in amps:
        strokes += d.line(to_x(value), low, to_x(value), low + 5)
        parts.append(d.text(to_x(value), low + 18, d.amount(value, "A"), "quiet", 12, "middle"))
    for rate in rates:
        x = to_x(rate * capacity_ah)
        parts.append(d.text(x, low + 36, d.amount(rate, "C"), "quiet", 12, "middle"))
    return [d.shape(strokes, "axis"), *parts]


def _named_lines(to_x, names):
    """The planned share and the limit: lines through the bar, named in rows below."""
    parts = []
    for i, (amps, name) in enumerate(names):
        x, y = to_x(amps), _BAR_TOP + _BAR_HIGH + 60 + 22 * i
        half = d.text_width(name, 13, i == 1) / 2
        middle = min(max(x, 12 + half), WIDTH - 12 - half)
        parts.append(
            d.shape(
                d.line(x, _BAR_TOP - 7, x, _BAR_TOP + _BAR_HIGH + 7),
                "limit-line" if i else "planned-line",
            )
        )
        parts.append(d.text(middle, y, name, "strong" if i else "", 13, "middle"))
    return parts


def _pointer(x, words):
    half = d.text_width(words, 14, True) / 2
    middle = min(max(x, 12 + half), WIDTH - 12 - half)
    return [
        d.shape(arrow_head(x, _BAR_TOP - 1, 90, 11), "head"),
        d.text(middle, _BAR_TOP - 18, words, "amp strong", 14, "middle"),
    ]
