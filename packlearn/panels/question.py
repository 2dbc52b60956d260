"""One question: predict, say how sure, lock, then see."""

import ipywidgets as widgets

from packlearn.classroom import live
from packlearn.panels import base
from packlearn.panels.answering import ABOVE, answer_for
from packlearn.panels.base import Panel, alert, area, button, escape, guard, paragraphs, show
from packlearn.panels.fitting import fitting
from packlearn.panels.illustrations import illustration
from packlearn.panels.in_class import InClass
from packlearn.panels.key import Key
from packlearn.panels.lying import Lying
from packlearn.panels.minding import MOST, told
from packlearn.panels.seated import Seated
from packlearn.panels.telling import Telling
from packlearn.panels.work import beside
from packlearn.records import CONFIDENCES, AlreadyLocked, Prediction, Records, RecordsTrouble
from packlearn.tasks import bank, checking, minding
from packlearn.tasks.skills import of_lesson
from packlearn.words import say

# Kinds of answer that are larger or smaller than what was written.
_COMPARED = ("number", "range", "count")


class Question(Seated, InClass, Telling, Lying, Panel):
    """A task of the bank with its box, its lock and its reveal.

    Args:
        page: name of a page of the bank.
        task: id of a task on it.
        number: which variant, None for the one locked in last.

    Attributes:
        offers_another: False where something else leads on to other numbers.
        on_change: functions called without arguments when the question opens or closes.
    """

    offers_another = True

    def __init__(self, page, task, number=None):
        with fitting(page, task):
            self.task = bank.page(page).task(task)
        self.on_change = []
        self.records = Records.default()
        self.sit_down(number)
        self.join_class()
        self.number, self.entries, trouble = number or self.first, [], None
        try:
            self.number, self.entries = self._where_left(number)
        except RecordsTrouble as told:
            # The lesson still opens; locking says the same again.
            trouble = told
        self.variant = self.drawn(self.number)
        super().__init__()
        if trouble:
            self.alert.value = alert(str(trouble))
        self.follow_class()

    # State: everything comes from the records, so a restart goes on where it was.

    def _where_left(self, number):
        if number is not None:
            return number, self._settled_entries(number)
        number = self._class_target()
        if number is not None:
            return number, self._settled_entries(number)
        number = self.records.latest_variant(self.task.page, self.task.id, self.seat)
        if number is None:
            return self.first, []
        entries = self._settled_entries(number)
        # The bank may have changed since; a question is only shown with its own numbers.
        if entries[-1].locked.givens != _kept(self.drawn(number).givens):
            return self.after(number), []
        return number, entries

    def _entries(self, number):
        found = self.records.find(self.task.page, self.task.id, self.seat)
        return [entry for entry in found if entry.locked.variant == number]

    def _settled_entries(self, number):
        """Entries of a variant; a kernel killed between lock and result left one open."""
        entries = self._entries(number)
        if self.held_at(number, entries):
            return entries
        variant = self.drawn(number)
        unsettled = [entry.locked for entry in entries if entry.result is None]
        for locked in unsettled:
            self._settle(locked, checking.check(variant, locked.typed))
        return self._entries(number) if unsettled else entries

    def _verdict(self, entry):
        return checking.check(self.variant, entry.locked.typed)

    def _settle(self, locked, verdict):
        told = locked.variant == self.class_number and self.stage in live.TOLD
        last = verdict.right or told or locked.attempt >= self.task.attempts
        ids = [rule.id for rule in verdict.rules]
        self.records.settle(locked.id, verdict.kind, ids, right=verdict.right, revealed=last)

    @property
    def closed(self):
        """True once the last prediction is locked and may be compared."""
        if self.held or not self.entries:
            return False
        last = self.entries[-1].result
        told = last.right or last.revealed or self.stage in live.TOLD
        return told or self._tries >= self.task.attempts

    @property
    def _tries(self):
        return max((entry.locked.attempt for entry in self.entries), default=0)

    @property
    def phase(self):
        """``open`` (write), ``look`` (say what you saw) or ``done``.

        While a class works on it also ``held`` (wait) and ``missed`` (the class has seen it).
        """
        if self.class_phase:
            return self.class_phase
        if not self.closed:
            return "open"
        if self.stage == "why" or self.number in self.explained:
            return "done"
        last = self.entries[-1]
        comparable = self.task.kind in _COMPARED and last.locked.value is not None
        return "look" if comparable and last.saw is None else "done"

    @property
    def done(self):
        """True where the question need hide nothing any more."""
        if self.key is not None and self.key.answer_shown:
            return True
        return self.phase == "done" and not self.told_only

    @property
    def worked(self):
        """True where the answer is more than one box or list, and stands above the lock."""
        return self.task.kind in ABOVE

    # Controls.

    def build(self):
        """Make the controls."""
        self.text = area("", "packlearn-question")
        self.picture = area("", "packlearn-picture")
        self.answer = self._answer_box()
        self.confidence = widgets.ToggleButtons(
            options=[(say(f"panels.confidence.{name}"), name) for name in CONFIDENCES],
            value=None,
            description=say("panels.confidence.label"),
            tooltip=say("panels.confidence.label"),
            tooltips=[say(f"panels.confidence.{name}") for name in CONFIDENCES],
            style={"description_width": "initial", "button_width": "5.7em"},
        )
        self.lock = button("lock")
        self.lock.add_class("packlearn-lock")
        box = [] if self.worked else [self.answer]
        self.entry = widgets.HBox([*box, self.confidence, self.lock])
        self.entry.add_class("packlearn-entry")
        self.status = area("", "packlearn-status", "packlearn-feedback")
        self.saw = [button(f"saw.{name}") for name in ("less", "equal", "more")]
        self.saw_row = base.row(*self.saw)
        self.which_row = widgets.HBox([])
        self.which_row.add_class("packlearn-which")
        self.build_class()
        self.another = button("another")
        # A learner's page holds no key, not even a hidden one.
        self.key = Key(self.variant, more=[self.another]) if self.teaching else None
        self.another_row = self.another if self.key else base.row(self.another)

    def _answer_box(self):
        answer = answer_for(self.variant)
        if self.worked and self.entries and not answer.value:
            # What was built, measured or typed into several boxes can be mended.
            answer.value = self.entries[-1].locked.typed
        return answer

    def wire(self):
        """Connect the controls."""
        self.lock.on_click(self.lock_in)
        for name, control in zip(("less", "equal", "more"), self.saw, strict=True):
            control.on_click(lambda _, name=name: self.say_what_i_saw(name))
        self.another.on_click(self.next_variant)
        self.go_alone.on_click(self.leave_class)
        for control, action in self.key.actions if self.key else ():
            control.on_click(lambda _, action=action: self.turn_key(action))

    def parts(self):
        """Controls in the order of the page; a wiring lies beside what is told of it."""
        # A teacher's row of buttons holds the one for other numbers too.
        last = self.key or self.another_row
        told = [self.with_class, self.entry, self.status, self.go_alone]
        told += [self.saw_row, self.which_row, last]
        self.column = self
        if self.task.kind == "wire":
            self.column = widgets.VBox([self.answer, *told])
            self.side_by_side = beside(self.column, self.picture)
            return [self.text, self.side_by_side]
        told = [self.answer, *told] if self.worked else told
        if self.task.picture.startswith("bench-"):
            self.column = widgets.VBox(told)
            self.side_by_side = beside(self.picture, self.column)
            return [self.text, self.side_by_side]
        return [self.text, self.picture, *told]

    # Callbacks.

    @guard
    def lock_in(self, _=None):
        """Lock the prediction; it is on disk before anything of the answer is shown."""
        trouble = self.seat_trouble()
        if trouble:
            self._tell([trouble])
            return
        moved = self.look_at_class()
        fresh = self._settled_entries(self.number)
        if moved or len(fresh) < len(self.entries):
            # Deleted meanwhile, on request; what another window locked is told by lock().
            self.entries = fresh
        typed = self.answer.value or ""
        if self.phase != "open" or self._pressed_twice(typed):
            self._changed()
            return
        verdict = checking.check(self.variant, typed)
        if verdict.kind == "ask":
            self._tell(verdict.says)
            return
        if self.confidence.value is None:
            self._tell([verdict.understood, say("panels.how_sure")])
            return
        try:
            locked = self.records.lock(self._prediction(typed, verdict))
        except AlreadyLocked:
            self._reload()
            raise
        if not self.held:
            self._settle(locked, verdict)
        self._reload()
        base.locked_in()

    def _pressed_twice(self, typed):
        """True for the second press of a double click: the same text, nothing chosen anew."""
        if self.vote:
            # Somebody may vote the same way again.
            return False
        last = self.entries[-1].locked.typed if self.entries else None
        return self.confidence.value is None and typed == last

    def _prediction(self, typed, verdict):
        value = verdict.value if isinstance(verdict.value, (int, float)) else None
        return Prediction(
            page=self.task.page,
            task=self.task.id,
            variant=self.number,
            attempt=self.vote or self._tries + 1,
            givens=_kept(self.variant.givens),
            typed=typed,
            value=value,
            unit=self.task.unit if value is not None else "",
            confidence=self.confidence.value,
            seat=self.seat,
        )

    @guard
    def say_what_i_saw(self, name):
        """Keep what the learner saw against what they wrote."""
        try:
            self.records.saw(self.entries[-1].locked.id, name)
        finally:
            self._reload()

    @guard
    def turn_key(self, action):
        """Show something of the instructor's key.

        Args:
            action: a method of the ``Key``.
        """
        action()
        self._changed()

    @guard
    def next_variant(self, _=None):
        """Open the same task with other numbers."""
        self.turn_to(self.after(self.number))

    def turn_to(self, number):
        """Show another variant, nothing typed.

        Args:
            number: which one.
        """
        self.number = number
        self.entries = self._settled_entries(self.number)
        self.variant = self.drawn(self.number)
        self._empty()
        self._changed()

    def _empty(self):
        if self.key:
            self.key.restart(self.variant)
        self.answer.restart(self.variant)
        self.confidence.value = None

    def _reload(self):
        self.entries = self._settled_entries(self.number)
        self.confidence.value = None
        self._changed()

    def _changed(self):
        self.update()
        for listener in self.on_change:
            listener()

    def _tell(self, sentences):
        told = paragraphs(sentence for sentence in sentences if sentence)
        self.status.value = self._feedback(self.phase) + told
        self.lie()

    # What is shown.

    def update(self):
        """Show the state."""
        phase = self.phase
        self.text.value = self._told()
        drawn = illustration(self.variant, shown=self.closed or self.done)
        if self.task.kind == "wire" and self.closed and self.entries[-1].result.right:
            # The learner's own bench shows a right wiring already.
            drawn = None
        self.picture.value = base.picture(drawn) if drawn else ""
        show(self.picture, drawn is not None)
        show(self.entry, phase == "open")
        self.answer.reveal(phase in ("look", "done"))
        if self.task.kind == "wire" and drawn is not None:
            self.answer.compare()
        show(self.saw_row, phase == "look")
        show(self.another_row, self.offers_another and (self.done or phase == "missed"))
        self.show_class()
        self.status.value = self._feedback(phase)
        self._offer_rules(phase)
        self.lie()

    def _told(self):
        """The question; above it its level, below it what a led task gives."""
        level, lead = self.task.level, checking.lead(self.variant)
        quiet = say(f"panels.level.{level}") if level != "plain" else ""
        head = f"<p class='packlearn-level'>{escape(quiet)}</p>" if quiet else ""
        steps = f"<div class='packlearn-lead'>{paragraphs(lead)}</div>" if lead else ""
        return f"{head}<p>{escape(checking.text_of(self.variant))}</p>{steps}"

    def _feedback(self, phase):
        if not self.entries:
            return ""
        last = self.entries[-1]
        written = "".join(self._written(entry) for entry in self.entries)
        if self.held:
            return written
        if phase == "open":
            left = [say("panels.try_left")] if self._tries == self.task.attempts - 1 else []
            return written + paragraphs([*self._verdict(last).says, *left])
        answer = say("panels.answer_is", answer=checking.answer_in_words(self.variant))
        result = f"{written}<p class='packlearn-answer'>{escape(answer)}</p>"
        if phase == "look":
            return result + paragraphs([say("panels.saw.question")])
        if self.told_only:
            return result + paragraphs([self._comparison(last)] if last.saw else [])
        return result + self._explanation(last)

    def _written(self, entry):
        locked = entry.locked
        sure = say(f"panels.confidence.{locked.confidence}")
        # A choice, a wiring or a fault is kept as one line; the learner reads words.
        typed = checking.typed_in_words(self.variant, locked.typed)
        said = say("panels.you_wrote", typed=typed, sure=sure)
        return f"<p class='packlearn-written'>{escape(said)}</p>"

    def _explanation(self, last):
        verdict = self._verdict(last)
        says = [self._comparison(last)] if last.saw else []
        says += [text for text in verdict.says if not (verdict.kind == "right" and says)]
        steps = paragraphs(checking.working(self.variant), tag="li")
        after = paragraphs([self.task.after] if self.task.after else [])
        mind = told(minding.of_variant(self.variant), 0 if of_lesson(self.task) else MOST)
        return f"{paragraphs(says)}<ol class='packlearn-working'>{steps}</ol>{after}{mind}"


def _kept(givens):
    """Givens as they are kept: plain numbers and texts."""
    return {name: value for name, value in givens.items()}
