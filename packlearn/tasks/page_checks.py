"""Checks of a whole task file: its tables, its rounds, and every task of it."""

from packlearn.errors import BadFile
from packlearn.tasks import bank_checks
from packlearn.words import word

MOST_TASKS = 100


def troubles(lines, data):
    """Everything that is wrong with a task file, one after the other.

    Args:
        lines: the ``FileLines`` of the file.
        data: the whole file as read.

    Yields:
        ``BadFile``: each names the file, the line, the key and the mend.
    """
    shape = [*_tables(lines, data), *_head(lines, data)]
    yield from shape
    if any(trouble.key == "tasks.bank.table" for trouble in shape):
        return
    tasks = data.get("task", [])
    if not tasks and any(trouble.key == "tasks.bank.stray" for trouble in shape):
        # A misspelt [[task]] was told.
        return
    if not 1 <= len(tasks) <= MOST_TASKS:
        key = "tasks.bank.many" if tasks else "tasks.bank.empty"
        yield BadFile(
            key, file=lines.at("task"), value=len(tasks), limit=MOST_TASKS if tasks else 1
        )
    for number, entry in enumerate(tasks[:MOST_TASKS]):
        yield from bank_checks.troubles(lines, entry, number)
    yield from _ids(lines, tasks)
    ids = [entry.get("id") for entry in tasks]
    for number, entry in enumerate(data.get("round", [])):
        yield from _round(lines, entry, number, ids)
    yield from _round_ids(lines, data.get("round", []))


def _tables(lines, data):
    for key, kind in (("page", dict), ("task", list), ("round", list)):
        tables = data.get(key, kind())
        entries = tables if kind is list and isinstance(tables, list) else [tables]
        if not isinstance(tables, kind) or not all(isinstance(one, dict) for one in entries):
            brackets = f"[{key}]" if kind is dict else f"[[{key}]]"
            yield BadFile("tasks.bank.table", file=lines.at(key), value=key, limit=brackets)
    for key in data:
        if key not in ("page", "task", "round"):
            yield BadFile("tasks.bank.stray", file=lines.first(key), value=str(key)[:80])


def _head(lines, data):
    page = data.get("page", {})
    for key in page if isinstance(page, dict) else ():
        if key not in ("title", "intro"):
            yield BadFile("tasks.bank.stray", file=lines.at("page", key), value=key[:80])
    for key in ("title", "intro"):
        text = page.get(key) if isinstance(page, dict) else ""
        if text is None:
            mend = word(f"task_files.mend.example_{key}")
            yield BadFile("tasks.bank.no_page_key", file=lines.at("page"), value=key, limit=mend)
        elif not isinstance(text, str) or len(text) > bank_checks.LONGEST_TEXT:
            limit = bank_checks.LONGEST_TEXT
            yield BadFile("tasks.bank.page_key", file=lines.at("page", key), value=key, limit=limit)


def _ids(lines, tasks):
    seen = set()
    for number, entry in enumerate(tasks):
        name = entry.get("id")
        if isinstance(name, str):
            if name in seen:
                place = lines.at("task", number, "id")
                yield BadFile("tasks.bank.twice", file=place, value=name[:80])
            seen.add(name)


def _round(lines, entry, number, ids):
    def wrong(key):
        return BadFile("tasks.bank.round_key", file=lines.at("round", number, key), value=key[:80])

    kinds = {"tasks": list, "invite": list, "explain": list, "alone": bool, "id": str}
    for key in sorted(set(entry) - set(kinds)):
        yield wrong(key)
    for key, kind in kinds.items():
        value = entry.get(key, None if key == "id" else kind())
        texts = kind is not list or all(isinstance(text, str) for text in value or ())
        if type(value) is not kind or not texts:
            yield wrong(key)
    named = entry.get("tasks", ())
    for task_id in named if isinstance(named, list) else ():
        if task_id not in ids:
            place = lines.at("round", number, "tasks")
            yield BadFile("tasks.bank.round_task", file=place, value=str(task_id)[:80])


def _round_ids(lines, rounds):
    seen = set()
    for number, entry in enumerate(rounds):
        name = entry.get("id")
        if isinstance(name, str):
            if name in seen:
                place = lines.at("round", number, "id")
                yield BadFile("tasks.bank.round_key", file=place, value="id")
            seen.add(name)
