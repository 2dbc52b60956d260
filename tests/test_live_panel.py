"""A live class on the teacher's side: the panel, the shared screen, and a show of hands."""

import json
import re
from datetime import UTC, datetime

import pytest
from test_panels import leaks, plain
from test_questions import everything, holds, seen

from packlearn import laying, panels, places
from packlearn.classroom import hands, live, showing, sitting
from packlearn.classroom.seats import seat_text
from packlearn.errors import BadFile, BadValue
from packlearn.panels import projecting, ticking
from packlearn.panels.base import escape
from packlearn.panels.illustrations import illustration
from packlearn.panels.screen_room import room_beside
from packlearn.places import exercises_folder, learner_folder, lessons_folder
from packlearn.records import Prediction, Records, RecordsTrouble
from packlearn.tasks import bank, checking
from packlearn.words import as_shown, say, word

PAGE, TASK = "lesson-3", "in-line"
LESSON_TASKS = [
    (name, task.id)
    for name in bank.pages()
    if name.startswith("lesson-")
    for task in bank.page(name).tasks
]
WRONG = ("1.36 V", "6 V", "7.5 V")
HOSTILE = "<script>alert(1)</script>{0}"


@pytest.fixture
def school(tmp_path, monkeypatch):
    """Records that a class of 28 shares; the teacher's folder is one of its own."""
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///{tmp_path / 'shared.sqlite'}")
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    sitting.join("HEDGE7", 28)
    return Records.default()


@pytest.fixture
def alone(monkeypatch):
    """A teacher without a class."""
    monkeypatch.setenv("PACKLEARN_MODE", "teach")


def variant(page=PAGE, task=TASK):
    return checking.variant(bank.page(page).task(task), 0)


def vote(records, typed, attempt=1, start=1):
    """Lock texts in, one for each seat from ``start`` on."""
    var = variant()
    for seat, text in enumerate(typed, start=start):
        value = checking.check(var, text).value
        prediction = Prediction(
            page=PAGE,
            task=TASK,
            variant=0,
            attempt=attempt,
            givens=dict(var.givens),
            typed=text,
            value=value,
            unit="V",
            confidence="think",
            seat=seat_text("HEDGE7", seat),
        )
        records.lock(prediction)


def choose(panel, page=PAGE, task=TASK):
    panel.page.value, panel.task.value = page, task
    return panel


def press(panel, *names):
    for name in names:
        panel.buttons[name].click()
        assert (panel.errors, panel.alert.value) == ([], "")
    return panel


def tallied(var, right, wrong):
    """A ``Tally`` of all the answers a question may get."""
    answer = checking.answer_in_words(var)
    votes = [live.Vote(0, "x", "right", (), True, answer)] * right
    for rule, value in checking.wrong_values(var):
        votes += [live.Vote(0, "x", "mistake", (rule.id,), False, value, rule.did)] * wrong
    return live.tally(votes, 40)


def news(var, stage, code="HEDGE7"):
    moment = live.Moment(code, var.task.page, var.task.id, stage, datetime.now(UTC))
    again = tallied(var, 14, 1) if stage in ("again", "shown", "why") else None
    return showing.News(moment, tallied(var, 9, 3), again)


# The teacher's panel.


def test_it_opens_with_nothing_asked(school):
    panel = panels.LiveClass()
    assert panel.errors == []
    assert say("class_view.now.nothing") in seen(panel)
    assert say("class_view.band") in seen(panel)
    assert panel.mode.value == "seats"
    assert panel.hands.layout.display == "none"


def test_in_a_learners_window_it_shows_nothing(school, monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "learn")
    panel = panels.LiveClass()
    assert say("class_view.teachers_only") in seen(panel)
    assert len(panel.children) == 3


def test_every_question_can_be_chosen(school):
    panel = panels.LiveClass()
    pages = [value for _, value in panel.page.options]
    assert sorted(pages) == sorted(bank.pages())
    lessons = [page for page in pages if page.startswith("lesson-")]
    assert len(lessons) >= 12
    assert pages[: len(lessons)] == [f"lesson-{n + 1}" for n in range(len(lessons))]
    for page in ("lesson-3", "unlike-cells"):
        panel.page.value = page
        assert [v for _, v in panel.task.options] == [task.id for task in bank.page(page).tasks]
    choose(panel)
    assert checking.text_of(variant()) in seen(panel)


