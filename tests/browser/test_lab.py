"""JupyterLab as the packlearn command starts it, on a small lesson with every kind of control."""

import json
import re
import sys

import pytest
import sample
from browsing import (
    cells,
    notebook,
    open_lesson,
    press,
    screenshot,
    slider,
    wait_for_idle,
)
from playwright.sync_api import expect

from packlearn import jupyter, laying
from packlearn._units import ASKED
from packlearn._writing import LADDERS

pytestmark = pytest.mark.browser
LABEXTENSIONS = jupyter.FOLDER / "share/labextensions/packlearn-lessons/static"
NAMES = ("1 Lantern.ipynb", "2 Caméra.ipynb", "3.ipynb", "4 waits.ipynb")
FIRST, SECOND, THIRD, WAITS = (f"lessons/{name}" for name in NAMES)
# What JupyterLab does with these by itself: cut, insert, change the kind, delete, run.
KEYS = ("x", "b", "m", "y", "d", "d", "Shift+Enter", "Control+Enter")


@pytest.fixture(scope="module")
def origin(tmp_path_factory):
    return sample.write(tmp_path_factory.mktemp("origin"), NAMES)


@pytest.fixture(scope="module")
def running(lab, origin, tmp_path_factory):
    folder = tmp_path_factory.mktemp("home") / "mes leçons de piles"
    return lab("learn", folder=folder, origin=origin)


@pytest.fixture(scope="module")
def lesson(browser, running):
    """One page with the first lesson open, shared by the tests that only use its controls."""
    context = browser.new_context(viewport={"width": 1366, "height": 768})
    page = context.new_page()
    open_lesson(page, running, FIRST)
    yield page
    context.close()


def controls(page):
    found = notebook(page)
    return {
        "slider": slider(page, "Cells in series"),
        "dropdown": found.get_by_role("combobox", name="Cell size"),
        "radio": found.get_by_role("radio", name="think so"),
        "toggle": found.get_by_role("button", name="equal", exact=True),
        "text": found.get_by_role("textbox", name="Your prediction"),
        "checkbox": found.get_by_role("checkbox", name="Show labels"),
        "button": found.get_by_role("button", name="Lock"),
    }


def status(page):
    return notebook(page).get_by_role("status")


def place(page):
    """The active cell and how far the page is scrolled, once nothing moves any more."""
    page.wait_for_timeout(700)
    return page.evaluate(
        """() => {
          const { activeCellIndex, node } = jupyterapp.shell.currentWidget.content;
          return [activeCellIndex, node.querySelector(".jp-WindowedPanel-outer").scrollTop];
        }"""
    )


def focused(page, locator):
    return locator.evaluate("element => element === document.activeElement")


def test_lesson_is_alive_on_opening_without_any_press(page, running):
    open_lesson(page, running, FIRST)
    expect(slider(page, "Cells in series")).to_be_visible()
    expect(notebook(page).get_by_role("heading", name="1 Lantern")).to_be_in_viewport()
    assert place(page) == [0, 0]
    assert page.get_by_role("dialog").count() == 0
    assert page.locator(".Toastify__toast").count() == 0
    screenshot(page, "lab-opened")


def test_kernel_is_this_python_whatever_the_users_kernel_says(lesson):
    output = notebook(lesson).locator(".jp-OutputArea-output", has_text="Python: ")
    lines = [f"Python: {sys.executable}", "Mode: learn"]
    assert output.inner_text().splitlines()[:2] == lines


def test_a_number_keeps_its_unit_on_its_line_and_files_their_plain_spaces(lesson):
    shown = notebook(lesson)
    # Text of the page, an output, and what a panel says of what is typed.
    text = shown.locator(".jp-MarkdownCell").first.inner_text()
    assert "from 5.5\u00a0V to 8.7\u00a0V and asks for 0.6\u00a0A." in text
    output = shown.locator(".jp-OutputArea-output", has_text="Python: ")
    assert output.inner_text().splitlines()[2] == "The lantern asks for 0.6\u00a0A."
    box = controls(lesson)["text"]
    box.fill("5 AA cells, 1.36 V")
    press(box, "Enter")
    expect(status(lesson)).to_contain_text("1.36 V")
    assert "5 AA cells, 1.36\u00a0V" in status(lesson).inner_text()
    assert box.input_value() == "5 AA cells, 1.36 V"
    assert not any("\u00a0" in source for _, source in cells(lesson))


