"""The wirings tasks are about, and a learner's own wiring as one short line of text."""

import functools

from packlearn.cells import cell as find_cell
from packlearn.errors import BadFile, PackError
from packlearn.holders import slots_of
from packlearn.packs import Pack
from packlearn.wiring import Wiring

# Where a task names no cell, one that may lie in any holder.
ANY_CELL = "nimh-aa"


def cell_of(givens):
    """The ``Cell`` of a variant's givens; a usual one where they name none."""
    return find_cell(givens.get("cell", ANY_CELL))


def string_of(givens):
    """Cells in line as a ``Wiring``, each giving ``reading_v`` where that is given.

    Args:
        givens: ``series``; ``reading_v`` and how many are ``turned``, where given.
    """
    names = ("reading_v", "turned")
    cell = givens.get("cell", ANY_CELL)
    return _string(cell, givens["series"], *(givens.get(name) for name in names))


@functools.lru_cache(maxsize=128)
def _string(cell, series, reading_v, turned):
    wiring = _whole(cell, series)
    if reading_v is not None:
        for label in wiring.labels:
            # A cell without resistance: what the meter takes cannot be read off anyway.
            wiring = wiring.measured(label, reading_v, 0.0)
    for label in wiring.labels[1 : 1 + (turned or 0)]:
        wiring = wiring.turn(label)
    return wiring


@functools.lru_cache(maxsize=32)
def _whole(cell, series):
    return Wiring.of(Pack(find_cell(cell), series, 1))


def contact_at(joint):
    """Contact of a string at a joint, counted from 0 at the minus end.

    Args:
        joint: its number.
    """
    return f"{joint}A+" if joint else "1A-"


def loose(givens):
    """Cells in a holder, nothing joined; the places say nothing of groups or strings.

    Args:
        givens: ``series``, ``parallel``; ``cell`` where given.
    """
    made, cell = Wiring(), cell_of(givens)
    for place in range(1, givens["series"] * givens["parallel"] + 1):
        made = made.place(f"{place}A", cell)
    return made


def joined(givens, strings=False):
    """The loose cells joined to S in line and P side by side, string after string.

    Args:
        givens: ``series``, ``parallel``; ``cell`` where given.
        strings: join the strings at their ends only, else every joint.
    """
    made, series = loose(givens), givens["series"]
    lie = {slot.label: slot for slot in slots_of(made)}
    for joint in _joints(series, givens["parallel"], strings):
        for first, second in _shortest(joint, lie):
            made = made.link(first, second)
    return made.leads(f"{series}A+", "1A-")


def _joints(series, parallel, strings):
    """Contacts of each joint, from the minus end on; strings have joints of their own inside."""
    starts = range(0, series * parallel, series)
    found = [[f"{start + 1}A-" for start in starts]]
    for step in range(1, series):
        pairs = [[f"{start + step}A+", f"{start + step + 1}A-"] for start in starts]
        found += pairs if strings else [sum(pairs, [])]
    return [*found, [f"{start + series}A+" for start in starts]]


def _shortest(joint, lie):
    """Links that join all contacts of a joint: strips to neighbours first, then short wires."""
    joined_now, rest = joint[:1], joint[1:]
    while rest:
        pairs = [(one, other) for one in joined_now for other in rest]
        first, second = min(pairs, key=lambda pair: _apart(*pair, lie))
        joined_now.append(second)
        rest.remove(second)
        yield first, second


def _apart(one, other, lie):
    """How far a wire must go, in cells; past the cells to the other side costs more."""
    a, b = lie[one[:-1]], lie[other[:-1]]
    other_side = a.is_up(one) != b.is_up(other)
    return abs(a.column - b.column) + 4 * other_side + 8 * abs(a.row - b.row)


def opened(givens):
    """A string with one joint left open."""
    joint = givens["open_joint"]
    return string_of(givens).part(contact_at(joint), f"{joint + 1}A-")


def built_so_far(givens):
    """A string of which the first joints from the minus end are made."""
    made = string_of(givens)
    for joint in range(givens["made_count"] + 1, givens["series"]):
        made = made.part(contact_at(joint), f"{joint + 1}A-")
    return made


def plan_of(givens):
    """The pack of a variant as a ``Wiring`` with its usual labels.

    Args:
        givens: ``series``, ``parallel``; ``cell`` and ``strings`` where given.
    """
    pack = Pack(cell_of(givens), givens["series"], givens["parallel"])
    return Wiring.of(pack, strings=bool(givens.get("strings")))


def on_show(asked, givens, told):
    """What a picture of a variant's wiring shows.

    Args:
        asked: what the task asks for.
        givens: the variant's numbers.
        told: True once the answer may be seen.

    Returns:
        The ``Wiring``, and a dict of what else the picture shows.
    """
    if asked in ("wiring_name", "wire_it"):
        made = joined(givens, givens.get("strings", 0))
        return made, {"name": made.name if told else None}
    if "parallel" in givens:
        return plan_of(givens), {}
    if "made_count" in givens:
        return _half_built(givens, told)
    made = opened(givens) if "open_joint" in givens else string_of(givens)
    red, black = (givens.get(f"{probe}_joint") for probe in ("red", "black"))
    ends = (contact_at(red), contact_at(black)) if red is not None else (made.red, made.black)
    return made, _metered(made, *ends, told)


def _half_built(givens, told):
    """The probes lie aside until the most may be told, then where the meter shows it."""
    made = built_so_far(givens)
    if not told:
        return made, {"kind": "V"}
    return made, _metered(made, contact_at(givens["made_count"] + 1), "1A-", told)


def _metered(wiring, red, black, told):
    # Adding 0 turns -0 into 0.
    reading = round(wiring.reading_v(red, black), 9) + 0.0 if told else None
    return {"red": red, "black": black, "reading": reading, "kind": "V"}


# A wiring in one line, as the records keep what was typed: links "1A+2A-", leads, turned cells,
# empty places.


def to_line(wiring):
    """A wiring of a known holder as one line.

    Args:
        wiring: a ``Wiring`` made from a ``loose`` one.
    """
    parts = ["".join(link.ends) for link in wiring.links]
    parts += [f"{lead}={end}" for lead in ("red", "black") if (end := getattr(wiring, lead))]
    parts += [f"turn={label}" for label in wiring.labels if wiring.cell_at(label).turned]
    parts += [f"out={label}" for label, placed in wiring.places if placed is None]
    return " ".join(parts)


def from_line(line, start):
    """A wiring of its line.

    Args:
        line: what ``to_line`` wrote; it may hold anything.
        start: the loose ``Wiring``.

    Raises:
        BadFile: it is no such line.
    """
    made, ends = start, {"red": None, "black": None}
    try:
        for part in line.split():
            name, is_set, value = part.partition("=")
            if not is_set:
                first, sign, second = _cut(part)
                made = made.link(first + sign, second)
            elif name in ends:
                ends[name] = value
            else:
                made = {"turn": made.turn, "out": made.take_out}[name](value)
        return made.leads(**ends)
    except (PackError, KeyError) as trouble:
        raise BadFile("tasks.wire.damaged", value=line[:60]) from trouble


def _cut(part):
    """The two ends of a link: ``1A+2A-``."""
    at = min((place for place in map(part.find, "+-") if place >= 0), default=0)
    return part[:at], part[at : at + 1], part[at + 1 :]
