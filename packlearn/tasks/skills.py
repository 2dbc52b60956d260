"""The skills: which lesson teaches each, what it stands on, and which tasks train it.

They are data (``data/skills.toml``); their titles and sentences stand in
``data/words/en/skills.toml``. A skill may have no task yet.
"""

import functools
import tomllib
from dataclasses import dataclass
from importlib.resources import files

from packlearn.errors import UnknownName
from packlearn.tasks import bank
from packlearn.words import word


@dataclass(frozen=True)
class ExampleData:
    """Where a skill's worked example comes from.

    Attributes:
        page: page of its task.
        task: the task's id.
        first: the first step, a formula over the givens and the steps on the way.
        unit: unit of the first step.
    """

    page: str
    task: str
    first: str
    unit: str


@dataclass(frozen=True)
class Skill:
    """One thing a learner can do.

    Attributes:
        id: its name in task files.
        lessons: numbers of the lessons that teach it.
        needs: ids of the skills it stands on.
        example: the data of its worked example, or None.
    """

    id: str
    lessons: tuple
    needs: tuple = ()
    example: ExampleData | None = None

    @property
    def lesson(self):
        """The last lesson that teaches it; practice takes it up with that one."""
        return max(self.lessons)

    @property
    def title(self):
        """What it is about, in a few words."""
        return word(f"skills.{self.id}.title")

    @property
    def can(self):
        """A sentence: "You can ..."."""
        return word(f"skills.{self.id}.can")


@functools.cache
def skills():
    """All skills, in the order in which practice takes them up.

    Returns:
        tuple of ``Skill``: by lesson, within a lesson as in the file.
    """
    text = (files("packlearn") / "data" / "skills.toml").read_text(encoding="utf-8")
    # Sorting keeps the order of the file within a lesson.
    return tuple(sorted(map(_skill, tomllib.loads(text)["skill"]), key=lambda each: each.lesson))


def _skill(entry):
    example = ExampleData(**entry["example"]) if "example" in entry else None
    return Skill(entry["id"], tuple(entry["lessons"]), tuple(entry["needs"]), example)


def skill(name):
    """The skill of an id.

    Args:
        name: such as ``"mean-current"``.

    Raises:
        UnknownName: no such skill; the message lists them.
    """
    found = _by_id().get(name)
    if found is None:
        raise UnknownName("practice.no_skill", value=str(name)[:60], limit=", ".join(_by_id()))
    return found


@functools.cache
def _by_id():
    return {each.id: each for each in skills()}


@functools.cache
def tasks_of(name):
    """Tasks that train a skill, those of the pages of exercises first.

    Args:
        name: id of a skill.

    Returns:
        tuple of ``Task``, empty where there is none yet.
    """
    found = [task for page in bank.pages() for task in bank.page(page).tasks if task.skill == name]
    return tuple(sorted(found, key=of_lesson))


def of_lesson(task):
    """True for a question of a lesson, which is asked there first.

    Args:
        task: the ``Task``.
    """
    return bool(bank.page(task.page).rounds)
