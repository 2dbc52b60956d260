"""Building a pack: wire, fuse, links, protection, charging, keeping, carrying; returns data.

Nothing above 60 V is answered, cells that must not be charged have no charger, and lithium-ion
and LiFePO4 are only bought as ready-made protected packs.
"""

from packlearn.building.bands import band_for
from packlearn.building.carrying import band_of, designation, rated_energy_wh, transport_of
from packlearn.building.charging import charge_time_h, charging_for, may_be_charged
from packlearn.building.differing import differences
from packlearn.building.fuses import family, fuse_for, fuse_places, next_rating_a, ratings_between
from packlearn.building.keeping import cold_share, keeping_of, share_left
from packlearn.building.links import links_for, strip_for, switch_for, terminals_for
from packlearn.building.margins import ageing_factor, temperature_factor, usual_design_margin
from packlearn.building.measures import measures_of, standard_size
from packlearn.building.minding import SITUATIONS, cautions
from packlearn.building.planning import Plan, plan_for
from packlearn.building.protecting import protection_for
from packlearn.building.wires import (
    area_for_drop_mm2,
    conductors,
    drop_v,
    gauge_area_mm2,
    gauge_diameter_mm,
    next_area_mm2,
    warm_resistance_ohm,
    wire_for,
)

__all__ = [
    "SITUATIONS",
    "Plan",
    "ageing_factor",
    "area_for_drop_mm2",
    "band_for",
    "band_of",
    "cautions",
    "charge_time_h",
    "charging_for",
    "cold_share",
    "conductors",
    "designation",
    "differences",
    "drop_v",
    "family",
    "fuse_for",
    "fuse_places",
    "gauge_area_mm2",
    "gauge_diameter_mm",
    "keeping_of",
    "links_for",
    "may_be_charged",
    "measures_of",
    "next_area_mm2",
    "next_rating_a",
    "plan_for",
    "protection_for",
    "rated_energy_wh",
    "ratings_between",
    "share_left",
    "standard_size",
    "strip_for",
    "switch_for",
    "temperature_factor",
    "terminals_for",
    "transport_of",
    "usual_design_margin",
    "warm_resistance_ohm",
    "wire_for",
]
