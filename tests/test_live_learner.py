"""A learner's side of a live class: votes held back, released by stages, and nothing lost."""

import re
import tempfile
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from packlearn import laying, panels, places
from packlearn.classroom import live, seats
from packlearn.panels import base, watching
from packlearn.records import Records, waiting
from packlearn.tasks import bank, checking
from packlearn.words import say
from tests.test_questions import everything, lock, on_show, right_text, said, seen, texts

CODE = "HEDGE7"
QUESTION = ("lesson-3", "in-line")
OF_PAGE = ("predict-the-pack", "lantern-volts")
ANSWER = "6.8 V"
# The same in other units, so that the answer's own words stand nowhere before they are told.
RIGHT, WRONG = "6800 mV", "1360 mV"
SLIP = "You kept one cell's voltage"


class _Thread:
    def is_alive(self):
        return True


@pytest.fixture(autouse=True)
def alone(monkeypatch):
    """No thread: a test asks for the moment itself."""
    started = []
    monkeypatch.setattr(watching, "_start", lambda run: started.append(run) or _Thread())
    monkeypatch.setattr(watching._Current, "watch", None)
    monkeypatch.setattr(watching, "_now", lambda: Clock.now)
    monkeypatch.setattr(Clock, "now", 0.0)
    return started


class Clock:
    now = 0.0


@pytest.fixture
def records(tmp_path, monkeypatch):
    """The records that a class shares; the learner sits at seat 4."""
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///{tmp_path / 'class.sqlite'}")
    sit(monkeypatch, 4)
    return Records(tmp_path / "class.sqlite")


def sit(monkeypatch, seat):
    monkeypatch.setenv("PACKLEARN_CLASS", CODE)
    monkeypatch.setenv("PACKLEARN_SEAT", str(seat))


def tick():
    """What the thread does once a second."""
    watch = watching.watch()
    watch.tick()
    assert list(watch.errors) == []


def go(records, *stages):
    for stage in stages:
        live.set_stage(records, CODE, stage)
    tick()


def asked(records, question=QUESTION, **more):
    live.ask(records, CODE, *question, **more)
    shown = panels.Question(*question)
    tick()
    return shown


def told(question):
    """The line on the class."""
    return question.with_class.value if question.with_class in on_show(question) else ""


def holds(question, text):
    return text in "\n".join(texts(everything(question)))


def line(key):
    return say(f"live.learner.{key}")


# The stages on the screen.


def test_both_votes_are_held_back_and_released_step_by_step(records):
    question = asked(records)
    assert line("asked") in told(question)
    lock(question, WRONG, "sure")
    assert question.phase == "held"
    assert line("locked") in told(question)
    assert question.entry not in on_show(question)
    assert WRONG in said(question)
    assert not holds(question, ANSWER)
    assert not holds(question, SLIP)
    assert records.all()[0].result is None
    go(records, "talking")
    assert line("talking") in told(question)
    assert not holds(question, SLIP)
    go(records, "again")
    assert line("again") in told(question)
    # The first vote may be voted again, with a word on how sure one is.
    question.lock.click()
    assert say("panels.how_sure") in said(question)
    lock(question, RIGHT)
    assert line("locked_again") in told(question)
    assert not holds(question, ANSWER)
    go(records, "shown")
    assert f"The answer: {ANSWER}" in said(question)
    assert (question.phase, question.done) == ("look", False)
    assert not holds(question, SLIP)
    question.saw[1].click()
    assert line("shown") in told(question)
    assert "5 x 1.36 V" not in said(question)
    go(records, "why")
    assert "5 x 1.36 V" in said(question)
    assert question.done
    go(records, "done")
    assert question.done
    assert told(question) == ""
    first, second = records.all()
    assert [e.locked.attempt for e in (first, second)] == [1, 2]
    assert (first.result.mistakes, second.result.right) == (("M41",), True)
    assert question.errors == []


