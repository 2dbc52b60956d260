"""Numbers as people type them, and as we write them; no units here.

``quantities.py`` is the public face. What cannot be read for sure is asked
back with one of the exceptions below; nothing is guessed.
"""

import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from packlearn.errors import BadValue
from packlearn.words import say, word

LONGEST_TEXT = 60
LONGEST_SHOWN = 30
LARGEST, SMALLEST = 1e15, 1e-15

# Digits and spaces of other scripts are handled by their Unicode class. Here:
# minus and hyphens, the Arabic decimal mark, the curly apostrophe; micro and ohm.
_SAME = str.maketrans("\u2212\u2010\u2011\u2013\ufe63\u066b\u2019", "-----,'")
_SYMBOLS = {0xB5: "u", 0x3BC: "u", 0x3A9: "ohm", 0x2126: "ohm"}
_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)}

# Groups of three after spaces or apostrophes can only be thousands. Points and
# commas are looked at in _ask_about_marks().
BODY = r"(?:\d{1,3}(?:[ ']\d{3})+(?!\d)(?:[.,]\d*)?|[\d.,]*\d[.,]?)"
NUMBER = rf"(?P<sign>[+-]?) ?(?P<body>{BODY})(?P<power>[eE][+-]?\d{{1,3}})?"
_THOUSANDS_OR_DECIMALS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_SPACES, _BETWEEN_DIGITS, _MARKS = re.compile(" +"), re.compile("[ ']"), re.compile("[.,]")
_POINT_AT_END, _SQUARE = re.compile(r"(?<=[A-Za-z%])\.$"), re.compile(r"m(?:\^2|2)(?!\d)")
_NO_WHOLE, _ZEROS = re.compile(r"^(-?)(?=\.)"), re.compile(r"^(-?)0+(?=\d)")
_NO_DECIMALS = re.compile(r"\.(?=e|$)")
_GROUPED = re.compile(r"\d{1,3}(?:,\d{3})+|\d{1,3}(?:\.\d{3})+")


class NoNumber(BadValue):
    """The text cannot be read as a number with a unit."""


class MissingUnit(BadValue):
    """A number stands there without its unit."""


class AmbiguousNumber(BadValue):
    """The text can be read in two ways, such as ``1,900 mAh``."""


class UnknownUnit(BadValue):
    """The unit is none of the known ones."""


class BadName(BadValue):
    """The text is not the name of a pack, such as ``5S3P``."""


@dataclass(frozen=True, kw_only=True)
class Number:
    """A number as typed: its value, its text, and how precisely it was given."""

    value: float
    text: str
    digits: int
    decimals: int


def shown(text):
    """Typed text as a message may repeat it: short, nothing hidden in it."""
    text = "".join(c if c.isprintable() else "?" for c in text)
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 3] + "..."


def tidy(text, forms):
    """Text with digits, spaces, minus and micro signs of every kind made plain.

    Args:
        text: what was typed.
        forms: forms that work, for the message.

    Raises:
        NoNumber: no text, nothing in it, too long, or hidden characters in it.
    """
    if not isinstance(text, str):
        raise NoNumber("quantities.not_text", value=type(text).__name__)
    text = text.strip()
    if not text:
        raise NoNumber("quantities.empty", value="", limit=forms)
    if len(text) > LONGEST_TEXT:
        raise NoNumber("quantities.too_long", value=len(text), limit=LONGEST_TEXT)
    # Nearly everything is typed in plain signs.
    plain = text
    if not (text.isascii() and text.isprintable()):
        plain = "".join(map(_plain_character, text.translate(_FULL_WIDTH)))
        if not plain.isprintable():
            raise NoNumber("quantities.hidden", value=shown(text), limit=forms)
        plain = plain.translate(_SAME).translate(_SYMBOLS)
    plain = _POINT_AT_END.sub("", _SPACES.sub(" ", plain))
    return _SQUARE.sub("m²", plain)


