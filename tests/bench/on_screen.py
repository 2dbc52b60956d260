"""What a learner waits for, measured on the screen: ``python -m tests.bench.on_screen``.

JupyterLab is started with the packlearn command and driven in Chromium. From the key pressed on
a slider until the frame with the changed picture is painted: for pictures of the lessons, and for
the same wiring and curve drawn the usual way, with ``interact`` and an inline matplotlib figure:
all of the picture, and for comparison a plain one with a box a cell.
For our own the legs of the way are told, too (``legs.py``): page, server, kernel and back. Then
how long it takes from the typed command until a lesson is live. Milliseconds differ from machine
to machine; the last column holds each way against the usual one of the same run.
"""

import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

import nbformat

sys.path.insert(0, str(Path(__file__).parent.parent / "browser"))

import browsing
import serving
from playwright.sync_api import sync_playwright

from tests.bench import legs

PRESSES, HELD, HELD_EVERY_MS, EVERY_MS = 50, 30, 33, 10
MOST_MS, MOST_SETTLE_MS, LEAST_RATIO = 60, 120, 4
MOST_OPEN_S = {"first ever": 10, "later": 8, "next lesson": 4}
PAGE = "lessons/on-screen.ipynb"
PLAIN, USUAL = "the usual way, plain boxes", "the usual way"

CELLS = {
    "wiring of the lessons": """
from packlearn import panels
panels.PackExplorer("both", series=4, parallel=3)
""",
    "simulated curve, 6S3P": """
panels.LoadExplorer("nimh-aa", series=6, parallel=3, current_a=0.8)
""",
    "wiring and simulated curve": """
import packlearn as pl
from packlearn import pictures
from packlearn.panels.base import picture, slider
from packlearn.panels.explorers import Explorer

def worked_out(series, parallel):
    pack = pl.Pack(pl.cell("nimh-aa"), series, parallel)
    return pack, pl.discharge(pack, pl.Load.current(0.6))

class Both(Explorer):
    def make_controls(self):
        return {"series": slider("series", 1, 8, 4), "parallel": slider("parallel", 1, 8, 3)}

    def draw(self, now):
        pack, run = worked_out(now.series, now.parallel)
        curve = pictures.run(
            run.time_h, run.voltage_v, stop_v=pack.end_voltage_v, ended_words="", title=pack.name
        )
        wiring = pictures.pack(pack.series, pack.parallel, pack.cell.title, label=pack.name)
        self.show(wiring, [pack.name], more=picture(curve))

Both()
""",
    PLAIN: """
%matplotlib inline
import matplotlib.pyplot as plt
from ipywidgets import interact

def plain(series=4, parallel=3):
    pack, run = worked_out(series, parallel)
    figure, (wiring, curve) = plt.subplots(1, 2, figsize=(9, 4))
    for string in range(parallel):
        for place in range(series):
            wiring.add_patch(plt.Rectangle((place, string), 0.8, 0.6, fill=False))
            wiring.text(place + 0.4, string + 0.3, "1.2 V", ha="center", va="center")
        wiring.plot([0, series], [string + 0.3] * 2, zorder=0)
    curve.plot(run.time_h, run.voltage_v)
    curve.set(xlabel="h", ylabel="V", title=pack.name)
    plt.show()

_ = interact(plain, series=(1, 8), parallel=(1, 8))
""",
    USUAL: """
from matplotlib.patches import Circle, FancyBboxPatch, Rectangle

def cell_in(axes, x, y, name):
    axes.add_patch(FancyBboxPatch((x, y), 54, 32, "round,pad=0,rounding_size=4", fc="w", ec="k"))
    axes.add_patch(Rectangle((x + 54, y + 9), 4, 14, fc="k"))
    axes.add_patch(Rectangle((x - 2, y + 4), 2, 24, fc="k"))
    axes.text(x + 7, y + 16, "\u2212", ha="center", va="center")
    axes.text(x + 47, y + 16, "+", ha="center", va="center")
    axes.text(x + 27, y + 16, name, ha="center", va="center")

def wiring_in(axes, pack):
    right, middle = 84 * pack.series, 25 * (pack.parallel - 1) + 16
    for x, sign in ((-30, "\u2212"), (right + 30, "+")):
        axes.plot([x, 0 if x < 0 else right], [middle, middle], "k", zorder=0)
        axes.add_patch(Circle((x, middle), 10, fc="w", ec="k"))
        axes.text(x, middle, sign, ha="center", va="center")
    for string in range(pack.parallel):
        axes.plot([0, right], [50 * string + 16] * 2, "C1", lw=3, zorder=0)
        for place in range(pack.series):
            cell_in(axes, 84 * place + 14, 50 * string, f"{place + 1}{'ABCDEFGH'[string]}")
    for place in range(pack.series + 1):
        axes.plot([84 * place] * 2, [16, 2 * middle - 16], "C1", lw=3, zorder=0)
    for place in range(pack.series):
        axes.text(84 * place + 42, -10, str(place + 1), ha="center", color="grey")
    axes.plot([0, 0, right, right], [-26, -32, -32, -26], "grey", lw=1)
    axes.text(right / 2, -38, f"{pack.series} in line", ha="center", color="grey")
    axes.plot([-52, -58, -58, -52], [0, 0, 2 * middle, 2 * middle], "grey", lw=1)
    axes.text(-62, middle, f"{pack.parallel} side\\nby side", ha="right", color="grey")
    axes.text(-58, 2 * middle + 50, pack.name, size=15)
    axes.text(-58, 2 * middle + 70, pack.cell.title, color="grey")
    axes.set(xlim=(-120, 8 * 84 + 60), ylim=(2 * middle + 80, -60), aspect="equal")
    axes.axis("off")

def usual(series=4, parallel=3):
    pack, run = worked_out(series, parallel)
    figure, (wiring, curve) = plt.subplots(2, 1, figsize=(12, 8.6))
    wiring_in(wiring, pack)
    curve.plot(run.time_h, run.voltage_v, lw=2)
    curve.axhline(pack.end_voltage_v, ls="--", color="grey")
    curve.annotate(f"end at {pack.end_voltage_v:.2f} V", (run.time_h[-1], pack.end_voltage_v))
    curve.grid(True)
    curve.set(xlabel="time (h)", ylabel="voltage (V)", title=pack.name)
    plt.show()

_ = interact(usual, series=(1, 8), parallel=(1, 8))
""",
}

