"""What the panels with curves share: a sheet's curves, yours beside them, sliders that rescale."""

import math

import ipywidgets as widgets

from packlearn import curves
from packlearn.discharging import discharge
from packlearn.loads import Load
from packlearn.packs import Pack
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
    same = [c for c in sheet if math.isclose(c.current_a, current_a, rel_tol=1e-6)]
    yours = same[0] if same else _run_of_one(cell, current_a)
    sure_ah = sure_to_ah(sheet, current_a)
    # What is hardly longer than its neighbour is not worth a dashed end and a warning.
    sure_ah = None if sure_ah > 0.99 * yours.charge_ah[-1] else sure_ah
    yours = yours._replace(yours=True, sure_to_ah=sure_ah)
    return sorted([*(c for c in sheet if c not in same), yours], key=lambda c: c.current_a)


def _run_of_one(cell, current_a):
    """The curve of one cell at a current, the slow part of its resistance included."""
    found = run_of_one(cell, current_a)
    return SheetCurve(current_a, found.charge_ah, found.voltage_v)


def run_of_one(cell, current_a, to_v=None):
    """Discharge of one cell at a constant current.

    Args:
        cell: a ``Cell``.
        current_a: current [A].
        to_v: voltage to stop at [V], not below the end voltage; None takes that one.
    """
    return discharge(Pack(cell, 1, 1), Load.current(current_a), until_v=to_v)


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
    # In one message: after each of several the page would snap its old value and send it back.
    with control.hold_sync():
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


def in_columns(controls):
    """Controls in two columns, the first half on the left.

    Args:
        controls: widgets, made with ``wide=False``.
    """
    controls = list(controls)
    half = (len(controls) + 1) // 2
    columns = widgets.HBox([widgets.VBox(controls[:half]), widgets.VBox(controls[half:])])
    columns.add_class("packlearn-columns")
    return columns
