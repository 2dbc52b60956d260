"""No serious fault of accessibility in any panel; both modes, both themes.

Source of the checks: axe-core, the rules of WCAG 2.0 to 2.2 level A and AA; the contrast of texts,
in pictures too, by WCAG 2.1's formula (``contrast.js``).
"""

from pathlib import Path

import every_kind
import pytest
from axe_playwright_python.base import AXE_FILE_PATH
from browsing import notebook, open_lesson
from every_kind import EXPLORERS, KINDS, one_of_each_kind
from playwright.sync_api import expect

from packlearn.places import exercises_folder, lessons_folder
from packlearn.tasks.answers import ASKED

pytestmark = pytest.mark.browser
HERE = Path(__file__).parent
CONTRAST = (HERE / "contrast.js").read_text(encoding="utf-8").partition("() =>")[1:]
CONTRAST = "".join(CONTRAST)
AXE = AXE_FILE_PATH.read_text(encoding="utf-8")
ROOT = lessons_folder().parent
NOTEBOOKS = tuple(
    path.relative_to(ROOT).as_posix()
    for folder in (lessons_folder(), exercises_folder())
    for path in sorted(folder.glob("*.ipynb"))
)
THEMES = ("JupyterLab Light", "JupyterLab Dark")
FOUND = """async () => {
  const ran = await axe.run(
    {include: [[".packlearn-panel"]]},
    {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]},
  );
  const faults = ran.violations.filter((rule) => ["serious", "critical"].includes(rule.impact));
  return {
    passed: ran.passes.length,
    faults: faults.flatMap((rule) => rule.nodes.map(
      (node) => `${rule.id}: ${node.html.slice(0, 300)} ${node.failureSummary.slice(0, 300)}`,
    )),
  };
}"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("kinds")
    every_kind.write(made)
    return made


@pytest.fixture(scope="module", params=["learn", "teach"])
def running(request, lab, folder):
    return lab(request.param, folder)


def faults(page, theme):
    page.evaluate(
        "(theme) => window.jupyterapp.commands.execute('apputils:change-theme', {theme})", theme
    )
    light = str(theme.endswith("Light")).lower()
    expect(page.locator("body")).to_have_attribute("data-jp-theme-light", light)
    # The style sheet of a theme comes a moment after its name.
    page.wait_for_timeout(1000)
    if not page.evaluate("() => typeof axe === 'object'"):
        page.evaluate(AXE)
    found = page.evaluate(FOUND)
    assert found["passed"] > 10, "nothing was looked at"
    texts = page.evaluate(CONTRAST)
    assert texts["seen"] > 10, "no text was looked at"
    return found["faults"] + texts["faults"]


def in_both_themes(page):
    return [fault for theme in THEMES for fault in faults(page, theme)]


def test_every_kind_of_answer_is_among_them():
    assert set(one_of_each_kind()) == {asked.kind for asked in ASKED.values()}


def test_a_planted_fault_is_found(page, running):
    open_lesson(page, running, KINDS)
    page.evaluate(
        """() => document.querySelector(".packlearn-panel").insertAdjacentHTML(
          "beforeend", "<button></button><p style='color:#777;background:#eee'>pale</p>")"""
    )
    found = " ".join(faults(page, THEMES[0]))
    assert "button-name" in found
    assert '"pale"' in found


def test_every_kind_of_task_and_every_panel(page, running):
    open_lesson(page, running, KINDS)
    panels = notebook(page).locator(".packlearn-panel")
    # A cell that has run is drawn a moment later.
    expect(panels).to_have_count(1 + len(one_of_each_kind()) + len(EXPLORERS))
    assert in_both_themes(page) == []


def test_what_was_locked_in_and_what_was_asked_back(page, running):
    open_lesson(page, running, KINDS)
    for panel in notebook(page).locator(".packlearn-panel").all():
        lock = panel.get_by_role("button", name="Lock it in")
        if not lock.count() or not lock.first.is_visible():
            continue
        for box in panel.get_by_role("textbox").all():
            box.fill("7.77 V")
        if panel.get_by_role("radio").count():
            panel.get_by_role("radio").first.check()
        panel.get_by_role("button", name="Sure", exact=True).first.click()
        lock.first.click()
    page.wait_for_timeout(1500)
    assert in_both_themes(page) == []


@pytest.mark.long
@pytest.mark.parametrize("path", NOTEBOOKS)
def test_every_notebook(page, running, path):
    open_lesson(page, running, path)
    assert in_both_themes(page) == []
