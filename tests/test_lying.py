"""What is told of a question lies beside its picture once it is told, and not before."""

import re
from pathlib import Path

import pytest

import packlearn
from packlearn.panels.question import Question
from packlearn.tasks import bank
from tests.test_questions import right_text, wrong_text

TASKS = [task for name in bank.pages() for task in bank.page(name).tasks]


def first(kind, beginning=None):
    """The first task of a kind, with a picture of that name if one is asked for."""
    drawn = (t for t in TASKS if beginning is None or t.picture.startswith(beginning))
    return next(t for t in drawn if t.kind == kind and (beginning is None or t.picture))


def question(task):
    return Question(task.page, task.id)


def lock(panel, text):
    panel.answer.value, panel.confidence.value = text, "think"
    panel.lock.click()
    assert panel.errors == []


def named(widget):
    return {name.removeprefix("packlearn-") for name in widget._dom_classes}


def test_without_a_picture_nothing_lies_beside():
    panel = question(next(task for task in TASKS if task.kind == "number" and not task.picture))
    lock(panel, right_text(panel.variant))
    assert "told" not in named(panel)


@pytest.mark.parametrize("task", [first("number", "profile"), first("pick")], ids=str)
def test_what_is_told_lies_beside_the_picture_or_the_diagram(task):
    panel = question(task)
    assert panel.column is panel
    for _ in range(task.attempts):
        assert "told" not in named(panel)
        lock(panel, wrong_text(panel.variant))
    assert "told" in named(panel)
    panel.next_variant()
    assert "told" not in named(panel)


def test_a_small_diagram_takes_less_room():
    panels = [question(task) for task in TASKS if task.kind == "pick"]
    widths = {panel.task.id: "narrow" in named(panel) for panel in panels}
    drawn = {panel.task.id: 'width="430"' in panel.answer.drawn.value for panel in panels}
    assert widths == drawn
    assert any(drawn.values())
    # A diagram of more cells is wider.
    panel = panels[0]
    panel.answer.drawn.value = panel.answer.drawn.value.replace('width="430"', 'width="600"')
    panel.lie()
    assert "narrow" not in named(panel)


def test_a_wiring_that_was_wrong_lies_beside_a_right_one():
    panel = question(first("wire"))
    assert "untold" in named(panel.column)
    for _ in range(panel.task.attempts):
        assert "wired" not in named(panel.side_by_side)
        lock(panel, wrong_text(panel.variant))
    assert {"wired", "two"} <= named(panel.side_by_side)
    assert "untold" not in named(panel.column)


def test_a_right_wiring_lies_alone():
    panel = question(first("wire"))
    lock(panel, right_text(panel.variant))
    assert "wired" in named(panel.side_by_side)
    assert "two" not in named(panel.side_by_side)


def test_the_key_counts_as_told(monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    panel = question(first("wire"))
    panel.turn_key(panel.key.show_answer)
    assert "wired" in named(panel.side_by_side)


# What may look into itself: none of them stands around a slider.
LOOK_INTO = {".packlearn-picture", ".packlearn-mind", ".jp-Cell-inputWrapper"}
SHEETS = ("data/style.css", "jupyter/share/labextensions/packlearn-lessons/static/lessons.css")


def test_no_style_looks_into_what_stands_around_a_slider():
    root = Path(packlearn.__file__).parent
    texts = [(root / name).read_text(encoding="utf-8") for name in SHEETS]
    around = [re.findall(r"([^\s>~+]*?):has\(", text) for text in texts]
    found = {name for names in around for name in names}
    assert found <= LOOK_INTO, f"the browser would style the page anew at each move: {found}"
    # The pattern finds them: some are left.
    assert found
