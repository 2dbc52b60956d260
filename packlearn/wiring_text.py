"""A wiring as plain text, so that it can be kept and read again.

The text is JSON of one form with a number. Cells of the catalogue stand in it by their name,
others with all their fields. Reading trusts nothing: it is bounded, and what is damaged is told.
"""

from __future__ import annotations

import dataclasses
import json

from packlearn._cell_checks import REQUIRED, shown
from packlearn.cells import Cell, catalogue
from packlearn.errors import BadFile, BadValue, PackError
from packlearn.wiring import MOST_CELLS, Wiring
from packlearn.words import word

FORM = 1
LONGEST_TEXT = 400_000
# More than a learner ever makes; the time to read a hostile text stays small.
MOST_LINKS = 600
_KEYS = ("wiring", "cells", "places", "links", "leads")
_PLACE = ("label", "cell", "charge", "turned", "measured_v", "measured_ohm")
_LINK = ("first", "second", "ohm")
_LEADS = ("red", "black")
_CELL = tuple(each.name for each in dataclasses.fields(Cell) if each.name != "sources")


# Out.


def to_text(wiring):
    """Text of a wiring.

    Args:
        wiring: a ``Wiring``.

    Raises:
        BadValue: it has more links than can be read again.
    """
    return json.dumps(to_data(wiring), ensure_ascii=False, allow_nan=False)


def to_data(wiring):
    """A wiring as dicts, lists, texts and numbers; ``to_text`` writes them.

    Args:
        wiring: a ``Wiring``.

    Raises:
        BadValue: it has more links than can be read again.
    """
    if len(wiring.links) > MOST_LINKS:
        raise BadValue("bench.text.links", value=len(wiring.links), limit=MOST_LINKS)
    cells = []
    for _, placed in wiring.places:
        if placed and placed.cell not in cells:
            cells.append(placed.cell)
    return {
        "wiring": FORM,
        "cells": [_cell_out(cell) for cell in cells],
        "places": [_place_out(label, placed, cells) for label, placed in wiring.places],
        "links": [{name: getattr(link, name) for name in _LINK} for link in wiring.links],
        "leads": {"red": wiring.red, "black": wiring.black},
    }


def _cell_out(cell):
    if catalogue().get(cell.name) == cell:
        return cell.name
    values = {name: getattr(cell, name) for name in _CELL}
    values["curves"] = [dataclasses.asdict(curve) for curve in cell.curves]
    return {name: value for name, value in values.items() if value not in (None, "", [])}


def _place_out(label, placed, cells):
    if placed is None:
        return {"label": label}
    measured = {n: getattr(placed, n) for n in _PLACE[4:] if getattr(placed, n) is not None}
    known = {"cell": cells.index(placed.cell), "charge": placed.charge, "turned": placed.turned}
    return {"label": label} | known | measured


# In.


def from_text(text):
    """Wiring of a text that ``to_text`` wrote.

    Args:
        text: the text; it may hold anything.

    Returns:
        The ``Wiring``.

    Raises:
        BadFile: too long, damaged, or of a newer form; the message names place, value and mend.
    """
    return from_data(json_of(text))


def json_of(text):
    """What stands in a JSON text, bounded in length and depth.

    Args:
        text: the text; it may hold anything.

    Raises:
        BadFile: too long, or no JSON.
    """
    if not isinstance(text, str):
        raise BadFile("bench.text.no_json", value=shown(text))
    if len(text) > LONGEST_TEXT:
        raise BadFile("bench.text.long", value=len(text), limit=LONGEST_TEXT)
    try:
        return json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise BadFile("bench.text.no_json", value=shown(text)) from error


def _no_constant(name):
    raise ValueError(name)


