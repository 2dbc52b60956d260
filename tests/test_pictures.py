"""Pictures: well formed, of one size, nothing overlapping, and the same said in words."""

import functools
import re
import xml.etree.ElementTree as ElementTree

import matplotlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.ft2font import FT2Font

from packlearn import pictures
from packlearn.errors import BadValue, PackError
from packlearn.pictures import drawing, symbols

SVG = "{http://www.w3.org/2000/svg}"
SIZES = [(s, p) for s in range(1, 13) for p in range(1, 7)] + [(8, 8), (13, 2), (24, 24)]
NAMING = [(s, p) for s in range(1, 9) for p in range(1, 7)]
FIGURES = [("nominal voltage", "6 V"), ("current limit", "11.4 A"), ("capacity", "5.7 Ah")]
HOSTILE = "<script>alert(1)</script>\"'&\x00\x1b\ud800 {series} {0.__class__}"
WIDEST = "W" * 300
ROW = pictures.Row("6S3P NiMH AA", 6.0, 7.2, 8.7, 9.5, True)
ROWS = [
    ROW,
    *[ROW._replace(text=f"{s}S1P AA", fits=False, reason=f"{s} h short") for s in range(1, 10)],
]
CAMERA = [(0.02, 58), (0.6, 2)]
LEVELS = [("full charge", 1.45), ("rested", (1.30, 1.40)), ("nominal", 1.2), ("end", 1.0)]

EXAMPLES = {
    "cell": lambda t="NiMH AA": pictures.cell(t, [t, "1900 mAh"], 1.36, meter_dark=False),
    "levels": lambda t="NiMH AA": pictures.levels(t, [(t, 1.1), *LEVELS], (0.9, 1.6), (t, 1.36)),
    "profile": lambda t="camera": pictures.profile(CAMERA, 0.0393, 0.111, 0.6, t),
    "conversion": lambda t="": pictures.conversion(6, 1.06, 9, 0.6),
    "regulator": lambda t="": pictures.conversion(6, 0.6, 3.3, 0.6, kind="regulator"),
    "sharing": lambda t="": pictures.sharing(3, 0.6, 0.2),
    "windows": lambda t="6S1P": pictures.windows(
        [ROW._replace(text=t, reason=t), *ROWS[1:]], (5.5, 8.7), 9
    ),
    "c_rate": lambda t="NiMH AA": pictures.c_rate(0.6, 1.9, 3.8, title=t),
    "pack": lambda t="NiMH AA": pictures.pack(
        5, 3, t, 1.36, readings="volts", label=t, figures=[(t, t)] * 5
    ),
    "holder": lambda t="NiMH AA": pictures.pack(4, 2, t, layout="holder", label=t),
}


# --- what is in a drawing ---------------------------------------------------------------


def elements(picture):
    return list(ElementTree.fromstring(picture.svg).iter())


def texts(picture, without=()):
    found = [e for e in elements(picture) if e.tag == f"{SVG}text"]
    return [e for e in found if not set(without) & set(e.get("class", "").split())]


@functools.cache
def _face(bold):
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return FT2Font(f"{matplotlib.get_data_path()}/fonts/ttf/{name}")


@functools.cache
def _advance(char, bold):
    """Width of a letter of size 1, from the font itself."""
    face = _face(bold)
    face.set_size(100, 72)
    return face.load_char(ord(char)).linearHoriAdvance / 65536 / 100


def _width(element):
    runs = [element, *element]
    size = float(element.get("font-size"))
    return sum(
        _advance(char, "pl-strong" in run.get("class", "")) * size
        for run in runs
        for char in run.text or ""
    )


def box(element):
    """Left, top, right and bottom of a text."""
    width, size = _width(element), float(element.get("font-size"))
    x, y = float(element.get("x")), float(element.get("y"))
    left = x - {"start": 0, "middle": 0.5, "end": 1}[element.get("text-anchor", "start")] * width
    return left, y - 0.74 * size, left + width, y + 0.21 * size


