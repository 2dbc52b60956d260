"""The controls of a wiring bench: contacts as they lie in the holder, buttons, boxes."""

import ipywidgets as widgets

from packlearn.holders import slots_of
from packlearn.panels.base import area, paragraphs, row
from packlearn.panels.bench_keeping import METERS
from packlearn.words import as_shown, say

CAN = ("link", "turn", "leads", "charge", "load", "meter")
# Buttons, in their order, and which of ``CAN`` they belong to; None: there wherever one can
# change anything.
BUTTONS = {
    "join": "link",
    "part": "link",
    "turn": "turn",
    "take": "turn",
    "red_lead": "leads",
    "black_lead": "leads",
    "red_probe": "meter",
    "black_probe": "meter",
    "undo": None,
    "redo": None,
    "anew": None,
}


class Grid(widgets.VBox):
    """Small buttons in lines below their name; the chosen ones are marked.

    Args:
        buttons: what one points at -> its ``Button``.
        title: name of the grid, in words.
        lines: its lines, rows of buttons.

    Attributes:
        buttons: as given.
        marked: names of the marked ones.
    """

    def __init__(self, buttons, title, lines):
        self.buttons, self.marked = buttons, ()
        # The grid's name, for those who see it and those who hear it: boxes take no tooltip.
        head = area(paragraphs([title]), "packlearn-grid-name")
        super().__init__([head, *lines])
        self.add_class("packlearn-grid")

    def mark(self, chosen):
        """Mark the chosen ones, and no others.

        Args:
            chosen: names of buttons.
        """
        for name in set(self.marked) ^ set(chosen):
            button = self.buttons[name]
            (button.add_class if name in chosen else button.remove_class)("packlearn-chosen")
        self.marked = tuple(chosen)


def small_button(name, hint):
    """A button of a grid.

    Args:
        name: what one points at.
        hint: the same in words.
    """
    made = widgets.Button(description=as_shown(name), tooltip=as_shown(hint))
    made.add_class("packlearn-contact")
    return made


class Contacts(Grid):
    """Two small buttons for each place, in the arrangement of the holder.

    Args:
        wiring: a ``Wiring``; its places stay, whatever is changed later.
        strings: one string a row, where there is room.

    Attributes:
        buttons: name of a contact -> its ``Button``.
        rows, columns: how many rows and columns of places there are.
    """

    def __init__(self, wiring, strings=False):
        self.buttons = {
            contact: small_button(contact, say("bench.panel.contact", contact=contact))
            for contact in wiring.contacts
        }
        slots = {(slot.row, slot.column): slot for slot in slots_of(wiring, strings)}
        rows = sorted({place[0] for place in slots})
        columns = range(max((place[1] for place in slots), default=-1) + 1)
        self.rows, self.columns = len(rows), len(columns)
        lines = [
            row(*(self._place(slots.get((line, column))) for column in columns)) for line in rows
        ]
        super().__init__(self.buttons, say("bench.panel.contacts"), lines)

    def _place(self, slot):
        ends = [] if slot is None else [slot.label + sign for sign in "-+"]
        if slot is not None and slot.plus_up:
            ends.reverse()
        box = widgets.VBox([self.buttons[end] for end in ends])
        box.add_class("packlearn-slot")
        return box


def buttons(can):
    """Buttons by name, as far as the bench can do what they are for.

    Args:
        can: what can be done, of ``CAN``.
    """
    changes = bool(set(can) - {"meter", "load"})
    wanted = {name for name, part in BUTTONS.items() if (part in can if part else changes)}
    return {name: _button(name) for name in BUTTONS if name in wanted}


def _button(name):
    text, hint = (say(f"bench.panel.{part}.{name}") for part in ("buttons", "hints"))
    return widgets.Button(description=text, tooltip=hint, layout=widgets.Layout(width="auto"))


def box(name):
    """Box for a number typed with its unit.

    Args:
        name: "load" or "charge".
    """
    label = say(f"bench.panel.boxes.{name}")
    return widgets.Text(
        continuous_update=False,
        description=label,
        tooltip=label,
        placeholder=say(f"bench.panel.placeholders.{name}"),
        style={"description_width": "initial"},
        layout=widgets.Layout(width="15em"),
    )


def meter():
    """Choice of what the meter measures."""
    label = say("bench.panel.meter.label")
    names = [say(f"bench.panel.meter.{name}") for name in METERS]
    return widgets.ToggleButtons(
        options=list(zip(names, METERS, strict=True)),
        value=METERS[0],
        description=label,
        tooltip=label,
        tooltips=names,
        style={"description_width": "initial", "button_width": "auto"},
    )
