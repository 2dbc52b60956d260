"""Panels: explorers, rounds, pages, the list, the opening, the guard; and that nothing leaks."""

import csv
import html
import itertools
import re
import threading
import time
from dataclasses import replace

import ipywidgets
import pytest
from test_questions import (
    EVERY_TASK,
    KINDS,
    beside_the_answer,
    everything,
    holds,
    lock,
    on_show,
    put_into_records,
    right_text,
    said,
    seen,
    stored,
    texts,
    wrong_text,
)

import packlearn
from packlearn import panels, sizing
from packlearn.cells import catalogue
from packlearn.errors import BadValue
from packlearn.panels import base
from packlearn.panels.illustrations import _PICTURES, illustration
from packlearn.quantities import write
from packlearn.tasks import bank, checking, matching
from packlearn.tasks.answers import ASKED
from packlearn.tasks.bank_checks import PICTURES
from packlearn.words import as_shown, say, word

ROUNDS = [(page, entry.id) for page in bank.pages() for entry in bank.page(page).rounds]
EXPLORERS = {
    "profile": panels.ProfileExplorer,
    "converter": panels.ConverterExplorer,
    "cell": panels.CellExplorer,
    "series": lambda: panels.PackExplorer("series"),
    "parallel": lambda: panels.PackExplorer("parallel"),
    "both": lambda: panels.PackExplorer(cells=("nimh-aa", "alkaline-9v"), series=2, parallel=2),
    "sizing": panels.SizingExplorer,
}
MANY_VARIANTS = 25


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A learner's folder of the test's own, in a kernel that knows no other rounds."""
    for name in ("PACKLEARN_RECORDS", "PACKLEARN_MODE", "PACKLEARN_SEAT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "learner"))
    monkeypatch.setattr("packlearn.panels.round._ROUNDS", {})
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture(autouse=True)
def _no_hidden_trouble(caplog):
    """ipywidgets only logs what goes wrong in a button's callback; a test shall see it."""
    yield
    hidden = [record.getMessage() for record in caplog.get_records("call")]
    assert not [text for text in hidden if "Exception in" in text]


@pytest.fixture
def teacher(monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "teach")


def has_class(widget, name):
    return name in getattr(widget, "_dom_classes", ())


def with_class(panel, name):
    return [widget for widget in on_show(panel) if has_class(widget, name)]


def errors_of(panel):
    return [error for widget in everything(panel) for error in getattr(widget, "errors", ())]


def plain(markup):
    """Words of HTML or SVG, and what a screen reader is told of it."""
    told = re.findall(r'aria-label="([^"]*)"', markup)
    return html.unescape("\n".join([re.sub(r"<[^>]+>", "\n", markup), *told]))


# Explorers.


def stops(control):
    """Lowest, middle and highest value of a control; every option of a list."""
    if isinstance(control, ipywidgets.Dropdown):
        return [value for _, value in control.options]
    middle = (control.min + control.max) / 2
    return [control.min, type(control.value)(middle), control.max]


def outer_size(markup):
    """Width, height and viewBox of every picture in a text."""
    heads = re.findall(r"<svg[^>]*>", markup)
    return [dict(re.findall(r'(?<![\w-])(width|height|viewBox)="([^"]*)"', h)) for h in heads]


def svg_size(panel):
    return outer_size(panel.picture.value)


def told(panel):
    return panel.picture.value, panel.says.value, getattr(panel, "table", panel.says).value


@pytest.mark.parametrize("name", EXPLORERS)
def test_every_control_moves_the_panel_and_nothing_breaks(name):
    panel = EXPLORERS[name]()
    size = svg_size(panel)
    assert size
    for control in panel.controls.values():
        start, shown = control.value, {told(panel)}
        for stop in stops(control):
            control.value = stop
            assert panel.errors == []
            assert svg_size(panel) == size
            assert plain(panel.picture.value).strip()
            if not panel.alert.value:
                shown.add(told(panel))
        control.value = start
        assert len(shown) > 1, control.description
    assert panel.alert.value == ""


@pytest.mark.parametrize("name", EXPLORERS)
def test_the_picture_follows_every_control(name):
    panel = EXPLORERS[name]()
    still = []
    for key, control in panel.controls.items():
        start, shown = control.value, {panel.picture.value}
        for stop in stops(control):
            control.value = stop
            shown.add(panel.picture.value)
        control.value = start
        still += [key] if len(shown) == 1 else []
    # The share of the limit matters only to a need whose current binds.
    assert still == (["derating"] if name == "sizing" else [])


@pytest.mark.parametrize("name", EXPLORERS)
def test_the_corners_of_all_controls_together_break_nothing(name):
    panel = EXPLORERS[name]()
    size = svg_size(panel)
    ends = [(stops(control)[0], stops(control)[-1]) for control in panel.controls.values()]
    for corner in itertools.product(*ends):
        for control, stop in zip(panel.controls.values(), corner, strict=True):
            control.value = stop
        assert panel.errors == []
        assert svg_size(panel) == size
        words = plain("".join(told(panel)))
        assert not re.search(r"\b(nan|inf|None)\b", words), corner


@pytest.mark.parametrize("name", catalogue())
def test_every_cell_can_be_looked_at(name):
    panel = panels.CellExplorer()
    panel.controls["cell"].value = name
    for share in (1, 50, 100):
        panel.controls["share"].value = share
        assert panel.errors == []
        assert panel.alert.value == ""
    assert catalogue()[name].title in plain(panel.picture.value)


