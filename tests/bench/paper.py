"""How long sheets and key for a class take: 24 seats of 12 tasks, and their PDF."""

import tempfile
from pathlib import Path

from packlearn.panels.illustrations import illustration
from packlearn.sheets import printing, task_sheets
from packlearn.tasks import bank
from tests.bench.timing import median_ms

RUNS = 3


def main():
    """Prints the table."""
    page = bank.page("predict-the-pack")
    tasks, _ = task_sheets.choose(page, (), 12)
    copies = task_sheets.copies_of_class("HEDGE7", 24)
    head = task_sheets.head_of_class("HEDGE7", 24)

    def write():
        key = task_sheets.key(page, tasks, copies, head)
        return task_sheets.sheets(page, tasks, copies, illustration), key

    with tempfile.TemporaryDirectory() as folder:
        documents = write()
        path = Path(folder) / "sheet.pdf"
        rows = {
            "HTML of 24 seats and the key": median_ms(write, RUNS),
            "PDF of both": median_ms(lambda: [printing.pdf(d, path) for d in documents], RUNS),
        }
    for name, ms in rows.items():
        print(f"{name:30}{ms:9.1f} ms")
