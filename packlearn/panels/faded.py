"""Worked examples in three stages: in full, without the first step, all the learner's own."""

import json
from contextlib import contextmanager
from datetime import datetime

import ipywidgets as widgets

from packlearn.classroom.seats import first_variant_of
from packlearn.panels import base
from packlearn.panels.base import Panel, area, escape, guard, paragraphs, show
from packlearn.panels.bench_keeping import LineFile, beginning_of_example
from packlearn.panels.illustrations import illustration
from packlearn.panels.question import Question
from packlearn.practice import Practice
from packlearn.records import Records
from packlearn.tasks import checking
from packlearn.tasks.examples import example
from packlearn.tasks.skills import skills
from packlearn.words import say

LAST = 2
TRIES = 2
LONGEST = 200


def press(key):
    """Button with words of the practice file.

    Args:
        key: key of its text in ``practice.toml``.
    """
    text = say(f"practice.{key}")
    return widgets.Button(description=text, tooltip=text, layout=widgets.Layout(width="auto"))


def relabel(control, key):
    """Give a button other words of the practice file."""
    control.description = control.tooltip = say(f"practice.{key}")


def practice_of(records, seat, now):
    """The ``Practice`` of a seat's records at a moment."""
    return Practice(records.traces(seat), now, first_variant_of(seat))


def kept_by(records, seat):
    """What ``Practice.next`` asks for: the givens of a task already asked, by variant."""

    def kept(page, task):
        found = records.find(page, task, seat)
        return {entry.locked.variant: entry.locked.givens for entry in found}

    return kept


