"""Levels of tasks: what a led one gives, and figures that an open one leaves out."""

import pytest
from test_bank import HEAD, TASK, changed, read, say_of
from test_questions import (
    everything,
    holds,
    lock,
    on_show,
    open_question,
    said,
    seen,
    stored,
    texts,
)

from packlearn.panels.answering import OpenAnswer
from packlearn.tasks import bank, checking, levels, missing, steps
from packlearn.tasks.answers import ASKED
from packlearn.tasks.givens import UNITS, in_words
from packlearn.words import fill, say, word

TASKS = [task for name in bank.pages() for task in bank.page(name).tasks]
LED = [task for task in TASKS if task.level == "led"]
OPEN = [task for task in TASKS if task.may_miss]
led = pytest.mark.parametrize("task", LED, ids=lambda task: task.id)
opened = pytest.mark.parametrize("task", OPEN, ids=lambda task: task.id)


def variants(task, count=40):
    return [checking.variant(task, number) for number in range(count)]


def lacking(task):
    return next(var for var in variants(task) if "missing" in var.givens)


def complete(task):
    return next(var for var in variants(task) if "missing" not in var.givens)


def question_of(var):
    question = open_question(var.task.page, var.task.id)
    while question.number < var.number:
        question.next_variant()
    return question


# Led tasks.


def test_there_are_tasks_of_every_level():
    assert {task.level for task in TASKS} == set(levels.LEVELS)
    assert len(LED) >= 3
    assert len(OPEN) >= 3


@led
def test_a_led_task_shows_formula_and_first_step_and_no_answer(task):
    formula = word(f"tasks.working.{task.asked}.formula")
    for var in variants(task):
        lead = checking.lead(var)
        assert lead[0] == formula
        assert lead[1:] in ((), checking.working(var)[:1])
        for answer in checking.answer_in_words(var).strip(")").split(" ("):
            assert not any(holds(text, answer) for text in lead), (task.id, var.number)


@led
def test_what_a_led_task_gives_stands_with_the_question(task):
    question = open_question(task.page, task.id)
    shown = seen(question)
    assert say("panels.level.led") in shown
    assert all(text in shown for text in checking.lead(question.variant))


def test_others_are_not_led():
    plain = next(task for task in TASKS if task.level == "plain")
    assert checking.lead(checking.variant(plain, 0)) == ()
    assert say("panels.level.led") not in seen(open_question(plain.page, plain.id))


def test_a_first_step_that_is_the_answer_already_is_left_out(tmp_path, monkeypatch):
    text = changed('"capacity_ah"', '"capacity_ah"\nlevel = "led"')
    (task,) = read(tmp_path, text).tasks
    var = checking.variant(task, 0)
    assert len(checking.lead(var)) == 2
    for first in ("So it is {answer}.", f"That makes {checking.answer_in_words(var)}."):
        monkeypatch.setattr(steps, "steps", lambda _, first=first: (first,))
        assert checking.lead(var) == (word("tasks.working.capacity_ah.formula"),)


# A missing figure.


@opened
def test_some_variants_lack_a_figure_and_some_do_not(task):
    lacks = [var.givens.get("missing") for var in variants(task)]
    assert set(lacks) == {None, *task.may_miss}
    assert 10 <= lacks.count(None) <= 30


@opened
def test_the_text_tells_all_figures_but_the_missing_one(task):
    for var in variants(task):
        told, missed = checking.text_of(var), var.givens.get("missing")
        assert "[" not in told
        assert "  " not in told
        words = in_words(var.givens)
        for part in levels.bracketed(task.text):
            shown = fill(part, **words) in told
            assert shown == (missed not in levels.fields_of(part)), told


@opened
def test_only_the_missing_figure_is_right(task):
    var = lacking(task)
    for _, name in missing.options_of(task):
        verdict = checking.check(var, missing.to_line(name))
        assert verdict.right == (name == var.givens["missing"])
        assert verdict.says
    number = checking.check(var, f"3 {task.unit}")
    assert (number.kind, number.value) == ("unknown", None)
    assert number.says == (word("tasks.missing.number"),)


@opened
def test_a_number_without_its_unit_is_asked_back_there_too(task):
    verdict = checking.check(lacking(task), "three")
    assert verdict.kind == "ask"


@opened
def test_naming_a_figure_that_is_told_gets_its_value(task):
    var = complete(task)
    for name in task.may_miss:
        verdict = checking.check(var, missing.to_line(name))
        assert verdict.kind == "unknown"
        assert in_words(var.givens)[name] in verdict.says[0]
        assert holds(checking.text_of(var), in_words(var.givens)[name])


def test_naming_a_figure_that_is_not_needed_is_told_so(tmp_path):
    text = MISS.replace("What capacity?", "It runs {run_time_h}. What capacity?")
    (task,) = read(tmp_path, text + "run_time_h = 3\n").tasks
    verdict = checking.check(lacking(task), missing.to_line("run_time_h"))
    assert verdict.says[0] == say("tasks.missing.no_need", figure=missing.figure("run_time_h"))


