"""The fixed form of notebook files."""

import copy
import json
import re

import nbformat
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packlearn import notebooks
from packlearn.errors import BadFile

UUID = "0f1c2d3e-4a5b-4c6d-8e7f-012345678901"


def code(source="1 + 1", **more):
    base = {
        "cell_type": "code",
        "execution_count": 7,
        "metadata": {},
        "outputs": [],
        "source": source,
    }
    return base | more


def prose(source="Some words.", **more):
    return {"cell_type": "markdown", "metadata": {}, "source": source} | more


def notebook(*cells, **metadata):
    return {"cells": list(cells), "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


def stream(text, name="stdout"):
    return {"output_type": "stream", "name": name, "text": text}


def only_cell(cell):
    return notebooks.canonical(notebook(cell))["cells"][0]


def test_outputs_counts_and_widget_state_go():
    shown = {"output_type": "execute_result", "execution_count": 7, "metadata": {}, "data": {}}
    raw = notebook(code(outputs=[stream("2\n"), shown]), widgets={"state": {"a": 1}}, title="x")
    fixed = notebooks.canonical(raw)
    assert fixed["cells"][0]["outputs"] == []
    assert fixed["cells"][0]["execution_count"] is None
    assert set(fixed["metadata"]) == {"kernelspec", "language_info"}


def test_outputs_of_checked_cells_stay_without_counts_and_controls():
    result = {
        "output_type": "execute_result",
        "execution_count": 7,
        "metadata": {"isolated": True},
        "data": {"text/plain": "5.7 Ah\n6.0 V", notebooks.LIVE: {"model_id": "abc"}},
    }
    cell = code(metadata={"tags": [notebooks.CHECKED]}, outputs=[stream(["a\r\n", "b"]), result])
    assert only_cell(cell)["outputs"] == [
        stream(["a\n", "b"]),
        {
            "output_type": "execute_result",
            "execution_count": None,
            "metadata": {},
            "data": {"text/plain": ["5.7 Ah\n", "6.0 V"]},
        },
    ]


def test_text_printed_in_pieces_is_stored_as_one():
    tags = {"tags": [notebooks.CHECKED]}
    pieces = [stream("a"), stream("b\n"), stream("c\n", "stderr"), stream("d\n")]
    kept = only_cell(code(metadata=tags, outputs=pieces))["outputs"]
    assert kept == [stream(["ab\n"]), stream(["c\n"], "stderr"), stream(["d\n"])]


def test_only_the_metadata_of_lessons_stays():
    ours = {"question": "volts"}
    metadata = {
        "jupyter": {"source_hidden": True, "outputs_hidden": False},
        "deletable": False,
        "editable": False,
        "tags": ["a"],
        "packlearn": ours,
        "collapsed": True,
        "execution": {"iopub.status.busy": "2026"},
        "trusted": True,
    }
    kept = {key: metadata[key] for key in ("deletable", "editable", "tags", "packlearn")}
    kept["jupyter"] = {"source_hidden": True}
    assert only_cell(code(metadata=metadata))["metadata"] == kept
    assert only_cell(code(metadata={"deletable": True, "tags": []}))["metadata"] == {}


def test_kernel_is_fixed_and_our_key_stays():
    raw = notebook(kernelspec={"name": "mine"}, packlearn={"autorun": True})
    metadata = notebooks.canonical(raw)["metadata"]
    assert metadata == notebooks.KERNEL | {"packlearn": {"autorun": True}}
    assert metadata["kernelspec"]["name"] == "python3"


def test_readable_ids_stay_and_made_up_ones_become_readable():
    cells = [code(id="predict-1"), code(id="0a1b2c3d"), prose(id=UUID), code(), code(id="code-1")]
    fixed = notebooks.canonical(notebook(*cells))["cells"]
    assert [cell["id"] for cell in fixed] == [
        "predict-1",
        "code-2",
        "markdown-1",
        "code-3",
        "code-1",
    ]


def test_a_copied_cell_gets_an_id_of_its_own():
    fixed = notebooks.canonical(notebook(code(id="try-1"), code(id="try-1")))["cells"]
    assert [cell["id"] for cell in fixed] == ["try-1", "code-1"]


def test_text_has_one_space_indent_plain_line_ends_and_a_last_new_line():
    text = notebooks.text(notebook(prose("Größe\r\nzwei\rdrei")))
    assert text.startswith('{\n "cells": [\n')
    assert text.endswith("}\n")
    assert "\r" not in text
    assert '"Größe\\n",\n    "zwei\\n",\n    "drei"' in text


def test_form_is_the_one_nbformat_writes():
    raw = notebook(prose("# Title\n\nWords", id="a"), code("x = 1\nx", id="b"))
    text = notebooks.text(raw)
    parsed = nbformat.reads(text, as_version=4)
    nbformat.validate(parsed)
    assert nbformat.writes(parsed) + "\n" == text


texts = st.text(st.characters(codec="utf-8"), max_size=40)
any_cell = st.builds(
    lambda kind, source, id_, tags: (code if kind else prose)(
        source.splitlines(keepends=True) if tags else source, id=id_, metadata={"tags": tags}
    ),
    st.booleans(),
    texts,
    st.sampled_from(["a", "b", "0a1b2c3d", UUID, "", None, 3]),
    st.lists(texts, max_size=2),
)


@settings(deadline=None, derandomize=True)
@given(st.lists(any_cell, max_size=5))
def test_fixed_form_is_a_fixed_point_and_keeps_every_word(cells):
    raw = notebook(*cells)
    before = copy.deepcopy(raw)
    text = notebooks.text(raw)
    again = notebooks.parse(text.encode("utf-8"))
    assert raw == before
    assert notebooks.text(again) == text
    assert list(map(notebooks.source, again["cells"])) == list(map(notebooks.source, cells))
    ids = [cell["id"] for cell in again["cells"]]
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"[A-Za-z0-9_-]{1,64}", id_) for id_ in ids)
    assert notebooks.sources_digest(again) == notebooks.sources_digest(raw)


