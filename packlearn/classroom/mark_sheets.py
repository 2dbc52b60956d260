"""Marks as tables for a spreadsheet, and a summary of the class by skill and by mistake."""

import csv
import html
from collections import defaultdict
from pathlib import Path

from packlearn.classroom.rechecking import nothing_collected
from packlearn.errors import BadFile, BadValue
from packlearn.places import write_whole
from packlearn.records.sheet import SEPARATORS, defused
from packlearn.tasks.combining import did_of
from packlearn.tasks.skills import skills
from packlearn.words import say, word


@nothing_collected()
def write(marks, folder, separator=","):
    """Write all sheets into a folder; older ones of the same names are replaced.

    Args:
        marks: the ``Marks``.
        folder: the folder; it is made if need be.
        separator: ",", ";" or a tab, between the columns of the tables.

    Returns:
        Names of the files.

    Raises:
        BadValue: another separator.
        BadFile: the folder cannot be written to.
    """
    if separator not in SEPARATORS:
        raise BadValue("records.separator", value=separator)
    folder = Path(folder)
    texts = {
        # The mark at the start tells spreadsheets that the text is UTF-8.
        "marks.csv": "\ufeff" + _table(_mark_rows(marks), separator),
        "answers.csv": "\ufeff" + _table(_answer_rows(marks), separator),
        "summary.txt": "\n".join(summary(marks)) + "\n",
        "summary.html": _page(marks),
    }
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            write_whole(folder / name, text.encode("utf-8"))
    except OSError as error:
        raise BadFile("classroom.sheets.not_written", value=str(folder)) from error
    return list(texts)


def _table(rows, separator):
    lines = _Lines()
    csv.writer(lines, delimiter=separator).writerows(
        [defused(cell) if isinstance(cell, str) else cell for cell in row] for row in rows
    )
    return "".join(lines.written)


class _Lines:
    def __init__(self):
        self.written = []
        self.write = self.written.append


def _mark_rows(marks):
    """A row for each seat, for a mark book; numbers only."""
    pages = list(dict.fromkeys(each.task.page for each in marks.questions))
    heads = list(word("classroom.sheets.marks").values())
    for page in pages:
        heads += [
            say("classroom.sheets.of_page", page=page),
            say("classroom.sheets.right", page=page),
        ]
    rows = [heads]
    by_seat = _grouped(marks.questions, lambda each: each.seat)
    for seat in range(1, marks.seats + 1):
        mine = by_seat.get(seat, [])
        row = [seat, int(seat in marks.handed_in), *_counts(mine)]
        for page in pages:
            of_page = [each for each in mine if each.task.page == page]
            row += [len(of_page), sum(each.right for each in of_page)]
        rows.append(row)
    return rows


def _answer_rows(marks):
    """A row for each answer."""
    rows = [list(word("classroom.sheets.answers").values())]
    for question in marks.questions:
        for each in question.tries:
            answer = each.answer
            rows.append([
                question.seat, answer.page, answer.task, str(answer.variant), answer.attempt,
                answer.typed, word(f"records.confidence.{answer.confidence}"),
                word("records.yes" if each.right else "records.no"),
                " ".join(each.rules), answer.locked_at,
            ])  # fmt: skip
    return rows


def _counts(questions):
    """Questions, right at the first try, right in the end, sure and wrong."""
    rows = [(each.right_first, each.right, each.sure_wrong) for each in questions]
    return [len(rows), *(sum(column) for column in zip(*rows, strict=True))] if rows else [0] * 4


def by_skill(marks):
    """Rows of the summary by skill: title, seats, and the four counts.

    Args:
        marks: the ``Marks``.
    """
    groups = _grouped(marks.questions, lambda each: each.task.skill)
    known = [each.id for each in skills()]
    order = [name for name in known if name in groups]
    order += sorted(name for name in groups if name not in known)
    rows = []
    for name in order:
        title = word(f"skills.{name}.title") if name in known else name
        seats = len({each.seat for each in groups[name]})
        rows.append([title, seats, *_counts(groups[name])])
    return rows


def by_mistake(marks):
    """Rows of the summary by mistake, the commonest first: what was done, id, seats, times.

    Args:
        marks: the ``Marks``.
    """
    seats, times = defaultdict(set), defaultdict(int)
    for question in marks.questions:
        for rule in {rule for each in question.tries for rule in each.rules}:
            seats[rule].add(question.seat)
            times[rule] += 1
    rows = [[did_of(rule), rule, len(seats[rule]), times[rule]] for rule in times]
    return sorted(rows, key=lambda row: (-row[2], -row[3], row[1]))


def missing(marks):
    """Seats of which there is no file.

    Args:
        marks: the ``Marks``.
    """
    return [seat for seat in range(1, marks.seats + 1) if seat not in marks.handed_in]


def summary(marks):
    """The summary as lines of text.

    Args:
        marks: the ``Marks``.
    """
    lines = [*_opening(marks), "", word("classroom.sheets.by_skill")]
    lines += [say("classroom.sheets.skill_line", **_named(row)) for row in by_skill(marks)]
    lines += ["", word("classroom.sheets.by_mistake")]
    for did, rule, seats, times in by_mistake(marks):
        fields = {"did": did.rstrip("."), "rule": rule, "seats": seats, "times": times}
        lines.append(say("classroom.sheets.mistake_line", **fields))
    lines += ["", word("classroom.sheets.odd")]
    lines += [say("classroom.sheets.odd_line", name=name, told=told) for name, told in marks.report]
    return lines


def _named(row):
    names = ("title", "seats", "questions", "right_first", "right", "sure_wrong")
    return dict(zip(names, row, strict=True))


def _opening(marks):
    fields = {"code": marks.code, "files": marks.files, "seats": marks.seats}
    lines = [say("classroom.sheets.opening", **fields, handed_in=len(marks.handed_in))]
    without = missing(marks)
    if without:
        lines.append(say("classroom.sheets.missing", seats=", ".join(map(str, without))))
    lines.append(word("classroom.sheets.honest"))
    return lines


def _page(marks):
    """The summary as one HTML page that loads nothing and runs nothing."""
    parts = [f"<p>{html.escape(line)}</p>" for line in _opening(marks)]
    for key, rows in (
        ("by_skill", by_skill(marks)),
        ("by_mistake", by_mistake(marks)),
        ("odd", marks.report),
    ):
        parts.append(f"<h2>{html.escape(word(f'classroom.sheets.{key}'))}</h2>")
        parts.append(_html_table(list(word(f"classroom.sheets.heads.{key}").values()), rows))
    title = html.escape(say("classroom.sheets.title", code=marks.code))
    return _FRAME.format(title=title, body="\n".join(parts))


def _html_table(heads, rows):
    lines = ["".join(f'<th scope="col">{html.escape(head)}</th>' for head in heads)]
    lines += ["".join(f"<td>{html.escape(str(cell))}</td>" for cell in row) for row in rows]
    return "<table>" + "\n".join(f"<tr>{line}</tr>" for line in lines) + "</table>"


_FRAME = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<style>
body {{ font: 12pt/1.4 sans-serif; max-width: 60em; margin: 2em auto; padding: 0 1em; }}
table {{ border-collapse: collapse; }}
th, td {{ border: 1px solid #767676; padding: 0.2em 0.5em; text-align: left; }}
</style></head>
<body><h1>{title}</h1>
{body}
</body></html>
"""


def _grouped(items, key):
    groups = defaultdict(list)
    for item in items:
        groups[key(item)].append(item)
    return groups
