"""Paper as it is printed: in Chromium and as PDF, on A4 and on Letter, no task split."""

import functools
import io
import re
from types import SimpleNamespace

import pytest
from test_build_plan import plan

from packlearn.panels.illustrations import illustration
from packlearn.quantities import write
from packlearn.sheets import around, cards, printing, task_sheets
from packlearn.sheets.build_sheet import build_sheet
from packlearn.tasks import bank, checking
from packlearn.words import word
from tests.pdf_letters import plain, sizes_of_letters

pypdf = pytest.importorskip("pypdf")
pytest.importorskip("plutoprint")

# Width and height [pt].
SIZES = {"a4": (595.3, 841.9), "letter": (612, 792)}
PAGES = ("predict-the-pack", "wiring-names", "under-load")
SHEETS = (
    "one alkaline",
    "four alkaline",
    "six NiMH",
    "strings of NiMH",
    "side by side",
    "one lead block",
    "lead blocks",
    "two 9 V blocks",
    "ten Li-ion",
)
JOINTS = ("join", "close")
CODE = "HEDGE7"
ROUND = pytest.mark.parametrize("paper", printing.PAPERS)


@functools.cache
def made(name):
    page = bank.page(name)
    tasks, _ = task_sheets.choose(page)
    copies = task_sheets.copies_of_class(CODE, 2)
    head = task_sheets.head_of_class(CODE, 2)
    sheets = task_sheets.sheets(page, tasks, copies, illustration)
    return tasks, copies, sheets, task_sheets.key(page, tasks, copies, head)


def by_pluto(html_text, paper, tmp_path):
    path = tmp_path / "sheet.pdf"
    printing.pdf(html_text, path, paper)
    return pypdf.PdfReader(path)


def by_chromium(browser, html_text, paper):
    page = browser.new_page()
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.set_content(html_text)
    data = page.pdf(format={"a4": "A4", "letter": "Letter"}[paper], print_background=True)
    page.close()
    assert asked == []
    return pypdf.PdfReader(io.BytesIO(data))


def texts_of(pdf):
    return [plain(page.extract_text()) for page in pdf.pages]


def see_that_no_task_is_split(pdf, tasks, copies):
    """Each page holds as many ends of tasks as beginnings, and each task once a copy."""
    asked = [checking.text_of(checking.variant(t, c.number)) for c in copies for t in tasks]
    begun, at = [plain(text)[:34] for text in asked], 0
    # The opening sentence has the words looked for, too.
    opening = plain(word("sheets.task.how"))
    pages = [text.replace(opening, "") for text in texts_of(pdf)]
    for text in pages:
        here, place = 0, 0
        while at < len(begun) and (found := text.find(begun[at], place)) >= 0:
            # Nothing of a task before stands on top of the page.
            if here == 0:
                assert "reason" not in text[:found]
            place, here, at = found + 1, here + 1, at + 1
        assert text.count("howsure") == here
        assert text.count("reason") == here
        assert "class" + CODE.lower() + "seat" in text
    assert at == len(begun)


def see_size(pdf, paper):
    for page in pdf.pages:
        size = float(page.mediabox.width), float(page.mediabox.height)
        assert size == pytest.approx(SIZES[paper], abs=1)


def fonts_of(pdf):
    for page in pdf.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            font = font.get_object()
            inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
            yield inner["/FontDescriptor"].get_object()


@ROUND
@pytest.mark.parametrize("name", PAGES)
def test_pdf_splits_no_task(name, paper, tmp_path):
    tasks, copies, sheets, _ = made(name)
    pdf = by_pluto(sheets, paper, tmp_path)
    see_size(pdf, paper)
    see_that_no_task_is_split(pdf, tasks, copies)
    assert f"page1of{len(pdf.pages)}" in texts_of(pdf)[0]


@ROUND
@pytest.mark.browser
@pytest.mark.parametrize("name", PAGES)
def test_chromium_splits_no_task(name, paper, browser):
    tasks, copies, sheets, _ = made(name)
    pdf = by_chromium(browser, sheets, paper)
    see_size(pdf, paper)
    see_that_no_task_is_split(pdf, tasks, copies)


