"""Task files that teachers write: the line of a mistake, the command that shows them, the guide."""

import re
import shutil
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_bank import BROKEN, FORMULAS, HEAD, NAMED, TASK, WRONG_KINDS, changed

from packlearn import command, laying, panels
from packlearn.errors import UnknownName
from packlearn.places import exercises_folder
from packlearn.tasks import bank, checking, preview
from packlearn.tasks.answers import ASKED
from packlearn.tasks.file_lines import FileLines
from packlearn.tasks.givens import UNITS
from packlearn.words import word

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
GUIDES = exercises_folder() / "guides"
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
    assert "line 2: this line cannot" in first_trouble(tmp_path, '[page]\ntitle = "x\n')
    assert "line 4: this line cannot" in first_trouble(tmp_path, HEAD + "intro == 3")


# What a teacher may write, and what the message must tell.
FORM = {
    "a comma": ("step = 1", "step = 0,1", "holds 0,1. Write a number with a point: 0.1"),
    "a comma at the end": ("[2, 4]", "0,5", "holds 0,5. Write a number with a point: 0.5"),
    "curled quotes": ('"box"', "\u201cbox\u201d", 'straight ones: id = "box"'),
    "German quotes": ('"box"', "\u201ebox\u201c", 'straight ones: id = "box"'),
    "a unit": ("[2, 4]", "6 V", "holds 6 V. Write the number alone, 6"),
    "round brackets": ("[2, 4]", "(2, 4)", "square brackets"),
    "half a head": ("[[task]]", "[[task]", "[[task]] before each task"),
    "no equals sign": ("parallel =", "parallel", "no equals sign"),
    "no quote at the end": ('capacity?"', "capacity?", "on one line, between two quotes"),
    "two lines": ("side by", "side\nby", "on one line, between two quotes"),
    "a key twice": ("parallel =", "series = 3\nparallel =", "series stands there for the second"),
    "a bracket left open": ("[2, 4]", "[2, 4", "A bracket in it is not closed"),
    "a word alone": ('"parallel-adds"', "parallel-adds", 'Write a text in quotes: "parallel-adds"'),
    "something else": ("[2, 4]", "[2, 4] ]", "Look there for a missing quote or bracket"),
}


@pytest.mark.parametrize("name", FORM)
def test_a_slip_of_the_form_is_told_with_its_mend(tmp_path, name):
    before, after, mend = FORM[name]
    text = HEAD + TASK.replace("{ from = 2, to = 4 }", "[2, 4]").replace(
        "to = 8", "to = 8, step = 1"
    )
    at = text.index(before)
    # The second key of a double one is the mistake.
    line = text.count("\n", 0, at) + 1 + (name == "a key twice" and -1)
    said = first_trouble(tmp_path, text[:at] + after + text[at + len(before) :])
    if name == "a key twice":
        said = first_trouble(tmp_path, text.replace("parallel =", "series = 3\nparallel =", 1))
        line = text.count("\n", 0, text.index("parallel =")) + 1
    assert f"own.toml, line {line}: this line cannot be read." in said
    assert mend in said


def test_a_page_written_twice_is_told(tmp_path):
    said = first_trouble(tmp_path, HEAD + HEAD + TASK)
    line = HEAD.count("\n") + 1
    assert f"line {line}: this line cannot be read. Its table stands there for the second" in said


MEANT = {
    "answer": (TASK + "answer = 5.7\n", "no key for the answer"),
    "no id": (changed('id = "box"\n', ""), 'such as: id = "lantern-ah"'),
    "title of a cell": (changed('["nimh-aa", "nimh-c"]', '"NiMH AA"'), "meant: nimh-aa."),
    "a number with its unit": (TASK + 'fit_a = "0,5 A"\n', "Write the number alone, 0.5"),
    "a comma in quotes": (TASK + 'fit_a = "0,5"\n', "with a point: 0.5"),
    "one equals sign": (TASK + 'where = ["series = 4"]\n', "two equals signs"),
    "below": (changed("{ from = 3, to = 8 }", '"parallel + 1"'), "so move it up"),
    "a word": (changed("{ from = 3, to = 8 }", '"zzzz"'), "Take one of: cell_capacity_ah"),
    "turned": (changed("from = 3, to = 8", "from = 8, to = 3"), "from is larger than to"),
    "no to": (changed("from = 3, to = 8", "from = 3"), "Here to is missing"),
    "form": (changed("from = 3", "form = 3"), "Here form is not known"),
    "step 0": (changed("to = 8", "to = 8, step = 0"), "step is not above 0"),
    "one number": (TASK + "fit_a = { from = 0.2, to = 0.6 }\n", "such as step = 0.1"),
    "far too many": (changed("to = 8", "to = 8, step = 1e-9"), "Take a larger step"),
    "texts": (changed("{ from = 3, to = 8 }", '["4", "5"]'), "numbers without quotes"),
    "half a brace": (changed("{series}", "{series"), "a brace has no partner"),
    "brackets": (changed("What", "[[What]]"), "has no may_miss"),
    "figures": (
        TASK + 'level = "open"\nmay_miss = ["series"]\n', "such as [[It takes {current_a}.]]"
    ),
    "never side by side": (changed('["nimh-aa", "nimh-c"]', '"alkaline-aa"'), "write parallel = 1"),
}  # fmt: skip


