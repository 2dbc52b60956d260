"""What meter and load on a wiring bench show, in numbers and in words."""

from dataclasses import dataclass

from packlearn.pictures.drawing import reading
from packlearn.quantities import write
from packlearn.wiring import SHUNT_OHM
from packlearn.words import say

# From here on an ammeter's second digit after the point tells nothing.
_LARGE_A = 10.0


@dataclass(frozen=True)
class Shown:
    """What is shown.

    Attributes:
        text: the reading as the meter shows it; None where it is dark.
        sentences: what to tell.
        danger: a sentence on what must not be built, or empty.
    """

    text: str | None = None
    sentences: tuple[str, ...] = ()
    danger: str = ""


def meter(wiring, kind, red, black, load_ohm=None):
    """What the meter shows.

    Args:
        wiring: a ``Wiring``.
        kind: "off", "V" or "A".
        red, black: contacts the probes touch, or None.
        load_ohm: resistance of the load between the leads [ohm], or None.

    Returns:
        ``Shown``.
    """
    if kind == "off":
        return Shown()
    if red is None or black is None:
        return Shown(sentences=(say("bench.panel.probes"),))
    if red == black:
        return Shown(sentences=(say("bench.panel.one_point", contact=red),))
    show = _volts if kind == "V" else _amps
    return show(wiring, red, black, load_ohm)


def _volts(wiring, red, black, load_ohm):
    text = reading(round(wiring.reading_v(red, black, load_ohm=load_ohm), 2))
    return Shown(text, (say("bench.panel.shows_v", text=text, red=red, black=black),))


def _amps(wiring, red, black, load_ohm):
    amps = wiring.ammeter_a(red, black, load_ohm=load_ohm)
    # Adding 0 turns -0 into 0.
    text = f"{amps:.0f} A" if abs(amps) >= _LARGE_A else f"{round(amps, 2) + 0.0:.2f} A"
    key = "shows_a_link" if wiring.linked(red, black) else "shows_a_across"
    said = say(f"bench.panel.{key}", text=text, red=red, black=black)
    with_meter = wiring.link(red, black, ohm=SHUNT_OHM)
    over = _over_limit(with_meter, load_ohm) and not _over_limit(wiring, load_ohm)
    danger = say("bench.panel.meter_short", text=text) if over else ""
    return Shown(text, (said,), danger)


def load(wiring, load_ohm):
    """What a load between the leads takes.

    Args:
        wiring: a ``Wiring`` with both leads on contacts.
        load_ohm: resistance of the load [ohm].

    Returns:
        ``Shown``, without a reading.
    """
    amps = wiring.load_current_a(load_ohm)
    volts = wiring.reading_v(wiring.red, wiring.black, load_ohm=load_ohm)
    fields = {"ohms": write(load_ohm, "ohm"), "amps": write(amps, "A")}
    said = say("bench.panel.load_takes", volts=reading(round(volts, 2)), **fields)
    over = _over_limit(wiring, load_ohm)
    # What flows without the load is no fault of it, and is told as such.
    danger = (
        say("bench.panel.load_over", cell=over) if over and not _over_limit(wiring, None) else ""
    )
    return Shown(None, (said,), danger)


def _over_limit(wiring, load_ohm):
    """Label of the first cell that would carry more than its limit; empty for none."""
    lies = dict(wiring.places)
    amps = wiring.currents_a(load_ohm)
    over = (label for label in amps if abs(amps[label]) > lies[label].cell.current_limit_a)
    return next(over, "")
