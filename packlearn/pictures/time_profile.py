"""Current over time of a device that sleeps and wakes, with mean and RMS lines.

Where the wake time is a hairline on the true time scale, a second drawing beside it shows
that part stretched, with its own time marks and the factor written on it.
"""

from dataclasses import dataclass

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.room import LETTERS
from packlearn.pictures.symbols import span_arrow
from packlearn.words import say

WIDTH, HEIGHT = 860, 330
_PERIODS = 2
_MOST_STEPS = 12
_NARROW_WAKE, _NARROW_STEP = 0.12, 0.02


@dataclass(frozen=True)
class _Sheet:
    """Where everything lies [px].

    Args:
        width, height: of the picture.
        top, bottom: of the drawing of the current.
        left, right: its ends; names of lines stand at ``labels``.
        true_right, zoom_left: where the first of two drawings ends, and the second begins.
        ticks: letters of the marks of current.
        most: how many marks there may be.
        titled: whether there is room for the title and the steps in words.
    """

    width: float = WIDTH
    height: float = HEIGHT
    top: float = 44
    bottom: float = 254
    left: float = 84
    right: float = 660
    labels: float = 690
    true_right: float = 350
    zoom_left: float = 410
    ticks: int = 12
    most: int = 5
    titled: bool = True


_PAGE = _Sheet()


