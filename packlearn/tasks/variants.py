"""Seeded variants: the same task, page and number give the same numbers on every machine."""

import functools
import random
from dataclasses import dataclass

from packlearn.cells import cell as find_cell
from packlearn.errors import BadFile
from packlearn.tasks.formulas import work_out
from packlearn.tasks.levels import COMPLETE_SHARE

MOST_TRIES = 400

# What a task knows of its cell, under the name its formulas use.
CELL_GIVENS = {
    "cell_nominal_voltage_v": "nominal_voltage_v",
    "cell_full_voltage_v": "full_voltage_v",
    "cell_end_voltage_v": "end_voltage_v",
    "cell_capacity_ah": "capacity_ah",
    "cell_current_limit_a": "current_limit_a",
    "cell_resistance_ohm": "resistance_ohm",
}


class Frozen(dict):
    """Givens as a key: nobody changes them, so their hash is worked out once."""

    __slots__ = ("_hash",)

    def __hash__(self):
        try:
            return self._hash
        except AttributeError:
            self._hash = hash(frozenset(self.items()))
            return self._hash

    def __reduce__(self):
        # Texts hash to other numbers in another process.
        return Frozen, (dict(self),)


def frozen(givens):
    """Givens as a key.

    Args:
        givens: dict of name -> number or text; it is copied where it is not frozen yet.
    """
    return givens if isinstance(givens, Frozen) else Frozen(givens)


@dataclass(frozen=True)
class Variant:
    """One task with its numbers.

    Attributes:
        task: the ``Task`` it was drawn from.
        number: which variant, from 0.
        givens: dict of name -> number or text.
    """

    task: object
    number: int
    givens: dict

    @property
    def cell(self):
        """The ``Cell`` the task is about, or None."""
        name = self.givens.get("cell")
        return find_cell(name) if name else None


def draw(task, number, acceptable=lambda givens: True):
    """Numbers of one variant of a task.

    Args:
        task: the task.
        number: which variant, from 0.
        acceptable: says whether givens may be used; others are drawn anew.

    Raises:
        BadFile: no acceptable numbers found; the task's ranges are too narrow.
    """
    for attempt in range(MOST_TRIES):
        # Only random() of a text seed is promised to stay the same between Python versions.
        dice = random.Random(f"{task.page}/{task.id}/{number}/{attempt}").random
        givens = Frozen(_roll(task, dice, task.opening if number == 0 else {}))
        if all(work_out(rule, givens) for rule in task.where) and acceptable(givens):
            return Variant(task, number, givens)
    file = f"{task.page}.toml"
    raise BadFile("tasks.bank.no_variant", file=file, value=task.id, limit=MOST_TRIES)


def _roll(task, dice, opening):
    # A prediction belongs to the question it was made for, not only to its numbers.
    givens = {"stamp": task.stamp} if task.stamp else {}
    if task.cells:
        givens |= _cell_givens(opening.get("cell") or _pick(task.cells, dice))
    for name, made in _makers(task):
        given = made(dice, givens)
        givens[name] = opening.get(name, given)
    if task.may_miss and not opening and dice() >= COMPLETE_SHARE:
        givens["missing"] = _pick(task.may_miss, dice)
    return givens


def cell_givens(name):
    """Givens that come with a cell.

    Args:
        name: the cell's name in the catalogue.
    """
    cell = find_cell(name)
    rested = cell.rested_voltage_v or (cell.nominal_voltage_v, cell.full_voltage_v)
    return {
        "cell": name,
        "cell_title": cell.title,
        **{given: getattr(cell, field) for given, field in CELL_GIVENS.items()},
        "cell_rested_low_v": rested[0],
        "cell_rested_high_v": rested[1],
    }


_cell_givens = functools.lru_cache(maxsize=64)(cell_givens)


@functools.lru_cache(maxsize=1024)
def _makers(task):
    """Names of a task's givens, each with a function that draws it; their sources never change."""
    return tuple((name, _maker(source)) for name, source in task.sources.items())


def _maker(source):
    if isinstance(source, str):
        return lambda dice, givens: work_out(source, givens)
    if isinstance(source, list):
        return lambda dice, givens: _pick(source, dice)
    if isinstance(source, dict):
        low, step = source["from"], source.get("step", 1)
        count = round((source["to"] - low) / step) + 1
        # Rounding gives 0.3, not 0.30000000000000004.
        return lambda dice, givens: round(low + step * _index(count, dice), 9)
    return lambda dice, givens: source


def _pick(choices, dice):
    return choices[_index(len(choices), dice)]


def _index(count, dice):
    return min(int(dice() * count), count - 1)
