"""Wires: resistance, drop and heating, and the thinnest one that keeps within what is allowed.

Areas in mm2, lengths in m (one way: the current comes back as well, and both conductors count),
resistances in ohm, temperatures in degC, heating in K.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import numpy as np

from packlearn.building._data import ROUNDING, checked_voltage, source_texts, table
from packlearn.errors import PackLimit, UnknownName
from packlearn.quantities import write
from packlearn.rules import in_floats, number, wire_resistance_ohm
from packlearn.words import say

INCH_MM = 25.4
# A circular mil: the area of a circle a thousandth of an inch across.
CIRCULAR_MIL_MM2 = math.pi / 4 * (INCH_MM / 1000) ** 2
RATED_DEGC = 20.0
SYSTEMS = ("mm2", "awg")


@in_floats
def gauge_diameter_mm(gauge):
    """Diameter of a solid wire by its American gauge.

    Args:
        gauge: number; 4/0 is -3. Scalar or array.

    Returns:
        Diameter [mm]: ``0.127 * 92 ** ((36 - n) / 39)`` (ASTM B258).
    """
    return 0.005 * INCH_MM * 92.0 ** ((36.0 - gauge) / 39.0)


@in_floats
def gauge_area_mm2(gauge):
    """Cross-section [mm2] of an American gauge.

    Args:
        gauge: number; 4/0 is -3. Scalar or array.
    """
    return round_area_mm2(gauge_diameter_mm(gauge))


@in_floats
def round_area_mm2(diameter_mm):
    """Cross-section [mm2] of a round wire: ``pi / 4 * d ** 2``.

    Args:
        diameter_mm: diameter [mm], scalar or array.
    """
    return np.pi / 4 * np.square(diameter_mm)


def warm_resistance_ohm(resistance_ohm, temperature_degc, coefficient=None, rated_degc=RATED_DEGC):
    """Resistance of a wire at another temperature.

    Args:
        resistance_ohm: at ``rated_degc`` [ohm].
        temperature_degc: temperature of the wire [degC].
        coefficient: rise for each kelvin at ``rated_degc``, as a share; None takes copper's.
        rated_degc: temperature of the first argument [degC].

    Returns:
        Resistance [ohm]: ``R * (1 + alpha * (T - T0))``.
    """
    alpha = _alpha() if coefficient is None else coefficient
    return _warm_ohm(resistance_ohm, temperature_degc, alpha, rated_degc)


@in_floats
def _warm_ohm(resistance_ohm, temperature_degc, alpha, rated_degc):
    return resistance_ohm * (1.0 + alpha * (temperature_degc - rated_degc))


@in_floats
def to_20_degc_factor(temperature_degc):
    """Factor that brings a measured resistance of copper to 20 degC, by IEC 60228.

    Args:
        temperature_degc: temperature of the wire [degC].

    Returns:
        Factor: ``250 / (230 + T)``.
    """
    return 250.0 / (230.0 + temperature_degc)


def _alpha():
    return table("wires")["copper"]["temperature_coefficient"]


@in_floats
def area_for_drop_mm2(current_a, length_m, drop_v):
    """Cross-section at which a wire loses a given voltage, both conductors, at 20 degC.

    Args:
        current_a: current [A].
        length_m: one way [m].
        drop_v: voltage lost [V], above 0.

    Returns:
        Area [mm2]: ``0.0172 * 2 * m * A / V``. Take the next standard size.
    """
    return wire_resistance_ohm(2.0 * length_m, 1.0) * current_a / drop_v


def next_area_mm2(area_mm2):
    """Smallest standard size [mm2] that is not below an area.

    Args:
        area_mm2: area [mm2].

    Raises:
        PackLimit: above the largest size here.
    """
    areas = [each.area_mm2 for each in conductors("mm2")]
    area_mm2 = number("building.wires.area", area_mm2, least=0)
    fitting = [each for each in areas if each >= area_mm2 * (1 - ROUNDING)]
    if not fitting:
        raise PackLimit("building.wires.too_thick", value=f"{area_mm2:.3g}", limit=areas[-1])
    return fitting[0]


@dataclass(frozen=True)
class Conductor:
    """A wire that is sold.

    Attributes:
        gauge: American gauge, or None for a metric size.
        area_mm2: cross-section of copper [mm2].
        ohm_per_m: largest resistance of 1 m at 20 degC [ohm], flexible strands.
        outer_mm: diameter with insulation [mm].
        sources: texts of where the values come from.
    """

    gauge: int | None
    area_mm2: float
    ohm_per_m: float
    outer_mm: float
    sources: tuple[str, ...] = ()

    @property
    def label(self):
        """Name on a list: ``0.5 mm²`` or ``AWG 20``."""
        return write(self.area_mm2, "mm2") if self.gauge is None else f"AWG {self.gauge}"

    def limit_a(self, heating_k, ambient_degc=25.0, bundled=False):
        """Current [A] that warms it by so much: ``sqrt(h * pi * D * K / r)``, r at that warmth.

        Args:
            heating_k: warmer than the air [K].
            ambient_degc: temperature of the air [degC].
            bundled: lies among others or in a tube.
        """
        warm_ohm = warm_resistance_ohm(self.ohm_per_m, ambient_degc + heating_k)
        return math.sqrt(self._surface_w_mk(bundled) * heating_k / warm_ohm)

    def heating_k(self, current_a, ambient_degc=25.0, bundled=False):
        """How much a current warms it [K]; infinite where it would run away.

        Args:
            current_a: root mean square current [A].
            ambient_degc: temperature of the air [degC].
            bundled: lies among others or in a tube.
        """
        # K = a (1 + alpha (T_air + K - 20)), with a what it would be at 20 degC.
        cold_k = current_a**2 * self.ohm_per_m / self._surface_w_mk(bundled)
        left = 1.0 - cold_k * _alpha()
        if left <= 0:
            return math.inf
        return cold_k * (1.0 + _alpha() * (ambient_degc - RATED_DEGC)) / left

    def _surface_w_mk(self, bundled):
        """Heat 1 m gives away for each kelvin [W/(m K)]."""
        cooling = table("wires")["cooling"]["bundled_w_m2k" if bundled else "free_w_m2k"]
        return cooling * math.pi * self.outer_mm / 1000.0


@functools.cache
def conductors(system="mm2"):
    """Wires that are sold, thinnest first.

    Args:
        system: ``"mm2"`` or ``"awg"``.

    Returns:
        Tuple of ``Conductor``.

    Raises:
        UnknownName: another system.
    """
    if system not in SYSTEMS:
        raise UnknownName("building.wires.system", value=system, limit=", ".join(SYSTEMS))
    rows, copper = table("wires")["size"], table("wires")["copper"]
    if system == "mm2":
        return tuple(
            Conductor(
                None,
                row["area_mm2"],
                row["stranded_ohm_km"] / 1000.0,
                row["outer_mm"],
                source_texts(*row["sources"].values()),
            )
            for row in rows
        )
    areas, outers = zip(*((row["area_mm2"], row["outer_mm"]) for row in rows), strict=True)
    found = []
    for gauge in table("wires")["gauges"]["usual"]:
        area = gauge_area_mm2(gauge)
        ohm = copper["gauge_ohm_mm2_per_m"] * copper["gauge_stranding"] / area
        outer = float(np.interp(area, areas, outers))
        found.append(Conductor(gauge, area, ohm, outer, source_texts("astm-b258", "gauge-table")))
    return tuple(found)


@dataclass(frozen=True)
class Wire:
    """The thinnest wire that keeps within what is allowed; made by ``wire_for``.

    Attributes:
        conductor: the wire that is sold.
        gauge: thinnest American gauge that keeps within the same limits, or None.
        current_a, length_m: what was asked; the length is one way.
        resistance_ohm: both conductors, warmed by the current [ohm]; ``resistance_20_ohm`` cold.
        drop_v: voltage lost on both [V]; ``allowed_drop_v`` the most.
        drop_share: share of the voltage, or None where no voltage was given.
        heating_k: how much the current warms it [K]; ``allowed_heating_k`` the most.
        limit_a: current it carries at the allowed heating [A]: what a fuse must stay below.
        binds: ``"drop"``, ``"heating"``, ``"least"`` (the least asked for) or ``"thinnest"``.
    """

    conductor: Conductor
    gauge: int | None
    current_a: float
    length_m: float
    resistance_ohm: float
    resistance_20_ohm: float
    drop_v: float
    allowed_drop_v: float
    drop_share: float | None
    heating_k: float
    allowed_heating_k: float
    limit_a: float
    binds: str

    @property
    def area_mm2(self):
        """Cross-section [mm2]."""
        return self.conductor.area_mm2

    @property
    def sources(self):
        """Texts of where the figures come from."""
        return (*self.conductor.sources, *source_texts("copper-coefficient", "cooling"))

    @property
    def sentence(self):
        """What the wire does, in words."""
        return say(
            "building.wires.chosen",
            wire=self.conductor.label,
            ohm=write(self.resistance_ohm, "ohm"),
            drop=write(self.drop_v, "V"),
            current=write(self.current_a, "A"),
            heating=f"{self.heating_k:.2g}",
            binds=say(f"building.wires.binds.{self.binds}"),
        )


def wire_for(
    current_a,
    length_m,
    *,
    allowed_drop_v=None,
    voltage_v=None,
    allowed_heating_k=None,
    ambient_degc=25.0,
    bundled=False,
    system="mm2",
    least_mm2=0.0,
):
    """The thinnest wire for a current, by length (both conductors count), drop and heating.

    Args:
        current_a: current [A]; the root mean square one, if it changes.
        length_m: length of the cable, one way [m].
        allowed_drop_v: most voltage lost on both conductors [V]; None takes 3 % of the voltage.
        voltage_v: voltage of the source [V], at most 60.
        allowed_heating_k: how much warmer than the air it may become [K]; None takes 20.
        ambient_degc: temperature of the air [degC].
        bundled: lies among others or in a tube, and cools less.
        system: ``"mm2"`` or ``"awg"``.
        least_mm2: thinnest cross-section looked at [mm2], such as a fuse asks for.

    Returns:
        ``Wire``.

    Raises:
        BadValue: a value out of bounds, or neither a drop nor a voltage.
        PackLimit: no wire here is thick enough, or more than 60 V.
    """
    current_a = number("building.wires.current", current_a, above=0)
    length_m = number("building.wires.length", length_m, above=0)
    if allowed_heating_k is None:
        allowed_heating_k = table("wires")["cooling"]["allowed_heating_k"]
    heating = number("building.wires.heating", allowed_heating_k, above=0)
    allowed_v = _allowed_drop_v(allowed_drop_v, voltage_v)
    # What a wire takes of what is allowed: (of the drop, of the heating).
    air = (number("building.wires.ambient", ambient_degc, above=-273.15), bundled)

    def taken(each):
        warm_k = each.heating_k(current_a, *air)
        ohm = warm_resistance_ohm(2.0 * length_m * each.ohm_per_m, air[0] + min(warm_k, 1e6))
        return current_a * ohm / allowed_v, warm_k / heating

    sizes = [each for each in conductors(system) if each.area_mm2 >= least_mm2 * (1 - ROUNDING)]
    chosen, binds = _thinnest(sizes, taken, "building.wires.none", current_a, length_m)
    binds = "least" if least_mm2 and binds == "thinnest" else binds
    gauge = _gauge(taken)
    warm_k = chosen.heating_k(current_a, *air)
    cold_ohm = 2.0 * length_m * chosen.ohm_per_m
    ohm = warm_resistance_ohm(cold_ohm, air[0] + warm_k)
    drop = current_a * ohm
    limit_a = chosen.limit_a(heating, *air)
    share = None if voltage_v is None else drop / voltage_v
    asked = (current_a, length_m, ohm, cold_ohm, drop, allowed_v, share)
    return Wire(chosen, gauge, *asked, warm_k, heating, limit_a, binds)


def _allowed_drop_v(allowed_drop_v, voltage_v):
    if voltage_v is not None:
        checked_voltage(number("building.wires.voltage", voltage_v, above=0))
    if allowed_drop_v is not None:
        return number("building.wires.drop", allowed_drop_v, above=0)
    voltage_v = number("building.wires.drop", voltage_v, above=0)
    return table("wires")["cooling"]["allowed_drop_share"] * voltage_v


def _thinnest(sizes, taken, key, current_a, length_m):
    before = None
    for each in sizes:
        drop, heating = taken(each)
        if max(drop, heating) <= 1 + ROUNDING:
            if before is None:
                return each, "thinnest"
            return each, "drop" if before[0] >= before[1] else "heating"
        before = drop, heating
    limit = sizes[-1].label if sizes else ""
    raise PackLimit(key, value=f"{current_a:.3g}", limit=limit, length=f"{length_m:.3g}")


def _gauge(taken):
    fitting = (each.gauge for each in conductors("awg") if max(taken(each)) <= 1 + ROUNDING)
    return next(fitting, None)


@in_floats
def drop_v(current_a, length_m, area_mm2):
    """Voltage lost on both conductors of a cable of copper at 20 degC [V].

    Args:
        current_a: current [A], scalar or array.
        length_m: one way [m].
        area_mm2: cross-section [mm2].

    Returns:
        Drop [V]: ``A * 0.0172 * 2 m / mm2``.
    """
    return current_a * wire_resistance_ohm(2.0 * length_m, area_mm2)


def thicker_for_fuse(limit_a, allowed_heating_k=None, ambient_degc=25.0):
    """Thinnest wire [mm2] that carries a current at the allowed heating, or None.

    Args:
        limit_a: current it must carry [A].
        allowed_heating_k: how much warmer than the air [K]; None takes 20.
        ambient_degc: temperature of the air [degC].
    """
    heating = allowed_heating_k or table("wires")["cooling"]["allowed_heating_k"]
    fitting = (c for c in conductors() if c.limit_a(heating, ambient_degc) >= limit_a)
    return next(fitting, None)
