"""Texts and bytes from anywhere: no reader of the classroom fails, hangs or changes anything."""

import io
import json
import os
import zipfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from packlearn.classroom import answer_files, collecting, mark_sheets, marking, seats, sitting
from packlearn.classroom.seats import first_variant
from packlearn.errors import PackError
from packlearn.records import Prediction, Records
from packlearn.tasks import bank

CODE = "HEDGE7"
TASKS = [task for page in bank.pages() for task in bank.page(page).tasks]
QUICK, LONG = 80, 17_000


def inputs(strategy):
    """A quick test and a long one over the same inputs."""

    def wrap(look):
        def run(shelf, count):
            calm = settings(
                max_examples=count,
                deadline=None,
                derandomize=True,
                database=None,
                suppress_health_check=list(HealthCheck),
            )
            before = shelf.everything()
            calm(given(strategy)(lambda data: look(shelf, data)))()
            assert shelf.everything() == before

        run.__name__ = run.__qualname__ = look.__name__
        counts = [QUICK, pytest.param(LONG, marks=pytest.mark.long)]
        return pytest.mark.parametrize("count", counts, ids=["quick", "long"])(run)

    return wrap


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


ANY = st.text(st.characters(exclude_categories=()), max_size=30)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | ANY,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(ANY, inner, max_size=3),
    max_leaves=6,
)


def near(value):
    """A value as it should be, mostly; else anything."""
    return st.one_of(st.just(value), st.just(value), st.just(value), JSON)


HEADS = st.fixed_dictionaries(
    {
        "packlearn answers": near(1),
        "class": near(CODE),
        "seat": st.one_of(st.integers(-1, 45), JSON),
        "saved at": JSON,
    }
)
TYPED = st.one_of(
    ANY,
    st.sampled_from(["6,2 V", "5S3P", "1.9 Ah", "9 h 30 min", "0", "-1", "1e309 V", "٣ V", "½ A"]),
    st.from_regex(
        r"[0-9]{1,6}[.,]?[0-9]{0,4} ?(m|k|M|u)?(V|A|Ah|Wh|W|ohm|h|min|%)?", fullmatch=True
    ),
)


@st.composite
def lines(draw):
    task = draw(st.sampled_from(TASKS))
    seat = draw(st.integers(1, 6))
    variant = first_variant(CODE, seat) + draw(st.integers(-1, 3))
    found = {
        "page": draw(near(task.page)),
        "task": draw(near(task.id)),
        "variant": draw(st.one_of(st.just(variant), st.just(0), JSON)),
        "attempt": draw(st.one_of(st.integers(0, 3), JSON)),
        "typed": draw(st.one_of(TYPED, TYPED, JSON)),
        "confidence": draw(near("think")),
        "locked at": draw(JSON),
    }
    for name in draw(st.sets(st.sampled_from(sorted(found)), max_size=1)):
        del found[name]
    return found


def as_bytes(rows):
    return "".join(json.dumps(row) + "\n" for row in rows).encode("utf-8", "surrogatepass")


FILES = st.builds(
    lambda head, rows, end: as_bytes([head, *rows, end]),
    HEADS,
    st.lists(lines(), max_size=4),
    st.fixed_dictionaries({"answers": st.one_of(st.integers(0, 5), JSON)}),
)


@st.composite
def spoiled(draw, whole):
    """Bytes with pieces cut out, put in, repeated or turned."""
    data = bytearray(draw(whole))
    for _ in range(draw(st.integers(1, 4))):
        at, end = sorted((draw(st.integers(0, len(data))), draw(st.integers(0, len(data)))))
        data[at : draw(st.sampled_from([at, end]))] = draw(st.binary(max_size=8))
    return bytes(data)


def tried(read, data):
    """What a reader returns, and what it tells where it refuses: never anything else."""
    try:
        return read(data), ""
    except PackError as trouble:
        told = str(trouble)
    assert 0 < len(told) < 300
    return None, told


def sane(file):
    assert (file.code, file.seat) == ("", 0) or seats.parted(f"{file.code}-{file.seat:02d}")
    for each in file.answers:
        assert type(each.variant) is type(each.attempt) is int
        assert each.variant >= 0
        assert each.attempt >= 1
        assert max(map(len, (each.page, each.task, each.typed, each.locked_at))) <= 200
        each.typed.encode("utf-8")


@inputs(st.one_of(st.binary(max_size=300), FILES, spoiled(FILES)))
def test_answer_files(shelf, data):
    file, told = tried(answer_files.read, data)
    assert told.isprintable()
    if file:
        sane(file)


@inputs(st.lists(st.one_of(FILES, spoiled(FILES)), min_size=1, max_size=3))
def test_marking(shelf, files):
    named = [(f"file {number}", data) for number, data in enumerate(files)]
    marks = marking.mark(CODE, 24, named)
    assert len({name for name, _ in marks.report}) == len(marks.report) <= len(files)
    assert all(told.isprintable() for _, told in marks.report)
    assert all(1 <= each.seat <= 24 for each in marks.questions)
    names = mark_sheets.write(marks, shelf.other, ";")
    tables = "".join((shelf.other / name).read_text("utf-8") for name in names if "csv" in name)
    assert not any(line.startswith(("=", "+", "-", "@", "\t")) for line in tables.split("\n"))


def packed(members):
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in members:
            try:
                made.writestr(zipfile.ZipInfo(name or "x"), data)
            except (UnicodeError, ValueError):
                made.writestr("other", data)
    return file.getvalue()


ZIPS = st.builds(packed, st.lists(st.tuples(ANY, st.one_of(FILES, st.binary())), max_size=3,
                                  unique_by=lambda pair: pair[0] or "x"))  # fmt: skip


@pytest.mark.filterwarnings("ignore:Duplicate name")
@inputs(st.one_of(ZIPS, spoiled(ZIPS), st.binary(max_size=200).map(lambda b: b"PK\x03\x04" + b)))
def test_zip_files(shelf, data):
    (shelf.other / "some file").write_bytes(data)
    for name, content in collecting.collect(shelf.other):
        assert name.isprintable()
        assert isinstance(content, bytes) or content.isprintable()
    assert [path.name for path in shelf.other.iterdir()] == ["some file"]


@inputs(st.tuples(ANY, st.one_of(ANY, st.integers(), st.floats(), st.none())))
def test_codes_and_seats(shelf, data):
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


SITTINGS = st.fixed_dictionaries(
    {
        "class": near(CODE),
        "seats": near(24),
        "seat": st.one_of(st.integers(-1, 26), JSON),
        "shared": near(False),
        "start": JSON,
    }
).map(lambda told: json.dumps(told).encode())


@inputs(st.one_of(st.binary(max_size=200), SITTINGS, spoiled(SITTINGS)))
def test_the_class_of_a_folder(shelf, data):
    path = Path(os.environ["PACKLEARN_FOLDER"]) / sitting.FILE
    path.write_bytes(data)
    found = sitting.sitting()
    path.unlink()
    assert found is None or 0 <= found.seat <= found.seats <= seats.MOST_SEATS


@inputs(st.tuples(st.sampled_from(TASKS), st.integers(0, 30), TYPED))
def test_typed_answers_of_every_task(shelf, data):
    task, step, typed = data
    answer = answer_files.Answer(
        task.page,
        task.id,
        first_variant(CODE, 3) + step,
        1,
        typed.strip("\ud800") or "x",
        "sure",
        "",
    )
    checked = marking._check(task, answer.variant, answer)
    assert checked is None or checked.kind in (
        "ask", "right", "mistake", "which", "unfit", "unknown",
    )  # fmt: skip
