"""The first panel of a notebook: is the library the right one, and the teacher's guide."""

import packlearn
from packlearn.panels.base import Panel, area, escape, paragraphs
from packlearn.places import lessons_folder
from packlearn.records import Records
from packlearn.words import say


class Opening(Panel):
    """Says that the lesson is alive and where predictions are kept.

    Args:
        lesson: number of the lesson, None for a page of tasks.
        made_for: version of packlearn the notebook was written for.
    """

    band_key = "panels.band_opening"

    def __init__(self, lesson=None, made_for=None):
        self.lesson, self.made_for = lesson, made_for
        super().__init__()

    def build(self):
        """Make the places."""
        self.line = area("", "packlearn-opening")
        self.guide = area("", "packlearn-guide")

    def parts(self):
        """One line, and the guide in instructor mode."""
        return [self.line, *([self.guide] if self.teaching else [])]

    def update(self):
        """Say where one is."""
        key = "panels.opening.alive" if self.lesson else "panels.opening.alive_page"
        said = [say(key, place=Records.default().place)]
        if self.made_for and _major(self.made_for) != _major(packlearn.__version__):
            fields = {"made_for": self.made_for, "here": packlearn.__version__}
            said.append(say("panels.opening.version", **fields))
        self.line.value = paragraphs(said)
        if self.teaching and self.lesson:
            self.guide.value = self._guide()

    def _guide(self):
        path = lessons_folder() / "guides" / f"lesson-{self.lesson}.md"
        text = path.read_text(encoding="utf-8")
        body = "".join(_line(line) for line in text.splitlines() if line.strip())
        summary = escape(say("panels.opening.guide"))
        return f"<details><summary>{summary}</summary>{body}</details>"


def _major(version):
    """The part of a version whose change may break a notebook: 0.1 of 0.1.4, 2 of 2.3.1."""
    parts = str(version).split(".")
    return tuple(parts[:2]) if parts[0] == "0" else (parts[0],)


def _line(line):
    """One line of a guide as HTML; guides use headings, list items and plain lines only."""
    if line.startswith("#"):
        return f"<h4>{escape(line.lstrip('# '))}</h4>"
    if line.startswith("- "):
        return f"<p class='packlearn-item'>{escape(line[2:])}</p>"
    return f"<p>{escape(line)}</p>"
