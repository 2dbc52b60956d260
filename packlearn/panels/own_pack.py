"""The way from a learner's own device to its sheet, one stop on the stage at a time."""

from dataclasses import replace

import ipywidgets as widgets

from packlearn.building import plan_for
from packlearn.cells import catalogue
from packlearn.errors import PackError
from packlearn.packs import Pack
from packlearn.panels import base
from packlearn.panels.base import Panel, area, button, escape, guard, paragraphs, row
from packlearn.panels.device_keeping import DeviceFile, NotKept, keepable
from packlearn.panels.own_results import KeepView, RunView, SheetView, WiringView
from packlearn.panels.own_views import CellView, ChoicesView, DeviceView
from packlearn.panels.question import Question
from packlearn.sizing import check
from packlearn.tasks import bank
from packlearn.tasks.device_steps import PAGE, way
from packlearn.tasks.devices import need_of, read_device, read_plans, ready_texts
from packlearn.words import say

_VIEWS = {
    "device": DeviceView,
    "cell": CellView,
    "choices": ChoicesView,
    "run": RunView,
    "wiring": WiringView,
    "keep": KeepView,
    "sheet": SheetView,
}


class OwnQuestion(Question):
    """A question with the numbers of the learner's own device.

    Args:
        variant: the ``Variant`` of ``device_steps``.
    """

    offers_another = False

    def __init__(self, variant):
        self.own = variant
        super().__init__(PAGE, variant.task.id, variant.number)

    def drawn(self, number):
        """The device's own numbers, whatever is asked for."""
        return self.own