PICTURED = [
    (page, task)
    for page, task in LESSON_TASKS
    if illustration(variant(page, task), shown=False) is not None
]


@pytest.mark.parametrize(("page", "task"), PICTURED)
@pytest.mark.parametrize("lines", [4, 6])
def test_letters_of_a_picture_on_the_shared_screen_are_large(page, task, lines):
    """In what room so many lines leave on a laptop's screen, 1366 x 768, they are 32 px (24 pt)."""
    others = ["<p>one line</p>"] * lines
    room = room_beside(others)
    assert (room.width, room.height) == (1318, pytest.approx(768 - 24 - 8 - lines * 50.96))
    svg = projecting._of_task(variant(page, task), False, others)
    width, height = map(
        float, re.search(r'viewBox="[-.\d]+ [-.\d]+ ([.\d]+) ([.\d]+)', svg).groups()
    )
    letters = [float(size) for size in re.findall(r'font-size="([.\d]+)"', svg)]
    assert min(letters, default=32) * min(room.width / width, room.height / height) >= 31.5


def test_lines_of_the_shared_screen_are_counted_as_long_as_the_widest_letters_make_them():
    before, gap = room_beside([]).height, 10
    line = before - room_beside(["<p>short</p>"]).height - gap
    assert line == pytest.approx(1.28 * 32)
    long = "<p>" + "some words " * 20 + "</p>"
    assert before - room_beside([long]).height - gap >= 3 * line
    steps = room_beside(["<div><p>one</p><p>two</p></div>"]).height
    assert before - steps - gap == pytest.approx(2 * line + 6)
    listed = room_beside(["<ul><li>one</li><li>two</li></ul>"]).height
    assert before - listed - gap == pytest.approx(2 * line)
    assert room_beside(["", "<p>short</p>"]) == room_beside(["<p>short</p>"])


def test_a_teachers_own_tasks_can_be_asked(school):
    """They stand behind all others; a file with a mistake in it is left out."""
    folder = bank.own_folder()
    folder.mkdir(parents=True)
    example = exercises_folder() / "guides" / "own-first.toml"
    (folder / "ours.toml").write_bytes(example.read_bytes())
    (folder / "broken.toml").write_text("[page", encoding="utf-8")
    panel = panels.LiveClass()
    title = bank.page("own/ours").title
    assert [pair for pair in panel.page.options if pair[1] not in bank.pages()] == [
        (f"Your own: {title}", "own/ours")
    ]
    assert panel.page.options[-1][1] == "own/ours"
    panel.page.value = "own/ours"
    task = bank.page("own/ours").tasks[0]
    assert panel.task.value == task.id
    panel.buttons["asked"].click()
    moment = live.moment(school, "HEDGE7")
    assert (moment.page, moment.task, moment.stage) == ("own/ours", task.id, "asked")
    # The learner's own numbers are on the learner's screen; a vote by these counts.
    seat = seat_text("HEDGE7", 4)
    var = checking.variant(task, live.number_of("own/ours", task.id, seat))
    typed = checking.answer_in_words(var)
    where = {"page": "own/ours", "task": task.id, "variant": var.number, "attempt": 1}
    told = {"typed": typed, "value": None, "unit": task.unit, "confidence": "sure"}
    school.lock(Prediction(**where, **told, givens=dict(var.givens), seat=seat))
    assert [vote.right for vote in live.votes(school, moment).first] == [True]
    screen = panels.Projector()
    assert "1 of 28" in plain(screen.screen.value)


def test_the_counts_come_without_a_press_and_no_seat_is_named(school):
    panel = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V"] * 3)
    panel.tick()
    assert "3 of 28" in panel.count.value
    vote_more(school, 4, 24)
    panel.tick()
    assert "24 of 28" in panel.count.value
    assert panel.errors == []
    # The guide names a file as an example.
    told = seen(panel).replace("answers-HEDGE7-05.jsonl", "")
    assert not re.search(r"HEDGE7-\d", told)


