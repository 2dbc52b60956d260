"""What books, courses and notes print, worked out with packlearn; see ``published.py``."""

import collections
import sys
from pathlib import Path

import published
import pytest

import packlearn

# Never fewer than were once reached.
LEAST_ROWS = 122
LEAST_OF_THEMES = {"T1": 65, "T2": 22, "T3": 5, "T8": 8, "T9": 18}

HOME = Path(packlearn.__file__).parent


@pytest.mark.parametrize("row", published.ROWS, ids=lambda row: row.id)
def test_published_value(row):
    computed = row.compute()
    assert type(computed) is float
    slack = row.tolerance or 1e-9 * max(1.0, abs(row.expected))
    assert abs(computed - row.expected) <= slack, f"{computed} {row.unit}"


@pytest.mark.parametrize("row", published.ROWS, ids=lambda row: row.id)
def test_the_value_comes_out_of_the_library(row):
    parts = {
        "rules.py",
        "packs.py",
        "loads.py",
        "cells.py",
        "_writing.py",
        "curves.py",
        "peukert.py",
    }
    called = set()

    def watch(frame, event, _):
        path = Path(frame.f_code.co_filename)
        if event == "call" and path.parent == HOME:
            called.add(path.name)

    before = sys.getprofile()
    sys.setprofile(watch)
    try:
        row.compute()
    finally:
        sys.setprofile(before)
    # Making a cell alone would not work anything out.
    assert (called & parts) - {"cells.py"} or row.id in {"T3-19", "T3-20"}


def test_no_row_is_lost():
    assert len(published.ROWS) >= LEAST_ROWS
    themes = collections.Counter(row.id.split("-")[0] for row in published.ROWS)
    for theme, least in LEAST_OF_THEMES.items():
        assert themes[theme] >= least, theme
    assert len({row.id for row in published.ROWS}) == len(published.ROWS)


def test_every_row_says_where_it_comes_from():
    for row in published.ROWS:
        assert len(row.source) > 12, row.id
        assert row.inputs, row.id
        assert row.unit, row.id
        assert row.tolerance >= 0, row.id
        assert row.tolerance <= 0.1 * abs(row.expected) or row.id in COARSE, row.id


# A value printed with one digit only has a tolerance that is large beside it.
COARSE = {"T1-53", "T1-80", "T1-120", "T3-20"}