def test_the_pack_explorer_tells_the_sample_pack():
    # 5S3P of 1.2 V, 1.9 Ah, 3.8 A: 6.0 V, 5.7 Ah, 11.4 A, 34.2 Wh; 0.6 A for 9.5 h.
    panel = panels.PackExplorer(window_v=(5.0, 9.0))
    panel.controls["series"].value, panel.controls["parallel"].value = 5, 3
    words = plain(panel.picture.value + panel.says.value)
    for figure in ("5S3P", "6 V", "5.7 Ah", "11.4 A", "34.2 Wh", "0.2 A", "9 h 30 min"):
        assert holds(words, figure), figure


@pytest.mark.parametrize(
    ("series", "key"), [(5, "low"), (6, "fits"), (7, "high"), (1, "low"), (8, "high")]
)
def test_the_pack_explorer_holds_the_pack_against_the_lamp(series, key):
    # 1.45 V full and 1.0 V near the end, against 5.5 to 8.7 V: only six in line stay within.
    panel = panels.PackExplorer("series")
    panel.controls["series"].value = series
    start = word(f"panels.pack.{key}").partition("{")[0]
    assert start in plain(panel.says.value)
    extreme = series * (1.0 if key == "low" else 1.45)
    assert holds(plain(panel.says.value), write(extreme, "V"))


def test_the_profile_explorer_tells_mean_duty_and_hours():
    panel = panels.ProfileExplorer()
    for key, value in (("wake_ma", 120), ("wake_s", 20), ("sleep_ma", 3), ("sleep_s", 40)):
        panel.controls[key].value = value
    words = plain(panel.says.value)
    # (120 x 20 + 3 x 40) / 60 = 42 mA; 20 of 60 s; 1.9 Ah / 0.042 A = 45.2 h.
    assert holds(words, "42 mA")
    assert holds(words, "33.3 %")
    assert "45 h" in words


def test_the_converter_explorer_keeps_the_power_and_the_regulator_the_current():
    panel = panels.ConverterExplorer()
    # 9 V x 0.6 A / 0.85 / 6 V = 1.06 A.
    assert holds(plain(panel.says.value), "1.06 A")
    panel.controls["kind"].value = "regulator"
    assert holds(plain(panel.says.value), "0.6 A")
    assert panel.controls["efficiency"].disabled
    assert word("panels.conversion.dropout").partition("{")[0] in plain(panel.says.value)
    panel.controls["output_v"].value = 3.3
    assert word("panels.conversion.dropout").partition("{")[0] not in plain(panel.says.value)


def test_the_cell_explorer_tells_rate_hours_and_share():
    panel = panels.CellExplorer()
    panel.controls["share"].value = 50
    words = plain(panel.says.value)
    # Half of 3.8 A is 1.9 A: 1C of 1.9 Ah, one hour.
    for figure in ("1.9 A", "1C", "1 h", "50 %", "3.8 A"):
        assert holds(words, figure), figure
    panel.controls["cell"].value = "alkaline-9v"
    assert say("panels.cell.block", count=6) in plain(panel.says.value)


def test_the_sizing_explorer_tells_the_best_and_why_the_next_fails():
    panel = panels.SizingExplorer()
    choices = sizing.size(panel.need, rank_by="cells").best_of_each_cell()
    # What one may build comes before what is bought ready-made.
    buildable = [choice for choice in choices if not choice.pack.cell.ready_made_only]
    best = buildable[0]
    assert choices[0].pack.cell.ready_made_only
    failed = next(choice for choice in choices if not choice.fits)
    words = plain(panel.says.value)
    assert say("panels.sizing.best", name=best.title) in words
    assert best.binds_words in words
    assert say("panels.sizing.failed", name=failed.title, why=failed.why_not[0]) in words
    table = html.unescape(panel.table.value)
    assert [title in table for title in (choice.title for choice in choices)] == [True] * len(
        choices
    )
    panel.controls["rank"].value = "mass"
    ranked = sizing.size(panel.need, rank_by="mass").best_of_each_cell()
    lightest = next(choice for choice in ranked if not choice.pack.cell.ready_made_only)
    assert say("panels.sizing.best", name=lightest.title) in plain(panel.says.value)


def test_the_table_tells_what_several_packs_miss_once():
    panel = panels.SizingExplorer()
    choices = sizing.size(panel.need, rank_by="cells").best_of_each_cell()
    shared = [said for choice in choices for said in choice.why_not_of_all]
    assert len(shared) >= 20 > len(set(shared))
    table = html.unescape(panel.table.value)
    assert [table.count(said) for said in set(shared)] == [1] * len(set(shared))
    rows = dict(re.findall(r"<tr><td>(.*?)</td>.*?<td>([^<]*)</td></tr>", table))
    for choice in choices:
        # A pack that fails says what it misses, one sentence for each condition.
        assert len(choice.why_not_in_table) == len(choice.why_not)
        assert " ".join(choice.why_not_in_table) in rows[choice.title]
        assert (say("panels.sizing.fits") in rows[choice.title]) == choice.fits


def test_the_sizing_explorer_says_when_nothing_fits():
    panel = panels.SizingExplorer()
    panel.controls["current_a"].value = 10.0
    panel.controls["hours"].value = 48.0
    start = word("panels.sizing.nothing").partition("{")[0]
    assert start in plain(panel.says.value)
    assert say("panels.sizing.fits") not in plain(panel.table.value)


