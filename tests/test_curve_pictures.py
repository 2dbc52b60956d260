"""Pictures with curves: nothing overlaps or spills, and the sentence has every number."""

import re

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from test_pictures import (
    HOSTILE,
    SVG,
    WIDEST,
    _contrast,
    _themes,
    assert_says_its_numbers,
    assert_sound,
    box,
    elements,
    numbers,
    size,
    texts,
)

from packlearn import pictures
from packlearn.errors import BadValue, PackError
from packlearn.pictures import SheetCurve, plotting

SHARE = np.linspace(0, 1, 120)


def falling(current_a, capacity_ah, start_v=1.4, end_v=1.0):
    """A made-up discharge curve, straight from ``start_v`` to ``end_v``."""
    return current_a, SHARE * capacity_ah, start_v + (end_v - start_v) * SHARE


NIMH = [falling(0.4, 1.9), falling(1.0, 1.88, 1.38), falling(2.0, 1.8, 1.35)]
YOURS = SheetCurve(*falling(0.65, 1.89, 1.39), yours=True, sure_to_ah=1.5)
TIME = np.linspace(0, 8.2, 120)
VOLTS = 6.9 - 0.15 * TIME
FRESH = ("fresh", TIME, VOLTS)
GROUPS = np.stack([1.4 - 0.02 * TIME] * 4 + [1.4 - 0.19 * TIME], axis=1)
EVENTS = [("group 5 empty", 2.1, 5), ("group 5 below 0 V", 7.4, 5)]
RUNS = np.random.default_rng(1).normal(7.4, 0.22, 1000)
RESTED = 3.1 + 0.25 * SHARE

EXAMPLES = {
    "data_sheet": lambda t="NiMH AA": pictures.data_sheet(
        t, [*NIMH[:1], YOURS, *NIMH[1:]], cursor_ah=1.2, to_v=1.1
    ),
    "run": lambda t="5S1P": pictures.run(
        TIME, VOLTS, stop_v=5.0, ended_words=t, rule_h=9.5, window_v=(5.5, 8.7), others=[FRESH],
        name=t, band_v=(VOLTS - 0.2, VOLTS), title=t,
    ),
    "hidden": lambda t="5S1P": pictures.run(
        TIME, VOLTS, stop_v=5.0, ended_words=t, rule_h=9.5, shown_until_h=3, title=t
    ),
    "groups": lambda t="5S1P": pictures.groups(
        TIME, GROUPS, weakest=5, events=[(t, 1.0, 2), *EVENTS, (t, 8.0, 1)], title=t
    ),
    "histogram": lambda t="6S3P": pictures.histogram(RUNS, "h", alike=7.7, title=t),
    "voltage_and_charge": lambda t="LiFePO4": pictures.voltage_and_charge(
        SHARE, RESTED, 3.29, 0.01, 0.72, 0.8, title=t
    ),
    "joined": lambda t="NiMH AA": pictures.joined(1.4, 1.2, 0.03, 3.333, names=(t, t), title=t),
    "sagging": lambda t="half": pictures.sagging(7.2, 0.15, 6.0, 6.3, title=t, load=t),
    "unlike": lambda t="NiMH AA": pictures.unlike([1.9, 1.7], t, told_ah=1.7, first=2),
    "unlike_side": lambda t="NiMH AA": pictures.unlike(
        [1.9, 1.7], t, side_by_side=True, told_ah=3.6
    ),
}  # fmt: skip
times = st.floats(1e-3, 2000)
SETTINGS = settings(deadline=None, derandomize=True, max_examples=60)


# --- every picture ----------------------------------------------------------------------


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_image_with_one_sentence_for_those_who_hear_it(name):
    picture = EXAMPLES[name]()
    root, inner = elements(picture)[:2]
    assert root.get("role") == "img"
    assert root.get("aria-label") == picture.sentence
    assert inner.get("aria-hidden") == "true"
    tags = {e.tag.removeprefix(SVG) for e in elements(picture)}
    assert tags <= {"svg", "g", "path", "text", "tspan"}
    assert not re.search(r"  |\.\.|[{}]", picture.sentence)


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_overlaps_and_the_sentence_has_the_numbers(name):
    assert_sound(EXAMPLES[name]())
    assert_says_its_numbers(EXAMPLES[name]())