def vote_more(records, first, last):
    """Seats from ``first`` to ``last`` lock in, three of four wrongly."""
    var = variant()
    for seat in range(first, last + 1):
        text = ("6.8 V", *WRONG)[seat % 4]
        value = checking.check(var, text).value
        where = {"page": PAGE, "task": TASK, "variant": 0, "attempt": 1}
        told = {"typed": text, "value": value, "unit": "V", "confidence": "sure"}
        seat = seat_text("HEDGE7", seat)
        records.lock(Prediction(**where, **told, givens=dict(var.givens), seat=seat))


def test_under_five_answers_nothing_but_their_number_is_shown(school):
    panel = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V", "1.36 V", "6 V", "6 V"])
    panel.tick()
    assert panel.picture.value == ""
    assert panel.advice.value == ""
    assert "%" not in panel.count.value
    assert say("class_view.few", limit=5) in plain(panel.count.value)
    vote_more(school, 5, 5)
    panel.tick()
    assert "<svg" in panel.picture.value


def test_bars_by_value_and_by_wrong_rule_are_the_teachers(school):
    panel = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V"] * 6 + ["1.36 V"] * 4 + ["6 V"] * 2)
    panel.tick()
    told = plain(panel.picture.value)
    rules = {value: rule.did for rule, value in checking.wrong_values(variant())}
    assert "6.8 V, the right answer: 6, 50 %." in told
    assert f"{rules['1.36 V'].rstrip('.')}: 4, 33 %." in told
    assert f"{rules['6 V'].rstrip('.')}: 2, 17 %." in told


@pytest.mark.parametrize(
    ("right", "key"), [(2, "explain"), (3, "discuss"), (7, "discuss"), (8, "confirm")]
)
def test_the_advice_follows_the_share_right(school, right, key):
    panel = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V"] * right + ["1.36 V"] * (10 - right))
    panel.tick()
    told = say(f"class_view.advice.{key}", share=10 * right)
    assert told in plain(panel.advice.value)
    press(panel, "talking", "again")
    assert panel.advice.value == ""


@pytest.mark.parametrize(("right", "told"), [(2, True), (3, True), (4, False)])
def test_a_second_vote_that_is_no_better_gets_advice(school, right, told):
    panel = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V"] * 3 + ["6 V"] * 7)
    press(panel, "talking", "again")
    vote(school, ["6.8 V"] * right + ["6 V"] * (9 - right), attempt=2)
    panel.tick()
    # Somebody has not voted yet.
    assert panel.advice.value == ""
    vote(school, ["6 V"], attempt=2, start=10)
    panel.tick()
    advice = say("class_view.advice.no_better", first=30, again=10 * right)
    assert (advice in plain(panel.advice.value)) is told


def test_the_steps_go_in_the_order_of_the_lesson(school):
    panel = choose(panels.LiveClass())
    assert list(panel.buttons) == list(live.STAGES)
    for stage in live.STAGES:
        press(panel, stage)
        assert live.moment(school, "HEDGE7").stage == stage
        assert say(f"class_view.now.{stage}") in seen(panel)
        chosen = [n for n, b in panel.buttons.items() if "packlearn-chosen" in b._dom_classes]
        assert chosen == [stage]


@pytest.mark.parametrize("name", ["again", "why"])
def test_a_step_that_cannot_follow_is_told_with_those_that_can(school, name):
    panel = press(choose(panels.LiveClass()), "asked")
    panel.buttons[name].click()
    told = plain(panel.alert.value)
    assert word(f"class_view.steps.{name}") in told
    assert word("class_view.steps.talking") in told
    assert live.moment(school, "HEDGE7").stage == "asked"
    assert panel.errors == []


def test_a_step_before_any_question_is_told(school):
    panel = panels.LiveClass()
    panel.buttons["shown"].click()
    assert say("class_view.nothing_asked") in plain(panel.alert.value)


def test_a_vote_closed_too_soon_is_opened_again_with_its_answers(school):
    panel = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V"] * 6)
    press(panel, "talking", "asked")
    assert "6 of 28" in panel.count.value


def test_no_button_vanishes_or_is_disabled_so_the_keyboard_stays(school):
    panel = choose(panels.LiveClass())
    for stage in live.STAGES:
        press(panel, stage)
        assert all(b.layout.display != "none" for b in panel.buttons.values())
        assert not any(b.disabled for b in panel.buttons.values())


