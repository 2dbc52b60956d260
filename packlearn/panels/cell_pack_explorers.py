"""Panels of lessons 6 and 7 about cells that sag, differ, are joined, or scatter."""

import functools
import math

import numpy as np

from packlearn import pictures, rules
from packlearn.cells import cell as find_cell
from packlearn.discharging import Spread, discharge, run_times_h
from packlearn.loads import Load
from packlearn.packs import Pack
from packlearn.panels.base import dropdown, slider
from packlearn.panels.curve_figures import in_columns
from packlearn.panels.explorers import Explorer
from packlearn.panels.minding import careful
from packlearn.quantities import write, write_plain
from packlearn.tasks.minding import of_panel
from packlearn.words import say, word

PACKS = 1000
_SEED = 7
_STOPS = ("pack", "cell")


class SagExplorer(Explorer):
    """What a pack loses inside under a load, and whether the device goes on.

    Args:
        moves: sliders that can be moved, of ``"open_v"``, ``"each_ohm"``, ``"series"``,
            ``"parallel"``, ``"current"`` and ``"power"``.
        series, parallel: counts at the start.
        open_v: voltage of one cell with no load [V].
        each_ohm: internal resistance of one cell [ohm].
        current_a: current of the load [A].
        power_w: power of the load [W] in place of the current, or None.
        low_v: voltage below which the device starts anew [V], or None.
    """

    def __init__(
        self,
        moves=("open_v", "each_ohm", "current"),
        *,
        series=5,
        parallel=1,
        open_v=1.5,
        each_ohm=0.2,
        current_a=0.5,
        power_w=None,
        low_v=None,
    ):
        self.moves, self.low_v = tuple(moves), low_v
        self.with_power = power_w is not None or "power" in self.moves
        self.fixed = {
            "open_v": open_v,
            "each_ohm": each_ohm,
            "series": series,
            "parallel": parallel,
            "current": current_a,
            "power": 3.0 if power_w is None else power_w,
        }
        super().__init__()

    def make_controls(self):
        """The sliders that can be moved, in the order they were named."""
        scales = {
            "open_v": (0.9, 1.6, 0.05, "V"),
            "each_ohm": (0.05, 0.8, 0.05, "ohm"),
            "series": (1, 10, 1, ""),
            "parallel": (1, 4, 1, ""),
            "current": (0.0, 4.0, 0.1, "A"),
            "power": (0.5, 12.0, 0.5, "W"),
        }
        labels = {"current": "load_a", "power": "load_w"}
        controls = {}
        for name in self.moves:
            low, high, step, unit = scales[name]
            key = labels.get(name, name)
            controls[name] = slider(key, low, high, self.fixed[name], step, unit)
        return controls

    def names(self):
        """All values of the pack and the load, whether they can be moved or not."""
        return tuple(self.fixed)

    def value(self, name):
        """Value of a slider, or the fixed one where it cannot be moved."""
        return super().value(name) if name in self.controls else self.fixed[name]

    def draw(self, now):
        """Show what is lost and what is left."""
        open_v = now.series * now.open_v
        pack_ohm = rules.pack_resistance_ohm(now.each_ohm, now.series, now.parallel)
        current_a = self._current_a(now, open_v, pack_ohm)
        left_v = None if current_a is None else open_v - pack_ohm * current_a
        served = left_v is not None and left_v > 0
        drawn = pictures.sagging(
            open_v,
            pack_ohm,
            current_a if served else None,
            left_v if served else None,
            title=f"{now.series}S{now.parallel}P",
        )
        said = [say("explore.sag.pack", ohms=write(pack_ohm, "ohm"))]
        if served:
            said += self._served(now, open_v, current_a, left_v)
        else:
            said += self._too_much(now, open_v, pack_ohm)
        self.show(drawn, said)

    def _current_a(self, now, open_v, pack_ohm):
        """Current [A] of the load, None where the pack cannot give the power."""
        if not self.with_power:
            return now.current
        current_a = float(rules.current_for_power_a(open_v, pack_ohm, now.power))
        return None if math.isnan(current_a) else current_a

    def _served(self, now, open_v, current_a, left_v):
        said = []
        if self.with_power:
            power = write(now.power, "W")
            said.append(say("explore.sag.power", power=power, current=write(current_a, "A")))
        volts = {"lost": write(open_v - left_v, "V"), "left": write(left_v, "V")}
        said.append(say("explore.sag.loss", current=write(current_a, "A"), **volts))
        if self.low_v is not None:
            # 5 x 0.8 V must count as 4 V, which binary floats miss.
            key = "holds" if left_v >= self.low_v - 1e-9 else "resets"
            said.append(say(f"explore.sag.{key}", low=write(self.low_v, "V")))
        return said

    def _too_much(self, now, open_v, pack_ohm):
        if self.with_power:
            most = write(rules.largest_power_w(open_v, pack_ohm), "W")
            return [say("explore.sag.too_much", most=most, power=write(now.power, "W"))]
        most = write(rules.short_circuit_current_a(open_v, pack_ohm), "A")
        return [say("explore.sag.short", current=write(now.current, "A"), most=most)]


