"""Practise on screen: what is due, why this task, what comes after; all from the records."""

from datetime import UTC, datetime, timedelta

import pytest
from test_questions import lock, on_show, right_text, seen, texts, wrong_text

from packlearn import panels
from packlearn.classroom.seats import first_variant_of
from packlearn.panels import faded
from packlearn.panels.base import escape
from packlearn.panels.progress import state_of
from packlearn.practice import Practice
from packlearn.records import Records
from packlearn.tasks import checking
from packlearn.tasks.examples import example
from packlearn.tasks.skills import skills
from packlearn.words import say, word


def later(days):
    """A clock that is so many days ahead."""
    return lambda: datetime.now(UTC) + timedelta(days=days)


def do(panel, right=True, sure="think"):
    """Answer the task on show to its end."""
    question = panel.question
    while question.phase == "open":
        text = right_text(question.variant) if right else wrong_text(question.variant)
        lock(question, text, sure)
    if question.phase == "look":
        question.saw[1].click()
    assert (panel.errors, panel.alert.value) == ([], "")
    return panel


def to_one_with_an_example(panel):
    """Go on, rightly, to a skill that has a worked example."""
    while example(panel.next.skill) is None:
        do(panel).onward.click()
    return panel


def shown(part):
    return part.layout.display != "none"


def why(panel):
    title = word(f"skills.{panel.next.skill}.title")
    return say("practice.this_one", title=title, why=say(f"practice.why.{panel.next.reason}"))


def test_it_opens_with_the_first_task_and_says_how_it_goes():
    panel = panels.Practise()
    assert say("practice.nothing_yet") in seen(panel)
    assert say("practice.rules") in seen(panel)
    assert why(panel) in seen(panel)
    assert panel.stage.children == (panel.question,)
    assert not shown(panel.onward)
    assert not shown(panel.show_how)


def test_after_a_task_one_goes_on_to_the_next():
    panel = do(panels.Practise())
    first = panel.question
    assert shown(panel.onward)
    assert not shown(panel.show_how)
    assert not shown(first.another_row)
    panel.onward.click()
    assert panel.question is not first
    assert panel.question.phase == "open"
    assert not shown(panel.onward)


def test_while_one_says_what_one_saw_there_is_no_way_on():
    panel = panels.Practise()
    lock(panel.question, right_text(panel.question.variant))
    assert panel.question.phase == "look"
    assert not shown(panel.onward)
    again = panels.Practise()
    assert (again.question.task, again.question.phase) == (panel.question.task, "look")


def test_a_restarted_kernel_shows_the_same_open_question():
    panel = panels.Practise()
    lock(panel.question, wrong_text(panel.question.variant))
    assert panel.question.phase == "open"
    again = panels.Practise()
    assert again.question.variant.givens == panel.question.variant.givens
    assert again.next.reason == "begun"
    assert len(again.question.entries) == 1
    assert say("panels.try_left") in seen(again)
    # Not even begun, it is the same too.
    do(again, right=True).onward.click()
    assert panels.Practise().next == again.next


def test_two_kernels_on_the_same_records_go_on_with_one_another():
    one, other = panels.Practise(), panels.Practise()
    assert one.next == other.next
    do(one).onward.click()
    other.question.confidence.value = "think"
    other.question.answer.value = wrong_text(other.question.variant)
    other.question.lock.click()
    # What the first one locked in stands.
    assert "locked" in other.question.alert.value
    if other.question.phase == "look":
        other.question.saw[1].click()
    other.onward.click()
    assert other.next == one.next


def test_what_was_sure_and_wrong_comes_back_first_with_other_numbers():
    panel = do(panels.Practise())
    panel.onward.click()
    skill = panel.next.skill
    do(panel, right=False, sure="sure")
    before = panel.question.variant
    tomorrow = panels.Practise(later(3))
    assert (tomorrow.next.skill, tomorrow.next.reason) == (skill, "sure_wrong")
    assert say("practice.why.sure_wrong") in seen(tomorrow)
    now = tomorrow.question.variant
    assert (now.task, now.givens) != (before.task, before.givens)
    assert say("practice.due", titles=word(f"skills.{skill}.title")) in seen(tomorrow)


def test_many_that_are_due_are_told_in_short():
    panel = panels.Practise()
    for _ in range(16):
        do(panel, right=False)
        panel.onward.click()
    told = " ".join(texts([panels.Practise(later(2)).due]))
    assert say("practice.due_more", count=2) in told
    assert say("practice.due_most", left=4) in told


def test_a_missed_skill_offers_its_worked_example():
    panel = do(to_one_with_an_example(panels.Practise()), right=False)
    assert shown(panel.show_how)
    panel.show_how.click()
    assert panel.faded in panel.stage.children
    assert panel.faded.example.skill == panel.next.skill
    assert not shown(panel.show_how)
    assert shown(panel.onward)
    assert panel.onward.description == say("practice.leave")
    panel.onward.click()
    assert panel.onward.description == say("practice.next")
    assert panel.stage.children == (panel.question,)
    assert panel.errors == []


