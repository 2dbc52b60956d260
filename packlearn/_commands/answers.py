"""``packlearn answers``: a folder of answer files becomes marks and a summary of the class."""

from pathlib import Path

from packlearn.classroom import collecting, mark_sheets, marking
from packlearn.classroom.seats import MOST_SEATS, read_code, read_seats
from packlearn.words import say, word

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}


def add_arguments(parser):
    """Add what ``packlearn answers`` understands.

    Args:
        parser: an ``argparse`` parser.
    """
    parser.add_argument("files", metavar="FOLDER", help=word("classroom.help.files"))
    parser.add_argument(
        "--class", dest="code", required=True, metavar="CODE", help=word("classroom.help.code")
    )
    parser.add_argument(
        "--seats",
        default=MOST_SEATS,
        metavar="N",
        help=say("classroom.help.seats", limit=MOST_SEATS),
    )
    parser.add_argument("--to", metavar="FOLDER", help=word("classroom.help.to"))
    parser.add_argument(
        "--separator", choices=SEPARATORS, default="comma", help=word("classroom.help.separator")
    )


def run(args):
    """Mark a folder of answer files and say what came of it.

    Args:
        args: as parsed.

    Returns:
        0.

    Raises:
        PackError: no such class, no such folder, or the marks cannot be written.
    """
    code, count = read_code(args.code), read_seats(args.seats)
    source = Path(args.files).expanduser().absolute()
    # Not inside: the next time, the tables would be looked at as answer files.
    folder = Path(args.to).expanduser() if args.to else source.with_name(f"{source.name}-marks")
    marks = marking.mark(code, count, collecting.collect(source))
    names = mark_sheets.write(marks, folder, SEPARATORS[args.separator])
    print("\n".join(mark_sheets.summary(marks)))
    print(say("classroom.sheets.written", folder=folder, names=", ".join(names)))
    return 0
