"""What others measured: discharge curves and key figures, for tests to hold packlearn against.

The numbers stand in ``tests/data``, one file a set, with its origin, licence, conditions and
how the log was reduced; ``data/LICENCES.md`` keeps the notices. Currents are those of
discharge, charge counts from full.
"""

import functools
import tomllib
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType, SimpleNamespace

import numpy as np

DATA = Path(__file__).parent / "data"
NAMES = tuple(sorted(path.stem for path in DATA.glob("*.toml")))


@dataclass(frozen=True)
class Curve:
    """Voltage against charge at one constant current; straight lines join the points."""

    current_a: float
    charge_ah: tuple[float, ...]
    voltage_v: tuple[float, ...]

    def charge_to_ah(self, voltage_v):
        """Charge drawn [Ah] when the voltage first reaches a value [V]."""
        return float(np.interp(-voltage_v, -np.array(self.voltage_v), self.charge_ah))

    def at_v(self, charge_ah):
        """Voltage [V] at a charge drawn [Ah]."""
        return np.interp(charge_ah, self.charge_ah, self.voltage_v)

    @property
    def mean_v(self):
        """Mean voltage [V] over the charge."""
        area = np.trapezoid(self.voltage_v, self.charge_ah)
        return float(area / (self.charge_ah[-1] - self.charge_ah[0]))


@dataclass(frozen=True)
class Measured:
    """One set: where it comes from, its curves by name, its figures by table.

    ``figures["table"].charge_ah`` is a list beside ``figures["table"].current_a``.
    """

    title: str
    origin: str
    licence: str
    conditions: str
    reduction: str
    curves: MappingProxyType
    figures: MappingProxyType


@functools.cache
def measured(name):
    """The set of a name, such as ``"alkaline_aa"``."""
    raw = tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))
    curves = {
        one["name"]: Curve(one["current_a"], tuple(one["charge_ah"]), tuple(one["voltage_v"]))
        for one in raw.get("curves", ())
    }
    figures = {key: SimpleNamespace(**table) for key, table in raw["figures"].items()}
    texts = {
        key: " ".join(raw[key].split())
        for key in ("title", "origin", "licence", "conditions", "reduction")
    }
    return Measured(**texts, curves=MappingProxyType(curves), figures=MappingProxyType(figures))