def test_looking_again_without_news_sends_nothing_to_the_page(school):
    panel = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V"] * 6)
    panel.tick()
    sent = []
    for widget in everything(panel):
        widget.observe(sent.append)
    panel.tick()
    assert sent == []
    vote_more(school, 7, 7)
    panel.tick()
    assert sent != []


def test_another_question_may_be_looked_at_while_the_class_is_at_one(school):
    panel = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V"] * 6)
    panel.task.value = "share"
    assert panel.picture.value == ""
    assert panel.count.value == ""
    assert word("class_view.now.elsewhere").partition("{")[0] in seen(panel)
    assert live.moment(school, "HEDGE7").task == TASK


def test_the_key_waits_for_its_buttons(school):
    panel = choose(panels.LiveClass())
    assert "6.8 V" not in seen(panel)
    panel.key.buttons["answer"].click()
    assert "6.8 V" in seen(panel)
    panel.task.value = "share"
    assert "6.8 V" not in seen(panel)


def test_a_restarted_kernel_goes_on_where_the_class_is(school):
    press(choose(panels.LiveClass()), "asked", "talking")
    again = panels.LiveClass()
    assert (again.page.value, again.task.value) == (PAGE, TASK)
    assert say("class_view.now.talking") in seen(again)


def away(*_):
    """A call to a server that is not there."""
    raise RecordsTrouble("records.away", place="the school's server")


def test_records_that_are_away_are_told_and_the_panel_lives_on(school, monkeypatch):
    panel = press(choose(panels.LiveClass()), "asked")

    with monkeypatch.context() as patch:
        patch.setattr(live, "moment", away)
        panel.tick()
        told = plain(panel.count.value)
        assert "the school's server" in told
        assert say("class_view.away") in told
        # A learner's words would be wrong here: a teacher locks nothing in.
        assert "you lock in" not in told
        assert panel.errors == []
    panel.tick()
    assert "0 of 28" in panel.count.value


def test_a_button_that_reached_nobody_says_so_until_the_server_is_back(school, monkeypatch):
    panel = press(choose(panels.LiveClass()), "asked")

    with monkeypatch.context() as patch:
        patch.setattr(live, "moment", away)
        patch.setattr(live, "set_stage", away)
        panel.buttons["talking"].click()
        panel.tick()
        button = panel.buttons["talking"].description
        told = plain(panel.alert.value).strip()
        assert told == word("class_view.unheard").format(value=button)
    panel.tick()
    assert panel.alert.value == ""
    assert panel.news.moment.stage == "asked"
    # What is wrong with a press stays to be read.
    panel.buttons["why"].click()
    panel.tick()
    assert panel.buttons["why"].description in plain(panel.alert.value)
    assert panel.errors == []


def test_news_fetched_before_a_press_are_left(school, monkeypatch):
    panel = press(choose(panels.LiveClass()), "asked")
    fetch = panel.fetch

    def slow():
        old = fetch()
        press(panel, "talking")
        return old

    with monkeypatch.context() as patch:
        patch.setattr(panel, "fetch", slow)
        panel.tick()
    assert say("class_view.now.talking") in seen(panel)
    assert "packlearn-chosen" in panel.buttons["talking"]._dom_classes


def test_a_slip_of_ours_is_kept_once_for_the_tests(school, monkeypatch):
    panel = panels.LiveClass()

    def slip(*_):
        raise ZeroDivisionError

    monkeypatch.setattr(live, "moment", slip)
    panel.tick()
    panel.tick()
    assert [type(error) for error in panel.errors] == [ZeroDivisionError]


# The shared screen.


@pytest.mark.parametrize(("page", "task"), LESSON_TASKS)
def test_the_shared_screen_tells_no_answer_and_no_wrong_value_before_it_is_shown(page, task):
    var = variant(page, task)
    known = "\n".join([checking.text_of(var), own_picture(var)])
    for stage in live.HELD:
        screen = projecting.screen(news(var, stage))
        shown = plain(screen)
        assert checking.text_of(var) in shown
        assert "pl-yes" not in screen
        if var.task.kind == "choice":
            # The options are the question; which of them is right, or chosen, is told nowhere.
            assert all(text in shown for text in checking.options_of(var).values())
            continue
        assert leaks(var, shown) == []
        for rule, value in checking.wrong_values(var):
            assert not holds(shown, value) or holds(known, value), rule.id


