"""Readings of a fault task that were taken but not locked in outlive a restart."""

import pytest

from packlearn.panels import Question, work
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
