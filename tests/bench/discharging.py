"""How long runs take: beside a circuit simulator, by number of packs, and of the memory's speed.

Part of ``python -m tests.bench``. The simulator gets the same netlist and the same step as our
run and its usual accuracy; its time is that of the whole program, start included.
"""

import functools
import platform
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from unittest import mock

import numpy as np

import packlearn as pl
from packlearn._simulation import cellwise
from tests import spice
from tests.bench.timing import median_ms

SIZES = (100, 1000, 10_000, 100_000)
AMPS = 1.8
SCATTER = pl.Spread(capacity=0.03, resistance=0.1)
# Of a cell a step reads charge, slow part, current, slope and two scales, and writes four of them.
BYTES_A_CELL_STEP = 8 * (6 + 4)
COPIED_MB = 256


def pack():
    """6S3P of NiMH cells."""
    return pl.Pack(pl.cell("nimh-aa"), 6, 3)


def scattered(packs):
    """So many scattered packs from full to the end."""
    return pl.discharge(pack(), pl.Load.current(AMPS), spread=SCATTER, packs=packs, seed=1)


def uneven():
    """One pack with a cell that is nearly empty."""
    start = np.ones((6, 3))
    start[2, 1] = 0.05
    return pl.discharge(pack(), pl.Load.current(AMPS), start_charge=start)


def even():
    """One pack of equal cells."""
    return pl.discharge(pack(), pl.Load.current(AMPS))


def month():
    """More than a month of sleeping and waking."""
    load = pl.Load.profile([(pl.Load.current(0.0002), 595.0), (pl.Load.current(0.3), 5.0)])
    run = pl.discharge(pl.Pack(pl.cell("alkaline-d"), 4, 1), load, until_v=3.6)
    assert run.run_time_h > 30 * 24
    return run


def simulator_ms(runs):
    """Median time [ms] of ngspice for one pack, and its points; None where it is missing."""
    program = shutil.which("ngspice")
    if not program:
        return None, 0
    run = uneven()
    rows, share = [[pl.cell("nimh-aa")] * 3] * 6, np.ones((6, 3))
    with tempfile.TemporaryDirectory() as folder:
        netlist = spice.netlist(
            rows, share, f"Il {{top}} 0 {AMPS}", 3600 * even().run_time_h, len(run.time_h)
        )
        Path(folder, "pack.cir").write_text(netlist, encoding="utf-8")
        job = functools.partial(
            subprocess.run, [program, "-b", "pack.cir"], cwd=folder, capture_output=True
        )
        ms = median_ms(job, runs)
        return ms, len(np.loadtxt(Path(folder, spice.FOUND)))


def counted(job):
    """How many cell-steps a job takes."""
    steps = []

    def count(build, state, *more):
        steps.append(state.charge_ah.size)
        return step(build, state, *more)

    step = cellwise.step
    with mock.patch.object(cellwise, "step", count):
        job()
    return sum(steps)


def copied_gb_s():
    """Bytes a second [GB/s] that copying a large array reads and writes."""
    source = np.ones(COPIED_MB * 1_000_000 // 8)
    target = np.empty_like(source)
    ms = median_ms(lambda: np.copyto(target, source), 5)
    return 2 * source.nbytes / ms / 1e6


CHILD = """
import sys, time
from tests.bench import discharging
discharging.scattered(10)
try:
    import resource
    held = lambda: resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
except ImportError:
    held = lambda: float("nan")
before, start = held(), time.process_time()
discharging.scattered(int(sys.argv[1]))
print(time.process_time() - start, held() - before)
"""


def alone(packs):
    """Seconds of the processor and MB of memory that many packs take in a fresh process."""
    done = subprocess.run(
        [sys.executable, "-c", CHILD, str(packs)], capture_output=True, text=True, check=True
    )
    seconds, kilobytes = (float(word) for word in done.stdout.split())
    return seconds, kilobytes / 1000


def by_size(sizes):
    """Rows of packs, processor seconds, cell-steps, nanoseconds of each, and MB held."""
    for packs in sizes:
        seconds, megabytes = alone(packs)
        # Steps are counted on the first packs only: the others take as many.
        some = min(packs, 1000)
        steps = counted(lambda some=some: scattered(some)) * packs / some
        yield packs, seconds, steps, 1e9 * seconds / steps, megabytes


def machine():
    """What it ran on."""
    model = platform.processor() or platform.machine()
    known = Path("/proc/cpuinfo")
    if known.exists():
        lines = known.read_text(encoding="utf-8", errors="replace").splitlines()
        names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
        model = f"{len(names)} x {names[0]}" if names else model
    return f"{model}; Python {platform.python_version()}, numpy {np.__version__}"


def print_one(name, ms, beside=None, bar=None):
    """One line: time, and the ratio to the simulator's."""
    ratio = f"{beside / ms:9.1f}" if beside else f"{'-':>9}"
    wanted = f"   (at least {bar})" if bar else ""
    print(f"{name:34}{ms:9.2f}{ratio}{wanted}")


def main(sizes=SIZES, runs=11):
    """Prints the tables."""
    print(f"\nDischarging on {machine()}")
    beside, points = simulator_ms(max(runs // 2, 1))
    if beside:
        print(f"ngspice, one 6S3P pack, {points} points: {beside:.1f} ms")
    else:
        print("ngspice is not there; no ratios")
    print(f"{'job':34}{'ms':>9}{'ratio':>9}")
    print_one("6S3P, equal cells", median_ms(even, runs), beside, "5")
    print_one("6S3P, one cell nearly empty", median_ms(uneven, runs), beside)
    many = min(1000, max(sizes))
    each = median_ms(lambda: scattered(many), max(runs // 2, 1)) / many
    print_one(f"one of {many} scattered packs", each, beside, "150")
    print_one("a month of sleep and wake (< 50)", median_ms(month, runs))
    print(f"\n{'packs':>9}{'CPU s':>9}{'cell-steps':>13}{'ns each':>9}{'MB held':>9}")
    speed = 0.0
    for packs, seconds, steps, ns, megabytes in by_size(sizes):
        print(f"{packs:9}{seconds:9.2f}{steps:13.3g}{ns:9.0f}{megabytes:9.0f}")
        speed = max(speed, 1e9 / ns)
    copied = copied_gb_s()
    share = speed * BYTES_A_CELL_STEP / (copied * 1e9)
    print(
        f"{speed / 1e6:.1f} million cell-steps a second; {BYTES_A_CELL_STEP} bytes of state each: "
        f"{100 * share:.1f} % of the {copied:.1f} GB/s that copying moves"
    )