def test_the_why_comes_though_nobody_said_what_they_saw(records):
    question = asked(records)
    lock(question, WRONG)
    go(records, "shown", "why")
    assert SLIP in said(question)
    assert question.done
    # And stays when the class goes on to another question.
    live.ask(records, CODE, *OF_PAGE)
    tick()
    assert SLIP in said(question)
    assert question.done


def test_without_a_moment_all_is_as_ever(records):
    question = panels.Question(*QUESTION)
    tick()
    assert told(question) == ""
    lock(question, WRONG)
    assert f"The answer: {ANSWER}" in said(question)
    assert records.all()[0].result.revealed
    # A class on another question keeps nobody from this one.
    live.ask(records, CODE, "lesson-3", "one-cell")
    other = panels.Question("lesson-3", "side-by-side")
    tick()
    lock(other, right_text(other.variant))
    assert "The answer: " in said(other)


def test_a_question_that_is_ended_early_is_as_ever(records):
    question = asked(records)
    lock(question, WRONG)
    go(records, "done")
    assert f"The answer: {ANSWER}" in said(question)
    assert records.all()[0].result.revealed


def test_a_task_of_a_page_with_two_tries_is_held_back_too(records):
    question = asked(records, OF_PAGE)
    assert question.number == seats.first_variant(CODE, 4)
    answer = checking.answer_in_words(question.variant)
    lock(question, "987 V")
    assert question.phase == "held"
    assert say("panels.try_left") not in said(question)
    go(records, "shown")
    assert f"The answer: {answer}" in said(question)
    assert question.closed
    assert [e.result.revealed for e in records.all()] == [True]


@pytest.mark.parametrize("stage", ["asked", "talking", "again", "shown", "why", "done"])
def test_a_restart_goes_on_in_the_same_stage(records, stage):
    question = asked(records)
    lock(question, WRONG)
    for each in live.STAGES[1 : live.STAGES.index(stage) + 1]:
        live.set_stage(records, CODE, each)
    tick()
    watching._Current.watch = None
    again = panels.Question(*QUESTION)
    assert (again.phase, said(again), told(again)) == (
        question.phase,
        said(question),
        told(question),
    ) or (
        # What was explained needs no answer to "what did you see?" until a restart.
        stage == "done" and again.phase == "look"
    )
    assert len(records.all()) == 1


# Coming late, coming early, two tabs.


def test_who_comes_late_may_still_lock_before_it_is_shown(records):
    live.ask(records, CODE, *QUESTION)
    live.set_stage(records, CODE, "talking")
    question = panels.Question(*QUESTION)
    assert question.phase == "held"
    assert line("talking_late") in told(question)
    go(records, "again")
    assert line("again_late") in told(question)
    lock(question, WRONG)
    votes = live.votes(records, live.moment(records, CODE))
    assert (votes.first, [each.seat for each in votes.again]) == ([], [4])
    go(records, "shown")
    assert f"The answer: {ANSWER}" in said(question)


def test_who_comes_after_it_was_shown_is_told_and_takes_other_numbers(records):
    live.ask(records, CODE, *QUESTION)
    live.set_stage(records, CODE, "shown")
    question = panels.Question(*QUESTION)
    tick()
    assert question.phase == "missed"
    assert line("missed") in told(question)
    assert not holds(question, ANSWER)
    assert question.entry not in on_show(question)
    question.lock.click()
    assert records.all() == []
    question.another.click()
    assert question.number == seats.first_variant(CODE, 4)
    assert (question.phase, told(question)) == ("open", "")
    lock(question, right_text(question.variant))
    assert "The answer: " in said(question)
    go(records, "why")
    assert question.number == seats.first_variant(CODE, 4)


def test_who_is_past_it_is_told_and_sees_what_was_seen(records):
    question = panels.Question(*QUESTION)
    lock(question, WRONG)
    question.saw[2].click()
    live.ask(records, CODE, *QUESTION)
    tick()
    assert line("past") in told(question)
    assert SLIP in said(question)
    assert live.votes(records, live.moment(records, CODE)) == live.Votes()