def test_a_window_upside_down_is_a_sentence_until_it_is_mended():
    panel = panels.SizingExplorer()
    panel.controls["low_v"].value = 20.0
    assert 'role="alert"' in panel.says.value
    assert "20" in plain(panel.says.value)
    assert panel.table.value == ""
    assert panel.errors == []
    panel.controls["low_v"].value = 5.5
    assert 'role="alert"' not in panel.says.value
    assert panel.table.value
    assert panel.value("low_v") == 5.5


# Rounds.


def make_round(page, name):
    """A round with the panel behind it, as the notebooks make them."""
    return panels.Round(page, name, then=panels.PackExplorer())


def behind(panel):
    """Parts of what lies behind the questions that are shown now."""
    shown = set(map(id, on_show(panel)))
    return [w for w in (panel.behind, *everything(panel.then)) if id(w) in shown]


def begin(panel):
    """Press the button of a round that is worked alone, once it may be begun."""
    if panel.to_begin:
        assert panel.stage.children == ()
        panel.begin.click()


def answer_all(panel):
    begin(panel)
    for question in panel.questions:
        assert panel.stage.children == (question,)
        lock(question, right_text(question.variant))
        if question.phase == "look":
            question.saw[1].click()
        panel.onward.click()


@pytest.mark.parametrize(("page", "name"), ROUNDS)
def test_a_round_veils_what_lies_behind_until_its_questions_are_closed(page, name):
    panel = make_round(page, name)
    begin(panel)
    explain = [as_shown(text) for text in panel.round.explain + panel.round.invite]
    for question in panel.questions:
        assert behind(panel) == []
        assert not any(text in seen(panel) for text in explain)
        assert panel.onward.disabled
        panel.go(1)
        assert panel.stage.children == (question,)
        assert say("panels.veiled") in seen(panel)
        lock(question, right_text(question.variant))
        if question.phase == "look":
            assert behind(panel) == []
            assert panel.onward.disabled
            assert say("panels.veiled_look") in seen(panel)
            question.saw[1].click()
        assert behind(panel) == []
        assert say("panels.veiled") not in seen(panel)
        assert (say("panels.veiled_on") in seen(panel)) != panel.all_done
        panel.onward.click()
    assert panel.behind in behind(panel)
    assert panel.then.picture in behind(panel)
    assert all(text in seen(panel) for text in explain)
    assert say("panels.veiled") not in seen(panel)
    assert errors_of(panel) == []


def test_what_lies_behind_goes_away_again_with_another_one():
    panel = make_round("lesson-3", "in-line")
    answer_all(panel)
    assert behind(panel)
    panel.back.click()
    assert panel.stage.children == (panel.questions[1],)
    panel.onward.click()
    assert behind(panel)
    panel.questions[0].next_variant()
    assert panel.stage.children == (panel.questions[0],)
    assert behind(panel) == []
    assert say("panels.veiled") in seen(panel)
    assert panel.onward.disabled
    answer_all_open(panel)
    assert behind(panel)


def answer_all_open(panel):
    for question in panel.questions:
        if not question.done:
            lock(question, right_text(question.variant))
            question.saw[1].click()
        panel.onward.click()


def test_a_second_question_opened_anew_veils_and_leaves_the_first_in_reach():
    panel = make_round("lesson-3", "in-line")
    answer_all(panel)
    panel.questions[1].next_variant()
    assert panel.stage.children == (panel.questions[1],)
    panel.back.click()
    assert panel.stage.children == (panel.questions[0],)
    assert not panel.onward.disabled
    panel.onward.click()
    panel.onward.click()
    assert behind(panel) == []


@pytest.mark.parametrize(("page", "name"), ROUNDS)
def test_a_round_rebuilt_after_a_restart_stands_where_it_stood(page, name):
    panel = make_round(page, name)
    first = panel.questions[0]
    lock(first, wrong_text(first.variant))
    again = make_round(page, name)
    assert again.questions[0].phase == first.phase
    assert again.place == (1 if first.done else 0)
    assert behind(again) == [] or all(question.done for question in panel.questions)
    for question in panel.questions:
        while question.phase == "open":
            lock(question, wrong_text(question.variant))
        if question.phase == "look":
            question.saw[1].click()
    done = make_round(page, name)
    assert behind(done)
    assert done.where.value == base.paragraphs(
        [say("panels.where", place=len(done.questions) + 1, count=len(done.questions) + 1)]
    )


def test_a_round_without_sliders_promises_none():
    panel = panels.Round("lesson-3", "one-cell")
    assert say("panels.veiled_why") in seen(panel)
    assert say("panels.veiled") not in seen(panel)


@pytest.mark.usefixtures("teacher")
@pytest.mark.parametrize(("page", "name"), ROUNDS)
def test_the_teachers_answers_unveil_the_round_and_store_nothing(page, name):
    panel = make_round(page, name)
    for question in panel.questions:
        assert behind(panel) == []
        question.key.buttons["why"].click()
        assert panel.onward.disabled
        question.key.buttons["answer"].click()
        panel.onward.click()
    assert panel.then.picture in behind(panel)
    assert len(with_class(panel, "packlearn-band")) == 1
    assert stored() == []
    assert errors_of(panel) == []


def whole_page(page):
    """The rounds of a lesson as they stand below each other, each with sliders behind it."""
    return {entry.id: make_round(page, entry.id) for entry in bank.page(page).rounds}


