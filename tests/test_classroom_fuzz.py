"""Texts and bytes from anywhere: no reader of the classroom fails, hangs or changes anything.

The quick set lets Hypothesis look for trouble, which finds small examples; the long one throws
100 000 random inputs.
"""

import json
import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from packlearn.classroom import (
    answer_files,
    collecting,
    mark_sheets,
    marking,
    rechecking,
    seats,
    sitting,
)
from packlearn.classroom.seats import first_variant
from packlearn.errors import PackError
from packlearn.records import Prediction, Records
from packlearn.tasks import bank
from tests.random_input import Dice, as_bytes

CODE = "HEDGE7"
TASKS = [task for page in bank.pages() for task in bank.page(page).tasks]
TYPED = ("6,2 V", "5S3P", "1.9 Ah", "9 h 30 min", "0", "-1", "1e309 V", "٣ V", "½ A", "34 Wh", "x")
SEEDS = st.integers(0, 2**32)
QUICK, LONG = 60, 17_000


class Shelf:
    """A learner's folder with something in it, and an empty one for files from anywhere."""

    def __init__(self, folder):
        self.own, self.other = folder / "own", folder / "other"
        self.own.mkdir()
        self.other.mkdir()
        self.records = Records(self.own / "records.sqlite")
        for seat in ("", "HEDGE7-04"):
            self.records.lock(
                Prediction(page="p", task="t", variant=1, attempt=1, givens={}, typed="6 V",
                           value=6.0, unit="V", confidence="sure", seat=seat)
            )  # fmt: skip

    def everything(self):
        return {path: path.read_bytes() for path in self.own.rglob("*") if path.is_file()}


@pytest.fixture
def shelf(tmp_path, monkeypatch):
    made = Shelf(tmp_path)
    monkeypatch.setenv("PACKLEARN_FOLDER", str(made.own))
    return made


# Random input


def head(dice):
    seat = dice.randrange(-1, 45)
    return dice.any_near({"packlearn answers": 1, "class": CODE, "seat": seat, "saved at": "x"})


def line(dice):
    task, seat = dice.choice(TASKS), dice.randrange(1, 7)
    variant = dice.choice((0, first_variant(CODE, seat) + dice.randrange(-1, 3)))
    fields = {
        "page": task.page,
        "task": task.id,
        "variant": variant,
        "attempt": dice.randrange(4),
        "typed": dice.choice((dice.choice(TYPED), dice.text(), dice.text(250))),
        "confidence": "think",
        "locked at": "2026-03-01T12:00:00Z",
    }
    return dice.any_near(fields)


def answer_file(dice):
    rows = [head(dice), *(line(dice) for _ in range(dice.randrange(4)))]
    return dice.spoiled(as_bytes([*rows, dice.any_near({"answers": dice.randrange(4)})]))


def some_files(dice):
    return [answer_file(dice) for _ in range(dice.randrange(1, 4))]


def some_zip(dice):
    return dice.spoiled(dice.zip_file(answer_file(dice) for _ in range(dice.randrange(3))))


def code_and_seat(dice):
    return dice.choice((dice.text(), CODE[: dice.randrange(7)] + dice.text(3))), dice.value()


def class_file(dice):
    told = {
        "class": CODE,
        "seats": 24,
        "seat": dice.randrange(-1, 26),
        "shared": False,
        "start": "",
    }
    return dice.spoiled(json.dumps(dice.any_near(told)).encode())


def typed_answer(dice):
    task = dice.choice(TASKS)
    typed = dice.choice((dice.choice(TYPED), dice.text(), dice.choice(TYPED) + dice.text(3)))
    number = first_variant(CODE, 3) + dice.randrange(2)
    return task, answer_files.Answer(task.page, task.id, number, 1, typed, "sure", "")


# What is seen of each


def tried(read, data):
    """What a reader returns, and what it tells where it refuses: never anything else."""
    try:
        return read(data), ""
    except PackError as trouble:
        told = str(trouble)
    assert 0 < len(told) < 300
    return None, told


