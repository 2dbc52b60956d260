"""Every control of every panel and of every kind of answer, with keys alone; room at two sizes.

Tab reaches all of them in reading order and shows where one is, 3 to 1 against the page; what is
typed stays in its box; a question of each kind is answered, and nothing asks to be moved sideways.
"""

import every_kind
import pytest
from browsing import cells, notebook, open_lesson
from every_kind import KINDS, one_of_each_kind
from playwright.sync_api import expect
from serving import SIZE
from test_accessible import NOTEBOOKS, THEMES

pytestmark = pytest.mark.browser

# A school laptop, and the same at 200 % zoom.
ROOMS = {"whole": (1366, 768), "twice as large": (683, 384)}
SPILLED = """() => {
  const cut = (box) => box.clientWidth && box.scrollWidth > box.clientWidth + 1;
  const told = (box) => `${box.tagName}.${box.className} ${box.scrollWidth}>${box.clientWidth}`;
  const panels = [...document.querySelectorAll(".packlearn-panel")];
  // A slider's handle stands half over each end of its track.
  const parts = panels.flatMap((panel) => [panel, ...panel.querySelectorAll("*")])
    .filter((box) => !box.closest("svg, .slider-container, .packlearn-heard"))
    .filter((box) => box.checkVisibility())
    .filter((box) => getComputedStyle(box).display !== "inline");
  const around = document.querySelectorAll(
    ".jp-NotebookPanel:not(.lm-mod-hidden) :is(.jp-WindowedPanel-outer, .jp-OutputArea-output)");
  const boxes = [document.documentElement, ...around, ...parts];
  return {seen: boxes.length, panels: panels.length, spilled: boxes.filter(cut).map(told)};
}"""
# Numbers the controls of a panel in the order they stand in; a group of choices is one stop.
NUMBERED = """(panel) => {
  const all = panel.querySelectorAll(
    "button, select, input, summary, a[href], .noUi-handle, [contenteditable]");
  const on = [...all].filter((e) => !e.disabled && (e.tabIndex >= 0 || e.isContentEditable))
    .filter((e) => e.checkVisibility({visibilityProperty: true}) && e.getClientRects().length);
  const groups = new Set();
  const stops = on.filter((e) => {
    if (e.type !== "radio") return true;
    const new_ = !groups.has(e.name);
    groups.add(e.name);
    return new_;
  });
  stops.forEach((e, at) => { e.dataset.stop = at; });
  stops[0]?.focus();
  return stops.length;
}"""
# Where one is: its number, its place, and how well its outline is seen.
HERE = """() => {
  const here = document.activeElement;
  const style = getComputedStyle(here);
  const light = document.body.dataset.jpThemeLight === "true";
  const shade = (parts) => parts.map((part) => part / 255)
    .map((part) => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4)
    .reduce((sum, part, at) => sum + part * [0.2126, 0.7152, 0.0722][at], 0);
  const line = shade(style.outlineColor.match(/[\\d.]+/g).slice(0, 3).map(Number));
  const page = light ? 1 : shade([17, 17, 17]);
  const box = here.getBoundingClientRect();
  const drawn = style.outlineStyle === "solid" && parseFloat(style.outlineWidth) >= 2;
  return {
    stop: here.dataset.stop === undefined ? -1 : Number(here.dataset.stop),
    top: box.top + scrollY, bottom: box.bottom, left: box.left,
    what: `${here.tagName} ${here.type || ""} ${here.className} ${here.textContent.slice(0, 30)}`,
    contrast: drawn ? (Math.max(line, page) + 0.05) / (Math.min(line, page) + 0.05) : 0,
  };
}"""


@pytest.fixture(scope="module")
def learner(lab, tmp_path_factory):
    folder = tmp_path_factory.mktemp("kinds")
    every_kind.write(folder)
    return lab("learn", folder)


@pytest.fixture(scope="module")
def opened(browser, learner):
    """The notebook, opened once for all tests of this file, each panel drawn."""
    context = browser.new_context(viewport=SIZE)
    page = context.new_page()
    open_lesson(page, learner, KINDS)
    expect(all_panels(page)).to_have_count(1 + len(one_of_each_kind()) + len(every_kind.EXPLORERS))
    yield page
    context.close()


def all_panels(page):
    return notebook(page).locator(".packlearn-panel")


def walked(page, panel):
    """What Tab comes by in a panel, from its first control on: (count of controls, places)."""
    panel.scroll_into_view_if_needed()
    count = panel.evaluate(NUMBERED)
    places = []
    for _ in range(count):
        places.append(page.evaluate(HERE))
        page.keyboard.press("Tab")
    return count, places


def out_of_order(places):
    """Steps that lead up, or to the left in one line."""
    return [
        (one["what"], other["what"])
        for one, other in zip(places, places[1:], strict=False)
        if (other["bottom"] <= one["top"] and other["left"] <= one["left"])
        or (abs(other["top"] - one["top"]) < 4 and other["left"] < one["left"])
    ]


