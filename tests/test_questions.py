"""The flow of one question: predict, say how sure, lock, look, compare, go on."""

import html
import json
import os
import re
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from ipywidgets import Widget
from ipywidgets.widgets.widget_layout import Layout
from ipywidgets.widgets.widget_style import Style

from packlearn import panels, sizing
from packlearn.packs import Pack
from packlearn.panels import base
from packlearn.panels.illustrations import illustration
from packlearn.pictures import style_sheet
from packlearn.quantities import read
from packlearn.records import Prediction, Records
from packlearn.tasks import (
    bank,
    benches,
    checking,
    faults,
    missing,
    orders,
    picks,
    reasons,
    several,
)
from packlearn.tasks.answers import ASKED
from packlearn.words import as_shown, say, word

# One task of each kind of answer, and text that is wrong without being a known slip.
KINDS = {
    "number": ("predict-the-pack", "lantern-volts", "9.9 kV"),
    "range": ("predict-the-pack", "meter-after-rest", "9.9 kV"),
    "count": ("predict-the-pack", "kit-count", "999"),
    "name": ("predict-the-pack", "name-it", "9S9P"),
    "choice": ("predict-the-pack", "which-holds-more", None),
    "design": ("meet-the-need", "lantern-pack", "1S1P"),
    "wire": ("wiring-names", "wire-the-name", None),
    "fault": ("find-the-fault", "fault-of-three", None),
    "numbers": ("predict-the-pack", "beacon-sheet", None),
    "order": ("meet-the-need", "from-need-to-pack", None),
    "pick": ("wiring-names", "point-in-line", None),
    "estimate": ("under-load", "how-long-about", "1 min to 1.2 min"),
    "reason": ("predict-the-pack", "stronger-and-why", None),
}
WRONG_REASON = {"stronger_pack": "cells", "longer_pack": "line", "holds_because": "rest"}
NUMBERS = [(page, task) for page, task, _ in (KINDS["number"], KINDS["range"])]
NUMBERS += [("lesson-3", "in-line"), ("meet-the-need", "camera-hours")]
EVERY_TASK = [(page, task.id) for page in bank.pages() for task in bank.page(page).tasks]
# Parts of a widget's state that a learner can see or hear.
SEEN = ("value", "description", "tooltip", "tooltips", "placeholder", "_options_labels")


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A learner's folder of the test's own."""
    for name in ("PACKLEARN_RECORDS", "PACKLEARN_MODE", "PACKLEARN_SEAT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "learner"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture(autouse=True)
def _no_hidden_trouble(caplog):
    """ipywidgets only logs what goes wrong in a button's callback; a test shall see it."""
    yield
    hidden = [record.getMessage() for record in caplog.get_records("call")]
    assert not [text for text in hidden if "Exception in" in text]


# What a learner does and sees.


def lock(question, typed, sure="think"):
    """Type, choose how sure, press the button; errors that nobody expects are told."""
    question.answer.value = typed
    question.confidence.value = sure
    question.lock.click()
    assert question.errors == []
    return question


def open_question(page, task):
    return panels.Question(page, task)


def numbers_of(var):
    """What differs from one variant to the next beside the text."""
    if var.task.kind == "pick":
        return [picks.told(var.task, var.givens)["shuffle_number"]]
    if var.task.kind == "order":
        return [orders.told(var.task, var.givens)["shuffle_number"]]
    return [right_text(var)]


def closed_question(page, task, typed=None):
    """A question answered and compared, right unless told otherwise."""
    question = open_question(page, task)
    lock(question, typed or right_text(question.variant))
    if question.phase == "look":
        question.saw[1].click()
    return question


def right_text(var):
    """The right answer as somebody would type it."""
    if "missing" in var.givens:
        return missing.to_line(var.givens["missing"])
    if var.task.kind == "numbers":
        return several.to_line([right_text(part) for part in several.parts_of(var)])
    answer = checking.answer_of(var.task, var.givens)
    return RIGHT.get(var.task.kind, number_text)(var, answer)


def number_text(var, answer):
    middle = sum(answer) / 2 if var.task.kind == "range" else answer
    return f"{digits(100 * middle if var.task.unit == '%' else middle)} {var.task.unit}"


RIGHT = {
    "choice": lambda var, answer: answer,
    "count": lambda var, answer: str(answer),
    "name": lambda var, answer: "{}S{}P".format(*answer),
    "design": lambda var, answer: sizing.size(answer, [var.cell])[0].pack.name,
    "wire": lambda var, answer: benches.to_line(benches.joined(var.givens)),
    "fault": lambda var, answer: faults.to_line(answer, [("red", "black", False)]),
    "order": lambda var, answer: orders.to_line(answer),
    "pick": lambda var, answer: picks.to_line(answer),
    "estimate": lambda var, answer: (
        f"{digits(answer * 0.9)} to {digits(answer * 1.1)} {var.task.unit}"
    ),
    "reason": lambda var, answer: reasons.to_line(
        answer, ASKED[var.task.asked].because(var.givens)
    ),
}


def digits(number):
    """A number as typed; 3.654 would be asked back, since it may mean 3654."""
    text = f"{number:.6g}"
    return f"{text}0" if re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", text) else text


