"""A wiring as text: it comes back the same, and nothing hostile gets in."""

import dataclasses
import json
import random

import pytest

from packlearn.cells import Cell, catalogue, cell
from packlearn.errors import BadFile, BadValue
from packlearn.packs import Pack
from packlearn.wiring import Wiring
from packlearn.wiring_text import LONGEST_TEXT, MOST_LINKS, from_data, from_text, to_data, to_text

AA = cell("nimh-aa")
PLAIN = Cell(
    name="plain", chemistry="as told", nominal_voltage_v=1.5, full_voltage_v=1.5,
    end_voltage_v=0.7, capacity_ah=1.0, current_limit_a=5.0, resistance_ohm=0.1,
)  # fmt: skip
CELLS = [*catalogue().values(), AA.aged(0.8, 1.5), AA.idealised(), PLAIN]


def any_wiring(seed):
    """Any cells in any state, any links and leads."""
    dice = random.Random(seed)
    made = Wiring()
    for group in range(1, dice.randint(2, 6)):
        for letter in "ABCD"[: dice.randint(1, 4)]:
            label = f"{group}{letter}"
            made = made.place(
                label, dice.choice(CELLS), charge=dice.random(), turned=dice.random() < 0.3
            )
            made = _state(made, label, dice)
    for _ in range(dice.randint(0, 12)):
        first, second = dice.sample(made.contacts, 2)
        made = made.link(first, second, ohm=dice.choice([0.0, 0.0, dice.random() / 100]))
    return made.leads(dice.choice([None, *made.contacts]), dice.choice([None, *made.contacts]))


def _state(made, label, dice):
    which = dice.randint(0, 5)
    if which == 0:
        return made.take_out(label)
    if which == 1:
        return made.measured(label, dice.uniform(-1, 5), dice.choice([None, dice.random()]))
    if which == 2:
        return made.measured(label, 1.0, dice.random()).charged(label, dice.random())
    return made


@pytest.mark.parametrize("seed", range(150))
def test_any_wiring_comes_back_the_same(seed):
    made = any_wiring(seed)
    again = from_text(to_text(made))
    assert again == made
    assert to_text(again) == to_text(made)
    assert again.links == made.links
    assert again.contacts == made.contacts
    assert (again.red, again.black) == (made.red, made.black)


@pytest.mark.parametrize("name", catalogue())
def test_a_cell_of_the_catalogue_stands_in_it_by_its_name(name):
    made = Wiring().place("1A", cell(name))
    assert to_data(made)["cells"] == [name]
    assert from_text(to_text(made)) == made


def test_a_cell_of_ones_own_stands_in_it_with_its_curves():
    aged = AA.aged(0.8)
    made = Wiring().place("1A", AA).place("2A", aged)
    first, second = to_data(made)["cells"]
    assert first == "nimh-aa"
    assert len(second["curves"]) == len(aged.curves)
    assert from_text(to_text(made)).cell_at("2A").cell == aged


def test_the_keys_are_words_of_the_glossary():
    data = to_data(Wiring.of(Pack(AA, 2, 1)))
    assert list(data) == ["wiring", "cells", "places", "links", "leads"]
    assert data["links"] == [{"first": "1A+", "second": "2A-", "ohm": 0.0}]
    assert data["leads"] == {"red": "2A+", "black": "1A-"}
    assert data["places"][0] == {"label": "1A", "cell": 0, "charge": 1.0, "turned": False}


def test_an_empty_holder_and_empty_places_come_back():
    assert from_text(to_text(Wiring())) == Wiring()
    empty = Wiring.of(Pack(AA, 2, 1)).take_out("1A").take_out("2A")
    assert from_text(to_text(empty)) == empty
    assert to_data(empty)["cells"] == []


# What is refused.


def broken(**changes):
    """The text of a small pack with something else in it."""
    data = to_data(Wiring.of(Pack(AA, 2, 1)))
    for path, value in changes.items():
        *way, last = (int(part) if part.isdigit() else part for part in path.split("__"))
        place = data
        for part in way:
            place = place[part]
        place[last] = value
    return json.dumps(data)


