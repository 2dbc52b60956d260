"""What the shared screen shows at each stage: one task in large letters, never what is open."""

import re
from dataclasses import replace

from packlearn import pictures
from packlearn.panels.base import escape, paragraphs
from packlearn.panels.illustrations import illustration
from packlearn.sheets.fitting import SIGN_WIDTH, fitted
from packlearn.tasks import checking
from packlearn.words import say

# Stages from which on the answer, and the way to it, may be seen.
SHOWN = ("shown", "why")
VOTING = ("asked", "again")
# Steps of a working that stand on one screen together with the question.
MOST_STEPS = 6
# Signs in a line of the smallest screen, and lines that leave room for a picture.
_SIGNS, _LINES = 66, 8
# Width of the smallest screen within its edges, and of the smallest letters: 24 pt.
_WIDTH_PX, _LEAST_PX = 1318, 32
# Signs of a label take so much together where it fills nine tenths of the width.
_LINE, _WIDE_PX = re.compile(r">([^<>]+)</text>"), 0.9 * _WIDTH_PX / SIGN_WIDTH
# Pictures whose labels stand in boxes that hold no larger letters.
_IN_BOXES_PX = {"short-near": 30, "short-far": 30, "run": 26}


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
        parts += _released(news, var, stage)
    else:
        parts += [_options(var), _of_task(var, shown=False)]
    if stage in VOTING:
        parts.append(_part("count", _locked(news)))
    return "".join(parts)


def _released(news, var, stage):
    parts = [_part("answer", say("panels.answer_is", answer=checking.answer_in_words(var)))]
    if stage == "why":
        steps = checking.working(var)[:MOST_STEPS]
        after = [var.task.after] if var.task.after else []
        parts.append(f"<div class='packlearn-shared-why'>{paragraphs([*steps, *after])}</div>")
        texts = [checking.text_of(var), *steps, *after]
        room = sum(-(-len(text) // _SIGNS) for text in texts) <= _LINES
        return [*parts, _of_task(var, shown=True) if room else ""]
    drawn = votes_picture(news.first, news.again, large=True)
    return [*parts, _drawn(drawn) if drawn else _of_task(var, shown=True)]


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


def _of_task(var, shown):
    """A task's own picture without its empty edges, its labels as large as the text if they fit.

    What is left of the screen decides: where it is too low, all of the picture is smaller.
    """
    drawn = illustration(var, shown=shown)
    if not drawn:
        return ""
    # A long line under a picture goes into the width as it is.
    longest = max(map(len, _LINE.findall(drawn.svg)), default=1)
    least = min(_IN_BOXES_PX.get(var.task.picture, _LEAST_PX), _WIDE_PX / longest)
    return _drawn(replace(drawn, svg=fitted(drawn.svg, _WIDTH_PX, least)))


def _drawn(drawn):
    return f"<div class='packlearn-shared-picture'>{drawn.svg}</div>" if drawn else ""


def _part(name, text):
    return f"<p class='packlearn-shared-{name}'>{escape(text)}</p>"
