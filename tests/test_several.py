"""Several numbers at once: each read and told by itself, right when all are."""

import html

import pytest
from independent_answers import right_answer
from test_questions import lock, open_question, raw_html, right_text, said, seen, stored

from packlearn.tasks import bank, checking, several
from packlearn.tasks.answers_several import SEVERAL
from packlearn.words import say, word

TASKS = [t for name in bank.pages() for t in bank.page(name).tasks if t.kind == "numbers"]
every = pytest.mark.parametrize("task", TASKS, ids=lambda task: task.id)


def right_texts(var):
    return [right_text(part) for part in several.parts_of(var)]


def without(texts, at, text):
    return several.to_line([*texts[:at], text, *texts[at + 1 :]])


def test_every_set_is_met_by_a_task():
    assert {task.asked for task in TASKS} == set(SEVERAL)


@every
def test_all_right_is_right(task):
    for number in range(10):
        var = checking.variant(task, number)
        assert checking.check(var, several.to_line(right_texts(var))).right
        ours = right_answer(task.asked, var.givens)
        assert checking.answer_of(task, var.givens) == pytest.approx([float(n) for n in ours])


@every
def test_one_wrong_number_is_told_with_its_label_and_the_others_hold(task):
    var = checking.variant(task, 1)
    texts, labels = right_texts(var), several.labels_of(task)
    for at, part in enumerate(several.parts_of(var)):
        verdict = checking.check(var, without(texts, at, f"98765 {part.task.unit}"))
        assert not verdict.right
        assert all(label in verdict.says[0] for label in labels if label != labels[at])
        assert labels[at] not in verdict.says[0]
        assert verdict.says[1].startswith(f"{labels[at]}: ")
        assert not any(checking.answer_in_words(part) in text for text in verdict.says)


@every
def test_a_slip_of_a_part_gets_its_sentence(task):
    var = checking.variant(task, 1)
    texts, met = right_texts(var), 0
    for at, part in enumerate(several.parts_of(var)):
        for rule, text in checking.wrong_values(part):
            alone = checking.check(part, text)
            verdict = checking.check(var, without(texts, at, text))
            assert (verdict.kind, verdict.rules) == (alone.kind, alone.rules)
            assert alone.says[0] in verdict.says[1]
            assert rule.id in {each.id for each in verdict.rules}
            met += 1
    assert met


@every
def test_a_part_without_unit_or_without_anything_is_asked_back(task):
    var = checking.variant(task, 0)
    texts, labels = right_texts(var), several.labels_of(task)
    for at, label in enumerate(labels):
        bare = checking.check(var, without(texts, at, "6.2"))
        assert bare.kind == "ask"
        assert bare.says[0].startswith(f"{label}: 6.2 what?")
        empty = checking.check(var, without(texts, at, ""))
        assert (empty.kind, empty.says) == ("ask", (say("tasks.numbers.empty", label=label),))
    assert len(checking.check(var, "|").says) == len(labels)


def test_nothing_holds_is_said_too():
    var = checking.variant(TASKS[0], 0)
    units = [part.task.unit for part in several.parts_of(var)]
    verdict = checking.check(var, several.to_line([f"98765 {unit}" for unit in units]))
    assert verdict.says[0] == word("tasks.numbers.none")


def test_a_line_too_long_is_asked_back():
    verdict = checking.check(checking.variant(TASKS[0], 0), "9" * 201)
    assert (verdict.kind, verdict.says) == ("ask", (word("tasks.numbers.long"),))


@every
def test_boxes_have_labels_and_come_back_after_a_restart(task):
    question = open_question(task.page, task.id)
    assert [box.description for box in question.answer.boxes] == list(several.labels_of(task))
    texts = right_texts(question.variant)
    typed = without(texts, 0, f"98765 {several.parts_of(question.variant)[0].task.unit}")
    lock(question, typed)
    assert stored()[0].locked.typed == typed
    again = open_question(task.page, task.id)
    assert [box.value for box in again.answer.boxes] == [box.value for box in question.answer.boxes]
    assert said(again) == said(question)
    lock(again, several.to_line(texts))
    assert stored()[-1].result.right
    assert checking.answer_in_words(again.variant) in said(again)
    assert all(text in said(again) for text in texts)


def test_what_stands_between_the_texts_cannot_be_typed():
    question = open_question(TASKS[0].page, TASKS[0].id)
    question.answer.boxes[0].value = "1 V | 2 Ah | 3"
    assert several.from_line(question.answer.value, 4) == ["1 V   2 Ah   3", "", "", ""]


def test_hostile_text_in_a_box_is_escaped():
    question = open_question(TASKS[0].page, TASKS[0].id)
    texts = right_texts(question.variant)
    lock(question, without(texts, 0, "<img src=x onerror=alert(1)>"))
    assert "<img" not in raw_html(question)
    assert stored() == []
    assert html.unescape(seen(question))
