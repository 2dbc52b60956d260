"""Loads: what a device takes from a pack, directly or through a converter or regulator."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from packlearn.errors import BadValue
from packlearn.rules import check_share, number, plain


class Load:
    """What is connected to a pack. Made with the functions named after what stays constant.

    A load answers ``current_at_a(voltage_v)``: the current [A] it takes while that
    voltage [V] stands at its terminals. A profile answers for its steps.
    """

    @staticmethod
    def current(current_a):
        """Load that takes the same current at any voltage.

        Args:
            current_a: current [A], not negative.
        """
        return CurrentLoad(number("loads.current", current_a, least=0))

    @staticmethod
    def power(power_w):
        """Load that takes the same power at any voltage.

        Args:
            power_w: power [W], not negative.
        """
        return PowerLoad(number("loads.power", power_w, least=0))

    @staticmethod
    def resistance(resistance_ohm):
        """Load that is a resistance.

        Args:
            resistance_ohm: resistance [ohm], above 0.
        """
        return ResistanceLoad(number("loads.resistance", resistance_ohm, above=0))

    @staticmethod
    def profile(steps):
        """Load that repeats a row of steps for ever.

        Args:
            steps: pairs of (load, seconds); the times are above 0.
        """
        try:
            rows = tuple((load, seconds) for load, seconds in steps)
        except (TypeError, ValueError):
            raise BadValue("loads.pairs", value=repr(steps)[:60]) from None
        return ProfileLoad(rows)

    def through(self, stage):
        """The same load fed through a ``Converter`` or ``LinearRegulator``.

        Args:
            stage: what stands between the pack and the load.
        """
        return StageLoad(self, stage)

    @property
    def steps(self):
        """Steps of one period as pairs (load, seconds); one step for a steady load."""
        return ((self, 1.0),)

    @property
    def period_s(self):
        """Length of one period [s]."""
        return float(sum(seconds for _, seconds in self.steps))

    @property
    def window_v(self):
        """Lowest and highest input voltage [V] the load itself asks for, None where unknown."""
        return (None, None)

    def step_currents_a(self, voltage_v=None):
        """Current of each step.

        Args:
            voltage_v: voltage at the terminals [V], scalar or array; may be left out for
                loads of constant current.

        Returns:
            Array of currents [A], steps first, then the shape of ``voltage_v``.
        """
        shape = np.shape(voltage_v) if voltage_v is not None else ()
        currents = [load.current_at_a(voltage_v) for load, _ in self.steps]
        return np.array([np.broadcast_to(current, shape) for current in currents], dtype=float)

    def _mean_over_steps(self, values):
        seconds = np.array([seconds for _, seconds in self.steps])
        return np.tensordot(seconds / seconds.sum(), values, axes=1)

    @plain
    def mean_current_a(self, voltage_v=None):
        """Mean current [A] over a period: the one that empties the pack.

        Args:
            voltage_v: voltage at the terminals [V], scalar or array.
        """
        return self._mean_over_steps(self.step_currents_a(voltage_v))

    @plain
    def rms_current_a(self, voltage_v=None):
        """Root of the mean square current [A]: the one that heats wires and cells.

        Args:
            voltage_v: voltage at the terminals [V], scalar or array.
        """
        return np.sqrt(self._mean_over_steps(self.step_currents_a(voltage_v) ** 2))

    @plain
    def peak_current_a(self, voltage_v=None):
        """Largest current of a period [A]: the one to hold against a limit.

        Args:
            voltage_v: voltage at the terminals [V], scalar or array.
        """
        return self.step_currents_a(voltage_v).max(axis=0)

    @plain
    def mean_power_w(self, voltage_v):
        """Mean power [W] over a period at a steady voltage.

        Args:
            voltage_v: voltage at the terminals [V], scalar or array.
        """
        return np.multiply(voltage_v, self.mean_current_a(voltage_v))

    @plain
    def duty_cycle(self, voltage_v=None):
        """Share of the period (0 to 1) spent in steps that take more than the smallest one.

        Args:
            voltage_v: voltage at the terminals [V], scalar or array.
        """
        currents = self.step_currents_a(voltage_v)
        return self._mean_over_steps((currents > currents.min(axis=0)).astype(float))


@dataclass(frozen=True)
class CurrentLoad(Load):
    """Constant current [A]."""

    amps: float

    @plain
    def current_at_a(self, voltage_v=None):
        """Current [A] at a voltage [V]; the same at any."""
        return self.amps


@dataclass(frozen=True)
class PowerLoad(Load):
    """Constant power [W]."""

    watts: float

    @plain
    def current_at_a(self, voltage_v=None):
        """Current [A] at a voltage [V]: ``W / V``; infinite at 0 V and below."""
        volts = np.maximum(_needed(voltage_v), 0.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(self.watts > 0, np.divide(self.watts, volts), 0.0)


@dataclass(frozen=True)
class ResistanceLoad(Load):
    """A resistance [ohm]."""

    ohms: float

    @plain
    def current_at_a(self, voltage_v=None):
        """Current [A] at a voltage [V]: ``V / ohm``."""
        return np.divide(_needed(voltage_v), self.ohms)


@dataclass(frozen=True)
class ProfileLoad(Load):
    """A repeating row of steps, each a load and its seconds."""

    rows: tuple

    def __post_init__(self):
        if not self.rows:
            raise BadValue("loads.no_steps", value=0, limit=1)
        for load, seconds in self.rows:
            if not isinstance(load, Load) or len(load.steps) != 1:
                raise BadValue("loads.step_load", value=repr(load)[:60])
            number("loads.step_time", seconds, above=0)

    @property
    def steps(self):
        """Steps of one period as pairs (load, seconds)."""
        return self.rows

    @property
    def window_v(self):
        """Narrowest input window [V] among the steps."""
        lows, highs = zip(*(load.window_v for load, _ in self.rows), strict=True)
        lows = [v for v in lows if v is not None]
        highs = [v for v in highs if v is not None]
        return (max(lows, default=None), min(highs, default=None))

    @plain
    def current_at_a(self, voltage_v=None):
        """Mean current [A] of the period at a voltage [V]."""
        return self.mean_current_a(voltage_v)


@dataclass(frozen=True)
class StageLoad(Load):
    """A load behind a converter or regulator, as the pack sees it."""

    load: Load
    stage: Converter | LinearRegulator

    def __post_init__(self):
        if not isinstance(self.stage, (Converter, LinearRegulator)):
            raise BadValue("loads.stage", value=repr(self.stage)[:60])

    @property
    def steps(self):
        """Steps of the load behind, each through the same stage."""
        if len(self.load.steps) == 1:
            return ((self, 1.0),)
        return tuple((StageLoad(load, self.stage), seconds) for load, seconds in self.load.steps)

    @property
    def window_v(self):
        """Input window [V] of the converter or regulator."""
        return self.stage.window_v

    @plain
    def current_at_a(self, voltage_v=None):
        """Current [A] taken from the pack at a voltage [V] of the pack."""
        return self.stage.input_current_a(self.load, _needed(voltage_v))


@dataclass(frozen=True)
class Converter:
    """Switching converter: keeps power (less its loss), not current.

    Args:
        output_v: output voltage [V], above 0.
        efficiency: output power over input power, above 0 to 1.
        input_v: lowest and highest input voltage [V].
        idle_a: what it takes by itself all the time [A] at its input.

    Raises:
        BadValue: a value outside these bounds.
    """

    output_v: float
    efficiency: float
    input_v: tuple[float, float]
    idle_a: float = 0.0

    def __post_init__(self):
        number("loads.above_zero", self.output_v, above=0, name="output_v")
        check_share("efficiency", self.efficiency)
        number("loads.idle", self.idle_a, least=0)
        low, high = check_window(self.input_v)
        object.__setattr__(self, "input_v", (low, high))

    @property
    def window_v(self):
        """Lowest and highest input voltage [V]."""
        return self.input_v

    def input_current_a(self, load, input_v):
        """Current [A] at the input: ``V_out A_out / (efficiency V_in) + idle``.

        Args:
            load: the load at the output.
            input_v: voltage at the input [V], scalar or array, above 0.
        """
        power_w = self.output_v * load.current_at_a(self.output_v)
        return PowerLoad(power_w / self.efficiency).current_at_a(input_v) + self.idle_a


@dataclass(frozen=True)
class LinearRegulator:
    """Linear regulator: passes the same current and turns the extra volts into heat.

    Args:
        output_v: output voltage [V], above 0.
        dropout_v: what the input must stand above the output [V], not negative.
        input_max_v: highest input voltage [V]; None where unknown.
        idle_a: what it takes by itself all the time [A].

    Raises:
        BadValue: a value outside these bounds.
    """

    output_v: float
    dropout_v: float
    input_max_v: float | None = None
    idle_a: float = 0.0

    def __post_init__(self):
        number("loads.above_zero", self.output_v, above=0, name="output_v")
        number("loads.dropout", self.dropout_v, least=0)
        number("loads.idle", self.idle_a, least=0)
        if self.input_max_v is not None:
            check_window((self.output_v + self.dropout_v, self.input_max_v))

    @property
    def window_v(self):
        """Lowest and highest input voltage [V] at which the output is held."""
        return (self.output_v + self.dropout_v, self.input_max_v)

    @plain
    def output_at_v(self, input_v):
        """Output voltage [V]: held while it can be, else the input less the dropout.

        Args:
            input_v: voltage at the input [V], scalar or array.
        """
        return np.clip(np.subtract(input_v, self.dropout_v), 0.0, self.output_v)

    @plain
    def input_current_a(self, load, input_v):
        """Current [A] at the input: what the load takes at the output, plus idle.

        Args:
            load: the load at the output.
            input_v: voltage at the input [V], scalar or array.
        """
        output_v = self.output_at_v(input_v)
        current_a = np.where(np.asarray(output_v) > 0, load.current_at_a(output_v), 0.0)
        return current_a + self.idle_a

    @plain
    def heat_w(self, load, input_v):
        """Power [W] the regulator turns into heat.

        Args:
            load: the load at the output.
            input_v: voltage at the input [V], scalar or array.
        """
        output_v = self.output_at_v(input_v)
        passed_a = self.input_current_a(load, input_v) - self.idle_a
        return np.subtract(input_v, output_v) * passed_a + np.multiply(input_v, self.idle_a)


def check_window(window_v):
    """Voltage window as two floats.

    Args:
        window_v: pair of lowest and highest voltage [V].

    Raises:
        BadValue: not two finite voltages with 0 <= lowest < highest.
    """
    try:
        low, high = (float(volts) for volts in window_v)
    except (TypeError, ValueError):
        raise BadValue("loads.window_pair", value=repr(window_v)[:60]) from None
    if not (0 <= low < high < np.inf):
        raise BadValue("loads.window", value=low, limit=high)
    return low, high


def _needed(voltage_v):
    if voltage_v is None:
        raise BadValue("loads.voltage_needed", value=None)
    return np.asarray(voltage_v, dtype=float)
