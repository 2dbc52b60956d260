"""``packlearn size --sheet``: the build sheet of one of the packs, as HTML and as PDF."""

from pathlib import Path

from packlearn.errors import BadFile, BadValue
from packlearn.places import write_whole
from packlearn.words import say

PAPERS = ("a4", "letter")
LEAD = "50 cm"
# What every sheet of ours holds, and hardly anything else does.
OURS = '<section class="sheet build">'
_ONLY_WITH_SHEET = ("pack", "name", "lead", "paper")


def add_arguments(parser):
    """Arguments that go with ``--sheet``.

    Args:
        parser: an ``argparse`` parser.
    """
    parser.add_argument("--sheet", metavar="FILE", help=say("size.sheet"))
    parser.add_argument("--pack", metavar="NAME", help=say("size.pack"))
    parser.add_argument("--name", help=say("size.name"))
    parser.add_argument("--lead", metavar="LENGTH", help=say("size.lead"))
    parser.add_argument("--paper", choices=PAPERS, help=say("size.paper"))


def check_arguments(args):
    """Raise ``BadValue`` for an argument of the sheet without ``--sheet``, before anything runs."""
    for name in _ONLY_WITH_SHEET:
        if getattr(args, name) is not None and not args.sheet:
            raise BadValue("size.no_sheet", value=f"--{name}")


def write_sheet(args, sizing, cells):
    """Write the sheet and say where it is.

    Args:
        args: the parsed arguments.
        sizing: the ``Sizing`` of the need.
        cells: cells of the user's own file by name, or None.

    Returns:
        0; 1 where the sheet says that the pack cannot be built yet, or where no pack was found.

    Raises:
        BadValue, UnknownName: no such pack, cell or length.
        PackLimit: a pack that is not built at all.
        BadFile: a file that is there and is not ours, or that cannot be written.
    """
    from packlearn.building import plan_for
    from packlearn.sheets.build_sheet import build_sheet

    fits = sizing.fits[:1]
    if not (args.pack or fits):
        print(say("size.none_for_sheet"))
        return 1
    pack = _pack(args.pack, cells) if args.pack else fits[0]
    plan = plan_for(sizing.need, pack, lead_m=_length_m(args.lead or LEAD), name=args.name or "")
    paths = _paths(args.sheet)
    paper = args.paper or PAPERS[0]
    told = _write(build_sheet(plan, paper), *paths, paper)
    kind = "order" if plan.ready_made else "build"
    names = " ".join(told)
    print(say(f"size.written.{kind}", pack=f"{plan.pack.name} {plan.pack.cell.title}", names=names))
    for sentence in plan.trouble:
        print(say("size.not_yet", why=sentence))
    return 1 if plan.trouble else 0


def _pack(text, cells):
    """The pack of a text such as ``5S3P nimh-aa``."""
    from packlearn.cells import cell, closest
    from packlearn.errors import UnknownName
    from packlearn.packs import Pack

    parts = text.split()
    if len(parts) != 2:
        raise BadValue("size.pack_form", value=text[:40])
    name, kind = parts
    if cells is None:
        return Pack.from_name(name, cell(kind))
    if kind not in cells:
        near = closest(kind, cells)
        raise UnknownName("size.no_cell", value=kind[:40], limit=", ".join(cells), closest=near)
    return Pack.from_name(name, cells[kind])


def _length_m(text):
    from packlearn.quantities import read

    reading = read(text.strip(), "m")
    if not reading.same_kind:
        raise BadValue("size.other_kind", value=text[:40], says=reading.says)
    return reading.value


def _paths(text):
    """Paths of the HTML and of the PDF beside it; neither may be somebody else's file."""
    path = Path(text).expanduser()
    if path.suffix.lower() not in (".html", ".htm", ".pdf"):
        path = path.with_name(f"{path.name}.html")
    page = path.with_suffix(".html") if path.suffix.lower() == ".pdf" else path
    paper = page.with_suffix(".pdf")
    try:
        ours = page.is_file() and OURS in page.read_text(encoding="utf-8", errors="replace")
    except OSError as error:
        raise BadFile("size.folder", value=str(page), limit=error.strerror) from error
    for each in (page, paper):
        if each.exists() and not ours:
            raise BadFile("size.not_ours", value=str(each))
    return page, paper


def _write(content, page, paper, size):
    """Write both files; names of those that were written, and what to type for the PDF."""
    from packlearn.sheets import printing

    at = page
    try:
        write_whole(page, content.encode("utf-8"))
        at = paper
        pages = printing.pdf(content, paper, size)
    except printing.NoPrinter as trouble:
        return [f"{page}.", str(trouble)]
    except OSError as error:
        raise BadFile("size.folder", value=str(at), limit=error.strerror) from error
    # One page needs no word.
    more = [say("size.pages", count=pages)] if pages > 1 else []
    return [f"{page},", f"{paper}.", *more]
