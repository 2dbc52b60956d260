"""Records: a locked prediction is on disk, stays as it is, and goes only when asked."""

import dataclasses
import os
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import sqlalchemy as sa

import packlearn
from packlearn.errors import BadValue, PackError, UnknownName
from packlearn.records import (
    AlreadyLocked,
    AlreadyWritten,
    Entry,
    Records,
    Result,
    book,
    tables,
)
from tests import predictions

# Minus the signal; Windows knows no signals and gives the number itself.
KILLED = (-9, 15)

CHILD = """
import os, signal, sqlite3, sys, time
from pathlib import Path
from packlearn.records import AlreadyLocked, Prediction, Records
records = Records(Path(sys.argv[1]))
def prediction(**new):
    return Prediction(**(dict(page="p", task="t", variant=1, attempt=1, givens={}, typed="6 V",
        value=6.0, unit="V", confidence="sure") | new))
def die():
    os.kill(os.getpid(), getattr(signal, "SIGKILL", signal.SIGTERM))
"""


def prediction(**new):
    givens = {"series": 5, "voltage_v": 1.2, "loads": [0.6, None, True, "lamp"]}
    return predictions.prediction(**({"givens": givens} | new))


def child(code, file, **options):
    root = Path(packlearn.__file__).parents[1]
    env = os.environ | {"PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-W", "error", "-c", CHILD + code, str(file)]
    pipe = subprocess.PIPE
    return subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True, env=env, **options)


def raw(file, statement):
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        return connection.execute(statement).fetchall()


def bytes_of(folder):
    return b"".join(path.read_bytes() for path in Path(folder).rglob("*") if path.is_file())


def pytest_generate_tests(metafunc):
    predictions.on_both_databases(metafunc)


@pytest.fixture
def file(tmp_path):
    return tmp_path / "folder" / "records.sqlite"


@pytest.fixture
def records(request, database, file):
    return predictions.records_on(database, file, request, patience_s=30.0)


# Where the records are


def test_default_place(monkeypatch, tmp_path):
    for name in ("PACKLEARN_RECORDS", "PACKLEARN_FOLDER"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", lambda: tmp_path / "home")
    assert Records.default().place == str(
        tmp_path / "home" / "packlearn-lessons" / "records.sqlite"
    )
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "mine"))
    Records.default().lock(prediction())
    assert (tmp_path / "mine" / "records.sqlite").is_file()
    other = tmp_path / "other.sqlite"
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///{other.as_posix()}")
    assert Records.default().all() == []
    assert Records.default().place == str(other)


def test_reading_makes_no_file(records, file):
    assert records.all() == records.find("p", "t") == []
    assert records.latest_variant("p", "t") is None
    assert records.forget_all() == 0
    assert not file.parent.exists()


def test_import_is_light(file):
    heavy = {"sqlalchemy", "pint", "ipywidgets", "IPython", "matplotlib"}
    light = f"print(sorted({heavy!r} & set(sys.modules)))"
    assert child(light, file).communicate()[0].strip() == "[]"


# Locking


def test_lock_is_committed_before_it_returns(records, file):
    before = datetime.now(UTC)
    locked = records.lock(prediction(confidence="think so"))
    row = raw(file, "SELECT id, typed, confidence, givens FROM predictions")
    assert row == [
        (locked.id, "6,2 V", "think", '{"loads":[0.6,null,true,"lamp"],"series":5,"voltage_v":1.2}')
    ]
    assert before <= locked.locked_at <= datetime.now(UTC)
    assert locked.locked_at.utcoffset() == timedelta(0)
    assert records.find("predict-the-pack", "lantern-volts") == [Entry(locked)]


def test_same_attempt_again_stands_as_it_was(records):
    first = records.lock(prediction())
    again = prediction(typed="18 V", value=18.0)
    with pytest.raises(AlreadyLocked) as caught:
        records.lock(again)
    assert isinstance(caught.value, PackError)
    assert caught.value.locked == first
    assert caught.value.prediction == again
    assert "6,2 V" in str(caught.value)
    assert "18 V" in str(caught.value)
    others = ({"seat": "12"}, {"page": "b"}, {"task": "b"}, {"variant": 8}, {"attempt": 2})
    numbers = [records.lock(prediction(**other)).id for other in others]
    assert numbers == sorted(numbers)
    assert [entry.locked.typed for entry in records.all()] == ["6,2 V"] * 6


