"""What the pictures with two axes share: scales, grid, lines, marks and labels at the line.

A label never lies on another one: labels stand in a row below the lines' ends, in a column
at the right, or on the steps of a stair above the drawing, each with a thin line to its place.
"""

import math
from dataclasses import dataclass

import numpy as np

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.quantities import write
from packlearn.words import say, word

# Low enough that question, picture, answer and why share a screen of 1366 x 768.
WIDTH, HEIGHT = 860, 290
LEFT, RIGHT, EDGE = 60, 620, 848
TOP, FLOOR, BOTTOM = 62, 236, 264
_STAIR = 16
# Lines nearer than this [px] would be a grey area.
_FINEST = 8.5
# More points than this cannot be told apart on the screen and only cost time.
_MOST_POINTS = 240
_TIMES = ((1 / 30, 3600, "s"), (2, 60, "min"), (72, 1, "h"), (math.inf, 1 / 24, "d"))


@dataclass(frozen=True)
class Plot:
    """Two scales and where they lie.

    Args:
        x_low, x_high: ends of the scale to the right, in its unit.
        y_low, y_high: ends of the upward scale, in its unit.
        top: where the lines' room begins [px].
        floor: where it ends [px]; the axis lies below, at ``bottom``.
        bottom: the axis [px].
        right: right end [px].
        left: left end [px].
        width, edge: of the picture, and where its labels end [px].
        letters: size of the round values and of the scales' names [px].
        name_y: base line of the upward scale's name [px].
    """

    x_low: float
    x_high: float
    y_low: float
    y_high: float
    top: float = TOP
    floor: float = FLOOR
    bottom: float = BOTTOM
    right: float = RIGHT
    left: float = LEFT
    width: float = WIDTH
    edge: float = EDGE
    letters: float = 12
    name_y: float = 40

    def x(self, value):
        """Place of a value [px], never outside the drawing."""
        share = _share(value, self.x_low, self.x_high)
        return self.left + share * (self.right - self.left)

    def y(self, value):
        """Place of a value [px], never outside the drawing."""
        return self.floor - _share(value, self.y_low, self.y_high) * (self.floor - self.top)


def _share(value, low, high):
    """Where between two ends a value or an array lies, 0 to 1."""
    if isinstance(value, np.ndarray) and value.ndim:
        return np.clip((value - low) / (high - low), 0.0, 1.0)
    return min(max((float(value) - low) / (high - low), 0.0), 1.0)


def padded(values, below=0.06, above=0.06):
    """Ends of a scale that holds all values, with room below and above.

    Args:
        values: numbers, at least one.
        below, above: room as a share of their span.
    """
    low, high = min(values), max(values)
    span = max(high - low, 0.02 * max(abs(low), abs(high)), 1e-6)
    return float(low - below * span), float(high + above * span)


def line_of(name, across, up):
    """A line's values as two arrays.

    Args:
        name: what it is called in a complaint.
        across: values to the right.
        up: values upward, as many.

    Raises:
        BadValue: no values, another count of them, or one that is no finite number.
    """
    across, up = np.asarray(across, float).ravel(), np.asarray(up, float).ravel()
    if across.size != up.size or not across.size:
        raise BadValue("curve_pictures.lengths", name=name, value=up.size, limit=across.size)
    if not (np.isfinite(across).all() and np.isfinite(up).all()):
        raise BadValue("curve_pictures.finite", name=name, value=_first_odd(across, up))
    return across, up


def _first_odd(across, up):
    both = np.concatenate([across, up])
    return str(both[~np.isfinite(both)][0])


def check_positive(name, value):
    """A finite number above 0 as a float; raise BadValue otherwise."""
    if not (math.isfinite(value) and value > 0):
        raise BadValue("curve_pictures.positive", name=name, value=f"{value:g}", limit=0)
    return float(value)


def time_unit(hours):
    """Unit of a time scale: how many of it an hour has, and its symbol.

    Args:
        hours: the scale's end [h].
    """
    return next((factor, unit) for most, factor, unit in _TIMES if hours < most)


def charge_unit(charge_ah):
    """Unit of a scale of charge: how many of it an amp-hour has, and its symbol."""
    return (1000, "mAh") if charge_ah < 0.95 else (1, "Ah")


def volts(value):
    """A voltage of a line, two decimals; without the sign of a zero."""
    return f"{value:.2f} V".replace("-0.00", "0.00")


def fine_volts(value):
    """A reading, three decimals where it has so many, such as 1.295 V; else two."""
    whole = abs(100 * value - round(100 * value)) < 1e-6
    return volts(value) if whole else f"{value:.3f} V"


def hours(value):
    """A time as people say it."""
    return write(max(0.0, value), "h")


def steps(low, high, most):
    """Round values from ``low`` to ``high`` in steps of 1, 2 or 5, and their decimals."""
    rough = (high - low) / max(1, most)
    tenth = 10.0 ** math.floor(math.log10(rough))
    step = next(s * tenth for s in (1, 2, 5, 10) if s * tenth >= rough * 0.999)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    return [i * step for i in range(first, last + 1)], places


