"""``packlearn sheets``: task sheets and their key, and paper around the lesson."""

from pathlib import Path

from packlearn.classroom.seats import MOST_SEATS, new_code, read_code, read_seats
from packlearn.errors import BadFile
from packlearn.places import write_whole
from packlearn.sheets import around, cards, printing, task_sheets
from packlearn.tasks import bank
from packlearn.words import say, word

SEATS = 30
VARIANTS = 4


def add_arguments(parser):
    """Add what ``packlearn sheets`` understands.

    Args:
        parser: an ``argparse`` parser.
    """
    parser.add_argument("what", metavar="PAGE", help=word("sheets.help.what"))
    parser.add_argument("--class", dest="code", metavar="CODE", help=word("sheets.help.code"))
    seats = say("sheets.help.seats", limit=MOST_SEATS, default=SEATS)
    parser.add_argument("--seats", default=SEATS, metavar="N", help=seats)
    variants = say("sheets.help.variants", limit=MOST_SEATS, default=VARIANTS)
    parser.add_argument("--variants", type=int, default=VARIANTS, metavar="N", help=variants)
    parser.add_argument("--tasks", default="", metavar="ID,ID", help=word("sheets.help.tasks"))
    parser.add_argument("--count", type=int, metavar="N", help=word("sheets.help.count"))
    parser.add_argument(
        "--paper", choices=printing.PAPERS, default="a4", help=word("sheets.help.paper")
    )
    parser.add_argument(
        "--to", default="packlearn-sheets", metavar="FOLDER", help=word("sheets.help.to")
    )


def run(args):
    """Write the sheets and say where they are.

    Args:
        args: as parsed.

    Returns:
        0.

    Raises:
        PackError: no such page, task, class or folder.
    """
    if args.what in _AROUND:
        documents, told = _AROUND[args.what](args)
    else:
        documents, told = _task_sheets(args)
    folder = Path(args.to).expanduser()
    try:
        names = _write(documents, folder)
        pages = _print(documents, folder, args.paper)
        names += pages
        told.insert(0, _pages(pages))
    except printing.NoPrinter as trouble:
        told.append(str(trouble))
    except OSError as error:
        raise BadFile("sheets.told.folder", value=str(folder), limit=error.strerror) from error
    print("\n".join([say("sheets.told.written", folder=folder, names=", ".join(names)), *told]))
    return 0


def _task_sheets(args):
    # Pictures of tasks live with the panels, whose widgets other sheets can do without.
    from packlearn.panels.illustrations import illustration

    page = bank.page(args.what)
    ids = [name.strip() for name in args.tasks.split(",") if name.strip()]
    tasks, left_out = task_sheets.choose(page, ids, args.count)
    if args.code:
        copies = task_sheets.copies_of_class(args.code, args.seats)
        head, name = task_sheets.head_of_class(args.code, args.seats), read_code(args.code)
    else:
        copies = task_sheets.copies_of_variants(args.variants)
        head, name = say("sheets.head.variants", count=len(copies)), "variants"
    names = ", ".join(task.id for task in left_out)
    told = [say("sheets.told.screen", names=names)] if left_out else []
    return {
        f"{page.name}-{name}": task_sheets.sheets(page, tasks, copies, illustration),
        f"{page.name}-{name}-key": task_sheets.key(page, tasks, copies, head),
    }, told


def _cards(args):
    return {"bench-cards": cards.bench_cards()}, []


def _formulas(args):
    return {"formulas": around.formulas()}, []


def _before(args):
    return {"before-the-first-lesson": around.before(), "before-key": around.before_key()}, []


def _seats(args):
    code, told = args.code or new_code(), []
    if not args.code:
        told.append(say("sheets.told.code", code=code))
    code = read_code(code)
    return {f"seats-{code}": around.seat_list(code, read_seats(args.seats))}, told


_AROUND = {"cards": _cards, "formulas": _formulas, "before": _before, "seats": _seats}


def _write(documents, folder):
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in documents.items():
        write_whole(folder / f"{name}.html", content.encode("utf-8"))
    return [f"{name}.html" for name in documents]


def _print(documents, folder, paper):
    """Print all; names of the files with their numbers of pages."""
    return {
        f"{name}.pdf": printing.pdf(content, folder / f"{name}.pdf", paper)
        for name, content in documents.items()
    }


def _pages(pages):
    """Sentence with the pages of each file, and of all where there are several."""
    files = ", ".join(
        say("sheets.told.pages_of", name=name, count=count) for name, count in pages.items()
    )
    if len(pages) == 1:
        return say("sheets.told.pages", files=files)
    return say("sheets.told.pages_in_all", files=files, count=sum(pages.values()))
