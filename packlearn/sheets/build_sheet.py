"""The build sheet of a plan: one page to take to the bench, or an order sheet.

A pack of lithium-ion or LiFePO4 is only bought ready-made and protected: its sheet tells what to
ask for, and nothing of how cells are put together.
"""

from packlearn.pictures.bench import holder_view
from packlearn.quantities import write
from packlearn.sheets import base, build_blocks, order_sheet
from packlearn.wiring import Wiring
from packlearn.words import say, word


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
        base.beside(build_blocks.figures(plan) + build_blocks.margins(plan), _drawing(plan)),
        _parts(plan),
        build_blocks.cautions(plan, ("joining", "mixing", "wiring", "fusing", "measuring")),
        *_steps(plan),
        base.beside(_lead(plan), _charging(plan)),
        base.beside(_keeping(plan), build_blocks.carrying(plan)),
        build_blocks.assumptions(plan),
    ]
    head = f"{plan.pack.name} {plan.pack.cell.title}"
    return base.document(title, [base.frame(title, head, blocks, "build")])


def _drawing(plan):
    wiring = Wiring.of(plan.pack, strings=plan.strings)
    return base.picture(holder_view(wiring, strings=plan.strings))


def _parts(plan):
    lines = [say("buildsheet.parts.line", count=part.count, what=part.what) for part in plan.parts]
    return base.section(word("buildsheet.parts.heading"), base.bullets(lines, "ticks two"))


def _steps(plan):
    """The steps as tables of one block each, so that a long list goes on to the next page."""
    if not plan.steps:
        return []
    heads = [
        word(f"buildsheet.build.heads.{name}")
        for name in ("tick", "do", "measure", "expect", "read")
    ]
    opening = base.section(
        word("buildsheet.build.heading"), base.paragraph(word("buildsheet.build.how"))
    )
    rows = [_row(number, step) for number, step in enumerate(plan.steps, 1)]
    table = build_blocks.steps_table(heads, rows)
    note = plan.form == "strip" and plan.pack.cell_count > 1
    after = base.paragraph(word("buildsheet.build.built_in"), "quiet") if note else ""
    return [opening + table + after]


def _row(number, step):
    reading = step.reading
    if reading is None:
        return number, step.sentence, None
    return number, step.sentence, (reading.where, reading.range_words)


def _lead(plan):
    told = [build_blocks.wire_words(plan)]
    if plan.fuse:
        told += [build_blocks.fuse_words(plan), word("buildsheet.lead.place")]
    if plan.string_fuse:
        told.append(say("buildsheet.lead.strings", rating=write(plan.string_fuse[0], "A")))
    told += [plan.switch.sentence] if plan.switch else []
    told.append(plan.protection.sentence)
    told += plan.notes
    return base.section(word("buildsheet.lead.heading"), base.bullets(filter(None, told)))


def _charging(plan):
    heading = word("buildsheet.use.charging")
    charging = plan.charging
    if charging is None:
        return base.section(heading, base.bullets([word("buildsheet.use.never")]))
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


def _keeping(plan):
    told = [plan.keeping.sentence, *build_blocks.sentences(plan, "storing")]
    return base.section(word("buildsheet.use.storing"), base.bullets(told))