def _plain_character(character):
    if unicodedata.category(character) == "Zs" or character == "\t":
        return " "
    # Only true digits: a raised 3 is a power and must not become a 3.
    return str(unicodedata.decimal(character, character))


def number(found, line, forms, with_unit):
    """Number of a match of ``NUMBER``.

    Args:
        found: the match.
        line: the whole text, for messages.
        forms: forms that work, for messages.
        with_unit: function that puts the unit to the text of a number, for messages.

    Raises:
        AmbiguousNumber: commas and points may mean two things.
        NoNumber: infinite, or so large or small that it cannot be meant.
    """
    sign, power = found["sign"].replace("+", ""), (found["power"] or "").lower()
    body = _BETWEEN_DIGITS.sub("", found["body"])
    _ask_about_marks(body, shown(line), lambda digits: with_unit(sign + digits + power))
    body = body.replace(",", ".")
    whole, _, decimals = body.partition(".")
    value = in_range(float(sign + body + power), line, forms)
    if value == 0 and body.strip("0."):
        raise NoNumber("quantities.out_of_range", value=shown(line), limit=forms)
    digits = len((whole + decimals).lstrip("0")) or 1
    text = _trimmed(sign + body + power)
    return Number(value=value, text=text, digits=digits, decimals=len(decimals))


def _trimmed(text):
    """``.5`` as ``0.5``, ``5.`` as ``5`` and ``007`` as ``7``."""
    text = _NO_WHOLE.sub(r"\g<1>0", text)
    return _ZEROS.sub(r"\g<1>", _NO_DECIMALS.sub("", text))


def in_range(value, line, forms):
    """The value, if a battery or a device can have it; minus zero becomes zero."""
    if value != 0 and not SMALLEST <= abs(value) <= LARGEST:
        raise NoNumber("quantities.out_of_range", value=shown(line), limit=forms)
    return value + 0.0


def _ask_about_marks(body, line, mend):
    """Raise ``AmbiguousNumber`` if commas and points may stand for thousands."""
    marks = _MARKS.findall(body)
    if len(marks) > 1:
        pieces = _MARKS.split(body) + [""] * bool(_GROUPED.fullmatch(body))
        limit = mend(unmistakable(_trimmed(f"{''.join(pieces[:-1])}.{pieces[-1]}")))
        raise AmbiguousNumber("quantities.many_marks", value=line, limit=limit)
    if _THOUSANDS_OR_DECIMALS.fullmatch(body):
        mark = word("quantities.comma" if marks == [","] else "quantities.point")
        whole, decimals = body.replace(",", ".").split(".")
        decimal = unmistakable(f"{whole}.{decimals}".rstrip("0").rstrip("."))
        limit = either([mend(whole + decimals), mend(decimal)])
        raise AmbiguousNumber("quantities.thousands", value=line, mark=mark, limit=limit)


def unmistakable(text):
    """The number with a zero more where it would be asked back: 1.234 as 1.2340."""
    return text + "0" if _THOUSANDS_OR_DECIMALS.fullmatch(text.lstrip("-")) else text


def either(texts):
    """``A``, ``A or B``, ``A, B or C``."""
    if len(texts) == 1:
        return texts[0]
    return say("quantities.or", first=", ".join(texts[:-1]), second=texts[-1])


def rounded(value, digits):
    """Decimal of a float with so many significant digits; a 5 is rounded up.

    The float is first taken at twelve digits, so that 1.365 becomes 1.37 although
    the nearest float lies below it.
    """
    exact = Decimal(f"{float(value):.12g}")
    if exact == 0:
        return Decimal(0)
    step = Decimal((0, (1,), exact.adjusted() - digits + 1))
    return exact.quantize(step, rounding=ROUND_HALF_UP)


def plain(value, digits=12):
    """Text of a number without exponent and without zeros at the end."""
    text = format(rounded(value, digits), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
