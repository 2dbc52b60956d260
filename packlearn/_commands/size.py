"""``packlearn size``: a need on the command line, the packs that meet it as a table."""

from packlearn._commands import size_sheet
from packlearn.words import say


def add_arguments(parser):
    """Arguments of the command.

    Args:
        parser: an ``argparse`` parser.
    """
    for name in ("lowest", "highest", "current", "hours"):
        parser.add_argument(f"--{name}", required=True, help=say(f"size.{name}"))
    parser.add_argument("--peak", help=say("size.peak"))
    parser.add_argument("--derating", default="80 %", help=say("size.derating"))
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
    sizing = size(_need(args), cells and cells.values(), rank_by=args.rank)
    choices = sizing.best_of_each_cell()[: max(1, args.most)]
    for choice in choices:
        print(_line(choice))
    print(say("size.count", fits=sizing.fit_count, looked=len(sizing)))
    if args.sheet:
        return size_sheet.write_sheet(args, sizing, cells)
    return 0 if choices[0].fits else 1


def _need(args):
    from packlearn.errors import BadValue
    from packlearn.loads import Load
    from packlearn.quantities import read
    from packlearn.sizing import Need

    def number(text, unit):
        reading = read(text.strip(), unit)
        if not reading.same_kind:
            raise BadValue("size.other_kind", value=text, says=reading.says)
        return reading.value

    mean_a = number(args.current, "A")
    load = Load.current(mean_a)
    if args.peak:
        load = _with_peak(mean_a, number(args.peak, "A"))
    return Need(
        load=load,
        run_time_h=number(args.hours, "h"),
        voltage_v=(number(args.lowest, "V"), number(args.highest, "V")),
        current_derating=number(args.derating, "%") / 100,
    )


def _with_peak(mean_a, peak_a):
    """A profile with this mean and this peak: a tenth of the time at the peak at most."""
    from packlearn.errors import BadValue
    from packlearn.loads import Load

    if peak_a < mean_a:
        raise BadValue("size.peak_low", value=peak_a, limit=mean_a)
    share = min(0.1, mean_a / peak_a)
    rest_a = (mean_a - share * peak_a) / (1 - share) if share < 1 else 0.0
    rest = [(Load.current(rest_a), 1 - share)] if share < 1 else []
    return Load.profile([(Load.current(peak_a), share), *rest])


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