def test_tab_reaches_every_control_in_reading_order_and_is_seen(opened):
    reached = 0
    for panel in all_panels(opened).all():
        count, places = walked(opened, panel)
        assert [place["stop"] for place in places] == list(range(count)), places
        assert out_of_order(places) == []
        assert [p["what"] for p in places if p["contrast"] < 3] == []
        reached += count
    assert reached > 150


def test_the_keyboard_is_seen_on_a_dark_page(opened):
    opened.evaluate(
        "(theme) => window.jupyterapp.commands.execute('apputils:change-theme', {theme})",
        THEMES[1],
    )
    expect(opened.locator("body")).to_have_attribute("data-jp-theme-light", "false")
    opened.wait_for_timeout(1000)
    for panel in all_panels(opened).all():
        _, places = walked(opened, panel)
        assert [p["what"] for p in places if p["contrast"] < 3] == []


TYPED = "abdmxyz0129"
AFTER = ("Enter", "Shift+Enter", "ArrowUp", "ArrowDown", "ArrowLeft", "Control+z", "Escape")


def test_no_key_typed_in_a_control_reaches_the_notebook(opened):
    before, boxes = cells(opened), 0
    for panel in all_panels(opened).all():
        for box in panel.locator("input[type=text]:visible:enabled").all():
            keyed(opened, box, "Control+a")
            opened.keyboard.type(TYPED)
            assert box.input_value() == TYPED
            boxes += 1
            for key in AFTER:
                opened.keyboard.press(key)
        for kind in ("select", ".noUi-handle", "input[type=radio]", "button"):
            control = panel.locator(f"{kind}:visible:enabled").first
            if control.count():
                keyed(opened, control, "d", "d", "x", "b", "m", "1")
        assert cells(opened) == before
    assert boxes > 15


def keyed(page, control, *keys):
    """Focus a control and press keys."""
    control.focus()
    for key in keys:
        page.keyboard.press(key)


def typed(*texts):
    def answer(page, panel):
        for text, box in zip(texts, panel.locator("input[type=text]:visible").all(), strict=True):
            keyed(page, box, "Control+a")
            page.keyboard.type(text)

    return answer


def chosen(page, panel):
    for group in panel.get_by_role("radiogroup").all() or [panel]:
        keyed(page, group.get_by_role("radio").first, "Space")


def wired(page, panel):
    for name in ("1A+", "2A\u2212", "Join"):
        keyed(page, panel.get_by_role("button", name=name, exact=True), "Enter")


def found_faulty(page, panel):
    keyed(page, panel.get_by_role("button", name="Read the meter"), "Enter")
    expect(panel.locator("table")).to_be_visible()
    keyed(page, panel.get_by_label("What is wrong?"), "ArrowDown")


def ordered(page, panel):
    keyed(page, panel.get_by_role("listbox"), "ArrowDown")
    keyed(page, panel.get_by_role("button", name="Later"), "Enter")
    expect(panel.get_by_text("Now at place")).to_be_visible()


def picked(page, panel):
    for name in ("1A+", "1A\u2212"):
        button = panel.get_by_role("button", name=name, exact=True)
        keyed(page, button, "Enter")
        expect(button).to_have_attribute("aria-pressed", "true")


ANSWERED = {
    "number": typed("3 Ah"),
    "count": typed("3"),
    "range": typed("3 h"),
    "estimate": typed("4 to 5 h"),
    "name": typed("1S1P"),
    "design": typed("1S1P"),
    "numbers": typed("1 Ah", "1 Wh"),
    "choice": chosen,
    "reason": chosen,
    "wire": wired,
    "fault": found_faulty,
    "order": ordered,
    "pick": picked,
}


def test_every_kind_of_answer_can_be_given_with_keys_alone(opened):
    assert set(ANSWERED) == set(one_of_each_kind())
    for panel, kind in zip(all_panels(opened).all()[1:], one_of_each_kind(), strict=False):
        ANSWERED[kind](opened, panel)
        keyed(opened, panel.get_by_role("button", name="Sure", exact=True), "Space")
        keyed(opened, panel.get_by_role("button", name="Lock it in", exact=True), "Enter")
        expect(panel.locator(".packlearn-written").first).to_be_visible()


def spilled(page):
    """What asks to be moved sideways, at a school laptop's size and at 200 % zoom."""
    found = []
    for name, (width, height) in ROOMS.items():
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(500)
        told = page.evaluate(SPILLED)
        assert told["panels"]
        assert told["seen"] > 5
        found += [f"{name}: {one}" for one in told["spilled"]]
    return found


def test_no_panel_asks_to_be_moved_sideways(opened):
    assert spilled(opened) == []
    all_panels(opened).first.evaluate(
        "(panel) => { panel.innerHTML += '<p style=width:2000px>wide</p>'; }"
    )
    assert len(spilled(opened)) > 1


CLASS = tuple(f"class/{name}.ipynb" for name in ("live-class", "projector"))


@pytest.fixture(scope="module")
def teacher(lab):
    return lab("teach")


@pytest.mark.long
@pytest.mark.parametrize("path", [*NOTEBOOKS, *CLASS])
def test_no_notebook_asks_to_be_moved_sideways(page, teacher, path):
    open_lesson(page, teacher, path)
    expect(notebook(page).locator(".packlearn-panel").first).to_be_visible()
    assert spilled(page) == []
