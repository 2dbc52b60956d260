"""The records as a table of text that a spreadsheet opens and cannot be tricked by."""

import csv
import io
from datetime import UTC
from pathlib import Path

from packlearn.errors import BadValue
from packlearn.places import write_whole
from packlearn.records.shapes import canonical
from packlearn.records.troubles import RecordsTrouble
from packlearn.words import word

SEPARATORS = (",", ";", "\t")

# A spreadsheet takes a cell that begins so for a formula; the wide forms
# (U+FF1D, U+FF0B, U+FF0D, U+FF20) too where the keyboard is East Asian.
_FORMULA_STARTS = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")


def export(entries, target, separator):
    """Write entries as text with a separator.

    Args:
        entries: list of Entry.
        target: path of the file (it is replaced), or an open text file.
        separator: one of ``SEPARATORS``.

    Raises:
        BadValue: another separator.
        RecordsTrouble: the file cannot be written.
    """
    if separator not in SEPARATORS:
        raise BadValue("records.separator", value=separator)
    if hasattr(target, "write"):
        _write(entries, target, separator)
        return
    made = io.StringIO(newline="")
    _write(entries, made, separator)
    try:
        # The mark at the start tells spreadsheets that the text is UTF-8.
        write_whole(Path(target), made.getvalue().encode("utf-8-sig"))
    except OSError as error:
        raise RecordsTrouble("records.csv_not_written", place=str(target)) from error


def defused(text):
    """Text that a spreadsheet shows and never runs.

    Args:
        text: text of one cell.
    """
    return "'" + text if text.startswith(_FORMULA_STARTS) else text


def _write(entries, file, separator):
    writer = csv.writer(file, delimiter=separator)
    writer.writerow(word("records.columns").values())
    writer.writerows(_cells(entry) for entry in entries)


def _cells(entry):
    """Cells of one entry by column; numbers stay numbers, every text is defused."""
    cells = _of_prediction(entry.locked) | _of_result(entry.result)
    cells["saw"] = "" if entry.saw is None else word(f"records.saw.{entry.saw}")
    ordered = (cells[column] for column in word("records.columns"))
    return [defused(cell) if isinstance(cell, str) else cell for cell in ordered]


def _of_prediction(locked):
    names = ("id", "seat", "page", "task", "variant", "attempt", "typed", "unit", "reason")
    cells = {name: getattr(locked, name) for name in names}
    cells["givens"] = canonical(locked.givens)
    cells["value"] = "" if locked.value is None else locked.value
    cells["confidence"] = word(f"records.confidence.{locked.confidence}")
    cells["locked_at"] = f"{locked.locked_at.astimezone(UTC):%Y-%m-%d %H:%M:%S}"
    return cells


def _of_result(result):
    if result is None:
        return dict.fromkeys(("verdict", "right", "mistakes", "revealed"), "")
    return {
        "verdict": result.verdict,
        "mistakes": " ".join(result.mistakes),
        "right": word("records.yes" if result.right else "records.no"),
        "revealed": word("records.yes" if result.revealed else "records.no"),
    }