def words(panel):
    return plain("\n".join(texts(on_show(panel))))


def test_rounds_open_one_after_the_other():
    rounds = list(whole_page("lesson-3").values())
    for place, panel in enumerate(rounds):
        for later in rounds[place + 1 :]:
            assert say("panels.waiting") in words(later)
            assert checking.text_of(later.questions[0].variant) not in words(later)
            assert later.onward not in on_show(later)
            assert behind(later) == []
        assert say("panels.waiting") not in words(panel)
        if panel.round.alone:
            assert say("panels.to_begin") in words(panel)
            assert checking.text_of(panel.questions[0].variant) not in words(panel)
        answer_all(panel)
        assert errors_of(panel) == []


def test_a_round_that_was_begun_waits_for_nothing():
    one, two = (make_round("lesson-3", name) for name in ("one-cell", "in-line"))
    assert say("panels.waiting") in words(two)
    answer_all(one)
    lock(two.questions[0], right_text(two.questions[0].variant))
    one.questions[0].next_variant()
    assert say("panels.waiting") not in words(two)
    assert two.questions[0] in on_show(two)
    again = make_round("lesson-3", "in-line")
    assert again.questions[0] in on_show(again)


def test_the_sliders_are_closed_while_the_last_round_is_worked_alone():
    *others, alone = whole_page("lesson-3").values()
    for panel in others:
        answer_all(panel)
    sliders = [panel for panel in others if panel.then]
    assert sliders
    assert all(panel.then in on_show(panel) for panel in sliders)
    alone.begin.click()
    for panel in others:
        assert panel.then not in on_show(panel)
        assert not any(text in words(panel) for text in panel.round.invite)
        assert all(text in words(panel) for text in panel.round.explain)
        assert say("panels.closed") in words(panel)
    answer_all(alone)
    for panel in [*others, alone]:
        assert panel.then in on_show(panel)
        assert say("panels.closed") not in words(panel)


@pytest.mark.usefixtures("teacher")
def test_no_round_waits_for_another_in_instructor_mode():
    for panel in whole_page("lesson-3").values():
        assert panel.questions[0] in on_show(panel)
        assert say("panels.waiting") not in words(panel)


@pytest.mark.usefixtures("teacher")
def test_the_teachers_sliders_open_whatever_else_is_open():
    for panel in whole_page("lesson-3").values():
        for question in panel.questions:
            question.key.buttons["answer"].click()
            panel.onward.click()
        assert panel.then in on_show(panel)
        assert say("panels.closed") not in words(panel)


def test_a_round_of_no_lesson_is_named_with_the_mend():
    with pytest.raises(packlearn.UnknownName, match="lesson-3 / upside-down"):
        panels.Round("lesson-3", "upside-down")


# A page of tasks.


@pytest.mark.parametrize("page", ["predict-the-pack", "meet-the-need"])
@pytest.mark.parametrize("step", [1, -1])
def test_a_page_visits_all_its_tasks_and_comes_back(page, step):
    panel = panels.TaskPage(page)
    visited = []
    for _ in range(len(panel.page.tasks)):
        (question,) = panel.stage.children
        visited.append(question.task.id)
        assert checking.text_of(question.variant) in seen(panel)
        (panel.onward if step == 1 else panel.back).click()
    ids = [task.id for task in panel.page.tasks]
    assert visited == (ids if step == 1 else [ids[0], *reversed(ids[1:])])
    assert panel.place == 0
    assert panel.page.intro in seen(panel)
    assert errors_of(panel) == []


def test_a_task_left_for_later_keeps_what_was_typed():
    panel = panels.TaskPage("predict-the-pack")
    (first,) = panel.stage.children
    first.answer.value = "6 V"
    panel.onward.click()
    panel.back.click()
    assert panel.stage.children == (first,)
    assert first.answer.value == "6 V"
    assert say("panels.task_of", place=1, count=len(panel.page.tasks)) in seen(panel)


# The list of predictions.


def some_predictions():
    """A right one, a slip and a choice, locked in this order."""
    for kind, typed in (("number", None), ("count", "999"), ("choice", None)):
        question = panels.Question(*KINDS[kind][:2])
        lock(question, typed or right_text(question.variant), "sure")
    return stored()


def table_rows(panel):
    rows = re.findall(r"<tr>(.*?)</tr>", panel.table.value)
    return [[html.unescape(cell) for cell in re.findall(r"<td>(.*?)</td>", r)] for r in rows][1:]


def test_the_list_is_empty_at_first():
    panel = panels.MyPredictions()
    assert say("panels.log.empty") in seen(panel)
    assert table_rows(panel) == []


def test_the_list_tells_every_prediction_newest_first():
    panel = panels.MyPredictions()
    entries = some_predictions()
    panel.buttons["refresh"].click()
    rows = table_rows(panel)
    assert len(rows) == 3
    for row, entry in zip(rows, reversed(entries), strict=True):
        task = bank.page(entry.locked.page).task(entry.locked.task)
        assert row[1] == checking.text_of(checking.variant(task, entry.locked.variant))
        assert f"{entry.locked.locked_at:%Y-%m-%d %H:%M}" in row[0]
    assert [row[3] for row in rows] == [say("panels.confidence.sure")] * 3
    assert rows[2][4] == say("panels.log.outcome.right")
    assert rows[1][2:3] == ["999"]


