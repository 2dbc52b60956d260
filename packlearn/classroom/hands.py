"""A show of hands: what a teacher without a common server counts and types, kept in one file.

The file lies in the teacher's folder, so the shared screen's notebook reads the same, and a
restart loses nothing that was typed. Nobody's seat or name is in it.
"""

import json
from dataclasses import dataclass, field, replace

from packlearn.classroom import live
from packlearn.errors import BadFile, BadValue
from packlearn.places import learner_folder, write_whole
from packlearn.tasks import checking
from packlearn.words import word

FILE = "class-hands.json"
MOST_ROWS = 6
MOST_HANDS = 200
LONGEST = 60
_LARGEST, _MOST_QUESTIONS = 400_000, 300
_EMPTY = ("", "", "")
# Kinds of answer that no line of text can hold.
_BUILT = ("wire", "fault", "pick")


@dataclass(frozen=True)
class Shown:
    """What the teacher has asked for by hands, and all that was typed.

    Attributes:
        on: True while the teacher counts hands, False while seats lock their answers in.
        page: page of the question; "" before the first one.
        task: id of the question.
        stage: one of ``live.STAGES``.
        typed: "page/task" -> rows of three texts: answer, hands in the first and second vote.
    """

    on: bool = False
    page: str = ""
    task: str = ""
    stage: str = "done"
    typed: dict = field(default_factory=dict)

    def rows(self, page, task):
        """Rows typed for a question, ``MOST_ROWS`` of them; empty ones where nothing was."""
        rows = [tuple(row) for row in self.typed.get(f"{page}/{task}", ())]
        return (*rows, *[_EMPTY] * (MOST_ROWS - len(rows)))[:MOST_ROWS]

    def with_rows(self, page, task, rows):
        """The same with other rows for a question."""
        rows = tuple(tuple(str(text)[:LONGEST] for text in row) for row in rows)
        kept = {name: old for name, old in self.typed.items() if name != f"{page}/{task}"}
        # The oldest go first; a whole course is far fewer.
        kept = dict(list(kept.items())[-_MOST_QUESTIONS + 1 :])
        return replace(self, typed=kept | {f"{page}/{task}": rows})


def read():
    """What the file holds; an empty ``Shown`` without one, or where it is damaged."""
    try:
        with open(learner_folder() / FILE, "rb") as file:
            told = json.loads(file.read(_LARGEST))
        texts = {name: told[name] for name in ("page", "task", "stage")}
        good = all(isinstance(text, str) for text in texts.values())
        if not good or texts["stage"] not in live.STAGES:
            return Shown()
        typed = {str(name): _rows(rows) for name, rows in told["typed"].items()}
        return Shown(told["on"] is True, **texts, typed=typed)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return Shown()


def _rows(rows):
    kept = tuple(tuple(str(text)[:LONGEST] for text in row) for row in rows[:MOST_ROWS])
    if any(len(row) != len(_EMPTY) for row in kept):
        raise ValueError(kept)
    return kept


def keep(shown):
    """Write the file, in one step.

    Args:
        shown: a ``Shown``.

    Raises:
        BadFile: the folder cannot be written to.
    """
    path = learner_folder() / FILE
    told = {name: getattr(shown, name) for name in ("on", "page", "task", "stage", "typed")}
    text = json.dumps(told, ensure_ascii=False) + "\n"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # Half of a surrogate pair, typed somewhere, fits into no file.
        write_whole(path, text.encode("utf-8", "replace"))
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise BadFile("class_view.hands.not_kept", value=str(path.parent), limit=reason) from error


def read_count(text, answer=""):
    """Number of hands from what was typed.

    Args:
        text: figures; nothing typed is no hands.
        answer: the answer beside it, for the message.

    Raises:
        BadValue: not a whole number from 0 to ``MOST_HANDS``.
    """
    typed = str(text).strip()
    if not typed:
        return 0
    plain = typed.isascii() and typed.isdigit() and len(typed) <= 4
    if not plain or int(typed) > MOST_HANDS:
        key = "class_view.hands.count"
        raise BadValue(key, value=typed[:LONGEST], limit=MOST_HANDS, answer=answer)
    return int(typed)


def complete(rows):
    """True where every answer has its number of hands in the first vote.

    Args:
        rows: rows of three texts.
    """
    return all(row[1].strip() for row in rows if row[0].strip())


def likely(variant):
    """Answers worth asking for a show of hands, the right one among them, in no telling order.

    Args:
        variant: the ``Variant``.

    Returns:
        Tuple of texts, ``MOST_ROWS`` at most.
    """
    task = variant.task
    if task.kind == "choice":
        return tuple(checking.options_of(variant).values())[:MOST_ROWS]
    right = _right(variant)
    if task.kind in _BUILT:
        return (right, word("class_view.hands.another"))
    values = [value for _, value in checking.wrong_values(variant)]
    wrong = [value for value in dict.fromkeys(values) if value != right][: MOST_ROWS - 2]
    return (*sorted({right, *wrong}), word("class_view.hands.another"))


def _right(variant):
    if variant.task.kind in _BUILT:
        return word("class_view.hands.right")
    return checking.answer_in_words(variant)[:LONGEST]


def votes(variant, rows, place):
    """Votes that hands stand for, so that they are counted as those of seats are.

    Args:
        variant: the ``Variant``.
        rows: rows of three texts.
        place: 1 for the first vote, 2 for the second.

    Returns:
        List of ``live.Vote``, of no seat.

    Raises:
        BadValue: a number of hands that cannot be, or more than ``MOST_HANDS`` in all.
    """
    found = []
    for row in rows:
        label = row[0].strip()
        count = read_count(row[place], label)
        if count and not label:
            raise BadValue("class_view.hands.no_answer", value=count, limit=LONGEST)
        if count:
            found += [_judged(variant, label)] * count
    if len(found) > MOST_HANDS:
        raise BadValue("class_view.hands.many", value=len(found), limit=MOST_HANDS)
    return found


def _judged(variant, label):
    """The vote that one hand for an answer is."""
    if label == _right(variant):
        return live.Vote(0, label, "right", (), True, label)
    if variant.task.kind in _BUILT:
        return live.Vote(0, label, "unknown", (), False, label)
    typed = label
    if variant.task.kind == "choice":
        options = checking.options_of(variant).items()
        typed = next((name for name, text in options if text[:LONGEST] == label), label)
    cast = live.vote(variant, typed)
    return cast._replace(label=cast.label or label)
