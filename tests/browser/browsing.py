"""What the browser tests do with a page: open a lesson, find controls, press keys."""

import os
import re
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

NOTEBOOK = ".jp-NotebookPanel:not(.lm-mod-hidden)"

LOADED = """(path) => {
  const panel = window.jupyterapp?.shell.currentWidget;
  return panel?.context?.path === path && panel.context.isReady;
}"""
IDLE = """() => {
  const panel = window.jupyterapp.shell.currentWidget;
  const live = panel.content.model.getMetadata("packlearn")?.autorun;
  const code = [...panel.content.model.cells].filter((cell) => cell.type === "code");
  const ran = (cell) => cell.executionState === "idle" && cell.executionCount !== null;
  const idle = panel.sessionContext.session?.kernel?.status === "idle";
  return idle && (!live || code.every(ran));
}"""


@dataclass(frozen=True)
class Lab:
    """A running JupyterLab: its address, its token, the learner's folder, its process id."""

    url: str
    token: str
    folder: Path
    pid: int

    def address(self, path):
        return f"{self.url}/doc/tree/{quote(path)}?reset&token={self.token}"


def notebook(page):
    """The notebook in front; texts also stand in the side bar, so look only in here."""
    return page.locator(NOTEBOOK)


def open_lesson(page, lab, path):
    """Open a notebook of the learner's folder and wait until it has been run."""
    page.goto(lab.address(path))
    page.wait_for_function(LOADED, arg=path, timeout=30_000)
    wait_for_idle(page)


def wait_for_idle(page, timeout=30_000):
    """Wait until the kernel is idle and, in a lesson, no cell is still to be run."""
    page.wait_for_function(IDLE, timeout=timeout)


def slider(page, name):
    """The slider of this name, as a screen reader finds it."""
    return notebook(page).get_by_role("slider", name=name, exact=True)


def press(control, *keys):
    """Focus a control and press keys one after the other."""
    control.focus()
    for key in keys:
        control.page.keyboard.press(key)


def cells(page):
    """The texts of all cells of the notebook in front, as they stand in its model."""
    return page.evaluate(
        """() => {
          const panel = window.jupyterapp.shell.currentWidget;
          return [...panel.content.model.cells].map((c) => [c.type, c.sharedModel.getSource()]);
        }"""
    )


def screenshot(page, name):
    """Keep a picture of the page in the folder PACKLEARN_SHOTS, if that is set."""
    folder = os.environ.get("PACKLEARN_SHOTS")
    if folder:
        Path(folder).mkdir(parents=True, exist_ok=True)
        page.screenshot(path=Path(folder) / f"{re.sub(r'[^A-Za-z0-9_-]+', '-', name)}.png")