def test_one_of_two_racing_tabs_wins(records, file):
    race = """
records.all(); print("ready", flush=True); sys.stdin.readline()
for variant in range(15):
    try: records.lock(prediction(variant=variant, typed=str(os.getpid()))); print(variant)
    except AlreadyLocked as error: assert error.locked.variant == variant
"""
    tabs = [child(race, file) for _ in range(3)]
    assert [tab.stdout.readline() for tab in tabs] == ["ready\n"] * 3
    for tab in tabs:
        tab.stdin.write("\n")
        tab.stdin.flush()
    won = [(tab.pid, int(line)) for tab in tabs for line in tab.communicate()[0].split()]
    assert [tab.returncode for tab in tabs] == [0, 0, 0]
    assert sorted(variant for _, variant in won) == list(range(15))
    kept = [(int(entry.locked.typed), entry.locked.variant) for entry in records.all()]
    assert sorted(kept) == sorted(won)


def test_thirty_writers_at_once(records, file):
    numbers, errors = [], []

    def learner(seat):
        try:
            for variant in range(20):
                numbers.append(records.lock(prediction(seat=seat, variant=variant)).id)
            records.find("predict-the-pack", "lantern-volts", seat)
        except PackError as error:
            errors.append(error)

    threads = [threading.Thread(target=learner, args=(f"seat {n}",)) for n in range(30)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    entries = records.all()
    assert sorted(numbers) == [entry.locked.id for entry in entries]
    assert len(set(numbers)) == 600
    for seat in ("seat 0", "seat 29"):
        assert [entry.locked.variant for entry in records.all(seat)] == list(range(20))


def test_survives_a_killed_kernel(records, file):
    process = child('records.lock(prediction(typed="6,6 V")); die(); print("alive")', file)
    assert process.communicate()[0] == ""
    assert process.returncode in KILLED
    assert [entry.locked.typed for entry in records.all()] == ["6,6 V"]


def test_kernel_killed_in_the_middle_leaves_a_whole_file(records, file):
    records.lock(prediction())
    half = """
connection = sqlite3.connect(sys.argv[1], isolation_level=None)
connection.execute("PRAGMA cache_size = 1"); connection.execute("BEGIN IMMEDIATE")
for n in range(300):
    connection.execute("INSERT INTO predictions (seat, page, task, variant, attempt, givens, typed,"
        " unit, confidence, reason, locked_at) SELECT seat, page, task, ?, 2, givens, typed, unit,"
        " confidence, ?, locked_at FROM predictions WHERE id = 1", (n, "x" * 1000))
die()
"""
    process = child(half, file)
    process.communicate()
    assert process.returncode in KILLED
    assert file.with_name("records.sqlite-journal").exists()
    records.lock(prediction(attempt=2))
    assert [entry.locked.attempt for entry in records.all()] == [1, 2]
    assert raw(file, "PRAGMA integrity_check") == [("ok",)]


def test_every_connection_is_durable_patient_and_closed(records, file):
    statements, pragmas, opened = [], [], []
    engine = records._store.engine

    @sa.event.listens_for(engine, "connect")
    def look(connection, _):
        opened.append(connection)
        for pragma in ("synchronous", "busy_timeout"):
            pragmas.extend(connection.execute(f"PRAGMA {pragma}").fetchone())

    @sa.event.listens_for(engine, "before_cursor_execute")
    def note(_connection, _cursor, statement, *_):
        statements.append(statement)

    records.lock(prediction())
    # The right to write is taken before anything is read.
    assert statements[0] == "BEGIN IMMEDIATE"
    records.all()
    # 2 is FULL, https://www.sqlite.org/pragma.html#pragma_synchronous; then milliseconds.
    assert pragmas == [2, 30_000] * 2
    assert len({id(connection) for connection in opened}) == len(opened) == 2
    for connection in opened:
        with pytest.raises(sqlite3.ProgrammingError, match="closed"):
            connection.execute("SELECT 1")


# Results


def test_result_is_written_once(records):
    locked = records.lock(prediction())
    for _ in range(2):
        records.settle(locked.id, "mistake", ("M02", "M18"), right=False)
    entry = records.all()[0]
    assert entry.result == Result(verdict="mistake", mistakes=("M02", "M18"), right=False)
    assert entry.result.settled_at >= locked.locked_at
    others = (
        ("right", ("M02", "M18"), False, False),
        ("mistake", ("M18", "M02"), False, False),
        ("mistake", ("M02", "M18"), True, False),
        ("mistake", ("M02", "M18"), False, True),
    )
    for verdict, mistakes, right, revealed in others:
        with pytest.raises(AlreadyWritten, match="mistake, M02, M18"):
            records.settle(locked.id, verdict, mistakes, right=right, revealed=revealed)
    assert records.all() == [entry]


def test_saw_is_written_once(records):
    locked = records.lock(prediction())
    with pytest.raises(BadValue, match="less, equal, more"):
        records.saw(locked.id, "higher")
    assert records.all()[0].saw is None
    for _ in range(2):
        records.saw(locked.id, "more")
    with pytest.raises(AlreadyWritten, match="more"):
        records.saw(locked.id, "less")
    assert records.all() == [Entry(locked, None, "more")]


def test_no_result_without_a_prediction(records):
    records.lock(prediction())
    for write in (lambda: records.saw(99, "more"), lambda: records.settle(99, "x", right=True)):
        with pytest.raises(UnknownName, match="99"):
            write()


@pytest.mark.parametrize("table", ["predictions", "results", "saw"])
def test_database_itself_refuses_changes(records, file, table):
    locked = records.lock(prediction())
    records.settle(locked.id, "right", right=True)
    records.saw(locked.id, "equal")
    kept = raw(file, f"SELECT * FROM {table}")
    last = {"predictions": "reason", "results": "verdict", "saw": "answer"}[table]
    changes = (
        f"UPDATE {table} SET {last} = 'x'",
        f"UPDATE OR REPLACE {table} SET {last} = {last}",
        f"DELETE FROM {table}",
        f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}",
    )
    for change in changes:
        with pytest.raises(sqlite3.IntegrityError, match="never|only all"):
            raw(file, change)
    assert raw(file, f"SELECT * FROM {table}") == kept


