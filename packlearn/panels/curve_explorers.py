"""Panels of lessons 5 and 6 about curves: data sheet, run under a load, rested reading."""

import numpy as np

from packlearn import curves, pictures
from packlearn.cells import cell as find_cell
from packlearn.discharging import discharge
from packlearn.loads import Converter, LinearRegulator, Load
from packlearn.packs import Pack
from packlearn.panels.base import dropdown, show, slider
from packlearn.panels.curve_figures import (
    in_columns,
    name_slider,
    nice_step,
    rescale,
    run_of_one,
    sheet_curves,
    with_yours,
)
from packlearn.panels.explorers import Explorer
from packlearn.quantities import write, write_plain
from packlearn.rules import run_time_h
from packlearn.words import say, word

MOST_SERIES, MOST_PARALLEL = 10, 4
_SMALL_A = 0.2
_HIGHEST_INPUT_V = 60.0
# Kinds of load that are a power.
_WATTS = ("power", "converter")


class CurveExplorer(Explorer):
    """An explorer whose scales follow the chosen cell.

    Args:
        cells: names of the cells to choose from.
        cell: the one shown first; the first of ``cells`` where left out.
    """

    def __init__(self, cells, cell=None):
        self.cell_names = tuple(cells)
        self.first = cell or self.cell_names[0]
        self.scaled_for, self.settling = None, False
        super().__init__()

    def cell_list(self, wide=True):
        """Drop-down list of the cells."""
        options = [(find_cell(name).title, name) for name in self.cell_names]
        return dropdown("cell", options, self.first, wide=wide)

    def rescale(self, cell):
        """Give the sliders the scales of a cell."""

    def update(self):
        """Rescale where the cell changed, then show."""
        if self.settling:
            return
        name = self.value("cell")
        if self.scaled_for != name:
            self.settling = True
            try:
                self.rescale(find_cell(name))
            finally:
                self.settling = False
            self.scaled_for = name
        # Not read again: the scales are this cell's.
        self.draw(self.setting(cell=name))


class DataSheetExplorer(CurveExplorer):
    """A data sheet's curves, with your current, your end voltage and a cursor.

    Args:
        cells: names of the cells to choose from.
        cell: the one shown first.
    """

    def __init__(self, cells=("alkaline-aa", "nimh-aa", "lithium-aa"), cell=None):
        super().__init__(cells, cell)

    def make_controls(self):
        """Cell, current, end voltage and cursor."""
        return {
            "cell": self.cell_list(wide=False),
            "current": slider("your_current", 0.0, 1.0, 0.5, 0.05, "A", wide=False),
            "to_v": slider("to_v", 0.0, 2.0, 1.0, 0.05, "V", wide=False),
            "cursor": slider("cursor_ah", 0.0, 2.0, 0.5, 0.05, "Ah", wide=False),
        }

    def parts(self):
        """Controls in two columns, so that picture and sentences fit one screen."""
        return [in_columns(self.controls.values()), self.picture, self.says]

    def rescale(self, cell):
        """Currents from half the sheet's smallest to its largest; voltages down to the end."""
        sheet = sheet_curves(cell)
        high_a = min(max(c.current_a for c in sheet), cell.current_limit_a)
        self.factor, unit = (1000, "mA") if high_a < _SMALL_A else (1, "A")
        high = high_a * self.factor
        step = min(nice_step(high, 20), 0.05) if unit == "A" else nice_step(high, 20)
        step = max(step, nice_step(high, 200))
        low = max(step, sheet[0].current_a * self.factor / 2)
        rescale(self.controls["current"], low, high, high, step)
        name_slider(self.controls["current"], "your_current", unit)
        top_v = max(float(c.voltage_v[0]) for c in sheet)
        most_v = max(
            cell.nominal_voltage_v, cell.end_voltage_v + 0.3 * (top_v - cell.end_voltage_v)
        )
        rescale(self.controls["to_v"], cell.end_voltage_v, most_v, cell.end_voltage_v, 0.05)
        last_ah = max(float(c.charge_ah[-1]) for c in sheet)
        step_ah = nice_step(last_ah, 50)
        rescale(self.controls["cursor"], 0.0, last_ah, 0.2 * last_ah, step_ah)

    def draw(self, now):
        """Show the sheet and what your current makes of it."""
        cell, current_a = find_cell(now.cell), now.current / self.factor
        lines = with_yours(cell, current_a)
        drawn = pictures.data_sheet(cell.title, lines, cursor_ah=now.cursor, to_v=now.to_v)
        self.show(drawn, self._sentences(cell, current_a, now.to_v, lines))

    def _sentences(self, cell, current_a, to_v, lines):
        said = []
        if cell.capacity_at_a:
            stated = {
                "current": write(cell.capacity_at_a, "A"),
                "end": write(cell.capacity_to_v, "V"),
            }
            said.append(
                say("explore.sheet.label", capacity=write(cell.capacity_ah, "Ah"), **stated)
            )
        yours = {"current": write(current_a, "A"), "to_v": write(to_v, "V")}
        found = run_of_one(cell, current_a, to_v)
        if found.run_time_h <= 0:
            said.append(say("explore.sheet.nothing", **yours))
        else:
            said += self._yours(cell, current_a, found, yours)
        if curves.is_typical(cell):
            said.append(word("explore.sheet.typical"))
        line = next(line for line in lines if line.yours)
        if line.sure_to_ah is not None:
            said.append(word("explore.sheet.beyond"))
        return said

    def _yours(self, cell, current_a, found, yours):
        charge_ah = float(found.charge_ah[-1])
        charge, energy = write(charge_ah, "Ah"), write(found.energy_wh, "Wh")
        hours = write(found.run_time_h, "h")
        share = write(100 * charge_ah / cell.capacity_ah, "%", 2)
        rule = write(run_time_h(cell.capacity_ah, current_a), "h")
        return [
            say("explore.sheet.yours", charge=charge, hours=hours, energy=energy, **yours),
            say("explore.sheet.share", share=share, rule=rule),
        ]


