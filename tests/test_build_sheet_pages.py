"""Pages of build sheets and order sheets, as the library's own PDF has them."""

import itertools
import re
from dataclasses import replace

import pytest

import packlearn as pl
from packlearn.building import plan_for
from packlearn.quantities import write
from packlearn.sheets import build_sheet as made_of
from packlearn.sheets import columns, printing
from tests.pdf_letters import plain, sizes_of_letters

pypdf = pytest.importorskip("pypdf")
pytest.importorskip("plutoprint")

# Cell, in line, side by side.
SAMPLE = [
    ("nimh-aa", 1, 1),
    ("nimh-aa", 6, 1),
    ("nimh-aa", 10, 1),
    ("nimh-aa", 4, 2),
    ("nimh-aa", 5, 3),
    ("nimh-aa", 12, 3),
    ("nimh-aa", 1, 4),
    ("nimh-aa", 8, 8),
    ("alkaline-aa", 8, 1),
    ("alkaline-9v", 1, 1),
    ("nimh-9v", 2, 1),
    ("zinc-carbon-aa", 3, 1),
    ("lead-acid-12v-7ah", 1, 1),
    ("lead-acid-12v-7ah", 4, 1),
    ("lead-acid-12v-7ah", 4, 3),
    ("lithium-coin-cr2032", 2, 1),
    ("li-ion-18650-energy", 10, 1),
    ("lifepo4-26650", 4, 2),
]
CELLS = [name for name, cell in pl.catalogue().items() if not cell.ready_made_only]
FAMILY = [(name, *pack) for name in CELLS for pack in itertools.product(range(1, 13), range(1, 4))]
FAMILY += [("nimh-aa", series, parallel) for series in (4, 8) for parallel in range(4, 9)]
# A name as long as one may be.
LONG = "Footprint tunnel camera at the old mill, the northern bank 2"
JOINTS_APART = [("nimh-aa", 24, 2), ("nimh-aa", 20, 4)]
ROUND = pytest.mark.parametrize("paper", printing.PAPERS)
# Floors of letters [pt]: the text, the small print and the number of the page.
LEAST_PT, LEAST_SMALL_PT = 8.5, 7.5


def loads(pack):
    """A plain load and what feeds one from the pack, as far as they take what the pack gives."""
    amps = min(0.5 * pack.current_limit_a, 0.15 * pack.capacity_ah)
    plain, volts = pl.Load.current(amps), pack.end_voltage_v
    window = (0.5 * volts, 1.2 * pack.full_voltage_v)
    fed = pl.Load.power(0.6 * amps * volts).through(pl.Converter(5.0, 0.85, window, idle_a=0.001))
    dropped = pl.Load.current(amps / 2).through(pl.LinearRegulator(0.6 * volts, 0.1 * volts))
    bursts = pl.Load.profile([(plain, 10), (pl.Load.current(amps / 20), 50)])
    return plain, fed, dropped, bursts


def plan(cell, series, parallel, name="Path lantern at the pond", load=0, lead_m=0.5):
    # Catalogues stop where long strings are no longer sensible; cells of one's own may not.
    cell = pl.cell(cell)
    if cell.chemistry == "NiMH" and cell.cells_inside == 1:
        cell = replace(cell, max_series=None)
    pack = pl.Pack(cell, series, parallel)
    window = (0.8 * pack.end_voltage_v, min(60.0, 1.1 * pack.full_voltage_v))
    load = loads(pack)[load]
    need = pl.Need(load=load, run_time_h=2, voltage_v=window)
    made = plan_for(need, pack, name=name, lead_m=lead_m)
    assert made.trouble == ()
    return made


def printed(made, paper, tmp_path):
    path = tmp_path / "sheet.pdf"
    pages = printing.pdf(made_of.build_sheet(made, paper), path, paper)
    pdf = pypdf.PdfReader(path)
    assert len(pdf.pages) == pages
    return pdf


def all_told(made):
    """What a sheet must hold, without its joints."""
    seen = made.figures
    told = [made.name, *(write(volts, "V") for volts in (seen.nominal_v, seen.full_v, seen.end_v))]
    told += [write(row.left, row.unit, 2) for row in made.margins if row.key != "low"]
    if made.ready_made:
        return told
    told += [part.what for part in made.parts]
    told += [step.sentence for step in made.steps if step.kind not in ("join", "close")]
    told += [reading.range_words for reading in made.readings if reading.stage != "grows"]
    told += [
        caution.sentence
        for situation in made.cautions.values()
        for caution in situation
        if caution.severity == "danger"
        and made.pack.cell_count > 1
        and (caution.key != "strings_apart" or made.pack.parallel > 1)
    ]
    return told