# Everything is timed in the page: from the key's own time until the frame is painted in which the
# picture differs from the one before. A message sent before a frame is drawn comes right after it.
# Frames are looked at only where the page has changed: a look at every frame would itself cost
# time that no learner waits for.
WATCH = """(at) => {
  const cell = document.querySelectorAll(".jp-CodeCell")[at];
  const below = document.querySelectorAll(".jp-CodeCell")[at + 1] ?? cell;
  const shown = () => {
    const drawn = cell.querySelector(".packlearn-picture, .jp-OutputArea-output img");
    return drawn && (drawn.tagName === "IMG" ? drawn.src : drawn.innerHTML);
  };
  const edge = () => Math.round(below.getBoundingClientRect().bottom - below.clientHeight);
  const state = { keys: [], pictures: [], blank: 0, moved: 0, last: shown(), edge: edge() };
  window.onScreen?.stop();
  const keyed = (event) => state.keys.push(event.timeStamp);
  window.addEventListener("keydown", keyed, true);
  let waiting = false;
  const look = () => {
    waiting = false;
    const picture = shown();
    if (!picture) state.blank += 1;
    else if (picture !== state.last) {
      state.last = picture;
      const painted = new MessageChannel();
      painted.port1.onmessage = () => state.pictures.push(performance.now());
      painted.port2.postMessage(0);
    }
    if (at < 3 && edge() !== state.edge) { state.moved += 1; state.edge = edge(); }
  };
  const changes = new MutationObserver(() => {
    if (!waiting) requestAnimationFrame(look);
    waiting = true;
  });
  const whole = { childList: true, subtree: true, characterData: true, attributes: true };
  changes.observe(cell, whole);
  state.stop = () => { changes.disconnect(); window.removeEventListener("keydown", keyed, true); };
  window.onScreen = state;
}"""
NEXT = "(count) => window.onScreen.pictures.length > count"


def notebook(folder):
    """Put the notebook to be measured into the learner's folder."""
    cells = [nbformat.v4.new_code_cell(source.strip()) for source in CELLS.values()]
    made = nbformat.v4.new_notebook(cells=cells, metadata={"packlearn": {"autorun": True}})
    path = Path(folder, PAGE)
    path.parent.mkdir(parents=True, exist_ok=True)
    nbformat.write(made, path)


def pressed(page, at):
    """Single presses, each after the picture before has come: milliseconds, and their legs."""
    page.evaluate(WATCH, at)
    page.evaluate(legs.NOTE, at)
    times, found = [], []
    for count in range(PRESSES):
        page.keyboard.press("ArrowRight" if count % 4 < 2 else "ArrowLeft")
        page.wait_for_function(NEXT, arg=count, timeout=20_000, polling=EVERY_MS)
        last = "() => [window.onScreen.keys.at(-1), window.onScreen.pictures.at(-1)]"
        key, picture = page.evaluate(last)
        times.append(picture - key)
        page.wait_for_timeout(60)
        found.append(page.evaluate(legs.TAKE))
    return sorted(times), found


