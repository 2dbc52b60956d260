"""Every file of a folder, its sub-folders and its zip files; nothing is unpacked to the disk."""

import os
import stat
import zipfile
from pathlib import Path

from packlearn.classroom.answer_files import LARGEST
from packlearn.errors import BadFile
from packlearn.words import say

IN_ZIP = " / "
"""Stands between the name of a zip file and that of a file in it."""

MOST_FILES = 20_000
"""Files that are looked at, those in zip files too."""
LARGEST_ZIP = 50_000_000
MOST_IN_ZIP = 5000
_MOST_UNPACKED = 200_000_000
_LONGEST_NAME = 120


def collect(folder):
    """Bytes of every file, in the order of their names.

    Args:
        folder: the folder.

    Yields:
        pairs: the name as it may be shown, and the bytes; a str, one short line, in place of
        the bytes where they cannot be had.

    Raises:
        BadFile: there is no such folder.
    """
    folder = Path(folder).expanduser()
    if not folder.is_dir():
        raise BadFile("classroom.collect.no_folder", value=str(folder))
    for count, (name, content) in enumerate(_all(folder)):
        if count >= MOST_FILES:
            yield shown(folder.name), say("classroom.collect.many", limit=MOST_FILES)
            return
        yield name, content


def shown(name):
    """A file's name as one line that hides nothing.

    Args:
        name: the name, which may hold anything.
    """
    text = "".join(sign if sign.isprintable() else "\ufffd" for sign in name)
    return text if len(text) <= _LONGEST_NAME else f"...{text[-_LONGEST_NAME:]}"


def _all(folder):
    # Links are not followed: they may lead anywhere, or round in a circle.
    for place, folders, files in os.walk(folder, followlinks=False):
        folders.sort()
        for file in sorted(files):
            path = Path(place, file)
            name = shown(os.path.relpath(path, folder))
            data = _bytes(path)
            # Told by what is in it: a zip file may have any name.
            if isinstance(data, bytes) and data.startswith((b"PK\x03\x04", b"PK\x05\x06")):
                yield from _in_zip(name, path)
            else:
                yield name, data


def _bytes(path):
    try:
        kind = path.lstat()
        if not stat.S_ISREG(kind.st_mode):
            return say("classroom.collect.no_file")
        with path.open("rb") as file:
            # One more than an answer file may have is enough to tell that it is none.
            return file.read(LARGEST + 1)
    except OSError as error:
        return say("classroom.collect.unreadable", reason=error.strerror or type(error).__name__)


def _in_zip(name, path):
    try:
        if path.stat().st_size > LARGEST_ZIP:
            yield name, say("classroom.collect.zip_large", limit=LARGEST_ZIP // 1_000_000)
            return
        with zipfile.ZipFile(path) as packed:
            yield from _members(name, packed)
    except Exception:
        # A damaged or hostile zip file makes the reader of Python raise nearly anything.
        yield name, say("classroom.collect.zip_damaged")


def _members(name, packed):
    left = _MOST_UNPACKED
    members = [each for each in packed.infolist() if not each.filename.endswith("/")]
    for member in members[:MOST_IN_ZIP]:
        inside = f"{name}{IN_ZIP}{shown(member.filename)}"
        data = _unpacked(packed, member, min(left, LARGEST + 1))
        left -= len(data) if isinstance(data, bytes) else 0
        if left <= 0:
            yield name, say("classroom.collect.zip_bomb", limit=_MOST_UNPACKED // 1_000_000)
            return
        if isinstance(data, bytes) and data.startswith(b"PK\x03\x04"):
            data = say("classroom.collect.zip_in_zip")
        yield inside, data
    if len(members) > MOST_IN_ZIP:
        yield name, say("classroom.collect.many", limit=MOST_IN_ZIP)


def _unpacked(packed, member, most):
    """Bytes of one file in a zip file; never more than asked for, whatever its entry says."""
    try:
        with packed.open(member) as file:
            return file.read(most)
    except Exception:
        return say("classroom.collect.member_damaged")
