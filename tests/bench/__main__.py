"""Runs the benchmarks: ``python -m tests.bench``."""

from tests.bench import (
    bench,
    discharging,
    marking_answers,
    panel_moves,
    paper,
    pictures_of_wiring,
    practising,
    wiring,
)

bench.main()
discharging.main()
wiring.main()
pictures_of_wiring.main()
panel_moves.main()
practising.main()
marking_answers.main()
paper.main()