def wrong_text(var):
    """A wrong answer that can be read."""
    if var.task.kind == "numbers":
        return several.to_line([wrong_text(part) for part in several.parts_of(var)])
    return WRONG[var.task.kind](var)


def other_choice(var):
    return next(key for key in checking.options_of(var) if key != right_text(var))


def other_fault(var):
    true = checking.answer_of(var.task, var.givens)
    return faults.to_line(next(key for key in faults.known(var.givens) if key != true), [])


def wrong_pick(var):
    """One thing too few, or another one."""
    things, answer = picks.things_of(var), checking.answer_of(var.task, var.givens)
    if ASKED[var.task.asked].picks == "contacts":
        return picks.to_line((things[0], things[-1]))
    return picks.to_line([next(name for name in things if name not in answer)])


WRONG = {
    "choice": other_choice,
    "number": lambda var: f"987654 {var.task.unit}",
    "range": lambda var: f"987654 {var.task.unit}",
    "count": lambda var: "98",
    "name": lambda var: "9S9P",
    "design": lambda var: "1S1P",
    "wire": lambda var: benches.to_line(benches.joined(var.givens).leads(None, None)),
    "fault": other_fault,
    "order": lambda var: orders.to_line(reversed(checking.answer_of(var.task, var.givens))),
    "pick": wrong_pick,
    "estimate": lambda var: f"9876 to 9877 {var.task.unit}",
    "reason": lambda var: right_text(var).partition("|")[0] + "| " + WRONG_REASON[var.task.asked],
}


def beside_the_answer(question):
    """All of a question but what the answer is written or chosen in."""
    # A list of faults or options to choose from holds the answer among others.
    chosen_from = everything(question.answer)
    return [widget for widget in everything(question) if widget not in chosen_from]


def inner(widget):
    """Widgets kept in the attributes and traits of a widget, shown or not."""
    bags = [vars(widget), widget._trait_values]
    while bags:
        bag = bags.pop()
        parts = bag.values() if isinstance(bag, dict) else bag
        for part in parts:
            if isinstance(part, Widget):
                yield part
            elif isinstance(part, (dict, list, tuple)):
                bags.append(part)


def everything(*roots):
    """A panel and all that belongs to it, shown or not."""
    found, waiting = {}, list(roots)
    while waiting:
        widget = waiting.pop()
        if id(widget) not in found and not isinstance(widget, (Layout, Style)):
            found[id(widget)] = widget
            waiting += inner(widget)
    return list(found.values())


def on_show(widget):
    """A panel and what is shown of it, from top to bottom."""
    if widget.layout.display == "none":
        return
    yield widget
    for child in getattr(widget, "children", ()):
        yield from on_show(child)


def texts(widgets):
    """Everything that can be read in widgets; the style sheet is left out."""
    for widget in widgets:
        if "packlearn-style" in getattr(widget, "_dom_classes", ()):
            continue
        for name in SEEN:
            part = getattr(widget, name, None)
            for text in part if isinstance(part, (list, tuple)) else [part]:
                if isinstance(text, str) and text:
                    yield html.unescape(text)


def seen(panel):
    """All that can be read on a panel now, as one text."""
    return "\n".join(texts(on_show(panel)))


def said(panel):
    """Words of the feedback, without marks of HTML."""
    return html.unescape(re.sub(r"<[^>]+>", "\n", panel.status.value))


def holds(text, words):
    """Whether words stand in a text, and not as a part of a longer number or name."""
    words, text = re.escape(as_shown(words)), as_shown(text)
    return re.search(rf"(?<![\w.]){words}(?!\w|\.\d)", text) is not None


def stored():
    return Records.default().all()


# Before the lock.


@pytest.mark.parametrize(("page", "task"), NUMBERS)
def test_a_number_without_a_unit_is_asked_back_and_costs_nothing(page, task):
    question = open_question(page, task)
    lock(question, "6.2", "sure")
    assert "6.2 what?" in said(question)
    assert stored() == []
    assert (question.answer.value, question.confidence.value) == ("6.2", "sure")
    assert question.entry in on_show(question)
    assert question.phase == "open"
    lock(question, right_text(question.variant), "sure")
    assert [entry.locked.attempt for entry in stored()] == [1]
    assert stored()[0].result.right


@pytest.mark.parametrize("typed", ["", "   ", "about six", "1,900 mAh", "1.500 V", "1,500.5 V"])
def test_what_cannot_be_read_is_asked_back_and_costs_nothing(typed):
    question = open_question("predict-the-pack", "logger-capacity")
    lock(question, typed)
    assert said(question).strip()
    assert stored() == []
    assert question.answer.value == typed
    assert question.entry in on_show(question)


@pytest.mark.parametrize("kind", KINDS)
def test_without_a_confidence_it_asks_and_keeps_what_was_typed(kind):
    question = open_question(*KINDS[kind][:2])
    typed = right_text(question.variant)
    lock(question, typed, None)
    assert say("panels.how_sure") in said(question)
    assert stored() == []
    assert question.answer.value == typed
    question.confidence.value = "guess"
    question.lock.click()
    assert [entry.locked.confidence for entry in stored()] == ["guess"]


def test_choosing_nothing_is_asked_back():
    question = open_question(*KINDS["choice"][:2])
    lock(question, None)
    assert say("tasks.empty") in said(question)
    assert stored() == []


# The lock.


