"""Voltage over time of one discharge: where it ends and why, beside the rule of thumb."""

import math

import numpy as np

from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.pictures.room import LETTERS, plot_in
from packlearn.words import say, word

MOST_OTHERS = 2
_MOST_HEARD = 24
_TOP, _STAIR_Y, _LARGE_STAIR_Y = 82, 57, 30
_OTHER_LOOKS = ("curve-dash", "curve-dot")


def run(
    time_h,
    voltage_v,
    *,
    stop_v,
    ended_words,
    rule_h=None,
    window_v=None,
    others=(),
    name="",
    band_v=None,
    shown_until_h=None,
    axis_h=None,
    every_h=None,
    title="",
    room=None,
):
    """Picture of a voltage that falls until the run ends.

    Args:
        time_h: times [h], rising.
        voltage_v: voltage at these times [V].
        stop_v: voltage the run ends at [V], or None where no voltage ends it.
        ended_words: why it ended, such as ``"end voltage"``; ``""`` where nothing ended it.
        rule_h: run time by the rule of thumb [h], or None.
        window_v: the device's window ``(low, high)`` [V]; either may be None.
        others: ``(name, time_h, voltage_v)`` of at most two more lines to compare with.
        name: name of the main line, needed where there are others.
        band_v: ``(lowest, highest)`` voltages at the same times [V], for a pulsed load.
        shown_until_h: the line is drawn up to here only [h], and its end is not told.
        axis_h: end of the time scale [h], so that it stands still; else it fits what is shown.
        every_h: the sentence tells the voltage at these steps of time [h] too, as far as the line
            is shown, so that it can be followed by ear.
        title: what is discharged.
        room: the ``Room`` of a shared screen, which it fills; None for a page. The
            title is left to the sentence there.

    Returns:
        ``Picture``, 860 x 290 without ``room``.

    Raises:
        BadValue: a line that cannot be drawn, or too many of them.
    """
    lines = [(d.clean(name), *p.line_of("voltage_v", time_h, voltage_v))]
    others = [(d.clean(n), *p.line_of("others", t, v)) for n, t, v in others]
    lines += d.check_length("others", others, MOST_OTHERS)
    band = band_v and [p.line_of("band_v", time_h, side)[1] for side in band_v]
    levels = _levels(stop_v, window_v)
    end_h = None if shown_until_h is not None else float(lines[0][1][-1])
    sides = _sides(lines, band, shown_until_h)
    times = [h for h in (end_h, rule_h, shown_until_h, *(t[-1] for _, t, _ in lines[1:])) if h]
    spare = 1.06 if shown_until_h is None else 1.5
    plot, factor, unit = _scales(sides, levels, axis_h or max(times, default=1.0) * spare)
    first_y = _LARGE_STAIR_Y if room else _STAIR_Y
    plot, marks = _large(room, plot, levels, shown_until_h is None) if room else (plot, (7, 6))
    parts = [] if room else [p.heading(d.clean(title))]
    parts.append(p.frame(plot, p.time_name(unit), p.voltage_name(), marks))
    parts += _hidden(plot, factor, shown_until_h)
    parts += _level_lines(plot, levels)
    parts += _drawn(plot, factor, lines, band, shown_until_h)
    ended = d.clean(ended_words) if end_h is not None else None
    parts.append(_stair(plot, factor, lines[0], ended, rule_h, first_y))
    parts.append(_names(plot, factor, lines, shown_until_h))
    told = _sentence(d.clean(title), lines, levels, ended, rule_h, shown_until_h)
    if every_h is not None:
        told = d.sentences(told, _by_ear(lines[0], every_h, shown_until_h))
    size = room.units(LETTERS) if room else (p.WIDTH, p.HEIGHT)
    return d.picture(*size, parts, told)


def _large(room, plot, levels, ended):
    """Plot and marks of a shared screen, with room for the levels' names and the stair."""
    names = [d.text_width(_level_words(*each), LETTERS) for each in levels]
    top = _LARGE_STAIR_Y + 24 if ended else 24
    return plot_in(room, plot, top=top, below=4, beside=36 + max(names, default=70))


def _levels(stop_v, window_v):
    """Voltages to mark: key of their words and value."""
    low, high = window_v or (None, None)
    same = stop_v is not None and low is not None and abs(low - stop_v) < 5e-3
    named = [("most", high), ("least", low), ("stop", None if same else stop_v)]
    return [(key, float(value)) for key, value in named if value is not None]


def _sides(lines, band, shown_until_h):
    """Voltages to find room for; what is not drawn yet must not show in the scale."""
    _, time, voltage = lines[0]
    seen = np.ones(time.size, bool) if shown_until_h is None else time <= shown_until_h
    seen[0] = True
    return [voltage[seen], *(side[seen] for side in band or ()), *(v for _, _, v in lines[1:])]


def _scales(sides, levels, last):
    """The scales: time to ``last`` [h], voltage of the lines and of the levels near them."""
    volts = [float(v) for side in sides for v in (side.min(), side.max())]
    volts += [v for key, v in levels if key == "stop"]
    low, high = p.padded(volts)
    # A device's level far from the line would press it flat: it is told in words only.
    near = [v for _, v in levels if low - (high - low) <= v <= high + (high - low)]
    low, high = p.padded([*volts, *near])
    factor, unit = p.time_unit(last)
    return p.Plot(0.0, last * factor, low, high, top=_TOP), factor, unit


