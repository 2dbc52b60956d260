"""Task files that teachers write: the line of a mistake, the command that shows them, the guide."""

import re
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_bank import BROKEN, FORMULAS, HEAD, NAMED, TASK, WRONG_KINDS, changed

from packlearn.tasks import bank
from packlearn.tasks.file_lines import FileLines

# Which line is told: by the key that starts it, where the name of the case is not that key.
KEY_OF = {
    "no text": "[[task]]",
    "number as text": "text",
    "long": "text",
    "key": "paralel",
    "missing": "asked",
    "backwards": "series",
    "no end": "series",
    "no step": "series",
    "a key more": "series",
    "no list": "series",
    "truth": "series",
    "unreadable source": "series",
    "forbidden source": "series",
    "later name": "series",
    "own name": "series",
    "unreadable where": "where",
    "forbidden where": "where",
    "unknown where": "where",
    "where no list": "where",
    "serie": "text",
}
CASES = {name: text for name, (text, _) in (NAMED | FORMULAS).items()} | WRONG_KINDS


def first_trouble(folder, text):
    path = folder / "own.toml"
    path.write_text(text, encoding="utf-8")
    return str(bank.troubles(path)[0])


def line_told(said):
    return int(re.match(r"own\.toml, line (\d+)[,:]", said)[1])


@pytest.mark.parametrize("name", CASES)
def test_the_line_of_a_mistake_is_told(tmp_path, name):
    text = HEAD + TASK.lstrip("\n") + CASES[name]
    # Two tasks: the first is good, so that lines and tables are counted.
    text = text.replace('id = "box"', 'id = "good"', 1)
    start = KEY_OF.get(name, name.strip())
    lines = text.splitlines()
    second = len(lines) - lines[::-1].index("[[task]]")
    starts = [at for at, line in enumerate(lines, 1) if line.startswith(start) and at >= second]
    assert line_told(first_trouble(tmp_path, text)) == starts[0]


def test_the_line_of_a_mistake_outside_the_tasks_is_told(tmp_path):
    round_ = HEAD + TASK + '[[round]]\nid = "one"\n'
    last = round_.count("\n") + 1
    assert line_told(first_trouble(tmp_path, round_ + 'tasks = ["bos"]\n')) == last
    assert line_told(first_trouble(tmp_path, round_ + "alone = 3\n")) == last
    assert line_told(first_trouble(tmp_path, '\n[page]\ntitle = "x"\n' + TASK)) == 2
    assert line_told(first_trouble(tmp_path, '\n[page]\ntitle = "x"\n\nintro = 3\n' + TASK)) == 5
    assert line_told(first_trouble(tmp_path, HEAD + TASK + TASK)) == HEAD.count("\n") + 12
    assert line_told(first_trouble(tmp_path, "\ntask = 3\n" + HEAD)) == 2


def test_a_slip_of_the_form_names_its_line(tmp_path):
    assert "at line 2" in first_trouble(tmp_path, '[page]\ntitle = "x\n')
    assert "at line 4" in first_trouble(tmp_path, HEAD + "intro == 3")


def test_all_mistakes_are_told_at_once_and_none_twice(tmp_path):
    path = tmp_path / "own.toml"
    bad = changed("from = 3", "from = 9").replace('"nimh-aa"', '"nimh-a"') + "attempts = 9\n"
    path.write_text(HEAD + bad + TASK + bad.replace('"box"', '"bag"'), encoding="utf-8")
    said = [str(trouble) for trouble in bank.troubles(path)]
    assert [line_told(text) for text in said] == [10, 13, 11, 29, 32, 30, 16]
    assert "twice" in said[-1]
    # A misspelt given is one mistake, not three: it is also missing, and missed by the text.
    path.write_text(HEAD + changed("parallel =", "paralel ="), encoding="utf-8")
    assert len(bank.troubles(path)) == 1


# Lines, in files of any form.

VALUES = [
    '"plain # no comment"', "'single [ quote'", "3", "[1, 2]", "{ from = 1, to = 3 }", "true",
    '"""\nseries = 3\n[[task]]\n"""', "'''\nlong ''\n[page] # \n'''", '"""quote at the end""""',
    '[\n  1, # ] no end\n  2,\n]', '["]", "[[task]]", "\\""]', '[\n"a\\\\",\n\'b\\\',\n]', '""',
    '"""a\\"""b\n"""', "1979-05-27", "[[1, 2], [3]]",
]  # fmt: skip
NAMES = ["series", "cell_ah", '"series one"', "'a.b'", "fit_a.from", '"x".y . z', '"\\u0061b"']
FILLINGS = st.sampled_from(["", "\n", "# text = 3\n", "  \t\n\n", "#[[task]]\n"])


@st.composite
def texts(draw):
    """A text and, for each key, its path as ``tomllib`` has it and its line."""
    text, places = "", {}
    for table in draw(st.lists(st.sampled_from(["[[task]]", "[[round]]", "[[ task ]] # 1"]))):
        name = table.strip("[ ]#1")
        count = sum(1 for path in places if len(path) == 2 and path[0] == name)
        text += draw(FILLINGS)
        places[name, count] = text.count("\n") + 1
        text += f"{table}\n"
        for key in draw(st.lists(st.sampled_from(NAMES), unique=True, max_size=4)):
            text += draw(FILLINGS) + draw(st.sampled_from(["", "  "]))
            path = tuple(tomllib.loads(f"{key} = 1"))
            places[name, count, *path] = text.count("\n") + 1
            end = draw(st.sampled_from(["\n", " # ]\n", "\r\n"]))
            text += f"{key} = {draw(st.sampled_from(VALUES))}{end}"
    return text, places


@given(texts())
def test_lines_are_found_in_any_form(found):
    text, places = found
    tomllib.loads(text)
    lines = FileLines("own.toml", text)
    assert {path: lines.number(*path) for path in places} == places


@given(st.text(max_size=200) | st.text("[]{}\"'#=\n\\. a", max_size=60))
@settings(max_examples=300)
def test_a_text_of_any_kind_gives_lines_that_are_there(text):
    lines = FileLines("own.toml", text)
    assert 1 <= lines.number("task", 0, "series") <= text.count("\n") + 1


def test_what_is_not_in_a_file_has_the_line_of_what_it_would_be_in():
    lines = FileLines("own.toml", HEAD + TASK)
    start = HEAD.count("\n") + 2
    assert lines.number("task", 0, "attempts") == start
    assert lines.number("task", 0, "opening", "series") == start
    assert lines.number("round", 4) == 1
    assert str(lines.at("task", 0)) == f"own.toml, line {start}"


def test_a_table_of_a_given_has_a_line():
    text = TASK + "[task.opening]\n\nseries = 4\n" + TASK + "[task.current_a]\nfrom = 3\n"
    lines = FileLines("own.toml", text)
    before = text[: text.index("series = 4")].count("\n")
    assert lines.number("task", 0, "opening", "series") == before + 1
    assert lines.number("task", 1, "current_a") == text.count("\n") - 1


def test_every_broken_file_names_a_line_in_it(tmp_path):
    for text in BROKEN:
        said = first_trouble(tmp_path, HEAD + text)
        number = re.search(r"line (\d+)|kB|without end", said)
        assert number, said
        assert int(number[1] or 1) <= (HEAD + text).count("\n") + 1