def overlaps(picture):
    boxes = [(box(e), "".join(e.itertext())) for e in texts(picture)]
    return [
        (one, other)
        for i, (a, one) in enumerate(boxes)
        for b, other in boxes[i + 1 :]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


def outside(picture):
    root = elements(picture)[0]
    width, height = float(root.get("width")), float(root.get("height"))
    boxes = [(box(e), "".join(e.itertext())) for e in texts(picture)]
    return [t for (x1, y1, x2, y2), t in boxes if x1 < 0 or y1 < 0 or x2 > width or y2 > height]


def astray(picture):
    """Points of shapes that lie outside the picture."""
    root = elements(picture)[0]
    width, height = float(root.get("width")), float(root.get("height"))
    outlines = " ".join(e.get("d", "") for e in elements(picture))
    points = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", outlines)
    return [(x, y) for x, y in points if not (0 <= float(x) <= width and 0 <= float(y) <= height)]


def size(picture):
    root = elements(picture)[0]
    return root.get("width"), root.get("height"), root.get("viewBox")


def numbers(text):
    return set(re.findall(r"\d+(?:\.\d+)?", text))


def assert_sound(picture):
    assert overlaps(picture) == []
    assert outside(picture) == []
    assert astray(picture) == []
    assert min(float(e.get("font-size")) for e in texts(picture)) >= 11


def assert_says_its_numbers(picture, without=("pl-quiet", "pl-on-cell")):
    shown = set().union(*(numbers("".join(e.itertext())) for e in texts(picture, without)))
    assert shown <= numbers(picture.sentence)


# --- every picture ----------------------------------------------------------------------


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_image_with_one_sentence_for_those_who_hear_it(name):
    picture = EXAMPLES[name]()
    root, inner = elements(picture)[:2]
    assert root.get("role") == "img"
    assert root.get("aria-label") == picture.sentence
    assert inner.get("aria-hidden") == "true"
    assert not any(e.get("id") for e in elements(picture))
    assert {e.tag.removeprefix(SVG) for e in elements(picture)} <= {
        "svg", "g", "path", "text", "tspan",
    }  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_overlaps_and_the_sentence_has_the_numbers(name):
    assert_sound(EXAMPLES[name]())
    assert_says_its_numbers(EXAMPLES[name]())


@pytest.mark.parametrize("name", EXAMPLES)
def test_fits_a_panel_on_a_school_laptop(name):
    width, height, view = size(EXAMPLES[name]())
    assert (int(width) <= 860, int(height) <= 330) == (True, True)
    assert view == f"0 0 {width} {height}"


@pytest.mark.parametrize("name", EXAMPLES)
def test_hostile_text_stays_text(name):
    picture = EXAMPLES[name](HOSTILE)
    assert {e.tag for e in elements(picture)} <= {
        SVG + tag for tag in ("svg", "g", "path", "text", "tspan")
    }
    assert "<script" not in picture.svg
    assert "\x00" not in picture.svg + picture.sentence
    assert_sound(picture)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_text_too_long_is_cut_not_spilt(name):
    picture = EXAMPLES[name](WIDEST)
    assert_sound(picture)
    assert size(picture) == size(EXAMPLES[name]())


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_nan_and_no_exponent_in_the_coordinates(name):
    outlines = " ".join(e.get("d", "") for e in elements(EXAMPLES[name]()))
    assert not re.search(r"nan|inf|\de", outlines)


def test_on_its_own_a_picture_brings_the_style_sheet():
    html = EXAMPLES["pack"]()._repr_html_()
    assert html.startswith("<style>")
    assert ".pl-picture" in html
    assert html.endswith("</svg>")


# --- the style sheet --------------------------------------------------------------------


def _variables(block):
    return dict(re.findall(r"(--pl-[a-z-]+):\s*(#[0-9a-f]{6})", block))


def _themes():
    css = pictures.style_sheet()
    light = re.search(r":root \{(.*?)\}", css, re.S)[1]
    dark = re.search(r'\[data-jp-theme-light="false"\] \{(.*?)\}', css, re.S)[1]
    return {"light": _variables(light), "dark": _variables(dark)}


def _luminance(colour):
    # Relative luminance and contrast as WCAG 2.1 defines them.
    shares = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one, other):
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