@pytest.mark.parametrize(("page", "task"), EVERY_TASK)
def test_nothing_of_the_answer_is_shown_before_it_is_on_disk(page, task, monkeypatch):
    question = open_question(page, task)
    answer = as_shown(checking.answer_in_words(question.variant))
    told = answer in checking.text_of(question.variant)
    calls = []

    def spy(name):
        real = getattr(Records, name)

        def spied(self, *args, **more):
            boxes = beside_the_answer(question)
            calls.append((name, answer in "\n".join(texts(boxes))))
            return real(self, *args, **more)

        monkeypatch.setattr(Records, name, spied)

    spy("lock")
    spy("settle")
    for _ in range(question.task.attempts):
        lock(question, wrong_text(question.variant))
    assert [name for name, _ in calls] == ["lock", "settle"] * question.task.attempts
    if not told:
        assert not any(shown for _, shown in calls)
    assert answer in "\n".join(texts(everything(question)))


def test_lock_and_result_are_written_in_the_words_of_the_learner():
    question = lock(open_question(*KINDS["number"][:2]), "  7,5 V ", "sure")
    entry = stored()[0]
    assert entry.locked.typed == "  7,5 V "
    assert (entry.locked.value, entry.locked.unit) == (7.5, "V")
    assert (entry.locked.page, entry.locked.task) == KINDS["number"][:2]
    assert (entry.locked.variant, entry.locked.attempt) == (0, 1)
    assert (entry.locked.confidence, entry.locked.seat) == ("sure", "")
    assert entry.locked.givens == json.loads(json.dumps(question.variant.givens))
    assert "You wrote: 7,5 V (Sure)." in said(question)


def test_a_seat_has_its_own_answers(monkeypatch):
    monkeypatch.setenv("PACKLEARN_SEAT", "b-12")
    closed_question("lesson-3", "in-line")
    assert [entry.locked.seat for entry in stored()] == ["b-12"]
    monkeypatch.setenv("PACKLEARN_SEAT", "b-13")
    assert open_question("lesson-3", "in-line").phase == "open"


def test_locked_entries_never_change():
    question = lock(open_question(*KINDS["number"][:2]), "9.9 kV", "sure")
    first = stored()[0]
    lock(question, right_text(question.variant), "guess")
    question.saw[1].click()
    question.another.click()
    question.answer.value = "1 V"
    open_question(*KINDS["number"][:2])
    again = stored()[0]
    assert again.locked == first.locked
    assert again.result == first.result
    assert again.result.settled_at == first.result.settled_at


def test_the_locked_text_stands_unchanged_beside_the_result():
    question = lock(open_question(*KINDS["number"][:2]), "9,9 kV", "sure")
    question.answer.value = "6 V"
    assert "You wrote: 9,9 kV (Sure)." in said(question)
    lock(question, right_text(question.variant))
    assert "You wrote: 9,9 kV (Sure)." in said(question)
    question.saw[1].click()
    assert "You wrote: 9,9 kV (Sure)." in said(question)


@pytest.mark.parametrize("typed", ["6.2", "about six", "", "6.2 V"])
def test_what_was_locked_stays_on_show_while_the_next_try_is_asked_back(typed):
    question = lock(open_question(*KINDS["number"][:2]), "9.9 kV", "sure")
    lock(question, typed, None)
    assert len(stored()) == 1
    assert "You wrote: 9.9 kV (Sure)." in said(question)


# Attempts.


TRIED = [pair[:2] for pair in KINDS.values()] + [("lesson-3", "in-line"), ("lesson-4", "whole")]


@pytest.mark.parametrize(("page", "task"), TRIED)
def test_as_many_tries_as_the_task_says(page, task):
    question = open_question(page, task)
    tries = question.task.attempts
    for done in range(1, tries + 1):
        assert question.phase == "open"
        assert question.entry in on_show(question)
        lock(question, wrong_text(question.variant))
        assert len(stored()) == done
    assert question.phase in ("look", "done")
    assert question.entry not in on_show(question)
    assert [entry.result.revealed for entry in stored()] == [False] * (tries - 1) + [True]


@pytest.mark.parametrize(("page", "task"), TRIED)
def test_a_press_that_comes_late_locks_nothing_and_takes_nothing_away(page, task):
    # A slow machine, and an impatient learner who presses twice.
    question = lock(open_question(page, task), right_text(open_question(page, task).variant))
    before = seen(question)
    question.lock.click()
    assert seen(question) == before
    question.confidence.value = "sure"
    question.lock.click()
    assert len(stored()) == 1
    assert question.errors == []


def test_the_second_press_of_a_double_click_leaves_the_slip_on_show():
    question = lock(open_question(*KINDS["number"][:2]), "9.9 kV", "sure")
    before = seen(question)
    question.lock.click()
    assert seen(question) == before
    assert say("panels.how_sure") not in said(question)
    assert len(stored()) == 1


def test_lessons_give_one_try_and_pages_of_tasks_two():
    for page, task in EVERY_TASK:
        entry = bank.page(page).task(task)
        # Lesson 12 works out the learner's own device, as tasks do.
        one = (page.startswith("lesson") and page != "lesson-12") or entry.kind == "choice"
        # What one designs, wires or measures is answered with why, and may be mended.
        made = entry.kind in ("design", "wire", "fault")
        assert entry.attempts == (1 if one and not made else 2), (page, task)


