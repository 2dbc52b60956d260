"""Choices of packs against a device's voltage window and the hours it needs."""

from typing import NamedTuple

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.symbols import arrow_head, fit_sign
from packlearn.words import say, word

WIDTH, HEIGHT = 860, 330
MOST_ROWS = 10
_TOP, _BOTTOM, _TALLEST = 46, 300, 44
_NAME, _AXIS_LEFT, _AXIS_RIGHT = 14, 234, 432
_RUN_LEFT, _RUN_RIGHT, _RUN_TEXT, _SIGN, _REASON = 452, 524, 534, 634, 650


class Row(NamedTuple):
    """One choice of a pack.

    Args:
        text: its name, such as ``"6S1P NiMH AA"``.
        end_v: voltage when empty [V].
        nominal_v: nominal voltage [V].
        full_v: voltage when full [V].
        run_h: run time [h].
        fits: whether it meets the need.
        reason: a few words why not, or ``""``.
    """

    text: str
    end_v: float
    nominal_v: float
    full_v: float
    run_h: float
    fits: bool
    reason: str = ""


def windows(rows, window_v, need_h):
    """Picture of choices: each one's voltages against the window, its hours against the need.

    Args:
        rows: ``Row`` for each choice (plain tuples of the same order do), 10 at most.
        window_v: the device's window ``(low, high)`` [V].
        need_h: hours it must run [h], more than 0.

    Returns:
        ``Picture``, 860 x 330.

    Raises:
        BadValue: no rows or too many, a window upside down, or no need.
    """
    rows, (low, high) = _checked([Row(*row) for row in rows], *window_v, need_h)
    to_x, marks = _axis_scale(rows, high)
    pitch = min(_TALLEST, (_BOTTOM - _TOP) / len(rows))
    floor, need_x = _TOP + pitch * len(rows), (_RUN_LEFT + _RUN_RIGHT) / 2
    parts = [_rules(len(rows), pitch), *_window(to_x, low, high, floor)]
    parts += [*_axis(to_x, marks, floor), *_headings(to_x, low, high, need_h)]
    for i, row in enumerate(rows):
        y = _TOP + pitch * (i + 0.5)
        parts.append(d.text(_NAME, y + 4.5, d.clip(row.text, _AXIS_LEFT - 12 - _NAME, 13), "", 13))
        parts += [_volts(row, to_x, y), *_run(row, need_h, y), *_verdict(row, y)]
    parts.append(d.shape(d.line(need_x, _TOP - 2, need_x, floor), "need-line"))
    return d.picture(WIDTH, HEIGHT, parts, _sentence(rows, low, high, need_h))


def _checked(rows, low, high, need_h):
    if not 1 <= len(rows) <= MOST_ROWS:
        raise BadValue("pictures.windows.rows", value=len(rows), limit=MOST_ROWS)
    if not (0 <= low < high and need_h > 0):
        value = f"{low:g} to {high:g} V, {need_h:g} h"
        raise BadValue("pictures.windows.need", value=value, limit=0)
    return rows, (float(low), float(high))


def _rules(count, pitch):
    """Fine lines between the rows."""
    places = [round(_TOP + pitch * i) + 0.5 for i in range(count)]
    return d.shape("".join(d.line(_NAME, y, WIDTH - 12, y) for y in places), "rule")


def _axis_scale(rows, window_high):
    """Volts to places from 0 V on, so that bars may be compared; and the marks."""
    top = max([window_high, *(row.full_v for row in rows)]) * 1.06

    def to_x(volts):
        return _AXIS_LEFT + max(0, volts) / top * (_AXIS_RIGHT - _AXIS_LEFT)

    marks, _ = d.ticks(0, top, 6)
    return to_x, marks


def _window(to_x, low, high, floor):
    x1, x2 = to_x(low), to_x(high)
    band = (x1, _TOP - 6, x2 - x1, floor - _TOP + 6)
    return [d.shape(d.box(*band), "window"), d.shape(d.hatch(*band, 9), "hatch")]


def _axis(to_x, marks, floor):
    strokes = d.line(_AXIS_LEFT, floor + 0.5, _AXIS_RIGHT, floor + 0.5)
    strokes += "".join(d.line(to_x(v), floor, to_x(v), floor + 5) for v in marks)
    texts = [d.text(to_x(v), floor + 19, f"{v:g} V", "quiet", 12, "middle") for v in marks]
    return [d.shape(strokes, "axis"), *texts]


def _headings(to_x, low, high, need_h):
    """Column headings, and what the band and the need line stand for."""
    window = say("pictures.windows.window", low=f"{low:g}", high=d.amount(high, "V"))
    half = d.text_width(window, 12) / 2
    x = min(max((to_x(low) + to_x(high)) / 2, _AXIS_LEFT + half), _AXIS_RIGHT + 6 - half)
    need = say("pictures.windows.need_mark", time=d.amount(need_h, "h"))
    headings = [
        (_NAME, "pack"),
        (_AXIS_LEFT, "volts"),
        (_RUN_LEFT, "run"),
        (_REASON - 22, "verdict"),
    ]
    return [
        *(d.text(left, 16, word(f"pictures.windows.{key}"), "quiet", 12) for left, key in headings),
        d.text(x, 34, window, "", 12, "middle"),
        d.text(_RUN_LEFT, 34, need, "", 12),
    ]


def _volts(row, to_x, y):
    x1, x2, x = to_x(row.end_v), to_x(row.full_v), to_x(row.nominal_v)
    bar = d.shape(d.box(x1, y - 5.5, max(2, x2 - x1), 11, 2), "volt-area")
    return bar + d.shape(d.line(x, y - 8, x, y + 8), "tick")


def _run(row, need_h, y):
    """Bar of hours on a scale to twice the need; an arrow head where it goes on."""
    share = row.run_h / (2 * need_h)
    end = _RUN_LEFT + min(1, share) * (_RUN_RIGHT - _RUN_LEFT)
    bar = d.shape(d.box(_RUN_LEFT, y - 4.5, max(1, end - _RUN_LEFT), 9), "charge-area")
    head = d.shape(arrow_head(_RUN_RIGHT + 6, y, 0, 10), "head") if share > 1 else ""
    shown = d.clip(d.amount(row.run_h, "h"), _SIGN - 12 - _RUN_TEXT, 12)
    return [bar + head, d.text(_RUN_TEXT, y + 4.5, shown, "", 12)]


def _verdict_words(row):
    return d.clean(row.reason) or word(f"pictures.windows.{'fits' if row.fits else 'fails'}")


def _verdict(row, y):
    words = _verdict_words(row)
    look = "strong" if row.fits else ""
    shown = d.clip(words, WIDTH - 8 - _REASON, 12, row.fits)
    return [fit_sign(_SIGN, y, row.fits), d.text(_REASON, y + 4.5, shown, look, 12)]


def _sentence(rows, low, high, need_h):
    told = [
        say(
            "pictures.windows.told",
            low=f"{low:g}",
            high=d.amount(high, "V"),
            time=d.amount(need_h, "h"),
            count=len(rows),
        )
    ]
    for row in rows:
        told.append(
            say(
                "pictures.windows.row_told",
                name=d.clean(row.text),
                end=d.amount(row.end_v, "V"),
                nominal=d.amount(row.nominal_v, "V"),
                full=d.amount(row.full_v, "V"),
                time=d.amount(row.run_h, "h"),
                verdict=_verdict_words(row),
            )
        )
    return d.sentences(*told)
