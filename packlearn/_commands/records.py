"""``packlearn records``: what one seat, or a learner alone, has locked in; save it, delete it."""

from pathlib import Path

from packlearn.classroom import answer_files, sitting
from packlearn.classroom.seats import parted, seat_text
from packlearn.errors import BadFile, BadValue
from packlearn.records import Records
from packlearn.words import say, word

YES = ("y", "yes")


def add_arguments(parser):
    """Add what ``packlearn records`` understands.

    Args:
        parser: an ``argparse`` parser.
    """
    parser.add_argument("--class", dest="code", metavar="CODE", help=word("kept.help.code"))
    parser.add_argument("--seat", metavar="N", help=word("kept.help.seat"))
    parser.add_argument("--save", metavar="FOLDER", help=word("kept.help.save"))
    parser.add_argument("--delete", action="store_true", help=word("kept.help.delete"))
    parser.add_argument("--yes", action="store_true", help=word("kept.help.yes"))


def run(args):
    """Say how much there is, save it, delete it; in this order, as far as it is asked for.

    Args:
        args: as parsed.

    Returns:
        0.

    Raises:
        PackError: no such seat, or one that is not one's own; the records cannot be read, saved
            or deleted.
    """
    seat, records = _seat(args), Records.default()
    who = say("kept.seat", seat=seat) if seat else word("kept.alone")
    count = len(records.traces(seat))
    print(say("kept.there", who=who, count=count, place=records.place))
    # Saved before anything is deleted: where that fails, all stays.
    if args.save:
        _save(records, seat, Path(args.save).expanduser())
    if args.delete:
        _delete(records, seat, who, args.yes or _agreed(who, count))
    return 0


def _seat(args):
    """Text of the seat that is asked for, else of the one that sits here; "" when alone."""
    here = sitting.sitting()
    if not (args.code or args.seat):
        if here and not here.seat:
            raise BadValue("kept.no_seat", value=here.code, limit=here.seats)
        return sitting.seat_of_records()
    code = args.code or (here.code if here else "")
    if not (code and args.seat):
        raise BadValue("kept.half", value=code or args.seat)
    asked = seat_text(code, args.seat)
    if here and here.fixed and asked != here.text:
        raise BadValue("kept.other_seat", value=asked, limit=here.text)
    return asked


def _save(records, seat, folder):
    name = "predictions-{}-{:02d}.csv".format(*parted(seat)) if parted(seat) else "predictions.csv"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadFile("kept.no_folder", value=str(folder)) from error
    records.export_csv(folder / name, seat=seat)
    answers = answer_files.file_name(seat)
    answer_files.save(records, seat, folder / answers)
    print(say("kept.saved", folder=folder, table=name, answers=answers))


def _agreed(who, count):
    try:
        return input(say("kept.ask", who=who, count=count) + " ").strip().lower() in YES
    except EOFError:
        print()
        return False


def _delete(records, seat, who, agreed):
    if not agreed:
        print(word("kept.stays"))
        return
    # Loads the widgets, which nothing else here needs.
    from packlearn.panels.work import forget_work

    count = records.forget_all(seat)
    print(say("kept.deleted", who=who, count=count, place=records.place))
    forget_work(seat)