def test_a_right_first_try_closes_the_question():
    question = lock(open_question(*KINDS["number"][:2]), "9.9 kV")
    assert question.phase == "open"
    other = closed_question(*KINDS["count"][:2])
    assert other.phase == "done"
    assert len([e for e in stored() if e.locked.task == KINDS["count"][1]]) == 1


def slips(page, task):
    """Texts that a known wrong rule of a task gives, with the rule."""
    var = checking.variant(bank.page(page).task(task), 0)
    values = dict(checking.wrong_values(var))
    if var.task.kind == "numbers":
        # The other boxes hold; with two slips the first is told.
        return [pair for at in range(len(several.parts_of(var))) for pair in slips_of_part(var, at)]
    if var.task.kind == "wire":
        values = {rule: wired(*rule.value(var.givens)) for rule in values}
    if var.task.kind == "pick":
        values = {rule: text.replace(",", "") for rule, text in values.items()}
    if var.task.kind == "estimate":
        values = {rule: range_round(rule.value(var.givens), var.task.unit) for rule in values}
    return [(rule, text) for rule, text in values.items()]


def range_round(value, unit):
    return f"{0.95 * value:.4f} to {1.05 * value:.4f} {unit}"


def slips_of_part(var, at):
    parts = several.parts_of(var)
    for rule, text in checking.wrong_values(parts[at]):
        texts = [right_text(part) for part in parts]
        yield rule, several.to_line([*texts[:at], text, *texts[at + 1 :]])


def wired(series, parallel):
    return benches.to_line(benches.joined({"series": series, "parallel": parallel}))


SLIPS = [
    (page, task, rule, text)
    for page, task in EVERY_TASK
    if bank.page(page).task(task).attempts > 1
    for rule, text in slips(page, task)
]


@pytest.mark.parametrize(
    ("page", "task", "rule", "typed"), SLIPS, ids=[f"{p}-{t}-{r.id}" for p, t, r, _ in SLIPS]
)
def test_after_the_first_wrong_try_the_slip_is_told_and_not_the_number(page, task, rule, typed):
    question = lock(open_question(page, task), typed)
    entry = stored()[0]
    assert rule.id in entry.result.mistakes
    assert question.phase == "open"
    answer, asked = checking.answer_in_words(question.variant), checking.text_of(question.variant)
    written = checking.typed_in_words(question.variant, typed)
    told = said(question).replace(typed, "").replace(written, "")
    assert holds(asked, answer) or not holds(told, answer)
    if entry.result.verdict in ("mistake", "unfit"):
        assert all(text in said(question) for text in checking.check(question.variant, typed).says)
    else:
        assert say("tasks.which") in said(question)


def test_an_unknown_value_is_led_to_the_first_step():
    question = lock(open_question(*KINDS["number"][:2]), "9.9 kV")
    assert word("tasks.working.pack_voltage_v.first") in said(question)
    assert stored()[0].result.verdict == "unknown"


# The reveal, in steps.


def reveal(page, task, typed):
    """A question whose last try is locked; every earlier one too."""
    question = open_question(page, task)
    while question.phase == "open":
        lock(question, typed)
    return question


@pytest.mark.parametrize("kind", ["number", "range", "count"])
def test_first_the_answer_alone_then_the_look_question(kind):
    page, task, wrong = KINDS[kind]
    question = reveal(page, task, wrong)
    answer = say("panels.answer_is", answer=checking.answer_in_words(question.variant))
    assert question.phase == "look"
    assert said(question).index("You wrote") < said(question).index(answer)
    assert say("panels.saw.question") in said(question)
    assert question.saw_row in on_show(question)
    for step in checking.working(question.variant)[:-1]:
        assert step not in seen(question)
    assert question.another_row not in on_show(question)


@pytest.mark.parametrize("kind", ["number", "range", "count"])
def test_then_the_comparison_then_the_working_with_the_right_number_last(kind):
    page, task, wrong = KINDS[kind]
    question = reveal(page, task, wrong)
    question.saw[0].click()
    words = said(question)
    steps = checking.working(question.variant)
    parts = [
        "You wrote",
        say("panels.answer_is", answer=checking.answer_in_words(question.variant)),
        say("panels.compare.agree", how=say("panels.compare.less")),
        checking.check(question.variant, wrong).says[0],
        *steps,
    ]
    places = [words.index(part) for part in parts]
    assert places == sorted(places)
    assert steps[-1].rstrip(".").endswith(checking.answer_in_words(question.variant))
    assert question.another_row in on_show(question)
    assert question.saw_row not in on_show(question)


def test_an_invitation_to_look_again_where_the_numbers_say_otherwise():
    question = reveal(*KINDS["number"])
    question.saw[2].click()
    assert say("panels.compare.differ", how=say("panels.compare.less")) in said(question)


def test_right_within_the_tolerance_counts_as_what_was_written():
    question = open_question("predict-the-pack", "lantern-volts")
    answer = checking.answer_of(question.task, question.variant.givens)
    lock(question, f"{digits(answer * 1.015)} V")
    question.saw[1].click()
    assert say("panels.compare.agree", how=say("panels.compare.equal")) in said(question)


