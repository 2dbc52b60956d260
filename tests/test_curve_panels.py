"""Panels with curves and unlike cells: sliders move them, and their numbers are the library's."""

import dataclasses
import html
import itertools
import re
import threading
import time

import ipywidgets
import numpy as np
import pytest
from test_panels import EXPLORERS as SIMPLE_EXPLORERS

import packlearn
from packlearn import Converter, Load, Pack, curves, discharge, panels, rules
from packlearn.discharging import Spread, run_times_h
from packlearn.panels import base, cell_pack_explorers, curve_figures
from packlearn.panels.cell_pack_explorers import PACKS, smaller
from packlearn.panels.illustrations import illustration
from packlearn.pictures.drawing import text_width
from packlearn.quantities import write
from packlearn.tasks.bank import Task
from packlearn.tasks.variants import Variant
from packlearn.words import say, word

NIMH, ALKALINE = packlearn.cell("nimh-aa"), packlearn.cell("alkaline-aa")
EVERY_CELL = tuple(packlearn.catalogue())
EXPLORERS = {
    "sheet": panels.DataSheetExplorer,
    "load": lambda: panels.LoadExplorer(cells=("nimh-aa", "alkaline-aa"), low_v=6.6),
    "kinds": lambda: panels.LoadExplorer(kinds=("current", "power", "converter", "regulator")),
    "reading": panels.ChargeReadingExplorer,
    "sag": lambda: panels.SagExplorer(low_v=4.0),
    "sag-counts": lambda: panels.SagExplorer(("series", "parallel", "each_ohm", "current")),
    "sag-power": lambda: panels.SagExplorer(("each_ohm", "parallel", "power"), power_w=3.0),
    "unlike": lambda: panels.UnlikeExplorer(start=60),
    "join": panels.JoinExplorer,
    "scatter": panels.ScatterExplorer,
}
ALL_EXPLORERS = SIMPLE_EXPLORERS | EXPLORERS
# The slider of the kind of load that is not chosen moves nothing.
IDLE = {"load": {"kind", "power"}, "kinds": {"power", "cell"}}


def stops(control):
    """Lowest, middle and highest value of a control; every option of a list."""
    if isinstance(control, ipywidgets.Dropdown):
        return [value for _, value in control.options]
    middle = (control.min + control.max) / 2
    return [control.min, type(control.value)(middle), control.max]


def sentence(panel):
    """What a screen reader is told of the picture."""
    return html.unescape(re.search(r'aria-label="([^"]*)"', panel.picture.value)[1])


def said(panel):
    return html.unescape(re.sub(r"<[^>]+>", " ", panel.says.value))


def head(panel):
    return re.findall(r'width="(\d+)" height="(\d+)"', panel.picture.value)


def unbroken(panel):
    assert panel.errors == []
    assert panel.alert.value == ""
    assert "<svg" in panel.picture.value
    assert not re.search(r"[{}]|\.\.|\b(nan|inf|None)\b", said(panel) + sentence(panel))


# Every panel.


def every_control_moves(panel, idle=()):
    """Whether each control changes the picture, unless it is idle, and nothing breaks or grows."""
    size = head(panel)
    for key, control in panel.controls.items():
        start, shown = control.value, {panel.picture.value}
        for stop in stops(control):
            control.value = stop
            unbroken(panel)
            assert head(panel) == size
            shown.add(panel.picture.value)
        control.value = start
        assert (len(shown) > 1) == (key not in idle), key


@pytest.mark.parametrize("name", EXPLORERS)
def test_every_control_moves_the_panel_and_nothing_breaks(name):
    every_control_moves(EXPLORERS[name](), IDLE.get(name, ()))


@pytest.mark.parametrize("name", [name for name in EXPLORERS if name != "scatter"])
def test_the_corners_of_all_sliders_together_break_nothing(name):
    panel = EXPLORERS[name]()
    sliders = [c for c in panel.controls.values() if not isinstance(c, ipywidgets.Dropdown)]
    for corner in itertools.product((0, -1), repeat=len(sliders)):
        for control, end in zip(sliders, corner, strict=True):
            control.value = stops(control)[end]
        unbroken(panel)


