"""How long choosing the next task, the picture of progress and a page of tasks take.

Part of ``python -m tests.bench``. The records hold 2000 entries of many tasks, in a folder of
their own that is gone afterwards.
"""

import functools
import os
import subprocess
import sys
import tempfile
import time
from datetime import datetime
from pathlib import Path

from packlearn import jupyter, pictures
from packlearn.panels.faded import kept_by
from packlearn.practice import Practice
from packlearn.records import Prediction, Records
from packlearn.tasks import bank, checking
from packlearn.tasks.skills import skills
from tests.bench.timing import median_ms

ENTRIES = 2000
RUNS = 11
MOST_NEXT_MS, MOST_PICTURE_MS, MOST_PAGE_MS = 50, 5, 500

PAGE = """
import time
from packlearn import panels
start = time.perf_counter()
panels.Opening(made_for="0.1")
page = panels.TaskPage("predict-the-pack")
shown = time.perf_counter()
for _ in page.page.tasks[1:]:
    page.go(1)
print(1000 * (shown - start), 1000 * (time.perf_counter() - start))
"""
CELL = """
from packlearn import panels
panels.Opening(made_for="0.1")
page = panels.TaskPage("predict-the-pack")
"""
FRESH = """
import sys, time
from datetime import datetime
from pathlib import Path
from packlearn.panels.faded import kept_by, practice_of
from packlearn.records import Records
records = Records(Path(sys.argv[1]))
start = time.perf_counter()
found = practice_of(records, "", datetime.now().astimezone()).next(kept_by(records, ""))
assert found is not None
print(1000 * (time.perf_counter() - start))
"""


def fill(records):
    """Lock and settle entries of all tasks in turn; every third is wrong."""
    tasks = [task for name in bank.pages() for task in bank.page(name).tasks]
    for at in range(ENTRIES):
        task = tasks[at % len(tasks)]
        variant = checking.variant(task, at // len(tasks))
        known = {"page": task.page, "task": task.id, "variant": variant.number}
        typed = {"typed": "1 V", "value": 1.0, "unit": "V", "confidence": "sure"}
        locked = records.lock(Prediction(**known, **typed, givens=variant.givens, attempt=1))
        records.settle(locked.id, "unknown", right=at % 3 > 0)
        records.saw(locked.id, "equal")


def choose(records):
    """Read the records and choose, as the panel does."""
    practised = Practice(records.traces(""), datetime.now().astimezone())
    found = practised.next(kept_by(records, ""))
    assert found is not None


def draw():
    """The picture of all skills."""
    groups = {}
    for skill in skills():
        line = pictures.Line(skill.title, "begun", "3 of 4 at once, back in 28 days")
        groups.setdefault(f"Lesson {skill.lesson}", []).append(line)
    return pictures.progress(groups.items())


def in_fresh_process(script, folder, *args):
    """Milliseconds that a fresh process prints."""
    done = subprocess.run(
        [sys.executable, "-c", script, *args],
        env=os.environ | {"PACKLEARN_FOLDER": folder},
        capture_output=True,
        text=True,
        check=True,
    )
    return [float(word) for word in done.stdout.split()]


def in_fresh_kernel(folder, wait_s):
    """Milliseconds until a new kernel of the lessons has run a page, and until it answered at all.

    Args:
        folder: the learner's folder.
        wait_s: how long the kernel has been there before the page is asked for, in seconds.
    """
    from jupyter_client.kernelspec import KernelSpecManager
    from jupyter_client.manager import KernelManager

    specs = KernelSpecManager(kernel_dirs=[str(jupyter.FOLDER / "share" / "kernels")])
    manager = KernelManager(kernel_name="python3", kernel_spec_manager=specs)
    started = time.perf_counter()
    manager.start_kernel(env=os.environ | {"PACKLEARN_FOLDER": folder}, stderr=subprocess.DEVNULL)
    client = manager.client()
    try:
        client.start_channels()
        client.wait_for_ready(timeout=60)
        answered = time.perf_counter()
        time.sleep(wait_s)
        asked = time.perf_counter()
        reply = client.execute_interactive(CELL, timeout=60, output_hook=lambda _: None)
        assert reply["content"]["status"] == "ok", reply["content"]
        return 1000 * (time.perf_counter() - asked), 1000 * (answered - started)
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


def print_one(name, ms, most_ms):
    """One line: time, and the most it may take."""
    print(f"{name:44}{ms:9.1f}   (under {most_ms})")


def main(runs=RUNS):
    """Prints the table."""
    print(f"\n{'practising':44}{'ms':>9}   bar")
    with tempfile.TemporaryDirectory() as folder:
        shown, whole = in_fresh_process(PAGE, folder)
        print_one("a page of tasks, its first one shown", shown, MOST_PAGE_MS)
        print_one("the same, all tasks gone through", whole, MOST_PAGE_MS)
        at_once, _ = in_fresh_kernel(folder, 0)
        print_one("a page in a new kernel, asked at once", at_once, MOST_PAGE_MS)
        later, answered = in_fresh_kernel(folder, 1)
        print_one("the same, a second after the kernel is there", later, MOST_PAGE_MS)
        print(f"{'(such a kernel answers first after)':44}{answered:9.1f}")
        path = Path(folder, "many.sqlite")
        records = Records(path)
        fill(records)
        ms = median_ms(functools.partial(choose, records), runs)
        print_one(f"next task, {ENTRIES} entries", ms, MOST_NEXT_MS)
        (first,) = in_fresh_process(FRESH, folder, str(path))
        print_one("the same, first time in a kernel", first, 10 * MOST_NEXT_MS)
    print_one("picture of progress", median_ms(draw, runs), MOST_PICTURE_MS)
