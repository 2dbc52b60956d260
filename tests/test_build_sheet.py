"""The build sheet: its numbers worked out again, nothing to build of lithium, hostile names."""

import html
import re
import tomllib
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from test_build_plan import BUILT, FIT, plan

import packlearn as pl
from packlearn.building import plan_for
from packlearn.command import main
from packlearn.errors import BadValue
from packlearn.pictures.build_circuit import build_circuit
from packlearn.pictures.drawing import text_width
from packlearn.sheets.build_sheet import build_sheet

# Words of putting cells together: no order sheet has one.
BUILDING = re.compile(
    r"\bjoin\b|\bjoints?\b|\bstrips?\b|\blinks?\b|solder|\bnickel\b|\bholders?\b|\d+[A-H][+\u2212-]",
    re.IGNORECASE,
)
LITHIUM = [name for name, cell in pl.catalogue().items() if cell.ready_made_only]
VOID = {"meta", "br"}


class Balanced(HTMLParser):
    """Sees that each tag is closed, and keeps the text and the tags."""

    def __init__(self, content):
        super().__init__(convert_charrefs=True)
        self.open, self.tags, self.texts = [], [], []
        self.feed(content)
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "style" not in self.open:
            self.texts.append(data)


def text_of(content):
    return " ".join(" ".join(Balanced(content).texts).split())


def heard(content):
    """The text, and what pictures tell in words."""
    told = re.findall(r'aria-label="([^"]*)"', content)
    return " ".join([text_of(content), *map(html.unescape, told)])


# What stands on it.


@pytest.mark.parametrize("name", FIT)
def test_the_sheet_is_one_sound_document(name):
    content = build_sheet(plan(name, name="Path lantern"))
    shown = text_of(content)
    assert shown.count("Path lantern") >= 2
    assert FIT[name][1] == 1 or f"{FIT[name][1]}S{FIT[name][2]}P" in shown
    assert "://" not in content.replace("http://www.w3.org/2000/svg", "")
    assert "{" not in shown


def test_six_nimh_in_numbers():
    """By hand: six cells of 1.2 V, 1.45 V, 1.0 V, 1.9 Ah, 3.8 A and 0.03 ohm, a load of 0.6 A."""
    shown = text_of(build_sheet(plan("six NiMH")))
    for told in (
        "7.2 V nominal (its mean in use), empty at 6 V.",
        "1.9 Ah, 13.7 Wh",  # 7.2 x 1.9 = 13.68
        "Cells: 3.8 A at most; short-circuited 48 A",  # 8.7 / 0.18 = 48.3
        "8.7 V 9 V 0.3 V",
        "5.98 V 5.5 V 0.48 V",  # 6 V less 0.6 A through 0.04 ohm of leads
        "Current (fuse) 1 A 0.6 A 0.4 A",  # not the cells' 0.8 x 3.8
        "3 h 10 min 3 h 10 min",  # 1.9 / 0.6 = 3.167 h
        "1.27 V to 1.43 V",  # 1.30 - 0.0265 and 1.40 + 0.027
        "2.57 V to 2.83 V",
        "7.74 V to 8.46 V",  # 7.80 - 0.059 and 8.40 + 0.062
        "0.19 A",  # a tenth of 1.9 Ah
        "14 h",  # 1.9 x 1.4 / 0.19
    ):
        assert told in shown, told


def test_two_lead_blocks_in_two_strings_in_numbers():
    shown = text_of(build_sheet(plan("lead blocks")))
    for told in (
        "24 V nominal (its mean in use), empty at 21 V.",
        "Just charged 29.4 V 30 V",
        "14 Ah, 336 Wh",
        "28 A at most; short-circuited 980 A",  # 29.4 / (2 x 0.03 / 2)
        "25.05 V to 25.95 V",  # 25.2 - 0.146 and 25.8 + 0.149
        "A and B more than 0.08 V apart?",  # 0.7 A through 2 x 2 x 0.03 ohm: 0.084 V
        "29.4 V",
    ):
        assert told in shown, told