@pytest.mark.parametrize("name", EXPLORERS)
def test_controls_are_labelled_and_a_screen_reader_hears_the_picture(name):
    panel = EXPLORERS[name]()
    for control in panel.controls.values():
        assert control.description
        assert control.tooltip
        # A longer label ends in dots; its letters are 13 px high.
        room = 13 * float(control.style.description_width.removesuffix("em"))
        assert text_width(control.description, 13) <= room, control.description
    assert len(sentence(panel)) > 20
    assert "aria-hidden" in panel.picture.value


@pytest.mark.parametrize(
    "make",
    [
        lambda: panels.DataSheetExplorer(cells=EVERY_CELL),
        lambda: panels.ChargeReadingExplorer(cells=EVERY_CELL),
        lambda: panels.LoadExplorer(cells=EVERY_CELL, cell="nimh-aa"),
    ],
)
def test_every_cell_of_the_catalogue_can_be_shown_one_after_the_other(make):
    panel = make()
    for name in [*EVERY_CELL, *reversed(EVERY_CELL)]:
        panel.controls["cell"].value = name
        unbroken(panel)
        for control in panel.controls.values():
            if not isinstance(control, ipywidgets.Dropdown):
                assert control.min <= control.value <= control.max
                assert control.min < control.max


# Callbacks run in threads of their own, so a slider may move while a panel is at work.


def shown(panel):
    return panel.picture.value, panel.says.value, getattr(panel, "table", panel.says).value


def moved_elsewhere(control, value):
    """Move a control as another thread does: its value is set, its callback waits its turn."""
    mover = threading.Thread(target=setattr, args=(control, "value", value))
    mover.start()
    while control.value != value:
        time.sleep(0.001)
    return mover


def other_value(control):
    return next(stop for stop in stops(control) if stop != control.value)


@pytest.mark.parametrize("name", ALL_EXPLORERS)
def test_a_control_that_moves_meanwhile_never_mixes_two_settings(name):
    movable = [key for key, c in ALL_EXPLORERS[name]().controls.items() if len(stops(c)) > 1]
    for key in movable:
        panel, other, movers = ALL_EXPLORERS[name](), ALL_EXPLORERS[name](), []
        before, value, read = shown(panel), other_value(panel.controls[key]), panel.value
        other.controls[key].value = value

        def read_then_moved(asked, key=key, panel=panel, movers=movers, value=value, read=read):
            found = read(asked)
            if asked == key and not movers:
                movers.append(moved_elsewhere(panel.controls[key], value))
            return found

        panel.value = read_then_moved
        with panel._turn:
            panel._moved()
            assert shown(panel) == before, key
        movers[0].join()
        assert shown(panel) == shown(other), key
        assert panel.errors == []


def test_a_thousand_packs_under_way_belong_to_one_setting(monkeypatch):
    panel, other = (panels.ScatterExplorer(series=2, night_h=3.1) for _ in range(2))
    before, movers = shown(panel), []
    other.controls["series"].value = 1

    def slow(*args, **more):
        if not movers:
            movers.append(moved_elsewhere(panel.controls["series"], 1))
        return run_times_h(*args, **more)

    monkeypatch.setattr(cell_pack_explorers, "run_times_h", slow)
    with panel._turn:
        panel._moved()
        assert shown(panel) == before
    movers[0].join()
    assert shown(panel) == shown(other) != before


def test_an_older_run_that_ends_late_covers_no_newer_one(monkeypatch):
    panel, other = panels.UnlikeExplorer(), panels.UnlikeExplorer(capacity=50)
    begun, go_on = threading.Event(), threading.Event()

    def slow(*args, **more):
        begun.set()
        assert go_on.wait(60)
        return discharge(*args, **more)

    monkeypatch.setattr(cell_pack_explorers, "discharge", slow)
    older = moved_elsewhere(panel.controls["capacity"], 80)
    assert begun.wait(60)
    newer = moved_elsewhere(panel.controls["capacity"], 50)
    go_on.set()
    for mover in (older, newer):
        mover.join()
    assert shown(panel) == shown(other)


