"""Charging: how a pack is charged, or that it is not."""

from __future__ import annotations

from dataclasses import dataclass

from packlearn.building._data import (
    cell_of,
    checked_pack,
    chemistry_words,
    of_chemistry,
    source_texts,
)
from packlearn.errors import PackLimit
from packlearn.quantities import write
from packlearn.rules import in_floats, number
from packlearn.words import say, word


@dataclass(frozen=True)
class Charging:
    """How a pack is charged; made by ``charging_for``.

    Attributes:
        method: ``"constant_current"``, ``"current_then_voltage"`` or ``"current_voltage_float"``.
        holds_voltage: whether the charger ends at a voltage it holds.
        voltage_v: full-charge voltage of the pack [V]: what such a charger holds, and else what
            a meter shows about when it is full.
        float_v: voltage at which it may stay connected [V], or None.
        current_a: charging current [A]; ``most_a`` the most without a data sheet.
        end_a: current at which it is full [A], or None.
        time_h: hours from empty.
        strings_in_turn: strings to charge one after another; current and time are of one.
        lowest_degc, highest_degc: temperature of the cells while they are charged [degC].
        balance: ``"none"``, ``"board"`` (inside the ready-made pack) or ``"blocks"``.
        ready_made: charged as a whole, with the charger made for it.
        chemistry: the cells'.
        factor: charge put in over charge stored.
        tail_h: hours added while the current falls at the held voltage.
        capacity_ah: charge to be stored [Ah]; of one string where they are charged in turn.
    """

    method: str
    holds_voltage: bool
    voltage_v: float
    float_v: float | None
    current_a: float
    most_a: float
    end_a: float | None
    time_h: float
    strings_in_turn: int
    lowest_degc: float
    highest_degc: float
    balance: str
    ready_made: bool
    chemistry: str
    factor: float
    tail_h: float
    capacity_ah: float

    @property
    def sources(self):
        """Texts of where the figures come from."""
        return source_texts(*of_chemistry("charging", self.chemistry)["sources"].values())

    @property
    def sentence(self):
        """Method, current and time, in words."""
        fields = {"current": write(self.current_a, "A"), "hours": write(self.time_h, "h")}
        return say(f"building.charging.{self.method}", volts=write(self.voltage_v, "V"), **fields)

    @property
    def end_words(self):
        """When it is full, in words."""
        if self.end_a is None:
            return word("building.charging.end.constant_current")
        return say(f"building.charging.end.{self.method}", end=write(self.end_a, "A"))

    @property
    def charger_words(self):
        """What charger to buy, in words."""
        kind = "ready_made" if self.ready_made else self.method
        volts = write(self.voltage_v, "V")
        chemistry = chemistry_words(self.chemistry)
        return say(f"building.charging.charger.{kind}", chemistry=chemistry, volts=volts)

    @property
    def balance_words(self):
        """How its cells stay level, in words."""
        return word(f"building.charging.balance.{self.balance}")

    @property
    def notes(self):
        """Sentences on what to mind."""
        low, high = f"{self.lowest_degc:g}", f"{self.highest_degc:g}"
        notes = [say("building.charging.temperature", low=low, high=high)]
        if self.strings_in_turn > 1:
            notes.append(say("building.charging.in_turn", count=self.strings_in_turn))
        return tuple(notes)


def may_be_charged(thing):
    """Whether a ``Pack`` or a ``Cell`` may be charged at all: False for every primary cell.

    Args:
        thing: a ``Pack`` or a ``Cell``.
    """
    return bool(cell_of(thing).rechargeable)


def charging_for(pack, current_a=None):
    """How a pack is charged.

    Args:
        pack: a ``Pack``, at most 60 V.
        current_a: charging current [A]; None takes the chemistry's usual one. Where strings are
            charged in turn it is that of one string.

    Returns:
        ``Charging``.

    Raises:
        PackLimit: cells that must not be charged; or more current than the chemistry takes
            without a data sheet.
        UnknownName: a chemistry nothing is known of.
    """
    pack = checked_pack(pack)
    cell = pack.cell
    if not may_be_charged(cell):
        raise PackLimit("building.charging.primary", value=cell.title, limit=cell.chemistry)
    rules = of_chemistry("charging", cell.chemistry)
    in_turn = rules["each_string_alone"]
    capacity_ah = cell.capacity_ah if in_turn else pack.capacity_ah
    most_a = rules["most_c"] * capacity_ah
    usual_a = rules["rate_c"] * capacity_ah
    current = (
        usual_a if current_a is None else number("building.charging.current", current_a, above=0)
    )
    if current > most_a:
        value, limit = f"{current:.3g}", f"{most_a:.3g}"
        raise PackLimit("building.charging.too_fast", value=value, limit=limit)
    cells_in_line = pack.series * cell.cells_inside
    time_h = charge_time_h(capacity_ah, current, rules["charge_factor"]) + rules["tail_h"]
    return Charging(
        method=rules["method"],
        holds_voltage=rules["holds_voltage"],
        voltage_v=pack.full_voltage_v,
        float_v=rules["float_v"] * cells_in_line if "float_v" in rules else None,
        current_a=current,
        most_a=most_a,
        end_a=rules["end_c"] * capacity_ah if "end_c" in rules else None,
        time_h=time_h,
        strings_in_turn=pack.parallel if in_turn else 1,
        lowest_degc=rules["lowest_degc"],
        highest_degc=rules["highest_degc"],
        balance=_balance(pack),
        ready_made=cell.ready_made_only,
        chemistry=cell.chemistry,
        factor=rules["charge_factor"],
        tail_h=rules["tail_h"],
        capacity_ah=capacity_ah,
    )


def _balance(pack):
    if pack.series == 1:
        return "none"
    if pack.cell.ready_made_only:
        return "board"
    return "blocks" if pack.cell.cells_inside > 1 else "slow"


@in_floats
def charge_time_h(capacity_ah, current_a, charge_factor=1.0):
    """Hours a current takes to put a capacity back.

    Args:
        capacity_ah: charge missing [Ah], scalar or array.
        current_a: charging current [A], above 0.
        charge_factor: charge put in over charge stored; 1.4 is usual for NiMH at 0.1C.

    Returns:
        Time [h]: ``Ah * factor / A``.
    """
    return capacity_ah * charge_factor / current_a
