"""Which numbers may be drawn: no slip gives the right answer, and slips can be told apart."""

import functools
import itertools

from packlearn import sizing
from packlearn._numbers import rounded
from packlearn.tasks import matching
from packlearn.tasks.answers import ASKED
from packlearn.tasks.combining import answer_to, one_thing
from packlearn.tasks.variants import find_cell, frozen

# Numbers whose slips cannot be told apart are drawn anew so many times.
MOST_REDRAWN = 40


def none_right(asked, givens):
    """Whether no wrong rule and no combination of two gives the right answer by luck.

    Where a pack for a need is asked for, some pack must meet it as well.

    Args:
        asked: what the task asks for.
        givens: the numbers drawn for it.
    """
    answer, kind = answer_to(asked, givens), ASKED[asked].kind
    slips = matching.known(asked, givens)
    wrong = [value for _, value in (*slips.singles, *slips.combinations, *slips.hidden)]
    if kind == "design":
        return _some_fit_but(wrong, answer, find_cell(givens["cell"]))
    if kind in ("number", "range"):
        scales = matching.scales_of(asked)
        near = matching.Near(wrong).around(answer)
        return not any(_lucky(answer, value, scales) for value in near)
    return answer not in wrong


def _some_fit_but(pairs, need, cell):
    """Whether some packs meet a need, and none of those that slips lead to."""
    fits = sizing.size(need, [cell]).met.all(axis=0)[0]
    looked_at = [(s, p) for s, p in pairs if 0 < s <= fits.shape[0] and 0 < p <= fits.shape[1]]
    return bool(fits.any()) and not any(fits[s - 1, p - 1] for s, p in looked_at)


def _lucky(answer, wrong, scales):
    """Whether a wrong value is near the right one, as it is or rounded to two or three digits."""
    low, high = answer if isinstance(answer, tuple) else (answer, answer)
    ends = wrong if isinstance(wrong, tuple) else (wrong, wrong)
    apart = max(min(ends) - high, low - max(ends))
    room = matching.SAFE_DISTANCE * max(abs(low), abs(high))
    # Rounded to two digits, a number moves by 5 % at most.
    if apart <= room or apart > 2.2 * room:
        return apart <= room
    return any(
        matching.holds(answer, typed / scale, matching.step_at(typed, digits) / scale)
        for end in ends
        for scale in scales
        for digits in (2, 3)
        for typed in [float(rounded(end * scale, digits))]
    )


class Patience:
    """Draws numbers anew while slips cannot be told apart, but not for ever.

    Args:
        asked: what the task asks for; several things for several numbers.
        fixed: True where a lesson tells of the very numbers, so that no others will do.
    """

    def __init__(self, asked, fixed=False):
        self.asked = ASKED[asked].parts or (asked,)
        self.left = 0 if fixed else MOST_REDRAWN

    def accepts(self, givens):
        """Whether these numbers will do.

        Args:
            givens: the numbers drawn.
        """
        if self.left <= 0 or "missing" in givens:
            return True
        self.left -= 1
        return all(_told_apart(asked, frozen(givens)) for asked in self.asked)


@functools.lru_cache(maxsize=1024)
def _told_apart(asked, givens):
    return told_apart(asked, givens)


def told_apart(asked, givens):
    """Whether any two wrong rules differ once rounded, and no combination looks like one.

    Args:
        asked: what the task asks for.
        givens: the numbers drawn for it.
    """
    slips = matching.known(asked, givens)
    # Small counts often meet; of a combination and a single rule the single one is named.
    if slips.hidden and ASKED[asked].kind in ("number", "range"):
        return False
    pairs = itertools.combinations(slips.singles, 2)
    return not any(
        matching.alike(asked, value, other_value) and not one_thing(asked, givens, one.id, other.id)
        for (one, value), (other, other_value) in pairs
    )
