"""A data sheet's discharge curves, with a cursor of charge and a line of end voltage."""

from typing import NamedTuple

import numpy as np

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.pictures.room import LETTERS, plot_in
from packlearn.words import say, word

MOST_CURVES = 6
_MOST_HEARD = 24
_VOLTS_LEFT = 80


class SheetCurve(NamedTuple):
    """One discharge curve of a data sheet.

    Args:
        current_a: the current it holds for [A].
        charge_ah: charge drawn from full, rising [Ah].
        voltage_v: voltage under that current [V], as many.
        yours: True for the learner's own current: a thick line.
        sure_to_ah: charge [Ah] past which it is continued beyond the data, or None.
    """

    current_a: float
    charge_ah: object
    voltage_v: object
    yours: bool = False
    sure_to_ah: float | None = None


def data_sheet(title, curves, *, cursor_ah=None, to_v=None, every_ah=None, room=None):
    """Picture of discharge curves, and what is read off them.

    Args:
        title: the cell.
        curves: ``SheetCurve`` s, or tuples of its values; 1 to 6.
        cursor_ah: charge at which each curve's voltage is read off [Ah].
        to_v: end voltage to which each curve's capacity is read off [V].
        every_ah: the sentence tells each curve's voltage whenever this much charge [Ah] more
            is drawn, so that the sheet can be read by ear; None for the ends alone.
        room: the ``Room`` of a shared screen, which it fills; None for a page. The
            title is left to the sentence there.

    Returns:
        ``Picture``, 860 x 290 without ``room``.

    Raises:
        BadValue: no curves, too many, or one that cannot be drawn.
    """
    curves, title = _checked(curves), d.clean(title)
    plot, factor, unit = _scales(curves, to_v)
    across = say("curve_pictures.axes.charge", unit=unit)
    marks = 14, 10
    if room:
        beside = 38 + d.text_width(across, LETTERS)
        plot, marks = plot_in(room, plot, top=24, below=28, beside=beside)
    parts = [] if room else [p.heading(title)]
    parts.append(p.frame(plot, across, p.voltage_name(), marks, fine=True))
    parts += [_line(plot, factor, curve) for curve in curves]
    if to_v is not None:
        parts.append(d.shape(d.line(plot.left, plot.y(to_v), plot.right, plot.y(to_v)), "end-line"))
    if cursor_ah is not None:
        x, words = plot.x(cursor_ah * factor), _at(cursor_ah)
        parts.append(
            p.stair([(x, plot.floor, words, "charge strong", "cursor")], plot.top - 5, plot.width)
        )
    read = [(_voltage_at(c, cursor_ah), _charge_to(c, to_v)) for c in curves]
    parts += [_marks(plot, factor, k, c, cursor_ah, to_v, read[k]) for k, c in enumerate(curves)]
    parts.append(_names(plot, factor, curves))
    parts += _table(plot, curves, read, cursor_ah, to_v)
    told = _sentence(title, curves, read, cursor_ah, to_v)
    if every_ah is not None:
        told = d.sentences(told, *_by_ear(curves, p.check_positive("every_ah", every_ah)))
    size = room.units(LETTERS) if room else (p.WIDTH, p.HEIGHT)
    return d.picture(*size, parts, told)


def _checked(curves):
    curves = d.check_length("curves", curves, MOST_CURVES)
    if not curves:
        raise BadValue("curve_pictures.no_curves", value=0, limit=1)
    return [_checked_one(SheetCurve(*curve)) for curve in curves]


def _checked_one(curve):
    p.check_positive("current_a", curve.current_a)
    charge, voltage = p.line_of("curves", curve.charge_ah, curve.voltage_v)
    if (np.diff(charge) < 0).any():
        raise BadValue("curve_pictures.rising", value=f"{curve.current_a:g}")
    return curve._replace(charge_ah=charge, voltage_v=voltage)


def _scales(curves, to_v):
    charge = max(float(c.charge_ah[-1]) for c in curves)
    factor, unit = p.charge_unit(charge)
    levels = [float(f(c.voltage_v)) for c in curves for f in (np.min, np.max)]
    levels += [] if to_v is None else [to_v]
    low, high = p.padded(levels, 0.04, 0.05)
    return p.Plot(0.0, max(charge, 1e-6) * factor * 1.05, low, high), factor, unit


def _at(cursor_ah):
    return say("curve_pictures.data_sheet.at", charge=d.amount(cursor_ah, "Ah"))


# --- reading off ------------------------------------------------------------------------


def _voltage_at(curve, cursor_ah):
    """Voltage [V] where the cursor meets the curve, None where it does not."""
    if cursor_ah is None or not curve.charge_ah[0] <= cursor_ah <= curve.charge_ah[-1]:
        return None
    return float(np.interp(cursor_ah, curve.charge_ah, curve.voltage_v))


def _charge_to(curve, to_v):
    """Charge [Ah] where the curve first falls to a voltage, None where it does not."""
    if to_v is None:
        return None
    # A run that ends at the voltage ends a hair above it in binary floats.
    below = np.flatnonzero(curve.voltage_v <= to_v + 1e-6)
    if not below.size:
        return None
    i = int(below[0])
    if i == 0:
        return float(curve.charge_ah[0])
    v1, v2 = curve.voltage_v[i - 1 : i + 1]
    share = min(1.0, (v1 - to_v) / (v1 - v2))
    return float(curve.charge_ah[i - 1] + share * (curve.charge_ah[i] - curve.charge_ah[i - 1]))


