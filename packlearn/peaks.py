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
    flat = [np.ravel(array).astype(float) for array in (steady_v, ohm, mean_a)]
    volts, left = _newton(load, *flat)
    if left.size:
        volts[left] = _scan(_Sag(load, *(array[left] for array in flat)))
    return volts.reshape(np.shape(steady_v))


class _Sag:
    """The equation to solve: ``excess`` is 0 at a solution and not below 0 at the top."""

    def __init__(self, load, steady_v, ohm, mean_a):
        self.load, self.steady_v, self.ohm, self.mean_a = load, steady_v, ohm, mean_a

    def excess(self, volts):
        beyond_a = np.maximum(self.load.peak_current_a(volts) - self.mean_a, 0.0)
        return volts + beyond_a * self.ohm - self.steady_v


def _newton(load, steady_v, ohm, mean_a):
    """Newton's steps from the top: quick, and right wherever it ends on a solution from above.

    Returns the voltages and the places that are not solved.
    """
    volts = steady_v.copy()
    # Only what is not solved yet is looked at again.
    left = np.arange(volts.size)
    for _ in range(NEWTON_STEPS):
        sag = _Sag(load, steady_v[left], ohm[left], mean_a[left])
        here = volts[left]
        excess = sag.excess(here)
        unsolved = np.abs(excess) > 1e-9 * sag.steady_v
        left, here, excess = left[unsolved], here[unsolved], excess[unsolved]
        if not left.size:
            break
        sag = _Sag(load, steady_v[left], ohm[left], mean_a[left])
        slope = (excess - sag.excess(here * (1 - 1e-7))) / (here * 1e-7)
        going_down = (slope > 0.01) & (excess > 0)
        step = np.where(going_down, excess / np.where(going_down, slope, 1.0), 0.0)
        volts[left] = np.where(here - step > 0, here - step, here)
    return volts, left


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