@pytest.mark.parametrize("name", MEANT)
def test_a_mistake_in_a_task_brings_its_mend(tmp_path, name):
    text, mend = MEANT[name]
    assert mend in first_trouble(tmp_path, HEAD + text)


def test_other_brackets_and_another_name_of_a_table_are_told_on_their_line(tmp_path):
    line = HEAD.count("\n") + 2
    said = first_trouble(tmp_path, HEAD + TASK.replace("[[task]]", "[task]"))
    assert said.startswith(f"own.toml, line {line}: task needs other brackets. Write [[task]]")
    path = tmp_path / "own.toml"
    path.write_text(HEAD + TASK.replace("[[task]]", "[[tasks]]"), encoding="utf-8")
    (said,) = map(str, bank.troubles(path))
    assert said.startswith(f"own.toml, line {line}: tasks has no place here")


def test_a_given_that_is_missing_is_told_once(tmp_path):
    path = tmp_path / "own.toml"
    missing = changed("parallel = { from = 2, to = 4 }", "")
    path.write_text(HEAD + missing, encoding="utf-8")
    assert ["also needs: parallel" in str(trouble) for trouble in bank.troubles(path)] == [True]


def test_a_long_line_that_cannot_be_read_is_told_soon(tmp_path):
    for text in (
        "x = " + "a " * 90_000,
        "x = " + "9 " * 90_000 + "'",
        '"' * 190_001,
        "[" + "a" * 99,
    ):
        assert "cannot be read" in first_trouble(tmp_path, text)


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


# A file that was written to be shown, and one that cannot be.