def rows_of(content):
    """Text of each row of the tables, in order, and how many boxes to tick it has."""
    for row in re.findall(r"<tr>(.*?)</tr>", content, re.DOTALL):
        told = html.unescape(re.sub(r"\s+", " ", re.sub("<[^>]*>", " ", row)))
        yield " ".join(told.split()), row.count('class="box"')


def shown_contact(contact, strings):
    """A contact as the sheet writes it: in strings without its letter, minus as minus."""
    bare = re.sub("[A-Z]", "", contact) if strings else contact
    return bare.replace("-", "\u2212")


def is_of_parts(text, made):
    """Whether a row holds one part or two with their counts, and nothing else."""
    told = {f"{part.count} {part.what}" for part in made.parts}
    return text in told | {f"{one} {other}" for one in told for other in told}


@pytest.mark.parametrize("name", BUILT)
def test_parts_and_steps_stand_on_the_sheet_each_with_its_box(name):
    made = plan(name)
    content = build_sheet(made)
    rows = list(rows_of(content))
    assert sum(count for text, count in rows if is_of_parts(text, made)) == len(made.parts)
    told = [(step.sentence, step.reading) for step in made.steps if step.kind not in JOINTS]
    at = 0
    for sentence, reading in told:
        sentence = re.sub(r"(\d[A-Z]+)-", "\\1\u2212", sentence)
        at = next(k for k in range(at, len(rows)) if sentence in rows[k][0])
        assert rows[at][1] == 1
        if reading:
            assert reading.range_words in rows[at][0]
    numbers = [int(row.split()[0]) for row, _ in rows if re.match(r"\d+ [A-Z]\w+ .*\.", row)]
    numbers = [number for number in numbers if number < 40]
    assert numbers[-1] >= len(told)


JOINTS = ("join", "close")


@pytest.mark.parametrize("name", BUILT)
def test_each_joint_has_a_box_and_its_reading(name):
    """Joints of strings stand in one row, with a box for each string."""
    made = plan(name)
    rows = list(rows_of(build_sheet(made)))
    strings = made.pack.parallel if made.strings else 1
    kinds = JOINTS if made.form == "cable" else ("join",)
    joints = [step for step in made.steps if step.kind in kinds]
    assert len(joints) == max(0, made.pack.series - 1) * strings
    for step in joints[::strings]:
        plus = [each for each in step.contacts if each.endswith("+")]
        minus = [each for each in step.contacts if each.endswith("-")]
        first = shown_contact(plus[0], made.pack.parallel > 1)
        last = shown_contact(minus[0], made.pack.parallel > 1)
        found = [
            count
            for text, count in rows
            if re.search(rf"(?<!\w){re.escape(first)} (to \S+ )?to {re.escape(last)}", text)
            and (step.reading.range_words if step.reading else "nothing to read yet") in text
        ]
        assert found == [strings], step.sentence


@pytest.mark.parametrize("name", FIT)
def test_cautions_and_assumptions_stand_on_the_sheet(name):
    made = plan(name)
    shown = text_of(build_sheet(made))
    for situation in ("joining", "wiring", "fusing", "charging", "measuring", "storing"):
        if made.ready_made and situation in ("joining", "measuring"):
            continue
        for caution in made.cautions[situation]:
            if caution.severity == "danger" and needed(caution, made):
                assert caution.sentence in shown, (situation, caution.key)
    assert next(c.sentence for c in made.cautions["joining"] if c.key == "own_rules") in shown
    for sentence, source in made.assumptions:
        assert sentence in shown
        assert source in shown


def needed(caution, made):
    """Whether a caution goes for a pack: in one string nothing stands side by side."""
    return made.pack.parallel > 1 or caution.key not in OF_STRINGS


# The same is said in other words, and what only goes for several cells or for loose ones.
NOT_REPEATED = {"rules_of_transport", "last_joint", "fuse_first", "fuse_kind", "meter_amps"}
OF_STRINGS = {"strings_apart"}
IN_OTHER_WORDS = (
    "The fuse stands as close to the pack as can be.",
    "Never mend or bridge a fuse: one that opened had a reason.",
)
OF_SEVERAL = {"last_joint", "no_mixing", "primary_alone", "strings_apart"}
LOOSE = ("joining", "mixing", "measuring")


