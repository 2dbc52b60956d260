"""Every cell of every notebook runs in a kernel, in both modes, and says what is stored."""

import json
import os
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

import packlearn
from packlearn.places import exercises_folder, lessons_folder

ROOT = Path(packlearn.__file__).resolve().parents[1]
NOTEBOOKS = [*sorted(lessons_folder().glob("*.ipynb")), *sorted(exercises_folder().glob("*.ipynb"))]
# How many code cells the notebooks hold; a cell that is no longer run must not pass unseen.
CELLS = {
    "1-what-your-device-needs": 6,
    "2-what-a-cell-gives": 6,
    "3-series-and-parallel": 7,
    "4-from-need-to-pack": 6,
    "5-reading-a-data-sheet": 7,
    "6-under-load": 7,
    "7-cells-are-not-equal": 7,
    "8-wiring-it": 8,
    "9-meter-and-faults": 7,
    "10-protecting-it": 8,
    "11-charging-and-keeping-it": 8,
    "12-your-own-pack": 3,
    "0-practise": 4,
    "1-read-the-need": 3,
    "2-predict-the-pack": 3,
    "3-meet-the-need": 3,
    "4-under-load": 3,
    "5-unlike-cells": 3,
    "6-name-and-wire": 3,
    "7-find-the-fault": 3,
    "8-protect-and-charge": 3,
    "9-own-tasks": 3,
}
PATIENCE_S = 240


def code_cells(path):
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return [cell for cell in cells if cell["cell_type"] == "code"]


def environment(folder, mode):
    """The environment of a learner or teacher whose folders all lie in one place."""
    own = {
        "PACKLEARN_MODE": mode,
        "PACKLEARN_FOLDER": str(folder / "learner"),
        "IPYTHONDIR": str(folder / "ipython"),
        "JUPYTER_CONFIG_DIR": str(folder / "config"),
        "JUPYTER_DATA_DIR": str(folder / "data"),
        "JUPYTER_RUNTIME_DIR": str(folder / "runtime"),
        "JUPYTER_PLATFORM_DIRS": "1",
        "PYTHONPATH": os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH")])),
    }
    left_out = ("PACKLEARN_RECORDS", "PACKLEARN_SEAT", "PYTEST_ADDOPTS")
    return {name: value for name, value in os.environ.items() if name not in left_out} | own


def run_nbval(folder, notebooks, mode):
    """Run notebooks in one pytest; give its exit code, its words, and outcomes by notebook."""
    report = folder / "report.xml"
    command = [sys.executable, "-m", "pytest", "--nbval-lax", "-q", "-p", "no:cacheprovider"]
    command += ["--rootdir", str(folder), "--junitxml", str(report), "-o", "junit_family=xunit1"]
    done = subprocess.run(
        [*command, *(path.name for path in notebooks)],
        cwd=folder,
        env=environment(folder, mode),
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )
    outcomes = {}
    for case in ET.parse(report).getroot().iter("testcase"):
        name = re.sub(r"\.ipynb$", "", case.get("file") or case.get("classname"))
        result = case[0].tag if len(case) else "passed"
        outcomes.setdefault(Path(name).name, []).append(result)
    return done.returncode, done.stdout + done.stderr, outcomes


def copied(folder, notebooks):
    return [Path(shutil.copy(path, folder / path.name)) for path in notebooks]


def test_the_notebooks_hold_the_cells_that_are_counted_here():
    assert {path.stem: len(code_cells(path)) for path in NOTEBOOKS} == CELLS


@pytest.mark.parametrize("mode", ["learn", "teach"])
def test_every_cell_of_every_notebook_runs(mode, tmp_path):
    code, words, outcomes = run_nbval(tmp_path, copied(tmp_path, NOTEBOOKS), mode)
    assert code == 0, words
    assert outcomes == {name: ["passed"] * count for name, count in CELLS.items()}, words
    assert f"{sum(CELLS.values())} passed" in words


def test_a_wrong_digit_in_a_worked_example_is_seen(tmp_path):
    (path,) = copied(tmp_path, [NOTEBOOKS[2]])
    notebook = json.loads(path.read_text(encoding="utf-8"))
    (output,) = notebook["cells"][-1]["outputs"]
    kept = "".join(output["text"])
    output["text"] = [re.sub(r"\d", lambda digit: str((int(digit[0]) + 1) % 10), kept, count=1)]
    assert output["text"] != [kept]
    path.write_text(json.dumps(notebook), encoding="utf-8")
    code, words, outcomes = run_nbval(tmp_path, [path], "learn")
    assert code == 1
    assert outcomes == {path.stem: ["passed"] * (CELLS[path.stem] - 1) + ["failure"]}, words
    assert "mismatch 'stdout'" in words


def test_a_cell_that_breaks_is_seen(tmp_path):
    (path,) = copied(tmp_path, [NOTEBOOKS[-1]])
    notebook = json.loads(path.read_text(encoding="utf-8"))
    notebook["cells"][-1]["source"] = ["# What you locked in\n", "panels.MyPrediction()"]
    path.write_text(json.dumps(notebook), encoding="utf-8")
    code, words, outcomes = run_nbval(tmp_path, [path], "learn")
    assert code == 1
    assert "MyPrediction" in words
    assert outcomes[path.stem].count("failure") == 1