def test_a_try_before_the_class_came_counts_as_the_first_vote(records):
    question = panels.Question(*OF_PAGE)
    lock(question, "987 V")
    assert say("panels.try_left") in said(question)
    live.ask(records, CODE, *OF_PAGE)
    tick()
    assert question.phase == "held"
    assert say("panels.try_left") not in said(question)
    votes = live.votes(records, live.moment(records, CODE))
    assert [each.seat for each in votes.first] == [4]


def test_two_tabs_at_one_seat_lock_each_vote_once(records):
    question = asked(records)
    other = panels.Question(*QUESTION)
    lock(question, WRONG)
    other.answer.value, other.confidence.value = RIGHT, "sure"
    other.lock.click()
    assert (other.phase, WRONG in said(other)) == ("held", True)
    go(records, "talking", "again")
    lock(other, RIGHT)
    question.answer.value, question.confidence.value = WRONG, "think"
    question.lock.click()
    assert question.phase == "held"
    assert [(e.locked.attempt, e.locked.typed) for e in records.all()] == [(1, WRONG), (2, RIGHT)]
    go(records, "shown")
    assert said(question) == said(other)
    assert question.errors == other.errors == []


def test_a_vote_that_closes_while_one_presses_keeps_what_is_typed(records):
    question = asked(records)
    live.set_stage(records, CODE, "talking")
    question.answer.value, question.confidence.value = WRONG, "sure"
    question.lock.click()
    assert records.all() == []
    assert (question.phase, question.answer.value) == ("held", WRONG)
    go(records, "again")
    assert (question.answer.value, question.confidence.value) == (WRONG, "sure")
    question.lock.click()
    assert [e.locked.attempt for e in records.all()] == [2]


def test_other_numbers_that_the_class_asks_are_shown_and_left_again(records):
    question = panels.Question(*QUESTION)
    question.answer.value = "half typ"
    live.ask(records, CODE, *QUESTION, variant=1)
    tick()
    assert question.number == 1
    assert question.answer.value == ""
    go(records, "done")
    assert (question.number, question.answer.value) == (0, "half typ")


def test_another_class_and_another_seat_have_another_moment(records, monkeypatch):
    question = asked(records)
    lock(question, WRONG)
    monkeypatch.setenv("PACKLEARN_SEAT", "5")
    base.seat_changed()
    assert (question.phase, question.entries) == ("open", [])
    assert line("asked") in told(question)
    monkeypatch.setenv("PACKLEARN_CLASS", "BADGER8")
    base.seat_changed()
    assert told(question) == ""


# Rounds and pages.


def test_a_round_goes_to_the_question_of_the_class_and_unveils_nothing(records):
    first = panels.Round("lesson-3", "one-cell")
    view = panels.Round("lesson-3", "in-line", then=panels.PackExplorer())
    assert view.waiting
    live.ask(records, CODE, *QUESTION)
    tick()
    question = next(each for each in view.questions if each.task.id == QUESTION[1])
    assert not view.waiting
    assert view.stage.children == (question,)
    lock(question, WRONG)
    go(records, "talking", "again")
    lock(question, RIGHT)
    view.onward.click()
    assert view.stage.children == (question,)
    assert view.then not in on_show(view)
    assert ANSWER not in seen(view)
    go(records, "shown")
    question.saw[1].click()
    view.onward.click()
    assert view.stage.children == (question,)
    go(records, "why")
    view.onward.click()
    assert view.stage.children != (question,)
    assert first.errors == view.errors == question.errors == []


def test_a_round_goes_there_once_and_lets_one_look_back(records):
    view = panels.Round("lesson-3", "in-line")
    last = view.questions[-1]
    live.ask(records, CODE, "lesson-3", last.task.id)
    tick()
    assert view.place == len(view.questions) - 1
    view.back.click()
    go(records, "talking")
    assert view.place == len(view.questions) - 2
    # A new panel, after a restart, is there again.
    assert panels.Round("lesson-3", "in-line").place == len(view.questions) - 1


