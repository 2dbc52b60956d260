"""What every picture is made of: SVG elements as text, text widths, and sentences.

A picture is a pure function of plain values. It returns a ``Picture``: the SVG and the
sentence that says the same in words. Colours, strokes and fonts come from classes in
``data/style.css``, so the same text serves a light page, a dark page and paper.
"""

import functools
import html
import math
import re
import unicodedata
from dataclasses import dataclass
from importlib.resources import files
from numbers import Real

from packlearn.errors import BadValue
from packlearn.quantities import write
from packlearn.words import as_shown, say, word

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
MINUS = "\u2212"
LONGEST_TEXT = 200
# Characters XML 1.0 does not allow; a learner's text could hold them.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

# Widths in parts of the letter size. They follow DejaVu Sans, the widest of the usual page
# fonts, so what fits by this table fits on every machine.
_WIDTHS = {
    0.28: "ijl'",
    0.32: "IJ,. \u00b7",
    0.36: "f/:;\\|",
    0.40: "t()-[]",
    0.44: "r!\u00b2\u00b3",
    0.52: '"*_`\u2013\u00b0',
    0.56: "cszL?",
    0.60: "kvxyF",
    0.64: "0123456789abdeghnopquEPST${}\u00b5",
    0.68: "KY",
    0.72: "ABCRVXZ",
    0.76: "HNU",
    0.80: "DGOQ&",
    0.84: "w#+<=>^~\u2212\u00d7",
    0.88: "M",
    1.00: "mW@%\u2026",
}
_WIDTH = {char: share for share, chars in _WIDTHS.items() for char in chars}
_UNKNOWN_WIDTH = 1.1


@dataclass(frozen=True)
class Picture:
    """A drawing and the same in words.

    Args:
        svg: one SVG element, complete.
        sentence: what it shows, with every number in it, for those who hear the page.
    """

    svg: str
    sentence: str

    def _repr_html_(self):
        return f"<style>{style_sheet()}</style>{self.svg}"


@functools.cache
def style_sheet():
    """The product's one style sheet, as text: for pictures, panels and paper."""
    return (files("packlearn") / "data" / "style.css").read_text(encoding="utf-8")


def picture(width, height, parts, sentence):
    """Picture of a fixed size from the text of its parts.

    Args:
        width: width [px].
        height: height [px].
        parts: SVG elements as texts.
        sentence: what the picture shows.
    """
    label = escape(sentence, len(sentence))
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pl-picture" role="img" '
        f'aria-label="{label}" width="{width}" height="{height}" '
        # Made smaller, it keeps the left edge of the texts around it.
        f'viewBox="0 0 {width} {height}" preserveAspectRatio="xMinYMid">'
        f'<g aria-hidden="true">{"".join(parts)}</g></svg>'
    )
    return Picture(svg, as_shown(clean(sentence, len(sentence))))


# --- numbers and words ------------------------------------------------------------------


@functools.lru_cache(maxsize=8192)
def n(value):
    """A coordinate as short text: one decimal at most."""
    shown = f"{value:.1f}"
    return shown[:-2] if shown.endswith(".0") else shown


def clean(content, longest=LONGEST_TEXT):
    """Text without what XML forbids, and not longer than ``longest`` characters."""
    return _NOT_XML.sub("\ufffd", str(content))[:longest]


def escape(content, longest=LONGEST_TEXT):
    """Text made safe for an SVG element or an attribute, as it stands on screen."""
    return html.escape(as_shown(clean(content, longest)), quote=True)


def amount(value, unit):
    """A value with its unit, or "?" where the value is None (not told yet)."""
    return word("pictures.unknown") if value is None else write(value, unit)


def reading(volts):
    """A voltage as a meter shows it, two decimals; no decimals at the zero."""
    return "0 V" if volts == 0 else f"{volts:.2f} V"


def series_of(items):
    """Items in one phrase: "A", "A and B", "A, B and C"."""
    items = [str(item) for item in items]
    if len(items) < 2:
        return "".join(items)
    return say("pictures.list_end", start=", ".join(items[:-1]), last=items[-1])


def check_length(name, items, most):
    """Items as a list; raise BadValue where there are more than ``most``."""
    items = list(items)
    if len(items) > most:
        raise BadValue("pictures.too_many", name=name, value=len(items), limit=most)
    return items


def sentences(*texts):
    """Sentences joined by spaces, empty ones left out."""
    return " ".join(text for text in texts if text)


def check_count(name, count, most):
    """Raise BadValue unless a count is a whole number from 1 to ``most``."""
    whole = isinstance(count, Real) and not isinstance(count, bool) and count == count // 1
    if not (whole and 1 <= count <= most):
        raise BadValue("pictures.count", name=name, value=str(count)[:40], limit=most)
    return int(count)


def check_choice(name, value, choices):
    """Raise BadValue unless a value is one of the choices."""
    if value not in choices:
        listed = ", ".join(choices)
        raise BadValue("pictures.choice", name=name, value=str(value)[:40], limit=listed)
    return value


# --- text and its width -----------------------------------------------------------------


