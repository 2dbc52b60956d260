"""The task bank: plain text files, one a page. No answer is stored in them."""

import functools
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

from packlearn.errors import BadFile, UnknownName
from packlearn.places import exercises_folder, lessons_folder
from packlearn.tasks import bank_checks
from packlearn.tasks.answers import ASKED


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
        # Some editors put a mark before the first letter.
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as error:
        raise BadFile("tasks.bank.unreadable", value=path.name, limit=str(error)[:120]) from None
    head = data.get("page", {})
    bank_checks.check_tables(path.name, data)
    tasks = tuple(_task(path, entry) for entry in data.get("task", ()))
    ids = [task.id for task in tasks]
    for doubled in {name for name in ids if ids.count(name) > 1}:
        raise BadFile("tasks.bank.twice", file=path.name, value=doubled)
    if not tasks:
        raise BadFile("tasks.bank.empty", file=path.name, value=0, limit=1)
    rounds = tuple(_round(path, entry, ids) for entry in data.get("round", ()))
    if len({one.id for one in rounds}) < len(rounds):
        raise BadFile("tasks.bank.round_key", file=path.name, value="id")
    return Page(path.stem, head["title"], head["intro"], tasks, rounds)


def _round(path, entry, ids):
    texts = {key: entry.get(key, []) for key in ("tasks", "invite", "explain")}
    alone = entry.get("alone", False)
    known = {"id", "alone", *texts}
    if not isinstance(entry.get("id"), str) or set(entry) - known or type(alone) is not bool:
        wrong = sorted(set(entry) - known) or ["id"]
        raise BadFile("tasks.bank.round_key", file=path.name, value=wrong[0])
    for key, value in texts.items():
        if not (isinstance(value, list) and all(isinstance(text, str) for text in value)):
            raise BadFile("tasks.bank.round_key", file=path.name, value=key)
    for task_id in texts["tasks"]:
        if task_id not in ids:
            raise BadFile("tasks.bank.round_task", file=path.name, value=task_id)
    return Round(entry["id"], *(tuple(value) for value in texts.values()), alone)


def _task(path, entry):
    bank_checks.check_task(path.name, entry)
    cells = entry.get("cell", ())
    return Task(
        page=path.stem,
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
    )