def test_a_round_to_be_worked_alone_opens_for_the_class(records):
    page = bank.page("lesson-3")
    own = next(each for each in page.rounds if each.alone)
    view = panels.Round("lesson-3", own.id)
    live.ask(records, CODE, "lesson-3", own.tasks[0])
    tick()
    assert view.questions[0] in on_show(view)


def test_a_page_of_tasks_goes_to_the_task_of_the_class(records):
    view = panels.TaskPage("predict-the-pack")
    live.ask(records, CODE, "predict-the-pack", "kit-count")
    tick()
    shown = view.stage.children[0]
    assert shown.task.id == "kit-count"
    tick()
    assert line("asked") in told(shown)
    assert panels.TaskPage("predict-the-pack").stage.children[0].task.id == "kit-count"


def test_the_opening_says_where_the_class_is(records):
    opening = panels.Opening(lesson=2)
    assert opening.with_class not in on_show(opening)
    live.ask(records, CODE, *QUESTION)
    tick()
    assert bank.page("lesson-3").title in opening.with_class.value
    assert opening.with_class in on_show(opening)
    go(records, "shown")
    assert opening.with_class not in on_show(opening)
    # A page that only the teacher's computer has is not spoken of.
    watching.watch().moment = replace(live.ask(records, CODE, *QUESTION), page="own/mine")
    opening.class_moved()
    assert opening.with_class not in on_show(opening)
    assert opening.errors == []


# The thread.


def test_who_learns_alone_or_without_a_seat_has_no_thread(alone, monkeypatch, tmp_path):
    panels.Round("lesson-3", "in-line")
    monkeypatch.setenv("PACKLEARN_CLASS", CODE)
    panels.TaskPage("predict-the-pack")
    monkeypatch.setenv("PACKLEARN_SEAT", "4")
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    panels.Question(*QUESTION)
    assert alone == []
    monkeypatch.delenv("PACKLEARN_MODE")
    for _ in range(3):
        panels.Round("lesson-3", "in-line")
    assert len(alone) == 1


def test_a_class_without_a_common_server_works_as_ever(alone, monkeypatch):
    sit(monkeypatch, 4)
    question = panels.Question(*QUESTION)
    tick()
    lock(question, WRONG)
    assert f"The answer: {ANSWER}" in said(question)


def test_the_thread_keeps_errors_and_ends_with_the_panels(records, monkeypatch):
    monkeypatch.setattr(watching, "PERIOD_S", 0.001)
    question = panels.Question(*QUESTION)
    watch = watching.watch()
    seen_by, real = [], watch.tick

    def broken():
        seen_by.append(threading.current_thread())
        raise RuntimeError("broken")

    monkeypatch.setattr(watch, "tick", broken)
    thread = threading.Thread(target=watch._run)
    thread.start()
    end = time.monotonic() + 20
    while len(seen_by) < 3 and time.monotonic() < end:
        time.sleep(0.001)
    monkeypatch.setattr(watch, "tick", real)
    question.close()
    thread.join(20)
    assert not thread.is_alive()
    assert len(seen_by) >= 3
    assert {type(error) for error in watch.errors} == {RuntimeError}


def test_a_thread_ends_when_the_seat_is_given_up(records, monkeypatch):
    monkeypatch.setattr(watching, "PERIOD_S", 0.001)
    panels.Question(*QUESTION)
    thread = threading.Thread(target=watching.watch()._run)
    thread.start()
    monkeypatch.delenv("PACKLEARN_CLASS")
    monkeypatch.delenv("PACKLEARN_SEAT")
    thread.join(20)
    assert not thread.is_alive()


# A server that goes away.


