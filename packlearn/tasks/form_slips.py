"""What is wrong with a line that ``tomllib`` cannot read, in the words of who wrote it.

``tomllib`` tells a line in its own English; here the line is looked at for the usual slips.
"""

import re

from packlearn.words import say

_PLACE = re.compile(r"at line (\d+)")
_CURLED = re.compile("[\u2018-\u201f\u00ab\u00bb]")
_STRAIGHT = re.compile(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'')
_COMMA = re.compile(r"=\s*(-?\d+),(\d+)")
_UNIT = re.compile(r"=\s*(-?\d+(?:\.\d+)?)\s*([A-Za-z%\u03a9\u00b5]{1,6})\s*(?:[,}#]|$)")
_NUMBER_UNIT = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*[A-Za-z%\u03a9\u00b5]{1,6}")
_HEAD = re.compile(r"\s*(?:\[\w+\]|\[\[\w+\]\])\s*(?:#.*)?$")
_BARE = re.compile(r"=\s*([A-Za-z][\w .-]*?)\s*(?:#.*)?$")
_KEY = re.compile(r"\s*([\w-]+)\s*=")
LONGEST, MOST_READ = 40, 2500


def line_of(text, trouble):
    """Number of the line, from 1, that a mistake of the form is on.

    Args:
        text: the whole file.
        trouble: what ``tomllib`` said.
    """
    rows = text.split("\n")
    found = _PLACE.search(str(trouble))
    line = min(int(found[1]), len(rows)) if found else len(rows)
    # A bracket that stays open is noticed lines below, where the next key begins.
    for at in range(line, 0, -1):
        row = _bare(rows[at - 1])
        if _KEY.match(row) or row.lstrip().startswith("["):
            return at if at < line and _open(row) else line
    return line


def reason(text, trouble):
    """What is wrong there, and the mend.

    Args:
        text: the whole file.
        trouble: what ``tomllib`` said.

    Returns:
        A sentence or two.
    """
    row = text.split("\n")[line_of(text, trouble) - 1].rstrip("\r")[:MOST_READ]
    if "overwrite" in str(trouble):
        key = _KEY.match(row)
        return say("task_files.form.twice", found=key[1] if key else row.strip()[:LONGEST])
    if "twice" in str(trouble):
        return say("task_files.form.table_twice")
    key, fields = _slip(row)
    return say(f"task_files.form.{key}", **fields)


def mend_of_formula(formula):
    """What a teacher may have meant who wrote a formula that cannot be read, or "".

    Args:
        formula: its text.
    """
    typed = formula.strip()[:LONGEST]
    if unit := _NUMBER_UNIT.fullmatch(typed):
        return say("task_files.form.unit", found=typed, mend=unit[1].replace(",", "."))
    if re.fullmatch(r"\d+,\d+", typed):
        return say("task_files.form.comma", found=typed, mend=typed.replace(",", "."))
    if re.search(r"(?<![=<>!])=(?!=)", formula):
        return say("task_files.mend.equals")
    return ""


def _slip(row):
    bare = _bare(row)
    if curled := _CURLED.search(bare):
        mend = re.sub(_CURLED, '"', row[max(0, curled.start() - 10) :].strip())
        return "quotes", {"mend": mend[:LONGEST] if len(mend) <= LONGEST else '"..."'}
    if comma := _COMMA.search(bare):
        return "comma", {"found": f"{comma[1]},{comma[2]}", "mend": f"{comma[1]}.{comma[2]}"}
    if unit := _UNIT.search(bare):
        return "unit", {"found": f"{unit[1]} {unit[2]}", "mend": unit[1]}
    return _slip_of_signs(row, bare)


def _slip_of_signs(row, bare):
    if re.search(r"=\s*\(", bare):
        return "round", {}
    if row.lstrip().startswith("[") and not _HEAD.match(row):
        return "head", {}
    if '"' in bare or "'" in bare:
        return "quote", {}
    if "=" not in bare:
        return "equals", {}
    if _open(bare):
        return "bracket", {}
    if (word := _BARE.search(bare)) and word[1] not in ("true", "false", "inf", "nan"):
        text = word[1][:LONGEST]
        return "bare", {"found": text, "mend": f'"{text}"'}
    return "other", {}


def _bare(row):
    """A line without its texts, so that what stands in them is no slip of the form."""
    return _STRAIGHT.sub("_", row).partition("#")[0]


def _open(bare):
    return any(bare.count(left) > bare.count(right) for left, right in ("[]", "{}"))