def test_the_list_tells_of_another_quantity_than_was_asked_for():
    question = panels.Question("lesson-1", "night")
    lock(question, "5 A")
    row = table_rows(panels.MyPredictions())[0]
    assert row[4] == say("panels.log.outcome.kind")


def test_the_list_never_says_that_nothing_is_locked_in_where_something_is():
    panel = panels.MyPredictions()
    question = panels.Question(*KINDS["choice"][:2])
    lock(question, wrong_text(question.variant))
    assert len(table_rows(panel)) == 1
    assert said_by(panel) == ""


@pytest.mark.parametrize("name", ["refresh", "save", "hand_in"])
def test_the_list_tells_that_there_is_more_and_shows_it_where_a_file_is_made(name, folder):
    some_predictions()
    panel = panels.MyPredictions()
    # A second try.
    lock(panels.Question(*KINDS["count"][:2]), "998")
    assert say("panels.log.more") in said_by(panel)
    assert len(table_rows(panel)) == 3
    panel.buttons[name].click()
    assert len(table_rows(panel)) == 4
    assert say("panels.log.more") not in said_by(panel)


def test_a_list_that_asks_before_deleting_goes_on_asking():
    some_predictions()
    panel = panels.MyPredictions()
    panel.buttons["delete"].click()
    # A second try.
    lock(panels.Question(*KINDS["count"][:2]), "998")
    assert say("panels.log.ask") in said_by(panel)


def test_the_list_tells_a_choice_in_its_own_words():
    question = panels.Question(*KINDS["choice"][:2])
    lock(question, wrong_text(question.variant))
    typed = checking.options_of(question.variant)[wrong_text(question.variant)]
    assert table_rows(panels.MyPredictions())[0][2] == typed


def test_the_list_tells_no_question_with_other_numbers_than_it_had():
    var = checking.variant(bank.page("predict-the-pack").task("lantern-volts"), 0)
    put_into_records(replace(var, givens=var.givens | {"series": 77}), "7 V")
    (row,) = table_rows(panels.MyPredictions())
    assert row[1] != checking.text_of(var)
    assert row[2] == "7 V"


@pytest.mark.parametrize("verdict", ["right", "mistake", "which", "unfit", "unknown", "ask"])
def test_every_verdict_has_its_words_in_the_list(verdict):
    var = checking.variant(bank.page("predict-the-pack").task("lantern-volts"), 0)
    put_into_records(var, "7 V", verdict=verdict)
    panel = panels.MyPredictions()
    assert len(table_rows(panel)) == 1
    assert table_rows(panel)[0][4]


def test_the_list_is_saved_as_a_table_beside_the_notebook(folder):
    entries = some_predictions()
    panel = panels.MyPredictions()
    panel.buttons["save"].click()
    with (folder / say("panels.log.file")).open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row[word("records.columns.typed")] for row in rows] == [
        entry.locked.typed for entry in entries
    ]
    assert say("panels.log.file") in said_by(panel)


def said_by(panel):
    return plain(panel.said.value)


def test_a_table_that_cannot_be_saved_is_told(folder):
    some_predictions()
    (folder / say("panels.log.file")).mkdir()
    panel = panels.MyPredictions()
    panel.buttons["save"].click()
    assert 'role="alert"' in panel.alert.value
    assert panel.errors == []


def test_deleting_asks_first_and_no_keeps_them():
    some_predictions()
    panel = panels.MyPredictions()
    assert panel.buttons["delete_sure"] not in on_show(panel)
    panel.buttons["delete"].click()
    assert say("panels.log.ask") in seen(panel)
    assert panel.buttons["delete_sure"] in on_show(panel)
    assert panel.buttons["delete"] not in on_show(panel)
    assert len(stored()) == 3
    panel.buttons["keep"].click()
    assert panel.buttons["delete_sure"] not in on_show(panel)
    assert say("panels.log.ask") not in seen(panel)
    assert len(stored()) == 3


def test_deleting_takes_all_of_them_from_the_list_and_from_the_disk(folder):
    some_predictions()
    panel = panels.MyPredictions()
    panel.buttons["delete"].click()
    panel.buttons["delete_sure"].click()
    assert stored() == []
    assert say("panels.log.deleted", count=3) in seen(panel)
    assert say("panels.log.empty") in seen(panel)
    assert panel.buttons["delete_sure"] not in on_show(panel)
    assert b"lantern-volts" not in (folder / "learner" / "records.sqlite").read_bytes()


def test_a_seat_sees_and_deletes_only_its_own(monkeypatch):
    some_predictions()
    monkeypatch.setenv("PACKLEARN_SEAT", "a-1")
    lock(panels.Question(*KINDS["number"][:2]), "9 V")
    panel = panels.MyPredictions()
    assert len(table_rows(panel)) == 1
    panel.buttons["delete"].click()
    panel.buttons["delete_sure"].click()
    assert [entry.locked.seat for entry in stored()] == ["", "", ""]


@pytest.mark.parametrize("typed", ["<script>alert(1)</script>", "=HYPERLINK(1)", "@x' \"<b>"])
def test_hostile_text_in_the_list_and_in_the_table_is_defused(typed, folder):
    var = checking.variant(bank.page("predict-the-pack").task("lantern-volts"), 0)
    put_into_records(var, typed)
    panel = panels.MyPredictions()
    assert f"<td>{html.escape(typed)}</td>" in panel.table.value
    panel.buttons["save"].click()
    text = (folder / say("panels.log.file")).read_text(encoding="utf-8-sig")
    for row in csv.DictReader(text.splitlines()):
        assert not row[word("records.columns.typed")].startswith(("=", "@", "+", "-"))


