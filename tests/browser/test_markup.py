"""Texts that mean harm, put through every way onto a screen, in a real browser: nothing runs.

Each page counts what ran (``alert`` and the like are replaced), what it asked of the network, and
elements that only a text could have brought in.
"""

import csv
import io
import json
import tomllib
from dataclasses import replace

import pytest
from browsing import notebook, open_lesson
from playwright.sync_api import expect

from packlearn import panels
from packlearn.classroom import live, mark_sheets, marking, sitting
from packlearn.classroom.seats import first_variant, seat_text
from packlearn.panels.illustrations import illustration
from packlearn.records import Prediction, Records
from packlearn.sheets import around, base, task_sheets
from packlearn.tasks import bank

pytestmark = pytest.mark.browser

CODE = "HEDGE7"
AWAY = "http://away.example/x"
TEXTS = (
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    f"<img src={AWAY}>",
    "<svg onload=alert(1)>",
    "<svg><script>alert(1)</script></svg>",
    "<svg><animate onbegin=alert(1) attributeName=x dur=1s>",
    "</td></tr></table></p></svg><script>alert(1)</script>",
    "</title></style></textarea><img src=x onerror=alert(1)>",
    '"\' onmouseover=alert(1) autofocus onfocus=alert(1) x="',
    "<input autofocus onfocus=alert(1)>",
    "<a href='javascript:alert(1)'>6 V</a>",
    "<iframe srcdoc='<script>parent.alert(1)</script>'></iframe>",
    f"<style>@import '{AWAY}';*{{display:none}}</style>",
    f"<p style='background:url({AWAY})'>6 V</p>",
    "<details open ontoggle=alert(1)>",
    f"<link rel=stylesheet href={AWAY}>",
    f"<meta http-equiv=refresh content='0;url={AWAY}'>",
    f"<form action={AWAY}><button>6 V</button></form>",
    "<math><mi xlink:href='javascript:alert(1)'>6 V",
    "&lt;script&gt;alert(1)&lt;/script&gt;",
    "$\\href{javascript:alert(1)}{6 V}$",
    "${alert(1)} {{alert(1)}} {value.__class__}",
    "<!-- 6 V",
    "\u202eV 2,6\u202c \u20676 V",
    "\u0430\u0440\u0440le 6 \u2164",
    "6 V" + "\u0336" * 90,
    "x" * 200,
    "=HYPERLINK(1)",
    "+1+cmd|' /C calc'!A0",
    "-1+1",
    "@SUM(A1)",
    "\t=1+1",
    "\r=1+1",
    "\uff1d1+1",
)
HOOKS = """
window.ran = [];
for (const name of ["alert", "confirm", "prompt", "open", "print"])
  window[name] = () => { window.ran.push(name); };
"""
# Elements and attributes that no page and no panel of ours has.
STRANGE = """() => {
  const tags = "script, iframe, img, object, embed, link, form, meta[http-equiv=refresh], "
    + "animate, math, input";
  const found = [...document.body.querySelectorAll(tags)].map((one) => one.outerHTML);
  for (const one of document.querySelectorAll("*"))
    for (const name of one.getAttributeNames())
      if (name.startsWith("on") || /javascript:/i.test(one.getAttribute(name)))
        if (!["aria-label", "title", "content"].includes(name)) found.push(one.outerHTML);
  return found;
}"""


class Watched:
    """A page that shows HTML and tells what came of it."""

    def __init__(self, browser):
        self.context = browser.new_context()
        self.context.add_init_script(HOOKS)
        self.page = self.context.new_page()
        self.asked = []
        self.context.route("**/*", self.refuse)

    def refuse(self, route):
        self.asked.append(route.request.url)
        route.abort()

    def show(self, markup, inside=False):
        """Show a document, or set markup into an empty one as a widget of text does."""
        self.page.set_content("<!DOCTYPE html><body></body>" if inside else markup)
        if inside:
            self.page.evaluate("(text) => { document.body.innerHTML = text; }", markup)
        # Whatever starts by itself has started when two more pictures are drawn.
        self.page.evaluate("() => new Promise((go) => requestAnimationFrame(() => "
                           "requestAnimationFrame(() => setTimeout(go, 0))))")  # fmt: skip

    def trouble(self):
        found = self.page.evaluate("window.ran"), list(self.asked), self.page.evaluate(STRANGE)
        return [each for each in found if each]

    def text(self):
        return self.page.evaluate("document.body.textContent")


@pytest.fixture
def watched(browser):
    made = Watched(browser)
    yield made
    made.context.close()


@pytest.mark.parametrize("inside", [False, True])
def test_what_runs_would_be_seen(watched, inside):
    for text in ("<img src=x onerror=alert(1)>", f"<img src={AWAY}>", "<a href='javascript:x'>"):
        watched.asked.clear()
        watched.show(text, inside)
        assert watched.trouble()
    watched.show("<img src=x onerror=alert(1)>", inside)
    watched.page.wait_for_function("window.ran.length > 0")


