"""What books print of circuits of sources, worked out as wirings; see ``published_wiring.py``."""

import collections
import functools

import published
import pytest
from published_wiring import ROWS

from packlearn import wiring
from packlearn._nodes import Network

# Never fewer than were once reached.
LEAST_ROWS = 91
LEAST_OF_THEME_1 = 87
# Values printed with one digit only.
COARSE = {"T1-41", "T1-53", "T1-59", "T1-60", "T1-61", "T1-80", "T1-120", "T1-128"}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_published_value(row, monkeypatch):
    solved = []

    class Watched(Network):
        @functools.cached_property
        def node_v(self):
            solved.append(self)
            return super().node_v

    monkeypatch.setattr(wiring, "Network", Watched)
    computed = row.compute()
    assert type(computed) is float
    slack = row.tolerance or 1e-9
    assert abs(computed - row.expected) <= slack, f"{computed} {row.unit}"
    # It came out of the nodal analysis.
    assert solved


def test_no_row_is_lost():
    themes = collections.Counter(row.id.split("-")[0] for row in ROWS)
    assert themes["T1"] >= LEAST_OF_THEME_1 >= 60
    assert len(ROWS) >= LEAST_ROWS
    assert len({row.id for row in ROWS}) == len(ROWS)


def test_every_row_says_where_it_comes_from():
    for row in ROWS:
        assert len(row.source) > 12, row.id
        assert row.inputs, row.id
        assert row.tolerance <= 0.1 * abs(row.expected) or row.id in COARSE, row.id


def test_many_rows_are_worked_out_by_both_ways():
    both = {row.id for row in ROWS} & {row.id for row in published.ROWS}
    assert len(both) >= 63
