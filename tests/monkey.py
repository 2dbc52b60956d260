"""A learner who runs cells in any order, types anything and presses everything, in-process."""

import ast
import contextlib
import html
import io
import json
import re

import ipywidgets as widgets

from packlearn.panels.base import Panel

ODD = (
    "",
    "   ",
    "NaN",
    "-inf",
    "∞",
    "1e999 V",
    "-0",
    "-3 V",
    "١٢ V",
    "1.500",
    "1,5,5",
    "0x10",
    "5 S 3 P",
    "0S0P",
    "9" * 10_000,
    "<img src=x onerror=alert(1)>&amp;",
    "{value} %s {0.__class__}",
    "🦔🔋",
    "a\x00b",
    "\u202e6,2 V\u202c",
    "\ud83e",
    "\r\n\t",
    "../../records.sqlite",
    "6,2 V or 5,9 V",
    "1/0 A",
    "0,4 A 1e308 s",
    "none = 3",
)


def code_cells(path):
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]


class Kernel:
    """One notebook in a kernel: one namespace, and the panel of each cell's last line."""

    def __init__(self, path):
        self.cells, self.names, self.panels, self.printed = code_cells(path), {}, {}, {}

    def run(self, place):
        """Run a cell as JupyterLab would; what it shows and prints is kept by its place."""
        tree = ast.parse(self.cells[place])
        last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
        said = io.StringIO()
        with contextlib.redirect_stdout(said):
            exec(compile(tree, "cell", "exec"), self.names)
            shown = last and eval(compile(ast.Expression(last.value), "cell", "eval"), self.names)
        self.printed[place] = said.getvalue()
        if isinstance(shown, widgets.Widget):
            self.panels[place] = shown
        return shown

    def run_all(self, order):
        for place in order:
            self.run(place)

    def state(self):
        """What every cell shows or prints now, by its place."""
        panels = {place: words_of(panel) for place, panel in self.panels.items()}
        return self.printed | panels

    def errors(self):
        return [error for panel in self.panels.values() for error in errors_of(panel)]


def tree(panel, *, shown=False):
    """All widgets of a panel, of its children and of theirs; only those on show on request."""
    if shown and panel.layout.display == "none":
        return
    yield panel
    for child in getattr(panel, "children", ()):
        yield from tree(child, shown=shown)


def errors_of(panel):
    """What guards kept in a panel and in those that it made, also where they are not on show."""
    found, seen, waiting = [], set(), [panel]
    while waiting:
        one = waiting.pop()
        if id(one) in seen:
            continue
        seen.add(id(one))
        if isinstance(one, Panel):
            found += one.errors
            for name in ("questions", "views", "made"):
                held = getattr(one, name, ())
                waiting += held.values() if isinstance(held, dict) else held
        waiting += getattr(one, "children", ())
    return found


def words_of(panel):
    """What is read on a panel, without tags and style; controls with what stands in them."""
    said = []
    for one in tree(panel, shown=True):
        if isinstance(one, widgets.HTML):
            text = re.sub(r"<style>.*?</style>", "", one.value, flags=re.DOTALL)
            said.append(html.unescape(re.sub(r"<[^>]+>", " ", text)))
        elif isinstance(one, widgets.Button):
            said.append(f"[{one.description}]")
        elif isinstance(one, (widgets.Text, widgets.Textarea)):
            said.append(f"[{one.value}]")
    return " ".join(" ".join(said).split())


def press(button):
    """Press a button; unlike its own ``click``, an error of a callback comes through."""
    for callback in list(button._click_handlers.callbacks):
        callback(button)


def controls(panel):
    """Controls on show that somebody could reach now."""
    kinds = (widgets.Button, widgets.Text, widgets.Textarea, widgets.Checkbox)
    kinds += (widgets.IntSlider, widgets.FloatSlider, widgets.ToggleButton)
    kinds += (widgets.Dropdown, widgets.ToggleButtons, widgets.RadioButtons, widgets.Select)
    found = [one for one in tree(panel, shown=True) if isinstance(one, kinds)]
    return [one for one in found if not one.disabled]


def touch(control, dice):
    """Do one thing with a control that a learner could do."""
    if isinstance(control, widgets.Button):
        press(control)
    elif isinstance(control, (widgets.Text, widgets.Textarea)):
        control.value = dice.choice(ODD)
    elif isinstance(control, (widgets.IntSlider, widgets.FloatSlider)):
        control.value = dice.choice((control.min, control.max))
    elif isinstance(control, (widgets.Checkbox, widgets.ToggleButton)):
        control.value = not control.value
    elif control.options:
        control.index = dice.randrange(len(control.options))


def files_of(folder):
    """All files below a folder with their bytes; the database's own short-lived ones aside."""
    found = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {path: path.read_bytes() for path in found if not path.name.endswith(("-wal", "-shm"))}
