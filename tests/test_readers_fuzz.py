"""Texts and files from anywhere: no reader of the library and of the command fails or hangs.

Inputs are near to good ones: a good text with pieces cut out, put in or turned, or any signs. What
may come back is the reader's result or a ``PackError``; nothing that was there is changed. The
long set takes 100 000 inputs; ``test_classroom_fuzz.py`` has those of a class.
"""

import contextlib
import io
import os
import random
from pathlib import Path

import pytest

from packlearn import command, places, words
from packlearn.cells import cell, read_cells
from packlearn.classroom import sitting
from packlearn.errors import BadFile, PackError
from packlearn.packs import Pack
from packlearn.panels.bench_keeping import BenchFile, BenchState, LineFile
from packlearn.quantities import KINDS, read, read_name
from packlearn.records import Prediction, Records
from packlearn.tasks import bank, preview
from packlearn.wiring import Wiring
from packlearn.wiring_text import from_text, to_text
from tests.random_input import Dice

WIRING = Wiring.of(Pack(cell("nimh-aa"), 3, 2))
TYPED = ("6,2 V", "5S3P", "1900 mAh", "9 h 30 min", "1:30 h", "C/5", "1,900", "٣ V", "½ A", "-0 V")
CELLS = """[my-cell]
title = "My cell"
chemistry = "NiMH"
size = "AA"
nominal_voltage_v = 1.2
capacity_ah = 1.9
current_limit_a = 3.8
resistance_ohm = 0.03
"""
OWN = (places.exercises_folder() / "guides").glob("*.toml")
OWN_FILES = [path.read_bytes() for path in sorted(OWN)]
WORD_FILES = sorted((places.PACKAGE / "data" / "words" / "en").glob("*.toml"))


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A learner's folder with something in it."""
    made = tmp_path / "own"
    made.mkdir()
    monkeypatch.setenv("PACKLEARN_FOLDER", str(made))
    Records(made / "records.sqlite").lock(
        Prediction(page="p", task="t", variant=1, attempt=1, givens={}, typed="6 V", value=6.0,
                   unit="V", confidence="sure")
    )  # fmt: skip
    (tmp_path / "other").mkdir()
    return made


def everything(folder):
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def tried(job, *args):
    """What comes of a job; a refusal is a short sentence in words, never anything else."""
    try:
        return job(*args)
    except PackError as trouble:
        told = str(trouble)
    assert 0 < len(told) < 2500
    return None


def near(dice, good):
    """Text near to a good one, or any signs."""
    if dice.random() < 0.2:
        return dice.text(80)
    return dice.spoiled(good.encode()).decode("utf-8", "replace")


# One input of each sort, and what is seen of it.


def see_quantity(dice, _):
    text = dice.choice((dice.choice(TYPED) + dice.text(3), dice.text(), near(dice, "6,2 V")))
    unit = dice.choice(list(KINDS))
    reading = tried(read, text, unit)
    assert reading is None or abs(reading.value) <= 1e16
    name = tried(read_name, dice.choice((text, near(dice, "5S3P"))))
    assert name is None or all(1 <= count <= 999 for count in name)


def see_wiring(dice, _):
    found = tried(from_text, near(dice, to_text(WIRING)))
    assert found is None or tried(from_text, to_text(found)) == found


def see_bench(dice, folder):
    bench = BenchFile("fuzz", WIRING)
    bench.path.parent.mkdir(exist_ok=True)
    bench.path.write_bytes(dice.spoiled(BenchState(WIRING, load="10 ohm").text().encode()))
    was = bench.path.read_bytes()
    state, told = bench.read()
    assert (state is None) == bool(told)
    # Put aside and not lost.
    kept = [path for path in bench.path.parent.iterdir() if path.read_bytes() == was]
    assert len(kept) == 1
    line = LineFile("line")
    line.path.write_bytes(dice.spoiled(b"3A+/1A-"))
    assert isinstance(line.read(), str)
    for path in bench.path.parent.iterdir():
        path.unlink()
    bench.path.parent.rmdir()


