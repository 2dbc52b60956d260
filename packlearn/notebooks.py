"""Notebook files in one fixed form, so that a change in git is a change of the lesson.

``python -m packlearn.notebooks FILES...`` writes files in this form;
with ``--check`` it only says which ones differ. Only the standard library is needed.
"""

import argparse
import hashlib
import json
import re
import sys
from pathlib import Path

from packlearn.errors import BadFile, PackError
from packlearn.words import say

KERNEL = {
    "kernelspec": {
        "display_name": "Python 3 (ipykernel)",
        "language": "python",
        "name": "python3",
    },
    "language_info": {"file_extension": ".py", "mimetype": "text/x-python", "name": "python"},
}
CHECKED = "nbval-check-output"
LIVE = "application/vnd.jupyter.widget-view+json"
# Ids that a program made up: eight hex digits (nbformat) or a UUID (JupyterLab).
_MADE_UP = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}|[0-9a-f]{8}")
_VALID = re.compile(r"[A-Za-z0-9_-]{1,64}")


def read(path):
    """Read a notebook file.

    Args:
        path: the file.

    Returns:
        The notebook as nested dictionaries.

    Raises:
        BadFile: it cannot be read, or is not a notebook of format 4.
    """
    try:
        return parse(Path(path).read_bytes())
    except (OSError, ValueError) as error:
        raise BadFile("command.notebooks.unreadable", value=str(path), limit=4) from error


def parse(data):
    """Turn the bytes of a notebook file into nested dictionaries.

    Args:
        data: the bytes.

    Returns:
        The notebook.

    Raises:
        ValueError: this is not a notebook of format 4.
    """
    notebook = json.loads(data.decode("utf-8-sig"))
    good = isinstance(notebook, dict) and notebook.get("nbformat") == 4
    cells = notebook.get("cells") if good else None
    if not isinstance(cells, list) or not all(_is_cell(cell) for cell in cells):
        raise ValueError(data[:40])
    return notebook


def _is_cell(cell):
    return (
        isinstance(cell, dict)
        and cell.get("cell_type") in ("code", "markdown", "raw")
        and isinstance(cell.get("metadata", {}), dict)
        and _is_text(cell.get("source", ""))
    )


def _is_text(source):
    lines = source if isinstance(source, list) else [source]
    return all(isinstance(line, str) for line in lines)


def source(cell):
    r"""Give the text of a cell, its lines ended by ``\n``.

    Args:
        cell: a cell of a notebook.

    Returns:
        One string.
    """
    return _joined(cell.get("source", ""))