def held(page, at):
    """A held key: pictures shown, ms from the last key to the last picture, blanks, jumps."""
    page.evaluate(WATCH, at)
    for count in range(HELD):
        page.keyboard.press("ArrowRight" if count % 8 < 4 else "ArrowLeft")
        page.wait_for_timeout(HELD_EVERY_MS)
    page.wait_for_timeout(1500)
    found = page.evaluate("() => ({...window.onScreen, stop: 0, last: 0})")
    settle = found["pictures"][-1] - found["keys"][-1]
    return len(found["pictures"]), settle, found["blank"], found["moved"]


def latencies(page, lab):
    """One line for each way."""
    browsing.open_lesson(page, lab, PAGE)
    page.wait_for_timeout(3000)
    rows, ways = {}, {}
    for at, name in enumerate(CELLS):
        cell = page.locator(".jp-CodeCell").nth(at)
        cell.scroll_into_view_if_needed()
        cell.get_by_role("slider").first.focus()
        page.wait_for_timeout(1000)
        times, ways[name] = pressed(page, at)
        rows[name] = times, held(page, at)
    usual = statistics.median(rows[USUAL][0])
    heads = f"{'median':>8}{'90 %':>8}{'shown':>7}{'settle':>8}{'blank':>7}{'moved':>7}{'ratio':>7}"
    print(f"\n{'key to picture, ms':28}{heads}")
    for name, (times, (shown, settle, blank, moved)) in rows.items():
        median, late = statistics.median(times), times[int(0.9 * len(times))]
        print(
            f"{name:28}{median:8.0f}{late:8.0f}{shown:7}{settle:8.0f}{blank:7}{moved:7}"
            f"{usual / median:6.1f}x"
        )
    for name, found in ways.items():
        legs.told(name, found)
    print(f"\nload {os.getloadavg()[0]:.1f} at the end")
    print(f"bars: {MOST_MS} ms, settled within {MOST_SETTLE_MS} ms, {LEAST_RATIO}x the usual way")


KERNEL = """() => {
  const session = window.jupyterapp.shell.currentWidget?.sessionContext?.session;
  return Boolean(session?.kernel && ["idle", "busy"].includes(session.kernel.status));
}"""
PARTS = ("server", "page", "notebook", "kernel", "question")


def usable(page, lab, path, start):
    """Seconds since a start until page, notebook and kernel are there and a question is live.

    The first question can be answered then; the sliders come with it.
    """
    found = []

    def done(_=None):
        found.append(time.perf_counter() - start)

    done()
    page.goto(lab.address(path).replace("reset&", ""))
    done()
    done(page.wait_for_function(browsing.LOADED, arg=path, timeout=90_000))
    done(page.wait_for_function(KERNEL, timeout=90_000))
    lock = page.get_by_role("button", name="Lock it in").first
    done(lock.wait_for(state="visible", timeout=90_000))
    return found


def openings(playwright, home):
    """Seconds from the typed command to a live lesson: first ever, later, next lesson."""
    found, folder = {}, home / "opened"
    context = playwright.chromium.launch_persistent_context(
        str(home / "browser"), viewport=serving.SIZE, **serving.chromium()
    )
    page = context.new_page()
    for which in ("first ever", "later"):
        start = time.perf_counter()
        with serving.running("learn", folder, None, home / "jupyter") as lab:
            first = "lessons/1-what-your-device-needs.ipynb"
            found[which] = usable(page, lab, first, start)
            if which == "later":
                third, start = "lessons/3-series-and-parallel.ipynb", time.perf_counter()
                found["next lesson"] = usable(page, lab, third, start)
    context.close()
    print(
        f"\n{'until the first question is live':34}{'s':>6}{'bar':>5}   s since the command until"
    )
    for which, times in found.items():
        parts = ", ".join(f"{name} {at:.1f}" for name, at in zip(PARTS, times, strict=True))
        print(f"{which:34}{times[-1]:6.1f}{MOST_OPEN_S[which]:5}   {parts}")


def main():
    """Print both tables."""
    load = os.getloadavg()[0]
    print(f"cores {os.cpu_count()}, load {load:.1f}", flush=True)
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        home = Path(name)
        (home / "jupyter").mkdir()
        openings(playwright, home)
        notebook(home / "lab")
        browser = playwright.chromium.launch(**serving.chromium())
        page = browser.new_page(viewport=serving.SIZE)
        page.add_init_script(legs.LISTEN)
        with serving.running("teach", home / "lab", None, home / "jupyter") as lab:
            latencies(page, lab)
        browser.close()


if __name__ == "__main__":
    main()
