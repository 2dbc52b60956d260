"""Checks of a task file before anybody meets it: each error names file, line, task, key, mend."""

import difflib
import re
import string

from packlearn.cells import catalogue
from packlearn.errors import BadFile
from packlearn.tasks import form_slips, source_ranges
from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import names
from packlearn.tasks.givens import UNITS
from packlearn.tasks.level_checks import wrong_level
from packlearn.words import say, word

PICTURES = (
    *("pack", "string", "unnamed", "cell", "profile", "conversion", "sharing"),
    *("data-sheet", "unlike", "unlike-parallel", "joined", "sag", "run"),
    *("short-far", "short-near"),
    *("bench-holder", "bench-circuit"),
)
LONGEST_TEXT = 2000
LONGEST_ID = 60
_ID = re.compile(r"[a-z0-9][a-z0-9-]*")
MOST_ATTEMPTS = 3
# Givens, and formulas of "where": enough for any task, few enough to be worked out at once.
MOST_GIVENS = 40

_TEXTS = ("id", "skill", "asked", "text")
_KEYS = (*_TEXTS, "picture", "cell", "where", "attempts", "after", "opening")
_KEYS += ("level", "may_miss")
# Fields a text may use beside the task's own givens.
_CELL_FIELDS = tuple(name for name in UNITS if name.startswith("cell_"))
_COUNT_FIELDS = {"series": "series_cells", "parallel": "parallel_strings"}


def sources_of(entry):
    """The givens of a task table: name -> where its number comes from.

    Args:
        entry: the table as read.
    """
    return {key: value for key, value in entry.items() if key not in _KEYS}


def troubles(lines, entry, number):
    """Everything that is wrong with one task table; what only follows from it is left out.

    Args:
        lines: the ``FileLines`` of the file.
        entry: the table as read.
        number: its place among the tasks of the file, from 0.

    Yields:
        ``BadFile``: each names the file, the line, the task, the key and the mend.
    """
    yield from _TaskCheck(lines, entry, number).troubles()


