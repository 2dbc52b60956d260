"""Files beside the records: a process killed while it writes, a disk that takes no more."""

import os

import pytest
from test_records_kept import START, run

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs the signals of POSIX")

MORE = (
    START
    + """
import json, time
from packlearn import laying
from packlearn.cells import cell
from packlearn.classroom import mark_sheets, marking
from packlearn.packs import Pack
from packlearn.panels.bench_keeping import BenchFile, BenchState, LineFile
from packlearn.places import write_whole
from packlearn.sheets import around, printing
from packlearn.wiring import Wiring
wiring = Wiring.of(Pack(cell("nimh-aa"), 3, 2))
records = Records(folder / "records.sqlite")
answers, table, marks = folder / "answers.jsonl", folder / "mine.csv", folder / "marks"
bench, line = BenchFile("kept", wiring), LineFile("line")
notebooks = dict(list(laying.shipped("teach").items())[:3])

def write(number):
    # Longer and longer, so that an old end behind a new beginning would be seen.
    bench.write(BenchState(wiring, load=f"{number} ohm"))
    line.write(f"3A+/1A- {number}")
    sitting.join("HEDGE7", 24)
    sitting.sit(1 + number % 24)
    answer_files.save(records, "HEDGE7-04", answers)
    records.export_csv(table)
    mark_sheets.write(marking.Marks("HEDGE7", 24, files=number), marks)
    write_whole(folder / "seats.html", around.seat_list("HEDGE7", 1 + number % 40).encode())
    laying.lay(notebooks, folder)

def see():
    state, told = bench.read()
    assert told == "" and state.load.endswith(" ohm")
    assert line.read().startswith("3A+/1A- ")
    where = sitting.sitting()
    assert (where.code, where.seats) == ("HEDGE7", 24) and 0 <= where.seat <= 24
    read = answer_files.read(answers.read_bytes())
    assert len(read.answers) == 40 and not read.cut and not read.unread
    assert table.read_text("utf-8-sig").count("\\n") == 41
    for name in ("summary.html", "summary.txt", "marks.csv", "answers.csv"):
        assert (marks / name).read_bytes().endswith(b"\\n")
    assert (folder / "seats.html").read_text().endswith("</html>\\n")
    for name, source in notebooks.items():
        assert (folder / name).read_bytes() == source.read_bytes()
    assert len(records.all()) == 40

for variant in range(40):
    records.lock(prediction(variant))
write(0)
see()
"""
)

KILLED = (
    MORE
    + """
rounds, dice, done = int(sys.argv[1]), random.Random(11), 0
for turn in range(rounds):
    mine, its = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            number = 0
            while True:
                number += 1
                os.write(its, b".")
                write(number)
        finally:
            os._exit(1)
    os.close(its)
    os.read(mine, 1)
    # Anywhere within the first writes.
    time.sleep(dice.random() * 0.06)
    os.kill(child, signal.SIGKILL)
    status = os.waitpid(child, 0)[1]
    assert os.WIFSIGNALED(status), status
    os.close(mine)
    see()
    done += 1
write(3)
see()
print("kept", done)
"""
)


@pytest.mark.parametrize("rounds", [10, pytest.param(200, marks=pytest.mark.long)])
def test_killed_while_writing_each_file_is_the_old_or_the_new_one(rounds):
    assert int(run(KILLED, rounds).split()[-1]) == rounds


FULL = (
    MORE
    + """
import argparse, resource
from packlearn._commands import sheets as sheets_command
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
out = folder / "sheets"
words = dict(what="formulas", to=str(out), paper="a4", code="HEDGE7", seats=3)
sheets_command.run(argparse.Namespace(**words))
kept = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
# No file may grow beyond a few bytes: the nearest to a full disk that any user can make.
jobs = {
    "bench": lambda: bench.write(BenchState(wiring, load="99 ohm")),
    "line": lambda: line.write("x" * 200),
    "class": lambda: sitting.sit(20),
    "answers": lambda: answer_files.save(records, "HEDGE7-04", answers),
    "table": lambda: records.export_csv(table),
    "marks": lambda: mark_sheets.write(marking.Marks("HEDGE7", 24), marks),
    "sheets": lambda: sheets_command.run(argparse.Namespace(**words)),
    "pdf": lambda: printing.pdf(around.before(), out / "formulas.pdf"),
    "laying": lambda: laying.lay(laying.shipped("learn"), folder),
}
for name, job in jobs.items():
    resource.setrlimit(resource.RLIMIT_FSIZE, (20, resource.RLIM_INFINITY))
    try:
        job()
        told = "written"
    except PackError as trouble:
        told = str(trouble)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY,) * 2)
    print("TOLD", name, told)
there = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
assert there == kept, sorted(set(there) ^ set(kept)) or [p for p in kept if kept[p] != there[p]]
see()
"""
)


def test_a_full_disk_is_told_for_every_file_and_keeps_what_was_there():
    said = run(FULL)
    told = dict(row.split(" ", 2)[1:] for row in said.splitlines() if row.startswith("TOLD "))
    assert set(told) == {
        "bench", "line", "class", "answers", "table", "marks", "sheets", "pdf", "laying",
    }  # fmt: skip
    for name, sentence in told.items():
        assert sentence != "written", name
        assert 30 < len(sentence) < 500
        assert "Errno" not in sentence
