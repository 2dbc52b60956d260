"""What could be better about a teacher's task: advice, no mistakes."""

import difflib
import re
import string

from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import names
from packlearn.tasks.givens import unit_of
from packlearn.tasks.skills import skills
from packlearn.words import say, word

ENOUGH = 10
# A task with fewer sets of numbers than this, or with answers this near, is soon known by heart.
FEW_SETS, FEW_ANSWERS = 5, 3
# What a picture tells besides the text.
_PICTURED = {"series", "parallel", "strings", "fault_number", "red_joint", "black_joint"}
_TELL = {"series_cells": "series", "parallel_strings": "parallel"}
_ON_LABEL = {"cell_nominal_voltage_v"}
# Kinds of answer of which all can be said by the text.
_PLAIN = ("number", "range", "count", "name", "choice", "design", "numbers")
# Kinds whose picture or panel shows what the cells are like.
_SHOWN = ("wire", "fault", "pick", "order")


def hints(task, drawn, answers, slips):
    """What could be better about a task that was tried.

    Args:
        task: the ``Task``.
        drawn: its variants.
        answers: their answers in words.
        slips: of each of them, a tuple of ``Slip``.

    Yields:
        Sentences.
    """
    yield from _skill(task)
    yield from _comma(task)
    yield from _doubled(task)
    yield from _untold(task)
    yield from _untold_width(task)
    yield from _alike(task, drawn, answers)
    shared = {}
    for row in slips:
        for slip in row:
            others = {other.id for other in row if other.value == slip.value} - {slip.id}
            for other in others:
                pair = " / ".join(sorted((slip.id, other)))
                shared.setdefault(pair, set()).add(id(row))
    for pair, rows in sorted(shared.items()):
        key = "always" if len(rows) == len(drawn) else "sometimes"
        yield say(f"preview.hints.shared_{key}", pair=pair)
    if not any(slips) and task.kind in _PLAIN:
        yield word("preview.hints.no_slips")


def _doubled(task):
    for name in sorted(_fields([task.text])):
        unit = unit_of(name)
        if unit and re.search(rf"\{{{name}\}} ?{re.escape(unit)}(?!\w)", task.text):
            yield say("preview.hints.doubled", name=name, unit=unit)


def _untold(task):
    fields = _fields([task.text])
    told = {_TELL.get(name, name) for name in fields}
    told |= _PICTURED if task.picture else set()
    used = {name for formula in _texts(task) for name in names(formula)}
    for name in task.sources if task.kind in _PLAIN else ():
        if not name.startswith("fit_") and name not in told and name not in used:
            needed = name in ASKED[task.asked].needs
            yield say("preview.hints.untold" if needed else "preview.hints.unused", name=name)
    needed = _fields(word(f"tasks.working.{task.asked}").get("steps", []))
    own = {name for name in needed if name.startswith("cell_")}
    if len(task.cells) == 1 and "cell_title" in told:
        # What stands on the label of the one cell is soon known.
        own -= _ON_LABEL
    if task.cells and task.kind not in _SHOWN and own - told:
        yield say("preview.hints.untold_cell", names=", ".join(sorted(own - told)))


def _untold_width(task):
    widest = ASKED[task.asked].widest
    if task.kind == "estimate" and f"{widest:g}" not in task.text:
        yield say("preview.hints.width", most=f"{widest:g}")


def _skill(task):
    known = [each.id for each in skills()]
    near = difflib.get_close_matches(task.skill.lower(), known, n=1, cutoff=0.7)
    if task.skill not in known and near:
        yield say("preview.hints.skill", name=task.skill[:60], near=near[0])


def _comma(task):
    """A decimal comma in a text, and a list in which one was meant."""
    for found in re.findall(r"(?<![\d.,])(\d+),(\d+)(?![\d,])", f"{task.text} {task.after}"):
        yield say("preview.hints.comma", found=",".join(found), mend=".".join(found))


def _texts(task):
    return [source for source in task.sources.values() if isinstance(source, str)]


def _fields(texts):
    """Names of the {fields} of some texts."""
    parsed = (part for text in texts for part in string.Formatter().parse(text))
    return {name for _, name, _, _ in parsed if name}


def _alike(task, drawn, answers):
    sets = {tuple(sorted((k, v) for k, v in each.givens.items())) for each in drawn}
    if len(drawn) >= ENOUGH and len(sets) < FEW_SETS:
        yield say("preview.hints.few_sets", count=len(sets), tried=len(drawn))
    most_few = 1 if ASKED[task.asked].kind == "choice" else FEW_ANSWERS - 1
    if len(drawn) >= ENOUGH and len(set(answers)) <= most_few and task.kind in _PLAIN:
        yield say("preview.hints.few_answers", count=len(set(answers)), tried=len(drawn))
