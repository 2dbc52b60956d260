"""The picture of a class's answers: sound, both votes, the right one told by a sign, in words."""

import pytest
from test_pictures import assert_says_its_numbers, assert_sound, elements, size, texts

from packlearn import pictures
from packlearn.errors import BadValue
from packlearn.pictures import Answers, style_sheet
from packlearn.words import word

HOSTILE = "<script>alert(1)</script>\"'&\x00 {series} a long label that goes on and on and on"
VALUES = (
    "Answers",
    [Answers("6.8 V", 11, 22, True), Answers("1.36 V", 6, 1), Answers("6 V", 7, 1)],
)
RULES = (
    "By what they did",
    [
        Answers("the right answer", 11, 22, True),
        Answers("I multiplied the current of the load by the number of strings.", 6, 1),
        Answers("I took the nominal voltage.", 7, 1),
    ],
)


def drawn(large=False, again=24, groups=(VALUES, RULES)):
    return pictures.tallied(groups[:1] if large else groups, 24, again, large=large)


def words(picture):
    return ["".join(e.itertext()) for e in texts(picture)]


def bars(picture):
    return [e for e in elements(picture) if e.get("class") == "pl-cell"]


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("again", [None, 24])
def test_the_picture_is_sound_and_says_its_numbers(large, again):
    picture = drawn(large, again)
    assert_sound(picture)
    assert_says_its_numbers(picture)
    known = style_sheet()
    used = {name for e in elements(picture) for name in e.get("class", "").split()}
    assert all(f".{name}" in known for name in used)


def test_letters_of_the_shared_screen_are_24_pt():
    assert {float(e.get("font-size")) for e in texts(drawn(large=True))} == {32.0}
    assert min(float(e.get("font-size")) for e in texts(drawn())) == 13


def test_the_size_hangs_on_nothing_that_changes():
    for large in (False, True):
        few = pictures.tallied([("Answers", [Answers("6.8 V", 5, right=True)])], 5, large=large)
        assert size(few) == size(drawn(large))


def test_both_votes_stand_side_by_side():
    picture = drawn(large=True)
    shown = words(picture)
    assert f"{word('class_view.picture.first')}: 24" in shown
    assert f"{word('class_view.picture.again')}: 24" in shown
    assert shown.count("11 (46 %)") == 1
    assert shown.count("22 (92 %)") == 1
    assert len(bars(picture)) == 6
    assert len(bars(drawn(large=True, again=None))) == 3


def test_the_right_one_has_a_sign_and_is_named_in_the_sentence():
    picture = drawn(large=True)
    ticks = [e for e in elements(picture) if e.get("class") == "pl-yes-tick"]
    assert len(ticks) == 1
    assert "6.8 V, the right answer: 22, 92 %." in picture.sentence
    assert picture.sentence.count("right answer") == 2
    open_ = pictures.tallied([("Answers", [Answers("6.8 V", 5)])], 5)
    assert not [e for e in elements(open_) if "yes" in e.get("class", "")]


def test_a_bar_is_as_long_as_its_share():
    rows = [Answers("a", 10, right=True), Answers("b", 5)]
    long, short = bars(pictures.tallied([("Answers", rows)], 15))
    width = [float(e.get("d").split("h")[1].split("v")[0]) for e in (long, short)]
    assert width[0] == pytest.approx(2 * width[1], abs=0.2)


@pytest.mark.parametrize("large", [False, True])
def test_many_answers_share_the_last_row_and_the_right_one_never_does(large):
    rows = [Answers(f"{n} V", 3, 2) for n in range(7)] + [Answers("9 V", 2, 9, True)]
    picture = pictures.tallied([("Answers", rows)], 23, 23, large=large)
    shown = words(picture)
    assert word("class_view.picture.others") in shown
    assert "9 V" in shown
    assert "12 (52 %)" in shown
    assert sum(int(text.split()[0]) for text in shown if "%" in text) == 46


def test_hostile_labels_do_no_harm():
    picture = drawn(groups=((HOSTILE, [Answers(HOSTILE, 24, 24, True)]),))
    assert "<script" not in picture.svg
    assert_sound(picture)


@pytest.mark.parametrize(
    ("groups", "first", "again"),
    [
        ([("a", [Answers("a", 6)])], 5, None),
        ([("a", [Answers("a", -1)])], 5, None),
        ([("a", [Answers("a", 5, 6)])], 5, 5),
        ([], 0, None),
        ([], 201, None),
        ([], 5, 201),
        ([("a", [])] * 3, 5, None),
    ],
)
def test_what_cannot_be_is_told(groups, first, again):
    with pytest.raises(BadValue):
        pictures.tallied(groups, first, again)
