"""A task tried before anybody meets it: its variants, or why there are none, and hints."""

import contextlib
import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from packlearn._cell_checks import HIGHEST_PACK_VOLTAGE_V
from packlearn.cells import cell
from packlearn.errors import BadFile, PackError
from packlearn.quantities import write
from packlearn.tasks import bank, checking, variants
from packlearn.tasks.givens import in_words
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.preview_hints import hints
from packlearn.words import say

TRIED = 10
# A teacher's numbers may break any law of the library; each becomes a sentence.
_BROKEN = (ArithmeticError, ValueError, TypeError, LookupError, AttributeError, RecursionError)


@dataclass(frozen=True)
class Slip:
    """A wrong rule of one variant: its value and what a learner would be told.

    Attributes:
        id: such as ``M01``.
        value: what it gives, in words.
        did: what somebody who follows it would say they did.
        says: the sentences of the feedback.
    """

    id: str
    value: str
    did: str
    says: str


@dataclass(frozen=True)
class Preview:
    """A task that was tried.

    Attributes:
        task: the ``Task``.
        variants: the ``Variant`` of each number from 0.
        answers: their right answers in words.
        slips: of each of them, a tuple of ``Slip``.
        hints: sentences on what could be better.
    """

    task: object
    variants: tuple
    answers: tuple
    slips: tuple
    hints: tuple

    @property
    def given_names(self):
        """Names of the givens that change, in the order of the file, and of the others."""
        told = [name for name in self.task.sources if not name.startswith("fit_")]
        told = ["cell"] * (len(self.task.cells) > 0) + told
        changing = [name for name in told if len({v.givens[name] for v in self.variants}) > 1]
        return changing, [name for name in told if name not in changing]

    def given(self, name, number):
        """One given of one variant, in words.

        Args:
            name: its name.
            number: which variant.
        """
        return in_words(self.variants[number].givens)[name]


def name_of(path):
    """Name of the page that a file makes: the shipped one, else that of a teacher's own.

    Args:
        path: the file.
    """
    path = Path(path)
    shipped = bank.pages().get(path.stem)
    same = shipped is not None and path.exists() and path.samefile(shipped)
    return path.stem if same else f"{bank.OWN}{path.stem}"


def troubles(path, count=TRIED):
    """Everything that keeps a file from class: mistakes in it, and tasks without numbers.

    Args:
        path: the file.
        count: how many variants to try.

    Returns:
        Tuple of ``BadFile``; each names the file, the line, the task and the mend.
    """
    name = name_of(path)
    found = (*bank.wrong_name(name), *bank.troubles(path))
    if found:
        return found
    page = bank.read_page(path, name)
    high = tuple(_highest(path, place, task) for place, task in enumerate(page.tasks))
    if any(high):
        return tuple(trouble for trouble in high if trouble)
    tried = (_tried(path, place, task, count) for place, task in enumerate(page.tasks))
    return tuple(trouble for trouble in tried if isinstance(trouble, BadFile))


def preview(path, number, count=TRIED):
    """One task of a file, tried.

    Args:
        path: a file without ``troubles``.
        number: place of the task in it, from 0.
        count: how many variants.

    Raises:
        BadFile: it has no numbers, or no answer comes out.
    """
    task = bank.read_page(path, name_of(path)).tasks[number]
    tried = _tried(path, number, task, count)
    if isinstance(tried, BadFile):
        raise tried
    return tried


def _tried(path, place, task, count):
    # What numpy would only warn of is no answer either.
    with np.errstate(divide="raise", invalid="raise", over="raise"):
        return _preview_or_trouble(path, place, task, count)


def _preview_or_trouble(path, place, task, count):
    try:
        shown = _preview(task, count)
        return _too_high(path, place, shown) or shown
    except PackError as trouble:
        reason, told = str(trouble), trouble
    except _BROKEN as trouble:
        reason, told = say("preview.trying.broken", name=type(trouble).__name__), trouble
    lines = bank.lines_of(path)
    if getattr(told, "key", "") == "tasks.bank.no_variant":
        return _without_numbers(task, lines, place)
    key = _key_of(task, told)
    fields = {"file": lines.at("task", place, *key), "task": task.id, "numbers": _last(task)}
    return BadFile("preview.trying.no_answer", **fields, reason=reason)