# Text colour -> what it is written on.
TEXT_ON = {
    "ink": ("paper", "box", "window", "soft"),
    "quiet": ("paper", "window", "dark-display"),
    "on-cell": ("cell",),
    "volt": ("paper", "display"),
    "amp": ("paper",),
    "teacher-ink": ("teacher",),
}
# Colour of a line or shape -> what it stands out from.
LINE_ON = {
    "line": ("paper", "cell", "box", "window", "amp-area"),
    "strip": ("paper", "box"),
    "hatch": ("paper",),
    "ink": ("paper", "cell", "volt-area", "amp-area"),
    "volt": ("paper", "volt-area", "window"),
    "amp": ("paper", "amp-area"),
    "charge": ("paper", "charge-area"),
    "power": ("paper", "power-area"),
    "loss": ("paper", "loss-area", "soft"),
    "quiet": ("paper", "box", "cell"),
    "yes": ("paper",),
    "no": ("paper",),
    "mark": ("paper", "soft"),
}
# The notebook's own background: JupyterLab's light page, its dark page and its dark cells.
PAPERS = {"light": ("#ffffff",), "dark": ("#111111", "#212121")}


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("pairs", "least"), [(TEXT_ON, 4.5), (LINE_ON, 3.0)])
def test_contrast(theme, pairs, least):
    colours = _themes()[theme]
    low = [
        (front, back, round(contrast, 2))
        for front, backs in pairs.items()
        for back in backs
        for paper in (PAPERS[theme] if back == "paper" else (colours[f"--pl-{back}"],))
        if (contrast := _contrast(colours[f"--pl-{front}"], paper)) < least
    ]
    assert low == []


def test_both_themes_name_the_same_colours():
    themes = _themes()
    assert themes["light"].keys() == themes["dark"].keys()
    used = set(re.findall(r"var\((--pl-[a-z-]+)\)", pictures.style_sheet()))
    assert used <= themes["light"].keys()


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_class_stands_in_the_style_sheet(name):
    known = set(re.findall(r"\.(pl-[a-z-]+)", pictures.style_sheet()))
    used = {c for e in elements(EXAMPLES[name]()) for c in e.get("class", "").split()}
    assert used - known == set()


# --- pack -------------------------------------------------------------------------------


@pytest.mark.parametrize("layout", ["groups", "strings"])
@pytest.mark.parametrize(("series", "parallel"), SIZES)
def test_pack_of_every_size(series, parallel, layout):
    for steady in (True, False):
        picture = pictures.pack(
            series, parallel, "NiMH AA", 1.36, readings="volts", figures=FIGURES, layout=layout,
            steady=steady,
        )  # fmt: skip
        assert size(picture) == ("860", "330", "0 0 860 330")
        assert_sound(picture)
        assert_says_its_numbers(picture)


@pytest.mark.parametrize("shape", symbols.SHAPES)
@pytest.mark.parametrize(("series", "parallel"), [(1, 1), (5, 3), (8, 8), (12, 6)])
def test_pack_of_every_shape(series, parallel, shape):
    picture = pictures.pack(series, parallel, "some cell", 3.0, readings="volts", shape=shape)
    assert_sound(picture)
    signs = [e.get("d") for e in elements(picture) if e.get("class") == "pl-sign"]
    # One stroke for a minus, two for a plus: three a cell, and three at the leads' ends.
    assert sum(d.count("M") for d in signs) == 3 * series * parallel + 3


