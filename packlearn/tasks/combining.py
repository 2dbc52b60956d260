"""Two slips at once, and slips of units: what they give, and the words that answer them.

They are data (``data/mistakes-two.toml``). A single wrong rule outranks them, so one is met
only where its value can be told from the right answer's and from every single rule's.
"""

import functools
import tomllib
from dataclasses import dataclass
from importlib.resources import files

from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import names, work_out
from packlearn.tasks.mistakes import WrongRule, rules_for
from packlearn.tasks.variants import frozen
from packlearn.words import fill, say, word

FILE = "mistakes-two.toml"
BETWEEN = "+"
# Units with a milli that people use.
KINDS_OF_MILLI = ("mV", "mA", "mAh", "mW", "mWh", "mohm")


def answer_to(asked, givens):
    """Right answer for given numbers, worked out once.

    Args:
        asked: what the task asks for.
        givens: the variant's numbers.
    """
    return _answer_to(asked, frozen(givens))


@functools.lru_cache(maxsize=1024)
def _answer_to(asked, givens):
    return ASKED[asked].compute(givens)


@dataclass(frozen=True)
class UnitSlip:
    """A value with its unit mixed up.

    Attributes:
        id: such as ``M11a``.
        unit: unit of the answers it is met in.
        factor: what it multiplies the value by.
    """

    id: str
    unit: str
    factor: float

    def sentence(self, givens, **more):
        """What you did, why not, what to do next.

        Args:
            givens: the variant's numbers.
            **more: further fields, already in words.
        """
        return self._words("says")

    @property
    def did(self):
        """What somebody who made the slip would say they did."""
        return self._words("did")

    def _words(self, what):
        texts, milli = word(f"mistakes.{self.id}"), f"m{self.unit}"
        # Hours of mAh and mA have no milli of their own.
        own = texts.get(f"{what}_mixed") if milli in KINDS_OF_MILLI else None
        return fill(own or texts[what], unit=self.unit, milli=milli)


@dataclass(frozen=True)
class Combination:
    """A slip of units after the right rule, or two slips together.

    Attributes:
        asked: what the task asks for.
        parts: the slips, in the order in which they are answered.
        formula: value the two give; ``""`` where the last slip's factor tells it.
        when: formula that must hold, or ``""``.
    """

    asked: str
    parts: tuple
    formula: str = ""
    when: str = ""
    # Told by its value alone, unlike some single rules.
    unit = choice = ""

    @property
    def id(self):
        """Ids of its slips, such as ``M01+M11a``."""
        return BETWEEN.join(part.id for part in self.parts)

    def applies(self, givens):
        """True where the givens hold all it needs and its condition is met."""
        if self.formula:
            return WrongRule.applies(self, givens)
        return all(part.applies(givens) for part in self.parts[:-1])

    def value(self, givens, worked=None):
        """What the slips give: a number, or low and high of a range, or series and parallel.

        Args:
            givens: the variant's numbers.
            worked: what single rules give, rule by rule, where that is known.
        """
        if self.formula:
            return WrongRule.value(self, givens)
        *before, slip = self.parts
        if not before:
            value = answer_to(self.asked, givens)
        elif worked and before[0] in worked:
            value = worked[before[0]]
        else:
            value = before[0].value(givens)
        if isinstance(value, tuple):
            return tuple(slip.factor * end for end in value)
        return slip.factor * value

    def sentence(self, givens, **more):
        """What you did, why not, what to do next, for each of the slips.

        Args:
            givens: the variant's numbers.
            **more: further fields, already in words.
        """
        told = [part.sentence(givens, **more) for part in self.parts]
        if len(told) == 1:
            return told[0]
        return say("mistakes.two.says", first=told[0], second=told[1])

    @property
    def did(self):
        """What somebody who made these slips would say they did."""
        return joined_did([part.did for part in self.parts])


def joined_did(told):
    """What was done, of one slip or of two, in one sentence.

    Args:
        told: a sentence a slip.
    """
    if len(told) == 1:
        return told[0]
    first, second = (text.removesuffix(".") for text in told)
    return say("mistakes.two.did", first=first, second=second)