def test_who_sees_the_small_difference_is_right_too():
    for saw, factor, key in ((0, 1.015, "near"), (2, 0.985, "near"), (2, 1.015, "differ")):
        question = open_question("predict-the-pack", "lantern-volts")
        answer = checking.answer_of(question.task, question.variant.givens)
        lock(question, f"{digits(answer * factor)} V")
        question.saw[saw].click()
        start = word(f"panels.compare.{key}").partition("{")[0]
        assert start in said(question)
        Records.default().forget_all()


def test_a_last_digit_of_the_computer_is_no_small_difference(monkeypatch):
    question = open_question("predict-the-pack", "lantern-volts")
    answer = checking.answer_of(question.task, question.variant.givens)
    monkeypatch.setattr(checking, "answer_of", lambda *_: answer * (1 - 1e-15))
    lock(question, f"{digits(answer)} V")
    question.saw[0].click()
    assert word("panels.compare.differ").partition("{")[0] in said(question)


def test_what_was_seen_is_stored_once():
    question = reveal(*KINDS["number"])
    question.saw[0].click()
    assert stored()[-1].saw == "less"
    question.saw[2].click()
    assert stored()[-1].saw == "less"
    assert 'role="alert"' in question.alert.value
    assert question.errors == []
    assert question.phase == "done"


def test_a_unit_of_another_kind_is_a_slip_and_not_compared():
    question = lock(open_question("lesson-3", "in-line"), "6.8 A")
    assert question.phase == "done"
    assert stored()[0].result.verdict == "mistake"
    assert stored()[0].locked.value is None
    assert said(question).count("The answer:") == 1


def test_the_sentence_after_the_answer_comes_with_it():
    question = closed_question("predict-the-pack", "meter-after-rest")
    after = question.task.after
    assert after
    assert after in said(question)
    assert after not in seen(open_question("lesson-2", "meter"))


# Every kind of answer.


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_takes_a_right_answer(kind):
    question = closed_question(*KINDS[kind][:2])
    assert question.phase == "done"
    assert stored()[0].result.right
    assert as_shown(checking.answer_in_words(question.variant)) in said(question)


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_tells_a_wrong_answer(kind):
    page, task, wrong = KINDS[kind]
    question = open_question(page, task)
    lock(question, wrong or wrong_text(question.variant))
    assert not stored()[0].result.right
    assert "You wrote" in said(question)


def test_a_choice_is_shown_in_its_own_words_and_kept_as_its_key():
    question = open_question(*KINDS["choice"][:2])
    key = wrong_text(question.variant)
    lock(question, key)
    assert stored()[0].locked.typed == key
    assert checking.options_of(question.variant)[key] in said(question)
    assert question.phase == "done"


def test_any_pack_that_meets_the_need_is_right():
    question = open_question(*KINDS["design"][:2])
    need = checking.answer_of(question.task, question.variant.givens)
    fits = [choice.pack for choice in sizing.size(need, [question.variant.cell]) if choice.fits]
    assert len(fits) > 1
    lock(question, fits[-1].name)
    assert stored()[0].result.right
    assert fits[0].name in said(question)


def test_an_unfit_pack_hears_why():
    question = open_question(*KINDS["design"][:2])
    need = checking.answer_of(question.task, question.variant.givens)
    lock(question, "1S1P")
    why = sizing.check(need, Pack(question.variant.cell, 1, 1)).why_not
    assert why
    assert all(reason in said(question) for reason in why)
    assert stored()[0].result.verdict == "unfit"


@pytest.mark.parametrize("typed", ["5,2 V", "5200 mV", "5.2V", " 5.2  volts"])
def test_units_and_commas_are_read_as_people_write_them(typed):
    question = lock(open_question("lesson-3", "in-line"), typed)
    assert stored()[0].locked.value == pytest.approx(read(typed, "V").value)
    assert typed.strip() in said(question)


# Two rules for one value.


def two_rules():
    """A question locked with a value that two wrong rules give."""
    question = open_question("predict-the-pack", "lantern-hours")
    one_string = Pack(question.variant.cell, question.variant.givens["series"], 1)
    typed = f"{one_string.run_time_h(question.variant.givens['current_a']):.4g} h"
    return lock(question, typed)


def which(question):
    return {b.description: b for b in question.which_row.children}


def test_where_two_rules_give_the_value_it_asks_which():
    question = two_rules()
    assert set(stored()[0].result.mistakes) == {"M03", "M05"}
    assert say("tasks.which") in said(question)
    assert question.which_row in on_show(question)
    did = {word("mistakes.M03")["did"], word("mistakes.M05")["did"]}
    assert set(which(question)) == did | {say("panels.none_of_these")}


@pytest.mark.parametrize("rule", ["M03", "M05"])
def test_the_rule_that_was_used_gets_its_sentence(rule):
    question = two_rules()
    which(question)[word(f"mistakes.{rule}")["did"]].click()
    first = word(f"mistakes.{rule}")["says"].partition("{")[0]
    assert first in said(question)
    assert question.errors == []
    assert not holds(said(question), checking.answer_in_words(question.variant))


def test_none_of_these_leads_to_the_first_step():
    question = two_rules()
    which(question)[say("panels.none_of_these")].click()
    assert checking.first_step(question.variant) in said(question)


