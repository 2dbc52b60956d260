"""Class and seat of a folder: who is asked, what a change of seat keeps, and who sees what."""

import json
import os
from pathlib import Path

import pytest

from packlearn import command
from packlearn._commands import lab
from packlearn.cells import cell
from packlearn.classroom import answer_files, collecting, marking, sitting
from packlearn.classroom.seats import first_variant
from packlearn.errors import BadFile, BadValue
from packlearn.packs import Pack
from packlearn.panels import base
from packlearn.panels.bench import Bench
from packlearn.panels.log import MyPredictions
from packlearn.panels.opening import Opening
from packlearn.panels.practice import Practise
from packlearn.panels.question import Question
from packlearn.panels.round import Round
from packlearn.panels.task_page import TaskPage
from packlearn.records import Prediction, Records
from packlearn.tasks import bank, checking
from packlearn.wiring import Wiring

PAGE = "predict-the-pack"
TASK = bank.page(PAGE).tasks[0]


def question(page=PAGE, task=TASK.id):
    return Question(page, task)


def answer(panel, typed=None, sure="think"):
    panel.answer.value = typed or checking.answer_in_words(panel.variant)
    panel.confidence.value = sure
    panel.lock.click()
    assert panel.errors == []


def take(opening, seat):
    opening.box.value = str(seat)
    opening.buttons["take"].click()
    assert opening.errors == []


def visible(opening):
    return {name for name, b in opening.buttons.items() if b.layout.display != "none"}


@pytest.fixture
def in_class():
    sitting.join("HEDGE7", 24)


# Where one sits


def test_who_learns_alone_is_not_asked():
    assert sitting.sitting() is None
    assert not sitting.needs_seat()
    assert base.seat() == ""
    opening = Opening(lesson=1)
    assert opening.seat_row.layout.display == "none"
    assert opening.where.layout.display == "none"
    panel = question()
    assert panel.number == 0
    answer(panel)
    assert Records.default().all()[0].locked.seat == ""


def test_a_class_is_kept_for_all_notebooks_of_the_folder(in_class):
    assert sitting.needs_seat()
    assert sitting.sit(" 7 ").text == base.seat() == "HEDGE7-07"
    assert sitting.join("hedge 7", 20).seat == 7
    assert sitting.join("HEDGE7", 6).seat == 0
    sitting.sit(3)
    assert sitting.join("BADGER").seat == 0
    kept = json.loads((Path(os.environ["PACKLEARN_FOLDER"]) / "class.json").read_text("utf-8"))
    assert kept == {
        "class": "BADGER", "seats": 40, "seat": 0, "shared": False, "start": "", "since": "",
    }  # fmt: skip
    sitting.leave()
    assert sitting.sitting() is None
    with pytest.raises(BadFile, match="--class"):
        sitting.sit(3)


def test_a_shared_computer_asks_at_each_start(monkeypatch):
    monkeypatch.setenv("PACKLEARN_STATION", "one")
    sitting.join("HEDGE7", 24, shared=True)
    sitting.sit(7)
    assert base.seat() == "HEDGE7-07"
    monkeypatch.setenv("PACKLEARN_STATION", "two")
    assert sitting.needs_seat()
    assert base.seat() == ""
    assert sitting.sitting().shared
    sitting.sit(8)
    assert base.seat() == "HEDGE7-08"


def test_a_class_server_says_class_and_seat(monkeypatch):
    monkeypatch.setenv("PACKLEARN_CLASS", "hedge 7")
    monkeypatch.setenv("PACKLEARN_SEATS", "24")
    assert sitting.sitting() == sitting.Sitting("HEDGE7", 24)
    sitting.sit(5)
    assert base.seat() == "HEDGE7-05"
    monkeypatch.setenv("PACKLEARN_SEAT", "9")
    assert sitting.sit(5).text == base.seat() == "HEDGE7-09"
    opening = Opening(lesson=1)
    assert "seat 9" in opening.where.value
    assert opening.seat_row.layout.display == "none"
    monkeypatch.setenv("PACKLEARN_SEAT", "25")
    with pytest.raises(BadValue, match="1 to 24"):
        base.seat()


