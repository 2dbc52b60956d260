"""One JupyterLab and one Chromium for the browser tests."""

import contextlib
import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from browsing import Lab
from playwright.sync_api import expect, sync_playwright

import packlearn

HERE = Path(__file__).parent
SIZE = {"width": 1366, "height": 768}
# A busy machine may take its time; what never comes still fails.
expect.set_options(timeout=20_000)
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")


def _give_up(reason):
    # A user without Chromium is not held up; in CI its absence must not pass unseen.
    if os.environ.get("CI") == "true" or os.environ.get("PACKLEARN_CI") == "1":
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def browser():
    """A running Chromium."""
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        _give_up("no Chromium on this machine")
    root = hasattr(os, "getuid") and os.getuid() == 0
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(
            executable_path=found, args=["--no-sandbox"] if root else []
        )
        yield running
        running.close()


@pytest.fixture
def page(browser):
    """An empty page of a school laptop's size."""
    context = browser.new_context(viewport=SIZE)
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    """Start JupyterLab with the packlearn command: lab(mode, folder, origin=None) -> Lab.

    With ``origin``, its ``lessons`` and ``exercises`` take the place of the shipped ones.
    """
    with contextlib.ExitStack() as stack:

        def start(mode="learn", folder=None, origin=None):
            home = tmp_path_factory.mktemp("jupyter")
            return stack.enter_context(_running(mode, folder or home / "notebooks", origin, home))

        yield start


@contextlib.contextmanager
def _running(mode, folder, origin, home):
    _plant_stale_kernel(home / "data")
    port, token = _free_port(), secrets.token_hex(16)
    how = [str(HERE / "serve.py"), str(origin)] if origin else ["-m", "packlearn"]
    words = [mode, "--folder", str(folder), "--no-browser", "--port", str(port)]
    after = [f"--IdentityProvider.token={token}", "--allow-root", "--expose-app-in-browser"]
    with open(home / "server.log", "wb") as log:
        process = subprocess.Popen(
            [sys.executable, *how, *words, "--", *after],
            env=_environment(home),
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=subprocess.STDOUT,
        )
        try:
            url = f"http://127.0.0.1:{port}"
            _wait_for(f"{url}/api/status?token={token}", process, home / "server.log")
            yield Lab(url, token, Path(folder), process.pid)
        finally:
            process.terminate()
            try:
                process.wait(15)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def _plant_stale_kernel(data):
    """A kernel of the user's that is long gone; the lessons must not fall for it."""
    gone = data / "kernels" / "python3"
    gone.mkdir(parents=True, exist_ok=True)
    spec = {
        "argv": ["/gone/python", "{connection_file}"],
        "display_name": "Old",
        "language": "python",
    }
    (gone / "kernel.json").write_text(json.dumps(spec), encoding="utf-8")


def _environment(home):
    own = {
        "JUPYTER_CONFIG_DIR": "config",
        "JUPYTER_DATA_DIR": "data",
        "JUPYTER_RUNTIME_DIR": "runtime",
        "JUPYTERLAB_SETTINGS_DIR": "settings",
        "IPYTHONDIR": "ipython",
    }
    left_out = ("JUPYTER_PATH", "JUPYTER_CONFIG_PATH", "PACKLEARN_RECORDS")
    base = {name: value for name, value in os.environ.items() if name not in left_out}
    root = str(Path(packlearn.__file__).parent.parent)
    return base | {name: str(home / part) for name, part in own.items()} | {"PYTHONPATH": root}


def _free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def _wait_for(url, process, log, seconds=60):
    end = time.monotonic() + seconds
    while time.monotonic() < end and process.poll() is None:
        with contextlib.suppress(urllib.error.URLError, ConnectionError, TimeoutError):
            urllib.request.urlopen(url, timeout=5).close()
            return
        time.sleep(0.2)
    pytest.fail(f"JupyterLab did not start:\n{log.read_text(errors='replace')}")
