"""Cautions on a page: two or three that matter most, the rest behind a press."""

from packlearn.errors import BadValue
from packlearn.panels.base import Panel, area, escape, paragraphs
from packlearn.pictures.signs import sign
from packlearn.tasks import minding
from packlearn.words import say, word

MOST = 2


def told(found, most=MOST):
    """Cautions as HTML: sign and word of the severity, then the sentence.

    Args:
        found: ``Caution`` s, what matters most first.
        most: how many are shown at once; the rest opens by a press.

    Returns:
        HTML, ``""`` where there are none.
    """
    if not found:
        return ""
    first, rest = found[:most], found[most:]
    shown = "".join(map(_line, first))
    if rest:
        key = "more" if first else "all"
        summary = escape(say(f"protect.mind.{key}", count=len(rest)))
        shown += f"<details><summary>{summary}</summary>{''.join(map(_line, rest))}</details>"
    return f"<div class='packlearn-mind'>{shown}</div>"


def _line(each):
    label, sentence = escape(each.label), escape(each.sentence)
    return f"<p>{sign(each.severity)}<b>{label}.</b> {sentence}</p>"


def careful(sentence, found):
    """A standing caution with the others behind a press.

    Args:
        sentence: what nobody should do.
        found: ``Caution`` s.
    """
    return area(paragraphs([sentence]) + told(found, 0), "packlearn-caution")


def of_bench(wiring, can):
    """The standing caution of a wiring bench, with what to mind for its cells.

    Args:
        wiring: its ``Wiring``.
        can: what can be done at it.
    """
    cells = [placed.cell for _, placed in wiring.places if placed]
    chemistry = cells[0].chemistry if cells else "NiMH"
    return careful(word("bench.panel.caution"), minding.of_bench(chemistry, can))


class Cautions(Panel):
    """What to mind on your own, after a lesson.

    Args:
        lesson: number of the lesson.

    Raises:
        BadValue: a lesson for which none are noted.
    """

    def __init__(self, lesson):
        self.found = minding.of_lesson(lesson)
        if not self.found:
            raise BadValue("protect.mind.no_lesson", value=lesson, limit=0)
        super().__init__()

    def build(self):
        """Make the place for them."""
        self.said = area(told(self.found, 3))

    def parts(self):
        """The cautions alone."""
        return [self.said]
