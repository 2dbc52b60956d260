"""Peukert's law: one exponent in place of the discharge curves, within a range of currents.

``I**k * t`` stays the same from one current to another. Two conventions of the capacity are in
use, and the same number means different things in them:

- the capacity at a rated time, such as the 20 h rate: ``t = H * (C / (I * H))**k``;
- the capacity at one ampere: ``t = C1 / I**k`` with I in amps.

No one exponent holds for everything: it depends on the chemistry, the range of currents and the
end voltage. ``EXPONENTS`` gives it with its range.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from packlearn.errors import BadValue, UnknownName
from packlearn.rules import in_floats
from packlearn.words import word


@dataclass(frozen=True)
class Exponent:
    """A Peukert exponent and where it holds.

    Attributes:
        value: the exponent k.
        lowest_c, highest_c: C-rates [1/h] between which it holds.
        to_v: end voltage of a single cell it was taken at [V].
        source_key: key of the sentence that says where it comes from.
    """

    value: float
    lowest_c: float
    highest_c: float
    to_v: float
    source_key: str

    @property
    def source(self):
        """Where it comes from."""
        return word(f"peukert.sources.{self.source_key}")


# Read off the measured sets named; below the range of alkaline cells k is about 1.14.
EXPONENTS = MappingProxyType(
    {
        "alkaline": Exponent(
            1.331,
            1 / 24,
            1 / 4.8,
            0.8,
            "alkaline",
        ),
        "NiMH": Exponent(
            1.016,
            0.2,
            1.0,
            1.0,
            "nimh",
        ),
        "Li-FeS2": Exponent(
            1.006,
            1 / 33,
            1 / 6.5,
            0.8,
            "li-fes2",
        ),
        "Li-ion": Exponent(
            1.0125,
            0.1,
            2.0,
            3.0,
            "li-ion",
        ),
        "lead-acid": Exponent(
            1.25,
            1 / 20,
            1.0,
            1.75,
            "lead-acid",
        ),
    }
)


def exponent_of(chemistry):
    """The exponent of a chemistry with its range.

    Args:
        chemistry: such as ``"alkaline"``.

    Returns:
        ``Exponent``.

    Raises:
        UnknownName: none is known; the message lists those that are.
    """
    if chemistry not in EXPONENTS:
        raise UnknownName("peukert.unknown", value=str(chemistry)[:40], limit=", ".join(EXPONENTS))
    return EXPONENTS[chemistry]


@in_floats
def run_time_h(capacity_ah, current_a, exponent, rated_time_h=20.0):
    """Run time [h] from the capacity at a rated time: ``H * (C / (I * H))**k``.

    Args:
        capacity_ah: capacity [Ah] when emptied in ``rated_time_h``, scalar or array.
        current_a: current [A], above 0.
        exponent: Peukert exponent k.
        rated_time_h: the rated time H [h]; lead-acid data sheets often take 20 h.

    Raises:
        BadValue: a value that is not above 0.
    """
    _check(capacity_ah, current_a, exponent, rated_time_h)
    return rated_time_h * (capacity_ah / (current_a * rated_time_h)) ** exponent


@in_floats
def run_time_from_one_amp_h(capacity_at_one_amp_ah, current_a, exponent):
    """Run time [h] from the capacity at one ampere: ``C1 / I**k``.

    Args:
        capacity_at_one_amp_ah: capacity [Ah] when emptied with 1 A, scalar or array.
        current_a: current [A], above 0.
        exponent: Peukert exponent k.

    Raises:
        BadValue: a value that is not above 0.
    """
    _check(capacity_at_one_amp_ah, current_a, exponent)
    return capacity_at_one_amp_ah / current_a**exponent


@in_floats
def capacity_ah(capacity_ah, current_a, exponent, rated_time_h=20.0):
    """Capacity [Ah] left of the rated one at a current: ``I * t``.

    Args:
        capacity_ah: capacity [Ah] when emptied in ``rated_time_h``.
        current_a: current [A], above 0.
        exponent: Peukert exponent k.
        rated_time_h: the rated time H [h].
    """
    return current_a * run_time_h(capacity_ah, current_a, exponent, rated_time_h)


@in_floats
def capacity_at_one_amp_ah(capacity_ah, exponent, rated_time_h=20.0):
    """Capacity at one ampere [Ah] of a capacity at a rated time: ``H * (C / H)**k``.

    Args:
        capacity_ah: capacity [Ah] when emptied in ``rated_time_h``.
        exponent: Peukert exponent k.
        rated_time_h: the rated time H [h].
    """
    _check(capacity_ah, 1.0, exponent, rated_time_h)
    return rated_time_h * (capacity_ah / rated_time_h) ** exponent


@in_floats
def exponent_from_times(current_a, time_h, other_current_a, other_time_h):
    """Peukert exponent from two runs: ``ln(t1 / t2) / ln(I2 / I1)``.

    Args:
        current_a, time_h: current [A] and run time [h] of one run.
        other_current_a, other_time_h: of another run with another current.

    Raises:
        BadValue: a value that is not above 0, or twice the same current.
    """
    _check(current_a, time_h, other_current_a, other_time_h)
    if np.any(current_a == other_current_a):
        raise BadValue("peukert.same", value=f"{np.max(current_a):.3g}")
    return np.log(time_h / other_time_h) / np.log(other_current_a / current_a)


def capacity_of_cell_ah(cell, current_a):
    """Capacity [Ah] of a cell at a current by its chemistry's exponent.

    Args:
        cell: a ``Cell`` that says at what current its capacity holds.
        current_a: current [A].

    Returns:
        ``C * (I0 / I)**(k - 1)``, I0 being the current the capacity was stated at.

    Raises:
        UnknownName: no exponent for the chemistry.
        BadValue: a current outside the range of the exponent; the message names the range.
    """
    known = exponent_of(cell.chemistry)
    _check(current_a)
    rate = current_a / cell.capacity_ah
    if not known.lowest_c * 0.999 <= rate <= known.highest_c * 1.001:
        raise BadValue(
            "peukert.range",
            value=f"{current_a:.3g}",
            limit=f"{known.lowest_c * cell.capacity_ah:.3g}",
            highest=f"{known.highest_c * cell.capacity_ah:.3g}",
            cell=cell.title,
        )
    stated_a = cell.capacity_at_a or 0.2 * cell.capacity_ah
    return cell.capacity_ah * (stated_a / current_a) ** (known.value - 1.0)


def _check(*values):
    for value in values:
        if not np.all(np.isfinite(value)) or not np.all(np.asarray(value) > 0):
            raise BadValue("peukert.above_zero", value=f"{np.min(value):.3g}", limit=0)
