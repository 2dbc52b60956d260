"""Task sheets of a class or of some variants, and their key."""

from dataclasses import dataclass

from packlearn.classroom.seats import MOST_SEATS, first_variant, read_code, read_seats
from packlearn.errors import BadValue
from packlearn.sheets import base, on_paper
from packlearn.tasks import checking
from packlearn.words import say, word


@dataclass(frozen=True)
class Copy:
    """One learner's sheet.

    Attributes:
        head: class and seat, or the number of the variant, as it stands on every page.
        number: number of each task's variant.
    """

    head: str
    number: int


def head_of_class(code, seats):
    """Class and its seats, as they stand on a key.

    Args:
        code: class code.
        seats: number of seats.
    """
    return say("sheets.head.many", code=read_code(code), seats=f"{read_seats(seats):02d}")


def copies_of_class(code, seats):
    """One copy a seat, with the numbers that the seat gets on screen.

    Args:
        code: class code.
        seats: number of seats.

    Raises:
        BadValue: no such code or number of seats.
    """
    code = read_code(code)
    return tuple(
        Copy(say("sheets.head.seat", code=code, seat=f"{seat:02d}"), first_variant(code, seat))
        for seat in range(1, read_seats(seats) + 1)
    )


def copies_of_variants(count):
    """Copies without a class.

    Args:
        count: how many; the first has variant 1.

    Raises:
        BadValue: not 1 to ``MOST_SEATS``.
    """
    if not 1 <= count <= MOST_SEATS:
        raise BadValue("sheets.variants", value=count, limit=MOST_SEATS)
    return tuple(
        Copy(say("sheets.head.variant", number=number), number) for number in range(1, count + 1)
    )


def choose(page, ids=(), count=None):
    """Tasks for paper, and those that need a screen.

    Args:
        page: the ``Page``.
        ids: ids of the tasks, in the order wished; all of the page where empty.
        count: how many of them, spread over the page; None for all.

    Returns:
        Two tuples of ``Task``: for paper, and left out.

    Raises:
        UnknownName: no such task.
        BadValue: none of them fits on paper, or the count is none.
    """
    asked_for = [page.task(name) for name in dict.fromkeys(ids)] or list(page.tasks)
    tasks = [task for task in asked_for if on_paper.fits_paper(task)]
    left_out = tuple(task for task in asked_for if task not in tasks)
    if not tasks:
        raise BadValue("sheets.no_task", value=page.name)
    if count is not None and count < 1:
        raise BadValue("sheets.count", value=count, limit=len(tasks))
    count = min(count or len(tasks), len(tasks))
    # The last of each of so many equal parts: a page goes from plain to more.
    return tuple(tasks[(at + 1) * len(tasks) // count - 1] for at in range(count)), left_out


def sheets(page, tasks, copies, illustrate):
    """HTML document of the learners' sheets; it holds nothing of the answers.

    Args:
        page: the ``Page``.
        tasks: its tasks, for paper.
        copies: ``Copy`` each.
        illustrate: as for ``on_paper.block``.
    """
    made = [_sheet(page, tasks, copy, illustrate) for copy in copies]
    return base.document(page.title, made)


def _sheet(page, tasks, copy, illustrate):
    opening = f"<h1>{base.text(page.title)}</h1>" + base.paragraph(word("sheets.task.how"))
    blocks = [
        on_paper.block(number, checking.variant(task, copy.number), illustrate)
        for number, task in enumerate(tasks, 1)
    ]
    # The heading stays with the first task.
    return base.frame(page.title, copy.head, [opening + blocks[0], *blocks[1:]])


def key(page, tasks, copies, head):
    """HTML document of the key: each copy's answers, and what each slip gives there.

    Args:
        page, tasks, copies: as for ``sheets``.
        head: class and seats, as it stands on every page.
    """
    title = say("sheets.key.title", title=page.title)
    opening = f"<h1>{base.text(title)}</h1>" + base.paragraph(word("sheets.key.how"))
    slips, blocks = {}, [opening]
    for copy in copies:
        blocks.append(_answers(tasks, copy, slips))
    blocks.append(_legend(slips))
    return base.document(title, [base.frame(title, head, blocks, "key")])


def _answers(tasks, copy, slips):
    rows = []
    for number, task in enumerate(tasks, 1):
        variant = checking.variant(task, copy.number)
        pairs = checking.wrong_values(variant)
        for rule, _ in pairs:
            slips.setdefault((rule.id, rule.did), set()).add(number)
        told = f" {word('sheets.between')} ".join(_slip(rule, value) for rule, value in pairs)
        also = word("sheets.key.also") if task.kind in ("design", "wire") else ""
        answer = " ".join((answer_line(variant), also)).strip()
        rows.append((number, answer, told) if told else (number, answer))
    heads = [word(f"sheets.key.heads.{name}") for name in ("task", "answer", "slips")]
    return base.table(heads, rows, copy.head, "answers")


def _slip(rule, value):
    told = say("sheets.key.slip", id=rule.id, value=value)
    # A number stays with its unit, while the text of an option may go on in the next line.
    return told.replace(" ", "\u00a0") if value[:1] in "-0123456789" else told


def answer_line(variant):
    """The right answer as it stands in a key, with a capital letter where it begins with a word.

    Args:
        variant: the ``Variant``.
    """
    answer = checking.answer_in_words(variant)
    return answer[:1].upper() + answer[1:]


def _legend(slips):
    heads = [word(f"sheets.key.heads.{name}") for name in ("slip", "tasks", "did")]
    rows = [
        (name, ", ".join(map(str, sorted(numbers))), did)
        for (name, did), numbers in sorted(slips.items())
    ]
    return base.table(heads, rows, word("sheets.key.slips"), "slips")