# Sliders that rescale.


@pytest.mark.parametrize(("span", "step"), [(2.0, 0.05), (0.5, 0.01), (100, 2), (0.22, 0.005)])
def test_steps_are_1_2_or_5(span, step):
    assert curve_figures.nice_step(span, 40) == pytest.approx(step)


@pytest.mark.parametrize("ends", [(10.0, 14.7), (0.1, 0.2), (1.0, 1.45)])
def test_a_slider_takes_any_other_scale(ends):
    for before in ((0.0, 1.0), (50.0, 60.0)):
        control = ipywidgets.FloatSlider(min=before[0], max=before[1], value=before[1])
        curve_figures.rescale(control, *ends, ends[0] + 0.05, 0.05)
        assert (control.min, control.max) == pytest.approx((ends[0], ends[1]))
        assert control.value == pytest.approx(ends[0] + 0.05)


# Data sheet.


def test_the_data_sheet_shows_what_the_curves_say():
    panel = panels.DataSheetExplorer()
    panel.controls["current"].value = 0.3
    panel.controls["to_v"].value = 1.0
    panel.controls["cursor"].value = 0.8
    found = discharge(Pack(ALKALINE, 1, 1), Load.current(0.3), until_v=1.0)
    charge_ah = found.charge_ah[-1]
    assert charge_ah == pytest.approx(curves.capacity_ah(ALKALINE, 0.3, 1.0), rel=0.01)
    assert f"and is {write(found.energy_wh, 'Wh')}." in said(panel)
    assert f"it gives {write(charge_ah, 'Ah')}." in said(panel)
    assert f"lasts {write(charge_ah / 0.3, 'h')}" in said(panel)
    assert f"{write(100 * charge_ah / 2.4, '%', 2)} of the label" in said(panel)
    assert write(2.4 / 0.3, "h") in said(panel)
    assert f"At 0.3 A: {write(charge_ah, 'Ah')}." in sentence(panel)
    volts = np.interp(0.8, found.charge_ah, found.voltage_v)
    assert f"At 0.3 A: {volts:.2f} V." in sentence(panel)
    for current_a in (0.1, 0.5):
        given = curves.capacity_ah(ALKALINE, current_a, 1.0)
        assert f"At {current_a} A: {write(given, 'Ah')}." in sentence(panel)


def test_what_no_measurement_stands_behind_is_told():
    panel = panels.DataSheetExplorer()
    beyond, typical = word("explore.sheet.beyond"), word("explore.sheet.typical")
    assert beyond not in said(panel)
    panel.controls["current"].value = 0.3
    assert beyond in said(panel)
    assert typical not in said(panel)
    # Hardly past the shorter curve nothing is said.
    near = panels.DataSheetExplorer(cells=("nimh-aa",))
    near.controls["current"].value = 1.75
    assert beyond not in said(near)
    near.controls["current"].value = near.controls["current"].min
    assert beyond in said(near)
    other = panels.DataSheetExplorer(cells=("nimh-c",))
    assert curves.is_typical(packlearn.cell("nimh-c"))
    assert typical in said(other)


def test_a_current_between_two_curves_is_sure_up_to_the_shorter_one():
    sheet = curve_figures.sheet_curves(ALKALINE)
    assert curve_figures.sure_to_ah(sheet, 0.3) == pytest.approx(ALKALINE.curves[1].charge_ah[-1])
    assert curve_figures.sure_to_ah(sheet, 0.1) == pytest.approx(ALKALINE.curves[0].charge_ah[-1])
    assert curve_figures.sure_to_ah(sheet, 0.05) == curve_figures.sure_to_ah(sheet, 0.6) == 0