@pytest.mark.parametrize("name", FIT)
def test_no_caution_is_lost(name):
    made = plan(name)
    shown = text_of(build_sheet(made))
    alone = OF_SEVERAL if made.pack.cell_count == 1 else set()
    if made.fuse and not made.ready_made:
        for sentence in IN_OTHER_WORDS:
            assert sentence in shown
    if not made.ready_made:
        assert "Never set it to amps: that shorts the cells." in shown
    if made.pack.series > 1 and not made.ready_made:
        assert re.search("Last, device not connected, (join|lay in|press the snap)", shown)
    for situation, cautions in made.cautions.items():
        if made.ready_made and situation in LOOSE:
            continue
        for caution in cautions:
            spared = NOT_REPEATED | alone
            if caution.severity != "note" and caution.key not in spared and needed(caution, made):
                assert caution.sentence in shown, (situation, caution.key)


def test_a_reading_never_looks_like_a_joint():
    """Two ends of one string, told as a joint is, would be strapped together."""
    for name in BUILT:
        made = plan(name)
        shown = text_of(build_sheet(made))
        last = made.pack.series
        assert not re.search(rf"(?<!\d){last}[A-Z]?\+ to 1[A-Z]?\u2212", shown)
        if made.strings and last > 1:
            assert f"red at {last}+, black at 1\u2212" in shown


def test_what_to_do_first_comes_first():
    for name in BUILT:
        shown = text_of(build_sheet(plan(name)))
        assert "Uncover both wires, keep them apart." in shown
        assert shown.index("Uncover both wires") < shown.index("Switch on.")
        off = "Switch off, all fuses out" if plan(name).string_fuse else "Switch off"
        assert f"A reading lies outside? {off}" in shown
        assert "Do not connect the device." in shown


@pytest.mark.parametrize(
    ("name", "told"),
    [("six NiMH", "2, 3, 7, 8."), ("strings of NiMH", "2, 3, 8 to 11."), ("side by side", None)],
)
def test_cells_go_back_in_by_the_steps_of_the_sheet(name, told):
    made = plan(name)
    content = build_sheet(made)
    found = re.search(r"Back in by steps ([\d, to]+)\.", text_of(content))[1]
    assert told in (None, f"{found}.")
    numbers = []
    for part in found.split(", "):
        first, _, last = part.partition(" to ")
        numbers += range(int(first), int(last or first) + 1)
    rows = {
        int(row.split()[0]): row
        for row, _ in rows_of(content)
        if re.match(r"\d+ [A-Z]\w+ .*[.?]", row)
    }
    assert "Measure each" in rows[numbers[0]]
    assert rows[numbers[1]].split()[1] in ("Lay", "Press")
    assert "Switch on" in rows[numbers[-1]]


def test_each_block_has_a_charger_of_its_own_voltage():
    shown = text_of(build_sheet(plan("lead blocks")))
    assert "with a charger that ends at 14.7 V" in shown
    assert "charger for one such block, ends at 14.7 V" in shown


def test_a_number_and_its_unit_stay_on_one_line():
    content = build_sheet(plan("six NiMH"))
    body = re.sub(r"<[^>]*>", " ", content.partition("<body")[2])
    assert re.search("13.7\u00a0Wh", body)
    assert not re.search(r"\d (V|A|Wh|Ah|mm|min)\b", body)


def test_cells_that_are_not_charged_say_so():
    shown = text_of(build_sheet(plan("four alkaline")))
    assert "These cells must not be charged." in shown
    assert "charger for" not in shown


def test_a_pack_that_cannot_be_built_has_a_box_and_no_steps():
    need = pl.Need(load=pl.Load.current(6), run_time_h=9, voltage_v=(5.5, 9))
    made = plan_for(need, pl.Pack(pl.cell("nimh-aa"), 4, 1))
    shown = text_of(build_sheet(made))
    assert "Do not build this yet" in shown
    for sentence in made.trouble:
        assert sentence in shown
    assert "Build and measure" not in shown
    assert "1." not in re.findall(r"\b1\. [A-Z]", shown)
    # Nor does a sentence point at one.
    assert not re.search(r"\bsteps?\b(?! are left out)", shown)
    built = text_of(build_sheet(plan("six NiMH")))
    assert "Do not build this yet" not in built
    assert re.search(r"Back in by steps \d+, \d+", built)


