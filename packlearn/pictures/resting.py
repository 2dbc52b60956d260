"""Charge left over months of rest, and what of it comes out in the cold."""

import numpy as np

from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.words import say, word

_END_MONTHS, _POINTS = 24, 97


def resting(
    left_of, months, *, shelf_degc, compare_of=None, compare_degc=20.0, cold=None, title=""
):
    """Picture of the share of the charge that is left, month by month.

    Args:
        left_of: function of months to the share left on this shelf.
        months: months looked at, 0 to 24.
        shelf_degc: temperature of the shelf [degC].
        compare_of: the same function for another shelf, drawn dashed, or None.
        compare_degc: temperature of that shelf [degC].
        cold: ``(temperature, share)`` at which the cell is then used [degC] and what share of
            the charge comes out there, or None.
        title: what rests.

    Returns:
        ``Picture``, 860 x 290.

    Raises:
        BadValue: months that are no finite number.
    """
    title = d.clean(title)
    time = np.linspace(0.0, _END_MONTHS, _POINTS)
    plot = p.Plot(0.0, _END_MONTHS, 0.0, 100.0, floor=p.BOTTOM - 10)
    parts = [
        p.heading(title),
        p.frame(plot, word("protect.shelf.months"), word("curve_pictures.axes.left")),
    ]
    values = [("here", left_of, shelf_degc, "curve-strong")]
    if compare_of is not None:
        values.insert(0, ("other", compare_of, compare_degc, "curve-dash"))
    labels, told = [], []
    for key, of, degc, look in values:
        shares = np.array([100 * of(each) for each in time])
        across, up = p.line_of(key, time, shares)
        parts.append(d.shape(p.outline(plot, across, up), look))
        left = 100 * of(months)
        fields = {"degc": f"{degc:g}", "share": f"{left:.0f}", "months": f"{months:g}"}
        strong = "strong" if key == "here" else "quiet"
        labels.append((plot.y(left), say(f"protect.shelf.{key}", **fields), strong))
        told.append(say(f"protect.shelf.{key}_told", **fields))
    x = plot.x(months)
    parts.append(d.shape(d.line(x, plot.top - 4, x, plot.bottom), "cursor"))
    here = 100 * left_of(months)
    parts.append(p.mark(0, x, plot.y(here), "point-full"))
    if cold is not None:
        degc, out = cold[0], here * cold[1]
        fields = {"degc": f"{degc:g}".replace("-", d.MINUS), "share": f"{out:.0f}"}
        parts.append(p.mark(2, x, plot.y(out)))
        labels.append((plot.y(out), say("protect.shelf.cold", **fields), ""))
        told.append(say("protect.shelf.cold_told", **fields))
    parts.append(p.column(plot, labels))
    named = say("protect.shelf.told_of", title=title) if title else word("protect.shelf.told")
    return d.picture(p.WIDTH, p.HEIGHT, parts, d.sentences(named, *told))
