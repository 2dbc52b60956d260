"""A small lesson of its own for the browser tests: every kind of control, folded code."""

import json

START = (
    '<button data-commandlinker-command="notebook:run-all-cells" '
    'data-commandlinker-args="{}">Start this lesson</button>'
)
PANEL = """# The panel of this page.
import ipywidgets as w

style = {"description_width": "initial"}
tell = w.HTML("nothing moved yet")
tell.add_class("packlearn-status")
controls = [
    w.IntSlider(2, 1, 8, description="Cells in series", style=style),
    w.FloatRangeSlider(value=(5, 9), min=0, max=20, description="Window", style=style),
    w.Dropdown(options=["AAA", "AA", "C", "D"], value="AA", description="Cell size", style=style),
    w.RadioButtons(options=["guess", "think so", "sure"], description="How sure", style=style),
    w.ToggleButtons(options=["less", "equal", "more"], description="What did you see"),
    w.Text(description="Your prediction", continuous_update=False, style=style),
    w.Checkbox(description="Show labels"),
    w.Button(description="Lock"),
]
def say(change):
    values = [getattr(c, "value", "") for c in controls]
    tell.value = "Values: " + "; ".join(map(str, values))
for control in controls:
    if hasattr(control, "value"):
        control.observe(say, "value")
w.VBox([*controls, tell])"""
PYTHON = """import os, sys
print("Python:", sys.executable)
print("Mode:", os.environ["PACKLEARN_MODE"])
print("The lantern asks for 0.6 A.")"""


def _code(id_, source, **metadata):
    return {
        "cell_type": "code",
        "execution_count": None,
        "id": id_,
        "metadata": metadata,
        "outputs": [],
        "source": source.splitlines(keepends=True),
    }


def _text(id_, source):
    return {"cell_type": "markdown", "id": id_, "metadata": {}, "source": [source]}


def lesson(title="The path lantern", autorun=True):
    """A lesson that runs when it is opened, or waits for its Start button."""
    folded = {"jupyter": {"source_hidden": True}, "deletable": False, "editable": False}
    body = "The lantern of the hedgehog survey works from 5.5 V to 8.7 V and asks for 0.6 A."
    return {
        "cells": [
            _text("title", f"# {title}\n\n{body}\n\n{START}"),
            _code("panel", PANEL, **folded),
            _text("explain", "## Worked example\n\n" + body),
            _code("python", PYTHON),
            *(_text(f"long-{n}", f"## Part {n}\n\n" + "\n\n".join([body] * 4)) for n in range(6)),
        ],
        "metadata": {
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
            "packlearn": {"autorun": autorun},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def write(origin, names=("1 Lantern.ipynb",)):
    """Write lessons into a folder that then takes the place of the shipped ones."""
    for part in ("lessons", "exercises"):
        (origin / part).mkdir(parents=True)
    for name in names:
        title = name.removesuffix(".ipynb")
        text = json.dumps(lesson(title, autorun="waits" not in title), indent=1) + "\n"
        (origin / "lessons" / name).write_text(text, encoding="utf-8", newline="\n")
    return origin
