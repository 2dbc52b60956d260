"""The words: every key that code asks for is there, every text is used, and texts are plain."""

import ast
import functools
import re
import string
import tomllib
from pathlib import Path

import pytest

import packlearn
from packlearn import choices, sizing, words
from packlearn.building import minding
from packlearn.pictures.progress import STATES
from packlearn.records import CONFIDENCES
from packlearn.tasks.answers import ASKED
from packlearn.tasks.combining import slip_ids
from packlearn.tasks.mistakes import wrong_rules
from packlearn.tasks.skills import skills

HOME = Path(packlearn.__file__).parent
FOLDER = HOME / "data" / "words" / words.LANGUAGE
FILES = {
    path.stem: tomllib.loads(path.read_text(encoding="utf-8"))
    for path in sorted(FOLDER.glob("*.toml"))
}
MODULES = sorted(HOME.rglob("*.py"))

LONGEST_SENTENCE = 30
# Notes on where a value comes from quote their sources at length.
LONGEST_NOTE = 35

# Files of which any key may be asked for: code joins the file's name and a key that comes from
# elsewhere. Each such key must stand by itself somewhere in the code.
WHOLE_FILES = {
    "cells": "_cell_checks.bad('count', ...) names the trouble with a field",
    "panels": "panels.base.button('lock') names the button",
    "size": "the arguments of the command are named in a loop",
    "tasks": "givens.count_words joins what is counted and one or many",
    "mistakes": "a rule's texts are found by the rule's id",
    "practice": "panels.faded.press('next') names the button",
    "skills": "a skill's texts are found by its id",
}
# Tables whose keys are known from a list in the code, so that each can be held against it.
LISTED = {
    "sizing.binds": choices.CONDITIONS[:4],
    "sizing.why_not": (
        *choices.CONDITIONS,
        # One alone is too much already; one cell more or fewer would break another condition.
        "high_alone",
        *(f"{name}_stuck" for name in ("high", "low", "current", "run_time")),
    ),
    "sizing.short": choices.CONDITIONS,
    "panels.rank": [rank.replace(" ", "_") for rank in sizing.RANKS],
    "panels.confidence": ["label", *CONFIDENCES],
    "records.confidence": CONFIDENCES,
    "tasks.working": ASKED,
    "mistakes": [*(rule.id for rule in wrong_rules()), *slip_ids(), "two"],
    "cautions.said": tomllib.loads((HOME / "data" / "cautions.toml").read_text(encoding="utf-8")),
    "cautions.severity": minding.SEVERITIES,
    "practice.states": STATES,
    "skills": [each.id for each in skills()],
}
# Where plain English may stand in the code, and why.
ENGLISH_IN_CODE = {
    "words.py": "a slip in packlearn itself: the words cannot be fetched",
    "records/tables.py": "said by the database to whoever goes past packlearn",
}


def flat(table, before):
    """Key and text of every text of a table, lists taken as one text each."""
    for name, entry in table.items():
        if isinstance(entry, dict):
            yield from flat(entry, f"{before}{name}.")
        else:
            yield f"{before}{name}", entry


TEXTS = {key: text for name, table in FILES.items() for key, text in flat(table, f"{name}.")}


def parts_of(text):
    return text if isinstance(text, list) else [text]


def fields_of(text):
    """Names of the {fields} of a text."""
    parsed = (part for each in parts_of(text) for part in string.Formatter().parse(each))
    return {field for _, field, _, _ in parsed if field is not None}


def entry(key):
    """Text or table of a key, or None."""
    name, *path = key.split(".")
    found = FILES.get(name)
    for part in path:
        found = found.get(part) if isinstance(found, dict) else None
    return found


# What the code asks for.