@pytest.mark.parametrize(
    ("name", "value"),
    [("PACKLEARN_CLASS", "no code!"), ("PACKLEARN_SEATS", "500"), ("PACKLEARN_SEAT", "four")],
)
def test_what_cannot_be_in_the_environment_is_told_with_its_name(monkeypatch, name, value):
    monkeypatch.setenv("PACKLEARN_CLASS", "HEDGE7")
    monkeypatch.setenv(name, value)
    with pytest.raises(BadValue, match=f"^{name} is set .*Correct {name} or remove it") as caught:
        Opening(lesson=1)
    assert value in str(caught.value)
    # IPython asks an error for its traceback: a notebook shows the sentence alone.
    assert caught.value._render_traceback_() == [str(caught.value)]


DAMAGED = [
    b"",
    b"no json",
    b"[]",
    b"\xff\xfe",
    b"[" * 9000,
    b'{"class": "HEDGE7"}',
    b'{"class": 7, "seats": 24, "seat": 3, "shared": false, "start": "", "since": ""}',
    b'{"class": "HEDGE7", "seats": 24, "seat": 25, "shared": false, "start": "", "since": ""}',
    b'{"class": "HEDGE7", "seats": 24, "seat": [3], "shared": false, "start": "", "since": ""}',
    b'{"class": "HEDGE7", "seats": 24, "seat": 3, "shared": false, "start": "", "since": "noon"}',
    b'{"class": "HEDGE7", "seats": 24, "seat": 3, "shared": false, "start": "",'
    b' "since": "2026-03-01T12:00:00"}',
    b'{"class": "../../x", "seats": 24, "seat": 3, "shared": false, "start": "", "since": ""}',
]


@pytest.mark.parametrize("text", DAMAGED)
def test_a_damaged_file_is_no_class(text):
    path = Path(os.environ["PACKLEARN_FOLDER"]) / "class.json"
    path.parent.mkdir()
    path.write_bytes(text)
    assert sitting.sitting() is None
    assert sitting.join("HEDGE7").seat == 0


def test_a_class_that_cannot_be_kept_is_told(monkeypatch):
    Path(os.environ["PACKLEARN_FOLDER"]).write_bytes(b"")
    with pytest.raises(BadFile, match="cannot be kept"):
        sitting.join("HEDGE7")


# Choosing a seat on screen


def test_the_opening_asks_for_a_seat_once(in_class):
    opening = Opening(lesson=1)
    assert "Type the number of your seat" in opening.where.value
    assert visible(opening) == {"take"}
    opening.buttons["take"].click()
    assert "first" in opening.where.value
    take(opening, 25)
    assert "1 to 24" in opening.alert.value
    assert base.seat() == ""
    take(opening, 4)
    assert base.seat() == "HEDGE7-04"
    assert "now at seat 4" in opening.where.value
    assert visible(opening) == {"other"}
    again = Opening(lesson=2)
    assert "class HEDGE7, at seat 4" in again.where.value
    assert visible(again) == {"other"}
    again.buttons["other"].click()
    assert visible(again) == {"take", "keep"}
    again.buttons["keep"].click()
    assert base.seat() == "HEDGE7-04"


def test_hostile_text_in_the_box_for_the_seat_stays_text(in_class):
    opening = Opening(lesson=1)
    take(opening, "<img src=x onerror=alert(1)>")
    assert "<img" not in opening.alert.value
    assert "&lt;img" in opening.alert.value


def lock_elsewhere(attempt=1):
    Records(station="another computer").lock(
        Prediction(page=PAGE, task=TASK.id, variant=first_variant("HEDGE7", 4), attempt=attempt,
                   givens={}, typed="x", value=None, unit="", confidence="sure",
                   seat="HEDGE7-04")
    )  # fmt: skip


def test_a_seat_taken_elsewhere_meanwhile_is_asked_about_when_a_notebook_opens(in_class):
    lock_elsewhere()
    sitting.sit(4)
    # What was locked before the seat was taken here was asked about then.
    assert visible(Opening(lesson=1)) == {"other"}
    lock_elsewhere(attempt=2)
    opening = Opening(lesson=2)
    assert "Somebody at seat 4" in opening.where.value
    assert visible(opening) == {"go_on", "other"}
    opening.buttons["go_on"].click()
    assert base.seat() == "HEDGE7-04"
    assert visible(Opening(lesson=3)) == {"other"}
    assert opening.errors == []