def test_the_worked_example_is_not_there_while_the_question_is_open():
    panel = do(panels.Practise(), right=False)
    again = panels.Practise(later(1))
    assert again.next.skill == panel.next.skill
    assert again.next.reason == "missed"
    assert not shown(again.show_how)


def test_progress_is_folded_and_tells_what_was_locked_in():
    panel = do(panels.Practise())
    assert not shown(panel.progress)
    panel.fold.click()
    assert shown(panel.progress)
    assert panel.fold.description == say("practice.hide_progress")
    title = word(f"skills.{panel.next.skill}.title")
    line = say("practice.first_tries", right=1, tried=1)
    assert escape(f"{title}, begun: {line} at once, back in 2 days.") in panel.progress.value
    assert panel.progress.value.count("<tr>") == 1 + len(skills())
    panel.onward.click()
    do(panel)
    assert escape(say("practice.safe", titles=title)) in panel.progress.value
    panel.fold.click()
    assert panel.progress.value == ""


def test_what_is_to_go_over_is_named():
    panel = do(panels.Practise(), right=False)
    panel.fold.click()
    title = word(f"skills.{panel.next.skill}.title")
    assert escape(say("practice.over", titles=title)) in panel.progress.value
    assert say("practice.back.tomorrow") in panel.progress.value
    assert state_of(panel.practice.standings[panel.next.skill]) == "over"


def test_no_step_of_the_working_is_shown_before_the_lock():
    panel = panels.Practise()
    panel.fold.click()
    for _ in range(10):
        visible = " ".join(texts(on_show(panel)))
        led = checking.lead(panel.question.variant)
        for step in checking.working(panel.question.variant):
            assert step in led or step not in visible
        do(panel, right=False)
        panel.onward.click()


def test_a_teacher_goes_on_without_locking_anything(monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    panel = panels.Practise()
    met = []
    for _ in range(5):
        met.append((panel.next.page, panel.next.task))
        panel.onward.click()
    assert len(set(met)) == 5
    assert Records.default().all() == []
    assert panel.errors == []


def test_records_that_cannot_be_read_are_told(monkeypatch, tmp_path):
    (tmp_path / "packlearn").mkdir(exist_ok=True)
    (tmp_path / "packlearn" / "records.sqlite").write_bytes(b"no database at all, but long" * 99)
    panel = panels.Practise()
    assert "records.sqlite" in panel.alert.value
    assert panel.errors == []


def test_seats_have_records_of_their_own(monkeypatch):
    do(panels.Practise())
    monkeypatch.setenv("PACKLEARN_SEAT", "B4")
    panel = panels.Practise()
    assert panel.next.reason == "new"
    assert say("practice.nothing_yet") in seen(panel)


@pytest.mark.parametrize("count", [2000])
def test_with_thousands_of_entries_one_task_is_looked_up_in_the_records(count, monkeypatch):
    panel = do(panels.Practise())
    (trace,) = Records.default().traces()
    many = [trace._replace(id=at, variant=at) for at in range(count)]
    asked = []

    def kept(page, task):
        asked.append((page, task))
        return {}

    found = Practice(many, panel.clock()).next(kept)
    assert found is not None
    assert len(asked) <= 2
    assert faded.kept_by(Records.default(), "")(trace.page, trace.task).keys() == {0}


def test_a_seat_gets_variants_of_its_own(monkeypatch):
    monkeypatch.setenv("PACKLEARN_SEAT", "HEDGE7-04")
    panel = panels.Practise()
    assert panel.next.number == first_variant_of("HEDGE7-04") > 0
    do(to_one_with_an_example(panel), right=False).show_how.click()
    for _ in range(2):
        panel.faded.stage = 2
        panel.faded.update()
    assert panel.faded.question.number >= first_variant_of("HEDGE7-04")


# A page of tasks.


def test_a_page_of_tasks_goes_on_where_it_was():
    page = panels.TaskPage("meet-the-need")
    assert page.place == 0
    for _ in range(3):
        page.go(1)
    lock(page.question(3), right_text(page.question(3).variant))
    page.go(-1)
    again = panels.TaskPage("meet-the-need")
    assert again.place == 3
    assert again.question(3).entries
    assert panels.TaskPage("predict-the-pack").place == 0


def test_a_page_of_tasks_opens_without_its_records(tmp_path):
    (tmp_path / "packlearn").mkdir(exist_ok=True)
    (tmp_path / "packlearn" / "records.sqlite").write_bytes(b"no database at all, but long" * 99)
    page = panels.TaskPage("meet-the-need")
    assert page.place == 0
    assert "records.sqlite" in page.question(0).alert.value
