"""The rules of packs as plain functions of numbers.

Every function takes scalars or arrays and broadcasts. Units: V, A, Ah, W, Wh, ohm, h.
"""

import functools

import numpy as np

from packlearn.errors import BadValue


def plain(function):
    """Decorator: a function given scalars answers a plain Python number, not a numpy one."""

    @functools.wraps(function)
    def answer(*args, **more):
        result = function(*args, **more)
        return np.asarray(result).item() if np.ndim(result) == 0 else result

    return answer


def in_floats(rule):
    """Decorator: like ``plain``, with every argument turned to floats first.

    Whole numbers of 32 bits, as in a browser, would overflow silently.
    """

    @plain
    @functools.wraps(rule)
    def answer(*args, **more):
        floats = {name: np.asarray(value, dtype=float) for name, value in more.items()}
        return rule(*(np.asarray(value, dtype=float) for value in args), **floats)

    return answer


@in_floats
def series_voltage_v(cell_voltage_v, series):
    """Voltage of cells in line: it adds.

    Args:
        cell_voltage_v: voltage of one cell [V], scalar or array.
        series: series count S, scalar or array.

    Returns:
        Voltage of the string [V]: ``S * V``.
    """
    return np.multiply(cell_voltage_v, series)


@in_floats
def parallel_capacity_ah(cell_capacity_ah, parallel):
    """Capacity of cells side by side: it adds; cells in line add none.

    Args:
        cell_capacity_ah: capacity of one cell [Ah], scalar or array.
        parallel: parallel count P, scalar or array.

    Returns:
        Capacity [Ah]: ``P * Ah``.
    """
    return np.multiply(cell_capacity_ah, parallel)


@in_floats
def parallel_current_limit_a(cell_limit_a, parallel):
    """Continuous current limit of cells side by side: each carries its share.

    Args:
        cell_limit_a: limit of one cell [A], scalar or array.
        parallel: parallel count P, scalar or array.

    Returns:
        Limit [A]: ``P * A``. The pack may give it; the load decides what flows.
    """
    return np.multiply(cell_limit_a, parallel)


@in_floats
def pack_resistance_ohm(cell_resistance_ohm, series, parallel):
    """Internal resistance of a pack of equal cells.

    Args:
        cell_resistance_ohm: internal resistance of one cell [ohm].
        series: series count S.
        parallel: parallel count P.

    Returns:
        Resistance [ohm]: ``r * S / P``.
    """
    return np.divide(np.multiply(cell_resistance_ohm, series), parallel)


@in_floats
def energy_wh(nominal_voltage_v, capacity_ah):
    """Energy from nominal voltage and capacity.

    Args:
        nominal_voltage_v: nominal voltage [V].
        capacity_ah: capacity [Ah].

    Returns:
        Energy [Wh]: ``V * Ah``.
    """
    return np.multiply(nominal_voltage_v, capacity_ah)


@in_floats
def run_time_h(capacity_ah, current_a, capacity_derating=1.0):
    """Run time by the rule of thumb.

    Args:
        capacity_ah: capacity [Ah], scalar or array.
        current_a: mean current [A], more than 0.
        capacity_derating: share of the capacity one plans to use, above 0 to 1.

    Returns:
        Run time [h]: ``Ah * derating / A``.

    Raises:
        BadValue: current not above 0, or derating outside 0 to 1.
    """
    if not np.all(np.asarray(current_a) > 0):
        raise BadValue("packs.current_positive", value=f"{np.min(current_a):.3g}", limit=0)
    check_share("capacity_derating", capacity_derating)
    return np.divide(np.multiply(capacity_ah, capacity_derating), current_a)


@in_floats
def terminal_voltage_v(open_circuit_v, resistance_ohm, current_a):
    """Voltage at the ends of a source while a current flows.

    Args:
        open_circuit_v: voltage with no load [V].
        resistance_ohm: internal resistance [ohm].
        current_a: current [A], positive when the source delivers; negative while charging.

    Returns:
        Terminal voltage [V]: ``V - A * ohm``.
    """
    return np.subtract(open_circuit_v, np.multiply(current_a, resistance_ohm))