def own_picture(var):
    """Words of the picture that a learner's page shows with the open question."""
    picture = projecting.illustration(var, shown=False)
    return plain(picture.svg) if picture else ""


@pytest.mark.parametrize("stage", live.HELD)
def test_before_it_is_shown_the_screen_hangs_on_nothing_but_how_many_locked(stage):
    var = variant()
    told = news(var, stage)
    other = live.tally([live.Vote(0, "y", "unknown", (), False, "5 V")] * told.first.locked, 40)
    assert projecting.screen(told) == projecting.screen(
        told._replace(first=other, again=told.again and other._replace(locked=told.again.locked))
    )


@pytest.mark.parametrize(("page", "task"), LESSON_TASKS)
def test_the_shared_screen_tells_answer_and_why_once_they_are_shown(page, task):
    var = variant(page, task)
    answer = as_shown(say("panels.answer_is", answer=checking.answer_in_words(var)))
    steps = [as_shown(step) for step in checking.working(var)]
    shown = plain(projecting.screen(news(var, "shown")))
    assert answer in shown
    assert word("class_view.picture.first") in shown
    assert word("class_view.picture.again") in shown
    assert steps[0] not in shown
    why = plain(projecting.screen(news(var, "why")))
    assert all(step in why for step in (answer, *steps))


def test_nothing_of_the_question_stays_when_the_class_goes_on_alone():
    shown = plain(projecting.screen(news(variant(), "done")))
    assert shown.strip() == say("class_view.projector.stages.done")


def test_the_panel_of_the_shared_screen_has_no_word_of_instructor_mode(school):
    screen = panels.Projector()
    assert screen.errors == []
    assert say("class_view.projector.waiting") in seen(screen)
    assert say("class_view.band") not in seen(screen)
    assert say("panels.band") not in seen(screen)
    teacher = press(choose(panels.LiveClass()), "asked")
    vote(school, ["6.8 V"] * 6 + ["1.36 V"] * 3)
    screen.tick()
    assert say("class_view.projector.locked", count=9, seats=28) in seen(screen)
    press(teacher, "talking", "again")
    vote(school, ["6.8 V"] * 7, attempt=2)
    screen.tick()
    assert say("class_view.projector.locked", count=7, seats=28) in seen(screen)
    assert "6.8 V" not in seen(screen)
    press(teacher, "shown")
    screen.tick()
    assert "6 (67 %)" in seen(screen)
    assert "7 (100 %)" in seen(screen)
    assert screen.errors == []


def test_the_shared_screen_keeps_what_it_shows_while_records_are_away(school, monkeypatch):
    press(choose(panels.LiveClass()), "asked")
    screen = panels.Projector()
    before = screen.screen.value

    monkeypatch.setattr(live, "moment", away)
    screen.tick()
    assert screen.screen.value == before
    assert checking.text_of(variant()) in plain(before)


def test_numbers_that_differ_from_seat_to_seat_are_told_to_be_an_example():
    var = variant("unlike-cells", bank.page("unlike-cells").tasks[0].id)
    told = say("class_view.projector.example")
    assert told in plain(projecting.screen(news(var, "asked")))
    assert told not in plain(projecting.screen(news(var, "asked", code="")))
    assert told not in plain(projecting.screen(news(variant(), "asked")))


# A show of hands.


def by_hands():
    return choose(panels.LiveClass())


def rows(panel):
    return {boxes[0].value: boxes for boxes in panel.hands.boxes if boxes[0].value}


def test_without_a_class_hands_are_counted(alone):
    panel = by_hands()
    assert panel.mode.value == "hands"
    assert say("class_view.no_class") in seen(panel)
    assert {"6.8 V", "1.36 V", "6 V", word("class_view.hands.another")} == set(rows(panel))


