"""What the browser tests do with a page: open a lesson, find controls, press keys."""

import json
import os
import re
import urllib.request
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
    end_other_kernels(lab, path)
    page.goto(lab.address(path))
    page.wait_for_function(LOADED, arg=path, timeout=60_000)
    wait_for_idle(page)


def end_other_kernels(lab, path):
    """End the kernels of other notebooks: fifteen at once are much for a small machine."""
    headers = {"Authorization": f"token {lab.token}"}
    ask = urllib.request.Request(f"{lab.url}/api/sessions", headers=headers)
    with urllib.request.urlopen(ask, timeout=30) as answer:
        sessions = json.load(answer)
    for session in sessions:
        if session["path"] != path:
            address = f"{lab.url}/api/sessions/{session['id']}"
            end = urllib.request.Request(address, headers=headers, method="DELETE")
            urllib.request.urlopen(end, timeout=30).close()


def wait_for_idle(page, timeout=60_000):
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
