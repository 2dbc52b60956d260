"""Answer files: what a learner hands in, one JSON object a line, and its careful reader.

The first line names class and seat, then comes one line for each locked prediction, and the last
line says how many there were, so that a file that was cut off is noticed::

    {"packlearn answers": 1, "class": "HEDGE7", "seat": 4, "saved at": "2026-03-01T12:00:00Z"}
    {"page": "predict-the-pack", "task": "lantern-volts", "variant": 376803139048000,
     "attempt": 1, "typed": "6,2 V", "confidence": "think", "locked at": "2026-03-01T11:50:12Z"}
    {"answers": 1}

(Each on one line.) There is no name in it, and no mark: what is right is worked out again from
class and seat. A file may come from anybody: everything in it is bounded and checked.
"""

import json
import os
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from packlearn.classroom import seats
from packlearn.errors import BadFile
from packlearn.records import CONFIDENCES, RecordsTrouble
from packlearn.records.shapes import LENGTHS

FORMAT = 1
LARGEST = 2_000_000
"""Bytes of an answer file; more is no answer file. A year's 5000 answers take 1.2 MB."""
MOST_ANSWERS = 8000
_LONGEST_LINE = 8000
_LARGEST_NUMBER = 2**53
_LONGEST_TIME = 40

_MARK = "packlearn answers"
_NAMES = ("page", "task", "variant", "attempt", "typed", "confidence")
_UNSTORABLE = re.compile("[\x00\ud800-\udfff]")


class Answer(NamedTuple):
    """One answer as it stands in a file.

    Attributes:
        page: page of the task.
        task: id of the task.
        variant: number of the variant.
        attempt: 1 for the first try.
        typed: the answer as typed.
        confidence: ``guess``, ``think`` or ``sure``.
        locked_at: when it was locked, as text.
    """

    page: str
    task: str
    variant: int
    attempt: int
    typed: str
    confidence: str
    locked_at: str


@dataclass(frozen=True)
class AnswerFile:
    """What was read of a file.

    Attributes:
        code: class code, "" where somebody learned alone.
        seat: seat, 0 where somebody learned alone.
        saved_at: when it was saved, as text.
        answers: tuple of ``Answer``.
        unread: how many lines could not be read.
        cut: True where its end is missing.
    """

    code: str
    seat: int
    saved_at: str
    answers: tuple
    unread: int = 0
    cut: bool = False


def file_name(seat=""):
    """Name for the answer file of a seat.

    Args:
        seat: the seat's text, or "" when learning alone.
    """
    where = seats.parted(seat)
    return f"answers-{where[0]}-{where[1]:02d}.jsonl" if where else "answers.jsonl"


def save(records, seat, target):
    """Write the answer file of a seat.

    Args:
        records: the ``Records``.
        seat: the seat's text, or "" when learning alone.
        target: path of the file; it is replaced.

    Returns:
        How many answers are in it.

    Raises:
        RecordsTrouble: the records cannot be read, or the file cannot be written.
    """
    locked = [entry.locked for entry in records.all(seat)]
    code, number = seats.parted(seat) or ("", 0)
    head = {_MARK: FORMAT, "class": code, "seat": number, "saved at": _moment(datetime.now(UTC))}
    lines = [head, *map(_line, locked), {"answers": len(locked)}]
    text = "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines)
    target = Path(target)
    part = target.with_name(f".{target.name}.part")
    try:
        # First beside, then in one step to its place: a full disk leaves the old file whole.
        part.write_bytes(text.encode("utf-8"))
        os.replace(part, target)
    except OSError as error:
        raise RecordsTrouble("classroom.file.not_written", place=str(target)) from error
    finally:
        part.unlink(missing_ok=True)
    return len(locked)


def _line(locked):
    line = {name: getattr(locked, name) for name in _NAMES}
    return line | {"locked at": _moment(locked.locked_at)}


def _moment(when):
    return f"{when.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"


def read(data):
    """Answer file from its bytes.

    Args:
        data: bytes from anywhere.

    Returns:
        ``AnswerFile``.

    Raises:
        BadFile: it is none; the message is one short line.
    """
    if len(data) > LARGEST:
        raise BadFile("classroom.file.large", limit=LARGEST // 1_000_000)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadFile("classroom.file.encoding") from None
    # Only as JSON takes it: str.splitlines would split at signs that may stand in a text.
    lines = text.split("\n")
    head = _object(lines[0])
    if head is None or _MARK not in head:
        raise BadFile("classroom.file.none")
    if head[_MARK] != FORMAT or isinstance(head[_MARK], bool):
        raise BadFile("classroom.file.version", value=_short(head[_MARK]), limit=FORMAT)
    code, seat = _place(head)
    answers, unread, told = _answers(lines[1:])
    cut = told is None or told > len(answers) + unread
    return AnswerFile(code, seat, _text(head.get("saved at"))[:_LONGEST_TIME], answers, unread, cut)


def _answers(lines):
    """Answers, lines that are none, and the number told at the end, None without an end."""
    answers, unread, told = [], 0, None
    for line in lines:
        if not line.strip():
            continue
        found = _object(line)
        if found is not None and set(found) == {"answers"} and _whole(found["answers"], 0):
            told = found["answers"]
            break
        answer = _answer(found) if found is not None and len(answers) < MOST_ANSWERS else None
        if answer is None:
            unread += 1
        else:
            answers.append(answer)
    return tuple(answers), unread, told


def _place(head):
    code, seat = head.get("class"), head.get("seat")
    if code == "" and seat == 0:
        return "", 0
    if not isinstance(code, str) or not seats.parted(
        f"{code}-{seat:02d}" if _whole(seat, 1) else ""
    ):
        raise BadFile("classroom.file.seat", value=_short(code), limit=_short(seat))
    return code, seat


def _object(line):
    """The JSON object of a line; None for anything else, however odd."""
    if len(line) > _LONGEST_LINE:
        return None
    try:
        found = json.loads(line)
    # Too deep, or a number of too many figures, is no line of ours either.
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None


def _answer(found):
    locked_at = _text(found.get("locked at"))
    page, task, variant, attempt, typed, confidence = (found.get(name) for name in _NAMES)
    texts = {"page": page, "task": task, "typed": typed}
    good = (
        all(isinstance(text, str) and len(text) <= LENGTHS[name] for name, text in texts.items())
        and _whole(variant, 0)
        and _whole(attempt, 1)
        and confidence in CONFIDENCES
    )
    if not good:
        return None
    # As the records would keep it.
    typed = _UNSTORABLE.sub("\ufffd", typed)
    return Answer(page, task, variant, attempt, typed, confidence, locked_at[:_LONGEST_TIME])


def _whole(value, low):
    return type(value) is int and low <= value < _LARGEST_NUMBER


def _text(value):
    return _UNSTORABLE.sub("\ufffd", value) if isinstance(value, str) else ""


def _short(value):
    """A value of any kind, as a few signs that can be shown."""
    if type(value) is int and abs(value) >= _LARGEST_NUMBER:
        return "?"
    text = value if isinstance(value, str) else json.dumps(value)
    return "".join(sign if sign.isprintable() else "\ufffd" for sign in text[:_LONGEST_TIME])