def see_own_tasks(dice, folder):
    path = folder.parent / "other" / "mine.toml"
    path.write_bytes(dice.spoiled(dice.choice(OWN_FILES)[: dice.choice((600, 1500, 6000))]))
    troubles = bank.troubles(path)
    assert all(0 < len(str(trouble)) < 3000 for trouble in troubles)
    if not troubles:
        page = tried(bank.read_page, path)
        assert page.tasks
        for trouble in preview.troubles(path, 2):
            assert str(trouble)


def see_cells(dice, folder):
    path = folder.parent / "other" / "cells.toml"
    path.write_bytes(dice.spoiled(CELLS.encode()))
    found = tried(read_cells, path)
    assert found is None or all(each.capacity_ah > 0 for each in found.values())


def see_records(dice, folder):
    good = (folder / "records.sqlite").read_bytes()
    path = folder.parent / "other" / "records.sqlite"
    path.write_bytes(dice.spoiled(good))
    was = path.read_bytes()
    records = Records(path, patience_s=0.05)
    for look in (records.all, records.traces, lambda: records.find("p", "t")):
        tried(look)
    buffer = io.StringIO()
    tried(records.export_csv, buffer)
    # Looking changes nothing of a file that cannot be read; a whole one may get its journal.
    assert path.read_bytes() == was or tried(records.all) is not None
    for each in path.parent.iterdir():
        each.unlink()


def see_texts(dice, folder):
    source = dice.choice(WORD_FILES)
    home = folder.parent / "other" / "words"
    home.mkdir(exist_ok=True)
    (home / source.name).write_bytes(dice.spoiled(source.read_bytes()))
    os.environ["PACKLEARN_TEXTS"] = str(home.parent)
    words._file.cache_clear()
    try:
        mine = words._file(source.stem)
    finally:
        del os.environ["PACKLEARN_TEXTS"]
        words._file.cache_clear()
    see_same_form(mine, words._file(source.stem))
    (home / source.name).unlink()


def see_same_form(mine, shipped):
    """Each text is there, and can be filled in with what the English one is filled in with."""
    assert type(mine) is type(shipped)
    if isinstance(shipped, dict):
        assert set(mine) == set(shipped)
        for key, each in shipped.items():
            see_same_form(mine[key], each)
    elif isinstance(shipped, list):
        assert len(mine) == len(shipped)
        for pair in zip(mine, shipped, strict=True):
            see_same_form(*pair)
    elif isinstance(shipped, str) and mine != shipped:
        assert set(words._fields(mine)) <= set(words._fields(shipped))


SETTINGS = ("CLASS", "SEATS", "SEAT", "FOLDER", "TEXTS", "MODE", "STATION")


def see_settings(dice, folder):
    before = dict(os.environ)
    good = ("HEDGE7", "24", "4", str(folder), "teach", "~nobody/x", "x" * 300, "/" + "y" * 1500)
    for name in SETTINGS:
        text = (
            dice.choice((*good, dice.text())).replace("\0", "").encode("utf-8", "replace").decode()
        )
        os.environ[f"PACKLEARN_{name}"] = text
    try:
        tried(sitting.sitting)
        tried(sitting.seat_of_records)
        tried(lambda: Records.default().all())
        assert words.say("quantities.empty", value="", limit="6 V")
        tried(bank.own_pages)
    finally:
        os.environ.clear()
        os.environ.update(before)


WORDS = (
    "size", "tasks", "sheets", "answers", "check", "predict-the-pack", "--class", "HEDGE7", "--to",
    "--seats", "24", "--lowest", "5 V", "--highest", "9 V", "--current", "0.6 A", "--hours", "9 h",
    "--task", "--asked", "--variants", "1", "--paper", "letter", "--count", "-1", "--help", "--",
    "--separator", "tab", "nan", "1e999", "", "../..", "--cell", "nimh-aa", "--no-such", "-h",
)  # fmt: skip
# Those that open something, or write where the tests do not look.
NOT_TRIED = ("sheets", "learn", "teach", "hub")


