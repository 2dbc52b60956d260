"""One task of a teacher's file as plain text that fits a terminal of 80 columns."""

import textwrap

from packlearn.tasks import checking
from packlearn.tasks.answers import ASKED
from packlearn.tasks.levels import left_out
from packlearn.tasks.reasons import reasons_of
from packlearn.words import say, word

WIDTH = 79
NARROWEST = 14


def wrapped(text, indent="", hang=None):
    """A text in lines of at most ``WIDTH`` characters.

    Args:
        text: the text.
        indent: what its first line begins with.
        hang: what the others begin with; the same where left out.
    """
    hang = indent if hang is None else hang
    return textwrap.fill(
        text, WIDTH, initial_indent=indent, subsequent_indent=hang, break_on_hyphens=False
    )


def lines(shown):
    """A task: what it asks, its text, its variants, its working, its wrong rules, hints.

    Args:
        shown: the ``Preview``.

    Returns:
        List of lines and of texts of several lines.
    """
    task, first = shown.task, shown.variants[0]
    return [
        heading(say("preview.heading", id=task.id, skill=task.skill)),
        wrapped(asks(task), "  "),
        wrapped(say("preview.answered_by", kind=word(f"preview.kind.{task.kind}")), "  "),
        *_part("preview.text_title", wrapped(checking.text_of(first), "    ")),
        *_other_text(shown),
        *_options(first),
        *_part("preview.numbers", *_variants(shown)),
        *_part("preview.working", *_numbered(checking.working(first))),
        *_part("preview.slips", *(_slip(slip) for slip in shown.slips[0])),
        *(_part("preview.hints_title", *_items(shown.hints)) if shown.hints else ()),
    ]


def heading(text):
    """A title with a line below it."""
    return f"{text}\n{'-' * min(len(text), WIDTH)}"


def asks(task):
    """What a task asks for, in which unit."""
    unit = say("preview.in_unit", unit=task.unit) if task.unit else ""
    what = word(f"glossary.asked.{task.asked}")
    return say("preview.asks", asked=task.asked, what=what, unit=unit)


def _other_text(shown):
    """The text of the first variant that misses a figure, or misses none, as variant 0 does not."""
    missing = [left_out(var.givens) for var in shown.variants]
    for number, name in enumerate(missing):
        if (name is None) != (missing[0] is None):
            title = say("preview.other_text", number=number)
            text = checking.text_of(shown.variants[number])
            return ["", f"  {title}", wrapped(text, "    ")]
    return []


def _options(first):
    """What learners choose from, and why each wrong reason is none."""
    task = first.task
    if task.kind not in ("choice", "reason"):
        return []
    lists = [_part("preview.options", *_items(checking.options_of(first).values()))]
    if task.kind == "reason":
        right = ASKED[task.asked].because(first.givens)
        told = [_reason(task, key, text, right) for key, text in reasons_of(task).items()]
        lists.append(_part("preview.reasons", *told))
    return sum(lists, [])


def _reason(task, key, text, right):
    wrong = "" if key == right else word(f"tasks.reasons_wrong.{task.asked}.{key}")
    return wrapped(text, "    - ", " " * 6) + (f"\n{wrapped(wrong, ' ' * 8)}" if wrong else "")


def _part(key, *texts):
    return ["", f"  {word(key)}", *(texts or [f"    {word('preview.no_slips')}"])]


def _numbered(steps):
    return [wrapped(step, f"    {at}. ", " " * 7) for at, step in enumerate(steps, 1)]


def _items(texts):
    return [wrapped(text, "    - ", " " * 6) for text in texts]


def _slip(slip):
    told = say("preview.slip", value=slip.value, id=slip.id, did=slip.did)
    return f"{wrapped(told, '    ', ' ' * 8)}\n{wrapped(slip.says, ' ' * 8)}"


def _variants(shown):
    changing, always = shown.given_names
    same = [f"{name} {shown.given(name, 0)}" for name in always]
    said = [wrapped(say("preview.always", givens=", ".join(same)), "    ")] if same else []
    answers = list(shown.answers)
    if len(set(answers)) == 1 and len(answers) > 1:
        said.append(wrapped(say("preview.always_answer", answer=answers[0]), "    "))
        answers = []
    rows = [
        [str(number), *(shown.given(name, number) for name in changing), *answers[number:][:1]]
        for number in range(len(shown.variants))
    ]
    heads = [word("preview.number"), *changing, *[word("preview.answer")] * bool(answers)]
    return [*said, *_table([heads, *rows])]


def _table(rows):
    """Rows in columns, the last one wrapped; as lists where they are too wide."""
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]) - 1)]
    left = WIDTH - 4 - sum(width + 2 for width in widths)
    if left < min(NARROWEST, max(len(row[-1]) for row in rows)):
        return [_listed(rows[0], row) for row in rows[1:]]
    return [_row(row, widths, left) for row in rows]


def _row(row, widths, left):
    cells = "".join(f"{cell:>{width}}  " for cell, width in zip(row, widths, strict=False))
    last = textwrap.wrap(row[-1], left) or [""]
    return f"    {cells}" + f"\n{' ' * (4 + len(cells))}".join(last)


def _listed(heads, row):
    pairs = zip(heads[1:], row[1:], strict=True)
    text = ", ".join(f"{head} {cell}" for head, cell in pairs)
    return wrapped(text, f"    {row[0]:>2}  ", " " * 8)