def _large(room, zoomed, lines):
    """Sheet of a shared screen."""
    width, height = room.units(LETTERS)
    top, bottom = 30 if zoomed else 10, height - 40
    names = [d.text_width(_name(*line), 14, True) for line in lines]
    labels = width - max(names) - 12 if names else width
    left, right = 66, labels - 22
    true_right = left + 0.4 * (right - left)
    most = int(min(5, max(2, (bottom - top) // 24)))
    drawn = top, bottom, left, right, labels, true_right, true_right + 36
    return _Sheet(width, height, *drawn, ticks=LETTERS, most=most, titled=False)


@dataclass(frozen=True)
class Strip:
    """A stretch of time and where it is drawn.

    Args:
        start: first second shown [s].
        end: last second shown [s].
        left: where it starts [px].
        right: where it ends [px].
        top_a: current at the top of the drawing [A].
        sheet: where everything lies.
    """

    start: float
    end: float
    left: float
    right: float
    top_a: float
    sheet: _Sheet = _PAGE

    def x(self, seconds):
        """Place of a time [px]."""
        share = (seconds - self.start) / (self.end - self.start)
        return self.left + share * (self.right - self.left)

    def y(self, current_a):
        """Place of a current [px]."""
        bottom = self.sheet.bottom
        return bottom - current_a / self.top_a * (bottom - self.sheet.top)


def profile(steps, mean_a=None, rms_a=None, peak_a=None, title="", room=None):
    """Picture of a repeating current over two periods.

    Args:
        steps: pairs ``(current_a, seconds)`` of one period [A, s], 12 at most.
        mean_a: mean current [A], or None if it is not told yet.
        rms_a: RMS current [A], or None.
        peak_a: peak current [A], or None.
        title: what takes the current.
        room: the ``Room`` of a shared screen, which it fills; None for a page. Steps
            in words are left to the sentence there.

    Returns:
        ``Picture``, 860 x 330 without ``room``.

    Raises:
        BadValue: no steps, too many, or one that lasts no time or has a negative current.
    """
    steps, title = _checked(steps), d.clean(title)
    period = sum(seconds for _, seconds in steps)
    top_a = max(max(a for a, _ in steps), peak_a or 0, rms_a or 0, mean_a or 0) * 1.06 or 1.0
    zoom = _zoomed(steps, period)
    lines = [
        (key, a) for key, a in (("peak", peak_a), ("rms", rms_a), ("mean", mean_a)) if a is not None
    ]
    sheet = _PAGE if room is None else _large(room, zoom, lines)
    right = sheet.true_right if zoom else sheet.right
    whole = Strip(0, _PERIODS * period, sheet.left, right, top_a, sheet)
    told = say("pictures.profile.steps_told", steps=_told(steps), time=d.amount(period, "s"))
    titled = title and sheet.titled
    parts = [d.text(16, 24, d.clip(title, 400, 15, True), "strong", 15)] if titled else []
    parts += _panel(whole, steps, lines) + _current_marks(whole) + _period_marks(whole, period)
    last = whole
    if zoom:
        last = Strip(*zoom, sheet.zoom_left, sheet.right, top_a, sheet)
        parts += _panel(last, steps, lines) + _zoom_marks(whole, last, steps, period)
    parts += _line_names(last, lines)
    zoom = zoom and (whole, last)
    if sheet.titled:
        parts.append(d.text(16, HEIGHT - 10, d.clip(told, WIDTH - 32, 13), "quiet", 13))
    return d.picture(sheet.width, sheet.height, parts, _sentence(title, told, lines, zoom))


def _checked(steps):
    steps = [(float(a), float(seconds)) for a, seconds in steps]
    if not 1 <= len(steps) <= _MOST_STEPS:
        raise BadValue("pictures.profile.steps", value=len(steps), limit=_MOST_STEPS)
    for current_a, seconds in steps:
        if current_a < 0 or seconds <= 0:
            raise BadValue("pictures.profile.step", value=f"({current_a:g}, {seconds:g})", limit=0)
    return steps


def _zoomed(steps, period):
    """First and last second [s] of the part worth stretching, or None.

    It is all but the longest step where that is short, else a very short step with as
    much time on both sides of it.
    """
    if len(steps) < 2:
        return None
    lengths = [seconds for _, seconds in steps]
    starts = [sum(lengths[:i]) for i in range(len(steps))]
    longest = max(range(len(steps)), key=lengths.__getitem__)
    awake = period - lengths[longest]
    if awake < _NARROW_WAKE * period:
        start, end = starts[longest] + lengths[longest], starts[longest] + period
        room = awake * 0.15
    elif min(lengths) < _NARROW_STEP * period:
        shortest = min(range(len(steps)), key=lengths.__getitem__)
        start, end = starts[shortest], starts[shortest] + lengths[shortest]
        room = lengths[shortest]
    else:
        return None
    # The later of the two periods, where the part has room on both sides.
    while end + period + room <= _PERIODS * period:
        start, end = start + period, end + period
    return max(0.0, start - room), min(_PERIODS * period, end + room)


def _corners(strip, steps):
    """Corners ``(seconds, current_a)`` of the stepped line within a strip of time."""
    corners, now = [], 0.0
    for _ in range(_PERIODS):
        for current_a, seconds in steps:
            start, end = max(now, strip.start), min(now + seconds, strip.end)
            if end > start:
                corners += [(start, current_a), (end, current_a)]
            now += seconds
    return corners


def _panel(strip, steps, lines):
    """The stepped line over its filled area, with the mean, RMS and peak lines."""
    bottom = strip.sheet.bottom
    points = [(strip.x(t), strip.y(a)) for t, a in _corners(strip, steps)]
    ends = [(points[0][0], bottom), *points, (points[-1][0], bottom)]
    parts = [d.shape(d.polyline(ends) + "z", "amp-area")]
    for key, current_a in lines:
        y = strip.y(current_a)
        parts.append(d.shape(d.line(strip.left, y, strip.right, y), f"{key}-line"))
    parts.append(d.shape(d.polyline(points), "amp-line"))
    edges = d.line(strip.left, bottom + 0.5, strip.right, bottom + 0.5)
    edges += d.line(strip.left + 0.5, strip.sheet.top - 4, strip.left + 0.5, bottom)
    return [*parts, d.shape(edges, "axis")]


def _current_marks(strip):
    marks, _ = d.ticks(0, strip.top_a, strip.sheet.most)
    strokes = "".join(d.line(strip.left - 5, strip.y(a), strip.left, strip.y(a)) for a in marks)
    texts = [
        d.text(
            strip.left - 9, strip.y(a) + 4.5, d.amount(a, "A"), "quiet", strip.sheet.ticks, "end"
        )
        for a in marks
    ]
    return [d.shape(strokes, "axis"), *texts]


def _period_marks(strip, period):
    """The first period as a dimension line below the time axis."""
    bottom = strip.sheet.bottom
    x1, x2 = strip.x(0), strip.x(period)
    strokes = "".join(
        d.line(strip.x(t * period), bottom, strip.x(t * period), bottom + 20)
        for t in range(_PERIODS + 1)
    )
    words = say("pictures.profile.period", time=d.amount(period, "s"))
    width = d.text_width(words, 13)
    # Too long for one period it starts with it and runs on below the second.
    x, anchor = ((x1 + x2) / 2, "middle") if width <= x2 - x1 else (x1, "start")
    return [
        d.shape(strokes, "hair"),
        span_arrow(x1, x2, bottom + 14.5),
        d.text(x, bottom + 34, d.clip(words, strip.right - strip.left, 13), "", 13, anchor),
    ]


def _zoom_marks(whole, zoom, steps, period):
    """What the second drawing stretches, by how much, and its own time marks."""
    top, bottom = zoom.sheet.top, zoom.sheet.bottom
    x1, x2 = whole.x(zoom.start), whole.x(zoom.end)
    guides = d.polyline([(x1, bottom), (x1, top - 4), (zoom.left, top - 4)])
    guides += d.line(max(x2, x1 + 2), top - 4, max(x2, x1 + 2), bottom)
    words = say("pictures.profile.stretched", factor=_factor(whole, zoom))
    middle = (zoom.left + zoom.right) / 2
    return [
        d.shape(guides, "guide"),
        d.text(middle, top - 14, words, "quiet", 13, "middle"),
        *_step_marks(zoom, steps, period),
    ]


def _factor(whole, zoom):
    """How many times wider the second drawing is, with two digits."""
    widths = [(strip.right - strip.left) / (strip.end - strip.start) for strip in (zoom, whole)]
    return f"{float(f'{widths[0] / widths[1]:.2g}'):.0f}"


def _step_marks(zoom, steps, period):
    """Dimension lines of the steps that lie whole in the stretched part, where they fit."""
    parts, now, bottom = [], 0.0, zoom.sheet.bottom
    for _ in range(_PERIODS):
        for _, seconds in steps:
            inside = zoom.start - 1e-9 <= now and now + seconds <= zoom.end + 1e-9
            words = d.amount(seconds, "s")
            x1, x2 = zoom.x(now), zoom.x(now + seconds)
            if inside and d.text_width(words, 13) + 6 <= x2 - x1:
                strokes = d.line(x1, bottom, x1, bottom + 20) + d.line(x2, bottom, x2, bottom + 20)
                parts += [d.shape(strokes, "hair"), span_arrow(x1, x2, bottom + 14.5)]
                parts.append(d.text((x1 + x2) / 2, bottom + 34, words, "", 13, "middle"))
            now += seconds
    return parts


def _line_names(strip, lines):
    """Names and values of the lines at the right, moved apart where they lie close."""
    sheet = strip.sheet
    ordered = sorted(lines, key=lambda entry: -entry[1])
    wished = [strip.y(a) for _, a in ordered]
    places = d.spread(wished, 22, sheet.top, sheet.bottom)
    parts = []
    for (key, current_a), y, place in zip(ordered, wished, places, strict=True):
        leader = [
            (strip.right + 2, y),
            (strip.right + 8, y),
            (sheet.labels - 8, place),
            (sheet.labels - 4, place),
        ]
        shown = d.clip(_name(key, current_a), sheet.width - sheet.labels - 8, 14, True)
        parts.append(d.shape(d.polyline(leader), "hair"))
        parts.append(d.text(sheet.labels, place + 5, shown, "amp strong", 14))
    return parts


def _name(key, current_a):
    return say(f"pictures.profile.{key}", current=d.amount(current_a, "A"))


def _told(steps):
    """The steps of one period in words."""
    return d.series_of(
        say("pictures.profile.step_told", current=d.amount(a, "A"), time=d.amount(seconds, "s"))
        for a, seconds in steps
    )


def _sentence(title, steps_told, lines, zoom):
    start = say("pictures.profile.start", title=title) if title else say("pictures.profile.plain")
    return d.sentences(
        start,
        steps_told,
        *(say(f"pictures.profile.{key}_told", current=d.amount(a, "A")) for key, a in lines),
        say("pictures.profile.zoom_told", factor=_factor(*zoom)) if zoom else "",
    )
