"""Views of the own-pack panel in which something is typed or chosen: device, cell, pack."""

import ipywidgets as widgets

from packlearn import pictures
from packlearn.building import cautions
from packlearn.building.minding import SEVERITIES
from packlearn.cells import catalogue
from packlearn.cells import cell as find_cell
from packlearn.panels import base
from packlearn.panels.base import Panel, alert, area, escape, guard, paragraphs, show
from packlearn.panels.figures import shape_of
from packlearn.panels.minding import told
from packlearn.panels.sizing_explorer import ROWS, picture_row, place_of, table_of
from packlearn.panels.work import beside
from packlearn.quantities import write
from packlearn.sizing import RANKS, size
from packlearn.tasks.devices import FEEDS, KNOWN, READY, STEPS, need_of
from packlearn.words import say

_LABEL = "12em"
# So many cautions stand there at once, the others behind a press.
MOST = 4


def cautions_of(chemistry, *situations):
    """HTML of what to mind for a chemistry: each once, what matters most first.

    Args:
        chemistry: one of ``packlearn.cells.CHEMISTRIES``.
        *situations: some of ``packlearn.building.SITUATIONS``.
    """
    found = {each.key: each for name in situations for each in cautions(chemistry, name)}
    return told(sorted(found.values(), key=lambda each: SEVERITIES.index(each.severity)), MOST)


class View(Panel):
    """One view of the way.

    Args:
        around: the ``OwnPack`` that shows it.
    """

    heading = ""

    def __init__(self, around):
        self.around = around
        super().__init__()
        self.inside()

    @guard
    def refresh(self):
        """Show the state anew."""
        self.update()


class TypedView(View):
    """A view with boxes and lists whose texts are kept while they are typed."""

    fields = ()

    def build(self):
        """Make the boxes."""
        self.boxes = {field: self.box(field) for field in self.fields}
        self.told = area("", "packlearn-status")
        self.picture = area("", "packlearn-picture")

    def wire(self):
        """Keep every change."""
        for field, box in self.boxes.items():
            box.observe(lambda change, field=field: self.typed(field, change["new"]), "value")

    def box(self, field):
        """The control of a field: a box to type into, or a list."""
        options, label = self.options(field), self.label(field)
        shared = {
            "description": label,
            "tooltip": label,
            "style": {"description_width": _LABEL},
            "layout": widgets.Layout(width="min(34em, 100%)"),
        }
        if options:
            return widgets.Dropdown(options=options, value=options[0][1], **shared)
        hint = say(f"own_pack.hints.{field}")
        return widgets.Text(placeholder=hint, continuous_update=True, **shared)

    def label(self, field):
        """What stands before the control of a field."""
        return say(f"own_pack.fields.{field}")

    def options(self, field):
        """Pairs of text and value of a list, none for a box."""
        return []

    @guard
    def typed(self, field, text):
        """Keep what was typed, then show what it means.

        Args:
            field: name of the box.
            text: its text.
        """
        if self.around.kept.typed.get(field) != text:
            self.around.keep_typed({field: text})
            self.update()

    def fill(self):
        """Show the kept texts in the boxes."""
        for field, box in self.boxes.items():
            text = self.around.kept.typed.get(field, "")
            if box.value == text:
                continue
            if isinstance(box, widgets.Text) or text in [value for _, value in box.options]:
                box.value = text

    def tell(self, troubles):
        """Say what cannot be read; what is still empty comes in one sentence.

        Args:
            troubles: dict of field -> sentence.
        """
        typed = self.around.kept.typed
        named = {field: self.label(field) for field in troubles}
        empty = [named[field] for field in troubles if not typed.get(field, "").strip()]
        said = [
            alert(say("own_pack.at", field=named[field], said=sentence))
            for field, sentence in troubles.items()
            if typed.get(field, "").strip()
        ]
        if empty:
            said.append(paragraphs([say("own_pack.empty", fields=", ".join(empty))]))
        self.told.value = "".join(said)


