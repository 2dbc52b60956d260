"""The wiring bench by keyboard alone: wire a pack, read the meter, lose the kernel, go on."""

import json
import os
import re
import signal

import pytest
import sample
from browsing import cells, notebook, open_lesson, screenshot
from playwright.sync_api import expect

from packlearn.words import as_shown

pytestmark = pytest.mark.browser
HEAD = """# The bench of this page.
import packlearn as pl
from packlearn.panels import Bench
from packlearn.wiring import Wiring

aa = pl.cell("nimh-aa")
"""
BENCHES = {
    "1 Two cells.ipynb": 'Bench(Wiring().place("1A", aa).place("2A", aa), name="two-cells")',
    "2 Twelve cells.ipynb": 'Bench(Wiring.of(pl.Pack(aa, 4, 3)), name="twelve-cells")',
}
TWO, TWELVE = (f"lessons/{name}" for name in BENCHES)
PID = """async () => {
  const { kernel } = window.jupyterapp.shell.currentWidget.sessionContext.session;
  const future = kernel.requestExecute({
    code: "", user_expressions: {pid: "__import__('os').getpid()"},
  });
  const reply = await future.done;
  return Number(reply.content.user_expressions.pid.data["text/plain"]);
}"""


@pytest.fixture(scope="module")
def running(lab, tmp_path_factory):
    """JupyterLab on two notebooks with a bench in each."""
    origin = sample.write(tmp_path_factory.mktemp("origin"), tuple(BENCHES))
    for name, bench_line in BENCHES.items():
        path = origin / "lessons" / name
        book = json.loads(path.read_text(encoding="utf-8"))
        panel = next(cell for cell in book["cells"] if cell["id"] == "panel")
        panel["source"] = (HEAD + bench_line).splitlines(keepends=True)
        path.write_text(json.dumps(book), encoding="utf-8")
    return lab("learn", origin=origin)


def bench(page):
    return notebook(page).locator(".packlearn-bench")


def contacts(page):
    return bench(page).get_by_role("group", name="Contacts, as they lie in the holder")


def focused(page):
    return page.evaluate("document.activeElement.textContent.trim()")


def to_contact(page, name):
    """Walk to a contact by arrows, as its place on the screen says."""
    target = contacts(page).get_by_role("button", name=as_shown(name), exact=True).bounding_box()
    for _ in range(12):
        if focused(page) == as_shown(name):
            break
        here = page.evaluate(
            "(({x, y}) => ({x, y}))(document.activeElement.getBoundingClientRect())"
        )
        across, down = target["x"] - here["x"], target["y"] - here["y"]
        sideways = "ArrowRight" if across > 5 else "ArrowLeft"
        page.keyboard.press(sideways if abs(across) > 5 else "ArrowDown" if down > 5 else "ArrowUp")
    assert focused(page) == as_shown(name)


def choose(page, *names):
    """Choose contacts; the keyboard stands on a contact before."""
    for name in names:
        to_contact(page, name)
        page.keyboard.press("Enter")
        button = contacts(page).get_by_role("button", name=as_shown(name), exact=True)
        expect(button).to_have_attribute("aria-pressed", "true")


def tab_to(page, name, key="Tab"):
    for _ in range(20):
        if focused(page) == as_shown(name):
            return
        page.keyboard.press(key)
    pytest.fail(f"Tab does not lead to {name}")


def press(page, name):
    tab_to(page, name)
    page.keyboard.press("Enter")


def back_to_contacts(page):
    for _ in range(20):
        page.keyboard.press("Shift+Tab")
        if page.evaluate("!!document.activeElement.closest('.packlearn-grid')"):
            return
    pytest.fail("Shift+Tab does not lead back to the contacts")


def with_contacts(page, names, button):
    """Choose contacts, press a button, and go back to the contacts."""
    choose(page, *names)
    press(page, button)
    back_to_contacts(page)


def told(page, text):
    spoken = bench(page).get_by_role("status").filter(has_text=text)
    expect(spoken).to_have_count(1)


