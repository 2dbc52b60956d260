"""A choice with its reason: right only with both."""

import itertools

import pytest
from independent_answers import right_answer
from test_questions import lock, on_show, open_question, said, stored

from packlearn.tasks import bank, checking, reasons
from packlearn.words import word

TASKS = [t for name in bank.pages() for t in bank.page(name).tasks if t.kind == "reason"]
every = pytest.mark.parametrize("task", TASKS, ids=lambda task: task.id)
BECAUSE = {"stronger_pack": "strings", "longer_pack": "side", "holds_because": "loss"}


def test_every_one_is_met_by_a_task():
    assert {task.asked for task in TASKS} == set(BECAUSE)


@every
def test_only_both_together_are_right(task):
    for number in range(20):
        var = checking.variant(task, number)
        right = (right_answer(task.asked, var.givens), BECAUSE[task.asked])
        pairs = itertools.product(checking.options_of(var), reasons.reasons_of(task))
        found = [pair for pair in pairs if checking.check(var, reasons.to_line(*pair)).right]
        assert found == [right]


@every
def test_a_wrong_reason_with_the_right_choice_has_its_own_sentence(task):
    var = checking.variant(task, 0)
    choice, told = right_answer(task.asked, var.givens), set()
    for reason in set(reasons.reasons_of(task)) - {BECAUSE[task.asked]}:
        verdict = checking.check(var, reasons.to_line(choice, reason))
        assert verdict.kind == "unknown"
        assert verdict.says[0] == word("tasks.reason.half")
        told.add(verdict.says[1])
    assert len(told) == len(reasons.reasons_of(task)) - 1
    assert set(word(f"tasks.reasons_wrong.{task.asked}")) == (
        set(reasons.reasons_of(task)) - {BECAUSE[task.asked]}
    )


@every
def test_a_wrong_choice_is_told_before_its_reason(task):
    var = checking.variant(task, 0)
    right = right_answer(task.asked, var.givens)
    for choice in set(checking.options_of(var)) - {right}:
        verdict = checking.check(var, reasons.to_line(choice, BECAUSE[task.asked]))
        assert verdict.kind == "unknown"
        assert word("tasks.reason.half") not in verdict.says


@pytest.mark.parametrize("line", ["first |", "| strings", "first | <b>", "<b> | strings", "first"])
def test_one_of_the_two_is_asked_back(line):
    task = next(task for task in TASKS if task.asked == "stronger_pack")
    assert checking.check(checking.variant(task, 0), line).kind == "ask"


@every
def test_no_choice_is_a_favourite(task):
    found = [right_answer(task.asked, checking.variant(task, n).givens) for n in range(40)]
    assert set(found) == set(word(f"tasks.choices.{task.asked}"))
    assert max(map(found.count, found)) <= 28


@every
def test_both_lists_are_chosen_from_and_come_back(task):
    question = open_question(task.page, task.id)
    right = right_answer(task.asked, question.variant.givens)
    wrong = next(key for key in reasons.reasons_of(task) if key != BECAUSE[task.asked])
    question.answer.choice.value = right
    lock(question, question.answer.value)
    assert word("tasks.reason.empty") in said(question)
    question.answer.reason.value = wrong
    lock(question, question.answer.value)
    assert reasons.reasons_of(task)[wrong] in said(question)
    again = open_question(task.page, task.id)
    assert (again.answer.choice.value, again.answer.reason.value) == (right, wrong)
    again.answer.reason.value = BECAUSE[task.asked]
    lock(again, again.answer.value)
    assert stored()[-1].result.right
    assert again.answer not in on_show(again)
    assert checking.answer_in_words(again.variant) in said(again)
