"""Notebooks in the hands of somebody who does not read: any order, any text, any press."""

import os
import random
import subprocess
import sys

import pytest
from test_questions import right_text

import packlearn
from packlearn import panels
from packlearn.panels import Question
from packlearn.panels.base import alert
from packlearn.panels.fitting import GonePanel, GonePart
from packlearn.panels.own_pack import OwnPack
from packlearn.places import exercises_folder, lessons_folder
from packlearn.records import Prediction, Records
from packlearn.tasks import checking
from tests import monkey
from tests.monkey import ODD, Kernel

FOLDERS = (lessons_folder(), exercises_folder(), lessons_folder() / "class")
NOTEBOOKS = [path for folder in FOLDERS for path in sorted(folder.glob("*.ipynb"))]
# A notebook or a cell that is no longer run must not pass unseen.
NOTEBOOK_COUNT, CELL_COUNT = 24, 113
LESSONS = [path for path in NOTEBOOKS if path.parent == lessons_folder()]
SHORT_SEEDS, LONG_SEEDS = (1,), tuple(range(2, 8))
SHORT_PRESSES, LONG_PRESSES = 15, 300
BOXES = ("number", "range", "count", "name", "estimate")


def long(*values):
    return [pytest.param(value, marks=pytest.mark.long) for value in values]


every_notebook = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
every_seed = pytest.mark.parametrize("seed", [*SHORT_SEEDS, *long(*LONG_SEEDS)])


def test_the_notebooks_and_cells_are_at_least_those_counted_here():
    assert len(NOTEBOOKS) >= NOTEBOOK_COUNT
    assert sum(len(monkey.code_cells(path)) for path in NOTEBOOKS) >= CELL_COUNT


def begun(path):
    """A kernel with every cell run once, from top to bottom."""
    kernel = Kernel(path)
    kernel.run_all(range(len(kernel.cells)))
    return kernel


def open_questions(panel):
    found = [one for one in monkey.tree(panel, shown=True) if isinstance(one, Question)]
    return [question for question in found if question.phase == "open"]


def lock_right(question):
    question.answer.value = right_text(question.variant)
    question.confidence.value = "sure"
    monkey.press(question.lock)


def lock_first_of_each(kernel):
    for panel in kernel.panels.values():
        for question in open_questions(panel)[:1]:
            lock_right(question)


def locked():
    return [(e.locked.id, e.locked.typed, e.result.right) for e in Records.default().all()]


# 1. Any order, each cell twice, and a restart.


@every_notebook
@every_seed
def test_cells_run_in_any_order_and_twice_and_after_a_restart_show_the_same(path, seed):
    lock_first_of_each(begun(path))
    kept, expected = locked(), begun(path).state()
    dice = random.Random(f"{path.stem} {seed}")
    kernel = Kernel(path)
    # The first cell imports what the others name; without it, a cell tells that itself.
    kernel.run(0)
    order = [place for place in range(len(kernel.cells)) for _ in range(2)]
    dice.shuffle(order)
    kernel.run_all(order)
    # Rounds that were made later tell those that stood there before.
    assert kernel.errors() == []
    assert kernel.state() == expected, order
    assert locked() == kept
    assert begun(path).state() == expected


FRESH = """
import sys
from pathlib import Path
from tests.monkey import Kernel
kernel = Kernel(Path(sys.argv[1]))
kernel.run_all([0, *reversed(range(len(kernel.cells)))])
assert kernel.errors() == []
sys.stdout.buffer.write(repr(sorted(kernel.state().items())).encode())
"""


