"""Where what is told of a question lies: beside its picture, as far as there is room.

The boxes get classes for it. A style sheet that looks into each box instead (``:has``) makes the
browser look into all of them again with every move of a slider.
"""

from packlearn.panels.picking import PickAnswer
from packlearn.panels.work import BenchWork

_ANSWER = "<p class='packlearn-answer'>"
# As wide as a small diagram is drawn.
_NARROW = 'width="430"'


def mark(widget, name, on):
    """Give a widget a class for the style sheet, or take it away.

    Args:
        widget: the widget.
        name: the class.
        on: True to give it.
    """
    (widget.add_class if on else widget.remove_class)(name)


class Lying:
    """What a question knows of its own boxes.

    Attributes:
        column: the box in which what is told stands; the question itself, or part of it.
        side_by_side: the box around column and picture, or None.
    """

    side_by_side = None

    def lie(self):
        """Mark the boxes by what is told and drawn now."""
        told = _ANSWER in self.status.value
        pick = isinstance(self.answer, PickAnswer)
        drawn = bool(self.picture.value)
        near = self.column.children
        beside = told and ((drawn and self.picture in near) or (pick and self.answer in near))
        mark(self.column, "packlearn-told", beside)
        mark(self.column, "packlearn-narrow", pick and _NARROW in self.answer.drawn.value)
        if self.side_by_side and (pick or isinstance(self.answer, BenchWork)):
            told = told or (self.key is not None and self.key.answer_shown)
            mark(self.column, "packlearn-untold", not told)
            mark(self.side_by_side, "packlearn-wired", told)
            mark(self.side_by_side, "packlearn-two", drawn)
