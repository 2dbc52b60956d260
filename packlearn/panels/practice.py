"""Practise: what is due, the task that comes now and why, and how far one is."""

from datetime import datetime

import ipywidgets as widgets

from packlearn.panels import base
from packlearn.panels.base import Panel, alert, area, guard, paragraphs, show
from packlearn.panels.faded import Faded, kept_by, practice_of, press, relabel
from packlearn.panels.progress import progress_html
from packlearn.panels.question import Question
from packlearn.pictures.drawing import series_of
from packlearn.records import Records, RecordsTrouble
from packlearn.tasks.examples import example
from packlearn.words import say, word

# So many titles are told in a line; a longer one nobody reads.
MOST_TITLES = 4


def _now():
    return datetime.now().astimezone()


class Practise(Panel):
    """One task after the other, chosen by skill from what was locked in.

    Args:
        clock: function that returns the moment with its time zone; the machine's if left out.
    """

    def __init__(self, clock=_now):
        self.clock = clock
        self.records, self.seat = Records.default(), base.seat()
        self.kept = kept_by(self.records, self.seat)
        self.practice, self.next, self.question, self.faded = None, None, None, None
        self.unfolded, self.passed = False, set()
        super().__init__()
        self.choose()

    # State.

    def read(self):
        """Read the records anew."""
        self.practice = practice_of(self.records, self.seat, self.clock())

    @guard
    def choose(self):
        """Show the task that comes now."""
        try:
            self.read()
            self.next = self._next()
        except RecordsTrouble as trouble:
            self.alert.value = alert(str(trouble))
            return
        self.faded = self.question = None
        if self.next:
            at = self.next
            self.question = Question(at.page, at.task, at.number).inside()
            self.question.offers_another = False
            self.question.update()
            self.question.on_change.append(self.changed)
        self.update()

    def _next(self):
        found = self.practice.next(self.kept, self.passed)
        if found is None and self.passed:
            # A teacher has looked through all of them.
            self.passed = set()
            found = self.practice.next(self.kept)
        return found

    @property
    def missed(self):
        """True where the task on show was answered and did not hold at the first try."""
        entries = self.question.entries if self.question else []
        return bool(entries) and self.question.done and not entries[0].result.right

    # Controls.

    def build(self):
        """Make the lines, the stage and the buttons."""
        self.due = area("", "packlearn-intro")
        self.why = area("", "packlearn-intro")
        self.stage = widgets.VBox([])
        self.onward, self.show_how = press("next"), press("show_example")
        self.steps = base.row(self.onward, self.show_how)
        self.steps.add_class("packlearn-steps")
        self.fold = press("show_progress")
        self.progress = area("", "packlearn-progress")
        self.add_class("packlearn-page")

    def wire(self):
        """Connect the buttons."""
        self.onward.on_click(self.go_on)
        self.show_how.on_click(self.show_example)
        self.fold.on_click(self.turn_progress)

    def parts(self):
        """What is due, the task, the way on, how far one is."""
        fold = base.row(self.fold)
        return [self.due, self.why, self.stage, self.steps, fold, self.progress]

    # Callbacks.

    def take_seat(self):
        """Choose for the seat of this moment."""
        if base.seat() != self.seat:
            self.seat, self.passed = base.seat(), set()
            self.kept = kept_by(self.records, self.seat)
            self.choose()

    @guard
    def go_on(self, _=None):
        """Go on to the next task."""
        if self.question is not None and not self.question.closed:
            # Only a teacher gets here: the answer was shown, not locked in.
            self.passed.add((self.next.page, self.next.task))
        self.choose()

    @guard
    def show_example(self, _=None):
        """Show the worked example of the skill, in place of the task."""
        self.faded = Faded(self.next.skill).inside()
        self.update()

    @guard
    def turn_progress(self, _=None):
        """Show how far one is, or hide it."""
        self.unfolded = not self.unfolded
        self.read()
        self.update()

    @guard
    def changed(self):
        """Something was locked in: read the records anew."""
        self.read()
        self.update()

    # What is shown.

    def update(self):
        """Show the state."""
        if self.practice is None:
            return
        self.due.value = paragraphs(self._due())
        self.why.value = paragraphs([self._why()])
        view = self.faded or self.question
        shown = (view,) if view else ()
        if self.stage.children != shown:
            self.stage.children = shown
        done = self.question is not None and self.question.done
        show(self.onward, done or self.teaching)
        how = self.missed and self.faded is None and example(self.next.skill) is not None
        show(self.show_how, how)
        relabel(self.onward, "leave" if self.faded else "next")
        relabel(self.fold, "hide_progress" if self.unfolded else "show_progress")
        show(self.progress, self.unfolded)
        self.progress.value = progress_html(self.practice) if self.unfolded else ""

    def _due(self):
        practice = self.practice
        if not any(each.tried for each in practice.standings.values()):
            return [say("practice.nothing_yet"), say("practice.rules")]
        queue, left = practice.queue, practice.reviews_left
        if not queue:
            return [say("practice.due_none")]
        titles = [word(f"skills.{each.skill}.title") for each in queue]
        if len(titles) > MOST_TITLES:
            rest = len(titles) - MOST_TITLES
            titles = [*titles[:MOST_TITLES], say("practice.due_more", count=rest)]
        said = [say("practice.due", titles=series_of(titles))]
        if left == 0:
            said.append(say("practice.due_later", done=practice.reviews_today))
        elif left < len(queue):
            said.append(say("practice.due_most", left=left))
        return said

    def _why(self):
        if self.next is None:
            return say("practice.no_task")
        title = word(f"skills.{self.next.skill}.title")
        return say("practice.this_one", title=title, why=say(f"practice.why.{self.next.reason}"))
