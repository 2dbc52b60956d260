"""Power from a pack through a converter or a linear regulator to a load, as a band."""

from typing import NamedTuple

from packlearn.errors import BadValue
from packlearn.pictures import drawing as d
from packlearn.pictures.room import LETTERS
from packlearn.pictures.symbols import arrow_head, named_box
from packlearn.words import say, word

WIDTH, HEIGHT = 860, 264
KINDS = ("converter", "regulator")
_BEND = 14


class _Sheet(NamedTuple):
    """Where everything lies [px].

    Attributes:
        width, height: of the picture.
        edge: room at its sides.
        top, full: upper edge of the bands, and height of all the power.
        rim: how far the boxes stand out above and below.
        pack_right, box_left, box_right, load_left: ends of the bands.
        loss_end: where the loss ends.
        above: base line of the amounts, above the bands.
        small: smallest letters.
    """

    width: float = WIDTH
    height: float = HEIGHT
    edge: float = 16
    top: float = 74
    full: float = 100
    rim: float = 14
    pack_right: float = 116
    box_left: float = 352
    box_right: float = 482
    load_left: float = 744
    loss_end: float = 226
    above: float = 28
    small: float = 12


_PAGE = _Sheet()


def _large(room, kind):
    """Sheet of a shared screen, the boxes as wide as their names."""
    width, height = room.units(LETTERS)
    side, name = 62, d.text_width(word(f"pictures.flow.{kind}"), LETTERS) + 16
    left = (width - name) / 2
    full = min(100, height - 68)
    ends = side, left, left + name, width - side
    return _Sheet(width, height, 2, 36, full, 8, *ends, height - 2, 22, LETTERS)


def conversion(input_v, input_a, output_v, output_a, loss_w=None, kind="converter", room=None):
    """Picture of power flowing through a converter; band widths are powers.

    Args:
        input_v: pack's voltage [V], or None if it is not told yet.
        input_a: current from the pack [A], or None.
        output_v: voltage at the load [V], or None.
        output_a: current into the load [A], or None.
        loss_w: power lost as heat [W]; None counts input less output.
        kind: ``"converter"`` (switching) or ``"regulator"`` (linear).
        room: the ``Room`` of a shared screen, which it fills; None for a page.

    Returns:
        ``Picture``, 860 x 264 without ``room``. With a value missing the bands are not to scale,
        and say so.

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
    sheet = _large(room, kind) if room else _PAGE
    parts = [
        *_bands(share, known, sheet),
        *_boxes(kind, sheet),
        _amounts((sheet.pack_right + sheet.box_left) / 2, input_v, input_a, input_w, sheet),
        _amounts((sheet.box_right + sheet.load_left) / 2, output_v, output_a, output_w, sheet),
        *_loss_label(share, loss_w, known, sheet),
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
    return d.picture(sheet.width, sheet.height, parts, sentence)


def _power(volts, amps):
    for value in (volts, amps):
        if value is not None and value < 0:
            raise BadValue("pictures.flow.negative", value=value, limit=0)
    return None if volts is None or amps is None else volts * amps


def _bands(share, known, sheet):
    """Input band, output band and the loss that bends down from the device."""
    out, lost = sheet.full * share, sheet.full * (1 - share)
    look = "" if known else " unscaled"
    parts = [
        d.shape(
            d.box(sheet.pack_right, sheet.top, sheet.box_left - sheet.pack_right, sheet.full),
            "flow" + look,
        ),
        d.shape(
            d.box(sheet.box_right, sheet.top, sheet.load_left - sheet.box_right, out), "flow" + look
        ),
    ]
    if lost >= 0.5:
        parts.append(d.shape(_loss_outline(out, lost, sheet), "loss" + look))
    middle, tip = sheet.top + sheet.full / 2, sheet.top + out / 2
    heads = arrow_head((sheet.pack_right + sheet.box_left) / 2 + 8, middle, 0, 16)
    heads += arrow_head(
        (sheet.box_right + sheet.load_left) / 2 + 6, tip, 0, min(16, max(6, out * 0.7))
    )
    return [*parts, d.shape(heads, "power-head")]


def _loss_outline(out, lost, sheet):
    """A band of the loss's width: a quarter turn, then down into an arrow."""
    outer, low = _BEND + lost, sheet.loss_end - min(16, lost / 2 + 8)
    x1, x2 = sheet.box_right + _BEND, sheet.box_right + outer
    middle = (x1 + x2) / 2
    o, b = d.n(outer), d.n(_BEND)
    return (
        f"M{d.n(sheet.box_right)} {d.n(sheet.top + out)}a{o} {o} 0 0 1 {o} {o}V{d.n(low)}"
        f"H{d.n(x2 + 5)}L{d.n(middle)} {d.n(sheet.loss_end)}L{d.n(x1 - 5)} {d.n(low)}H{d.n(x1)}"
        f"V{d.n(sheet.top + sheet.full + _BEND)}a{b} {b} 0 0 0 -{b} -{b}z"
    )


def _boxes(kind, sheet):
    top, high = sheet.top - sheet.rim, sheet.full + 2 * sheet.rim
    return [
        named_box(sheet.edge, top, sheet.pack_right - sheet.edge, high, word("pictures.flow.pack")),
        named_box(
            sheet.box_left,
            top,
            sheet.box_right - sheet.box_left,
            high,
            word(f"pictures.flow.{kind}"),
        ),
        named_box(
            sheet.load_left,
            top,
            sheet.width - sheet.edge - sheet.load_left,
            high,
            word("pictures.flow.load"),
        ),
    ]


def _amounts(x, volts, amps, watts, sheet):
    """Volts times amps, and the watts they make, above a band."""
    product = [
        (d.amount(volts, "V"), "volt strong"),
        (" \u00d7 ", "quiet"),
        (d.amount(amps, "A"), "amp strong"),
        (" = ", "quiet"),
        (d.amount(watts, "W"), "strong"),
    ]
    return d.rich(x, sheet.top - sheet.above, product, 15, "middle")


def _loss_label(share, loss_w, known, sheet):
    words = say("pictures.flow.lost", power=d.amount(loss_w, "W"))
    if sheet is _PAGE:
        x, anchor = sheet.box_right + _BEND + sheet.full * (1 - share) + 18, "start"
        words = d.clip(words, WIDTH - x - 10, 14)
    else:
        # Left of the loss, below the device: there is more room.
        x, anchor = sheet.box_right + _BEND - 12, "end"
    parts = [d.text(x, sheet.loss_end - 4, words, "", 14, anchor)]
    if not known:
        x, y = (16, HEIGHT - 14) if sheet is _PAGE else (sheet.edge, sheet.loss_end - 4)
        parts.append(d.text(x, y, word("pictures.flow.no_scale"), "quiet", sheet.small))
    return parts
