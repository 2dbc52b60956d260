"""What share of its charge a rested voltage stands for."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from measured import measured

from packlearn import curves
from packlearn.cells import Cell, Curve, catalogue, cell

# Alkaline cells by a table of rested voltages, the others by their line at no current.
BY_LINE = [name for name, one in catalogue().items() if one.chemistry != "alkaline"]
ALKALINE = [name for name, one in catalogue().items() if one.chemistry == "alkaline"]


@pytest.mark.parametrize("name", BY_LINE)
def test_the_truth_lies_inside(name):
    one = cell(name)
    whole = curves.capacity_ah(one, 0.0)
    for left in (0.95, 0.8, 0.5, 0.2, 0.05):
        reading = curves.open_circuit_v(one, (1 - left) * whole)
        low, high = curves.charge_left(one, reading, 0.005 * one.cells_inside)
        assert 0.0 <= low <= left <= high <= 1.0


@pytest.mark.parametrize("name", ALKALINE)
def test_alkaline_cells_rest_as_measured(name):
    # One hour of rest, Barresi et al. (CC BY 4.0).
    one, table = cell(name), measured("alkaline_rest").figures["table"]
    for left, volts in zip(table.charge_left_percent, table.rest_1h_v, strict=True):
        low, high = curves.charge_left(one, one.cells_inside * volts)
        assert (low, high) == pytest.approx((left / 100, left / 100), abs=0.01)
    # The line at no current would say 80 % at half charge: a cell rests for hours.
    drawn = 0.5 * one.capacity_ah
    assert curves.open_circuit_v(one, drawn) < one.cells_inside * 1.31 < one.cells_inside * 1.3325


@pytest.mark.parametrize("name", list(catalogue()))
def test_it_is_a_share_whatever_is_read(name):
    one = cell(name)
    assert curves.charge_left(one, 2 * one.full_voltage_v) == (1.0, 1.0)
    assert curves.charge_left(one, 0.2 * one.end_voltage_v) == (0.0, 0.0)
    last = 0.0
    for part in range(50):
        reading = one.end_voltage_v + part / 49 * (one.full_voltage_v - one.end_voltage_v)
        low, high = curves.charge_left(one, reading, 0.01)
        assert 0.0 <= low <= high <= 1.0
        assert low >= last
        last = low
    assert last > 0.9


def test_a_sharper_meter_says_more():
    one, spans = cell("nimh-aa"), []
    for error in (0.001, 0.005, 0.02):
        low, high = curves.charge_left(one, 1.29, error)
        spans.append(high - low)
    assert spans == sorted(spans)
    # 1.29 V, read to 20 mV: NiMH leaves a third of its charge open.
    assert spans[-1] > 0.3
    assert spans[0] < 0.1


def test_curves_whose_line_at_no_current_rises_in_a_knee_can_be_read():
    # The measured alkaline curves do: 1.257 V at 40 %, 1.266 V at 30 % left. Of another
    # chemistry, so that no table of rested voltages stands in for them.
    logs = measured("alkaline_aa").curves.values()
    pair = tuple(Curve(one.current_a, one.charge_ah, one.voltage_v) for one in logs)
    own = Cell("own", "as told", 1.5, 2.4, 1.0, 0.2, full_voltage_v=1.6, end_voltage_v=0.8,
               curves=pair)  # fmt: skip
    assert curves.open_circuit_v(own, 1.44) < curves.open_circuit_v(own, 1.68)
    whole = curves.capacity_ah(own, 0.0)
    # The line stands at 1.26 V twice: before the knee and past it, at 1.92 Ah.
    low, high = curves.charge_left(own, 1.26, 0.005)
    assert curves.open_circuit_v(own, 1.92) == pytest.approx(1.26, abs=0.001)
    assert low < 1 - 1.92 / whole < 0.3 < 0.5 < high < 0.6
    for left in np.linspace(0.0, 1.0, 101):
        reading = curves.open_circuit_v(own, (1 - left) * whole)
        low, high = curves.charge_left(own, reading, 0.001)
        assert low <= left + 1e-9
        assert high >= left - 1e-9


@st.composite
def cells(draw):
    """A cell of two curves whose line at no current falls, stands or rises from knot to knot."""
    count = draw(st.integers(2, 8))
    steps = st.lists(st.floats(0.05, 1.0), min_size=count, max_size=count)
    falls = st.lists(st.floats(0.0, 0.2), min_size=count, max_size=count)
    charge = np.concatenate(([0.0], np.cumsum(draw(steps))))
    low_v = 4.0 - np.concatenate(([0.0], np.cumsum(draw(falls))))
    drop_v = 0.1 + np.concatenate(([0.0], np.cumsum(draw(falls))))
    given = [Curve(a, tuple(charge), tuple(v)) for a, v in ((1.0, low_v), (2.0, low_v - drop_v))]
    return Cell("drawn", "as told", 3.0, charge[-1], 5.0, 0.1, full_voltage_v=6.0,
                end_voltage_v=1.0, curves=given)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(cells(), st.floats(0.0, 1.0), st.sampled_from([0.0, 0.001, 0.02]))
def test_the_truth_lies_inside_whatever_the_line(one, left, error):
    reading = curves.open_circuit_v(one, (1 - left) * curves.capacity_ah(one, 0.0))
    low, high = curves.charge_left(one, reading, error)
    assert 0.0 <= low <= left + 1e-9
    assert 1.0 >= high >= left - 1e-9
    # And the span goes no further than a charge that shows such a reading.
    whole = curves.capacity_ah(one, 0.0)
    for share, edge_v in ((low, reading - error), (high, reading + error)):
        shown = curves.open_circuit_v(one, (1 - share) * whole)
        assert share in (0.0, 1.0) or shown == pytest.approx(edge_v, abs=1e-6)