class UnlikeExplorer(Explorer):
    """Cells in line, one of them the odd one: which goes first, and what the others do to it.

    Args:
        cell: name of the cell.
        series: cells in line.
        odd: number of the odd one, from 1 at the minus end.
        capacity: its capacity as a share of the others' [%].
        start: its charge at the start [%].
        current_a: current of the load [A].
    """

    def __init__(self, cell="nimh-aa", series=5, *, odd=3, capacity=100, start=100, current_a=0.6):
        self.cell, self.series, self.odd = find_cell(cell), series, min(odd, series)
        self.starts = {"capacity": capacity, "start": start, "current": current_a}
        self.caution = careful(word("explore.unlike.caution"), of_panel(type(self).__name__))
        super().__init__()

    def make_controls(self):
        """The odd cell's capacity and charge, and the load."""
        most_a, starts = max(0.1, round(self.cell.current_limit_a / 2, 1)), self.starts
        stops = [(word(f"explore.unlike.stops_{key}"), key) for key in _STOPS]
        return {
            "capacity": slider("weak_capacity", 30, 100, starts["capacity"], 5, "%", wide=False),
            "start": slider("weak_start", 10, 100, starts["start"], 5, "%", wide=False),
            "current": slider("load_a", 0.1, most_a, starts["current"], 0.05, "A", wide=False),
            "stops": dropdown("stops", stops, "pack", wide=False),
        }

    def parts(self):
        """Controls in two columns, so that the picture and all sentences fit one screen."""
        return [in_columns(self.controls.values()), self.caution, self.picture, self.says]

    def _numbers(self):
        return range(1, self.series + 1)

    def _run(self, now, load):
        """The pack of these cells, one a group, until it stops."""
        odd = smaller(self.cell, now.capacity / 100)
        rows = [[odd if number == self.odd else self.cell] for number in self._numbers()]
        starts = [[now.start / 100 if n == self.odd else 1.0] for n in self._numbers()]
        protected = now.stops == "cell"
        return discharge(Pack.of_cells(rows), load, start_charge=starts, protected=protected)

    def draw(self, now):
        """Show every cell's voltage."""
        load = Load.current(now.current)
        found = self._run(now, load)
        weakest = found.weakest[0] if found.weakest else None
        # An event of like cells happens to all of them at once: it names no weakest one.
        events = [e for e in found.events if e.group is not None and weakest]
        drawn = pictures.groups(
            found.time_h,
            found.group_voltage_v,
            weakest=weakest,
            events=[
                (say(f"explore.unlike.{e.kind}", group=e.group), e.time_h, e.group) for e in events
            ],
            title=say(
                "explore.unlike.title", series=self.series, cell=self.cell.title, weak=self.odd
            ),
            each="cell",
        )
        self.show(drawn, self._sentences(found, weakest, events, load))

    def _sentences(self, found, weakest, events, load):
        hours = write(found.run_time_h, "h")
        if weakest is None:
            return [say("explore.unlike.alike", hours=hours)]
        empty = next((e for e in events if e.kind == "cell_empty" and e.group == weakest), None)
        if empty is None and found.ended_by == "cell_end_voltage":
            said = [say("explore.unlike.first", group=weakest, hours=hours)]
        elif empty is None:
            said = [say("explore.unlike.only_end", hours=hours)]
        else:
            when = write(empty.time_h, "h")
            said = [say("explore.unlike.first", group=weakest, hours=when)]
        turned = next((e for e in events if e.kind == "cell_reversed"), None)
        if turned is not None:
            lowest = write_plain(float(found.group_voltage_v[:, weakest - 1].min()), "V", 2)
            when = write(turned.time_h, "h")
            said.append(say("explore.unlike.reversed", hours=when, volts=lowest))
        # Two lines in place of four, so that all of it stands on the screen.
        return [" ".join(said), " ".join(self._against(found, weakest, load, hours))]

    def _against(self, found, weakest, load, hours):
        """What is left in the others, and how long like cells would run."""
        other = next(number for number in self._numbers() if number != weakest)
        left_ah = max(0.0, self.cell.capacity_ah - float(found.cell_charge_ah[-1, other - 1, 0]))
        alike_h = _alike_h(self.cell, self.series, 1, load.amps)
        return [
            say("explore.unlike.left", left=write(left_ah, "Ah")),
            say("explore.unlike.against", hours=hours, alike=write(alike_h, "h")),
        ]


