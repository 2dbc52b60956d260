"""``packlearn tasks``: a teacher's task file checked and shown; without one, what can be asked."""

import sys
from pathlib import Path

from packlearn._commands import tasks_lists, tasks_report
from packlearn.errors import BadValue, UnknownName
from packlearn.words import say, word

MOST_VARIANTS = 100


def add_arguments(parser):
    """Add what ``packlearn tasks`` understands.

    Args:
        parser: an ``argparse`` parser.
    """
    parser.add_argument("file", nargs="?", metavar="FILE", help=word("preview.file"))
    parser.add_argument("--task", metavar="ID", help=word("preview.task"))
    parser.add_argument(
        "--variants", type=int, default=10, metavar="N", help=word("preview.variants")
    )
    parser.add_argument("--asked", metavar="NAME", help=word("preview.asked"))


def run(args):
    """Show a file, or what can be asked.

    Args:
        args: as parsed.

    Returns:
        0, or 2 where the file has mistakes; each is told on standard error.

    Raises:
        PackError: there is no such task or nothing of that name to ask for.
    """
    if args.asked:
        print("\n".join(tasks_lists.one(args.asked)))
        return 0
    if args.file is None:
        print("\n".join(tasks_lists.everything()))
        return 0
    if not 1 <= args.variants <= MOST_VARIANTS:
        raise BadValue("preview.too_many", value=args.variants, limit=MOST_VARIANTS)
    return _show(Path(args.file), args.task, args.variants)


def _show(path, wanted, count):
    from packlearn.tasks import bank, preview

    troubles = preview.troubles(path, count)
    if troubles:
        key = "one" if len(troubles) == 1 else "many"
        said = [str(trouble) for trouble in troubles]
        said.append(say(f"preview.mistakes_{key}", file=path.name, count=len(troubles)))
        print("\n".join(said), file=sys.stderr)
        return 2
    page = bank.read_page(path)
    ids = [task.id for task in page.tasks]
    if wanted is not None and wanted not in ids:
        raise UnknownName("tasks.bank.no_task", value=wanted[:60], limit=", ".join(ids))
    print(say("preview.good", file=path.name, title=page.title, count=len(ids)))
    for place, task_id in enumerate(ids):
        if wanted in (None, task_id):
            print("\n".join(["", *tasks_report.lines(preview.preview(path, place, count))]))
    if preview.name_of(path).startswith(bank.OWN):
        print("\n" + tasks_report.wrapped(say("preview.give", folder=bank.own_folder())))
    return 0
