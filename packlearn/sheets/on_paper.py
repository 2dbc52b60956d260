"""One task as it stands on paper: its text, its picture, and room for what its kind asks for."""

from packlearn.pictures.bench import circuit_view, holder_view
from packlearn.records import CONFIDENCES
from packlearn.sheets import base
from packlearn.tasks import benches, checking, orders, reasons, several
from packlearn.tasks.answers_orders import shuffled
from packlearn.tasks.answers_picks import wiring_of
from packlearn.words import word

ON_SCREEN_ONLY = ("fault",)
"""Kinds that need a screen: each reading is asked for after the one before it."""


def fits_paper(task):
    """Whether a task can be worked on paper.

    Args:
        task: the ``Task``.
    """
    return task.kind in _ROOMS


def block(number, variant, illustrate):
    """HTML of one task; it holds nothing of the answer.

    Args:
        number: its number on the sheet.
        variant: the ``Variant``.
        illustrate: function of a variant and whether its answer may be seen, which gives a
            ``Picture`` or None.
    """
    drawn = _picture(variant, illustrate)
    parts = [
        f'<span class="number">{number}</span>{base.paragraph(checking.text_of(variant))}',
        *(base.paragraph(step, "quiet") for step in checking.lead(variant)),
        base.picture(drawn) if drawn else "",
        *_ROOMS[variant.task.kind](variant),
        _missing() if variant.task.may_miss else "",
        base.row(base.field(word("sheets.task.reason"))),
        base.row(base.LINE),
    ]
    return f'<div class="task">{"".join(parts)}</div>'


def _picture(variant, illustrate):
    """Of a wiring to be built the loose cells, to be joined with a pencil."""
    if variant.task.kind == "wire":
        return holder_view(benches.loose(variant.givens))
    if variant.task.kind == "pick":
        return circuit_view(wiring_of(variant.givens))
    return illustrate(variant, False)


def _sure():
    options = [word(f"panels.confidence.{name}") for name in CONFIDENCES]
    return base.ticks(options, word("panels.confidence.label"))


def _missing():
    return base.row(
        base.ticks([word("sheets.task.unknown")]), base.field(word("sheets.task.lacks"))
    )


def _number(variant):
    answer = base.field(word("sheets.task.answer"))
    unit = base.field(word("sheets.task.unit"), "short") if variant.task.unit else ""
    return [base.row(answer, unit, _sure())]


def _range(variant):
    ends = [base.field(word(f"sheets.task.{end}")) for end in ("low", "high")]
    return [base.row(*ends, base.field(word("sheets.task.unit"), "short")), base.row(_sure())]


def _name(variant):
    return [base.row(base.field(word("sheets.task.name")), _sure())]


def _choice(variant):
    options = base.bullets(checking.options_of(variant).values(), "ticks")
    return [options, base.row(_sure())]


def _reason(variant):
    because = base.paragraph(word("sheets.task.because"), "quiet")
    choice = base.bullets(checking.options_of(variant).values(), "ticks")
    why = base.bullets(reasons.reasons_of(variant.task).values(), "ticks")
    return [choice, because, why, base.row(_sure())]


def _numbers(variant):
    unit = word("sheets.task.unit")
    lines = [
        base.row(base.field(label), base.field(unit, "short")) if part.task.unit else
        base.row(base.field(label))
        for label, part in zip(
            several.labels_of(variant.task), several.parts_of(variant), strict=True
        )
    ]  # fmt: skip
    return [*lines, base.row(_sure())]


def _order(variant):
    asked = variant.task.asked
    steps = [(None, orders.text_of(asked, name)) for name in shuffled(asked, variant.givens)]
    heads = (word("sheets.task.place"), word("sheets.task.step"))
    return [base.table(heads, steps, look="order"), base.row(_sure())]


def _told(key):
    def room(variant):
        return [base.paragraph(word(key), "quiet"), base.row(_sure())]

    return room


_ROOMS = {
    "number": _number,
    "count": _number,
    "range": _number,
    "estimate": _range,
    "name": _name,
    "design": _name,
    "choice": _choice,
    "reason": _reason,
    "numbers": _numbers,
    "order": _order,
    "wire": _told("sheets.task.draw"),
    "pick": _told("sheets.task.ring"),
}
