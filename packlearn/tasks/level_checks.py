"""Checks of a task's level, and of the figures its text may leave out."""

import string

from packlearn.tasks.answers import ASKED
from packlearn.tasks.levels import CLOSES, LEVELS, OPENS, bracketed, fields_of, outside
from packlearn.words import say, word

# Kinds of answer that need every figure of their formula.
MAY_MISS = ("number", "count")


def wrong_level(entry):
    """What is wrong with a task's level and with what its text may leave out, or None.

    Args:
        entry: the table as read; its text and what it asks for are known to be good.

    Returns:
        The key at fault and what it must be, in words.
    """
    level = entry.get("level", "plain")
    if level not in LEVELS:
        return "level", say("tasks.mends.one_of", known=", ".join(LEVELS))
    if level == "led" and "formula" not in word(f"tasks.working.{entry['asked']}"):
        return "level", say("tasks.mends.no_formula", asked=entry["asked"])
    return _wrong_figures(entry, level) or _wrong_brackets(entry)


def _wrong_figures(entry, level):
    may_miss = entry.get("may_miss", [])
    if not isinstance(may_miss, list) or not all(isinstance(name, str) for name in may_miss):
        return "may_miss", word("tasks.mends.texts")
    if not may_miss:
        return None
    if level != "open" or ASKED[entry["asked"]].kind not in MAY_MISS:
        return "may_miss", say("tasks.mends.open_only", kinds=", ".join(MAY_MISS))
    if "picture" in entry:
        return "may_miss", word("tasks.mends.no_picture")
    # A cell brings its figures along; a formula that needs the cell needs some of them.
    needed = {name for name in ASKED[entry["asked"]].needs if name != "cell"}
    if "cell" in ASKED[entry["asked"]].needs:
        needed |= {name for name in may_miss if name.startswith("cell_") and name != "cell_title"}
    if set(may_miss) - needed:
        return "may_miss", say("tasks.mends.needed", known=", ".join(sorted(needed)))
    return None


def _wrong_brackets(entry):
    text, may_miss = entry["text"], set(entry.get("may_miss", []))
    if not _readable(text):
        # Told with the other fields of the text.
        return None
    parts, rest = bracketed(text), outside(text)
    hidden = [set(fields_of(part)) for part in parts]
    whole = OPENS not in rest and CLOSES not in rest and not any(OPENS in part for part in parts)
    one_each = all(len(names & may_miss) == 1 for names in hidden)
    if whole and one_each and may_miss <= set().union(*hidden) - set(fields_of(rest)):
        return None
    return "text", say("tasks.mends.brackets" if may_miss else "tasks.mends.no_brackets")


def _readable(text):
    try:
        return bool(list(string.Formatter().parse(text))) or not text
    except ValueError:
        return False
