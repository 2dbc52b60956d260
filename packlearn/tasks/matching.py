"""Which known slips give a typed value, for whatever kind of task asks for one.

A value fits a slip if it is the slip's value, rounded as a person rounds: to as many digits
as were typed, two at least. A single wrong rule outranks combinations of two.
"""

import bisect
import functools
import math
from dataclasses import dataclass

from packlearn._numbers import rounded
from packlearn.tasks.answers import ASKED
from packlearn.tasks.combining import all_combinations
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.variants import frozen

TOLERANCE = 0.02
# Wrong values stay this far from the answer, and combinations from single rules.
SAFE_DISTANCE = 2.5 * TOLERANCE
# Further apart than this no two values are alike, nor taken for one another when rounded.
FAR = 2.5 * SAFE_DISTANCE
# Two wrong rules nearer than this cannot be told apart by their values.
SAME = 0.005
# A hair that binary floats may be off.
HAIR = 1e-9
# Where people round: in the unit asked for, and hours in minutes, too.
_SCALES = {"h": (1, 60)}


def matches(asked, givens, value, digits=2, step=None):
    """Known slips that give a typed value, each once; nothing where none does.

    Args:
        asked: what is asked for, a name of ``ASKED``.
        givens: the variant's numbers.
        value: the number typed, in the unit asked for, a share where that is per cent; for the
            name of a pack, series and parallel.
        digits: significant digits typed; 0 for a count or a name, which fit or do not.
        step: what one more in the last digit typed would add [unit of ``value``], where that is
            known (``step_of``); else it is taken from ``digits``.

    Returns:
        Tuple of slips with ``id``, ``did`` and ``sentence(givens)``: single rules, or else
        combinations of two.
    """
    slips = known(asked, givens)
    if not digits:
        fitting = _best(slips, lambda wrong: wrong == value)
    else:
        half = (step or step_at(value, digits)) / 2
        fitting = _best(slips, lambda wrong: _meets(wrong, value, half)) or _near(slips, value)
    return tuple({slip.id: slip for slip in fitting}.values())


def _best(slips, fits):
    for wrong_values in (slips.singles, slips.combinations):
        fitting = [slip for slip, wrong in wrong_values if fits(wrong)]
        if fitting:
            return fitting
    return []


def _meets(wrong, value, half):
    low, high = wrong if isinstance(wrong, tuple) else (wrong, wrong)
    if value == 0 or low == high == 0:
        return low == high == value
    below, above = sorted((min(low, high) - value, max(low, high) - value))
    hair = HAIR * abs(value)
    # Of two digits 10 may be 10.4 but not 9.6, which would be typed so.
    to_zero = half / 10 if abs(abs(value) - 20 * half) <= hair else half
    down, up = (to_zero, half) if value > 0 else (half, to_zero)
    return below <= up + hair and above >= -down - hair


def _near(slips, value):
    """Single rules within tolerance: somebody rounded on the way."""
    near = [pair for pair in slips.singles if abs(pair[1] - value) <= TOLERANCE * abs(pair[1])]
    if not near:
        return []
    _, nearest = min(near, key=lambda pair: abs(pair[1] - value))
    return [rule for rule, wrong in slips.singles if abs(wrong - nearest) <= SAME * abs(nearest)]


# How exactly a number was typed.


def step_at(value, digits):
    """What one more in the last of so many significant digits adds.

    Args:
        value: the number.
        digits: how many digits count; two at least.
    """
    if value == 0:
        return 0.0
    return 10.0 ** (math.floor(math.log10(abs(value)) + HAIR) - max(digits, 2) + 1)


def step_of(reading, unit=""):
    """What one more in the last digit that counts adds to a value as typed.

    A number of one digit may have lost its zero: 5 V may be 4.97 V.

    Args:
        reading: what ``quantities.read`` made of the text.
        unit: unit asked for; a share is a hundredth of per cent.

    Returns:
        Step in the unit asked for, a share where that is per cent; 0.0 for nothing at all.
    """
    if reading.value == 0:
        return 0.0
    short = abs(reading.value) < (10 - HAIR) * reading.step
    step = reading.step / 10 if short else reading.step
    return step / 100 if unit == "%" else step


