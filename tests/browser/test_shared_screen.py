"""A class on two windows: the teacher's panel and the shared screen, in a real browser."""

import re

import pytest
from browsing import notebook, open_lesson, screenshot, wait_for_idle
from playwright.sync_api import expect
from test_accessible import in_both_themes

from packlearn.classroom import hands
from packlearn.classroom.seats import seat_text
from packlearn.records import Prediction, Records
from packlearn.tasks import bank, checking

pytestmark = pytest.mark.browser

PAGE, TASK = "lesson-3", "in-line"
SIZES = ({"width": 1366, "height": 768}, {"width": 1920, "height": 1080})
LEAST_PX = 32  # 24 pt
BROWSERS_BARS_PX = 130

# What stands below the edge, beyond the right one, and the smallest letters of a line of text.
MEASURED = """() => {
  const screen = document.querySelector(".packlearn-projector");
  const box = screen.getBoundingClientRect();
  const parts = [...screen.querySelectorAll("p, li, svg")].filter((one) => one.offsetParent !== null
    || one.tagName === "svg");
  const ends = parts.map((one) => one.getBoundingClientRect());
  const lines = [...screen.querySelectorAll("p, li")];
  const letters = lines.map((one) => getComputedStyle(one).fontSize);
  return {
    box: [box.left, box.top, box.width, box.height],
    below: Math.max(...ends.map((end) => end.bottom)) - innerHeight,
    beyond: Math.max(...ends.map((end) => end.right)) - innerWidth,
    scrolls: document.documentElement.scrollHeight > innerHeight,
    letters: Math.min(...letters.map(parseFloat)),
    over: document.elementFromPoint(8, 8)?.closest(".packlearn-projector") === screen,
  };
}"""


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    """Address of the records that a class shares."""
    return f"sqlite:///{tmp_path_factory.mktemp('shared') / 'records.sqlite'}"


@pytest.fixture(scope="module")
def school(lab, shared):
    more = {"PACKLEARN_RECORDS": shared, "PACKLEARN_CLASS": "HEDGE7", "PACKLEARN_SEATS": "28"}
    return lab("teach", more=more)


def vote(shared, texts, attempt=1):
    """Each seat from the first on locks a text in, as a learner's notebook does."""
    records, var = Records(shared), checking.variant(bank.page(PAGE).task(TASK), 0)
    for seat, text in enumerate(texts, start=1):
        where = {"page": PAGE, "task": TASK, "variant": 0, "attempt": attempt}
        value = checking.check(var, text).value
        told = {"typed": text, "value": value, "unit": "V", "confidence": "sure"}
        seat = seat_text("HEDGE7", seat)
        records.lock(Prediction(**where, **told, givens=dict(var.givens), seat=seat))


def check_screen(screen, name):
    """Nothing of the shared screen is cut off or small, on a laptop and on a projector."""
    for size in SIZES:
        screen.set_viewport_size(size)
        found = screen.evaluate(MEASURED)
        assert found["box"] == [0, 0, size["width"], size["height"]]
        assert found["below"] <= 0
        assert found["beyond"] <= 0
        assert not found["scrolls"]
        assert found["letters"] >= LEAST_PX
        assert found["over"]
        screenshot(screen, f"shared screen, {name}, {size['width']}")


def focused(page):
    return page.evaluate("document.activeElement.textContent.trim()")


