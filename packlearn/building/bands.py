"""The band of a fuse: between which currents its rating lies, for a load and a wire."""

from __future__ import annotations

from dataclasses import dataclass

from packlearn.building.fuses import family, fitting, wire_limit_a, wire_share
from packlearn.rules import number


@dataclass(frozen=True)
class Band:
    """Between which currents a fuse's rating lies; made by ``band_for``.

    Attributes:
        steady_a, peak_a: what the load takes [A].
        floor_a: the steady current over the family's share to run at [A].
        least_a: lower end [A]; ``floor_a``, or the peak where a rating reaches it.
        most_a: upper end [A]: the share of the wire's current one plans with.
        ratings_a: standard ratings between both [A], smallest first; none where none fits.
        time_lag: whether peaks stand above every rating that fits.
    """

    steady_a: float
    peak_a: float
    floor_a: float
    least_a: float
    most_a: float
    ratings_a: tuple[float, ...]
    time_lag: bool


def band_for(steady_a, peak_a, wire, family_name="ul", *, wire_derating=None):
    """Between which currents a fuse's rating lies, for a load and the thinnest wire behind it.

    Args:
        steady_a: root mean square current of the load [A].
        peak_a: its largest current [A], not below the steady one.
        wire: a ``Wire``, or the current it carries [A].
        family_name: ``"ul"``, ``"iec"`` or ``"blade"``.
        wire_derating: share of the wire's current; None takes 0.8.

    Returns:
        ``Band``.
    """
    kind = family(family_name)
    steady_a = number("building.fuses.load", steady_a, above=0)
    peak_a = number("building.fuses.load", peak_a, least=steady_a)
    most_a = wire_share(wire_derating) * wire_limit_a(wire)
    floors = {"steady": steady_a / kind.run_share, "peak": peak_a}
    least_a, _, found, time_lag = fitting(kind, floors, most_a)
    ratings = tuple(sorted(found))
    return Band(steady_a, peak_a, floors["steady"], least_a, most_a, ratings, time_lag)
