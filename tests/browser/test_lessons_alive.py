"""The real lessons in a real browser: open, predict, lock, see, move; and after a crash."""

import os
import re
import signal

import pytest
from browsing import cells, notebook, open_lesson, press, screenshot, slider
from playwright.sync_api import expect

from packlearn.places import exercises_folder, lessons_folder

pytestmark = pytest.mark.browser

LESSON_3 = "lessons/3-series-and-parallel.ipynb"
ROOT = lessons_folder().parent
# All that are shipped, so that none is forgotten; how many there are is counted below.
NOTEBOOKS = tuple(
    path.relative_to(ROOT).as_posix()
    for folder in (lessons_folder(), exercises_folder())
    for path in sorted(folder.glob("*.ipynb"))
)
IN_LINE = 2  # third panel of lesson 3: opening, one cell, in line


@pytest.fixture(scope="module")
def learner(lab):
    return lab("learn")


@pytest.fixture(scope="module")
def teacher(lab):
    return lab("teach")


def panel(page, number):
    return notebook(page).locator(".packlearn-panel").nth(number)


def lock(panel, typed, sure="Sure"):
    panel.get_by_label("What do you expect?").fill(typed)
    panel.get_by_role("button", name=sure, exact=True).click()
    panel.get_by_role("button", name="Lock it in").click()


def do_round(page, number, *answers):
    """Answer the questions of a round, rightly, and go on to what lies behind them."""
    part = panel(page, number)
    for typed in answers:
        lock(part, typed)
        part.get_by_role("button", name="what I wrote").click()
        part.get_by_role("button", name="Go on").click()


def end_kernel(page):
    """Kill the kernel's process the hard way."""
    pid = page.evaluate(
        """async () => {
          const kernel = window.jupyterapp.shell.currentWidget.sessionContext.session.kernel;
          const future = kernel.requestExecute({
            code: "", user_expressions: {pid: "__import__('os').getpid()"},
          });
          const reply = await future.done;
          return Number(reply.content.user_expressions.pid.data["text/plain"]);
        }"""
    )
    os.kill(pid, signal.SIGKILL)


def test_the_list_of_notebooks_holds_them_all():
    # Raise it when notebooks are added; it must never shrink.
    assert len(NOTEBOOKS) >= 22
    assert LESSON_3 in NOTEBOOKS


def test_cautions_open_by_keyboard(page, learner):
    open_lesson(page, learner, "lessons/10-protecting-it.ipynb")
    part = notebook(page).locator(".packlearn-panel:has(.packlearn-mind)").last
    expect(part.get_by_text("Danger.").first).to_be_visible()
    behind = part.get_by_text("What is said here is general.")
    expect(behind).to_be_hidden()
    part.locator("summary").press("Enter")
    expect(behind).to_be_visible()


@pytest.mark.parametrize("path", NOTEBOOKS)
def test_every_notebook_is_alive_on_opening(page, learner, path):
    errors = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    open_lesson(page, learner, path)
    # A page of the teacher's own tasks has none yet, and says where to put them.
    empty = notebook(page).get_by_text("A task file goes into the folder")
    first = empty if "own-tasks" in path else notebook(page).locator(".packlearn-question").first
    if "your-own-pack" in path:
        # It begins with the learner's own device.
        first = notebook(page).get_by_role("heading", name="Your device")
    expect(first).to_be_visible()
    assert notebook(page).get_by_text("Traceback").count() == 0
    assert notebook(page).get_by_text("Instructor mode").count() == 0
    assert errors == []
    screenshot(page, f"alive {path}")


def test_predict_lock_see_then_move_s_by_keyboard(page, learner):
    open_lesson(page, learner, LESSON_3)
    part = panel(page, IN_LINE)
    expect(part.get_by_text("This opens when the questions above are done.")).to_be_visible()
    assert part.get_by_role("button", name="Lock it in").count() == 0
    do_round(page, IN_LINE - 1, "1.35 V")
    expect(part.get_by_text("The sliders and the explanation open once")).to_be_visible()
    assert part.get_by_role("slider").count() == 0
    assert "6.8" not in part.inner_text()

    lock(part, "1.36")
    expect(part.get_by_text("1.36 what?")).to_be_visible()
    part.get_by_role("button", name="Lock it in").click()
    assert "6.8" not in part.inner_text()

    lock(part, "1,36 V")
    expect(part.get_by_text("The answer: 6.8 V.")).to_be_visible()
    assert "You kept one cell's voltage" not in part.inner_text()
    part.get_by_role("button", name="more than I wrote").click()
    expect(part.get_by_text("You kept one cell's voltage")).to_be_visible()
    assert part.get_by_role("slider").count() == 0
    part.get_by_role("button", name="Go on").click()

    lock(part, "1.9 Ah", "I think so")
    part.get_by_role("button", name="what I wrote").click()
    part.get_by_role("button", name="Go on").click()
    series = slider(page, "Cells in line (S)")
    before = cells(page)
    press(series, *["ArrowRight"] * 5, "x", "b", "d", "d")
    expect(part.get_by_role("img")).to_have_attribute("aria-label", re.compile("6S1P"))
    assert cells(page) == before
    screenshot(page, "in line, six cells")