class LoadExplorer(CurveExplorer):
    """A pack under a load until the device stops, beside the rule of thumb.

    Args:
        cell: name of the cell shown first.
        cells: names of cells to choose from; none leaves that one alone.
        series, parallel: counts at the start.
        current_a: current of the load at the start [A].
        power_w: power of the load at the start [W], for the kinds that take power.
        low_v: the device's minimum at the start [V]; the pack's end voltage where left out.
        kinds: kinds of load to choose from: ``"current"``, ``"power"``, ``"converter"`` and
            ``"regulator"``.
        output_v: what converter or regulator give [V].
        efficiency: the converter's, 0 to 1.
        dropout_v: the regulator's [V].
    """

    def __init__(
        self,
        cell="nimh-aa",
        cells=(),
        series=6,
        parallel=1,
        current_a=0.4,
        power_w=2.0,
        low_v=None,
        kinds=("current",),
        output_v=5.0,
        efficiency=0.85,
        dropout_v=0.3,
    ):
        self.counts = {"series": series, "parallel": parallel}
        self.amounts = {"current": current_a, "power": power_w}
        self.low_v = series * find_cell(cell).end_voltage_v if low_v is None else low_v
        self.kinds, self.output_v = tuple(kinds), output_v
        self.stages = {
            "converter": lambda low: Converter(
                output_v, efficiency, input_v=(low, _HIGHEST_INPUT_V)
            ),
            "regulator": lambda low: LinearRegulator(output_v, dropout_v),
        }
        super().__init__(cells or (cell,), cell)

    def make_controls(self):
        """The pack, then the load; what may be left out stands in both columns."""
        kinds = [(word(f"explore.load.kind_{kind}"), kind) for kind in self.kinds]
        top_v = MOST_SERIES * max(find_cell(name).full_voltage_v for name in self.cell_names)
        return {
            "cell": self.cell_list(wide=False),
            "series": slider("series", 1, MOST_SERIES, self.counts["series"], wide=False),
            "parallel": slider("parallel", 1, MOST_PARALLEL, self.counts["parallel"], wide=False),
            "kind": dropdown("load_kind", kinds, self.kinds[0], wide=False),
            "current": slider("load_a", 0.1, 1.0, self.amounts["current"], 0.05, "A", wide=False),
            "power": slider("load_w", 0.5, 12.0, self.amounts["power"], 0.5, "W", wide=False),
            "low_v": slider("device_v", 0.5, top_v, self.low_v, 0.1, "V", wide=False),
            "start": slider("start_share", 10, 100, 100, 5, "%", wide=False),
        }

    def parts(self):
        """Controls in two columns, then picture and sentences; a choice of one is left out."""
        show(self.controls["cell"], len(self.cell_names) > 1)
        show(self.controls["kind"], len(self.kinds) > 1)
        show(self.controls["parallel"], self.widens)
        return [in_columns(self.controls.values()), self.picture, self.says]

    @property
    def widens(self):
        """True where some cell to choose may lie side by side."""
        return any(_most_parallel(find_cell(name)) > 1 for name in self.cell_names)

    def rescale(self, cell):
        """Strings as the cell allows; what was set before comes back with the next cell."""
        control, most = self.controls["parallel"], _most_parallel(cell)
        if not control.disabled:
            self.counts["parallel"] = control.value
        # A slider needs two ends apart, even one that is closed.
        control.max, control.disabled = most if most > 1 else MOST_PARALLEL, most == 1
        control.value = min(self.counts["parallel"], most)

    def _load(self, now):
        watts, stage = now.kind in _WATTS, self.stages.get(now.kind)
        load = Load.power(now.power) if watts else Load.current(now.current)
        return load.through(stage(now.low_v)) if stage else load

    def draw(self, now):
        """Show the run; cells that do not lie side by side stay in one string."""
        watts, cell = now.kind in _WATTS, find_cell(now.cell)
        show(self.controls["power"], watts)
        show(self.controls["current"], not watts)
        pack = Pack(cell, now.series, min(now.parallel, _most_parallel(cell)))
        load, start = self._load(now), now.start / 100
        # A converter stops at its own lowest input, which the slider sets.
        until_v = None if now.kind == "converter" else now.low_v
        found = discharge(pack, load, start_charge=start, until_v=until_v)
        rule_h = start * self._rule_h(now, pack)
        drawn = pictures.run(
            found.time_h,
            found.voltage_v,
            stop_v=pack.end_voltage_v,
            ended_words=word(f"explore.ended.{found.ended_by}"),
            rule_h=rule_h,
            window_v=(now.low_v, None),
            title=f"{pack.name} {cell.title}",
        )
        self.show(drawn, self._sentences(now, pack, load, found, rule_h))

    def _rule_h(self, now, pack):
        """Run time from full by the rule of thumb: ``Ah / A``, or ``Wh / W``."""
        if now.kind in _WATTS:
            stage = self.stages.get(now.kind)
            efficiency = stage(now.low_v).efficiency if stage else 1.0
            return pack.energy_wh * efficiency / now.power
        return pack.run_time_h(now.current)

    def _sentences(self, now, pack, load, found, rule_h):
        said, why, start = [], word(f"explore.ended.{found.ended_by}"), now.start / 100
        if found.run_time_h <= 0:
            return [say("explore.load.at_once", why=why), *self._of_parallel(pack)]
        said.append(_start_words(pack, found, start))
        hours, rule = write(found.run_time_h, "h"), write(rule_h, "h")
        said.append(say("explore.load.ended", hours=hours, why=why, rule=rule))
        said.append(self._unused(now, pack, load, found))
        dropouts = [event for event in found.events if event.kind == "dropout"]
        if dropouts:
            output, when = write(self.output_v, "V"), write(dropouts[0].time_h, "h")
            said.append(say("explore.load.dropout", hours=when, output=output))
        notes = [word("discharging.notes.typical")] if found.typical else []
        notes += [word("discharging.notes.extrapolated")] if found.extrapolated else []
        notes += self._of_parallel(pack)
        return [*said, " ".join(notes)] if notes else said

    def _of_parallel(self, pack):
        """Why the slider is closed; where no cell could open it, it is not there at all."""
        closed = self.widens and _most_parallel(pack.cell) == 1
        return [word("explore.load.one_string")] if closed else []

    def _unused(self, now, pack, load, found):
        """What a device that stops early leaves in the cells."""
        if found.ended_by not in ("device_minimum", "input_window"):
            return word("explore.load.used")
        converted = now.kind == "converter"
        whole = load.load.through(self.stages[now.kind](0.1)) if converted else load
        longer = discharge(pack, whole, start_charge=now.start / 100)
        left_ah = float(longer.charge_ah[-1] - found.charge_ah[-1])
        if left_ah < 1e-3 * pack.capacity_ah:
            return word("explore.load.used")
        return say(
            "explore.load.unused",
            end=write(pack.end_voltage_v, "V"),
            hours=write(longer.run_time_h, "h"),
            left=write(left_ah, "Ah"),
        )


