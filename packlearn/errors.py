"""The errors of packlearn: one base class, and every message teaches.

Each message names the value, the limit and the mend. The texts stand in
``data/words/en``; an error is raised with the key of its text.
"""

from packlearn.words import say


class PackError(Exception):
    """Base class of everything packlearn raises on purpose.

    Args:
        key: key of the message in the word files, such as ``"packs.count"``.
        value: what was given.
        limit: what it was measured against.
        **more: further fields of the message.
    """

    def __init__(self, key, *, value=None, limit=None, **more):
        self.key = key
        self.value = value
        self.limit = limit
        super().__init__(say(key, value=value, limit=limit, **more))

    def __str__(self):
        # KeyError would show the message in quotes.
        return self.args[0]


class BadValue(PackError, ValueError):
    """A value that cannot be right, such as a negative capacity."""


class PackLimit(PackError, ValueError):
    """More is asked of a pack than it can give; ``limit`` says how much it can."""


class UnknownName(PackError, KeyError):
    """A name that is not in a list; the message lists the valid ones."""


class BadFile(PackError, ValueError):
    """A file of cells, tasks or words with a mistake in it."""