@opened
def test_the_feedback_never_says_whether_a_figure_is_missing(task):
    for var in (lacking(task), complete(task)):
        for _, name in missing.options_of(task):
            if name != var.givens.get("missing"):
                says = checking.check(var, missing.to_line(name)).says
                assert says[1:] == (word("tasks.missing.go_on"),)


@opened
def test_answer_and_working_name_the_missing_figure(task):
    var = lacking(task)
    figure = missing.figure(var.givens["missing"])
    assert figure in checking.answer_in_words(var)
    assert figure in checking.working(var)[-1]
    assert checking.wrong_values(var) == []
    assert figure in checking.typed_in_words(var, missing.to_line(var.givens["missing"]))


def test_every_figure_has_its_words():
    assert set(word("tasks.figures")) == {name for name, unit in UNITS.items() if unit is not None}


# In the panel.


@opened
def test_a_missing_figure_is_chosen_from_the_list(task):
    var = lacking(task)
    question = question_of(var)
    assert isinstance(question.answer, OpenAnswer)
    assert say("panels.level.open") in seen(question)
    question.answer.figure.value = var.givens["missing"]
    assert question.answer.text.disabled
    lock(question, question.answer.value)
    assert question.phase == "done"
    entry = stored()[-1]
    assert entry.result.right
    assert len(entry.locked.typed) <= 200
    assert entry.locked.value is None
    assert missing.figure(var.givens["missing"]) in said(question)
    again = open_question(task.page, task.id)
    assert (again.number, again.phase) == (var.number, "done")
    assert said(again) == said(question)


def test_the_list_is_the_same_whatever_is_missing():
    task = OPEN[0]
    lists = set()
    for var in (lacking(task), complete(task)):
        lists.add(tuple(text for text, _ in question_of(var).answer.figure.options))
    assert len(lists) == 1


def test_before_the_lock_nothing_names_the_missing_figure_but_the_list():
    var = lacking(OPEN[0])
    question = question_of(var)
    parts = everything(question.answer)
    others = [widget for widget in everything(question) if widget not in parts]
    assert missing.figure(var.givens["missing"]) not in "\n".join(texts(others))


def test_a_number_goes_on_being_typed():
    task = OPEN[0]
    question = question_of(complete(task))
    question.answer.figure.value = task.may_miss[0]
    question.answer.figure.value = None
    assert not question.answer.text.disabled
    lock(question, "98765 " + task.unit)
    assert question.entry in on_show(question)
    assert not stored()[0].result.right


def test_what_is_typed_is_no_figure_unless_it_names_one():
    var = complete(OPEN[0])
    for typed in ("missing=", "missing=<b>", "missing=cell", "=1+1"):
        assert missing.named(var, typed) is None
        assert checking.check(var, typed).kind == "ask"


# A file with a mistake in it.

MISS = TASK.replace("{parallel} side by side", "[[{parallel} side by side]]")
MISS += 'level = "open"\nmay_miss = ["parallel"]\n'
WRONG = {
    "level": TASK + 'level = "hard"\n',
    "level ": changed('"capacity_ah"', '"which_energy"')
    + 'level = "led"\nother_series = 3\nother_parallel = 2\n',
    "may_miss": MISS.replace('level = "open"\n', ""),
    "may_miss ": MISS.replace('["parallel"]', '"parallel"'),
    "may_miss  ": MISS.replace('["parallel"]', '["current_a"]'),
    "may_miss   ": MISS + 'picture = "pack"\n',
    "may_miss    ": MISS.replace('"capacity_ah"', '"rested_voltage_v"'),
    "text": MISS.replace("[[{parallel}", "{parallel}"),
    "text ": MISS.replace("side]]", "side"),
    "text  ": MISS.replace("What capacity?", "What capacity of {parallel}?"),
    "text   ": TASK.replace("{series} in line", "[[{series} in line]]"),
    "text    ": MISS.replace("[[{parallel} side by side]]", "[[many side by side]]"),
}


def test_an_open_task_with_a_figure_to_miss_is_read(tmp_path):
    (task,) = read(tmp_path, MISS).tasks
    assert (task.level, task.may_miss) == ("open", ("parallel",))


@pytest.mark.parametrize("key", WRONG)
def test_a_mistake_in_level_or_figures_is_named(tmp_path, key):
    assert f"box: {key.strip()} must be" in say_of(tmp_path, WRONG[key], HEAD)


def test_whatever_may_be_led_has_a_formula_without_fields():
    for asked in ASKED:
        formula = word(f"tasks.working.{asked}").get("formula", "A = b.")
        assert "{" not in formula
        assert formula.endswith(".")
