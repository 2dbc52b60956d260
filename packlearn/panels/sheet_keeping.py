"""The file of a build sheet: in the learner's folder, none written over."""

import re
from dataclasses import dataclass

from packlearn.panels.bench_keeping import write_whole
from packlearn.places import learner_folder
from packlearn.sheets import printing
from packlearn.sheets.build_sheet import build_sheet

FOLDER = "sheets"
LONGEST_STEM = 40


@dataclass(frozen=True)
class Made:
    """A sheet that was written.

    Attributes:
        page: path of its HTML page within the learner's folder.
        printed: path of its PDF, None where nothing here makes one.
    """

    page: str
    printed: str | None


def keep_sheet(plan):
    """Write the sheet of a plan, as HTML and, where the extra is there, as PDF.

    Args:
        plan: a ``building.Plan``.

    Returns:
        ``Made``.

    Raises:
        NotKept: it cannot be written; the message names folder and reason.
    """
    text = build_sheet(plan)
    path = _free_path(_stem(plan.name or plan.pack.name), text)
    write_whole(path, text)
    printed = _printed(text, path.with_suffix(".pdf"))
    return Made(f"{FOLDER}/{path.name}", printed and f"{FOLDER}/{printed.name}")


def _stem(name):
    """A name that is safe in every folder: small letters, digits, hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower())[:LONGEST_STEM].strip("-") or "my-pack"


def _free_path(stem, text):
    """A path not taken by another sheet; the same sheet keeps its own."""
    folder, number = learner_folder() / FOLDER, 1
    while True:
        path = folder / f"{stem}{'' if number == 1 else f'-{number}'}.html"
        if not path.exists() or _holds(path, text):
            return path
        number += 1


def _holds(path, text):
    try:
        return path.read_text(encoding="utf-8", errors="replace") == text
    except OSError:
        # What nobody may read is another sheet.
        return False


def _printed(text, path):
    try:
        printing.pdf(text, path)
    except (printing.NoPrinter, OSError):
        return None
    return path