# --- drawing ----------------------------------------------------------------------------


def _line(plot, factor, curve):
    """The curve, dashed where it goes beyond the data."""
    look = "curve-strong" if curve.yours else "curve"
    charge, voltage = curve.charge_ah, curve.voltage_v
    sure = charge[-1] if curve.sure_to_ah is None else curve.sure_to_ah
    known = charge <= sure
    if known.all():
        return d.shape(p.outline(plot, charge * factor, voltage), look)
    last = max(int(known.sum()), 1)
    parts = [(slice(0, last), look), (slice(last - 1, None), f"{look}-beyond")]
    return "".join(
        d.shape(p.outline(plot, charge[part] * factor, voltage[part]), each) for part, each in parts
    )


def _marks(plot, factor, kind, curve, cursor_ah, to_v, read):
    """The curve's end mark, and marks where it meets cursor and end voltage."""
    look = "point-full" if curve.yours else "point"
    end = plot.x(curve.charge_ah[-1] * factor), plot.y(curve.voltage_v[-1])
    parts = [p.mark(kind, *end, look)]
    volts, charge = read
    if volts is not None:
        parts.append(p.mark(kind, plot.x(cursor_ah * factor), plot.y(volts), look))
    if charge is not None:
        parts.append(p.mark(kind, plot.x(charge * factor), plot.y(to_v), look))
    return "".join(parts)


def _names(plot, factor, curves):
    """Each curve's current below its end."""
    entries = [
        (plot.x(c.charge_ah[-1] * factor), plot.y(c.voltage_v[-1]), _name(c), "amp") for c in curves
    ]
    return p.row_below(plot, entries)


def _name(curve):
    current = d.amount(curve.current_a, "A")
    return say("curve_pictures.data_sheet.yours", current=current) if curve.yours else current


def _table(plot, curves, read, cursor_ah, to_v):
    """What is read off, a row for each curve, its mark first."""
    if cursor_ah is None and to_v is None:
        return []
    y, size, end_x = plot.top + 20, plot.letters, plot.edge + 4
    parts = []
    if cursor_ah is not None:
        parts.append(d.text(end_x - _VOLTS_LEFT, y, _at(cursor_ah), "charge", size, "end"))
    if to_v is not None:
        words = say("curve_pictures.data_sheet.to", volts=p.volts(to_v))
        parts.append(d.text(end_x, y, words, "volt", size, "end"))
    for kind, (curve, (volts, charge)) in enumerate(zip(curves, read, strict=True)):
        row = y + 24 * (kind + 1)
        current = d.amount(curve.current_a, "A")
        parts.append(
            p.mark(kind, plot.right + 16, row - 4.5, "point-full" if curve.yours else "point")
        )
        parts.append(d.text(plot.right + 28, row, current, "amp strong", 13))
        if cursor_ah is not None:
            parts.append(d.text(end_x - _VOLTS_LEFT, row, _volts(volts), "volt strong", 13, "end"))
        if to_v is not None:
            parts.append(d.text(end_x, row, _charge(charge), "charge strong", 13, "end"))
    return parts


def _volts(value):
    return word("curve_pictures.data_sheet.none") if value is None else p.volts(value)


def _charge(value):
    return word("curve_pictures.data_sheet.none") if value is None else d.amount(value, "Ah")


# --- the sentence -----------------------------------------------------------------------


def _sentence(title, curves, read, cursor_ah, to_v):
    pairs = list(zip(curves, read, strict=True))
    told = [say("curve_pictures.data_sheet.start", title=title, curves=_listed(curves))]
    if cursor_ah is not None:
        told.append(say("curve_pictures.data_sheet.cursor", charge=d.amount(cursor_ah, "Ah")))
        told += [_read_off("volts", c, _volts, volts) for c, (volts, _) in pairs]
    if to_v is not None:
        told.append(say("curve_pictures.data_sheet.end", volts=p.volts(to_v)))
        told += [_read_off("charge", c, _charge, charge) for c, (_, charge) in pairs]
    if any(c.sure_to_ah is not None and c.sure_to_ah < c.charge_ah[-1] for c in curves):
        told.append(word("curve_pictures.data_sheet.beyond"))
    return d.sentences(*told)


def _listed(curves):
    return d.series_of(
        say(
            "curve_pictures.data_sheet.curve",
            current=_name(c),
            charge=d.amount(c.charge_ah[-1], "Ah"),
            volts=p.volts(c.voltage_v[-1]),
        )
        for c in curves
    )


def _by_ear(curves, every_ah):
    """Each curve's voltages at equal steps of charge."""
    step = d.amount(every_ah, "Ah")
    yield say("curve_pictures.data_sheet.by_ear", step=step)
    for curve in curves:
        count = min(int(curve.charge_ah[-1] / every_ah + 1e-9), _MOST_HEARD)
        values = np.interp(every_ah * np.arange(count + 1), curve.charge_ah, curve.voltage_v)
        listed = ", ".join(f"{value:.2f}" for value in values)
        current = d.amount(curve.current_a, "A")
        yield say("curve_pictures.data_sheet.heard", current=current, volts=listed)


def _read_off(what, curve, tell, value):
    key = (
        f"curve_pictures.data_sheet.no_{what}" if value is None else "curve_pictures.data_sheet.is"
    )
    current = d.amount(curve.current_a, "A")
    return say(key, current=current, value=tell(value))
