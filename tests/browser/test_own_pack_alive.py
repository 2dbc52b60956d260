"""Lesson 12 in a real browser, by keyboard: a device is typed in, predicted, chosen, on a sheet."""

import json
import sys
from pathlib import Path

import pytest
from browsing import notebook, open_lesson, press, screenshot, wait_for_idle
from playwright.sync_api import expect

import packlearn as pl
from packlearn.building import plan_for
from packlearn.tasks import checking
from packlearn.tasks.device_steps import way
from packlearn.tasks.devices import read_device, read_plans

sys.path.insert(0, str(Path(__file__).parents[1]))
from test_questions import right_text  # noqa: E402

pytestmark = pytest.mark.browser

PAGE = "lessons/12-your-own-pack.ipynb"
TYPED = {
    "Its name": "Frog <b>counter</b>",
    "Lowest voltage": "4,5 V",
    "Highest voltage": "7500 mV",
    "What it takes": "waiting 20 mA for 50 s",
    "It must run": "20 h",
}
RESTART = "jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()"


def kept(learner):
    return json.loads((learner.folder / "own-pack" / "own-pack.json").read_text("utf-8"))


def stop_of(learner):
    """The stop the learner's file tells, with the numbers of its question."""
    data = kept(learner)
    device, plans = read_device(data["typed"])[0], read_plans(data["typed"])[0]
    pick = data["pick"] and pl.Pack(pl.cell(data["pick"][0]), *data["pick"][1:])

    def plan(need, pack):
        return plan_for(need, pack, lead_m=plans.lead_m, name=device.name)

    return next(stop for stop in way(device, plans, pick, plan) if stop.name == data["stop"])


def key(panel, name):
    """Press a button of the panel by its keys."""
    button = panel.get_by_role("button", name=name, exact=True)
    expect(button).to_be_enabled()
    press(button, "Enter")


def answer(panel, variant):
    """Predict rightly, by keyboard."""
    if variant.task.kind == "choice":
        press(panel.get_by_role("radio", name=checking.answer_in_words(variant)), "Space")
    else:
        panel.get_by_role("textbox").first.focus()
        panel.page.keyboard.type(right_text(variant))
    key(panel, "I think so")
    key(panel, "Lock it in")
    expect(panel).to_contain_text("You wrote: ")
    saw = panel.get_by_role("button", name="what I wrote", exact=True)
    expect(panel.get_by_role("button", name="Go on")).to_be_attached()
    if saw.is_visible():
        press(saw, "Enter")


def test_from_the_first_field_to_the_sheet_by_keyboard_with_a_restart_between(page, lab):
    learner = lab("learn")
    open_lesson(page, learner, PAGE)
    panel = notebook(page).locator(".packlearn-panel").nth(1)
    for label, text in TYPED.items():
        panel.get_by_label(label, exact=True).focus()
        page.keyboard.type(text)
    panel.get_by_label("then", exact=True).first.focus()
    page.keyboard.type("flash 1.2 A")
    expect(panel).to_contain_text("flash 1.2 A has no time")
    screenshot(page, "own-pack-trouble")
    page.keyboard.type(" for 10 s")
    expect(panel).not_to_contain_text("has no time")
    screenshot(page, "own-pack-device")
    names = []
    while not names or names[-1] != "sheet":
        key(panel, "Go on")
        expect(panel).to_contain_text(f"Stop {len(names) + 2}. ")
        stop = stop_of(learner)
        names.append(stop.name)
        assert len(names) < 30
        if stop.kind == "question":
            answer(panel, stop.variant)
        if stop.name == "charge":
            page.evaluate(RESTART)
            wait_for_idle(page)
            page.get_by_role("button", name="Start this lesson").click()
            wait_for_idle(page)
            expect(panel).to_contain_text("You wrote: ")
        if stop.name == "choices":
            chosen = panel.get_by_label("The pack you take")
            chosen.select_option(index=1)
            expect(panel.get_by_role("button", name="Go on")).to_be_enabled()
            screenshot(page, "own-pack-choices")
    assert {"mean-two", "most", "fewest", "binds", "parallel", "hours", "fuse"} <= set(names)
    key(panel, "Make my sheet")
    link = panel.get_by_role("link", name="sheets/frog-b-counter-b.html")
    expect(link).to_be_visible()
    screenshot(page, "own-pack-made")
    press(link, "Enter")
    sheet = page.frame_locator("iframe").last
    expect(sheet.locator("body")).to_contain_text("Frog <b>counter</b>")
    screenshot(page, "own-pack-sheet")