def small_print(made):
    """What is taken for granted, and where it comes from."""
    return [told for pair in made.assumptions for told in pair]


def see_one_page(made, paper, tmp_path):
    """All on one page, no letter below its floor."""
    pdf = printed(made, paper, tmp_path)
    (page,) = pdf.pages
    text = plain(page.extract_text())
    for told in (*all_told(made), *small_print(made)):
        assert plain(told) in text, told
    for reading in made.readings:
        assert plain(reading.range_words) in text
    sizes = sizes_of_letters(pdf)
    assert min(sizes) >= LEAST_SMALL_PT - 0.05
    small = sum(len(plain(told)) for told in small_print(made))
    assert sum(size < LEAST_PT - 0.05 for size in sizes) <= 1.3 * small + 120


@ROUND
@pytest.mark.parametrize(("cell", "series", "parallel"), SAMPLE)
def test_a_pack_takes_one_page(cell, series, parallel, paper, tmp_path):
    see_one_page(plan(cell, series, parallel), paper, tmp_path)


@ROUND
@pytest.mark.parametrize("load", range(4))
def test_a_long_name_and_what_feeds_the_device_leave_it_one_page(load, paper, tmp_path):
    see_one_page(plan("nimh-aa", 9, 3, LONG, load, lead_m=2.5), paper, tmp_path)
    see_one_page(plan("lead-acid-12v-7ah", 3, 2, LONG, load, lead_m=2.5), paper, tmp_path)


@pytest.mark.long
@ROUND
@pytest.mark.parametrize("cell", CELLS)
def test_every_pack_a_club_builds_takes_one_page(cell, paper, tmp_path):
    seen = 0
    for at, (_, series, parallel) in enumerate(each for each in FAMILY if each[0] == cell):
        try:
            made = plan(cell, series, parallel, LONG if at % 2 else "Mast", at % 4)
        except (pl.PackError, AssertionError):
            # More in line or side by side than this cell allows, or than 60 V do.
            continue
        see_one_page(made, paper, tmp_path)
        seen += 1
    assert seen


@ROUND
@pytest.mark.parametrize(("cell", "series", "parallel"), JOINTS_APART)
def test_only_of_giant_packs_the_joints_take_a_second_page(cell, series, parallel, paper, tmp_path):
    made = plan(cell, series, parallel)
    first, second = (plain(each.extract_text()) for each in printed(made, paper, tmp_path).pages)
    for told in (*all_told(made), "Page 2 has the joints."):
        assert plain(told) in first, told
    assert second.startswith("jointsofstep5")
    grows = {reading.range_words for reading in made.readings if reading.stage == "grows"}
    assert grows
    for told in (*grows, *small_print(made)):
        assert plain(told) in second, told


@ROUND
def test_letters_are_as_large_as_fit(paper, tmp_path):
    def body(*pack):
        sizes = sizes_of_letters(printed(plan(*pack), paper, tmp_path))
        return max(set(sizes), key=sizes.count)

    few, some, many = body("alkaline-aa", 4, 1), body("nimh-aa", 4, 2), body("nimh-aa", 10, 3)
    assert few == pytest.approx(10, abs=0.05)
    assert 10 >= some > many >= LEAST_PT


@pytest.mark.parametrize("paper", printing.PAPERS)
def test_no_smaller_letters_without_need(paper):
    """The next larger letters would not have left one page."""
    made = plan("nimh-aa", 5, 3)
    used = re.search(r'<div style="font-size: ([\d.]+)pt">', made_of.build_sheet(made, paper))[1]
    larger = columns.LETTERS_PT[columns.LETTERS_PT.index(float(used)) - 1]
    assert larger > float(used)
    drawn = made_of._drawn(made_of._pictures(made), columns.room(paper, larger))
    for left in made_of._LEFT:
        room = columns.room(paper, larger, left)
        assert not made_of._page(made, drawn, room, False, True).fits


def test_with_letters_of_one_size_a_pack_would_not_fit(tmp_path, monkeypatch):
    monkeypatch.setattr(columns, "LETTERS_PT", (10.0,))
    assert len(printed(plan("nimh-aa", 5, 3), "letter", tmp_path).pages) > 1


def test_a_sheet_that_grew_would_be_seen(tmp_path, monkeypatch):
    made = plan("nimh-aa", 10, 3)
    monkeypatch.setattr(made_of.build_blocks, "escaped", lambda *told: [*told, *told])
    assert len(printed(made, "letter", tmp_path).pages) > 1


def test_a_paper_there_is_not_is_told():
    with pytest.raises(pl.PackError, match="a5"):
        made_of.build_sheet(plan("nimh-aa", 1, 1), "a5")
