"""What protects a pack beside its fuse: the board of a lithium pack, by series count."""

from __future__ import annotations

from dataclasses import dataclass

from packlearn.building._data import checked_pack, of_chemistry, table
from packlearn.building.fuses import load_currents_a
from packlearn.quantities import write
from packlearn.rules import check_share
from packlearn.words import say, word


@dataclass(frozen=True)
class Protection:
    """What must watch over a pack; made by ``protection_for``.

    Attributes:
        kind: ``"board"`` (inside the ready-made pack), ``"cut_off"`` (a low-voltage cut-off) or
            ``"device"`` (the device's own minimum voltage is enough).
        ready_made: only bought with it built in; never added to loose cells.
        series: series count the board is made for: one too few or too many does not work.
        sense_wires: wires to the ends of the groups, ``S + 1``; 0 without a board.
        over_voltage_v, under_voltage_v: of one group [V], where charge and discharge stop.
        pack_over_v, pack_under_v: the same of the pack [V].
        current_a: continuous current it must carry at least [A].
        lowest_charge_degc: below it no charging [degC], None for cells that are not charged.
        balances: whether it levels the groups.
        guards: what it stops, keys of words.
    """

    kind: str
    ready_made: bool
    series: int
    sense_wires: int
    over_voltage_v: float
    under_voltage_v: float
    pack_over_v: float
    pack_under_v: float
    current_a: float
    lowest_charge_degc: float | None
    balances: bool
    guards: tuple[str, ...]

    @property
    def sentence(self):
        """What watches over the pack, in words."""
        return say(
            f"building.protection.{self.kind}",
            series=self.series,
            current=write(self.current_a, "A"),
            over=write(self.over_voltage_v, "V"),
            under=write(self.under_voltage_v, "V"),
            pack_under=write(self.pack_under_v, "V"),
        )

    @property
    def guard_words(self):
        """What it stops, in words."""
        return tuple(word(f"building.guards.{name}") for name in self.guards)


_GUARDS = {
    "board": ("over_voltage", "under_voltage", "over_current", "short_circuit", "temperature"),
    "cut_off": ("under_voltage",),
    "device": (),
}


def protection_for(pack, current_a=None, derating=0.8, *, guarded_a=0.0):
    """What must watch over a pack.

    Args:
        pack: a ``Pack``, at most 60 V.
        current_a: largest current of the load [A]; None takes the pack's limit.
        derating: share of the board's current one plans to use.
        guarded_a: rating of the fuse before it [A]: it carries no less.

    Returns:
        ``Protection``.

    Raises:
        BadValue: a share out of bounds.
    """
    pack = checked_pack(pack)
    check_share("derating", derating)
    cell = pack.cell
    kind = "board" if cell.ready_made_only else "cut_off" if cell.rechargeable else "device"
    board = kind == "board"
    charged = of_chemistry("charging", cell.chemistry) if cell.rechargeable else None
    return Protection(
        kind=kind,
        ready_made=cell.ready_made_only,
        series=pack.series * cell.cells_inside,
        sense_wires=pack.series + 1 if board else 0,
        over_voltage_v=cell.full_voltage_v / cell.cells_inside,
        under_voltage_v=cell.end_voltage_v / cell.cells_inside,
        pack_over_v=pack.full_voltage_v,
        pack_under_v=pack.end_voltage_v,
        current_a=max(
            pack.current_limit_a if current_a is None else current_a / derating, guarded_a
        ),
        lowest_charge_degc=charged["lowest_degc"] if charged else None,
        balances=board and pack.series > 1,
        guards=_GUARDS[kind],
    )


def lowest_at_device_v(pack, load, wire_drop_v=0.0):
    """What a meter at the device shows under load when a cut-off ought to end the run [V].

    The cells' end voltage times S, less what wire, fuse and switch lose at the load's peak.

    Args:
        pack: a ``Pack``.
        load: a ``Load``.
        wire_drop_v: what both leads' wire loses then [V].
    """
    _, peak_a = load_currents_a(pack, load)
    return pack.end_voltage_v - wire_drop_v - peak_a * table("links")["contacts"]["lead_ohm"]