def test_a_question_goes_through_the_class_on_two_windows(page, school, shared):
    open_lesson(page, school, "class/live-class.ipynb")
    with page.context.expect_page() as opened:
        notebook(page).get_by_role("link", name="open the shared screen").click()
    screen = opened.value
    stage = screen.locator(".packlearn-shared-stage")
    expect(stage).to_have_text("The first question comes soon.")
    page.bring_to_front()
    # By keyboard alone: the lists, then the steps in their order.
    notebook(page).get_by_label("Page", exact=True).focus()
    page.keyboard.type("Lesson 3")
    expect(notebook(page).get_by_label("Question", exact=True)).to_contain_text("in line")
    wait_for_idle(page)
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowDown")
    expect(notebook(page).locator(".packlearn-question")).to_contain_text("5 such cells")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(stage).to_contain_text("Think")
    top = page.evaluate("document.querySelector('.jp-WindowedPanel-outer').scrollTop")

    # Counts come without a press, on both windows; the keyboard stays where it is.
    vote(shared, ["6.8 V"] * 11 + ["1.36 V"] * 8 + ["6 V"] * 5)
    expect(notebook(page).locator(".packlearn-count")).to_contain_text("24 of 28")
    expect(screen.get_by_text("24 of 28 have locked in.")).to_be_visible()
    expect(notebook(page).locator(".packlearn-votes svg")).to_be_visible()
    assert focused(page) == "Ask the class"
    assert page.evaluate("document.querySelector('.jp-WindowedPanel-outer').scrollTop") == top
    assert "6.8" not in screen.locator(".packlearn-projector").inner_text()
    check_screen(screen, "first vote")

    step(page, "Close the vote, let them talk")
    expect(stage).to_contain_text("Talk with the person beside you")
    check_screen(screen, "talking")
    step(page, "Vote again")
    vote(shared, ["6.8 V"] * 20 + ["6 V"] * 4, attempt=2)
    expect(notebook(page).get_by_text("After talking: 24 of 28")).to_be_visible()
    assert "6.8" not in screen.locator(".packlearn-projector").inner_text()
    step(page, "Show the answer to all")
    expect(screen.get_by_text("The answer: 6.8 V.")).to_be_visible()
    expect(screen.get_by_text("20 (83 %)")).to_be_visible()
    check_screen(screen, "answer")
    step(page, "Show why to all")
    expect(stage).to_have_text("Why")
    check_screen(screen, "why")
    step(page, "Go on alone")
    expect(stage).to_contain_text("your own seat")
    screenshot(page, "teacher's panel of a class")


def test_both_windows_have_no_serious_fault_of_accessibility(page, school):
    open_lesson(page, school, "class/live-class.ipynb")
    panel = notebook(page).locator(".packlearn-panel")
    panel.get_by_role("button", name="A show of hands").click()
    panel.get_by_role("button", name="Ask the class").click()
    # Each box is told by its row, also to those who hear it.
    boxes = panel.get_by_role("textbox", name=re.compile("^First vote: hands in row [0-9]+$"))
    expect(boxes).to_have_count(hands.MOST_ROWS)
    boxes.first.focus()
    for _ in range(3):
        # The next answer is one Tab away.
        page.keyboard.type("9")
        page.keyboard.press("Tab")
    assert [boxes.nth(place).input_value() for place in range(4)] == ["9", "9", "9", ""]
    expect(panel.locator(".packlearn-votes svg")).to_be_visible()
    # The browser's own bars take their part of a screen of 768 lines.
    fold = page.locator(".jp-NotebookPanel-notebook").bounding_box()
    lowest = boxes.last.bounding_box()
    assert lowest["y"] + lowest["height"] < fold["y"] + fold["height"] - BROWSERS_BARS_PX
    assert in_both_themes(page) == []
    for name in ("Close the vote, let them talk", "Vote again", "Show the answer to all"):
        panel.get_by_role("button", name=name).click()
    expect(panel.get_by_text("Now: the answer is on all screens.")).to_be_visible()
    open_lesson(page, school, "class/projector.ipynb")
    expect(page.locator(".packlearn-shared-picture svg")).to_be_visible()
    assert in_both_themes(page) == []


def step(page, name):
    """Go on to the next step with Tab and Enter."""
    page.keyboard.press("Tab")
    assert focused(page) == name
    page.keyboard.press("Enter")
    chosen = notebook(page).get_by_role("button", name=name)
    expect(chosen).to_have_class(re.compile("packlearn-chosen"))
    assert focused(page) == name