# Sliders that leave the cell and the current alone ask for the same again.
@functools.lru_cache(maxsize=64)
def _alike_h(cell, series, parallel, current_a):
    """Run time of a pack of like cells [h]."""
    return discharge(Pack(cell, series, parallel), Load.current(current_a)).run_time_h


@functools.lru_cache(maxsize=64)
def smaller(cell, share):
    """A cell of the same kind that holds less.

    Args:
        cell: a ``Cell``.
        share: its capacity as a share of that cell's, above 0.
    """
    return cell if share == 1 else cell.aged(capacity=share)


class JoinExplorer(Explorer):
    """Two cells joined side by side on paper, and the current between them.

    Args:
        cell: name of the cell whose capacity and limit the current is held against.
        first_v, second_v: voltages with no load at the start [V].
        each_ohm: internal resistance of each at the start [ohm].
    """

    def __init__(self, cell="nimh-aa", *, first_v=1.4, second_v=1.2, each_ohm=0.03):
        self.cell = find_cell(cell)
        self.starts = {"first_v": first_v, "second_v": second_v, "each_ohm": each_ohm}
        self.caution = careful(word("explore.join.caution"), of_panel(type(self).__name__))
        super().__init__()

    def make_controls(self):
        """Both voltages and the resistance."""
        return {
            "first_v": slider("first_v", 0.9, 1.5, self.starts["first_v"], 0.02, "V"),
            "second_v": slider("second_v", 0.9, 1.5, self.starts["second_v"], 0.02, "V"),
            "each_ohm": slider("each_ohm", 0.01, 0.3, self.starts["each_ohm"], 0.01, "ohm"),
        }

    def parts(self):
        """Controls, and the caution before anything that could be tried out."""
        return [*self.controls.values(), self.caution, self.picture, self.says]

    def draw(self, now):
        """Show the current between the two."""
        first_v, second_v, each_ohm = now.first_v, now.second_v, now.each_ohm
        # Sliders give 1.4000000000000001.
        difference_v = round(first_v - second_v, 6)
        current_a = float(rules.current_into_a(difference_v, each_ohm, each_ohm))
        drawn = pictures.joined(first_v, second_v, each_ohm, current_a, title=self.cell.title)
        self.show(drawn, self._sentences(difference_v, each_ohm, abs(current_a)))

    def _sentences(self, difference_v, each_ohm, current_a):
        if not difference_v:
            return [word("explore.join.none")]
        fields = {"difference": write(abs(difference_v), "V"), "ohms": write(2 * each_ohm, "ohm")}
        said = [say("explore.join.flow", current=write(current_a, "A"), **fields)]
        rate = write(self.cell.c_rate(current_a), "C")
        said.append(
            say("explore.join.rate", capacity=write(self.cell.capacity_ah, "Ah"), rate=rate)
        )
        if current_a > self.cell.current_limit_a:
            said.append(say("explore.join.over", limit=write(self.cell.current_limit_a, "A")))
        return said