@pytest.fixture
def server(postgres, monkeypatch):
    """Address of a class's server that may be stopped; it runs again afterwards."""
    monkeypatch.setattr(waiting, "AWAY_S", -1.0)
    monkeypatch.setattr(waiting, "_RETRYING", set())
    monkeypatch.setattr(waiting.threading, "Timer", lambda *args: threading.Thread())
    if not postgres.running():
        postgres.start()
    url = postgres.new_database()
    monkeypatch.setenv("PACKLEARN_RECORDS", url)
    sit(monkeypatch, 4)
    yield Records(url)
    if not postgres.running():
        postgres.start()


def away(seconds):
    Clock.now += seconds
    tick()


@pytest.mark.parametrize("restart", [False, True], ids=["running", "restarted"])
def test_votes_wait_for_the_server_and_are_sent_once(server, postgres, restart):
    question = asked(server)
    go(server)
    postgres.stop()
    away(1)
    away(watching.AWAY_S)
    assert line("away") in told(question)
    lock(question, WRONG)
    assert question.phase == "held"
    assert not holds(question, SLIP)
    postgres.start()
    away(1)
    assert line("away") not in told(question)
    assert [each.seat for each in votes_now(server).first] == [4]
    go(server, "talking", "again")
    postgres.stop()
    away(1)
    if restart:
        watching._Current.watch = None
        question = panels.Question(*QUESTION)
        assert (question.phase, line("again") in told(question)) == ("open", True)
    lock(question, RIGHT)
    assert question.phase == "held"
    assert not holds(question, ANSWER)
    postgres.start()
    away(1)
    away(1)
    assert [each.right for each in votes_now(server).again] == [True]
    go(server, "shown")
    assert f"The answer: {ANSWER}" in said(question)
    assert [e.result.right for e in server.all()] == [False, True]


def votes_now(records):
    return live.votes(records, live.moment(records, CODE))


def test_after_a_minute_without_a_server_one_may_go_on_alone(server, postgres):
    question = asked(server)
    lock(question, WRONG)
    postgres.stop()
    away(1)
    away(watching.LOST_S - 1)
    assert question.go_alone not in on_show(question)
    question.go_alone.click()
    assert question.phase == "held"
    away(1)
    assert line("lost") in told(question)
    assert question.go_alone in on_show(question)
    question.go_alone.click()
    assert f"The answer: {ANSWER}" in said(question)
    assert question.go_alone not in on_show(question)
    question.saw[2].click()
    assert question.done
    postgres.start()
    away(1)
    # The vote was cast before the answer was seen, so it counts; there is no second one.
    assert [each.seat for each in votes_now(server).first] == [4]
    go(server, "talking", "again")
    assert question.done
    assert line("past") in told(question)
    assert question.errors == []


def test_the_first_panel_says_what_waits_and_no_longer_when_it_is_sent(server, postgres):
    opening, question = panels.Opening(lesson=3), asked(server)
    waits = say("classroom.opening.waiting", count=1)
    postgres.stop()
    lock(question, WRONG)
    assert waits in seen(opening)
    away(1)
    postgres.start()
    away(1)
    assert waits not in seen(opening)
    assert opening.errors == []


def test_a_server_that_was_never_reached_leaves_all_as_ever(server, postgres):
    postgres.stop()
    question = panels.Question(*QUESTION)
    away(100)
    assert told(question) == ""
    lock(question, WRONG)
    assert f"The answer: {ANSWER}" in said(question)


# Any order of steps.

STEPS = st.one_of(
    st.tuples(st.just("teacher"), st.sampled_from(live.STAGES)),
    st.tuples(st.just("ask"), st.sampled_from([QUESTION, ("lesson-3", "one-cell")])),
    st.tuples(st.just("lock"), st.integers(0, 3), st.sampled_from([RIGHT, WRONG])),
    st.tuples(st.just("restart"), st.integers(0, 3), st.none()),
    st.tuples(st.just("tick"), st.none()),
)


