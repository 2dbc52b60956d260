"""The build sheet of a plan: a page to take to the bench, or an order sheet.

A pack of lithium-ion or LiFePO4 is only bought ready-made and protected: its sheet tells what to
ask for, and nothing of how cells are put together.
"""

import itertools
import math
from typing import NamedTuple

from packlearn._simulation.plans import letters
from packlearn.pictures.build_circuit import build_circuit
from packlearn.pictures.build_layout import build_layout
from packlearn.quantities import write
from packlearn.sheets import (
    build_blocks,
    build_head,
    build_steps,
    build_using,
    columns,
    order_sheet,
    printing,
)
from packlearn.words import say, word

# Scales of both pictures by rows and by strings, points against pixels; widest one of cells [pt].
_CELLS_SHARE, _CIRCUIT_SHARE, _CELLS_PT = (0.82, 0.66, 0.64), (0.64, 0.62, 0.6, 0.56), 250.0
# More cells than these, not in strings, lie in long rows.
_LONG_ROW = 12
# Gap between parts of the band, least room for the margins, for text, below the cells [pt].
_GAP_PT, _TABLE_PT, _LEAST_PT, _FIGURES_PT = 10.0, 182.0, 90.0, 186.0
# All on one page, in letters as large as fit. Where even the smallest ones do not, a second page
# for the joints and the small print, then for keeping as well: whether joints stand there,
# whether keeping stands on the first page.
_WAYS = ((False, True), (True, True), (True, False))
# Shares of the width that the left column may take.
_LEFT = (0.45, 0.42, 0.48, 0.39, 0.51, 0.38, 0.37)


def build_sheet(plan, paper="a4"):
    """HTML document of a plan's sheet.

    Args:
        plan: a ``building.Plan``.
        paper: one of ``printing.PAPERS``. Letters are as large as one page of it allows, 10 pt at
            most and 8.5 pt at least; only where a pack has so many joints that those are still
            too many, they take a second page with the small print.

    Returns:
        A build sheet; an order sheet where ``plan.ready_made``.

    Raises:
        BadValue: no such paper.
    """
    printing.check_paper(paper)
    if plan.ready_made:
        return order_sheet.order_sheet(plan, paper)
    title = say("buildsheet.head", kind=word("buildsheet.title"), name=plan.name)
    return build_blocks.document(plan, title, _pages(plan, paper))


def _pages(plan, paper):
    """HTML of the pages of a build sheet."""
    pictures = _pictures(plan)
    for apart, kept in _WAYS:
        page = _largest(plan, pictures, paper, apart, kept)
        if page.fits:
            break
    pages = [build_blocks.sized(page.room, page.block.html)]
    if apart:
        plain = columns.room(paper)
        kept_there = "" if kept else build_using.keeping(plan, plain.page_pt).html
        small = build_using.assumptions(plan, plain).html
        pages.append(build_blocks.sized(plain, page.joints + kept_there + small))
    return pages


class _Page(NamedTuple):
    """A first page: its ``Room`` and ``Block``, HTML of the joints of a second one."""

    room: columns.Room
    block: columns.Block
    joints: str

    @property
    def fits(self):
        return self.block.height_pt <= self.room.tall_pt


def _largest(plan, pictures, paper, apart, kept):
    """``_Page`` in the largest letters that fit, else in the smallest."""
    sizes, best = list(columns.LETTERS_PT), None
    # Each try leaves half of the sizes.
    while sizes:
        middle = len(sizes) // 2
        rooms = [columns.room(paper, sizes[middle], left) for left in _LEFT]
        drawn = _drawn(pictures, rooms[0])
        tries = [_page(plan, drawn, room, apart, kept) for room in rooms]
        found = min(tries, key=lambda each: each.block.height_pt)
        sizes = sizes[:middle] if found.fits else sizes[middle + 1 :]
        if found.fits or not (best and best.fits):
            best = found
    return best


def _page(plan, drawn, room, apart, kept):
    """The first page.

    Args:
        plan: a ``Plan``.
        drawn: its pictures, ``_drawn``.
        room: the page's ``Room``.
        apart: whether joints and small print stand on a second page.
        kept: whether keeping and carrying stands on the first.
    """
    steps, joints = build_steps.steps(plan, room.right_pt, apart)
    more = word("buildsheet.joints.second") if joints else ""
    band, pair = _lowest(plan, drawn, steps, room, kept)
    columns_tall = max(each.height_pt for each in pair)
    parts = (
        build_head.opening(plan, word("buildsheet.title"), room, more),
        build_head.trouble(plan, "buildsheet.not_yet", room),
        band,
        columns.Block(build_blocks.two(pair, room), columns_tall),
        columns.NOTHING if apart else build_using.assumptions(plan, room),
    )
    return _Page(room, columns.stacked(*parts), joints)


