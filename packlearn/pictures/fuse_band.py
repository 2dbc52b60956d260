"""A scale of amps: the load below, the thinnest wire above, and between them the fuse's band."""

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures import plotting as p
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH, HEIGHT = p.WIDTH, 236
_LEFT, _RIGHT, _STAIR_Y, _BAND, _HIGH = 30, 810, 34, 124, 30
_AXIS = _BAND + _HIGH
# Numbers of ratings nearer than this would run into each other [px].
_ROOM = 8
# Marks nearer than this would lie on each other [px].
_APART = 10


def fuse_band(band, wire_a, ratings_a, *, share, title=""):
    """Picture of the currents between which a fuse's rating lies.

    Args:
        band: ``packlearn.building.bands.Band`` or what has its values.
        wire_a: what the thinnest wire carries [A].
        ratings_a: ratings of the family that are sold [A].
        share: share of its rating at which a fuse of the family runs.
        title: what is fused.

    Returns:
        ``Picture``, 860 x 236.

    Raises:
        BadValue: a current that is not above 0.
    """
    least = min(band.steady_a, band.floor_a, band.most_a, wire_a)
    if least <= 0:
        raise BadValue("protect.fuse.positive", value=f"{least:g}", limit=0)
    end = 1.12 * max(wire_a, band.peak_a, band.least_a)

    def to_x(amps):
        return _LEFT + amps / end * (_RIGHT - _LEFT)

    title = d.clean(title)
    parts = [d.text(14, 20, d.clip(title, WIDTH - 28, 15, True), "strong", 15)] if title else []
    parts += _bar(to_x, band)
    lines = _lines(band, wire_a, share)
    parts.append(
        p.stair(
            [(to_x(amps), _AXIS + 4, text, look, line) for amps, text, look, line in lines],
            _STAIR_Y,
        )
    )
    sold = [each for each in ratings_a if each <= end]
    parts += _ratings(to_x, sold, band.ratings_a)
    parts.append(d.text(14, HEIGHT - 8, _short_verdict(band), "strong", 14))
    return d.picture(WIDTH, HEIGHT, parts, _sentence(title, lines, sold, band))


def _sentence(title, lines, sold, band):
    told = "; ".join(text for _, text, _, _ in sorted(lines))
    named = say("protect.fuse.told_of", title=title) if title else word("protect.fuse.told")
    ratings = ", ".join(f"{amps:g}" for amps in sold)
    to_buy = [say("protect.fuse.sold", ratings=ratings)] if sold else []
    return d.sentences(named, say("protect.fuse.lines", lines=told), *to_buy, _verdict(band))


def _lines(band, wire_a, share):
    """Currents to mark: amps, words, look of the words, look of the line."""
    amps = {
        "steady": write(band.steady_a, "A"),
        "floor": write(band.floor_a, "A"),
        "peak": write(band.peak_a, "A"),
        "most": write(band.most_a, "A"),
        "wire": write(wire_a, "A"),
        "share": write(100 * share, "%"),
        "wire_share": write(100 * band.most_a / wire_a, "%"),
    }
    found = [
        (band.most_a, say("protect.fuse.most", **amps), "strong", "limit-line"),
        (wire_a, say("protect.fuse.wire", **amps), "", "limit-dash"),
    ]
    if band.floor_a > band.steady_a * (1 + 1e-9):
        found.append((band.steady_a, say("protect.fuse.steady", **amps), "", "limit-dash"))
        found.append((band.floor_a, say("protect.fuse.floor", **amps), "strong", "limit-line"))
    else:
        found.append((band.floor_a, say("protect.fuse.steady", **amps), "strong", "limit-line"))
    if band.peak_a > band.steady_a * (1 + 1e-9):
        found.append((band.peak_a, say("protect.fuse.peak", **amps), "", "peak-line"))
    return found


def _bar(to_x, band):
    """The room of all ratings hatched, that of those that fit left free."""
    low, high = to_x(band.least_a), to_x(band.most_a)
    parts = [d.shape(d.box(_LEFT, _BAND, _RIGHT - _LEFT, _HIGH), "window")]
    if high > low:
        below, above = (_LEFT, low - _LEFT), (high, _RIGHT - high)
        parts.append(d.shape(d.box(low, _BAND, high - low, _HIGH), "charge-area"))
    else:
        below, above = (_LEFT, _RIGHT - _LEFT), (_RIGHT, 0)
    strokes = "".join(d.hatch(x, _BAND, wide, _HIGH) for x, wide in (below, above) if wide > 1)
    parts.append(d.shape(strokes, "hatch"))
    return [*parts, d.shape(d.box(_LEFT, _BAND, _RIGHT - _LEFT, _HIGH), "frame")]


def _ratings(to_x, sold, fitting):
    """Ratings that are sold as marks below the bar; those that fit filled, and named first."""
    parts, taken, marked = [], [], []
    for amps in sorted(sold, key=lambda each: (each not in fitting, -each)):
        fits, x = amps in fitting, to_x(amps)
        if any(abs(x - other) < _APART for other in marked):
            continue
        marked.append(x)
        parts.append(p.mark(1 if fits else 0, x, _AXIS + 13, "point-full" if fits else "point"))
        shown = f"{amps:g}"
        half = d.text_width(shown, 13, fits) / 2
        if all(abs(x - other) > half + wide + _ROOM for other, wide in taken):
            taken.append((x, half))
            parts.append(d.text(x, _AXIS + 34, shown, "strong" if fits else "quiet", 13, "middle"))
    return [*parts, d.text(WIDTH - 12, _AXIS + 34, "A", "quiet", 13, "end")]


def _verdict(band):
    listed = d.series_of(write(each, "A") for each in band.ratings_a)
    if not band.ratings_a:
        fields = {"least": write(band.floor_a, "A"), "most": write(band.most_a, "A")}
        return say("protect.fuse.none", **fields)
    if len(band.ratings_a) == 1:
        return say("protect.fuse.fits_one", rating=listed)
    return say("protect.fuse.fits", ratings=listed)


def _short_verdict(band):
    """The verdict, which names the ends alone where all ratings would run out of the picture."""
    verdict = _verdict(band)
    if not band.ratings_a or d.text_width(verdict, 14, True) <= WIDTH - 28:
        return verdict
    fields = {"least": write(band.ratings_a[0], "A"), "most": write(band.ratings_a[-1], "A")}
    return say("protect.fuse.fits_all", **fields)