def _near(plot, volts):
    return plot.y_low <= volts <= plot.y_high


def _level_lines(plot, levels):
    """Lines across the drawing, named at the right."""
    near = [(plot.y(v), key, v) for key, v in levels if _near(plot, v)]
    parts = [
        d.shape(d.line(plot.left, y, plot.right, y), "end-line" if key == "stop" else "limit-dash")
        for y, key, _ in near
    ]
    names = [(y, _level_words(key, v), "volt") for y, key, v in near]
    return [*parts, p.column(plot, names)]


def _level_words(key, volts):
    return say(f"curve_pictures.run.{key}", volts=p.volts(volts))


def _hidden(plot, factor, shown_until_h):
    """The part not drawn yet, hatched."""
    if shown_until_h is None:
        return []
    x = plot.x(shown_until_h * factor)
    wide, high = plot.right - x, plot.floor - plot.top
    words = word("curve_pictures.run.hidden")
    parts = [d.shape(d.hatch(x, plot.top, wide, high, 12), "hatch")] if wide > 4 else []
    width = d.text_width(words, 13) + 16
    if width < wide:
        middle, y = x + wide / 2, plot.top + high / 2
        parts.append(d.shape(d.box(middle - width / 2, y - 13, width, 22, 4), "tag"))
        parts.append(d.text(middle, y + 3, words, "", 13, "middle"))
    return parts


def _drawn(plot, factor, lines, band, shown_until_h):
    until = math.inf if shown_until_h is None else shown_until_h
    parts = []
    for look, (_, time, voltage) in zip(_OTHER_LOOKS, lines[1:], strict=False):
        parts.append(d.shape(p.outline(plot, time * factor, voltage), look))
    _, time, voltage = lines[0]
    seen = time <= until
    if band and seen.any():
        area = p.between(plot, time[seen] * factor, band[0][seen], band[1][seen])
        parts.insert(0, d.shape(area, "range"))
    if seen.any():
        parts.append(d.shape(p.outline(plot, time[seen] * factor, voltage[seen]), "curve-strong"))
    return parts


def _stair(plot, factor, line, ended, rule_h, first_y):
    """Marks of the end and of the rule of thumb, each with its words."""
    entries = []
    if rule_h is not None:
        words = say("curve_pictures.run.rule", hours=p.hours(rule_h))
        entries.append((plot.x(rule_h * factor), plot.floor, words, "", "rule-of-thumb"))
    if ended:
        _, time, voltage = line
        words = say("curve_pictures.run.ended", hours=p.hours(time[-1]), why=ended)
        x, y = plot.x(time[-1] * factor), plot.y(voltage[-1])
        return p.stair([*entries, (x, y, words, "strong", "cursor")], first_y, plot.width) + p.mark(
            0, x, y, "point-full"
        )
    return p.stair(entries, first_y, plot.width)


def _names(plot, factor, lines, shown_until_h):
    """Names of the lines below their ends; none for a single line without a name."""
    entries = []
    for kind, (name, time, voltage) in enumerate(lines):
        if shown_until_h is None or kind:
            end = plot.x(time[-1] * factor), plot.y(voltage[-1])
            entries.append((*end, name, "quiet" if kind else ""))
    marks = [p.mark(kind, x, y) for kind, (x, y, *_) in enumerate(entries) if kind]
    return p.row_below(plot, entries) + "".join(marks)


def _by_ear(line, every_h, shown_until_h):
    """The voltage at equal steps of time, as far as it is shown."""
    _, time, voltage = line
    last = min(time[-1], math.inf if shown_until_h is None else shown_until_h)
    count = min(int(last / p.check_positive("every_h", every_h) + 1e-9), _MOST_HEARD)
    points = every_h * np.arange(1, count + 1)
    listed = d.series_of(
        say("curve_pictures.run.heard", hours=p.hours(t), volts=p.volts(v))
        for t, v in zip(points, np.interp(points, time, voltage), strict=True)
    )
    return say("curve_pictures.run.by_ear", points=listed) if listed else ""


def _sentence(title, lines, levels, ended, rule_h, shown_until_h):
    key = "titled" if title else "plain"
    (name, time, voltage), others = lines[0], lines[1:]
    told = [say(f"curve_pictures.run.{key}", title=title)]
    told.append(say("curve_pictures.run.starts", volts=p.volts(voltage[0])))
    if ended is None:
        told.append(say("curve_pictures.run.hidden_told", hours=p.hours(shown_until_h)))
    elif ended:
        fields = {"hours": p.hours(time[-1]), "volts": p.volts(voltage[-1]), "why": ended}
        told.append(say("curve_pictures.run.ended_told", **fields))
    if rule_h is not None:
        told.append(say("curve_pictures.run.rule_told", hours=p.hours(rule_h)))
    told += [say("curve_pictures.run.level_told", level=_level_words(*each)) for each in levels]
    if others and name:
        told.append(say("curve_pictures.run.name_told", name=name))
    told += [
        say(
            "curve_pictures.run.other_told",
            name=other,
            start=p.volts(v[0]),
            hours=p.hours(t[-1]),
            volts=p.volts(v[-1]),
        )
        for other, t, v in others
    ]
    return d.sentences(*told)
