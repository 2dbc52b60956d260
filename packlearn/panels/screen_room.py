"""How much room the texts of a shared screen leave for a picture.

The smallest screen is 1366 x 768; on larger ones letters and room grow together. Sizes are those
of ``data/style.css``; where the browser's letters are narrower than counted here, lines are fewer
and the picture has more room than it needs.
"""

import html
import re

from packlearn.pictures.drawing import text_width
from packlearn.pictures.room import SCREEN_PX, Room

_HIGH_PX, _WIDE_PX, _EDGES_PX = 768, 1366 - 2 * 24, 2 * 12
_LINE_PX, _GAP_PX, _STEP_GAP_PX, _HEAD_PX = 1.28 * SCREEN_PX, 10, 6, 8
_INDENT_PX = 1.2 * SCREEN_PX
_TEXT = re.compile(r"<(p|li)\b([^>]*)>(.*?)</(?:p|li)>", re.S)


def room_beside(parts):
    """``Room`` [px] that is left for a picture.

    Args:
        parts: HTML of what else stands on the screen, one below the other.
    """
    used = sum(_GAP_PX + _height(part) for part in parts if part)
    return Room(_WIDE_PX, _HIGH_PX - _EDGES_PX - _HEAD_PX - used)


def _height(part):
    """Height of a part [px], its paragraphs a little apart."""
    found = _TEXT.findall(part)
    listed = any(tag == "li" for tag, *_ in found)
    lines = sum(
        _lines(html.unescape(text), _WIDE_PX - listed * _INDENT_PX, "-answer" in more)
        for _, more, text in found
    )
    return lines * _LINE_PX + (0 if listed else (len(found) - 1) * _STEP_GAP_PX)


def _lines(text, room, bold):
    """In how many lines a text is written, word by word."""
    count, line = 1, ""
    for one in text.split(" "):
        longer = f"{line} {one}".strip(" ")
        # What may not part at a line's end is as wide as a space.
        if line and text_width(longer.replace("\u00a0", " "), SCREEN_PX, bold) > room:
            count, longer = count + 1, one
        line = longer
    return count
