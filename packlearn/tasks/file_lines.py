"""On which line of a task file a key stands, so that an error can name it.

``tomllib`` keeps no lines. This reader knows tables, keys and where values end, nothing more;
it reads a text that ``tomllib`` has read before, once an error is to be told.
"""

import functools
import re
import tomllib

from packlearn.words import say

_BLANK = re.compile(r"(?:\s+|#[^\n]*)*")
_PART = re.compile(r"""[ \t]*("(?:[^"\\\n]|\\.)*"|'[^'\n]*'|[^\s"'=\[\].#]+)[ \t]*""")
_HEAD = re.compile(r"\[\[?")
# Strings and comments first, so that a bracket inside them is none. A long string may end in
# one or two quotes of its own.
_TOKEN = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}'
    r"|'''(?:[^']|'(?!''))*'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*|[\[{]|[\]}]|\n"
    r"|[^\"'\#\[\]{}\n]+|.",
    re.DOTALL,
)


class FileLines:
    """The lines of one file.

    Args:
        name: name of the file, for messages.
        text: all of it.
    """

    def __init__(self, name, text):
        self.name, self.text = name, text

    def at(self, *path):
        """File and line in words, such as "own.toml, line 14".

        Args:
            *path: where to look: names of tables and keys, and counts from 0 of ``[[tables]]``;
                where the last ones are not in the file, the line of what they would be in.
        """
        return say("tasks.file_line", file=self.name, line=self.number(*path))

    def first(self, name):
        """File and line of a table or a key; the first of a list of tables.

        Args:
            name: its name.
        """
        return self.at(name) if (name,) in self._found else self.at(name, 0)

    def number(self, *path):
        """Number of the line, from 1; see ``at``."""
        while path and path not in self._found:
            path = path[:-1]
        return self._found.get(path, 1)

    @functools.cached_property
    def _found(self):
        """Dict of path -> line, for every table and every key before an equals sign."""
        return dict(reversed(list(_paths(self.text))))


def _paths(text):
    counts, table, line, at = {}, (), 1, 0
    while True:
        after = _BLANK.match(text, at).end()
        line += text.count("\n", at, after)
        if after >= len(text):
            return
        head = _HEAD.match(text, after)
        names, end = _names(text, head.end() if head else after)
        if head:
            table = _table(names, head.group() == "[[", counts)
        for depth in range(1, len(names) + 1):
            shared = len(names) - depth
            whole = table if head else (*table, *names)
            yield whole[: len(whole) - shared], line
        at = _end_of_value(text, end)
        line += text.count("\n", after, at)


def _table(names, is_list, counts):
    """Path of a table; in a list of tables the newest is meant."""
    path = ()
    for place, name in enumerate(names):
        path = (*path, name)
        if is_list and place == len(names) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _names(text, at):
    names = []
    while part := _PART.match(text, at):
        names.append(_bare(part.group(1)))
        at = part.end()
        if text[at : at + 1] != ".":
            break
        at += 1
    return names, at


def _bare(name):
    if name[0] not in "\"'":
        return name
    try:
        return tomllib.loads(f"name = {name}")["name"]
    except tomllib.TOMLDecodeError:
        return name[1:-1]


def _end_of_value(text, at):
    depth = 0
    while at < len(text):
        token = _TOKEN.match(text, at)
        at = token.end()
        if token.group() in ("[", "{"):
            depth += 1
        elif token.group() in ("]", "}"):
            # The brackets that close a table's name are met here too.
            depth = max(0, depth - 1)
        elif token.group() == "\n" and depth == 0:
            break
    return at
