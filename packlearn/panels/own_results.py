"""Views of the own-pack panel that show results: run, wiring, protection and charging, sheet."""

import html
import json

import ipywidgets as widgets

from packlearn import pictures
from packlearn.discharging import discharge
from packlearn.errors import PackError
from packlearn.panels import base
from packlearn.panels.base import alert, area, escape, guard, paragraphs, show
from packlearn.panels.figures import shape_of
from packlearn.panels.own_views import View, cautions_of
from packlearn.panels.sheet_keeping import keep_sheet
from packlearn.panels.work import beside
from packlearn.quantities import write
from packlearn.words import say

LARGEST_DRAWN = 24


class RunView(View):
    """The chosen pack under the device's own profile, against the time and the margins."""

    def build(self):
        """Make the places."""
        self.picture = area("", "packlearn-picture")
        self.says = area("", "packlearn-status")
        self.drawn_for = None

    def parts(self):
        """The picture and what is said of it."""
        return [self.picture, self.says]

    def update(self):
        """Show the run; it is worked out once for each pack and need."""
        now = self.around.need, self.around.pack
        if now == self.drawn_for or None in now:
            return
        self.drawn_for, (need, pack) = now, now
        low_v = max(need.voltage_v[0], pack.end_voltage_v)
        try:
            found = discharge(pack, need.load, until_v=low_v)
        except PackError as trouble:
            self.picture.value, self.says.value = "", alert(str(trouble))
            return
        drawn = pictures.run(
            found.time_h,
            found.voltage_v,
            stop_v=low_v,
            ended_words=say(f"explore.ended.{_ended_by(need, found, low_v)}"),
            rule_h=pack.run_time_h(need.load.mean_current_a(pack.nominal_voltage_v)),
            window_v=need.voltage_v,
            title=f"{pack.name} {pack.cell.title}",
        )
        self.picture.value = base.picture(drawn)
        self.says.value = paragraphs(_of_run(need, found))


def _ended_by(need, found, low_v):
    """What ended the run; where the cells stop before the device does, it is they."""
    by_cells = found.ended_by == "device_minimum" and low_v > need.voltage_v[0]
    return "end_voltage" if by_cells else found.ended_by


def _of_run(need, found):
    asked_h = need.run_time_h / need.usable_share
    fields = {
        "hours": write(float(found.run_time_h), "h"),
        "asked": write(need.run_time_h, "h"),
        "planned": write(asked_h, "h"),
    }
    said = [say("own_pack.run.runs", **fields), say("own_pack.run.asked", **fields)]
    if found.run_time_h < need.run_time_h:
        said.append(say("own_pack.run.too_short"))
    elif found.run_time_h < asked_h:
        said.append(say("own_pack.run.no_margin"))
    else:
        said.append(say("own_pack.run.enough"))
    return [*said, *found.notes]


class WiringView(View):
    """How the cells lie and are joined; of a ready-made pack, what is bought."""

    def build(self):
        """Make the places."""
        self.picture = area("", "packlearn-picture")
        self.says = area("", "packlearn-status")
        self.minding = area("")

    def parts(self):
        """The picture, what is said of it, and what to mind."""
        return [beside(self.picture, widgets.VBox([self.says, self.minding]))]

    def update(self):
        """Show the wiring of the chosen pack."""
        pack = self.around.pack
        if pack is None:
            return
        ready = pack.cell.ready_made_only
        self.picture.value = "" if ready else _holder(pack)
        show(self.picture, not ready)
        fields = {"name": pack.name, "cell": pack.cell.title, "count": pack.cell_count}
        fields |= {"series": pack.series, "parallel": pack.parallel}
        key = "ready_made" if ready else "alone" if pack.parallel == 1 else "strings"
        self.says.value = paragraphs([say(f"own_pack.wiring.{key}", **fields)])
        self.minding.value = cautions_of(pack.cell.chemistry, "joining", "wiring")


