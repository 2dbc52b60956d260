"""Thirty learners who move sliders on one JupyterLab server: ``python -m tests.bench.one_server``.

The server is started with the packlearn command. Each learner has a kernel of its own with one
panel of the lessons, driven over HTTP and a websocket as a page does it, and moves a slider once
every two seconds. ``--learners 1 10 30`` measures several classes, one after the other.
"""

import argparse
import json
import os
import sys
import tempfile
import time
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import websocket

sys.path.insert(0, str(Path(__file__).parent.parent / "browser"))

import serving

from tests.bench.hub import drag, memory_mb, seconds, tail, together
from tests.bench.hub_learner import PATIENCE_S, Learner

AT_ONCE, MOST_MS = 4, 50
PANELS = (
    "PackExplorer(series=2, parallel=2, reading_v=1.36)",
    "LoadExplorer('alkaline-aa', ('alkaline-aa', 'nimh-aa'))",
    "DataSheetExplorer(('alkaline-aa', 'nimh-aa'))",
    "UnlikeExplorer('nimh-aa', 6, start=60)",
    "SizingExplorer()",
    "ProfileExplorer()",
)
SHOW = "from packlearn import panels\npanels.{}"


class Seat(Learner):
    """A learner at a server that asks for a token.

    Args:
        lab: the ``browsing.Lab``.
        number: which one, from 0.
    """

    def __init__(self, lab, number):
        super().__init__(lab.url, f"learner {number}", "")
        self.token, self.number = lab.token, number

    def api(self, path, told=None, method=None):
        """What the server answers to a call."""
        head = {"Authorization": f"token {self.token}", "Content-Type": "application/json"}
        data = None if told is None else json.dumps(told).encode()
        request = urllib.request.Request(f"{self.hub}/api/{path}", data, head, method=method)
        with self.opener.open(request, timeout=PATIENCE_S) as answer:
            return json.loads(answer.read() or b"null")

    def connect(self):
        """Open the websocket of the kernel."""
        path = f"/api/kernels/{self.kernel}/channels?session_id={self.session}"
        url = f"{self.hub.replace('http', 'ws', 1)}{path}&token={self.token}"
        self.socket = websocket.create_connection(url, timeout=PATIENCE_S)

    def begin(self):
        """Start a kernel and show a panel; seconds until its first slider is there."""
        start = time.perf_counter()
        self.kernel = self.api("kernels", {"name": "python3"})["id"]
        self.connect()
        shown = self.until_idle(self.run(SHOW.format(PANELS[self.number % len(PANELS)])))
        assert shown, (self.user, *self.troubles)
        self.slider = (self.of_kind("IntSlider") + self.of_kind("FloatSlider"))[0]
        return time.perf_counter() - start

    def leave(self):
        """End the kernel."""
        self.socket.close()
        self.api(f"kernels/{self.kernel}", method="DELETE")

    def move(self, slider):
        """Move a slider there and back; milliseconds until all that changes has arrived here."""
        model = self.models[slider]
        step = model["step"] if model["value"] + model["step"] <= model["max"] else -model["step"]
        start = time.perf_counter()
        self.set(slider, value=round(model["value"] + step, 9))
        return 1000 * (time.perf_counter() - start)


def processes(server):
    """Number of a process -> group it is counted in: the server, its kernels, this bench."""
    found = {str(server): "server", str(os.getpid()): "this bench"}
    for path in Path("/proc").glob("[0-9]*"):
        try:
            parent = (path / "stat").read_text().rpartition(")")[2].split()[1]
            kernel = b"ipykernel" in (path / "cmdline").read_bytes()
        except OSError:
            continue
        if kernel and parent == str(server):
            found[path.name] = "kernels"
    return found


def measure(lab, count):
    """Print one class of so many learners."""
    seats = [Seat(lab, number) for number in range(count)]
    # A class does not open its lesson in the same second, nor would a machine of two cores like it.
    with ThreadPoolExecutor(AT_ONCE) as few:
        begun = list(few.map(Seat.begin, seats))
    with ThreadPoolExecutor(count) as pool:
        found = processes(lab.pid)
        memory, before, start = memory_mb(found), seconds(found), time.perf_counter()
        load = os.getloadavg()[0]
        moves = [ms for each in together(pool, drag, seats) for ms in each]
        spent, after = time.perf_counter() - start, seconds(found)
        list(pool.map(Seat.leave, seats))
    share = {}
    for number, group in found.items():
        used = after.get(number, 0) - before.get(number, 0)
        share[group] = share.get(group, 0) + 100 * used / spent
    print(f"{count} learners, load of the machine {load:.1f} to {os.getloadavg()[0]:.1f}")
    print("  kernel and panel there: median {:.1f} s, 95 % {:.1f} s".format(*tail(begun)))
    print("  moving a slider: median {:.0f} ms, 95 % {:.0f} ms".format(*tail(moves)), end="")
    print(f" (bar: median {MOST_MS} ms)")
    for what, values, unit in (("memory", memory, "MB"), ("processor", share, "%")):
        parts = ", ".join(f"{group} {values[group]:.0f} {unit}" for group in sorted(values))
        print(f"  {what}: {parts}", flush=True)


def main():
    """Print the measurements."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--learners", type=int, nargs="+", default=[1, 30])
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        (home / "jupyter").mkdir()
        with serving.running("learn", home / "lab", None, home / "jupyter") as lab:
            for count in args.learners:
                measure(lab, count)


if __name__ == "__main__":
    main()
