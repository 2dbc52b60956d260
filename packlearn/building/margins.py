"""Factors that sizing multiplies a capacity by: age, margin, temperature."""

from __future__ import annotations

import numpy as np

from packlearn.building._data import of_chemistry, table
from packlearn.errors import BadValue
from packlearn.rules import check_share, plain


def ageing_factor(end_of_service_share=None):
    """Factor by which a new battery must be larger so that it is still enough when replaced.

    Args:
        end_of_service_share: share of its capacity at which it is replaced; None takes 0.8.

    Returns:
        Factor: ``1 / share``.
    """
    usual = table("margins")["usual"]["end_of_service_share"]
    share = usual if end_of_service_share is None else end_of_service_share
    check_share("end_of_service_share", share)
    return 1.0 / share


def usual_design_margin():
    """Least and most of the usual design margin, factors."""
    return tuple(table("margins")["usual"]["design_margin"])


@plain
def temperature_factor(temperature_degc, chemistry="lead-acid"):
    """Factor by which a battery must be larger in the cold; it was rated at 25 degC.

    Args:
        temperature_degc: temperature of the cells [degC], scalar or array; warmer than 25 degC
            counts as 25.
        chemistry: only lead-acid has a table here (from memory of IEEE 485).

    Raises:
        BadValue: colder than the table goes.
        UnknownName: a chemistry without a table.
    """
    row = of_chemistry("margins", chemistry)
    knots, factors = row["temperature_degc"], row["factor"]
    coldest = float(np.min(temperature_degc))
    if not coldest >= knots[0]:
        raise BadValue("building.margins.too_cold", value=f"{coldest:g}", limit=f"{knots[0]:g}")
    return np.interp(temperature_degc, knots, factors)
