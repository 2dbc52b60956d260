"""Text stands apart from code: with a second set of files every sentence is that set's."""

import json
import os
import subprocess
import sys
from pathlib import Path

import marked
import pytest

# What is met at least; raise it when more is shown.
FEWEST = {
    "questions": 5900,
    "slips": 700,
    "feedback": 16000,
    "keys": 11000,
    "panels": 36000,
    "sheets": 9000,
}
FEWEST |= {"sheets": 7000, "sheet keys": 2900, "other sheets": 300, "build sheets": 1000}


@pytest.fixture(scope="module")
def second_set(tmp_path_factory):
    folder = tmp_path_factory.mktemp("texts")
    assert marked.make(folder) >= 35
    return folder


def look(folder, home, *parts):
    env = os.environ | {"PACKLEARN_TEXTS": str(folder), "PACKLEARN_FOLDER": str(home)}
    env["PYTHONPATH"] = str(Path(__file__).parent)
    script = [sys.executable, marked.__file__, *parts]
    done = subprocess.run(script, env=env, cwd=home, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


def test_everything_shown_comes_from_the_second_set(second_set, tmp_path):
    found = look(second_set, tmp_path, "questions", "panels", "command")
    assert {kind: bare for kind, (_, bare) in found.items() if bare} == {}
    assert {kind: count for kind, (count, _) in found.items() if count < FEWEST.get(kind, 7)} == {}


def test_a_class_and_its_shared_screen_come_from_the_second_set(second_set, tmp_path):
    found = look(second_set, tmp_path, "class")
    count, bare = found["class"]
    assert bare == {}
    assert count >= 900


def test_every_sheet_comes_from_the_second_set(second_set, tmp_path):
    found = look(second_set, tmp_path, "sheets")
    assert {kind: bare for kind, (_, bare) in found.items() if bare} == {}
    assert {kind: count for kind, (count, _) in found.items() if count < FEWEST[kind]} == {}


def test_build_sheets_come_from_the_second_set(second_set, tmp_path):
    count, bare = look(second_set, tmp_path, "build_sheets")["build sheets"]
    assert bare == {}
    assert count >= FEWEST["build sheets"]


def test_a_sentence_that_is_not_in_the_set_is_found(second_set, tmp_path):
    for file in (second_set / "words").iterdir():
        if file.stem != "sizing":
            (tmp_path / "texts" / "words").mkdir(parents=True, exist_ok=True)
            (tmp_path / "texts" / "words" / file.name).write_bytes(file.read_bytes())
    # What a set does not hold is said in English.
    bare = look(tmp_path / "texts", tmp_path, "command")["command"][1]
    assert {"margin", "binds", "fits", "current"} & set(bare)


@pytest.mark.parametrize(
    ("text", "words"),
    {
        "This \u00a4pack is 5S3P.": ["This", "is"],
        "\u00a4This \u00a4pack: 6.2 V, 1900 mAh, 3B+.": [],
        "{name} holds": ["name", "holds"],
        "\u00a4un\u00e9 p\u00e9": ["p\u00e9"],
        "\u00a4from 1A- \u00a4to 12B-, 2A\u2212 (3A-)": ["1A-", "12B-", "3A-"],
    }.items(),
)
def test_a_word_without_a_mark_is_told(text, words):
    assert list(marked.unmarked(text)) == words


def test_marks_leave_fields_and_units_alone():
    assert marked.marked("It has {pack_v} or 6 V, 70 mA.") == (
        "\u00a4It \u00a4has {pack_v} \u00a4or 6 V, 70 mA."
    )
    assert marked.marked("{{name}} is {limit}").format(limit=3) == "{\u00a4name} \u00a4is 3"