def fresh(path):
    """State of a notebook in a process of its own, cells from the last to the first."""
    root = os.path.dirname(os.path.dirname(packlearn.__file__))
    done = subprocess.run(
        [sys.executable, "-c", FRESH, str(path)],
        cwd=root, capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr.decode()
    return done.stdout.decode()


RESTARTED = [LESSONS[4], *long(*(path for path in NOTEBOOKS if path != LESSONS[4]))]


@pytest.mark.parametrize("path", RESTARTED, ids=lambda path: path.stem)
def test_a_new_process_on_the_same_folder_shows_the_same(path):
    lock_first_of_each(begun(path))
    kept, state = locked(), begun(path).state()
    assert fresh(path) == repr(sorted(state.items()))
    assert locked() == kept


# 2. Odd texts, ends of sliders, every button.


def first_of_each_kind():
    """The first question of each kind of box, on pages and in lessons."""
    found = {}
    for path in NOTEBOOKS:
        for panel in begun(path).panels.values():
            for question in open_questions(panel):
                found.setdefault((question.task.kind, bool(question.task.may_miss)), question)
    return {key: one for key, one in found.items() if key[0] in BOXES}


def test_odd_texts_in_a_question_get_a_sentence_and_spend_no_attempt():
    questions = first_of_each_kind()
    assert len(questions) >= 4
    asked = 0
    for question in questions.values():
        for text in ODD:
            verdict = checking.check(question.variant, text)
            if verdict.kind != "ask":
                continue
            question.answer.value, question.confidence.value = text, "sure"
            monkey.press(question.lock)
            assert question.errors == []
            assert question.entries == []
            assert len(monkey.words_of(question.status)) > 10, (question.task.id, text)
            assert "<img" not in question.status.value + question.alert.value
            asked += 1
    assert asked > 60
    assert locked() == []


def play(path, seed, presses):
    """Somebody presses and types; now and then they answer, so that everything opens."""
    kernel, dice = begun(path), random.Random(f"{path.stem} {seed}")
    for place, panel in kernel.panels.items():
        for _ in range(presses):
            waiting = open_questions(panel)
            if waiting and dice.random() < 0.3:
                lock_right(dice.choice(waiting))
            elif at_hand := monkey.controls(panel):
                monkey.touch(dice.choice(at_hand), dice)
        assert monkey.errors_of(panel) == [], place
    return kernel


@every_notebook
@pytest.mark.parametrize("mode", ["learn", "teach"])
@pytest.mark.parametrize("presses", [SHORT_PRESSES, *long(LONG_PRESSES)])
def test_whatever_is_pressed_and_typed_no_panel_fails(path, mode, presses, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PACKLEARN_MODE", mode)
    play(path, presses, presses)
    # What was pressed is still there for the next one.
    assert begun(path).errors() == []


@pytest.mark.parametrize("text", ODD, ids=range(len(ODD)))
def test_odd_texts_about_an_own_device_are_told_and_kept(text):
    panel = OwnPack()
    view = panel.views["device"]
    for box in view.boxes.values():
        if hasattr(box, "placeholder"):
            box.value = text
    assert monkey.errors_of(panel) == []
    assert "not kept" not in panel.said
    assert len(monkey.words_of(view.told)) > 10
    again = OwnPack()
    assert again.kept.typed == panel.kept.typed
    assert again.said == ""


# 3. A notebook of another version.


def rendered(trouble):
    """What JupyterLab shows of an error."""
    (told,) = trouble._render_traceback_()
    return told


@pytest.mark.parametrize(
    ("job", "kind"),
    [
        (lambda: panels.GoneExplorer, GonePanel),
        (lambda: __import__("packlearn.panels", fromlist=["GoneExplorer"]), GonePanel),
        (lambda: panels.Round("lesson-3", "gone"), GonePart),
        (lambda: panels.Round("lesson-99", "gone"), GonePart),
        (lambda: panels.Question("lesson-3", "gone"), GonePart),
        (lambda: panels.TaskPage("gone"), GonePart),
    ],
)
def test_what_is_not_there_any_more_is_told_with_the_mend_and_where_answers_are(job, kind):
    with pytest.raises(kind) as caught:
        job()
    told = rendered(caught.value)
    assert packlearn.__version__ in told
    assert "gone" in told.lower()
    assert "Start packlearn again" in told
    assert str(Records.default().place) in told
    assert not hasattr(panels, "gone_function")


@pytest.mark.parametrize("made_for", ["0.0", "0.9", "12.3.4", "soon", 3, 0.2])
@pytest.mark.parametrize("mode", ["learn", "teach"])
def test_the_first_panel_tells_of_another_version(made_for, mode, monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", mode)
    panel = panels.Opening(lesson=99, made_for=made_for)
    told = monkey.words_of(panel.line)
    assert f"written for packlearn {made_for}" in told
    assert packlearn.__version__ in told
    assert "Start packlearn again" in told
    assert panel.errors == []
    assert panel.alert.value == ""


def old_prediction(page, task):
    return Prediction(page=page, task=task, variant=0, attempt=1, givens={"gone": 1.0},
                      typed="6 V", value=6.0, unit="V", confidence="sure")  # fmt: skip


@every_notebook
def test_answers_to_tasks_that_are_gone_stay_and_break_nothing(path):
    pages = ("gone", "lesson-1", "lesson-12", "predict-the-pack", "own/gone")
    for page in pages:
        Records.default().lock(old_prediction(page, "gone"))
    assert begun(path).errors() == []
    assert len(Records.default().all()) == len(pages)
    assert monkey.words_of(panels.MyPredictions()).count("gone") >= len(pages)


# 4. Two tabs on one folder.


def test_of_two_tabs_the_first_answer_stands_and_the_second_shows_it():
    tabs = [Question("predict-the-pack", "lantern-volts") for _ in range(2)]
    for tab, text in zip(tabs, ("6 V", "18 V"), strict=True):
        tab.answer.value, tab.confidence.value = text, "sure"
    monkey.press(tabs[0].lock)
    monkey.press(tabs[1].lock)
    assert [entry.locked.typed for entry in Records.default().all()] == ["6 V"]
    assert "6 V" in monkey.words_of(tabs[1].status)
    assert tabs[1].alert.value.startswith(alert("x")[:10])
    assert tabs[0].errors == tabs[1].errors == []


# Lesson 12 asks nothing before a device is typed; two windows of it: test_own_pack.py.
ASKING = [path for path in LESSONS if not path.stem.startswith("12-")]


@pytest.mark.parametrize("path", [LESSONS[4], *long(*ASKING)], ids=lambda path: path.stem)
def test_a_lesson_in_two_tabs_loses_nothing(path):
    tabs = [begun(path), begun(path)]
    lock_first_of_each(tabs[0])
    kept = locked()
    assert kept
    for place, panel in tabs[1].panels.items():
        for question in open_questions(panel)[:1]:
            lock_right(question)
        assert monkey.errors_of(tabs[1].panels[place]) == []
    assert locked()[: len(kept)] == kept