class _TaskCheck:
    def __init__(self, lines, entry, number):
        self.lines, self.entry, self.number = lines, entry, number
        self.sources = sources_of(entry)

    def trouble(self, key, value, limit=None, at=None):
        """Raise a trouble; ``at`` is the key whose line is told where ``value`` is no key."""
        place = self.lines.at("task", self.number, *str(at or value).split("."))
        task = str(self.entry.get("id", "?"))[:40]
        raise BadFile(
            f"tasks.bank.{key}", file=place, task=task, value=str(value)[:80], limit=limit
        )

    def troubles(self):
        unread = [*self.caught(self.text, _TEXTS), *self.caught(self.known_asked, ["asked"])]
        unknown = [*self.caught(self.key, self.sources), *self.caught(self.size, ["id"])]
        yield from unread + unknown
        small = (self.cells, self.after, self.attempts, self.picture, self.opening)
        yield from self.caught(lambda step: step(), small)
        yield from self.caught(self.source, self.sources)
        yield from self.caught(lambda step: step(), (self.givens_formulas, self.where_formulas))
        if not unread and not unknown:
            yield from self.caught(lambda step: step(), (self.needs, self.level, self.fields))

    def caught(self, check, values):
        for value in values:
            try:
                check(value)
            except BadFile as trouble:
                yield trouble

    def text(self, key):
        longest = LONGEST_ID if key == "id" else LONGEST_TEXT
        text = self.entry.get(key)
        if text is None:
            self.trouble("no_key", key, word(f"task_files.mend.example_{key}"))
        if not isinstance(text, str) or not 1 <= len(text) <= longest:
            self.trouble("task_key", key, longest)
        # It goes into the names of files.
        if key == "id" and not _ID.fullmatch(text):
            self.trouble("entry", key, word("tasks.mends.id"))

    def known_asked(self, key):
        asked = self.entry.get(key)
        if isinstance(asked, str) and asked not in ASKED:
            self.trouble("asked", asked, _nearest(asked, ASKED), at=key)

    def key(self, key):
        if key in _CELL_FIELDS and "cell" in self.entry:
            self.trouble("entry", key, word("tasks.mends.with_cell"))
        if key.lower() in word("task_files.mend.answer_keys"):
            self.trouble("key", key, word("task_files.mend.no_answer"))
        if key not in UNITS and not key.startswith("fit_"):
            self.trouble("key", key, _perhaps(key, (*_KEYS, *UNITS)))

    def size(self, key):
        if len(self.sources) > MOST_GIVENS:
            self.trouble("givens", len(self.sources), MOST_GIVENS, at=key)

    def cells(self):
        cells = self.entry.get("cell", ["nimh-aa"])
        if cells == []:
            self.trouble("entry", "cell", word("tasks.mends.cell"))
        for name in [cells] if isinstance(cells, str) else self.list_of_texts("cell", cells):
            if name not in catalogue():
                self.trouble("cell", name, _nearest(_as_name(name), catalogue()), at="cell")
            most = catalogue()[name].max_parallel
            if most == 1 and self.entry.get("parallel", 1) != 1:
                self.trouble("entry", "parallel", say("tasks.mends.one_parallel", name=name))

    def list_of_texts(self, key, value):
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.trouble("entry", key, word("tasks.mends.texts"))
        return value

    def after(self):
        after = self.entry.get("after", "")
        if not isinstance(after, str) or len(after) > LONGEST_TEXT:
            self.trouble("entry", "after", say("tasks.mends.text", most=LONGEST_TEXT))

    def attempts(self):
        attempts = self.entry.get("attempts", 1)
        if type(attempts) is not int or not 1 <= attempts <= MOST_ATTEMPTS:
            self.trouble("entry", "attempts", say("tasks.mends.attempts", most=MOST_ATTEMPTS))

    def picture(self):
        if self.entry.get("picture", "pack") not in PICTURES:
            self.trouble("entry", "picture", say("tasks.mends.one_of", known=", ".join(PICTURES)))

    def opening(self):
        opening = self.entry.get("opening", {})
        if not isinstance(opening, dict):
            self.trouble("entry", "opening", say("tasks.mends.table"))
        for key, value in opening.items():
            cell_known = key == "cell" and value in self.entry.get("cell", ())
            if not cell_known and (key not in self.sources or not _is_number(value)):
                self.trouble("entry", f"opening.{key}", word("tasks.mends.opening_given"))

    def source(self, name):
        source = self.sources[name]
        if isinstance(source, str) or _is_number(source):
            return
        if isinstance(source, list) and source and all(map(_is_number, source)):
            return
        if isinstance(source, dict):
            reason = source_ranges.trouble_of(source)
            if reason is None:
                return
        else:
            reason = source_ranges.no_number(source)
        self.trouble("range", name, reason)

    def givens_formulas(self):
        known = self.known() - set(self.sources)
        for name, source in self.sources.items():
            if isinstance(source, str):
                # A formula knows only what stands above it.
                self.formula(name, source, known)
            known.add(name)

    def where_formulas(self):
        where = self.list_of_texts("where", self.entry.get("where", []))
        if len(where) > MOST_GIVENS:
            self.trouble("givens", len(where), MOST_GIVENS, at="where")
        for formula in where:
            self.formula("where", formula, self.known())

    def formula(self, key, formula, known):
        try:
            used = names(formula)
        except BadFile as problem:
            mend = form_slips.mend_of_formula(formula)
            self.trouble("formula", key, mend or str(problem))
        for name in used - known:
            below = name in self.sources and name != key
            mend = word("task_files.mend.above") if below else _perhaps(name, known)
            self.trouble("formula_name", name, mend, at=key)

    def known(self):
        cell = _CELL_FIELDS if "cell" in self.entry else ()
        return {*self.sources, *cell}

    def needs(self):
        asked = self.entry["asked"]
        missing = set(ASKED[asked].needs) - set(self.sources) - set(self.entry)
        if missing:
            self.trouble("missing", ", ".join(sorted(missing)), asked, at="asked")

    def level(self):
        wrong = wrong_level(self.entry)
        if wrong:
            self.trouble("entry", *wrong)

    def fields(self):
        counts = {_COUNT_FIELDS[name] for name in _COUNT_FIELDS if name in self.sources}
        known = self.known() | counts
        try:
            parts = list(string.Formatter().parse(self.entry["text"]))
        except ValueError:
            self.trouble("braces", "text")
        missing = set(ASKED[self.entry["asked"]].needs) - known
        for _, name, form, turned in parts:
            # A given that is missing was told.
            if name is not None and name not in missing and (name not in known or form or turned):
                self.trouble("field", name, _nearest(name, known), at="text")


def _is_number(value):
    return source_ranges.is_number(value)


def _perhaps(name, known):
    near = _nearest(name, known)
    return say("task_files.mend.lead" if near in known else "task_files.mend.known", name=near)


def _as_name(title):
    """A cell's title as people type it, written as a name."""
    return re.sub(r"[^a-z0-9]+", "-", title.lower())


def _nearest(name, known):
    close = difflib.get_close_matches(str(name), list(known), n=1, cutoff=0.4)
    return close[0] if close else ", ".join(sorted(known))
