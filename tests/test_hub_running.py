"""JupyterHub itself, with our configuration, starts a seat's server; see ``tests/hub_alone.py``."""

import json
import os
import secrets
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from packlearn import laying
from packlearn.classroom import school

PATIENCE_S = 120
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="JupyterHub runs on Unix")


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Hub:
    """A running hub and its token."""

    def __init__(self, folder):
        self.folder, self.port, self.token = folder, free_port(), secrets.token_hex(16)

    def ask(self, url, method="GET"):
        """What is answered, None where nothing was."""
        if url.startswith("/"):
            url = f"http://127.0.0.1:{self.port}/hub/api{url}"
        head = {"Authorization": f"token {self.token}"}
        request = urllib.request.Request(url, b"" if method == "POST" else None, head)
        request.method = method
        try:
            with urllib.request.urlopen(request, timeout=30) as answer:
                return json.loads(answer.read() or b"{}")
        except urllib.error.HTTPError as refusal:
            refusal.close()
        except (urllib.error.URLError, ConnectionError, TimeoutError):
            pass
        return None

    def wait_for(self, url, good=bool):
        """What is answered once it is good."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            found = self.ask(url)
            if found is not None and good(found):
                return found
            time.sleep(0.2)
        told = (self.folder / "hub.log").read_text(errors="replace").splitlines()
        pytest.fail("\n".join(line for line in told if " 200 GET " not in line)[-6000:])


@pytest.fixture
def hub(tmp_path, monkeypatch):
    pytest.importorskip("jupyterhub")
    folder = tmp_path / "hub"
    monkeypatch.setenv("PACKLEARN_HUB", str(folder))
    school.keep_class("HEDGE7", 2)
    made = Hub(folder)
    root = str(Path(__file__).parent.parent)
    own = {"HUB_PORT": str(made.port), "HUB_TOKEN": made.token, "PYTHONPATH": root}
    command = [
        sys.executable,
        "-m",
        "jupyterhub",
        "-f",
        str(Path(__file__).parent / "hub_alone.py"),
    ]
    with open(folder / "hub.log", "wb") as log:
        running = subprocess.Popen(
            command, env=os.environ | own, cwd=folder, stdout=log, stderr=log
        )
        try:
            yield made
        finally:
            made.ask("/users/hedge7-01/server", "DELETE")
            running.terminate()
            running.wait(30)


def test_a_seat_gets_its_server_with_the_lessons_laid(hub):
    users = hub.wait_for("/users")
    assert {user["name"] for user in users} == {"hedge7-01", "hedge7-02", "hedge7-teacher"}
    assert not any(user["admin"] for user in users)
    hub.ask("/users/hedge7-01/server", "POST")
    hub.wait_for("/users/hedge7-01", lambda user: user["servers"].get("", {}).get("ready"))
    routes = json.loads((hub.folder / "routes.json").read_text())
    at = routes["/user/hedge7-01/"]["target"]
    found = hub.ask(f"{at}/user/hedge7-01/api/contents/lessons")["content"]
    names = {f"lessons/{each['name']}" for each in found}
    assert names == {name for name in laying.shipped("learn") if name.startswith("lessons/")}
    # A terminal is not offered.
    assert hub.ask(f"{at}/user/hedge7-01/api/terminals") is None
    home = hub.folder / "home" / "hedge7-01" / "packlearn-lessons"
    assert (home / laying.LIST).is_file()
