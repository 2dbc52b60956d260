"""Panels and pictures of cable, fuse, charging and rest: they show the library's numbers."""

import itertools
import re

import ipywidgets
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from test_curve_panels import every_control_moves, said, sentence, stops, unbroken
from test_curve_pictures import stays_text
from test_pictures import (
    HOSTILE,
    SVG,
    WIDEST,
    assert_says_its_numbers,
    assert_sound,
    elements,
    numbers,
    size,
)

import packlearn
from packlearn import Pack, building, panels, pictures
from packlearn.errors import BadValue
from packlearn.panels import protect_explorers
from packlearn.panels.illustrations import illustration
from packlearn.pictures.drawing import text_width
from packlearn.quantities import write
from packlearn.tasks import bank, checking

EXPLORERS = {
    "wire": panels.WireExplorer,
    "fuse": panels.FuseExplorer,
    "charge": panels.ChargeExplorer,
    "shelf": panels.ShelfExplorer,
}
UL = building.family("ul")
SETTINGS = settings(deadline=None, derandomize=True, max_examples=60)


def band(steady_a=2.0, peak_a=3.0, wire_a=5.0, family="ul", title="trike"):
    found = building.band_for(steady_a, peak_a, wire_a, family)
    kind = building.family(family)
    return pictures.fuse_band(found, wire_a, kind.ratings_a, share=kind.run_share, title=title)


EXAMPLES = {
    "cable": lambda t="0.5 mm²": pictures.cable(t, 1.5, 2.0, 4.8, 0.2064, 2.9),
    "cable_hot": lambda t="0.14 mm²": pictures.cable(t, 10.0, 9.9, 4.8, 4.8, float("inf")),
    "fuse": lambda t="trike": band(title=t),
    "fuse_none": lambda t="trike": band(4.0, 9.0, 2.0, title=t),
    "short": lambda t="": pictures.shorted(4, 2, 1.35, 0.015, 0.1),
    "short_told": lambda t="": pictures.shorted(4, 2, 1.35, 0.015, 0.1, 41.5),
    "short_near": lambda t="": pictures.shorted(10, 12, 1.35, 0.0155, 0.0123, 154, fused=True),
    "charge": lambda t="NiMH AA": pictures.charge_hours(
        0.3, lambda amps: 2.66 / amps, usual_a=0.19, most_a=0.95, title=t
    ),
    "rest": lambda t="NiMH AA": pictures.resting(
        lambda m: 0.8**m, 5, shelf_degc=30, compare_of=lambda m: 0.9**m, cold=(-10, 0.6), title=t
    ),
}


# Panels.


@pytest.mark.parametrize("name", EXPLORERS)
def test_every_control_moves_the_panel_and_nothing_breaks(name):
    every_control_moves(EXPLORERS[name]())


@pytest.mark.parametrize("name", EXPLORERS)
def test_the_corners_of_all_sliders_together_break_nothing(name):
    panel = EXPLORERS[name]()
    lists = [c for c in panel.controls.values() if isinstance(c, ipywidgets.Dropdown)]
    sliders = [c for c in panel.controls.values() if c not in lists]
    for choice in itertools.product(*(stops(c)[:: max(1, len(stops(c)) - 1)] for c in lists)):
        for control, value in zip(lists, choice, strict=True):
            control.value = value
        for corner in itertools.product((0, -1), repeat=len(sliders)):
            for control, end in zip(sliders, corner, strict=True):
                control.value = stops(control)[end]
            unbroken(panel)


@pytest.mark.parametrize("name", EXPLORERS)
def test_controls_are_labelled_and_a_screen_reader_hears_the_picture(name):
    panel = EXPLORERS[name]()
    for control in panel.controls.values():
        assert control.tooltip
        room = 13 * float(control.style.description_width.removesuffix("em"))
        assert text_width(control.description, 13) <= room, control.description
    assert len(sentence(panel)) > 20
    assert "aria-hidden" in panel.picture.value


def test_the_cable_keeps_what_the_library_says():
    panel = panels.WireExplorer(pack_v=4.8)
    panel.controls["wire"].value = "0.5 mm²"
    panel.controls["length"].value, panel.controls["current"].value = 3.0, 2.0
    # 0.0172 x 6 m / 0.5 mm² = 0.2064 ohm; 2 A keep 0.413 V, 8.6 % of 4.8 V.
    assert "6 m of copper: 0.206 ohm. At 2 A they keep 0.413 V." in said(panel)
    assert "8.6 % of 4.8 V" in said(panel)
    wire = protect_explorers.wires()["0.5 mm²"]
    assert f"becomes {wire.heating_k(2.0):.2g} K warmer" in sentence(panel)
    assert f"carries {write(wire.limit_a(20.0), 'A', 2)}" in said(panel)
    panel.controls["wire"].value = "2.5 mm²"
    assert "Both scales are below" in said(panel)


def test_metric_wires_and_gauges_stand_in_one_list_by_their_area():
    areas = [each.area_mm2 for each in protect_explorers.wires().values()]
    assert areas == sorted(areas)
    assert {"0.5 mm²", "AWG 20"} <= set(protect_explorers.wires())
    assert len(areas) >= 15


def test_the_fuses_band_is_the_librarys():
    panel = panels.FuseExplorer(steady_a=2.0, peak_a=2.0, wire="0.5 mm²")
    carries = protect_explorers.wires()["0.5 mm²"].limit_a(20.0)
    found = building.band_for(2.0, 2.0, carries)
    assert found.ratings_a == (3.0, 4.0)
    assert "These ratings fit: 3 A and 4 A." in sentence(panel)
    assert f"{write(found.floor_a, 'A')} or more" in said(panel)
    assert f"{write(0.8 * carries, 'A')} or less" in said(panel)
    panel.controls["peak"].value = 9.0
    assert "time-lag" in said(panel)
    panel.controls["wire"].value = "0.14 mm²"
    assert "No rating fits" in sentence(panel)
    assert "A larger fuse would not" in said(panel)


