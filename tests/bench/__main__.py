"""Runs the benchmarks: ``python -m tests.bench``."""

from tests.bench import bench, discharging, wiring

bench.main()
discharging.main()
wiring.main()