class DeviceView(TypedView):
    """The device: its name, its window, what it takes and how long."""

    fields = ("name", "feed", "low", "high", "output", "efficiency", *STEPS, "hours", "known")

    def build(self):
        """Make boxes, and buttons for the club's devices."""
        super().build()
        self.ready = [_button(say(f"own_pack.ready_names.{name}")) for name in READY]
        self.undo = _button(say("own_pack.buttons.undo"))
        self.ready_row = base.row(area(say("own_pack.start_from")), *self.ready, self.undo)

    def wire(self):
        """Connect boxes and buttons."""
        super().wire()
        for name, control in zip(READY, self.ready, strict=True):
            control.on_click(lambda _, name=name: self.fill_in(name))
        self.undo.on_click(self.take_back)

    def label(self, field):
        """What stands before a control; behind a converter the window is the converter's own."""
        between = self.around.kept.typed.get("feed", "straight") != "straight"
        if between and field in ("low", "high"):
            return say(f"own_pack.into.{field}")
        return super().label(field)

    def options(self, field):
        """Pairs of text and value of a list."""
        if field == "feed":
            return [(say(f"own_pack.feed.{name}"), name) for name in FEEDS]
        if field == "known":
            return [(say(f"own_pack.known.{name}"), name) for name in KNOWN]
        return []

    def parts(self):
        """Devices of the club, then the form beside its picture."""
        # What cannot be read stands where the picture would be, in sight of the boxes.
        right = widgets.VBox([self.told, self.picture])
        return [self.ready_row, beside(widgets.VBox(list(self.boxes.values())), right)]

    @guard
    def fill_in(self, name):
        """Fill the form with a device of the club; what was typed waits behind a button.

        Args:
            name: one of ``READY``.
        """
        self.around.fill_in(name)
        self.update()

    @guard
    def take_back(self, _=None):
        """Bring back what stood there before a device of the club was filled in."""
        self.around.take_back()
        self.update()

    def update(self):
        """Show boxes, troubles and the picture of what the device takes."""
        self.fill()
        feed = self.around.kept.typed.get("feed")
        for field in ("low", "high"):
            self.boxes[field].description = self.boxes[field].tooltip = self.label(field)
        show(self.boxes["output"], feed != "straight")
        show(self.boxes["efficiency"], feed == "converter")
        # A last step is only offered where those before it are used.
        last, before = (self.around.kept.typed.get(step, "").strip() for step in STEPS[:-3:-1])
        show(self.boxes[STEPS[-1]], bool(last or before))
        show(self.undo, self.around.kept.before is not None)
        self.tell(self.around.device_troubles)
        self.picture.value = self._picture()

    def _picture(self):
        device = self.around.device
        if device is None:
            return paragraphs([say("own_pack.no_picture")])
        fields = {"name": device.name, "hours": write(device.run_time_h, "h")}
        fields |= dict(zip(("low", "high"), (write(v, "V") for v in device.window_v), strict=True))
        read_back = paragraphs([say("own_pack.read_back", **fields)])
        if device.steady:
            current = write(device.steps[0].current_a, "A")
            return read_back + paragraphs([say("own_pack.steady", current=current)])
        steps = [(step.current_a, step.seconds) for step in device.steps]
        return read_back + base.picture(pictures.profile(steps, title=device.name))


def _button(text):
    return widgets.Button(description=text, tooltip=text, layout=widgets.Layout(width="auto"))