@in_floats
def current_into_a(open_circuit_v, source_ohm, load_ohm):
    """Current a resistance takes from a source.

    Args:
        open_circuit_v: voltage with no load [V].
        source_ohm: internal resistance of the source [ohm].
        load_ohm: resistance of the load [ohm].

    Returns:
        Current [A]: ``V / (r + R)``; infinite where both are 0.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.divide(open_circuit_v, np.add(source_ohm, load_ohm))


@in_floats
def short_circuit_current_a(open_circuit_v, resistance_ohm):
    """Current through an ideal short across a source.

    Args:
        open_circuit_v: voltage with no load [V].
        resistance_ohm: internal resistance [ohm].

    Returns:
        Current [A]: ``V / r``; infinite for r = 0.
    """
    with np.errstate(divide="ignore"):
        return np.divide(open_circuit_v, resistance_ohm)


# Copper at 20 degC: 1/58 ohm mm2/m for annealed copper (IEC 60028), 0.0172 rounded.
COPPER_OHM_MM2_PER_M = 0.0172


@in_floats
def wire_resistance_ohm(length_m, area_mm2, resistivity_ohm_mm2_per_m=COPPER_OHM_MM2_PER_M):
    """Resistance of a copper wire at 20 degC.

    Args:
        length_m: length the current runs along, there and back [m].
        area_mm2: cross-section of the conductor [mm2].
        resistivity_ohm_mm2_per_m: of another table or metal [ohm mm2/m].

    Returns:
        Resistance [ohm]: ``0.0172 * m / mm2``.
    """
    return np.divide(np.multiply(resistivity_ohm_mm2_per_m, length_m), area_mm2)


@in_floats
def largest_power_w(open_circuit_v, resistance_ohm):
    """Largest power a source can hand to any load.

    Args:
        open_circuit_v: voltage with no load [V].
        resistance_ohm: internal resistance [ohm].

    Returns:
        Power [W]: ``V**2 / (4 r)``, reached when the load equals r; infinite for r = 0.
    """
    with np.errstate(divide="ignore"):
        return np.divide(np.square(open_circuit_v), np.multiply(4.0, resistance_ohm))


@in_floats
def current_for_power_a(open_circuit_v, resistance_ohm, power_w):
    """Current at which a source hands over a given power.

    Args:
        open_circuit_v: voltage with no load [V].
        resistance_ohm: internal resistance [ohm].
        power_w: power at the terminals [W], scalar or array.

    Returns:
        The smaller current [A] that solves ``(V - A r) A = W``; NaN where no current does.
    """
    root = np.square(open_circuit_v) - 4.0 * np.multiply(resistance_ohm, power_w)
    with np.errstate(invalid="ignore"):
        # This form stays exact as r goes to 0, where (V - sqrt) / 2r would not.
        return np.divide(np.multiply(2.0, power_w), np.add(open_circuit_v, np.sqrt(root)))


def check_share(name, share):
    """Raise BadValue unless a share (a derating, an efficiency) lies above 0 and up to 1.

    Args:
        name: the argument's name, for the message.
        share: scalar or array.
    """
    ok = np.asarray(share)
    if not np.all((ok > 0) & (ok <= 1)):
        raise BadValue("packs.share", name=name, value=share, limit="0 to 1")


def check_count(name, count, most):
    """Count as an int.

    Args:
        name: the argument's name, for the message.
        count: whole number from 1.
        most: largest count that is taken for meant.

    Raises:
        BadValue: not a whole number, below 1 or above ``most``.
    """
    if isinstance(count, bool) or not np.isscalar(count) or isinstance(count, str):
        raise BadValue("packs.count", name=name, value=repr(count)[:40], limit=most)
    if not (1 <= count <= most) or count != int(count):
        raise BadValue("packs.count", name=name, value=count, limit=most)
    return int(count)


def shown(value):
    """A number of a message in three digits; of an array, its largest.

    Args:
        value: number or array.
    """
    return f"{np.max(value):.3g}"


def number(key, value, *, above=None, least=None, **more):
    """A finite number as a float.

    Args:
        key: key of the message if it is none.
        value: what was given; texts are refused, since they hold units and commas.
        above: it must be larger than this.
        least: it must be at least this.
        **more: further fields of the message.

    Raises:
        BadValue: no finite number, or out of bounds.
    """
    limit = above if above is not None else least
    if not isinstance(value, (int, float, np.number)) or isinstance(value, bool):
        raise BadValue(key, value=repr(value)[:40], limit=limit, **more)
    low = above is not None and not value > above or least is not None and not value >= least
    if low or not np.isfinite(value):
        raise BadValue(key, value=value, limit=limit, **more)
    return float(value)