def test_hours_of_charging_are_the_librarys():
    panel = panels.ChargeExplorer()
    panel.controls["current"].value = 0.38
    # 1.9 Ah x 1.4 / 0.38 A = 7 h.
    assert "1.9 Ah x 1.4 / 0.38 A = 7 h." in said(panel)
    assert "With 0.38 A it takes 7 h." in sentence(panel)
    panel.controls["factor"].value = 1.2
    assert "1.9 Ah x 1.2 / 0.38 A = 6 h." in said(panel)
    panel.controls["cell"].value = "li-ion-18650-energy"
    pack = Pack(packlearn.cell("li-ion-18650-energy"), 1, 1)
    assert panel.value("factor") == 1.0
    assert building.charging_for(pack, 1.7).charger_words in said(panel)


def test_cells_that_must_not_be_charged_are_not_on_the_list():
    for name in panels.ChargeExplorer().cell_names:
        assert building.may_be_charged(packlearn.cell(name))


def test_what_is_left_after_months_is_the_librarys():
    panel = panels.ShelfExplorer()
    panel.controls["months"].value = 3
    assert "about 51 % of the charge is left" in said(panel)
    panel.controls["shelf"].value = 30
    assert "about 26 % of the charge is left" in said(panel)
    assert "at 20 °C: 51 %" in panel.picture.value
    panel.controls["used"].value = -10
    assert "about 68 % of what is left comes out, so 18 % in all" in said(panel)
    panel.controls["cell"].value = "alkaline-aa"
    kept = building.keeping_of(packlearn.cell("alkaline-aa"))
    assert kept.sentence in said(panel)
    assert kept.disposal_words in said(panel)


# Pictures.


@pytest.mark.parametrize("task", ["touch", "break"])
def test_the_picture_of_a_short_circuit_tells_the_current_only_when_it_may(task):
    variant = checking.variant(bank.page("lesson-10").task(task), 0)
    answer = write(checking.answer_of(variant.task, variant.givens), "A")
    before, after = (illustration(variant, shown) for shown in (False, True))
    assert answer not in before.sentence
    assert answer not in before.svg
    assert answer in after.sentence
    assert ("fuse" in before.sentence) == (task == "break")


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_overlaps_and_the_sentence_has_the_numbers(name):
    picture = EXAMPLES[name]()
    assert_sound(picture)
    assert_says_its_numbers(picture)
    tags = {e.tag.removeprefix(SVG) for e in elements(picture)}
    assert tags <= {"svg", "g", "path", "text", "tspan"}
    assert not re.search(r"  |\.\.|[{}]|\bnan\b", picture.sentence)
    width, height, _ = size(picture)
    assert (int(width) <= 860, int(height) <= 290) == (True, True)
    outlines = " ".join(e.get("d", "") for e in elements(picture))
    assert not re.search(r"nan|inf|\de", outlines)


@pytest.mark.parametrize("content", [HOSTILE, WIDEST, ""])
@pytest.mark.parametrize("name", EXAMPLES)
def test_any_text_stays_text_and_stays_inside(name, content):
    stays_text(EXAMPLES[name], content)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_class_stands_in_the_style_sheet(name):
    known = set(re.findall(r"\.(pl-[a-z-]+)", pictures.style_sheet()))
    used = {c for e in elements(EXAMPLES[name]()) for c in e.get("class", "").split()}
    assert used - known == set()


# More ratings fit than a line has room for.
@example(0.25, 1.0, 7.0, "iec")
@SETTINGS
@given(
    st.floats(0.1, 8), st.floats(1, 4), st.floats(0.5, 25), st.sampled_from(["ul", "iec", "blade"])
)
def test_any_band_is_drawn_without_overlaps(steady_a, more, wire_a, family):
    picture = band(steady_a, steady_a * more, wire_a, family)
    assert_sound(picture)
    found = building.band_for(steady_a, steady_a * more, wire_a, family)
    shown = numbers(picture.sentence)
    for each in found.ratings_a:
        assert f"{each:g}" in {f"{float(number):g}" for number in shown}


@SETTINGS
@given(st.floats(0.1, 12), st.floats(0.1, 10), st.floats(0.0, 4.8), st.floats(0, 900))
def test_any_cable_is_drawn_without_overlaps(length_m, current_a, drop_v, heating_k):
    assert_sound(pictures.cable("AWG 20 (0.52 mm²)", length_m, current_a, 4.8, drop_v, heating_k))


@SETTINGS
@given(st.integers(0, 24), st.floats(0.5, 1), st.floats(0.2, 1), st.sampled_from([-20, 0, 15]))
def test_any_rest_is_drawn_without_overlaps(months, kept, out, degc):
    assert_sound(
        pictures.resting(
            lambda m: kept**m, months, shelf_degc=40, compare_of=lambda m: kept ** (m / 4),
            cold=(degc, out), title="NiMH AA",
        )
    )  # fmt: skip


@pytest.mark.parametrize(
    "make",
    [
        lambda: pictures.cable("x", 0, 1, 5, 1, 1),
        lambda: pictures.shorted(4, 2, 1.35, 0.0, 0.1),
        lambda: pictures.charge_hours(0, lambda a: 1 / a, usual_a=0.2, most_a=1),
        lambda: pictures.charge_hours(0.2, lambda a: 1 / a, usual_a=0.2, most_a=float("nan")),
    ],
)
def test_what_cannot_be_drawn_is_refused(make):
    with pytest.raises(BadValue):
        make()
