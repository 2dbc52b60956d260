"""What is to be pointed at in a diagram: cells, or the contacts for a meter's two probes."""

import math
import random

from packlearn.tasks.asked import Asked
from packlearn.tasks.benches import loose

CELLS, CONTACTS = "cells", "contacts"


def strings_of(givens):
    """Labels of the cells, string by string, shuffled: a label tells nothing of its place.

    Args:
        givens: ``series``, ``parallel``, ``shuffle_number``.
    """
    series, count = givens["series"], givens["series"] * givens["parallel"]
    # Only random() of a text seed is promised to stay the same between Python versions.
    dice = random.Random(f"pick/{count}/{givens['shuffle_number']}").random
    places = sorted(range(1, count + 1), key=lambda _: dice())
    labels = [f"{place}A" for place in places]
    return [labels[start : start + series] for start in range(0, count, series)]


def wiring_of(givens):
    """The cells joined as the diagram shows them.

    Args:
        givens: as for ``strings_of``, and ``strings``: 1 where the strings are joined at their
            ends only.
    """
    made, strings = loose(givens), strings_of(givens)
    for string in strings:
        for first, second in zip(string, string[1:], strict=False):
            made = made.link(f"{first}+", f"{second}-")
    for string, other in zip(strings, strings[1:], strict=False):
        made = made.link(f"{string[0]}-", f"{other[0]}-").link(f"{string[-1]}+", f"{other[-1]}+")
        if not givens.get("strings"):
            for at in range(givens["series"] - 1):
                made = made.link(f"{string[at]}+", f"{other[at]}+")
    return made.leads(f"{strings[0][-1]}+", f"{strings[0][0]}-")


def named(givens):
    """Label of the cell that the question names."""
    return f"{givens['place']}A"


def _in_line(givens):
    (string,) = (string for string in strings_of(givens) if named(givens) in string)
    return tuple(sorted(set(string) - {named(givens)}))


def _side_by_side(givens):
    groups = zip(*strings_of(givens), strict=True)
    (group,) = (group for group in groups if named(givens) in group)
    return tuple(sorted(set(group) - {named(givens)}))


def _across(givens):
    return f"{named(givens)}-", f"{named(givens)}+"


def _first_empty(givens):
    names = ("first", "second", "third")
    left = [givens[f"{name}_ah"] * givens[f"{name}_share"] for name in names]
    return (f"{left.index(min(left)) + 1}A",)


# What may be pointed at by a known slip; cells only.


def _others(givens):
    count = givens["series"] * givens["parallel"]
    return {f"{place}A" for place in range(1, count + 1)} - {named(givens)}


def _least(*what):
    """The cell in which a product of what is told of it is least."""

    def cell(givens):
        def of(name):
            return math.prod(givens[f"{name}_{each}"] for each in what)

        names = ("first", "second", "third")
        return {f"{min(range(3), key=lambda at: of(names[at])) + 1}A"}

    return cell


WRONG = {
    "string": lambda givens: set(_in_line(givens)),
    "others": _others,
    "not_in_line": lambda givens: _others(givens) - set(_in_line(givens)),
    "smallest": _least("ah"),
    "least_share": _least("share"),
}
"""Sets of labels that slips lead to: name -> function of a variant's givens."""

_SHOWN = ("series", "parallel", "shuffle_number")
_HELD = tuple(f"{name}_{what}" for name in ("first", "second", "third") for what in ("ah", "share"))

PICKS = {
    "pick_in_line": Asked("pick", "", _in_line, (*_SHOWN, "strings", "place"), picks=CELLS),
    "pick_side_by_side": Asked("pick", "", _side_by_side, (*_SHOWN, "place"), picks=CELLS),
    "pick_probes": Asked("pick", "", _across, (*_SHOWN, "place"), picks=CONTACTS),
    "pick_first_empty": Asked(
        "pick",
        "",
        _first_empty,
        (*_SHOWN, *_HELD),
        {f"{name}_left_ah": f"{name}_ah * {name}_share" for name in ("first", "second", "third")},
        picks=CELLS,
    ),
}
"""What can be asked: name -> ``Asked``."""