def test_readings_climb_cell_by_cell():
    picture = pictures.pack(5, 1, "NiMH AA", 1.36, readings="volts")
    shown = [e.text for e in texts(picture) if e.get("class") == "pl-volt"]
    assert shown == ["0 V", "1.36 V", "2.72 V", "4.08 V", "5.44 V", "6.80 V"]
    assert "0 V, 1.36 V, 2.72 V, 4.08 V, 5.44 V and 6.80 V" in picture.sentence


def test_readings_one_by_one():
    picture = pictures.pack(2, 1, "NiMH AA", readings=[0, 1.36, None])
    assert [e.text for e in texts(picture) if e.get("class") == "pl-volt"] == ["0 V", "1.36 V"]
    assert "0 V, 1.36 V and not told yet" in picture.sentence


def test_the_minus_end_stands_still_while_cells_are_added():
    def first_cell(series):
        bodies = next(
            e.get("d") for e in elements(pictures.pack(series, 2, "AA"))
            if e.get("class") == "pl-cell"
        )  # fmt: skip
        return bodies.split("z")[0]

    assert len({first_cell(series) for series in range(1, 9)}) == 1


def test_the_sentence_tells_the_wiring():
    assert "15 cells, NiMH AA. 5 groups are in line" in pictures.pack(5, 3, "NiMH AA").sentence
    assert "5 cells in line" in pictures.pack(5, 1, "NiMH AA").sentence
    assert "3 cells side by side" in pictures.pack(1, 3, "NiMH AA").sentence
    assert "one cell" in pictures.pack(1, 1, "NiMH AA").sentence
    strings = pictures.pack(5, 3, "NiMH AA", layout="strings").sentence
    assert "joined only at their two ends" in strings


def _links(series, parallel, layout):
    picture = pictures.pack(series, parallel, "AA", layout=layout)
    strips = next(e.get("d") for e in elements(picture) if e.get("class") == "pl-strip")
    return strips.count("M")


def test_strings_are_linked_only_at_the_ends():
    assert _links(5, 3, "groups") == 3 + 6
    assert _links(5, 3, "strings") == 3 + 2


@pytest.mark.parametrize("layout", ["groups", "strings", "holder"])
@pytest.mark.parametrize(("series", "parallel"), NAMING)
def test_a_pack_to_be_named_gives_no_name_and_no_count(series, parallel, layout):
    picture = pictures.pack(series, parallel, "NiMH AA", hide_counts=True, layout=layout)
    assert_sound(picture)
    assert [e.text for e in texts(picture)] == ["NiMH AA"]
    assert not re.search(r"\d\s*[SP]\b", picture.sentence)
    assert not re.search(r"\d+ (cells|groups|strings|in line|side)", picture.sentence)


@pytest.mark.parametrize(("series", "parallel"), NAMING)
def test_a_pack_to_be_named_can_be_counted_by_ear(series, parallel):
    groups = pictures.pack(series, parallel, "AA", hide_counts=True).sentence
    assert groups.count("Group ") == series
    assert groups.count(drawing.LETTERS[parallel - 1]) >= series
    assert f" {drawing.LETTERS[parallel]} side" not in groups
    holder = pictures.pack(series, parallel, "AA", hide_counts=True, layout="holder").sentence
    assert holder.count("A strip joins") == series - 1
    assert f" {series * parallel}" in holder
    if parallel > 1:
        strings = pictures.pack(series, parallel, "AA", hide_counts=True, layout="strings")
        assert strings.sentence.count("String ") == parallel


def _holder(series, parallel):
    picture = pictures.pack(series, parallel, "AA", hide_counts=True, layout="holder")
    found = {e.get("class"): e.get("d", "") for e in elements(picture)}
    return found["pl-plate"], found["pl-sign"], found["pl-cell"].count("M")


