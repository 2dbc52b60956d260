"""How the cells of a pack lie in a holder, and in which order its joints are made.

Cells stand side by side in rows. Every second group is turned, so that what is to be joined lies
side by side and every strip is short. Labels say where a cell lies: the number is its group, the
letter its string.
"""

from __future__ import annotations

import string
from dataclasses import dataclass
from itertools import groupby

from packlearn._simulation.plans import letters
from packlearn.errors import BadValue
from packlearn.words import say, word

LARGEST_SERIES, LARGEST_PARALLEL, MOST_CELLS = 24, 24, 96
# A contact needs 24 px of a picture 860 px wide.
WIDEST_ROW = 28
# One string a row, as long as the rows find room on a page.
MOST_STRING_ROWS = 6


@dataclass(frozen=True)
class Slot:
    """Where a cell lies.

    Attributes:
        label: number and letter, such as ``"2B"``.
        row: row of the holder, 0 at the top.
        column: place in the row, 0 at the left.
        plus_up: whether its contact marked plus is the upper one.
    """

    label: str
    row: int
    column: int
    plus_up: bool

    def is_up(self, contact):
        """Whether one of its contacts, such as ``"2B+"``, is the upper one."""
        return contact.endswith("+") == self.plus_up


@dataclass(frozen=True)
class Joint:
    """Contacts that are joined, one line of a list for ticking off.

    Attributes:
        contacts: their names, in the order in which they lie.
        strips: pairs of neighbours, in the order to join them.
        sentence: what to do.
    """

    contacts: tuple[str, ...]
    strips: tuple[tuple[str, str], ...]
    sentence: str


@dataclass(frozen=True)
class Layout:
    """A pack in its holder.

    Attributes:
        series, parallel: S and P.
        strings: whether the strings are joined at their ends only.
        slots: a ``Slot`` for each cell.
        joints: ``Joint``s in the order to make them.
        red, black: contacts for the leads.
    """

    series: int
    parallel: int
    strings: bool
    slots: tuple[Slot, ...]
    joints: tuple[Joint, ...]
    red: str
    black: str

    @property
    def strips(self):
        """Pairs of neighbouring contacts, in the order to join them."""
        return tuple(pair for joint in self.joints for pair in joint.strips)

    @property
    def strip_count(self):
        """How many strips it takes, each from one contact to its neighbour."""
        return len(self.strips)

    @property
    def why(self):
        """Why the joints are made in this order, in plain words."""
        if self.series == 1:
            return word("bench.layout.why_side" if self.parallel > 1 else "bench.layout.why_one")
        line, equal = word("bench.layout.why_line"), word("bench.layout.why_equal")
        return line if self.parallel == 1 else f"{line} {equal}"


def layout(series, parallel, strings=False):
    """Lay a pack into a holder.

    Args:
        series: groups in line, S.
        parallel: cells side by side, P.
        strings: join the strings at their ends only, one string a row.

    Returns:
        ``Layout``. Its joints start at the minus end. The one before the last group is made
        last: until then no way leads from one lead to the other. (Where strings are joined at
        their ends only there are P such joints, the last P.)

    Raises:
        BadValue: a count that is no whole number, or too many cells.
    """
    series = _count("series", series, LARGEST_SERIES)
    most = MOST_STRING_ROWS if strings and series > 1 else LARGEST_PARALLEL
    parallel = _count("parallel", parallel, most)
    if series * parallel > MOST_CELLS:
        raise BadValue("bench.layout.most", value=series * parallel, limit=MOST_CELLS)
    names = [letters(place) for place in range(parallel)]
    labels = [f"{group}{name}" for group in range(1, series + 1) for name in names]
    strings = bool(strings) and series > 1 and parallel > 1
    joints = _ordered_strings(series, names) if strings else _ordered_groups(series, names)
    ends = {"red": f"{series}A+", "black": "1A-"}
    return Layout(series, parallel, strings, _slots(labels, strings), joints, **ends)


def slots_of(wiring, strings=False):
    """Where the cells of any wiring lie, by their labels alone.

    Args:
        wiring: a ``Wiring``; empty places count too.
        strings: one string a row, where there are no more than six.

    Returns:
        a ``Slot`` for each place, in the order of ``wiring.places``.
    """
    labels = [label for label, _ in wiring.places]
    found = {slot.label: slot for slot in _slots(labels, strings)}
    return tuple(found[label] for label in labels)


def _count(name, value, limit):
    whole = isinstance(value, int) and not isinstance(value, bool)
    if not (whole and 1 <= value <= limit):
        raise BadValue("bench.layout.count", value=str(value)[:40], limit=limit, name=name)
    return value