# Files that are opened.


def answer_line(asked, seat, **new):
    number = first_variant(CODE, seat)
    fields = {"page": asked.page, "task": asked.id, "variant": number, "attempt": 1, "typed": "6 V"}
    return fields | {"confidence": "think", "locked at": "2026-03-01T12:00:00Z"} | new


def marks_of(texts):
    """Marks of a folder in which every text stands wherever a text can stand."""
    tasks = bank.page("predict-the-pack").tasks
    head = {"packlearn answers": 1, "class": CODE, "seat": 4, "saved at": "x"}
    files = []
    for at, text in enumerate(texts):
        task = tasks[at % len(tasks)]
        rows = [
            head | {"saved at": text},
            answer_line(task, 4, typed=text, **{"locked at": text}, attempt=1 + at // len(tasks)),
            answer_line(task, 4, page=text[:90], task=text[:90]),
            {"answers": 2},
        ]
        files.append((f"{at} {text}", "".join(json.dumps(row) + "\n" for row in rows).encode()))
        files.append((text, json.dumps(head | {"class": text}).encode()))
        files.append((f"v{text}", json.dumps(head | {"packlearn answers": text}).encode()))
    return marking.mark(CODE, 24, files)


def test_a_summary_of_harmful_answers_runs_nothing(watched, tmp_path):
    marks = marks_of(TEXTS)
    assert len(marks.report) >= 2 * len(TEXTS)
    mark_sheets.write(marks, tmp_path)
    watched.show((tmp_path / "summary.html").read_text(encoding="utf-8"))
    assert watched.trouble() == []
    assert "<script>alert(1)</script>" in watched.text()
    # A table gives back what was typed, and no cell of it begins as a formula.
    for name in ("answers.csv", "marks.csv"):
        text = (tmp_path / name).read_bytes().decode("utf-8-sig")
        rows = list(csv.reader(io.StringIO(text, newline="")))
        assert len({len(row) for row in rows}) == 1
        starts = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")
        assert not any(cell.startswith(starts) for row in rows for cell in row)
        if name == "answers.csv":
            typed = {row[5].removeprefix("'") for row in rows[1:]}
            assert typed == {each.answer.typed.removeprefix("'") for q in marks.questions
                             for each in q.tries}  # fmt: skip
            assert set(TEXTS[:20]) <= typed


def own_file(text, folder, name="harm"):
    """A teacher's task file whose every text means harm."""
    told = text.replace("{", "").replace("}", "").replace("[[", "")
    quoted = json.dumps(told, ensure_ascii=False)
    asked = json.dumps(told + " {series} cells of {cell_nominal_voltage_v}?", ensure_ascii=False)
    content = (
        f'[page]\ntitle = {quoted}\nintro = {quoted}\n[[task]]\nid = "volts"\n'
        f'skill = "series-volts"\nasked = "pack_voltage_v"\ntext = {asked}\n'
        'cell = ["nimh-aa", "nimh-c"]\nseries = { from = 3, to = 9 }\nparallel = [2, 3]\n'
    )
    assert tomllib.loads(content)["page"]["title"] == told
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{name}.toml").write_text(content, encoding="utf-8")
    return f"own/{name}"


def test_sheets_of_harmful_tasks_run_nothing(watched):
    shown = 0
    for text in TEXTS:
        page = bank.page(own_file(text.replace("\r", " ").replace("\t", " "), bank.own_folder()))
        copies = tuple(replace(copy, head=text) for copy in task_sheets.copies_of_class(CODE, 1))
        watched.show(task_sheets.sheets(page, page.tasks, copies, illustration))
        assert watched.trouble() == [], text
        watched.show(task_sheets.key(page, page.tasks, copies, text))
        assert watched.trouble() == [], text
        shown += 1
    assert shown == len(TEXTS)
    watched.show(
        base.document(TEXTS[0], [base.frame(TEXTS[1], TEXTS[7], [around.seat_list(CODE, 3)])])
    )
    assert watched.page.evaluate("window.ran") == []


# Panels: what they put on the screen, set in as JupyterLab does.


def markup_of(panel):
    """Everything a panel shows as HTML."""
    import ipywidgets

    waiting, found = [panel], []
    while waiting:
        widget = waiting.pop()
        waiting += [each for each in getattr(widget, "children", ()) if each is not None]
        if isinstance(widget, ipywidgets.HTML) and "packlearn-style" not in widget._dom_classes:
            found.append(widget.value)
    return "\n".join(found)


@pytest.fixture
def class_of_harm(tmp_path, monkeypatch):
    """A class in which every text was locked in as an answer."""
    monkeypatch.setenv("PACKLEARN_RECORDS", f"sqlite:///{tmp_path / 'shared.sqlite'}")
    sitting.join(CODE, 40)
    records = Records.default()
    for seat, text in enumerate(TEXTS, 1):
        for page, task in (("lesson-3", "in-line"), (text[:90], text[:90])):
            records.lock(
                Prediction(page=page, task=task, variant=0, attempt=1, givens={"cell": text},
                           typed=text, value=None, unit=text[:40], confidence="sure",
                           seat=seat_text(CODE, seat), reason=text)
            )  # fmt: skip
    return records


def test_a_list_of_harmful_answers_runs_nothing(watched, class_of_harm):
    for seat in range(1, len(TEXTS) + 1):
        sitting.sit(seat)
        watched.show(markup_of(panels.MyPredictions()), inside=True)
        assert watched.trouble() == [], TEXTS[seat - 1]
    assert "\u202e" not in watched.text()


def test_a_live_class_of_harmful_answers_runs_nothing(watched, class_of_harm, monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    live.ask(class_of_harm, CODE, "lesson-3", "in-line")
    panel, screen = panels.LiveClass(), panels.Projector()
    for stage in ("asked", "talking", "again", "shown", "why"):
        if stage != "asked":
            live.set_stage(class_of_harm, CODE, stage)
        for each in (panel, screen):
            each.update()
            watched.show(markup_of(each), inside=True)
            assert watched.trouble() == [], stage
            assert each.errors == []


def test_questions_and_keys_of_harmful_tasks_run_nothing(watched, monkeypatch):
    for at, text in enumerate(TEXTS):
        flat = text.replace("\r", " ").replace("\t", " ")
        page = own_file(flat, bank.own_folder(), f"harm-{at}")
        monkeypatch.setenv("PACKLEARN_MODE", "learn")
        question = panels.Question(page, "volts")
        for typed in (text, "6 V " + text, "9999 V"):
            question.answer.value = typed
            question.confidence.value = "sure"
            question.lock.click()
            watched.show(markup_of(question), inside=True)
            assert watched.trouble() == [], text
        monkeypatch.setenv("PACKLEARN_MODE", "teach")
        teacher = panels.Question(page, "volts")
        for press in teacher.key.buttons.values():
            press.click()
        watched.show(markup_of(teacher), inside=True)
        assert watched.trouble() == [], text
        assert question.errors == teacher.errors == []


def test_messages_about_harmful_files_and_seats_run_nothing(watched):
    broken = bank.own_folder()
    broken.mkdir(parents=True)
    for at, text in enumerate(TEXTS):
        quoted = json.dumps(text.replace("\r", " ").replace("\t", " "), ensure_ascii=False)
        (broken / f"b{at}.toml").write_text(
            f"[page]\ntitle = {quoted}\nintro = {quoted}\n[[task]]\nid = {quoted}\n"
            f"asked = {quoted}\ntext = {quoted}\nskill = {quoted}\n{quoted} = 1\n",
            encoding="utf-8",
        )
    watched.show(markup_of(panels.OwnTasks()), inside=True)
    assert watched.trouble() == []
    assert "b0.toml" in watched.text()
    sitting.join(CODE, 24)
    opening = panels.Opening(lesson=1)
    for text in TEXTS:
        opening.box.value = text
        opening.buttons["take"].click()
        watched.show(markup_of(opening), inside=True)
        assert watched.trouble() == [], text
    assert opening.errors == []


# The real thing.


def test_harmful_tasks_and_answers_run_nothing_in_jupyterlab(page, lab):
    learner = lab("learn")
    # All in one: what a browser takes for a tag would be one.
    text = "</p><script>alert(1)</script><img src=x onerror=alert(1)><svg onload=alert(1)>"
    own_file(text, learner.folder / "own-tasks")
    away = []
    page.add_init_script(HOOKS)
    page.on("request", lambda ask: ask.url.startswith(learner.url) or away.append(ask.url))
    open_lesson(page, learner, "exercises/9-own-tasks.ipynb")
    panel = notebook(page).locator(".packlearn-panel").nth(1)
    expect(panel).to_contain_text("<script>alert(1)</script>")
    panel.get_by_label("What do you expect?").fill("6 <img src=x onerror=alert(1)>")
    panel.get_by_role("button", name="Sure", exact=True).click()
    panel.get_by_role("button", name="Lock it in").click()
    expect(panel).to_contain_text("<img src=x")
    panel.get_by_label("What do you expect?").fill("9999 V")
    panel.get_by_role("button", name="Lock it in").click()
    expect(panel).to_contain_text("You wrote: 9999 V")
    listed = notebook(page).locator(".packlearn-log")
    notebook(page).get_by_role("button", name="Refresh").click()
    expect(listed).to_contain_text("<svg onload=alert(1)>")
    assert page.evaluate("window.ran") == []
    for part in (panel, listed):
        assert part.locator("script, img, iframe, [onerror], [onload]").count() == 0
    assert [url for url in away if url.startswith("http") and "127.0.0.1" not in url] == []