def test_every_unit_that_is_written_stays_with_its_number():
    told = (LABEXTENSIONS / "units.js").read_text(encoding="utf-8")
    listed = set(" ".join(re.findall(r'^  "(.*)",$', told, flags=re.M)).split())
    written = {symbol for ladder in LADDERS.values() for *_, symbol in ladder}
    one_word = {"cells", "C", ""}
    assert written | set(ASKED) - one_word <= listed


@pytest.mark.parametrize(
    "kind", ["slider", "dropdown", "radio", "toggle", "text", "checkbox", "button"]
)
def test_keys_in_a_control_change_no_cell(lesson, kind):
    before, control = cells(lesson), controls(lesson)[kind]
    press(control, *KEYS)
    assert cells(lesson) == before
    assert focused(lesson, control)


def test_letters_on_a_cell_itself_change_nothing_either(lesson):
    before = cells(lesson)
    press(notebook(lesson).locator(".jp-MarkdownCell").first, "x", "b", "m", "d", "d", "3")
    assert cells(lesson) == before


def test_arrows_move_the_slider(lesson):
    series = slider(lesson, "Cells in series")
    press(series, "Home", "ArrowRight", "ArrowUp", "ArrowLeft")
    expect(status(lesson)).to_contain_text("Values: 2; ")
    press(series, "End")
    expect(status(lesson)).to_contain_text("Values: 8; ")
    assert series.get_attribute("aria-valuetext") == "8"


def test_arrows_choose_in_dropdown_radio_and_toggle(lesson):
    found = controls(lesson)
    found["dropdown"].select_option("AA")
    press(found["dropdown"], "ArrowDown")
    expect(status(lesson)).to_contain_text("; C; ")
    found["radio"].check()
    press(found["radio"], "ArrowDown")
    expect(status(lesson)).to_contain_text("; sure; ")
    press(found["toggle"], "ArrowRight")
    expect(status(lesson)).to_contain_text("; more; ")
    more = notebook(lesson).get_by_role("button", name="more", exact=True)
    expect(more).to_have_attribute("aria-pressed", "true")
    assert focused(lesson, more)


def test_tab_moves_on_and_escape_leaves_to_the_cell(lesson):
    found = controls(lesson)
    press(found["dropdown"], "Tab", "Tab")
    assert lesson.evaluate("document.activeElement.textContent") == "less"
    press(found["slider"], "Escape")
    assert lesson.evaluate("document.activeElement.classList.contains('jp-Cell')")
    lesson.keyboard.press("Tab")
    assert focused(lesson, found["slider"])


def test_screen_readers_find_names_and_groups(lesson):
    found = notebook(lesson)
    for role, name in (
        ("slider", "Cells in series"),
        ("textbox", "Cells in series, value"),
        ("slider", "Window, from"),
        ("slider", "Window, to"),
        ("radiogroup", "How sure"),
        ("group", "What did you see"),
    ):
        expect(found.get_by_role(role, name=name, exact=True)).to_have_count(1)
    expect(status(lesson)).to_have_attribute("aria-live", "polite")
    assert found.locator('[title="null"]').count() == 0


def test_code_is_hidden_until_asked_for(page, running):
    open_lesson(page, running, SECOND)
    code = notebook(page).get_by_text("# The panel of this page.")
    bars = notebook(page).locator(".jp-InputPlaceholder")
    expect(code).to_be_hidden()
    expect(bars).to_be_hidden()
    notebook(page).get_by_role("button", name="Show code").click()
    expect(code).to_be_visible()
    screenshot(page, "lab-code-shown")
    hide = notebook(page).get_by_role("button", name="Hide code")
    press(hide, "Enter")
    expect(code).to_be_hidden()
    page.evaluate("jupyterapp.commands.execute('notebook:show-all-cell-code')")
    expect(code).to_be_visible()
    assert "# The panel of this page." in cells(page)[1][1]