def write(folder, text, name="own.toml"):
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def shown(capsys, *argv):
    """What the command prints; it must go well."""
    assert command.main(["tasks", *map(str, argv)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def told(capsys, *argv):
    """What the command says of a mistake; nothing is shown then."""
    assert command.main(["tasks", *map(str, argv)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


def flat(text):
    return " ".join(text.split())


def test_a_file_is_shown_with_all_a_teacher_needs_before_class(tmp_path, capsys):
    out = shown(capsys, write(tmp_path, HEAD + TASK))
    task = bank.read_page(tmp_path / "own.toml", "own/own").tasks[0]
    assert 'own.toml: "Small". No mistake was found.' in out
    assert "asks for capacity_ah: the pack's capacity, in Ah" in out
    for number in range(10):
        var = checking.variant(task, number)
        row = rf"\n +{number} +{var.cell.name} +{var.givens['series']} +{var.givens['parallel']} +"
        assert re.search(row + re.escape(checking.answer_in_words(var)), out)
    first = checking.variant(task, 0)
    assert flat(checking.text_of(first)) in flat(out)
    for step in checking.working(first):
        assert flat(step) in flat(out)
    for rule, value in checking.wrong_values(first):
        assert flat(f"{value} ({rule.id}): {rule.did} {rule.sentence(first.givens)}") in flat(out)
    assert "own-tasks" in out


def test_the_numbers_shown_are_those_of_the_class(tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path))
    (tmp_path / "own-tasks").mkdir()
    path = write(tmp_path / "own-tasks", HEAD + TASK)
    first = checking.variant(bank.page("own/own").tasks[0], 0)
    assert flat(checking.text_of(first)) in flat(shown(capsys, path))


def test_a_shipped_page_is_shown_with_its_own_numbers(capsys):
    out = shown(capsys, bank.pages()["predict-the-pack"], "--task", "lantern-hours")
    first = checking.variant(bank.page("predict-the-pack").task("lantern-hours"), 0)
    assert flat(checking.text_of(first)) in flat(out)
    assert "own-tasks" not in out


@pytest.mark.parametrize("name", bank.pages())
def test_every_shipped_page_fits_the_terminal(name, capsys):
    out = shown(capsys, bank.pages()[name], "--variants", 2)
    assert max(map(len, out.splitlines())) <= 80


def test_one_task_and_more_variants_can_be_asked_for(tmp_path, capsys):
    path = write(tmp_path, HEAD + TASK + TASK.replace('"box"', '"bag"'))
    out = shown(capsys, path, "--task", "bag", "--variants", 12)
    assert "bag (skill" in out
    assert "box (skill" not in out
    assert re.search(r"\n +11 ", out)
    assert "no task lid on this page. Its tasks are: box, bag" in told(
        capsys, path, "--task", "lid"
    )
    for count in (0, 101):
        assert "Ask for 1 to 100" in told(capsys, path, "--variants", count)


def test_all_mistakes_are_told_and_counted(tmp_path, capsys):
    bad = changed("from = 3", "from = 9").replace('"nimh-aa"', '"nimh-a"')
    err = told(capsys, write(tmp_path, HEAD + bad))
    assert err.count("own.toml, line") == 2
    assert err.endswith("own.toml: 2 mistakes.\n")
    assert "Check the folder" in told(capsys, tmp_path / "none.toml")
    assert "Is a directory" in told(capsys, tmp_path)


NO_NUMBERS = {
    "where": (TASK + 'where = ["series > 9"]\n', 13, "no numbers held under where"),
    "fixed": (
        changed("{ from = 3, to = 8 }", "3")
        .replace("{ from = 2, to = 4 }", "2")
        .replace('["nimh-aa", "nimh-c"]', '"nimh-aa"'),
        5,
        "never change.*a list or a range",
    ),
    "half a cell": (changed("to = 8", "to = 8, step = 0.5"), 11, "series = "),
    "no volts": (changed("from = 3, to = 8", "from = 0, to = 0"), 11, "series = 0"),
    "by nothing": (
        changed("{ from = 2, to = 4 }", '"series / (series - series)"'), 12, "ZeroDivisionError"
    ),
    "too high": (changed("from = 3, to = 8", "from = 300, to = 800"), 11, "goes above 60 V"),
    # Nobody may draw it for long, but somebody will.
    "too high once": (changed("{ from = 3, to = 8 }", f"[{'4, ' * 60}60]"), 11, "has 87 V"),
    "too high where it fits": (
        changed("to = 8", "to = 80") + 'where = ["series > 50"]\n', 11, "goes above 60 V"
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", NO_NUMBERS)
def test_a_task_without_an_answer_names_line_and_numbers(tmp_path, name, capsys):
    text, line, said = NO_NUMBERS[name]
    err = told(capsys, write(tmp_path, HEAD + text))
    assert f"own.toml, line {line}, task box" in err
    assert re.search(said, flat(err))


def hints(folder, text):
    return " ".join(preview.preview(write(folder, HEAD + text), 0).hints)


def test_hints_tell_what_could_be_better(tmp_path):
    assert hints(tmp_path, TASK) == ""
    hours = TASK.replace("capacity_ah", "pack_run_time_h", 1) + "current_a = [0.5, 0.6, 0.7]\n"
    assert "does not name current_a. Write {current_a}" in hints(tmp_path, hours)
    assert "M03 / M05 give the same value every time" in hints(tmp_path, hours)
    assert "does not name parallel" in hints(tmp_path, changed("{parallel}", "some"))
    assert "uses cell_capacity_ah" in hints(tmp_path, changed("{cell_capacity_ah}", "some"))
    doubled = "Take the Ah away"
    assert doubled in hints(tmp_path, changed("{cell_capacity_ah}", "{cell_capacity_ah} Ah"))
    assert doubled not in hints(tmp_path, changed("{cell_capacity_ah}", "{cell_capacity_ah} Ahem"))
    assert "meant: parallel-adds" in hints(tmp_path, changed("parallel-adds", "paralel-adds"))
    assert "lessons'" not in hints(tmp_path, changed("parallel-adds", "Listening at night"))
    assert "Take it away, or write {power_w}" in hints(tmp_path, TASK + "power_w = 3\n")
    assert "The text holds 0,5." in hints(tmp_path, changed("What", "A lamp of 0,5 W. What"))
    few = changed("{ from = 3, to = 8 }", "5").replace("to = 4", "to = 3").replace(', "nimh-c"', "")
    assert "2 different sets of numbers" in hints(tmp_path, few)
    assert "2 different answers" in hints(tmp_path, few)


def test_what_learners_choose_from_is_shown_and_an_answer_of_all_once(capsys):
    out = flat(shown(capsys, GUIDES / "own-more.toml", "--variants", 4))
    reasons = word("tasks.reasons.longer_pack")
    for text in (*reasons.values(), *word("tasks.reasons_wrong.longer_pack").values()):
        assert text in out
    assert "What learners choose from - The first, " in out
    assert out.count("the answer in all: (1)") == 1
    # The text with all its figures, and without one.
    assert "Text of variant 0" in out
    assert re.search(r"Text of variant [1-3] The beacon's pack", out)


def test_an_estimate_that_tells_no_width_gets_a_hint(tmp_path):
    text = (GUIDES / "own-more.toml").read_text(encoding="utf-8")
    path = write(tmp_path, text.replace("1.5 times", "a bit above"))
    assert "at most 1.5 times the low end" in " ".join(preview.preview(path, 3, 2).hints)
    assert "times the low" not in " ".join(preview.preview(write(tmp_path, text), 3, 2).hints)


def test_each_wrong_rule_is_listed_once(capsys):
    out = shown(capsys, "--asked", "pack_sheet")
    lines = [line for line in out.splitlines() if re.match(r" +M\d", line)]
    assert len(lines) == len(set(lines)) > 5


def test_what_can_be_asked_is_listed_without_a_look_into_python(capsys):
    out = shown(capsys)
    for name, asked in ASKED.items():
        assert f"  {name}: {word(f'glossary.asked.{name}')}"[:70] in out
        assert flat("needs " + ", ".join(asked.needs)) in flat(out)
    for name, unit in UNITS.items():
        assert f"  {name} [{'0 to 1' if unit == '%' else unit}]" in out if unit else name in out
    assert "nimh-aa: NiMH AA" in out
    assert f"series-volts: {word('skills.series-volts.title')}" in out
    assert "bench-circuit" in out
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize("name", ASKED)
def test_the_task_to_copy_is_a_good_one(name, tmp_path, capsys):
    out = shown(capsys, "--asked", name)
    copied = out[out.index("[[task]]") :]
    assert preview.troubles(write(tmp_path, HEAD + copied)) == ()
    assert tomllib.loads(copied)["task"][0]["asked"] == name


def test_a_name_that_cannot_be_asked_brings_the_nearest(capsys):
    assert "Perhaps you meant: capacity_ah" in told(capsys, "--asked", "capacity")


def test_every_kind_of_answer_is_named():
    assert set(word("preview.kind")) >= {asked.kind for asked in ASKED.values()}
    assert set(word("glossary.asked")) == set(ASKED)
    assert set(word("glossary.givens")) == set(UNITS)


# Any text gives a sentence, soon.

HOSTILE = {
    "a tower": TASK + 'fit_a = "9**9**9**9**9**9"\n',
    "a long tower": TASK + f'fit_a = "{"9**" * 90}9"\n',
    "a formula too deep": TASK + f'fit_a = "{"(" * 299}1"\n',
    "a chain": TASK + "".join(f'fit_{n} = "fit_{n - 1} * fit_{n - 1}"\n' for n in range(1, 30)),
    "a wide range": changed("to = 8", "to = 1e12, step = 1e-9"),
    "an endless range": changed("to = 8", "to = 1e308, step = 1e-308"),
    "a huge number": changed("to = 8", "to = " + "9" * 4000),
    "a number too huge": changed("to = 8", "to = " + "9" * 5000),
    "deep arrays": "x = " + "[" * 50_000,
    "a long word": "x" * 190_000,
    "many words": "x " * 90_000 + ". " * 4_000,
    "deep names": "a . 'b' ." * 20_000 + "c = 3",
    "deep tables": "[a" + ".a" * 90_000 + "]\n",
    "many tasks": TASK * 100,
    "long text": changed("What capacity?", "x" * 100_000),
    "braces": changed("What capacity?", "{series!r} {series:>99999999} {series.real} {0}"),
    "a path": changed('"box"', '"../../box"'),
    "nothing fits": TASK + 'where = ["series == parallel", "series > 7"]\n',
    "never true": TASK + "where = [" + '"series > 100",' * 40 + "]\n",
    "a date": changed("{ from = 3, to = 8 }", "1979-05-27"),
    "nothing": "\x00",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_gives_sentences(tmp_path, name, capsys):
    err = told(capsys, write(tmp_path, HEAD + HOSTILE[name]))
    assert re.match(r"own\.toml", err)
    assert len(err) < 60_000


KEYS = st.sampled_from([*list(UNITS)[:40], "cell", "where", "text", "asked", "picture", "opening"])
NUMBERS = st.integers(-5, 12) | st.floats(-9, 9, allow_nan=False) | st.just(0)
FORMULAS_OF = st.sampled_from(["series * 2", "1 / (series - 3)", "root(0 - series)", "9 ** 99"])


@st.composite
def givens_lines(draw):
    for_key = {}
    for key in draw(st.lists(KEYS, max_size=6, unique=True)):
        value = draw(
            NUMBERS.map(str)
            | st.lists(NUMBERS, max_size=3).map(str)
            | FORMULAS_OF.map(lambda text: f'"{text}"')
            | st.tuples(NUMBERS, NUMBERS).map(lambda two: f"{{ from = {two[0]}, to = {two[1]} }}")
            | st.sampled_from(['"nimh-aa"', '["alkaline-aa"]', '"pack"', '["series > 1"]'])
        )
        for_key[key] = value
    asked = draw(st.sampled_from(list(ASKED)))
    base = {"id": '"x"', "skill": '"y"', "asked": f'"{asked}"', "text": '"{series} what?"'}
    base |= {"cell": '"nimh-aa"', "series": "{ from = 0, to = 5 }"}
    needs = {name: draw(NUMBERS.map(str)) for name in ASKED[asked].needs if name not in base}
    return "\n".join(f"{key} = {value}" for key, value in (base | needs | for_key).items())


@given(text=givens_lines())
@settings(max_examples=150, deadline=None)
def test_any_numbers_give_variants_or_a_sentence(tmp_path_factory, text):
    path = write(tmp_path_factory.mktemp("any"), f"{HEAD}[[task]]\n{text}\n")
    found = preview.troubles(path, 2)
    assert all(re.match(r"own\.toml, line \d+", str(trouble)) for trouble in found)
    if not found:
        assert preview.preview(path, 0, 2).answers


@given(data=st.binary(max_size=200))
@settings(max_examples=100, deadline=None)
def test_any_bytes_give_a_sentence(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("any") / "own.toml"
    path.write_bytes(data)
    assert preview.troubles(path)


# In class.


@pytest.fixture
def own(tmp_path, monkeypatch):
    """The folder of own tasks of a learner."""
    for name in ("PACKLEARN_RECORDS", "PACKLEARN_MODE", "PACKLEARN_SEAT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    folder = tmp_path / "own-tasks"
    folder.mkdir()
    return folder


def test_where_no_file_is_the_panel_says_where_to_put_one(own):
    own.rmdir()
    panel = panels.OwnTasks()
    assert str(own) in panel.told.value
    assert panel.page is None
    own.mkdir()
    write(own, HEAD + TASK)
    panel.again.click()
    assert panel.told.value == ""
    assert panel.page.page.name == "own/own"
    assert panel.errors == []


def test_a_file_with_a_mistake_tells_it_and_the_others_work(own):
    write(own, HEAD + TASK, "good.toml")
    write(own, HEAD + changed("from = 3", "from = 9"), "bad.toml")
    write(own, HEAD + TASK + 'where = ["series > 9"]\n', "empty.toml")
    write(own, HEAD + TASK, "b" * 120 + ".toml")
    panel = panels.OwnTasks()
    assert [name for _, name in panel.chosen.options] == ["own/good"]
    assert "bad.toml, line 11, task box: series must be" in panel.told.value
    assert "empty.toml, line 13, task box: in 400 tries" in panel.told.value
    assert "at most 90 letters" in panel.told.value
    assert panel.page.question(0).phase == "open"


def test_the_chosen_file_is_shown_and_stays_chosen(own):
    write(own, HEAD + TASK, "one.toml")
    write(own, HEAD.replace("Small", "Other") + TASK, "two.toml")
    panel = panels.OwnTasks()
    panel.chosen.value = "own/two"
    assert panel.page.page.title == "Other"
    page = panel.page
    panel.again.click()
    assert panel.chosen.value == "own/two"
    assert panel.page is page
    (own / "two.toml").unlink()
    panel.again.click()
    assert panel.page.page.name == "own/one"


def lock(question, typed):
    question.answer.value = typed
    question.confidence.value = "sure"
    question.lock.click()
    assert question.errors == []


@pytest.mark.parametrize(
    "change",
    [
        ("to = 8", "to = 12"),
        ('"capacity_ah"', '"energy_wh"'),
        ("What capacity?", "How many Ah?"),
    ],
)
def test_a_changed_file_never_shows_an_old_prediction(own, change):
    write(own, HEAD + TASK)
    lock(panels.OwnTasks().page.question(0), "990 Ah")
    assert panels.OwnTasks().page.question(0).entries
    write(own, HEAD + changed(*change))
    question = panels.OwnTasks().page.question(0)
    assert question.entries == []
    assert question.status.value == ""
    assert "990 Ah" in panels.MyPredictions().table.value


def test_an_own_page_takes_nothing_from_a_shipped_one_of_its_name(own):
    shutil.copy(bank.pages()["predict-the-pack"], own / "predict-the-pack.toml")
    lock(panels.Question("predict-the-pack", "lantern-volts"), "9.9 kV")
    assert panels.Question("own/predict-the-pack", "lantern-volts").entries == []
    assert bank.page("predict-the-pack").name == "predict-the-pack"


def test_a_wiring_of_an_own_task_is_kept_in_a_file_of_its_own(own):
    shutil.copy(bank.pages()["wiring-names"], own / "wires and more.toml")
    question = panels.Question("own/wires and more", "wire-the-name")
    question.answer.bench.red_probe = None
    assert question.errors == []
    kept = {path.parent.name for path in own.parent.rglob("*.json")}
    assert kept <= {"benches"}


@pytest.mark.parametrize("name", ["own/../../x", "own//etc/x", "own/", "own/x\x00"])
def test_a_name_never_makes_a_path(own, name):
    write(own.parent, HEAD + TASK, "x.toml")
    with pytest.raises(UnknownName, match="Put it there"):
        bank.page(name)


def test_a_file_that_goes_while_its_page_is_open_is_told(own):
    path = write(own, HEAD + TASK + TASK.replace('"box"', '"bag"'))
    panel = panels.OwnTasks()
    path.unlink()
    panel.page.onward.click()
    assert "no task file own/own" in panel.page.alert.value
    assert "own / box" not in panels.MyPredictions().table.value


# The guide.

GUIDE = (GUIDES / "write-your-own.md").read_text(encoding="utf-8")
EXAMPLES = sorted(GUIDES.glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.stem for path in EXAMPLES])
def test_an_example_of_the_guide_is_good(path, capsys):
    assert f"`{path.name}`" in GUIDE
    out = shown(capsys, path)
    assert "What could be better" not in out
    assert "different sets" not in out


def test_the_guide_shows_its_first_example_whole():
    assert f"```\n{(GUIDES / 'own-first.toml').read_text(encoding='utf-8')}```" in GUIDE
    assert len(EXAMPLES) == 5


def test_what_the_guide_says_of_mistakes_is_so(tmp_path, capsys):
    slips = {
        "task needs other brackets": HEAD + TASK.replace("[[task]]", "[task]"),
        "this line cannot be read": HEAD + changed("parallel =", "parallel"),
        "Write straight ones": HEAD + changed('"box"', "\u201cbox\u201d"),
        "Write a number with a point": HEAD + changed("from = 3", "from = 0,5"),
        "Write the number alone": HEAD + changed("{ from = 3, to = 8 }", "6 V"),
        "A formula knows only what stands above it": HEAD
        + changed("{ from = 3, to = 8 }", '"parallel"'),
        "Take a smaller step": HEAD + TASK + "fit_a = { from = 0.2, to = 0.6 }\n",
        "Take fewer cells in line": HEAD + changed("to = 8", "to = 80"),
        "write parallel = 1": HEAD + changed('"nimh-aa"', '"alkaline-aa"'),
        "Perhaps you meant: parallel": HEAD + changed("parallel =", "paralel ="),
        "the text holds {serie}, which is not known": HEAD + changed("{series}", "{serie}"),
        "to ask for capacity_ah, the task also needs: parallel": HEAD
        + changed("parallel = { from = 2, to = 4 }\n", "").replace("{parallel}", "some"),
    }
    for said, text in slips.items():
        assert said in told(capsys, write(tmp_path, text))
        assert said.split(":")[0] in flat(GUIDE)


def test_guide_and_examples_are_laid_for_teachers_only():
    laid = laying.shipped("teach")
    names = {f"guides/{path.name}" for path in (*EXAMPLES, GUIDES / "write-your-own.md")}
    assert names <= set(laid)
    assert not names & set(laying.shipped("learn"))