def test_your_current_takes_the_place_of_a_curve_at_the_same_current():
    lines = curve_figures.with_yours(ALKALINE, 0.5)
    assert [(line.current_a, line.yours) for line in lines] == [(0.1, False), (0.5, True)]
    assert lines[1].voltage_v == ALKALINE.curves[1].voltage_v
    lines = curve_figures.with_yours(ALKALINE, 0.3)
    assert [line.current_a for line in lines] == [0.1, 0.3, 0.5]


@pytest.mark.parametrize("current_a", [0.15, 0.3, 0.42, 0.48])
def test_your_curve_lies_between_the_sheets_at_every_charge(current_a):
    slow, yours, fast = curve_figures.with_yours(ALKALINE, current_a)
    at_ah = np.linspace(0.0, 1.4, 200)
    levels = [np.interp(at_ah, c.charge_ah, c.voltage_v) for c in (slow, yours, fast)]
    assert (levels[1] <= levels[0] + 1e-3).all()
    assert (levels[1] >= levels[2] - 1e-3).all()


def test_an_end_voltage_the_cell_never_has_is_told():
    panel = panels.DataSheetExplorer(cells=("nimh-aa",))
    panel.controls["to_v"].max = 1.6
    panel.controls["to_v"].value = 1.5
    unbroken(panel)
    assert "starts below your 1.5 V" in said(panel)


# Load.


def test_a_load_runs_as_long_as_the_library_says():
    panel = panels.LoadExplorer(series=6, current_a=0.5, low_v=6.9)
    found = discharge(Pack(NIMH, 6, 1), Load.current(0.5), until_v=6.9)
    whole = discharge(Pack(NIMH, 6, 1), Load.current(0.5))
    assert found.ended_by == "device_minimum"
    assert f"It ends after {write(found.run_time_h, 'h')}" in sentence(panel)
    assert f"The rule of thumb says {write(1.9 / 0.5, 'h')}." in sentence(panel)
    assert word("explore.ended.device_minimum") in sentence(panel)
    assert f"it would run {write(whole.run_time_h, 'h')}." in said(panel)
    left_ah = whole.charge_ah[-1] - found.charge_ah[-1]
    assert f"So {write(left_ah, 'Ah')} of charge stay unused." in said(panel)
    open_v = 6 * curves.open_circuit_v(NIMH, 0)
    assert f"the pack gives {write(open_v, 'V')}." in said(panel)
    assert f"so {write(open_v - found.voltage_v[0], 'V')} is lost inside" in said(panel)


def test_a_half_full_pack_starts_at_half_charge():
    panel = panels.LoadExplorer(series=6, current_a=0.5, low_v=5.0)
    panel.controls["start"].value = 50
    found = discharge(Pack(NIMH, 6, 1), Load.current(0.5), start_charge=0.5)
    assert f"It runs {write(found.run_time_h, 'h')}." in said(panel)
    assert f"rule of thumb says {write(0.95 / 0.5, 'h')}." in said(panel)
    assert word("explore.load.used") in said(panel)


def test_a_converter_stops_at_its_own_lowest_input():
    panel = panels.LoadExplorer(kinds=("converter",), power_w=3.0, low_v=6.9, output_v=9.0)
    load = Load.power(3.0).through(Converter(9.0, 0.85, input_v=(6.9, 60.0)))
    found = discharge(Pack(NIMH, 6, 1), load)
    assert found.ended_by == "input_window"
    assert f"It ends after {write(found.run_time_h, 'h')}" in sentence(panel)
    assert word("explore.ended.input_window") in said(panel)
    rule = write(7.2 * 1.9 * 0.85 / 3.0, "h")
    assert f"rule of thumb says {rule}." in said(panel)
    assert "stay unused" in said(panel)


def test_a_regulator_that_cannot_hold_its_output_is_told():
    panel = panels.LoadExplorer(series=4, kinds=("regulator",), output_v=4.5, low_v=4.0)
    assert "the regulator cannot hold its 4.5 V" in said(panel)


def test_a_pack_below_the_devices_minimum_does_not_work():
    panel = panels.LoadExplorer(series=4, low_v=9.0)
    unbroken(panel)
    assert "It cannot work at all." in said(panel)