DAMAGED = [
    ("", "no text of a wiring"),
    ("{", "no text of a wiring"),
    ("null", "wiring"),
    ("[]", "wiring"),
    ('{"wiring": 1}', "links"),
    ("[" * 100_000, "no text of a wiring"),
    ('{"wiring": 1' + "0" * 5000 + "}", "no text of a wiring"),
    (broken(wiring=2), "newer"),
    (broken(wiring="1"), "form"),
    (broken(wiring=True), "form"),
    (broken(more=1), "keys"),
    (broken(cells="nimh-aa"), "list"),
    (broken(cells=["nimh-aa"] * 97), "96"),
    (broken(cells=["lemon"]), "lemon"),
    (broken(cells=[{"name": "mine"}]), "chemistry"),
    (broken(cells=[{"name": "../../etc", "oddness": 1}]), "keys"),
    (broken(cells=[[[[]]]]), "keys"),
    (broken(places__0__cell=1), "from 0 to 0"),
    (broken(places__0__cell=True), "from 0 to 0"),
    (broken(places__0__cell=None), "from 0 to 0"),
    (broken(places__0__label="../x"), "2B"),
    (broken(places__0__label=["1A"]), "2B"),
    (broken(places__1__label="1A"), "comes once"),
    (broken(places__0__turned="no"), "true or false"),
    (broken(places__0__charge=1.5), "0.5"),
    (broken(places__0__charge="full"), "full"),
    (broken(places__0__charge=10**400), "plain number"),
    (broken(places__0__measured_v=10**400), "plain number"),
    (broken(places__0__measured_ohm=-1), "-1"),
    (broken(places__0__odd=1), "keys"),
    (broken(links__0__first="9Z+"), "9Z+"),
    (broken(links__0__first=None), "None"),
    (broken(links__0__first={"a": 1}), "2B+"),
    (broken(links__0__first="A" * 500), "2B+"),
    (broken(links__0__second="1A+"), "itself"),
    (broken(links__0__ohm="none"), "none"),
    (broken(links__0=7), "keys"),
    (broken(links=[{"first": "1A+", "second": "2A-"}] * (MOST_LINKS + 1)), "600"),
    (broken(leads={"red": "2A+"}), "red, black"),
    (broken(leads__red="3A+"), "3A+"),
    (broken(places__0__charge=0.5).replace("0.5", "NaN"), "no text of a wiring"),
    (broken(places__0__charge=0.5).replace("0.5", "1e999"), "inf"),
    (" " * (LONGEST_TEXT + 1), "400001"),
]


@pytest.mark.parametrize(("text", "told"), DAMAGED, ids=range(len(DAMAGED)))
def test_what_is_damaged_is_told_in_short_words(text, told):
    with pytest.raises(BadFile) as trouble:
        from_text(text)
    assert told in str(trouble.value)
    assert len(str(trouble.value)) < 400


def test_what_is_no_text_is_told():
    for value in (None, b"{}", 7):
        with pytest.raises(BadFile, match="no text of a wiring"):
            from_text(value)
    with pytest.raises(BadFile):
        from_data({"wiring": 1, "cells": None, "places": [], "links": [], "leads": {}})


@pytest.mark.parametrize("seed", range(150))
def test_a_text_with_any_letters_changed_is_a_wiring_or_is_told(seed):
    dice = random.Random(seed)
    letters = list(to_text(any_wiring(seed)))
    for _ in range(dice.randint(1, 6)):
        letters[dice.randrange(len(letters))] = dice.choice('{}[]",:0123456789-+eABZ. \\x')
    try:
        found = from_text("".join(letters))
    except BadFile:
        return
    assert from_text(to_text(found)) == found


def test_more_links_than_can_be_read_are_not_written():
    made = Wiring.of(Pack(PLAIN, 20, 1))
    link = made.links[0]
    many = dataclasses.replace(made, links=(link,) * (MOST_LINKS + 1))
    with pytest.raises(BadValue, match="600"):
        to_text(many)
