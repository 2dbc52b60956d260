"""The wiring bench: cells in a holder, joined as one likes; a meter; what is wrong."""

import ipywidgets as widgets

from packlearn.errors import BadValue, PackError
from packlearn.panels import base, bench_controls, bench_meter, bench_words, minding
from packlearn.panels.base import Panel, alert, area, guard, paragraphs, show
from packlearn.panels.bench_controls import CAN
from packlearn.panels.bench_keeping import BenchFile, BenchState
from packlearn.panels.seated import SeatedBench
from packlearn.pictures.bench import circuit_view, holder_view
from packlearn.quantities import write
from packlearn.words import say, word

MOST_STEPS = 200
# More contacts in a row find no room beside the buttons.
MOST_BESIDE = 14


class Bench(SeatedBench, Panel):
    """A wiring in two views that both follow every change; its meter, its name, its faults.

    Choose a contact, choose another, then join or part them. Everything is a button or a box.

    Args:
        wiring: the ``Wiring`` at the start. Its places stay; their cells can be taken out.
        can: what can be done: ``"link"``, ``"turn"`` (also take out and put in), ``"leads"``,
            ``"charge"``, ``"load"``, ``"meter"``.
        strings: lay the cells out one string a row, where there is room.
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

    veil_key = "panels.veiled_bench"

    def __init__(
        self,
        wiring,
        *,
        can=CAN,
        strings=False,
        shows_name=True,
        shows_faults=None,
        reads=True,
        name="bench",
    ):
        for each in can:
            if each not in CAN:
                raise BadValue("bench.panel.can", value=repr(each)[:40], limit=", ".join(CAN))
        self.start, self.can, self.strings, self.reads = wiring, tuple(can), strings, reads
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
        # Trouble is told beside the buttons, where it is seen, and not at the end.
        self.children = [part for part in self.children if part is not self.alert]
        if trouble:
            self.alert.value = alert(trouble)

    def _lay_out(self, state):
        """Take over a state; a load that cannot be read any more is none."""
        self.wiring, self.red, self.black = state.wiring, state.red, state.black
        self.kind, self.typed, self.load_ohm = state.meter, state.load, None
        if state.load:
            try:
                self.load_ohm = bench_words.ohms(state.load)
            except PackError:
                self.typed = ""

    # Controls.

    def build(self):
        """Make contacts, buttons, boxes, and the places for pictures and sentences."""
        self.contacts = bench_controls.Contacts(self.wiring, self.strings)
        self.buttons = bench_controls.buttons(self.can)
        self.charge, self.load = bench_controls.box("charge"), bench_controls.box("load")
        self.load.value = self.typed
        self.meter = bench_controls.meter()
        self.meter.value = self.kind
        self.holder = area("", "packlearn-picture", "packlearn-moving")
        self.circuit = area("", "packlearn-picture", "packlearn-moving")
        self.in_words = area("", "packlearn-in-words")
        self.now = area("", "packlearn-status", "packlearn-now")
        self.says = area("", "packlearn-status", "packlearn-feedback")
        self.careful = minding.of_bench(self.wiring, self.can)

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
        """Both views side by side, contacts and buttons below them, then the sentences."""
        self.add_class("packlearn-bench")
        return [*self._views(), self.says, self.careful, self.in_words]

    def _views(self):
        """Contacts below the holder; elsewhere where they are too high or too wide for that."""
        left, right = [self.holder], [self.circuit]
        told, rows = [self.now, self.alert], self._rows()
        self.controls = [self.contacts, self.now, self.says, self.careful, *rows]
        if self.contacts.rows > 2:
            return [_sides([*left, *told], [*right, self.contacts, *rows])]
        if self.contacts.columns > MOST_BESIDE:
            return [_sides(left, right), self.contacts, _sides(told, rows)]
        return [_sides([*left, self.contacts, *told], [*right, *rows])]

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
        """Choose a contact, or give the last one back; the last two that were chosen count.

        Args:
            contact: its name.
        """
        kept = tuple(each for each in self.chosen if each != contact)
        back = self.chosen and self.chosen[-1] == contact
        self.chosen = kept if back else (*kept, contact)[-2:]
        self.did = ""
        self.update()

    @guard
    def press(self, name):
        """Do what a button is for.

        Args:
            name: its name in ``bench_controls.BUTTONS``.
        """
        getattr(self, f"_do_{name}")()
        self._changed()

    @guard
    def open_meter(self, opened=True):
        """Let the meter and the load show their numbers, or close them.

        Args:
            opened: True to show.
        """
        self.reads = opened
        self.update()

    def only_look(self, only=True, circuit_only=False):
        """Take the controls away and leave what is wired to be looked at, or give them back.

        Args:
            only: True to take them away.
            circuit_only: leave the circuit diagram alone.
        """
        for part in self.controls:
            show(part, not only)
        show(self.children[0].children[0], not circuit_only)

    def _do_join(self):
        first, second = self._two()
        if self.wiring.linked(first, second):
            raise BadValue("bench.panel.joined_before", value=first, limit=second)
        self._step(self.wiring.link(first, second), "join", first=first, second=second)
        self.chosen = ()

    def _do_part(self):
        first, second = self._two()
        if not self.wiring.linked(first, second):
            raise BadValue("bench.panel.not_joined", value=first, limit=second)
        self._step(self.wiring.part(first, second), "part", first=first, second=second)
        self.chosen = ()

    def _do_turn(self):
        label = self._label()
        self._step(self.wiring.turn(label), "turn", label=label)

    def _do_take(self):
        label = self._label()
        if label in self.wiring.labels:
            self._step(self.wiring.take_out(label), "take", label=label)
        else:
            before = (*reversed(self.past), self.start)
            self._step(bench_words.put_in(self.wiring, label, before), "put_in", label=label)

    def _do_red_lead(self):
        self._lead("red", self.wiring.red)

    def _do_black_lead(self):
        self._lead("black", self.wiring.black)

    def _lead(self, colour, now):
        """Put a lead on the chosen contact; where it is there already, let it hang free."""
        contact = self._last()
        ends = {"red": self.wiring.red, "black": self.wiring.black}
        ends[colour] = None if contact == now else contact
        key = "lead_off" if contact == now else "lead_on"
        self._step(
            self.wiring.leads(**ends), key, lead=word(f"bench.panel.{colour}_lead"), contact=contact
        )

    def _do_red_probe(self):
        self.red = self._probe("red", self.red)

    def _do_black_probe(self):
        self.black = self._probe("black", self.black)

    def _probe(self, colour, now):
        contact = self._last()
        key = "lead_off" if contact == now else "lead_on"
        self._say(key, lead=word(f"bench.panel.{colour}_probe"), contact=contact)
        if self.kind == "off":
            self.kind = "V"
        return None if contact == now else contact

    def _do_undo(self):
        if not self.past:
            raise BadValue("bench.panel.no_undo")
        self.future.append(self.wiring)
        self.wiring = self.past.pop()
        self._say("undo")

    def _do_redo(self):
        if not self.future:
            raise BadValue("bench.panel.no_redo")
        self.past.append(self.wiring)
        self.wiring = self.future.pop()
        self._say("redo")

    def _do_anew(self):
        self.chosen, self.red, self.black, self.kind = (), None, None, "off"
        self.typed, self.load_ohm = "", None
        self._set(self.load, "")
        self._step(self.start, "anew")

    @guard
    def _charge_typed(self, change):
        typed = change["new"].strip()
        if self.showing or not typed:
            return
        label = self._label()
        self.wiring.cell_at(label)
        share = bench_words.percent(typed) / 100
        self._step(
            self.wiring.charged(label, share), "charge", label=label, share=write(100 * share, "%")
        )
        self._changed()

    @guard
    def _load_typed(self, change):
        if self.showing:
            return
        # A load that cannot be read is none, and its text stays in the box to be mended.
        typed, self.typed, self.load_ohm, self.did = change["new"].strip(), "", None, ""
        try:
            if typed:
                self.load_ohm, self.typed = bench_words.ohms(typed), typed
        finally:
            self._changed()

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

    def _step(self, wiring, key, **fields):
        if wiring != self.wiring:
            self.past = [*self.past, self.wiring][-MOST_STEPS:]
            self.future = []
            self.wiring = wiring
        self._say(key, **fields)

    def _say(self, key, **fields):
        self.did = say(f"bench.panel.did.{key}", **fields)

    def _changed(self):
        """Show and keep the state, and tell whoever listens."""
        self.update()
        for listener in self.on_change:
            listener()
        state = BenchState(self.wiring, self.red, self.black, self.kind, self.typed)
        self.file.write(state)

    # What is shown.

    def update(self):
        """Show the state: both pictures, the marks, the sentences."""
        wiring, load_ohm = self.wiring, self._load_between_leads()
        seen = self._meter(load_ohm)
        drawn = {
            "chosen": self.chosen,
            "red": self.red,
            "black": self.black,
            "reading": seen.text,
            "load_ohm": load_ohm,
            "name": self.wiring.name if self.shows_name else None,
            "kind": self.kind if self.kind != "off" else None,
        }
        lies = holder_view(wiring, strings=self.strings, **drawn)
        self.holder.value, self.circuit.value = lies.svg, circuit_view(wiring, **drawn).svg
        # Both pictures say the same to a screen reader; for those who read, once is enough.
        self.in_words.value = bench_words.for_eyes(lies.sentence)
        self.contacts.mark(self.chosen)
        self._set(self.charge, self._charge_text())
        self._set(self.meter, self.kind)
        now = (self.did, bench_words.chosen(self.chosen))
        self.now.value = paragraphs([" ".join(filter(None, now))])
        self.says.value = self._sentences(seen, load_ohm)

    def _set(self, control, value):
        """Set a control without taking it for a learner's doing."""
        self.showing = True
        try:
            control.value = value
        finally:
            self.showing = False

    def _load_between_leads(self):
        free = self.wiring.red is None or self.wiring.black is None
        return None if free else self.load_ohm

    def _charge_text(self):
        placed = dict(self.wiring.places)[self._label()] if self.chosen else None
        known = placed is not None and placed.measured_v is None
        return write(100 * placed.charge, "%") if known else ""

    def _meter(self, load_ohm):
        if self.kind != "off" and not self.reads:
            return bench_meter.Shown(sentences=(word("bench.panel.dark"),))
        return bench_meter.meter(self.wiring, self.kind, self.red, self.black, load_ohm)

    def _loaded(self, load_ohm):
        if load_ohm is not None and self.reads:
            return bench_meter.load(self.wiring, load_ohm)
        hangs = self.load_ohm is not None and load_ohm is None
        return bench_meter.Shown(sentences=(word("bench.panel.load_hangs"),) if hangs else ())

    def _sentences(self, seen, load_ohm):
        loaded = self._loaded(load_ohm)
        named = bench_words.named(self.wiring) if self.shows_name else []
        dangers, rest = bench_words.faults(self.wiring, self.shows_name, self.shows_faults)
        dangers += filter(None, (seen.danger, loaded.danger))
        strong = bench_words.marked(seen.sentences, "answer") + bench_words.marked(dangers, "alert")
        return strong + paragraphs([*loaded.sentences, *named, *rest])


def _sides(left, right):
    """Two columns."""
    sides = widgets.HBox([widgets.VBox(left), widgets.VBox(right)])
    sides.add_class("packlearn-sides")
    return sides
