"""Answer files: what is handed in comes back, is marked anew, and no odd file stops the rest."""

import csv
import io
import json
import os
import re
import stat
import zipfile
from pathlib import Path

import pytest

from packlearn import command
from packlearn.classroom import answer_files, collecting, mark_sheets, marking, rechecking
from packlearn.classroom.seats import STRIDE, first_variant, seat_text
from packlearn.errors import BadFile, BadValue
from packlearn.records import Prediction, Records, RecordsTrouble
from packlearn.tasks import bank, checking

CODE = "HEDGE7"
PAGE, TASK = "predict-the-pack", bank.page("predict-the-pack").tasks[0]


def variant(seat, step=0, task=TASK):
    return checking.variant(task, first_variant(CODE, seat) + step)


def right_answer(seat, step=0):
    return checking.answer_in_words(variant(seat, step))


def line(seat, step=0, **new):
    fields = {
        "page": PAGE,
        "task": TASK.id,
        "variant": first_variant(CODE, seat) + step,
        "attempt": 1,
        "typed": right_answer(seat, step),
        "confidence": "think",
        "locked at": "2026-03-01T12:00:00Z",
    }
    return fields | new


def head(seat=4, **new):
    return {"packlearn answers": 1, "class": CODE, "seat": seat, "saved at": "x"} | new


def text_of(lines, end=True):
    lines = [*lines, {"answers": len(lines) - 1}] if end else lines
    return "".join(json.dumps(each) + "\n" for each in lines)


def answers(seat=4, *lines, **more):
    return text_of([head(seat), *(lines or [line(seat)])], **more).encode()


def told(marks):
    return dict(marks.report)


def marked(**files):
    return marking.mark(CODE, 24, files.items())


@pytest.fixture
def records(tmp_path):
    return Records(tmp_path / "records.sqlite")


def lock(records, seat, typed, step=0, attempt=1, confidence="think"):
    var = variant(seat, step)
    return records.lock(
        Prediction(
            page=PAGE,
            task=TASK.id,
            variant=var.number,
            attempt=attempt,
            givens=var.givens,
            typed=typed,
            value=None,
            unit="",
            confidence=confidence,
            seat=seat_text(CODE, seat),
        )  # fmt: skip
    )


# Saving and reading


def test_what_is_saved_comes_back(records, tmp_path):
    lock(records, 4, "3,3 V", confidence="sure")
    lock(records, 4, '=1+1\n"</script>\u2028', attempt=2)
    lock(records, 5, "of seat 5")
    records.settle(1, "right", right=True)
    path = tmp_path / answer_files.file_name("HEDGE7-04")
    assert path.name == "answers-HEDGE7-04.jsonl"
    assert answer_files.save(records, "HEDGE7-04", path) == 2
    file = answer_files.read(path.read_bytes())
    assert (file.code, file.seat, file.unread, file.cut) == (CODE, 4, 0, False)
    locked = [entry.locked for entry in records.all("HEDGE7-04")]
    assert [each[:6] for each in file.answers] == [
        (each.page, each.task, each.variant, each.attempt, each.typed, each.confidence)
        for each in locked
    ]
    assert file.answers[0].locked_at == f"{locked[0].locked_at:%Y-%m-%dT%H:%M:%SZ}"
    # No mark and no name is in it.
    keys = {key for each in path.read_text("utf-8").split("\n")[:-1] for key in json.loads(each)}
    assert keys == {*head(), *line(4), "answers"}


def test_who_learns_alone_can_save_too(records, tmp_path):
    path = tmp_path / answer_files.file_name()
    assert answer_files.save(records, "", path) == 0
    assert answer_files.read(path.read_bytes()).code == ""
    assert "alone" in told(marked(a=path.read_bytes()))["a"]


def test_a_file_that_cannot_be_written_is_told_and_leaves_the_old_one(
    records, tmp_path, monkeypatch
):
    with pytest.raises(RecordsTrouble, match="cannot be written"):
        answer_files.save(records, "", tmp_path / "nowhere" / "answers.jsonl")
    path = tmp_path / "answers.jsonl"
    path.write_text("old", encoding="utf-8")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(answer_files.os, "replace", full)
    with pytest.raises(RecordsTrouble, match="cannot be written"):
        answer_files.save(records, "", path)
    assert [each.name for each in tmp_path.glob("*answers*")] == ["answers.jsonl"]
    assert path.read_text(encoding="utf-8") == "old"


