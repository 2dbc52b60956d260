"""The task bank: plain text files, one a page. No answer is stored in them."""

import difflib
import functools
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

from packlearn.cells import catalogue
from packlearn.errors import BadFile, UnknownName
from packlearn.places import exercises_folder, lessons_folder
from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import names
from packlearn.tasks.givens import UNITS

_TASK_KEYS = (
    *("id", "skill", "asked", "text", "picture", "cell", "where", "attempts", "after", "opening"),
)
_PAGE_KEYS = ("title", "intro")
LONGEST_TEXT = 2000


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
    """

    page: str
    id: str
    skill: str
    asked: str
    text: str
    picture: str = ""
    cells: tuple = ()
    sources: dict = field(default_factory=dict, hash=False)
    where: tuple = ()
    attempts: int = 2
    after: str = ""
    opening: dict = field(default_factory=dict, hash=False)

    @property
    def kind(self):
        """Kind of answer: ``number``, ``count``, ``range``, ``name``, ``design``, ``choice``."""
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
    """

    id: str
    tasks: tuple
    invite: tuple
    explain: tuple


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


@functools.cache
def page(name):
    """Page of the shipped bank.

    Args:
        name: such as ``"predict-the-pack"``.

    Raises:
        UnknownName: no such page; the message lists the pages.
    """
    files = pages()
    if name not in files:
        raise UnknownName("tasks.bank.no_page", value=str(name)[:60], limit=", ".join(files))
    return read_page(files[name])


def pages():
    """Files of the shipped bank: dict of page name -> path."""
    folders = lessons_folder(), exercises_folder()
    found = (path for folder in folders for path in sorted(folder.glob("*.toml")))
    return {path.stem: path for path in found}


def read_page(path):
    """Page from a file.

    Args:
        path: a TOML file with a ``[page]`` table and ``[[task]]`` tables.

    Raises:
        BadFile: names the file, the task, the key and the mend.
    """
    path = Path(path)
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as error:
        raise BadFile("tasks.bank.unreadable", value=path.name, limit=str(error)[:120]) from None
    head = data.get("page", {})
    for key in _PAGE_KEYS:
        if not isinstance(head.get(key), str):
            raise BadFile("tasks.bank.page_key", file=path.name, value=key)
    tasks = tuple(_task(path, entry) for entry in data.get("task", ()))
    ids = [task.id for task in tasks]
    for doubled in {name for name in ids if ids.count(name) > 1}:
        raise BadFile("tasks.bank.twice", file=path.name, value=doubled)
    if not tasks:
        raise BadFile("tasks.bank.empty", file=path.name, value=0, limit=1)
    rounds = tuple(_round(path, entry, ids) for entry in data.get("round", ()))
    return Page(path.stem, head["title"], head["intro"], tasks, rounds)


def _round(path, entry, ids):
    texts = {key: entry.get(key, []) for key in ("tasks", "invite", "explain")}
    for key, value in texts.items():
        if not (isinstance(value, list) and all(isinstance(text, str) for text in value)):
            raise BadFile("tasks.bank.round_key", file=path.name, value=key)
    for task_id in texts["tasks"]:
        if task_id not in ids:
            raise BadFile("tasks.bank.round_task", file=path.name, value=task_id)
    return Round(str(entry.get("id")), *(tuple(value) for value in texts.values()))


def _task(path, entry):
    def trouble(key, value, limit=None):
        where = str(entry.get("id", "?"))[:40]
        raise BadFile(f"tasks.bank.{key}", file=path.name, task=where, value=value, limit=limit)

    for key in ("id", "skill", "asked", "text"):
        if not isinstance(entry.get(key), str) or len(entry[key]) > LONGEST_TEXT:
            trouble("task_key", key, LONGEST_TEXT)
    if entry["asked"] not in ASKED:
        trouble("asked", entry["asked"], _nearest(entry["asked"], ASKED))
    for key in entry:
        if key not in _TASK_KEYS and key not in UNITS and not key.startswith("fit_"):
            trouble("key", key, _nearest(key, (*_TASK_KEYS, *UNITS)))
    cells = entry.get("cell", ())
    cells = (cells,) if isinstance(cells, str) else tuple(cells)
    for name in cells:
        if name not in catalogue():
            trouble("cell", name, _nearest(name, catalogue()))
    sources = {key: value for key, value in entry.items() if key not in _TASK_KEYS}
    _check_sources(sources, trouble)
    for key in entry.get("opening", {}):
        if key not in sources and key != "cell":
            trouble("key", f"opening.{key}", ", ".join(sources))
    task = Task(
        page=path.stem,
        id=entry["id"],
        skill=entry["skill"],
        asked=entry["asked"],
        text=entry["text"].strip(),
        picture=entry.get("picture", ""),
        cells=cells,
        sources=sources,
        where=tuple(entry.get("where", ())),
        attempts=entry.get("attempts", 2),
        after=entry.get("after", "").strip(),
        opening=entry.get("opening", {}),
    )
    missing = set(ASKED[task.asked].needs) - set(sources) - ({"cell"} if cells else set())
    if missing:
        trouble("missing", ", ".join(sorted(missing)), task.asked)
    return task


def _check_sources(sources, trouble):
    for key, source in sources.items():
        if isinstance(source, str):
            names(source)
        elif isinstance(source, dict):
            if not {"from", "to"} <= set(source) <= {"from", "to", "step"}:
                trouble("range", key)
            if not source["from"] <= source["to"] or not source.get("step", 1) > 0:
                trouble("range", key)
        elif isinstance(source, list):
            if not source:
                trouble("range", key)
        elif isinstance(source, bool) or not isinstance(source, (int, float)):
            trouble("range", key)


def _nearest(name, known):
    close = difflib.get_close_matches(str(name), list(known), n=1, cutoff=0.4)
    return close[0] if close else ", ".join(sorted(known))
