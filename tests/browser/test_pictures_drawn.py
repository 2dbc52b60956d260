"""Pictures as Chromium draws them: no text on another one, on a cell's edge or out of the picture.

``tests/test_pictures.py`` asks the same of widths counted from a font's own tables; here the
browser says where each letter is, in both themes.
"""

import functools
import random
import re

import pytest

from packlearn import Pack, Wiring, cell, pictures
from packlearn.pictures.bench import circuit_view, holder_view

pytestmark = pytest.mark.browser

# Letters may touch a box's edge by half a pixel, which nobody sees.
PLACED = """() => [...document.querySelectorAll("figure")].flatMap((figure) => {
  const svg = figure.querySelector("svg");
  const name = figure.title;
  const room = svg.viewBox.baseVal;
  const slack = 0.5;
  const place = (e) => { const b = e.getBBox();
    return {l: b.x, t: b.y, r: b.x + b.width, b: b.y + b.height}; };
  // A line's box holds more than its letters: without the room above and below them.
  const inked = (e) => { const b = place(e), size = parseFloat(getComputedStyle(e).fontSize);
    const base = parseFloat(e.getAttribute("y"));
    return {...b, t: base - 0.74 * size, b: base + 0.21 * size, says: e.textContent, size}; };
  const meet = (a, b) => Math.min(a.r, b.r) - Math.max(a.l, b.l) > slack
    && Math.min(a.b, b.b) - Math.max(a.t, b.t) > slack;
  const within = (a, b) => a.l >= b.l - slack && a.r <= b.r + slack
    && a.t >= b.t - slack && a.b <= b.b + slack;
  const texts = [...svg.querySelectorAll("text")].filter((e) => e.textContent.trim()).map(inked);
  const shapes = [...svg.querySelectorAll("path")].map(place);
  // Each cell of a picture is a part of its own in one path.
  const cells = [...svg.querySelectorAll(".pl-cell")].flatMap((e) =>
    e.getAttribute("d").split(/(?=M)/).map((part) => { const one = e.cloneNode();
      one.setAttribute("d", part); e.parentNode.append(one); const b = place(one); one.remove();
      return b; }));
  const whole = {l: room.x, t: room.y, r: room.x + room.width, b: room.y + room.height};
  const bad = [];
  texts.forEach((a, i) => {
    if (!within(a, whole)) bad.push(`${name}: outside: ${a.says}`);
    if (a.size < 11) bad.push(`${name}: small: ${a.says}`);
    texts.slice(i + 1).filter((b) => meet(a, b))
      .forEach((b) => bad.push(`${name}: ${a.says} on ${b.says}`));
    if (cells.some((c) => meet(a, c) && !within(a, c))) bad.push(`${name}: on an edge: ${a.says}`);
  });
  shapes.filter((s) => !within(s, whole)).forEach(() => bad.push(`${name}: a shape outside`));
  document.body.dataset.seen = Number(document.body.dataset.seen || 0) + texts.length;
  document.body.dataset.cells = Number(document.body.dataset.cells || 0) + cells.length;
  return bad;
})"""
SIZES = [(series, parallel) for series in range(1, 13) for parallel in range(1, 7)]
SAMPLE = [(1, 1), (2, 3), (5, 6), (7, 2), (12, 1), (12, 6)]
FIGURES = [("nominal voltage", "14.4 V"), ("current limit", "11.4 A"), ("capacity", "11.4 Ah")]


@functools.cache
def _pack(series, parallel, strings=False):
    return Wiring.of(Pack(cell("nimh-aa"), series, parallel), strings=strings)


def plans(series, parallel):
    """The plan of a pack in each layout, with and without its readings."""
    for layout in ("groups", "strings", "holder"):
        for readings in (None, "volts"):
            if layout == "holder" and readings:
                continue
            more = {"readings": readings} if readings else {}
            yield (
                f"{layout} {readings}",
                pictures.pack(
                    series, parallel, "NiMH AA", 1.36, layout=layout, figures=FIGURES, **more
                ),
            )


def benches(series, parallel):
    """Both views of a bench: plain, with a meter and a load, with an end chosen."""
    for strings in (False, True):
        wiring = _pack(series, parallel, strings)
        red, black = random.Random(series * 7 + parallel).sample(sorted(wiring.contacts), 2)
        metered = {"red": red, "black": black, "reading": "-12.45 V", "load_ohm": 1200.0}
        for what, more in (("plain", {}), ("metered", metered), ("chosen", {"chosen": (red,)})):
            yield f"circuit {strings} {what}", circuit_view(wiring, **more)
            yield f"holder {strings} {what}", holder_view(wiring, strings=strings, **more)


def faults(page, sizes, theme):
    """What lies on what in all pictures of these sizes, in a theme."""
    drawn = [
        (f"{series}S{parallel}P {name}", picture)
        for series, parallel in sizes
        for views in (plans, benches)
        for name, picture in views(series, parallel)
    ]
    figures = "".join(f'<figure title="{name}">{one.svg}</figure>' for name, one in drawn)
    style = f"<style>{pictures.style_sheet()}</style>"
    page.set_content(f'{style}<body data-jp-theme-light="{theme}">{figures}</body>')
    return page.evaluate(PLACED)


def seen(page):
    return page.evaluate("() => [document.body.dataset.seen, document.body.dataset.cells]")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nothing_overlaps_in_packs_of_some_sizes(page, theme):
    assert faults(page, SAMPLE, str(theme == "light").lower()) == []
    texts, cells = map(int, seen(page))
    assert texts > 1000
    assert cells > 500


@pytest.mark.long
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nothing_overlaps_from_1s1p_to_12s6p(page, theme):
    assert faults(page, SIZES, str(theme == "light").lower()) == []


def test_what_lies_on_something_is_found(page):
    drawn = pictures.pack(2, 1, "NiMH AA").svg
    astray = '<text x="{}" y="{}" font-size="{}">{}</text>'
    left, top = re.search(r'class="pl-cell" d="M([\d.]+) ([\d.]+)h', drawn).groups()
    cases = {
        "on an edge": astray.format(left, float(top) + 4, 12, "half in"),
        "astray": astray.format(855, 40, 12, "astray"),
        "tiny": astray.format(400, 20, 8, "tiny"),
        "twice": astray.format(400, 20, 12, "twice") + astray.format(402, 22, 12, "again"),
    }
    for what, more in cases.items():
        page.set_content(f'<body><figure title="{what}">{drawn.replace("</svg>", more + "</svg>")}')
        assert [fault for fault in page.evaluate(PLACED) if what in fault.split(": ", 1)[1]]
