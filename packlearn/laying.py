"""Laying the notebooks into the learner's own folder, never over what they changed.

A small list in the folder, ``.packlearn.json``, remembers what was laid. A copy
whose cells are as they were laid follows a newer version; a changed one is kept,
and the newer version is laid beside it.
"""

import functools
import hashlib
import json
import os
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from packlearn import notebooks, places
from packlearn.errors import BadFile, PackError
from packlearn.words import say, word

LIST = ".packlearn.json"


class BadFolder(PackError, OSError):
    """A folder that cannot hold the learner's notebooks."""


@dataclass(frozen=True)
class Stamp:
    """Fingerprints of one file: of all of it, and of what stands in its cells."""

    file: str
    sources: str


@dataclass(frozen=True)
class Laid:
    """What became of one notebook.

    ``state`` is "laid" (new or newer), "same" (nothing to do) or "kept" (the
    learner's own is left alone, ``beside`` names the newer one laid beside it, if any).
    """

    name: str
    state: str
    beside: str = ""
    readable: bool = True


@dataclass(frozen=True)
class Report:
    """What became of all notebooks, and whether the list had to be started anew."""

    items: tuple
    list_damaged: str = ""

    def sentences(self):
        """Say what the learner should know; nothing where all went as usual."""
        said = []
        if self.list_damaged:
            said.append(say("command.laying.list_damaged", kept=self.list_damaged))
        for item in self.items:
            if not item.readable:
                said.append(say("command.laying.unreadable", name=item.name, beside=item.beside))
            elif item.beside:
                said.append(say("command.laying.beside", name=item.name, beside=item.beside))
        return said


def shipped(mode):
    """List the files that travel with packlearn.

    Args:
        mode: "learn", or "teach" for the teacher's guides and the pages of a live class as well.

    Returns:
        name in the learner's folder, with ``/`` -> path of the file.

    Raises:
        BadFile: the lessons or exercises are not there.
    """
    lessons, exercises = places.lessons_folder(), places.exercises_folder()
    found = {f"lessons/{path.name}": path for path in sorted(lessons.glob("*.ipynb"))}
    if not found:
        raise BadFile("command.places.empty", value=str(lessons))
    found |= {f"exercises/{path.name}": path for path in sorted(exercises.glob("*.ipynb"))}
    if mode == "teach":
        guides = sorted((lessons / "guides").glob("*.md"))
        guides += sorted((lessons / "class").glob("*.md"))
        # How to write tasks, with the examples it speaks of.
        guides += sorted((exercises / "guides").glob("*.md"))
        guides += sorted((exercises / "guides").glob("*.toml"))
        found |= {f"guides/{path.name}": path for path in guides}
        live = sorted((lessons / "class").glob("*.ipynb"))
        found |= {f"class/{path.name}": path for path in live}
    return found


@functools.cache
def notebook_of(page):
    """The notebook that shows the questions of a page.

    Args:
        page: name of a page of the bank, such as ``lesson-3``, or of a teacher's own.

    Returns:
        Its name in the learner's folder, with ``/``; "" where there is none.
    """
    lesson = page.partition("lesson-")[2]
    shows = f'TaskPage(\\"{page}\\")' if not lesson else f"Opening(lesson={lesson},"
    if page.startswith("own/"):
        shows = "OwnTasks("
    found = (name for name, path in shipped("learn").items() if shows in path.read_text("utf-8"))
    return next(found, "")


def prepare(folder, sources=()):
    """Make the learner's folder if need be, and see that it can be written to.

    Args:
        folder: the folder.
        sources: folders that must not be written to, such as the lessons of a checkout.

    Returns:
        The folder as an absolute path.

    Raises:
        BadFolder: it is a file, cannot be made or written to, or holds the originals.
    """
    folder = Path(folder).expanduser().absolute()
    if folder.exists() and not folder.is_dir():
        raise BadFolder("command.folder.is_file", value=str(folder))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe = folder / f"{LIST}.new"
        probe.write_bytes(b"")
        probe.unlink()
    except OSError as error:
        raise _not_writable(folder, error) from error
    if any((folder / path.name).resolve() == path.resolve() for path in sources):
        raise BadFolder("command.folder.originals", value=str(folder))
    return folder


def _not_writable(path, error):
    return BadFolder("command.folder.not_writable", value=str(path), reason=error.strerror)


