"""The sentence of a pack's picture."""

from dataclasses import dataclass

from packlearn.pictures import drawing as d
from packlearn.words import say


@dataclass(frozen=True)
class Told:
    """What a pack's picture tells.

    Args:
        series: groups in line.
        parallel: strings side by side.
        label: the pack's name, or "".
        title: what the cells are.
        each_v: voltage of one cell [V], or None.
        volts: the joints' voltages [V], or None.
        figures: pairs ``(label, text)``.
        hidden: describe the wiring cell by cell instead of giving name and counts.
        layout: ``"groups"``, ``"strings"`` or ``"holder"``.
    """

    series: int
    parallel: int
    label: str
    title: str
    each_v: float | None
    volts: list | None
    figures: list
    hidden: bool
    layout: str

    @property
    def letters(self):
        """The strings' letters."""
        return d.LETTERS[: self.parallel]


def sentence(told):
    """What a pack's picture shows, with every number in it.

    Args:
        told: a ``Told``.
    """
    return d.sentences(
        _hidden(told) if told.hidden else _counted(told),
        _netlist(told.series, told.parallel) if told.layout == "holder" else "",
        "" if told.each_v is None else say("pictures.pack.each", volts=d.amount(told.each_v, "V")),
        _readings(told.volts),
        *(
            say("pictures.pack.figure", name=d.clean(name), value=d.clean(value))
            for name, value in told.figures
        ),
    )


def _counted(told):
    key = _wiring_key(told)
    return say(
        f"pictures.pack.{key}",
        label=told.label,
        title=told.title,
        series=told.series,
        parallel=told.parallel,
        count=told.series * told.parallel,
        last=told.letters[-1],
    )


def _wiring_key(told):
    if told.parallel == 1:
        return "single" if told.series == 1 else "line"
    if told.series == 1:
        return "side_only"
    return "strings" if told.layout == "strings" else "groups"


def _hidden(told):
    start = say("pictures.hidden.start", title=told.title)
    if told.label:
        start = f"{told.label}: {start}"
    if told.layout == "holder":
        return d.sentences(start, say("pictures.hidden.holder"))
    if told.layout == "strings" and told.parallel > 1:
        items = [_listed("string", name, range(1, told.series + 1)) for name in told.letters]
        return d.sentences(start, *items, say("pictures.hidden.strings_end"))
    items = [_listed("group", k, told.letters) for k in range(1, told.series + 1)]
    return d.sentences(start, *items, say("pictures.hidden.groups_end"))


def _listed(kind, name, cells):
    """One group or string: "Group 1: cells A and B side by side." for instance."""
    if len(cells) == 1:
        return say(f"pictures.hidden.{kind}_one", name=name, cell=cells[0])
    return say(f"pictures.hidden.{kind}", name=name, cells=d.series_of(cells))


def _netlist(series, parallel):
    """The wiring of a holder told cell by cell, so that it can be counted by ear."""
    groups = [range(k * parallel + 1, (k + 1) * parallel + 1) for k in range(series)]
    named = [_cells_named(group) for group in groups]
    told = [say("pictures.holder.minus", cells=named[0])]
    for before, after in zip(named, named[1:], strict=False):
        told.append(say("pictures.holder.strip", plus=before, minus=after))
    return d.sentences(*told, say("pictures.holder.plus", cells=named[-1]))


def _cells_named(numbers):
    if len(numbers) == 1:
        return say("pictures.holder.cell", name=numbers[0])
    return say("pictures.holder.cells", names=d.series_of(numbers))


def _readings(volts):
    if not volts:
        return ""
    told = [say("pictures.not_told") if v is None else d.reading(v) for v in volts]
    return say("pictures.pack.readings", readings=d.series_of(told))