def test_after_the_last_try_saying_which_takes_nothing_away():
    question = two_rules()
    lock(question, question.answer.value)
    question.saw[2].click()
    before = said(question)
    which(question)[word("mistakes.M05")["did"]].click()
    after = said(question)
    assert "You wrote" in after
    assert say("panels.answer_is", answer=checking.answer_in_words(question.variant)) in after
    assert all(step in after for step in checking.working(question.variant)), (before, after)


# Another one.


@pytest.mark.parametrize(("page", "task"), EVERY_TASK)
def test_another_one_has_other_numbers_and_an_empty_box(page, task):
    question = closed_question(page, task)
    for number in range(1, 3):
        before = checking.text_of(question.variant), *numbers_of(question.variant)
        question.another.click()
        assert question.number == number
        now = checking.text_of(question.variant), *numbers_of(question.variant)
        assert now != before
        assert now[0] in seen(question)
        assert (question.answer.value or "", question.confidence.value) == ("", None)
        assert said(question).strip() == ""
        assert question.phase == "open"
    lock(question, right_text(question.variant))
    assert stored()[-1].result.right
    assert stored()[-1].locked.variant == 2


def test_another_choice_has_options_with_its_own_numbers():
    question = closed_question(*KINDS["choice"][:2])
    question.another.click()
    options = checking.options_of(question.variant)
    assert [(text, key) for key, text in options.items()] == list(question.answer.options)


# A restart.

PHASES = ("fresh", "first try", "look", "done", "second variant", "which")


def brought_to(phase):
    if phase == "which":
        return two_rules()
    question = open_question(*KINDS["number"][:2])
    if phase == "first try":
        lock(question, "9.9 kV")
    if phase in ("look", "done", "second variant"):
        lock(question, right_text(question.variant))
    if phase in ("done", "second variant"):
        question.saw[1].click()
    if phase == "second variant":
        question.another.click()
        lock(question, "9.9 kV")
    return question


def snapshot(question):
    """All that is shown, but for what stands in the box and is not locked."""
    question.answer.value = ""
    return [list(texts([widget])) for widget in on_show(question)]


@pytest.mark.parametrize("phase", PHASES)
def test_a_rebuilt_panel_stands_where_the_old_one_stood(phase):
    old = brought_to(phase)
    new = open_question(old.task.page, old.task.id)
    assert (new.phase, new.number, new.entries) == (old.phase, old.number, old.entries)
    assert snapshot(new) == snapshot(old)
    if new.phase == "open":
        lock(new, right_text(new.variant))
        assert stored()[-1].result.right


def test_another_one_opened_and_not_locked_comes_again_after_a_restart():
    old = closed_question(*KINDS["number"][:2])
    old.another.click()
    new = open_question(*KINDS["number"][:2])
    assert (new.number, new.phase) == (0, "done")
    new.another.click()
    assert new.variant == old.variant
    assert snapshot(new) == snapshot(old)


class Killed(BaseException):
    """The kernel is gone: nothing after this line runs."""


def killed_after_lock(question, monkeypatch):
    def killed(*args, **more):
        raise Killed

    with monkeypatch.context() as patch:
        patch.setattr(Records, "settle", killed)
        with pytest.raises(Killed):
            question.lock_in()


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("hit", ["right", "wrong"])
def test_a_kernel_killed_between_lock_and_result_is_mended(kind, hit, monkeypatch):
    question = open_question(*KINDS[kind][:2])
    question.answer.value = (right_text if hit == "right" else wrong_text)(question.variant)
    question.confidence.value = "sure"

    killed_after_lock(question, monkeypatch)
    assert [entry.result for entry in stored()] == [None]
    again = open_question(*KINDS[kind][:2])
    entry = stored()[0]
    assert entry.result.right == (hit == "right")
    assert entry.locked.typed == question.answer.value
    assert "You wrote" in said(again)
    assert again.phase != "open" or again.task.attempts == 2


# Two tabs.


def test_the_second_of_two_tabs_is_told_and_loses_nothing():
    one, two = (open_question(*KINDS["number"][:2]) for _ in range(2))
    lock(one, "9.9 kV", "sure")
    lock(two, "8.8 kV", "guess")
    assert "9.9 kV" in two.alert.value
    assert "8.8 kV" in two.alert.value
    assert [entry.locked.typed for entry in stored()] == ["9.9 kV"]
    assert two.answer.value == "8.8 kV"
    assert "You wrote: 9.9 kV (Sure)." in said(two)
    lock(two, "8.8 kV", "guess")
    assert [entry.locked.attempt for entry in stored()] == [1, 2]
    assert two.alert.value == ""


def test_the_second_of_two_tabs_shows_the_reveal_of_the_first():
    one, two = (open_question("lesson-3", "in-line") for _ in range(2))
    lock(one, "9.9 kV")
    lock(two, right_text(two.variant))
    assert [entry.locked.typed for entry in stored()] == ["9.9 kV"]
    assert two.phase == one.phase == "look"
    one.saw[0].click()
    two.saw[2].click()
    assert stored()[0].saw == "less"
    assert 'role="alert"' in two.alert.value
    assert two.phase == "done"


def test_a_tab_beside_a_killed_kernel_goes_on(monkeypatch):
    one, two = (open_question(*KINDS["number"][:2]) for _ in range(2))
    one.answer.value, one.confidence.value = "9.9 kV", "sure"
    killed_after_lock(one, monkeypatch)
    lock(two, "8.8 kV")
    assert "9.9 kV" in said(two)
    assert stored()[0].result is not None


