"""Pictures of tasks on the shared screen, as Chromium draws them: large letters, nothing cut.

24 pt are 32 px on a screen of 1366 x 768; what stands on the screen then is not scrolled, and no
label lies on another one, on a line of text or beyond the edge, at any stage of a class.
"""

from datetime import UTC, datetime

import pytest
from test_pictures_drawn import PLACED

from packlearn import pictures
from packlearn.classroom import live, showing
from packlearn.panels import projecting
from packlearn.tasks import bank, checking

pytestmark = pytest.mark.browser

PICTURED = [(name, task) for name in bank.pages() for task in bank.page(name).tasks if task.picture]
STAGES = ("asked", "shown", "why")
# Half a pixel of rounding.
LEAST_PX = 31.5

# Faults of the screen; how many letters were measured stands beside them.
FAULTS = """() => {
  const screen = document.querySelector(".packlearn-projector");
  const bad = [], slack = 1;
  const inked = (e) => { const m = e.getScreenCTM(), b = e.getBBox();
    const size = parseFloat(getComputedStyle(e).fontSize), base = parseFloat(e.getAttribute("y"));
    return {l: m.a * b.x + m.e, r: m.a * (b.x + b.width) + m.e, t: m.d * (base - 0.74 * size) + m.f,
      b: m.d * (base + 0.21 * size) + m.f, size: size * m.a, says: e.textContent}; };
  const box = (e) => { const b = e.getBoundingClientRect();
    return {l: b.left, r: b.right, t: b.top, b: b.bottom, says: e.textContent.slice(0, 30)}; };
  const meet = (a, b) => Math.min(a.r, b.r) - Math.max(a.l, b.l) > slack
    && Math.min(a.b, b.b) - Math.max(a.t, b.t) > slack;
  const cut = (a) => a.l < -slack || a.t < -slack || a.r > innerWidth + slack
    || a.b > innerHeight + slack;
  const lines = [...screen.querySelectorAll("p, li")];
  const size = (e) => parseFloat(getComputedStyle(e).fontSize);
  lines.filter((e) => size(e) < 32).forEach((e) => bad.push(`small text: ${e.textContent}`));
  const told = lines.map(box);
  // Boxes of devices, readings and contacts; several may share one path.
  const boxes = [...screen.querySelectorAll("svg .pl-box, svg .pl-tag, svg .pl-display")].map(box);
  const texts = [...screen.querySelectorAll("svg text")].filter((e) => e.textContent.trim())
    .map(inked);
  const shapes = [...screen.querySelectorAll("svg path")].map(box);
  told.filter(cut).forEach((a) => bad.push(`text cut off: ${a.says}`));
  shapes.filter(cut).forEach(() => bad.push("a shape cut off"));
  told.forEach((a) => shapes.filter((b) => meet(a, b))
    .forEach(() => bad.push(`a shape on: ${a.says}`)));
  texts.forEach((a, i) => {
    if (a.size < LEAST) bad.push(`${a.size.toFixed(1)} px: ${a.says}`);
    boxes.filter((b) => meet(a, b) && (a.l < b.l || a.r > b.r))
      .forEach(() => bad.push(`out of its box: ${a.says}`));
    if (cut(a)) bad.push(`cut off: ${a.says}`);
    [...told, ...texts.slice(i + 1)].filter((b) => meet(a, b))
      .forEach((b) => bad.push(`${a.says} on ${b.says}`));
  });
  return [bad, texts.length];
}"""


def screen(var, number, stage, code):
    """HTML of the shared screen before anybody has answered."""
    moment = live.Moment(code, var.task.page, var.task.id, stage, datetime.now(UTC), number)
    told = showing.News(moment, live.tally([], 28), None)
    return projecting.screen(_As(told, var))


class _As:
    """News of a variant of a given number, which may be no seat's own."""

    def __init__(self, told, variant):
        self.moment, self.first, self.again = told
        self.variant = variant


def laid(page, inner, theme="true"):
    """Lay a screen over the page as the notebook does."""
    body = f'<body data-jp-theme-light="{theme}" style="font-family: system-ui, sans-serif">'
    panel = '<div class="packlearn-panel packlearn-projector"><div class="packlearn-shared">'
    content = f'<div class="widget-html-content">{inner}</div></div></div>'
    page.set_content(f"<style>{pictures.style_sheet()}</style>{body}{panel}{content}")


def faults(page, numbers, stages=STAGES, code="HEDGE7", least=LEAST_PX):
    """Faults of all tasks with a picture, and how many letters were measured."""
    found, seen = [], 0
    for name, task in PICTURED:
        for number in numbers:
            var = checking.variant(task, number)
            for stage in stages:
                laid(page, screen(var, number, stage, code))
                bad, texts = page.evaluate(FAULTS.replace("LEAST", str(least)))
                found += [f"{name} {task.id} {number} {stage}: {fault}" for fault in bad]
                seen += texts
    return found, seen


def test_letters_of_every_picture_are_large_at_every_stage(page):
    page.set_viewport_size({"width": 1366, "height": 768})
    found, seen = faults(page, [0])
    assert found == []
    assert seen > 2000


def test_a_show_of_hands_leaves_the_pictures_as_large(page):
    page.set_viewport_size({"width": 1366, "height": 768})
    found, seen = faults(page, [1], ["asked"], code="")
    assert found == []
    assert seen > 700


@pytest.mark.parametrize(("size", "least"), [((1920, 1080), 44), ((1280, 720), 24)])
def test_other_screens_cut_nothing_off(page, size, least):
    page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
    found, _ = faults(page, [0], ["shown"], least=least)
    assert found == []


def test_labels_of_a_shared_picture_stand_within_it_and_in_their_cells(page):
    figures = []
    for name, task in PICTURED:
        var = checking.variant(task, 1)
        for stage in STAGES:
            _, found, svg = screen(var, 1, stage, "HEDGE7").partition("<svg")
            if found:
                svg = svg.partition("</svg>")[0]
                figures.append(f'<figure title="{name} {task.id} {stage}"><svg{svg}</svg></figure>')
    style = f"<style>{pictures.style_sheet()}</style>"
    page.set_content(f"{style}<body>{''.join(figures)}")
    # What is drawn over the edge of a picture's room is not cut off there.
    found = [one for one in page.evaluate(PLACED) if "a shape outside" not in one]
    assert found == []
    assert len(figures) > 180


@pytest.mark.long
def test_letters_of_every_picture_are_large_with_many_numbers(page):
    page.set_viewport_size({"width": 1366, "height": 768})
    numbers = [*range(1, 8), 1003, 17001]
    assert faults(page, numbers)[0] == []
