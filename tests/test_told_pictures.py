"""What a panel's pictures say in words changes with them and holds the numbers that are seen."""

import re
from types import SimpleNamespace

import pytest
from test_curve_panels import ALL_EXPLORERS
from test_panels import stops
from test_pictures import assert_says_its_numbers
from test_protect_panels import EXPLORERS as PROTECTING

from packlearn import Pack, cell
from packlearn.panels.bench import Bench
from packlearn.wiring import Wiring

PANELS = {**ALL_EXPLORERS, **PROTECTING}
SVG = re.compile(r"<svg.*?</svg>", re.DOTALL)
TOLD = re.compile(r'aria-label="([^"]*)"')


def pictures_of(markup):
    """Pictures in a text: what is drawn, and what is told of it."""
    found = []
    for svg in SVG.findall(markup):
        told = TOLD.search(svg)[1]
        xmlns = "" if "xmlns=" in svg else ' xmlns="http://www.w3.org/2000/svg"'
        whole = svg.replace("<svg", f"<svg{xmlns}", 1)
        found.append(SimpleNamespace(svg=whole, drawn=TOLD.sub("", svg), sentence=told))
    return found


def seen_at(panel, control):
    """Pictures of a panel at each stop of a control."""
    start = control.value
    for stop in stops(control):
        control.value = stop
        yield pictures_of(panel.picture.value)
    control.value = start


@pytest.mark.parametrize("name", PANELS)
def test_another_picture_has_another_sentence(name):
    panel = PANELS[name]()
    for key, control in panel.controls.items():
        for same_place in zip(*seen_at(panel, control), strict=False):
            drawn = {picture.drawn for picture in same_place}
            told = {picture.sentence for picture in same_place}
            assert len(told) == len(drawn), (key, told)


@pytest.mark.parametrize("name", PANELS)
def test_the_sentence_holds_the_numbers_of_the_picture(name):
    panel = PANELS[name]()
    seen = 0
    for control in panel.controls.values():
        for pictures in seen_at(panel, control):
            for picture in pictures:
                assert_says_its_numbers(picture)
                seen += 1
    assert seen > 1


def test_a_benchs_pictures_are_told_after_each_step():
    bench = Bench(Wiring.of(Pack(cell("nimh-aa"), 3, 2)))
    steps = [
        lambda: bench.contacts.buttons["1A+"].click(),
        lambda: bench.contacts.buttons["2A-"].click(),
    ]
    before = [picture.sentence for picture in both(bench)]
    for step in steps:
        step()
        for picture in both(bench):
            assert_says_its_numbers(picture)
    bench.wiring = bench.wiring.turn("2A")
    bench.update()
    for picture, once in zip(both(bench), before, strict=True):
        assert_says_its_numbers(picture)
        assert picture.sentence != once


def both(bench):
    return pictures_of(bench.holder.value) + pictures_of(bench.circuit.value)


def test_a_sentence_that_stays_behind_would_be_seen(monkeypatch):
    monkeypatch.setattr("test_told_pictures.pictures_of", stale(pictures_of))
    with pytest.raises(AssertionError):
        test_another_picture_has_another_sentence("both")


def stale(found):
    def told(markup):
        return [SimpleNamespace(**{**vars(p), "sentence": "A pack."}) for p in found(markup)]

    return told