def _most_parallel(cell):
    """Most strings side by side that the slider offers for a cell."""
    return min(cell.max_parallel or MOST_PARALLEL, MOST_PARALLEL)


def _start_words(pack, found, start):
    drawn_ah = (1 - start) * pack.cell.capacity_ah
    open_v = pack.series * curves.open_circuit_v(pack.cell, drawn_ah)
    first_v = float(found.voltage_v[0])
    fields = {"open": open_v, "start": first_v, "lost": open_v - first_v}
    return say("explore.load.start", **{k: write(v, "V") for k, v in fields.items()})


class ChargeReadingExplorer(CurveExplorer):
    """A rested reading and its error: the range of charge left it allows.

    Args:
        cells: names of the cells to choose from.
        cell: the one shown first.
    """

    def __init__(self, cells=("nimh-aa", "alkaline-aa", "lifepo4-26650"), cell=None):
        super().__init__(cells, cell)

    def make_controls(self):
        """Cell, reading and the meter's error."""
        return {
            "cell": self.cell_list(),
            "reading": slider("reading_v", 0.0, 2.0, 1.2, 0.005, "V"),
            "error": slider("error_mv", 0, 20, 5, 1, "mV"),
        }

    def rescale(self, cell):
        """Readings from empty to full; half full at the start."""
        shares, volts = _rested(cell)
        empty, half, full = np.interp([0.0, 0.5, 1.0], shares, volts)
        step = 0.005 if cell.cells_inside == 1 else 0.02
        rescale(self.controls["reading"], empty, full, half, step)

    def draw(self, now):
        """Show the curve, the reading's band and the range of charge."""
        cell, reading_v, error_v = find_cell(now.cell), now.reading, now.error / 1000
        shares, volts = _rested(cell)
        low, high = curves.charge_left(cell, reading_v, error_v)
        drawn = pictures.voltage_and_charge(
            shares, volts, reading_v, error_v, low, high, title=cell.title
        )
        self.show(drawn, self._sentences(cell, reading_v, low, high))

    def _sentences(self, cell, reading_v, low, high):
        shown = [write_plain(round(100 * share), "%") for share in (low, high)]
        key = "exact" if shown[0] == shown[1] else "range"
        said = [say(f"explore.reading.{key}", low=shown[0], high=shown[1])]
        if high - low > 0.25:
            span = write_plain(round(100 * (high - low)), "%")
            said.append(say("explore.reading.wide", span=span))
        empty_v, full_v = cell.end_voltage_v, cell.full_voltage_v
        gauge = min(max((reading_v - empty_v) / (full_v - empty_v), 0.0), 1.0)
        fields = {"empty": write(empty_v, "V"), "full": write(full_v, "V")}
        share = write_plain(round(100 * gauge), "%")
        said.append(say("explore.reading.gauge", share=share, **fields))
        if curves.is_typical(cell):
            said.append(word("explore.sheet.typical"))
        return said


def _rested(cell):
    """Shares of charge left, rising, and a cell's rested voltages at them [V]."""
    volts, shares = curves.rested(cell)
    return shares[::-1], volts[::-1]