@pytest.mark.parametrize("name", EXAMPLES)
def test_fits_a_panel_on_a_school_laptop(name):
    width, height, view = size(EXAMPLES[name]())
    # Question, picture, answer and why shall share a screen of 768 px.
    assert (int(width) <= 860, int(height) <= 290) == (True, True)
    assert view == f"0 0 {width} {height}"


def stays_text(example, content):
    """Whether a text in a picture stays a text, and the picture its size."""
    picture = example(content)
    assert "<script" not in picture.svg
    assert "\x00" not in picture.svg + picture.sentence
    assert_sound(picture)
    assert size(picture) == size(example())


@pytest.mark.parametrize("content", [HOSTILE, WIDEST, ""])
@pytest.mark.parametrize("name", EXAMPLES)
def test_any_text_stays_text_and_stays_inside(name, content):
    stays_text(EXAMPLES[name], content)


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_nan_and_no_exponent_in_the_coordinates(name):
    outlines = " ".join(e.get("d", "") for e in elements(EXAMPLES[name]()))
    assert not re.search(r"nan|inf|\de", outlines)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_class_stands_in_the_style_sheet(name):
    known = set(re.findall(r"\.(pl-[a-z-]+)", pictures.style_sheet()))
    used = {c for e in elements(EXAMPLES[name]()) for c in e.get("class", "").split()}
    assert used - known == set()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_green_words_reach_the_contrast_of_text(theme):
    papers = {"light": ("#ffffff",), "dark": ("#111111", "#212121")}[theme]
    green = _themes()[theme]["--pl-charge"]
    assert min(_contrast(green, paper) for paper in papers) >= 4.5


@pytest.mark.parametrize(
    ("make", "drawn"),
    [
        (lambda n: pictures.data_sheet("AA", [(0.1, *two(n))]), 1),
        (lambda n: pictures.run(*two(n), stop_v=0.5, ended_words="end"), 1),
        (lambda n: pictures.groups(two(n)[0], np.stack([two(n)[1], 0.9 * two(n)[1]], 1)), 2),
        (lambda n: pictures.voltage_and_charge(two(n)[0], two(n)[1][::-1], 0.8, 0, 0, 1), 1),
    ],
)
def test_many_points_make_no_longer_picture(make, drawn):
    few, many = len(make(120).svg), len(make(50_000).svg)
    # 240 points a line of at most 12 letters each.
    assert many < few + drawn * 240 * 12


def two(count):
    return np.linspace(0, 1, count), 1.0 - 0.4 * np.linspace(0, 1, count) ** 2


def test_thinning_keeps_the_ends_and_a_single_peak():
    up = np.ones(10_000)
    up[5_003], up[7_777], up[-1] = 2.0, 0.2, 0.5
    kept = plotting.thinned(up)
    assert {0, 5_003, 7_777, 9_999} <= set(kept.tolist())
    assert kept.size <= 242


