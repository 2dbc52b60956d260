"""Panels of lessons 10 and 11: a cable, a fuse's band, hours of charging, months of rest."""

from packlearn import building, pictures
from packlearn.cells import cell as find_cell
from packlearn.packs import Pack
from packlearn.panels.base import area, dropdown, slider
from packlearn.panels.curve_explorers import CurveExplorer
from packlearn.panels.curve_figures import in_columns, nice_step, rescale
from packlearn.panels.explorers import Explorer
from packlearn.panels.minding import told
from packlearn.quantities import write
from packlearn.rules import COPPER_OHM_MM2_PER_M
from packlearn.tasks.minding import of_panel
from packlearn.words import say, word

# Warmer than the air [K], and the share of the pack's volts that one plans to lose.
PLANNED_K, PLANNED_SHARE = 20.0, 0.03
SHELF_DEGC = 20.0
# Enough for the currents here.
THICKEST_MM2 = 3.5


def wires():
    """Wires that are sold: label -> ``Conductor``, thinnest first, metric ones and gauges."""
    sold = [*building.conductors("mm2"), *building.conductors("awg")]
    sold = [each for each in sold if each.area_mm2 <= THICKEST_MM2]
    return {each.label: each for each in sorted(sold, key=lambda each: each.area_mm2)}


def _wire_list(value, wide=True):
    named = [(_with_area(each), label) for label, each in wires().items()]
    return dropdown("wire", named, value, wide=wide)


def _with_area(each):
    if each.gauge is None:
        return each.label
    area_mm2 = write(each.area_mm2, "mm2", 2)
    return say("protect.says.gauge", gauge=each.gauge, area=area_mm2)


class _Minding:
    """Part of an explorer that shows what to mind, for the cell it shows."""

    def parts(self):
        """What the explorer shows, then what to mind."""
        self.minds = area("")
        return [*super().parts(), self.minds]

    def mind(self, chemistry="NiMH"):
        """Show the cautions for cells of a chemistry.

        Args:
            chemistry: the cells'.
        """
        said = told(of_panel(type(self).__name__, chemistry))
        # What is opened stays open while the sliders move.
        if self.minds.value != said:
            self.minds.value = said


class WireExplorer(_Minding, Explorer):
    """Volts a cable keeps, out and back, and how warm it becomes.

    Args:
        pack_v: volts at the pack [V].
        length_m: one way, at the start [m].
        current_a: current at the start [A].
        wire: label of the wire shown first.
    """

    def __init__(self, pack_v=4.8, length_m=1.5, current_a=2.0, wire="0.25 mm²"):
        self.pack_v, self.first = pack_v, (length_m, current_a, wire)
        super().__init__()

    def make_controls(self):
        """Wire, length and current."""
        length_m, current_a, wire = self.first
        return {
            "wire": _wire_list(wire),
            "length": slider("wire_length_m", 0.5, 10.0, length_m, 0.1, "m"),
            "current": slider("wire_current_a", 0.1, 10.0, current_a, 0.1, "A"),
        }

    def draw(self, now):
        """Show the cable and what it does."""
        wire = wires()[now.wire]
        drop_v = float(building.drop_v(now.current, now.length, wire.area_mm2))
        heating_k = wire.heating_k(now.current)
        drawn = pictures.cable(
            _with_area(wire), now.length, now.current,
            self.pack_v, min(drop_v, self.pack_v), heating_k,
            allowed_share=PLANNED_SHARE, allowed_k=PLANNED_K,
        )  # fmt: skip
        self.show(drawn, self._sentences(now, wire, drop_v, heating_k))
        self.mind()

    def _sentences(self, now, wire, drop_v, heating_k):
        fields = {
            "length": write(now.length, "m"),
            "both": write(2 * now.length, "m"),
            "ohm": write(COPPER_OHM_MM2_PER_M * 2 * now.length / wire.area_mm2, "ohm"),
            "current": write(now.current, "A"),
            "drop": write(drop_v, "V"),
            "share": write(100 * drop_v / self.pack_v, "%", 2),
            "pack": write(self.pack_v, "V"),
        }
        said = [say("protect.says.cable", **fields)]
        if drop_v > PLANNED_SHARE * self.pack_v:
            most = write(100 * PLANNED_SHARE, "%")
            said.append(say("protect.says.cable_drop", most=most, **fields))
        if heating_k > PLANNED_K:
            said.append(say("protect.says.cable_heat", most=f"{PLANNED_K:g}"))
        if len(said) == 1:
            said.append(word("protect.says.cable_right"))
        carries = write(wire.limit_a(PLANNED_K), "A", 2)
        said.append(say("protect.says.carries", carries=carries, most=f"{PLANNED_K:g}"))
        return said


