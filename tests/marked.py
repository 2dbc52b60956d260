"""Renders what a learner or teacher can meet and prints its words that carry no mark.

``make`` writes a second set of texts in which every word is marked; run as a program with
``PACKLEARN_TEXTS`` naming that set and parts to look at (questions, panels, command), this
prints {"kind of thing": [how many texts, {word without a mark: where}]} as JSON.
"""

import contextlib
import html
import io
import json
import re
import shutil
import string
import sys
import tomllib
from pathlib import Path

MARK = "\u00a4"
# What a task's or a round's file holds that is text for people.
PAGE_TEXTS = ("title", "intro", "text", "after", "invite", "explain")
# A word: two letters or more; a letter alone is a sign, such as the A of 1A.
WORD = re.compile(r"(?<![^\W\d_])[^\W\d_]{2,}")
# The end of a cell as code has it; a learner sees it with a minus sign, as in pictures.
HYPHENED = re.compile(r"\b\d+[A-Z]+-(?![\w-])")
# Symbols of units are the same in all languages; so are names of packs and of contacts.
UNITS = {
    *re.findall(r"\S+", "mV kV mA As Ah mAh Wh mWh kWh mW ohm mohm kohm Mohm min mm mm² cm kg degC")
}


def marked(text):
    """A text with a mark before each word, its {fields} left alone."""
    parts = []
    for before, field, form, turned in string.Formatter().parse(text):
        words = WORD.sub(lambda word: word[0] if word[0] in UNITS else MARK + word[0], before)
        parts.append(words.replace("{", "{{").replace("}", "}}"))
        if field is not None:
            turned, form = f"!{turned}" if turned else "", f":{form}" if form else ""
            parts.append(f"{{{field}{turned}{form}}}")
    return "".join(parts)


def mark_words(entry):
    """Every text of a table of words, marked."""
    if isinstance(entry, dict):
        return {key: mark_words(each) for key, each in entry.items()}
    if isinstance(entry, list):
        return [mark_words(each) for each in entry]
    return marked(entry) if isinstance(entry, str) else entry


def mark_page(entry, key=""):
    """The texts of a page of tasks, marked; its ids and formulas are no texts."""
    if isinstance(entry, dict):
        return {name: mark_page(each, name) for name, each in entry.items()}
    if isinstance(entry, list):
        return [mark_page(each, key) for each in entry]
    return marked(entry) if isinstance(entry, str) and key in PAGE_TEXTS else entry


def to_toml(entry):
    """A value as TOML in one line."""
    if isinstance(entry, dict):
        return "{" + ", ".join(f"{json.dumps(k)} = {to_toml(v)}" for k, v in entry.items()) + "}"
    if isinstance(entry, list):
        return "[" + ", ".join(map(to_toml, entry)) + "]"
    return json.dumps(entry, ensure_ascii=False)


def rewrite(source, target, change):
    """A TOML file with its texts changed."""
    data = change(tomllib.loads(source.read_text(encoding="utf-8")))
    lines = [f"{json.dumps(key)} = {to_toml(value)}" for key, value in data.items()]
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text("\n".join(lines) + "\n", encoding="utf-8")


def make(folder):
    """Write the second set of texts, marked, into a folder; how many files it has."""
    from packlearn import places

    words = places.PACKAGE / "data" / "words" / "en"
    files = [(path, Path(folder, "words", path.name), mark_words) for path in words.glob("*.toml")]
    for home in (places.lessons_folder(), places.exercises_folder()):
        shutil.copytree(home, Path(folder, home.name), dirs_exist_ok=True)
        pages = sorted(home.glob("*.toml"))
        files += [(path, Path(folder, home.name, path.name), mark_page) for path in pages]
    for source, target, change in files:
        rewrite(source, target, change)
    return len(files)


# What is shown, and what of it has no mark.