# After the records were deleted.


@pytest.mark.parametrize("phase", ["first try", "look"])
def test_a_question_open_beside_delete_all_can_be_answered_again(phase):
    question = brought_to(phase)
    Records.default().forget_all()
    if phase == "look":
        question.saw[0].click()
        assert question.phase == "open"
    for _ in range(3):
        lock(question, "9.9 kV")
    assert [entry.locked.attempt for entry in stored()] == [1, 2]
    assert question.phase == "look"
    assert question.errors == []


# A bank that has changed since.


def test_a_changed_task_opens_its_next_variant(monkeypatch):
    closed_question(*KINDS["number"][:2])
    real = checking.variant

    def changed(task, number):
        var = real(task, number)
        return replace(var, givens=var.givens | {"series": var.givens["series"] + 1})

    monkeypatch.setattr(checking, "variant", changed)
    question = open_question(*KINDS["number"][:2])
    assert (question.number, question.phase) == (1, "open")
    assert said(question).strip() == ""
    lock(question, right_text(question.variant))
    assert [(e.locked.variant, e.locked.attempt) for e in stored()] == [(0, 1), (1, 1)]


# Hostile text.

HOSTILE = {
    "script": "<script>alert(1)</script>",
    "quotes": "6 V\"' onmouseover='x' <img src=x onerror=alert(1)>",
    "braces": "{typed} {0.__class__} %s {{}}",
    "marks": "&lt;b&gt; <b>6 V</b>",
    "very long": "<i>" + "9" * 5000 + " V",
    "long and readable": "6 V" + " " * 5000 + "<b>",
    "strange": "6\x00 V \ud800 \u202e </p>",
}


def raw_html(panel):
    return "\n".join(w.value for w in everything(panel) if type(w).__name__ == "HTML")


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
@pytest.mark.parametrize("kind", ["number", "count", "name", "design"])
def test_hostile_text_is_escaped_in_every_answer(kind, text):
    question = open_question(*KINDS[kind][:2])
    lock(question, text)
    after = raw_html(question)
    assert "<script" not in after
    assert "<img" not in after
    assert "<b>" not in after
    assert "<i>" not in after
    assert len(question.status.value) < 3000
    assert (said(question) + question.alert.value).strip()
    assert stored() == []


@pytest.mark.parametrize("text", [HOSTILE[name] for name in ("script", "quotes", "braces")])
@pytest.mark.parametrize("phase", ["first try", "last try"])
def test_hostile_text_in_the_records_is_escaped(text, phase):
    page, task, _ = KINDS["number"]
    var = checking.variant(bank.page(page).task(task), 0)
    for attempt in range(1, 2 + (phase == "last try")):
        put_into_records(var, text, attempt)
    question = open_question(page, task)
    written = say("panels.you_wrote", typed=text, sure=say("panels.confidence.sure"))
    assert html.escape(written) in question.status.value
    assert text not in raw_html(question) or text == html.escape(text)
    assert question.errors == []


def put_into_records(var, typed, attempt=1, verdict="unknown"):
    """A locked prediction as another program could have written it."""
    records = Records.default()
    locked = records.lock(
        Prediction(
            page=var.task.page,
            task=var.task.id,
            variant=var.number,
            attempt=attempt,
            givens=var.givens,
            typed=typed,
            value=1.0,
            unit="V",
            confidence="sure",
        )
    )
    records.settle(locked.id, verdict, right=verdict == "right")


# Trouble with the records.


def no_folder(folder, monkeypatch):
    (folder / "file").write_text("not a folder", encoding="utf-8")
    monkeypatch.setenv("PACKLEARN_FOLDER", str(folder / "file" / "learner"))


def no_database(folder, monkeypatch):
    (folder / "letter.txt").write_text("Dear diary, " * 500, encoding="utf-8")
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///{(folder / 'letter.txt').as_posix()}")


def read_only(folder, monkeypatch):
    closed_question("lesson-3", "share")
    file = Path(os.environ["PACKLEARN_FOLDER"]) / "records.sqlite"
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///file:{file.as_posix()}?mode=ro&uri=true")


def no_address(folder, monkeypatch):
    monkeypatch.setenv("PACKLEARN_RECORDS", "my records")


TROUBLES = {f.__name__: f for f in (no_folder, no_database, read_only, no_address)}


@pytest.mark.parametrize("trouble", TROUBLES)
def test_trouble_with_the_records_is_a_sentence_and_keeps_what_was_typed(
    trouble, folder, monkeypatch
):
    TROUBLES[trouble](folder, monkeypatch)
    question = open_question("lesson-3", "in-line")
    typed = right_text(question.variant)
    lock(question, typed, "sure")
    assert 'role="alert"' in question.alert.value
    assert question.alert in on_show(question)
    assert question.answer.value == typed
    assert question.confidence.value == "sure"
    assert question.phase == "open"
    assert not holds(seen(question).replace(typed, ""), checking.answer_in_words(question.variant))


