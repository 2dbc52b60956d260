"""What importing packlearn brings along, which way imports run, and how large its parts are."""

import ast
import json
import statistics
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

import packlearn

HOME = Path(packlearn.__file__).parent
ROOT = HOME.parent
MODULES = sorted(HOME.rglob("*.py"))
NAMES = [path.relative_to(HOME).as_posix() for path in MODULES]

LONGEST_FUNCTION = 40
LONGEST_MODULE = 400
# What only pictures, panels, records, lessons or typed text need.
HEAVY = {"matplotlib", "ipywidgets", "IPython", "traitlets", "sqlalchemy", "jupyterlab", "pandas"}
TYPED_TEXT_ONLY = {"pint"}

LOAD = """
import json, sys
{use}
print(json.dumps(sorted({{name.partition(".")[0] for name in sys.modules}})))
"""
IMPORT = "import packlearn as pl"
USE = """
import packlearn as pl
cell = pl.cell("nimh-aa")
own = pl.Cell(name="mine", chemistry="NiMH", nominal_voltage_v=1.2, capacity_ah=1.9,
              current_limit_a=3.8, resistance_ohm=0.03)
pack = pl.Pack(own, series=5, parallel=3)
pack.name, pack.energy_wh, pack.run_time_h(0.6), pack.terminal_voltage_v(5.0)
load = pl.Load.profile([(pl.Load.current(0.01), 50), (pl.Load.power(2.0), 10)])
fed = load.through(pl.Converter(output_v=9.0, efficiency=0.85, input_v=(3.0, 12.0)))
found = pl.size(pl.Need(load=fed, run_time_h=9.0))
found[0].title, found[0].binds_words, found[-1].why_not
pl.check(pl.Need(load=load, run_time_h=9.0, voltage_v=(5.0, 9.0)), pack).why_not
try:
    pl.Pack(own, 0, 1)
except pl.BadValue as trouble:
    str(trouble)
"""
NAME = 'import packlearn as pl; pl.Pack.from_name("5S3P", pl.cell("nimh-aa"))'


def loaded(use):
    """Names of the top packages that a fresh Python holds after some lines of code."""
    done = subprocess.run(
        [sys.executable, "-c", LOAD.format(use=use)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout))


# What is loaded.


def test_importing_loads_the_standard_library_only():
    # Against a bare Python, which may hold parts of how packages are installed.
    brought = loaded(IMPORT) - loaded("") - set(sys.stdlib_module_names)
    assert brought == {"packlearn"}


def test_the_core_loads_numpy_and_the_standard_library_only():
    parts = "pl.Cell, pl.Pack, pl.Load, pl.Need, pl.size, pl.PackError"
    brought = loaded(f"{IMPORT}; {parts}") - loaded("") - set(sys.stdlib_module_names)
    assert brought == {"packlearn", "numpy"}


def test_working_out_packs_loads_nothing_heavy():
    names = loaded(USE)
    assert "numpy" in names
    assert not names & (HEAVY | TYPED_TEXT_ONLY)


def test_reading_a_name_loads_no_widgets():
    assert not loaded(NAME) & HEAVY


def test_this_test_would_see_heavy_packages():
    assert "matplotlib" in loaded("import matplotlib.figure")


def test_imports_run_one_way():
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "from importlinter.cli import lint_imports_command as lint; lint()",
            "--no-cache",
            "--config",
            str(ROOT / "pyproject.toml"),
        ],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout


# The public face.


def test_public_names_resolve():
    assert {"Cell", "Pack", "Load", "Need", "size", "catalogue"} <= set(packlearn.__all__)
    for name in packlearn.__all__:
        value = getattr(packlearn, name)
        assert value.__module__.startswith("packlearn."), name
        assert value.__doc__, name
        assert name in dir(packlearn)


def test_a_wrong_public_name_is_answered_with_the_right_ones():
    wrong = "Pakc"
    with pytest.raises(AttributeError, match=r"'Pakc'.*, Pack,"):
        getattr(packlearn, wrong)


# Size and docstrings of every part.


def tree(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def functions(path):
    kinds = (ast.FunctionDef, ast.AsyncFunctionDef)
    return [node for node in ast.walk(tree(path)) if isinstance(node, kinds)]


def code_lines(node):
    """Lines of a function's body, its docstring left out."""
    body = node.body[1:] if ast.get_docstring(node) else node.body
    return body[-1].end_lineno - body[0].lineno + 1 if body else 0


def public_parts(path):
    """Public functions, classes and their public methods, by their dotted name."""

    def walk(nodes, before):
        for node in nodes:
            if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
                continue
            if node.name.startswith("_"):
                continue
            yield f"{before}{node.name}", node
            if isinstance(node, ast.ClassDef):
                yield from walk(node.body, f"{node.name}.")

    return list(walk(tree(path).body, ""))


def test_the_parts_are_found():
    assert {"rules.py", "sizing.py", "panels/base.py"} <= set(NAMES)
    assert sum(len(functions(path)) for path in MODULES) > 300


@pytest.mark.parametrize("path", MODULES, ids=NAMES)
def test_modules_and_functions_stay_small(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE
    for node in functions(path):
        assert code_lines(node) <= LONGEST_FUNCTION, node.name


def test_the_usual_function_is_short():
    lengths = [code_lines(node) for path in MODULES for node in functions(path)]
    assert statistics.median(lengths) < 10


@pytest.mark.parametrize("path", MODULES, ids=NAMES)
def test_public_parts_have_docstrings(path):
    if any(part.startswith("_") and part != "__init__.py" for part in path.relative_to(HOME).parts):
        return
    source = path.read_text(encoding="utf-8")
    assert ast.get_docstring(tree(path)) or not source.strip(), "module"
    for name, node in public_parts(path):
        assert ast.get_docstring(node), name


@pytest.mark.parametrize("path", MODULES, ids=NAMES)
def test_every_module_can_be_imported(path):
    if path.name == "__main__.py":
        return
    parts = path.relative_to(ROOT).with_suffix("").parts
    name = ".".join(part for part in parts if part != "__init__")
    assert import_module(name).__name__ == name
