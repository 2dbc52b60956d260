"""The task bank: plain text files, one a page. No answer is stored in them."""

import functools
import hashlib
import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

from packlearn.errors import BadFile, UnknownName
from packlearn.places import exercises_folder, learner_folder, lessons_folder
from packlearn.tasks import bank_checks, form_slips, page_checks
from packlearn.tasks.answers import ASKED
from packlearn.tasks.file_lines import FileLines
from packlearn.words import say

LARGEST_FILE = 200_000
# tomllib takes minutes over a name of so many parts.
_DEEP = re.compile(r"""(?<![\w"'-])(?:[\w"'-]+[ \t]*\.[ \t]*){100}""")
# Names of pages of a teacher's own begin so, and none of the shipped ones does.
OWN = "own/"
LONGEST_NAME = 100


@dataclass(frozen=True)
class Task:
    """One task as it stands in its file.

    Attributes:
        page: name of the page it belongs to.
        id: its name within the page.
        skill: the one skill it trains.
        asked: what it asks for, a key of ``ASKED``.
        text: the question, with ``{fields}`` for its givens.
        picture: name of the picture that goes with it, or ``""``.
        cells: names of the cells it may be about.
        sources: name of a given -> where its number comes from.
        where: formulas that must hold.
        attempts: how many predictions it takes before the reveal.
        after: sentence shown at the reveal, beside the working, or ``""``.
        opening: numbers of variant 0, the one a lesson tells about.
        level: ``led`` (formula and first step are shown), ``plain`` or ``open``.
        may_miss: names of figures, one of which some variants of an open task do not tell.
    """

    page: str
    id: str
    skill: str
    asked: str
    text: str
    picture: str = ""
    cells: tuple = ()
    sources: dict = field(default_factory=dict)
    where: tuple = ()
    attempts: int = 2
    after: str = ""
    opening: dict = field(default_factory=dict)
    level: str = "plain"
    may_miss: tuple = ()

    def __hash__(self):
        # Tasks are keys of what is kept of them.
        return hash((self.page, self.id))

    @property
    def stamp(self):
        """Fingerprint of what a teacher's own task asks, which may change; else ``""``."""
        if not self.page.startswith(OWN):
            return ""
        return hashlib.sha256(f"{self.asked} {self.text}".encode()).hexdigest()[:8]

    @property
    def kind(self):
        """Kind of answer, such as ``number``; see ``Asked``."""
        return ASKED[self.asked].kind

    @property
    def unit(self):
        """Unit of the answer, ``""`` where it has none."""
        return ASKED[self.asked].unit


@dataclass(frozen=True)
class Round:
    """One round of a lesson.

    Attributes:
        id: its name within the page.
        tasks: ids of its tasks, in order.
        invite: sentences that invite to try something with the sliders.
        explain: sentences that say why; shown after the questions only.
        alone: True where it is worked without help, sliders closed.
    """

    id: str
    tasks: tuple
    invite: tuple
    explain: tuple
    alone: bool = False


@dataclass(frozen=True)
class Page:
    """One page of tasks.

    Attributes:
        name: name of its file without the ending.
        title: title for the learner.
        intro: a sentence or two for the learner.
        tasks: its tasks, in order.
        rounds: its rounds, where it belongs to a lesson.
    """

    name: str
    title: str
    intro: str
    tasks: tuple
    rounds: tuple = ()

    def task(self, task_id):
        """The task of an id.

        Raises:
            UnknownName: no such task; the message lists the page's tasks.
        """
        return _named(self.tasks, task_id, "tasks.bank.no_task")

    def round(self, round_id):
        """The round of an id.

        Raises:
            UnknownName: no such round; the message lists the page's rounds.
        """
        return _named(self.rounds, round_id, "tasks.bank.no_round")


def _named(entries, wanted, key):
    for entry in entries:
        if entry.id == wanted:
            return entry
    known = ", ".join(entry.id for entry in entries)
    raise UnknownName(key, value=str(wanted)[:60], limit=known)


def page(name):
    """Page of the shipped bank, or of a teacher's own task file.

    Args:
        name: such as ``"predict-the-pack"``, or ``"own/NAME"`` for ``NAME.toml`` in
            ``own_folder()``, which is read anew once it has changed.

    Raises:
        UnknownName: no such page; the message lists the pages.
        BadFile: a teacher's own file has a mistake in it.
    """
    return _own(name) if str(name).startswith(OWN) else _shipped(name)


@functools.cache
def _shipped(name):
    files = pages()
    if name not in files:
        raise UnknownName("tasks.bank.no_page", value=str(name)[:60], limit=", ".join(files))
    return read_page(files[name])


