"""Sizing by hand: plain arithmetic on the numbers of one cell and one device.

Nothing of packlearn's formulas is used here, so that the tests of ``size`` hold
its answers against a second way to work them out.
"""

import math
from dataclasses import dataclass

CONDITIONS = (
    "high",
    "low",
    "current",
    "run_time",
    "safe_voltage",
    "most_in_line",
    "most_side_by_side",
)


@dataclass(frozen=True)
class Device:
    """What a device takes.

    ``steps`` are (kind, number, seconds), kind one of current [A], power [W] and
    resistance [ohm]. ``stage`` is None, ("converter", output_v, efficiency, idle_a) or
    ("regulator", output_v, dropout_v, idle_a).
    """

    steps: tuple
    window: tuple
    hours: float
    stage: tuple | None = None
    current_share: float = 0.8
    capacity_share: float = 1.0

    @property
    def span(self):
        """The window [V], narrowed by what a regulator needs to hold its output."""
        low, high = self.window
        if self.stage and self.stage[0] == "regulator":
            low = max(low, self.stage[1] + self.stage[2])
        return low, high


def steady_amps(kind, number, volts):
    """Current [A] of a steady load."""
    if kind == "current":
        return number
    if kind == "resistance":
        return volts / number
    if number == 0:
        return 0.0
    return number / volts if volts > 0 else math.inf


def step_amps(device, volts):
    """Current [A] of each step, taken from the pack at a voltage [V]."""
    if device.stage is None:
        return [steady_amps(kind, number, volts) for kind, number, _ in device.steps]
    kind_of_stage, output_v, third, idle_a = device.stage
    if kind_of_stage == "converter":
        watts = [output_v * steady_amps(kind, n, output_v) / third for kind, n, _ in device.steps]
        return [steady_amps("power", each, volts) + idle_a for each in watts]
    held_v = min(max(volts - third, 0.0), output_v)
    if held_v == 0:
        return [idle_a for _ in device.steps]
    return [steady_amps(kind, number, held_v) + idle_a for kind, number, _ in device.steps]


def mean_amps(device, volts):
    """Mean current [A] over the steps."""
    seconds = [each for *_, each in device.steps]
    charge = sum(a * s for a, s in zip(step_amps(device, volts), seconds, strict=True))
    return charge / sum(seconds)


def lowest_volts(device, end_v, ohm):
    """Voltage [V] at the end of the run under the peak: the highest V that the pack can hold.

    The end voltage holds under the mean current; what the peak takes beyond it sags further.
    """
    mean_a = mean_amps(device, end_v)

    def left_over(volts):
        return end_v - max(max(step_amps(device, volts)) - mean_a, 0.0) * ohm - volts

    if left_over(end_v) >= 0:
        return end_v
    above = end_v
    for part in range(1, 401):
        below = end_v * (1 - part / 400)
        if left_over(below) >= 0:
            break
        above = below
    else:
        return 0.0
    for _ in range(100):
        middle = (below + above) / 2
        below, above = (middle, above) if left_over(middle) >= 0 else (below, middle)
    return below


def figures(device, cell, series, parallel):
    """The figures of a pack for a device: dict with ``shares`` in the order of CONDITIONS."""
    low, high = device.span
    full_v = series * cell.full_voltage_v
    ohm = cell.resistance_ohm * series / parallel
    lowest_v = lowest_volts(device, series * cell.end_voltage_v, ohm)
    # A resistance takes most from a full pack, a power from an empty one.
    peak_a = max(*step_amps(device, lowest_v), *step_amps(device, full_v))
    allowed_a = device.current_share * parallel * cell.current_limit_a
    mean_a = mean_amps(device, series * cell.nominal_voltage_v)
    usable_ah = device.capacity_share * parallel * cell.capacity_ah
    # What takes nothing, because the voltage is too low for it, does not run.
    hours = usable_ah / mean_a if mean_a > 0 else 0.0
    most_s = math.inf if cell.max_series is None else cell.max_series
    most_p = math.inf if cell.max_parallel is None else cell.max_parallel
    shares = (
        1 - full_v / high,
        lowest_v / max(low, 1e-9) - 1,
        allowed_a / peak_a - 1 if peak_a > 0 else math.inf,
        hours / device.hours - 1,
        1 - full_v / 60,
        1 - series / most_s,
        1 - parallel / most_p,
    )
    return {
        "full_v": full_v,
        "lowest_v": lowest_v,
        "peak_a": peak_a,
        "allowed_a": allowed_a,
        "mean_a": mean_a,
        "run_time_h": hours,
        "shares": shares,
    }


def missed(worked_out, slack=1e-7):
    """Names of the conditions that are missed by more than rounding."""
    pairs = zip(CONDITIONS, worked_out["shares"], strict=True)
    return [name for name, share in pairs if share < -slack]


def undecided(worked_out, slack=1e-6):
    """Whether a condition is so nearly met or missed that rounding decides."""
    return any(abs(share) < slack for share in worked_out["shares"])
