"""The catalogue: complete, sourced, safe, and in agreement with what others measured."""

import dataclasses
import re
from importlib.resources import files

import pytest

from packlearn.cells import CHEMISTRIES, Cell, catalogue, cell
from packlearn.errors import UnknownName
from packlearn.words import word

FILE = files("packlearn") / "data" / "cells.toml"
CELLS = list(catalogue().values())
each_cell = pytest.mark.parametrize("cell", CELLS, ids=list(catalogue()))

WANTED = {
    *("nimh-aaa", "nimh-aa", "nimh-c", "nimh-d"),
    *("alkaline-aaa", "alkaline-aa", "alkaline-c", "alkaline-d", "alkaline-9v"),
    *("zinc-carbon-aa", "lithium-aa", "lithium-coin-cr2032"),
    *("li-ion-18650-energy", "li-ion-18650-power", "li-ion-pouch-2ah"),
    *("lifepo4-26650", "lifepo4-prismatic-100ah", "lead-acid-12v-7ah"),
}


def test_the_catalogue_holds_every_cell_asked_for():
    assert set(catalogue()) >= WANTED


def test_the_catalogue_is_read_once_and_only_read():
    assert catalogue() is catalogue()
    with pytest.raises(TypeError):
        catalogue()["mine"] = cell("nimh-aa")


def test_the_aa_cell_of_the_lessons():
    aa = cell("nimh-aa")
    figures = (aa.nominal_voltage_v, aa.capacity_ah, aa.current_limit_a, aa.resistance_ohm)
    assert figures == (1.2, 1.9, 3.8, 0.030)
    assert (aa.full_voltage_v, aa.end_voltage_v) == (1.45, 1.0)
    assert aa.rested_voltage_v == (1.30, 1.40)
    assert aa.title == "NiMH AA"
    assert aa.max_series >= 8
    assert aa.max_parallel >= 8


@pytest.mark.parametrize(
    ("wrong", "close"),
    [("nimh-a", "nimh-aa"), ("NiMH AA", "nimh-aa"), ("alkalin-d", "alkaline-d")],
)
def test_an_unknown_name_lists_the_names_and_the_closest(wrong, close):
    with pytest.raises(UnknownName) as caught:
        cell(wrong)
    assert f'"{wrong}"' in str(caught.value)
    assert f'mean "{close}"' in str(caught.value)
    assert all(name in str(caught.value) for name in catalogue())


@pytest.mark.parametrize("wrong", ["???", 7, "x" * 10_000, None, [1.2]])
def test_a_name_like_none_lists_the_names_alone(wrong):
    with pytest.raises(KeyError) as caught:
        cell(wrong)
    assert "Did you mean" not in str(caught.value)
    assert all(name in str(caught.value) for name in catalogue())
    assert len(str(caught.value)) < 500


MAY_BE_MISSING = {"rested_voltage_v"}  # means nothing for a cell that is not charged
WHERE_MEASURED = {"curves", "relaxation_ohm", "relaxation_s"}


@each_cell
def test_every_value_is_there(cell):
    for key, value in vars(cell).items():
        if key in MAY_BE_MISSING and not cell.rechargeable:
            continue
        assert value is not None or key in WHERE_MEASURED, key
        assert value != "", key


@each_cell
def test_every_number_has_a_note_where_it_comes_from(cell):
    numbers = {
        key
        for key, value in vars(cell).items()
        if isinstance(value, int | float | tuple) and not isinstance(value, bool) and value != ()
    }
    assert set(cell.sources) == numbers


# The publications that stand behind the figures; anything else in a note would be unknown here.
PUBLICATIONS = (
    r"Linden's Handbook of Batteries, 4th ed., Table 4\.9a, p\. 4\.11",
    r"public repository Moragor/BatteryAnalyzer_MkII, MIT licence",
    r"public repository batterysim/equiv-circ-model, MIT licence",
    r"public repository RainerU/DestructiveBatteryTester, MIT licence",
    r"public repository valentinsulzer/faster-lead-acid, BSD 3-Clause",
    r"public repository (nathanpc/battery-capacity|jankokert/EnergyHarvestingWSN)",
    r"public repository pigmonkey/battery, (aa|aaa)\.csv",
    r"public data set marzio-barresi/Electrical-Datasets-Alkaline-Batteries, .*CC BY 4\.0",
    r"Ai et al\. 2020, J\. Electrochem\. Soc\. 167 013512; files in pybamm 23\.5, BSD 3-Clause",
    r"Kawakita de Souza 2021, doi 10\.17632/p8kf893yv3\.1, CC BY 4\.0",
    r"Chemistry Central Journal 6, 2012, S2, Table 1",
    r"published table, voltagebasics\.com",
    r"Zephyr Project, battery\.h",
    r"manual of a battery monitor, 2002, p\. 5",
)
ADMITTED = (
    "from memory|no source|worked out: 60 V|one cell|the name says it|the 20 h rate: 7 Ah|"
    "never charged|the capacity counts down to here|nominal voltage divided by"
)


