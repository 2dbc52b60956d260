"""Bench cards: what to do at real cells, room for prediction and reading, and what to expect."""

import functools
import re
import tomllib
from dataclasses import replace
from importlib.resources import files

from packlearn.cells import cell as find_cell
from packlearn.finding import Meter
from packlearn.packs import Pack
from packlearn.pictures.bench import holder_view
from packlearn.sheets import base
from packlearn.wiring import Wiring
from packlearn.words import say, word

SAFE_CHEMISTRIES = ("NiMH", "alkaline", "zinc-carbon")
"""What may lie on a learner's bench."""

_HOLDER_PT = 150.0
_CONTACT = re.compile(r"<text[^>]*>\d+[A-Z][+\u2212-]</text>")


@functools.cache
def _data():
    text = (files("packlearn") / "data" / "bench_cards.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def cards():
    """The cards as they stand in ``data/bench_cards.toml``: a list of tables."""
    return _data()["card"]


def bench_cards():
    """HTML document of all bench cards, and the kit list in front of them."""
    title = word("sheets.cards.title")
    return base.document(title, [_kit_list(), *map(_card, cards())])


def expected_v(card, reading):
    """Lowest and highest voltage a meter should show.

    The cells rest an hour or more after charging; the meter adds its own tolerance. Under load a
    cell's resistance is taken from once to twice its typical value, and contacts and fuse add
    theirs (common practice, no source).

    Args:
        card, reading: tables of ``data/bench_cards.toml``.

    Returns:
        low, high [V].
    """
    ends = [_reading_v(card, reading, worst) for worst in (True, False)]
    meter = Meter()
    low, high = min(ends), max(ends)
    return low - float(meter.tolerance_v(low)), high + float(meter.tolerance_v(high))


def _reading_v(card, reading, worst):
    cell, bench = find_cell(card["cell"]), _data()["bench"]
    wiring, share = Wiring.of(Pack(cell, card["series"], 1)), bench["load_share"]
    more_ohm = bench["contacts_ohm"] / card["series"]
    ohm = 2 * cell.resistance_ohm + more_ohm if worst else cell.resistance_ohm
    for label in wiring.labels:
        wiring = wiring.measured(label, cell.rested_voltage_v[0 if worst else 1], ohm)
    if "open" in reading:
        wiring = wiring.part(*reading["open"])
    load = bench["load_ohm"] * (1 - share if worst else 1 + share)
    load_ohm = load if reading.get("loaded") else None
    return wiring.reading_v(reading["red"], reading["black"], load_ohm=load_ohm)


def in_words(low_v, high_v):
    """A range of readings with two decimals: "1.27 V to 1.43 V"."""
    low, high = (f"{value:.2f}".replace("-", "\u2212") for value in (low_v, high_v))
    return say("sheets.cards.range", low=low, high=high)


def _card(card):
    key = f"sheets.cards.lesson_{card['lesson']}"
    texts = word(key)
    title = say("sheets.cards.of", lesson=card["lesson"])
    cautions = [*word("sheets.cards.cautions"), *texts["cautions"]]
    wiring = Wiring.of(Pack(find_cell(card["cell"]), card["series"], 1))
    blocks = [
        f"<h1>{base.text(texts['title'])}</h1>"
        + base.paragraph(word("sheets.cards.head"), "quiet")
        + f'<div class="caution">{base.bullets(cautions)}</div>',
        base.section(
            word("sheets.cards.build"),
            base.beside(base.bullets(texts["build"], "steps"), _holder(wiring)),
        ),
        base.section(word("sheets.cards.measure"), base.paragraph(word("sheets.cards.how")))
        + _readings(card, texts),
        base.section(word("sheets.cards.think"), base.paragraph(texts["think"]))
        + base.row(base.LINE),
        f'<div class="fold">{base.paragraph(word("sheets.cards.fold"), "quiet")}'
        + _expected(card, texts) + base.paragraph(word("sheets.cards.outside"), "quiet") + "</div>",
    ]  # fmt: skip
    return base.frame(title, word("sheets.head.pair"), blocks, "card")


def _holder(wiring):
    """The holder without the names of its contacts, of which no card speaks."""
    drawn = holder_view(wiring)
    return base.picture(replace(drawn, svg=_CONTACT.sub("", drawn.svg)), _HOLDER_PT)


def _readings(card, texts):
    heads = [word(f"sheets.cards.heads.{name}") for name in ("number", "where", "predict", "shows")]
    rows = [
        (number, texts["readings"][reading["id"]], None, None)
        for number, reading in enumerate(card["reading"], 1)
    ]
    return base.table(heads, rows, look="readings")


def _expected(card, texts):
    heads = [word(f"sheets.cards.heads.{name}") for name in ("number", "where", "expect")]
    rows = [
        (number, texts["readings"][reading["id"]], in_words(*expected_v(card, reading)))
        for number, reading in enumerate(card["reading"], 1)
    ]
    return base.table(heads, rows, look="expected")


def _kit_list():
    title = word("sheets.kit.title")
    lessons = [card["lesson"] for card in cards()]
    items = dict.fromkeys(name for card in cards() for name in card["kit"])
    rows = [
        (word(f"sheets.kit.items.{name}"), *(card["kit"].get(name, "") for card in cards()))
        for name in items
    ]
    heads = [word("sheets.kit.item"), *(say("sheets.kit.lesson", lesson=each) for each in lessons)]
    blocks = [
        f"<h1>{base.text(title)}</h1>" + base.paragraph(word("sheets.kit.how")),
        base.table(heads, rows, look="kit"),
        base.section(word("sheets.kit.before"), base.bullets(word("sheets.kit.checks"), "ticks")),
    ]
    return base.frame(title, "", blocks)