# Marking


def test_marks_come_from_class_seat_and_text_alone():
    wrong = line(4, 1, typed="77 V", right=True, verdict="right", mark="6/6", mistakes=[])
    marks = marked(one=answers(4, line(4, right=False), wrong))
    assert marks.report == []
    assert [(each.seat, each.right) for each in marks.questions] == [(4, True), (4, False)]


def test_each_seat_has_its_own_right_answer():
    texts = {seat: right_answer(seat) for seat in range(1, 25)}
    files = {f"f{seat}": answers(seat) for seat in texts}
    marks = marked(**files)
    assert marks.handed_in == set(texts)
    assert len(marks.questions) == 24
    assert all(each.right_first for each in marks.questions)
    # What a neighbour wrote is right only where it is the same.
    copied = marked(**{f"f{s}": answers(s, line(s, typed=texts[s % 24 + 1])) for s in texts})
    same = {s for s in texts if texts[s] == texts[s % 24 + 1]}
    assert same <= {each.seat for each in copied.questions if each.right}
    assert sum(each.right for each in copied.questions) < 12


def test_first_and_last_try_are_told_apart():
    tries = line(4, typed="77 V", confidence="sure"), line(4, attempt=2)
    (question,) = marked(one=answers(4, *reversed(tries))).questions
    assert [each.answer.attempt for each in question.tries] == [1, 2]
    assert (question.right_first, question.right, question.sure_wrong) == (False, True, True)
    (alone,) = marked(one=answers(4, tries[1])).questions
    assert (alone.right_first, alone.right) == (False, True)


def test_questions_of_a_lesson_have_their_own_first_numbers():
    task = bank.page("lesson-1").tasks[0]
    first = line(4, page="lesson-1", task=task.id, variant=0, typed="1 V")
    marks = marked(one=answers(4, first, line(4, variant=0)))
    assert [each.task for each in marks.questions] == [task]
    assert "another seat. Answers: 1." in told(marks)["one"]


def test_a_second_vote_of_a_class_counts_as_a_second_try():
    task = bank.page("lesson-1").tasks[0]
    assert task.attempts == 1
    first = line(4, page="lesson-1", task=task.id, variant=0, typed="1 Ah")
    right = checking.answer_in_words(checking.variant(task, 0))
    marks = marked(one=answers(4, first, first | {"attempt": 2, "typed": right}))
    (question,) = marks.questions
    assert (question.right_first, question.right) == (False, True)


def test_answers_that_nobody_was_asked_are_left_out():
    odd = [
        line(4, page="nowhere"),
        line(4, page="own/../../etc/passwd"),
        line(4, task="nothing"),
        line(5),
        line(4, STRIDE),
        line(4, attempt=3),
    ]
    marks = marked(one=answers(4, line(4), *odd))
    assert len(marks.questions) == 1
    said = told(marks)["one"]
    for piece in (
        "know the task. Answers: 3.",
        "another seat. Answers: 2.",
        "fewer tries. Answers: 1.",
    ):
        assert piece in said


def test_work_for_one_seat_is_bounded(monkeypatch):
    drawn = []
    monkeypatch.setattr(rechecking, "_of_question", lambda *args: drawn.append(args))
    chain = checking.LONGEST_CHAIN
    many = [line(4, step, typed="1 V") for step in range(chain - 1, STRIDE, chain)]
    tasks = [task.id for page in bank.pages() for task in bank.page(page).tasks
             if page == PAGE][:8]  # fmt: skip
    lines = [each | {"task": task} for each in many for task in tasks]
    marked(one=answers(4, *lines))
    # Each of these needs all of its chain.
    assert len(lines) > rechecking.MOST_WORK / chain >= len(drawn) > 0


