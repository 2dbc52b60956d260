"""The wiring bench: cells in a holder, joined as one likes; a meter; what is wrong."""

import ipywidgets as widgets

from packlearn.cells import cell
from packlearn.errors import BadValue, PackError
from packlearn.panels import base, bench_controls, bench_meter
from packlearn.panels.base import Panel, alert, area, caution, escape, guard, paragraphs
from packlearn.panels.bench_controls import CAN
from packlearn.panels.bench_keeping import BenchFile, BenchState, NotKept
from packlearn.pictures.bench import circuit_view, holder_view
from packlearn.quantities import read, write
from packlearn.words import say, word

MOST_STEPS = 200
# Laid into a place that never held a cell, where the holder holds none at all.
_ANY_CELL = "nimh-aa"


class Bench(Panel):
    """A wiring in two views that both follow every change; its meter, its name, its faults.

    Choose a contact, choose another, then join or part them. Everything is a button or a box.

    Args:
        wiring: the ``Wiring`` at the start. Its places stay; their cells can be taken out.
        can: what can be done: ``"link"``, ``"turn"`` (also take out and put in), ``"leads"``,
            ``"charge"``, ``"load"``, ``"meter"``.
        shows_name: whether it tells the XsYp name.
        shows_faults: True: all that is wrong; False: nothing; None: dangers always, the rest
            where the name is told, since the rest names the right pack.
        reads: whether the meter and the load show their numbers; ``open_meter`` opens it later.
        name: under this name its state is kept: small letters, digits, hyphens. Two benches
            that start alike need two names.

    Attributes:
        wiring: the ``Wiring`` of this moment.
        on_change: functions called without arguments after every change.

    Raises:
        BadValue: something in ``can`` that no bench can do, or no such name.
    """

    def __init__(
        self, wiring, *, can=CAN, shows_name=True, shows_faults=None, reads=True, name="bench"
    ):
        for each in can:
            if each not in CAN:
                raise BadValue("bench.panel.can", value=repr(each)[:40], limit=", ".join(CAN))
        self.start, self.can, self.reads = wiring, tuple(can), bool(reads)
        self.shows_name, self.shows_faults = shows_name, shows_faults
        self.on_change = []
        self.file = BenchFile(name, wiring, base.seat())
        kept, trouble = self.file.read()
        self.past, self.future, self.chosen = [], [], ()
        self.did, self.showing = "", False
        self._lay_out(kept or BenchState(wiring))
        if kept and kept.wiring != wiring:
            self.did = say("bench.panel.from_last_time")
        super().__init__()
        if trouble:
            self.alert.value = alert(trouble)

    def _lay_out(self, state):
        """Take over a state; a load that cannot be read any more is none."""
        self.wiring, self.red, self.black = state.wiring, state.red, state.black
        self.kind, self.typed, self.load_ohm = state.meter, state.load, None
        if state.load:
            try:
                self.load_ohm = _ohms(state.load)
            except PackError:
                self.typed = ""

    # Controls.

    def build(self):
        """Make contacts, buttons, boxes, and the places for pictures and sentences."""
        self.contacts = bench_controls.Contacts(self.wiring)
        self.buttons = bench_controls.buttons(self.can)
        self.charge, self.load = bench_controls.box("charge"), bench_controls.box("load")
        self.load.value = self.typed
        self.meter = bench_controls.meter()
        self.meter.value = self.kind
        self.holder = area("", "packlearn-picture", "packlearn-moving")
        self.circuit = area("", "packlearn-picture", "packlearn-moving")
        self.says = area("", "packlearn-status", "packlearn-feedback")
        self.careful = caution(word("bench.panel.caution"))

    def wire(self):
        """Connect everything that can be pressed or typed into."""
        for contact, button in self.contacts.buttons.items():
            button.on_click(lambda _, contact=contact: self.choose(contact))
        for name, button in self.buttons.items():
            button.on_click(lambda _, name=name: self.press(name))
        self.charge.observe(self._charge_typed, names="value")
        self.load.observe(self._load_typed, names="value")
        self.meter.observe(self._meter_set, names="value")

    def parts(self):
        """Holder and contacts beside circuit and buttons; sentences below."""
        left = widgets.VBox([self.holder, self.contacts])
        right = widgets.VBox([self.circuit, *self._rows()])
        sides = widgets.HBox([left, right])
        sides.add_class("packlearn-sides")
        self.add_class("packlearn-bench")
        return [sides, self.says, self.careful]

    def _rows(self):
        """Buttons and boxes that belong together, side by side."""
        meter = [self.meter] if "meter" in self.can else []
        charge = [self.charge] if "charge" in self.can else []
        load = [self.load] if "load" in self.can else []
        rows = (
            [*self._named("join", "part", "turn", "take")],
            [*self._named("red_lead", "black_lead"), *charge],
            [*meter, *self._named("red_probe", "black_probe")],
            [*load, *self._named("undo", "redo", "anew")],
        )
        return [base.row(*parts) for parts in rows if parts]

    def _named(self, *names):
        return [self.buttons[name] for name in names if name in self.buttons]

    # Callbacks.

    @guard
    def choose(self, contact):
        """Choose a contact, or give it back; the last two that were chosen count.

        Args:
            contact: its name.
        """
        if contact in self.chosen:
            self.chosen = tuple(each for each in self.chosen if each != contact)
        else:
            self.chosen = (*self.chosen, contact)[-2:]
        self.did = ""
        self.update()

    @guard
    def press(self, name):
        """Do what a button is for.

        Args:
            name: its name in ``bench_controls.BUTTONS``.
        """
        getattr(self, f"_{name}")()
        self._changed()

    @guard
    def open_meter(self, opened=True):
        """Let the meter and the load show their numbers, or close them.

        Args:
            opened: True to show.
        """
        self.reads = opened
        self.update()

    def _join(self):
        first, second = self._two()
        if self.wiring.linked(first, second):
            raise BadValue("bench.panel.joined_before", value=first, limit=second)
        self._step(self.wiring.link(first, second), "join", first=first, second=second)
        self.chosen = ()

    def _part(self):
        first, second = self._two()
        if not self.wiring.linked(first, second):
            raise BadValue("bench.panel.not_joined", value=first, limit=second)
        self._step(self.wiring.part(first, second), "part", first=first, second=second)
        self.chosen = ()

    def _turn(self):
        label = self._label()
        self._step(self.wiring.turn(label), "turn", label=label)

    def _take(self):
        label = self._label()
        if label in self.wiring.labels:
            self._step(self.wiring.take_out(label), "take", label=label)
        else:
            placed = self._lay_before(label)
            laid = self.wiring.place(
                label, placed.cell, charge=placed.charge, turned=placed.turned
            )
            if placed.measured_v is not None:
                laid = laid.measured(label, placed.measured_v, placed.measured_ohm)
            self._step(laid, "put_in", label=label)

    def _red_lead(self):
        self._lead("red", self.wiring.red)

    def _black_lead(self):
        self._lead("black", self.wiring.black)

    def _lead(self, colour, now):
        """Put a lead on the chosen contact; where it is there already, let it hang free."""
        contact = self._last()
        ends = {"red": self.wiring.red, "black": self.wiring.black}
        ends[colour] = None if contact == now else contact
        key = "lead_off" if contact == now else "lead_on"
        self._step(self.wiring.leads(**ends), key, lead=word(f"bench.panel.{colour}_lead"), contact=contact)

    def _red_probe(self):
        self.red = self._probe("red", self.red)

    def _black_probe(self):
        self.black = self._probe("black", self.black)

    def _probe(self, colour, now):
        contact = self._last()
        key = "lead_off" if contact == now else "lead_on"
        self._say(key, lead=word(f"bench.panel.{colour}_probe"), contact=contact)
        if self.kind == "off":
            self.kind = "V"
        return None if contact == now else contact

    def _undo(self):
        if not self.past:
            raise BadValue("bench.panel.no_undo")
        self.future.append(self.wiring)
        self.wiring = self.past.pop()
        self._say("undo")

    def _redo(self):
        if not self.future:
            raise BadValue("bench.panel.no_redo")
        self.past.append(self.wiring)
        self.wiring = self.future.pop()
        self._say("redo")

    def _anew(self):
        self.chosen, self.red, self.black, self.kind = (), None, None, "off"
        self.typed, self.load_ohm = "", None
        self._step(self.start, "anew")

    @guard
    def _charge_typed(self, change):
        typed = change["new"].strip()
        if self.showing or not typed:
            return
        label = self._label()
        self.wiring.cell_at(label)
        share = _percent(typed) / 100
        self._step(self.wiring.charged(label, share), "charge", label=label, share=write(100 * share, "%"))
        self._changed()

    @guard
    def _load_typed(self, change):
        if self.showing:
            return
        self.typed, self.load_ohm = "", None
        try:
            typed = change["new"].strip()
            self.load_ohm = _ohms(typed) if typed else None
            self.typed = typed
        finally:
            self.did = ""
            told = self.load.value
            self._changed(keep_load=told)

    @guard
    def _meter_set(self, change):
        if not self.showing:
            self.kind, self.did = change["new"], ""
            self._changed()

    # What is chosen, and steps.

    def _last(self):
        if not self.chosen:
            raise BadValue("bench.panel.choose_one")
        return self.chosen[-1]

    def _two(self):
        if len(self.chosen) < 2:
            raise BadValue("bench.panel.choose_two")
        return self.chosen

    def _label(self):
        return self._last()[:-1]
