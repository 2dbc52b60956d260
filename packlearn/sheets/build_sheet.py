"""The build sheet of a plan: one page to take to the bench, or an order sheet.

A pack of lithium-ion or LiFePO4 is only bought ready-made and protected: its sheet tells what to
ask for, and nothing of how cells are put together.
"""

from packlearn._plans import letters
from packlearn.pictures.build_circuit import build_circuit
from packlearn.pictures.build_layout import build_layout
from packlearn.quantities import write
from packlearn.sheets import build_blocks, build_steps, columns, order_sheet
from packlearn.words import say, word

# Widest picture of the cells; of the circuit with one string, for each more, and its scale.
_CELLS_PT, _ONE_PT, _EACH_PT, _CIRCUIT_SHARE = 250.0, 204.0, 46.0, 0.64
# Gap between parts of the band, least room for the table of margins, for rules, for figures [pt].
_GAP_PT, _TABLE_PT, _RULES_PT, _FIGURES_PT = 10.0, 174.0, 100.0, 186.0
# What the lower of both papers holds below the opening, less what estimates may miss [pt].
_PAGE_TALL_PT = 730.0


def build_sheet(plan):
    """HTML document of a plan's sheet.

    Args:
        plan: a ``building.Plan``.

    Returns:
        A build sheet; an order sheet where ``plan.ready_made``.
    """
    if plan.ready_made:
        return order_sheet.order_sheet(plan)
    kind = word("buildsheet.title")
    title = say("buildsheet.head", kind=kind, name=plan.name)
    top = build_blocks.opening(plan, kind) + build_blocks.trouble(plan, "buildsheet.not_yet")
    band, above = _band(plan)
    small = build_blocks.assumptions(plan)
    room = _PAGE_TALL_PT - band.height_pt - small.height_pt
    for apart in (False, True):
        steps, joints = build_steps.steps(plan, build_blocks.RIGHT_PT, apart)
        pair = _columns(plan, steps, above)
        if max(each.height_pt for each in pair) <= room:
            break
    page = top + band.html + build_blocks.two(pair) + small.html
    return build_blocks.document(plan, title, [page, joints] if joints else [page])


def _columns(plan, steps, above):
    """Two columns: what it is made of, and what is done; the rest where there is room."""
    narrow, wide = build_blocks.LEFT_PT, build_blocks.RIGHT_PT
    left = [*above, build_blocks.parts(plan, narrow)]
    right = [steps]
    if plan.steps:
        right.append(build_blocks.wrong_readings(plan, wide))
    b = build_blocks
    movable = (b.cautions, b.fuses, b.wire, b.charging, b.keeping, b.carrying)
    return columns.balanced(
        columns.stacked(*left),
        columns.stacked(*right),
        [(block(plan, narrow), block(plan, wide)) for block in movable],
    )


def _band(plan):
    """The cells as they lie with key figures, the circuit, and what finds room beside them.

    Returns:
        ``Block`` of it, and ``Block``s that found no room in it.
    """
    pack, b = plan.pack, build_blocks
    laid = build_layout(pack.series, pack.parallel, strings=plan.strings)
    laid = b.drawn(laid, f"buildsheet.circuit.{plan.form}", _CELLS_PT)
    wide = _CIRCUIT_SHARE * (_ONE_PT + _EACH_PT * (plan.strings and pack.parallel - 1))
    circuit = b.drawn(_circuit(plan), "buildsheet.circuit.diagram", wide)
    first = max(laid.width_pt, _FIGURES_PT)
    figures = b.figures(plan, first)
    room = b.PAGE_PT - 2 * _GAP_PT - first - circuit.width_pt
    beside, above = [b.margins(plan), b.rules(plan, max(room, _RULES_PT))], []
    if room < _TABLE_PT:
        above.append(beside.pop(0))
    if room < _RULES_PT:
        above.append(b.rules(plan, b.LEFT_PT))
        beside = []
    third = columns.stacked(*beside)
    parts = (laid.html + figures.html, circuit.html, third.html)
    html = "".join(
        f'<div style="width: {wide:.0f}pt">{part}</div>'
        for wide, part in zip((first, circuit.width_pt, room), parts, strict=True)
    )
    tall = max(laid.height_pt + figures.height_pt, circuit.height_pt, third.height_pt)
    return columns.Block(f'<div class="band">{html}</div>', tall + 3), above


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
