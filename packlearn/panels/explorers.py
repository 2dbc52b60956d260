"""Panels with sliders about one device or one cell: profile, converter, cell."""

from types import SimpleNamespace

from packlearn import pictures
from packlearn.cells import catalogue
from packlearn.cells import cell as find_cell
from packlearn.loads import Converter, LinearRegulator, Load
from packlearn.panels import base
from packlearn.panels.base import Panel, area, dropdown, guard, paragraphs, slider
from packlearn.quantities import write
from packlearn.rules import run_time_h
from packlearn.words import say


class Explorer(Panel):
    """Controls on top, a picture that follows them, sentences below.

    Deriving classes give ``make_controls`` and ``draw``. ``draw`` takes every value from the
    setting it is given and reads no control: callbacks run in threads of their own, so a
    control may move while a picture is worked out.
    """

    def build(self):
        """Make the controls and the places for picture and sentences."""
        self.controls = self.make_controls()
        self.picture = area("", "packlearn-picture", "packlearn-moving")
        self.says = area("", "packlearn-status", "packlearn-feedback", "packlearn-beneath")

    def make_controls(self):
        """Controls by name, in their order."""
        return {}

    def wire(self):
        """Let every control call ``update``."""
        for control in self.controls.values():
            control.observe(self._moved, names="value")

    @guard
    def _moved(self, _=None):
        self.update()

    def parts(self):
        """Controls, picture, sentences."""
        return [*self.controls.values(), self.picture, self.says]

    def value(self, name):
        """Value of a control."""
        return self.controls[name].value

    def names(self):
        """Names of the values in a setting."""
        return tuple(self.controls)

    def setting(self, **known):
        """The values of this moment by name, each control read once.

        Args:
            **known: values that are not to be read again.
        """
        read = {name: self.value(name) for name in self.names() if name not in known}
        return SimpleNamespace(**known, **read)

    def update(self):
        """Show the setting of this moment."""
        self.draw(self.setting())

    def draw(self, now):
        """Show the picture and the sentences of one setting.

        Args:
            now: what ``setting`` gave.
        """

    def show(self, drawn, sentences, more=""):
        """Show a picture and sentences.

        Args:
            drawn: a ``Picture``.
            sentences: texts below it.
            more: SVG of a second picture.
        """
        self.picture.value = base.picture(drawn) + more
        self.says.value = paragraphs(sentences)


class ProfileExplorer(Explorer):
    """A device that sleeps and wakes: mean, RMS and peak current, duty cycle.

    Args:
        capacity_ah: capacity [Ah] the hours are counted for.
    """

    def __init__(self, capacity_ah=1.9):
        self.capacity_ah = capacity_ah
        super().__init__()

    def make_controls(self):
        """Currents and times of the two steps."""
        return {
            "wake_ma": slider("wake_ma", 10, 500, 250, 10, "mA"),
            "wake_s": slider("wake_s", 1, 60, 10, 1, "s"),
            "sleep_ma": slider("sleep_ma", 0, 50, 4, 1, "mA"),
            "sleep_s": slider("sleep_s", 5, 300, 50, 5, "s"),
        }

    def draw(self, now):
        """Show the profile."""
        steps = [(now.wake_ma / 1000, now.wake_s), (now.sleep_ma / 1000, now.sleep_s)]
        load = Load.profile([(Load.current(amps), seconds) for amps, seconds in steps])
        mean_a = load.mean_current_a()
        drawn = pictures.profile(
            steps, mean_a=mean_a, rms_a=load.rms_current_a(), peak_a=load.peak_current_a()
        )
        hours = write(run_time_h(self.capacity_ah, mean_a), "h")
        said = say(
            "panels.profile.says",
            duty=write(100 * load.duty_cycle(), "%"),
            mean=write(mean_a, "A"),
            capacity=write(self.capacity_ah, "Ah"),
            hours=hours,
        )
        self.show(drawn, [said])


