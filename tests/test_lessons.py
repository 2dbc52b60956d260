"""The notebooks, the guides and the bank fit each other, and nothing on a page leaks."""

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from test_panels import leaks, plain
from test_questions import lock, on_show, right_text, seen, texts

import packlearn
from packlearn import curves, panels
from packlearn.places import exercises_folder, lessons_folder
from packlearn.tasks import bank, checking, minding
from packlearn.tasks.mistakes import wrong_rules
from packlearn.words import word

LESSONS = sorted(lessons_folder().glob("*.ipynb"))
# Its questions carry the numbers of the learner's own device; see test_own_pack.py.
OWN_PACK = lessons_folder() / "12-your-own-pack.ipynb"
# Practising chooses among the tasks of all pages.
PRACTISE = exercises_folder() / "0-practise.ipynb"
# A teacher's own tasks are in no page of the bank.
OWN = exercises_folder() / "9-own-tasks.ipynb"
PAGES = sorted(set(exercises_folder().glob("*.ipynb")) - {PRACTISE, OWN})
GUIDES = sorted((lessons_folder() / "guides").glob("*.md"))
NOTEBOOKS = [*LESSONS, *PAGES, PRACTISE, OWN]
# Lessons that are made of rounds.
OF_ROUNDS = [path for path in LESSONS if path != OWN_PACK]
KINDS_OF_CELL = {"code", "markdown"}
MOST_WORDS = 25
LESSON_MINUTES = range(15, 21)
# The learner's own device: how long depends on it.
OWN_PACK_MINUTES = range(20, 31)
CLASS_MINUTES = 45
# One word for one thing (design.md, section 2); these are not ours.
BANNED = (
    "amperage",
    "wattage",
    "voltage rating",
    "amp hour",
    "amp-hour",
    "milliamp hour",
    "cutoff",
)


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A learner's folder of the test's own."""
    for name in ("PACKLEARN_RECORDS", "PACKLEARN_MODE", "PACKLEARN_SEAT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "learner"))
    monkeypatch.setattr("packlearn.panels.round._ROUNDS", {})
    monkeypatch.chdir(tmp_path)


def named(paths):
    return pytest.mark.parametrize("path", paths, ids=[path.stem for path in paths])


def cells(path):
    return json.loads(path.read_text(encoding="utf-8"))["cells"]


def cell(path, name):
    (found,) = [entry for entry in cells(path) if entry["id"] == name]
    return found


def source(entry):
    return "".join(entry["source"])


def code(path):
    return [entry for entry in cells(path) if entry["cell_type"] == "code"]


def prose(path):
    return [entry for entry in cells(path) if entry["cell_type"] == "markdown"]


def stored_output(path):
    return "".join(text for out in cell(path, "worked-example")["outputs"] for text in out["text"])


def calls(path, name):
    """Arguments of every ``panels.<name>(...)`` in a notebook, in order."""
    trees = [ast.parse(source(entry)) for entry in code(path)]
    found = [node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Call)]
    ours = [call for call in found if ast.unparse(call.func) == f"panels.{name}"]
    return [
        (
            [value.value for value in call.args if isinstance(value, ast.Constant)],
            {k.arg: k.value.value for k in call.keywords if isinstance(k.value, ast.Constant)},
        )
        for call in ours
    ]


def rounds_of(path):
    if path == OWN_PACK:
        return [("lesson-12", "own-pack")]
    return [tuple(args) for args, _ in calls(path, "Round")]


def lesson_of(path):
    return int(path.stem.partition("-")[0])


def page_of(path):
    """Page of the bank that belongs to a notebook."""
    if path in LESSONS:
        return bank.page(f"lesson-{lesson_of(path)}")
    ((args, _),) = calls(path, "TaskPage")
    return bank.page(args[0])


def guide_of(path):
    guide = path.parent / "guides" / f"lesson-{lesson_of(path)}.md"
    return guide.read_text(encoding="utf-8")


# Form.


def test_lessons_pages_of_tasks_and_guides_are_those_counted_here():
    assert [lesson_of(path) for path in LESSONS] == [1, 10, 11, 12, *range(2, 10)]
    assert [lesson_of(path) for path in PAGES] == [1, 2, 3, 4, 5, 6, 7, 8]
    assert [path.stem for path in GUIDES] == sorted(f"lesson-{number}" for number in range(1, 13))


def test_all_notebooks_are_in_their_fixed_form(tmp_path):
    root = Path(packlearn.__file__).resolve().parents[1]
    command = [sys.executable, "-m", "packlearn.notebooks", "--check", *map(str, NOTEBOOKS)]
    told = subprocess.run(command, cwd=root, capture_output=True, text=True, check=False)
    assert (told.returncode, told.stdout, told.stderr) == (0, "", "")
    changed = tmp_path / "changed.ipynb"
    changed.write_bytes(NOTEBOOKS[0].read_bytes() + b"\n")
    command[4:] = [str(changed)]
    assert subprocess.run(command, cwd=root, capture_output=True, check=False).returncode == 1


@named(OF_ROUNDS)
def test_a_lesson_has_the_fixed_skeleton(path):
    ids = [entry["id"] for entry in cells(path)]
    rounds = [name for _, name in rounds_of(path)]
    middle = [part for name in rounds for part in (f"{name}-text", name)]
    # Where cautions belong to what is done on one's own, they stand below it.
    mind = ["mind"] if minding.of_lesson(lesson_of(path)) else []
    tail = ["on-your-own", *mind, "worked-example-text", "worked-example"]
    assert calls(path, "Cautions") == [([], {"lesson": lesson_of(path)})] * len(mind)
    assert ids == ["title", "start", "opening", *middle, *tail]
    assert rounds[-1] == "alone"
    assert len(rounds) >= 4


@named(PAGES)
def test_a_page_of_tasks_has_the_fixed_skeleton(path):
    ids = [entry["id"] for entry in cells(path)]
    assert ids == ["title", "start", "opening", "tasks", "mine-text", "mine"]
    assert len(calls(path, "MyPredictions")) == 1
    assert source(cell(path, "title")).startswith(f"# {page_of(path).title}\n")


def test_the_page_to_practise_has_its_skeleton_and_sorts_first():
    ids = [entry["id"] for entry in cells(PRACTISE)]
    tail = ["practise", "examples-text", "examples", "mine-text", "mine"]
    assert ids == ["title", "start", "opening", *tail]
    names = ("Practise", "Examples", "MyPredictions")
    assert [len(calls(PRACTISE, name)) for name in names] == [1, 1, 1]
    assert min(exercises_folder().glob("*.ipynb")) == PRACTISE


def test_the_page_of_own_tasks_has_the_skeleton_of_a_page_and_sorts_last():
    ids = [entry["id"] for entry in cells(OWN)]
    assert ids == ["title", "start", "opening", "tasks", "mine-text", "mine"]
    assert [len(calls(OWN, name)) for name in ("OwnTasks", "MyPredictions")] == [1, 1]
    assert max(exercises_folder().glob("*.ipynb")) == OWN


@named(LESSONS)
def test_a_lesson_says_what_to_do_learn_and_need_and_how_long(path):
    text = source(cell(path, "title"))
    assert text.startswith(f"# {lesson_of(path)}. {page_of(path).title}\n")
    places = [text.index(f"\n- **You {words}:** ") for words in ("will do", "will learn", "need")]
    assert places == sorted(places)
    minutes = int(re.search(r"About (\d+) minutes", text)[1])
    own = "own-pack" in path.stem
    assert minutes in (OWN_PACK_MINUTES if own else LESSON_MINUTES)


@named(NOTEBOOKS)
def test_a_notebook_starts_by_itself_and_by_its_button(path):
    raw = json.loads(path.read_text(encoding="utf-8"))
    assert raw["metadata"]["packlearn"] == {"autorun": True}
    start = source(cell(path, "start"))
    assert start.startswith('<button data-commandlinker-command="notebook:run-all-cells"')
    assert re.search(r">Start this (lesson|page)</button>$", start)


@named(NOTEBOOKS)
def test_the_opening_knows_lesson_and_version(path):
    ((args, more),) = calls(path, "Opening")
    assert args == []
    lesson = {"lesson": lesson_of(path)} if path in LESSONS else {}
    assert more == lesson | {"made_for": ".".join(packlearn.__version__.split(".")[:2])}


@named(LESSONS)
def test_every_round_has_a_heading_and_its_cell_the_same_name(path):
    for _, name in rounds_of(path):
        heading = source(cell(path, f"{name}-text")).splitlines()[0]
        pattern = r"## (Predict|Predict and try|Predict and build): \w|## Alone$"
        assert re.match(pattern, heading), heading
        comment = source(cell(path, name)).splitlines()[0]
        assert comment == f"# {heading.removeprefix('## ')}"


@named(LESSONS)
def test_a_round_with_sliders_says_so_in_its_heading(path):
    for entry in code(path):
        if "panels.Round" in source(entry):
            heading = source(cell(path, f"{entry['id']}-text"))
            assert ("then=" in source(entry)) == ("and try" in heading.splitlines()[0])
            ((page, name),) = [key for key in rounds_of(path) if key[1] == entry["id"]]
            assert bool(bank.page(page).round(name).invite) == ("then=" in source(entry))


@named(LESSONS)
def test_on_your_own_takes_care(path):
    text = source(cell(path, "on-your-own"))
    assert text.startswith("## On your own\n")
    assert text.count("**Take care.** ") == 1
    assert len(text.partition("**Take care.** ")[2].split()) >= 10


@named(NOTEBOOKS)
def test_code_is_folded_short_and_begins_with_words(path):
    for entry in code(path):
        assert entry["metadata"]["jupyter"] == {"source_hidden": True}
        first, *rest = source(entry).splitlines()
        assert re.match(r"# [A-Z]", first)
        if entry["id"] != "worked-example":
            lines = [line for line in rest if line and not line.startswith("from packlearn")]
            assert len(lines) == 1, entry["id"]
            assert lines[0].startswith("panels.")
            assert len(ast.parse(lines[0]).body) == 1
    for entry in cells(path):
        assert entry["cell_type"] in KINDS_OF_CELL
        assert entry["metadata"]["deletable"] is False
        assert entry["metadata"]["editable"] is False


@named(NOTEBOOKS)
def test_no_output_is_stored_but_the_worked_examples(path):
    for entry in code(path):
        worked = entry["id"] == "worked-example"
        # nbval compares what is stored only where there is a count.
        assert entry["execution_count"] == (1 if worked else None)
        assert bool(entry["outputs"]) == worked
        assert entry["metadata"].get("tags", []) == (["nbval-check-output"] if worked else [])


@named(LESSONS)
def test_the_worked_example_is_plain_code_with_numbers(path):
    text = source(cell(path, "worked-example"))
    assert "import packlearn as pl" in text
    assert "panels" not in text
    assert len(text.splitlines()) <= 12
    assert [out["output_type"] for out in cell(path, "worked-example")["outputs"]] == ["stream"]
    assert len(re.findall(r"\d", stored_output(path))) >= 6


# Bank and notebooks.


@named(OF_ROUNDS)
def test_every_round_of_the_bank_is_used_once_and_every_task_stands_in_one(path):
    page = page_of(path)
    assert rounds_of(path) == [(page.name, entry.id) for entry in page.rounds]
    in_rounds = [task for entry in page.rounds for task in entry.tasks]
    assert sorted(in_rounds) == sorted(task.id for task in page.tasks)
    assert len(set(in_rounds)) == len(in_rounds)
    assert all(entry.explain for entry in page.rounds)
    assert [entry.alone for entry in page.rounds] == [e.id == "alone" for e in page.rounds]


def test_every_page_of_the_bank_has_its_notebook():
    assert sorted(page_of(path).name for path in [*LESSONS, *PAGES]) == sorted(bank.pages())


@named(PAGES)
def test_a_page_has_at_least_twelve_tasks(path):
    page = page_of(path)
    assert len(page.tasks) >= 12
    assert page.rounds == ()


def test_the_page_under_load_says_which_tasks_are_about_what():
    (path,) = [path for path in PAGES if page_of(path).name == "under-load"]
    skills = [task.skill for task in page_of(path).tasks]
    told = re.findall(r"(\d+) to (\d+)", source(cell(path, "title")))
    parts = [skills[int(first) - 1 : int(last)] for first, last in told]
    assert [skill for part in parts for skill in part] == skills
    sag, curve, left, stage = map(set, parts)
    assert sag == {"sag", "choose-cell"}
    assert curve == {"end-time", "curve-read", "choose-cell"}
    assert (left, stage) == ({"charge-state"}, {"converter-in", "regulator"})


@named(OF_ROUNDS)
def test_what_is_asked_alone_was_asked_together_before(path):
    page = page_of(path)
    *together, alone = page.rounds
    before = {page.task(task).skill for entry in together for task in entry.tasks}
    asked = {page.task(task).skill for task in alone.tasks}
    assert len(alone.tasks) >= 2
    assert asked - before == set()


# Guides.


def minutes(guide):
    """Minutes of the plan, line by line; further lines begin with words."""
    plan = guide.partition("## Time")[2].partition("\n## ")[0]
    return [int(number) for number in re.findall(r"^- (\d+): ", plan, re.MULTILINE)]


@named(LESSONS)
def test_a_guide_plans_45_minutes(path):
    guide = guide_of(path)
    assert f"## Time, {CLASS_MINUTES} minutes\n" in guide
    assert len(minutes(guide)) >= 5
    assert sum(minutes(guide)) == CLASS_MINUTES


@named(LESSONS)
def test_a_guide_owns_that_its_times_are_estimates_and_says_how_to_shorten(path):
    plan = guide_of(path).partition("## Time")[2].partition("\n## ")[0]
    assert "- These times are estimates: no class was timed by them.\n" in plan
    (short,) = re.findall(r"^- Short of time: (.+)$", plan, re.MULTILINE)
    saved = [int(number) for number in re.findall(r"\((\d+)\)", short)]
    assert 9 <= sum(saved) <= CLASS_MINUTES / 3
    # What is done alone shows who has it.
    assert "Alone" not in short


@named(LESSONS)
def test_a_guide_has_its_sections(path):
    guide = guide_of(path)
    assert guide.startswith(f"# Lesson {lesson_of(path)}: {page_of(path).title}\n")
    sections = re.findall(r"^## ([A-Z][a-z ]+)", guide, re.MULTILINE)
    first = ["Before the lesson", "Time"]
    assert sections == [*first, "Questions to ask", "Common mistakes", "Take care"]
    for part in guide.split("\n## ")[2:]:
        assert len(re.findall(r"^- .{15,}", part, re.MULTILINE)) >= 2


@named(LESSONS)
def test_a_guide_gives_time_to_every_round(path):
    plan = guide_of(path).partition("## Time")[2].partition("\n## ")[0]
    quoted = [name.lower() for name in re.findall(r'round "([^"]+)"', plan)]
    headings = [source(cell(path, f"{name}-text")).splitlines()[0] for _, name in rounds_of(path)]
    forgotten = [h for h in headings if not any(name in h.lower() for name in quoted)]
    assert forgotten == []
    assert all(any(name in h.lower() for h in headings) for name in quoted)


@named(LESSONS)
def test_a_guide_names_only_slips_there_are(path):
    known = {rule.id for rule in wrong_rules()}
    families = {re.sub(r"[a-z]$", "", name) for name in known}
    used = set(re.findall(r"\bM\d\d[a-z]?\b", guide_of(path)))
    assert used
    assert used <= known | families


# Words.


def sentences(text):
    """Sentences of a Markdown text, marks taken away."""
    text = re.sub(r"<[^>]+>|[*#`>]|\[\[|\]\]|^- ", " ", text, flags=re.MULTILINE)
    for line in re.split(r"\n\s*\n|\n  ", text):
        yield from re.split(r"(?<=[.!?])[\"')]*\s+(?=[A-Z\"'(0-9])", " ".join(line.split()))


def learner_texts():
    """Name and text of all that stands in notebooks, bank and guides."""
    for path in NOTEBOOKS:
        for entry in prose(path):
            yield f"{path.stem}/{entry['id']}", source(entry)
    for name in bank.pages():
        page = bank.page(name)
        yield name, f"{page.title}\n\n{page.intro}"
        for task in page.tasks:
            yield f"{name}/{task.id}", f"{task.text}\n\n{task.after}"
        for entry in page.rounds:
            yield f"{name}/{entry.id}", "\n\n".join((*entry.invite, *entry.explain))


def strings(entry):
    if isinstance(entry, str):
        yield entry
    for part in entry.values() if isinstance(entry, dict) else []:
        yield from strings(part)
    for part in entry if isinstance(entry, list) else []:
        yield from strings(part)


def word_files():
    folder = Path(packlearn.__file__).parent / "data" / "words" / "en"
    return sorted(path.stem for path in folder.glob("*.toml"))


def test_sentences_are_short():
    long = [
        (name, sentence)
        for name, text in learner_texts()
        for sentence in sentences(text)
        if len(sentence.split()) > MOST_WORDS
    ]
    assert long == []
    assert len(list(learner_texts())) > 100


def test_the_counter_of_words_counts():
    text = "One two three. Four five!\n\n- Six seven? **Eight:** nine 1.5 V ten.\n"
    assert list(map(len, map(str.split, sentences(text)))) == [3, 2, 2, 5]


def test_one_word_for_one_thing():
    told = list(learner_texts())
    told += [(path.stem, path.read_text(encoding="utf-8")) for path in GUIDES]
    for name in word_files():
        entries = word_table(name)
        told += [(name, text) for text in strings(entries)]
    found = [(name, bad) for name, text in told for bad in BANNED if bad in text.lower()]
    assert found == []
    assert len(told) > 500


def word_table(name):
    import tomllib

    folder = Path(packlearn.__file__).parent / "data" / "words" / "en"
    return tomllib.loads((folder / f"{name}.toml").read_text(encoding="utf-8"))


def test_the_banned_words_would_be_found():
    assert word("panels.lock")
    assert any(bad in "The Amperage and wattage".lower() for bad in BANNED)


# Nothing on a page gives away what another question of it asks.


def shown_by(entry, space):
    """What a code cell of a notebook shows: the panel on its last line."""
    tree = ast.parse(source(entry))
    last = tree.body.pop()
    exec(compile(tree, entry["id"], "exec"), space)
    return eval(compile(ast.Expression(last.value), entry["id"], "eval"), space)


def alive(path):
    """The rounds of a lesson, run as the notebook runs them: dict of id -> panel."""
    space = {}
    shown = {e["id"]: shown_by(e, space) for e in code(path) if e["id"] != "worked-example"}
    return {name: panel for name, panel in shown.items() if isinstance(panel, panels.Round)}


def words_of(panel):
    return plain("\n".join(texts(on_show(panel))))


def given_away(open_questions, told):
    """Open questions that a text answers, with what it says."""
    found = {f"{v.task.page}/{v.task.id}": sorted(set(leaks(v, told))) for v in open_questions}
    return {name: what for name, what in found.items() if what}


@named(LESSONS)
def test_the_words_of_a_page_answer_none_of_its_questions(path):
    everything = [question.variant for r in alive(path).values() for question in r.questions]
    told = "\n".join(source(entry) for entry in prose(path))
    assert given_away(everything, told) == {}


@named(LESSONS)
def test_the_worked_example_answers_none_of_the_opening_questions(path):
    everything = [question.variant for r in alive(path).values() for question in r.questions]
    assert given_away(everything, stored_output(path)) == {}


def moments(rounds):
    """Work through a page from top to bottom; stop wherever something new may be on show."""
    yield "at first"
    for name, panel in rounds.items():
        if panel.to_begin:
            panel.begin.click()
        for question in panel.questions:
            while question.phase == "open":
                lock(question, right_text(question.variant))
            yield f"{name}: {question.task.id} locked"
            if question.phase == "look":
                question.saw[1].click()
            yield f"{name}: {question.task.id} done"
            panel.onward.click()
        yield f"{name}: behind"


@named(OF_ROUNDS)
def test_nothing_on_a_page_answers_a_question_that_is_still_open(path):
    rounds = alive(path)
    found, count = {}, 0
    for moment in moments(rounds):
        count += 1
        # A small count such as "6 cells" is told for many reasons, and the options of a choice
        # are told by the question; numbers and names are not.
        told_anyway = ("count", "choice")
        asked = [question for r in rounds.values() for question in r.questions]
        questions = [question for question in asked if question.task.kind not in told_anyway]
        left = [question.variant for question in questions if not question.closed]
        told = "\n".join(words_of(panel) for panel in rounds.values())
        for task, what in given_away(left, told).items():
            found.setdefault(task, f"{moment}: {', '.join(what)}")
    assert found == {}
    assert count > 12
    assert all(panel.all_done for panel in rounds.values())


@named(NOTEBOOKS)
def test_a_notebook_runs_and_its_panels_meet_no_trouble(path):
    space = {}
    shown = [shown_by(entry, space) for entry in code(path) if entry["id"] != "worked-example"]
    assert all(isinstance(panel, panels.base.Panel) for panel in shown)
    assert all(panel.errors == [] for panel in shown)
    assert all(len(seen(panel)) > 20 for panel in shown)
    first = [r.questions[0] for r in shown if isinstance(r, panels.Round)]
    assert all(checking.text_of(question.variant) for question in first)


@pytest.mark.parametrize(
    ("page", "task", "cell"),
    [
        ("lesson-6", "drawer", "alkaline-aa"),
        ("under-load", "how-much-a-reading-says", "lifepo4-26650"),
    ],
    ids=["alkaline", "LiFePO4"],
)
def test_tables_of_rested_cells_in_a_question_are_those_of_the_sliders(page, task, cell):
    asked = bank.page(page).task(task)
    for number in range(5):
        givens = checking.variant(asked, number).givens
        for row in ("lower", "upper"):
            lowest, highest = curves.charge_left(packlearn.cell(cell), float(givens[f"{row}_v"]))
            # Rows are given in whole per cent, at readings rounded to 10 mV.
            assert float(lowest) - 0.02 < float(givens[f"{row}_share"]) < float(highest) + 0.02