def _own(name):
    # Looked up among the files that are there; a name never makes a path.
    path = own_pages().get(name)
    if path is None:
        raise UnknownName("tasks.bank.no_own", value=name[:60], limit=str(own_folder()))
    for trouble in wrong_name(name):
        raise trouble
    state = path.stat()
    return _own_page(name, path, state.st_mtime_ns, state.st_size)


def wrong_name(name):
    """What is wrong with the name of an own page, which the records keep: a ``BadFile`` or nothing.

    Args:
        name: such as ``"own/NAME"``.
    """
    if len(name) > LONGEST_NAME or not name.isprintable():
        stem = ascii(name.removeprefix(OWN)[:40])
        yield BadFile("tasks.bank.file_name", value=stem, limit=LONGEST_NAME - 10)


@functools.lru_cache(maxsize=64)
def _own_page(name, path, *_):
    return read_page(path, name)


def own_folder():
    """Folder of a teacher's own task files, in the learner's folder; it may not be there."""
    return learner_folder() / "own-tasks"


def own_pages():
    """A teacher's own task files: dict of page name, such as ``"own/NAME"``, -> path."""
    try:
        found = sorted(own_folder().glob("*.toml"))
    except OSError:
        # Of a folder that cannot be looked into there are none.
        found = []
    return {f"{OWN}{path.stem}": path for path in found if path.is_file()}


def pages():
    """Files of the shipped bank: dict of page name -> path."""
    folders = lessons_folder(), exercises_folder()
    found = (path for folder in folders for path in sorted(folder.glob("*.toml")))
    return {path.stem: path for path in found}


def read_page(path, name=None):
    """Page from a file.

    Args:
        path: a TOML file with a ``[page]`` table and ``[[task]]`` tables.
        name: name of the page; that of the file without its ending where left out.

    Raises:
        BadFile: names the file, the line, the task, the key and the mend.
    """
    path = Path(path)
    lines, data = _read(path)
    for trouble in page_checks.troubles(lines, data):
        raise trouble
    return _page(name or path.stem, data)


def troubles(path):
    """Everything that is wrong with a task file, in the order of its checks.

    Args:
        path: the file.

    Returns:
        Tuple of ``BadFile``; empty where the file is good.
    """
    try:
        return tuple(page_checks.troubles(*_read(Path(path))))
    except BadFile as trouble:
        return (trouble,)


def lines_of(path):
    """The lines of a task file, as a ``FileLines``.

    Args:
        path: a file that can be read.

    Raises:
        BadFile: it cannot be.
    """
    return _read(Path(path))[0]


def _read(path):
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
        if len(data) > LARGEST_FILE:
            raise BadFile("tasks.bank.large", value=path.name, limit=LARGEST_FILE // 1000)
        # Some editors put a mark before the first letter.
        text = data.decode("utf-8-sig")
        if _DEEP.search(text):
            raise BadFile("tasks.bank.deep", value=path.name)
        return FileLines(path.name, text), tomllib.loads(text)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise BadFile("tasks.bank.not_utf8", value=path.name, limit=line) from None
    except OSError as error:
        raise BadFile("tasks.bank.no_file", value=path.name, limit=error.strerror) from None
    except RecursionError:
        raise BadFile("tasks.bank.deep", value=path.name) from None
    except ValueError as error:
        if isinstance(error, BadFile):
            raise
        raise _unreadable(path.name, text, error) from None


def _unreadable(name, text, error):
    line = form_slips.line_of(text, error)
    place = say("tasks.file_line", file=name, line=line)
    return BadFile("tasks.bank.unreadable", value=place, limit=form_slips.reason(text, error))


def _page(name, data):
    tasks = tuple(_task(name, entry) for entry in data["task"])
    rounds = tuple(_round(entry) for entry in data.get("round", ()))
    return Page(name, data["page"]["title"], data["page"]["intro"], tasks, rounds)


def _round(entry):
    texts = (tuple(entry.get(key, ())) for key in ("tasks", "invite", "explain"))
    return Round(entry["id"], *texts, entry.get("alone", False))


def _task(page_name, entry):
    cells = entry.get("cell", ())
    return Task(
        page=page_name,
        id=entry["id"],
        skill=entry["skill"],
        asked=entry["asked"],
        text=entry["text"].strip(),
        picture=entry.get("picture", ""),
        cells=(cells,) if isinstance(cells, str) else tuple(cells),
        sources=bank_checks.sources_of(entry),
        where=tuple(entry.get("where", ())),
        attempts=entry.get("attempts", 2),
        after=entry.get("after", "").strip(),
        opening=entry.get("opening", {}),
        level=entry.get("level", "plain"),
        may_miss=tuple(entry.get("may_miss", ())),
    )
