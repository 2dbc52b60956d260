"""Kept for good: a process killed while it writes, a full disk, a folder set to read only."""

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

import packlearn
from packlearn.records import Prediction, Records

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs the signals of POSIX")

# Everything is loaded once; each writer is a fork of that, so that 200 of them take no time.
START = """
import os, random, signal, sqlite3, sys
from pathlib import Path
from packlearn.classroom import answer_files, sitting
from packlearn.errors import PackError
from packlearn.records import Prediction, Records
import packlearn.records.store, packlearn.records.queries, packlearn.records.waiting
def prediction(variant, **new):
    return Prediction(**(dict(page="p", task="t", variant=variant, attempt=1,
        givens={"series": 5}, typed=f"{variant} V", value=float(variant), unit="V",
        confidence="sure", reason="because " * 60, seat="HEDGE7-04") | new))
folder = Path(os.environ["PACKLEARN_FOLDER"])
"""

KILLED = (
    START
    + """
rounds, target, dice = int(sys.argv[1]), sys.argv[2] or None, random.Random(7)
file = folder / ("waiting.sqlite" if target else "records.sqlite")
said = {}

def write(pipe, start):
    records = Records(target)
    for variant in range(start, start + 10_000):
        number = records.lock(prediction(variant)).id
        # Only now may the learner see the answer.
        os.write(pipe, f"{variant} {number}\\n".encode())
        records.settle(number, "mistake", ("M01",), right=False)
        records.saw(number, "less")
        if variant % 4 == 0 and not target:
            records.lock(prediction(variant, seat="other"))
            records.forget_all("other")

for turn in range(rounds):
    mine, its = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(mine)
            write(its, turn * 100_000)
        finally:
            os._exit(1)
    os.close(its)
    heard = b""
    wanted = dice.randint(1, 6)
    while heard.count(b"\\n") < wanted:
        heard += os.read(mine, 1)
    # Somewhere within what comes next.
    for _ in range(dice.randint(0, 60_000)):
        pass
    os.kill(child, signal.SIGKILL)
    while more := os.read(mine, 65536):
        heard += more
    os.close(mine)
    os.waitpid(child, 0)
    for line in heard.decode().splitlines():
        variant, number = map(int, line.split())
        said[variant] = number
    entries = {entry.locked.variant: entry for entry in Records(target).all("HEDGE7-04")}
    assert set(said) <= set(entries), sorted(set(said) - set(entries))
    for variant, number in said.items():
        locked = entries[variant].locked
        assert (locked.id, locked.typed) == (number, f"{variant} V")
    # At most the one that was on its way was not told.
    assert len(entries) <= len(said) + turn + 1
with sqlite3.connect(file) as connection:
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
records = Records(target)
records.lock(prediction(10**9))
print("kept", len(said))
"""
)


