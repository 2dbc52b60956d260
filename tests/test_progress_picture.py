"""The picture of progress: sound, calm, told by shape, and the same in words."""

import re

import pytest
from test_pictures import assert_sound, elements, numbers, size, texts

from packlearn import pictures
from packlearn.errors import BadValue
from packlearn.pictures import drawing
from packlearn.pictures.progress import STATES, Line
from packlearn.tasks.skills import skills

HOSTILE = "<script>alert(1)</script>\"'&\x00 {series}"


def groups(state=None, words="10 of 12 at once, back in 28 days"):
    """All skills as a learner's panel shows them, in the states by turns or all in one."""
    found = {}
    for at, skill in enumerate(skills()):
        here = state or STATES[at % len(STATES)]
        line = Line(skill.title, here, "" if here == "none" else words)
        found.setdefault(f"Lesson {skill.lesson}", []).append(line)
    return list(found.items())


def marks(picture):
    return [e.get("class") for e in elements(picture) if "mark" in e.get("class", "")]


@pytest.mark.parametrize("state", [None, *STATES])
def test_the_picture_is_sound(state):
    assert_sound(pictures.progress(groups(state)))


def test_nothing_is_cut_off():
    drawn = pictures.progress(groups("over"))
    shown = ["".join(e.itertext()) for e in texts(drawn)]
    assert not [text for text in shown if text.endswith("\u2026")]
    assert {skill.title for skill in skills()} <= set(shown)


def test_its_size_hangs_on_the_skills_alone():
    sizes = {size(pictures.progress(groups(state))) for state in (None, *STATES)}
    assert len(sizes) == 1
    width, height, _ = sizes.pop()
    assert (width, int(height) <= 560) == ("860", True)


def test_each_state_has_a_shape_of_its_own():
    shapes = {}
    for state in STATES:
        drawn = pictures.progress([("Lesson 1", [Line("Sag", state)])])
        # The legend's four marks come last.
        shapes[state] = marks(drawn)[: -len(marks(pictures.progress([("Lesson 1", [])])))]
    assert len({tuple(names) for names in shapes.values()}) == len(STATES)


def test_the_legend_names_the_states():
    shown = ["".join(e.itertext()) for e in texts(pictures.progress([("Lesson 1", [])]))]
    assert shown == ["Lesson 1", "not tried", "begun", "to go over", "safe"]


def test_the_sentence_carries_every_number_and_title():
    drawn = pictures.progress(groups())
    counted = "32 skills: 8 safe, 8 to go over, 8 begun, 8 not tried."
    assert drawn.sentence.startswith(counted)
    shown = set().union(*(numbers("".join(e.itertext())) for e in texts(drawn)))
    assert shown <= numbers(drawn.sentence)
    assert all(skill.title in drawn.sentence for skill in skills())
    assert re.search(r"Power and energy, to go over: 10 of 12 at once", drawn.sentence)


def test_what_is_typed_elsewhere_does_no_harm():
    drawn = pictures.progress([(HOSTILE, [Line(HOSTILE, "begun", HOSTILE)] * 3)])
    assert_sound(drawn)
    assert "<script" not in drawn.svg
    assert "&lt;script" in drawing.escape(drawn.sentence, 500)


def test_too_much_or_an_unknown_state_is_told():
    with pytest.raises(BadValue, match="lines holds 61 entries"):
        pictures.progress([("Lesson 1", [Line("Sag", "safe")] * 61)])
    with pytest.raises(BadValue, match="groups holds 25 entries"):
        pictures.progress([("Lesson 1", [])] * 25)
    with pytest.raises(BadValue, match=r"state is \"done\".*none, begun, over, safe"):
        pictures.progress([("Lesson 1", [Line("Sag", "done")])])