def _holder(pack):
    if max(pack.series, pack.parallel) > LARGEST_DRAWN:
        return ""
    single = pack.cell.cells_inside == 1 and pack.cell_count > 1
    drawn = pictures.pack(
        pack.series,
        pack.parallel,
        pack.cell.title,
        layout="strings" if pack.parallel > 1 else "holder" if single else "groups",
        shape=shape_of(pack.cell),
    )
    return base.picture(drawn)


class KeepView(View):
    """What watches over the pack and how it is charged."""

    def build(self):
        """Make the places."""
        self.says = area("", "packlearn-status")
        self.minding = area("")

    def parts(self):
        """What is said, and what to mind."""
        return [beside(self.says, self.minding)]

    def update(self):
        """Show protection and charging of the chosen pack."""
        pack, plan = self.around.pack, self.around.plan
        if pack is None or plan is None:
            return
        said = [plan.protection.sentence, *getattr(plan.protection, "notes", ())]
        charging = plan.charging
        said.append(charging.sentence if charging else say("own_pack.never_charged"))
        if plan.fuse:
            said.append(plan.fuse.sentence)
        if plan.wire:
            said.append(plan.wire.sentence)
        self.says.value = paragraphs([*said, *plan.trouble])
        self.minding.value = cautions_of(pack.cell.chemistry, "fusing", "charging")


class SheetView(View):
    """The button that makes the sheet, the way to it, and its key figures."""

    def build(self):
        """Make the button and the places."""
        text = say("own_pack.buttons.make")
        self.make = widgets.Button(
            description=text, tooltip=text, layout=widgets.Layout(width="auto")
        )
        self.make.add_class("packlearn-lock")
        self.says = area("", "packlearn-status", "packlearn-feedback")
        self.figures = area("", "packlearn-choices")

    def wire(self):
        """Connect the button."""
        self.make.on_click(self.make_sheet)

    def parts(self):
        """What is in it, the button, the way to the sheet, the figures."""
        return [self.figures, base.row(self.make), self.says]

    @guard
    def make_sheet(self, _=None):
        """Write the sheet into the learner's folder and show the way to it."""
        plan = self.around.plan
        if plan is None:
            return
        made = keep_sheet(plan)
        kind = "order" if plan.ready_made else "build"
        said = [f"<p>{escape(say(f'own_pack.sheet.made_{kind}'))} {_link(made.page)}</p>"]
        if made.printed:
            said.append(f"<p>{escape(say('own_pack.sheet.pdf'))} {_link(made.printed)}</p>")
        else:
            said.append(paragraphs([say("own_pack.sheet.no_pdf")]))
        self.says.value = "".join(said)

    def update(self):
        """Show the key figures."""
        plan, device = self.around.plan, self.around.device
        if plan is None or device is None:
            return
        kind = "order" if plan.ready_made else "build"
        note = say(f"own_pack.notes.{device.known}")
        said = paragraphs([say(f"own_pack.sheet.{kind}"), note])
        self.figures.value = said + _table(plan) + "".join(alert(text) for text in plan.trouble)
        self.says.value = ""


def _table(plan):
    figures = plan.figures
    rows = [
        ("name", plan.name),
        ("pack", f"{plan.pack.name} {plan.pack.cell.title}"),
        ("nominal", write(figures.nominal_v, "V")),
        ("full", write(figures.full_v, "V")),
        ("capacity", write(figures.capacity_ah, "Ah")),
        ("energy", write(figures.energy_wh, "Wh")),
        ("peak", write(figures.peak_a, "A")),
    ]
    rows += [("wire", plan.wire.conductor.label)] if plan.wire else []
    rows += [("fuse", write(plan.fuse.rating_a, "A"))] if plan.fuse else []
    lines = "".join(
        f"<tr><th scope='row'>{escape(say(f'own_pack.figures.{name}'))}</th>"
        f"<td>{escape(text)}</td></tr>"
        for name, text in rows
    )
    return f"<table class='packlearn-table'>{lines}</table>"


def _link(path):
    """A link that JupyterLab opens; elsewhere it tells the path."""
    args = html.escape(json.dumps({"path": path}), quote=True)
    return (
        f'<a href="#" class="packlearn-link" data-commandlinker-command="docmanager:open" '
        f'data-commandlinker-args="{args}">{escape(path)}</a>'
    )
