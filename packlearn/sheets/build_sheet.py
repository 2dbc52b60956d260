"""The build sheet of a plan: one page to take to the bench, or an order sheet.

A pack of lithium-ion or LiFePO4 is only bought ready-made and protected: its sheet tells what to
ask for, and nothing of how cells are put together.
"""

from dataclasses import replace

from packlearn._plans import letters
from packlearn.pictures.bench import holder_view
from packlearn.pictures.build_circuit import build_circuit
from packlearn.quantities import write
from packlearn.sheets import base, build_blocks, order_sheet
from packlearn.wiring import Wiring
from packlearn.words import say, word

# More cells than these are drawn over the whole width.
_MOST_BESIDE = 24
_AT_THE_BENCH = ("joining", "mixing", "wiring", "fusing", "measuring")
_IN_USE = ("charging", "storing", "disposing")


def build_sheet(plan):
    """HTML document of a plan's sheet.

    Args:
        plan: a ``building.Plan``.

    Returns:
        A build sheet; an order sheet where ``plan.ready_made``.
    """
    if plan.ready_made:
        return order_sheet.order_sheet(plan)
    title = say("buildsheet.head", kind=word("buildsheet.title"), name=plan.name)
    blocks = [
        build_blocks.opening(plan) + build_blocks.trouble(plan, "buildsheet.not_yet"),
        base.beside(build_blocks.figures(plan), build_blocks.margins(plan)),
        *_drawings(plan),
        *_steps(plan),
        _parts(plan),
        _in_use(plan),
        build_blocks.carrying(plan),
        build_blocks.assumptions(plan),
    ]
    return build_blocks.document(plan, title, blocks)


def _drawings(plan):
    """The cells as they lie, the circuit and the cautions; a large pack takes the whole width."""
    minding = build_blocks.cautions(plan, _AT_THE_BENCH, _IN_USE)
    name, diagram = f"buildsheet.circuit.{plan.form}", "buildsheet.circuit.diagram"
    laid, circuit = _laid(plan), _circuit(plan)
    if plan.pack.cell_count > _MOST_BESIDE:
        whole = build_blocks.drawn(laid, name, build_blocks.WHOLE_PT)
        return [minding, whole, build_blocks.drawn(circuit, diagram, build_blocks.LARGE_PT)]
    half = build_blocks.HALF_PT
    beside = (build_blocks.drawn(laid, name, half), build_blocks.drawn(circuit, diagram, half))
    return [base.beside(*beside), minding]


def _laid(plan):
    """Cells and the strips between them; leads and what joins strings stand in the circuit."""
    wiring = Wiring.of(plan.pack, strings=plan.strings)
    if plan.strings:
        between = [link for link in wiring.links if link.first[-1] != link.second[-1]]
        wiring = replace(wiring, links=tuple(between))
    alone = replace(wiring, red=None, black=None)
    return holder_view(alone, strings=plan.strings, terminals=False)


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


def _parts(plan):
    half = -(-len(plan.parts) // 2)
    halves = (build_blocks.parts_table(part) for part in (plan.parts[:half], plan.parts[half:]))
    return base.section(word("buildsheet.parts.heading"), base.beside(*halves))


def _steps(plan):
    """A block for each step, so that a long list goes on to the next page between two of them."""
    if not plan.steps:
        return []
    rows = [_row(number, step) for number, step in enumerate(plan.steps, 1)]
    many = plan.pack.cell_count > 1
    note = plan.form == "strip" and many
    told = [word("buildsheet.build.how")] + [word("buildsheet.build.built_in")] * note
    opening = base.section(word("buildsheet.build.heading"), base.paragraph(" ".join(told)))
    blocks = []
    for row, step in zip(rows, plan.steps, strict=True):
        lines = build_blocks.lines_for(step.contacts) if step.kind == "each" and many else ""
        blocks.append(build_blocks.steps_table([row]) + lines)
    blocks[0] = opening + build_blocks.steps_heads() + blocks[0]
    close = (f"{build_blocks.CLOSE}{block}</div>" for block in blocks[:-1])
    return [*close, blocks[-1], build_blocks.wrong_readings(plan)]


def _row(number, step):
    reading = step.reading
    if reading is None:
        return number, step.sentence, None
    return number, step.sentence, (reading.where, reading.range_words)


def _lead(plan):
    told = [build_blocks.wire_words(plan)]
    if plan.fuse:
        told += [build_blocks.fuse_words(plan), *build_blocks.fuse_notes(plan)]
        told.append(word("buildsheet.lead.place"))
    if plan.string_fuse:
        told.append(say("buildsheet.lead.strings", rating=write(plan.string_fuse[0], "A")))
    told.append(plan.protection.sentence)
    if plan.protection.kind == "cut_off":
        told.append(word("buildsheet.lead.own_cut_off"))
    told += plan.notes
    return base.section(word("buildsheet.lead.heading"), base.bullets(filter(None, told)))


def _charging(plan):
    heading = word("buildsheet.use.charging")
    charging = plan.charging
    if charging is None:
        return base.section(heading, base.bullets(build_blocks.sentences(plan, "charging")))
    fields = {"current": write(charging.current_a, "A"), "hours": write(charging.time_h, "h")}
    if charging.holds_voltage:
        told = [charging.sentence, charging.end_words, charging.charger_words]
        told.append(charging.balance_words)
    elif plan.form == "snap":
        told = [say("buildsheet.use.singly_block", **fields), charging.end_words]
    else:
        told = [say("buildsheet.use.singly", **fields), charging.end_words]
    told.append(charging.notes[0])
    told += build_blocks.sentences(plan, "charging")
    return base.section(heading, base.bullets(told))


def _in_use(plan):
    """Leads, charging and keeping; keeping stands where there is more room."""
    lead, charging, keeping = _lead(plan), _charging(plan), _keeping(plan)
    if plan.charging is None:
        return base.beside(lead, charging + keeping)
    return base.beside(lead + keeping, charging)


def _keeping(plan):
    said = {each.key for each in plan.cautions["charging"]}
    told = [plan.keeping.sentence]
    told += build_blocks.sentences(plan, "storing", "cold", without=said)
    return base.section(word("buildsheet.use.storing"), base.bullets(told))