class ConverterExplorer(Explorer):
    """Power through a switching converter or a linear regulator."""

    def make_controls(self):
        """Kind, voltages, current and efficiency."""
        kinds = [(say(f"panels.stage.{kind}"), kind) for kind in ("converter", "regulator")]
        return {
            "kind": dropdown("kind", kinds, "converter"),
            "pack_v": slider("pack_v", 2.4, 12.0, 6.0, 0.6, "V"),
            "output_v": slider("output_v", 3.3, 12.0, 9.0, 0.1, "V"),
            "output_ma": slider("output_ma", 50, 1000, 600, 50, "mA"),
            "efficiency": slider("efficiency", 50, 100, 85, 1, "%"),
        }

    def draw(self, now):
        """Show the power flow."""
        regulated = now.kind == "regulator"
        self.controls["efficiency"].disabled = regulated
        load, stage = Load.current(now.output_ma / 1000), _stage(now)
        input_a = load.through(stage).current_at_a(now.pack_v)
        output_v = stage.output_at_v(now.pack_v) if regulated else now.output_v
        output_a = load.current_at_a()
        drawn = pictures.conversion(
            input_v=now.pack_v,
            input_a=input_a,
            output_v=output_v,
            output_a=output_a,
            loss_w=now.pack_v * input_a - output_v * output_a,
            kind=now.kind,
        )
        self.show(drawn, self._sentences(now, input_a, output_v))

    def _sentences(self, now, input_a, output_v):
        fields = {"amps": write(input_a, "A"), "volts": write(now.pack_v, "V")}
        said = [say(f"panels.conversion.{now.kind}", **fields)]
        if now.kind == "regulator" and output_v < now.output_v - 1e-9:
            asked = write(now.output_v, "V")
            said.append(say("panels.conversion.dropout", got=write(output_v, "V"), asked=asked))
        return said


def _stage(now):
    if now.kind == "regulator":
        return LinearRegulator(now.output_v, dropout_v=0.3)
    return Converter(now.output_v, now.efficiency / 100, input_v=(1.0, 30.0))


class CellExplorer(Explorer):
    """One cell of the catalogue: its voltages, its hours and its C-rate at a current.

    Args:
        cell: name of the cell shown first.
    """

    def __init__(self, cell="nimh-aa"):
        self.first = cell
        super().__init__()

    def make_controls(self):
        """Cell, and the current as a share of its limit."""
        cells = [(cell.title, name) for name, cell in catalogue().items()]
        return {
            "cell": dropdown("cell", cells, self.first),
            "share": slider("share", 1, 100, 10, 1, say("panels.sliders.of_limit")),
        }

    def parts(self):
        """Controls and sentences first, since two pictures follow."""
        return [*self.controls.values(), self.says, self.picture]

    def draw(self, now):
        """Show the cell's voltages and what the current means."""
        cell = find_cell(now.cell)
        current_a = cell.current_limit_a * now.share / 100
        rested = [("rested", cell.rested_voltage_v)] if cell.rested_voltage_v else []
        levels = [
            ("full" if cell.rechargeable else "fresh", cell.full_voltage_v),
            *rested,
            ("nominal", cell.nominal_voltage_v),
            ("end", cell.end_voltage_v),
        ]
        drawn = pictures.levels(
            cell.title, [(say(f"panels.levels.{name}"), volts) for name, volts in levels]
        )
        rates = pictures.c_rate(current_a, cell.capacity_ah, cell.current_limit_a)
        self.show(drawn, self._sentences(cell, current_a, now.share), more=rates.svg)

    def _sentences(self, cell, current_a, share):
        fields = {
            "current": write(current_a, "A"),
            "c_rate": write(cell.c_rate(current_a), "C"),
            "hours": write(run_time_h(cell.capacity_ah, current_a), "h"),
            "share": write(share, "%"),
            "limit": write(cell.current_limit_a, "A"),
            "capacity": write(cell.capacity_ah, "Ah"),
            "planned": write(cell.plannable_current_a(), "A"),
        }
        said = [say("panels.cell.current", **fields), say("panels.cell.limit", **fields)]
        if cell.capacity_at_a:
            stated = write(cell.capacity_at_a, "A")
            end = write(cell.capacity_to_v, "V")
            said.append(say("panels.cell.stated", stated=stated, end=end, **fields))
        if cell.ready_made_only:
            said.append(say("sizing.notes.ready_made_only"))
        if not cell.rechargeable:
            said.append(say("panels.cell.never_charge"))
        if cell.cells_inside > 1:
            said.append(say("panels.cell.block", count=cell.cells_inside))
        return said