def test_a_seat_in_use_elsewhere_is_asked_about(in_class):
    lock_elsewhere()
    opening = Opening(lesson=1)
    take(opening, 4)
    assert base.seat() == ""
    assert "Somebody at seat 4" in opening.where.value
    assert visible(opening) == {"go_on", "other"}
    opening.buttons["other"].click()
    assert base.seat() == ""
    take(opening, 5)
    assert base.seat() == "HEDGE7-05"
    opening.buttons["other"].click()
    take(opening, 4)
    opening.buttons["go_on"].click()
    assert base.seat() == "HEDGE7-04"
    # What this computer has locked in itself is no reason to ask.
    answer(question())
    opening.buttons["other"].click()
    take(opening, 5)
    opening.buttons["other"].click()
    assert base.seat() == "HEDGE7-05"


# Numbers of a seat


def test_each_seat_has_its_own_numbers(in_class):
    sitting.sit(4)
    panel = question()
    assert panel.number == first_variant("HEDGE7", 4)
    answer(panel)
    panel.say_what_i_saw("equal")
    panel.another.click()
    assert panel.number == first_variant("HEDGE7", 4) + 1
    assert question().number == first_variant("HEDGE7", 4)


def test_a_lessons_questions_begin_with_the_numbers_of_its_text(in_class):
    sitting.sit(4)
    task = bank.page("lesson-1").tasks[0]
    panel = question("lesson-1", task.id)
    assert panel.number == 0
    panel.next_variant()
    assert panel.number == first_variant("HEDGE7", 4)
    panel.next_variant()
    assert panel.number == first_variant("HEDGE7", 4) + 1


def test_nothing_is_locked_without_a_seat(in_class):
    panel = question()
    answer(panel, "3,3 V")
    assert Records.default().all() == []
    assert "Choose your seat first" in panel.status.value
    assert panel.answer.value == "3,3 V"


