"""What belongs to a seat: whose numbers a question shows, and what a change of seat keeps."""

from packlearn.classroom import sitting
from packlearn.classroom.seats import first_variant_of
from packlearn.panels import base
from packlearn.panels.base import guard
from packlearn.panels.bench_keeping import BenchFile, BenchState
from packlearn.tasks import checking
from packlearn.tasks.skills import of_lesson
from packlearn.words import say


class Seated:
    """Part of a question that belongs to a seat; for one ``InClass`` with ``task`` and ``answer``.

    Attributes:
        seat: the seat's text, "" for who learns alone.
    """

    seat_order = 0

    def sit_down(self, number):
        """Take the seat of this moment.

        Args:
            number: the variant that is asked for, None for the one locked in last.
        """
        self.seat, self.asked_for, self.drafts = base.seat(), number, {}

    @property
    def first(self):
        """Number of the first variant; a lesson's text tells about variant 0, at every seat."""
        return 0 if of_lesson(self.task) else first_variant_of(self.seat)

    def after(self, number):
        """Number of the variant after another; fresh ones are the seat's own."""
        return max(number + 1, first_variant_of(self.seat))

    def drawn(self, number):
        """The ``Variant`` of a number; other kinds of questions have other numbers.

        Args:
            number: which variant.
        """
        return checking.variant(self.task, number)

    def take_seat(self):
        """Show what belongs to the seat of this moment; what is typed waits for its own seat."""
        if base.seat() != self.seat:
            self._take_seat()

    @guard
    def _take_seat(self):
        self.drafts[self.seat, self.number] = self.answer.value, self.confidence.value
        self.seat = base.seat()
        self.join_class()
        self.number, self.entries = self._where_left(self.asked_for)
        self.variant = self.drawn(self.number)
        self._empty()
        draft = self.drafts.pop((self.seat, self.number), None)
        # What is built or measured is kept in files, a seat's own.
        if draft and self.phase == "open" and self.task.kind not in ("wire", "fault"):
            self.answer.value, self.confidence.value = draft
        self._changed()
        self.follow_class()

    def seat_trouble(self):
        """What keeps an answer from being locked in at this seat, "" where nothing does."""
        if sitting.needs_seat() and not self.teaching:
            return say("classroom.opening.choose_first")
        if base.seat() == self.seat:
            return ""
        # Another notebook has told its own panels only.
        typed = self.answer.value
        self._take_seat()
        if isinstance(typed, str) and self.task.kind != "choice" and not self.answer.value:
            self.answer.value = typed
        where = sitting.sitting()
        return say("classroom.opening.moved", seat=where.seat if where else self.seat)


class SeatedBench:
    """Part of a bench whose state is kept in a file, one for each seat."""

    @guard
    def take_seat(self):
        """Lay out what the seat of this moment has kept."""
        self.file = BenchFile(self.file.name, self.start, base.seat())
        kept, trouble = self.file.read()
        self.past, self.future, self.chosen, self.did = [], [], (), trouble
        self._lay_out(kept or BenchState(self.start))
        self.load.value, self.meter.value = self.typed, self.kind
        self.update()