def test_cells_that_do_not_lie_side_by_side_stay_in_one_string():
    panel = panels.LoadExplorer(cells=("nimh-aa", "alkaline-aa"), parallel=2)
    strings = panel.controls["parallel"]
    assert "6S2P" in sentence(panel)
    panel.controls["cell"].value = "alkaline-aa"
    assert "6S1P" in sentence(panel)
    # The slider never shows another count than the pack has.
    assert (strings.value, strings.disabled) == (1, True)
    assert word("explore.load.one_string") in said(panel)
    panel.controls["cell"].value = "nimh-aa"
    assert "6S2P" in sentence(panel)
    assert (strings.value, strings.disabled) == (2, False)
    assert word("explore.load.one_string") not in said(panel)


def test_a_count_that_no_cell_can_have_is_not_asked_for():
    panel = panels.LoadExplorer("alkaline-aa", cells=("alkaline-aa", "lithium-aa"))
    assert panel.controls["parallel"].layout.display == "none"
    assert word("explore.load.one_string") not in said(panel)


def test_only_what_can_be_chosen_is_shown():
    panel = panels.LoadExplorer()
    hidden = {k for k, c in panel.controls.items() if c.layout.display == "none"}
    assert hidden == {"cell", "kind", "power"}
    panel = panels.LoadExplorer(kinds=("current", "power"), cells=("nimh-aa", "nimh-c"))
    panel.controls["kind"].value = "power"
    hidden = {k for k, c in panel.controls.items() if c.layout.display == "none"}
    assert hidden == {"current"}


# Reading.


@pytest.mark.parametrize("name", ["nimh-aa", "alkaline-aa", "lifepo4-26650"])
def test_a_reading_allows_what_the_library_says(name):
    panel = panels.ChargeReadingExplorer()
    panel.controls["cell"].value = name
    panel.controls["error"].value = 10
    reading_v, cell = panel.value("reading"), packlearn.cell(name)
    low, high = curves.charge_left(cell, reading_v, 0.010)
    assert f"{100 * low:.0f} to {100 * high:.0f} % left" in sentence(panel)
    assert f"{100 * low:.0f} % to {100 * high:.0f} %" in said(panel)
    gauge = (reading_v - cell.end_voltage_v) / (cell.full_voltage_v - cell.end_voltage_v)
    assert f"would show {100 * gauge:.0f} %" in said(panel)


@pytest.mark.parametrize("name", EVERY_CELL)
def test_the_range_of_charge_ends_where_the_band_meets_the_line(name):
    panel = panels.ChargeReadingExplorer(cells=(name,))
    panel.controls["error"].value = 5
    cell, reading_v = packlearn.cell(name), panel.value("reading")
    volts, shares = curves.rested(cell)
    for share, edge_v in zip(
        curves.charge_left(cell, reading_v, 0.005),
        (reading_v - 0.005, reading_v + 0.005),
        strict=True,
    ):
        assert np.interp(share, shares[::-1], volts[::-1]) == pytest.approx(edge_v, abs=1e-4)
    ends = f"Empty it rests at {volts[-1]:.2f} V, full at {volts[0]:.2f} V."
    assert ends in sentence(panel)


def test_a_flat_curve_is_said_to_tell_little():
    panel = panels.ChargeReadingExplorer(cells=("lifepo4-26650", "li-ion-18650-energy"))
    panel.controls["error"].value = 10
    assert "tells little" in said(panel)
    panel.controls["cell"].value = "li-ion-18650-energy"
    assert "tells little" not in said(panel)


# Sag.


def test_sag_is_current_times_the_packs_resistance():
    panel = panels.SagExplorer(("series", "parallel", "each_ohm", "current"), open_v=1.25)
    for name, value in {"series": 6, "parallel": 2, "each_ohm": 0.1, "current": 3.0}.items():
        panel.controls[name].value = value
    # 6 x 0.1 / 2 = 0.3 ohm; 3 A lose 0.9 V of 7.5 V, which is 12 %.
    assert "has 0.3 ohm inside" in said(panel)
    assert "loses 0.9 V inside. So 6.6 V is left" in said(panel)
    assert "Lost inside: 0.9 V, 12 %. Left at the ends: 6.6 V." in sentence(panel)


