"""What the panels with curves share: a sheet's curves, yours beside them, sliders that rescale."""

import math

import numpy as np

from packlearn import curves
from packlearn.pictures import SheetCurve
from packlearn.words import say

# Of a cell without curves of its own: these parts of its current limit.
_TYPICAL_PARTS = (0.1, 0.4, 1.0)
_MOST_CURVES = 5


def sheet_curves(cell):
    """Discharge curves of a cell's data sheet at room temperature, smallest current first.

    Args:
        cell: a ``Cell``; of one without curves its chemistry's are drawn.

    Returns:
        List of ``SheetCurve``, five at most.
    """
    own = [c for c in cell.curves if c.temperature_degc is None]
    if len(own) >= 2:
        return [SheetCurve(c.current_a, c.charge_ah, c.voltage_v) for c in own[:_MOST_CURVES]]
    currents = [part * cell.current_limit_a for part in _TYPICAL_PARTS]
    drawn = [(current_a, *curves.curve(cell, current_a)) for current_a in currents]
    return [SheetCurve(*each) for each in drawn if len(each[1]) > 1]


def with_yours(cell, current_a):
    """A data sheet's curves and the one at your current, smallest current first.

    Args:
        cell: a ``Cell``.
        current_a: your current [A].

    Returns:
        List of ``SheetCurve``. Yours takes the place of a curve at the same current, and knows
        from which charge on no measurement stands behind it.
    """
    sheet = sheet_curves(cell)
    yours = SheetCurve(
        current_a,
        *curves.curve(cell, current_a),
        yours=True,
        sure_to_ah=sure_to_ah(sheet, current_a),
    )
    others = [c for c in sheet if not math.isclose(c.current_a, current_a, rel_tol=1e-6)]
    return sorted([*others, yours], key=lambda c: c.current_a)


def sure_to_ah(sheet, current_a):
    """Charge [Ah] up to which curves at larger and smaller currents stand behind a current.

    Args:
        sheet: ``SheetCurve`` s, smallest current first.
        current_a: the current [A].

    Returns:
        0 outside the currents of the sheet.
    """
    near = 1e-6 * current_a
    above = [c for c in sheet if c.current_a >= current_a - near]
    below = [c for c in sheet if c.current_a <= current_a + near]
    if not above or not below:
        return 0.0
    return float(above[0].charge_ah[-1])


def energy_wh(cell, current_a, to_v):
    """Energy [Wh] one cell gives at a constant current down to a voltage.

    Args:
        cell: a ``Cell``.
        current_a: current [A].
        to_v: voltage to stop at [V].
    """
    charge_ah, volts = curves.curve(cell, current_a, to_v, points=2000)
    return float(np.sum(np.diff(charge_ah) * (volts[1:] + volts[:-1]) / 2))


def nice_step(span, count):
    """A step of 1, 2 or 5 that divides a span into about ``count`` parts.

    Args:
        span: what is divided, above 0.
        count: wished number of parts.
    """
    rough = span / count
    tenth = 10.0 ** math.floor(math.log10(rough))
    return float(f"{next(s for s in (1, 2, 5, 10) if s * tenth >= 0.75 * rough) * tenth:.1g}")


def rescale(control, low, high, value, step):
    """Give a slider another scale, whatever it had before.

    Args:
        control: the slider.
        low, high: its new ends; they are moved outward to whole steps.
        value: its new value.
        step: its new step.
    """
    low = math.floor(low / step + 1e-6) * step
    high = max(math.ceil(high / step - 1e-6) * step, low + step)
    # A slider refuses ends the wrong way round, even for a moment.
    control.min = min(low, control.min)
    control.max, control.step = high, step
    control.min = low
    control.readout_format = f".{max(0, -math.floor(math.log10(step) + 1e-9))}f"
    control.value = min(max(round(value / step) * step, low), high)


def name_slider(control, key, unit):
    """Give a slider its label with a unit.

    Args:
        control: the slider.
        key: key of its label among ``panels.sliders``.
        unit: the unit.
    """
    label = say(f"panels.sliders.{key}")
    control.description = f"{label} ({unit})"
    control.tooltip = label