@pytest.mark.parametrize(
    "make",
    [
        lambda: pictures.data_sheet("AA", []),
        lambda: pictures.data_sheet("AA", [NIMH[0]] * 7),
        lambda: pictures.data_sheet("AA", [(0.0, [0, 1], [1.4, 1.0])]),
        lambda: pictures.data_sheet("AA", [(0.4, [0, 1], [1.4])]),
        lambda: pictures.data_sheet("AA", [(0.4, [1, 0], [1.4, 1.0])]),
        lambda: pictures.data_sheet("AA", [(0.4, [0, 1], [1.4, float("nan")])]),
        lambda: pictures.run([0, 1], [6, float("inf")], stop_v=5, ended_words="end"),
        lambda: pictures.run([], [], stop_v=5, ended_words="end"),
        lambda: pictures.run(TIME, VOLTS, stop_v=5, ended_words="end", others=[FRESH] * 3),
        lambda: pictures.groups(TIME, np.ones((120, 25))),
        lambda: pictures.groups(TIME, GROUPS, events=[("odd", 1.0, 6)]),
        lambda: pictures.histogram([], "h"),
        lambda: pictures.histogram(RUNS, "h", marks=("median",)),
        lambda: pictures.histogram(RUNS, "h", marks=(101,)),
        lambda: pictures.histogram(RUNS, "h", marks=(1, 2, 3, 4, 5, 6)),
        lambda: pictures.histogram(np.ones(200_001), "h"),
        lambda: pictures.voltage_and_charge(SHARE, RESTED, -3.29, 0.01, 0.2, 0.8),
        lambda: pictures.voltage_and_charge(SHARE, RESTED, 3.29, -0.01, 0.2, 0.8),
        lambda: pictures.joined(0, 1.2, 0.03),
        lambda: pictures.joined(1.4, 1.2, 0),
        lambda: pictures.sagging(7.2, 0.15, 6, 7.3),
        lambda: pictures.sagging(0, 0.15),
        lambda: pictures.unlike([], "AA"),
        lambda: pictures.unlike([1.9] * 7, "AA"),
        lambda: pictures.unlike([1.9, 0], "AA"),
        lambda: pictures.unlike([1.9], "AA", first=2),
    ],
)
def test_what_cannot_be_drawn_is_told_with_its_mend(make):
    with pytest.raises(BadValue) as caught:
        make()
    assert isinstance(caught.value, PackError)
    assert str(caught.value.value) in str(caught.value)
    assert str(caught.value).count(". ") >= 1


# --- scales -----------------------------------------------------------------------------


@SETTINGS
@given(st.floats(-100, 1e4), st.floats(1e-4, 1e4), st.integers(4, 12))
def test_scales_go_by_1_2_or_5(low, span, most):
    values, places = plotting.steps(low, low + span, most)
    assert 1 <= len(values) <= most + 1
    assert low - 1e-9 * span <= values[0]
    assert values[-1] <= low + span * (1 + 1e-9)
    for one, other in zip(values, values[1:], strict=False):
        assert f"{other - one:.2e}"[0] in "125"
        assert f"{one:.{places}f}" != f"{other:.{places}f}"


@pytest.mark.parametrize(
    ("hours", "unit"), [(0.01, "s"), (0.5, "min"), (1.99, "min"), (2, "h"), (71, "h"), (800, "d")]
)
def test_a_scale_of_time_has_the_unit_people_use(hours, unit):
    assert plotting.time_unit(hours)[1] == unit


@SETTINGS
@given(st.lists(st.tuples(st.floats(60, 620), st.floats(5, 120)), min_size=1, max_size=6))
def test_labels_in_a_row_keep_order_and_distance(wished):
    wished = sorted(wished)
    widths = [width for _, width in wished]
    middles = plotting._side_by_side([x for x, _ in wished], widths, 12, 64, 848)
    ends = [(m - w / 2, m + w / 2) for m, w in zip(middles, widths, strict=True)]
    assert ends[0][0] >= 64 - 1e-6
    assert ends[-1][1] <= 848 + 1e-6
    assert all(a[1] + 12 <= b[0] + 1e-6 for a, b in zip(ends, ends[1:], strict=False))


def struck_through(picture):
    """Texts that an upright line of a mark runs through."""
    looks = ("cursor", "rule-of-thumb", "mean-line", "percent-line", "limit-line")
    outlines = [
        e.get("d") for e in elements(picture) if e.get("class") in [f"pl-{x}" for x in looks]
    ]
    lines = [re.fullmatch(r"M([\d.]+) ([\d.]+)L\1 ([\d.]+)", outline) for outline in outlines]
    uprights = [[float(value) for value in line.groups()] for line in lines if line]
    return [
        "".join(e.itertext())
        for e in texts(picture)
        for x, top, bottom in uprights
        if box(e)[0] < x < box(e)[2] and top < box(e)[3] and bottom > box(e)[1]
    ]


@SETTINGS
@given(times, times)
def test_no_line_runs_through_the_words_of_a_run(end_h, rule_h):
    why = "the lowest voltage of the lamp"
    picture = pictures.run([0, end_h], [6, 5], stop_v=5.0, ended_words=why, rule_h=rule_h)
    assert struck_through(picture) == []


