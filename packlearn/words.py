"""Every sentence a learner reads, looked up by key.

The sentences stand in ``data/words/en/<file>.toml``; the key ``"packs.count"`` is
entry ``count`` of ``packs.toml``. A translation is a second set of files: a folder
named by ``PACKLEARN_TEXTS`` with ``words``, ``lessons`` and ``exercises`` in it. What
it does not hold, holds in another form or with other fields, or holds in a file that
cannot be read, is taken from the English set.
"""

import functools
import os
import re
import string
import tomllib
from importlib.resources import files
from pathlib import Path

LANGUAGE = "en"
_LARGEST = 2_000_000
_MINUS_END = re.compile(r"(\d[A-Z]+)-(?![\w-])")


def own_texts(name):
    """A part of the second set of texts, if there is one.

    Args:
        name: path within the set, such as ``"lessons"``.

    Returns:
        Path of it, or None.
    """
    folder = os.environ.get("PACKLEARN_TEXTS", "").strip()
    try:
        path = Path(folder).expanduser() / name if folder else None
        return path if path and path.exists() else None
    except (OSError, RuntimeError):
        # A name too long, a folder nobody may enter, the home of somebody unknown.
        return None


@functools.cache
def _file(name):
    shipped = files("packlearn") / "data" / "words" / LANGUAGE / f"{name}.toml"
    texts = tomllib.loads(shipped.read_text(encoding="utf-8"))
    own = own_texts(f"words/{name}.toml")
    return _laid_over(texts, _own(own)) if own else texts


def _own(path):
    """What a file of the second set holds; nothing where it cannot be read."""
    try:
        with path.open("rb") as file:
            return tomllib.loads(file.read(_LARGEST).decode("utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        return {}


def _laid_over(shipped, own):
    """Texts of the second set where it has them in the same form, else the English ones."""
    if isinstance(shipped, dict):
        found = own if isinstance(own, dict) else {}
        return {key: _laid_over(each, found.get(key)) for key, each in shipped.items()}
    if isinstance(shipped, list):
        found = own if isinstance(own, list) and len(own) == len(shipped) else shipped
        return [_laid_over(*pair) for pair in zip(shipped, found, strict=True)]
    usable = type(own) is type(shipped) and (not isinstance(own, str) or _fits(own, shipped))
    return own if usable else shipped


def _fits(own, shipped):
    """Whether a text can be filled in like another: it has no fields that the other one lacks."""
    try:
        theirs, ours = (set(map(_named, string.Formatter().parse(text))) for text in (own, shipped))
    except ValueError:
        return False
    return theirs <= ours | {None} and bool(own.strip() or not shipped.strip())


def _named(part):
    return None if part[1] is None else part[1:]


def word(key):
    """Text of one key, fields not filled in.

    Args:
        key: file and entry, joined by points: ``"packs.count"``.

    Raises:
        LookupError: no such key. This is a slip in packlearn, not of the learner.
    """
    name, *path = key.split(".")
    try:
        entry = _file(name)
        for part in path:
            entry = entry[part]
    except (KeyError, TypeError, FileNotFoundError):
        raise LookupError(f"no words under the key {key!r}") from None
    return entry


def say(key, /, **fields):
    """Sentence of one key with its fields filled in.

    Args:
        key: file and entry, joined by points.
        **fields: values for the ``{fields}`` of the text.

    Raises:
        LookupError: no such key, or a field of the text was not given.
    """
    return fill(word(key), **fields)


def fill(text, /, **fields):
    """Text with its ``{fields}`` filled in; only plain names, no attributes.

    Args:
        text: text with fields in braces.
        **fields: their values.

    Raises:
        LookupError: a field has no value.
    """
    for field in _fields(text):
        if field not in fields:
            raise LookupError(f"no value for the field {field!r} of the text {text!r}")
    return text.format(**fields)


def as_shown(text):
    """Text as it stands on screen and paper: ends of cells carry a minus sign, ``1A\u2212``.

    In code and in what is kept an end is called ``1A-``, as keyboards have it.

    Args:
        text: plain text.
    """
    return _MINUS_END.sub("\\1\u2212", text)


@functools.lru_cache(maxsize=4096)
def _fields(text):
    found = (field for _, field, _, _ in string.Formatter().parse(text))
    return tuple(field for field in found if field is not None)
