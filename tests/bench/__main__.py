"""Runs the benchmark: ``python -m tests.bench``."""

from tests.bench.bench import main

main()
