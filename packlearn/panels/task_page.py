"""A page of tasks, one at a time; after a restart the one locked in last."""

import ipywidgets as widgets

from packlearn.panels import base, watching
from packlearn.panels.base import Panel, area, button, guard, paragraphs
from packlearn.panels.fitting import fitting
from packlearn.panels.question import Question
from packlearn.records import Records, RecordsTrouble
from packlearn.tasks import bank
from packlearn.words import say


class TaskPage(Panel):
    """All tasks of a page; one is on show, and any other can be gone to.

    Args:
        page: name of a page of the bank.
    """

    def __init__(self, page):
        with fitting(page):
            self.page = bank.page(page)
        self.made, self.gone_to = {}, None
        self.watch = watching.watch()
        self.place = self._where_left()
        self._go_to_class()
        super().__init__()
        self._follow_class()

    def _where_left(self):
        """Place of the task locked in last, so that a restart goes on there."""
        try:
            traces = Records.default().traces(base.seat())
        except RecordsTrouble:
            # The page still opens; its question tells the trouble.
            return 0
        places = {task.id: place for place, task in enumerate(self.page.tasks)}
        mine = [trace.task for trace in traces if trace.page == self.page.name]
        return next((places[task] for task in reversed(mine) if task in places), 0)

    def question(self, place):
        """The question at a place of the page, made when it is first shown."""
        if place not in self.made:
            question = Question(self.page.name, self.page.tasks[place].id).inside()
            question.on_change.append(self.update)
            self.made[place] = question
        return self.made[place]

    def build(self):
        """Make the line that tells where one is, and the way on and back."""
        self.intro = area(paragraphs([self.page.intro]), "packlearn-intro")
        self.where = area("", "packlearn-where")
        self.back, self.onward = button("back"), button("onward")
        self.steps = widgets.HBox([self.back, self.onward, self.where])
        self.steps.add_class("packlearn-steps")
        self.stage = widgets.VBox([])
        self.add_class("packlearn-page")

    def wire(self):
        """Connect the way on and back."""
        self.back.on_click(lambda _: self.go(-1))
        self.onward.on_click(lambda _: self.go(1))

    def parts(self):
        """Intro, the current task, the way on and back."""
        return [self.intro, self.stage, self.steps]

    @guard
    def take_seat(self):
        """Go where the seat of this moment was; its questions were told before."""
        self.place, self.watch = self._where_left(), watching.watch()
        self._go_to_class()
        self.update()
        self._follow_class()

    @guard
    def class_moved(self):
        """Go to the task that the class works on, once for each time it is asked."""
        self._go_to_class()
        self.update()

    def _go_to_class(self):
        moment = self.watch.moment if self.watch else None
        if moment is None or moment.page != self.page.name or moment.stage == "done":
            return
        places = {task.id: place for place, task in enumerate(self.page.tasks)}
        if moment.number != self.gone_to and moment.task in places:
            self.place, self.gone_to = places[moment.task], moment.number

    def _follow_class(self):
        if self.watch:
            self.watch.add(self)

    @guard
    def go(self, step):
        """Go to the next task, or back; every task may be left for later.

        Args:
            step: 1 or -1.
        """
        self.place = (self.place + step) % len(self.page.tasks)
        self.update()

    def update(self):
        """Show the current task."""
        question = self.question(self.place)
        if self.stage.children != (question,):
            self.stage.children = (question,)
        count = len(self.page.tasks)
        self.where.value = paragraphs([say("panels.task_of", place=self.place + 1, count=count)])