@SETTINGS
@given(st.lists(st.floats(0.01, 900), min_size=1, max_size=40), st.floats(0.01, 900))
def test_no_line_runs_through_the_words_of_a_histogram(values, alike):
    assert struck_through(pictures.histogram(values, "h", alike=alike)) == []


# --- data sheet -------------------------------------------------------------------------


def test_a_data_sheet_is_read_at_the_cursor_and_at_the_end_voltage():
    # Straight lines: 1.4 to 1.0 V over 1.9 Ah reads 1.2 V at half of it, and so on.
    curves = [falling(0.4, 2.0), falling(2.0, 1.0)]
    picture = pictures.data_sheet("NiMH AA", curves, cursor_ah=0.5, to_v=1.1)
    shown = [e.text for e in texts(picture) if "pl-strong" in e.get("class", "")]
    assert {"1.30 V", "1.20 V", "1.5 Ah", "0.75 Ah"} <= set(shown)
    assert "The cursor stands at 0.5 Ah. At 0.4 A: 1.30 V. At 2 A: 1.20 V." in picture.sentence
    assert "lies at 1.10 V. At 0.4 A: 1.5 Ah. At 2 A: 0.75 Ah." in picture.sentence


def test_a_curve_that_ends_at_the_end_voltage_reaches_it():
    charge_ah, volts = [0.0, 1.0, 1.2], [1.4, 1.2, 1.0 + 1e-10]
    sentence = pictures.data_sheet("AA", [(0.4, charge_ah, volts)], to_v=1.0).sentence
    assert "At 0.4 A: 1.2 Ah." in sentence


def test_a_curve_that_is_not_reached_is_told_so():
    curves = [falling(0.4, 2.0, 1.4, 1.0), falling(2.0, 1.0, 1.4, 1.2)]
    picture = pictures.data_sheet("NiMH AA", curves, cursor_ah=1.5, to_v=1.1)
    assert "At 2 A the curve does not reach the cursor." in picture.sentence
    assert "At 2 A the curve does not fall to that voltage." in picture.sentence
    assert [e.text for e in texts(picture)].count("–") == 2


def test_a_plain_data_sheet_reads_nothing_off():
    picture = pictures.data_sheet("NiMH AA", NIMH)
    assert "cursor" not in picture.sentence
    assert "end voltage" not in picture.sentence
    assert not [e for e in texts(picture) if "pl-charge" in e.get("class", "")]


def _form(outline):
    """An outline's points, seen from the first."""
    x0, *xs = (float(x) for x in re.findall(r"[ML]([\d.]+)", outline))
    return tuple(round(x - x0) for x in xs)


def test_curves_differ_in_the_shape_of_their_marks():
    picture = pictures.data_sheet("NiMH AA", NIMH)
    marks = [e.get("d") for e in elements(picture) if e.get("class") == "pl-point"]
    assert len({_form(outline) for outline in marks}) == 3


def test_your_curve_is_thick_and_dashed_past_the_data():
    picture = pictures.data_sheet("NiMH AA", [NIMH[0], YOURS], to_v=1.1)
    found = {e.get("class"): e.get("d") for e in elements(picture)}
    solid = re.findall(r"[\d.]+", found["pl-curve-strong"])
    dashed = re.findall(r"[\d.]+", found["pl-curve-strong-beyond"])
    assert solid[-2:] == dashed[:2]
    assert "your 0.65 A" in [e.text for e in texts(picture)]
    assert "A dashed line goes beyond the data." in picture.sentence
    assert "dashed" not in pictures.data_sheet("NiMH AA", NIMH).sentence


curves = st.lists(
    st.tuples(
        st.floats(1e-3, 90), st.floats(0.02, 120), st.floats(1.2, 14), st.floats(0.2, 1.1)
    ).map(lambda v: falling(*v)),
    min_size=1,
    max_size=6,
)


@SETTINGS
@given(curves, st.floats(0, 1), st.floats(0.2, 13), st.integers(0, 5))
def test_data_sheets_never_overlap(entries, share, to_v, yours):
    entries = [SheetCurve(*e, yours=i == yours) for i, e in enumerate(entries)]
    cursor_ah = share * max(e.charge_ah[-1] for e in entries)
    picture = pictures.data_sheet("some cell", entries, cursor_ah=cursor_ah, to_v=to_v)
    assert_sound(picture)
    assert_says_its_numbers(picture)


