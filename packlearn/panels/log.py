"""The learner's own record: every locked prediction, and the way to delete it all."""

from packlearn.classroom import answer_files, sitting
from packlearn.errors import PackError
from packlearn.panels import base
from packlearn.panels.base import Panel, area, button, escape, guard, paragraphs, show
from packlearn.panels.work import forget_work
from packlearn.records import Records, RecordsTrouble
from packlearn.tasks import bank, checking, device_steps
from packlearn.tasks.combining import did_of
from packlearn.words import say, word

_COLUMNS = ("when", "task", "wrote", "sure", "result")


class MyPredictions(Panel):
    """A list of what was locked, newest first, with Refresh, Save as CSV and Delete all."""

    def build(self):
        """Make the list and its buttons."""
        self.records = Records.default()
        self.table = area("", "packlearn-log")
        self.said = area("", "packlearn-status", "packlearn-feedback")
        # Keeping comes first, so that a second press of Enter deletes nothing.
        names = ("refresh", "save", "hand_in", "delete", "keep", "delete_sure")
        self.buttons = {name: button(f"log.{name}") for name in names}
        self.asking, self.listed = False, 0

    def wire(self):
        """Connect the buttons."""
        self.buttons["refresh"].on_click(self.refresh)
        self.buttons["save"].on_click(self.save)
        self.buttons["hand_in"].on_click(self.hand_in)
        self.buttons["delete"].on_click(lambda _: self.ask(True))
        self.buttons["keep"].on_click(lambda _: self.ask(False))
        self.buttons["delete_sure"].on_click(self.delete)

    def parts(self):
        """Buttons, what they say, the list."""
        return [base.row(*self.buttons.values()), self.said, self.table]

    @guard
    def refresh(self, _=None):
        """Read the records anew."""
        self.said.value = ""
        self.update()

    @guard
    def save(self, _=None):
        """Write the list as a table beside the notebook."""
        path = say("panels.log.file")
        self.records.export_csv(path, seat=base.seat())
        self.update()
        self.said.value = paragraphs([say("panels.log.saved", path=path)])

    @guard
    def hand_in(self, _=None):
        """Write the file of answers that a teacher asks for, beside the notebook."""
        if sitting.needs_seat():
            self.said.value = paragraphs([say("classroom.opening.choose_first")])
            return
        path = answer_files.file_name(base.seat())
        count = answer_files.save(self.records, base.seat(), path)
        self.update()
        self.said.value = paragraphs([say("panels.log.handed_in", count=count, path=path)])

    @guard
    def locked_in(self):
        """Show what was locked in first; of more tell only, as a long list takes its time."""
        if self.asking:
            return
        if not self.listed:
            self.update()
        else:
            self.said.value = paragraphs([say("panels.log.more")])

    @guard
    def take_seat(self):
        """Show the list of the seat of this moment."""
        self.asking, self.said.value = False, ""
        self.update()

    @guard
    def ask(self, asking):
        """Ask once more before deleting, or not.

        Args:
            asking: True to ask.
        """
        self.asking = asking
        self.said.value = paragraphs([say("panels.log.ask")]) if asking else ""
        self.update()

    @guard
    def delete(self, _=None):
        """Delete every prediction for good, and what was wired and measured for tasks."""
        count = self.records.forget_all(base.seat())
        self.asking = False
        self.update()
        self.said.value = paragraphs([say("panels.log.deleted", count=count)])
        forget_work(base.seat())

    def update(self):
        """Show the list."""
        for name, control in self.buttons.items():
            show(control, self.asking == (name in ("delete_sure", "keep")))
        try:
            entries = self.records.all(base.seat())
        except RecordsTrouble as trouble:
            self.table.value = base.alert(str(trouble))
            return
        self.listed = len(entries)
        if not entries:
            self.table.value = paragraphs([say("panels.log.empty")])
            return
        heads = "".join(f"<th scope='col'>{escape(say(f'panels.log.{n}'))}</th>" for n in _COLUMNS)
        rows = "".join(_row(entry) for entry in reversed(entries))
        self.table.value = f"<table class='packlearn-table'><tr>{heads}</tr>{rows}</table>"


def _row(entry):
    locked = entry.locked
    question, typed = _in_words(locked)
    cells = (
        f"{locked.locked_at.astimezone():%Y-%m-%d %H:%M}",
        question,
        typed,
        say(f"panels.confidence.{locked.confidence}"),
        _outcome(entry.result),
    )
    return f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in cells)}</tr>"


def _outcome(result):
    if result is None:
        return say("panels.log.outcome.none")
    known = word("panels.log.outcome")
    verdict = result.verdict if result.verdict in known else "unknown"
    if verdict == "mistake" and not result.mistakes:
        verdict = "kind"
    return say(f"panels.log.outcome.{verdict}", rules=" / ".join(map(_did, result.mistakes)))


def _did(rule_id):
    return did_of(rule_id).rstrip(".")


def _in_words(locked):
    """The question and the answer as the learner saw them; ids where the bank has changed."""
    own = device_steps.kept_variant(locked)
    if own is not None:
        return checking.text_of(own), checking.typed_in_words(own, locked.typed)
    try:
        task = bank.page(locked.page).task(locked.task)
        variant = checking.variant(task, locked.variant)
    except PackError:
        variant = None
    if variant is None or variant.givens != locked.givens:
        return f"{locked.page} / {locked.task}", locked.typed
    return checking.text_of(variant), checking.typed_in_words(variant, locked.typed)
