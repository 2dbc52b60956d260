"""A class's answers as bars, the first vote and the second one side by side."""

from typing import NamedTuple

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.words import say, word

MOST_VOTES = 200


class Answers(NamedTuple):
    """One answer, or one wrong rule, and how many gave it.

    Args:
        label: the answer, or what the rule did.
        first: how many in the first vote.
        again: how many in the second vote.
        right: True for the right answer.
    """

    label: str
    first: int
    again: int = 0
    right: bool = False


class _Sheet(NamedTuple):
    """Measures of one size [px], and how many rows the groups have."""

    width: int
    letters: int
    row: int
    label: int
    column: int
    most: tuple

    @property
    def title(self):
        return round(1.7 * self.letters)

    @property
    def height(self):
        return round(1.9 * self.letters) + sum(self.title + n * self.row for n in self.most)


_SMALL = _Sheet(width=780, letters=13, row=31, label=310, column=229, most=(5, 5))
# For a shared screen: 32 px are the 24 pt that the last row of a room can read. One group.
_LARGE = _Sheet(width=1280, letters=32, row=50, label=560, column=354, most=(5,))


def tallied(groups, first, again=None, *, large=False):
    """Picture of how many gave which answer.

    Args:
        groups: pairs of a title and ``Answers``, those to be shown first in front: two groups
            at most, or one where large.
        first: number of answers in the first vote, 1 to 200.
        again: number of answers in the second vote, None where there was none.
        large: True for a shared screen, whose letters are 32 px.

    Returns:
        ``Picture``, 780 x 379, or 1280 x 365 where large; the same for any number of rows.

    Raises:
        BadValue: too many groups, or a number of answers that cannot be.
    """
    sheet = _LARGE if large else _SMALL
    d.check_length("groups", groups, len(sheet.most))
    votes = [(0, word("class_view.picture.first"), d.check_count("first", first, MOST_VOTES))]
    if again is not None:
        count = d.check_count("again", again, MOST_VOTES)
        votes.append((1, word("class_view.picture.again"), count))
    parts = [_head(sheet, *vote) for vote in votes]
    drawn, top = [], round(1.9 * sheet.letters)
    for (title, rows), most in zip(groups, sheet.most, strict=False):
        rows = _gathered([_checked(row, votes) for row in rows], most)
        drawn.append((d.clean(title), rows))
        parts += _group(sheet, drawn[-1], top, votes)
        top += sheet.title + most * sheet.row
    return d.picture(sheet.width, sheet.height, parts, _sentence(drawn, votes))


def _checked(row, votes):
    for place, _, whole in votes:
        if not 0 <= _count(row, place) <= whole:
            raise BadValue("class_view.picture.count", value=_count(row, place), limit=whole)
    return row._replace(label=d.clean(row.label))


def _count(row, place):
    return (row.first, row.again)[place]


def _gathered(rows, most):
    """Rows that fit; those left over share one, but never the right answer."""
    if len(rows) <= most:
        return rows
    right = [row for row in rows if row.right]
    wrong = [row for row in rows if not row.right]
    kept, left = wrong[: most - 1 - len(right)], wrong[most - 1 - len(right) :]
    others = word("class_view.picture.others")
    rest = Answers(others, sum(row.first for row in left), sum(row.again for row in left))
    return [*(row for row in rows if row in right or row in kept), rest]


def _head(sheet, place, title, count):
    told = say("class_view.picture.head", title=title, count=count)
    return d.text(_left(sheet, place), 1.2 * sheet.letters, told, "strong", sheet.letters)


def _left(sheet, place):
    return sheet.label + place * (sheet.column + 12)


def _group(sheet, group, top, votes):
    title, rows = group
    parts = [d.text(0, top + 1.15 * sheet.letters, title, "quiet", sheet.letters)]
    for place, row in enumerate(rows):
        parts += _row(sheet, row, top + sheet.title + place * sheet.row, votes)
    return parts


def _row(sheet, row, top, votes):
    size, middle = sheet.letters, top + 0.5 * sheet.row
    left = 1.6 * size
    parts = _tick(0.7 * size, middle, 0.55 * size) if row.right else []
    lines = _lines(row.label, sheet.label - left - size, size)
    look = "strong" if row.right else ""
    y = middle + 0.36 * size - (len(lines) - 1) * 0.55 * size
    for at, line in enumerate(lines):
        parts.append(d.text(left, y + at * 1.1 * size, line, look, size))
    for place, _, whole in votes:
        parts += _bar(sheet, _left(sheet, place), middle, _count(row, place), whole)
    return parts


def _lines(label, room, size):
    """A label in one line, or in two where letters are small."""
    if size > 20 or d.text_width(label, size, bold=True) <= room:
        return [d.clip(label, room, size, bold=True)]
    words, first = label.split(), ""
    while words and d.text_width(f"{first} {words[0]}".strip(), size, bold=True) <= room:
        first = f"{first} {words.pop(0)}".strip()
    if not first:
        return [d.clip(label, room, size)]
    return [first, d.clip(" ".join(words), room, size, bold=True)]


def _bar(sheet, x, middle, count, whole):
    size, share = sheet.letters, count / whole
    room = sheet.column - d.text_width("200 (100 %)", size) - 8
    half = 0.3 * sheet.row
    words = say("class_view.picture.bar", count=count, share=round(100 * share))
    bar = d.shape(d.box(x, middle - half, share * room, 2 * half), "cell") if count else ""
    axis = d.shape(d.line(x, middle - half - 3, x, middle + half + 3), "axis")
    return [bar, axis, d.text(x + share * room + 8, middle + 0.36 * size, words, "", size)]


def _tick(x, y, radius):
    tick = f"M{d.n(x - 0.5 * radius)} {d.n(y)}l{d.n(0.4 * radius)} {d.n(0.45 * radius)}"
    tick += f"l{d.n(0.65 * radius)} {d.n(-0.85 * radius)}"
    return [d.shape(d.ring(x, y, radius), "yes-ring"), d.shape(tick, "yes-tick")]


def _sentence(groups, votes):
    told = []
    for place, title, whole in votes:
        told.append(say("class_view.picture.told", title=title, count=whole))
        for name, rows in groups:
            told.append(say("class_view.picture.group", title=name))
            told += [_told(row, _count(row, place), whole) for row in rows]
    return d.sentences(*told)


def _told(row, count, whole):
    key = "class_view.picture.right" if row.right else "class_view.picture.one"
    share = round(100 * count / whole)
    return say(key, label=row.label.rstrip("."), count=count, share=share)
