"""Every sentence a learner reads, looked up by key.

The sentences stand in ``data/words/<language>/<file>.toml``; the key
``"packs.count"`` is entry ``count`` of ``packs.toml``. A translation is a
second folder beside ``en``.
"""

import functools
import string
import tomllib
from importlib.resources import files

LANGUAGE = "en"


@functools.cache
def _file(name, language=LANGUAGE):
    path = files("packlearn") / "data" / "words" / language / f"{name}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


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
    for _, field, _, _ in string.Formatter().parse(text):
        if field is not None and field not in fields:
            raise LookupError(f"no value for the field {field!r} of the text {text!r}")
    return text.format(**fields)
