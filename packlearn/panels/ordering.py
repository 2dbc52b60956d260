"""Steps to be put in order: a list and two buttons; and a choice with its reason."""

import ipywidgets as widgets

from packlearn.panels.base import Panel, area, button, guard, paragraphs, row, show
from packlearn.tasks import checking, orders, reasons
from packlearn.tasks.answers_orders import STEPS, shuffled
from packlearn.words import say

ROWS_PX = 22


class OrderAnswer(Panel):
    """A list of steps; the chosen one is moved earlier or later by two buttons.

    Args:
        variant: the ``Variant``.
    """

    def __init__(self, variant):
        self.variant = variant
        self.asked, self.order, self.moved = variant.task.asked, (), False
        super().__init__()
        self.inside()
        self.restart(variant)

    def build(self):
        """Make the list and the buttons."""
        label = say("panels.answer.order")
        count = len(STEPS[self.asked].names)
        self.steps = widgets.Select(
            description=label,
            tooltip=label,
            rows=count,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="min(56em, 100%)", height=f"{ROWS_PX * count}px"),
        )
        self.earlier, self.later = (button(f"order.{name}") for name in ("earlier", "later"))
        self.told = area("", "packlearn-status")

    def wire(self):
        """Connect the buttons."""
        self.earlier.on_click(lambda _: self.move(-1))
        self.later.on_click(lambda _: self.move(1))

    def parts(self):
        """The list, then its buttons and where the moved step stands now."""
        self.buttons = row(self.earlier, self.later, self.told)
        return [self.steps, self.buttons]

    def restart(self, variant):
        """Show the steps of another variant, shuffled.

        Args:
            variant: the ``Variant``.
        """
        self.variant, self.moved = variant, False
        self.order = shuffled(self.asked, variant.givens)
        self.told.value = ""
        self._show(self.order[0])

    @guard
    def move(self, places):
        """Move the chosen step.

        Args:
            places: -1 for earlier, 1 for later.
        """
        name = self.steps.value
        at = self.order.index(name)
        to = min(max(at + places, 0), len(self.order) - 1)
        rest = [step for step in self.order if step != name]
        self.order, self.moved = (*rest[:to], name, *rest[to:]), self.moved or to != at
        self._show(name)
        text = orders.text_of(self.asked, name)
        said = say("panels.order.moved", at=to + 1, count=len(self.order), step=text)
        self.told.value = paragraphs([said])

    def _show(self, chosen):
        texts = (orders.text_of(self.asked, name) for name in self.order)
        lines = [say("panels.order.item", at=at, step=text) for at, text in enumerate(texts, 1)]
        self.steps.options = list(zip(lines, self.order, strict=True))
        self.steps.value = chosen

    @property
    def value(self):
        """The order as one line; empty until something was moved."""
        return orders.to_line(self.order) if self.moved else ""

    @value.setter
    def value(self, line):
        """Take over an order from its line."""
        if not line:
            self.restart(self.variant)
            return
        self.order, self.moved = orders.from_line(line, self.asked), True
        self._show(self.order[0])

    def reveal(self, opened):
        """Take list and buttons away once the answer is told.

        Args:
            opened: True once it is told.
        """
        show(self, not opened)


class ReasonAnswer(widgets.VBox):
    """Two lists: what one chooses, and because of what.

    Args:
        variant: the ``Variant``.
    """

    def __init__(self, variant):
        self.choice, self.reason = _radios("reason"), _radios("because")
        super().__init__([self.choice, self.reason])
        self.add_class("packlearn-reason")
        self.restart(variant)

    def restart(self, variant):
        """Show the options of another variant.

        Args:
            variant: the ``Variant``.
        """
        self.choice.options = _pairs(checking.options_of(variant))
        self.reason.options = _pairs(reasons.reasons_of(variant.task))
        self.choice.value = self.reason.value = None

    @property
    def value(self):
        """Both as one line; empty while neither is chosen."""
        return reasons.to_line(self.choice.value, self.reason.value)

    @value.setter
    def value(self, line):
        """Take over both from their line."""
        keys = reasons.from_line(line or "")
        for chosen, key in zip((self.choice, self.reason), keys, strict=True):
            chosen.value = key if key in dict(chosen.options).values() else None

    def reveal(self, opened):
        """Take both lists away once the answer is told.

        Args:
            opened: True once it is told.
        """
        show(self, not opened)


def _pairs(texts):
    return [(text, name) for name, text in texts.items()]


def _radios(name):
    label = say(f"panels.answer.{name}")
    return widgets.RadioButtons(
        options=[],
        description=label,
        tooltip=label,
        style={"description_width": "initial"},
        layout=widgets.Layout(width="auto"),
    )
