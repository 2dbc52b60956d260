"""How far a pack's voltage falls while its load takes more than its mean current."""

import numpy as np

NEWTON_STEPS = 12
SCAN_POINTS = 64
BISECTIONS = 40


def voltage_under_peak_v(load, steady_v, ohm, mean_a):
    """Voltage at the terminals while the load takes its peak.

    The terminals stand at ``steady_v`` under the mean current; what the peak takes beyond it
    sags further: ``V + (I_peak(V) - I_mean) R = V_steady``. The highest V that solves this
    counts, since a pack coming from rest stops there.

    Args:
        load: a ``Load``.
        steady_v: voltage under the mean current [V], array.
        ohm: internal resistance [ohm], array of the same shape.
        mean_a: mean current [A], array of the same shape.

    Returns:
        Voltage [V], array of that shape; 0 where no voltage can hold the peak.
    """
    sag = _Sag(load, steady_v, ohm, mean_a)
    volts, solved = _newton(sag)
    if not solved.all():
        left = ~solved
        volts[left] = _scan(_Sag(load, steady_v[left], ohm[left], mean_a[left]))
    return volts


class _Sag:
    """The equation to solve: ``excess`` is 0 at a solution and not below 0 at the top."""

    def __init__(self, load, steady_v, ohm, mean_a):
        self.load, self.steady_v, self.ohm, self.mean_a = load, steady_v, ohm, mean_a

    def excess(self, volts):
        beyond_a = np.maximum(self.load.peak_current_a(volts) - self.mean_a, 0.0)
        return volts + beyond_a * self.ohm - self.steady_v


def _newton(sag):
    """Newton's steps from the top; quick, and right wherever it ends on a solution from above."""
    volts = np.array(sag.steady_v, dtype=float)
    done = np.zeros(volts.shape, dtype=bool)
    for _ in range(NEWTON_STEPS):
        excess = sag.excess(volts)
        done = np.abs(excess) <= 1e-9 * sag.steady_v
        if done.all():
            break
        slope = (excess - sag.excess(volts * (1 - 1e-7))) / (volts * 1e-7)
        going_down = ~done & (slope > 0.01) & (excess > 0)
        step = np.where(going_down, excess / np.where(going_down, slope, 1.0), 0.0)
        volts = np.where(volts - step > 0, volts - step, volts)
    return volts, done


def _scan(sag):
    """Look down from the top for the first change of sign, then halve the gap."""
    high = np.array(sag.steady_v, dtype=float)
    low, found = np.zeros_like(high), np.zeros(high.shape, dtype=bool)
    for share in np.linspace(1.0, 1.0 / SCAN_POINTS, SCAN_POINTS):
        volts = sag.steady_v * share
        below = ~found & (sag.excess(volts) <= 0)
        low = np.where(below, volts, low)
        found |= below
        high = np.where(found, high, volts)
    for _ in range(BISECTIONS):
        middle = (low + high) / 2
        under = sag.excess(middle) <= 0
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return np.where(found, low, 0.0)
