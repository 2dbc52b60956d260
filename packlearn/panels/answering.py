"""What a question is answered in: a box, several boxes, a list, or something that is built.

Each has a ``value``, the one line that is locked in; ``restart`` empties it for another variant,
and ``reveal`` is told when the answer may be seen.
"""

import ipywidgets as widgets

from packlearn.panels.base import show
from packlearn.panels.ordering import OrderAnswer, ReasonAnswer
from packlearn.panels.picking import PickAnswer
from packlearn.panels.work import BenchWork, FaultWork
from packlearn.tasks import checking, missing, several
from packlearn.words import say

# Kinds whose control stands above the row of the lock, as wide as the question.
ABOVE = ("wire", "fault", "numbers", "order", "reason", "pick")


def answer_for(variant):
    """The widget in which a variant is answered.

    Args:
        variant: the ``Variant``.
    """
    if variant.task.may_miss:
        return OpenAnswer(variant)
    return _ANSWERS.get(variant.task.kind, TextAnswer)(variant)


class TextAnswer(widgets.Text):
    """One box.

    Args:
        variant: the ``Variant``.
    """

    def __init__(self, variant):
        kind = variant.task.kind
        label = say(f"panels.answer.{kind}")
        super().__init__(
            continuous_update=False,
            description=label,
            placeholder=say(f"panels.placeholder.{kind}"),
            tooltip=label,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="auto"),
        )
        self.add_class("packlearn-typed")

    def restart(self, _):
        """Empty the box."""
        self.value = ""

    def reveal(self, opened):
        """Nothing: the whole row of the lock goes."""


class ChoiceAnswer(widgets.RadioButtons):
    """Options to choose one from.

    Args:
        variant: the ``Variant``.
    """

    def __init__(self, variant):
        label = say(f"panels.answer.{variant.task.kind}")
        super().__init__(
            options=_options(variant),
            value=None,
            description=label,
            tooltip=label,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="auto"),
        )

    def restart(self, variant):
        """Show the options of another variant.

        Args:
            variant: the ``Variant``.
        """
        self.options = _options(variant)
        self.value = None

    def reveal(self, opened):
        """Nothing: the whole row of the lock goes."""


def _options(variant):
    return [(text, name) for name, text in checking.options_of(variant).items()]


class OpenAnswer(widgets.HBox):
    """One box, and a list beside it to say that a figure is missing.

    Args:
        variant: the ``Variant`` of an open task.
    """

    def __init__(self, variant):
        self.text = TextAnswer(variant)
        label = say("panels.missing.label")
        self.figure = widgets.Dropdown(
            description=label,
            tooltip=label,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="auto"),
        )
        self._fill(variant)
        self.figure.observe(self._chosen, names="value")
        super().__init__([self.text, self.figure])
        self.add_class("packlearn-row")

    def _fill(self, variant):
        named = missing.options_of(variant.task)
        options = [(say("panels.missing.option", figure=text), name) for text, name in named]
        self.figure.options = [(say("panels.missing.none"), None), *options]
        # Set by its value, "nothing is missing" would leave the list blank.
        self.figure.index = 0

    def _chosen(self, _):
        # A number and a missing figure are two answers; only one can be locked in.
        self.text.disabled = self.figure.value is not None

    @property
    def value(self):
        """The number as typed, or the line that names a figure."""
        named = self.figure.value
        return self.text.value if named is None else missing.to_line(named)

    @value.setter
    def value(self, line):
        """Take over an answer from its line."""
        names = {missing.to_line(name): name for _, name in self.figure.options if name}
        chosen = [name for _, name in self.figure.options]
        self.figure.index = chosen.index(names.get(line))
        self.text.value = "" if line in names else line or ""

    def restart(self, variant):
        """Empty box and list.

        Args:
            variant: the ``Variant``.
        """
        self._fill(variant)
        self.text.value = ""

    def reveal(self, opened):
        """Nothing: the whole row of the lock goes."""


class NumbersAnswer(widgets.VBox):
    """One box for each of several numbers.

    Args:
        variant: the ``Variant``.
    """

    def __init__(self, variant):
        self.boxes = [_part(label) for label in several.labels_of(variant.task)]
        super().__init__(self.boxes)
        self.add_class("packlearn-numbers")

    @property
    def value(self):
        """Texts of all boxes as one line; empty while all are."""
        return several.to_line([box.value for box in self.boxes])

    @value.setter
    def value(self, line):
        """Lay the texts of a line into the boxes."""
        texts = several.from_line(line or "", len(self.boxes))
        for box, text in zip(self.boxes, texts, strict=True):
            box.value = text

    def restart(self, _):
        """Empty all boxes."""
        self.value = ""

    def reveal(self, opened):
        """Take the boxes away once the answer is told.

        Args:
            opened: True once it is told.
        """
        show(self, not opened)


def _part(label):
    return widgets.Text(
        continuous_update=False,
        description=label,
        placeholder=say("panels.placeholder.number"),
        tooltip=label,
        style={"description_width": "12em"},
        layout=widgets.Layout(width="min(28em, 100%)"),
    )


_ANSWERS = {
    "wire": BenchWork,
    "fault": FaultWork,
    "choice": ChoiceAnswer,
    "numbers": NumbersAnswer,
    "order": OrderAnswer,
    "reason": ReasonAnswer,
    "pick": PickAnswer,
}
