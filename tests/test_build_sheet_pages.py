"""Pages of build sheets and order sheets, as the library's own PDF has them."""

import pytest

import packlearn as pl
from packlearn.building import plan_for
from packlearn.quantities import write
from packlearn.sheets import build_sheet as made_of
from packlearn.sheets import printing
from tests.pdf_letters import plain, sizes_of_letters

pypdf = pytest.importorskip("pypdf")
pytest.importorskip("plutoprint")

# Cell, in line, side by side.
ONE_PAGE = [
    *(("nimh-aa", series, 1) for series in (1, 2, 4, 6)),
    ("nimh-aa", 1, 2),
    ("nimh-aa", 1, 4),
    ("nimh-c", 5, 1),
    *(("alkaline-aa", series, 1) for series in (1, 4, 8)),
    ("alkaline-d", 4, 1),
    ("zinc-carbon-aa", 3, 1),
    ("alkaline-9v", 1, 1),
    ("nimh-9v", 2, 1),
    ("lithium-coin-cr2032", 2, 1),
    ("lead-acid-12v-7ah", 1, 1),
    ("li-ion-18650-energy", 10, 1),
    ("lifepo4-26650", 4, 2),
]
# Letter is shorter than A4: there the small print of these takes a second page.
ONE_PAGE_OF_A4 = [
    *(("nimh-aa", series, 1) for series in (8, 10)),
    *(("lead-acid-12v-7ah", series, 1) for series in (2, 3)),
    ("lead-acid-12v-7ah", 1, 2),
]
# What is done at the bench takes one page, the small print a second.
SMALL_PRINT_APART = [
    *(("nimh-aa", series, 2) for series in (2, 3, 4)),
    ("lead-acid-12v-7ah", 4, 1),
]
# On A4 their joints still find room beside the other steps.
JOINTS_APART_ON_LETTER = [
    ("nimh-aa", 10, 2),
    ("nimh-aa", 5, 3),
]
JOINTS_APART = [
    ("nimh-aa", 8, 3),
    ("nimh-aa", 10, 8),
]
ROUND = pytest.mark.parametrize("paper", printing.PAPERS)


def plan(cell, series, parallel):
    pack = pl.Pack(pl.cell(cell), series, parallel)
    amps = min(0.5 * pack.current_limit_a, 0.15 * pack.capacity_ah)
    window = (0.85 * pack.end_voltage_v, min(60.0, 1.1 * pack.full_voltage_v))
    need = pl.Need(load=pl.Load.current(amps), run_time_h=2, voltage_v=window)
    made = plan_for(need, pack, name="Path lantern at the pond")
    assert made.trouble == ()
    return made


def printed(made, paper, tmp_path):
    path = tmp_path / "sheet.pdf"
    printing.pdf(made_of.build_sheet(made, paper), path, paper)
    return pypdf.PdfReader(path)


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


@pytest.mark.parametrize(
    ("cell", "series", "parallel", "paper"),
    [
        *((*pack, paper) for pack in ONE_PAGE for paper in printing.PAPERS),
        *((*pack, "a4") for pack in ONE_PAGE_OF_A4),
    ],
)
def test_a_usual_pack_takes_one_page(cell, series, parallel, paper, tmp_path):
    made = plan(cell, series, parallel)
    (page,) = printed(made, paper, tmp_path).pages
    text = plain(page.extract_text())
    for told in (*all_told(made), *small_print(made)):
        assert plain(told) in text, told
    for reading in made.readings:
        assert plain(reading.range_words) in text


def see_both_pages(pdf, made, more_first, beginning, more_second):
    first, second = (plain(each.extract_text()) for each in pdf.pages)
    for told in (*all_told(made), *more_first):
        assert plain(told) in first, told
    assert second.startswith(beginning)
    for told in (*more_second, *small_print(made)):
        assert plain(told) in second, told


def small_print(made):
    """What is taken for granted, and where it comes from."""
    return [told for pair in made.assumptions for told in pair]


@pytest.mark.parametrize(
    ("cell", "series", "parallel", "paper"),
    [
        *((*pack, paper) for pack in SMALL_PRINT_APART for paper in printing.PAPERS),
        *((*pack, "letter") for pack in ONE_PAGE_OF_A4),
        *((*pack, "a4") for pack in JOINTS_APART_ON_LETTER),
    ],
)
def test_where_the_bench_takes_a_page_the_small_print_takes_a_second(
    cell, series, parallel, paper, tmp_path
):
    made = plan(cell, series, parallel)
    readings = [reading.range_words for reading in made.readings]
    see_both_pages(printed(made, paper, tmp_path), made, readings, "smallprint", [])


@pytest.mark.parametrize(
    ("cell", "series", "parallel", "paper"),
    [
        *((*pack, paper) for pack in JOINTS_APART for paper in printing.PAPERS),
        *((*pack, "letter") for pack in JOINTS_APART_ON_LETTER),
    ],
)
def test_of_a_large_pack_the_joints_and_the_small_print_take_a_second_page(
    cell, series, parallel, paper, tmp_path
):
    made = plan(cell, series, parallel)
    grows = {reading.range_words for reading in made.readings if reading.stage == "grows"}
    assert grows
    see_both_pages(printed(made, paper, tmp_path), made, [], "jointsofstep5", grows)


@ROUND
def test_letters_are_no_smaller_than_they_should_be(paper, tmp_path):
    for pack in (("nimh-aa", 6, 1), ("nimh-aa", 4, 2), ("lead-acid-12v-7ah", 2, 1)):
        sizes = sizes_of_letters(printed(plan(*pack), paper, tmp_path))
        assert max(set(sizes), key=sizes.count) == pytest.approx(10, abs=0.05)
        assert min(sizes) == pytest.approx(8, abs=0.05)
        # Small print and the number of the page; labels of pictures have 9 pt or more.
        assert sum(size < 8.9 for size in sizes) < 0.35 * len(sizes)
        assert not any(8.1 < size < 8.9 for size in sizes)


def test_a_sheet_that_grew_would_be_seen(tmp_path, monkeypatch):
    made = plan("nimh-aa", 6, 1)
    monkeypatch.setattr(made_of.build_blocks, "escaped", lambda *told: [*told, *told])
    assert len(printed(made, "letter", tmp_path).pages) > 1


def test_a_paper_there_is_not_is_told():
    with pytest.raises(pl.PackError, match="a5"):
        made_of.build_sheet(plan("nimh-aa", 1, 1), "a5")
