"""The file in which a learner's own device is kept, so that nothing typed is ever lost."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field, replace

from packlearn.panels.bench_keeping import NotKept, digest, write_whole
from packlearn.places import learner_folder
from packlearn.tasks.devices import FIELDS, start_texts
from packlearn.words import say

FORM = 1
LONGEST_KEPT = 400
LARGEST_FILE = 64_000
LARGEST_COUNT = 999
# Half of a surrogate pair fits into no file; control signs would swell it when they are escaped.
_UNKEPT = re.compile("[\x00-\x1f\x7f\ud800-\udfff]")


def keepable(text):
    """What is kept of a typed text: bounded, and with no sign that a file cannot hold.

    Args:
        text: the text; it may hold anything.
    """
    return _UNKEPT.sub("\ufffd", text[:LONGEST_KEPT])


@dataclass(frozen=True)
class Kept:
    """What is kept of an own device.

    Attributes:
        typed: dict of field -> text, as it stands in the boxes.
        before: what stood there before a ready device was filled in, or None.
        pick: name of a cell, series and parallel count of the chosen pack, or None.
        stop: name of the stop one was at.
    """

    typed: dict = field(default_factory=start_texts)
    before: dict | None = None
    pick: tuple | None = None
    stop: str = "device"

    def text(self):
        """The state as text."""
        data = {"own_pack": FORM, "typed": self.typed, "before": self.before}
        data |= {"pick": self.pick and list(self.pick), "stop": self.stop}
        return json.dumps(data, ensure_ascii=False) + "\n"


def kept_of(text):
    """State of a text.

    Args:
        text: the text; it may hold anything.

    Returns:
        ``Kept``; None where it is damaged.
    """
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        return None
    if not isinstance(data, dict) or data.get("own_pack") != FORM:
        return None
    typed, before = (_texts(data.get(name)) for name in ("typed", "before"))
    pick, stop = data.get("pick"), data.get("stop")
    if typed is None or not isinstance(stop, str) or not (pick is None or _is_pick(pick)):
        return None
    return Kept(start_texts() | typed, before, pick and tuple(pick), stop[:40])


def _texts(entry):
    if not isinstance(entry, dict):
        return None
    known = {name: text for name, text in entry.items() if name in FIELDS}
    good = all(isinstance(text, str) and len(text) <= LONGEST_KEPT for text in known.values())
    return known if good else None


def _is_pick(pick):
    if not isinstance(pick, list) or len(pick) != 3 or not isinstance(pick[0], str):
        return False
    return all(type(count) is int and 1 <= count <= LARGEST_COUNT for count in pick[1:])


class DeviceFile:
    """The file of one learner's device: in the learner's folder, one for each seat.

    Two windows may write to it: a field that only one of them changed keeps that change; where
    both changed the same one, what the other window wrote is put aside under another name.

    Args:
        seat: code of the learner's seat; empty when learning alone.
    """

    def __init__(self, seat=""):
        name = "-".join(["own-pack", *([digest(seat)] if seat else [])])
        self.path = learner_folder() / "own-pack" / f"{name}.json"
        self.base, self.blocked = None, False

    def read(self):
        """The state kept, and what went wrong.

        Returns:
            ``Kept`` and a sentence, empty where all went well. A damaged file is put aside under
            another name, never lost.
        """
        kept, trouble = self._on_disk()
        self.base = kept or Kept()
        return self.base, trouble

    def _on_disk(self):
        try:
            with open(self.path, "rb") as file:
                kept = kept_of(file.read(LARGEST_FILE).decode("utf-8"))
        except (FileNotFoundError, NotADirectoryError):
            return None, ""
        except (OSError, UnicodeDecodeError):
            kept = None
        return (kept, "") if kept else (None, self._put_aside("damaged"))

    def _put_aside(self, ending):
        number = 1
        while (aside := self.path.with_suffix(f".{ending}-{number}")).exists():
            number += 1
        try:
            self.path.replace(aside)
        except OSError:
            # Then nothing is written over it either.
            self.blocked = True
            return say("own_pack.keeping.blocked", path=self.path.name)
        return say(f"own_pack.keeping.{ending}", path=aside.name)

    def write(self, kept):
        """Write a state, in one step, together with what another window has changed meanwhile.

        Args:
            kept: the ``Kept``.

        Returns:
            The ``Kept`` that stands in the file now, and a sentence on what was put aside.

        Raises:
            NotKept: it cannot be written; the message names folder and reason.
        """
        other, trouble = self._on_disk()
        if other and self.base and other != self.base:
            kept, clash = _both(self.base, kept, other)
            trouble = self._put_aside("other") if clash else trouble
        if self.blocked:
            raise NotKept("own_pack.keeping.not_kept", value=str(self.path), reason=trouble)
        write_whole(self.path, kept.text())
        self.base = kept
        return kept, trouble


def _both(base, mine, other):
    """Changes of two windows as one state, and whether both changed the same field."""
    typed, clash = dict(mine.typed), False
    for name, text in other.typed.items():
        theirs = text != base.typed.get(name)
        ours = mine.typed.get(name) != base.typed.get(name)
        clash = clash or (theirs and ours and text != mine.typed.get(name))
        if theirs and not ours:
            typed[name] = text
    pick = other.pick if mine.pick == base.pick else mine.pick
    return replace(mine, typed=typed, pick=pick), clash
