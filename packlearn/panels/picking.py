"""Pointing at cells or contacts in a diagram, with the pointer or by buttons."""

import ipywidgets as widgets

from packlearn.panels.base import Panel, area, guard, paragraphs, picture, row, show
from packlearn.panels.bench_controls import Contacts, Grid, small_button
from packlearn.pictures.bench import circuit_view
from packlearn.tasks import picks
from packlearn.tasks.answers import ASKED
from packlearn.tasks.answers_picks import CONTACTS, wiring_of
from packlearn.words import say


class PickAnswer(Panel):
    """A diagram, and a grid of buttons for what one can point at; chosen again, it is given back.

    Args:
        variant: the ``Variant``.
    """

    def __init__(self, variant):
        self.variant, self.picked, self.opened = variant, (), False
        super().__init__()
        self.inside()
        # A press in the picture is a press on the button of that name.
        self.add_class("packlearn-bench")

    def build(self):
        """Make picture, grid and the line that tells what is chosen."""
        self.drawn = area("", "packlearn-picture", "packlearn-moving")
        self.now = area("", "packlearn-status", "packlearn-now")
        self.place = widgets.VBox([])
        self._lay_out()

    def _lay_out(self):
        wiring = wiring_of(self.variant.givens)
        contacts = ASKED[self.variant.task.asked].picks == CONTACTS
        self.grid = Contacts(wiring) if contacts else Cells(wiring)
        for name, button in self.grid.buttons.items():
            button.on_click(lambda _, name=name: self.choose(name))
        self.place.children = (self.grid, self.now)

    def parts(self):
        """The picture, then its buttons."""
        return [self.drawn, self.place]

    def restart(self, variant):
        """Show the diagram of another variant, nothing chosen.

        Args:
            variant: the ``Variant``.
        """
        self.variant, self.picked = variant, ()
        self._lay_out()
        self.update()

    @guard
    def choose(self, name):
        """Choose something, or give it back.

        Args:
            name: a label or a contact.
        """
        given_back = name in self.picked
        rest = tuple(each for each in self.picked if each != name)
        self.picked = rest if given_back else (*rest, name)
        self.update()

    @property
    def value(self):
        """What is chosen as one line; empty for nothing."""
        return picks.to_line(self.picked)

    @value.setter
    def value(self, line):
        """Take over what is chosen from its line."""
        self.picked = picks.from_line(line or "", self.variant)
        self.update()

    def reveal(self, opened):
        """Take the buttons away once the answer is told; the picture stays.

        Args:
            opened: True once it is told.
        """
        self.opened = opened
        show(self.place, not opened)

    def update(self):
        """Show what is chosen in picture, grid and words."""
        drawn = circuit_view(wiring_of(self.variant.givens), chosen=self.picked)
        self.drawn.value = picture(drawn)
        self.grid.mark(self.picked)
        named = ", ".join(self.picked)
        key = "chosen" if self.picked else "none"
        self.now.value = paragraphs([say(f"panels.pick.{key}", named=named)])


class Cells(Grid):
    """One small button for each cell.

    Args:
        wiring: the ``Wiring``.
    """

    def __init__(self, wiring):
        buttons = {
            label: small_button(label, say("panels.pick.cell", cell=label))
            for label in wiring.labels
        }
        super().__init__(buttons, say("panels.pick.cells"), [row(*buttons.values())])