def _plates(outline):
    """Left end, right end and place of each strip that lies on cells."""
    corners = re.findall(r"M([\d.]+) ([\d.]+)h([\d.]+)a2", outline)
    return [(float(x) - 2, float(x) + float(w) + 2, float(y)) for x, y, w in corners]


def _ends(outline):
    """Each cell's minus and plus sign: which sign, where."""
    strokes = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", outline)
    middles = [((float(a) + float(c)) / 2, (float(b) + float(d)) / 2) for a, b, c, d in strokes]
    signs = zip(("minus", "plus", ""), range(3), strict=True)
    return [(sign, *middles[i]) for sign, k in signs if sign for i in range(k, len(middles), 3)]


def _touching(series, parallel):
    """How many plus and minus ends each strip touches."""
    outline, signs, _ = _holder(series, parallel)
    plates = _plates(outline)
    touched = dict.fromkeys(range(len(plates)), (0, 0))
    for sign, x, y in _ends(signs):
        on = [i for i, (left, right, _) in enumerate(plates) if left <= x <= right]
        nearest = min(on, key=lambda i: abs(plates[i][2] - y))
        plus, minus = touched[nearest]
        touched[nearest] = (plus + (sign == "plus"), minus + (sign == "minus"))
    return sorted(touched.values())


@pytest.mark.parametrize(
    ("series", "parallel"), [(1, 1), (2, 3), (4, 2), (6, 1), (1, 4), (3, 5), (5, 3), (7, 4)]
)
def test_a_holder_joins_plus_to_minus_group_by_group(series, parallel):
    assert _holder(series, parallel)[2] == series * parallel
    joined = [(parallel, parallel)] * (series - 1)
    assert _touching(series, parallel) == sorted([(0, parallel), (parallel, 0), *joined])


@pytest.mark.parametrize(("series", "parallel"), [(8, 5), (7, 5), (12, 6), (9, 4)])
def test_a_holder_of_two_rows_joins_them_once(series, parallel):
    # Between the rows two strips and a bar make one: it is counted as two ends here.
    joined = [(parallel, parallel)] * (series - 2)
    ends = [(0, parallel), (parallel, 0)] * 2
    assert _touching(series, parallel) == sorted([*ends, *joined])
    (height,) = re.findall(r"M[\d.]+ [\d.]+h[\d.]+v([\d.]+)", _holder(series, parallel)[0])
    assert float(height) < 60


def test_a_holder_of_two_rows_starts_and_ends_on_the_left():
    picture = pictures.pack(12, 6, "AA", layout="holder")
    rings = [e.get("d") for e in elements(picture) if e.get("class") == "pl-terminal"]
    assert len({ring.split(" ")[0] for ring in rings}) == 1
    assert len(set(rings)) == 2


@pytest.mark.parametrize(
    "make",
    [
        lambda: pictures.pack(0, 1, "AA"),
        lambda: pictures.pack(25, 1, "AA"),
        lambda: pictures.pack(2.5, 1, "AA"),
        lambda: pictures.pack(True, 1, "AA"),
        lambda: pictures.pack(2, 1, "AA", shape="egg"),
        lambda: pictures.pack(2, 1, "AA", layout="heap"),
        lambda: pictures.pack(2, 1, "AA", readings="volts"),
        lambda: pictures.pack(2, 1, "AA", readings=[0, 1.2]),
        lambda: pictures.pack(2, 1, "AA", 1.2, readings="volts", layout="holder"),
        lambda: pictures.pack(20, 20, "AA", layout="holder"),
        lambda: pictures.pack(2, 1, "AA", figures=FIGURES * 2),
        lambda: pictures.cell("AA", ["line"] * 4),
        lambda: pictures.cell("AA", [], shape="egg"),
        lambda: pictures.levels("AA", []),
        lambda: pictures.levels("AA", LEVELS * 3),
        lambda: pictures.profile([]),
        lambda: pictures.profile([(0.1, 0)]),
        lambda: pictures.profile([(-0.1, 1)]),
        lambda: pictures.conversion(6, 0.1, 9, 0.6),
        lambda: pictures.conversion(6, 1.06, 9, 0.6, kind="magic"),
        lambda: pictures.conversion(-6, 1.06, 9, 0.6),
        lambda: pictures.sharing(13, 0.6),
        lambda: pictures.sharing(3, 0.6, [0.3, 0.3]),
        lambda: pictures.windows([], (5, 9), 9),
        lambda: pictures.windows([ROW] * 11, (5, 9), 9),
        lambda: pictures.windows([ROW], (9, 5), 9),
        lambda: pictures.windows([ROW], (5, 9), 0),
        lambda: pictures.c_rate(1, 0, 3.8),
    ],
)
def test_what_cannot_be_drawn_is_told_with_its_mend(make):
    with pytest.raises(BadValue) as caught:
        make()
    assert isinstance(caught.value, PackError)
    assert str(caught.value.value) in str(caught.value)
    assert str(caught.value).count(". ") >= 1