# Lithium.

OWN = """
[our-own]
chemistry = "Li-ion"
nominal_voltage_v = 3.6
capacity_ah = 3.0
current_limit_a = 10
resistance_ohm = 0.03
title = "Our own"
"""


def own_cell(tmp_path):
    path = tmp_path / "cells.toml"
    path.write_text(OWN, encoding="utf-8")
    assert tomllib.loads(OWN)
    return pl.read_cells(path)["our-own"]


@pytest.mark.parametrize("name", [*LITHIUM, "our-own"])
@pytest.mark.parametrize(("series", "parallel"), [(1, 1), (2, 1), (4, 2), (10, 1), (13, 2)])
@pytest.mark.parametrize("amps", [0.05, 1.0, 4.0])
def test_no_order_sheet_tells_how_to_put_cells_together(name, series, parallel, amps, tmp_path):
    cell = own_cell(tmp_path) if name == "our-own" else pl.cell(name)
    pack = pl.Pack(cell, series, parallel)
    window = (0.9 * pack.end_voltage_v, min(60.0, 1.1 * pack.full_voltage_v))
    need = pl.Need(load=pl.Load.current(amps), run_time_h=0.1, voltage_v=window)
    made = plan_for(need, pack)
    assert (made.ready_made, made.links, made.joints, made.steps) == (True, None, None, None)
    content = build_sheet(made)
    assert BUILDING.findall(heard(content)) == []
    assert "<svg" not in content
    shown = text_of(content)
    assert "ready-made" in shown
    assert f"{series} in line, {parallel} side by side" in shown
    assert "Loose lithium cells are not joined, and no pack is opened." in shown


def test_a_build_sheet_has_the_words_an_order_sheet_lacks():
    assert BUILDING.findall(heard(build_sheet(plan("six NiMH"))))


def test_the_order_of_ten_li_ion_in_numbers():
    shown = text_of(build_sheet(plan("ten Li-ion")))
    for told in (
        "Nominal voltage 36 V",
        "Ends charging at 42 V",
        "3.4 Ah or more",
        "about 122 Wh",  # 36 x 3.4 = 122.4
        "2.5 A or more",  # 2 A / 0.8
        "1.7 A and ends at 42 V",  # 0.5C
        "41.27 V to 42.23 V",  # 41.5 and 42.0 with 0.5 % and 0.02 V
        "UN 38.3",
        "cannot be turned round",
    ):
        assert told in shown, told


# Hostile names.


@pytest.mark.parametrize(
    "name",
    [
        "<script>alert(1)</script>",
        '"><img src=x onerror=alert(1)>',
        "</style></title><b>",
        "a\u202eb {series} {0.__class__}",
        "&lt;b&gt; \x00\x1b",
    ],
)
@pytest.mark.parametrize("which", ["six NiMH", "four LiFePO4"])
def test_hostile_names_are_text(name, which):
    content = build_sheet(plan(which, name=name))
    plain = Balanced(build_sheet(plan(which, name="Path lantern")))
    seen = Balanced(content)
    assert seen.tags == plain.tags
    assert "\u202e" not in content
    assert "\x00" not in content


def test_a_hostile_cell_of_ones_own_is_text():
    cell = replace(pl.cell("nimh-aa"), title="<b>cell</b>", sources={"capacity_ah": "<i>me</i>"})
    need = pl.Need(load=pl.Load.current(0.6), run_time_h=3, voltage_v=(5.5, 9.0))
    content = build_sheet(plan_for(need, pl.Pack(cell, 6, 1)))
    assert "<b>cell" not in content
    assert "<i>me" not in content
    assert "&lt;b&gt;cell" in content


# The command.

NEED = ["--lowest", "5.5 V", "--highest", "9 V", "--current", "0.6 A", "--hours", "3 h"]


def test_the_command_writes_the_sheet(tmp_path, capsys):
    file = tmp_path / "lantern.html"
    more = ["--sheet", str(file), "--pack", "6S1P nimh-aa", "--name", "Path lantern"]
    assert main(["size", *NEED, *more, "--lead", "0.5m"]) == 0
    out = capsys.readouterr().out
    assert str(file) in out
    assert "6S1P NiMH AA" in out
    content = file.read_text(encoding="utf-8")
    assert "Path lantern" in content
    # The same again replaces our own file.
    assert main(["size", *NEED, *more, "--lead", "3 m"]) == 0
    assert "3\u00a0m each" in file.read_text(encoding="utf-8")