class Room:
    """Two seats with two tabs each, a teacher, and what must hold at any time."""

    def __init__(self, folder, patch):
        self.patch = patch
        patch.setenv("PACKLEARN_FOLDER", str(folder))
        patch.setenv("PACKLEARN_RECORDS", f"sqlite:///{folder / 'class.sqlite'}")
        patch.setenv("PACKLEARN_CLASS", CODE)
        patch.setattr(watching._Current, "watch", None)
        self.records, self.kept = Records(folder / "class.sqlite"), []
        self.tabs = [self.open(place) for place in range(4)]

    def open(self, place):
        self.patch.setenv("PACKLEARN_SEAT", str(1 + place % 2))
        return panels.Question(*QUESTION)

    def step(self, what, *about):
        before = self.shown()
        getattr(self, what)(*about)
        moment = live.moment(self.records, CODE)
        for seat in self.shown() - before:
            # An answer was shown: never while the class holds it back.
            here = moment and (moment.page, moment.task) == QUESTION and moment.stage in live.HELD
            assert not here or seat in moment.past
        self.check(moment)

    def teacher(self, stage):
        moment = live.moment(self.records, CODE)
        if moment and (stage == moment.stage or stage in live.FOLLOWING[moment.stage]):
            live.set_stage(self.records, CODE, stage)

    def ask(self, question):
        live.ask(self.records, CODE, *question)

    def tick(self, _):
        tick()

    def restart(self, place, _):
        self.tabs[place].close()
        self.tabs[place] = self.open(place)

    def lock(self, place, typed):
        self.patch.setenv("PACKLEARN_SEAT", str(1 + place % 2))
        tab, count = self.tabs[place], len(self.records.all())
        tab.answer.value, tab.confidence.value = typed, "think"
        tab.lock.click()
        kept = self.records.all()
        assert len(kept) - count in (0, 1)
        if len(kept) == count:
            # Nothing is lost: it is still in the box, or the lock was not open.
            assert tab.answer.value == typed or tab.phase != "open"
        assert tab.errors == []

    def shown(self):
        """Seats at which the answer was shown."""
        entries = self.records.all()
        return {int(e.locked.seat[-2:]) for e in entries if e.result and e.result.revealed}

    def check(self, moment):
        kept = [(e.locked.seat, e.locked.attempt, e.locked.typed) for e in self.records.all()]
        assert kept[: len(self.kept)] == self.kept
        self.kept = kept
        assert len({(seat, attempt) for seat, attempt, _ in kept}) == len(kept)
        shown = self.shown()
        for place, tab in enumerate(self.tabs):
            assert tab.errors == []
            if 1 + place % 2 not in shown:
                assert not holds(tab, ANSWER)
                assert not holds(tab, SLIP) or tab.number != 0
        if moment and (moment.page, moment.task) == QUESTION:
            votes = live.votes(self.records, moment)
            for each in (votes.first, votes.again):
                assert len({one.seat for one in each}) == len(each) <= 2
                assert not {one.seat for one in each} & set(moment.past)


