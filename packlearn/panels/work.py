"""Answers that are built or measured in a question, in place of a box to type into.

Each has a ``value``, the one line that is locked in, as a box has.
"""

import ipywidgets as widgets

from packlearn.errors import PackError
from packlearn.finding import LEADS
from packlearn.panels import base
from packlearn.panels.base import Panel, area, button, escape, guard, paragraphs, show
from packlearn.panels.bench import Bench
from packlearn.panels.bench_keeping import LineFile, beginning_of_example, digest, forget
from packlearn.quantities import write
from packlearn.tasks import bank, benches, checking_wiring, faults
from packlearn.tasks.skills import skills
from packlearn.words import as_shown, say

# No meter: its rows would push the button that locks off a small screen.
_CAN = ("link", "turn", "leads")
# A line of the records holds no more; nobody needs half as many.
MOST_READINGS = 15


def beside(*parts):
    """Parts side by side, as far as there is room.

    Args:
        *parts: widgets.
    """
    box = widgets.HBox(parts)
    box.add_class("packlearn-beside")
    return box


class BenchWork(widgets.VBox):
    """A bench with loose cells. Its name and its faults are told once the answer is locked.

    Args:
        variant: the ``Variant``.
    """

    def __init__(self, variant):
        super().__init__()
        self.restart(variant)

    def restart(self, variant):
        """Lay the loose cells of another variant on a new bench.

        Args:
            variant: the ``Variant``.
        """
        self.variant = variant
        self.bench = Bench(
            benches.loose(variant.givens),
            can=_CAN,
            shows_name=False,
            shows_faults=False,
            reads=False,
            name=_name(variant),
        ).inside()
        # Both pictures name every contact; on a small screen the lock counts more.
        show(self.bench.in_words, False)
        self.children = (self.bench,)

    @property
    def value(self):
        """The wiring as one line; empty while nothing is joined or changed."""
        return benches.to_line(self.bench.wiring)

    @value.setter
    def value(self, line):
        """Lay out a wiring from its line."""
        self.bench.wiring = benches.from_line(line, benches.loose(self.variant.givens))
        self.bench.update()

    def reveal(self, opened):
        """Tell the name and the faults, or hide them; once told, nothing is wired any more.

        Args:
            opened: True to tell.
        """
        self.bench.only_look(opened)
        if self.bench.reads != opened:
            self.bench.shows_name = self.bench.shows_faults = opened
            self.bench.open_meter(opened)

    def compare(self):
        """Leave the diagram alone, with its name and faults; a right one lies beside it."""
        self.reveal(True)
        self.bench.only_look(circuit_only=True)