def test_hands_make_the_same_tally_advice_and_shared_screen(alone):
    panel, screen = press(by_hands(), "asked"), panels.Projector()
    for label, count in {"6.8 V": "6", "1.36 V": "4", "6 V": "2"}.items():
        rows(panel)[label][1].value = count
    # Half a count advises nothing.
    assert plain(panel.advice.value).strip() == say("class_view.hands.rest")
    rows(panel)[word("class_view.hands.another")][1].value = "0"
    assert panel.alert.value == ""
    votes = [live.vote(variant(), text) for text in ["6.8 V"] * 6 + ["1.36 V"] * 4 + ["6 V"] * 2]
    assert set(panel.news.first.bars) == set(live.tally(votes, 12).bars)
    assert say("class_view.advice.discuss", share=50) in plain(panel.advice.value)
    screen.tick()
    assert say("class_view.projector.hands") in seen(screen)
    assert "6.8 V" not in seen(screen)
    press(panel, "talking", "again")
    rows(panel)["6.8 V"][2].value = "11"
    rows(panel)["6 V"][2].value = "1"
    press(panel, "shown")
    screen.tick()
    assert "6 (50 %)" in seen(screen)
    assert "11 (92 %)" in seen(screen)
    assert (panel.errors, screen.errors) == ([], [])


@pytest.mark.parametrize(("page", "task"), LESSON_TASKS)
def test_the_right_answer_of_the_hands_counts_as_right(page, task):
    var = variant(page, task)
    labels = hands.likely(var)
    typed = [(label, "6", "") for label in labels]
    tally = live.tally(hands.votes(var, typed, 1), 40)
    assert tally.right_share == pytest.approx(1 / len(labels))
    assert 2 <= len(labels) <= hands.MOST_ROWS
    assert len(set(labels)) == len(labels)


@pytest.mark.parametrize("typed", ["x", "-1", "201", "1.5", "9" * 50, "\u0665"])
def test_a_number_of_hands_that_cannot_be_is_told_and_kept(alone, typed):
    panel = press(by_hands(), "asked")
    rows(panel)["6 V"][1].value = typed
    told = plain(panel.count.value)
    assert "6 V" in told
    assert "200" in told
    assert typed[: hands.LONGEST] in told
    assert 'role="alert"' in panel.count.value
    assert panel.errors == []
    assert rows(panels.LiveClass())["6 V"][1].value == typed
    rows(panel)["6 V"][1].value = "3"
    assert panel.alert.value == ""
    assert say("class_view.picture.first") in plain(panel.count.value)


def test_hands_without_an_answer_and_too_many_hands_are_told(alone):
    panel = press(by_hands(), "asked")
    panel.hands.boxes[5][1].value = "3"
    assert "3 hands without an answer" in plain(panel.count.value)
    panel.hands.boxes[5][1].value = ""
    for boxes in panel.hands.boxes[:3]:
        boxes[1].value = "100"
    assert "300 hands" in plain(panel.count.value)
    assert panel.errors == []


def test_hands_that_are_typed_outlive_the_kernel(alone):
    panel = press(by_hands(), "asked")
    rows(panel)["6.8 V"][1].value = "7"
    panel.hands.boxes[4][0].value = "5 V"
    panel.hands.boxes[4][1].value = "8"
    again = panels.LiveClass()
    assert (again.page.value, again.task.value) == (PAGE, TASK)
    assert again.hands.rows == panel.hands.rows
    assert "15 hands" in plain(again.count.value)
    again.task.value = "share"
    again.task.value = TASK
    assert again.hands.rows == panel.hands.rows


def test_what_is_typed_is_hostile_and_bounded(alone):
    panel = press(by_hands(), "asked")
    panel.hands.boxes[4][0].value = HOSTILE.format("x" * 500)
    panel.hands.boxes[4][1].value = "9"
    press(panel, "talking", "again", "shown")
    screen = panels.Projector()
    for shown in (panel.picture.value, screen.screen.value):
        assert "<script" not in shown
        assert "x" * 100 not in shown
    assert escape("<script>") in screen.screen.value


@pytest.mark.parametrize(
    "damage",
    ["", "[]", "{", '{"on": true}', '{"on": 1, "page": 1, "task": "", "stage": "x", "typed": {}}'],
)
def test_a_damaged_file_of_hands_is_as_none(alone, damage):
    learner_folder().mkdir(parents=True, exist_ok=True)
    (learner_folder() / hands.FILE).write_text(damage, encoding="utf-8")
    assert hands.read() == hands.Shown()
    assert panels.LiveClass().errors == []


