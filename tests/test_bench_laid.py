"""The benches of the lessons: what lies on them at the start."""

import pytest

from packlearn import panels
from packlearn.errors import PackError, UnknownName


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A learner's folder of the test's own."""
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "learner"))
    monkeypatch.delenv("PACKLEARN_SEAT", raising=False)


def test_a_pack_lies_joined_and_its_cells_read_as_rested_ones_do():
    bench = panels.bench_of("row", 6)
    assert bench.wiring.name == "6S1P"
    low, high = bench.wiring.cell_at("1A").cell.rested_voltage_v
    assert 6 * low < bench.wiring.reading_v("6A+", "1A-") < 6 * high


def test_loose_cells_have_no_link_and_no_lead():
    wiring = panels.bench_of("six", 2, 3, joined=False).wiring
    assert (wiring.links, wiring.red, wiring.black) == ((), None, None)
    assert wiring.labels == ("1A", "1B", "1C", "2A", "2B", "2C")


def test_one_link_is_left_out_and_its_pack_is_open():
    wiring = panels.bench_of("open", 6, without=("5A+", "6A-")).wiring
    assert len(wiring.links) == 4
    assert not wiring.linked("5A+", "6A-")
    assert wiring.reading_v("6A+", "1A-") == pytest.approx(0, abs=1e-9)


def test_settings_of_the_bench_and_another_cell_are_passed_on():
    bench = panels.bench_of("volts", 4, of="nimh-c", can=("meter",))
    assert bench.can == ("meter",)
    assert bench.wiring.cell_at("1A").cell.name == "nimh-c"


def test_benches_of_different_names_keep_their_states_apart():
    first = panels.bench_of("first", 6)
    first.choose("2A+")
    first.press("turn")
    assert panels.bench_of("first", 6).wiring.cell_at("2A").turned
    assert not panels.bench_of("second", 6).wiring.cell_at("2A").turned


def test_no_such_cell_or_link_is_told():
    with pytest.raises(PackError):
        panels.bench_of("row", 6, of="nimh-zz")
    with pytest.raises(UnknownName):
        panels.bench_of("row", 6, without=("1A+", "3A-"))
