"""Skills, one line each, with a mark for how one stands in it."""

from typing import NamedTuple

from packlearn.pictures import drawing as d
from packlearn.words import say, word

WIDTH = 860
STATES = ("none", "begun", "over", "safe")
MOST_GROUPS, MOST_LINES = 24, 60
_ROW, _TOP, _LEGEND = 19, 14, 34
_COLUMN, _GAP, _MARK, _NAME, _ROOM = 424, 12, 9, 22, 186


class Line(NamedTuple):
    """One skill.

    Args:
        title: what it is about.
        state: ``none`` (not tried), ``begun``, ``over`` (to go over) or ``safe``.
        words: what stands beside it, numbers included; ``""`` for nothing.
    """

    title: str
    state: str
    words: str = ""


def progress(groups):
    """Picture of skills, in two columns, grouped by lesson.

    Args:
        groups: pairs of a group's title and its ``Line``s; 1 to 24 groups, 60 lines at most.

    Returns:
        ``Picture``, 860 wide; its height depends on how many groups and lines there are only.

    Raises:
        BadValue: too many groups or lines, or an unknown state.
    """
    groups = [(d.clean(title), list(lines)) for title, lines in groups]
    d.check_length("groups", groups, MOST_GROUPS)
    every = [line for _, lines in groups for line in lines]
    d.check_length("lines", every, MOST_LINES)
    for line in every:
        d.check_choice("state", line.state, STATES)
    columns = _columns(groups)
    rows = max(sum(1 + len(lines) for _, lines in column) for column in columns)
    height = _TOP + _ROW * rows + _LEGEND
    parts = []
    for place, column in enumerate(columns):
        parts += _column(column, place * (_COLUMN + _GAP))
    parts += _legend(height - 10)
    return d.picture(WIDTH, height, parts, _sentence(groups, every))


def _columns(groups):
    """Groups in two columns as equal as their order allows."""
    heights = [1 + len(lines) for _, lines in groups]
    cuts = range(len(groups) + 1)
    cut = min(cuts, key=lambda at: max(sum(heights[:at]), sum(heights[at:])))
    return groups[:cut], groups[cut:]


def _column(groups, left):
    parts, y = [], _TOP
    for title, lines in groups:
        parts.append(d.text(left, y, d.clip(title, _COLUMN, 12), "quiet", 12))
        rule = d.line(left + d.text_width(title, 12) + 8, y - 4, left + _COLUMN, y - 4)
        parts.append(d.shape(rule, "rule"))
        y += _ROW
        for line in lines:
            parts += _row(line, left, y)
            y += _ROW
    return parts


def _row(line, left, y):
    room = _COLUMN - _NAME - _ROOM - 8
    parts = _mark(line.state, left + _MARK, y - 4.5)
    look = "quiet" if line.state == "none" else ""
    parts.append(d.text(left + _NAME, y, d.clip(line.title, _ROOM, 13), look, 13))
    if line.words:
        x = left + _NAME + _ROOM + 8
        parts.append(d.text(x, y, d.clip(line.words, room, 12), "", 12))
    return parts


def _mark(state, x, y):
    """Each state has a shape of its own: a ring, half a disc in it, a triangle, a full disc."""
    if state == "over":
        return [d.shape(f"M{d.n(x)} {d.n(y - 5.5)}l6 10.5h-12z", "mark-over")]
    parts = [d.shape(d.ring(x, y, 5), "mark-safe" if state == "safe" else "mark-ring")]
    if state == "begun":
        half = f"M{d.n(x)} {d.n(y + 5)}a5 5 0 0 1 0 -10z"
        parts.append(d.shape(half, "mark-half"))
    return parts


def _legend(y):
    parts, x = [], 0.0
    for state in STATES:
        name = word(f"practice.states.{state}")
        parts += [*_mark(state, x + _MARK, y - 4.5), d.text(x + _NAME, y, name, "quiet", 12)]
        x += _NAME + d.text_width(name, 12) + 24
    return parts


def _sentence(groups, every):
    counts = {state: sum(line.state == state for line in every) for state in STATES}
    told = [say("practice.picture.counts", count=len(every), **counts)]
    for title, lines in groups:
        tried = [line for line in lines if line.state != "none"]
        untried = [line.title for line in lines if line.state == "none"]
        said = [
            say(
                "practice.picture.line",
                title=d.clean(line.title),
                state=word(f"practice.states.{line.state}"),
                words=d.clean(line.words),
            )
            for line in tried
        ]
        if untried:
            said.append(say("practice.picture.untried", titles=d.series_of(untried)))
        told.append(say("practice.picture.group", title=title, lines=" ".join(said)))
    return d.sentences(*told)