def frame(plot, x_name, y_name, marks=(7, 6), fine=False):
    """SVG of grid, axes, round values and the names of both scales.

    Args:
        plot: the ``Plot``.
        x_name: name of the scale to the right, with its unit.
        y_name: name of the upward scale, with its unit.
        marks: about how many values each scale shows.
        fine: True for thin lines between, as on graph paper.
    """
    across, x_places = steps(plot.x_low, plot.x_high, marks[0])
    up, y_places = steps(plot.y_low, plot.y_high, marks[1])
    grid = "".join(d.line(plot.x(v), plot.top, plot.x(v), plot.floor) for v in across)
    grid += "".join(d.line(plot.left, plot.y(v), plot.right, plot.y(v)) for v in up)
    thin = _fine_lines(plot, across, up) if fine else ""
    axes = d.line(plot.left, plot.bottom, plot.right, plot.bottom)
    axes += d.line(plot.left, plot.top - 4, plot.left, plot.bottom)
    axes += "".join(d.line(plot.x(v), plot.bottom, plot.x(v), plot.bottom + 4) for v in across)
    axes += "".join(d.line(plot.left - 4, plot.y(v), plot.left, plot.y(v)) for v in up)
    low, size = plot.bottom + 18, plot.letters
    texts = [d.text(plot.x(v), low, _tick(v, x_places), "quiet", size, "middle") for v in across]
    texts += [
        d.text(plot.left - 8, plot.y(v) + 4, _tick(v, y_places), "quiet", size, "end") for v in up
    ]
    room = plot.width - plot.right - 36
    texts.append(d.text(plot.right + 28, low, d.clip(x_name, room, size), "quiet", size))
    texts.append(d.text(14, plot.name_y, d.clip(y_name, 240, size), "quiet", size))
    return thin + d.shape(grid, "rule") + d.shape(axes, "axis") + "".join(texts)


def _fine_lines(plot, across, up):
    """SVG of lines between the round values, as many as can be told apart."""
    wide, high = plot.right - plot.left, plot.floor - plot.top
    lines = "".join(
        d.line(plot.x(v), plot.top, plot.x(v), plot.floor)
        for v in _between(across, plot.x_low, plot.x_high, wide)
    )
    lines += "".join(
        d.line(plot.left, plot.y(v), plot.right, plot.y(v))
        for v in _between(up, plot.y_low, plot.y_high, high)
    )
    return d.shape(lines, "fine-rule")


def _between(values, low, high, room):
    """Values between round ones: tenths, quarters, fifths or halves of their step."""
    if len(values) < 2:
        return []
    step = values[1] - values[0]
    parts = (10, 4, 2) if f"{step:e}"[0] == "2" else (10, 5, 2)
    wide = step / (high - low) * room
    count = next((count for count in parts if wide / count >= _FINEST), 1)
    first = math.ceil((low - values[0]) / step * count - 1e-9)
    last = math.floor((high - values[0]) / step * count + 1e-9)
    return [values[0] + i * step / count for i in range(first, last + 1) if i % count]


def _tick(value, places):
    return f"{value:.{places}f}".replace("-", d.MINUS) if abs(value) > 1e-12 else "0"


def heading(title):
    """SVG of a picture's title."""
    return d.text(14, 20, d.clip(title, WIDTH - 28, 15, True), "strong", 15) if title else ""


# --- lines and marks --------------------------------------------------------------------


def outline(plot, across, up):
    """Outline of a line through values, its points thinned where they are too many."""
    kept = thinned(up)
    xs, ys = plot.x(across[kept]), plot.y(up[kept])
    return d.polyline(zip(xs.tolist(), ys.tolist(), strict=True))