def _preview(task, count):
    drawn = tuple(checking.variant(task, number) for number in range(count))
    for var in drawn:
        # Met by learners, so it must be met here.
        checking.text_of(var), checking.working(var)
        _see_that_it_is_finite(checking.answer_of(task, var.givens))
    answers = tuple(checking.answer_in_words(var) for var in drawn)
    slips = tuple(tuple(_slips(var)) for var in drawn)
    return Preview(task, drawn, answers, slips, tuple(hints(task, drawn, answers, slips)))


def _too_high(path, place, shown):
    """Nothing dangerous is asked about, not even on paper."""
    for var in shown.variants:
        cells = (var.cell.name,) if var.cell else ()
        if trouble := _high(path, place, shown.task, cells, var.givens.get("series", 1)):
            return trouble
    return None


def _highest(path, place, task):
    """The same before anything is drawn: a few variants may miss the highest of a list."""
    source = task.sources.get("series", 1)
    most = {list: lambda: max(source), dict: lambda: source["to"], int: lambda: source}
    if task.where or type(source) not in most:
        return None
    return _high(path, place, task, task.cells, most[type(source)]())


def _high(path, place, task, cells, series):
    volts = max((series * cell(name).full_voltage_v for name in cells), default=0.0)
    if volts <= HIGHEST_PACK_VOLTAGE_V:
        return None
    file = bank.lines_of(path).at("task", place, "series")
    fields = {"file": file, "task": task.id, "series": series, "value": write(volts, "V")}
    return BadFile("preview.trying.high", **fields, limit=f"{HIGHEST_PACK_VOLTAGE_V:.0f}")


def _see_that_it_is_finite(answer):
    for value in answer if isinstance(answer, tuple) else (answer,):
        if isinstance(value, (int, float)) and not math.isfinite(value):
            raise ArithmeticError(value)


def _slips(var):
    for rule, value in checking.wrong_values(var):
        says = rule.sentence(var.givens, **({"typed": value} if rule.unit else {}))
        yield Slip(rule.id, value, rule.did, says)


# Why a task has no numbers.


def _key_of(task, trouble):
    """Key of the formula that an error is about, as a path of none or one."""
    formula = getattr(trouble, "value", None)
    found = [name for name, source in task.sources.items() if source == formula]
    # Where the library refuses a given, its sentence begins with the given's name.
    found += [name for name in task.sources if str(trouble).startswith(f"{name} ")]
    return (found or ["where"] * (formula in task.where))[:1]


def _rolls(task):
    """Givens of the first tries, whether they are usable or not."""
    for number in range(2 * TRIED):
        seen = []

        def look(givens, seen=seen):
            seen.append(givens)
            return True

        with contextlib.suppress(PackError):
            variants.draw(task, number, look)
        yield from seen


def _last(task):
    """The numbers at which the answer broke, in words; nothing where none were drawn."""
    for givens in _rolls(task):
        try:
            checking.answer_of(task, givens)
        except (PackError, *_BROKEN):
            told = [name for name in task.sources if not name.startswith("fit_")]
            return ", ".join(f"{name} = {givens[name]}" for name in told)[:200]
    return ""


def _without_numbers(task, lines, place):
    rolled = list(_rolls(task))
    key = ("where",) if task.where and not rolled else ()
    fields = {"file": lines.at("task", place, *key), "task": task.id}
    if not rolled:
        return BadFile("preview.trying.never", **fields, limit=variants.MOST_TRIES)
    if all(givens == rolled[0] for givens in rolled):
        return BadFile("preview.trying.fixed", **fields)
    met = {rule.id: rule.did for givens in rolled for rule in _too_near(task, givens)}
    if met:
        slips = "; ".join(f"{name}: {did}" for name, did in list(met.items())[:3])
        return BadFile("preview.trying.near", **fields, slips=slips)
    return BadFile("preview.trying.few", **fields, limit=variants.MOST_TRIES)


def _too_near(task, givens):
    answer = checking.answer_of(task, givens)
    for rule in rules_for(task.asked, givens):
        try:
            value = rule.value(givens)
        except BadFile:
            # Numbers for which a slip gives nothing, such as a division by nought.
            continue
        near = value == answer
        if isinstance(value, (int, float)) and isinstance(answer, (int, float)):
            near = math.isclose(value, answer, rel_tol=0.05)
        if value is not None and near:
            yield rule
