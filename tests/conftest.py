"""Green must mean something: a run of the whole that counts too little fails."""

import os
import shutil
import sys
import tomllib
from pathlib import Path

import pytest

from tests.postgres import Server, programs

HERE = Path(__file__).parent


def in_ci():
    return os.environ.get("CI") == "true" or os.environ.get("PACKLEARN_CI") == "1"


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    """Each test keeps its records in a folder of its own, never in the home folder."""
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "packlearn"))
    for name in ("RECORDS", "MODE", "SEAT", "CLASS", "STATION"):
        monkeypatch.delenv(f"PACKLEARN_{name}", raising=False)


@pytest.fixture(autouse=True)
def no_panels_left():
    """Panels of a test end with it: the widget library keeps each until it is closed."""
    yield
    if widgets := sys.modules.get("ipywidgets"):
        widgets.Widget.close_all()


@pytest.fixture(scope="session")
def ngspice():
    """Path of the circuit simulator. A user without it is not held up; in CI it must be there."""
    found = shutil.which("ngspice")
    if not found and in_ci():
        pytest.fail("no ngspice on this machine")
    if not found:
        pytest.skip("no ngspice on this machine")
    return found


@pytest.fixture(scope="session")
def postgres():
    """A PostgreSQL server of the tests' own, see ``tests/postgres.py``. In CI it must be there."""
    folder = programs()
    if not folder and in_ci():
        pytest.fail("no PostgreSQL on this machine")
    if not folder:
        pytest.skip("no PostgreSQL on this machine")
    pytest.importorskip("psycopg")
    server = Server(folder)
    try:
        server.start()
        yield server
    finally:
        server.close()


def pytest_sessionfinish(session, exitstatus):
    config = session.config
    whole = not config.option.keyword and config.args in ([], ["tests"], config.getini("testpaths"))
    sample = os.environ.get("PACKLEARN_SAMPLE")
    if exitstatus != 0 or not (whole or sample) or config.option.collectonly:
        return
    floors = tomllib.loads((HERE / "counts.toml").read_text(encoding="utf-8"))
    floor = floors[sample or "tests"]
    report = config.pluginmanager.get_plugin("terminalreporter")
    passed = len(report.stats.get("passed", []))
    skipped = len(report.stats.get("skipped", []))
    if in_ci() and skipped:
        session.exitstatus = 1
        report.write_line(f"{skipped} tests were skipped; in CI none may be", red=True)
    if passed + skipped < floor:
        session.exitstatus = 1
        report.write_line(
            f"{passed} tests passed, {floor} are known; did some go missing?", red=True
        )