# --- one cell and its meter -------------------------------------------------------------


@pytest.mark.parametrize("shape", symbols.SHAPES)
def test_a_dark_meter_tells_nothing(shape):
    dark = pictures.cell("NiMH AA", ["1.2 V"], meter_v=1.36, shape=shape)
    assert "1.36" not in dark.svg + dark.sentence
    assert "dark" in dark.sentence
    assert_sound(dark)


@pytest.mark.parametrize("shape", symbols.SHAPES)
def test_a_lit_meter_tells_its_reading(shape):
    lit = pictures.cell("NiMH AA", ["1.2 V", "1.9 Ah", "2.3 Wh"], 1.36, False, shape)
    assert "1.36 V" in [e.text for e in texts(lit)]
    assert "reads 1.36 V" in lit.sentence
    assert_sound(lit)


# --- levels -----------------------------------------------------------------------------


def test_levels_show_all_values_alike():
    picture = pictures.levels("NiMH AA", LEVELS, window=(0.9, 1.6), marker=("meter", 1.36))
    shown = [e.text for e in texts(picture) if "pl-volt" in e.get("class", "")]
    assert sorted(shown) == [
        "0.90 to 1.60 V", "1.00 V", "1.20 V", "1.30 to 1.40 V", "1.36 V", "1.45 V",
    ]  # fmt: skip
    assert "rested 1.30 to 1.40 V" in picture.sentence
    assert "device window 0.90 to 1.60 V, hatched" in picture.sentence


def _hatching(picture):
    return [e for e in elements(picture) if e.get("class") == "pl-hatch"]


def test_the_device_window_is_hatched_not_only_coloured():
    assert _hatching(pictures.levels("AA", LEVELS, window=(0.9, 1.6)))
    assert not _hatching(pictures.levels("AA", LEVELS))


volts = st.floats(0.05, 60).map(lambda v: round(v, 3))


@settings(deadline=None, derandomize=True)
@given(st.lists(volts, min_size=1, max_size=9), st.tuples(volts, volts), volts)
def test_levels_never_overlap(values, window, marker):
    named = [(f"level {i}", v) for i, v in enumerate(values)]
    picture = pictures.levels("AA", named, window=tuple(sorted(window)), marker=marker)
    assert_sound(picture)
    assert_says_its_numbers(picture)
    assert size(picture) == size(EXAMPLES["levels"]())


# --- profile ----------------------------------------------------------------------------

steps = st.lists(
    st.tuples(st.floats(0, 20).map(lambda a: round(a, 4)), st.floats(0.01, 5000)),
    min_size=1,
    max_size=12,
)


