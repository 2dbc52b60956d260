"""Wires, fuses, transport and worksheets against their sources; see ``published_building.py``."""

import collections
import sys
from pathlib import Path

import pytest
from published_building import ROWS

import packlearn

HOME = Path(packlearn.__file__).parent
# Every row of these themes of the project's list of published values.
COUNTS = {"T4": 37, "T5": 78, "T6": 20, "T7": 19}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_published_value(row):
    computed = row.compute()
    assert type(computed) is float
    slack = row.tolerance or 1e-9 * max(1.0, abs(row.expected))
    assert abs(computed - row.expected) <= slack * (1 + 1e-6), f"{computed} {row.unit}"


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_the_value_comes_out_of_the_library(row):
    called = set()

    def watch(frame, event, _):
        path = Path(frame.f_code.co_filename)
        if event == "call" and HOME in path.parents:
            called.add(path.relative_to(HOME).as_posix())

    before = sys.getprofile()
    sys.setprofile(watch)
    try:
        row.compute()
    finally:
        sys.setprofile(before)
    # Single numbers of a table are read from it, not worked out.
    tables = {"T6-03", "T6-04", "T6-05", "T7-08"} | {f"T5-{n}" for n in range(46, 60)}
    tables |= {f"T4-{n}" for n in range(53, 64)}
    assert called - {"cells.py", "_cell_checks.py"} or row.id in tables


def test_no_row_is_lost():
    themes = collections.Counter(row.id.split("-")[0] for row in ROWS)
    assert themes == COUNTS
    assert len({row.id for row in ROWS}) == len(ROWS) == 154


def test_every_row_says_where_it_comes_from():
    for row in ROWS:
        assert len(row.source) > 12, row.id
        assert row.inputs, row.id
        assert row.tolerance <= 0.1 * abs(row.expected), row.id
