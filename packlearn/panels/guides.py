"""A teacher's guide as a part of a page, folded until it is opened."""

import re

from packlearn.panels.base import escape
from packlearn.words import say


def guide(path):
    """HTML of a guide; guides use headings, list items, plain lines, *names* and `code` only.

    Args:
        path: the Markdown file.
    """
    text = path.read_text(encoding="utf-8")
    body = "".join(_line(line) for line in text.splitlines() if line.strip())
    summary = escape(say("panels.opening.guide"))
    return f"<details><summary>{summary}</summary>{body}</details>"


def _line(line):
    if line.startswith("#"):
        return f"<h4>{_words(line.lstrip('# '))}</h4>"
    if line.startswith("- "):
        return f"<p class='packlearn-item'>{_words(line[2:])}</p>"
    return f"<p>{_words(line)}</p>"


def _words(text):
    told = re.sub(r"`([^`]+)`", r"<code>\1</code>", escape(text))
    return re.sub(r"\*([^*]+)\*", r"<em>\1</em>", told)
