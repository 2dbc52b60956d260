"""Runs the benchmarks: ``python -m tests.bench``."""

from tests.bench import bench, discharging

bench.main()
discharging.main()