def pieces(markup):
    """Texts of HTML or SVG, and of its attributes that are read or heard."""
    heard = re.findall(r'(?:aria-label|title|alt|placeholder)="([^"]*)"', markup)
    # Paths of files are names.
    bare = re.sub(r"<style.*?</style>|(?<!\S)/\S+", " ", markup, flags=re.DOTALL)
    return [html.unescape(text) for text in (*re.split(r"<[^>]*>", bare), *heard)]


def unmarked(text):
    """Words of a text that come from no file of texts, and ends of cells written with a hyphen."""
    for word in WORD.finditer(text):
        if word[0] not in UNITS and not text[: word.start()].endswith(MARK):
            yield word[0]
    yield from HYPHENED.findall(text)


class Found:
    """Texts that were seen, by the kind of thing that showed them."""

    def __init__(self):
        self.kinds = {}

    def look(self, kind, texts):
        """Note the words without a mark of some texts."""
        count, bare = self.kinds.get(kind, (0, {}))
        for text in texts:
            for piece in filter(str.strip, pieces(text)):
                count += 1
                for word in unmarked(piece):
                    bare.setdefault(word, piece[:160])
        self.kinds[kind] = (count, bare)


def shown(panel):
    """Every text that a panel holds, whether open or not yet, but for what is typed or chosen."""
    import ipywidgets
    from test_questions import everything, texts

    typed = (ipywidgets.Text, ipywidgets.Textarea, ipywidgets.widget_selection._Selection)
    for widget in everything(panel):
        if isinstance(widget, typed):
            names = ("description", "tooltip", "placeholder", "_options_labels", "tooltips")
            told = [getattr(widget, name, None) or "" for name in names]
            yield from (text for one in told for text in ([one] if isinstance(one, str) else one))
        elif not hasattr(widget, "children") and isinstance(widget, ipywidgets.DOMWidget):
            yield from texts([widget])


def look_at_questions(found):
    """Every task: open, wrong, right, with what each known slip is told, and the key."""
    import os

    from test_questions import right_text, wrong_text

    from packlearn import panels
    from packlearn.tasks import bank, checking
    from packlearn.tasks.mistakes import rules_for

    for name in bank.pages():
        for task in bank.page(name).tasks:
            os.environ.pop("PACKLEARN_MODE", None)
            question = panels.Question(name, task.id)
            found.look("questions", shown(question))
            var = question.variant
            for rule in rules_for(task.asked, var.givens):
                found.look("slips", [rule.sentence(var.givens, typed="7"), rule.did])
            for typed in [wrong_text(var)] * (task.attempts - 1) + [right_text(var)]:
                # What is typed here is marked nowhere; a range is one in any language with a dash.
                question.answer.value = typed.replace(" to ", "-")
                question.confidence.value = "sure"
                question.lock.click()
                found.look("feedback", shown(question))
            if question.phase == "look":
                question.saw[0].click()
                found.look("feedback", shown(question))
            os.environ["PACKLEARN_MODE"] = "teach"
            teacher = panels.Question(name, task.id)
            for press in teacher.key.buttons.values():
                press.click()
            found.look("keys", shown(teacher))
            found.look("keys", [text for _, text in checking.wrong_values(var)])
    os.environ.pop("PACKLEARN_MODE", None)


def look_at_panels(found):
    """Every panel of the notebooks' cells, and each of its lists' options."""
    import ipywidgets
    from test_questions import everything

    from packlearn import panels, places

    folders = (
        places.lessons_folder(),
        places.exercises_folder(),
        places.lessons_folder() / "class",
    )
    for home in folders:
        for path in sorted(home.glob("*.ipynb")):
            cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
            sources = ["".join(c["source"]) for c in cells if c["cell_type"] == "code"]
            space = {"panels": panels}
            for source in sources:
                *lines, last = source.strip().splitlines()
                if not last.startswith("panels."):
                    continue
                exec("\n".join(lines), space)
                panel = eval(last, space)
                found.look("panels", shown(panel))
                for control in everything(panel):
                    if isinstance(control, ipywidgets.Dropdown) and not control.disabled:
                        for _, value in control._options_full:
                            control.value = value
                            found.look("panels", shown(panel))


