"""How often a value occurs: run times of a thousand packs, with marks on the scale."""

import numpy as np

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.quantities import write
from packlearn.words import say, word

MOST_VALUES, MOST_MARKS = 200_000, 5
_TOP, _STAIR_Y, _BARS = 136, 57, 24
_TEXTS = {"mean-line": "charge strong", "limit-line": "strong", "need-line": "strong"}
_LOOKS = {"mean": "mean-line", "alike": "limit-line", "need": "need-line"}
_MOST_EMPTY = 200


def histogram(
    values, unit, *, marks=("mean", 10, 50, 90), alike=None, need=None, title="", what=None
):
    """Picture of how many of many values lie where.

    Args:
        values: numbers in ``unit``, 1 to 200 000.
        unit: their unit, such as ``"h"``; one of ``quantities.KINDS``.
        marks: what to mark: ``"mean"``, or percents such as 10, the value a tenth stays below.
        alike: the value of a pack of like cells [``unit``], or None.
        need: a value of which is told how many reach it [``unit``], or None.
        title: what was counted.
        what: name of the values; run time where left out.

    Returns:
        ``Picture``, 860 x 290.

    Raises:
        BadValue: no values, too many of them or of the marks, or a value that is no number.
    """
    values, _ = p.line_of("values", values, values)
    if values.size > MOST_VALUES:
        raise BadValue("pictures.too_many", name="values", value=values.size, limit=MOST_VALUES)
    what = d.clean(what or word("curve_pictures.histogram.run_time"))
    named = d.check_length("marks", _marked(values, marks, alike, need), MOST_MARKS)
    factor, shown = _scale_unit(values, unit)
    counts, edges = _counted(values, [v for v in (alike, need) if v is not None])
    low, high = p.padded([edges[0], edges[-1]], 0.02, 0.02)
    plot = p.Plot(
        low * factor, high * factor, 0.0, float(counts.max()) * 1.06, top=_TOP, floor=p.BOTTOM
    )
    across = say("curve_pictures.axes.what", what=what, unit=shown)
    parts = [p.heading(d.clean(title))]
    parts.append(p.frame(plot, across, word("curve_pictures.axes.count"), marks=(8, 4)))
    parts.append(_bars(plot, counts, edges * factor))
    entries = [
        (plot.x(value * factor), plot.floor, words, _TEXTS.get(look, "charge"), look)
        for words, value, look in _worded(named, values, unit)
    ]
    parts.append(p.stair(entries, _STAIR_Y))
    sentence = _sentence(d.clean(title), what, values, unit, named, _bars_told(counts, edges, unit))
    return d.picture(p.WIDTH, p.HEIGHT, parts, sentence)


def _marked(values, marks, alike, need):
    """Name and value of each mark."""
    found = [(mark, _value(values, mark)) for mark in marks]
    others = [("alike", alike), ("need", need)]
    return found + [(name, float(value)) for name, value in others if value is not None]


def _value(values, mark):
    if mark == "mean":
        return float(values.mean())
    if isinstance(mark, str) or not 0 <= mark <= 100:
        raise BadValue("curve_pictures.histogram.mark", value=str(mark)[:40], limit=100)
    return float(np.percentile(values, mark))


def _scale_unit(values, unit):
    return p.time_unit(float(values.max())) if unit == "h" else (1, unit)


def _counted(values, others):
    """How many values lie in each bar, and the bars' edges at round values."""
    ends = [float(values.min()), float(values.max())]
    # Values all alike get a scale a tenth of them wide.
    room = 0.0 if ends[1] - ends[0] > 1e-6 * abs(ends[1]) else 2.5
    low, high = p.padded(ends, room, room)
    round_values, _ = p.steps(low, high, _BARS)
    step = round_values[1] - round_values[0] if len(round_values) > 1 else high - low
    first, last = np.floor(low / step + 1e-9), np.ceil(high / step - 1e-9)
    edges = step * np.arange(first, last + 1)
    counts, _ = np.histogram(values, np.concatenate([[-np.inf], edges[1:-1], [np.inf]]))
    # The scale reaches the other marks too, as far as they are not a world away.
    for other in others:
        place = min(max(other / step, first - _MOST_EMPTY), last + _MOST_EMPTY)
        first, last = min(first, np.floor(place)), max(last, np.ceil(place))
    whole = step * np.arange(first, last + 1)
    before = round((edges[0] - whole[0]) / step)
    filled = np.zeros(whole.size - 1, int)
    filled[before : before + counts.size] = counts
    return filled, whole


def _bars(plot, counts, edges):
    outlines = ""
    for count, low, high in zip(counts.tolist(), edges[:-1], edges[1:], strict=True):
        if count:
            x, y = float(plot.x(low)), float(plot.y(count))
            outlines += d.box(x, y, float(plot.x(high)) - x, plot.floor - y)
    return d.shape(outlines, "charge-area")


def _worded(named, values, unit):
    for mark, value in named:
        key = mark if mark in _LOOKS else "percent"
        fields = {
            "value": write(value, unit),
            "percent": write(mark, "%") if key == "percent" else "",
            # What falls short by the dust of computing reaches it too.
            "count": int((values >= value - 1e-9 * abs(value)).sum()),
        }
        yield (
            say(f"curve_pictures.histogram.{key}", **fields),
            value,
            _LOOKS.get(key, "percent-line"),
        )


def _bars_told(counts, edges, unit):
    """How many each bar holds, from the first to the last that holds any."""
    filled = np.flatnonzero(counts)
    first, last = filled[0], filled[-1]
    held = ", ".join(map(str, counts[first : last + 1].tolist()))
    low, step = write(float(edges[first]), unit), write(float(edges[1] - edges[0]), unit)
    return say("curve_pictures.histogram.bars", low=low, step=step, counts=held)


def _sentence(title, what, values, unit, named, bars):
    key = "titled" if title else "plain"
    told = [say(f"curve_pictures.histogram.{key}", title=title, what=what, count=values.size)]
    low, high = write(float(values.min()), unit), write(float(values.max()), unit)
    told.append(say("curve_pictures.histogram.range", low=low, high=high))
    told += [f"{words[0].upper()}{words[1:]}." for words, _, _ in _worded(named, values, unit)]
    return d.sentences(*told, bars)
