"""How long sizing and importing take, beside a yardstick measured in the same run.

``python -m tests.bench`` prints one table. Milliseconds differ from machine to machine
and from minute to minute; the ratios are what to compare.
"""

import platform
import statistics
import subprocess
import sys

import packlearn as pl
from tests import by_hand
from tests.bench.timing import median_ms

RUNS = 30
SLOW_RUNS = 5
IMPORT_RUNS = 11
COUNTS = range(1, 25)

LANTERN = by_hand.Device((("current", 0.6, 1.0),), (5.5, 8.7), 9.0)
BEACON = by_hand.Device(
    (("current", 0.01, 50), ("current", 0.5, 10)),
    (2.7, 12.0),
    60.0,
    ("converter", 9.0, 0.85, 0.002),
)

IMPORT = """
import time
start = time.perf_counter()
import numpy
middle = time.perf_counter()
import packlearn
packlearn.Cell, packlearn.Pack, packlearn.Load, packlearn.Need, packlearn.size
end = time.perf_counter()
print(middle - start, end - middle)
"""


def lantern_need():
    """A steady current."""
    return pl.Need(load=pl.Load.current(0.6), run_time_h=9.0, voltage_v=(5.5, 8.7))


def beacon_need():
    """A profile behind a converter, whose sag has to be solved for."""
    load = pl.Load.profile([(pl.Load.current(0.01), 50), (pl.Load.current(0.5), 10)])
    stage = pl.Converter(output_v=9.0, efficiency=0.85, input_v=(2.7, 12.0), idle_a=0.002)
    return pl.Need(load=load.through(stage), run_time_h=60.0)


def plain_loop(device):
    """How many packs meet the need, one after the other in plain Python."""
    fits = 0
    for cell in pl.catalogue().values():
        for series in COUNTS:
            for parallel in COUNTS:
                worked_out = by_hand.figures(device, cell, series, parallel)
                fits += not by_hand.missed(worked_out)
    return fits


def sizing_row(name, need, device):
    """One line of the table: the whole catalogue x S 1-24 x P 1-24."""
    # Both must find the same, or the comparison says nothing.
    assert pl.size(need).fit_count == plain_loop(device), name
    quick = median_ms(lambda: pl.size(need).fit_count, RUNS)
    slow = median_ms(lambda: plain_loop(device), SLOW_RUNS)
    # The loop looks for the sag in its own way, so a profile's ratio says less.
    return name, quick, "plain Python loop", slow, slow / quick


def best_row(need):
    """Sizing with what a panel shows of it: the best choice of each cell, in words."""

    def show():
        best = pl.size(need).best_of_each_cell()
        return [(c.title, c.why_not, c.binds_words, c.pieces_words) for c in best]

    quick, yardstick = median_ms(lambda: pl.size(need).fit_count, RUNS), median_ms(show, RUNS)
    return "size and its words", yardstick, "size alone", quick, quick / yardstick


def import_row():
    """Importing packlearn with its public parts, beyond numpy."""
    pairs = []
    for _ in range(IMPORT_RUNS):
        done = subprocess.run(
            [sys.executable, "-c", IMPORT], capture_output=True, text=True, check=True
        )
        pairs.append([1000 * float(seconds) for seconds in done.stdout.split()])
    numpy_ms, ours_ms = (statistics.median(each) for each in zip(*pairs, strict=True))
    return "import packlearn", ours_ms, "import numpy", numpy_ms, numpy_ms / ours_ms


def main():
    """Prints the table."""
    packs = len(pl.catalogue()) * len(COUNTS) ** 2
    print(f"Python {platform.python_version()}, {platform.machine()}; {packs} packs; medians of")
    print(f"{RUNS} runs (plain loops {SLOW_RUNS}, imports {IMPORT_RUNS})")
    print(f"{'job':28}{'ms':>9}   {'beside':20}{'ms':>9}{'ratio':>9}")
    for name, ms, beside, beside_ms, ratio in (
        sizing_row("size, steady current", lantern_need(), LANTERN),
        sizing_row("size, profile and converter", beacon_need(), BEACON),
        best_row(lantern_need()),
        import_row(),
    ):
        print(f"{name:28}{ms:9.1f}   {beside:20}{beside_ms:9.1f}{ratio:9.1f}")
