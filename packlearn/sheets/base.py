"""What every sheet is made of: document, frame of a page, section, table, list, lines to write on.

All parts are HTML as text and take plain text, which is escaped here; a part given to another one
is HTML already. A frame's head stands on every page of its sheet, and no block of it is split
between two pages unless it is taller than a page.
"""

import functools
import html
import re
from importlib.resources import files

from packlearn.pictures import style_sheet
from packlearn.sheets.fitting import fitted
from packlearn.words import LANGUAGE, as_shown, say

# Characters that no HTML may hold, or that turn the direction of what follows; a text from outside
# could.
_NOT_HTML = re.compile(
    "[^\t\n\r\u0020-\u007e\u00a0-\ud7ff\ue000-\ufdcf\ufdf0-\ufffd]|[\u202a-\u202e\u2066-\u2069]"
)


def text(content):
    """Text made safe for HTML, as it stands on paper."""
    return html.escape(as_shown(_NOT_HTML.sub("\ufffd", str(content))), quote=True)


def document(title, sheets, look=""):
    """A whole HTML document that needs nothing from outside.

    Args:
        title: its title.
        sheets: HTML of its sheets; each starts on a page of its own.
        look: ``"bench"`` for build and order sheets; empty for all others.
    """
    return (
        f'<!DOCTYPE html>\n<html lang="{LANGUAGE}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width">\n'
        # Nothing may be fetched or run, whatever a text holds.
        '<meta http-equiv="Content-Security-Policy" '
        "content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        f"<title>{text(title)}</title>\n<style>\n{paper_style(look)}</style>\n</head>\n<body>\n"
        + "\n".join(sheets)
        + "\n</body>\n</html>\n"
    )


def frame(left, right, blocks, look=""):
    """One sheet of one page or more, with its head on every page.

    Args:
        left: head on the left, such as the title.
        right: head on the right, such as class and seat.
        blocks: HTML of its blocks; none is split between pages.
        look: further class, such as ``"key"``.
    """
    rows = "".join(f'<tr><td class="block">{block}</td></tr>\n' for block in blocks if block)
    return (
        f'<section class="sheet {look}"><table class="frame" role="presentation">\n'
        f'<thead><tr><td><div class="head"><span>{text(left)}</span>'
        f"<span>{text(right)}</span></div></td></tr></thead>\n<tbody>\n{rows}</tbody></table></section>"
    )


def section(heading, *parts):
    """Parts under a heading that stays with them."""
    return f"<h2>{text(heading)}</h2>" + "".join(parts)


def paragraph(content, look=""):
    """A paragraph of text."""
    looks = f' class="{look}"' if look else ""
    return f"<p{looks}>{text(content)}</p>"


def bullets(items, look="plain"):
    """A list of texts.

    Args:
        items: the texts.
        look: ``"plain"``, ``"steps"`` (numbered) or ``"ticks"`` (each with a box to tick).
    """
    tag = "ol" if look == "steps" else "ul"
    mark = BOX if look == "ticks" else ""
    rows = "".join(f"<li>{mark}{text(item)}</li>" for item in items)
    return f'<{tag} class="{look}">{rows}</{tag}>'


BOX = '<span class="box"></span>'
"""A box to tick."""


def ticks(options, label=""):
    """Boxes to tick in one row.

    Args:
        options: text of each box.
        label: text before them.
    """
    boxes = "".join(f'<span class="tick">{BOX}{text(option)}</span>' for option in options)
    before = f'<span class="label">{text(label)}</span>' if label else ""
    return f'<span class="ticks">{before}{boxes}</span>'


def field(label, look=""):
    """A label and a line to write on.

    Args:
        label: text before the line.
        look: ``"short"`` or ``""`` for as long as there is room.
    """
    return f'<span class="field {look}"><span class="label">{text(label)}</span>{LINE}</span>'


LINE = '<span class="line"></span>'
"""A line to write on, as long as there is room."""


def row(*parts):
    """Parts beside each other: fields, ticks."""
    return f'<div class="row">{"".join(parts)}</div>'


def beside(left, right):
    """Two parts beside each other, such as steps and a picture."""
    return f'<div class="beside"><div>{left}</div><div>{right}</div></div>'


def table(heads, rows, caption="", look=""):
    """A table whose rows are never split between pages.

    Args:
        heads: text of each column's head.
        rows: texts of each row; None is an empty cell to write in. The last cell of a short row
            takes the room of those that lack.
        caption: text above it.
        look: further class.
    """
    head = "".join(f'<th scope="col">{text(each)}</th>' for each in heads)
    body = "".join(f"<tr>{_cells(cells, len(heads))}</tr>\n" for cells in rows)
    told = f"<caption>{text(caption)}</caption>" if caption else ""
    top = f"<thead><tr>{head}</tr></thead>" if heads else ""
    return f'<table class="grid {look}">{told}{top}<tbody>\n{body}</tbody></table>'


def _cells(cells, count):
    *most, last = cells
    wide = f' colspan="{count - len(most)}"' if count > len(cells) else ""
    return "".join(map(_cell, most)) + _cell(last, wide)


def _cell(content, wide=""):
    if content is None:
        return f'<td class="empty"{wide}></td>'
    return f"<td{wide}>{text(content)}</td>"


COLUMN_PT = 476.0
"""Width of what stands beside a task's number, on the narrower of both papers [pt]."""
HALF_PT = 225.0
"""Width of a picture in one half of ``beside`` [pt]."""


def picture(drawn, width_pt=COLUMN_PT):
    """A picture without its empty edges, its labels as large as the text.

    Args:
        drawn: a ``Picture``.
        width_pt: how wide it may be [pt].
    """
    return f'<div class="picture">{fitted(drawn.svg, width_pt)}</div>'


# --- style ------------------------------------------------------------------------------


@functools.cache
def paper_style(look=""):
    """Style of all sheets, as text: print engines know neither variables nor a page's theme.

    Args:
        look: ``"bench"`` for build and order sheets, whose pages have narrower margins.
    """
    names = ["sheets.css", "bench_sheets.css"][: 2 if look else 1]
    folder = files("packlearn") / "data"
    own = "".join((folder / name).read_text(encoding="utf-8") for name in names)
    page = say("sheets.page", page='" counter(page) "', pages='" counter(pages) "')
    return own.replace("PAGE-NUMBER", f'"{page}"') + picture_style()


@functools.cache
def picture_style():
    """Rules of pictures with the light theme's colours in place of variables, as text."""
    sheet = re.sub(r"/\*.*?\*/", "", style_sheet(), flags=re.DOTALL)
    light = dict(re.findall(r"(--pl-[\w-]+):\s*([^;]+);", sheet.partition("}")[0]))
    rules = re.findall(r"^\.pl-picture[^{@]*\{[^}]*\}", sheet, flags=re.MULTILINE)
    resolved = re.sub(r"var\((--pl-[\w-]+)\)", lambda name: light[name[1]], "\n".join(rules))
    return re.sub(r"var\(--jp[\w-]+,\s*([^;]*)\);", r"\1;", resolved) + "\n"
