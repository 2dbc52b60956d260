"""How long wirings take to solve and to explain, beside numpy's own solving of such a matrix.

Part of ``python -m tests.bench``. A wiring is made afresh each time, so that nothing solved
before is found again; wrong ones count, since they have the most nodes.
"""

from dataclasses import replace

import numpy as np

import packlearn as pl
from packlearn import finding
from tests.bench.timing import median_ms

RUNS = 30
LOAD_OHM = 8.0
# Most milliseconds that solving may take, by series and parallel count.
MOST_MS = {(6, 4): 2, (12, 6): 10}
MOST_EXPLAIN_MS = 1000


def wrong(series, parallel):
    """Strings with one cell turned and one link of resistance: many nodes, and no short cut."""
    pack = pl.Pack(pl.cell("nimh-aa"), series, parallel)
    return pl.Wiring.of(pack, strings=True).turn("3B").link("1A+", "2A-", ohm=0.01)


def solve(wiring):
    """All that a bench shows under a load: currents of cells and links, and a reading."""
    fresh = replace(wiring)
    fresh.currents_a(LOAD_OHM)
    fresh.link_currents_a(LOAD_OHM)
    return fresh.reading_v(fresh.red, fresh.black, load_ohm=LOAD_OHM)


def matrix_ms(wiring, runs):
    """Median time [ms] of numpy for one set of linear equations with a row for each contact."""
    size = len(wiring.contacts)
    matrix = np.eye(size) + np.random.default_rng(1).random((size, size)) / size
    return median_ms(lambda: np.linalg.solve(matrix, np.ones(size)), runs)


def explain():
    """4S3P with a turned cell, read at every cell with and without load; nothing kept before."""
    finding._suspects.cache_clear()
    finding._shown_v.cache_clear()
    planned = pl.Wiring.of(pl.Pack(pl.cell("nimh-aa"), 4, 3))
    built = planned.turn("3B")
    points = [(label + "+", label + "-", load) for label in built.labels for load in (None, 2.0)]
    readings = [
        pl.Reading(red, black, built.reading_v(red, black, load_ohm=load), load)
        for red, black, load in points
    ]
    return pl.explain(planned, readings)[0]


def print_one(name, ms, most_ms, beside):
    """One line: time, the most it may take, and how many times the yardstick's."""
    print(f"{name:34}{ms:9.2f}   (under {most_ms})   {ms / beside:9.1f}")


def main(runs=RUNS):
    """Prints the table."""
    print(f"\n{'wirings':34}{'ms':>9}   bar, and times of numpy's solving alone")
    for (series, parallel), most_ms in MOST_MS.items():
        wiring = wrong(series, parallel)
        beside = matrix_ms(wiring, runs)
        ms = median_ms(lambda wiring=wiring: solve(wiring), runs)
        print_one(f"solve {series * parallel} cells, one turned", ms, most_ms, beside)
    assert explain().kind == "turned"
    ms = median_ms(explain, max(runs // 6, 1))
    print_one("explain readings of 4S3P", ms, MOST_EXPLAIN_MS, matrix_ms(wrong(4, 3), runs))