def test_a_device_starts_anew_below_its_minimum():
    panel = panels.SagExplorer(series=3, open_v=1.4, each_ohm=0.1, low_v=3.6)
    panel.controls["current"].value = 2.0
    # 4.2 V less 2 A through 0.3 ohm: the 3.6 V it needs, which binary floats miss by a hair.
    assert say("explore.sag.holds", low="3.6 V") in said(panel)
    panel.controls["current"].value = 2.1
    assert say("explore.sag.resets", low="3.6 V") in said(panel)


def test_power_beyond_what_a_pack_can_give_is_told_with_the_most():
    panel = panels.SagExplorer(("each_ohm", "power"), series=6, open_v=1.25, each_ohm=0.1)
    panel.controls["power"].value = 5.0
    current_a = rules.current_for_power_a(7.5, 0.6, 5.0)
    assert f"For 5 W it must give {write(current_a, 'A')}." in said(panel)
    panel.controls["each_ohm"].value = 0.8
    # V**2 / 4R = 7.5**2 / (4 x 4.8) = 2.93 W.
    assert "No load can take more than 2.93 W" in said(panel)
    assert "not told yet" in sentence(panel)


# Unlike cells.


def test_like_cells_have_no_weakest():
    panel = panels.UnlikeExplorer()
    found = discharge(Pack(NIMH, 5, 1), Load.current(0.6))
    assert f"They run {write(found.run_time_h, 'h')}." in said(panel)
    assert "weakest" not in sentence(panel)


def test_the_odd_cell_goes_first_when_the_library_says():
    panel = panels.UnlikeExplorer(start=60)
    starts = [[1.0], [1.0], [0.6], [1.0], [1.0]]
    found = discharge(Pack(NIMH, 5, 1), Load.current(0.6), start_charge=starts)
    empty = next(e for e in found.events if e.kind == "cell_empty")
    assert (found.weakest[0], empty.group) == (3, 3)
    assert f"Cell 3 is empty first, after {write(empty.time_h, 'h')}." in said(panel)
    first, last = found.group_voltage_v[[0, -1], 2]
    assert f"Cell 3, the weakest, goes from {first:.2f} V to {last:.2f} V." in sentence(panel)
    left_ah = 1.9 - found.cell_charge_ah[-1, 0, 0]
    assert f"each other cell still holds {write(left_ah, 'Ah')}." in said(panel)
    alike = discharge(Pack(NIMH, 5, 1), Load.current(0.6))
    assert f"With like cells it would run {write(alike.run_time_h, 'h')}." in said(panel)


def test_a_cell_driven_backwards_is_told_with_its_depth():
    panel = panels.UnlikeExplorer(series=8, start=30)
    assert "driven backwards" in sentence(panel)
    found = discharge(
        Pack(NIMH, 8, 1),
        Load.current(0.6),
        start_charge=[[0.3 if n == 2 else 1.0] for n in range(8)],
    )
    assert "cell_reversed" in [e.kind for e in found.events]
    lowest = float(found.group_voltage_v[:, 2].min())
    assert lowest < 0
    assert f"down to {lowest:.2g} V" in said(panel)


def test_a_protected_pack_stops_at_its_first_empty_cell():
    panel = panels.UnlikeExplorer(series=8, start=30)
    panel.controls["stops"].value = "cell"
    starts = [[0.3 if n == 2 else 1.0] for n in range(8)]
    found = discharge(Pack(NIMH, 8, 1), Load.current(0.6), start_charge=starts, protected=True)
    assert found.ended_by == "cell_end_voltage"
    assert f"Cell 3 is empty first, after {write(found.run_time_h, 'h')}." in said(panel)
    assert "backwards, down to" not in said(panel)
    assert "driven backwards" not in sentence(panel)


