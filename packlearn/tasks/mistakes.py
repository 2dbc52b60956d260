"""Known wrong rules: what each gives for a variant, and the sentence that answers it.

The rules are data (``data/mistakes.toml`` and its sisters in ``FILES``: id, what is
asked, formula, where it applies); their sentences stand in ``data/words/en/mistakes.toml``.
"""

import functools
import tomllib
from dataclasses import dataclass
from importlib.resources import files

from packlearn.tasks.formulas import names, work_out
from packlearn.tasks.givens import in_words
from packlearn.tasks.variants import frozen
from packlearn.words import fill, word

FILES = (
    "mistakes.toml",
    "mistakes-real-cells.toml",
    "mistakes-wiring.toml",
    "mistakes-need.toml",
    "mistakes-building.toml",
)


@dataclass(frozen=True)
class WrongRule:
    """One wrong rule for one thing asked.

    Attributes:
        id: such as ``M01``.
        asked: what the task asks for.
        formula: value the rule gives; ``""`` for a rule told by its unit or its choice.
        when: formula that must hold for the rule to apply, or ``""``.
        unit: unit kind that gives the rule away, such as ``W`` for ``Wh``, or ``""``.
        choice: option that gives the rule away, or ``""``.
        pick: what was pointed at, a name of ``answers_picks.WRONG``, or ``""``.
    """

    id: str
    asked: str
    formula: str = ""
    when: str = ""
    unit: str = ""
    choice: str = ""
    pick: str = ""

    def __hash__(self):
        # Of all that is hashed, this tells nearly every rule from the others.
        return hash(self.id)

    def applies(self, givens):
        """True where the givens hold all the rule needs and its condition is met."""
        if not _needed(self.formula, self.when) <= givens.keys():
            return False
        return not self.when or bool(work_out(self.when, givens))

    def value(self, givens):
        """Value the rule gives; None for a rule told by its unit, choice or pick.

        A name rule gives series and parallel.
        """
        if not self.formula:
            return None
        if ";" in self.formula:
            return tuple(int(work_out(part, givens)) for part in self.formula.split(";"))
        return work_out(self.formula, givens)

    def sentence(self, givens, **more):
        """What you did, why the pack does not behave so, what to do next.

        Args:
            givens: the variant's numbers.
            **more: further fields, already in words.
        """
        fields = in_words(givens) | in_words(_derived(givens)) | more
        return fill(self._words("says"), **fields)

    @property
    def did(self):
        """What somebody who follows the rule would say they did."""
        return self._words("did")

    def _words(self, what):
        texts = word(f"mistakes.{self.id}")
        special = f"{what}_unit" if self.unit else f"{what}_{self.asked}"
        return texts.get(special) or texts[what]


@functools.cache
def _needed(*formulas):
    parts = (part for formula in formulas for part in formula.split(";") if part)
    return frozenset().union(*map(names, parts))


def _derived(givens):
    """Numbers that sentences like to name, from those that are given."""
    derived = {}
    if {"series", "parallel"} <= set(givens):
        derived["pack_count"] = givens["series"] * givens["parallel"]
    if {"parallel", "cell_capacity_ah"} <= set(givens):
        derived["pack_capacity_ah"] = givens["parallel"] * givens["cell_capacity_ah"]
    return derived


@functools.cache
def wrong_rules():
    """All wrong rules, in the order of the files."""
    return tuple(
        WrongRule(asked=asked, **{key: v for key, v in entry.items() if key != "asked"})
        for file in FILES
        for entry in _entries(file)
        for asked in _as_list(entry["asked"])
    )


def _entries(file):
    text = (files("packlearn") / "data" / file).read_text(encoding="utf-8")
    return tomllib.loads(text)["rule"]


def _as_list(value):
    return [value] if isinstance(value, str) else value


def rules_for(asked, givens):
    """Wrong rules that apply to a variant.

    Args:
        asked: what the task asks for.
        givens: the variant's numbers.
    """
    return _rules_for(asked, frozen(givens))


@functools.lru_cache(maxsize=1024)
def _rules_for(asked, givens):
    given = frozenset(givens)
    met = tuple(bool(work_out(when, givens)) for when in _conditions(asked, given))
    return _meeting(asked, given, met)


@functools.cache
def _candidates(asked, given):
    """Rules whose names are all given; which they are is the same for each variant of a task."""
    return tuple(rule for rule in _asked_about(asked) if _needed(rule.formula, rule.when) <= given)


@functools.cache
def _conditions(asked, given):
    whens = (rule.when for rule in _candidates(asked, given))
    return tuple(dict.fromkeys(when for when in whens if when))


@functools.lru_cache(maxsize=4096)
def _meeting(asked, given, met):
    met = dict(zip(_conditions(asked, given), met, strict=True)) | {"": True}
    return tuple(rule for rule in _candidates(asked, given) if met[rule.when])


@functools.cache
def _asked_about(asked):
    return tuple(rule for rule in wrong_rules() if rule.asked == asked)
