"""A new kernel loads what lessons need before the first cell asks for it."""

import json
import os
import subprocess
import sys

from packlearn import jupyter
from packlearn.jupyter import ahead

LOADED = """
import sys
from packlearn.jupyter import ahead
assert not set(ahead.MODULES) & set(sys.modules)
ahead.load_ipython_extension(None).join(60)
print(*(name for name in ahead.MODULES if name in sys.modules))
"""

# A cell that comes at once, as where a page is opened and runs by itself.
FIRST_CELL = """
import sys
from IPython.core.interactiveshell import InteractiveShell
from packlearn.jupyter import ahead
shell = InteractiveShell.instance()
ahead.load_ipython_extension(shell)
shell.user_ns.update(globals())
shell.run_cell("print(*(name for name in ahead.MODULES if name in sys.modules))")
"""


def test_kernel_of_the_lessons_names_the_extension():
    path = jupyter.FOLDER / "share" / "kernels" / "python3" / "kernel.json"
    argv = json.loads(path.read_text(encoding="utf-8"))["argv"]
    assert f"--IPKernelApp.extensions={ahead.__name__}" in argv


def test_everything_named_is_loaded_in_a_thread_of_its_own():
    done = subprocess.run(
        [sys.executable, "-c", LOADED], capture_output=True, text=True, check=True, timeout=120
    )
    assert done.stdout.split() == list(ahead.MODULES)


def test_a_cell_that_comes_meanwhile_waits(tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", FIRST_CELL],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
        env=os.environ | {"IPYTHONDIR": str(tmp_path)},
    )
    assert done.stdout.split() == list(ahead.MODULES), done.stderr


def test_what_cannot_be_loaded_is_left_to_the_cell_that_needs_it(monkeypatch):
    monkeypatch.setattr(ahead, "MODULES", ("json", "packlearn.not_there", "not_reached"))
    looked_for = []
    monkeypatch.setattr(
        ahead.importlib, "import_module", lambda name: looked_for.append(name) or _real(name)
    )
    ahead.load()
    assert looked_for == ["json", "packlearn.not_there"]


def _real(name):
    if name != "json":
        raise ModuleNotFoundError(name)