def test_a_smaller_cell_holds_its_share_at_every_current():
    small = smaller(NIMH, 0.7)
    for current_a in (0.4, 1.0, 2.0):
        whole = curves.capacity_ah(NIMH, current_a)
        assert curves.capacity_ah(small, current_a) == pytest.approx(0.7 * whole, rel=1e-6)
    assert smaller(NIMH, 1.0) is NIMH
    new = {key: getattr(NIMH, key) for key in ("capacity_ah", "capacity_at_a", "curves")}
    assert dataclasses.replace(small, **new) == NIMH


@pytest.mark.parametrize(
    ("make", "key"),
    [
        (panels.UnlikeExplorer, "explore.unlike.caution"),
        (panels.JoinExplorer, "explore.join.caution"),
    ],
)
def test_the_caution_stands_wherever_the_sliders_are(make, key):
    panel = make()
    for control in panel.controls.values():
        for stop in stops(control):
            control.value = stop
            assert panel.caution.value.startswith(base.paragraphs([word(key)]))
            assert "<details><summary>Cautions" in panel.caution.value
    assert re.search(r"(?i)\b(not|never)\b", word(key))
    # Before the picture, where it is seen before anything tempts one to try.
    assert panel.children.index(panel.caution) < panel.children.index(panel.picture)


# Joined.


def test_joined_cells_drive_their_difference_through_both_resistances():
    panel = panels.JoinExplorer()
    # 1.4 and 1.2 V over 2 x 0.03 ohm.
    assert "A current of 3.33 A flows from A into B." in sentence(panel)
    assert "The 0.2 V over 0.06 ohm lets 3.33 A flow" in said(panel)
    assert "1.75C" in said(panel)
    assert "made for" not in said(panel)
    panel.controls["each_ohm"].value = 0.02
    assert "5 A flow" in said(panel)
    assert "made for 3.8 A at most" in said(panel)
    panel.controls["first_v"].value = 1.2
    assert word("explore.join.none") in said(panel)


# Scatter.


def test_a_thousand_packs_are_the_librarys():
    panel = panels.ScatterExplorer(series=3, capacity=5, resistance=20)
    found = discharge(
        Pack(NIMH, 3, 1), Load.current(0.6), spread=Spread(0.05, 0.20), packs=PACKS, seed=7
    )
    assert f"10 % stay below {write(found.run_time_percentile_h(10), 'h')}" in sentence(panel)
    assert f"Mean {write(found.run_time_h.mean(), 'h')}." in sentence(panel)
    alike = discharge(Pack(NIMH, 3, 1), Load.current(0.6)).run_time_h
    assert f"Like cells {write(alike, 'h')}." in sentence(panel)
    assert "How many of 1000" in sentence(panel)
    assert all(not control.continuous_update for control in panel.controls.values())


def test_how_many_packs_reach_the_night_is_counted():
    panel = panels.ScatterExplorer(series=3, capacity=5, night_h=3.1)
    found = discharge(
        Pack(NIMH, 3, 1), Load.current(0.6), spread=Spread(0.05, 0.10), packs=PACKS, seed=7
    )
    reach = sum(hours >= 3.1 for hours in found.run_time_h)
    assert 0 < reach < PACKS
    assert f"Of 1000 packs, {reach} reach {write(3.1, 'h')}." in said(panel)
    assert f"{reach} reach {write(3.1, 'h')}." in sentence(panel)


def test_without_spread_all_packs_are_the_same():
    panel = panels.ScatterExplorer(series=2, capacity=0, resistance=0)
    unbroken(panel)
    assert "all packs are the same" in said(panel)


# Pictures of questions.

CELL_GIVENS = {"cell": "alkaline-aa", "cell_title": ALKALINE.title}


def variant(picture, **givens):
    task = Task(
        page="p", id="t", skill="s", asked="curve_read_ah", text="", sources={}, picture=picture
    )
    return Variant(task, 0, givens)