def see_command(dice, folder):
    part = dice.choice(("size", "tasks", "answers", "check", dice.text(6) or "x"))
    argv = [part, *(dice.choice((*WORDS, dice.text(8))) for _ in range(dice.randrange(7)))]
    if part in ("size", "answers") and dice.random() < 0.5:
        argv += ["--class", "HEDGE7", str(folder.parent / "other")] if part == "answers" else []
    if argv[0].startswith("-") or argv[0] in NOT_TRIED:
        argv[0] = "tasks"
    out, said = io.StringIO(), io.StringIO()
    home = os.getcwd()
    os.chdir(folder.parent / "other")
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(said):
            code = command.main(argv)
    except SystemExit as end:
        code = end.code
    finally:
        os.chdir(home)
    assert code in (0, 1, 2, None)
    assert out.getvalue() or said.getvalue()


# Sort of input: how many in the quick set and in the long one.
SORTS = {
    see_quantity: (1500, 60_000),
    see_wiring: (250, 15_000),
    see_bench: (120, 8000),
    see_own_tasks: (60, 5000),
    see_cells: (250, 8000),
    see_records: (40, 700),
    see_texts: (40, 2000),
    see_settings: (150, 6000),
    see_command: (60, 3000),
}


def run(see, folder, seeds):
    before, seen = everything(folder), 0
    for seed in seeds:
        see(Dice(f"{see.__name__} {seed}"), folder)
        seen += 1
    assert everything(folder) == before
    return seen


@pytest.mark.parametrize("see", SORTS, ids=lambda see: see.__name__.removeprefix("see_"))
def test_readers_stand_what_comes(see, folder):
    quick = SORTS[see][0]
    assert run(see, folder, range(quick)) == quick


@pytest.mark.long
@pytest.mark.parametrize("see", SORTS, ids=lambda see: see.__name__.removeprefix("see_"))
def test_readers_stand_far_more(see, folder):
    quick, long = SORTS[see]
    assert run(see, folder, range(quick, quick + long)) == long
    assert sum(more for _, more in SORTS.values()) >= 100_000


def test_a_reader_that_fails_would_be_seen(folder):
    def see_fail(dice, _):
        assert random.Random(dice.random()).random() < 0.99

    with pytest.raises(AssertionError):
        run(see_fail, folder, range(2000))


def test_a_change_of_what_was_there_would_be_seen(folder):
    def see_write(_, where):
        Path(where, "records.sqlite").write_bytes(b"")

    with pytest.raises(AssertionError):
        run(see_write, folder, range(1))


def test_a_file_of_cells_is_bounded(tmp_path):
    path = tmp_path / "cells.toml"
    path.write_text(CELLS + "#" * 1_000_000, encoding="utf-8")
    with pytest.raises(BadFile, match="1000 kB"):
        read_cells(path)
    with pytest.raises(BadFile, match="cannot be read|is not there|no file"):
        read_cells("a\0b")


def test_a_second_set_gives_what_it_has_in_the_form_of_the_english_one():
    shipped = {"a": "one {value}", "b": ["x", "y"], "c": {"d": "deep"}, "e": 3, "f": "plain"}
    own = {
        "a": "eins {value}", "b": ["nur eins"], "c": "flach", "e": "drei", "f": "{x}", "g": "mehr",
    }  # fmt: skip
    assert words._laid_over(shipped, own) == shipped | {"a": "eins {value}"}
    assert words._laid_over(shipped, {"b": ["p", "q"], "c": {"d": "tief"}}) == shipped | {
        "b": ["p", "q"],
        "c": {"d": "tief"},
    }
    for hostile in ("{value.__class__}", "{value:>999999999}", "{value!r}", "{", "{value", "  "):
        assert words._laid_over(shipped, {"a": hostile}) == shipped
