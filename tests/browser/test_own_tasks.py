"""A teacher's own tasks in a real browser: where to put a file, a broken one, a page to work on."""

import shutil

import pytest
from browsing import notebook, open_lesson, screenshot
from playwright.sync_api import expect

from packlearn.places import exercises_folder

pytestmark = pytest.mark.browser

PAGE = "exercises/9-own-tasks.ipynb"
EXAMPLES = exercises_folder() / "guides"


def test_a_file_put_into_the_folder_is_found_chosen_and_answered(page, lab):
    learner = lab("learn")
    open_lesson(page, learner, PAGE)
    panel = notebook(page).locator(".packlearn-panel").nth(1)
    expect(panel).to_contain_text("A task file goes into the folder")
    screenshot(page, "own-tasks-none")
    own = learner.folder / "own-tasks"
    own.mkdir()
    for name in ("own-number", "own-design"):
        shutil.copy(EXAMPLES / f"{name}.toml", own)
    (own / "broken.toml").write_text('[page]\ntitle = "x"\nintro = 3\n', encoding="utf-8")
    panel.get_by_role("button", name="Look again").click()
    expect(panel).to_contain_text("broken.toml, line 3")
    panel.get_by_label("Tasks:").select_option("Lights for the trike (own-number.toml)")
    expect(panel).to_contain_text("The trike's lights take")
    screenshot(page, "own-tasks-chosen")
    panel.get_by_label("What do you expect?").fill("1 h")
    panel.get_by_role("button", name="Sure", exact=True).click()
    lock = panel.get_by_role("button", name="Lock it in")
    expect(lock).to_be_in_viewport()
    lock.click()
    expect(panel).to_contain_text("You wrote: 1 h")
    screenshot(page, "own-tasks-locked")
    panel.get_by_role("button", name="Go on").click()
    expect(panel).to_contain_text("Task 2 of 2")
