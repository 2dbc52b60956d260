"""A picture made ready for paper: what is empty cut off, no label smaller than twelve points.

Our pictures are paths and texts without transforms; of a path only the commands M, L, H, V, h, v,
a and z occur. A label that would print too small grows with the picture, and where the page is
too narrow for that, by itself.
"""

import html
import math
import re

LEAST_PT = 12.0
"""Size of the smallest label [pt]."""
MARGIN = 4.0
LINE = 1.15
"""Least distance of two lines of text, in sizes of the font."""
# Mean width of a sign of our fonts, in sizes of the font; what is wider still stands out a little.
SIGN_WIDTH = 0.55

_PATH = re.compile(r'<path[^>]*? d="([^"]*)"')
_TEXT = re.compile(r'<text x="([-\d.]+)" y="([-\d.]+)" font-size="([\d.]+)"([^>]*)>(.*?)</text>')
_COMMAND = re.compile(r"([MLHVhvaz])([^MLHVhvaz]*)")
_NUMBER = re.compile(r"-?\d*\.?\d+")
_HEAD = re.compile(r' width="[\d.]+" height="[\d.]+" viewBox="[^"]*"')
_INSIDE = re.compile(r"<[^>]*>")
_SIZE = re.compile(r'font-size="([\d.]+)"')


def fitted(svg, width_pt, least_pt=LEAST_PT, height_pt=math.inf):
    """SVG of a picture for a column of a page.

    Args:
        svg: its SVG.
        width_pt: width of the column [pt].
        least_pt: size of the smallest label [pt].
        height_pt: height there is [pt].

    Returns:
        The SVG with a size in points, at most as wide as the column and as high as that.
    """
    drawn = [point for path in _PATH.findall(svg) for point in _points(path)]
    labels = [_label(*found) for found in _TEXT.findall(svg)]
    smallest = min((size for _, _, size, *_ in labels), default=least_pt)
    scale = least_pt / smallest
    # Larger labels may stand out at the side, which makes the scale a little smaller again.
    for _ in range(20):
        left, top, right, bottom = _bounds(drawn, labels, least_pt / scale)
        scale = min(scale, width_pt / (right - left), height_pt / (bottom - top))
    left, top, right, bottom = _bounds(drawn, labels, least_pt / scale)
    width, height = right - left, bottom - top
    head = (
        f' width="{width * scale:.1f}pt" height="{height * scale:.1f}pt"'
        f' viewBox="{left:.1f} {top:.1f} {width:.1f} {height:.1f}"'
    )
    least = least_pt / scale
    grown = _SIZE.sub(lambda size: f'font-size="{max(float(size[1]), least):.4g}"', svg)
    return _HEAD.sub(head, _lines_apart(grown, labels, least), count=1)


def _lines_apart(svg, labels, least):
    """A line of text right above another one, moved up where both have grown into each other."""
    lines = {(x, y) for x, y, *_, anchor in labels if anchor == "start"}
    for x, y in lines:
        below = min((other for at, other in lines if at == x and other > y), default=y + 2 * least)
        missing = LINE * least - (below - y)
        if missing > 0:
            svg = svg.replace(f'<text x="{x:g}" y="{y:g}"', f'<text x="{x:g}" y="{y - missing:g}"')
    return svg


def _label(x, y, size, more, content):
    signs = len(html.unescape(_INSIDE.sub("", content)))
    anchor = re.search(r'text-anchor="(\w+)"', more)
    return float(x), float(y), float(size), signs, anchor[1] if anchor else "start"


def _bounds(drawn, labels, least):
    """Left, top, right and bottom of what is drawn, with labels of a least size."""
    points = list(drawn)
    for x, y, size, signs, anchor in labels:
        size = max(size, least)
        width = SIGN_WIDTH * size * signs
        left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        points += [(left, y - size), (left + width, y + 0.3 * size)]
    across, down = zip(*points, strict=True)
    return min(across) - MARGIN, min(down) - MARGIN, max(across) + MARGIN, max(down) + MARGIN


def _points(path):
    """Corners of a path, and the sides of its half circles."""
    x = y = 0.0
    for command, rest in _COMMAND.findall(path):
        numbers = [float(number) for number in _NUMBER.findall(rest)]
        for part in _parts(command, numbers):
            if command in "ML":
                x, y = part
            elif command in "Hh":
                x = part[0] + (x if command == "h" else 0.0)
            elif command in "Vv":
                y = part[0] + (y if command == "v" else 0.0)
            elif command == "a":
                yield from _sides(x, y, part)
                x, y = x + part[5], y + part[6]
            yield x, y


def _parts(command, numbers):
    length = {"M": 2, "L": 2, "a": 7}.get(command, 1)
    return [numbers[at : at + length] for at in range(0, len(numbers), length)]


def _sides(x, y, arc):
    across, down, *_, by_x, by_y = arc
    if abs(by_x) >= 2 * across:
        yield from ((x, y - down), (x, y + down))
    if abs(by_y) >= 2 * down:
        yield from ((x - across, y), (x + across, y))
