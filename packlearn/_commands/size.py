"""``packlearn size``: a need on the command line, the packs that meet it as a table."""

from packlearn._commands import size_need, size_sheet
from packlearn.words import say


def add_arguments(parser):
    """Arguments of the command.

    Args:
        parser: an ``argparse`` parser.
    """
    size_need.add_arguments(parser)
    parser.add_argument("--cells", help=say("size.cells"))
    parser.add_argument("--rank", default="cells", help=say("size.rank"))
    parser.add_argument("--most", type=int, default=10, help=say("size.most"))
    size_sheet.add_arguments(parser)


def run(args):
    """Print the table.

    Args:
        args: the parsed arguments.

    Returns:
        0 where a pack meets the need, 1 where none does or where the sheet's pack cannot be built.

    Raises:
        PackError: a value that cannot be read, no such cell or pack, a file that is not ours.
    """
    from packlearn.cells import read_cells
    from packlearn.sizing import size

    size_sheet.check_arguments(args)
    cells = read_cells(args.cells) if args.cells else None
    sizing = size(size_need.need_of(args), cells and cells.values(), rank_by=args.rank)
    choices = sizing.best_of_each_cell()[: max(1, args.most)]
    for choice in choices:
        print(_line(choice))
    print(say("size.count", fits=sizing.fit_count, looked=len(sizing)))
    if args.sheet:
        return size_sheet.write_sheet(args, sizing, cells)
    return 0 if choices[0].fits else 1


def _line(choice):
    from packlearn.quantities import write

    if not choice.fits:
        return say("size.fails", name=choice.title, why=" ".join(choice.why_not))
    return say(
        "size.fits",
        name=choice.title,
        pieces=choice.pieces_words,
        hours=write(choice.run_time_h, "h"),
        binds=choice.binds_words,
        notes=" ".join(choice.notes),
    )
