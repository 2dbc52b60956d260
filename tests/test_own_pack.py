"""Lesson 12: a learner's own device, from form to sheet; kept, asked anew, nothing leaks."""

import dataclasses
import html
import json
import re
from itertools import pairwise

import pytest
from test_panels import leaks, plain
from test_questions import lock, on_show, right_text, seen, texts

import packlearn as pl
from packlearn import panels
from packlearn.building import plan_for
from packlearn.classroom import answer_files, marking
from packlearn.panels.bench_keeping import NotKept
from packlearn.panels.device_keeping import DeviceFile, Kept, kept_of
from packlearn.panels.log import MyPredictions
from packlearn.panels.own_results import RunView
from packlearn.panels.sheet_keeping import keep_sheet
from packlearn.records import Records
from packlearn.tasks import bank, checking, device_steps, devices
from packlearn.tasks.device_steps import own_variant, way
from packlearn.tasks.devices import read_device, read_plans, ready_texts
from packlearn.words import say

NAMES = tuple(pl.catalogue())
LANTERN = ready_texts("lantern")
HOSTILE = "<script>alert('x')</script>\u202e ../..\x00"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A learner's folder of the test's own."""
    for name in ("PACKLEARN_RECORDS", "PACKLEARN_MODE", "PACKLEARN_SEAT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "learner"))
    monkeypatch.chdir(tmp_path)
    return tmp_path / "learner"


def device_of(**typed):
    device, troubles = read_device(LANTERN | typed)
    assert troubles == {}
    return device


def plans_of(**typed):
    return read_plans(LANTERN | typed)[0]


def stops(device, plans=None, pick=None):
    return list(way(device, plans, pick, plan_for))


def asked(found):
    return {stop.name: stop.variant for stop in found if stop.kind == "question"}


def text_of(panel):
    return plain("\n".join(texts(on_show(panel))))


# What is typed.


@pytest.mark.parametrize("name", devices.READY)
def test_a_ready_device_can_be_read_and_has_a_pack(name):
    typed = ready_texts(name)
    device, plans = read_device(typed)[0], read_plans(typed)[0]
    fits = pl.size(devices.need_of(device, plans)).fits
    assert device.name == typed["name"]
    assert len({choice.pack.cell.chemistry for choice in fits}) >= 2


@pytest.mark.parametrize(
    ("text", "step"),
    {
        "waiting 20 mA for 50 s": ("waiting", 0.02, 50.0),
        "flash 1,2 A for 10 s": ("flash", 1.2, 10.0),
        "LED 2: 20 mA for 1 h 30 min": ("LED 2", 0.02, 5400.0),
        "0.5 A / 2 s": ("", 0.5, 2.0),
        "off 0 A for 2 h": ("off", 0.0, 7200.0),
        "asleep 5mA for 9 min": ("asleep", 0.005, 540.0),
    }.items(),
)
def test_a_step_is_read_as_people_write_it(text, step):
    found = device_of(step_1=text, step_2="then 1 A for 3 s").steps[0]
    assert (found.label, found.current_a) == step[:2]
    assert found.seconds == pytest.approx(step[2])


@pytest.mark.parametrize(
    ("field", "text", "told"),
    [
        ("name", "", "0 letters .*Write 1 to 40"),
        ("name", "x" * 41, "41 letters. Write 40 at most"),
        ("low", "5.5", "5.5 V or 5500 mV"),
        ("low", "cheese", "cheese"),
        ("low", "0.1 V", "0.1 V is out of bounds. Write 0.5 V to 60 V"),
        ("high", "80 V", "80 V is out of bounds. Write 0.5 V to 60 V"),
        ("high", "3 V", "3 V, must be above the lowest, 5.5 V"),
        ("high", "3 Ah", "another kind of quantity"),
        ("hours", "1,900 h", "1,900 h"),
        ("hours", "-3 h", "out of bounds"),
        ("step_1", "", "An empty box cannot be read as a step"),
        ("step_1", "0 A", "takes 0 A all the time"),
        ("step_1", "40 A", "40 A is out of bounds. Write 0 A to 30 A"),
        ("step_1", "lamp", "lamp cannot be read as a step"),
        ("step_1", "y" * 150, "150 letters long. Write 100 at most"),
        ("step_2", "beacon 2 A", "beacon 2 A has no time"),
        ("known", "heard", "heard is not among the choices"),
    ],
)
def test_what_cannot_be_read_is_answered_with_value_limit_and_mend(field, text, told):
    device, troubles = read_device(LANTERN | {field: text})
    assert device is None
    if field == "step_2":
        assert "has no time" in troubles["step_1"]
    assert re.search(told, troubles[field]), troubles[field]


@pytest.mark.parametrize("field", devices.FIELDS)
@pytest.mark.parametrize("text", [HOSTILE, "9" * 500, "1e400 V", "nan A", "{0} V"])
def test_rubbish_in_any_box_is_told_and_never_raises(field, text):
    typed = LANTERN | {field: text}
    told = read_device(typed)[1] | read_plans(typed)[1]
    # The learner's own words for a step or a name may be anything that can be printed.
    assert (field in told) or field in ("name", "output", "efficiency")
    assert all(len(sentence) < 500 for sentence in told.values())


def test_a_regulator_asks_for_a_lowest_voltage_it_can_hold():
    typed = {"feed": "regulator", "output": "6 V"}
    assert "5.5 V to 6 V" in read_device(LANTERN | typed)[1]["low"]
    assert device_of(feed="regulator", output="5 V").load.window_v == (5.5, 8.7)


@pytest.mark.parametrize("field", ["current_share", "capacity_share"])
def test_margins_are_bounded(field):
    assert (
        "5 % is out of bounds. Write 20 % to 100 %"
        in read_plans(LANTERN | {field: "5 %"})[1][field]
    )


# The way.


def test_the_way_of_a_steady_device():
    device, plans = device_of(), plans_of()
    assert [stop.name for stop in stops(None)] == ["device"]
    assert [stop.name for stop in stops(device)] == ["device", "cell"]
    names = ["device", "cell", "most", "fewest", "charge", "binds", "parallel", "choices"]
    assert [stop.name for stop in stops(device, plans)] == names
    pick = pl.Pack(pl.cell("nimh-aa"), 6, 2)
    names += ["loaded", "hours", "run", "wiring", "drop", "fuse", "keep", "sheet"]
    assert [stop.name for stop in stops(device, plans, pick)] == names


@pytest.mark.parametrize(
    ("name", "first"), [("mast", ["mean-three", "converter-in"]), ("trike", ["mean-two"])]
)
def test_the_way_of_a_device_with_steps(name, first):
    typed = ready_texts(name)
    found = asked(stops(read_device(typed)[0], read_plans(typed)[0]))
    assert [task for task in found if task.startswith(("mean", "converter"))] == first


def test_answers_are_those_of_the_device():
    found = asked(stops(device_of(), plans_of(), pl.Pack(pl.cell("nimh-aa"), 6, 2)))
    # By hand: 8.7 / 1.45 and 5.5 / 1.0, 0.6 A x 4 h, 2.4 Ah / (1.9 Ah / 1.25 / 1.1) = 1.74.
    answers = {name: checking.answer_of(v.task, v.givens) for name, v in found.items()}
    assert (answers["most"], answers["fewest"], answers["parallel"]) == (6, 6, 2)
    assert answers["charge"] == pytest.approx(2.4)
    assert answers["binds"] == "time"
    assert answers["drop"] == pytest.approx(0.6 * 2 * 0.5 * 0.0172 / 0.5)
    assert answers["fuse"] == pytest.approx(0.6 / 0.75)


@pytest.mark.parametrize(
    ("task", "typed", "rule"),
    [
        ("most", "7", "M19a"),
        ("fewest", "5", "M34a"),
        ("parallel", "1", "M34b"),
        ("hours", "50 h", "unknown"),
        ("drop", "10.3 mV", "M33"),
        ("charge", "0.0024 Ah", "M11a"),
        ("fuse", "0.6 A", "M95"),
    ],
)
def test_slips_are_recognised_in_the_devices_own_numbers(task, typed, rule):
    found = asked(stops(device_of(), plans_of(), pl.Pack(pl.cell("nimh-aa"), 6, 2)))
    verdict = checking.check(found[task], typed)
    ids = [each.id for each in verdict.rules]
    assert rule in (*ids, verdict.kind)
    assert not verdict.right


def test_the_voltage_without_sag_is_recognised_where_it_shows():
    device, pick = device_of(step_1="motor 4 A for 5 s", step_2="0.1 A for 60 s"), (6, 2)
    found = asked(stops(device, plans_of(), pl.Pack(pl.cell("nimh-aa"), *pick)))
    verdict = checking.check(found["loaded"], "7.8 V")
    assert [rule.id for rule in verdict.rules] == ["M21"]


def test_a_change_asks_again_only_where_it_matters():
    pick = pl.Pack(pl.cell("nimh-c"), 6, 1)
    before = asked(stops(device_of(), plans_of(), pick))
    after = asked(stops(device_of(hours="4.5 h"), plans_of(), pick))
    changed = {name for name in before if before[name].number != after[name].number}
    assert changed == {"charge", "binds", "parallel"}
    lead = asked(stops(device_of(), plans_of(lead="2 m"), pick))
    assert {name for name in before if before[name].number != lead[name].number} == {"drop"}


def test_numbers_of_own_devices_meet_none_of_a_seat_and_are_the_same_everywhere():
    givens = {"current_a": 0.6, "run_time_h": 4.0}
    variant = own_variant("charge", givens)
    assert variant.number == own_variant("charge", dict(reversed(givens.items()))).number
    assert 2**52 <= variant.number < 2**53
    assert variant.number % checking.LONGEST_CHAIN == 0
    assert variant.number != own_variant("charge", givens | {"run_time_h": 5.0}).number


def test_a_device_that_always_takes_the_same_needs_no_time():
    for text in ("0.25 A", "camera 250 mA all the time", "0,25 A steady"):
        found = device_of(step_1=text)
        assert found.steady
        assert found.steps[0].current_a == 0.25


def test_the_box_of_the_last_step_comes_once_the_third_is_used():
    panel = panels.OwnPack()
    view = panel.views["device"]
    assert "step_3" in shown_boxes(view)
    assert "step_4" not in shown_boxes(view)
    view.boxes["step_3"].value = "0.1 A for 2 s"
    assert "step_4" in shown_boxes(view)


def shown_boxes(view):
    shown = set(map(id, on_show(view)))
    return {field for field, box in view.boxes.items() if id(box) in shown}


def test_behind_a_converter_the_window_is_the_converters_own():
    panel = panels.OwnPack()
    boxes = panel.views["device"].boxes
    assert boxes["low"].description == say("own_pack.fields.low")
    boxes["feed"].value = "converter"
    assert boxes["low"].description == boxes["low"].tooltip == say("own_pack.into.low")
    assert say("own_pack.into.high") in seen(panel)
    boxes["feed"].value = "straight"
    assert boxes["high"].description == say("own_pack.fields.high")


def test_what_binds_is_asked_only_where_something_does():
    assert "binds" in asked(stops(device_of(hours="4 h"), plans_of()))
    both_one = asked(stops(device_of(hours="1 h"), plans_of()))
    assert "binds" not in both_one
    assert "parallel" in both_one


def test_four_steps_are_asked_together():
    steps = ("5 mA for 50 s", "60 mA for 5 s", "0.5 A for 2 s", "20 mA for 3 s")
    typed = {f"step_{place}": text for place, text in enumerate(steps, 1)}
    variant = asked(stops(device_of(**typed), plans_of()))["mean-four"]
    # 250 mAs + 300 mAs + 1000 mAs + 60 mAs in a minute.
    assert checking.check(variant, "26.8 mA").right
    assert [rule.id for rule in checking.check(variant, "0.5 A").rules] == ["M38"]


def test_where_a_cell_does_not_go_the_others_that_do_are_named_or_a_converter():
    told = stops(device_of(), plans_of(cell="li-ion-18650-energy"))[-1].said
    assert "These stay in the window: NiMH AAA, NiMH AA," in told
    assert "Alkaline" not in told
    usb = stops(device_of(low="4.5 V", high="5.5 V"), plans_of())[-1].said
    assert usb.endswith(say("own_pack.blocked.converter"))


def test_a_window_no_count_can_meet_says_so_and_ends_the_way():
    found = stops(device_of(low="7.9 V", high="8 V"), plans_of())
    assert found[-1].kind == "blocked"
    assert "At least 8 must be in line, and at most 5 may" in found[-1].said
    one = stops(device_of(low="1 V", high="3 V"), plans_of(cell="li-ion-18650-energy"))
    assert "4.2 V" in one[-1].said
    assert "3 V" in one[-1].said


def suited(cell):
    """A device that two of a cell in line feed well, or one where two are too many."""
    series = 1 if cell.full_voltage_v > 9 else 2
    typed = {
        "low": f"{0.8 * series * cell.end_voltage_v:.4f} V",
        "high": f"{1.02 * series * cell.full_voltage_v:.4f} V",
        "step_1": f"{0.05 * cell.current_limit_a:.4g} A",
        "hours": "1 h",
    }
    return device_of(**typed), pl.Pack(cell, series, 1)


@pytest.mark.parametrize("name", NAMES)
def test_every_cell_ends_in_the_right_kind_of_sheet(name, folder):
    cell = pl.cell(name)
    device, pick = suited(cell)
    plans = plans_of(cell=name)
    found = stops(device, plans, pick)
    assert found[-1].name == "sheet", [stop.name for stop in found]
    assert {"most", "charge", "parallel"} <= asked(found).keys()
    plan = plan_for(devices.need_of(device, plans), pick, name=device.name)
    made = keep_sheet(plan)
    text = (folder / made.page).read_text(encoding="utf-8")
    assert plan.ready_made == cell.ready_made_only
    assert ("Order sheet" in text) == cell.ready_made_only
    assert ("Build sheet" in text) != cell.ready_made_only


# The panel.


def shown(panel):
    return panel.stops[panel.place]


def at(panel, name):
    """Work through the panel until a stop is on the stage."""
    for _ in range(60):
        if shown(panel).name == name:
            return panel
        finish(panel)
        panel.onward.click()
        assert panel.errors == []
    raise AssertionError(shown(panel).name)


def finish(panel):
    stop = shown(panel)
    if stop.kind == "question":
        question = panel.stage.children[0]
        while question.phase == "open":
            lock(question, right_text(question.variant))
        if question.phase == "look":
            question.saw[1].click()
    if stop.name == "choices" and panel.pack is None:
        view = panel.stage.children[0]
        view.pick.value = view.pick.options[1][1]


def begun(name="lantern"):
    panel = panels.OwnPack()
    panel.stage.children[0].fill_in(name)
    return panel


@pytest.mark.parametrize("name", devices.READY)
def test_from_the_first_field_to_the_sheet(name, folder):
    panel = at(begun(name), "sheet")
    view = panel.stage.children[0]
    view.make.click()
    assert (view.errors, view.alert.value) == ([], "")
    (page,) = (folder / "sheets").glob("*.html")
    assert f"sheets/{page.name}" in view.says.value
    assert "docmanager:open" in view.says.value
    assert panel.plan.pack.name in seen(view)


def test_where_the_cells_stop_before_the_device_the_run_says_so():
    behind = {"feed": "converter", "output": "5 V", "efficiency": "85 %", "low": "3 V"}
    panel = panels.OwnPack()
    panel.keep_typed(LANTERN | behind | {"high": "9 V", "step_1": "0.25 A", "hours": "2 h"})
    panel.keep_pick(("nimh-aa", 4, 1))
    view = RunView(panel)
    view.update()
    told = html.unescape(view.picture.value)
    assert say("explore.ended.end_voltage") in told
    assert say("explore.ended.device_minimum") not in told


@pytest.mark.parametrize("name", devices.READY)
def test_nothing_of_a_step_is_on_screen_before_its_prediction_is_locked(name):
    panel, looked = begun(name), 0
    while shown(panel).name != "sheet":
        stop = shown(panel)
        if stop.kind == "question":
            told = text_of(panel)
            # The options of a choice are told by its question.
            if stop.variant.task.kind != "choice":
                assert leaks(stop.variant, told) == [], stop.name
            assert checking.working(stop.variant)[-1] not in told
            looked += 1
        else:
            # Only the last stop that is known may be open, and it is not on the stage.
            open_ones = [v for v in asked(panel.stops[:-1]).values() if not locked(v)]
            assert open_ones == []
        finish(panel)
        panel.onward.click()
    assert looked >= 9


def locked(variant):
    entries = Records.default().find(variant.task.page, variant.task.id, "")
    return any(entry.locked.variant == variant.number for entry in entries)


@pytest.mark.parametrize("name", devices.READY)
def test_what_comes_later_is_not_told_before(name):
    panel, told, found = begun(name), {}, {}
    while shown(panel).name != "sheet":
        stop = shown(panel)
        finish(panel)
        panel.update()
        told[stop.name] = text_of(panel)
        found |= asked(panel.stops)
        panel.onward.click()
    order = list(told)
    numbers = {n: v for n, v in found.items() if v.task.kind in ("number", "range")}
    for later, variant in numbers.items():
        # What is asked of the same amount again, such as a fuse of the load's size, is no leak.
        for earlier in order[: order.index(later)]:
            # The choices tell the rule of thumb, which the hours are to be held against.
            thumb = (earlier, later) == ("choices", "hours")
            if later in ("converter-in", "charge", "drop", "loaded", "hours") and not thumb:
                assert leaks(variant, told[earlier]) == [], (earlier, later)


def test_the_stage_goes_on_only_when_the_stop_is_done():
    panel = panels.OwnPack()
    assert panel.onward.disabled
    panel.onward.click()
    assert shown(panel).name == "device"
    panel = at(begun(), "most")
    assert panel.onward.disabled
    finish(panel)
    assert not panel.onward.disabled


def test_a_restart_goes_on_where_it_was_with_every_word_that_was_typed():
    panel = panels.OwnPack()
    view = panel.stage.children[0]
    view.boxes["name"].value = "Frog counter"
    view.boxes["low"].value = "4,5"
    again = panels.OwnPack()
    boxes = again.stage.children[0].boxes
    assert (boxes["name"].value, boxes["low"].value) == ("Frog counter", "4,5")
    assert "4,5" in seen(again.stage.children[0])
    panel = at(begun(), "loaded")
    again = panels.OwnPack()
    assert (shown(again).name, again.pack) == ("loaded", panel.pack)


def test_a_ready_device_gives_back_what_was_typed_before():
    panel = panels.OwnPack()
    view = panel.stage.children[0]
    view.boxes["name"].value = "Frog counter"
    for name in ("lantern", "mast"):
        view.fill_in(name)
    assert view.boxes["name"].value == "Weather mast with beacon"
    view.undo.click()
    assert view.boxes["name"].value == "Frog counter"
    assert view.boxes["low"].value == ""


def test_two_windows_lose_nothing(folder):
    one, two = panels.OwnPack(), panels.OwnPack()
    one.stage.children[0].boxes["name"].value = "Frog counter"
    two.stage.children[0].boxes["hours"].value = "9 h"
    third = panels.OwnPack().stage.children[0].boxes
    assert (third["name"].value, third["hours"].value) == ("Frog counter", "9 h")
    one.stage.children[0].boxes["low"].value = "5 V"
    two.stage.children[0].boxes["low"].value = "6 V"
    (aside,) = (folder / "own-pack").glob("*.other-1")
    assert kept_of(aside.read_text(encoding="utf-8")).typed["low"] == "5 V"
    assert aside.name in seen(two)


def test_a_damaged_file_is_put_aside(folder):
    (folder / "own-pack").mkdir(parents=True)
    path = folder / "own-pack" / "own-pack.json"
    path.write_text('{"own_pack": 1, "typed": 7', encoding="utf-8")
    panel = panels.OwnPack()
    assert "own-pack.damaged-1" in seen(panel)
    assert (folder / "own-pack" / "own-pack.damaged-1").read_text(encoding="utf-8").endswith("7")


@pytest.mark.parametrize(
    "change",
    [
        {"own_pack": 2},
        {"typed": []},
        {"typed": {"name": 3}},
        {"typed": {"name": "x" * 1000}},
        {"pick": ["nimh-aa", 6]},
        {"pick": ["nimh-aa", True, 1]},
        {"pick": ["nimh-aa", 6, 10**9]},
        {"stop": None},
    ],
    ids=str,
)
def test_only_a_state_of_this_form_is_taken_over(change):
    assert kept_of(Kept().text()) == Kept()
    assert kept_of(json.dumps(json.loads(Kept().text()) | change)) is None
    assert kept_of("[" * 100_000) is None


def test_a_folder_that_cannot_be_written_is_told_and_the_page_works_on(folder):
    folder.mkdir()
    # A file in the place of the folder stands in for one that may only be read.
    (folder / "own-pack").write_text("", encoding="utf-8")
    panel = begun()
    assert "cannot be kept" in seen(panel)
    assert panel.errors == []
    panel.onward.click()
    assert shown(panel).name == "cell"
    with pytest.raises(NotKept, match="cannot be kept"):
        DeviceFile().write(Kept())


def test_a_hostile_name_is_only_text(folder):
    panel = begun()
    view = panel.stage.children[0]
    view.boxes["name"].value = "<img src=x onerror=alert(1)>"
    panel = at(panel, "sheet")
    assert "<img" not in "".join(texts_raw(panel))
    panel.stage.children[0].make.click()
    assert panel.stage.children[0].alert.value == ""
    (page,) = (folder / "sheets").glob("*.html")
    assert page.name == "img-src-x-onerror-alert-1.html"
    assert "<img" not in page.read_text(encoding="utf-8")


def texts_raw(panel):
    for widget in on_show(panel):
        value = getattr(widget, "value", None)
        if isinstance(value, str) and type(widget).__name__ == "HTML":
            yield value


def test_a_sheet_never_takes_the_place_of_another(folder):
    need = devices.need_of(device_of(), plans_of())
    first, second = (pl.Pack(pl.cell("nimh-c"), 6, 1), pl.Pack(pl.cell("nimh-aa"), 6, 2))
    made = [
        keep_sheet(plan_for(need, pack, name="Lantern")).page for pack in (first, second, first)
    ]
    assert made == ["sheets/lantern.html", "sheets/lantern-2.html", "sheets/lantern.html"]
    assert {path.name for path in (folder / "sheets").glob("*.html")} == {
        "lantern.html",
        "lantern-2.html",
    }


def test_a_changed_device_is_asked_again_and_what_was_predicted_stays():
    panel = at(begun(), "choices")
    records = Records.default()
    before = [(e.locked.task, e.locked.typed) for e in records.all("")]
    panel.first.click()
    panel.stage.children[0].boxes["hours"].value = "6 h"
    panel.onward.click()
    at(panel, "charge")
    assert panel.stage.children[0].phase == "open"
    assert not any(stop.name == "choices" for stop in panel.stops)
    finish(panel)
    after = [(e.locked.task, e.locked.typed) for e in records.all("")]
    assert after[: len(before)] == before
    assert after[len(before) :] == [("charge", "3.6 Ah")]
    # Back at the old device, the old predictions stand there again.
    panel.first.click()
    panel.stage.children[0].boxes["hours"].value = "4 h"
    at(panel, "choices")
    assert [(e.locked.task, e.locked.typed) for e in records.all("")] == after


def test_the_list_of_predictions_tells_the_question_of_the_own_device():
    at(begun(), "charge")
    told = seen(MyPredictions())
    assert "What the pack feeds takes 8.7 V at most." in told
    assert "lesson-12" not in told


def test_givens_that_are_no_own_devices_are_not_put_into_words():
    at(begun(), "fewest")
    (entry,) = [e for e in Records.default().all("") if e.locked.task == "most"]
    for change in ({"givens": entry.locked.givens | {"voltage_high_v": 9.0}}, {"variant": 0}):
        assert device_steps.kept_variant(dataclasses.replace(entry.locked, **change)) is None
    assert device_steps.kept_variant(entry.locked).number == entry.locked.variant


def test_answers_about_an_own_device_are_told_and_not_marked(tmp_path, monkeypatch):
    monkeypatch.setattr("packlearn.panels.base.seat", lambda: "HEDGE7-04")
    monkeypatch.setattr("packlearn.classroom.sitting.needs_seat", lambda: False)
    at(begun(), "fewest")
    path = tmp_path / "answers"
    answer_files.save(Records.default(), "HEDGE7-04", path)
    marks = marking.mark("HEDGE7", 30, [("answers", path.read_bytes())])
    told = " ".join(sentence for _, sentence in marks.report)
    assert "those of the learner's own device. Answers: 1" in told
    assert marks.questions == []


def test_a_teacher_has_answer_why_and_slips_at_every_question(monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    panel = begun()
    while shown(panel).name != "most":
        panel.onward.click()
    question = panel.stage.children[0]
    assert leaks(question.variant, text_of(panel)) == []
    assert panel.onward.disabled
    question.key.buttons["answer"].click()
    assert "6 cells" in seen(panel)
    assert not panel.onward.disabled
    question.key.buttons["rules"].click()
    assert "M19a" in seen(panel)


def test_the_steps_stand_in_the_order_of_the_lesson():
    order = [task.id for task in bank.page(device_steps.PAGE).tasks]
    typed = ready_texts("mast")
    device, plans = read_device(typed)[0], read_plans(typed)[0]
    best = pl.size(devices.need_of(device, plans), [pl.cell("nimh-c")])[0]
    names = list(asked(stops(device, plans, best.pack)))
    assert all(order.index(one) < order.index(two) for one, two in pairwise(names))
    assert len(names) >= 9