@pytest.mark.parametrize("note", word("cells.texts.sources").values())
def test_a_note_cites_a_known_publication_or_says_it_has_none(note):
    assert re.search("|".join((*PUBLICATIONS, ADMITTED)), note)
    if "measured" in note or "published" in note:
        # A measurement that nobody can look up would be no better than memory.
        cited = re.search("|".join(PUBLICATIONS), note)
        assert cited or "published question" in note


@each_cell
def test_notes_titles_and_reasons_are_found_in_the_words(cell):
    texts = word("cells.texts")
    assert cell.title in texts["title"].values()
    assert cell.resistance_meaning in texts["meaning"].values()
    assert cell.max_series_reason in texts["reason"].values()
    assert cell.max_parallel_reason in texts["reason"].values()
    assert set(cell.sources.values()) <= set(texts["sources"].values())


def test_every_text_of_the_words_is_used():
    raw = FILE.read_text(encoding="utf-8")
    for kind, texts in word("cells.texts").items():
        for key in texts:
            assert f'"{key}"' in raw or (kind == "title" and f"[{key}]" in raw), f"{kind}.{key}"


@each_cell
def test_the_largest_string_stays_within_60_v(cell):
    # The usual limit of extra-low voltage for DC; from memory of IEC 62368-1.
    assert cell.full_voltage_v * cell.max_series <= 60.0
    if "60 V" in cell.max_series_reason:
        assert cell.full_voltage_v * (cell.max_series + 1) > 60.0


@each_cell
def test_cells_that_are_not_charged_stand_alone(cell):
    if not cell.rechargeable:
        assert cell.max_parallel == 1


@each_cell
def test_lithium_that_is_charged_is_bought_ready_made(cell):
    assert cell.ready_made_only == (cell.chemistry in ("Li-ion", "LiFePO4"))


# Wh per kg of one cell with its case; from memory, wide enough for cheap and dear types.
WH_PER_KG = {
    "NiMH": (40, 110),
    "alkaline": (90, 180),
    "zinc-carbon": (40, 90),
    "Li-FeS2": (250, 340),
    "Li-MnO2": (150, 280),
    "Li-ion": (150, 270),
    "LiFePO4": (90, 180),
    "lead-acid": (25, 45),
}


@each_cell
def test_energy_for_the_mass_is_that_of_the_chemistry(cell):
    low, high = WH_PER_KG[cell.chemistry]
    assert low <= 1000 * cell.energy_wh / cell.mass_g <= high


# Largest and smallest sizes [mm] by IEC 60086-2, as printed in Linden's Handbook of Batteries,
# 4th ed., Table 4.9a, p. 4.11: diameter from, to; height from, to.
IEC_SIZES = {
    "aaa": (9.5, 10.5, 43.3, 44.5),
    "aa": (13.5, 14.5, 49.2, 50.5),
    "c": (24.9, 26.2, 48.6, 50.0),
    "d": (32.3, 34.2, 59.5, 61.5),
}
ROUND = [(c, size) for c in CELLS for size in IEC_SIZES if size in c.name.split("-")]


@pytest.mark.parametrize(("cell", "size"), ROUND, ids=[c.name for c, _ in ROUND])
def test_round_cells_have_the_sizes_of_the_standard(cell, size):
    thin, thick, short, long = IEC_SIZES[size]
    diameter, length = cell.size_mm
    assert thin <= diameter <= thick
    assert short <= length <= long
    assert "Table 4.9a" in cell.sources["size_mm"]


def test_the_round_cells_were_measured_up():
    assert len(ROUND) >= 11


