"""Cautions stand wherever a task, panel, bench or lesson touches a situation, and leak nothing."""

import html
import re
import tomllib
from importlib.resources import files

import pytest
from test_questions import lock, right_text

import packlearn
from packlearn import Pack, Wiring, panels
from packlearn.building import SITUATIONS, cautions
from packlearn.errors import BadValue
from packlearn.panels.bench_controls import CAN
from packlearn.panels.minding import told
from packlearn.pictures.signs import sign
from packlearn.tasks import bank, checking, minding
from packlearn.tasks.answers import ASKED
from packlearn.tasks.skills import of_lesson, skills

ROWS = tomllib.loads((files("packlearn") / "data" / "situations.toml").read_text("utf-8"))
TASKS = [task for name in bank.pages() for task in bank.page(name).tasks]
TOUCHING = [task for task in TASKS if minding.situations_of(task)]
# One of each thing asked and situation on a page, since asking all would take minutes; of those
# that are answered with one box or list: the feedback is the same.
PLAIN = ("number", "range", "count", "name", "choice")
ONE_OF_EACH = list(
    {(t.page, t.asked, minding.situations_of(t)): t for t in TOUCHING if t.kind in PLAIN}.values()
)
named = pytest.mark.parametrize("task", ONE_OF_EACH, ids=lambda t: f"{t.page}/{t.id}")


def shown(value):
    return html.unescape(re.sub(r"<[^>]+>", " ", value))


# The data.


def test_the_data_names_what_there_is():
    places = [ROWS["asked"], ROWS["skill"], ROWS["panel"], ROWS["bench"]]
    used = {name for rows in places for each in rows.values() for name in each}
    used |= {name for row in ROWS["lesson"].values() for name in row["situations"]}
    assert used <= set(SITUATIONS)
    # Every situation of the cautions is touched somewhere.
    assert used == set(SITUATIONS)
    assert set(ROWS["asked"]) <= set(ASKED)
    assert set(ROWS["skill"]) <= {each.id for each in skills()}
    assert set(ROWS["bench"]) <= set(CAN)
    assert all(hasattr(panels, name) for name in ROWS["panel"])


def test_every_task_of_building_and_of_mixing_touches_a_situation():
    page = bank.page("protect-and-charge")
    assert all(minding.situations_of(task) for task in page.tasks)
    touched = {name for task in TASKS for name in minding.situations_of(task)}
    assert touched >= {"charging", "fusing", "wiring", "carrying", "mixing", "measuring", "joining"}
    assert len(TOUCHING) > 100


# Tasks.


def test_every_task_that_touches_a_situation_finds_its_cautions():
    for task in TOUCHING:
        variant = checking.variant(task, 0)
        found = minding.of_variant(variant)
        chemistry = variant.cell.chemistry if "cell" in variant.givens else None
        keys = {each.key for each in found}
        for name in minding.situations_of(task):
            if chemistry:
                assert {each.key for each in cautions(chemistry, name)} <= keys
        assert found[-1].key == "own_rules"
        ranks = [("danger", "warning", "note").index(each.severity) for each in found[:-1]]
        assert ranks == sorted(ranks)
        assert len(keys) == len(found)


@named
def test_a_task_shows_them_once_it_is_locked_and_not_before(task):
    question = panels.Question(task.page, task.id)
    found = minding.of_variant(question.variant)
    assert not any(each.sentence in shown(question.status.value) for each in found)
    lock(question, right_text(question.variant))
    if question.phase == "look":
        question.saw[1].click()
    said = shown(question.status.value)
    assert all(each.sentence in said for each in found)
    at_once = shown(question.status.value.split("<details>")[0])
    # A lesson shows them below "On your own", so its questions keep them behind a press.
    most = 0 if of_lesson(task) else 2
    assert sum(each.sentence in at_once for each in found) == min(most, len(found))


def test_a_task_that_touches_none_shows_none():
    question = panels.Question("predict-the-pack", bank.page("predict-the-pack").tasks[0].id)
    lock(question, right_text(question.variant))
    assert "packlearn-mind" not in question.status.value


# Panels, benches, lessons.

MAKE = {
    "WireExplorer": panels.WireExplorer,
    "FuseExplorer": panels.FuseExplorer,
    "ChargeExplorer": panels.ChargeExplorer,
    "ShelfExplorer": panels.ShelfExplorer,
    "UnlikeExplorer": panels.UnlikeExplorer,
    "JoinExplorer": panels.JoinExplorer,
}


@pytest.mark.parametrize("name", ROWS["panel"])
def test_a_panel_that_touches_a_situation_shows_its_cautions(name):
    panel = MAKE[name]()
    cell = panel.controls.get("cell")
    for choice in [value for _, value in cell.options] if cell else [None]:
        if cell:
            cell.value = choice
        chemistry = packlearn.cell(choice).chemistry if choice else "NiMH"
        if name in ("UnlikeExplorer", "JoinExplorer"):
            chemistry = "NiMH"
        place = getattr(panel, "minds", None) or panel.caution
        found = minding.of_panel(name, chemistry)
        assert len(found) >= 2
        assert all(each.sentence in shown(place.value) for each in found)
        assert place in panel.children


def test_a_bench_shows_what_to_mind_for_its_cells_and_for_what_it_can_do():
    wiring = Wiring.of(Pack(packlearn.cell("nimh-aa"), 3, 1), charge=0.5)
    whole = panels.Bench(wiring, name="whole")
    meter = panels.Bench(wiring, name="meter", can=("meter",))
    for bench, situations in ((whole, SITUATIONS), (meter, ["measuring"])):
        said = shown(bench.careful.value)
        wanted = [name for name in situations if name in ("joining", "wiring", "measuring")]
        for name in wanted:
            assert all(each.sentence in said for each in cautions("NiMH", name))
    assert len(meter.careful.value) < len(whole.careful.value)
    assert "Cells go into a holder" not in shown(meter.careful.value)


@pytest.mark.parametrize("number", [8, 9, 10, 11])
def test_a_lesson_shows_three_at_once_and_the_rest_behind_a_press(number):
    panel = panels.Cautions(lesson=number)
    value = panel.said.value
    before, _, behind = value.partition("<details>")
    assert before.count("<p>") == 3
    assert behind.count("<p>") == len(panel.found) - 3 > 0
    assert f"More cautions ({len(panel.found) - 3})" in behind
    assert panel.found[-1].sentence in shown(behind)
    assert panel.found[0].severity == "danger"


def test_a_lesson_without_cautions_is_told():
    with pytest.raises(BadValue, match="lesson 2"):
        panels.Cautions(lesson=2)


# What is seen.


def test_the_severity_is_a_word_and_a_shape_not_a_colour():
    signs = {severity: sign(severity) for severity in ("danger", "warning", "note")}
    shapes = {re.search(r'd="([^"]+)"', svg)[1] for svg in signs.values()}
    assert len(shapes) == 3
    assert all('aria-hidden="true"' in svg for svg in signs.values())
    value = told(cautions("Li-ion", "charging"))
    assert "<b>Danger.</b>" in value
    assert "<b>Take care.</b>" in value
    with pytest.raises(BadValue):
        sign("loud")


def test_nothing_to_mind_is_nothing_on_the_page():
    assert told(()) == ""