QUESTIONS = {
    "data-sheet": dict(**CELL_GIVENS, current_a=0.5, voltage_low_v=1.0),
    "unlike": {"first_ah": 1.9, "second_ah": 1.4, "third_ah": 1.7},
    "unlike-parallel": {"first_ah": 1.9, "second_ah": 1.4},
    "joined": {"first_v": 1.4, "second_v": 1.2, "each_ohm": 0.03},
    "sag": {"series": 5, "parallel": 2, "open_v": 1.25, "each_ohm": 0.1, "current_a": 2.0},
    "run": dict(**CELL_GIVENS, series=4, current_a=0.5, voltage_low_v=4.0),
}
# What only the open picture may tell.
TOLD = {
    "data-sheet": write(curves.capacity_ah(ALKALINE, 0.5, 1.0), "Ah"),
    "unlike": "They give 1.4 Ah together",
    "unlike-parallel": "They give 3.3 Ah together",
    "joined": "3.33 A",
    "sag": "5.75 V",
    "run": write(discharge(Pack(ALKALINE, 4, 1), Load.current(0.5), until_v=4.0).run_time_h, "h"),
}


@pytest.mark.parametrize("picture", QUESTIONS)
def test_a_questions_picture_tells_its_answer_only_when_it_may(picture):
    before, after = (
        illustration(variant(picture, **QUESTIONS[picture]), shown) for shown in (False, True)
    )
    words = [html.unescape(re.sub(r"<[^>]+>", " ", each.svg)) for each in (before, after)]
    assert TOLD[picture] in after.sentence
    assert TOLD[picture] in words[1]
    assert TOLD[picture] not in before.sentence
    assert TOLD[picture] not in words[0]
    sizes = [re.search(r'width="\d+" height="\d+"', each.svg)[0] for each in (before, after)]
    assert sizes[0] == sizes[1]


def test_a_data_sheet_of_an_open_question_can_be_read_by_ear():
    sentence = illustration(variant("data-sheet", **QUESTIONS["data-sheet"]), False).sentence
    assert "at steps of 0.2 Ah" in sentence
    volts = curves.voltage_v(ALKALINE, 0.5, 0.6)
    heard = re.search(r"At 0\.5 A: ([\d., ]+) V\.", sentence)[1].split(", ")
    assert float(heard[3]) == pytest.approx(volts, abs=0.011)


def test_what_is_left_in_unlike_cells_is_counted_only_when_it_may_be_seen():
    givens = {"first_ah": 1.9, "second_ah": 1.4, "first_share": 0.5, "second_share": 0.9}
    before, after = (illustration(variant("unlike", **givens), shown) for shown in (False, True))
    assert "1.9 Ah and 1.4 Ah" in before.sentence
    assert "0.95 Ah and 1.26 Ah" in after.sentence
    assert "Cell 1 is empty first." in after.sentence


@pytest.mark.parametrize(("current_a", "low_v"), [(0.5, 4.4), (0.1, 4.4), (0.5, 3.2)])
def test_an_open_run_stops_before_its_end(current_a, low_v):
    givens = QUESTIONS["run"] | {"current_a": current_a, "voltage_low_v": low_v}
    picture = illustration(variant("run", **givens), False)
    hours = re.search(r"drawn up to ([^.]+)\.", picture.sentence)[1]
    assert hours == write(0.1 * 2.4 / current_a, "h")
    found = discharge(Pack(ALKALINE, 4, 1), Load.current(current_a), until_v=low_v)
    assert found.run_time_h > 0.1 * 2.4 / current_a / 0.6


def test_the_scales_of_an_open_run_come_from_the_rule_of_thumb():
    texts = [
        re.findall(r'class="pl-quiet"[^>]*>([^<]*)<', illustration(
            variant("run", **{**QUESTIONS["run"], "voltage_low_v": low_v}), False
        ).svg)
        for low_v in (3.3, 3.4)
    ]  # fmt: skip
    across = [[t for t in each if re.fullmatch(r"[\d.]+", t)][:6] for each in texts]
    assert across[0] == across[1]
