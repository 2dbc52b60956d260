"""What a panel cannot be made from is told in the page by a sentence, and never by a traceback."""

import contextlib
import inspect

import pytest
from IPython.core.interactiveshell import InteractiveShell

import packlearn
from packlearn import Pack, Wiring, cell, panels
from packlearn.errors import BadValue, PackError, UnknownName
from packlearn.panels.base import Panel
from packlearn.panels.fitting import BadArguments, NotMade, TellingType
from packlearn.records import Records

each_panel = pytest.mark.parametrize("name", panels.__all__)

# What a panel needs at least; all others need nothing.
NEEDED = {
    "Bench": {"wiring": Wiring.of(Pack(cell("nimh-aa"), 2, 1))},
    "Cautions": {"lesson": 9},
    "Faded": {"skill": "energy"},
    "Question": {"page": "lesson-3", "task": "one-cell"},
    "Round": {"page": "lesson-3", "name": "in-line"},
    "TaskPage": {"page": "predict-the-pack"},
    "bench_of": {"name": "volts", "series": 2},
}
ODD = (None, -1, 3.5, "<b>", ["x"], {}, object())


def parameters(name):
    return inspect.signature(getattr(panels, name)).parameters.values()


def needed(name):
    return {p.name for p in parameters(name) if p.default is p.empty and p.kind != p.VAR_KEYWORD}


def told(trouble):
    (sentence,) = trouble._render_traceback_()
    assert sentence == str(trouble)
    return sentence


@each_panel
def test_every_panel_is_made_with_what_it_needs(name):
    assert set(NEEDED.get(name, ())) == needed(name)
    assert isinstance(getattr(panels, name)(**NEEDED.get(name, {})), Panel)


@each_panel
def test_an_argument_that_a_panel_does_not_take_is_told_with_those_it_takes(name):
    with pytest.raises(BadArguments) as caught:
        getattr(panels, name)(**NEEDED.get(name, {}), speeed=3)
    sentence = told(caught.value)
    # A bench is made in two steps, of which the second looks at what else it can.
    takes = "Bench" if name == "bench_of" else name
    assert f"panels.{takes} " in sentence
    assert all(one.name in sentence for one in parameters(takes))
    assert packlearn.__version__ in sentence
    assert str(Records.default().place) in sentence
    assert isinstance(caught.value.__cause__, TypeError)


@pytest.mark.parametrize("name", sorted(NEEDED))
def test_an_argument_that_is_left_out_is_told(name):
    with pytest.raises(BadArguments) as caught:
        getattr(panels, name)()
    assert all(wanted in told(caught.value) for wanted in NEEDED[name])


@each_panel
@pytest.mark.parametrize("odd", ODD, ids=repr)
def test_an_argument_of_another_kind_is_told_or_taken(name, odd):
    for one in parameters(name):
        if one.kind != one.VAR_KEYWORD:
            with contextlib.suppress(PackError):
                made = getattr(panels, name)(**NEEDED.get(name, {}) | {one.name: odd})
                assert made.alert.value or made.errors == []


def test_an_error_of_python_is_kept_as_the_cause_and_told_in_part():
    with pytest.raises(NotMade) as caught:
        panels.Bench("x" * 1000)
    assert isinstance(caught.value, BadValue)
    assert isinstance(caught.value.__cause__, AttributeError)
    assert "AttributeError: 'str' object" in told(caught.value)


def test_a_page_of_a_teachers_own_that_is_gone_is_told_with_its_place(tmp_path):
    with pytest.raises(UnknownName) as caught:
        panels.TaskPage("own/gone")
    assert "own/gone" in told(caught.value)
    assert str(tmp_path / "packlearn" / "own-tasks") in told(caught.value)


def test_all_panels_are_of_the_type_that_tells():
    made = [getattr(panels, name) for name in panels.__all__ if name[:1].isupper()]
    assert all(isinstance(one, TellingType) for one in made)


@pytest.mark.parametrize(
    "line", ["TaskPage('own/gone')", "Round('lesson-3')", "Bench(3)", "bench_of('b', 2, hue=1)"]
)
def test_a_notebook_shows_the_sentence_and_no_traceback(line, capsys):
    shell = InteractiveShell.instance()
    try:
        ran = shell.run_cell(f"from packlearn import panels\npanels.{line}")
    finally:
        InteractiveShell.clear_instance()
    assert isinstance(ran.error_in_exec, PackError)
    out = capsys.readouterr().out
    assert str(ran.error_in_exec) in out
    assert "Traceback" not in out
    assert "packlearn/panels" not in out


@pytest.mark.parametrize("name", ["CellExplorer", "ChargeExplorer", "DataSheetExplorer"])
def test_a_choice_that_is_none_is_told_with_those_there_are(name):
    with pytest.raises(UnknownName) as caught:
        getattr(panels, name)(cell="nimh-a")
    assert told(caught.value).startswith("nimh-a is none of the choices.")
    assert "nimh-aa" in told(caught.value)