def test_many_answers_are_checked_side_by_side_with_the_same_result(tmp_path, monkeypatch):
    """Tables, summary and what is told of odd files do not depend on how many processes work."""
    others = bank.page("under-load").tasks
    files = {"z odd": b"\x00", "a odd": answers(6, line(6, typed=7), line(6, task="none"))}
    for seat in (5, 4):
        more = [line(seat, step, page=each.page, task=each.id, typed=typed)
                for step, each in enumerate(others) for typed in ("77 V", "1 h")][::3]  # fmt: skip
        files[f"f{seat}"] = answers(seat, line(seat), line(seat, 1, typed="77 V"), *more)
    alone = marked(**files)
    monkeypatch.setattr(rechecking, "MOST_ALONE", 1)
    asked, whole = [], rechecking._side_by_side

    def side_by_side(work):
        found = whole(work)
        asked.append(found is not None)
        return found

    monkeypatch.setattr(rechecking, "_side_by_side", side_by_side)
    together = marked(**files)
    assert asked == [True]
    assert together == alone
    assert len({each.task.id for each in alone.questions}) > 20
    assert {each.right for each in alone.questions} == {True, False}
    written = [mark_sheets.write(marks, tmp_path / name) for marks, name in
               ((alone, "alone"), (together, "together"))]  # fmt: skip
    for name in written[0]:
        assert (tmp_path / "alone" / name).read_bytes() == (
            tmp_path / "together" / name
        ).read_bytes()

    def refuse(*_, **__):
        raise OSError(11, "Resource temporarily unavailable")

    monkeypatch.setattr(rechecking.concurrent.futures, "ProcessPoolExecutor", refuse)
    assert marked(**files) == alone
    assert asked == [True, False]


def test_pieces_of_work_hold_every_task_once_and_in_order():
    work = [("page", str(n), ((0, ()),) * (1 + n % 5)) for n in range(40)]
    for count in (1, 3, 12, 100):
        pieces = rechecking._pieces(work, count)
        assert [each for piece in pieces for each in piece] == work
        assert all(pieces)
        assert len(pieces) <= count + 1
    assert len(rechecking._pieces(work, 12)) > 8


# Repeated seats


def test_two_files_of_a_seat_that_agree_count_once():
    early, late = answers(4), answers(4, line(4), line(4, 1))
    marks = marked(early=early, late=late)
    assert len(marks.questions) == 2
    assert "seat 4 again, after early" in told(marks)["late"]


def test_two_files_of_a_seat_that_differ_are_told():
    marks = marked(first=answers(4), second=answers(4, line(4, typed="77 V"), line(4, 1)))
    assert [each.right for each in marks.questions] == [True, True]
    assert "counts: first. Answers that differ from it: 1." in told(marks)["second"]


def test_a_file_of_which_nothing_counts_is_not_the_first_of_its_seat():
    broken = answers(4, line(4, variant=-1))
    marks = marked(broken=broken, whole=answers(4), half=answers(4, line(4), line(4, 1, attempt=0)))
    assert set(told(marks)) == {"broken", "half"}
    assert told(marks)["broken"] == "No answer of this file could be read. Ask for it again."
    assert told(marks)["half"].startswith("Lines of this file that could not be read: 1.")
    assert "seat 4 again, after whole" in told(marks)["half"]
    assert len(marks.questions) == 1


# Odd files

