"""How long the pictures of a wiring take.

Part of ``python -m tests.bench``. Packs come out alike each time; wirings by dice have turned
cells, links across the holder and links with resistance, and are the slowest there are.
"""

import random

import packlearn as pl
from packlearn.pictures.bench import circuit_view, holder_view
from tests.bench.timing import median_ms

RUNS = 100
PACKS = ((6, 1), (8, 3), (12, 2), (12, 6))


def by_dice(cells, seed=1):
    """A wiring of so many cells, as many links, and two leads."""
    dice = random.Random(seed)
    wiring = pl.Wiring()
    for place in range(cells):
        label = f"{place // 4 + 1}{'ABCD'[place % 4]}"
        wiring = wiring.place(label, pl.cell("nimh-aa"), turned=dice.random() < 0.3)
    for _ in range(cells):
        ohm = 0.5 if dice.random() < 0.1 else 0
        wiring = wiring.link(*dice.sample(wiring.contacts, 2), ohm=ohm)
    return wiring.leads(*dice.sample(wiring.contacts, 2))


def wirings():
    """Names and wirings to be drawn."""
    for series, parallel in PACKS:
        pack = pl.Pack(pl.cell("nimh-aa"), series, parallel)
        yield pack.name, pl.Wiring.of(pack)
    yield "24 cells by dice", by_dice(24)


def first_ms(view):
    """The first picture of 24 cells whose labels were never drawn, nothing remembered [ms]."""
    fresh = []
    for letter in "FGHIJKLMNOPQRSTUVWXYZ":
        wiring = pl.Wiring()
        for number in range(1, 25):
            wiring = wiring.place(f"{number}{letter}", pl.cell("nimh-aa"))
        fresh.append(wiring)
    ahead = iter(fresh)
    return median_ms(lambda: view(next(ahead)), len(fresh))


def main(runs=RUNS):
    """Prints the table.

    Args:
        runs: how often each picture is drawn.
    """
    print(f"Pictures of a wiring with meter and load, ms, median of {runs} runs")
    print(f"{'wiring':28}{'holder':>9}{'circuit':>9}")
    for name, wiring in wirings():
        more = {"red": "2A+", "black": "1A-", "reading": "2.70 V", "load_ohm": 8}
        holder = median_ms(lambda w=wiring, m=more: holder_view(w, **m), runs)
        circuit = median_ms(lambda w=wiring, m=more: circuit_view(w, **m), runs)
        print(f"{name:28}{holder:9.2f}{circuit:9.2f}")
    fresh = first_ms(holder_view), first_ms(circuit_view)
    print(f"{'24 cells, holder as yet new':28}{fresh[0]:9.2f}{fresh[1]:9.2f}")