def lay(files, folder):
    """Copy files into the learner's folder; what the learner changed stays.

    Args:
        files: name in the folder -> path of the shipped file.
        folder: the learner's folder, as ``prepare`` returns it.

    Returns:
        A Report.

    Raises:
        BadFolder: a file cannot be written.
        BadFile: a shipped notebook is damaged.
    """
    try:
        stamps, damaged = _read_list(folder)
        items = tuple(_lay(name, path, folder, stamps) for name, path in files.items())
        _write(folder / LIST, _list_text(stamps).encode("utf-8"))
    except OSError as error:
        raise _not_writable(error.filename or folder, error) from error
    return Report(items, damaged)


def _lay(name, path, folder, stamps):
    data = path.read_bytes()
    new = _stamp(path.name, data)
    if new is None:
        notebooks.read(path)
    old, copy = stamps.get(name), folder / name
    state = _state(copy, old, new)
    if state in ("missing", "ours"):
        _write(copy, data)
    if state in ("missing", "ours", "same"):
        stamps[name] = new
        return Laid(name, "same" if state == "same" else "laid")
    readable = state == "edited"
    if readable and old is not None and old.file == new.file:
        return Laid(name, "kept")
    beside = _lay_beside(name, data, new, folder, stamps)
    # The fingerprint of the cells stays: it tells when the learner went back to them.
    stamps[name] = Stamp(new.file, old.sources if old else "")
    return Laid(name, "kept", beside, readable)


def _state(copy, old, new):
    """Tell what a copy is: missing, same, ours (to be renewed), edited or unreadable."""
    if not copy.exists():
        return "missing"
    data = _bytes(copy)
    there = None if data is None else _stamp(copy.name, data)
    if there is None:
        return "unreadable"
    if there.file == new.file:
        return "same"
    if there.sources == new.sources:
        # Run and saved by the learner: nothing to renew while the original is the one laid.
        return "same" if old and old.file == new.file else "ours"
    return "ours" if old and there.sources == old.sources else "edited"


def _lay_beside(name, data, new, folder, stamps):
    number = 1
    while True:
        beside = _beside(name, number)
        state = _state(folder / beside, stamps.get(beside), new)
        if state in ("missing", "ours", "same"):
            break
        number += 1
    if state != "same":
        _write(folder / beside, data)
    stamps[beside] = new
    return beside


def _beside(name, number):
    stem, dot, suffix = name.rpartition(".")
    mark = word("command.laying.new") if number == 1 else f"{word('command.laying.new')} {number}"
    return f"{stem} ({mark}){dot}{suffix}"


def _stamp(name, data):
    try:
        if name.endswith(".ipynb"):
            sources = notebooks.sources_digest(notebooks.parse(data))
        else:
            sources = _digest(data.replace(b"\r\n", b"\n"))
    except ValueError:
        return None
    return Stamp(_digest(data), sources)


def _digest(data):
    return hashlib.sha256(data).hexdigest()


def _read_list(folder):
    path = folder / LIST
    try:
        laid = json.loads(path.read_text(encoding="utf-8"))["laid"]
        return {name: Stamp(**stamp) for name, stamp in laid.items()}, ""
    except FileNotFoundError:
        return {}, ""
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        kept = f"{LIST}.damaged"
        path.replace(folder / kept)
        return {}, kept


def _list_text(stamps):
    laid = {name: vars(stamp) for name, stamp in sorted(stamps.items())}
    return json.dumps({"laid": laid}, ensure_ascii=False, indent=1) + "\n"


def _write(path, data):
    # First beside, then in one step to its place: a full disk leaves the old file whole.
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(data)
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)


def trust(report, files, folder):
    """Sign the copies that are byte for byte what was shipped, so that they may run.

    Args:
        report: what ``lay`` returned.
        files: name in the folder -> path of the shipped file.
        folder: the learner's folder.

    Returns:
        The names signed. A changed file is never signed: it may hold anything.
    """
    import nbformat
    from nbformat.sign import NotebookNotary

    notary, signed = NotebookNotary(), []
    # Its database; not every nbformat has a notary that closes it by itself.
    with closing(notary.store):
        for item in report.items:
            for name in filter(None, (item.name, item.beside)):
                copy = folder / name
                if copy.suffix == ".ipynb" and _bytes(copy) == files[item.name].read_bytes():
                    notary.sign(nbformat.read(copy, as_version=4))
                    signed.append(name)
    return signed


def _bytes(path):
    try:
        return path.read_bytes()
    except OSError:
        return None