@pytest.mark.parametrize("examples", [12, pytest.param(150, marks=pytest.mark.long)])
def test_no_order_of_steps_leaks_an_answer_or_counts_twice_or_loses_anything(examples):
    @settings(
        max_examples=examples,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(st.lists(STEPS, min_size=5, max_size=25))
    def any_order(steps):
        with pytest.MonkeyPatch.context() as patch, tempfile.TemporaryDirectory() as folder:
            room = Room(Path(folder), patch)
            # Most orders shall have a question in them.
            for step in (("ask", QUESTION), *steps, ("tick", None)):
                room.step(*step)
            for tab in room.tabs:
                tab.close()

    any_order()


def test_the_first_panel_leads_to_the_question_where_it_is_in_this_notebook(records):
    there, elsewhere = panels.Opening(lesson=3), panels.Opening(lesson=2)
    question = panels.Question(*QUESTION)
    mark = f"id='{watching.PLACE}'"
    assert mark not in question.with_class.value
    live.ask(records, CODE, *QUESTION)
    tick()
    way = f"href='#{watching.PLACE}'"
    assert [way in each.with_class.value for each in (there, elsewhere)] == [True, False]
    assert mark in question.with_class.value
    go(records, "talking", "again", "shown", "done")
    assert way not in there.with_class.value
    assert mark not in question.with_class.value


def test_a_page_of_tasks_leads_to_its_question(records):
    opening, page = panels.Opening(), panels.TaskPage("predict-the-pack")
    live.ask(records, CODE, *OF_PAGE)
    tick()
    way = f"href='#{watching.PLACE}'"
    assert way in opening.with_class.value
    assert f"id='{watching.PLACE}'" in page.stage.children[0].with_class.value
    live.ask(records, CODE, *QUESTION)
    tick()
    assert way not in opening.with_class.value


def test_a_round_says_no_longer_that_a_teacher_shows_what_was_shown(records):
    around = panels.Round("lesson-3", "in-line")
    live.ask(records, CODE, *QUESTION)
    tick()
    lock(around.questions[0], WRONG)
    assert say("live.learner.veiled") in seen(around)
    go(records, "shown", "why")
    assert around.questions[0].done
    assert say("live.learner.veiled") not in seen(around)
    assert say("panels.veiled_on") in seen(around)


@pytest.mark.parametrize("page", bank.pages())
def test_another_notebook_leads_to_the_one_that_the_class_is_at(records, page):
    opening = panels.Opening(lesson=1 if page != "lesson-1" else 2)
    live.ask(records, CODE, page, bank.page(page).tasks[0].id)
    tick()
    (name,) = re.findall(r"href='\.\./([^']+)'", opening.with_class.value)
    path = places.find(name.partition("/")[0]) / name.partition("/")[2]
    shown = path.read_text(encoding="utf-8")
    lesson = page.partition("lesson-")[2]
    assert f"Opening(lesson={lesson}," in shown if lesson else f'TaskPage(\\"{page}\\")' in shown


def test_a_teachers_own_tasks_are_in_the_notebook_of_own_tasks():
    assert laying.notebook_of("own/hedges") == "exercises/9-own-tasks.ipynb"
    assert laying.notebook_of("no-such-page") == ""


def test_a_page_opened_after_the_question_was_asked_leads_to_it_too(records):
    live.ask(records, CODE, *OF_PAGE)
    opening = panels.Opening()
    # The page may take longer to open than the first look at the class.
    tick()
    way = f"href='#{watching.PLACE}'"
    assert way not in opening.with_class.value
    page = panels.TaskPage(OF_PAGE[0])
    tick()
    assert way in opening.with_class.value
    assert f"id='{watching.PLACE}'" in page.stage.children[0].with_class.value


def test_the_way_to_a_question_whose_answer_was_seen_leads_to_what_is_said_of_it(records):
    opening, question = panels.Opening(lesson=3), panels.Question(*QUESTION)
    lock(question, WRONG)
    live.ask(records, CODE, *QUESTION)
    tick()
    assert line("past") in told(question)
    assert f"href='#{watching.PLACE}'" in opening.with_class.value
    assert f"id='{watching.PLACE}'" in question.with_class.value


def test_a_vote_that_was_released_and_not_yet_fetched_is_past_when_asked_again(tmp_path):
    with pytest.MonkeyPatch.context() as patch:
        room = Room(tmp_path, patch)
        for step in (
            ("ask", QUESTION),
            ("lock", 1, RIGHT),
            ("teacher", "shown"),
            ("lock", 0, RIGHT),
            ("ask", QUESTION),
            ("restart", 1, None),
        ):
            room.step(*step)
        assert live.moment(room.records, CODE).past == (2,)
        for tab in room.tabs:
            tab.close()