def test_a_split_task_would_be_seen(tmp_path):
    tasks, copies, sheets, _ = made("predict-the-pack")
    first, second, *rest = (page.extract_text() for page in by_pluto(sheets, "a4", tmp_path).pages)
    see_that_no_task_is_split(paged(first, second, *rest), tasks, copies)
    at = first.rindex("Reason")
    with pytest.raises(AssertionError):
        see_that_no_task_is_split(paged(first[:at], first[at:] + second, *rest), tasks, copies)


def paged(*texts):
    """Pages with these texts, as a reader of PDF gives them."""
    return SimpleNamespace(pages=[SimpleNamespace(extract_text=lambda t=t: t) for t in texts])


@ROUND
def test_fonts_are_embedded_and_the_key_can_be_read(paper, tmp_path):
    tasks, copies, _, key = made("predict-the-pack")
    pdf = by_pluto(key, paper, tmp_path)
    fonts = list(fonts_of(pdf))
    assert fonts
    assert all({"/FontFile", "/FontFile2", "/FontFile3"} & set(font) for font in fonts)
    whole = "".join(texts_of(pdf))
    for copy in copies:
        for task in tasks:
            variant = checking.variant(task, copy.number)
            for rule, value in checking.wrong_values(variant):
                assert plain(f"{rule.id}: {value}") in whole


@ROUND
def test_each_bench_card_takes_one_page(paper, tmp_path):
    assert len(by_pluto(cards.bench_cards(), paper, tmp_path).pages) == 1 + len(cards.cards())


@ROUND
def test_a_seat_list_begins_on_its_first_page(paper, tmp_path):
    texts = texts_of(by_pluto(around.seat_list(CODE, 24), paper, tmp_path))
    assert len(texts) == 1
    assert "0102" in texts[0]
    long = texts_of(by_pluto(around.seat_list(CODE, 40), paper, tmp_path))
    assert len(long) == 2
    assert "0102" in long[0]
    assert "3940" in long[1]


@ROUND
@pytest.mark.browser
def test_chromium_prints_cards_and_the_rest_on_one_page_each(paper, browser):
    count = 1 + len(cards.cards())
    assert len(by_chromium(browser, cards.bench_cards(), paper).pages) == count
    for sheet in (around.formulas(), around.before(), around.before_key()):
        assert len(by_chromium(browser, sheet, paper).pages) == 1


# Build sheets and order sheets: one page, on both papers.


@functools.cache
def planned(which, paper):
    made = plan(which, name="Path lantern")
    return made, build_sheet(made, paper)


def see_that_all_stands_on_one_page(pdf, made):
    (page,) = texts_of(pdf)
    figures = made.figures
    told = [write(volts, "V") for volts in (figures.nominal_v, figures.full_v, figures.end_v)]
    told += [reading.range_words for reading in made.readings]
    told += [part.what for part in made.parts if not made.ready_made]
    told += [step.sentence[-12:] for step in made.steps or () if step.kind not in JOINTS]
    for sentence, _ in made.assumptions:
        assert plain(sentence) in page, sentence
    told += [each.sentence for each in made.cautions["wiring"] if each.severity == "danger"]
    for each in told:
        assert plain(each) in page, each


@ROUND
@pytest.mark.parametrize("which", SHEETS)
def test_pdf_of_a_build_sheet(which, paper, tmp_path):
    made, content = planned(which, paper)
    pdf = by_pluto(content, paper, tmp_path)
    see_size(pdf, paper)
    see_that_all_stands_on_one_page(pdf, made)
    see_letters(pdf, content)


@ROUND
@pytest.mark.browser
@pytest.mark.parametrize("which", SHEETS)
def test_chromium_prints_a_build_sheet(which, paper, browser):
    made, content = planned(which, paper)
    pdf = by_chromium(browser, content, paper)
    see_size(pdf, paper)
    see_that_all_stands_on_one_page(pdf, made)


def see_letters(pdf, content):
    """Most letters have the size the page was given, and nothing is below the small print's."""
    # Nothing is too wide: the engine would make the whole page smaller.
    sizes = sizes_of_letters(pdf)
    given = float(re.search(r'<div style="font-size: ([\d.]+)pt">', content)[1])
    assert 8.5 <= given <= 10
    assert max(set(sizes), key=sizes.count) == pytest.approx(given, abs=0.06)
    assert min(sizes) == pytest.approx(max(7.5, 0.8 * given), abs=0.06)
    assert sum(size > given - 0.1 for size in sizes) > 0.55 * len(sizes)