def test_trouble_with_the_records_is_a_sentence_in_the_list(folder, monkeypatch):
    (folder / "letter.txt").write_text("Dear diary, " * 500, encoding="utf-8")
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///{(folder / 'letter.txt').as_posix()}")
    panel = panels.MyPredictions()
    for _ in range(2):
        markup = "\n".join(w.value for w in on_show(panel) if isinstance(w, ipywidgets.HTML))
        assert 'role="alert"' in markup
        assert "letter.txt" in markup
        assert panel.buttons["delete_sure"] not in on_show(panel)
        panel.buttons["refresh"].click()
    assert panel.errors == []


# The opening.

MADE_FOR = ".".join(packlearn.__version__.split(".")[:2])


def test_the_opening_says_where_predictions_are_kept(folder):
    panel = panels.Opening(lesson=3, made_for=MADE_FOR)
    assert str(folder / "learner" / "records.sqlite") in seen(panel)
    assert not with_class(panel, "packlearn-band")
    assert "Teacher" not in "\n".join(texts(everything(panel)))


@pytest.mark.usefixtures("teacher")
@pytest.mark.parametrize("lesson", [1, 2, 3, 4])
def test_the_teachers_opening_has_the_band_and_the_guide(lesson):
    panel = panels.Opening(lesson=lesson, made_for=MADE_FOR)
    assert say("panels.band_opening") in seen(panel)
    guide = packlearn.places.lessons_folder() / "guides" / f"lesson-{lesson}.md"
    words = plain(panel.guide.value)
    lines = [line for line in guide.read_text(encoding="utf-8").splitlines() if line.strip()]
    assert len(lines) > 15
    for line in lines:
        assert line.lstrip("#- ").strip() in words
    assert panel.guide.value.startswith("<details><summary>")


@pytest.mark.usefixtures("teacher")
def test_a_page_of_tasks_has_no_guide():
    panel = panels.Opening(made_for=MADE_FOR)
    assert panel.guide.value == ""
    assert with_class(panel, "packlearn-band")


@pytest.mark.parametrize("made_for", ["0.0", "9.9", "1", "99.1.2", "x"])
def test_a_notebook_of_another_version_says_so(made_for):
    panel = panels.Opening(lesson=1, made_for=made_for)
    sentence = say("panels.opening.version", made_for=made_for, here=packlearn.__version__)
    assert sentence in seen(panel)


@pytest.mark.parametrize("made_for", [None, MADE_FOR, f"{MADE_FOR}.0", f"{MADE_FOR}.77"])
def test_a_notebook_of_this_version_says_nothing(made_for):
    panel = panels.Opening(lesson=1, made_for=made_for)
    start = word("panels.opening.version").partition("{")[0]
    assert start not in seen(panel)


# The guard.


class Probe(base.Panel):
    """A panel whose one callback does what the test wants."""

    def build(self):
        self.press = base.button("lock")
        self.inside_now = self.most_inside = self.calls = 0
        self.work = lambda: None

    def wire(self):
        self.press.on_click(self.pressed)

    def parts(self):
        return [self.press]

    @base.guard
    def pressed(self, _=None):
        self.work()
        return "done"

    def linger(self):
        self.inside_now += 1
        self.most_inside = max(self.most_inside, self.inside_now)
        time.sleep(0.01)
        self.inside_now -= 1
        self.calls += 1


def breaks(trouble):
    def broken():
        raise trouble

    return broken


def test_an_unexpected_exception_becomes_a_sentence_and_is_kept():
    panel, trouble = Probe(), ZeroDivisionError("division <b>by zero</b>")
    panel.work = breaks(trouble)
    panel.press.click()
    assert panel.errors == [trouble]
    assert 'role="alert"' in panel.alert.value
    assert say("panels.trouble", name="ZeroDivisionError") in plain(panel.alert.value)
    assert panel.alert in on_show(panel)
    panel.work = lambda: None
    panel.press.click()
    assert panel.alert.value == ""
    assert panel.errors == [trouble]


def test_the_learners_own_errors_show_their_text_and_are_not_kept():
    panel = Probe()
    panel.work = breaks(BadValue("records.too_long", what="<b>It</b>", value=3, limit=2))
    panel.press.click()
    assert panel.errors == []
    assert "<b>" not in panel.alert.value
    assert say("records.too_long", what="<b>It</b>", value=3, limit=2) in plain(panel.alert.value)
    assert 'role="alert"' in panel.alert.value


def test_what_a_callback_returns_comes_through():
    assert Probe().pressed() == "done"