def run(code, *args):
    root = Path(packlearn.__file__).parents[1]
    env = os.environ | {"PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code, *map(str, args)],
        capture_output=True,
        text=True,
        env=env,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.mark.parametrize("target", ["", "postgresql://nobody@127.0.0.1:1/nowhere"],
                         ids=["file", "server away"])  # fmt: skip
@pytest.mark.parametrize("rounds", [10, pytest.param(200, marks=pytest.mark.long)])
def test_killed_while_writing_loses_nothing_that_was_told(rounds, target):
    kept = int(run(KILLED, rounds, target).split()[-1])
    assert kept >= rounds


FULL = (
    START
    + """
import resource
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
records = Records(folder / "records.sqlite")
for variant in range(40):
    records.lock(prediction(variant))
path = folder / "answers.jsonl"
answer_files.save(records, "HEDGE7-04", path)
sitting.join("HEDGE7", 24)
before = path.read_bytes()
# No file may grow any more: the nearest to a full disk that any user can make.
size = (folder / "records.sqlite").stat().st_size
resource.setrlimit(resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))
try:
    for variant in range(40, 400):
        last = variant
        records.lock(prediction(variant))
    raise SystemExit("never full")
except PackError as trouble:
    assert trouble.prediction == prediction(last)
    print(trouble)
resource.setrlimit(resource.RLIMIT_FSIZE, (100, resource.RLIM_INFINITY))
try:
    answer_files.save(records, "HEDGE7-04", path)
    raise SystemExit("saved")
except PackError as trouble:
    print(trouble)
assert path.read_bytes() == before
assert [each.name for each in folder.glob(".*")] == []
kept = [entry.locked.variant for entry in records.all()]
assert kept == list(range(last)), (last, kept[-1])
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
records.lock(prediction(last))
assert len(records.all()) == last + 1
"""
)


def test_a_disk_that_takes_no_more_is_told_and_keeps_what_was_there():
    locking, saving = run(FULL).splitlines()
    assert "records.sqlite" in locking
    assert "full or cannot be written" in locking
    assert "cannot be written" in saving
    assert "answers.jsonl" in saving


READ_ONLY = (
    START
    + """
import tempfile
def tried(folder):
    os.environ["PACKLEARN_FOLDER"] = str(folder)
    records = Records(folder / "records.sqlite", patience_s=0.1)
    for attempt in (
        lambda: records.lock(prediction(5)),
        lambda: records.settle(1, "right", right=True),
        lambda: records.forget_all(),
        lambda: answer_files.save(records, "HEDGE7-04", folder / "answers.jsonl"),
        lambda: records.export_csv(folder / "mine.csv"),
        lambda: sitting.join("HEDGE7", 24),
        lambda: Records("postgresql://nobody@127.0.0.1:1/nowhere").lock(prediction(5)),
    ):
        try:
            attempt()
            yield "written"
        except PackError as trouble:
            yield str(trouble)
with tempfile.TemporaryDirectory() as other:
    # Whatever has to be loaded for it is loaded while one still may.
    list(tried(Path(other)))
    Records(Path(other) / "damaged.sqlite").all()
    (Path(other) / "damaged.sqlite").write_bytes(b"x" * 5000)
    try:
        Records(Path(other) / "damaged.sqlite").all()
    except PackError:
        pass
if os.geteuid() == 0:
    # Root may write anywhere.
    os.seteuid(65534)
assert [entry.locked.typed for entry in Records(folder / "records.sqlite").all()] == ["6,2 V"]
print("\\n".join(tried(folder)))
"""
)


def test_a_folder_nobody_may_write_to_is_told_and_left_as_it_was(tmp_path, monkeypatch):
    # Parents that only root may enter would hide it.
    for parent in [tmp_path, *tmp_path.parents[:-2]]:
        if parent.stat().st_uid == os.getuid():
            parent.chmod(parent.stat().st_mode | stat.S_IXOTH | stat.S_IXGRP)
    folder = tmp_path / "read only"
    monkeypatch.setenv("PACKLEARN_FOLDER", str(folder))
    Records(folder / "records.sqlite").lock(
        Prediction(page="p", task="t", variant=1, attempt=1, givens={}, typed="6,2 V",
                   value=6.2, unit="V", confidence="sure", seat="HEDGE7-04")
    )  # fmt: skip
    before = (folder / "records.sqlite").read_bytes()
    (folder / "records.sqlite").chmod(0o444)
    folder.chmod(0o555)
    try:
        told = run(READ_ONLY).splitlines()
    finally:
        folder.chmod(0o755)
    assert len(told) == 7
    assert all(str(folder) in line for line in told)
    assert all("read only" in line.replace(str(folder), "") for line in told[:2])
    assert [path.name for path in folder.iterdir()] == ["records.sqlite"]
    assert (folder / "records.sqlite").read_bytes() == before


def test_everything_of_one_seat_comes_out_and_goes(tmp_path):
    from packlearn.classroom import answer_files

    records = Records(tmp_path / "records.sqlite")
    for seat in ("HEDGE7-04", "HEDGE7-05"):
        for variant in range(3):
            locked = records.lock(
                Prediction(page="p", task="t", variant=variant, attempt=1, givens={},
                           typed=f"zebrafink {seat}", value=None, unit="", confidence="sure",
                           seat=seat)
            )  # fmt: skip
            records.settle(locked.id, "right", right=True)
    table, answers = tmp_path / "mine.csv", tmp_path / "answers.jsonl"
    records.export_csv(table, seat="HEDGE7-04")
    assert answer_files.save(records, "HEDGE7-04", answers) == 3
    for path in (table, answers):
        text = path.read_text(encoding="utf-8")
        assert text.count("zebrafink HEDGE7-04") == 3
        assert "HEDGE7-05" not in text
    assert records.forget_all("HEDGE7-04") == 3
    data = (tmp_path / "records.sqlite").read_bytes()
    assert b"zebrafink HEDGE7-04" not in data
    assert data.count(b"zebrafink HEDGE7-05") == 3
