"""Runs the benchmarks: ``python -m tests.bench``."""

from tests.bench import (
    bench,
    discharging,
    marking_answers,
    paper,
    pictures_of_wiring,
    practising,
    wiring,
)

bench.main()
discharging.main()
wiring.main()
pictures_of_wiring.main()
practising.main()
marking_answers.main()
paper.main()
