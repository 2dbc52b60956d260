"""What else writes files: a read-only folder or a full disk is told, what was there stays."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

import packlearn

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs the signals of POSIX")
ROOT = Path(packlearn.__file__).resolve().parents[1]

SCRIPT = """
import argparse, os, resource, signal, sys
from pathlib import Path
trouble, folder = sys.argv[1], Path(os.environ["PACKLEARN_FOLDER"])
from packlearn import command, laying, places
from packlearn._commands import hub
from packlearn.building import plan_for
from packlearn.cells import cell
from packlearn.classroom import answer_files, hands, mark_sheets, marking, school, sitting
from packlearn.errors import PackError
from packlearn.loads import Load
from packlearn.packs import Pack
from packlearn.panels.device_keeping import DeviceFile, Kept
from packlearn.panels.sheet_keeping import keep_sheet
from packlearn.records import Records
from packlearn.sizing import Need
from tests.predictions import prediction

places_of = {name: folder / name for name in ("out", "marks", "size.html", "answers.jsonl")}
need = Need(load=Load.current(0.6), run_time_h=3, voltage_v=(5.5, 9.0))
seat = ["--class", "HEDGE7", "--seat", 4]
size = ["size", "--lowest", "5.5V", "--highest", "9V", "--current", "0.6A", "--hours", "3h"]

def plan(name):
    return plan_for(need, Pack(cell("nimh-aa"), 6, 1), name=name)

def run(*argv):
    args = list(map(str, argv))
    part = command.import_module(command.PARTS[args[0]])
    parser = argparse.ArgumentParser()
    part.add_arguments(parser)
    part.run(parser.parse_args(args[1:]))

def jobs(turn):
    return {
        "lock": lambda: Records.default().lock(prediction(variant=turn)),
        "class": lambda: sitting.join("HEDGE7", 20 + turn),
        "hands": lambda: hands.keep(hands.Shown(True, page=f"lesson-{turn + 1}")),
        "device": lambda: DeviceFile().write(Kept(stop=f"device {turn}" * 9)),
        "own sheet": lambda: keep_sheet(plan(f"Lantern {turn}")),
        "size sheet": lambda: run(*size, "--sheet", places_of["size.html"], "--name", f"L{turn}"),
        "answers": lambda: answer_files.save(Records.default(), "", places_of["answers.jsonl"]),
        "marks": lambda: mark_sheets.write(marking.Marks("HEDGE7", 24), places_of["marks"]),
        "saved": lambda: run("records", *seat, "--save", places_of["out"]),
        "sheets": lambda: run("sheets", "formulas", "--to", places_of["out"]),
        "laying": lambda: laying.lay(laying.shipped(("learn", "teach")[turn]), folder),
        "hub class": lambda: school.keep_class("HEDGE7", 20 + turn),
        "hub passwords": lambda: hub._hand_out("HEDGE7", {"hedge7-01": "abcd-efgh"}),
    }

folder.mkdir(parents=True)
os.chdir(folder)
os.dup2(2, 1)
for job in jobs(0).values():
    job()
if trouble == "read-only":
    for path in (folder, *folder.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)
    if os.getuid() == 0:
        # The rights of root know no read-only folder.
        folder.parent.chmod(0o755)
        os.setgid(65534)
        os.setuid(65534)
else:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
was = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
for name, job in jobs(1).items():
    if trouble == "full":
        # The nearest to a full disk that any user can make.
        resource.setrlimit(resource.RLIMIT_FSIZE, (4, resource.RLIM_INFINITY))
    try:
        job()
        told = "written"
    except PackError as error:
        told = str(error)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY,) * 2)
    print("TOLD", name, "|", told.replace(chr(10), " // "), file=sys.stderr)
there = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
# Beside a database stands its journal for a while; an empty file holds nothing of anybody.
there = {path: data for path, data in there.items() if data or path in was}
assert {path: there.get(path) for path in was} == was
assert set(there) - set(was) <= {Path(f"{folder}/records.sqlite-journal")}, set(there) - set(was)
"""
JOBS = (
    *("lock", "class", "hands", "device", "own sheet", "size sheet", "answers", "marks", "saved"),
    *("sheets", "laying", "hub class", "hub passwords"),
)


@pytest.mark.parametrize("trouble", ["read-only", "full"])
def test_each_writer_tells_one_clear_line_and_keeps_what_was_there(trouble):
    with tempfile.TemporaryDirectory() as around:
        folder = Path(around) / "mine"
        done = subprocess.run(
            [sys.executable, "-c", SCRIPT, trouble],
            cwd=ROOT,
            env=os.environ
            | {"PACKLEARN_FOLDER": str(folder), "PACKLEARN_HUB": str(folder / "hub")}
            | {"PYTHONPATH": str(ROOT)},
            capture_output=True,
            timeout=120,
            check=False,
        )
    said = done.stderr.decode()
    assert done.returncode == 0, said[-3000:]
    rows = [row[5:].split(" | ", 1) for row in said.splitlines() if row.startswith("TOLD ")]
    told = dict(rows)
    assert tuple(told) == JOBS
    for name, sentence in told.items():
        assert sentence != "written", name
        assert " // " not in sentence, name
        assert str(folder) in sentence, (name, sentence)
        assert 30 < len(sentence) < 400, (name, sentence)
        assert "Errno" not in sentence, (name, sentence)
