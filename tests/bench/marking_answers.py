"""How long marking a folder of answer files takes, beside reading the same files only.

Drawing a variant, clear of every wrong rule, takes most of the time, so it counts how many
unlike questions there are. A class that hands in again and again has few; files of a whole
school, of which each learner had numbers of their own, have as many as answers.
"""

import json
import os
import random
import tempfile
import time
from pathlib import Path

from packlearn.classroom import answer_files, collecting, mark_sheets, marking
from packlearn.classroom.seats import first_variant
from packlearn.tasks import bank, checking

FILES, ANSWERS = 1000, 50
MOST_S = 5.0
CODE, SEATS = "HEDGE7", 40
TYPED = ("6,2 V", "5S3P", "1.9 Ah", "9 h 30 min", "12", "0.6 A", "34 Wh")


def fill(folder, files, answers, step):
    """Answer files of all seats, half of the answers right.

    Args:
        folder: an empty folder.
        files: how many.
        answers: how many in each.
        step: how many questions further a seat's next file begins.
    """
    dice = random.Random(5)
    tasks = [task for name in bank.pages() for task in bank.page(name).tasks]
    locked = {}
    for number in range(files):
        seat, first = number % SEATS + 1, number // SEATS * step
        lines = [{"packlearn answers": 1, "class": CODE, "seat": seat, "saved at": ""}]
        for at in range(first, first + answers):
            if (seat, at) not in locked:
                locked[seat, at] = _answer(dice, tasks, seat, at)
            lines.append(locked[seat, at])
        lines.append({"answers": answers})
        text = "".join(json.dumps(line) + "\n" for line in lines)
        (folder / f"{number}.jsonl").write_text(text, encoding="utf-8")
    return len(locked)


def _answer(dice, tasks, seat, at):
    task = tasks[at % len(tasks)]
    variant = first_variant(CODE, seat) + at // len(tasks)
    typed = dice.choice(TYPED)
    if at % 2:
        typed = checking.answer_in_words(checking.variant(task, variant))
    return {
        "page": task.page, "task": task.id, "variant": variant, "attempt": 1,
        "typed": typed[:200], "confidence": "think", "locked at": "2026-03-01T12:00:00Z",
    }  # fmt: skip


def timed(job):
    """Seconds of a job, processor seconds of it and of its processes, and what it returns."""
    start, work = time.perf_counter(), sum(os.times()[:4])
    done = job()
    return time.perf_counter() - start, sum(os.times()[:4]) - work, done


def measure(files, step):
    """Prints one row.

    Args:
        files: how many files.
        step: how many questions further a seat's next file begins.
    """
    with tempfile.TemporaryDirectory() as folder:
        source, target = Path(folder, "answers"), Path(folder, "marks")
        source.mkdir()
        unlike = fill(source, files, ANSWERS, step)
        # As in a fresh process.
        checking._variant.cache_clear()
        _, read, _ = timed(lambda: [answer_files.read(b) for _, b in collecting.collect(source)])
        marked, work, marks = timed(lambda: marking.mark(CODE, SEATS, collecting.collect(source)))
        written, more, _ = timed(lambda: mark_sheets.write(marks, target))
    assert len(marks.questions) == unlike
    work += more
    print(
        f"{files:6} files{unlike:8} unlike questions{marked + written:9.2f} s{work:9.2f} s"
        f"{work / unlike * 1e3:9.2f} ms{work / read:8.0f} times"
    )


def main():
    """Prints the table."""
    print(
        f"\nmarking files of {ANSWERS} answers (1000 files: under {MOST_S:g} s): seconds, "
        "processor time, of it a question, and how many times as much as reading the files"
    )
    measure(SEATS, 0)
    measure(FILES, 2)
    measure(FILES, ANSWERS)


if __name__ == "__main__":
    main()