def holds(answer, value, step):
    """Whether a value is the right one: within tolerance, or right in each digit typed.

    Args:
        answer: the right number, or low and high of a range.
        value: the number typed.
        step: what one more in the last digit typed would add (``step_of``).
    """
    low, high = answer if isinstance(answer, tuple) else (answer, answer)
    if low - TOLERANCE * abs(low) <= value <= high + TOLERANCE * abs(high):
        return True
    return value != 0 and _meets(answer, value, step / 2) and low * high > 0


# Slips of a variant, and which of their values can be told apart.


@dataclass(frozen=True)
class Slips:
    """What a variant's wrong rules give, as pairs of slip and value.

    Attributes:
        singles: single wrong rules that are told by a value.
        combinations: combinations that can be told from them and from the right answer.
        hidden: combinations that cannot, and so are never named.
    """

    singles: tuple
    combinations: tuple
    hidden: tuple


def known(asked, givens):
    """The ``Slips`` of a variant.

    Args:
        asked: what the task asks for.
        givens: the variant's numbers.
    """
    return _known(asked, frozen(givens))


@functools.lru_cache(maxsize=1024)
def _known(asked, givens):
    singles = tuple(_valued(rules_for(asked, givens), givens))
    worked, of_singles = dict(singles), Near(single for _, single in singles)
    shown, hidden = [], []
    for slip in all_combinations(asked, givens):
        wrong = slip.value(givens, worked)
        mixed = any(alike(asked, wrong, single) for single in of_singles.around(wrong))
        # A thousandth of nothing is no slip.
        if wrong != 0:
            (hidden if mixed else shown).append((slip, wrong))
    return Slips(singles, tuple(shown), tuple(hidden))


class Near:
    """Values among which those near another one are found at once; nearly all are far from it.

    Args:
        values: numbers, or low and high of ranges.
    """

    def __init__(self, values):
        found = set(values)
        self.ranges = [value for value in found if isinstance(value, tuple)]
        self.numbers = sorted(value for value in found if not isinstance(value, tuple))

    def around(self, value):
        """All that may be alike, or taken for it when rounded; some that are a little further.

        Args:
            value: a number, or low and high of a range, beside which every value may lie.
        """
        if isinstance(value, tuple):
            return self.ranges + self.numbers
        ends = sorted((value * (1 - FAR), value / (1 - FAR)))
        first = bisect.bisect_left(self.numbers, ends[0])
        return self.ranges + self.numbers[first : bisect.bisect_right(self.numbers, ends[1])]


def _valued(slips, givens):
    pairs = ((slip, slip.value(givens)) for slip in slips)
    return (pair for pair in pairs if pair[1] is not None)


def scales_of(asked):
    """How many of each unit that people round in make one of the unit asked for.

    Args:
        asked: what is asked for.
    """
    return _SCALES.get(ASKED[asked].unit, (1,))


def alike(asked, first, second):
    """Whether two values cannot be told apart: equal counts, or numbers of the same two digits.

    Args:
        asked: what is asked for.
        first: a number, or low and high of a range; series and parallel of a name.
        second: another.
    """
    if ASKED[asked].kind not in ("number", "range"):
        return first == second
    (low, high), (other_low, other_high) = _ends(first), _ends(second)
    apart = max(low, other_low) - min(high, other_high)
    largest = max(abs(low), abs(high), abs(other_low), abs(other_high))
    if apart <= SAFE_DISTANCE / 2 * largest:
        return True
    # Rounded to two digits, a number moves by 5 % at most.
    if apart > 2.2 * SAFE_DISTANCE * largest:
        return False
    if low != high or other_low != other_high:
        return True
    return any(rounded(low * k, 2) == rounded(other_low * k, 2) for k in scales_of(asked))


def _ends(value):
    return (min(value), max(value)) if isinstance(value, tuple) else (value, value)
