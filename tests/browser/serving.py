"""A JupyterLab started with the packlearn command, in a home of its own; finding Chromium."""

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

from browsing import Lab

import packlearn

HERE = Path(__file__).parent
SIZE = {"width": 1366, "height": 768}
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")


def chromium():
    """How playwright starts this machine's Chromium: keyword arguments; None without one."""
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        return None
    root = hasattr(os, "getuid") and os.getuid() == 0
    return {"executable_path": found, "args": ["--no-sandbox"] if root else []}


@contextlib.contextmanager
def running(mode, folder, origin, home, more=None):
    """A running ``Lab``.

    Args:
        mode: ``learn`` or ``teach``.
        folder: the learner's folder.
        origin: folder of other lessons and exercises, or None.
        home: a folder for what Jupyter keeps.
        more: further variables of its environment.
    """
    _plant_stale_kernel(home / "data")
    port, token = _free_port(), secrets.token_hex(16)
    how = [str(HERE / "serve.py"), str(origin)] if origin else ["-m", "packlearn"]
    words = [mode, "--folder", str(folder), "--no-browser", "--port", str(port)]
    after = [f"--IdentityProvider.token={token}", "--allow-root", "--expose-app-in-browser"]
    with open(home / "server.log", "wb") as log:
        process = subprocess.Popen(
            [sys.executable, *how, *words, "--", *after],
            env=_environment(home) | (more or {}),
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
        try:
            urllib.request.urlopen(url, timeout=5).close()
            return
        except urllib.error.HTTPError as refusal:
            refusal.close()
        except (urllib.error.URLError, ConnectionError, TimeoutError):
            pass
        time.sleep(0.2)
    raise RuntimeError(f"JupyterLab did not start:\n{log.read_text(errors='replace')}")