def test_digest_sees_words_and_not_what_was_run():
    plain = notebook(code("x"), prose("y"))
    run = notebook(code(["x"], outputs=[stream("1")], id="a"), prose("y\n"), code(""), widgets={})
    assert notebooks.sources_digest(run) == notebooks.sources_digest(plain)
    for other in (notebook(code("x2"), prose("y")), notebook(prose("y"), code("x"))):
        assert notebooks.sources_digest(other) != notebooks.sources_digest(plain)
    assert notebooks.sources_digest(notebook(prose("x"))) != notebooks.sources_digest(
        notebook(code("x"))
    )


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"[]",
        b"\xff\xfe",
        b'{"nbformat": 3, "worksheets": []}',
        b'{"nbformat": 4}',
        b'{"nbformat": 4, "cells": [3]}',
        b'{"nbformat": 4, "cells": [{"cell_type": "code", "source": [1]}]}',
    ],
)
def test_what_is_no_notebook_is_said_in_words(tmp_path, data):
    path = tmp_path / "lesson.ipynb"
    path.write_bytes(data)
    with pytest.raises(BadFile, match=r"lesson\.ipynb cannot be read as a notebook of format 4"):
        notebooks.read(path)


@pytest.fixture
def files(tmp_path):
    good, bad = tmp_path / "a.ipynb", tmp_path / "b.ipynb"
    good.write_bytes(notebooks.text(notebook(code())).encode("utf-8"))
    bad.write_bytes(json.dumps(notebook(code()), indent=4).replace("\n", "\r\n").encode("utf-8"))
    return tmp_path, good, bad


def test_check_names_files_that_differ_and_changes_nothing(files, capsys):
    folder, good, bad = files
    before = bad.read_bytes()
    assert notebooks.main(["--check", str(folder)]) == 1
    said = capsys.readouterr().out
    assert "b.ipynb" in said
    assert "a.ipynb" not in said
    assert bad.read_bytes() == before
    assert notebooks.main(["--check", str(good)]) == 0


def test_without_check_files_are_written_once(files, capsys):
    folder, good, bad = files
    stamp = good.stat().st_mtime_ns
    assert notebooks.main([str(good), str(bad)]) == 0
    assert bad.read_bytes() == good.read_bytes()
    assert good.stat().st_mtime_ns == stamp
    assert notebooks.main(["--check", str(folder)]) == 0


def test_unreadable_file_ends_with_2_and_a_sentence(tmp_path, capsys):
    assert notebooks.main([str(tmp_path / "none.ipynb")]) == 2
    assert "cannot be read as a notebook" in capsys.readouterr().err