def test_a_teacher_needs_no_seat(in_class, monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    answer(question())
    assert [entry.locked.seat for entry in Records.default().all()] == [""]
    assert Opening(lesson=1).seat_row.layout.display == "none"


# A change of seat


def test_a_change_of_seat_loses_nothing_and_shows_only_ones_own(in_class):
    opening, panel, log = Opening(lesson=1), question(), MyPredictions()
    panel.answer.value, panel.confidence.value = "typed before", "guess"
    take(opening, 4)
    assert panel.number == first_variant("HEDGE7", 4)
    assert panel.answer.value == ""
    answer(panel, "77 V")
    assert "77 V" in panel.status.value
    panel.answer.value, panel.confidence.value = "of seat 4", "sure"
    opening.buttons["other"].click()
    take(opening, 5)
    assert panel.number == first_variant("HEDGE7", 5)
    assert (panel.answer.value, panel.confidence.value) == ("", None)
    assert "77 V" not in panel.status.value + log.table.value
    answer(panel, "88 V")
    log.buttons["refresh"].click()
    assert "88 V" in log.table.value
    assert "77 V" not in log.table.value
    opening.buttons["other"].click()
    take(opening, 4)
    assert "77 V" in panel.status.value
    assert "77 V" in log.table.value
    assert "88 V" not in panel.status.value + log.table.value
    assert (panel.answer.value, panel.confidence.value) == ("of seat 4", "sure")
    answer(panel, "66 V")
    assert [(e.locked.seat, e.locked.attempt) for e in Records.default().all()] == [
        ("HEDGE7-04", 1),
        ("HEDGE7-05", 1),
        ("HEDGE7-04", 2),
    ]


def test_deleting_takes_only_ones_own(in_class):
    sitting.sit(4)
    answer(question())
    sitting.sit(5)
    answer(question())
    log = MyPredictions()
    log.buttons["delete"].click()
    log.buttons["delete_sure"].click()
    assert [entry.locked.seat for entry in Records.default().all()] == ["HEDGE7-04"]


def test_a_change_in_another_notebook_is_noticed_before_locking(in_class):
    sitting.sit(4)
    panel = question()
    panel.answer.value, panel.confidence.value = "6,2 V", "think"
    # Another kernel: its panels are told, those here are not.
    sitting.sit(5)
    panel.lock.click()
    assert Records.default().all() == []
    assert "seat 5" in panel.status.value
    assert panel.number == first_variant("HEDGE7", 5)
    assert panel.answer.value == "6,2 V"
    answer(panel)
    assert [entry.locked.seat for entry in Records.default().all()] == ["HEDGE7-05"]


def test_rounds_pages_and_practice_follow(in_class):
    sitting.sit(4)
    page = bank.page("lesson-1")
    around = Round("lesson-1", page.rounds[0].id)
    tasks, practise = TaskPage(PAGE), Practise()
    for each in around.questions:
        answer(each)
        if each.phase == "look":
            each.say_what_i_saw("equal")
    tasks.go(1)
    answer(tasks.question(1))
    sitting.sit(5)
    base.seat_changed()
    assert all(not each.entries for each in around.questions)
    assert around.place == 0
    assert tasks.place == 0
    assert practise.seat == "HEDGE7-05"
    assert practise.question.seat == "HEDGE7-05"
    sitting.sit(4)
    base.seat_changed()
    assert around.place == around.last or not around.all_done
    assert all(each.entries for each in around.questions)
    assert tasks.place == 1
    for panel in (around, tasks, practise, *around.questions):
        assert panel.errors == []


def test_a_bench_is_a_seats_own(in_class):
    sitting.sit(4)
    bench = Bench(Wiring.of(Pack(cell("nimh-aa"), 2, 1)), name="seat-test")
    whole = len(bench.wiring.links)
    for contact in bench.wiring.links[0].ends:
        bench.contacts.buttons[str(contact)].click()
    bench.buttons["part"].click()
    assert len(bench.wiring.links) == whole - 1
    sitting.sit(5)
    base.seat_changed()
    assert len(bench.wiring.links) == whole
    sitting.sit(4)
    base.seat_changed()
    assert len(bench.wiring.links) == whole - 1
    assert bench.errors == []


# Handing in


def test_one_button_saves_the_answer_file(in_class, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    log = MyPredictions()
    log.buttons["hand_in"].click()
    assert "Choose your seat first" in log.said.value
    sitting.sit(4)
    answer(question())
    log.buttons["hand_in"].click()
    assert "answers-HEDGE7-04.jsonl" in log.said.value
    file = answer_files.read((tmp_path / "answers-HEDGE7-04.jsonl").read_bytes())
    assert (file.code, file.seat, len(file.answers)) == ("HEDGE7", 4, 1)
    marks = marking.mark("HEDGE7", 24, collecting.collect(tmp_path))
    assert [each.right for each in marks.questions] == [True]
    assert log.errors == []


# The command


def test_the_command_puts_the_folder_into_a_class(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(os, "environ", dict(os.environ))
    starts = []

    def jupyterlab():
        return lambda argv: starts.append((sitting.sitting(), os.environ["PACKLEARN_STATION"]))

    monkeypatch.setattr(lab, "_jupyterlab", jupyterlab)
    monkeypatch.setattr(lab.laying, "trust", lambda *_: None)
    folder = ["--folder", str(tmp_path / "mine"), "--no-browser"]
    assert command.main([*folder, "--class", "hedge 7", "--seats", "24"]) == 0
    sitting.sit(7)
    del os.environ["PACKLEARN_STATION"]
    assert command.main(folder) == 0
    assert command.main([*folder, "--class", "HEDGE7", "--shared"]) == 0
    del os.environ["PACKLEARN_STATION"]
    assert command.main(folder) == 0
    assert command.main([*folder, "--alone"]) == 0
    where = [found for found, _ in starts]
    assert where[0] == sitting.Sitting("HEDGE7", 24)
    assert where[1] == sitting.Sitting("HEDGE7", 24, 7)
    assert where[2].shared
    assert where[3] == sitting.Sitting("HEDGE7", 40, 0, shared=True)
    assert where[4] is None
    # A computer of one's own stays the same; on a shared one each start is another.
    stations = [station for _, station in starts]
    assert stations[0] == stations[1] == stations[2]
    assert stations[3] != stations[2]
    before = sorted(tmp_path.rglob("*"))
    for wrong in (["--class", "HEDGE0"], ["--class", "HEDGE7", "--seats", "99"]):
        assert command.main(["--folder", str(tmp_path / "other"), *wrong]) == 2
    assert sorted(tmp_path.rglob("*")) == before
    assert "class code" in capsys.readouterr().err