# --- run --------------------------------------------------------------------------------


def test_a_run_tells_end_reason_and_rule():
    picture = pictures.run(TIME, VOLTS, stop_v=5.0, ended_words="end voltage", rule_h=9.5)
    shown = [e.text for e in texts(picture)]
    assert {"8 h 12 min: end voltage", "rule of thumb 9 h 30 min", "end at 5.00 V"} <= set(shown)
    assert "It starts at 6.90 V. It ends after 8 h 12 min at 5.67 V: end voltage." in (
        picture.sentence
    )


def test_end_and_rule_stand_at_their_times():
    picture = pictures.run([0, 4], [6, 5], stop_v=5.0, ended_words="end", rule_h=8.0, axis_h=10)
    places = {
        e.get("class"): float(re.match(r"M([\d.]+)", e.get("d"))[1])
        for e in elements(picture)
        if e.get("class") in ("pl-cursor", "pl-rule-of-thumb")
    }
    wide = plotting.RIGHT - plotting.LEFT
    assert places["pl-cursor"] == pytest.approx(plotting.LEFT + 0.4 * wide, abs=0.1)
    assert places["pl-rule-of-thumb"] == pytest.approx(plotting.LEFT + 0.8 * wide, abs=0.1)


@pytest.mark.parametrize("end_h", [5.0, 8.2, 30.0])
def test_a_part_not_drawn_yet_gives_nothing_away(end_h):
    time = np.linspace(0, end_h, 3000)
    volts = np.where(time < 3.0, 6.5 - 0.1 * time, 6.2 - 0.02 * (time - 3.0))
    picture = pictures.run(
        time, volts, stop_v=5.0, ended_words="secret", rule_h=9.5, shown_until_h=2.5, axis_h=12
    )
    assert "secret" not in picture.svg + picture.sentence
    assert "not drawn yet" in picture.sentence
    assert f"{volts[-1]:.2f} V" not in picture.sentence
    line = next(e.get("d") for e in elements(picture) if e.get("class") == "pl-curve-strong")
    right = max(float(x) for x, _ in re.findall(r"([\d.]+) ([\d.]+)", line))
    assert right <= plotting.LEFT + 2.5 / 12 * (plotting.RIGHT - plotting.LEFT) + 0.1


def test_scales_do_not_tell_what_is_not_drawn():
    def axis(end_h, end_v):
        time = np.linspace(0, end_h, 500)
        volts = np.interp(time, [0, 3, end_h], [6.5, 6.3, end_v])
        picture = pictures.run(
            time, volts, stop_v=5.0, ended_words="end", rule_h=9.5, shown_until_h=2.5
        )
        return [e.text for e in texts(picture) if e.get("class") == "pl-quiet"]

    assert axis(4.0, 6.0) == axis(20.0, 5.0) == axis(9.0, 5.5)


def test_a_run_can_be_followed_by_ear_as_far_as_it_is_shown():
    picture = pictures.run(
        [0, 10], [6.0, 5.0], stop_v=5.0, ended_words="end", shown_until_h=2.5, every_h=1, axis_h=12
    )
    assert "The line passes 5.90 V after 1 h and 5.80 V after 2 h." in picture.sentence


def test_a_level_far_away_is_told_but_does_not_press_the_line_flat():
    near = pictures.run(TIME, VOLTS, stop_v=5.5, ended_words="end", window_v=(5.5, None))
    far = pictures.run(TIME, VOLTS, stop_v=5.5, ended_words="end", window_v=(5.5, 30.0))
    assert "device takes 30.00 V at most" in far.sentence
    assert "device takes" not in "".join(e.text for e in texts(far))
    lines = [
        next(e.get("d") for e in elements(p) if e.get("class") == "pl-curve-strong")
        for p in (near, far)
    ]
    assert lines[0] == lines[1]


