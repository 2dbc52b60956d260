"""One round of a lesson: questions first, then the sliders and the why they veil."""

import weakref

import ipywidgets as widgets

from packlearn.panels.base import Panel, area, button, guard, paragraphs, row, show
from packlearn.panels.fitting import fitting
from packlearn.panels.question import Question
from packlearn.tasks import bank
from packlearn.words import say

# Rounds of this kernel by page and name, so that one can tell the others that it changed.
# They hold no state: every round reads its own from its questions.
_ROUNDS = weakref.WeakValueDictionary()


class Round(Panel):
    """Questions of a lesson; what lies behind them stays veiled while one is open.

    A round waits for those above it, since its questions would tell their answers, unless the
    class works on a question of it. A round to
    be worked alone opens by its own button, and closes the sliders of the others until it is
    done.

    Args:
        page: name of the lesson's page of questions.
        name: id of a round on it.
        then: the panel with sliders that opens when all are answered, or None.
    """

    def __init__(self, page, name, then=None):
        with fitting(page, name):
            self.page, self.round = bank.page(page), bank.page(page).round(name)
        self.questions = [Question(page, task).inside() for task in self.round.tasks]
        self.then = then.inside() if then is not None else None
        self.last = len(self.questions)
        undone = (i for i, question in enumerate(self.questions) if not question.done)
        self.place = next(undone, self.last)
        self.pressed, self.gone_to = False, None
        self._go_to_class()
        _ROUNDS[page, name] = self
        super().__init__()
        # A cell that is run again puts a new round in the place of an old one.
        for other in self._others():
            other.refresh()
        self._follow_class()

    # State.

    @property
    def all_done(self):
        """True once no question of this round need hide anything."""
        return all(question.done for question in self.questions)

    @property
    def waiting(self):
        """True while a round above is open and nothing of this one was begun."""
        if self.teaching or self._begun or self.class_place is not None:
            return False
        return not all(other.all_done for other in self._above())

    @property
    def _begun(self):
        return self.pressed or any(question.entries for question in self.questions)

    @property
    def to_begin(self):
        """True where a round to be worked alone waits for its button."""
        begun = self._begun or self.class_place is not None
        return self.round.alone and not (self.teaching or self.waiting or begun)

    @property
    def class_place(self):
        """Place of the question that the class works on now; None where it is not in here."""
        return next((i for i, question in enumerate(self.questions) if question.stage), None)

    @property
    def closed_for_others(self):
        """True while some other round of the page is worked alone."""
        if self.teaching:
            return False
        others = (other for other in self._others() if other.round.alone)
        return any(other._begun and not other.all_done for other in others)

    def _others(self):
        names = [one.id for one in self.page.rounds if one is not self.round]
        found = (_ROUNDS.get((self.page.name, name)) for name in names)
        return [other for other in found if other is not None]

    def _above(self):
        order = [one.id for one in self.page.rounds]
        mine = order.index(self.round.id)
        return [other for other in self._others() if order.index(other.round.id) < mine]

    # Controls.

    def build(self):
        """Make the view behind the questions, and the way on and back."""
        self.invite = area(paragraphs(self.round.invite), "packlearn-try")
        self.closed = area(paragraphs([say("panels.closed")]), "packlearn-veil")
        explain = area(paragraphs(self.round.explain), "packlearn-explain")
        then = [self.then] if self.then else []
        self.behind = widgets.VBox([self.invite, *then, self.closed, explain])
        self.where = area("", "packlearn-where")
        self.back, self.onward = button("back"), button("onward")
        self.steps = row(self.back, self.onward, self.where)
        self.steps.add_class("packlearn-steps")
        self.begin = button("begin_alone")
        self.begin_row = row(self.begin)
        self.stage = widgets.VBox([])
        self.veil = area("", "packlearn-veil")
        self.add_class("packlearn-page")

    def wire(self):
        """Connect the way on and back, and follow the questions."""
        self.begin.on_click(self.begin_alone)
        self.back.on_click(lambda _: self.go(-1))
        self.onward.on_click(lambda _: self.go(1))
        for question in self.questions:
            question.on_change.append(self._changed)

    def parts(self):
        """The current view, then the way on and back."""
        return [self.begin_row, self.stage, self.veil, self.steps]

    @guard
    def take_seat(self):
        """Begin where the seat of this moment is; its questions were told before."""
        undone = (i for i, question in enumerate(self.questions) if not question.done)
        self.place, self.pressed = next(undone, self.last), False
        self._go_to_class()
        self._changed()
        self._follow_class()

    @guard
    def class_moved(self):
        """Go where the class is, once for each question it is asked; others stay where they are."""
        self._go_to_class()
        self.update()

    def _go_to_class(self):
        place = self.class_place
        moment = None if place is None else self.questions[place].moment.number
        if moment not in (None, self.gone_to):
            self.place, self.gone_to = place, moment

    def _follow_class(self):
        watch = self.questions[0].watch if self.questions else None
        if watch:
            watch.add(self)

    @guard
    def go(self, step):
        """Go to the next view, or back.

        Args:
            step: 1 or -1.
        """
        if 0 <= self.place + step <= self.last and (step < 0 or self._may_go_on()):
            self.place += step
        self.update()

    @guard
    def begin_alone(self, _=None):
        """Open the questions and close the sliders above."""
        self.pressed = True
        self._changed()

    def _may_go_on(self):
        return all(question.done for question in self.questions[: self.place + 1])

    def _changed(self):
        # A question may change in the thread that follows the class.
        with self._turn:
            self.update()
        for other in self._others():
            other.refresh()

    @guard
    def refresh(self):
        """Show the state anew, because another round has changed."""
        self.update()

    # What is shown.

    def update(self):
        """Show the current view; an open question closes what lies behind it."""
        open_ones = [i for i, question in enumerate(self.questions) if not question.done]
        if open_ones and self.place > open_ones[0] and self.place != self.class_place:
            self.place = open_ones[0]
        self._show_view()
        self.back.disabled = self.place == 0
        self.onward.disabled = self.place == self.last or not self._may_go_on()
        fields = {"place": self.place + 1, "count": self.last + 1}
        self.where.value = paragraphs([say("panels.where", **fields)])
        self.veil.value = paragraphs([say(self._veil_key())]) if open_ones else ""
        show(self.steps, not (self.waiting or self.to_begin))
        show(self.begin_row, self.to_begin)

    def _show_view(self):
        view = self.behind if self.place == self.last else self.questions[self.place]
        shown = () if self.waiting or self.to_begin else (view,)
        if self.stage.children != shown:
            self.stage.children = shown
        closed = self.then is not None and self.closed_for_others
        show(self.closed, closed)
        for part in (self.invite, self.then):
            if part is not None:
                show(part, not closed)

    def _veil_key(self):
        if self.waiting:
            return "panels.waiting"
        if self.to_begin:
            return "panels.to_begin"
        if self.class_place is not None and not self.questions[self.class_place].done:
            return "live.learner.veiled"
        if self.place < self.last and self.questions[self.place].phase == "look":
            return "panels.veiled_look"
        if self.place < self.last and self.questions[self.place].done:
            return "panels.veiled_on"
        return self.then.veil_key if self.then else "panels.veiled_why"