def look_at_sheets(found):
    """Task sheets of every page and their key, and all other paper."""
    from packlearn.panels.illustrations import illustration
    from packlearn.sheets import around, cards, task_sheets
    from packlearn.tasks import bank

    # A code of no two letters in a row, as a code is no word.
    code = "A2B2"
    copies, head = task_sheets.copies_of_class(code, 2), task_sheets.head_of_class(code, 2)
    for name in bank.pages():
        page = bank.page(name)
        tasks, _ = task_sheets.choose(page)
        found.look("sheets", [task_sheets.sheets(page, tasks, copies, illustration)])
        found.look("sheet keys", [task_sheets.key(page, tasks, copies, head)])
    others = [cards.bench_cards(), around.formulas(), around.before(), around.before_key()]
    found.look("other sheets", [*others, around.seat_list(code, 3)])


def look_at_class(found):
    """The teacher's panel of a class and the shared screen, at each stage; guides are files."""
    import os

    from packlearn import panels
    from packlearn.classroom import live

    os.environ["PACKLEARN_MODE"] = "teach"
    panel, screen = panels.LiveClass(), panels.Projector()
    panel.children = [part for part in panel.children if "packlearn-guide" not in part._dom_classes]
    for page, task in (
        ("lesson-3", "in-line"),
        ("lesson-5", "two-labels"),
        ("lesson-8", "wire-it"),
    ):
        panel.page.value, panel.task.value = page, task
        for stage in live.STAGES:
            panel.step(stage)
            panel.hands.boxes[0][1].value = panel.hands.boxes[1][2].value = "9"
            screen.tick()
            found.look("class", [*shown(panel), *shown(screen)])
    panel.step("why")
    panel.hands.boxes[0][1].value = "-1"
    found.look("class", shown(panel))
    os.environ.pop("PACKLEARN_MODE")


def look_at_build_sheets(found):
    """Build sheets and order sheets, of packs that fit and of one that does not."""
    from test_build_plan import FIT, plan

    from packlearn.sheets.build_sheet import build_sheet

    plans = [plan(name) for name in FIT]
    plans.append(plan("six NiMH", margins={"design_margin": 9}))
    for made in plans:
        _, body = build_sheet(made).split("<body>")
        found.look("build sheets", [body])


def look_at_command(found):
    """What the command prints. argparse's own English, names of arguments, of libraries and of
    files are not ours to mark.
    """
    from packlearn.command import PARTS, main

    need = ["--lowest", "5 V", "--highest", "9 V", "--current", "0.6 A", "--hours", "9 h"]
    helps = [[part, "--help"] for part in PARTS]
    for words in [["check"], ["size", *need], ["size", *need, "--current", "60 A"], *helps]:
        out, said = io.StringIO(), io.StringIO()
        with (
            contextlib.redirect_stdout(out),
            contextlib.redirect_stderr(said),
            contextlib.suppress(SystemExit),
        ):
            main(words)
        text = re.sub(r"(?s)usage:.*?\n\n", "", out.getvalue())
        text = re.sub(r"--?[a-z][\w-]*(?:[ =][A-Z]+)?|\S*/\S*|[\w.]+ \d+[.]\d\S*", " ", text)
        text = re.sub(
            r"options:|positional arguments:|show this help message and exit|[{][^}]*[}]|[A-Z]{2,}",
            " ",
            text,
        )
        found.look("command", [text, said.getvalue()])


def main():
    """Look at everything, print what was found."""
    found = Found()
    for part in sys.argv[1:]:
        globals()[f"look_at_{part}"](found)
    json.dump(found.kinds, sys.stdout)


if __name__ == "__main__":
    main()