def test_the_command_takes_the_best_pack(tmp_path, capsys):
    file = tmp_path / "best"
    assert main(["size", *NEED, "--sheet", str(file)]) == 0
    out = capsys.readouterr().out
    best = out.splitlines()[0].partition(":")[0]
    shown = (tmp_path / "best.html").read_text(encoding="utf-8")
    assert best in shown.replace("\u00a0", " ")


def test_the_command_takes_cells_of_ones_own(tmp_path):
    cells = tmp_path / "cells.toml"
    cells.write_text(OWN, encoding="utf-8")
    file = tmp_path / "own.html"
    more = ["--cells", str(cells), "--sheet", str(file), "--pack", "2S1P our-own"]
    need = ["--lowest", "4 V", "--highest", "9 V", "--current", "0.6 A", "--hours", "3 h"]
    assert main(["size", *need, *more]) == 0
    assert "Order sheet" in file.read_text(encoding="utf-8")


@pytest.mark.parametrize(("pack", "pages"), [("6S1P our-nimh", 1), ("24S2P our-nimh", 2)])
def test_the_command_says_where_the_joints_take_a_second_page(pack, pages, tmp_path, capsys):
    pytest.importorskip("plutoprint")
    cells = tmp_path / "cells.toml"
    chemistry = OWN.replace("Li-ion", "NiMH").replace("our-own", "our-nimh").replace("3.6", "1.2")
    cells.write_text(chemistry, encoding="utf-8")
    series = int(pack.partition("S")[0])
    need = ["--lowest", f"{0.9 * series} V", "--highest", f"{1.6 * series} V"]
    need += ["--current", "0.6 A", "--hours", "3 h", "--cells", str(cells)]
    assert main(["size", *need, "--sheet", str(tmp_path / "a.html"), "--pack", pack]) == 0
    assert ("It takes 2 pages" in capsys.readouterr().out) == (pages == 2)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (["--lead", "1 m"], "--sheet"),
        (["--name", "x"], "--sheet"),
        (["--sheet", "FILE", "--pack", "6S1P"], "5S3P nimh-aa"),
        (["--sheet", "FILE", "--pack", "6S1P nimh-ab"], "nimh-aa"),
        (["--sheet", "FILE", "--pack", "4S2P alkaline-aa"], "sensible"),
        (["--sheet", "FILE", "--pack", "60S1P nimh-aa"], "60 V"),
        (["--sheet", "FILE", "--lead", "2"], "2 what"),
        (["--sheet", "FILE", "--lead", "2 h"], "length"),
        (["--sheet", "FILE", "--name", "x" * 61], "60"),
        (["--sheet", "FOLDER/nowhere/x.html"], "Name another file"),
    ],
)
def test_mistakes_on_the_command_line_are_told(more, told, tmp_path, capsys):
    more = [each.replace("FILE", str(tmp_path / "a.html")) for each in more]
    more = [each.replace("FOLDER", str(tmp_path)) for each in more]
    assert main(["size", *NEED, *more]) == 2
    assert told in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["mine.html", "mine.pdf"])
def test_a_file_that_is_not_ours_is_kept(name, tmp_path, capsys):
    (tmp_path / name).write_text("my own text", encoding="utf-8")
    assert main(["size", *NEED, "--sheet", str(tmp_path / "mine.html")]) == 2
    assert name in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == [name]
    assert (tmp_path / name).read_text(encoding="utf-8") == "my own text"


def test_a_pack_that_misses_the_need_is_told_and_ends_with_1(tmp_path, capsys):
    more = ["--sheet", str(tmp_path / "a.html"), "--pack", "4S1P nimh-aa"]
    assert main(["size", *NEED, *more]) == 1
    assert "Not yet" in capsys.readouterr().out
    assert "Do not build this yet" in (tmp_path / "a.html").read_text(encoding="utf-8")


