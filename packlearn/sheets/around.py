"""Paper around the lessons: formulas and words, a check before the first lesson, a seat list."""

from packlearn.classroom.seats import read_code, read_seats
from packlearn.quantities import write
from packlearn.records import CONFIDENCES
from packlearn.sheets import base
from packlearn.words import say, word


def formulas():
    """HTML document of one page: formulas, and the words of the trade."""
    title = word("sheets.formulas.title")
    words = "".join(
        f"<p><b>{base.text(name)}</b> {base.text(says)}</p>"
        for name, says in _pairs("sheets.formulas.words")
    )
    blocks = [
        f"<h1>{base.text(title)}</h1>" + base.paragraph(word("sheets.formulas.first")),
        base.table((), _pairs("sheets.formulas.lines"), look="glossary"),
        f'<h2>{base.text(word("sheets.formulas.glossary"))}</h2><div class="two">{words}</div>',
    ]
    return base.document(title, [base.frame(title, "", blocks, "dense")])


def _pairs(key):
    """Name and meaning of each line: ``"block: several cells in one case"``."""
    return [tuple(line.split(": ", 1)) for line in word(key)]


# The five questions: givens, and the answer worked out of them; for a choice which option holds.
_QUESTIONS = {
    "volt": ({}, 1),
    "amp": ({}, 2),
    "milli": ({"amps": (0.35, "A")}, lambda amps: f"{1000 * amps:.0f} mA"),
    "kilo": ({"ohms": (4700.0, "ohm")}, lambda ohms: f"{ohms / 1000:.1f} kohm"),
    "ohm": (
        {"volts": (6.0, "V"), "ohms": (12.0, "ohm")},
        lambda volts, ohms: write(volts / ohms, "A"),
    ),
}


def questions():
    """The five questions as pairs of text and options, and their answers.

    Returns:
        List of tuples: name, text, options (empty for a number), answer in words.
    """
    return [_question(name, *each) for name, each in _QUESTIONS.items()]


def _question(name, givens, solve):
    texts = word(f"sheets.before.questions.{name}")
    if not givens:
        return name, texts["text"], texts["options"], texts["options"][solve - 1]
    told = {key: _told(*value) for key, value in givens.items()}
    answer = solve(**{key: value for key, (value, _) in givens.items()})
    return name, texts["text"].format(**told), (), answer


def _told(value, unit):
    # As it stands on a label: 4700 ohm, not 4.7 kohm, which is what is asked for.
    return f"{value:g} {unit}"


def before():
    """HTML document: five questions before the first lesson."""
    title = word("sheets.before.title")
    blocks = []
    for number, (_, told, options, _) in enumerate(questions(), 1):
        room = base.bullets(options, "ticks") if options else ""
        sure = base.ticks(
            [word(f"panels.confidence.{name}") for name in CONFIDENCES],
            word("panels.confidence.label"),
        )
        answer = [] if options else [base.field(word("sheets.task.answer"))]
        blocks.append(
            f'<div class="task"><span class="number">{number}</span>{base.paragraph(told)}'
            f"{room}{base.row(*answer, sure)}</div>"
        )
    opening = f"<h1>{base.text(title)}</h1>" + base.paragraph(word("sheets.before.how"))
    sheet = base.frame(title, word("sheets.head.seat_line"), [opening, *blocks])
    return base.document(title, [sheet])


def before_key():
    """HTML document: the answers to the five questions, and what each shows."""
    title = say("sheets.key.title", title=word("sheets.before.title"))
    heads = [word(f"sheets.key.heads.{name}") for name in ("task", "answer", "means")]
    rows = [
        (number, answer, word(f"sheets.before.questions.{name}.means"))
        for number, (name, _, _, answer) in enumerate(questions(), 1)
    ]
    blocks = [f"<h1>{base.text(title)}</h1>", base.table(heads, rows, look="answers")]
    return base.document(title, [base.frame(title, "", blocks, "key")])


# Rows that stay together, as a printer splits no block.
_ROWS = 8


def seat_list(code, seats):
    """HTML document: who sits where, to be filled in by hand; no name is kept anywhere else.

    Args:
        code: class code.
        seats: number of seats.

    Raises:
        BadValue: no such code or number of seats.
    """
    code = read_code(code)
    title = word("sheets.seats.title")
    heads = [word(f"sheets.seats.heads.{name}") for name in ("seat", "who", "notes")]
    rows = [(f"{seat:02d}", None, None) for seat in range(1, read_seats(seats) + 1)]
    first, *more = (rows[at : at + _ROWS] for at in range(0, len(rows), _ROWS))
    blocks = [
        f"<h1>{base.text(title)}</h1>"
        + base.paragraph(say("sheets.seats.code", code=code))
        + base.paragraph(word("sheets.seats.how"), "quiet")
        + base.table(heads, first, look="seats"),
        *(base.table((), part, look="seats") for part in more),
    ]
    head = say("sheets.head.code", code=code)
    return base.document(title, [base.frame(title, head, blocks, "list")])