class Faded(Panel):
    """The worked example of a skill. What is typed at its second stage is kept until the third.

    Args:
        skill: id of a skill that has one.
    """

    def __init__(self, skill):
        self.example = example(skill)
        self.question = None
        self._begin()
        super().__init__()
        self._go_on()

    def _begin(self):
        self.stage, self.typed, self.first_done = 0, [], False

    # What is typed: in a file, so that a restart goes on where it was.

    def _go_on(self):
        """Go on with what was typed before a restart, as if it were typed now."""
        number = self.example.variant(1).number
        self.file = LineFile(f"{beginning_of_example(self.example.skill)}{number}", base.seat())
        *tries, begun = _texts(self.file.read()) or [""]
        for typed in tries:
            self._check(typed)
        with self._unkept():
            self.first.value = begun
        if (tries or begun) and not self.first_done:
            # In the midst of it; what was done is read from the start once more.
            self.stage = 1
        self.update()

    @contextmanager
    def _unkept(self):
        """Typed by the panel itself, not by the learner."""
        self.first.unobserve(self.keep, names="value")
        yield
        self.first.observe(self.keep, names="value")

    @guard
    def keep(self, _=None):
        """Keep what is typed so far."""
        texts = [*self.typed, self.first.value]
        self.file.write(json.dumps([text[:LONGEST] for text in texts]) if any(texts) else "")

    @property
    def tries(self):
        """How often the first step was checked."""
        return len(self.typed)

    def build(self):
        """Make the places of all three stages."""
        self.where = area("", "packlearn-intro", "packlearn-opens")
        self.text = area("", "packlearn-question")
        self.picture = area("", "packlearn-picture")
        self.steps = widgets.VBox([])
        label = say("practice.faded.asked")
        self.first = widgets.Text(
            continuous_update=False,
            description=label,
            placeholder=say("practice.faded.placeholder"),
            tooltip=label,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="min(24em, 100%)"),
        )
        self.check = press("faded.check")
        self.asking = base.row(self.first, self.check)
        self.status = area("", "packlearn-status", "packlearn-feedback")
        self.whole = widgets.VBox([])
        self.back, self.onward = press("faded.back"), press("faded.without")

    def wire(self):
        """Connect the buttons."""
        self.check.on_click(self.check_first)
        self.first.observe(self.keep, names="value")
        self.back.on_click(lambda _: self.go(-1))
        self.onward.on_click(lambda _: self.go(1))

    def parts(self):
        """One stage at a time, then the way on and back."""
        steps = base.row(self.back, self.onward)
        stage = [self.text, self.picture, self.asking, self.status, self.steps, self.whole]
        return [self.where, *stage, steps]

    @guard
    def go(self, step):
        """Go to the next stage, or back.

        Args:
            step: 1 or -1.
        """
        if 0 <= self.stage + step <= LAST and (step < 0 or self._may_go_on()):
            self.stage += step
        self.update()

    def _may_go_on(self):
        return self.stage == 0 or (self.stage == 1 and self.first_done)

    @guard
    def check_first(self, _=None):
        """Say whether the typed first step holds; after two tries it is told."""
        typed = self.first.value.strip()
        if not typed:
            self.status.value = paragraphs([say("practice.faded.empty")])
            return
        self._check(typed)
        self.keep()

    def _check(self, typed):
        right, understood = self.example.check_first(typed)
        if right is None:
            self.status.value = paragraphs([understood])
            return
        self.typed = [*self.typed, typed]
        self.first_done = right or self.tries >= TRIES
        key = "right" if right else "told" if self.first_done else "again"
        said = [understood, say(f"practice.faded.{key}")]
        self.update()
        self.status.value = paragraphs(text for text in said if text)

    # What is shown.

    def update(self):
        """Show the stage."""
        told = self.stage < LAST
        title = say("practice.faded." + ("full", "first", "whole")[self.stage])
        where = say("practice.faded.where", stage=self.stage + 1, name=title)
        self.where.value = paragraphs([where])
        for part in (self.text, self.picture, self.steps):
            show(part, told)
        show(self.asking, self.stage == 1 and not self.first_done)
        show(self.status, self.stage == 1)
        show(self.whole, not told)
        show(self.back, self.stage > 0)
        name = "all_mine" if self.stage else "without"
        relabel(self.onward, f"faded.{name}")
        show(self.onward, self._may_go_on())
        if told:
            self._show_task()
        elif self.question is None:
            self._open_question()

    def _show_task(self):
        variant = self.example.variant(self.stage)
        asked = [checking.text_of(variant)]
        if self.stage == 1 and not self.first_done:
            asked.append(self.example.first)
        self.text.value = paragraphs(asked)
        drawn = illustration(variant, shown=self.stage == 0 or self.first_done)
        self.picture.value = base.picture(drawn) if drawn else ""
        show(self.picture, drawn is not None)
        worked = self.stage == 0 or self.first_done
        self.steps.children = self._worked() if worked else ()

    def _worked(self):
        pairs = self.example.steps(self.stage)
        return tuple(self._step(at, step, why) for at, (step, why) in enumerate(pairs, 1))

    def _step(self, number, step, why):
        """One step; its reason opens when it is asked for."""
        line = area(f"<p>{number}. {escape(step)}</p>", "packlearn-step")
        reason = area(paragraphs([why]), "packlearn-explain")
        show(reason, False)
        text = say("practice.faded.why", number=number)
        ask = widgets.Button(description=text, tooltip=text, layout=widgets.Layout(width="auto"))
        ask.on_click(lambda _: show(reason, reason.layout.display == "none"))
        return widgets.VBox([base.row(line, ask), reason])

    @guard
    def take_seat(self):
        """Go on with what the seat of this moment typed, and its own numbers of the whole task."""
        self.question, self.whole.children = None, ()
        self._begin()
        self.status.value = ""
        self._go_on()

    def _open_question(self):
        """The whole task, with numbers that were not asked before."""
        records, seat = Records.default(), base.seat()
        practice = practice_of(records, seat, datetime.now().astimezone())
        task = self.example.task
        number = practice.number_of(task, kept_by(records, seat))
        self.question = Question(task.page, task.id, number).inside()
        self.whole.children = (self.question,)
        # From here on the question keeps what is typed.
        self.file.write("")


def _texts(line):
    """Texts of a kept line: those that were checked, then the one begun; none of a damaged one."""
    try:
        texts = json.loads(line or "[]")
    except ValueError:
        return []
    good = isinstance(texts, list) and len(texts) <= TRIES + 1
    return texts if good and all(isinstance(text, str) for text in texts) else []


class Examples(Panel):
    """A list of the skills that have a worked example, and the one that is chosen."""

    def build(self):
        """Make the list."""
        label = say("practice.faded.choose")
        shown = [(each.title, each.id) for each in skills() if each.example]
        self.skill = widgets.Dropdown(
            options=[(say("practice.faded.none"), None), *shown],
            description=label,
            tooltip=label,
            style={"description_width": "initial"},
        )
        self.stage = widgets.VBox([])

    def wire(self):
        """Follow the list."""
        self.skill.observe(self.choose, "value")

    def parts(self):
        """The list, then the example."""
        return [self.skill, self.stage]

    @guard
    def choose(self, _=None):
        """Open the example of the chosen skill."""
        self.update()

    def update(self):
        """Show the example."""
        chosen = self.skill.value
        self.stage.children = (Faded(chosen).inside(),) if chosen else ()