class FaultWork(Panel):
    """Two probes, a load, a list of what the meter showed, and a list of faults to choose from.

    Args:
        variant: the ``Variant``.
    """

    def __init__(self, variant):
        self.variant, self.taken = variant, []
        super().__init__()
        self.inside()
        self._go_on()

    def restart(self, variant):
        """Begin with the pack of another variant.

        Args:
            variant: the ``Variant``.
        """
        self.variant, self.taken = variant, []
        self._fill()
        self._go_on()

    def _go_on(self):
        """Go on with the readings kept from before a restart."""
        self.file = LineFile(_name(self.variant), base.seat())
        kept = self.file.read()
        self.value = kept if faults.usable(kept, self.variant.givens) else ""

    def build(self):
        """Make the lists, the switch and the buttons."""
        self.red, self.black = (_list(f"work.{name}") for name in ("red", "black"))
        self.load = _list("work.load")
        self.read, self.anew = button("work.read"), button("work.anew")
        self.fault = _list("work.fault", width="min(44em, 100%)")
        self.table = area("", "packlearn-readings")
        self.measuring = base.row(self.red, self.black, self.load, self.read, self.anew)
        self._fill()

    def _fill(self):
        points = faults.points(self.variant.givens)
        ends = [(as_shown(checking_wiring.end_in_words(end)), end) for end in points]
        for chosen, value in zip((self.red, self.black), LEADS, strict=True):
            chosen.options = ends
            chosen.value = value
        ohms = write(self.variant.givens["load_ohm"], "ohm")
        self.load.options = [(say("panels.work.off"), False), (ohms, True)]
        self.load.value = False
        known = faults.known(self.variant.givens).items()
        none = (say("panels.work.choose"), None)
        self.fault.options = [none, *((as_shown(fault.sentence), key) for key, fault in known)]
        self._choose(None)

    def wire(self):
        """Connect the buttons."""
        self.read.on_click(self.take)
        self.anew.on_click(self.forget)

    def parts(self):
        """Probes and load, what was read, the faults."""
        return [self.measuring, self.table, self.fault]

    @guard
    def take(self, _=None):
        """Take a reading where the probes lie; the same one again is no new reading."""
        point = (self.red.value, self.black.value, self.load.value)
        if point not in self.taken and len(self.taken) < MOST_READINGS:
            self.taken = [*self.taken, point]
        self._changed()

    @guard
    def forget(self, _=None):
        """Begin anew without readings."""
        self.taken = []
        self._changed()

    def _changed(self):
        self.update()
        # The fault is chosen last and stays to be chosen.
        self.file.write(faults.to_line(None, self.taken))

    @property
    def value(self):
        """The fault and the readings as one line; empty for nothing."""
        return faults.to_line(self.fault.value, self.taken)

    @value.setter
    def value(self, line):
        """Take over a fault and readings from their line."""
        key, taken = faults.from_line(line, self.variant.givens)
        self._choose(key)
        self.taken = list(taken)
        self.update()

    def _choose(self, key):
        # Set by its value, "choose a fault" would leave the list blank.
        self.fault.index = next(i for i, (_, one) in enumerate(self.fault.options) if one == key)

    def reveal(self, opened):
        """Take the probes away once the answer is told, or give them back.

        Args:
            opened: True once it is told.
        """
        show(self.measuring, not opened)
        show(self.fault, not opened)

    def update(self):
        """Show what was read."""
        if not self.taken:
            self.table.value = paragraphs([say("panels.work.no_readings")])
            return
        heads = ("number", "red", "black", "load", "shown")
        head = "".join(f"<th scope='col'>{escape(say(f'panels.work.{h}'))}</th>" for h in heads)
        rows = "".join(self._row(at, point) for at, point in enumerate(self.taken, 1))
        full = len(self.taken) >= MOST_READINGS
        told = paragraphs([say("panels.work.most", most=MOST_READINGS)]) if full else ""
        self.table.value = f"<table class='packlearn-table'><tr>{head}</tr>{rows}</table>{told}"

    def _row(self, at, point):
        red, black = (checking_wiring.end_in_words(end) for end in point[:2])
        load = self.load.options[point[2]][0]
        volts = f"{faults.read(self.variant.givens, point).volts:.2f} V"
        cells = (at, red, black, load, volts)
        return f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in cells)}</tr>"


def _name(variant):
    """Name of the file in which the work on a variant is kept."""
    return f"{_beginning(variant.task)}{variant.number % 10_000}"


def _beginning(task):
    # A teacher's own page may have any name.
    page = task.page if task.page in bank.pages() else f"own-{digest(task.page)[:8]}"
    return f"{page[:12]}-{task.id[:20]}-"


def forget_work(seat):
    """Delete what was wired, measured or typed for tasks and examples and kept in files.

    Args:
        seat: code of the seat whose work it is; empty when learning alone.

    Raises:
        NotKept: a file cannot be deleted.
    """
    tasks = [task for name in (*bank.pages(), *bank.own_pages()) for task in _tasks(name)]
    worked = {_beginning(task) for task in tasks if task.kind in ("wire", "fault")}
    forget(worked | {beginning_of_example(each.id) for each in skills()}, seat)


def _tasks(name):
    try:
        return bank.page(name).tasks
    except PackError:
        # A teacher's own page with a mistake in it; nobody could work on it.
        return ()


def _list(key, width="auto"):
    label = say(f"panels.{key}")
    return widgets.Dropdown(
        description=label,
        tooltip=label,
        style={"description_width": "initial"},
        layout=widgets.Layout(width=width),
    )
