"""One round of a lesson: questions first, then the sliders and the why they veil."""

import ipywidgets as widgets

from packlearn.panels.base import Panel, area, button, guard, paragraphs
from packlearn.panels.question import Question
from packlearn.tasks import bank
from packlearn.words import say


class Round(Panel):
    """Questions of a lesson; what lies behind them stays veiled while one is open.

    Args:
        page: name of the lesson's page of questions.
        name: id of a round on it.
        then: the panel with sliders that opens when all are answered, or None.
    """

    def __init__(self, page, name, then=None):
        self.round = bank.page(page).round(name)
        self.questions = [Question(page, task).inside() for task in self.round.tasks]
        self.then = then.inside() if then is not None else None
        self.last = len(self.questions)
        undone = (i for i, question in enumerate(self.questions) if not question.done)
        self.place = next(undone, self.last)
        super().__init__()

    def build(self):
        """Make the view behind the questions, and the way on and back."""
        invite = area(paragraphs(self.round.invite), "packlearn-try")
        explain = area(paragraphs(self.round.explain), "packlearn-explain")
        self.behind = widgets.VBox([invite, *([self.then] if self.then else []), explain])
        self.where = area("", "packlearn-where")
        self.back, self.onward = button("back"), button("onward")
        self.steps = widgets.HBox([self.back, self.onward, self.where])
        self.steps.add_class("packlearn-steps")
        self.stage = widgets.VBox([])
        self.veil = area("", "packlearn-veil")

    def wire(self):
        """Connect the way on and back, and follow the questions."""
        self.back.on_click(lambda _: self.go(-1))
        self.onward.on_click(lambda _: self.go(1))
        for question in self.questions:
            question.on_change.append(self.update)

    def parts(self):
        """The current view, then the way on and back."""
        return [self.stage, self.veil, self.steps]

    @guard
    def go(self, step):
        """Go to the next view, or back.

        Args:
            step: 1 or -1.
        """
        if 0 <= self.place + step <= self.last and (step < 0 or self._may_go_on()):
            self.place += step
        self.update()

    def _may_go_on(self):
        return all(question.done for question in self.questions[: self.place + 1])

    def update(self):
        """Show the current view; an open question closes what lies behind it."""
        open_ones = [i for i, question in enumerate(self.questions) if not question.done]
        if open_ones and self.place > open_ones[0]:
            self.place = open_ones[0]
        view = self.behind if self.place == self.last else self.questions[self.place]
        if self.stage.children != (view,):
            self.stage.children = (view,)
        self.back.disabled = self.place == 0
        self.onward.disabled = self.place == self.last or not self._may_go_on()
        fields = {"place": self.place + 1, "count": self.last + 1}
        self.where.value = paragraphs([say("panels.where", **fields)])
        key = "panels.veiled" if self.then else "panels.veiled_why"
        self.veil.value = paragraphs([say(key)]) if open_ones else ""
