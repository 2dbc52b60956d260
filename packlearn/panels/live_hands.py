"""The boxes in which a teacher types a show of hands."""

from dataclasses import replace

import ipywidgets as widgets

from packlearn.classroom import hands
from packlearn.panels import base
from packlearn.words import say

# The answer takes what the numbers leave of a row.
_WIDTHS = {"answer": "auto", "first": "6.5em", "again": "7.5em"}


class HandsTable(widgets.VBox):
    """Three columns of boxes: answers, their hands in the first vote and in the second.

    What is typed is kept in a file at once. The panel around guards ``on_change``.

    Args:
        on_change: function called without arguments when something was typed.
    """

    def __init__(self, on_change):
        self.on_change, self.filling = on_change, False
        self.variant = None
        self.boxes = [_row(number) for number in range(1, hands.MOST_ROWS + 1)]
        super().__init__([_columns(self.boxes)])
        for row in self.boxes:
            for box in row:
                box.observe(self._typed, names="value")

    def show_question(self, variant):
        """Show what was typed for a question, or answers worth asking for.

        Args:
            variant: the ``Variant``.
        """
        if variant is self.variant:
            return
        self.variant = variant
        rows = hands.read().rows(variant.task.page, variant.task.id)
        if not any(text for row in rows for text in row):
            labels = hands.likely(variant)
            rows = tuple((label, "", "") for label in labels)
        self.filling = True
        try:
            for at, boxes in enumerate(self.boxes):
                texts = rows[at] if at < len(rows) else ("", "", "")
                for box, text in zip(boxes, texts, strict=True):
                    box.value = text
        finally:
            self.filling = False

    @property
    def rows(self):
        """Rows of three texts, as typed."""
        return tuple(tuple(box.value for box in boxes) for boxes in self.boxes)

    def keep(self):
        """Keep what was typed."""
        task = self.variant.task
        hands.keep(hands.read().with_rows(task.page, task.id, self.rows))

    def _typed(self, _):
        if not self.filling:
            self.on_change()


def turn(on, moment=None):
    """Keep whether hands are counted.

    Args:
        on: True for hands, False for seats.
        moment: what the seats are at, to go on with by hands; None to go on as before.
    """
    where = {"page": moment.page, "task": moment.task, "stage": moment.stage} if moment else {}
    hands.keep(replace(hands.read(), on=on, **(where if on else {})))


def _row(number):
    return tuple(_box(name, number) for name in _WIDTHS)


def _columns(rows):
    # Hands are counted answer by answer, so the tab key goes down a column.
    columns = base.row(*(widgets.VBox(column) for column in zip(*rows, strict=True)))
    columns.add_class("packlearn-hands")
    return columns


def _box(name, number):
    label = base.escape(say(f"class_view.hands.{name}"))
    heard = base.escape(say(f"class_view.hands.{name}_of", number=number))
    return widgets.Text(
        # On leaving the box or Enter: half a number is none.
        continuous_update=False,
        # Boxes of a column look alike; who hears them is told the row.
        description=f"<span aria-hidden='true'>{label}</span>"
        f"<span class='packlearn-heard'>{heard}</span>",
        description_allow_html=True,
        style={"description_width": "initial"},
        layout=widgets.Layout(width=_WIDTHS[name]),
    )