class FuseExplorer(_Minding, Explorer):
    """The band in which a fuse's rating lies: between the load and the thinnest wire.

    Args:
        steady_a: what the load takes all the time, at the start [A].
        peak_a: its peak, at the start [A].
        wire: label of the thinnest wire shown first.
    """

    def __init__(self, steady_a=2.0, peak_a=2.0, wire="0.5 mm²"):
        self.first = steady_a, peak_a, wire
        super().__init__()

    def make_controls(self):
        """Load, its peak, the thinnest wire, the family of fuses."""
        steady_a, peak_a, wire = self.first
        kinds = [(word(f"protect.says.family_{name}"), name) for name in ("ul", "iec", "blade")]
        return {
            "wire": _wire_list(wire, wide=False),
            "family": dropdown("family", kinds, "ul", wide=False),
            "steady": slider("steady_a", 0.1, 8.0, steady_a, 0.1, "A", wide=False),
            "peak": slider("peak_a", 0.1, 12.0, peak_a, 0.1, "A", wide=False),
        }

    def parts(self):
        """Controls in two columns, so that picture and sentences fit one screen."""
        self.minds = area("")
        return [in_columns(self.controls.values()), self.picture, self.says, self.minds]

    def draw(self, now):
        """Show the band; a peak below the load is the load."""
        wire, kind = wires()[now.wire], building.family(now.family)
        carries_a = wire.limit_a(PLANNED_K)
        band = building.band_for(now.steady, max(now.peak, now.steady), carries_a, now.family)
        drawn = pictures.fuse_band(
            band,
            carries_a,
            kind.ratings_a,
            share=kind.run_share,
            title=say("protect.fuse.title", wire=_with_area(wire)),
        )
        self.show(drawn, self._sentences(kind, band, carries_a))
        self.mind()

    def _sentences(self, kind, band, carries_a):
        fields = {
            "share": write(100 * kind.run_share, "%"),
            "floor": write(band.floor_a, "A"),
            "wire_share": write(100 * band.most_a / carries_a, "%"),
            "wire": write(carries_a, "A"),
            "most": write(band.most_a, "A"),
        }
        said = [say("protect.says.band_least", **fields), say("protect.says.band_most", **fields)]
        if not band.ratings_a:
            said.append(word("protect.says.band_none"))
        elif band.time_lag:
            said.append(word("protect.says.band_time_lag"))
        return said


class ChargeExplorer(_Minding, CurveExplorer):
    """Hours to charge against the charger's current, with the factor of what is lost.

    Args:
        cells: names of the cells to choose from; each of them may be charged.
        cell: the one shown first.
    """

    def __init__(
        self,
        cells=("nimh-aa", "nimh-c", "nimh-d", "li-ion-18650-energy", "lifepo4-26650"),
        cell=None,
    ):
        super().__init__(cells, cell)

    def make_controls(self):
        """Cell, current and factor."""
        return {
            "cell": self.cell_list(),
            "current": slider("charger_a", 0.0, 1.0, 0.2, 0.05, "A"),
            "factor": slider("charge_factor", 1.0, 1.6, 1.4, 0.05),
        }

    def rescale(self, cell):
        """Currents from half the usual one to the largest without a data sheet."""
        usual = building.charging_for(Pack(cell, 1, 1))
        step = nice_step(usual.most_a, 100)
        rescale(
            self.controls["current"], max(step, usual.current_a / 2), usual.most_a,
            usual.current_a, step,
        )  # fmt: skip
        self.controls["factor"].value = usual.factor

    def draw(self, now):
        """Show the hours, and what ends the charge."""
        pack = Pack(find_cell(now.cell), 1, 1)
        usual = building.charging_for(pack)
        current_a = min(now.current, usual.most_a)

        def hours_of(amps):
            return building.charge_time_h(usual.capacity_ah, amps, now.factor) + usual.tail_h

        drawn = pictures.charge_hours(
            current_a, hours_of, usual_a=usual.current_a, most_a=usual.most_a, title=pack.cell.title
        )
        fields = {
            "charge": write(usual.capacity_ah, "Ah"),
            "factor": f"{now.factor:g}",
            "current": write(current_a, "A"),
            "hours": write(float(hours_of(current_a)), "h"),
            "tail": write(usual.tail_h, "h"),
        }
        key = "hours_tail" if usual.tail_h else "hours"
        said = say(f"protect.says.{key}", **fields)
        more = building.charging_for(pack, current_a)
        self.show(drawn, [said, more.end_words, more.charger_words])
        self.mind(pack.cell.chemistry)


class ShelfExplorer(_Minding, CurveExplorer):
    """Charge left after months of rest, by kind of cell and warmth of the shelf.

    Args:
        cells: names of the cells to choose from.
        cell: the one shown first.
    """

    def __init__(
        self,
        cells=("nimh-aa", "alkaline-aa", "lithium-aa", "li-ion-18650-energy", "lifepo4-26650"),
        cell=None,
    ):
        super().__init__(cells, cell)

    def make_controls(self):
        """Cell, months, the shelf's warmth, and where the cell is used then."""
        return {
            "cell": self.cell_list(wide=False),
            "months": slider("rest_months", 0, 24, 4, 1, wide=False),
            "shelf": slider("shelf_degc", 0, 45, 20, 5, "°C", wide=False),
            "used": slider("use_degc", -20, 20, 20, 5, "°C", wide=False),
        }

    def parts(self):
        """Controls in two columns, so that picture and sentences fit one screen."""
        self.minds = area("")
        return [in_columns(self.controls.values()), self.picture, self.says, self.minds]

    def draw(self, now):
        """Show what is left, month by month."""
        cell, warm = find_cell(now.cell), float(now.shelf)
        used_share = float(building.cold_share(cell, float(now.used)))
        drawn = pictures.resting(
            lambda months: building.share_left(cell, months, warm),
            now.months,
            shelf_degc=warm,
            compare_of=None if warm == SHELF_DEGC else lambda m: building.share_left(cell, m),
            cold=None if used_share == 1 else (float(now.used), used_share),
            title=cell.title,
        )
        left = 100 * building.share_left(cell, now.months, warm)
        fields = {"months": now.months, "degc": f"{warm:g}", "share": f"{left:.0f}"}
        said = [say("protect.says.shelf", **fields)]
        if used_share != 1:
            cold = {"cold": f"{100 * used_share:.0f}", "out": f"{left * used_share:.0f}"}
            said.append(say("protect.says.shelf_cold", degc=f"{now.used:g}", **cold))
        kept = building.keeping_of(cell)
        self.show(drawn, [*said, kept.sentence, kept.disposal_words])
        self.mind(cell.chemistry)
