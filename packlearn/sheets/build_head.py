"""The head of build sheets and order sheets: name, what it is made of, why it cannot be built."""

from packlearn.sheets import base, columns
from packlearn.sheets.columns import Block
from packlearn.sheets.letter_widths import wide_em
from packlearn.words import say, word

# Letters of the pack's name, of a long one, room for who built it when [pt].
_NAME_PT, _LONG_NAME_PT, _SIGNED_PT = 16.0, 12.5, 156.0


def opening(plan, kind, room, more=""):
    """Name of the pack, what it is made of, lines for who built it when, in one row.

    Args:
        plan: a ``Plan``.
        kind: what sheet it is.
        room: the page's ``Room``.
        more: what else the reader must know at once, a sentence.
    """
    pack, way = plan.pack, "line" if plan.pack.parallel == 1 else "both"
    if pack.cell_count == 1:
        way = "one"
    made_of = say(
        f"buildsheet.made_of.{way}",
        kind=kind,
        pack=f"{pack.name} {pack.cell.title}",
        pieces=plan.choice.pieces_words,
        series=pack.series,
        parallel=pack.parallel,
    )
    made_of = " ".join(filter(None, (made_of, more)))
    date = word("buildsheet.date_order" if plan.ready_made else "buildsheet.date")
    lines = base.row(base.field(date), base.field(word("buildsheet.by")))
    wide = room.page_pt - _SIGNED_PT
    size = _LONG_NAME_PT if wide_em(plan.name, bold=True) * _NAME_PT > wide / 2 else _NAME_PT
    look = f' style="font-size: {size / columns.SIZE_PT:g}em"'
    name = f"<h1{look}>{base.text(plan.name)}</h1>{base.paragraph(made_of, 'quiet')}"
    tall = _running(plan.name, size, made_of, wide) + 6
    return Block(f'<div class="opening"><div>{name}</div><div>{lines}</div></div>', tall)


def _running(name, size_pt, made_of, width_pt):
    """How tall a name in large letters is with a text that goes on behind it [pt]."""
    large, small = (size_pt, size_pt * 1.2), (columns.SIZE_PT, columns.LINE_PT)
    told = [(each, *large) for each in name.split()] + [(each, *small) for each in made_of.split()]
    used, rows = 0.0, [small[1]]
    for each, size, tall in told:
        wide = size * wide_em(f"{each} ", size == size_pt)
        if used + wide > width_pt and used:
            used, rows = 0.0, [*rows, small[1]]
        used += wide
        rows[-1] = max(rows[-1], tall)
    return sum(rows)


def trouble(plan, key, room):
    """A box that says why it is not built yet; nothing where it can be."""
    if not plan.trouble:
        return columns.NOTHING
    last = word("buildsheet.trouble")
    told = base.bullets(plan.trouble) + base.paragraph(last)
    html = f'<div class="stop"><h2>{base.text(word(key))}</h2>{told}</div>'
    tall = sum(columns.lines(each, room.page_pt - 40) for each in (*plan.trouble, last))
    return Block(html, tall * columns.LINE_PT + columns.HEAD_PT + 22)