def test_a_file_with_a_question_that_is_gone_keeps_the_panel_alive(alone):
    told = {"on": True, "page": "lesson-3", "task": "gone", "stage": "asked", "typed": {}}
    learner_folder().mkdir(parents=True, exist_ok=True)
    (learner_folder() / hands.FILE).write_text(json.dumps(told), encoding="utf-8")
    panel = panels.LiveClass()
    assert panel.errors == []
    assert "gone" in panel.count.value
    press(choose(panel), "asked")


def test_a_folder_that_cannot_be_written_to_is_told(alone, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(places.os, "replace", full)
    with pytest.raises(BadFile, match="No space left"):
        hands.keep(hands.Shown())


def test_from_the_seats_to_hands_and_back(school):
    panel = press(choose(panels.LiveClass()), "asked", "talking")
    vote(school, ["6.8 V"] * 6)
    panel.mode.value = "hands"
    # The class goes on where it was.
    assert say("class_view.now.talking") in seen(panel)
    assert panel.hands.layout.display is None
    assert "6 of 28" not in seen(panel)
    press(panel, "again")
    assert live.moment(school, "HEDGE7").stage == "talking"
    panel.mode.value = "seats"
    assert "6 of 28" in panel.count.value
    assert panel.hands.layout.display == "none"


def test_hands_of_before_stay_where_the_seats_are_at_nothing(school):
    panel = choose(panels.LiveClass())
    panel.mode.value = "hands"
    press(panel, "asked")
    panel.mode.value = "seats"
    assert say("class_view.now.nothing") in seen(panel)
    panel.mode.value = "hands"
    assert say("class_view.now.asked") in seen(panel)


def test_hands_that_come_before_any_question_are_told():
    with pytest.raises(BadValue):
        showing.Hands().set_stage("shown")


# Looking once a second.


def test_one_thread_looks_for_all_and_the_newest_of_a_kind_only(monkeypatch):
    monkeypatch.setattr(ticking, "_WATCHED", {})
    monkeypatch.setattr(ticking, "_THREADS", [])
    started = []

    class Thread:
        def __init__(self, **how):
            self.how = how

        def start(self):
            started.append(self.how)

        def is_alive(self):
            return True

    monkeypatch.setattr(ticking.threading, "Thread", Thread)

    class One:
        pass

    class Two:
        pass

    first, second, third = One(), One(), Two()
    for panel in (first, second, third):
        ticking.watch(panel)
    assert [how["daemon"] for how in started] == [True]
    assert [look() for look in ticking._WATCHED.values()] == [second, third]


def test_looking_begins_when_the_panel_is_shown(alone, monkeypatch):
    watched = []
    monkeypatch.setattr(ticking, "watch", watched.append)
    panel = panels.Projector()
    assert watched == []
    panel._repr_mimebundle_()
    assert watched == [panel]


# The notebooks.


def pages():
    return sorted((lessons_folder() / "class").glob("*.ipynb"))


def test_the_pages_of_a_class_are_the_teachers_only():
    names = {f"class/{path.name}" for path in pages()}
    assert names == {"class/live-class.ipynb", "class/projector.ipynb"}
    assert names <= set(laying.shipped("teach"))
    assert not names & set(laying.shipped("learn"))


@pytest.mark.parametrize("path", pages(), ids=lambda path: path.stem)
def test_a_page_of_a_class_has_one_line_and_starts_by_itself(path):
    from packlearn import notebooks

    raw = json.loads(path.read_text(encoding="utf-8"))
    assert path.read_text(encoding="utf-8") == notebooks.text(raw)
    assert raw["metadata"]["packlearn"] == {"autorun": True}
    (code,) = [cell for cell in raw["cells"] if cell["cell_type"] == "code"]
    assert code["metadata"]["jupyter"] == {"source_hidden": True}
    assert code["source"][-1] in ("panels.LiveClass()", "panels.Projector()")
    assert "notebook:run-all-cells" in "".join(raw["cells"][-1]["source"])


def test_the_panel_links_to_the_shared_screen_beside_it(school):
    link = re.search(r"href='([^']+)' target='_blank'", panels.LiveClass().lead.value)[1]
    assert link in {path.name for path in pages()}
