"""One load fed by strings side by side, the current written in every string."""

from numbers import Real

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.symbols import Lie, arrow_head, cells, named_box
from packlearn.words import say, word

WIDTH, HEIGHT = 720, 290
MOST_STRINGS = 12
_MIDDLE, _ROOM, _WIDEST = 132, 228, 56
_LEFT, _CELL_LEFT, _CELL_LENGTH, _JOIN = 44, 96, 128, 396
_TAG_LEFT, _TAG_WIDTH = 286, 78
_LOAD_TAG, _LOAD_LEFT, _LOAD_WIDTH, _RETURN = 440, 562, 120, 272


def sharing(parallel, load_a, shares=None):
    """Picture of strings that share a load's current.

    Args:
        parallel: strings side by side, 1 to 12.
        load_a: current the load takes [A], or None if it is not told yet.
        shares: current of each string [A], one number for all, or None before the reveal.

    Returns:
        ``Picture``, 720 x 290.

    Raises:
        BadValue: too many strings, or another number of shares than of strings.
    """
    parallel = d.check_count("parallel", parallel, MOST_STRINGS)
    shares = _shares(shares, parallel)
    row = min(_WIDEST, _ROOM // parallel)
    rows = [_MIDDLE + (i - (parallel - 1) / 2) * row for i in range(parallel)]
    parts = [_wires(rows), *_strings(rows, row)]
    high = min(24, row - 2)
    parts += [_tag(_TAG_LEFT, y, high, share) for y, share in zip(rows, shares, strict=True)]
    parts += [_tag(_LOAD_TAG, _MIDDLE, 24, load_a)]
    parts += [named_box(_LOAD_LEFT, _MIDDLE - 34, _LOAD_WIDTH, 68, word("pictures.flow.load"))]
    return d.picture(WIDTH, HEIGHT, parts, _sentence(parallel, load_a, shares))


def _shares(shares, parallel):
    if shares is None or isinstance(shares, Real):
        return [shares] * parallel
    shares = list(shares)
    if len(shares) != parallel:
        raise BadValue("pictures.sharing.shares", value=len(shares), limit=parallel)
    return shares


def _wires(rows):
    """Strings joined at both ends, the load between them, arrow heads along the way."""
    out, back = _LOAD_LEFT + _LOAD_WIDTH, _RETURN
    wires = "".join(d.line(_LEFT, y, _JOIN, y) for y in rows)
    wires += d.line(_JOIN, rows[0], _JOIN, rows[-1]) + d.line(_JOIN, _MIDDLE, _LOAD_LEFT, _MIDDLE)
    middle = _LOAD_LEFT + _LOAD_WIDTH / 2
    wires += d.polyline([(middle, _MIDDLE + 34), (middle, back), (_LEFT, back), (_LEFT, rows[0])])
    heads = "".join(arrow_head(_TAG_LEFT - 12, y, 0, 9) for y in rows)
    heads += arrow_head(_LOAD_LEFT - 12, _MIDDLE, 0, 9) + arrow_head(
        (_LEFT + out) / 2, back, 180, 9
    )
    dots = "".join(d.ring(x, y, 3) for x in (_LEFT, _JOIN) for y in rows) if len(rows) > 1 else ""
    return d.shape(wires, "wire") + d.shape(heads + dots, "head")


def _strings(rows, row):
    thickness = min(34, row - 4)
    x = _CELL_LEFT + _CELL_LENGTH / 2
    parts = [cells([Lie(x, y, _CELL_LENGTH, thickness) for y in rows])]
    for letter, y in zip(d.LETTERS, rows, strict=False):
        name = d.clip(say("pictures.sharing.string", letter=letter), _CELL_LENGTH - 44, 12)
        size = 13 if thickness >= 20 else 11
        parts.append(d.text(x - 2, y + size * 0.36, name, "on-cell", size, "middle"))
    return parts


def _tag(x, y, high, current_a):
    """A reading in line with a wire."""
    size = 14 if high >= 20 else 11
    shown = d.clip(d.amount(current_a, "A"), _TAG_WIDTH - 8, size, True)
    body = d.shape(d.box(x, y - high / 2, _TAG_WIDTH, high, 5), "tag")
    return body + d.text(x + _TAG_WIDTH / 2, y + size * 0.36, shown, "amp strong", size, "middle")


def _sentence(parallel, load_a, shares):
    load = word("pictures.not_told") if load_a is None else d.amount(load_a, "A")
    key = "one" if parallel == 1 else "many"
    start = say(f"pictures.sharing.{key}", parallel=parallel, load=load)
    if all(share is None for share in shares):
        return d.sentences(start, say("pictures.sharing.open"))
    told = [
        say("pictures.sharing.share", letter=letter, current=d.amount(share, "A"))
        for letter, share in zip(d.LETTERS, shares, strict=False)
    ]
    return d.sentences(start, say("pictures.sharing.shares_told", shares=d.series_of(told)))
