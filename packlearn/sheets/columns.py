"""Blocks in two columns of about the same height, so that a sheet fits one page.

Print engines know no grid and balance columns each in their own way, so it is done here: the
height of a block is estimated from its text, and blocks that may stand in either column go where
there is room.
"""

import html
import re
from typing import NamedTuple

from packlearn.pictures.drawing import text_width

SIZE_PT, LINE_PT, HEAD_PT = 10.0, 10.7, 15.5
"""Letters and lines of a block's text, a heading with the room around it [pt]."""
# Our print fonts are narrower than the widest usual one on screens.
_NARROWER = 0.86


class Block(NamedTuple):
    """A part of a sheet.

    Attributes:
        html: its HTML; empty for nothing.
        height_pt: about how tall it is [pt].
    """

    html: str
    height_pt: float


NOTHING = Block("", 0.0)
# A number and its unit in a text, not inside a tag or a style.
_UNIT = re.compile(
    r"(?<=\d) (?=(?:[mµ]?[AV]|[mk]?Wh|Ah|h|min|mm²?|m|g|kg|°C|%|ohm)(?!\w)[^<>]*(?:<|$))"
)


def kept(content):
    """Text or HTML whose numbers stay on one line with their units."""
    return _UNIT.sub("\u00a0", content)


def lines(content, width_pt, size_pt=SIZE_PT):
    """How many lines a text takes.

    Args:
        content: text or HTML.
        width_pt: width of its column [pt].
        size_pt: size of its letters [pt].
    """
    told = kept(html.unescape(re.sub("<[^>]*>", "", content)))
    size_pt *= _NARROWER
    count, used, space = 1, 0.0, text_width(" ", size_pt)
    for each in re.split(r"[ \n\t]+", told.strip()):
        wide = text_width(each, size_pt)
        if used and used + space + wide > width_pt:
            count, used = count + 1, wide
        else:
            used += wide + (space if used else 0.0)
    return count


def halves(content, width_pt, size_pt):
    """HTML of a running text, cut between two words so that both halves take as many lines.

    Args:
        content: its HTML, whose tags are ``b`` and ``i`` without others inside.
        width_pt: width of a column [pt].
        size_pt: size of its letters [pt].

    Returns:
        Pair of HTML; a tag that is cut is closed and opened again.
    """
    words = content.split(" ")
    cut = (
        next(
            at
            for at in range(len(words) // 3, len(words) + 1)
            if lines(" ".join(words[:at]), width_pt, size_pt)
            > lines(" ".join(words[at:]), width_pt, size_pt)
            or at == len(words)
        )
        - 1
    )
    left, right = " ".join(words[:cut]), " ".join(words[cut:])
    for tag in ("b", "i"):
        if left.count(f"<{tag}>") > left.count(f"</{tag}>"):
            left, right = f"{left}</{tag}>", f"<{tag}>{right}"
    return left, right


def stacked(*blocks):
    """Blocks below each other as one."""
    return Block("".join(each.html for each in blocks), sum(each.height_pt for each in blocks))


def balanced(left, right, movable):
    """Two columns: what stands in each for sure, and what may stand in either.

    Args:
        left, right: ``Block`` at the top of each column.
        movable: pairs of ``Block``, one for each column, in the order in which they are read.

    Returns:
        Pair of ``Block``: the way of sharing that makes the taller column as low as can be.
    """
    shared = [_shared(left, right, movable, way) for way in range(2 ** len(movable))]
    return min(shared, key=lambda pair: max(each.height_pt for each in pair))


def _shared(left, right, movable, way):
    sides = [[left], [right]]
    for place, pair in enumerate(movable):
        side = way >> place & 1
        sides[side].append(pair[side])
    return tuple(stacked(*side) for side in sides)