@functools.lru_cache(maxsize=2048)
def text_width(content, size, bold=False):
    """Width [px] a text may take in the widest usual font.

    Args:
        content: the text.
        size: letter size [px].
        bold: strong letters.
    """
    share = sum(map(_share, content))
    # Strong letters grow by a part of their width and by the thicker stroke.
    return size * (1.04 * share + 0.06 * len(content) if bold else share)


def _share(char):
    """Width of a letter in parts of the letter size; accents take no room of their own."""
    if char in _WIDTH:
        return _WIDTH[char]
    base = unicodedata.normalize("NFD", char)[0]
    return _WIDTH.get(base, _UNKNOWN_WIDTH)


def clip(content, room, size, bold=False):
    """Text cut to a width, with an ellipsis where it was cut.

    Args:
        content: the text.
        room: width it may take [px].
        size: letter size [px].
        bold: strong letters.
    """
    content = clean(content)
    if text_width(content, size, bold) <= room:
        return content
    while content and text_width(content + "\u2026", size, bold) > room:
        content = content[:-1]
    return content.rstrip() + "\u2026"


def text(x, y, content, look="", size=13, anchor="start"):
    """A line of text.

    Args:
        x: left end, middle or right end [px], as ``anchor`` says.
        y: base line [px].
        content: the text; it is escaped here.
        look: classes without their prefix, such as ``"quiet strong"``.
        size: letter size [px].
        anchor: ``"start"``, ``"middle"`` or ``"end"``.
    """
    classes = f' class="{_classes(look)}"' if look else ""
    where = f' text-anchor="{anchor}"' if anchor != "start" else ""
    return (
        f'<text x="{n(x)}" y="{n(y)}" font-size="{n(size)}"{classes}{where}>'
        f"{escape(content)}</text>"
    )


def rich(x, y, pieces, size=13, anchor="start"):
    """A line of text in several looks.

    Args:
        x: left end, middle or right end [px].
        y: base line [px].
        pieces: pairs ``(content, look)``.
        size: letter size [px].
        anchor: ``"start"``, ``"middle"`` or ``"end"``.
    """
    spans = "".join(
        f'<tspan class="{_classes(look)}">{escape(content)}</tspan>' for content, look in pieces
    )
    return (
        f'<text x="{n(x)}" y="{n(y)}" font-size="{n(size)}" text-anchor="{anchor}" '
        f'xml:space="preserve">{spans}</text>'
    )


def _classes(look):
    return " ".join(f"pl-{name}" for name in look.split())


# --- shapes -----------------------------------------------------------------------------


def shape(outline, look):
    """A path from its outline (SVG path text)."""
    return f'<path class="{_classes(look)}" d="{outline}"/>' if outline else ""


def line(x1, y1, x2, y2):
    """Outline of a straight line."""
    return f"M{n(x1)} {n(y1)}L{n(x2)} {n(y2)}"


def polyline(points):
    """Outline through points ``(x, y)``."""
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points)


def box(x, y, width, height, radius=0):
    """Outline of a rectangle, with round corners if asked for."""
    if radius <= 0:
        return f"M{n(x)} {n(y)}h{n(width)}v{n(height)}h{n(-width)}z"
    radius = min(radius, width / 2, height / 2)
    w, h, r = width - 2 * radius, height - 2 * radius, n(radius)
    arc = f"a{r} {r} 0 0 1 "
    return (
        f"M{n(x + radius)} {n(y)}h{n(w)}{arc}{r} {r}v{n(h)}{arc}-{r} {r}"
        f"h{n(-w)}{arc}-{r} -{r}v{n(-h)}{arc}{r} -{r}z"
    )


def ring(x, y, radius):
    """Outline of a circle."""
    r, across = n(radius), n(2 * radius)
    return f"M{n(x - radius)} {n(y)}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 -{across} 0z"


def hatch(x, y, width, height, step=7):
    """Outline of slanting lines that fill a rectangle, cut at its edges."""
    lines = []
    offset = step
    while offset < width + height:
        x1, y1 = x + min(offset, width), y + max(0, offset - width)
        x2, y2 = x + max(0, offset - height), y + min(offset, height)
        lines.append(line(x1, y1, x2, y2))
        offset += step
    return "".join(lines)


def spread(places, gap, low, high):
    """Places moved apart as little as needed, their order kept.

    Args:
        places: wished places, ascending [px].
        gap: smallest distance between two [px].
        low: smallest place allowed [px].
        high: largest place allowed [px].
    """
    placed = []
    for place in places:
        placed.append(max(place, placed[-1] + gap if placed else low))
    limit = high
    for i in reversed(range(len(placed))):
        placed[i] = min(placed[i], limit)
        limit = placed[i] - gap
    return placed


def ticks(low, high, most):
    """Round numbers from ``low`` to ``high``, at most ``most`` of them, and their step."""
    rough = (high - low) / max(1, most - 1)
    tenth = 10.0 ** math.floor(math.log10(rough))
    step = next(s * tenth for s in (1, 2, 2.5, 5, 10) if s * tenth >= rough * 0.999)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [round(i * step, 9) for i in range(first, last + 1)], step