@SETTINGS
@given(
    times,
    times,
    times,
    st.floats(0.9, 55),
    st.floats(0.3, 1),
    st.sampled_from(["", "the lowest voltage of the lamp"]),
)
def test_runs_never_overlap(end_h, rule_h, other_h, start_v, share, why):
    volts = [start_v, start_v * share]
    picture = pictures.run(
        [0, end_h], volts, stop_v=volts[1], ended_words=why or "device minimum", rule_h=rule_h,
        window_v=(volts[1] + 0.1, start_v * 1.2), name="half-empty",
        others=[("fresh", [0, other_h], volts), ("old", [0, end_h], volts)], title="pack",
    )  # fmt: skip
    assert_sound(picture)
    assert_says_its_numbers(picture)


# --- groups -----------------------------------------------------------------------------


def test_the_weakest_group_is_named_and_driven_backwards():
    picture = EXAMPLES["groups"]()
    assert "Group 5, the weakest, goes from 1.40 V to -0.16 V." in picture.sentence
    assert "Groups 1, 2, 3 and 4 go from 1.40 V to 1.24 V." in picture.sentence
    assert "Group 5 empty: 2 h 6 min." in picture.sentence
    assert "Later events not written: 1." in picture.sentence
    assert "driven backwards" in picture.sentence
    strong = [e for e in elements(picture) if e.get("class") == "pl-curve-strong"]
    assert len(strong) == 1


def test_groups_of_one_cell_are_called_cells():
    picture = pictures.groups(TIME, GROUPS, weakest=5, title="five in line", each="cell")
    assert picture.sentence.startswith("Voltage of each cell over time: five in line.")
    assert "Cell 5, the weakest, goes" in picture.sentence
    assert "Below 0 V a cell is driven backwards." in picture.sentence
    assert "roup" not in picture.sentence + " ".join(e.text or "" for e in texts(picture))
    with pytest.raises(BadValue, match="each"):
        pictures.groups(TIME, GROUPS, each="string")


def test_without_a_group_below_zero_there_is_no_zero_line():
    picture = pictures.groups(TIME, GROUPS[:, :4])
    assert "pl-limit-line" not in picture.svg
    assert "backwards" not in picture.sentence


def test_every_event_has_a_mark_on_its_groups_line():
    marks = [e for e in elements(EXAMPLES["groups"]()) if e.get("class") == "pl-point-full"]
    assert len(marks) == 4


@SETTINGS
@given(
    st.lists(st.floats(-1.5, 1.3), min_size=1, max_size=24),
    times,
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 23)), max_size=5),
)
def test_groups_never_overlap(ends, last_h, events):
    volts = np.linspace(np.full(len(ends), 1.4), ends, 50)
    weakest = int(np.argmin(ends)) + 1
    told = [(f"group {g % len(ends) + 1} empty", t * last_h, g % len(ends) + 1) for t, g in events]
    picture = pictures.groups(
        np.linspace(0, last_h, 50), volts, weakest=weakest, events=told, title="pack"
    )
    assert_sound(picture)
    assert_says_its_numbers(picture)


# --- histogram --------------------------------------------------------------------------


def test_a_histogram_counts_every_value_once():
    picture = pictures.histogram([1.0] * 30 + [2.0] * 60 + [3.0] * 10, "V", marks=())
    outline = next(e.get("d") for e in elements(picture) if e.get("class") == "pl-charge-area")
    heights = [float(v) for v in re.findall(r"v(-?[\d.]+)h-", outline)]
    assert sorted(round(h / max(heights) * 60) for h in heights) == [10, 30, 60]


def test_bars_stand_at_their_values_whatever_is_marked():
    picture = pictures.histogram([4.0] * 9 + [5.0] * 30, "V", marks=(), alike=1.0)
    outline = next(e.get("d") for e in elements(picture) if e.get("class") == "pl-charge-area")
    bars = re.findall(r"M([\d.]+) [\d.]+h([\d.]+)", outline)
    mark = next(e.get("d") for e in elements(picture) if e.get("class") == "pl-limit-line")
    first, last = (float(bars[i][0]) for i in (0, -1))
    alike = float(re.match(r"M([\d.]+)", mark)[1])
    assert (last - first) / (first - alike) == pytest.approx(1 / 3, abs=0.05)