# Where the cells lie.


def _slots(labels, strings):
    parts = [(label, *_parts(label)) for label in labels]
    numbers = sorted({number for _, number, _ in parts})
    names = sorted({name for *_, name in parts}, key=lambda name: (len(name), name))
    fits = 1 < len(names) <= MOST_STRING_ROWS and 1 < len(numbers) <= WIDEST_ROW
    if not (strings and fits):
        return _in_rows(parts)
    columns = {number: column for column, number in enumerate(numbers)}
    rows = {name: row for row, name in enumerate(names)}
    return tuple(
        Slot(label, rows[name], columns[number], columns[number] % 2 == 0)
        for label, number, name in parts
    )


def _parts(label):
    """Number and letters of a label."""
    digits = label.rstrip(string.ascii_uppercase)
    return int(digits), label[len(digits) :]


def _in_rows(parts):
    """Group after group, to the right in the first row and back in the next."""
    parts = sorted(parts, key=lambda part: (part[1], len(part[2]), part[2]))
    groups = [[part[0] for part in each] for _, each in groupby(parts, key=lambda part: part[1])]
    rows = _rows([len(group) for group in groups])
    widest = max((sum(row) for row in rows), default=0)
    ahead = [(label, place) for place, group in enumerate(groups) for label in group]
    # The first row ends at its lower side, where the second begins.
    plus_up, group, slots = len(rows) < 2 or len(rows[0]) % 2 == 0, 0, []
    for row, sizes in enumerate(rows):
        for place in range(sum(sizes)):
            label, own = ahead[len(slots)]
            if own != group:
                # A row below begins at its upper side.
                plus_up, group = not plus_up if place else False, own
            column = place if row % 2 == 0 else widest - 1 - place
            slots.append(Slot(label, row, column, plus_up))
    return tuple(slots)


def _rows(sizes):
    """Sizes of the groups in each row: as few rows as can be, and as even as can be."""
    pieces = [min(WIDEST_ROW, size - at) for size in sizes for at in range(0, size, WIDEST_ROW)]
    fewest = len(_filled(pieces, WIDEST_ROW))
    least = max([-(-sum(pieces) // max(1, fewest)), *pieces], default=0)
    for room in range(least, WIDEST_ROW + 1):
        rows = _filled(pieces, room)
        if len(rows) == fewest:
            return rows
    return []


def _filled(pieces, room):
    rows = []
    for piece in pieces:
        if rows and sum(rows[-1]) + piece <= room:
            rows[-1].append(piece)
        else:
            rows.append([piece])
    return rows


# In which order the joints are made.


def _ordered_groups(series, names):
    """Joints of joined groups."""
    joints = []
    for place in range(series + 1):
        plus = [f"{place}{name}+" for name in names] if place else []
        minus = [f"{place + 1}{name}-" for name in names] if place < series else []
        joints.append((plus, minus))
    return _told([[joint] for joint in joints], "closes")


def _ordered_strings(series, names):
    """Joints of strings that are joined at their ends only."""
    ends = [([], [f"1{name}-" for name in names])], [([f"{series}{name}+" for name in names], [])]
    inner = [
        [([f"{place}{name}+"], [f"{place + 1}{name}-"]) for name in names]
        for place in range(1, series)
    ]
    return _told([ends[0], *inner, ends[1]], "closes_string")


def _told(levels, closes):
    """``Joint``s, given from the minus end; those before the plus end close the pack, as last."""
    last = levels[-2] if len(levels) > 2 else []
    ordered = [*levels[:-2], levels[-1], last] if last else levels
    made = [joint for level in ordered for joint in level if len(joint[0]) + len(joint[1]) > 1]
    return tuple(
        _joint(plus, minus, closes if (plus, minus) in last else "") for plus, minus in made
    )


def _joint(plus, minus, closes):
    pieces = [pair for side in (plus, minus) for pair in zip(side, side[1:], strict=False)]
    # What bridges two groups comes after what lies along each of them.
    if plus and minus:
        pieces.append((plus[-1], minus[0]))
    contacts = (*plus, *minus)
    listed = say("bench.layout.listed", most=", ".join(contacts[:-1]), last=contacts[-1])
    told = say(f"bench.layout.join_{_kind(plus, minus, closes)}", contacts=listed)
    return Joint(contacts, tuple(pieces), told)


def _kind(plus, minus, closes):
    if not (plus and minus):
        return "red" if plus else "black"
    return closes or "inner"