def did_of(slip_id):
    """What was done, by the id that the records keep; the id itself where it is not known.

    Args:
        slip_id: of one slip, or of two together, such as ``M01+M11a``.
    """
    texts, ids = word("mistakes"), slip_id.split(BETWEEN)
    if len(ids) > 2 or not set(ids) <= set(texts):
        return slip_id
    return joined_did([texts[each]["did"] for each in ids])


@functools.cache
def _table():
    text = (files("packlearn") / "data" / FILE).read_text(encoding="utf-8")
    return tomllib.loads(text)


def _as_list(value):
    return [value] if isinstance(value, str) else value


def slip_ids():
    """Ids of all slips of units."""
    return tuple(entry["id"] for entry in _table()["slip"])


@functools.cache
def unit_slips(asked):
    """Slips of units that can happen to an answer.

    Args:
        asked: what the task asks for.
    """
    kind, unit = ASKED[asked].kind, ASKED[asked].unit
    return tuple(
        UnitSlip(entry["id"], unit, entry["factor"])
        for entry in _table()["slip"]
        if kind in ("number", "range")
        and unit in entry["units"]
        and asked not in entry.get("without", ())
    )


@functools.cache
def listed_twos(asked):
    """Combinations of two wrong rules that the file lists for what is asked.

    Args:
        asked: what the task asks for.
    """
    return tuple(
        Combination(
            asked,
            tuple(WrongRule(id_, asked, "0") for id_ in entry["ids"]),
            entry["formula"],
            entry.get("when", ""),
        )
        for entry in _table()["two"]
        if asked in _as_list(entry["asked"])
    )


@dataclass(frozen=True)
class Equal:
    """Rules that are one thing: they give one value wherever ``when`` holds."""

    ids: frozenset
    asked: tuple
    when: str = "1"

    def holds(self, asked, givens):
        """Whether the rules are one thing in a variant.

        Args:
            asked: what the task asks for.
            givens: the variant's numbers.
        """
        known = asked in self.asked and names(self.when) <= set(givens)
        return known and bool(work_out(self.when, givens))


@functools.cache
def equals():
    """The listed ties."""
    return tuple(
        Equal(frozenset(entry["ids"]), tuple(_as_list(entry["asked"])), entry.get("when", "1"))
        for entry in _table()["equal"]
    )


def one_thing(asked, givens, first, second):
    """Whether two slips, or combinations, are listed to give one value in a variant.

    Args:
        asked: what the task asks for.
        givens: the variant's numbers.
        first: id of a rule or of a combination.
        second: another.
    """
    ties = [each.ids for each in equals() if each.holds(asked, givens)]
    pairs = zip(first.split(BETWEEN), second.split(BETWEEN), strict=False)
    same_length = first.count(BETWEEN) == second.count(BETWEEN)
    return same_length and all(a == b or any({a, b} <= ids for ids in ties) for a, b in pairs)


def all_combinations(asked, givens):
    """Every combination whose condition a variant meets, also those that cannot be told.

    Args:
        asked: what the task asks for.
        givens: the variant's numbers.
    """
    listed = (two for two in listed_twos(asked) if two.applies(givens))
    return (*_with_slips(asked, rules_for(asked, givens)), *listed)


@functools.lru_cache(maxsize=1024)
def _with_slips(asked, singles):
    """A slip of units after the right rule, and after each wrong one that applies."""
    taken, slips = {rule.id for rule in singles}, unit_slips(asked)
    found = [Combination(asked, (slip,)) for slip in slips if slip.id not in taken]
    once = [rule for rule in singles if slips and _may_slip(rule)]
    return (*found, *(Combination(asked, (rule, slip)) for rule in once for slip in slips))


def _may_slip(rule):
    """One slip of units is enough, and a fixed number has no unit to be mixed up."""
    return bool(rule.formula and names(rule.formula)) and not rule.id.startswith("M11")