@settings(deadline=None, derandomize=True)
@given(steps)
def test_profiles_never_overlap(parts):
    period = sum(t for _, t in parts)
    mean = sum(a * t for a, t in parts) / period
    rms = (sum(a * a * t for a, t in parts) / period) ** 0.5
    picture = pictures.profile(parts, mean, rms, max(a for a, _ in parts), "device")
    assert_sound(picture)
    assert_says_its_numbers(picture)
    assert size(picture) == size(EXAMPLES["profile"]())


def _stretched(parts):
    return "times as wide" in "".join(e.text or "" for e in texts(pictures.profile(parts)))


def test_a_wake_time_of_one_percent_is_drawn_stretched():
    assert _stretched([(0.02, 99), (0.6, 1)])
    assert _stretched([(0.6, 1), (0.02, 99)])
    assert not _stretched([(0.02, 60), (0.6, 40)])
    assert not _stretched([(0.6, 10)])


def _widest_area(picture):
    """Width of the last filled area's highest part."""
    outline = [e.get("d") for e in elements(picture) if e.get("class") == "pl-amp-area"][-1]
    points = [tuple(map(float, xy)) for xy in re.findall(r"(-?[\d.]+) (-?[\d.]+)", outline)]
    top = min(y for _, y in points)
    xs = [x for x, y in points if y == top]
    return max(xs) - min(xs)


@pytest.mark.parametrize("wake", [0.001, 0.1, 1, 5])
def test_the_stretched_wake_time_can_be_seen(wake):
    picture = pictures.profile([(0.02, 100 - wake), (0.6, wake)], 0.03, 0.1, 0.6)
    assert _widest_area(picture) > 150
    assert "as wide" in picture.sentence


def test_a_line_not_told_is_not_drawn():
    picture = pictures.profile(CAMERA)
    classes = {e.get("class") for e in elements(picture)}
    assert not classes & {"pl-mean-line", "pl-rms-line", "pl-peak-line"}
    assert "mean" not in picture.sentence


# --- conversion and sharing -------------------------------------------------------------


def _heights(picture):
    outlines = [e.get("d") for e in elements(picture) if e.get("class", "").startswith("pl-flow")]
    return [float(re.search(r"v([\d.]+)", outline)[1]) for outline in outlines]


@settings(deadline=None, derandomize=True)
@given(st.floats(0.9, 24), st.floats(0.01, 5), st.floats(0.9, 24), st.floats(0.3, 1))
def test_band_widths_are_powers(input_v, input_a, output_v, efficiency):
    output_a = input_v * input_a * efficiency / output_v
    picture = pictures.conversion(input_v, input_a, output_v, output_a)
    wide, narrow = _heights(picture)
    assert narrow / wide == pytest.approx(efficiency, abs=0.002)
    assert_sound(picture)
    assert_says_its_numbers(picture)


def test_a_flow_not_told_gives_nothing_away_by_its_widths():
    flows = [pictures.conversion(6, None, 9, a) for a in (0.1, 0.6, 1.2)]
    assert len({tuple(_heights(flow)) for flow in flows}) == 1
    assert "not to scale" in flows[0].sentence
    assert any("not to scale" in (e.text or "") for e in texts(flows[0]))


def test_a_regulator_is_called_one():
    picture = pictures.conversion(6, 0.6, 3.3, 0.6, kind="regulator")
    assert "linear regulator" in picture.sentence
    assert "Lost as heat: 1.62 W" in picture.sentence


@pytest.mark.parametrize("parallel", range(1, 13))
@pytest.mark.parametrize("shares", [None, 0.05, "each"])
def test_sharing(parallel, shares):
    shares = [0.01 * (i + 1) for i in range(parallel)] if shares == "each" else shares
    picture = pictures.sharing(parallel, 0.6, shares)
    assert_sound(picture)
    assert_says_its_numbers(picture)
    assert size(picture) == size(EXAMPLES["sharing"]())


