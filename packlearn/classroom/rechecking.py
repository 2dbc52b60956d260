"""Answers of a class checked again, all of one task after the other.

Seats are often asked the same numbers, and type the same text. So what a task's numbers need to be
drawn and checked is worked out once, and each processor takes some of the tasks.
"""

import concurrent.futures
import contextlib
import functools
import gc
import multiprocessing
import os
from collections import defaultdict

from packlearn.errors import PackError
from packlearn.tasks import bank, checking
from packlearn.tasks.variants import frozen

MOST_ALONE = 8000
"""Answers that one process checks; starting others takes a second or two."""
MOST_WORK = 3000
"""Variants that are drawn for one seat; a learner who answers all tasks needs half of them."""
_MOST_PROCESSES = 8
# Pieces of work for each process: with a few small ones at the end, all end nearly together.
_PIECES = 6


@functools.lru_cache(maxsize=4096)
def task_of(page, name):
    """A task of the bank; None where there is no such one.

    Args:
        page: name of its page.
        name: its id.
    """
    try:
        return bank.page(page).task(name)
    except PackError:
        return None


def check(kept):
    """Every answer, checked again.

    Args:
        kept: dict of seat -> its ``Answer`` items, of tasks that there are.

    Returns:
        List of seat, page, task, number of the variant, and its tries by attempt: pairs of
        ``Answer`` and what came of it, the kind of the ``Verdict`` and the ids of its rules. It
        is in the order of seats, pages, tasks and numbers.
    """
    questions = [(seat, *each) for seat, answers in kept.items() for each in _asked(answers)]
    found = _found(questions, sum(map(len, kept.values())))
    return [
        (*where, tuple(zip(answers, verdicts, strict=True)))
        for (*where, answers), verdicts in zip(questions, found, strict=True)
        # Where no numbers can be drawn, nobody was ever asked.
        if verdicts
    ]


@contextlib.contextmanager
def nothing_collected():
    """Leave objects in circles alone: answers make none, and looking takes a fifth of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _found(questions, answers):
    """What came of the tries of each question, in the questions' order."""
    by_task = defaultdict(list)
    for place, (_, page, name, *_) in enumerate(questions):
        by_task[page, name].append(place)
    order = sorted(by_task)
    work = [(*task, tuple(_typed(questions[place]) for place in by_task[task])) for task in order]
    found = [None] * len(questions)
    for task, verdicts in zip(order, _done(work, answers), strict=True):
        for place, verdict in zip(by_task[task], verdicts, strict=True):
            found[place] = verdict
    return found


def _asked(answers):
    """Page, task, number and answers of each question of a seat, as far as its work may go."""
    by_question = defaultdict(list)
    for answer in answers:
        by_question[answer.page, answer.task, answer.variant].append(answer)
    drawn, last = 0, {}
    # In order, as a variant is drawn after the one before it, the last of a chain after the next.
    for page, name, number in sorted(by_question):
        place = number % checking.LONGEST_CHAIN
        chain = 1 + place + (place + 1 == checking.LONGEST_CHAIN)
        drawn += min(chain, number - last.get((page, name), -1))
        last[page, name] = number
        if drawn > MOST_WORK:
            return
        tries = sorted(by_question[page, name, number], key=lambda each: each.attempt)
        yield page, name, number, tries


def _typed(question):
    *_, number, tries = question
    return number, tuple(each.typed for each in tries)


def _done(work, answers):
    """What ``_of_task`` gives for each; where there is much, by several processes."""
    found = _side_by_side(work) if answers > MOST_ALONE and len(work) > 1 else None
    return map(_of_task, work) if found is None else found


def _side_by_side(work):
    """What ``_of_task`` gives for each, by several processes; None where there can be none."""
    most = min(os.cpu_count() or 1, len(work), _MOST_PROCESSES)
    try:
        # Spawned, as on Windows: a fork of a process with threads may hang.
        context = multiprocessing.get_context("spawn")
        pools = concurrent.futures.ProcessPoolExecutor
        with pools(most, mp_context=context, initializer=gc.disable) as pool:
            pieces = pool.map(_of_tasks, _pieces(work, most * _PIECES))
            return [each for piece in pieces for each in piece]
    except (OSError, concurrent.futures.process.BrokenProcessPool):
        return None


def _pieces(work, count):
    """The work in pieces of about as many questions, neighbours together: they share a page."""
    most = sum(len(questions) for *_, questions in work) / count
    pieces, held = [[]], 0
    for each in work:
        if pieces[-1] and held >= most * len(pieces):
            pieces.append([])
        pieces[-1].append(each)
        held += len(each[-1])
    return pieces


def _of_tasks(work):
    return [_of_task(each) for each in work]


def _of_task(work):
    """Kind and rules of each try of each question of one task; None where there is no such."""
    page, name, questions = work
    task, known = task_of(page, name), {}
    return [_of_question(task, number, texts, known) for number, texts in questions]


def _of_question(task, number, texts, known):
    try:
        variant = checking.variant(task, number)
    except PackError:
        return None
    return tuple(_verdict(variant, typed, known) for typed in texts)


def _verdict(variant, typed, known):
    key = frozen(variant.givens), typed
    if key not in known:
        verdict = checking.check(variant, typed)
        known[key] = verdict.kind, tuple(rule.id for rule in verdict.rules)
    return known[key]