class OwnPack(Panel):
    """Device, predictions, choice and sheet; each stop opens once those before it are done.

    Attributes:
        kept: what is typed and chosen, a ``Kept``.
        device, plans: what was read of it, None where something cannot be read.
        device_troubles, plans_troubles: dict of field -> sentence.
    """

    def __init__(self):
        self.questions, self.views, self.stops, self.place = {}, {}, [], 0
        self.said = ""
        self._open()
        super().__init__()

    # State: the file, and the records behind the questions.

    def _open(self):
        self.file = DeviceFile(base.seat())
        self.kept, self.said = self.file.read()
        self._read()

    def _read(self):
        self.device, self.device_troubles = read_device(self.kept.typed)
        self.plans, self.plans_troubles = read_plans(self.kept.typed)
        self._plan = None

    @property
    def need(self):
        """The ``Need`` of device and margins, None where one is missing."""
        return need_of(self.device, self.plans) if self.device and self.plans else None

    @property
    def pack(self):
        """The chosen ``Pack``, None where none is chosen or it does not fit any more."""
        if self.kept.pick is None or self.need is None or self.kept.pick[0] not in catalogue():
            return None
        name, series, parallel = self.kept.pick
        try:
            pack = Pack(catalogue()[name], series, parallel)
            return pack if check(self.need, pack).fits else None
        except PackError:
            return None

    @property
    def plan(self):
        """The build plan of the chosen pack, None without one."""
        pack = self.pack
        return pack and self._planned(self.need, pack)

    def _planned(self, need, pack):
        now = need, pack, self.plans.lead_m, self.device.name
        if self._plan is None or self._plan[0] != now:
            made = plan_for(need, pack, lead_m=self.plans.lead_m, name=self.device.name)
            self._plan = now, made
        return self._plan[1]

    def keep_typed(self, texts):
        """Keep texts of boxes at once.

        Args:
            texts: dict of field -> text.
        """
        cut = {field: keepable(text) for field, text in texts.items()}
        self._keep(typed=self.kept.typed | cut)

    def keep_pick(self, pick):
        """Keep the chosen pack.

        Args:
            pick: name of a cell, series and parallel count.
        """
        self._keep(pick=pick)

    def fill_in(self, name):
        """Fill the form with a device of the club.

        Args:
            name: one of ``READY``.
        """
        before = self.kept.before or self.kept.typed
        self._keep(typed=ready_texts(name), before=before)
        self.update()

    def take_back(self):
        """Bring back what stood there before a device of the club was filled in."""
        if self.kept.before:
            self._keep(typed=self.kept.typed | self.kept.before, before=None)
        self.update()

    def _keep(self, **changes):
        self.kept = replace(self.kept, **changes)
        self._read()
        try:
            self.kept, self.said = self.file.write(self.kept)
            self._read()
        except NotKept as trouble:
            # What is typed works on; only a restart would lose it.
            self.said = str(trouble)
        self.keeping.value = paragraphs([self.said]) if self.said else ""
        self._show_steps()

    # The way.

    def _follow(self):
        """Stops up to the first that is not done; nothing behind it is even made."""
        stops = []
        for stop in way(self.device, self.plans, self.pack, self._planned):
            stops.append(stop)
            if stop.kind == "blocked":
                break
            if stop.kind == "question" and not self._question(stop).done:
                break
        return stops

    def _question(self, stop):
        key = stop.name, stop.variant.number
        if key not in self.questions:
            question = OwnQuestion(stop.variant).inside()
            question.on_change.append(self._answered)
            self.questions[key] = question
        return self.questions[key]

    def _answered(self):
        self.stops = self._follow()
        self._show_steps()

    def _view(self, stop):
        if stop.kind == "question":
            return self._question(stop)
        if stop.kind == "blocked":
            return area(base.alert(stop.said), "packlearn-status")
        if stop.name not in self.views:
            self.views[stop.name] = _VIEWS[stop.name](self)
        else:
            self.views[stop.name].refresh()
        return self.views[stop.name]

    # Controls.

    def build(self):
        """Make heading, stage and the way on and back."""
        self.heading = area("", "packlearn-own-heading")
        self.explain = area("", "packlearn-explain")
        self.stage = widgets.VBox([])
        self.keeping = area("", "packlearn-status")
        self.back, self.onward, self.first = button("back"), button("onward"), _first()
        self.where = area("", "packlearn-where")
        self.steps = row(self.back, self.onward, self.first, self.where)
        self.steps.add_class("packlearn-steps")
        self.stops = self._follow()
        names = [stop.name for stop in self.stops]
        self.place = names.index(self.kept.stop) if self.kept.stop in names else 0

    def wire(self):
        """Connect the way on and back."""
        self.back.on_click(lambda _: self.go(-1))
        self.onward.on_click(lambda _: self.go(1))
        self.first.on_click(lambda _: self.go(-self.place))

    def parts(self):
        """Heading, the stop, the way on and back, what is told of keeping."""
        return [self.heading, self.explain, self.stage, self.steps, self.keeping]

    @guard
    def take_seat(self):
        """Show the device of the seat of this moment."""
        self.questions, self.views, self.place = {}, {}, 0
        self._open()
        self.stage.children = ()
        self.update()

    @guard
    def go(self, step):
        """Go to the next stop, or back.

        Args:
            step: 1, -1, or further back.
        """
        self.stops = self._follow()
        if 0 <= self.place + step < len(self.stops):
            self.place += step
            self._keep(stop=self.stops[self.place].name)
        self.update()

    def update(self):
        """Show the stop one is at."""
        self.stops = self._follow()
        self.place = min(self.place, len(self.stops) - 1)
        stop = self.stops[self.place]
        view = self._view(stop)
        if self.stage.children != (view,):
            self.stage.children = (view,)
        title = say(f"own_pack.titles.{stop.name.replace('-', '_')}")
        self.heading.value = f"<h3>{escape(title)}</h3>"
        self.explain.value = paragraphs(self._explained(stop))
        self.keeping.value = paragraphs([self.said]) if self.said else ""
        self._show_steps()

    def _explained(self, stop):
        """What a view says first: its own sentence, and why of the questions just done."""
        if stop.kind != "view":
            return []
        chapters = {"cell": "need", "choices": "side-by-side", "run": "under-load", "keep": "build"}
        said = [say(f"own_pack.leads.{stop.name}")]
        before = self.stops[self.place - 1].kind if self.place else "view"
        if stop.name in chapters and before == "question":
            said = [*bank.page(PAGE).round(chapters[stop.name]).explain, *said]
        return said

    def _show_steps(self):
        last = self.place >= len(self.stops) - 1
        stop = self.stops[self.place]
        # A form that has just become readable opens the way when one presses "Go on".
        ready = {"device": self.device, "cell": self.plans, "choices": self.pack}
        self.back.disabled = self.first.disabled = self.place == 0
        self.onward.disabled = ready.get(stop.name) is None if stop.name in ready else last
        name = self.device.name if self.device else say("own_pack.unnamed")
        self.where.value = paragraphs([say("own_pack.where", name=name, place=self.place + 1)])


def _first():
    text = say("own_pack.buttons.first")
    return widgets.Button(description=text, tooltip=text, layout=widgets.Layout(width="auto"))
