"""Hours to charge against the charger's current."""

import numpy as np

from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.quantities import write
from packlearn.words import say, word

_POINTS = 120


def charge_hours(current_a, hours_of, *, usual_a, most_a, title=""):
    """Picture of the hours a charge takes, against the charger's current.

    Args:
        current_a: the charger's current [A], above 0.
        hours_of: function of an array of currents [A] to hours [h].
        usual_a: usual current [A].
        most_a: largest current without a data sheet [A].
        title: what is charged.

    Returns:
        ``Picture``, 860 x 290.

    Raises:
        BadValue: a current that is not above 0.
    """
    current_a, usual_a = (
        p.check_positive("current_a", current_a),
        p.check_positive("usual", usual_a),
    )
    most_a = p.check_positive("most_a", most_a)
    title = d.clean(title)
    low_a = min(0.5 * usual_a, current_a)
    amps = np.linspace(low_a, max(most_a, current_a), _POINTS)
    hours = np.asarray(hours_of(amps), float)
    here_h, usual_h = (float(hours_of(np.array([each]))[0]) for each in (current_a, usual_a))
    plot = p.Plot(0.0, 1.02 * amps[-1], 0.0, 1.08 * hours.max(), floor=p.BOTTOM)
    axis = say("curve_pictures.axes.what", what=word("protect.charge.current"), unit="A")
    parts = [p.heading(title), p.frame(plot, axis, word("protect.charge.hours"))]
    parts.append(d.shape(p.outline(plot, amps, hours), "curve-strong"))
    told = {
        "current": write(current_a, "A"),
        "hours": p.hours(here_h),
        "usual": write(usual_a, "A"),
        "usual_hours": p.hours(usual_h),
        "most": write(most_a, "A"),
        "most_hours": p.hours(float(hours_of(np.array([most_a]))[0])),
    }
    marks = [
        (plot.x(usual_a), plot.bottom, say("protect.charge.usual", **told), "", "limit-dash"),
        (plot.x(most_a), plot.bottom, say("protect.charge.most", **told), "", "limit-line"),
    ]
    parts.append(p.stair(marks, 40))
    x, y = plot.x(current_a), plot.y(here_h)
    parts.append(d.shape(d.polyline([(p.LEFT, y), (x, y), (x, plot.bottom)]), "guide"))
    parts.append(p.mark(0, x, y, "point-full"))
    parts.append(p.column(plot, [(y, say("protect.charge.here", **told), "strong")]))
    named = say("protect.charge.told_of", title=title) if title else word("protect.charge.told")
    return d.picture(p.WIDTH, p.HEIGHT, parts, f"{named} {say('protect.charge.values', **told)}")