# What others measured or printed, with the share by which the catalogue may differ (it rounds).
MEASURED = [
    # Moragor/BatteryAnalyzer_MkII (MIT): 25 types, 0.1 A to 0.8 V.
    ("alkaline-aa", "capacity_ah", 2.396, 0.005),
    ("alkaline-aa", "capacity_at_a", 0.1, 0),
    ("alkaline-aa", "capacity_to_v", 0.8, 0),
    # Same set: two types of FeS2, 0.5 A to 0.8 V.
    ("lithium-aa", "capacity_ah", 3.238, 0.02),
    ("lithium-aa", "capacity_at_a", 0.5, 0),
    # nathanpc/battery-capacity: 1.05 to 1.12 Ah at 0.05 A to 0.8 V, middle.
    ("alkaline-aaa", "capacity_ah", 1.085, 0.03),
    # RainerU/DestructiveBatteryTester (MIT): two types, 0.05 A to 0.8 V.
    ("zinc-carbon-aa", "capacity_ah", 0.821, 0.005),
    # jankokert/EnergyHarvestingWSN: curve at 0.4 A to 1.0 V of a 2.0 Ah label.
    ("nimh-aa", "capacity_ah", 1.929, 0.02),
    # pigmonkey/battery: 24 AAA cells; 8 new AA cells of a high-capacity type.
    ("nimh-aaa", "capacity_ah", 0.750, 0.001),
    ("nimh-aa-high-capacity", "capacity_ah", 2.402, 0.002),
    # nathanpc/battery-capacity: seven-cell block, 0.030 A to 7.0 V.
    ("nimh-9v", "capacity_ah", 0.224, 0.02),
    # Kawakita de Souza 2021, doi 10.17632/p8kf893yv3.1: C/30; median of one-second steps.
    ("lifepo4-26650", "capacity_ah", 2.578, 0.04),
    ("lifepo4-26650", "resistance_ohm", 0.00761, 0.005),
    ("lifepo4-26650", "nominal_voltage_v", 3.244, 0.02),
    # Ai et al. 2020, files in pybamm 23.5: 1C to 3.0 V; drop two seconds after the step.
    ("li-ion-pouch-2ah", "capacity_ah", 2.289, 0.005),
    ("li-ion-pouch-2ah", "resistance_ohm", 0.0345, 0.02),
    ("li-ion-pouch-2ah", "nominal_voltage_v", 3.673, 0.01),
    # Chemistry Central Journal 6 (2012) S2, Table 1: NiMH 0.06 ohm for 1 Ah, as 1/Ah.
    ("nimh-aaa", "resistance_ohm", 0.06 / 0.75, 0.02),
    ("nimh-c", "resistance_ohm", 0.06 / 4.0, 0.02),
    ("nimh-d", "resistance_ohm", 0.06 / 8.5, 0.02),
    # Xantrex Link 20 owner's manual (Nov. 2002), p. 5: 10.5 V at the 20 h rate.
    ("lead-acid-12v-7ah", "end_voltage_v", 10.5, 0),
    ("lead-acid-12v-7ah", "capacity_at_a", 7 / 20, 0),
    # NiMH soon after charging 1.40 to 1.45 V (voltagebasics.com), upper end.
    ("nimh-c", "full_voltage_v", 1.45, 0),
    # Barresi et al. 2026 (CC BY 4.0): fresh alkaline cells at rest.
    ("alkaline-aa", "full_voltage_v", 1.607, 0.005),
    # Zephyr Project, battery.h: sheet curve of a 18650 at 0 % charge.
    ("li-ion-18650-energy", "end_voltage_v", 2.502, 0.001),
]


@pytest.mark.parametrize(("name", "key", "value", "share"), MEASURED)
def test_figures_agree_with_what_was_measured(name, key, value, share):
    assert getattr(cell(name), key) == pytest.approx(value, rel=share or 1e-12)
    assert cell(name).sources[key] != word("cells.texts.sources.practice")


def test_alkaline_resistance_lies_between_the_two_published_values():
    # 0.15 ohm at room temperature (copies of the Wikipedia article on alkaline batteries);
    # 0.34 ohm from first readings, holder included (worked out from BatteryAnalyzer_MkII).
    assert 0.15 < cell("alkaline-aa").resistance_ohm < 0.34


def test_the_9_v_block_against_six_aa():
    # cases.csv C59: a block of 9 V and 565 mAh holds 5.09 Wh (5.085).
    assert cell("alkaline-9v").energy_wh == pytest.approx(5.085)
    assert cell("alkaline-9v").cells_inside == 6


@each_cell
def test_blocks_count_the_cells_inside(cell):
    one = CHEMISTRIES[cell.chemistry]
    assert cell.full_voltage_v == pytest.approx(one.full_voltage_v * cell.cells_inside)
    # A maker may stop earlier than the chemistry's usual end, not later.
    assert cell.end_voltage_v >= one.end_voltage_v * cell.cells_inside - 1e-9


def test_the_head_of_the_file_explains_every_key():
    head = FILE.read_text(encoding="utf-8").split("\n[", 1)[0]
    keys = [f.name for f in dataclasses.fields(Cell) if f.name not in ("name", "sources")]
    assert [
        key for key in keys if not re.search(rf"^#   (\[\[NAME\.)?{key}(\]\])? ", head, re.M)
    ] == []
    assert all(name in head for name in CHEMISTRIES)
    assert "[NAME.sources]" in head