class CellView(TypedView):
    """The cell to begin with, and the margins."""

    fields = ("cell", "current_share", "capacity_share", "ageing", "margin", "cold", "lead")

    def build(self):
        """Make list and boxes."""
        super().build()
        self.together = area("", "packlearn-status")
        self.minding = area("")

    def options(self, field):
        """All cells of the catalogue."""
        return [(cell.title, name) for name, cell in catalogue().items()] if field == "cell" else []

    def parts(self):
        """The boxes beside the cell, then its cautions."""
        left = widgets.VBox([*self.boxes.values(), self.told, self.together])
        return [beside(left, widgets.VBox([self.picture, self.minding]))]

    def update(self):
        """Show boxes, troubles, the cell and what its kind asks one to mind."""
        self.fill()
        self.tell(self.around.plans_troubles)
        cell = find_cell(self.boxes["cell"].value)
        label = [write(cell.nominal_voltage_v, "V"), write(cell.capacity_ah, "Ah")]
        self.picture.value = base.picture(
            pictures.cell(cell.title, label, meter_dark=True, shape=shape_of(cell))
        )
        self.minding.value = cautions_of(cell.chemistry, "joining")
        plans, device = self.around.plans, self.around.device
        said = ""
        if plans and device:
            share = write(100 * need_of(device, plans).usable_share, "%")
            said = paragraphs([say("own_pack.together", share=share)])
        self.together.value = said


class ChoicesView(View):
    """The packs that meet the need, ranked, why the others fail, and the one that is taken."""

    def build(self):
        """Make the two lists, picture and table."""
        ranks = [(say(f"panels.rank.{name.replace(' ', '_')}"), name) for name in RANKS]
        self.rank = _list(say("panels.sliders.rank"), options=ranks, value="cells")
        self.pick = _list(say("own_pack.pick"))
        self.picture = area("", "packlearn-picture")
        self.says = area("", "packlearn-status")
        self.table = area("", "packlearn-choices")
        self.found = {}

    def wire(self):
        """Connect the lists."""
        self.rank.observe(self.ranked, "value")
        self.pick.observe(self.picked, "value")

    def parts(self):
        """Lists, picture, what is said of the choice, the table."""
        return [base.row(self.pick, self.rank), self.picture, self.says, self.table]

    @guard
    def ranked(self, _=None):
        """Rank anew."""
        self.update()

    @guard
    def picked(self, _=None):
        """Take a pack."""
        self._say()
        if self.pick.value is not None and self.pick.value != self.around.kept.pick:
            self.around.keep_pick(self.pick.value)

    def update(self):
        """Show the choices."""
        device, plans = self.around.device, self.around.plans
        if device is None or plans is None:
            return
        need = need_of(device, plans)
        choices = sorted(size(need, rank_by=self.rank.value).best_of_each_cell(), key=place_of)
        drawn = pictures.windows(
            [picture_row(choice) for choice in choices[:ROWS]], need.voltage_v, need.run_time_h
        )
        self.picture.value = drawn.svg
        summary = escape(say("own_pack.all_choices"))
        self.table.value = f"<details><summary>{summary}</summary>{table_of(choices)}</details>"
        self._offer([choice for choice in choices if choice.fits])
        self._say()

    def _offer(self, fitting):
        self.found = {_key(choice.pack): choice for choice in fitting}
        names = [(choice.title, key) for key, choice in self.found.items()]
        first = say("own_pack.pick_one" if names else "own_pack.nothing_fits")
        options, kept = [(first, None), *names], self.around.kept.pick
        with self.hold_trait_notifications():
            if list(self.pick.options) != options:
                self.pick.options = options
            # Set by its value, "choose a pack" would leave the list blank.
            keys = [None, *self.found]
            self.pick.index = keys.index(kept) if kept in self.found else 0

    def _say(self):
        choice = self.found.get(self.pick.value)
        if choice:
            self.says.value = paragraphs([choice.binds_words, *choice.notes])
        elif self.found:
            self.says.value = paragraphs([say("own_pack.choose_now")])
        else:
            self.says.value = paragraphs([say("own_pack.nothing_fits_mend")])


def _list(label, **more):
    return widgets.Dropdown(
        description=label,
        tooltip=label,
        style={"description_width": "initial"},
        layout=widgets.Layout(width="min(25em, 100%)"),
        **more,
    )


def _key(pack):
    return pack.cell.name, pack.series, pack.parallel
