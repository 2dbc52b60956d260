"""The names that scripts of teachers stand on: told in full, in words and units of the trade."""

import inspect
import re

import packlearn
from packlearn import building, panels, pictures
from packlearn.errors import PackError

FACES = (packlearn, building, pictures, panels)
# Counted, so that nothing drops out unseen; raise it when the public face grows.
LEAST = 180
UNITS = {"v", "a", "ah", "wh", "w", "ohm", "h", "degc", "c", "m", "mm", "mm2", "g", "s"}
# What is measured and therefore names its unit, where it is a plain number.
MEASURED = {
    "voltage",
    "current",
    "capacity",
    "energy",
    "power",
    "resistance",
    "temperature",
    "mass",
    "reading",
}
# Words of the glossary in design and lessons stand for these.
FORBIDDEN = {
    "battery": "pack or cell",
    "batteries": "packs or cells",
    "accumulator": "cell",
    "cutoff": "end voltage",
    "impedance": "resistance",
    "amperage": "current",
    "wattage": "power",
    "soc": "charge",
    "nominals": "nominal",
    "busbar": "link",
    "strap": "link",
    "wattmeter": "meter",
}
# Names that say a measured thing and hold no plain number of a unit.
NO_NUMBERS = {
    # Kinds of load, made of a current, a power, a resistance in A, W, ohm.
    "packlearn.Load.current",
    "packlearn.Load.power",
    "packlearn.Load.resistance",
    # Shares, told as such in their docstrings.
    "packlearn.Spread.capacity",
    "packlearn.Spread.resistance",
    "packlearn.Cell.aged.capacity",
    "packlearn.Cell.aged.resistance",
    # Where sliders in per cent stand at the start.
    "packlearn.panels.ScatterExplorer.capacity",
    "packlearn.panels.ScatterExplorer.resistance",
    "packlearn.panels.UnlikeExplorer.capacity",
}


def members():
    """(full name, what it is) of every public function, class, method and property."""
    for face in FACES:
        for name in face.__all__:
            found = getattr(face, name)
            full = f"{face.__name__}.{name}"
            yield full, found
            # Panels are one line of code each; their methods belong to the page.
            if inspect.isclass(found) and face is not panels and not issubclass(found, PackError):
                yield from methods(full, found)


def methods(full, found):
    for name, member in vars(found).items():
        plain = getattr(member, "__func__", member)
        if not name.startswith("_") and (inspect.isfunction(plain) or isinstance(plain, property)):
            yield f"{full}.{name}", plain


PANELS = f"{panels.__name__}."
MEMBERS = [pair for pair in members() if callable(pair[1]) or isinstance(pair[1], property)]


def parameters(found):
    if isinstance(found, property) or (inspect.isclass(found) and issubclass(found, PackError)):
        return []
    # Widgets: some releases of Python show the signature of their __new__ instead.
    made = (
        found.__init__ if inspect.isclass(found) and found.__module__.startswith(PANELS) else found
    )
    names = inspect.signature(made).parameters
    return [name for name in names if name not in ("self", "cls") and not name.startswith("_")]


def test_the_public_face_is_looked_at_in_full():
    assert len(MEMBERS) >= LEAST
    assert len({name for name, _ in MEMBERS}) == len(MEMBERS)


def test_everything_has_a_docstring_that_names_each_parameter():
    missing = [
        (name, parameter)
        for name, found in MEMBERS
        for parameter in parameters(found) or [""]
        if not re.search(rf"\b{parameter}\b", inspect.getdoc(found) or "")
    ]
    assert missing == []


def test_words_are_those_of_the_glossary():
    used = [
        (name, word, FORBIDDEN[word])
        for name, found in MEMBERS
        for part in [name.rpartition(".")[2], *parameters(found)]
        for word in re.findall(r"[a-z0-9]+", re.sub(r"(?<=[a-z])(?=[A-Z])", "_", part).lower())
        if word in FORBIDDEN
    ]
    assert used == []


def test_measured_numbers_name_their_unit():
    unnamed = []
    for name, found in MEMBERS:
        parts = [f"{name}.{parameter}" for parameter in parameters(found)]
        for part in [name, *parts]:
            last = part.rpartition(".")[2].split("_")
            if last[-1] in MEASURED and part not in NO_NUMBERS:
                unnamed.append(part)
    assert unnamed == []


def test_every_unit_in_a_docstring_is_written_as_the_library_writes_it():
    brackets = re.compile(r"\[([^\]\s`]{1,6})\]")
    known = {
        "K",
        "V",
        "A",
        "Ah",
        "Wh",
        "W",
        "ohm",
        "h",
        "degC",
        "m",
        "mm",
        "mm2",
        "g",
        "s",
        "mV",
        "mA",
    }
    found = {
        (name, unit)
        for name, member in MEMBERS
        for unit in brackets.findall(inspect.getdoc(member) or "")
        if re.fullmatch(r"[A-Za-z0-9]+", unit) and unit not in known
    }
    assert found == set()
    # Enough of them, or the check looks at nothing.
    told = [brackets.findall(inspect.getdoc(member) or "") for _, member in MEMBERS]
    assert sum(map(len, told)) > 150
