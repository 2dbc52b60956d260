"""Files in which a wiring bench and readings are kept, so that a restart loses nothing."""

import hashlib
import json
import os
import re
from dataclasses import dataclass

from packlearn import places
from packlearn.errors import BadFile, BadValue, PackError
from packlearn.places import learner_folder
from packlearn.wiring import Wiring
from packlearn.wiring_text import (
    LONGEST_TEXT,
    check_form,
    damaged,
    from_data,
    json_of,
    table,
    to_data,
    to_text,
)
from packlearn.words import say

FORM = 1
METERS = ("off", "V", "A")
LONGEST_TYPED = 60
_KEYS = ("bench", "wiring", "red_probe", "black_probe", "meter", "load")
_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")


class NotKept(PackError, OSError):
    """A state cannot be written to its file."""


@dataclass(frozen=True)
class BenchState:
    """What lies on a bench.

    Attributes:
        wiring: the ``Wiring``.
        red, black: contacts the meter's probes touch; None where one lies aside.
        meter: "off", "V" or "A".
        load: the load as it was typed; empty for none.
    """

    wiring: Wiring
    red: str | None = None
    black: str | None = None
    meter: str = "off"
    load: str = ""

    def text(self):
        """The state as text."""
        data = {
            "bench": FORM,
            "wiring": to_data(self.wiring),
            "red_probe": self.red,
            "black_probe": self.black,
            "meter": self.meter,
            "load": self.load,
        }
        return json.dumps(data, ensure_ascii=False) + "\n"


def state_of(text, start):
    """State of a text.

    Args:
        text: the text; it may hold anything.
        start: the ``Wiring`` the bench begins with; the places must be the same.

    Returns:
        ``BenchState``.

    Raises:
        BadFile: damaged, or of another holder; the message names place, value and mend.
    """
    data = json_of(text)
    check_form(data, "bench", FORM)
    table(data, "bench", _KEYS, _KEYS)
    wiring = from_data(data["wiring"])
    if wiring.contacts != start.contacts:
        raise damaged("wiring", ", ".join(wiring.contacts), "holder")
    for probe in ("red_probe", "black_probe"):
        if data[probe] is not None and data[probe] not in wiring.contacts:
            raise damaged(probe, data[probe], "contact")
    if data["meter"] not in METERS:
        raise damaged("meter", data["meter"], "meter", meters=", ".join(METERS))
    if not isinstance(data["load"], str) or len(data["load"]) > LONGEST_TYPED:
        raise damaged("load", data["load"], "plain")
    return BenchState(wiring, *(data[key] for key in _KEYS[2:]))


class BenchFile:
    """The file of one bench: in the learner's folder, one for each name, start and seat.

    Args:
        name: name of the bench: small letters, digits and hyphens.
        start: the ``Wiring`` it begins with. Another start is another bench.
        seat: code of the learner's seat; empty when learning alone.

    Raises:
        BadValue: no such name.
    """

    def __init__(self, name, start, seat=""):
        if not isinstance(name, str) or not _NAME.fullmatch(name):
            raise BadValue("bench.panel.name", value=repr(name)[:60])
        self.name, self.start = name, start
        marks = [digest(to_text(start)), *([digest(seat)] if seat else [])]
        self.path = learner_folder() / "benches" / f"{'-'.join([name, *marks])}.json"
        self.blocked = False

    def read(self):
        """The state kept, and what went wrong.

        Returns:
            ``BenchState`` or None, and a sentence, empty where all went well. A damaged file is
            put aside under another name, never lost.
        """
        try:
            with open(self.path, "rb") as file:
                text = file.read(4 * LONGEST_TEXT).decode("utf-8")
            return state_of(text, self.start), ""
        except (FileNotFoundError, NotADirectoryError):
            return None, ""
        except (OSError, UnicodeDecodeError, BadFile) as trouble:
            return None, self._put_aside(trouble)

    def _put_aside(self, trouble):
        told = str(trouble) if isinstance(trouble, BadFile) else type(trouble).__name__
        number = 1
        while (aside := self.path.with_suffix(f".damaged-{number}")).exists():
            number += 1
        try:
            os.replace(self.path, aside)
        except OSError:
            # Then nothing is written over it either.
            self.blocked = True
            return say("bench.panel.blocked", path=self.path.name, told=told)
        return say("bench.panel.damaged", path=aside.name, told=told)

    def write(self, state):
        """Write a state, in one step: a full disk leaves the old file whole.

        Args:
            state: a ``BenchState``.

        Raises:
            NotKept: the file cannot be written.
        """
        if not self.blocked:
            write_whole(self.path, state.text())


class LineFile:
    """The file of one line of text, such as the readings of a task: in the learner's folder.

    Args:
        name: name of the file, without its ending: small letters, digits and hyphens.
        seat: code of the learner's seat; empty when learning alone.
    """

    def __init__(self, name, seat=""):
        marks = [digest(seat)] if seat else []
        self.path = learner_folder() / "benches" / f"{'-'.join([name, *marks])}.txt"

    def read(self):
        """The line kept; empty where there is none that can be read."""
        try:
            with open(self.path, "rb") as file:
                return file.read(LONGEST_TEXT).decode("utf-8").strip()
        except (OSError, UnicodeDecodeError):
            return ""

    def write(self, line):
        """Write the line, in one step.

        Args:
            line: the text.

        Raises:
            NotKept: the file cannot be written.
        """
        write_whole(self.path, line + "\n")


def beginning_of_example(skill):
    """What the name of the file of a worked example begins with.

    Args:
        skill: id of its skill.
    """
    return f"example-{skill[:20]}-"


def write_whole(path, text):
    """Write a file in one step: a full disk leaves the old one whole.

    Args:
        path: the file.
        text: what it holds then.

    Raises:
        NotKept: it cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # Half of a surrogate pair, typed somewhere, fits into no file.
        places.write_whole(path, text.encode("utf-8", "replace"))
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise NotKept("bench.panel.not_kept", value=str(path.parent), reason=reason) from error


def forget(beginnings, seat=""):
    """Delete the files of benches and lines, and what was put aside of them.

    Args:
        beginnings: what their names begin with, up to a number.
        seat: code of the learner's seat; files of other seats stay.

    Raises:
        NotKept: one cannot be deleted.
    """
    mark = f"-{digest(seat)}" if seat else ""
    wanted = re.compile(rf"\d+(-[0-9a-f]{{12}}{mark}\.(json|damaged-\d+)|{mark}\.txt)")
    for path in sorted((learner_folder() / "benches").glob("*")):
        for beginning in beginnings:
            rest = path.name.removeprefix(beginning)
            if rest != path.name and wanted.fullmatch(rest):
                _delete(path)


def _delete(path):
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise NotKept("bench.panel.not_deleted", value=path.name, reason=reason) from error


def digest(text):
    """Twelve letters and figures that stand for a text in the name of a file."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:12]
