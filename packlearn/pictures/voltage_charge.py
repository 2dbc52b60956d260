"""Rested voltage against charge left: what a reading tells, and what it leaves open."""

import numpy as np

from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.quantities import write
from packlearn.words import say, word

_STAIR_Y = 57


def voltage_and_charge(shares, volts, reading_v, error_v, low, high, title=""):
    """Picture of a rested reading, its error, and the charge it may mean.

    Args:
        shares: charge left as shares 0 to 1, rising.
        volts: rested voltage at these shares [V].
        reading_v: what the meter reads [V].
        error_v: how far it may be off [V], 0 or more.
        low, high: lowest and highest share of charge left the reading allows, 0 to 1.
        title: the cell.

    Returns:
        ``Picture``, 860 x 290.

    Raises:
        BadValue: a line that cannot be drawn, or a negative error.
    """
    shares, volts = p.line_of("volts", shares, volts)
    reading_v, title = p.check_positive("reading_v", reading_v), d.clean(title)
    error_v = p.check_positive("error_v", error_v) if error_v else 0.0
    ends = [volts.min(), volts.max(), reading_v - error_v, reading_v + error_v]
    y_low, y_high = p.padded([float(v) for v in ends])
    plot = p.Plot(0.0, 100.0, y_low, y_high, top=80, floor=p.BOTTOM - 4)
    across, up = word("curve_pictures.axes.left"), word("curve_pictures.axes.rested")
    parts = [p.heading(title), p.frame(plot, across, up, marks=(10, 6))]
    parts += _bands(plot, reading_v, error_v, low, high)
    parts.append(d.shape(p.outline(plot, 100 * shares, volts), "curve-strong"))
    parts += _readings(plot, shares, volts, reading_v, low, high)
    words = _words(reading_v, error_v)
    parts.append(p.column(plot, [(plot.y(reading_v), words, "volt strong")]))
    words = _words(reading_v, error_v, "_told")
    sentence = _sentence(title, words, low, high, shares, volts)
    return d.picture(p.WIDTH, p.HEIGHT, parts, sentence)


def _bands(plot, reading_v, error_v, low, high):
    """The reading with its error as a band across, the charge it allows as one upright."""
    x1, x2 = plot.x(100 * low), plot.x(100 * high)
    top, bottom = plot.y(reading_v + error_v), plot.y(reading_v - error_v)
    wide = max(float(x2 - x1), 2.0)
    x1 = min(x1, plot.right - wide)
    upright = d.box(x1, plot.top, wide, plot.floor - plot.top)
    across = (p.LEFT, top, plot.right - p.LEFT, max(float(bottom - top), 1.0))
    return [
        d.shape(upright, "charge-area"),
        d.shape(d.box(*across), "window"),
        d.shape(d.hatch(*across, 8), "hatch"),
        d.shape(d.line(p.LEFT, plot.y(reading_v), plot.right, plot.y(reading_v)), "volt-bar"),
    ]


def _readings(plot, shares, volts, reading_v, low, high):
    """Marks where the range of charge begins and ends, and its words above."""
    spots = [(plot.x(100 * s), plot.y(np.interp(s, shares, volts))) for s in sorted({low, high})]
    words = _charge_words(low, high)
    middle = float(plot.x(50 * (low + high)))
    half = d.text_width(words, 13, True) / 2
    x = min(max(middle, p.LEFT + half), plot.right - half)
    label = d.text(x, _STAIR_Y + 8, words, "charge strong", 13, "middle")
    bracket = d.polyline(
        [(spots[0][0], 78), (spots[0][0], 72), (spots[-1][0], 72), (spots[-1][0], 78)]
    )
    return [label, d.shape(bracket, "hair"), *(p.mark(0, x, y, "point-full") for x, y in spots)]


def _words(reading_v, error_v, told=""):
    key = f"reading{told}" if error_v else "exact"
    fields = {"volts": p.fine_volts(reading_v), "error": write(error_v, "V")}
    return say(f"curve_pictures.rested.{key}", **fields)


def _charge_words(low, high):
    first, last = (f"{100 * share:.0f}" for share in (low, high))
    key = "charge" if first == last else "charges"
    return say(f"curve_pictures.rested.{key}", low=first, high=last)


def _sentence(title, words, low, high, shares, volts):
    key = "titled" if title else "plain"
    ends = {"empty": p.volts(volts[0]), "full": p.volts(volts[-1])}
    return d.sentences(
        say(f"curve_pictures.rested.{key}", title=title),
        say("curve_pictures.rested.ends", **ends),
        say("curve_pictures.rested.told", reading=words, charge=_charge_words(low, high)),
    )