def see_answer_file(_, data):
    file, told = tried(answer_files.read, data)
    assert told.isprintable()
    if not file:
        return
    assert (file.code, file.seat) == ("", 0) or seats.parted(f"{file.code}-{file.seat:02d}")
    for each in file.answers:
        assert type(each.variant) is type(each.attempt) is int
        assert each.variant >= 0
        assert each.attempt >= 1
        assert max(map(len, (each.page, each.task, each.typed, each.locked_at))) <= 200
        each.typed.encode("utf-8")


def see_marking(shelf, files):
    named = [(f"file {number}", data) for number, data in enumerate(files)]
    marks = marking.mark(CODE, 24, named)
    assert len({name for name, _ in marks.report}) == len(marks.report) <= len(files)
    assert all(told.isprintable() for _, told in marks.report)
    assert all(1 <= each.seat <= 24 for each in marks.questions)
    names = mark_sheets.write(marks, shelf.other, ";")
    tables = "".join((shelf.other / name).read_text("utf-8") for name in names if "csv" in name)
    assert not any(row.startswith(("=", "+", "-", "@", "\t")) for row in tables.split("\r\n"))


def see_zip(shelf, data):
    (shelf.other / "some file").write_bytes(data)
    for name, content in collecting.collect(shelf.other):
        assert name.isprintable()
        assert isinstance(content, bytes) or content.isprintable()
    assert [path.name for path in shelf.other.iterdir()] == ["some file"]


def see_code_and_seat(_, data):
    typed, number = data
    for read, what in (
        (seats.read_code, typed),
        (seats.read_seat, number),
        (seats.read_seats, number),
    ):
        found, _ = tried(read, what)
        assert found is None or read(found) == found
    assert seats.first_variant_of(typed) >= 0
    shown = collecting.shown(typed)
    assert shown.isprintable()
    assert len(shown) < 130


def see_class_file(_, data):
    path = Path(os.environ["PACKLEARN_FOLDER"]) / sitting.FILE
    path.write_bytes(data)
    found = sitting.sitting()
    path.unlink()
    assert found is None or 0 <= found.seat <= found.seats <= seats.MOST_SEATS


def see_typed(_, data):
    checked = rechecking._of_question(data[0], data[1].variant, (data[1].typed,), {})
    kinds = ("ask", "right", "mistake", "which", "unfit", "unknown")
    assert checked is None or checked[0][0] in kinds


READERS = {
    "an answer file": (answer_file, see_answer_file),
    "files to mark": (some_files, see_marking),
    "a zip file": (some_zip, see_zip),
    "code and seat": (code_and_seat, see_code_and_seat),
    "class of a folder": (class_file, see_class_file),
    "typed answer": (typed_answer, see_typed),
}


@pytest.mark.parametrize("name", READERS)
def test_readers_stand_what_is_looked_for(shelf, name):
    make, see = READERS[name]
    calm = settings(
        max_examples=QUICK,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    before = shelf.everything()
    calm(given(SEEDS)(lambda seed: see(shelf, make(Dice(seed)))))()
    assert shelf.everything() == before


ANY_BYTES = st.one_of(
    st.binary(max_size=200), st.text(st.characters(exclude_categories=["Cs"])).map(str.encode)
)


@settings(max_examples=150, deadline=None, derandomize=True, database=None,
          suppress_health_check=list(HealthCheck))  # fmt: skip
@given(data=ANY_BYTES)
def test_readers_stand_any_bytes(shelf, data):
    before = shelf.everything()
    see_answer_file(shelf, data)
    see_class_file(shelf, data)
    see_zip(shelf, b"PK\x03\x04" + data)
    assert shelf.everything() == before


@pytest.mark.long
@pytest.mark.parametrize("name", READERS)
def test_readers_stand_random_input(shelf, name):
    make, see = READERS[name]
    before, seen = shelf.everything(), 0
    for seed in range(LONG):
        see(shelf, make(Dice(seed)))
        seen += 1
    assert shelf.everything() == before
    # All readers together: 100 000 inputs.
    assert seen * len(READERS) >= 100_000