UNREAD = "No answer of this file could be read"
ODD = {
    "empty": (b"", "no answer file"),
    "text": (b"Notes on hedgehogs\n", "no answer file"),
    "picture": (b"\x89PNG\r\n\x1a\n\x00\xff", "not UTF-8"),
    "utf16": (answers().decode().encode("utf-16"), "not UTF-8"),
    "latin": (answers(4, line(4, typed="ä")).decode().replace("\\u00e4", "ä").encode("latin-1"),
              "not UTF-8"),
    "list": (b"[1, 2]\n", "no answer file"),
    "deep": (b"[" * 7000 + b"\n", "no answer file"),
    "deep object": (b'{"packlearn answers":' * 300 + b"\n", "no answer file"),
    "long number": (b'{"packlearn answers": ' + b"9" * 7000 + b"}\n", "no answer file"),
    "version": (text_of([head(**{"packlearn answers": 2})]).encode(), 'version "2"'),
    "true": (text_of([head(**{"packlearn answers": True})]).encode(), 'version "true"'),
    "bad version": (text_of([head(**{"packlearn answers": "\u202e" * 999})]).encode(), "version"),
    "other class": (text_of([head(**{"class": "ABCDE"})]).encode(), "from class ABCDE"),
    "script class": (text_of([head(**{"class": "<script>"})]).encode(), "no such class"),
    "seat 0": (text_of([head(0)]).encode(), "no such class and seat"),
    "seat text": (text_of([head("4")]).encode(), "no such class and seat"),
    "seat list": (text_of([head([[4]])]).encode(), "no such class and seat"),
    "seat true": (text_of([head(True)]).encode(), "no such class and seat"),
    "seat far": (text_of([head(10**300)]).encode(), "no such class and seat"),
    "seat 25": (text_of([head(25)]).encode(), "seat 25, but the class has 24"),
    "huge": (answers() + b"\n" * answer_files.LARGEST, "more than 2 MB"),
    "no end": (answers(4, end=False), "end of this file is missing"),
    "cut line": (answers(4, line(4), line(4, 1))[:-60], "end of this file is missing"),
    "too few": (text_of([head(), line(4), {"answers": 9}], end=False).encode(), "is missing"),
    "NaN": (answers(4, line(4, variant=float("nan"))), UNREAD),
    "negative": (answers(4, line(4, variant=-1)), UNREAD),
    "float": (answers(4, line(4, attempt=1.0)), UNREAD),
    "long text": (answers(4, line(4, typed="x" * 201)), UNREAD),
    "sure of what": (answers(4, line(4, confidence="very")), UNREAD),
    "long line": (answers(4, line(4, more="x" * 9000)), UNREAD),
    "null": (answers(4, line(4, typed=None)), UNREAD),
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_an_odd_file_is_one_line_and_stops_nothing(name):
    data, piece = ODD[name]
    marks = marked(**{name: data, "good": answers(7)})
    assert 7 in {each.seat for each in marks.questions if each.right}
    said = told(marks)
    assert set(said) == {name}
    assert piece in said[name]
    assert len(said[name]) < 400
    assert said[name].isprintable()


def test_a_file_saved_with_a_mark_at_its_start_and_other_line_ends_is_fine():
    data = b"\xef\xbb\xbf" + answers().replace(b"\n", b"\r\n") + b"\r\n\r\n"
    marks = marked(one=data)
    assert marks.report == []
    assert len(marks.questions) == 1


# Folders


def names_of(folder):
    return [name for name, _ in collecting.collect(folder)]


def test_every_file_of_a_folder_is_found_whatever_its_name(tmp_path):
    for name in ("a.jsonl", "b.txt", "sub/deep/c", ".hidden", "ü 🦔.bin", "d.zip.jsonl"):
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(answers())
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as file:
        file.writestr("in/side.jsonl", answers())
        file.writestr("folder/", b"")
        file.writestr("inner.zip", b"PK\x03\x04")
    (tmp_path / "any name").write_bytes(packed.getvalue())
    found = dict(collecting.collect(tmp_path))
    inside = "any name / in/side.jsonl"
    assert {Path(name).as_posix() for name in found} == {
        "a.jsonl", "b.txt", "sub/deep/c", ".hidden", "ü 🦔.bin", "d.zip.jsonl", inside,
        "any name / inner.zip",
    }  # fmt: skip
    assert found[inside] == answers()
    assert "zip file in a zip file" in found["any name / inner.zip"]


def test_no_such_folder(tmp_path):
    with pytest.raises(BadFile, match="nowhere"):
        list(collecting.collect(tmp_path / "nowhere"))


@pytest.mark.skipif(os.name == "nt", reason="Windows names and links differ")
def test_links_pipes_and_odd_names_are_not_followed(tmp_path):
    secret = tmp_path / "secret"
    secret.write_bytes(answers())
    folder = tmp_path / "answers"
    folder.mkdir()
    (folder / "link").symlink_to(secret)
    (folder / "round").symlink_to(folder)
    os.mkfifo(folder / "pipe")
    (folder / "line\nbreak\x1b[31m\u202e").write_bytes(b"")
    Path(os.fsdecode(bytes(folder) + b"/\xff\xfe")).write_bytes(b"")
    found = list(collecting.collect(folder))
    assert all(name.isprintable() for name, _ in found)
    texts = [content for _, content in found if isinstance(content, str)]
    assert len(texts) == 2
    assert all("not opened" in text for text in texts)
    assert all(content == b"" for _, content in found if isinstance(content, bytes))


def zipped(path, members, compression=zipfile.ZIP_DEFLATED):
    with zipfile.ZipFile(path, "w", compression) as file:
        for name, data in members.items():
            file.writestr(name, data)
    return path


def test_names_in_a_zip_file_go_nowhere(tmp_path):
    folder = tmp_path / "answers"
    folder.mkdir()
    zipped(folder / "z.zip", {"../../evil.jsonl": answers(), "/etc/passwd": b"x", "C:\\x": b""})
    before = sorted(tmp_path.rglob("*"))
    marks = marking.mark(CODE, 24, collecting.collect(folder))
    assert len(marks.questions) == 1
    assert sorted(tmp_path.rglob("*")) == before


def test_a_zip_file_that_unpacks_without_end_is_left(tmp_path, monkeypatch):
    monkeypatch.setattr(collecting, "_MOST_UNPACKED", 5_000_000)
    zeros = {f"{number}": b"\0" * 3_000_000 for number in range(9)}
    zipped(tmp_path / "z.zip", zeros)
    found = list(collecting.collect(tmp_path))
    assert len(found) == 3
    assert "unpacks to more than 5 MB" in found[-1][1]
    monkeypatch.setattr(collecting, "MOST_IN_ZIP", 2)
    zipped(tmp_path / "z.zip", {f"{number}": b"" for number in range(9)})
    assert "more than 2 files" in list(collecting.collect(tmp_path))[-1][1]
    monkeypatch.setattr(collecting, "MOST_FILES", 1)
    assert "more than 1 files" in list(collecting.collect(tmp_path))[-1][1]
    monkeypatch.setattr(collecting, "LARGEST_ZIP", 10)
    assert "was not opened" in list(collecting.collect(tmp_path))[0][1]


def test_junk_in_a_zip_file_is_one_line(tmp_path):
    zipped(tmp_path / "letter.docx", {f"word/{number}.xml": b"<xml>" for number in range(30)})
    zipped(tmp_path / "all.zip", {"a": answers(4), "b": answers(5), "c": b"junk"})
    (tmp_path / "notes").write_bytes(b"notes")
    (tmp_path / "other").write_bytes(b"notes")
    marks = marking.mark(CODE, 24, collecting.collect(tmp_path))
    assert marks.handed_in == {4, 5}
    assert marks.report == [
        ("all.zip / c", "This is no answer file."),
        ("letter.docx", "Of 30 files in it: This is no answer file."),
        ("notes", "This is no answer file."),
        ("other", "This is no answer file."),
    ]


def test_damaged_zip_files_are_told(tmp_path):
    whole = zipped(tmp_path / "z.zip", {"a": answers()}).read_bytes()
    (tmp_path / "z.zip").write_bytes(whole[: len(whole) // 2])
    assert "damaged" in dict(collecting.collect(tmp_path))["z.zip"]
    (tmp_path / "z.zip").write_bytes(whole[:40] + b"\xff" * 20 + whole[60:])
    (found,) = collecting.collect(tmp_path)
    assert "damaged" in found[1]
    zipped(tmp_path / "z.zip", {zipfile.ZipInfo("x"): b""})
    nameless = (tmp_path / "z.zip").read_bytes().replace(b"x", b"\0")
    (tmp_path / "z.zip").write_bytes(nameless)
    assert len(list(collecting.collect(tmp_path))) == 1
    locked = bytearray(whole)
    at = whole.index(b"PK\x01\x02")
    for place in (6, at + 8):
        locked[place] |= 1
    (tmp_path / "z.zip").write_bytes(locked)
    (found,) = collecting.collect(tmp_path)
    assert "password" in found[1]


def test_a_file_that_may_not_be_read_is_told(tmp_path, monkeypatch):
    (tmp_path / "a").write_bytes(answers())

    def refuse(self, *_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert "Permission denied" in dict(collecting.collect(tmp_path))["a"]


# Sheets


def sheet(folder, name, separator=","):
    text = (folder / name).read_bytes().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline=""), delimiter=separator))


def test_the_sheets_say_what_was_marked(tmp_path):
    wrong = line(5, typed="77 V", confidence="sure")
    marks = marked(a=answers(4), b=answers(5, wrong, line(5, attempt=2)), c=b"junk <b>")
    names = mark_sheets.write(marks, tmp_path / "out", ";")
    assert sorted(names) == sorted(path.name for path in (tmp_path / "out").iterdir())
    rows = sheet(tmp_path / "out", "marks.csv", ";")
    assert len(rows) == 24
    assert list(rows[3].values()) == ["4", "1", "1", "1", "1", "0", "1", "1"]
    assert list(rows[4].values()) == ["5", "1", "1", "0", "1", "1", "1", "1"]
    assert list(rows[5].values()) == ["6", "0", "0", "0", "0", "0", "0", "0"]
    assert [row["right"] for row in sheet(tmp_path / "out", "answers.csv", ";")] == [
        "yes", "no", "yes",
    ]  # fmt: skip
    text = (tmp_path / "out" / "summary.txt").read_text(encoding="utf-8")
    assert "2 of 24 seats" in text
    assert re.search(r"questions 2, seats 2, right at the first try 1, right in the end 2,", text)
    assert "1, 2, 3, 6, 7" in text
    assert "c: This is no answer file." in text
    with pytest.raises(BadValue, match="semicolon"):
        mark_sheets.write(marks, tmp_path / "out", "x")


def test_mistakes_are_counted_by_seat():
    for _, value in checking.wrong_values(variant(4)):
        found = checking.check(variant(4), value)
        if found.kind == "mistake":
            break
    marks = marked(a=answers(4, line(4, typed=value), line(4, typed=value, attempt=2)))
    did, name, seats, times = mark_sheets.by_mistake(marks)[0]
    assert (name, seats, times) == (found.rules[0].id, 1, 1)
    assert did == found.rules[0].did


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_of_a_table_runs(tmp_path, start):
    typed = start + "1+cmd|' /C calc'!A0"
    mark_sheets.write(marked(a=answers(4, line(4, typed=typed))), tmp_path)
    (row,) = sheet(tmp_path, "answers.csv")
    assert row["answer as typed"] == "'" + typed
    cells = [cell for name in ("marks.csv", "answers.csv") for row in sheet(tmp_path, name)
             for cell in row.values()]  # fmt: skip
    assert not any(cell.startswith(start) for cell in cells)


HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<svg/onload=alert(1)>",
    "</td></table><style>*{display:none}</style>",
    '" onmouseover="alert(1)',
    "&lt;b&gt;",
    "6 \u2164",
    "\u202e6,2 V",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_markup_from_files_and_names_stays_text(tmp_path, text):
    marks = marked(**{f"x{text}": b"junk", "y": answers(4, line(4, typed=text, task=text),
                                                        line(4, typed=text))})  # fmt: skip
    mark_sheets.write(marks, tmp_path)
    page = (tmp_path / "summary.html").read_text(encoding="utf-8")
    tags = set(re.findall(r"<\s*/?\s*([\w!]+)", page))
    assert tags <= {"!DOCTYPE", "html", "head", "meta", "title", "style", "body", "h1", "h2", "p",
                    "table", "tr", "th", "td"}  # fmt: skip
    assert page.count("<style>") == 1
    assert "default-src 'none'" in page
    # Nothing in a tag but what is ours.
    assert not re.search(r"<[^>]*\son\w+=", page)


def test_sheets_that_cannot_be_written(tmp_path):
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(BadFile, match="cannot be written"):
        mark_sheets.write(marked(a=answers(4)), tmp_path / "file" / "x")


# The command


def test_the_command_marks_a_folder(tmp_path, capsys):
    folder = tmp_path / "lesson 1"
    folder.mkdir()
    (folder / "a").write_bytes(answers(4))
    assert command.main(["answers", str(folder), "--class", "hedge 7", "--seats", "24"]) == 0
    said = capsys.readouterr().out
    assert "1 of 24 seats" in said
    out = tmp_path / "lesson 1-marks"
    assert str(out) in said
    assert sheet(out, "marks.csv")[3]["right in the end"] == "1"
    assert [path.name for path in folder.iterdir()] == ["a"]
    to = ["--to", str(tmp_path / "there"), "--separator", "tab"]
    assert command.main(["answers", str(folder), "--class", "HEDGE7", *to]) == 0
    assert len(sheet(tmp_path / "there", "marks.csv", "\t")) == 40


@pytest.mark.parametrize(
    ("given", "piece"),
    [
        (["--class", "HEDGE0"], "class code"),
        (["--class", "HEDGE7", "--seats", "99"], "1 to 40"),
        (["--class", "HEDGE7"], "There is no folder"),
    ],
)
def test_the_command_names_what_is_wrong(tmp_path, capsys, given, piece):
    assert command.main(["answers", str(tmp_path / "nowhere"), *given]) == 2
    assert piece in capsys.readouterr().err


def test_the_answers_of_a_folder_are_only_read(tmp_path):
    path = tmp_path / "in" / "a"
    path.parent.mkdir()
    path.write_bytes(answers(4))
    path.chmod(stat.S_IREAD)
    before = path.read_bytes(), path.stat().st_mtime_ns
    command.main(["answers", str(path.parent), "--class", CODE])
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
