"""``packlearn records``: what one seat locked in is shown, saved and deleted; others stay."""

import json

import pytest

from packlearn import command
from packlearn.panels import Opening
from packlearn.places import learner_folder
from packlearn.records import Records
from tests.predictions import prediction

SEATS = ("HEDGE7-01", "HEDGE7-02", "")


def fill(records):
    for seat in SEATS:
        locked = records.lock(prediction(seat=seat))
        records.settle(locked.id, "right", right=True)


def left(records):
    return sorted(entry.locked.seat for entry in records.all())


@pytest.fixture(params=["sqlite", "postgres"])
def records(request, monkeypatch):
    """Records in a file, and on a server."""
    if request.param == "postgres":
        server = request.getfixturevalue("postgres")
        if not server.running():
            server.start()
        monkeypatch.setenv("PACKLEARN_RECORDS", server.new_database())
    found = Records.default()
    fill(found)
    return found


def test_one_seat_is_saved_then_deleted_and_others_stay(records, tmp_path, capsys):
    folder = tmp_path / "saved"
    of_seat = ["records", "--class", "hedge7", "--seat", "2"]
    assert command.main([*of_seat, "--save", str(folder), "--delete", "--yes"]) == 0
    said = capsys.readouterr().out
    assert "seat HEDGE7-02: 1" in said
    assert str(folder) in said
    assert "1 in all" in said
    assert left(records) == ["", "HEDGE7-01"]
    table = (folder / "predictions-HEDGE7-02.csv").read_text(encoding="utf-8-sig")
    assert len(table.splitlines()) == 2
    assert "6,2 V" in table
    lines = (folder / "answers-HEDGE7-02.jsonl").read_text(encoding="utf-8").splitlines()
    assert json.loads(lines[0])["seat"] == 2
    assert json.loads(lines[-1]) == {"answers": 1}
    assert command.main(of_seat) == 0
    assert "seat HEDGE7-02: 0" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("typed", "gone"), [("yes", True), ("Y", True), ("no", False), ("", False)]
)
def test_who_learns_alone_is_asked_before_anything_is_deleted(typed, gone, monkeypatch, capsys):
    records = Records.default()
    fill(records)
    asked = []
    monkeypatch.setattr("builtins.input", lambda text: asked.append(text) or typed)
    assert command.main(["records", "--delete"]) == 0
    assert "There are 1." in asked[0]
    assert left(records) == (["HEDGE7-01", "HEDGE7-02"] if gone else sorted(SEATS))
    assert ("Nothing was deleted" in capsys.readouterr().out) is not gone


def test_without_anybody_to_answer_nothing_is_deleted(monkeypatch):
    records = Records.default()
    fill(records)

    def ends(_):
        raise EOFError

    monkeypatch.setattr("builtins.input", ends)
    assert command.main(["records", "--delete"]) == 0
    assert left(records) == sorted(SEATS)


def test_what_cannot_be_saved_is_not_deleted(tmp_path, capsys):
    records = Records.default()
    fill(records)
    (tmp_path / "taken").write_text("kept")
    assert command.main(["records", "--save", str(tmp_path / "taken"), "--delete", "--yes"]) == 2
    assert "taken" in capsys.readouterr().err
    assert left(records) == sorted(SEATS)
    assert (tmp_path / "taken").read_text() == "kept"


@pytest.mark.parametrize(
    ("options", "piece"),
    [
        (["--seat", "4"], "needs both"),
        (["--class", "HEDGE7"], "needs both"),
        (["--class", "HEDGE7", "--seat", "41"], "41"),
    ],
)
def test_half_a_seat_and_none_are_told(options, piece, capsys):
    assert command.main(["records", *options, "--delete", "--yes"]) == 2
    assert piece in capsys.readouterr().err


def test_on_a_hub_nobody_reaches_another_seat(monkeypatch, capsys):
    records = Records.default()
    fill(records)
    for name, value in {"CLASS": "HEDGE7", "SEATS": "24", "SEAT": "1"}.items():
        monkeypatch.setenv(f"PACKLEARN_{name}", value)
    other = ["records", "--class", "HEDGE7", "--seat", "2", "--delete", "--yes"]
    assert command.main(other) == 2
    assert "HEDGE7-02 is not yours" in capsys.readouterr().err
    assert left(records) == sorted(SEATS)
    assert command.main(["records", "--delete", "--yes"]) == 0
    assert left(records) == ["", "HEDGE7-02"]


def test_in_a_class_without_a_seat_it_asks_for_one(monkeypatch, capsys):
    monkeypatch.setenv("PACKLEARN_CLASS", "HEDGE7")
    assert command.main(["records", "--delete", "--yes"]) == 2
    assert "no seat is chosen" in capsys.readouterr().err


def test_the_page_says_truly_where_things_are_kept(tmp_path, monkeypatch):
    own, other = learner_folder() / "records.sqlite", tmp_path / "network" / "shared.sqlite"
    other.parent.mkdir()
    assert "goes nowhere else" in Opening(lesson=1).line.value
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///{own}")
    assert "goes nowhere else" in Opening().line.value
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///{other}")
    for opening in (Opening(lesson=1), Opening()):
        assert "nowhere else" not in opening.line.value
        assert "shared.sqlite, the file that PACKLEARN_RECORDS names" in opening.line.value
