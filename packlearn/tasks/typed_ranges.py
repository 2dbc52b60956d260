"""What is typed as more than one number: a range, and one number written in two units.

The words of a range stand in ``data/words``, so that a translation brings its own.
"""

import functools
import re
from dataclasses import replace

from packlearn.errors import BadValue, PackError
from packlearn.quantities import MissingUnit, NoNumber, read, read_name
from packlearn.words import say, word

_DASHED = re.compile(r"(.+?)\s*(?:\.\.+|[-–—])\s*(.+)", re.DOTALL)
_UNIT = re.compile(r"[^\d.,\s][^\d]*$")
_TWICE = re.compile(r"([^()]+)\(([^()]+)\)")
_REMARK = re.compile(r"([^()]+)\([^()\d]*\)")
# A single number may be typed as a range where that is nearly one number, as shown answers are.
WIDEST_NUMBER = 1.25


@functools.cache
def _forms():
    """The ways to write a range, dashes last."""
    worded = (text.split("...") for text in word("typed.ranges"))
    return (*map(_form, worded), _DASHED)


def _form(pieces):
    before, between, after = (r"\s+".join(map(re.escape, re.split(r"\s+", p))) for p in pieces)
    return re.compile(f"{before}(.+?){between}(.+){after}", re.IGNORECASE | re.DOTALL)


def _ends(text):
    """Texts of the two ends of a range, or None."""
    found = filter(None, (form.fullmatch(text.strip()) for form in _forms()))
    return next(((one[1].strip(), one[2].strip()) for one in found), None)


def read_range(text, unit):
    """Low and high end of a typed range: "5 h to 7 h", "between 5 and 7 h", "5-7 h".

    Behind a comma and a space a remark may stand, as behind a shown answer.

    Args:
        text: as typed.
        unit: unit asked for.

    Returns:
        Two ``Reading``.

    Raises:
        PackError: it is no such range, or an end cannot be read.
    """
    try:
        return _read_range(text, unit)
    except PackError:
        whole, _, remark = text.partition(", ")
        if not remark or _ends(remark):
            raise
        return _read_range(whole, unit)


def _read_range(text, unit):
    ends = _ends(text)
    if ends is None:
        raise BadValue("tasks.estimate.one", value=text.strip()[:40], limit=unit)
    low, high = ends
    upper = read_twice(high, unit)
    try:
        return read_twice(low, unit), upper
    except MissingUnit:
        # "5 to 7 h": the unit behind the high end is meant for both.
        return read(f"{low} {_UNIT.search(high)[0]}", unit), upper


def read_twice(text, unit):
    """A number with its unit, which may stand there again in another one: "0.04 A (40 mA)".

    Args:
        text: as typed.
        unit: unit asked for.

    Returns:
        The ``Reading`` of the first one.

    Raises:
        PackError: it cannot be read, or the two are not the same.
    """
    try:
        return read(text, unit)
    except NoNumber:
        found = _TWICE.fullmatch(text.strip())
        if not found:
            raise
        first, second = (read(part, unit) for part in found.groups())
        # Each is rounded by half a step at most.
        apart = abs(first.value - second.value)
        if first.unit != second.unit or apart >= (first.step + second.step) / 2:
            raise
        return replace(first, typed=text.strip())


def read_one(text, unit):
    """A number with its unit; a narrow range stands for its middle.

    Args:
        text: as typed.
        unit: unit asked for.

    Returns:
        ``Reading``.

    Raises:
        PackError: it cannot be read, or is a wide range.
    """
    try:
        return read_twice(text, unit)
    except NoNumber:
        if _ends(text) is None:
            raise
        try:
            low, high = _read_range(text, unit)
        except PackError:
            low = high = None
        if low is None or not _narrow(low, high):
            raise
        return _middle(low, high, text)


def _narrow(low, high):
    same = low.unit == high.unit and low.same_kind and high.same_kind
    return same and 0 < low.value < high.value <= WIDEST_NUMBER * low.value


def _middle(low, high, text):
    says = say("typed.middle", low=low.typed, high=high.typed)
    value = (low.value + high.value) / 2
    return replace(high, value=value, typed=text.strip(), says=says)


def read_pack(text):
    """Series and parallel of a pack's name; a remark without numbers may stand in brackets.

    Args:
        text: as typed.

    Raises:
        PackError: it is no such name.
    """
    remark = _REMARK.fullmatch(text.strip())
    return read_name(remark[1] if remark else text)