def thinned(up):
    """Indices of the points to draw: all, or of each of many stretches the lowest and highest."""
    if up.size <= _MOST_POINTS:
        return np.arange(up.size)
    parts = np.array_split(np.arange(up.size), _MOST_POINTS // 2)
    kept = [(part[np.argmin(up[part])], part[np.argmax(up[part])]) for part in parts]
    return np.unique([0, up.size - 1, *np.ravel(kept)])


def between(plot, across, low, high):
    """Outline of the area between two lines over the same values."""
    kept = np.union1d(thinned(low), thinned(high))
    xs = plot.x(across[kept]).tolist()
    above = zip(xs, plot.y(high[kept]).tolist(), strict=True)
    below = zip(xs[::-1], plot.y(low[kept]).tolist()[::-1], strict=True)
    return d.polyline([*above, *below]) + "z"


def mark(kind, x, y, look="point"):
    """SVG of a mark at a point: the kinds differ in shape, so that no colour need be seen.

    Args:
        kind: 0 ring, 1 square, 2 diamond, 3 triangle, 4 triangle on its tip, 5 bar.
        x, y: its middle [px].
        look: class.
    """
    r = 4.5
    corners = (
        [],
        [(-4, -4), (4, -4), (4, 4), (-4, 4)],
        [(0, -5.5), (5.5, 0), (0, 5.5), (-5.5, 0)],
        [(0, -5), (5, 4), (-5, 4)],
        [(0, 5), (5, -4), (-5, -4)],
        [(-2, -5), (2, -5), (2, 5), (-2, 5)],
    )[kind % 6]
    if not corners:
        return d.shape(d.ring(x, y, r), look)
    return d.shape(d.polyline([(x + dx, y + dy) for dx, dy in corners]) + "z", look)


# --- labels -----------------------------------------------------------------------------


def row_below(plot, entries):
    """SVG of labels in a row below the ends of lines, moved apart, a thin line to each.

    Args:
        plot: the ``Plot``, with room between ``floor`` and ``bottom``.
        entries: ``(x, y, words, look)`` of each end [px].
    """
    entries = sorted((e for e in entries if e[2]), key=lambda e: e[0])
    if not entries:
        return ""
    room = (plot.edge - plot.left) / len(entries) - 12
    shown = [d.clip(words, room, 13, True) for _, _, words, _ in entries]
    widths = [d.text_width(words, 13, True) for words in shown]
    # Far enough apart for paper, where labels grow.
    middles = _side_by_side([x for x, *_ in entries], widths, 26, plot.left + 4, plot.edge)
    leaders = "".join(
        d.polyline([(x, min(y + 7, plot.floor + 3)), (x, plot.floor + 4), (m, plot.floor + 11)])
        for (x, y, *_), m in zip(entries, middles, strict=True)
    )
    texts = [
        d.text(m, plot.floor + 23, words, f"{e[3]} strong", 13, "middle")
        for e, m, words in zip(entries, middles, shown, strict=True)
    ]
    return d.shape(leaders, "hair") + "".join(texts)


def _side_by_side(wished, widths, gap, low, high):
    """Middles of things in a row, moved apart as little as needed, their order kept."""

    def placed(width, wishes):
        return max(low, min(sum(wishes) / len(wishes), high - width)), width, wishes

    # Each block: left end, width, and the left end each of its labels wishes for the block.
    blocks = []
    for middle, width in zip(wished, widths, strict=True):
        blocks.append(placed(width, [middle - width / 2]))
        while len(blocks) > 1 and blocks[-2][0] + blocks[-2][1] + gap > blocks[-1][0]:
            (_, wide, wishes), (_, more, others) = blocks[-2:]
            wishes = wishes + [wish - wide - gap for wish in others]
            blocks[-2:] = [placed(wide + gap + more, wishes)]
    middles = []
    for edge, _, wishes in blocks:
        for width in widths[len(middles) : len(middles) + len(wishes)]:
            middles.append(edge + width / 2)
            edge += width + gap
    return middles


def column(plot, entries, gap=19):
    """SVG of labels in a column at the right, each with a thin line from its height.

    Args:
        plot: the ``Plot``.
        entries: ``(y, words, look)`` [px].
        gap: smallest distance of two labels [px].
    """
    entries = sorted(entries, key=lambda e: e[0])
    wished = [e[0] for e in entries]
    # Not below the drawing: there the labels of the lines' ends may stand.
    places = d.spread(wished, gap, plot.top - 2, plot.floor + 2)
    x = plot.right
    leaders = "".join(
        d.polyline([(x + 2, y), (x + 8, y), (x + 18, place), (x + 23, place)])
        for y, place in zip(wished, places, strict=True)
    )
    texts = [
        d.text(
            x + 27, place + 4.5, d.clip(words, plot.width - x - 35, 13, "strong" in look), look, 13
        )
        for (_, words, look), place in zip(entries, places, strict=True)
    ]
    return d.shape(leaders, "hair") + "".join(texts)


def stair(entries, first_y, width=WIDTH):
    """SVG of upright lines, each with its label on a step of its own above the drawing.

    The labels stand right of their lines, the leftmost line highest, so that no line runs
    through a label; where they do not fit there, left of them and the rightmost highest.

    Args:
        entries: ``(x, y, words, look, line_look)``: each line ends at ``y`` [px].
        first_y: base line of the highest step [px].
        width: width of the picture [px].
    """
    edge = width - (WIDTH - EDGE)
    entries = sorted(entries, key=lambda e: e[0])
    widths = [d.text_width(e[2], 13, "strong" in e[3]) for e in entries]
    fits = all(e[0] + 6 + width <= edge for e, width in zip(entries, widths, strict=True))
    limits = [e[0] for e in entries[1:]] + [edge + 6]
    order = list(range(len(entries))) if fits else list(reversed(range(len(entries))))
    parts = []
    for i, step in zip(order, range(len(order)), strict=True):
        x, end, words, look, line_look = entries[i]
        y = first_y + _STAIR * step
        left = not fits and x - 6 - widths[i] >= 12
        room = width if left else (edge if fits else limits[i] - 6) - x - 6
        shown = d.clip(words, room, 13, "strong" in look)
        parts.append(d.shape(d.line(x, y - 11, x, end), line_look))
        parts.append(
            d.text(x - 6 if left else x + 6, y, shown, look, 13, "end" if left else "start")
        )
    return "".join(parts)


def time_name(unit):
    """Name of a scale of time with its unit."""
    return say("curve_pictures.axes.time", unit=unit)


def voltage_name():
    """Name of a scale of volts with its unit."""
    return word("curve_pictures.axes.voltage")