def test_callbacks_from_many_threads_do_not_overlap():
    panel = Probe()
    panel.work = panel.linger
    threads = [threading.Thread(target=panel.press.click) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert panel.calls == 8
    assert panel.most_inside == 1


def test_a_callback_may_call_another_one():
    panel = Probe()
    depth = iter(range(3))
    panel.work = lambda: panel.pressed() if next(depth) < 2 else None
    assert panel.pressed() == "done"
    assert panel.errors == []


def test_a_slider_that_meets_trouble_tells_it_and_goes_on(monkeypatch):
    panel = panels.ProfileExplorer()
    with monkeypatch.context() as patch:
        patch.setattr(packlearn.Load, "rms_current_a", breaks_with("rms"))
        panel.controls["wake_ma"].value = 100
    assert [str(error) for error in panel.errors] == ["rms"]
    assert 'role="alert"' in panel.alert.value
    panel.controls["wake_ma"].value = 110
    assert panel.alert.value == ""


def breaks_with(text):
    def broken(*args, **more):
        raise RuntimeError(text)

    return broken


# Every panel: its labels, its style, its modes.

ALL = {
    **EXPLORERS,
    **{f"question-{kind}": lambda kind=kind: panels.Question(*KINDS[kind][:2]) for kind in KINDS},
    "round": lambda: make_round("lesson-3", "in-line"),
    "page": lambda: panels.TaskPage("meet-the-need"),
    "list": panels.MyPredictions,
    "opening": lambda: panels.Opening(lesson=1),
}
CONTROLS = (
    ipywidgets.Button,
    ipywidgets.Text,
    ipywidgets.Dropdown,
    ipywidgets.RadioButtons,
    ipywidgets.Select,
    ipywidgets.ToggleButtons,
    ipywidgets.IntSlider,
    ipywidgets.FloatSlider,
)
PLACES = (ipywidgets.HTML, ipywidgets.Box)


@pytest.mark.parametrize("mode", ["learn", "teach"])
@pytest.mark.parametrize("name", ALL)
def test_no_control_is_unlabelled(name, mode, monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", mode)
    panel = ALL[name]()
    widgets = [w for w in everything(panel) if isinstance(w, ipywidgets.DOMWidget)]
    unlabelled = [
        type(widget).__name__ + " " + (widget.description or "?")
        for widget in widgets
        if isinstance(widget, CONTROLS) and not (widget.description and widget.tooltip)
    ]
    assert unlabelled == []
    # Number boxes turn 14,4 into 144; Output and icons are not for our panels.
    assert not [w for w in widgets if not isinstance(w, (*CONTROLS, *PLACES))]
    assert not [w for w in widgets if getattr(w, "icon", "")]


@pytest.mark.parametrize("mode", ["learn", "teach"])
@pytest.mark.parametrize("name", ALL)
def test_every_panel_brings_one_style_and_in_instructor_mode_one_band(name, mode, monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", mode)
    panel = ALL[name]()
    assert len(with_class(panel, "packlearn-style")) == 1
    assert len(with_class(panel, "packlearn-band")) == (mode == "teach")
    assert len([w for w in on_show(panel) if has_class(w, "packlearn-panel")]) == 1


@pytest.mark.parametrize("name", ALL)
def test_a_page_that_cannot_show_a_panel_says_so_in_words(name):
    bundle = ALL[name]()._repr_mimebundle_()
    assert bundle["text/plain"] == say("panels.not_alive")


@pytest.mark.parametrize("name", ALL)
def test_every_picture_has_its_sentence_for_screen_readers(name):
    panel = ALL[name]()
    places = [w for w in everything(panel) if isinstance(w, ipywidgets.HTML)]
    for markup in [place.value for place in places if "<svg" in place.value]:
        found = re.findall(r"<svg[^>]*>", markup)
        assert found
        # The sign of a caution says what the word beside it says.
        heads = [
            head for head in found if not re.search(r'packlearn-sign" aria-hidden="true"', head)
        ]
        assert all('role="img"' in head for head in heads)
        assert all(re.search(r'aria-label="[^"]{20,}"', head) for head in heads)


# Pictures of tasks.


def test_every_picture_a_task_may_ask_for_can_be_drawn_and_back():
    assert set(_PICTURES) == set(PICTURES)
    used = {bank.page(page).task(task).picture for page, task in EVERY_TASK}
    assert used - {""} == set(PICTURES)


# Nothing leaks: the most important tests of this file.

QUANTITY = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s?(mAh|Ah|mA|A|Wh|W|V|h|%|C|cells?)(?!\w)")
BASE = {"mAh": ("Ah", 1e-3), "mA": ("A", 1e-3), "cell": ("cells", 1)}


def amounts(text):
    """Every number with a unit in a text, as number and plain unit."""
    for number, unit in QUANTITY.findall(text):
        plain_unit, factor = BASE.get(unit, (unit, 1))
        yield float(number) * factor, plain_unit


def is_answer(var, value, unit):
    """Whether a number with a unit would be taken for the right answer."""
    if unit != var.task.unit or var.task.kind not in ("number", "range", "count"):
        return False
    answer = checking.answer_of(var.task, var.givens)
    low, high = answer if var.task.kind == "range" else (answer, answer)
    near = 0 if var.task.kind == "count" else matching.TOLERANCE
    value = value / 100 if unit == "%" else value
    return low * (1 - near) - 1e-12 <= value <= high * (1 + near) + 1e-12


def leaks(var, text):
    """What in a text gives away the answer of a variant, and the question does not."""
    asked = checking.text_of(var)
    given = set(amounts(asked))
    if ASKED[var.task.asked].by_eye:
        # A flat curve has the voltage that is asked for at many a charge; at its own it is veiled.
        sentence = illustration(var, shown=False).sentence
        assert write(var.givens.get("drawn_ah", -1), "Ah") not in sentence
        given |= set(amounts(sentence))
    found = [f"{v:g} {u}" for v, u in amounts(text) if is_answer(var, v, u) and (v, u) not in given]
    answer = checking.answer_in_words(var)
    if var.task.kind in ("name", "design"):
        answer = right_text(var)
    if holds(text, answer) and not holds(asked, answer):
        found.append(answer)
    return found


def counted_aloud(var, text):
    """Where the counts of a pack that shall be named are told as numbers."""
    series, parallel = var.givens["series"], var.givens["parallel"]
    counts = rf"{series} (groups|in line|cells in line|such)|{parallel} (strings|side by side)"
    product = rf"(?<!\w){series * parallel} cells"
    return re.findall(rf"{counts}|{product}|{series}s{parallel}p", text, re.IGNORECASE)


@pytest.mark.parametrize(("page", "task"), EVERY_TASK)
def test_an_open_question_shows_nothing_of_its_answer(page, task):
    question = panels.Question(page, task)
    assert question.phase == "open"
    assert not question.teaching
    boxes = beside_the_answer(question)
    assert leaks(question.variant, "\n".join(plain(text) for text in texts(boxes))) == []
    if not question.worked:
        lock(question, "no such thing" if question.task.kind != "choice" else None)
    assert leaks(question.variant, said(question)) == []
    lock(question, wrong_text(question.variant), None)
    assert say("panels.how_sure") in said(question)
    assert leaks(question.variant, said(question)) == []


@pytest.mark.parametrize(("page", "task"), EVERY_TASK)
def test_no_picture_of_an_open_question_shows_its_answer(page, task):
    entry = bank.page(page).task(task)
    drawn = 0
    for number in range(MANY_VARIANTS):
        var = checking.variant(entry, number)
        picture = illustration(var, shown=False)
        if picture is None:
            continue
        drawn += 1
        for text in (picture.sentence, plain(picture.svg), re.sub(r"<[^>]+>", "", picture.svg)):
            assert leaks(var, html.unescape(text)) == [], number
            if entry.kind == "name":
                assert counted_aloud(var, html.unescape(text)) == []
        if entry.kind == "name":
            assert counted_aloud(var, picture.svg) == []
    # Until it is locked, a wiring is on its bench only.
    assert drawn == (MANY_VARIANTS if entry.picture and entry.kind != "wire" else 0)


TWO_TRIES = [pair for pair in EVERY_TASK if bank.page(pair[0]).task(pair[1]).attempts > 1]


@pytest.mark.parametrize(("page", "task"), TWO_TRIES)
def test_the_first_wrong_try_gives_nothing_away(page, task):
    question = panels.Question(page, task)
    lock(question, wrong_text(question.variant))
    assert question.phase == "open"
    boxes = beside_the_answer(question)
    shown = "\n".join(plain(text) for text in texts(boxes)).replace(
        wrong_text(question.variant), ""
    )
    assert leaks(question.variant, shown) == []


@pytest.mark.parametrize("picture", PICTURES)
def test_every_picture_changes_when_the_answer_may_be_seen(picture):
    entries = [bank.page(page).task(task) for page, task in EVERY_TASK]
    # What is to be wired has no picture before.
    drawn = (entry for entry in entries if entry.kind != "wire")
    entry = next(entry for entry in drawn if entry.picture == picture)
    var = checking.variant(entry, 0)
    before, after = illustration(var, shown=False), illustration(var, shown=True)
    assert outer_size(before.svg) == outer_size(after.svg)
    assert before.svg != after.svg
    assert before.sentence != after.sentence


@pytest.mark.parametrize("hit", [right_text, wrong_text], ids=["right", "wrong"])
@pytest.mark.parametrize(("page", "task"), EVERY_TASK)
def test_every_reveal_is_whole_and_tidy(page, task, hit):
    question = panels.Question(page, task)
    while question.phase == "open":
        lock(question, hit(question.variant))
    if question.phase == "look":
        question.saw[1].click()
    told = said(question)
    assert as_shown(checking.answer_in_words(question.variant)) in told
    assert all(as_shown(step) in told for step in checking.working(question.variant))
    assert not re.search(r"\.\.(?!\.)|[{}]|  |\b(nan|inf|None)\b|\b1 (cells|strings)\b", told)
    # What opens by a press has a label, not a sentence.
    labels = [re.escape(say(f"protect.mind.{key}", count=0)) for key in ("more", "all")]
    more = re.compile("|".join(labels).replace("0", r"\d+"))
    lines = [
        line for line in told.splitlines() if line.strip() and not more.fullmatch(line.strip())
    ]
    assert all(re.search(r"[.?!]$", line.strip()) for line in lines), lines


@pytest.mark.usefixtures("teacher")
@pytest.mark.parametrize(("page", "task"), EVERY_TASK)
def test_instructor_mode_shows_nothing_before_its_buttons_are_pressed(page, task):
    question = panels.Question(page, task)
    boxes = beside_the_answer(question)
    assert leaks(question.variant, "\n".join(plain(text) for text in texts(boxes))) == []


def test_the_finder_of_leaks_finds_them():
    var = checking.variant(bank.page("predict-the-pack").task("lantern-volts"), 0)
    answer = checking.answer_of(var.task, var.givens)
    assert leaks(var, f"It gives {answer:g} V.")
    assert leaks(var, f"{answer * 1000:g} mV or {answer * 1.01:.4g} V")
    assert not leaks(var, f"{answer * 10:g} V, {answer:g} Ah, 1{answer:g} V, {answer + 1:g}V")
    named = checking.variant(bank.page("predict-the-pack").task("name-it"), 0)
    assert leaks(named, f"({right_text(named)})")
    assert counted_aloud(named, right_text(named).lower())