def test_a_histogram_marks_what_it_is_asked_for():
    values = np.arange(1, 101) / 10.0
    picture = pictures.histogram(values, "V", marks=("mean", 10), alike=9.0)
    shown = [e.text for e in texts(picture)]
    # Of 0.1 to 10 V the mean is 5.05 V, and numpy's tenth percentile 1.09 V.
    assert {"mean 5.05 V", "10 % stay below 1.09 V", "like cells 9 V"} <= set(shown)
    assert "How many of 100" in picture.sentence
    assert "between 0.1 V and 10 V" in picture.sentence


def test_a_histogram_counts_what_reaches_a_need():
    picture = pictures.histogram([1.0, 2.0, 3.0, 3.0, 4.0], "V", marks=("mean",), need=3.0)
    assert "3 reach 3 V" in [e.text for e in texts(picture)]
    assert "3 reach 3 V." in picture.sentence
    assert "pl-need-line" in picture.svg


def test_a_mark_a_world_away_costs_no_memory():
    picture = pictures.histogram([1.0, 1.0 + 1e-6], "V", marks=(), alike=1e6)
    assert_sound(picture)
    assert "Like cells" in picture.sentence


def test_percentile_marks_differ_from_the_others_in_their_pattern():
    looks = [e.get("class") for e in elements(EXAMPLES["histogram"]())]
    assert looks.count("pl-percent-line") == 3
    assert looks.count("pl-mean-line") == looks.count("pl-limit-line") == 1


@SETTINGS
@given(st.lists(st.floats(0.01, 900), min_size=1, max_size=40), st.floats(0.01, 900))
def test_histograms_never_overlap(values, alike):
    picture = pictures.histogram(values, "h", alike=alike, title="packs")
    assert_sound(picture)
    assert_says_its_numbers(picture)


# --- rested voltage, joined, sagging, unlike --------------------------------------------


@SETTINGS
@given(st.floats(1, 14), st.floats(0, 0.3), st.floats(0, 1), st.floats(0, 1))
def test_readings_never_overlap(reading_v, error_v, one, other):
    low, high = sorted((one, other))
    picture = pictures.voltage_and_charge(SHARE, RESTED * 3, reading_v, error_v, low, high)
    assert_sound(picture)
    assert_says_its_numbers(picture)


def test_a_reading_tells_the_range_it_allows():
    picture = pictures.voltage_and_charge(SHARE, RESTED, 3.29, 0.01, 0.28, 0.61)
    assert "The meter: 3.29 V, give or take 10 mV. That means 28 to 61 % left." in picture.sentence
    finer = pictures.voltage_and_charge(SHARE, RESTED, 3.285, 0.005, 0.28, 0.61)
    assert "3.285 V ± 5 mV" in [e.text for e in texts(finer)]
    exact = pictures.voltage_and_charge(SHARE, RESTED, 3.29, 0, 0.5, 0.5)
    assert "reads 3.29 V. That means 50 % left." in exact.sentence


def test_joined_cells_tell_current_and_direction():
    # 0.2 V over 2 x 0.03 ohm drive 3.33 A.
    told = pictures.joined(1.4, 1.2, 0.03, 0.2 / 0.06).sentence
    assert "3.33 A flows from A into B" in told
    assert "3.33 A flows from B into A" in pictures.joined(1.2, 1.4, 0.03, -0.2 / 0.06).sentence
    assert "Difference 0.2 V. Both resistances 0.06 ohm." in told
    assert numbers(told) >= {"1.4", "1.2", "0.03", "0.2", "0.06", "3.33"}
    assert "No current flows" in pictures.joined(1.3, 1.3, 0.03, 0.0).sentence


def test_joined_cells_before_the_reveal_tell_no_current():
    picture = pictures.joined(1.4, 1.2, 0.03)
    assert "0.2" not in numbers(picture.sentence)
    assert "not told yet" in picture.sentence
    assert "?" in [e.text for e in texts(picture)]


@SETTINGS
@given(st.floats(0.5, 60), st.floats(0.5, 60), st.floats(1e-3, 900))
def test_joined_never_overlaps(first_v, second_v, each_ohm):
    picture = pictures.joined(first_v, second_v, each_ohm, (first_v - second_v) / each_ohm / 2)
    assert_sound(picture)
    assert_says_its_numbers(picture)


