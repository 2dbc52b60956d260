"""Power from a pack through a converter or a linear regulator to a load, as a band."""

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.symbols import arrow_head, named_box
from packlearn.words import say, word

WIDTH, HEIGHT = 860, 264
KINDS = ("converter", "regulator")
_TOP, _FULL = 74, 100
_PACK_RIGHT, _BOX_LEFT, _BOX_RIGHT, _LOAD_LEFT = 116, 352, 482, 744
_BEND, _LOSS_END = 14, 226


def conversion(input_v, input_a, output_v, output_a, loss_w=None, kind="converter"):
    """Picture of power flowing through a converter; band widths are powers.

    Args:
        input_v: pack's voltage [V], or None if it is not told yet.
        input_a: current from the pack [A], or None.
        output_v: voltage at the load [V], or None.
        output_a: current into the load [A], or None.
        loss_w: power lost as heat [W]; None counts input less output.
        kind: ``"converter"`` (switching) or ``"regulator"`` (linear).

    Returns:
        ``Picture``, 860 x 264. With a value missing the bands are not to scale, and say so.

    Raises:
        BadValue: an unknown kind, a negative value, or more power out than in.
    """
    d.check_choice("kind", kind, KINDS)
    input_w, output_w = _power(input_v, input_a), _power(output_v, output_a)
    known = None not in (input_w, output_w)
    if known and loss_w is None:
        loss_w = max(0.0, input_w - output_w)
    if known and output_w > input_w * 1.001:
        raise BadValue("pictures.flow.more_out", value=f"{output_w:.3g}", limit=f"{input_w:.3g}")
    share = output_w / input_w if known and input_w else 0.7
    parts = [
        *_bands(share, known),
        *_boxes(kind),
        _amounts((_PACK_RIGHT + _BOX_LEFT) / 2, input_v, input_a, input_w),
        _amounts((_BOX_RIGHT + _LOAD_LEFT) / 2, output_v, output_a, output_w),
        *_loss_label(share, loss_w, known),
    ]
    told = {
        "in_v": d.amount(input_v, "V"),
        "in_a": d.amount(input_a, "A"),
        "in_w": d.amount(input_w, "W"),
        "out_v": d.amount(output_v, "V"),
        "out_a": d.amount(output_a, "A"),
        "out_w": d.amount(output_w, "W"),
        "loss_w": d.amount(loss_w, "W"),
        "device": word(f"pictures.flow.{kind}"),
    }
    scale = "" if known else say("pictures.flow.no_scale_told")
    sentence = d.sentences(say("pictures.flow.told", **told), scale)
    return d.picture(WIDTH, HEIGHT, parts, sentence)


def _power(volts, amps):
    for value in (volts, amps):
        if value is not None and value < 0:
            raise BadValue("pictures.flow.negative", value=value, limit=0)
    return None if volts is None or amps is None else volts * amps


def _bands(share, known):
    """Input band, output band and the loss that bends down from the device."""
    out, lost = _FULL * share, _FULL * (1 - share)
    look = "" if known else " unscaled"
    parts = [
        d.shape(d.box(_PACK_RIGHT, _TOP, _BOX_LEFT - _PACK_RIGHT, _FULL), "flow" + look),
        d.shape(d.box(_BOX_RIGHT, _TOP, _LOAD_LEFT - _BOX_RIGHT, out), "flow" + look),
    ]
    if lost >= 0.5:
        parts.append(d.shape(_loss_outline(out, lost), "loss" + look))
    middle, tip = _TOP + _FULL / 2, _TOP + out / 2
    heads = arrow_head((_PACK_RIGHT + _BOX_LEFT) / 2 + 8, middle, 0, 16)
    heads += arrow_head((_BOX_RIGHT + _LOAD_LEFT) / 2 + 6, tip, 0, min(16, max(6, out * 0.7)))
    return [*parts, d.shape(heads, "power-head")]


def _loss_outline(out, lost):
    """A band of the loss's width: a quarter turn, then down into an arrow."""
    outer, low = _BEND + lost, _LOSS_END - min(16, lost / 2 + 8)
    x1, x2 = _BOX_RIGHT + _BEND, _BOX_RIGHT + outer
    middle = (x1 + x2) / 2
    o, b = d.n(outer), d.n(_BEND)
    return (
        f"M{_BOX_RIGHT} {d.n(_TOP + out)}a{o} {o} 0 0 1 {o} {o}V{d.n(low)}"
        f"H{d.n(x2 + 5)}L{d.n(middle)} {_LOSS_END}L{d.n(x1 - 5)} {d.n(low)}H{d.n(x1)}"
        f"V{d.n(_TOP + _FULL + _BEND)}a{b} {b} 0 0 0 -{b} -{b}z"
    )


def _boxes(kind):
    top, high = _TOP - 14, _FULL + 28
    return [
        named_box(16, top, _PACK_RIGHT - 16, high, word("pictures.flow.pack")),
        named_box(_BOX_LEFT, top, _BOX_RIGHT - _BOX_LEFT, high, word(f"pictures.flow.{kind}")),
        named_box(_LOAD_LEFT, top, WIDTH - 16 - _LOAD_LEFT, high, word("pictures.flow.load")),
    ]


def _amounts(x, volts, amps, watts):
    """Volts times amps, and the watts they make, above a band."""
    product = [
        (d.amount(volts, "V"), "volt strong"),
        (" \u00d7 ", "quiet"),
        (d.amount(amps, "A"), "amp strong"),
        (" = ", "quiet"),
        (d.amount(watts, "W"), "strong"),
    ]
    return d.rich(x, _TOP - 28, product, 15, "middle")


def _loss_label(share, loss_w, known):
    x = _BOX_RIGHT + _BEND + _FULL * (1 - share) + 18
    words = say("pictures.flow.lost", power=d.amount(loss_w, "W"))
    parts = [d.text(x, _LOSS_END - 4, d.clip(words, WIDTH - x - 10, 14), "", 14)]
    if not known:
        parts.append(d.text(16, HEIGHT - 14, word("pictures.flow.no_scale"), "quiet", 12))
    return parts