def test_records_that_break_meanwhile_are_told_and_nothing_typed_is_lost(folder):
    question = lock(open_question(*KINDS["number"][:2]), "9.9 kV")
    file = Path(os.environ["PACKLEARN_FOLDER"]) / "records.sqlite"
    kept = file.read_bytes()
    file.write_bytes(b"no database at all " * 400)
    lock(question, "8.8 kV", "sure")
    assert str(file) in html.unescape(question.alert.value)
    assert (question.answer.value, question.confidence.value) == ("8.8 kV", "sure")
    file.write_bytes(kept)
    question.lock.click()
    assert question.alert.value == ""
    assert [entry.locked.typed for entry in stored()] == ["9.9 kV", "8.8 kV"]


# Instructor mode.


@pytest.fixture
def teacher(monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "teach")


def bands(panel):
    return [w for w in on_show(panel) if "packlearn-band" in getattr(w, "_dom_classes", ())]


@pytest.mark.usefixtures("teacher")
def test_the_teacher_sees_a_band_and_the_learners_question():
    question = open_question(*KINDS["number"][:2])
    assert len(bands(question)) == 1
    assert say("panels.band") in bands(question)[0].value
    assert checking.text_of(question.variant) in seen(question)
    answer = checking.answer_in_words(question.variant)
    assert not holds("\n".join(texts(everything(question))), answer)


@pytest.mark.usefixtures("teacher")
@pytest.mark.parametrize(("page", "task"), EVERY_TASK)
def test_the_teacher_reveals_answer_steps_and_slips_one_by_one(page, task):
    question = open_question(page, task)
    key, var = question.key, question.variant
    key.buttons["rules"].click()
    for rule, value in checking.wrong_values(var):
        assert base.escape(rule.did) in key.told.value
        assert base.escape(value) in key.told.value
        assert rule.id in key.told.value
    key.buttons["rules"].click()
    assert key.told.value == ""
    steps = checking.working(var)
    for count in range(1, len(steps) + 2):
        key.buttons["why"].click()
        assert key.told.value.count("<li>") == min(count, len(steps))
    assert base.escape(steps[-1]) in key.told.value
    key.buttons["answer"].click()
    answer = say("panels.answer_is", answer=checking.answer_in_words(var))
    assert base.escape(answer) in key.told.value
    assert stored() == []


@pytest.mark.usefixtures("teacher")
def test_the_answer_shown_to_a_class_lets_go_on_and_another_one_hides_all():
    question = open_question("lesson-3", "in-line")
    calls = []
    question.on_change.append(lambda: calls.append(question.done))
    question.key.buttons["answer"].click()
    assert question.done
    assert calls[-1]
    assert question.another_row in on_show(question)
    question.another.click()
    assert not question.done
    assert question.key.told.value == ""
    assert not calls[-1]
    question.key.buttons["why"].click()
    assert base.escape(checking.working(question.variant)[0]) in question.key.told.value


@pytest.mark.usefixtures("teacher")
def test_the_teacher_may_answer_as_a_learner_does():
    question = closed_question("lesson-3", "in-line")
    assert question.done
    assert stored()[0].result.right


def test_a_learners_question_has_nothing_of_the_teachers():
    for kind in KINDS:
        question = closed_question(*KINDS[kind][:2])
        words = "\n".join(texts(everything(question)))
        assert bands(question) == []
        for name in ("answer", "why", "rules"):
            assert say(f"panels.key.{name}") not in words, (kind, name)


@pytest.mark.parametrize("mode", ["", "learn", "TEACH", "teacher"])
def test_only_the_word_teach_makes_a_teacher(mode, monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", mode)
    assert not base.teaching()
    assert bands(open_question(*KINDS["number"][:2])) == []


@pytest.mark.usefixtures("teacher")
def test_a_failure_in_the_teachers_buttons_is_told(monkeypatch):
    question = open_question(*KINDS["number"][:2])

    def broken(var):
        raise RuntimeError("broken on purpose")

    monkeypatch.setattr(checking, "wrong_values", broken)
    question.key.buttons["rules"].click()
    assert 'role="alert"' in question.alert.value
    assert [type(error) for error in question.errors] == [RuntimeError]


# Many callbacks at once.


def test_two_presses_at_once_lock_once():
    question = open_question(*KINDS["number"][:2])
    question.answer.value, question.confidence.value = "9.9 kV", "sure"
    together = threading.Barrier(6)

    def press():
        together.wait()
        question.lock_in()

    threads = [threading.Thread(target=press) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert question.errors == []
    assert [entry.locked.attempt for entry in stored()] == [1]


# Room on the screen.


@pytest.mark.parametrize(("page", "task"), EVERY_TASK)
@pytest.mark.parametrize("shown", [False, True])
def test_the_letters_of_a_capped_picture_can_be_read(page, task, shown):
    asked = bank.page(page).task(task)
    drawn = illustration(checking.variant(asked, 0), shown)
    if drawn is None:
        # The bench itself is the picture until the answer is told.
        assert not asked.picture or asked.kind == "wire"
        return
    most = re.search(
        r":not\(\.packlearn-moving\) \.pl-picture \{ max-height: (\d+)px", style_sheet()
    )
    height = float(re.search(r'height="(\d+)"', drawn.svg)[1])
    smallest = min(map(float, re.findall(r'font-size="([\d.]+)"', drawn.svg)))
    assert smallest * min(1.0, float(most[1]) / height) >= 11