@SETTINGS
@given(st.floats(0.5, 60), st.floats(1e-3, 1), st.floats(0.01, 200))
def test_the_lost_part_of_the_bar_is_the_lost_share(open_v, share, current_a):
    terminal_v = open_v * (1 - share)
    assume(terminal_v > 0)
    picture = pictures.sagging(open_v, 0.1, current_a, terminal_v, title="pack", load="servos")
    assert_sound(picture)
    assert_says_its_numbers(picture)
    outline = next(e.get("d") for e in elements(picture) if e.get("class") == "pl-loss")
    whole = next(e.get("d") for e in elements(picture) if e.get("class") == "pl-frame")
    lost, all_of_it = (float(re.search(r"v([\d.]+)", each)[1]) for each in (outline, whole))
    assert lost / all_of_it == pytest.approx(share, abs=0.001)


def test_a_sag_not_told_yet_gives_nothing_away():
    picture = pictures.sagging(7.2, 0.15, 6.0)
    assert "not told yet" in picture.sentence
    assert "pl-loss" not in picture.svg


@pytest.mark.parametrize("side_by_side", [False, True])
@pytest.mark.parametrize("count", range(1, 7))
@pytest.mark.parametrize("first", [None, "last"])
def test_unlike_cells(count, side_by_side, first):
    held = [1.9, 0.075, 12.25, 0.75, 1.2, 100.5][:count]
    first = count if first else None
    picture = pictures.unlike(
        held, "NiMH AA", side_by_side=side_by_side, told_ah=min(held), first=first
    )
    assert_sound(picture)
    assert_says_its_numbers(picture)
    start = "Side by side: " if side_by_side else "In line, from the minus end: "
    assert picture.sentence.startswith(f"{start}{count} cells, NiMH AA.")
    assert (f"Cell {count} is empty first." in picture.sentence) == (first is not None)


def test_unlike_cells_before_the_reveal_tell_no_sum():
    open_ = pictures.unlike([1.9, 1.7], "NiMH AA", side_by_side=True)
    assert "3.6" not in numbers(open_.sentence + " ".join(e.text or "" for e in texts(open_)))


def test_of_many_unlike_groups_the_lowest_are_named():
    ends = np.linspace(-0.2, 1.3, 24)
    picture = pictures.groups(TIME, np.linspace(np.full(24, 1.4), ends, 120), weakest=1)
    assert_sound(picture)
    assert_says_its_numbers(picture)
    assert "The other 14 end higher." in picture.sentence
    drawn = [e for e in elements(picture) if e.get("class", "").startswith("pl-curve")]
    assert len(drawn) == 24


def test_a_data_sheet_can_be_read_by_ear():
    picture = pictures.data_sheet("AA", [falling(0.1, 2.0), falling(0.5, 1.1)], every_ah=0.5)
    assert "at steps of 0.5 Ah. At 0.1 A: 1.40, 1.30, 1.20, 1.10, 1.00 V." in picture.sentence
    # 0.4 V over 1.1 Ah: 0.182 V less at each step, and no step past the curve's end.
    assert "At 0.5 A: 1.40, 1.22, 1.04 V." in picture.sentence


def test_the_paper_of_a_data_sheet_is_fine_enough_to_read():
    picture = pictures.data_sheet("AA", [falling(0.1, 2.4, 1.6, 0.8)])
    fine, coarse = (
        next(e.get("d") for e in elements(picture) if e.get("class") == f"pl-{look}")
        for look in ("fine-rule", "rule")
    )

    def uprights(outline):
        return [float(x) for x, to in re.findall(r"M([\d.]+) [\d.]+L([\d.]+)", outline) if x == to]

    places = sorted(uprights(fine) + uprights(coarse))
    steps = np.diff(places)
    # 2.52 Ah across 560 px: lines at each 0.05 Ah are 11.1 px apart.
    assert steps.min() == pytest.approx(11.1, abs=0.2)
    assert steps.max() == pytest.approx(11.1, abs=0.2)
