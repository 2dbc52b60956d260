"""How far a learner is, as a picture, as sentences and as a table."""

from packlearn import pictures
from packlearn.panels import base
from packlearn.panels.base import escape, paragraphs
from packlearn.pictures.drawing import series_of
from packlearn.tasks.skills import skills
from packlearn.words import say, word

_COLUMNS = ("lesson", "skill", "state", "tries", "last", "back")


def state_of(standing):
    """How one stands in a skill: ``none``, ``begun``, ``over`` or ``safe``.

    Args:
        standing: its ``Standing``.
    """
    if standing.tried == 0:
        return "none"
    if standing.missed:
        return "over"
    return "safe" if standing.safe else "begun"


def progress_html(practice):
    """Picture, what is safe and what to go over, and the table.

    Args:
        practice: the ``Practice``.
    """
    drawn = pictures.progress(_groups(practice))
    standings = practice.standings.values()
    said = [
        say(f"practice.{state}", titles=series_of(titles))
        for state in ("over", "safe")
        if (titles := [_title(each) for each in standings if state_of(each) == state])
    ]
    return drawn.svg + paragraphs([*said, say("practice.rules")]) + _table(practice)


def _title(standing):
    return word(f"skills.{standing.skill}.title")


def _groups(practice):
    groups = {}
    for skill in skills():
        standing = practice.standings[skill.id]
        words = ""
        if standing.tried:
            fields = {"tries": _tries(standing), "back": _back(standing, practice.today)}
            words = say("practice.picture.line_words", **fields)
        line = pictures.Line(skill.title, state_of(standing), words)
        groups.setdefault(_lesson(skill), []).append(line)
    return groups.items()


def _lesson(skill):
    return say("practice.lesson", number=skill.lesson)


def _tries(standing):
    return say("practice.first_tries", right=standing.right_first, tried=standing.tried)


def _back(standing, today):
    days = (standing.due - today).days
    if days <= 0:
        return say("practice.back.today")
    return say("practice.back.tomorrow") if days == 1 else say("practice.back.days", days=days)


def _table(practice):
    heads = "".join(
        f"<th scope='col'>{escape(say(f'practice.table.{name}'))}</th>" for name in _COLUMNS
    )
    rows = "".join(_row(skill, practice) for skill in skills())
    caption = escape(say("practice.table.caption"))
    table = f"<caption>{caption}</caption><tr>{heads}</tr>{rows}"
    summary = f"<summary>{escape(say('practice.table.fold'))}</summary>"
    return f"<details>{summary}<table class='packlearn-table'>{table}</table></details>"


def _row(skill, practice):
    standing = practice.standings[skill.id]
    never = say("practice.table.never")
    tried = standing.tried > 0
    last = say("practice.table." + ("right" if standing.last_right else "wrong"))
    cells = (
        str(skill.lesson),
        skill.can,
        say(f"practice.states.{state_of(standing)}"),
        _tries(standing) if tried else never,
        last if tried else never,
        _back(standing, practice.today) if tried else never,
    )
    return f"<tr>{''.join(f'<td>{base.escape(text)}</td>' for text in cells)}</tr>"
