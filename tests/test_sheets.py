"""Paper: every task once a seat, answers in the key only, hostile texts, the same bytes again."""

import functools
import html
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from packlearn import places
from packlearn.classroom.seats import first_variant
from packlearn.command import main
from packlearn.errors import BadValue, UnknownName
from packlearn.panels.illustrations import illustration
from packlearn.sheets import around, base, cards, fitting, on_paper, printing, task_sheets
from packlearn.tasks import bank, checking, reasons
from packlearn.words import word

CODE = "HEDGE7"
PAGES = [name for name in bank.pages() if not name.startswith("lesson")]
SEATS = 3
VOID = {"meta", "br"}


@functools.cache
def made(name):
    """Page, tasks, copies, learners' sheets and key of a page."""
    page = bank.page(name)
    tasks, _ = task_sheets.choose(page)
    copies = task_sheets.copies_of_class(CODE, SEATS)
    sheets = task_sheets.sheets(page, tasks, copies, illustration)
    head = task_sheets.head_of_class(CODE, SEATS)
    return page, tasks, copies, sheets, task_sheets.key(page, tasks, copies, head)


class Balanced(HTMLParser):
    """Sees that each tag is closed, and lists tags and attributes."""

    def __init__(self, text):
        super().__init__()
        self.open, self.tags, self.names = [], set(), set()
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.names.update(name for name, _ in attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.add(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def blocks(sheets):
    """HTML of each task, sheet by sheet."""
    return [part.split('<td class="block">')[1:] for part in sheets.split("<section")[1:]]


@pytest.mark.parametrize("name", PAGES)
def test_every_task_comes_once_a_seat_with_the_seats_own_numbers(name):
    page, tasks, _, sheets, _ = made(name)
    assert len(tasks) == sum(task.kind not in on_paper.ON_SCREEN_ONLY for task in page.tasks)
    seats = blocks(sheets)
    assert len(seats) == SEATS
    for seat, found in enumerate(seats, 1):
        assert len(found) == len(tasks)
        for task, block in zip(tasks, found, strict=True):
            variant = checking.variant(task, first_variant(CODE, seat))
            assert base.text(checking.text_of(variant)) in block
    assert [f"Class {CODE} · seat {seat:02d}" in sheets for seat in (1, SEATS, SEATS + 1)] == [
        True,
        True,
        False,
    ]


@pytest.mark.parametrize("name", PAGES)
def test_answers_stand_in_the_key(name):
    _, tasks, copies, _, key = made(name)
    for copy in copies:
        part = key.split(f"<caption>{copy.head}</caption>")[1].split("</table>")[0]
        rows = part.replace("\u00a0", " ").split("<tr>")[2:]
        for task, row in zip(tasks, rows, strict=True):
            variant = checking.variant(task, copy.number)
            assert base.text(task_sheets.answer_line(variant)) in row
            for rule, value in checking.wrong_values(variant):
                assert base.text(f"{rule.id}: {value}") in row
                assert base.text(rule.did) in key


def told_anyway(task, variant):
    """Whether the question itself holds the answer's text, as for a choice."""
    options = " ".join(checking.options_of(variant).values()) if task.kind == "choice" else ""
    lead = " ".join(checking.lead(variant))
    return " ".join((checking.text_of(variant), lead, options))


def see_no_number(variant, block):
    """The answer's numbers stand nowhere but in the question; how many were looked for."""
    drawn = illustration(variant, False)
    told = told_anyway(variant.task, variant) + (drawn.sentence if drawn else "")
    compared = 0
    for answer in re.split(r"[()]", checking.answer_in_words(variant)):
        if not re.search(r"\d", answer) or answer.strip() in told:
            continue
        compared += 1
        whole = rf"(?<![\w.]){re.escape(answer.strip())}(?![\w]|\.\d)"
        assert not re.search(whole, html.unescape(block)), variant.task.id
    return compared


def options_in(block):
    return [
        html.unescape(text)
        for text in re.findall(r'<li><span class="box"></span>(.*?)</li>', block)
    ]


def see_plain_options(variant, block):
    """All options look alike and stand in one order, whichever of them holds."""
    wished = list(checking.options_of(variant).values())
    if variant.task.kind == "reason":
        wished += reasons.reasons_of(variant.task).values()
    assert options_in(block) == wished
    assert block.count("<li") == len(wished)
    return len(wished)


def see_shuffled(variant, block):
    """The steps stand there without numbers, and not in the order of the answer."""
    rows = re.findall(r'<tr><td class="empty"></td><td>(.*?)</td></tr>', html.unescape(block))
    right = re.findall(r"\(\d+\) ([^;]*)", checking.answer_in_words(variant))
    right = [f"{text.strip()}." for text in right]
    assert sorted(rows) == sorted(right)
    assert rows != right
    return len(rows)


def see_no_mark(variant, block):
    """Nothing in the picture is marked; of a wiring to be built no link is drawn."""
    looks = {look for found in re.findall(r'class="(pl-[^"]*)"', block) for look in found.split()}
    assert not {look for look in looks if look.startswith(("pl-mark", "pl-yes", "pl-no"))}
    if variant.task.kind == "wire":
        assert not looks & {"pl-strip", "pl-thin-strip", "pl-wire"}
    return len(looks)


LEAKS = dict.fromkeys(
    ("number", "count", "name", "range", "estimate", "numbers", "design"), see_no_number
)
LEAKS |= {"choice": see_plain_options, "reason": see_plain_options, "order": see_shuffled}
LEAKS |= {"wire": see_no_mark, "pick": see_no_mark}


@pytest.mark.parametrize("name", PAGES)
def test_no_answer_stands_on_a_learners_sheet(name):
    _, tasks, copies, sheets, _ = made(name)
    compared = 0
    for copy, found in zip(copies, blocks(sheets), strict=True):
        for task, block in zip(tasks, found, strict=True):
            compared += LEAKS[task.kind](checking.variant(task, copy.number), block)
    assert compared
    assert "<!--" not in sheets
    assert "M0" not in re.sub(r"<style>.*?</style>| d=\"[^\"]*\"", "", sheets, flags=re.DOTALL)


def test_every_kind_on_paper_is_looked_at_for_leaks():
    on_pages = {task.kind for name in PAGES for task in bank.page(name).tasks}
    assert set(LEAKS) == set(on_paper._ROOMS)
    assert on_pages - set(on_paper.ON_SCREEN_ONLY) <= set(LEAKS)


def block_of(kind, change):
    task = next(t for name in PAGES for t in bank.page(name).tasks if t.kind == kind)
    variant = checking.variant(task, first_variant(CODE, 1))
    return variant, change(on_paper.block(1, variant, illustration))


@pytest.mark.parametrize(
    ("kind", "change"),
    [
        ("choice", lambda block: block.replace("<li>", '<li class="right">', 1)),
        ("choice", lambda block: block.replace("</span>", "</span>* ", 2)),
        ("order", lambda block: re.sub(r'<td class="empty"></td>', "<td>1</td>", block)),
        ("wire", lambda block: block.replace("pl-cell", "pl-strip", 1)),
        ("pick", lambda block: block.replace("pl-wire", "pl-mark-ring", 1)),
    ],
)
def test_a_leak_of_each_sort_would_be_seen(kind, change):
    variant, kept = block_of(kind, lambda block: block)
    LEAKS[kind](variant, kept)
    with pytest.raises(AssertionError):
        LEAKS[kind](*block_of(kind, change))


def sizes_pt(text):
    """Printed sizes of all labels of pictures [pt], and widths of the pictures."""
    for svg in re.findall(r"<svg.*?</svg>", text, flags=re.DOTALL):
        width, units = re.search(r'width="([\d.]+)pt".*?viewBox="\S+ \S+ ([\d.]+)', svg).groups()
        scale = float(width) / float(units)
        yield float(width), [float(s) * scale for s in re.findall(r'font-size="([\d.]+)"', svg)]


@pytest.mark.parametrize("name", PAGES)
def test_labels_of_pictures_are_as_large_as_text_and_fit_the_page(name):
    pictures = list(sizes_pt(made(name)[3]))
    for width, sizes in pictures:
        assert width <= base.COLUMN_PT + 0.1
        assert all(size >= 11.95 for size in sizes)
    seen = [width for width, sizes in pictures if sizes]
    assert bool(seen) == any(
        task.picture or task.kind in ("wire", "pick") for task in made(name)[1]
    )


def test_labels_of_bench_cards_are_as_large_as_text():
    found = list(sizes_pt(cards.bench_cards()))
    assert len(found) == len(cards.cards())
    assert all(width <= cards._HOLDER_PT + 0.1 and min(sizes) >= 11.95 for width, sizes in found)


def test_texts_are_set_in_twelve_points_and_keys_in_ten():
    rules = re.findall(r"([^{}]+)\{[^{}]*?(?:font-size:|font:) ?([\d.]+)pt", base.paper_style())
    small = {rule.strip(): float(size) for rule, size in rules if float(size) < 12}
    # The number of the page at the foot, the key, and the one page that is taken to the bench.
    small = {
        rule.split()[-1]: size for rule, size in small.items() if not rule.startswith(".build")
    }
    assert small == {"@bottom-right": 9.0, ".key": 10.5}


def test_a_fitted_picture_holds_all_it_held():
    svg = (
        '<svg width="800" height="300" viewBox="0 0 800 300"><text x="100" y="100" font-size="12" '
        'text-anchor="middle">ab</text><path class="x" d="M90 120h20v10a5 5 0 1 0 10 0V90z"/></svg>'
    )
    found = fitting.fitted(svg, 476.0)
    left, top, width, height = map(float, re.search(r'viewBox="([^"]*)"', found)[1].split())
    assert left <= 90 - fitting.MARGIN
    assert left + width >= 120 + fitting.MARGIN
    assert top <= 88
    assert top + height >= 135
    assert (width, height) < (60, 60)
    narrow = fitting.fitted(svg.replace("M90", "M0 0h800M90"), 400.0)
    (size,) = re.findall(r'font-size="([\d.]+)"', narrow)
    assert float(size) * 400 / 808 == pytest.approx(12, rel=0.01)


def test_lines_that_grow_into_each_other_are_moved_apart():
    svg = (
        '<svg width="860" height="99" viewBox="0 0 860 99"><path d="M0 0h860"/>'
        '<text x="14" y="50" font-size="15">name</text>'
        '<text x="14" y="66" font-size="12">kind</text></svg>'
    )
    one, two = map(float, re.findall(r' y="([\d.]+)"', fitting.fitted(svg, 430.0)))
    assert two == 66
    assert two - one >= 1.15 * 24


def test_a_leak_would_be_seen():
    page, tasks, copies, _, _ = made("predict-the-pack")
    task = next(task for task in tasks if task.picture and task.kind == "number")
    variant = checking.variant(task, copies[0].number)
    leaking = on_paper.block(1, variant, lambda variant, shown: illustration(variant, True))
    kept = on_paper.block(1, variant, illustration)
    assert leaking != kept


@pytest.mark.parametrize("name", PAGES)
def test_the_documents_are_whole_and_need_nothing_from_outside(name):
    for text in made(name)[3:]:
        seen = Balanced(text)
        assert seen.open == []
        assert not seen.tags & {"script", "link", "img", "iframe", "image", "use", "a"}
        assert not seen.names & {"src", "href", "onload", "onclick"}
        assert "var(" not in text
        assert "url(" not in text
        assert "http" not in text.replace("http://www.w3.org/2000/svg", "").replace(
            "http-equiv", ""
        )


def test_the_same_sheets_come_again():
    page, tasks, copies, sheets, key = made("meet-the-need")
    assert task_sheets.sheets(page, tasks, copies, illustration) == sheets
    head = task_sheets.head_of_class(CODE.lower(), str(SEATS))
    assert task_sheets.key(page, tasks, copies, head) == key
    other = task_sheets.sheets(page, tasks, task_sheets.copies_of_class("BAT72", 3), illustration)
    assert other != sheets


def test_hostile_texts_are_shown_as_text():
    evil = "</td></table><script>alert(1)</script><img src=x onerror=alert(1)>\x00\u202e&amp;"
    page, tasks, copies, _, _ = made("predict-the-pack")
    page = replace(page, title=evil)
    task = replace(tasks[0], text=evil + " {series}", picture="")
    sheets = task_sheets.sheets(page, (task,), copies, illustration)
    key = task_sheets.key(page, (task,), copies, evil)
    for text in (
        sheets,
        key,
        base.document(evil, [base.frame(evil, evil, [base.row(base.field(evil))])]),
    ):
        assert not {"\x00", "\u202e"} & set(text)
    for text in (sheets, key):
        seen = Balanced(text)
        assert seen.open == []
        assert not seen.tags & {"script", "img"}
        assert "&lt;script&gt;" in text
    parts = [
        base.table([evil], [[evil]], evil),
        base.bullets([evil], "ticks"),
        base.ticks([evil], evil),
        base.field(evil),
        base.section(evil),
        base.paragraph(evil),
    ]
    assert all("<script" not in part for part in parts)


def test_tasks_are_chosen_by_id_and_by_number():
    page = bank.page("predict-the-pack")
    some, _ = task_sheets.choose(page, ["kit-count", "lantern-volts", "kit-count"])
    assert [task.id for task in some] == ["kit-count", "lantern-volts"]
    for count in (1, 5, len(page.tasks), 99):
        tasks, _ = task_sheets.choose(page, (), count)
        assert len(tasks) == len(set(tasks)) == min(count, len(page.tasks))
    _, left_out = task_sheets.choose(bank.page("find-the-fault"))
    assert {task.kind for task in left_out} == {"fault"}


def test_what_cannot_be_made_is_told():
    page = bank.page("find-the-fault")
    with pytest.raises(UnknownName, match="fault-of-three"):
        task_sheets.choose(page, ["no-such"])
    with pytest.raises(BadValue, match="screen"):
        task_sheets.choose(page, ["fault-of-three"])
    with pytest.raises(BadValue, match="--count"):
        task_sheets.choose(page, (), 0)
    for count in (0, 41):
        with pytest.raises(BadValue, match="1 to 40"):
            task_sheets.copies_of_variants(count)
    with pytest.raises(BadValue, match="a4"):
        printing.pdf("", "x.pdf", "a5")


def test_every_kind_has_a_paper_form_or_needs_a_screen():
    kinds = {task.kind for name in bank.pages() for task in bank.page(name).tasks}
    for name in bank.pages():
        for task in bank.page(name).tasks:
            assert on_paper.fits_paper(task) != (task.kind in on_paper.ON_SCREEN_ONLY), task.kind
    assert {"number", "choice", "wire", "fault"} <= kinds


# Around the lesson.


def test_bench_cards_tell_what_to_expect():
    text = cards.bench_cards()
    assert Balanced(text).open == []
    assert [card["lesson"] for card in cards.cards()] == [2, 3, 6, 9]
    one, crossed, _ = cards.cards()[0]["reading"]
    # A rested cell gives 1.30 V to 1.40 V; the meter may be off by 0.5 % and 0.02 V.
    low, high = cards.expected_v(cards.cards()[0], one)
    assert (low, high) == pytest.approx((1.30 - 0.0265, 1.40 + 0.027), abs=1e-5)
    assert cards.expected_v(cards.cards()[0], crossed) == pytest.approx((-high, -low), abs=1e-5)
    off, on, _ = (cards.expected_v(cards.cards()[2], r) for r in cards.cards()[2]["reading"])
    # Three cells of twice 0.03 ohm and 0.3 ohm of contacts against 9.5 ohm.
    assert on[0] + 0.5e-2 * 3.9 * 9.5 / 9.98 + 0.02 == pytest.approx(3.9 * 9.5 / 9.98, abs=1e-3)
    assert on[0] < off[0]
    assert on[1] < off[1]


def test_bench_cards_are_safe():
    for card in cards.cards():
        cell = cards.find_cell(card["cell"])
        assert cell.chemistry in cards.SAFE_CHEMISTRIES
        assert card["series"] == 1 or {"fuse", "resistor"} & set(card["kit"])
        texts = word(f"sheets.cards.lesson_{card['lesson']}")
        assert set(texts["readings"]) == {reading["id"] for reading in card["reading"]}
        assert texts["cautions"]


def test_the_prediction_stands_before_what_to_expect():
    for part in cards.bench_cards().split("<section")[2:]:
        assert part.index(word("sheets.cards.heads.predict")) < part.index('class="fold"')
        assert not re.search(r"\d\.\d\d V", part[: part.index('class="fold"')])


def test_the_five_questions_and_their_key():
    sheet, key = around.before(), around.before_key()
    answers = [answer for *_, answer in around.questions()]
    assert answers[2:] == ["350 mA", "4.7 kohm", "0.5 A"]
    assert all(base.text(answer) in key for answer in answers)
    assert not any(answer in sheet for answer in answers[2:])
    assert sheet.count('class="number"') == 5


def test_a_seat_list_has_a_line_a_seat():
    text = around.seat_list("bat72", 24)
    assert "BAT72" in text
    assert text.count('<td class="empty">') == 48
    assert len(blocks(text)[0]) == 3
    assert "<td>24</td>" in text


def test_formulas_and_words_of_the_trade():
    text = around.formulas()
    for name in ("C-rate", "derating", "end voltage", "sag", "5S3P"):
        assert name in text


# The command.


def test_the_command_writes_sheets_and_key(tmp_path, capsys):
    argv = ["sheets", "find-the-fault", "--class", "hedge7", "--seats", "2", "--to", str(tmp_path)]
    assert main(argv) == 0
    told = capsys.readouterr().out
    assert "fault-of-three" in told
    names = {path.name for path in tmp_path.iterdir()}
    assert {"find-the-fault-HEDGE7.html", "find-the-fault-HEDGE7-key.html"} <= names


@pytest.mark.parametrize("what", ["cards", "formulas", "before", "seats"])
def test_the_command_writes_what_lies_around(what, tmp_path):
    assert main(["sheets", what, "--to", str(tmp_path)]) == 0
    assert list(tmp_path.glob("*.html"))


def pages_of(path):
    """Pages of a PDF, counted by another reader."""
    return len(pytest.importorskip("pypdf").PdfReader(path).pages)


@pytest.mark.parametrize("paper", printing.PAPERS)
def test_the_command_tells_the_pages_of_paper(paper, tmp_path, capsys):
    argv = ["sheets", "meet-the-need", "--class", "HEDGE7", "--seats", "3", "--count", "2"]
    assert main([*argv, "--paper", paper, "--to", str(tmp_path)]) == 0
    told = capsys.readouterr().out.splitlines()[1]
    sheets, key = (pages_of(tmp_path / f"meet-the-need-HEDGE7{end}.pdf") for end in ("", "-key"))
    assert sheets >= 3
    assert told == (
        f"Pages of paper: meet-the-need-HEDGE7.pdf {sheets}, "
        f"meet-the-need-HEDGE7-key.pdf {key}, {sheets + key} in all."
    )


def test_one_file_has_no_sum_of_pages(tmp_path, capsys):
    assert main(["sheets", "cards", "--to", str(tmp_path)]) == 0
    count = pages_of(tmp_path / "bench-cards.pdf")
    assert f"Pages of paper: bench-cards.pdf {count}.\n" in capsys.readouterr().out


def test_without_a_printer_the_html_is_there_and_the_mend_told(tmp_path, capsys, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "plutoprint", None)
    assert main(["sheets", "formulas", "--to", str(tmp_path)]) == 0
    told = capsys.readouterr().out
    assert f"{places.python_command()} -m pip install plutoprint." in told
    assert "Pages of paper" not in told
    assert [path.name for path in tmp_path.iterdir()] == ["formulas.html"]


def test_a_folder_that_is_a_file_is_told(tmp_path, capsys):
    (tmp_path / "file").write_text("")
    assert main(["sheets", "formulas", "--to", str(tmp_path / "file")]) == 2
    assert "--to" in capsys.readouterr().err
