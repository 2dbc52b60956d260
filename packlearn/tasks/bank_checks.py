"""Checks of a task file before anybody meets it: each error names file, task, key and mend."""

import difflib
import math
import string

from packlearn.cells import catalogue
from packlearn.errors import BadFile
from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import names
from packlearn.tasks.givens import UNITS
from packlearn.words import say, word

PICTURES = (
    *("pack", "string", "unnamed", "cell", "profile", "conversion", "sharing"),
    *("data-sheet", "unlike", "unlike-parallel", "joined", "sag", "run"),
    *("bench-holder", "bench-circuit"),
)
LONGEST_TEXT = 2000
MOST_ATTEMPTS = 3

_TEXTS = ("id", "skill", "asked", "text")
_KEYS = (*_TEXTS, "picture", "cell", "where", "attempts", "after", "opening")
# Fields a text may use beside the task's own givens.
_CELL_FIELDS = tuple(name for name in UNITS if name.startswith("cell_"))
_COUNT_FIELDS = {"series": "series_cells", "parallel": "parallel_strings"}


def sources_of(entry):
    """The givens of a task table: name -> where its number comes from.

    Args:
        entry: the table as read.
    """
    return {key: value for key, value in entry.items() if key not in _KEYS}


def check_tables(file, data):
    """The page table and the kind of the others.

    Args:
        file: name of the file, for messages.
        data: the whole file as read.

    Raises:
        BadFile: a table is missing or of another kind.
    """
    for key, kind in (("page", dict), ("task", list), ("round", list)):
        tables = data.get(key, kind())
        entries = tables if kind is list and isinstance(tables, list) else [tables]
        if not isinstance(tables, kind) or not all(isinstance(one, dict) for one in entries):
            raise BadFile("tasks.bank.table", file=file, value=key)
    for key in ("title", "intro"):
        if not isinstance(data.get("page", {}).get(key), str):
            raise BadFile("tasks.bank.page_key", file=file, value=key)


def check_task(file, entry):
    """One task table, key by key.

    Args:
        file: name of the file, for messages.
        entry: the table as read.

    Raises:
        BadFile: names the file, the task, the key and the mend.
    """
    _TaskCheck(file, entry).run()


class _TaskCheck:
    def __init__(self, file, entry):
        self.file, self.entry = file, entry
        self.sources = sources_of(entry)

    def trouble(self, key, value, limit=None):
        where = str(self.entry.get("id", "?"))[:40]
        raise BadFile(
            f"tasks.bank.{key}", file=self.file, task=where, value=str(value)[:80], limit=limit
        )

    def run(self):
        self.texts()
        self.keys()
        self.cells()
        self.small_keys()
        for name, source in self.sources.items():
            self.source(name, source)
        self.formulas()
        self.needs()
        self.fields()

    def texts(self):
        for key in _TEXTS:
            if not isinstance(self.entry.get(key), str) or len(self.entry[key]) > LONGEST_TEXT:
                self.trouble("task_key", key, LONGEST_TEXT)
        if self.entry["asked"] not in ASKED:
            self.trouble("asked", self.entry["asked"], _nearest(self.entry["asked"], ASKED))

    def keys(self):
        for key in self.sources:
            if key in _CELL_FIELDS and "cell" in self.entry:
                self.trouble("entry", key, word("tasks.mends.with_cell"))
            if key not in UNITS and not key.startswith("fit_"):
                self.trouble("key", key, _nearest(key, (*_KEYS, *UNITS)))

    def cells(self):
        cells = self.entry.get("cell", ["nimh-aa"])
        if cells == []:
            self.trouble("entry", "cell", word("tasks.mends.cell"))
        for name in [cells] if isinstance(cells, str) else self.list_of_texts("cell", cells):
            if name not in catalogue():
                self.trouble("cell", name, _nearest(name, catalogue()))
            most = catalogue()[name].max_parallel
            if most == 1 and self.entry.get("parallel", 1) != 1:
                self.trouble("entry", "parallel", say("tasks.mends.one_parallel", name=name))

    def list_of_texts(self, key, value):
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.trouble("entry", key, word("tasks.mends.texts"))
        return value

    def small_keys(self):
        if not isinstance(self.entry.get("after", ""), str):
            self.trouble("entry", "after", word("tasks.mends.text"))
        attempts = self.entry.get("attempts", 1)
        if type(attempts) is not int or not 1 <= attempts <= MOST_ATTEMPTS:
            self.trouble("entry", "attempts", say("tasks.mends.attempts", most=MOST_ATTEMPTS))
        if self.entry.get("picture", "pack") not in PICTURES:
            self.trouble("entry", "picture", say("tasks.mends.one_of", known=", ".join(PICTURES)))
        opening = self.entry.get("opening", {})
        if not isinstance(opening, dict):
            self.trouble("entry", "opening", say("tasks.mends.table"))
        for key, value in opening.items():
            cell_known = key == "cell" and value in self.entry.get("cell", ())
            if not cell_known and (key not in self.sources or not _is_number(value)):
                self.trouble("entry", f"opening.{key}", word("tasks.mends.opening_given"))

    def source(self, name, source):
        if isinstance(source, str) or _is_number(source):
            return
        if isinstance(source, list) and source and all(map(_is_number, source)):
            return
        if isinstance(source, dict) and _is_range(source):
            return
        self.trouble("range", name)

    def formulas(self):
        where = self.list_of_texts("where", self.entry.get("where", []))
        known = self.known() - set(self.sources)
        for name, source in self.sources.items():
            if isinstance(source, str):
                # A formula knows only what stands above it.
                self.formula(name, source, known)
            known.add(name)
        for formula in where:
            self.formula("where", formula, known)

    def formula(self, key, formula, known):
        try:
            used = names(formula)
        except BadFile as problem:
            self.trouble("formula", key, str(problem))
        for name in used - known:
            self.trouble("key", name, _nearest(name, known))

    def known(self):
        cell = _CELL_FIELDS if "cell" in self.entry else ()
        return {*self.sources, *cell}

    def needs(self):
        asked = self.entry["asked"]
        missing = set(ASKED[asked].needs) - set(self.sources) - set(self.entry)
        if missing:
            self.trouble("missing", ", ".join(sorted(missing)), asked)

    def fields(self):
        counts = {_COUNT_FIELDS[name] for name in _COUNT_FIELDS if name in self.sources}
        known = self.known() | counts
        try:
            parts = list(string.Formatter().parse(self.entry["text"]))
        except ValueError as problem:
            self.trouble("field", problem, ", ".join(sorted(known)))
        for _, name, form, turned in parts:
            if name is not None and (name not in known or form or turned):
                self.trouble("field", name, ", ".join(sorted(known)))


def _is_number(value):
    return type(value) in (int, float) and math.isfinite(value)


def _is_range(source):
    if not {"from", "to"} <= set(source) <= {"from", "to", "step"}:
        return False
    numbers = all(map(_is_number, source.values()))
    return numbers and source["from"] <= source["to"] and source.get("step", 1) > 0


def _nearest(name, known):
    close = difflib.get_close_matches(str(name), list(known), n=1, cutoff=0.4)
    return close[0] if close else ", ".join(sorted(known))
