"""A cable between pack and lamp, and two scales below: volts it keeps, and how warm it becomes."""

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.quantities import write
from packlearn.words import say, word

WIDTH, HEIGHT = 720, 248
_PACK, _LAMP, _BOX_WIDE = 16, 604, 100
_OUT, _BACK = 64, 104
_BAR_LEFT, _BAR_RIGHT, _BAR_HIGH = 196, 600, 18
_SCALES = ((158, "share", 10.0), (206, "heat", 60.0))


def cable(
    label, length_m, current_a, pack_v, drop_v, heating_k, *, allowed_share=0.03, allowed_k=20.0
):
    """Picture of a cable's two conductors with the volts each keeps, and of its warmth.

    Args:
        label: name of the wire, such as ``"0.5 mm²"``.
        length_m: one way [m].
        current_a: current [A].
        pack_v: volts at the pack [V].
        drop_v: volts both conductors keep [V].
        heating_k: how much warmer than the air the wire becomes [K]; may be infinite.
        allowed_share: share of the volts one plans to lose at most.
        allowed_k: how much warmer than the air one plans to let it become [K].

    Returns:
        ``Picture``, 720 x 248.

    Raises:
        BadValue: a length, current or voltage that is not above 0.
    """
    if min(length_m, current_a, pack_v) <= 0 or drop_v < 0:
        value = f"{length_m:g} m, {current_a:g} A, {pack_v:g} V, {drop_v:g} V"
        raise BadValue("protect.cable.positive", value=value, limit=0)
    share, left_v = drop_v / pack_v, max(0.0, pack_v - drop_v)
    fields = {
        "wire": d.clean(label),
        "length": write(length_m, "m"),
        "current": write(current_a, "A"),
        "pack": write(pack_v, "V"),
        "half": write(drop_v / 2, "V"),
        "drop": write(drop_v, "V"),
        "left": write(left_v, "V"),
        "share": _percent(share),
        "most_share": _percent(allowed_share),
        "heat": _kelvins(heating_k),
        "most_heat": f"{allowed_k:g}",
    }
    values = (100 * share, heating_k), (100 * allowed_share, allowed_k)
    title = d.clip(say("protect.cable.title", **fields), WIDTH - 32, 15, True)
    parts = [d.text(16, 24, title, "strong", 15)]
    parts += _drawn(fields)
    for scale, value, most in zip(_SCALES, *values, strict=True):
        parts += _scale(*scale, value, most, fields)
    return d.picture(WIDTH, HEIGHT, parts, say("protect.cable.told", **fields))


def _percent(share):
    return write(100 * share, "%", 2)


def _kelvins(heating_k):
    return word("protect.cable.glows") if heating_k > 1000 else f"{heating_k:.2g}"


def _drawn(fields):
    """Pack, lamp and the two conductors between them, each with what it keeps."""
    left, right = _PACK + _BOX_WIDE, _LAMP
    boxes = "".join(d.box(x, 44, _BOX_WIDE, 80, 6) for x in (_PACK, _LAMP))
    wires = d.line(left, _OUT, right, _OUT) + d.line(left, _BACK, right, _BACK)
    middle = (left + right) / 2
    arrows = d.polyline([(middle - 6, _OUT - 5), (middle + 4, _OUT), (middle - 6, _OUT + 5)])
    arrows += d.polyline([(middle + 6, _BACK - 5), (middle - 4, _BACK), (middle + 6, _BACK + 5)])
    out, back = say("protect.cable.out", **fields), say("protect.cable.back", **fields)
    parts = [d.shape(boxes, "box"), d.shape(wires + arrows, "wire")]
    for x, name, volts in ((_PACK, "pack", "pack"), (_LAMP, "lamp", "left")):
        at = x + _BOX_WIDE / 2
        parts.append(d.text(at, 78, word(f"protect.cable.{name}"), "quiet", 13, "middle"))
        parts.append(d.text(at, 100, fields[volts], "volt strong", 15, "middle"))
    parts.append(d.text(middle, _OUT - 10, out, "volt", 13, "middle"))
    return [*parts, d.text(middle, _BACK + 20, back, "volt", 13, "middle")]


def _scale(top, name, end, value, most, fields):
    """One bar: filled up to the value, a line at what one plans with, hatched past it."""

    def to_x(amount):
        return _BAR_LEFT + min(amount, end) / end * (_BAR_RIGHT - _BAR_LEFT)

    past = to_x(most), top, _BAR_RIGHT - to_x(most), _BAR_HIGH
    parts = [d.shape(d.box(*past), "window")]
    if value > 0:
        look = "volt-area" if name == "share" else "loss"
        parts.append(d.shape(d.box(_BAR_LEFT, top, to_x(value) - _BAR_LEFT, _BAR_HIGH), look))
    parts.append(d.shape(d.hatch(*past), "hatch"))
    frame = d.box(_BAR_LEFT, top, _BAR_RIGHT - _BAR_LEFT, _BAR_HIGH)
    parts.append(d.shape(frame, "frame"))
    parts.append(
        d.shape(d.line(to_x(most), top - 5, to_x(most), top + _BAR_HIGH + 5), "limit-line")
    )
    low = top + _BAR_HIGH + 15
    parts.append(
        d.text(to_x(most), low, say(f"protect.cable.most_{name}", **fields), "", 12, "middle")
    )
    parts.append(d.text(16, top + 14, word(f"protect.cable.{name}_name"), "", 13))
    shown = say(f"protect.cable.{name}_value", **fields)
    return [*parts, d.text(_BAR_RIGHT + 10, top + 14, d.clip(shown, 108, 13, True), "strong", 13)]
