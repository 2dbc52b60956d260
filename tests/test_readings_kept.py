"""Readings of a fault task that were taken but not locked in outlive a restart."""

import pytest

from packlearn.panels import MyPredictions, Question, bench_of, work
from packlearn.places import exercises_folder, learner_folder
from packlearn.words import say

TASK = ("find-the-fault", "fault-of-three")
POINTS = [("red", "black", False), ("red", "1A+", True)]


def measured(*points):
    """A question at which readings were taken."""
    question = Question(*TASK)
    for point in points:
        box = question.answer
        box.red.value, box.black.value, box.load.value = point
        box.take()
    return question


def test_readings_come_back_after_a_restart_until_they_are_forgotten():
    measured(*POINTS)
    again = Question(*TASK).answer
    assert (again.taken, again.fault.value, again.errors) == (POINTS, None, [])
    assert say("panels.work.shown") in again.table.value
    again.forget()
    assert Question(*TASK).answer.taken == []
    # No fault is chosen yet, and the list says so.
    assert (again.fault.index, again.fault.label) == (0, say("panels.work.choose"))


def test_readings_of_other_seats_and_other_numbers_are_others(monkeypatch):
    question = measured(*POINTS)
    question.next_variant()
    assert question.answer.taken == []
    monkeypatch.setattr(work.base, "seat", lambda: "otter")
    assert measured().answer.taken == []


@pytest.mark.parametrize("text", [b"- 9Z+/red\n", b"\xff\xfe", b"nonsense", b""])
def test_kept_readings_that_cannot_be_read_are_none(text):
    path = measured(*POINTS).answer.file.path
    path.write_bytes(text)
    assert measured(POINTS[0]).answer.taken == POINTS[:1]


def test_a_folder_that_takes_no_file_is_told_and_one_measures_on(tmp_path, monkeypatch):
    blocked = tmp_path / "blocked"
    blocked.write_text("")
    monkeypatch.setattr("packlearn.panels.bench_keeping.learner_folder", lambda: blocked)
    box = measured(POINTS[0]).answer
    assert box.taken == POINTS[:1]
    assert "cannot be kept" in box.alert.value


# Deleting all.


@pytest.fixture
def folder(own_folder):
    made = learner_folder()
    made.mkdir(parents=True, exist_ok=True)
    return made


def delete_all():
    panel = MyPredictions()
    panel.buttons["delete"].click()
    panel.buttons["delete_sure"].click()
    assert (panel.errors, panel.alert.value) == ([], "")


def wired():
    """A task in which two contacts were joined."""
    question = Question("wiring-names", "wire-the-name")
    for contact in ("1A+", "2A-"):
        question.answer.bench.choose(contact)
    question.answer.bench.press("join")
    return question


def test_delete_all_forgets_what_was_wired_and_measured_for_tasks(folder):
    measured(*POINTS)
    assert wired().answer.value
    assert len(list((folder / "benches").iterdir())) == 2
    (damaged,) = (folder / "benches").glob("*.json")
    damaged.with_suffix(".damaged-1").write_text("what was put aside")
    delete_all()
    assert list((folder / "benches").iterdir()) == []
    assert Question(*TASK).answer.taken == []
    assert Question("wiring-names", "wire-the-name").answer.value == ""


def test_delete_all_leaves_benches_of_lessons_and_of_other_seats(folder, monkeypatch):
    bench_of("row", 6).press("anew")
    bench_of("wiring-names-2", 6).press("anew")
    measured(*POINTS)
    wired()
    seatless = set((folder / "benches").iterdir())
    assert len(seatless) == 4
    monkeypatch.setenv("PACKLEARN_SEAT", "otter")
    measured(*POINTS)
    wired()
    assert len(list((folder / "benches").iterdir())) == 6
    delete_all()
    assert set((folder / "benches").iterdir()) == seatless
    measured(*POINTS)
    monkeypatch.delenv("PACKLEARN_SEAT")
    delete_all()
    left = sorted(path.name.rpartition("-")[0] for path in (folder / "benches").iterdir())
    assert [name for name in left if not name.startswith("find")] == ["row", "wiring-names-2"]
    assert len(left) == 3


def test_a_kept_file_that_cannot_be_deleted_is_told(folder, monkeypatch):
    measured(*POINTS)

    def refuse(self, **_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.unlink", refuse)
    panel = MyPredictions()
    panel.delete()
    assert panel.errors == []
    assert "Permission denied" in panel.alert.value


def test_work_on_a_page_of_ones_own_is_kept_and_forgotten(folder):
    (folder / "own-tasks").mkdir()
    text = (exercises_folder() / "wiring-names.toml").read_text(encoding="utf-8")
    (folder / "own-tasks" / "Ours, new.toml").write_text(text, encoding="utf-8")
    (folder / "own-tasks" / "broken.toml").write_text("[page", encoding="utf-8")
    question = Question("own/Ours, new", "wire-the-name")
    for contact in ("1A+", "2A-"):
        question.answer.bench.choose(contact)
    question.answer.bench.press("join")
    assert Question("own/Ours, new", "wire-the-name").answer.value
    delete_all()
    assert Question("own/Ours, new", "wire-the-name").answer.value == ""