def _lowest(plan, drawn, steps, room, kept=True):
    """The band and the two columns below it, shared out so that they are as low as can be.

    Args:
        plan: a ``Plan``.
        drawn: its pictures, ``_drawn``.
        steps: ``Block`` of its steps.
        room: the page's ``Room``.
        kept: whether keeping and carrying stands there.
    """
    narrow, wide = room.left_pt, room.right_pt
    parts, right = build_blocks.parts(plan, narrow), [steps]
    if plan.steps:
        right.append(build_using.wrong_readings(plan, wide))
    b = build_blocks
    movable = (b.cautions, b.fuses, build_using.wire, build_using.charging, build_using.keeping)
    movable = movable if kept else movable[:-1]
    movable = [(block(plan, narrow), block(plan, wide)) for block in movable]
    found = [
        (band, columns.balanced(columns.stacked(above, parts), columns.stacked(*right), movable))
        for band, above in _bands(plan, drawn, room)
    ]
    return min(found, key=lambda each: each[0].height_pt + max(side.height_pt for side in each[1]))


def _pictures(plan):
    """The cells as they lie, and the circuit, each with its size against the one on a screen."""
    pack, rows = plan.pack, build_blocks.drawn_rows(plan)
    strings, shown = (pack.parallel, rows) if plan.strings else (1, pack.parallel)
    block = write(pack.cell.nominal_voltage_v, "V") if pack.cell.cells_inside > 1 else ""
    laid = build_layout(pack.series, shown, strings=plan.strings, block=block)
    # Names of cells in long rows need the whole width.
    long = not plan.strings and pack.cell_count > _LONG_ROW
    laid = laid, _scale(_CELLS_SHARE, 3 if long else rows), math.inf if long else _CELLS_PT
    return laid, (_circuit(plan), _scale(_CIRCUIT_SHARE, strings))


def _drawn(pictures, room):
    """Both pictures as a page's letters need them: two ``Drawn``."""
    (laid, laid_share, most_pt), (circuit, circuit_share) = pictures
    return (
        build_blocks.drawn(laid, laid_share, room, min(most_pt, room.page_pt)),
        build_blocks.drawn(circuit, circuit_share, room),
    )


def _bands(plan, drawn, room):
    """The cells as they lie with key figures, the circuit, and what finds room beside them.

    Yields:
        For each way of sharing the room ``Block`` of it, and ``Block`` of what stands above the
        parts.
    """
    b, (laid, circuit) = build_blocks, drawn
    # Cells in long rows stand above all else, across the page.
    above, over_pt = "", 0.0
    if laid.width_pt > _CELLS_PT + 1:
        above, over_pt, laid = laid.html, laid.height_pt, b.Drawn("", 0.0, 0.0)
    first = max(laid.width_pt, _FIGURES_PT)
    third = room.page_pt - 2 - 2 * _GAP_PT - first - circuit.width_pt
    places = {"first": first, "third": third, "above": room.left_pt}
    blocks = [
        {name: block(plan, wide) for name, wide in places.items() if wide >= least}
        for block, least in ((b.margins, _TABLE_PT), (b.figures, _LEAST_PT), (b.rules, _LEAST_PT))
    ]
    ways = (_shared(places, blocks, way) for way in itertools.product(*blocks))
    for way in ways:
        tall = max(
            laid.height_pt + way["first"].height_pt, circuit.height_pt, way["third"].height_pt
        )
        parts = (laid.html + way["first"].html, circuit.html, way["third"].html)
        html = "".join(
            f'<div style="width: {b.em(wide)}">{part}</div>'
            for wide, part in zip((first, circuit.width_pt, third), parts, strict=True)
        )
        band = columns.Block(f'{above}<div class="band">{html}</div>', over_pt + tall + 3)
        yield band, way["above"]


def _scale(shares, strings):
    return shares[min(strings, len(shares)) - 1]


def _shared(places, blocks, way):
    """Margins, figures and rules shared among three places: a ``Block`` for each place."""
    return {
        place: columns.stacked(
            *(made[at] for made, at in zip(blocks, way, strict=True) if at == place)
        )
        for place in places
    }


def _circuit(plan):
    pack = plan.pack
    count = pack.parallel if plan.strings else 1
    names = [letters(place) for place in range(count)]
    guard = plan.protection
    return build_circuit(
        pack.series,
        count,
        ends=[(f"{pack.series}{name}+", f"1{name}-") for name in names],
        name=pack.name,
        fuse=write(plan.fuse.rating_a, "A") if plan.fuse else "",
        string_fuse=write(plan.string_fuse[0], "A") if plan.string_fuse else "",
        guard=write(guard.pack_under_v, "V") if guard.kind == "cut_off" else "",
    )
