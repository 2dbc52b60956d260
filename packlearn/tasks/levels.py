"""Levels of a task, and figures that the text of an open one may leave out."""

import re
import string

LEVELS = ("led", "plain", "open")
"""With formula and first step; plain; open, where a needed figure may be missing."""

# What a text tells of one figure stands between these, so that it can be left out.
OPENS, CLOSES = "[[", "]]"
_PART = re.compile(r"\[\[(.*?)\]\]", re.DOTALL)
# Fields that tell a given in other words.
_TELL = {"series_cells": "series", "parallel_strings": "parallel"}
_SAID_OTHERWISE = ("cell", "cell_title")

# One in so many variants of a task that may miss a figure has all of them.
COMPLETE_SHARE = 0.5


def left_out(givens):
    """Name of the figure that a variant's text does not tell, or None.

    Args:
        givens: the variant's.
    """
    return givens.get("missing")


def told_text(text, missing=None):
    """A task's text without what tells the missing figure, and without the brackets.

    Args:
        text: as it stands in the task.
        missing: name of the figure left out, or None.
    """
    kept = _PART.sub(lambda part: "" if missing in fields_of(part[1]) else part[1], text)
    return re.sub(r" {2,}", " ", kept).replace(" .", ".").strip() if kept != text else text


def bracketed(text):
    """Parts of a text that may be left out, without their brackets."""
    return tuple(_PART.findall(text))


def outside(text):
    """A text without all parts that may be left out."""
    return _PART.sub("", text)


def fields_of(text):
    """Names of the givens a text tells, in order, each once."""
    names = (field for _, field, _, _ in string.Formatter().parse(text) if field)
    return tuple(dict.fromkeys(_TELL.get(name, name) for name in names))


def figures_of(task):
    """Names of the figures a task's whole text tells, in order.

    Args:
        task: the ``Task``.
    """
    return tuple(name for name in fields_of(task.text) if name not in _SAID_OTHERWISE)
