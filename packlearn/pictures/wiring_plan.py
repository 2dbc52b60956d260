"""The wiring of a pack, drawn as it is joined: groups in line, strings side by side."""

from dataclasses import dataclass

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures import holder, plan_words
from packlearn.pictures.room import LETTERS
from packlearn.pictures.symbols import (
    SHAPES,
    SMALLEST_NAMED,
    TERMINAL_RADIUS,
    Lie,
    bracket_left,
    bracket_over,
    cells,
    name_room,
    terminal,
)
from packlearn.words import say, word

WIDTH, HEIGHT = 860, 330
LAYOUTS = ("groups", "strings", "holder")
LARGEST, MOST_FIGURES = 24, 5
MIDDLE, STRIP_TOP = 149, 280
# Under a slider the minus end stands still: the pack grows to the right and never jumps.
FIRST_JOINT, LAST_JOINT, MINUS_END, PLUS_END = 128, 806, 98, 838
_WIDEST_PITCH, _HIGHEST_ROW, _ROWS_ROOM = 84, 50, 182
# Standing alone it is drawn larger and in the middle.
_ALONE_PITCH, _ALONE_ROW, _ALONE_LEAD = 112, 60, 40
_LARGE_LEAD = 26


@dataclass(frozen=True)
class Plan:
    """Where joints, rows and cells lie.

    Args:
        series: groups in line.
        parallel: strings side by side.
        pitch: from joint to joint [px].
        row: from string to string [px].
        first: place of the first joint [px].
        ends: places of the minus and the plus lead's end [px].
        middle: height of the leads [px].
        letters: size of small letters; 0 for those of a page [px].
    """

    series: int
    parallel: int
    pitch: int
    row: int
    first: int
    ends: tuple
    middle: float = MIDDLE
    letters: int = 0

    @property
    def joints(self):
        """Places of the S + 1 joints [px], from the minus end."""
        return [self.first + k * self.pitch for k in range(self.series + 1)]

    @property
    def rows(self):
        """Places of the strings' middle lines [px]."""
        first = self.middle - (self.parallel - 1) * self.row / 2
        return [first + i * self.row for i in range(self.parallel)]

    @property
    def length(self):
        """Length of a cell [px]."""
        gap = 16 if self.pitch > 90 else 12 if self.pitch >= 70 else 9 if self.pitch >= 50 else 4
        return self.pitch - 2 * gap

    @property
    def thickness(self):
        """Thickness of a cell [px]."""
        if self.row > 52:
            return 40
        return min(32, self.row - (10 if self.row >= 40 else 7 if self.row >= 20 else 2))


