"""Which column and row each cell of a circuit diagram takes.

A column is as many cells above the black lead as its number, so packs come out as in a textbook,
minus left and plus right. What contradicts itself keeps the place where it was found first.
"""

import string
from collections import defaultdict
from dataclasses import dataclass

from packlearn.naming import shape_of
from packlearn.pictures.bench_words import joints


@dataclass(frozen=True)
class Element:
    """A cell, an empty place or a link with resistance.

    Args:
        left, right: numbers of the joints at its ends.
        ends: names of the contacts at its left and right end; None for a link.
        label: its label, or "".
        kind: "cell", "gap" or "link".
        flipped: whether a cell's plus end is at the left.
        ohm: resistance of a link [ohm].
    """

    left: int
    right: int
    ends: tuple | None
    label: str
    kind: str
    flipped: bool = False
    ohm: float = 0.0


@dataclass(frozen=True)
class Placing:
    """Where everything lies.

    Args:
        elements: ``Element``s.
        places: column and row of each.
        columns, rows: how many there are.
        joint_of: number of the joint of each contact.
    """

    elements: tuple
    places: tuple
    columns: int
    rows: int
    joint_of: dict


def place(wiring, links):
    """Place the cells of a wiring and those of its links that have a resistance.

    Args:
        wiring: a ``Wiring``.
        links: the ``Link``s that are drawn.

    Returns:
        ``Placing``.
    """
    joint_of = {}
    for number, joint in enumerate(joints(wiring.contacts, links)):
        joint_of.update(dict.fromkeys(joint, number))
    black, red = joint_of.get(wiring.black), joint_of.get(wiring.red)
    cells, level = _directed(wiring, joint_of, black, red)
    order = {contact: at for at, contact in enumerate(wiring.contacts)}
    resistors = [
        Element(joint_of[link.first], joint_of[link.second], None, "", "link", ohm=link.ohm)
        for link in sorted(links, key=lambda link: (order[link.first], order[link.second]))
        if link.ohm
    ]
    elements = _settled(cells, resistors, level)
    column_of = _columns(elements, level)
    row_of = _rows(elements, column_of)
    places = tuple(zip(column_of, row_of, strict=True))
    size = max(column_of, default=0) + 1, max(row_of, default=0) + 1
    return Placing(tuple(elements), places, *size, joint_of)


def _directed(wiring, joint_of, black, red):
    """Cells with their left and right ends, and the level of each joint with its part.

    Cells are taken from minus to plus, or as their contacts are marked (so that a turned cell
    stays where it was): the way that contradicts itself less.
    """
    by_mark = [_element(*entry, joint_of, by_mark=True) for entry in wiring.places]
    level, misfits = _levels(by_mark, black)
    if not any(placed and placed.turned for _, placed in wiring.places):
        return by_mark, level
    by_sign = [_element(*entry, joint_of, by_mark=False) for entry in wiring.places]
    other, more = _levels(by_sign, black)
    arrows = [(cell.left, cell.right) for cell in by_sign if cell.kind == "cell"]
    if more < misfits or (more == 0 and shape_of(arrows, black, red)):
        return by_sign, other
    return by_mark, level


def _element(label, placed, joint_of, by_mark):
    turned = placed is not None and placed.turned
    ends = (f"{label}-", f"{label}+")
    if turned and not by_mark:
        ends = ends[::-1]
    kind = "gap" if placed is None else "cell"
    return Element(joint_of[ends[0]], joint_of[ends[1]], ends, label, kind, turned and by_mark)


def _levels(cells, black):
    """Level and part of each joint, and how many cells do not lift by one.

    Returns:
        joint -> [part, level], and a count.
    """
    beside = defaultdict(list)
    for cell in cells:
        beside[cell.left].append((cell.right, 1))
        beside[cell.right].append((cell.left, -1))
    level = {}
    starts = [cell.left for cell in cells]
    for start in starts if black is None else [black, *starts]:
        if start in level:
            continue
        level[start], ahead = [start, 0], [start]
        for here in ahead:
            for other, lift in beside[here]:
                if other not in level:
                    level[other] = [start, level[here][1] + lift]
                    ahead.append(other)
    return level, sum(level[c.right][1] != level[c.left][1] + 1 for c in cells)


def _settled(cells, resistors, level):
    """All elements, after the levels of parts were fitted to each other.

    A part begins in the column that the number of its first cell says; a link with resistance
    that joins two parts lifts by one, as a cell does.
    """
    numbers = sorted({_number(cell.label) for cell in cells})
    rank = {number: place for place, number in enumerate(numbers)}
    base = {}
    for cell in cells:
        part, height = level[cell.left]
        base.setdefault(part, rank[_number(cell.label)] - height)
    tied = {}
    for one in resistors:
        (a, low), (b, high) = level[one.left], level[one.right]
        if a != b and b not in tied and not _hangs_on(tied, a, b):
            base[b], tied[b] = base[a] + low + 1 - high, a
    settled = {joint: height + base.get(part, 0) for joint, (part, height) in level.items()}
    level.clear()
    level.update(settled)
    return [*cells, *(_upward(one, level) for one in resistors)]


def _hangs_on(tied, part, other):
    """Whether a part was placed by another."""
    while part is not None and part != other:
        part = tied.get(part)
    return part == other


def _upward(one, level):
    """A link drawn from its lower to its higher end."""
    if level.get(one.left, 0) <= level.get(one.right, 0):
        return one
    return Element(one.right, one.left, None, "", "link", ohm=one.ohm)


def _number(label):
    return int(label.rstrip(string.ascii_uppercase))


def _columns(elements, level):
    """Column of each element, without empty columns."""
    wished = [level.get(each.left, 0) for each in elements]
    order = {height: column for column, height in enumerate(sorted(set(wished)))}
    return [order[height] for height in wished]


def _rows(elements, column_of):
    """Row of each element: straight on from the cell before it, else by its letter."""
    all_ends, cell_ends = defaultdict(int), defaultdict(int)
    for each in elements:
        for joint in (each.left, each.right):
            all_ends[joint] += 1
            cell_ends[joint] += bool(each.label)
    letters = {_letters(each) for each in elements if each.label}
    letters = sorted(letters, key=lambda name: (len(name), name))
    rank = {name: row for row, name in enumerate(letters)}
    by_column = defaultdict(list)
    for number, column in enumerate(column_of):
        by_column[column].append(number)
    row_of, before = [0] * len(elements), {}
    for column in sorted(by_column):
        taken, rest = {}, []
        for number in by_column[column]:
            each = elements[number]
            straight = all_ends[each.left] == 2 or (each.label and cell_ends[each.left] == 2)
            row = before.get(each.left) if straight else None
            if row is None or row in taken:
                wish = rank.get(_letters(each), 0)
                rest.append((not each.label, wish, number))
            else:
                taken[row] = number
        for _, wish, number in sorted(rest):
            taken[_free(taken, wish)] = number
        for row, number in taken.items():
            row_of[number] = row
        before = {elements[number].right: row for row, number in taken.items()}
    used = {row: place for place, row in enumerate(sorted(set(row_of)))}
    return [used[row] for row in row_of]


def _free(taken, wish):
    """The row wished for; else the first free one."""
    if wish not in taken:
        return wish
    return next(row for row in range(len(taken) + 1) if row not in taken)


def _letters(each):
    return each.label.lstrip(string.digits)