@functools.cache
def tree(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def without_docstrings(path):
    """Nodes of a module, strings that stand by themselves left out."""
    alone = {
        id(node.value)
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    return [node for node in ast.walk(tree(path)) if id(node) not in alone]


def literals(path):
    """Strings of a module and, of each f-string, its text with {} for what is put in."""
    nodes = without_docstrings(path)
    joined = [node for node in nodes if isinstance(node, ast.JoinedStr)]
    inside = {id(part) for node in joined for part in node.values}
    for node in nodes:
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in inside
        ):
            yield node.lineno, node.value
    for node in joined:
        pieces = [p.value if isinstance(p, ast.Constant) else "{}" for p in node.values]
        yield node.lineno, "".join(pieces)


KEY = re.compile(rf"(?:{'|'.join(FILES)})(?:\.[\w-]+)+")
JOINED = re.compile(rf"(?:{'|'.join(FILES)})\.[\w.{{}}-]*{{}}[\w.{{}}-]*")
FILE_NAME = re.compile(r".*\.(?:toml|txt|css|csv|py|js|json|svg|sqlite|ipynb|db)")


def _asked():
    keys, patterns = {}, {}
    for path in MODULES:
        for line, text in literals(path):
            place = f"{path.relative_to(HOME).as_posix()}:{line}"
            if KEY.fullmatch(text) and not FILE_NAME.fullmatch(text):
                keys.setdefault(text, place)
            elif JOINED.fullmatch(text):
                patterns.setdefault(text, place)
    return keys, patterns


# Literal keys, and keys put together: each with a place where the code has it.
KEYS, PATTERNS = _asked()


def pattern(joined):
    """Regular expression of a key that is put together; it may lead to a table."""
    pieces = [re.escape(piece) for piece in joined.split("{}")]
    return re.compile(r"[^.]+".join(pieces) + r"(?:\..+)?")


def _calls():
    for path in MODULES:
        for node in without_docstrings(path):
            first = node.args[0] if isinstance(node, ast.Call) and node.args else None
            if isinstance(first, ast.Constant) and first.value in TEXTS:
                name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id
                place = f"{path.relative_to(HOME).as_posix()}:{node.lineno}"
                given = {each.arg for each in node.keywords}
                yield place, name, first.value, given


# Place, function, key and named fields of every call that takes a literal key; a None among
# the fields stands for ``**fields``, which cannot be looked into.
CALLS = list(_calls())


def _names():
    """Every short string and name in code and data: what keys can be put together from."""
    names = set()
    for path in MODULES:
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                names.update((node.value, node.value.strip("_")))
            elif isinstance(node, (ast.keyword, ast.arg)) and node.arg:
                names.add(node.arg)
            elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                names.add(node.target.id)
    data = [*HOME.joinpath("data").glob("*.t*"), *HOME.joinpath("jupyter").rglob("*.js")]
    for path in data:
        names.update(re.findall(r"[\w-]+", path.read_text(encoding="utf-8")))
    return names


NAMES = _names()


def known(name):
    """Whether a part of a key stands in the code, whole or in pieces set together by _."""
    if name in NAMES:
        return True
    cuts = [place for place, letter in enumerate(name) if letter in "_-"]
    return any(name[:cut] in NAMES and known(name[cut + 1 :]) for cut in cuts)


# Keys.


def test_the_words_and_their_keys_are_found():
    assert {"packs", "loads", "sizing", "cells", "quantities", "panels"} <= set(FILES)
    assert len(TEXTS) > 500
    assert len(KEYS) > 150
    assert len(CALLS) > 100
    assert {"sizing.binds.{}", "tasks.working.{}.first"} <= set(PATTERNS)


def test_every_key_the_code_names_is_there():
    missing = {key: place for key, place in KEYS.items() if entry(key) is None}
    assert missing == {}


def test_every_key_put_together_can_be_found():
    found = TEXTS.keys() | {key.rpartition(".")[0] for key in TEXTS}
    empty = {
        joined: place
        for joined, place in PATTERNS.items()
        if not any(pattern(joined).fullmatch(key) for key in found)
    }
    assert empty == {}


def test_files_reached_as_a_whole_are_listed_with_a_reason():
    whole = {joined.partition(".")[0] for joined in PATTERNS if re.match(r"\w+\.\{", joined)}
    assert whole == set(WHOLE_FILES)


def prefixes(key):
    """How the code comes to a key: the fixed part of each way, the longest first."""
    tables = [each for each in KEYS if key.startswith(f"{each}.")]
    joined = [each.partition("{")[0] for each in PATTERNS if pattern(each).fullmatch(key)]
    return sorted([f"{each}." for each in tables] + joined, key=len, reverse=True)


@pytest.mark.parametrize("name", FILES)
def test_every_text_is_used(name):
    for key in (key for key in TEXTS if key.startswith(f"{name}.")):
        if key in KEYS:
            continue
        ways = prefixes(key)
        assert ways, f"nothing asks for {key}"
        for part in key[len(ways[0]) :].split("."):
            assert known(part), f"nothing puts {key} together: no {part}"


@pytest.mark.parametrize("table", LISTED)
def test_tables_hold_what_their_list_names(table):
    assert set(entry(table)) == set(LISTED[table])


def test_a_missing_key_is_a_slip_that_says_which():
    for key in ("packs.nothing", "nothing.count", "packs.count.more"):
        with pytest.raises(LookupError, match=key):
            words.word(key)


# Fields.


@pytest.mark.parametrize("name", FILES)
def test_fields_are_plain_names(name):
    for key in (key for key in TEXTS if key.startswith(f"{name}.")):
        for each in parts_of(TEXTS[key]):
            for _, field, form, conversion in string.Formatter().parse(each):
                if field is not None:
                    assert re.fullmatch(r"[a-z][a-z_0-9]*", field), key
                    assert not form, key
                    assert not conversion, key


def test_callers_give_every_field():
    for place, function, key, given in CALLS:
        if function == "word" or None in given:
            continue
        free = set() if function == "say" else {"value", "limit"}
        assert fields_of(TEXTS[key]) <= given | free, f"{place}: {key}"


def test_callers_give_no_field_for_nothing():
    for place, function, key, given in CALLS:
        if function == "say" and None not in given:
            assert given <= fields_of(TEXTS[key]), f"{place}: {key}"


def test_texts_with_fields_are_not_fetched_raw():
    raw = [
        f"{place}: {key}"
        for place, function, key, _ in CALLS
        if function == "word" and fields_of(TEXTS[key])
    ]
    assert raw == []


@pytest.mark.parametrize("name", FILES)
def test_every_field_is_named_somewhere_in_the_code(name):
    for key in (key for key in TEXTS if key.startswith(f"{name}.")):
        for field in fields_of(TEXTS[key]):
            assert known(field), f"{key}: {field}"


def test_a_field_left_out_is_a_slip_that_says_which():
    with pytest.raises(LookupError, match="volts"):
        words.say("packs.from_nominal", start="6", current="5")


# How the texts read.


def sentences_of(text):
    return [each for part in parts_of(text) for each in re.split(r"(?<=[.!?:])\s+", part)]


@pytest.mark.parametrize("name", FILES)
def test_sentences_are_short(name):
    for key in (key for key in TEXTS if key.startswith(f"{name}.")):
        most = LONGEST_NOTE if key.startswith("cells.texts.sources.") else LONGEST_SENTENCE
        for sentence in sentences_of(TEXTS[key]):
            assert len(sentence.split()) <= most, f"{key}: {sentence}"


@pytest.mark.parametrize("name", FILES)
def test_texts_are_tidy(name):
    for key in (key for key in TEXTS if key.startswith(f"{name}.")):
        for text in parts_of(TEXTS[key]):
            assert isinstance(text, str), key
            assert "—" not in text, f"{key}: two sentences read better than a dash"
            assert text == text.strip(), key
            # The lines of `packlearn check` stand in columns.
            assert "  " not in text or key.startswith("command.check."), key


# English in the code.

SENTENCE = re.compile(r"[A-Z].* .*[.?!]", re.DOTALL)
PHRASE = re.compile(r"(?:\b[a-z']+,? ){4}[a-z']")


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(HOME).as_posix())
def test_no_sentence_stands_in_the_code(path):
    if path.relative_to(HOME).as_posix() in ENGLISH_IN_CODE:
        return
    for line, text in literals(path):
        assert not SENTENCE.fullmatch(text.strip()), f"line {line}: {text}"
        assert not PHRASE.search(text), f"line {line}: {text}"


def test_exceptions_from_that_are_still_needed():
    for name in ENGLISH_IN_CODE:
        assert any(PHRASE.search(text) for _, text in literals(HOME / name)), name