def test_no_pack_no_sheet(tmp_path, capsys):
    need = ["--lowest", "5.9 V", "--highest", "6 V", "--current", "9 A", "--hours", "99 h"]
    assert main(["size", *need, "--sheet", str(tmp_path / "a.html")]) == 1
    assert "no sheet" in capsys.readouterr().out
    assert list(tmp_path.iterdir()) == []


def test_a_pdf_that_cannot_be_written_is_told(tmp_path, capsys):
    pytest.importorskip("plutoprint")
    file = tmp_path / "a.html"
    assert main(["size", *NEED, "--sheet", str(file)]) == 0
    (tmp_path / "a.pdf").unlink()
    (tmp_path / "a.pdf").mkdir()
    assert main(["size", *NEED, "--sheet", str(file)]) == 2
    assert "a.pdf cannot be written" in capsys.readouterr().err


def test_what_to_mind_with_a_fuse_is_told():
    # Between a peak of 3.7 A and the cells' 3.8 A lies no rating.
    load = pl.Load.profile([(pl.Load.current(3.7), 1), (pl.Load.current(0.1), 59)])
    need = pl.Need(load=load, run_time_h=2, voltage_v=(4.5, 9.0), current_derating=1.0)
    made = plan_for(need, pl.Pack(pl.cell("nimh-aa"), 6, 1))
    assert made.trouble == ()
    assert "time-lag fuse" in text_of(build_sheet(made))
    tube = text_of(build_sheet(plan("four alkaline")))
    assert "AC value does not count" in tube
    assert "AC value" not in text_of(build_sheet(plan("six NiMH")))
    # What a shop can be asked for: by hand 4 x 1.6 V over 4 x 0.25 ohm.
    assert "breaks 6.4 A DC or more at 6.4 V" in tube


# The circuit.


def boxes_of(picture):
    """Where each text stands: left, right, base line, size."""
    found = re.findall(
        r'<text x="([\d.]+)" y="([\d.]+)" font-size="([\d.]+)"([^>]*)>([^<]*)<', picture.svg
    )
    for x, y, size, more, content in found:
        x, y, size = float(x), float(y), float(size)
        wide = text_width(content, size, "strong" in more)
        left = x - wide / 2 if "middle" in more else x - wide if '"end"' in more else x
        yield left, left + wide, y, size, content


@pytest.mark.parametrize("strings", range(1, 7))
@pytest.mark.parametrize("guard", ["", "10.5 V"])
@pytest.mark.parametrize("fuse", ["", "0.315 A"])
def test_labels_of_the_circuit_do_not_touch(strings, guard, fuse):
    ends = [(f"10{letter}+", f"1{letter}-") for letter in "ABCDEF"[:strings]]
    own = "0.315 A" if strings > 1 else ""
    drawn = build_circuit(
        10, strings, ends=ends, name="10S1P", fuse=fuse, string_fuse=own, guard=guard
    )
    labels = list(boxes_of(drawn))
    # The strings stand where their labels begin, less 4 px.
    uprights = [left - 4 for left, *_, content in labels if content.endswith("+")]
    for left, right, *_, content in labels:
        if content[-1] in "+\u2212":
            assert not any(left < x < right for x in uprights), content
    assert len(labels) >= 2 * strings + 2
    for at, (left, right, y, size, content) in enumerate(labels):
        assert left >= 0, content
        assert right <= 460, content
        for other in labels[at + 1 :]:
            apart = right <= other[0] or other[1] <= left
            assert apart or abs(y - other[2]) >= 0.8 * max(size, other[3]), (content, other)
    assert f"Strings side by side: {strings}" in drawn.sentence
    assert (fuse or "switch") in drawn.sentence
    # A cut-off has four ends: the minus lead passes it too.
    seen = {content for *_, content in labels}
    assert ({"in +", "in \u2212", "out +", "out \u2212"} <= seen) == bool(guard)
    assert ("minus lead passes through it" in drawn.sentence) == bool(guard)
    assert ("minus lead goes straight back" in drawn.sentence) == (not guard)


def test_more_strings_than_can_be_drawn_are_told():
    with pytest.raises(BadValue):
        build_circuit(2, 7, ends=[("2A+", "1A-")] * 7)
