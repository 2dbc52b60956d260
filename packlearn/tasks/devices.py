"""A learner's own device as it was typed: read into numbers, or answered with the mend.

Texts come from people and are hostile until they are read: bounded in length, never evaluated.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from packlearn.cells import catalogue
from packlearn.errors import BadValue, PackError
from packlearn.loads import Converter, LinearRegulator, Load
from packlearn.quantities import read, write
from packlearn.sizing import Need
from packlearn.words import say, word

FEEDS = ("straight", "converter", "regulator")
KNOWN = ("measured", "label", "guessed")
READY = ("lantern", "mast", "trike")
# What lists begin with, and what ready devices choose in them; the rest of their texts are words.
_START = {"feed": "straight", "known": "guessed", "cell": "nimh-aa"}
_CHOSEN = {
    "lantern": {"known": "measured"},
    "mast": {"feed": "converter", "known": "measured"},
    "trike": {"known": "label", "cell": "li-ion-18650-energy"},
}
STEPS = ("step_1", "step_2", "step_3", "step_4")
LONGEST_NAME = 40
LONGEST_LABEL = 30
LONGEST_STEP = 100

# Least and most of what is typed, in the unit it is read in; both ends count.
BOUNDS = {
    "low": ("V", 0.5, 60.0),
    "high": ("V", 0.5, 60.0),
    "output": ("V", 0.5, 60.0),
    "efficiency": ("%", 30.0, 100.0),
    "hours": ("h", 0.02, 9000.0),
    "current": ("A", 0.0, 30.0),
    "seconds": ("s", 0.1, 700_000.0),
    "current_share": ("%", 20.0, 100.0),
    "capacity_share": ("%", 20.0, 100.0),
    "ageing": ("", 1.0, 3.0),
    "margin": ("", 1.0, 3.0),
    "cold": ("", 1.0, 3.0),
    "lead": ("m", 0.05, 20.0),
}
DEVICE_FIELDS = ("name", "feed", "low", "high", "output", "efficiency", *STEPS, "hours", "known")
PLAN_FIELDS = ("cell", "current_share", "capacity_share", "ageing", "margin", "cold", "lead")
FIELDS = (*DEVICE_FIELDS, *PLAN_FIELDS)


@dataclass(frozen=True)
class Step:
    """One step of what a device does.

    Attributes:
        label: what it does then; it may be empty.
        current_a: what it takes [A].
        seconds: how long [s].
    """

    label: str
    current_a: float
    seconds: float


@dataclass(frozen=True)
class Device:
    """A device with what it asks for.

    Attributes:
        name: its name, printable and bounded.
        feed: one of ``FEEDS``: what stands between it and the pack.
        window_v: lowest and highest voltage [V] at the pack's ends.
        output_v: voltage behind converter or regulator [V], None without one.
        efficiency: of the converter, 0 to 1, None without one.
        steps: one to four ``Step``.
        run_time_h: how long it must run [h].
        known: one of ``KNOWN``: where its currents come from.
    """

    name: str
    feed: str
    window_v: tuple
    output_v: float | None
    efficiency: float | None
    steps: tuple
    run_time_h: float
    known: str

    @property
    def own_load(self):
        """The ``Load`` of the device itself."""
        if self.steady:
            return Load.current(self.steps[0].current_a)
        return Load.profile([(Load.current(s.current_a), s.seconds) for s in self.steps])

    @property
    def steady(self):
        """True where it takes the same current all the time."""
        return len({step.current_a for step in self.steps}) == 1

    @property
    def load(self):
        """The ``Load`` as the pack sees it."""
        if self.feed == "converter":
            return self.own_load.through(Converter(self.output_v, self.efficiency, self.window_v))
        if self.feed == "regulator":
            dropout_v = self.window_v[0] - self.output_v
            stage = LinearRegulator(self.output_v, dropout_v, input_max_v=self.window_v[1])
            return self.own_load.through(stage)
        return self.own_load


@dataclass(frozen=True)
class Plans:
    """What a learner plans with.

    Attributes:
        cell: name of a cell of the catalogue.
        current_share, capacity_share: shares planned with, 0 to 1.
        ageing, margin, cold: factors of the capacity, from 1.
        lead_m: length of the cable, one way [m].
    """

    cell: str
    current_share: float
    capacity_share: float
    ageing: float
    margin: float
    cold: float
    lead_m: float


def need_of(device, plans):
    """The ``Need`` of a device with a learner's margins.

    Args:
        device: the ``Device``.
        plans: the ``Plans``.
    """
    return Need(
        load=device.load,
        run_time_h=device.run_time_h,
        voltage_v=device.window_v,
        current_derating=plans.current_share,
        capacity_derating=plans.capacity_share,
        ageing_factor=plans.ageing,
        design_margin=plans.margin,
        temperature_factor=plans.cold,
    )


def start_texts():
    """What stands in the boxes before anything is typed: dict of field -> text."""
    return {name: "" for name in FIELDS} | _START | word("own_pack.start")


def ready_texts(name):
    """What a ready device of the club types: dict of field -> text.

    Args:
        name: one of ``READY``.
    """
    return start_texts() | _CHOSEN[name] | word(f"own_pack.ready.{name}")


def read_device(typed):
    """A device from what was typed.

    Args:
        typed: dict of field -> text.

    Returns:
        ``Device`` or None, and a dict of field -> sentence that says value, limit and mend.
    """
    reader = _Reader(typed)
    name, feed = reader.take(_name, "name"), reader.take(_one_of(FEEDS), "feed")
    known = reader.take(_one_of(KNOWN), "known")
    low, high = (reader.take(_bounded(field), field) for field in ("low", "high"))
    if low is not None and high is not None and not low < high:
        reader.trouble("high", "window", value=write(high, "V"), limit=write(low, "V"))
    output = efficiency = None
    if feed in ("converter", "regulator"):
        output = reader.take(_bounded("output"), "output")
    if feed == "converter":
        efficiency = reader.take(_bounded("efficiency"), "efficiency")
    if feed == "regulator" and None not in (low, output) and low < output:
        reader.trouble("low", "regulator", value=write(low, "V"), limit=write(output, "V"))
    steps = _steps(reader)
    hours = reader.take(_bounded("hours"), "hours")
    if reader.troubles:
        return None, reader.troubles
    share = None if efficiency is None else efficiency / 100
    return Device(name, feed, (low, high), output, share, steps, hours, known), {}


def read_steps(texts):
    """Steps of a load as they are typed, such as "flash 1.2 A for 10 s".

    Args:
        texts: one or more texts; a single one may have no time.

    Returns:
        Tuple of ``Step``.

    Raises:
        BadValue: a text that cannot be read, a value out of bounds, no current at all.
    """
    steps = tuple(_step(len(texts) == 1)(text) for text in texts)
    if not any(step.current_a for step in steps):
        raise BadValue("own_pack.troubles.nothing", value=write(0, "A"))
    return steps


def read_plans(typed):
    """Cell and margins from what was typed.

    Args:
        typed: dict of field -> text.

    Returns:
        ``Plans`` or None, and a dict of field -> sentence that says value, limit and mend.
    """
    reader = _Reader(typed)
    cell = reader.take(_one_of(catalogue()), "cell")
    shares = [reader.take(_bounded(name), name) for name in ("current_share", "capacity_share")]
    others = [reader.take(_bounded(name), name) for name in ("ageing", "margin", "cold", "lead")]
    if reader.troubles:
        return None, reader.troubles
    return Plans(cell, *(share / 100 for share in shares), *others), {}


class _Reader:
    def __init__(self, typed):
        self.typed, self.troubles = typed, {}

    def take(self, reading, field):
        """Value of a field; None where it cannot be read, and then the trouble is kept."""
        try:
            return reading(self.typed.get(field, ""))
        except PackError as trouble:
            self.troubles[field] = str(trouble)

    def trouble(self, field, key, **fields):
        self.troubles[field] = say(f"own_pack.troubles.{key}", **fields)


def _name(text):
    tidy = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    if not tidy or len(tidy) > LONGEST_NAME:
        key = "long_name" if tidy else "no_name"
        raise BadValue(f"own_pack.troubles.{key}", value=len(tidy), limit=LONGEST_NAME)
    return tidy


def _one_of(names):
    def chosen(text):
        if text not in names:
            raise BadValue("own_pack.troubles.choose", value=str(text)[:40], limit=", ".join(names))
        return text

    return chosen


def _bounded(field):
    unit, least, most = BOUNDS[field]

    def bounded(text):
        reading = read(text, unit)
        if not reading.same_kind:
            raise BadValue("own_pack.troubles.kind", value=reading.typed, limit=reading.says)
        if not least <= reading.value <= most:
            fields = {"least": _written(least, unit), "limit": _written(most, unit)}
            shown = _written(reading.value, unit)
            raise BadValue("own_pack.troubles.bounds", value=shown, **fields)
        return reading.value

    return bounded


def _written(value, unit):
    return write(value, unit) if unit else f"{value:g}"


def _steps(reader):
    """The steps that are typed; the first must be there, and only one alone may have no time."""
    typed = [field for field in STEPS if reader.typed.get(field, "").strip()] or [STEPS[0]]
    steps = tuple(reader.take(_step(len(typed) == 1), field) for field in typed)
    if None not in steps and not any(step.current_a for step in steps):
        reader.trouble(typed[0], "nothing", value=write(0, "A"))
    return steps


def _step(alone):
    def step(text):
        if len(text) > LONGEST_STEP:
            raise BadValue("own_pack.troubles.long", value=len(text), limit=LONGEST_STEP)
        found = _form().fullmatch(text.strip())
        if not found:
            raise BadValue("own_pack.troubles.step", value=_shown(text))
        label = found["label"].strip(" :,-")
        label = "".join(sign for sign in label if sign.isprintable())[:LONGEST_LABEL]
        current_a = _bounded("current")(found["current"])
        if found["time"] is None and not alone:
            raise BadValue("own_pack.troubles.no_time", value=_shown(text))
        seconds = _bounded("seconds")(found["time"]) if found["time"] else 1.0
        return Step(label, current_a, seconds)

    return step


def _form():
    words = (word("own_pack.between"), word("own_pack.always"))
    between, always = ("|".join(map(re.escape, found)) for found in words)
    current = r"(?P<current>[+-]?\d[\d.,]*\s*[^\d\s]*)"
    return re.compile(
        rf"(?P<label>.*?)\s*{current}(?:\s+(?:{between})\s+(?P<time>\d.*)|\s+(?:{always}))?",
        re.IGNORECASE,
    )


def _shown(text):
    printable = "".join(sign for sign in text.strip() if sign.isprintable())
    return printable[:40] or word("own_pack.troubles.empty")
