"""Every parallel group's voltage over time: which one goes first, and how far below 0 V."""

import numpy as np

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.words import say, word

MOST_GROUPS, MOST_TOLD, MOST_LABELS = 24, 3, 10
_TOP, _STAIR_Y = 98, 57
_EACH = ("group", "cell")


def groups(time_h, group_voltage_v, *, weakest=None, events=(), title="", each="group"):
    """Picture of the voltage of each group of a pack, from the minus end.

    Args:
        time_h: times [h], rising, shape ``(steps,)``.
        group_voltage_v: voltages [V], shape ``(steps, groups)``; 1 to 24 groups.
        weakest: number of the group that goes first, from 1, or None.
        events: ``(words, time_h, group)`` of what happened; the first three are written.
        title: the pack.
        each: ``"group"``, or ``"cell"`` where each group is one cell and is called so.

    Returns:
        ``Picture``, 860 x 290.

    Raises:
        BadValue: no or too many groups, values that cannot be drawn, or another ``each``.
    """
    d.check_choice("each", each, _EACH)
    volts = _checked(time_h, group_voltage_v)
    times, title = np.asarray(time_h, float).ravel(), d.clean(title)
    events = _checked_events(events, volts.shape[1])
    last = max(float(times[-1]), *(e[1] for e in events), 1e-9)
    factor, unit = p.time_unit(last)
    plot = _plot(last * factor * 1.02, volts)
    bundles = _bundles(plot, volts, weakest)
    parts = [p.heading(title), p.frame(plot, p.time_name(unit), p.voltage_name())]
    parts += _below_zero(plot)
    parts += [_line(plot, times * factor, volts, bundle, weakest) for bundle in bundles]
    named = _named(volts, bundles)
    parts.append(p.column(plot, [_label(plot, volts, b, weakest, each) for b in named], gap=17))
    parts += _event_marks(plot, factor, times, volts, events)
    return d.picture(
        p.WIDTH, p.HEIGHT, parts, _sentence(title, volts, named, weakest, events, each)
    )


def _checked(time_h, group_voltage_v):
    volts = np.asarray(group_voltage_v, float)
    volts = volts[:, None] if volts.ndim == 1 else volts
    if volts.ndim != 2 or not 1 <= volts.shape[1] <= MOST_GROUPS:
        raise BadValue("curve_pictures.groups.count", value=volts.shape[-1], limit=MOST_GROUPS)
    for column in volts.T:
        p.line_of("group_voltage_v", time_h, column)
    return volts


def _checked_events(events, count):
    events = [(d.clean(words), float(time), int(group)) for words, time, group in events]
    for _, _, group in events:
        if not 1 <= group <= count:
            raise BadValue("curve_pictures.groups.number", value=group, limit=count)
    return sorted(events, key=lambda e: e[1])


def _plot(last, volts):
    low, high = p.padded([float(volts.min()), float(volts.max())])
    # Where a group goes below 0 V the picture shows it with room for the words.
    low = min(low, -0.12 * high) if volts.min() < 0 else low
    return p.Plot(0.0, last, low, high, top=_TOP, floor=p.BOTTOM - 6)


def _bundles(plot, volts, weakest):
    """Groups whose lines lie on one another, as lists of numbers from 1; the weakest alone."""
    heights, bundles = plot.y(volts), []
    for number in range(1, volts.shape[1] + 1):
        for bundle in bundles:
            apart = np.abs(heights[:, number - 1] - heights[:, bundle[0] - 1]).max()
            if apart < 1.0 and weakest not in (number, bundle[0]):
                bundle.append(number)
                break
        else:
            bundles.append([number])
    return bundles


def _named(volts, bundles):
    """Those that get a label: all, or the lowest at the end where there is no room for all."""
    if len(bundles) <= MOST_LABELS:
        return bundles
    return sorted(bundles, key=lambda b: volts[-1, b[0] - 1])[:MOST_LABELS]


def _below_zero(plot):
    if plot.y_low >= 0:
        return []
    y = plot.y(0.0)
    band = (p.LEFT, y, plot.right - p.LEFT, plot.floor - y)
    parts = [d.shape(d.box(*band), "window"), d.shape(d.hatch(*band, 9), "hatch")]
    parts.append(d.shape(d.line(p.LEFT, y, plot.right, y), "limit-line"))
    if band[3] >= 18:
        words = word("curve_pictures.groups.backwards")
        parts.append(d.shape(d.box(p.LEFT + 8, y + 3, d.text_width(words, 12) + 12, 15, 3), "tag"))
        parts.append(d.text(p.LEFT + 14, y + 14.5, words, "", 12))
    return parts


def _line(plot, times, volts, bundle, weakest):
    look = "curve-strong" if bundle == [weakest] else "curve"
    return d.shape(p.outline(plot, times, volts[:, bundle[0] - 1]), look)


def _label(plot, volts, bundle, weakest, each):
    end = volts[-1, bundle[0] - 1]
    words = say(
        "curve_pictures.groups.label", groups=_names(bundle, each), volts=p.volts(float(end))
    )
    return plot.y(end), words, "volt strong" if bundle == [weakest] else "volt"


def _event_marks(plot, factor, times, volts, events):
    """A diamond at each event, and the first three with their words above."""
    points = [
        (plot.x(time * factor), plot.y(np.interp(time, times, volts[:, group - 1])))
        for _, time, group in events
    ]
    entries = [
        (x, y, _told(event), "strong", "cursor")
        for event, (x, y) in list(zip(events, points, strict=True))[:MOST_TOLD]
    ]
    return [p.stair(entries, _STAIR_Y), *(p.mark(2, x, y, "point-full") for x, y in points)]


def _told(event):
    return say("curve_pictures.groups.event", what=event[0], hours=p.hours(event[1]))


def _names(bundle, each):
    """Numbers in one phrase, or how many where that would be long."""
    if _too_many(bundle):
        return _say(each, "many", count=len(bundle))
    return _all_names(bundle, each)


def _too_many(bundle):
    """Whether numbers are too many to be written one by one."""
    return sum(len(str(number)) + 2 for number in bundle) > 12


def _all_names(bundle, each):
    key = "one" if len(bundle) == 1 else "some"
    return _say(each, key, names=d.series_of(bundle))


def _say(each, key, **fields):
    return say(f"curve_pictures.groups.{each}.{key}", **fields)


def _sentence(title, volts, bundles, weakest, events, each):
    key = "titled" if title else "plain"
    told = [_say(each, key, title=title, count=volts.shape[1])]
    for bundle in bundles:
        ends = {"start": p.volts(volts[0, bundle[0] - 1]), "end": p.volts(volts[-1, bundle[0] - 1])}
        said = "many_told" if len(bundle) > 1 else "one_told"
        said = "weakest_told" if bundle == [weakest] else said
        names = _all_names(bundle, each)
        told.append(say(f"curve_pictures.groups.{said}", groups=names, **ends))
    many = [_names(b, each) for b in bundles if _too_many(b)]
    told += [say("curve_pictures.groups.many_named", groups=names) for names in many]
    others = volts.shape[1] - sum(map(len, bundles))
    if others:
        told.append(say("curve_pictures.groups.others", count=others))
    told += [f"{_told(event)}." for event in events[:MOST_TOLD]]
    if len(events) > MOST_TOLD:
        told.append(say("curve_pictures.groups.more", count=len(events) - MOST_TOLD))
    if volts.min() < 0:
        told.append(_say(each, "backwards"))
    return d.sentences(*(text[0].upper() + text[1:] for text in told))
