"""A sheet's HTML as PDF, through PlutoPrint: text that can be selected, fonts embedded.

PlutoPrint comes as one wheel for Windows and Linux with all it needs, reads the HTML and
SVG that browsers read, and is under the MIT licence. It is the extra "paper".
"""

import io
from pathlib import Path

from packlearn.errors import BadFile, BadValue, PackError
from packlearn.places import python_command, write_whole

PAPERS = ("a4", "letter")


def check_paper(paper):
    """Raise ``BadValue`` for what is not one of ``PAPERS``.

    Args:
        paper: name of a paper.
    """
    if paper not in PAPERS:
        raise BadValue("sheets.paper", value=str(paper)[:40], limit=", ".join(PAPERS))


class NoPrinter(PackError, ImportError):
    """The extra "paper" is not installed."""


def pdf(html_text, path, paper="a4"):
    """Write an HTML document as PDF.

    Args:
        html_text: the document; only ours, never one from outside.
        path: the file to be written.
        paper: ``"a4"`` or ``"letter"``.

    Returns:
        Number of its pages.

    Raises:
        NoPrinter: the extra is missing; the message says what to type.
        BadValue: no such paper.
        BadFile: the file cannot be written; what was there stays.
    """
    check_paper(paper)
    try:
        import plutoprint
    except (ImportError, OSError) as error:
        raise NoPrinter("sheets.no_printer", command=python_command()) from error
    book = plutoprint.Book(getattr(plutoprint, f"PAGE_SIZE_{paper.upper()}"))
    book.load_html(html_text)
    pages, made = book.get_page_count(), io.BytesIO()
    book.write_to_pdf_stream(made)
    try:
        write_whole(Path(path), made.getvalue())
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise BadFile("buildsheet.cannot_write", value=str(path), limit=reason) from error
    return pages
