"""Marking: every answer is checked again from class code, seat and typed text.

Nothing that a file says about right or wrong is looked at. A changed answer cannot be told from
an honest one, as a file is plain text.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from typing import NamedTuple

from packlearn.classroom import answer_files, live, rechecking, seats
from packlearn.classroom.collecting import IN_ZIP
from packlearn.errors import PackError
from packlearn.tasks import device_steps
from packlearn.tasks.skills import of_lesson
from packlearn.words import say


class Try(NamedTuple):
    """One checked answer.

    Attributes:
        answer: the ``Answer`` of the file.
        kind: kind of the ``Verdict``.
        rules: ids of the wrong rules that fit.
    """

    answer: object
    kind: str
    rules: tuple

    @property
    def right(self):
        """True where it holds."""
        return self.kind == "right"


@dataclass(frozen=True)
class Question:
    """One task with its numbers, as one seat answered it.

    Attributes:
        seat: the seat.
        task: the ``Task``.
        number: number of the variant.
        tries: its ``Try`` items by attempt.
    """

    seat: int
    task: object
    number: int
    tries: tuple

    @property
    def right_first(self):
        """True where the first try was right."""
        return self.tries[0].answer.attempt == 1 and self.tries[0].right

    @property
    def right(self):
        """True where a try was right."""
        return any(each.right for each in self.tries)

    @property
    def sure_wrong(self):
        """True where some try was sure and wrong."""
        return any(each.answer.confidence == "sure" and not each.right for each in self.tries)


@dataclass
class Marks:
    """What came of a folder of answer files.

    Attributes:
        code: the class code.
        seats: number of seats.
        questions: list of ``Question``, by seat, page and task.
        handed_in: seats of which there is a file.
        report: pairs of file name and sentence, for each file with something odd.
        files: how many files were looked at.
    """

    code: str
    seats: int
    questions: list = field(default_factory=list)
    handed_in: set = field(default_factory=set)
    report: list = field(default_factory=list)
    files: int = 0


@rechecking.nothing_collected()
def mark(code, count, files):
    """Marks of a class.

    Args:
        code: the class code.
        count: number of seats of the class.
        files: pairs of name and bytes (or a sentence where there are none), as from ``collect``.

    Returns:
        ``Marks``.

    Raises:
        BadValue: no class code, or no number of seats.
    """
    marks = Marks(seats.read_code(code), seats.read_seats(count))
    handed_in = {}
    for name, content in files:
        marks.files += 1
        told = _take(marks, handed_in, name, content)
        if told:
            marks.report.append((name, " ".join(told)))
    marks.report = _shortened(marks.report)
    marks.questions = _questions({seat: handed_in[seat][1] for seat in sorted(handed_in)})
    marks.handed_in = set(handed_in)
    return marks


def _questions(kept):
    checked = rechecking.check({seat: tuple(answers.values()) for seat, answers in kept.items()})
    return [
        Question(
            seat,
            rechecking.task_of(page, name),
            number,
            tuple(Try(answer, *verdict) for answer, verdict in tries),
        )
        for seat, page, name, number, tries in checked
    ]


def _shortened(report):
    """The report with one line for all files of a zip file of which the same is told."""
    groups = {}
    for name, told in report:
        packed, between, _ = name.partition(IN_ZIP)
        groups.setdefault((packed if between else name, between, told), []).append(name)
    lines = []
    for (packed, _, told), names in groups.items():
        more = say("classroom.marking.alike", count=len(names)) if len(names) > 1 else ""
        lines.append((packed, f"{more} {told}") if more else (names[0], told))
    return lines


def _take(marks, handed_in, name, content):
    """Take the answers of a file; what is odd about it, as sentences."""
    if isinstance(content, str):
        return [content]
    try:
        file = answer_files.read(content)
    except PackError as trouble:
        return [str(trouble)]
    stranger = _stranger(marks, file)
    if stranger:
        return [stranger]
    told = _damage(file)
    first, kept = handed_in.get(file.seat, (name, {}))
    # A file without an answer that counts is no first one.
    handed_in[file.seat] = (first if kept else name, kept)
    told += _merge(handed_in[file.seat], name, file, _Sieve(marks.code, file.seat))
    return told


def _damage(file):
    if not (file.cut or file.unread):
        return []
    if not file.answers:
        return [say("classroom.marking.nothing")]
    key = "classroom.marking.cut" if file.cut else "classroom.marking.unread"
    return [say(key, good=len(file.answers), bad=file.unread)]


def _stranger(marks, file):
    if not file.code:
        return say("classroom.marking.alone")
    if file.code != marks.code:
        return say("classroom.marking.other_class", value=file.code, limit=marks.code)
    if file.seat > marks.seats:
        return say("classroom.marking.no_seat", value=file.seat, limit=marks.seats)
    return ""


def _merge(first, name, file, sieve):
    """Put a file's answers to those of its seat; locked answers never change, so two agree."""
    first_name, kept = first
    differing = 0
    for answer in file.answers:
        if not sieve.lets_through(answer, kept):
            continue
        standing = kept.setdefault(_key(answer), answer)
        differing += (standing.typed, standing.confidence) != (answer.typed, answer.confidence)
    told = sieve.told()
    if differing:
        told.append(say("classroom.marking.differs", count=differing, first=first_name))
    elif first_name != name and file.answers:
        told.append(say("classroom.marking.again", seat=file.seat, first=first_name))
    return told


def _key(answer):
    return answer.page, answer.task, answer.variant, answer.attempt


class _Sieve:
    """Lets through what a seat can have been asked, and counts the rest."""

    def __init__(self, code, seat):
        self.first = seats.first_variant(code, seat)
        self.counts = defaultdict(int)

    def lets_through(self, answer, kept):
        """Whether an answer may be marked.

        Args:
            answer: the ``Answer``.
            kept: what is kept of the seat so far.
        """
        trouble = self._trouble(answer)
        if not trouble and len(kept) >= answer_files.MOST_ANSWERS:
            trouble = "many"
        if trouble:
            self.counts[trouble] += 1
        return not trouble

    def _trouble(self, answer):
        task = rechecking.task_of(answer.page, answer.task)
        if task is None:
            return "unknown"
        if device_steps.own_number(answer.variant):
            return "own_device"
        own = self.first <= answer.variant < self.first + seats.STRIDE
        # The questions of a lesson begin with the numbers that its text tells about.
        if not own and not (answer.variant == 0 and of_lesson(task)):
            return "foreign"
        # The second vote of a class is a second attempt, however many a learner alone has.
        return "tries" if answer.attempt > max(task.attempts, live.AGAIN) else ""

    def told(self):
        """A sentence for each kind of what was left out."""
        return [say(f"classroom.marking.{key}", count=n) for key, n in sorted(self.counts.items())]
