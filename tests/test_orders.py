"""Steps put in order: every order is judged, and the list is moved by keyboard."""

import itertools

import pytest
from independent_answers import ORDERS
from test_questions import lock, on_show, open_question, said, seen, stored, wrong_text

from packlearn.tasks import bank, checking, orders
from packlearn.tasks.answers_orders import STEPS, shuffled
from packlearn.words import say, word

TASKS = [t for name in bank.pages() for t in bank.page(name).tasks if t.kind == "order"]
every = pytest.mark.parametrize("task", TASKS, ids=lambda task: task.id)


def test_every_job_is_met_by_a_task():
    assert {task.asked for task in TASKS} == set(STEPS) == set(ORDERS)


@every
def test_every_order_there_is_gets_its_verdict(task):
    var, names = checking.variant(task, 0), STEPS[task.asked].names
    letters = dict(zip(names, "abcdef", strict=True))
    right = 0
    for order in itertools.permutations(names):
        holds = tuple(letters[name] for name in order) in ORDERS[task.asked]
        assert checking.check(var, orders.to_line(order)).right == holds, order
        right += holds
    assert right > 1


@every
def test_the_first_pair_that_is_the_wrong_way_round_is_told_with_its_why(task):
    var, steps = checking.variant(task, 0), STEPS[task.asked]
    for first, later in steps.before:
        order = list(steps.names)
        a, b = order.index(first), order.index(later)
        order[a], order[b] = order[b], order[a]
        told = steps.wrong_pair(order)
        # No pair stands nearer the top.
        tops = [
            order.index(one[1]) for one in steps.before if order.index(one[0]) > order.index(one[1])
        ]
        assert order.index(told[1]) == min(tops)
        verdict = checking.check(var, orders.to_line(order))
        assert verdict.kind == "unknown"
        texts = [orders.text_of(task.asked, name) for name in told]
        assert all(text in verdict.says[0] for text in texts)
        assert verdict.says[1] == word(f"tasks.orders.{task.asked}.why.{'_'.join(told)}")


@pytest.mark.parametrize("asked", STEPS)
def test_every_step_and_every_pair_has_its_words(asked):
    texts = word(f"tasks.orders.{asked}")
    assert set(texts["steps"]) == set(STEPS[asked].names)
    assert set(texts["why"]) == {"_".join(pair) for pair in STEPS[asked].before}


@every
def test_no_variant_begins_with_a_right_order(task):
    begun = [shuffled(task.asked, checking.variant(task, n).givens) for n in range(60)]
    assert all(STEPS[task.asked].wrong_pair(order) for order in begun)
    assert all(a != b for a, b in itertools.pairwise(begun))
    assert len(set(begun)) > 20


@pytest.mark.parametrize("typed", ["off", "off off off off off off", "<b>", "a b c d e f"])
def test_what_is_no_order_is_asked_back(typed):
    verdict = checking.check(checking.variant(TASKS[0], 0), typed)
    assert verdict.kind == "ask"


def to_right(question):
    """Move every step to its place with the two buttons, as one does by keyboard."""
    answer = question.answer
    for at, name in enumerate(STEPS[answer.asked].names):
        answer.steps.value = name
        while answer.order.index(name) > at:
            answer.earlier.click()
            assert answer.steps.value == name
        while answer.order.index(name) < at:
            answer.later.click()


@every
def test_the_buttons_move_the_chosen_step(task):
    question = open_question(task.page, task.id)
    lock(question, question.answer.value)
    assert word("tasks.order.nothing") in said(question)
    to_right(question)
    first = orders.text_of(task.asked, question.answer.order[-1])
    assert question.answer.steps.options[-1][0] == say("panels.order.item", at=6, step=first)
    assert "Now at place" in seen(question.answer)
    lock(question, question.answer.value)
    assert stored()[-1].result.right
    assert len(stored()[-1].locked.typed) <= 200
    assert question.answer not in on_show(question)


def test_a_step_at_the_end_stays_there():
    question = open_question(TASKS[0].page, TASKS[0].id)
    before = question.answer.order
    question.answer.steps.value = before[0]
    question.answer.earlier.click()
    assert question.answer.order == before
    assert question.answer.value == ""
    question.answer.steps.value = before[-1]
    question.answer.later.click()
    assert question.answer.order == before


@every
def test_a_locked_order_comes_back_after_a_restart(task):
    question = open_question(task.page, task.id)
    typed = wrong_text(question.variant)
    lock(question, typed)
    again = open_question(task.page, task.id)
    assert again.answer.value == typed == stored()[0].locked.typed
    assert said(again) == said(question)
    to_right(again)
    lock(again, again.answer.value)
    assert stored()[-1].result.right