def test_same_attempt_under_a_new_number_replaces_nothing(records, file):
    locked = records.lock(prediction())
    columns = ", ".join(c.name for c in tables.predictions.columns if c.name != "id")
    with pytest.raises(sqlite3.IntegrityError, match="never replaced"):
        raw(
            file,
            f"INSERT OR REPLACE INTO predictions ({columns}) SELECT {columns} FROM predictions",
        )
    assert records.all() == [Entry(locked)]


def test_dataclasses_cannot_be_changed(records):
    givens = {"series": 5}
    locked = records.lock(prediction(givens=givens))
    givens["series"] = 6
    assert locked.givens == records.all()[0].locked.givens == {"series": 5}
    for thing in (prediction(), locked, Result(verdict="x", right=True), Entry(locked)):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(thing, dataclasses.fields(thing)[0].name, "x")


# Reading


def test_order_is_the_order_of_locking_whatever_the_clock_says(records, monkeypatch):
    noon = datetime(2026, 3, 1, 12, tzinfo=UTC)
    for step in range(4):
        monkeypatch.setattr(book, "_now", lambda step=step: noon - timedelta(hours=step))
        records.lock(prediction(variant=30 - step))
        records.lock(prediction(variant=90 + step, task="other"))
    found = records.find("predict-the-pack", "lantern-volts")
    assert [entry.locked.variant for entry in found] == [30, 29, 28, 27]
    assert found[3].locked.locked_at == noon - timedelta(hours=3)
    assert records.latest_variant("predict-the-pack", "lantern-volts") == 27
    assert records.latest_variant("predict-the-pack", "other") == 93
    assert records.latest_variant("predict-the-pack", "other", "seat 4") is None


def test_find_and_all_keep_seats_apart(records):
    for seat in ("", "4", "5"):
        records.lock(prediction(seat=seat, typed=f"seat {seat}"))
    assert [entry.locked.typed for entry in records.all()] == ["seat ", "seat 4", "seat 5"]
    assert [entry.locked.typed for entry in records.all("")] == ["seat "]
    found = records.find("predict-the-pack", "lantern-volts", "4")
    assert [entry.locked.typed for entry in found] == ["seat 4"]


# Forgetting


def test_forget_all_takes_the_text_out_of_the_file(records, file):
    for variant in range(40):
        marks = {"typed": f"zebrafink{variant}", "reason": "quillbadger" * 80}
        locked = records.lock(prediction(variant=variant, givens={"owlmark": 1}, **marks))
        records.settle(locked.id, "ottermark", ("M01",), right=False)
        records.saw(locked.id, "less")
    words = (b"zebrafink", b"quillbadger", b"owlmark", b"ottermark")
    assert all(word in bytes_of(file.parent) for word in words)
    full = file.stat().st_size
    assert records.forget_all() == 40
    assert not any(word in bytes_of(file.parent) for word in words)
    assert file.stat().st_size < full
    assert records.all() == []
    assert raw(file, "SELECT (SELECT count(*) FROM results) + (SELECT count(*) FROM saw)") == [(0,)]
    # Numbers are not used again, and nothing may be deleted behind our back afterwards.
    assert records.lock(prediction()).id == 41
    with pytest.raises(sqlite3.IntegrityError):
        raw(file, "DELETE FROM predictions")


def test_forget_all_of_one_seat(records, file):
    for seat, typed in (("4", "zebrafink"), ("5", "quillbadger")):
        locked = records.lock(prediction(seat=seat, typed=typed))
        records.settle(locked.id, "right", right=True)
    assert records.forget_all("4") == 1
    assert b"zebrafink" not in bytes_of(file.parent)
    assert b"quillbadger" in bytes_of(file.parent)
    assert [(entry.locked.seat, entry.result.right) for entry in records.all()] == [("5", True)]
