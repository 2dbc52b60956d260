"""What the shared screen shows at each stage: one task in large letters, never what is open."""

from dataclasses import replace

from packlearn import pictures
from packlearn.panels.base import escape, paragraphs
from packlearn.panels.illustrations import fills, illustration
from packlearn.panels.screen_room import room_beside
from packlearn.pictures.room import SCREEN_PX
from packlearn.sheets.fitting import fitted
from packlearn.tasks import checking
from packlearn.words import say

# Stages from which on the answer, and the way to it, may be seen.
SHOWN = ("shown", "why")
VOTING = ("asked", "again")
# Steps of a working that stand on one screen together with the question.
MOST_STEPS = 6
# In lower rooms [px] a picture below a working would be squeezed; the class has seen it before.
_LOWEST_PX = {"bench-holder": 410, "sharing": 420, "sag": 370, "joined": 350}
_USUALLY_LOWEST_PX = 300


def answers_of(kind, first, again):
    """Rows of both votes' bars for a picture.

    Args:
        kind: "value" or "rule".
        first: ``live.Tally`` of the first vote.
        again: ``live.Tally`` of the second vote, or None.

    Returns:
        List of ``Answers``, those most often given in front.
    """
    counts = {}
    for place, tally in enumerate((first, again)):
        for bar in tally.bars if tally is not None else ():
            if bar.kind == kind:
                counts.setdefault((bar.label, bar.right), [0, 0])[place] += bar.count
    rows = [pictures.Answers(label, *pair, right) for (label, right), pair in counts.items()]
    return sorted(rows, key=lambda row: (-row.first - row.again, row.label))


def votes_picture(first, again, *, large=False):
    """Picture of both votes; None while the first has too few answers.

    Args:
        first: ``live.Tally`` of the first vote.
        again: ``live.Tally`` of the second vote, or None.
        large: True for the shared screen, which has room for the values only.
    """
    if first is None or not first.enough:
        return None
    again = again if again is not None and again.enough else None
    found = [(kind, answers_of(kind, first, again)) for kind in ("value", "rule")]
    groups = [(say(f"class_view.picture.{kind}"), rows) for kind, rows in found if rows]
    locked = again.locked if again is not None else None
    return pictures.tallied(groups[:1] if large else groups, first.locked, locked, large=large)


def screen(news):
    """HTML of the shared screen.

    Args:
        news: ``showing.News``; of its tallies only the number of answers is told before the
            answer is.
    """
    if news.moment is None:
        return _part("stage", say("class_view.projector.waiting"))
    stage, var = news.moment.stage, news.variant
    if stage == "done":
        return _part("stage", say("class_view.projector.stages.done"))
    parts = [_part("stage", say(f"class_view.projector.stages.{stage}"))]
    parts.append(_part("question", checking.text_of(var)))
    if news.moment.code and not news.moment.shared:
        parts.append(_part("example", say("class_view.projector.example")))
    if stage in SHOWN:
        return "".join(parts + _released(news, var, stage, parts))
    parts.append(_options(var))
    count = _part("count", _locked(news)) if stage in VOTING else ""
    return "".join([*parts, _of_task(var, False, [*parts, count]), count])


def _released(news, var, stage, above):
    parts = [_part("answer", say("panels.answer_is", answer=checking.answer_in_words(var)))]
    if stage == "why":
        lowest = _LOWEST_PX.get(var.task.picture, _USUALLY_LOWEST_PX)
        steps = checking.working(var)[:MOST_STEPS]
        after = [var.task.after] if var.task.after else []
        parts.append(f"<div class='packlearn-shared-why'>{paragraphs([*steps, *after])}</div>")
        return [*parts, _of_task(var, True, [*above, *parts], lowest)]
    drawn = votes_picture(news.first, news.again, large=True)
    return [*parts, _drawn(drawn) if drawn else _of_task(var, True, [*above, *parts])]


def _options(var):
    """What there is to choose from; a class without screens of its own must read it."""
    if var.task.kind != "choice":
        return ""
    options = paragraphs(checking.options_of(var).values(), tag="li")
    return f"<ul class='packlearn-shared-options'>{options}</ul>"


def _locked(news):
    tally = news.again if news.moment.stage == "again" else news.first
    if not news.moment.code:
        return say("class_view.projector.hands")
    return say("class_view.projector.locked", count=tally.locked, seats=tally.seats)


def _of_task(var, shown, others, least_px=0):
    """A task's own picture, its letters as large as the text, in what room the others leave.

    Args:
        var: the ``Variant``.
        shown: whether the answer may be seen.
        others: HTML of the other parts of the screen.
        least_px: lower rooms than this [px] hold no picture.
    """
    room = room_beside(others)
    if room.height < least_px:
        return ""
    drawn = illustration(var, shown, room)
    if drawn and not fills(var, shown):
        svg = fitted(drawn.svg, room.width, SCREEN_PX, room.height)
        drawn = replace(drawn, svg=svg)
    return _drawn(drawn)


def _drawn(drawn):
    return f"<div class='packlearn-shared-picture'>{drawn.svg}</div>" if drawn else ""


def _part(name, text):
    return f"<p class='packlearn-shared-{name}'>{escape(text)}</p>"