def test_shares_are_asked_before_the_reveal():
    picture = pictures.sharing(3, 0.6)
    shown = [e.text for e in texts(picture) if "pl-amp" in e.get("class", "")]
    assert shown == ["?", "?", "?", "0.6 A"]
    assert "0.2 A" not in picture.sentence


# --- windows and C-rate -----------------------------------------------------------------


@pytest.mark.parametrize("count", range(1, 11))
def test_windows_of_any_number_of_rows(count):
    picture = pictures.windows(ROWS[:count], (5.5, 8.7), 9)
    assert_sound(picture)
    assert_says_its_numbers(picture)
    assert size(picture) == size(EXAMPLES["windows"]())


@settings(deadline=None, derandomize=True)
@given(volts, volts, st.floats(0.01, 10000), st.floats(0.01, 2000))
def test_windows_never_overlap(one, other, run_h, need_h):
    low, high = sorted((one, other + 0.1))
    row = pictures.Row("12S2P LiFePO4 26650", one, one * 1.1, one * 1.3, run_h, False, "too short")
    if low < high:
        assert_sound(pictures.windows([row, ROW], (low, high), need_h))


def test_a_verdict_is_told_by_shape_and_word():
    good = pictures.windows([ROW], (5.5, 8.7), 9)
    bad = pictures.windows([ROW._replace(fits=False, reason="0.3 V too high")], (5.5, 8.4), 9)
    assert "pl-yes-tick" in good.svg
    assert "fits" in good.sentence
    assert "pl-no-bar" in bad.svg
    assert "pl-yes" not in bad.svg
    assert "0.3 V too high" in bad.sentence


@settings(deadline=None, derandomize=True)
@given(st.floats(0, 400), st.floats(0.05, 200), st.floats(0.01, 400), st.floats(0.1, 1))
def test_c_rates_never_overlap(current_a, capacity_ah, limit_a, derating):
    picture = pictures.c_rate(current_a, capacity_ah, limit_a, round(derating, 2), "some cell")
    assert_sound(picture)
    assert_says_its_numbers(picture)


def test_the_limit_and_the_planned_share_are_told():
    said = pictures.c_rate(0.6, 1.9, 3.8, title="NiMH AA").sentence
    assert "80 % of the limit: 3.04 A, 1.6C" in said
    assert "limit: 3.8 A, 2C" in said
    assert "0.316C" in said


# --- helpers ----------------------------------------------------------------------------


@settings(deadline=None, derandomize=True)
@given(st.text(max_size=60), st.booleans())
def test_text_widths_are_never_too_small(content, bold):
    known = "".join(c for c in content if c.isprintable() and ord(c) < 0x250)
    width = sum(_advance(char, bold) for char in known) * 10
    assert drawing.text_width(known, 10, bold) >= width * 0.97


@settings(deadline=None, derandomize=True)
@given(st.lists(st.floats(0, 100), min_size=1, max_size=8))
def test_spread_keeps_order_distance_and_bounds(places):
    placed = drawing.spread(sorted(places), 10, 0, 100)
    assert all(b - a >= 10 - 1e-9 for a, b in zip(placed, placed[1:], strict=False))
    assert placed[0] >= -1e-9
    assert placed[-1] <= 100


@settings(deadline=None, derandomize=True)
@given(st.floats(0.001, 1000), st.integers(3, 9))
def test_ticks_are_round_and_within(high, most):
    marks, step = drawing.ticks(0, high, most)
    assert 2 <= len(marks) <= most
    assert marks[0] == 0
    assert marks[-1] <= high * 1.000001
    assert float(f"{step:.2g}") == pytest.approx(step)


def test_hatching_stays_inside_its_box():
    outline = drawing.hatch(10, 20, 30, 40, 7)
    points = [tuple(map(float, xy)) for xy in re.findall(r"(-?[\d.]+) (-?[\d.]+)", outline)]
    assert len(points) == 2 * 9
    assert all(10 <= x <= 40 and 20 <= y <= 60 for x, y in points)