def plan(series, parallel, steady=True):
    """Plan for a number of groups and strings; ``steady`` keeps the minus end in place."""
    room = (LAST_JOINT - FIRST_JOINT) // series, _ROWS_ROOM // parallel
    if steady:
        pitch, row = min(_WIDEST_PITCH, room[0]), min(_HIGHEST_ROW, room[1])
        return Plan(series, parallel, pitch, row, FIRST_JOINT, (MINUS_END, PLUS_END))
    pitch, row = min(_ALONE_PITCH, room[0]), min(_ALONE_ROW, room[1])
    first = max(FIRST_JOINT, (WIDTH - series * pitch) // 2)
    ends = first - _ALONE_LEAD, first + series * pitch + _ALONE_LEAD
    return Plan(series, parallel, pitch, row, first, ends)


def large(series, parallel, size, brackets, readings):
    """Plan of a shared screen, whose small letters are ``LETTERS`` px of the drawing.

    Args:
        series, parallel: groups and strings.
        size: width and height of the drawing [px].
        brackets: whether brackets stand above and at the left.
        readings: whether each joint's voltage stands below it.
    """
    width, height = size
    left = 86 if brackets and parallel > 1 else 12
    above, below = 54 if brackets and series > 1 else 28, 32 if readings else 6
    pitch = min(_ALONE_PITCH, int((width - left - 12 - 2 * _LARGE_LEAD) // series))
    row = min(_ALONE_ROW, int((height - above - below) // parallel))
    first = left + _LARGE_LEAD
    ends = left, first + series * pitch + _LARGE_LEAD
    middle = above + (height - above - below) / 2
    return Plan(series, parallel, pitch, row, first, ends, middle, LETTERS)


def pack(
    series,
    parallel,
    cell_title,
    cell_voltage_v=None,
    *,
    readings=None,
    figures=None,
    shape="round",
    label=None,
    hide_counts=False,
    layout="groups",
    brackets=True,
    steady=None,
    room=None,
):
    """Picture of a pack's wiring, its minus end on the left.

    Args:
        series: series count S, 1 to 24.
        parallel: parallel count P, 1 to 24.
        cell_title: what the cells are, such as ``"NiMH AA"``.
        cell_voltage_v: voltage of one cell [V] as it counts here; None says nothing of it.
        readings: None, ``"volts"`` for every joint's voltage against the minus end counted
            from ``cell_voltage_v``, or S + 1 voltages [V], None where one is not told yet.
        figures: pairs ``(label, text)`` for the strip below, five at most.
        shape: ``"round"``, ``"coin"``, ``"block"`` or ``"pouch"``.
        label: the pack's name; None takes XsYp, or nothing with ``hide_counts``.
        hide_counts: give neither the name nor a count away, in the drawing or the sentence.
        layout: ``"groups"`` (every group linked), ``"strings"`` (joined only at the ends) or
            ``"holder"`` (as the cells stand in a holder, joined by strips above and below).
        brackets: mark "S in line" and "P side by side".
        steady: keep the minus end in one place, for a picture under a slider; False draws
            the pack larger and in the middle; None does so with ``hide_counts``.
        room: the ``Room`` of a shared screen, which it fills; None for a page. Name, cells and
            figures are left to the sentence there.

    Returns:
        ``Picture``, 860 x 330 without ``room``.

    Raises:
        BadValue: a count, shape, layout or number of readings or figures that cannot be drawn.
    """
    series = d.check_count("series", series, LARGEST)
    parallel = d.check_count("parallel", parallel, LARGEST)
    d.check_choice("shape", shape, SHAPES)
    d.check_choice("layout", layout, LAYOUTS)
    told = plan_words.Told(
        series,
        parallel,
        label=_label(label, series, parallel, hide_counts),
        title=d.clean(cell_title),
        each_v=cell_voltage_v,
        volts=_joint_volts(readings, series, cell_voltage_v),
        figures=d.check_length("figures", figures or (), MOST_FIGURES),
        hidden=hide_counts,
        layout=layout,
    )
    brackets = brackets and not hide_counts
    if room is not None:
        size = room.units(LETTERS)
        drawn = large(series, parallel, size, brackets, told.volts)
        return d.picture(*size, _drawing(drawn, told, shape, brackets), plan_words.sentence(told))
    steady = not hide_counts if steady is None else steady
    parts = _on_page(told, steady, shape, brackets)
    return d.picture(WIDTH, HEIGHT, parts, plan_words.sentence(told))


def _on_page(told, steady, shape, brackets):
    """The drawing of a page, with the strip of name and figures below it."""
    if told.layout == "holder":
        parts = holder.draw(told.series, told.parallel, shape, told.volts)
    else:
        drawn = plan(told.series, told.parallel, steady)
        parts = _drawing(drawn, told, shape, brackets)
    return [*parts, *strip(told.label, _sub_label(told.title, told.each_v), told.figures)]


def _label(label, series, parallel, hide_counts):
    if label is None:
        return "" if hide_counts else f"{series}S{parallel}P"
    return d.clean(label)


def _joint_volts(readings, series, cell_voltage_v):
    """Voltages of the joints, or None."""
    if readings is None:
        return None
    if isinstance(readings, str):
        d.check_choice("readings", readings, ("volts",))
        if cell_voltage_v is None:
            raise BadValue("pictures.readings_need_voltage", value=None)
        return [cell_voltage_v * k for k in range(series + 1)]
    volts = list(readings)
    if len(volts) != series + 1:
        raise BadValue("pictures.readings_count", value=len(volts), limit=series + 1)
    return volts


def _sub_label(cell_title, cell_voltage_v):
    if cell_voltage_v is None:
        return str(cell_title)
    volts = d.amount(cell_voltage_v, "V")
    return say("pictures.pack.each_label", title=cell_title, volts=volts)


def _drawing(layout_plan, told, shape, brackets):
    parts = [_leads(layout_plan), _strips(layout_plan, told.layout), _cells(layout_plan, shape)]
    if not told.hidden:
        parts += [_names(layout_plan, shape), _group_numbers(layout_plan)]
    if brackets:
        parts.append(_brackets(layout_plan))
    if told.volts:
        parts.append(_readings(layout_plan, told.volts))
    return parts


def _leads(layout_plan):
    minus, plus = layout_plan.ends
    wires = d.line(
        minus + TERMINAL_RADIUS, layout_plan.middle, layout_plan.first, layout_plan.middle
    )
    wires += d.line(
        layout_plan.joints[-1], layout_plan.middle, plus - TERMINAL_RADIUS, layout_plan.middle
    )
    return (
        d.shape(wires, "wire")
        + terminal(minus, layout_plan.middle, "-")
        + terminal(plus, layout_plan.middle, "+")
    )


def _strips(layout_plan, layout):
    """Links along every string, and across them at every joint (or only at the ends)."""
    joints, rows = layout_plan.joints, layout_plan.rows
    along = [d.line(joints[0], y, joints[-1], y) for y in rows]
    across = joints if layout == "groups" else [joints[0], joints[-1]]
    if layout_plan.parallel > 1:
        along += [d.line(x, rows[0], x, rows[-1]) for x in across]
    return d.shape("".join(along), "strip" if layout_plan.row >= 14 else "thin-strip")


def _lie(layout_plan, column, y):
    x = layout_plan.joints[column] + layout_plan.pitch / 2
    return Lie(x, y, layout_plan.length, layout_plan.thickness)


def _cells(layout_plan, shape):
    columns = range(layout_plan.series)
    return cells([_lie(layout_plan, k, y) for y in layout_plan.rows for k in columns], shape)


def _names(layout_plan, shape):
    """Names in the cells, such as "3B"; where they do not fit, letters before the strings."""
    room = 0 if shape == "coin" else name_room(layout_plan.length, layout_plan.thickness)
    size = layout_plan.letters or (12 if layout_plan.thickness >= 18 else 11)
    if layout_plan.parallel == 1:
        return ""
    if room < d.text_width(f"{layout_plan.series}H", size):
        return _letters(layout_plan)
    return "".join(
        d.text(
            x + layout_plan.pitch / 2 - 1,
            y + size * 0.36,
            f"{k}{letter}",
            "on-cell",
            size,
            "middle",
        )
        for letter, y in zip(d.LETTERS, layout_plan.rows, strict=False)
        for k, x in enumerate(layout_plan.joints[:-1], start=1)
    )


def _letters(layout_plan):
    """The strings' letters before them, the middle one above the lead; none in the thinnest."""
    if layout_plan.row < (22 if layout_plan.letters else SMALLEST_NAMED):
        return ""
    parts = []
    for letter, y in zip(d.LETTERS, layout_plan.rows, strict=False):
        base = y - 4 if abs(y - layout_plan.middle) < 1 else y + 4
        parts.append(
            d.text(
                layout_plan.first - 10, base, letter, "quiet", layout_plan.letters or 11, "middle"
            )
        )
    return "".join(parts)


def _group_numbers(layout_plan):
    y = layout_plan.rows[0] - layout_plan.thickness / 2 - 10
    every, size = 1 if layout_plan.pitch > 24 else 2, layout_plan.letters or 12
    return "".join(
        d.text(layout_plan.joints[k] + layout_plan.pitch / 2, y, k + 1, "quiet", size, "middle")
        for k in range(0, layout_plan.series, every)
    )


def _brackets(layout_plan):
    joints, rows, half = layout_plan.joints, layout_plan.rows, layout_plan.thickness / 2
    parts = []
    if layout_plan.series > 1:
        y = rows[0] - half - 34
        middle = (joints[0] + joints[-1]) / 2
        words = say("pictures.pack.in_line", series=layout_plan.series)
        parts.append(d.shape(bracket_over(joints[0], joints[-1], y), "hair"))
        parts.append(d.text(middle, y - 6, words, "quiet", 13, "middle"))
    if layout_plan.parallel > 1:
        words = say("pictures.pack.side", parallel=layout_plan.parallel)
        x = layout_plan.ends[0] - 24
        parts.append(d.shape(bracket_left(x, rows[0] - half, rows[-1] + half), "hair"))
        parts.append(d.text(x - 8, layout_plan.middle - 3, words, "quiet", 13, "end"))
        parts.append(
            d.text(
                x - 8, layout_plan.middle + 13, word("pictures.pack.by_side"), "quiet", 13, "end"
            )
        )
    return "".join(parts)


def _readings(layout_plan, volts):
    """Each joint's voltage below it; where joints lie too close, not all are written."""
    bottom = layout_plan.rows[-1]
    y = bottom + layout_plan.thickness / 2 + 10
    leaders = "".join(d.line(x, bottom, x, y) for x in layout_plan.joints)
    dots = "".join(d.ring(x, bottom, 3) for x in layout_plan.joints)
    size = layout_plan.letters or 12
    texts = [
        d.text(layout_plan.joints[k], y + 14, d.reading(volts[k]), "volt", size, "middle")
        for k in _written(layout_plan, volts)
        if volts[k] is not None
    ]
    return d.shape(leaders, "volt-line") + d.shape(dots, "volt-dot") + "".join(texts)


def _written(layout_plan, volts):
    """Joints whose reading is written: both ends, and every one or few between."""
    size = layout_plan.letters or 12
    widest = max(d.text_width(d.reading(v), size) for v in volts if v is not None) + 6
    every = int(-(-widest // layout_plan.pitch))
    last = layout_plan.series
    return [k for k in range(last + 1) if k == 0 or (k >= every and (last - k) % every == 0)]


def strip(label, sub_label, figures):
    """Parts of the quiet strip below a pack: its name, its cells, its figures."""
    name_width, first = 262, 284
    parts = [d.shape(d.line(12, STRIP_TOP + 0.5, WIDTH - 12, STRIP_TOP + 0.5), "rule")]
    top, bottom = STRIP_TOP + 21, STRIP_TOP + 41
    if label:
        parts.append(d.text(16, top, d.clip(label, name_width, 15, True), "strong", 15))
    below = d.clip(sub_label, name_width, 12)
    parts.append(d.text(16, bottom if label else top + 9, below, "quiet", 12))
    width = (WIDTH - 12 - first) / max(4, len(figures))
    for i, (name, value) in enumerate(figures):
        x = first + i * width
        parts.append(d.text(x, top, d.clip(name, width - 10, 12), "quiet", 12))
        parts.append(d.text(x, bottom, d.clip(value, width - 10, 15, True), "strong", 15))
    return parts