def test_a_lock_survives_a_killed_kernel(page, lab):
    own = lab("learn")
    open_lesson(page, own, LESSON_3)
    part = panel(page, 1)
    lock(part, "1.2 V", "A guess")
    expect(part.get_by_text("The answer: between 1.3 V and 1.4 V.")).to_be_visible()
    end_kernel(page)
    page.wait_for_function(
        """() => {
          const session = window.jupyterapp.shell.currentWidget.sessionContext.session;
          return session?.kernel?.status === "idle";
        }""",
        timeout=60_000,
    )
    open_lesson(page, own, LESSON_3)
    part = panel(page, 1)
    expect(part.get_by_text("You wrote: 1.2 V (A guess).")).to_be_visible()
    expect(part.get_by_text("The answer: between 1.3 V and 1.4 V.")).to_be_visible()
    assert part.get_by_role("button", name="Lock it in").is_hidden()


def test_instructor_reveals_step_by_step_and_the_sliders_open(page, teacher):
    open_lesson(page, teacher, LESSON_3)
    part = panel(page, IN_LINE)
    expect(part.get_by_text("Instructor mode", exact=True)).to_be_visible()
    assert part.get_by_role("slider").count() == 0
    assert "6.8" not in part.inner_text()

    part.get_by_role("button", name="Why: next step").click()
    expect(part.get_by_text("Each cell gives 1.36 V now.")).to_be_visible()
    assert "6.8" not in part.inner_text()
    part.get_by_role("button", name="What slips give").click()
    expect(part.get_by_text("I kept one cell's voltage.")).to_be_visible()
    for step in (1, 2):
        # The buttons of a question look like those of the one before.
        expect(part.get_by_text(f"Step {step} of")).to_be_visible()
        part.get_by_role("button", name="Show answer").click()
        expect(part.get_by_text("The answer: ").first).to_be_visible()
        part.get_by_role("button", name="Go on").click()
    press(slider(page, "Cells in line (S)"), "ArrowRight", "x")
    expect(part.get_by_role("img")).to_have_attribute("aria-label", re.compile("2S1P"))
    screenshot(page, "instructor, two in line")


def test_a_teachers_lock_survives_a_killed_kernel_too(page, teacher):
    open_lesson(page, teacher, LESSON_3)
    part = panel(page, IN_LINE + 1)
    lock(part, "1.8 A")
    expect(part.get_by_text("The answer: 0.2 A.")).to_be_visible()
    end_kernel(page)
    open_lesson(page, teacher, LESSON_3)
    expect(panel(page, IN_LINE + 1).get_by_text("You wrote: 1.8 A (Sure).")).to_be_visible()


def test_the_guide_is_the_teachers_only(page, teacher, learner):
    open_lesson(page, teacher, LESSON_3)
    # By keyboard: a click may miss while the page still scrolls to its top.
    notebook(page).locator("summary", has_text="Teacher's guide").press("Enter")
    expect(notebook(page).get_by_text("Time, 45 minutes")).to_be_visible()
    open_lesson(page, learner, LESSON_3)
    assert notebook(page).get_by_text("Teacher's guide").count() == 0


def focused(page):
    return page.evaluate("document.activeElement.textContent.trim() || document.activeElement.type")


def wait_for_focus(page, selector, text=""):
    """Wait until the keyboard stands on such a control; a page without focus holds every text."""
    page.wait_for_function(
        """([selector, text]) => {
          const here = document.activeElement;
          return here.matches(selector) && here.textContent.includes(text);
        }""",
        arg=[selector, text],
    )


def test_the_keyboard_alone_gets_through_a_question(page, lab):
    open_lesson(page, lab("learn"), LESSON_3)
    part = panel(page, 1)
    part.get_by_label("What do you expect?").focus()
    page.keyboard.type("1.36 V")
    page.keyboard.press("Enter")
    wait_for_focus(page, "button", "A guess")
    page.keyboard.press("ArrowRight")
    wait_for_focus(page, "button", "I think so")
    for _ in range(2):
        page.keyboard.press("Tab")
        if focused(page) == "Lock it in":
            break
    page.keyboard.press("Enter")
    expect(part.get_by_text("The answer: between 1.3 V and 1.4 V.")).to_be_visible()
    # The button that was pressed is gone; the keyboard goes on at the next one.
    wait_for_focus(page, ".packlearn-feedback", "The answer")
    for _ in range(2):
        page.keyboard.press("Tab")
    assert focused(page) == "what I wrote"
    page.keyboard.press("Enter")
    wait_for_focus(page, "button", "Another one")
    page.keyboard.press("Enter")
    wait_for_focus(page, "input[type=text]")