def test_two_cells_are_wired_read_and_found_again_after_the_kernel_was_killed(page, running):
    open_lesson(page, running, TWO)
    before = cells(page)
    expect(bench(page).get_by_role("img")).to_have_count(2)
    views = [bench(page).get_by_role("img").nth(i).get_attribute("aria-label") for i in (0, 1)]
    contacts(page).get_by_role("button").first.focus()
    with_contacts(page, ["1A+", "2A-"], "Join")
    told(page, "1A+ and 2A\u2212 are joined now.")
    with_contacts(page, ["2A+"], "Red lead here")
    with_contacts(page, ["1A-"], "Black lead here")
    told(page, "This is 2S1P.")
    # Reading the meter: two full cells in line.
    choose(page, "2A+")
    press(page, "Red probe here")
    back_to_contacts(page)
    choose(page, "1A-")
    press(page, "Black probe here")
    told(page, "red probe at 2A+, black probe at 1A\u2212")
    told(page, re.compile(r"The meter shows 2\.\d\d\sV"))
    for i in (0, 1):
        image = bench(page).get_by_role("img").nth(i)
        expect(image).not_to_have_attribute("aria-label", views[i])
        expect(image).to_have_attribute("aria-label", re.compile(r"2\.\d\d\sV"))
    # Letters pressed in the controls stay there.
    for key in ("x", "b", "d", "d"):
        page.keyboard.press(key)
    assert cells(page) == before
    assert focused(page) == "Black probe here"
    screenshot(page, "bench, two cells")
    # One step back and forth.
    press(page, "Undo")
    told(page, "The black lead hangs free.")
    press(page, "Redo")
    told(page, "This is 2S1P.")
    tab_to(page, "Undo", "Shift+Tab")
    page.keyboard.press("Enter")
    told(page, "The black lead hangs free.")
    os.kill(page.evaluate(PID), signal.SIGKILL)
    page.wait_for_function(
        """() => {
          const session = window.jupyterapp.shell.currentWidget.sessionContext.session;
          return session?.kernel?.status === "idle";
        }""",
        timeout=60_000,
    )
    open_lesson(page, running, TWO)
    told(page, "Here is your wiring from last time.")
    told(page, "The black lead hangs free.")
    told(page, re.compile(r"The meter shows 2\.\d\d\sV"))


def test_twelve_cells_by_pointer_all_on_one_screen(page, running):
    open_lesson(page, running, TWELVE)
    found = bench(page)
    place = found.bounding_box()
    # Contacts are pressed in the picture, as well as by their buttons.
    for name, button in (("4A+", "Red probe here"), ("1A-", "Black probe here")):
        found.locator(f"[data-contact='{name}']").first.click()
        pressed = contacts(page).get_by_role("button", name=as_shown(name), exact=True)
        expect(pressed).to_have_attribute("aria-pressed", "true")
        found.get_by_role("button", name=button).click()
    told(page, re.compile(r"The meter shows 5\.\d\d\sV"))
    found.get_by_label("Load").fill("8 ohm")
    found.get_by_label("Load").press("Enter")
    told(page, "The load of 8 ohm takes 0.")
    contacts(page).get_by_role("button", name="2B\u2212", exact=True).click()
    found.get_by_role("button", name="Turn cell").click()
    told(page, "Do not build this.")
    screenshot(page, "bench, twelve cells")
    # Pictures side by side, nothing moved from its place, and all of it fits the page.
    first, second = (found.get_by_role("img").nth(i).bounding_box() for i in (0, 1))
    assert first["y"] == second["y"]
    assert first["x"] + first["width"] <= second["x"]
    assert found.bounding_box()["y"] == place["y"]
    room = notebook(page).locator(".jp-WindowedPanel-outer").bounding_box()["height"]
    assert found.bounding_box()["height"] <= room
    assert found.get_by_role("img").first.bounding_box()["width"] > 550
    page.set_viewport_size({"width": 700, "height": 768})
    narrow = [found.get_by_role("img").nth(i).bounding_box() for i in (0, 1)]
    assert narrow[0]["y"] + narrow[0]["height"] <= narrow[1]["y"]
    assert all(each["x"] + each["width"] <= 700 for each in narrow)
