"""Kinds of answer in a real browser: what is pointed at in a diagram."""

import re

import pytest
from browsing import notebook, open_lesson, screenshot
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

WIRING = "exercises/6-name-and-wire.ipynb"


def go_to(page, words):
    """Go back from task to task until one says these words; return the page of tasks."""
    tasks = notebook(page).locator(".packlearn-panel", has_text="Task 1 of").first
    count = int(re.search(r"Task 1 of (\d+)", tasks.inner_text())[1])
    tasks = notebook(page).locator(".packlearn-panel", has_text=f" of {count}").first
    for place in range(count, 0, -1):
        tasks.get_by_role("button", name="Back", exact=True).click()
        expect(tasks.get_by_text(f"Task {place} of {count}")).to_be_visible()
        if tasks.get_by_text(words).count():
            return tasks
    raise AssertionError(f"no task says: {words}")


def press_in_picture(page, tasks, contact, below=0):
    """Press a contact in the diagram with the mouse, in its middle or some pixels below."""
    place = tasks.locator(f"svg [data-contact='{contact}']").first
    place.scroll_into_view_if_needed()
    box = place.bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2 + below)


def test_a_press_in_the_diagram_chooses_a_cell_and_a_second_lets_go(page, lab):
    open_lesson(page, lab("learn"), WIRING)
    tasks = go_to(page, "Point at every cell that is in line")
    cell = tasks.get_by_role("button", name="2A", exact=True)
    other = tasks.get_by_role("button", name="3A", exact=True)
    expect(cell).to_have_attribute("aria-pressed", "false")
    press_in_picture(page, tasks, "2A+")
    expect(cell).to_have_attribute("aria-pressed", "true")
    expect(tasks.get_by_text("Chosen: 2A.", exact=True)).to_be_visible()
    # Beside the thin wire, where the symbol and its names stand.
    press_in_picture(page, tasks, "3A-", below=9)
    expect(other).to_have_attribute("aria-pressed", "true")
    screenshot(page, "cells pointed at")
    # Either end of a cell stands for it, so the other end gives it back.
    press_in_picture(page, tasks, "2A-")
    expect(cell).to_have_attribute("aria-pressed", "false")
    expect(tasks.get_by_text("Chosen: 3A.", exact=True)).to_be_visible()


def lock(tasks, typed):
    """Type an answer, say how sure, lock it in."""
    tasks.get_by_role("textbox").first.fill(typed)
    tasks.get_by_role("button", name="Sure", exact=True).click()
    tasks.get_by_role("button", name="Lock it in", exact=True).click()


def test_the_way_on_stays_in_sight_and_what_is_told_lies_beside_the_picture(page, lab):
    open_lesson(page, lab("learn"), "exercises/2-predict-the-pack.ipynb")
    tasks = go_to(page, "What current may the pack give all the time?")
    lock(tasks, "1000 A")
    expect(tasks.get_by_text("One more try.")).to_be_visible()
    lock(tasks, "2000 A")
    expect(tasks.get_by_role("button", name="less than I wrote")).to_be_visible()
    told = tasks.locator(".packlearn-answer").bounding_box()
    picture = tasks.locator(".packlearn-picture svg").first.bounding_box()
    assert told["x"] > picture["x"] + picture["width"] - 1
    # However far one has scrolled up, the way on is there.
    page.locator(".jp-WindowedPanel-outer").first.evaluate("(box) => box.scrollTo(0, 0)")
    onward = tasks.get_by_role("button", name="Go on", exact=True).bounding_box()
    assert onward["y"] + onward["height"] <= 768
    screenshot(page, "told beside the picture")


def test_a_worked_example_that_opens_is_read_from_its_first_line(page, lab):
    open_lesson(page, lab("learn"), "exercises/0-practise.ipynb")
    tasks = notebook(page).locator(".packlearn-panel", has_text="Lock it in").first
    lock(tasks, "99999 A")
    expect(tasks.get_by_text("One more try.")).to_be_visible()
    lock(tasks, "99999 A")
    tasks.get_by_role("button", name="less than I wrote").click()
    how = notebook(page).get_by_role("button", name="Show me how this goes")
    expect(how).to_be_visible()
    how.press("Enter")
    page.wait_for_function("document.activeElement.classList.contains('packlearn-opens')")
    line = page.evaluate("document.activeElement.textContent")
    assert line.startswith("Stage 1 of 3")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent").startswith("Why")
