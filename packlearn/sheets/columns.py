"""Blocks in two columns of about the same height, so that a sheet fits one page.

Print engines know no grid and balance columns each in their own way, so it is done here: the
height of a block is estimated from its text, and blocks that may stand in either column go where
there is room.
"""

import functools
import html
import itertools
import re
from typing import NamedTuple

from packlearn.sheets.letter_widths import wide_em

SIZE_PT, LINE_PT, HEAD_PT = 10.0, 10.7, 15.5
"""Letters and lines of a block's text, a heading with the room around it [pt]."""
SMALL_PT, LEAST_SMALL_PT = 8.0, 7.5
"""Letters of the small print beside letters of 10 pt, and the smallest they become [pt]."""
LETTERS_PT = (10.0, 9.75, 9.5, 9.25, 9.0, 8.75, 8.5)
"""Sizes of letters that a page may have, the largest first [pt]."""
GAP_PT = 12.0
"""Room between both columns [pt]."""
# Width and height inside the margins of each paper, less what estimates may miss [pt].
_PAPERS_PT = {"a4": (547.0, 796.0), "letter": (563.0, 746.0)}
# Print engines set letters a little wider here and there.
_WIDER = 1.01


class Block(NamedTuple):
    """A part of a sheet.

    Attributes:
        html: its HTML; empty for nothing.
        height_pt: about how tall it is [pt].
    """

    html: str
    height_pt: float


NOTHING = Block("", 0.0)


class Room(NamedTuple):
    """What a page holds, its sides in points of letters of 10 pt.

    Attributes:
        scale: size of its letters against 10 pt.
        page_pt, tall_pt: width and height inside its margins.
        left_pt, right_pt: widths of its columns.
    """

    scale: float
    page_pt: float
    tall_pt: float
    left_pt: float
    right_pt: float

    @property
    def small_pt(self):
        """Letters of the small print, in points of letters of 10 pt."""
        return max(SMALL_PT, LEAST_SMALL_PT / self.scale)


def room(paper, letters_pt=SIZE_PT, left=0.45):
    """``Room`` of a page.

    Args:
        paper: one of ``printing.PAPERS``.
        letters_pt: size of its letters [pt].
        left: share of the width that the left column takes, with the gap.
    """
    scale = letters_pt / SIZE_PT
    wide, tall = (side / scale for side in _PAPERS_PT[paper])
    left_pt = round(left * wide)
    return Room(scale, wide, tall, left_pt, wide - left_pt - GAP_PT)


# A number and its unit in a text, not inside a tag or a style.
_UNIT = re.compile(
    r"(?<=\d) (?=(?:[mµ]?[AV]|[mk]?Wh|Ah|h|min|mm²?|m|g|kg|°C|%|ohm)(?!\w)[^<>]*(?:<|$))"
)


def kept(content):
    """Text or HTML whose numbers stay on one line with their units."""
    return _UNIT.sub("\u00a0", content)


@functools.lru_cache(4096)
def lines(content, width_pt, size_pt=SIZE_PT):
    """How many lines a text takes.

    Args:
        content: text or HTML; what is inside ``b`` counts as bold.
        width_pt: width of its column [pt].
        size_pt: size of its letters [pt].
    """
    room = width_pt / size_pt / _WIDER
    count, used, space = 1, 0.0, wide_em(" ")
    for wide in _words_em(kept(content)):
        if used and used + space + wide > room:
            count, used = count + 1, wide
        else:
            used += wide + (space if used else 0.0)
    return count


def _words_em(content):
    """Width of each word of a text or of HTML, in sizes of its letters."""
    bold, words = False, [0.0]
    for part in re.split("(<[^>]*>)", content.strip()):
        if part.startswith("<"):
            bold = part.startswith("<b ") or part == "<b>" or (bold and part != "</b>")
            continue
        first, *others = re.split(r"[ \n\t]+", html.unescape(part))
        words[-1] += wide_em(first, bold)
        words += (wide_em(each, bold) for each in others)
    return [wide for wide in words if wide]


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
    ways = itertools.product((0, 1), repeat=len(movable))
    way = min(ways, key=lambda each: _tallest_pt(left, right, movable, each))
    sides = [[left], [right]]
    for side, pair in zip(way, movable, strict=True):
        sides[side].append(pair[side])
    return tuple(stacked(*side) for side in sides)


def _tallest_pt(left, right, movable, way):
    """Height of the taller column where each movable block stands on a side [pt]."""
    tall = [left.height_pt, right.height_pt]
    for side, pair in zip(way, movable, strict=True):
        tall[side] += pair[side].height_pt
    return max(tall)