def test_button_that_shows_code_is_reached_with_the_keyboard(lesson):
    # The tool bar is one Tab stop; arrows move within it.
    notebook(lesson).locator(".jp-NotebookPanel-toolbar [tabindex='0']").focus()
    labels = []
    for _ in range(10):
        lesson.keyboard.press("ArrowRight")
        labels.append(lesson.evaluate("document.activeElement.getAttribute('aria-label')"))
    assert "Show code" in labels


def test_lesson_that_waits_starts_with_its_button_and_asks_nothing(page, running):
    open_lesson(page, running, WAITS)
    assert slider(page, "Cells in series").count() == 0
    notebook(page).get_by_role("button", name="Start this lesson").click()
    expect(slider(page, "Cells in series")).to_be_visible()
    assert page.get_by_role("dialog").count() == 0


def test_start_button_works_after_the_kernel_was_restarted(page, running):
    open_lesson(page, running, SECOND)
    start = notebook(page).get_by_role("button", name="Start this lesson")
    for begin in (start.click, lambda: press(start, "Enter")):
        press(slider(page, "Cells in series"), "End")
        expect(status(page)).to_contain_text("Values: 8; ")
        page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()")
        begin()
        expect(status(page)).to_contain_text("nothing moved yet", timeout=30_000)
        assert focused(page, start)
        assert place(page) == [0, 0]
    assert page.get_by_role("dialog").count() == 0


def test_other_lessons_are_one_step_away_and_coming_back_runs_nothing(page, running):
    open_lesson(page, running, FIRST)
    press(slider(page, "Cells in series"), "End")
    expect(status(page)).to_contain_text("Values: 8; ")
    page.get_by_role("tab", name="File Browser").click()
    page.locator(".jp-DirListing-item", has_text="3.ipynb").dblclick()
    expect(notebook(page).get_by_role("heading", name="3", exact=True)).to_be_visible()
    wait_for_idle(page)
    expect(slider(page, "Cells in series")).to_have_attribute("aria-valuetext", "2")
    page.locator(".jp-DirListing-item", has_text="1 Lantern.ipynb").dblclick()
    expect(notebook(page).get_by_role("heading", name="1 Lantern")).to_be_visible()
    assert slider(page, "Cells in series").get_attribute("aria-valuetext") == "8"


def test_saved_and_edited_lesson_lives_again_and_is_never_overwritten(page, running, origin):
    open_lesson(page, running, THIRD)
    page.evaluate(
        """async () => {
          const panel = jupyterapp.shell.currentWidget;
          panel.content.model.cells.get(3).sharedModel.setSource("print('my own')");
          await panel.context.save();
          await panel.sessionContext.shutdown();
        }"""
    )
    copy = running.folder / THIRD
    saved = copy.read_bytes()
    assert "widget-view" in saved.decode("utf-8")
    report = laying.lay({THIRD: origin / THIRD}, running.folder)
    assert report.items[0].state == "kept"
    assert copy.read_bytes() == saved
    held = []
    page.route("**/api/sessions?*", lambda route: hold(route, held))
    with page.expect_request(lambda r: r.method == "POST" and "/api/sessions" in r.url):
        page.goto(running.address(THIRD))
    # Without a kernel yet, yesterday's controls are gone and do not pretend to load.
    expect(notebook(page).get_by_text("my own")).to_be_visible(timeout=30_000)
    expect(notebook(page).get_by_text("Loading widget")).to_have_count(0)
    (route,) = held
    route.continue_()
    expect(slider(page, "Cells in series")).to_be_visible(timeout=30_000)
    press(slider(page, "Cells in series"), "End")
    expect(status(page)).to_contain_text("Values: 8; ")
    assert cells(page)[3][1] == "print('my own')"


def hold(route, held):
    """Keep back the start of the kernel."""
    if route.request.method == "POST":
        held.append(route)
    else:
        route.continue_()


def test_copies_are_what_was_shipped(running, origin):
    listed = json.loads((running.folder / laying.LIST).read_text(encoding="utf-8"))["laid"]
    assert sorted(listed) == [FIRST, SECOND, THIRD, WAITS]
    assert all((running.folder / name).is_file() for name in listed)