def from_data(data):
    """Wiring of what ``to_data`` returned.

    Args:
        data: dicts, lists, texts and numbers; they may hold anything.

    Returns:
        The ``Wiring``.

    Raises:
        BadFile: damaged, or of a newer form; the message names place, value and mend.
    """
    check_form(data, "wiring", FORM)
    table(data, "wiring", _KEYS, _KEYS)
    cells = [_cell_in(each) for each in _list(data, "cells", MOST_CELLS)]
    made = Wiring()
    for place in _list(data, "places", MOST_CELLS):
        made = _inside("places", lambda made=made, place=place: _with_place(made, place, cells))
    for link in _list(data, "links", MOST_LINKS):
        made = _inside("links", lambda made=made, link=link: _with_link(made, link))
    leads = table(data["leads"], "leads", _LEADS, _LEADS)
    return _inside("leads", lambda: made.leads(*(_contact(leads[name]) for name in _LEADS)))


def check_form(data, name, form):
    """Raise BadFile unless a table says under ``name`` that it is of a form known here.

    Args:
        data: the table; it may be anything.
        name: key of the form's number.
        form: the number known here.
    """
    found = data.get(name) if isinstance(data, dict) else None
    if not isinstance(found, int) or isinstance(found, bool) or found < 1:
        raise damaged(name, data, "form")
    if found > form:
        raise BadFile("bench.text.newer", value=shown(found), limit=form)


def table(value, where, known, needed=()):
    """The value, if it is a table with such keys.

    Args:
        value: what was found; it may be anything.
        where: name of the place, for the message.
        known: keys it may have.
        needed: keys it must have.

    Raises:
        BadFile: no table, an unknown key, or a missing one.
    """
    if not isinstance(value, dict) or not set(needed) <= set(value) <= set(known):
        # All fields of a cell would be too many to read.
        keys = ", ".join(needed if len(known) > 8 else known)
        raise damaged(where, value, "table", keys=keys)
    return value


def damaged(where, value, must, **fields):
    """BadFile for one place of a text.

    Args:
        where: name of the place.
        value: what was found there.
        must: key of what must stand there.
        **fields: further fields of that.
    """
    limit = word(f"bench.text.must.{must}").format(**fields)
    return BadFile("bench.text.damaged", value=shown(value), limit=limit, where=where)


def _list(data, name, most):
    value = data[name]
    if not isinstance(value, list) or len(value) > most:
        raise damaged(name, value, "list", most=most)
    return value


def _inside(where, job):
    """What a job returns; what it complains of is told with its place."""
    try:
        return job()
    except BadFile:
        raise
    except PackError as trouble:
        raise BadFile("bench.text.inside", value=str(trouble), where=where) from trouble
    except (TypeError, OverflowError) as error:  # a missing field, or a number of 400 digits
        raise damaged(where, error, "plain") from error


def _cell_in(value):
    if isinstance(value, str):
        if value not in catalogue():
            raise damaged("cells", value, "cell")
        return catalogue()[value]
    fields = table(value, "cells", _CELL, REQUIRED)
    return _inside("cells", lambda: Cell(**fields))


def _with_place(made, value, cells):
    fields = table(value, "places", _PLACE, ("label",))
    label = fields["label"]
    if not isinstance(label, str) or label in dict(made.places):
        raise damaged("places", label, "label")
    if "cell" not in fields:
        # An empty place: a cell is laid in and taken out again.
        return made.place(label, next(iter(catalogue().values()))).take_out(label)
    number, turned = fields["cell"], fields.get("turned", False)
    if type(number) is not int or not 0 <= number < len(cells):
        raise damaged("places", number, "number", most=len(cells) - 1)
    if not isinstance(turned, bool):
        raise damaged("places", turned, "yes_no")
    charge = fields.get("charge", 1.0)
    made = made.place(label, cells[number], charge=charge, turned=turned)
    return _measured(made, label, fields)


def _measured(made, label, fields):
    volts, ohm = fields.get("measured_v"), fields.get("measured_ohm")
    if volts is not None or ohm is not None:
        made = made.measured(label, volts or 0.0, ohm)
    # A resistance may be known where the charge sets the voltage.
    return made.charged(label, made.cell_at(label).charge) if volts is None else made


def _with_link(made, value):
    link = table(value, "links", _LINK, _LINK[:2])
    ends = (_contact(link[name]) for name in _LINK[:2])
    return made.link(*ends, link.get("ohm", 0.0))


def _contact(value):
    if value is not None and (not isinstance(value, str) or len(value) > 8):
        raise damaged("contacts", value, "contact")
    return value