def sources_digest(notebook):
    """Give a fingerprint of what stands in the cells, whatever was run or saved.

    Args:
        notebook: nested dictionaries. Empty cells do not count.

    Returns:
        SHA-256 of the kinds and texts of the cells, in hexadecimal.
    """
    cells = [(cell["cell_type"], source(cell).strip()) for cell in notebook["cells"]]
    text = json.dumps([cell for cell in cells if cell[1]])
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def canonical(notebook):
    """Bring a notebook into its fixed form.

    Args:
        notebook: nested dictionaries; not changed.

    Returns:
        A new notebook: readable cell ids, outputs in checked cells only, no counts,
        no widget state, fixed kernel, and only the metadata that lessons use.
    """
    kept = {"packlearn": notebook["metadata"]["packlearn"]} if _ours(notebook) else {}
    ids = _cell_ids(notebook["cells"])
    return {
        "cells": [_cell(cell, id_) for cell, id_ in zip(notebook["cells"], ids, strict=True)],
        "metadata": {**KERNEL, **kept},
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def text(notebook):
    """Write a notebook as the text of its file, in the fixed form.

    Args:
        notebook: nested dictionaries.

    Returns:
        JSON text, indented by one space, ending in a new line.
    """
    return json.dumps(canonical(notebook), ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def _ours(part):
    return "packlearn" in part.get("metadata", {})


def _cell(cell, id_):
    kept = {
        "cell_type": cell["cell_type"],
        "id": id_,
        "metadata": _metadata(cell),
        "source": source(cell).splitlines(keepends=True),
    }
    if cell.get("attachments"):
        kept["attachments"] = cell["attachments"]
    if cell["cell_type"] == "code":
        outputs = _outputs(cell)
        # nbval compares an output only where the cell has a count.
        kept |= {"execution_count": 1 if outputs else None, "outputs": outputs}
    return kept


def _metadata(cell):
    old = cell.get("metadata", {})
    kept = {key: False for key in ("deletable", "editable") if old.get(key) is False}
    if old.get("jupyter", {}).get("source_hidden"):
        kept["jupyter"] = {"source_hidden": True}
    if old.get("tags"):
        kept["tags"] = old["tags"]
    if _ours(cell):
        kept["packlearn"] = old["packlearn"]
    return kept


def _outputs(cell):
    if CHECKED not in cell.get("metadata", {}).get("tags", []):
        return []
    kept = []
    for output in map(_output, cell.get("outputs", [])):
        # A front end may save one printed text in several pieces.
        if kept and output["output_type"] == "stream" and _same_stream(kept[-1], output):
            joined = _joined(kept[-1]["text"] + output["text"])
            kept[-1]["text"] = joined.splitlines(keepends=True)
        else:
            kept.append(output)
    return kept


def _same_stream(one, other):
    return one["output_type"] == "stream" and one["name"] == other["name"]


def _output(output):
    kept = dict(output)
    if kept["output_type"] == "stream":
        kept["text"] = _joined(kept["text"]).splitlines(keepends=True)
    if "data" in kept:
        kept["data"] = {
            mime: _joined(data).splitlines(keepends=True) if _is_text(data) else data
            for mime, data in kept["data"].items()
            if mime != LIVE
        }
        kept["metadata"] = {}
    if "execution_count" in kept:
        kept["execution_count"] = None
    return kept


def _joined(lines):
    joined = lines if isinstance(lines, str) else "".join(lines)
    return joined.replace("\r\n", "\n").replace("\r", "\n")


def _cell_ids(cells):
    ids, taken = [], {cell.get("id") for cell in cells}
    for cell in cells:
        id_ = cell.get("id")
        if not _readable(id_) or id_ in ids:
            id_ = _free_id(cell["cell_type"], taken)
        taken.add(id_)
        ids.append(id_)
    return ids


def _readable(id_):
    return isinstance(id_, str) and bool(_VALID.fullmatch(id_)) and not _MADE_UP.fullmatch(id_)


def _free_id(kind, taken):
    number = 1
    while f"{kind}-{number}" in taken:
        number += 1
    return f"{kind}-{number}"


def main(argv=None):
    """Bring notebook files into the fixed form, or say which are not.

    Args:
        argv: arguments; those of the process if None.

    Returns:
        0: all in the fixed form now; 1: ``--check`` found others; 2: a file cannot be read.
    """
    parser = argparse.ArgumentParser(
        prog="python -m packlearn.notebooks", description=say("command.notebooks.about")
    )
    parser.add_argument("--check", action="store_true", help=say("command.notebooks.check"))
    parser.add_argument("files", nargs="+", metavar="FILE", help=say("command.notebooks.files"))
    args = parser.parse_args(argv)
    try:
        changed = [path for path in _files(args.files) if _normalise(path, write=not args.check)]
    except PackError as error:
        print(error, file=sys.stderr)
        return 2
    key = "command.notebooks.differs" if args.check else "command.notebooks.written"
    for path in changed:
        print(say(key, path=path))
    return 1 if args.check and changed else 0


def _files(names):
    # A Windows shell does not expand patterns, so a folder stands for its notebooks.
    for path in map(Path, names):
        yield from sorted(path.glob("*.ipynb")) if path.is_dir() else [path]


def _normalise(path, write):
    fixed = text(read(path)).encode("utf-8")
    if path.read_bytes() == fixed:
        return False
    if write:
        path.write_bytes(fixed)
    return True


if __name__ == "__main__":
    sys.exit(main())