class ScatterExplorer(Explorer):
    """A thousand packs whose cells scatter, beside the pack of like cells.

    Args:
        cell: name of the cell.
        series, parallel: counts at the start.
        current_a: current of the load [A].
        capacity, resistance: spreads at the start [%].
        night_h: hours the device shall work [h]; how many packs reach them is told. Or None.
    """

    def __init__(
        self,
        cell="nimh-aa",
        series=6,
        parallel=1,
        *,
        current_a=0.6,
        capacity=3,
        resistance=10,
        night_h=None,
    ):
        self.cell, self.load = find_cell(cell), Load.current(current_a)
        self.current_a, self.night_h = current_a, night_h
        self.starts = (capacity, resistance, series, parallel)
        super().__init__()

    def make_controls(self):
        """Both spreads and the counts; a thousand packs take a moment, so on release only."""
        capacity, resistance, series, parallel = self.starts
        controls = {
            "capacity": slider("capacity_spread", 0, 10, capacity, 1, "%", wide=False),
            "resistance": slider("resistance_spread", 0, 30, resistance, 5, "%", wide=False),
            "series": slider("series", 1, 10, series, wide=False),
            "parallel": slider("parallel", 1, 3, parallel, wide=False),
        }
        for control in controls.values():
            control.continuous_update = False
        return controls

    def parts(self):
        """Controls in two columns, then picture and sentences."""
        return [in_columns(self.controls.values()), self.picture, self.says]

    def draw(self, now):
        """Show how long the packs run."""
        pack = Pack(self.cell, now.series, now.parallel)
        spread = Spread(now.capacity / 100, now.resistance / 100)
        times_h = run_times_h(pack, self.load, spread, PACKS, seed=_SEED)
        alike_h = _alike_h(self.cell, now.series, now.parallel, self.current_a)
        drawn = pictures.histogram(
            times_h,
            "h",
            # Mean and middle lie close: where a night is asked for, its mark takes that place.
            marks=("mean", 10, 50, 90) if self.night_h is None else ("mean", 10, 90),
            alike=alike_h,
            need=self.night_h,
            title=say(
                "explore.scatter.title",
                count=PACKS,
                name=pack.name,
                cell=self.cell.title,
                current=write(self.current_a, "A"),
            ),
        )
        self.show(drawn, self._sentences(times_h, alike_h, spread))

    def _sentences(self, times_h, alike_h, spread):
        alike = write(alike_h, "h")
        if not (spread.capacity or spread.resistance):
            return [say("explore.scatter.same", alike=alike)]
        early, late = (write(float(at), "h") for at in np.percentile(times_h, (10, 90)))
        mean = write(float(times_h.mean()), "h")
        said = [
            say("explore.scatter.alike", alike=alike, mean=mean),
            say("explore.scatter.early", early=early, late=late),
        ]
        if self.night_h is not None:
            reach = int((times_h >= self.night_h).sum())
            night = write(self.night_h, "h")
            said.append(say("explore.scatter.night", reach=reach, count=PACKS, night=night))
        return said
