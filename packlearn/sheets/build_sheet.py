"""The build sheet of a plan: a page to take to the bench, or an order sheet.

A pack of lithium-ion or LiFePO4 is only bought ready-made and protected: its sheet tells what to
ask for, and nothing of how cells are put together.
"""

import itertools

from packlearn._simulation.plans import letters
from packlearn.pictures.build_circuit import build_circuit
from packlearn.pictures.build_layout import build_layout
from packlearn.quantities import write
from packlearn.sheets import (
    base,
    build_blocks,
    build_steps,
    build_using,
    columns,
    order_sheet,
    printing,
)
from packlearn.words import say, word

# Scales of both pictures by rows and by strings, points against pixels; widest one of cells [pt].
_CELLS_SHARE, _CIRCUIT_SHARE, _CELLS_PT = (0.82, 0.66, 0.64), (0.64, 0.56, 0.56, 0.54), 250.0
# Gap between parts of the band, least room for the margins, for text, below the cells [pt].
_GAP_PT, _TABLE_PT, _LEAST_PT, _FIGURES_PT = 10.0, 182.0, 90.0, 186.0
# Joints of more cells than these stand on a page of their own.
_MOST_HERE = 24
# All on one page; or a second one for the small print, then for joints, then for keeping as well:
# whether joints stand apart, whether the small print and keeping stand on the first page.
_WAYS = ((False, True, True), (False, False, True), (True, False, True), (True, False, False))
# What a page holds below the opening, less what estimates may miss [pt].
_PAGE_TALL_PT = {"a4": 791.0, "letter": 741.0}


def build_sheet(plan, paper="a4"):
    """HTML document of a plan's sheet.

    Args:
        plan: a ``building.Plan``.
        paper: one of ``printing.PAPERS``; what does not fit a page of it goes to a second one.

    Returns:
        A build sheet; an order sheet where ``plan.ready_made``.

    Raises:
        BadValue: no such paper.
    """
    printing.check_paper(paper)
    if plan.ready_made:
        return order_sheet.order_sheet(plan)
    kind = word("buildsheet.title")
    title = say("buildsheet.head", kind=kind, name=plan.name)
    top = build_blocks.opening(plan, kind) + build_blocks.trouble(plan, "buildsheet.not_yet")
    small = build_using.assumptions(plan)
    many = plan.pack.cell_count > _MOST_HERE
    for apart, here, kept in _WAYS[2 * many :]:
        steps, joints = build_steps.steps(plan, build_blocks.RIGHT_PT, apart)
        band, pair = _lowest(plan, steps, kept)
        tall = band.height_pt + max(each.height_pt for each in pair)
        if tall <= _PAGE_TALL_PT[paper] - here * small.height_pt:
            break
    page = top + band.html + build_blocks.two(pair)
    if here:
        return build_blocks.document(plan, title, [page + small.html])
    second = joints or base.section(say("buildsheet.joints.small", name=plan.name))
    if not kept:
        second += build_using.keeping(plan, build_blocks.PAGE_PT).html
    return build_blocks.document(plan, title, [page, second + small.html])


def _lowest(plan, steps, kept=True):
    """The band and the two columns below it, shared out so that they are as low as can be.

    Args:
        plan: a ``Plan``.
        steps: ``Block`` of its steps.
        kept: whether keeping and carrying stands there.
    """
    narrow, wide = build_blocks.LEFT_PT, build_blocks.RIGHT_PT
    parts, right = build_blocks.parts(plan, narrow), [steps]
    if plan.steps:
        right.append(build_using.wrong_readings(plan, wide))
    b = build_blocks
    movable = (b.cautions, b.fuses, build_using.wire, build_using.charging, build_using.keeping)
    movable = movable if kept else movable[:-1]
    movable = [(block(plan, narrow), block(plan, wide)) for block in movable]
    found = [
        (band, columns.balanced(columns.stacked(above, parts), columns.stacked(*right), movable))
        for band, above in _bands(plan)
    ]
    return min(found, key=lambda each: each[0].height_pt + max(side.height_pt for side in each[1]))


def _bands(plan):
    """The cells as they lie with key figures, the circuit, and what finds room beside them.

    Yields:
        For each way of sharing the room ``Block`` of it, and ``Block`` of what stands above the
        parts.
    """
    pack, b = plan.pack, build_blocks
    laid = build_layout(pack.series, pack.parallel, strings=plan.strings)
    strings = pack.parallel if plan.strings else 1
    laid = b.drawn(laid, _scale(_CELLS_SHARE, strings), _CELLS_PT)
    circuit = b.drawn(_circuit(plan), _scale(_CIRCUIT_SHARE, strings))
    first = max(laid.width_pt, _FIGURES_PT)
    third = b.PAGE_PT - 2 - 2 * _GAP_PT - first - circuit.width_pt
    places = {"first": first, "third": third, "above": b.LEFT_PT}
    ways = (_shared(plan, places, way) for way in itertools.product(places, repeat=3))
    for way in filter(None, ways):
        tall = max(
            laid.height_pt + way["first"].height_pt, circuit.height_pt, way["third"].height_pt
        )
        parts = (laid.html + way["first"].html, circuit.html, way["third"].html)
        html = "".join(
            f'<div style="width: {wide:.0f}pt">{part}</div>'
            for wide, part in zip((first, circuit.width_pt, third), parts, strict=True)
        )
        yield columns.Block(f'<div class="band">{html}</div>', tall + 3), way["above"]


def _scale(shares, strings):
    return shares[min(strings, len(shares)) - 1]


def _shared(plan, places, way):
    """Margins, figures and rules in three places: a ``Block`` for each; None where none fits."""
    wide = [places[name] for name in way]
    if wide[0] < _TABLE_PT or min(wide) < _LEAST_PT:
        return None
    made = (
        build_blocks.margins(plan),
        build_blocks.figures(plan, wide[1]),
        build_blocks.rules(plan, wide[2]),
    )
    return {
        name: columns.stacked(*(b for b, at in zip(made, way, strict=True) if at == name))
        for name in places
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
