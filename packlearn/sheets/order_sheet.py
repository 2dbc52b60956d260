"""The order sheet: which ready-made protected pack to ask for, its charger, who may fit it."""

from packlearn.quantities import write
from packlearn.sheets import base, build_blocks, build_head, build_using, columns
from packlearn.sheets.columns import Block
from packlearn.words import say, word

# Widths of what a label must say, of what must stand there [pt].
_WHAT_PT, _VALUE_PT, _ROW_PT = 92.0, 112.0, 3.0


def order_sheet(plan, paper="a4"):
    """HTML document of the order sheet of a ready-made pack.

    Args:
        plan: a ``building.Plan`` with ``ready_made``.
        paper: one of ``printing.PAPERS``.
    """
    kind = word("buildsheet.title_order")
    title = say("buildsheet.head", kind=kind, name=plan.name)
    b, room = build_blocks, columns.room(paper)
    narrow, wide = room.left_pt, room.right_pt
    movable = (b.cautions, _fit, _charger, build_using.keeping, b.rules)
    pair = columns.balanced(
        columns.stacked(b.margins(plan, narrow), b.figures(plan, narrow)),
        columns.stacked(_ask(plan), _check(plan)),
        [(block(plan, narrow), block(plan, wide)) for block in movable],
    )
    top = (
        build_head.opening(plan, kind, room).html
        + build_head.trouble(plan, "buildsheet.not_yet_order", room).html
    )
    page = top + b.two(pair, room) + build_using.assumptions(plan, room).html
    return b.document(plan, title, [b.sized(room, page)])


def _ask(plan):
    heads = (word(f"buildsheet.order.heads.{name}") for name in ("what", "value", "offer"))
    head = "<th></th>" + "".join(f'<th scope="col">{base.text(each)}</th>' for each in heads)
    rows = list(_lines(plan))
    body = "".join(
        f"<tr><td>{base.BOX}</td><td>{base.text(what)}</td><td>{base.text(value)}</td>"
        '<td class="empty"></td></tr>\n'
        for what, value in rows
    )
    html = base.section(
        word("buildsheet.order.ask"),
        base.paragraph(word("buildsheet.order.how")),
        f'<table class="grid ask"><thead><tr>{head}</tr></thead><tbody>\n{body}</tbody></table>',
    )
    tall = sum(
        max(columns.lines(what, _WHAT_PT), columns.lines(value, _VALUE_PT)) for what, value in rows
    )
    return Block(html, (tall + 3) * columns.LINE_PT + len(rows) * _ROW_PT + columns.HEAD_PT)


def _lines(plan):
    """What stands on an offer or a label, and what it must be."""
    pack, seen, guard = plan.pack, plan.figures, plan.protection
    current = write(guard.current_a, "A")
    inside = {"pack": pack.name, "series": pack.series, "parallel": pack.parallel}
    charge, energy = write(seen.capacity_ah, "Ah"), write(seen.energy_wh, "Wh")
    end = {"end": write(seen.end_v, "V"), "most": write(_highest_end_v(plan), "V")}
    return [
        _line("kind", chemistry=word(f"build.chemistry.{pack.cell.chemistry}")),
        _line("inside", **inside),
        (_what("nominal"), write(seen.nominal_v, "V")),
        (_what("full"), write(seen.full_v, "V")),
        _line("end", **end),
        _line("capacity", charge=charge),
        _line("energy", energy=energy),
        _line("current", current=current),
        (_what("guards"), ", ".join(guard.guard_words)),
        _line("plug", current=current),
        (_what("test"), word("buildsheet.order.lines.test_is")),
    ]


def _highest_end_v(plan):
    """Above this the protection would cut off charge that the run time counts on [V]."""
    return plan.figures.nominal_v


def _what(name):
    return word(f"buildsheet.order.lines.{name}")


def _line(name, **fields):
    return _what(name), say(f"buildsheet.order.lines.{name}_is", **fields)


def _fit(plan, width_pt):
    told = [word("buildsheet.order.plain"), word("buildsheet.order.who")]
    if plan.fuse:
        told.append(
            say(
                "buildsheet.order.lead_fuse",
                rating=write(plan.fuse.rating_a, "A"),
                needed=write(plan.fuse.breaking_capacity_needed_a, "A", 2),
                volts=write(plan.fuse.voltage_v, "V"),
            )
        )
        told += [word("buildsheet.lead.mend"), *build_blocks.fuse_notes(plan)]
    if plan.wire:
        drop_v = plan.wire.drop_v * plan.figures.peak_a / plan.figures.steady_a
        told.append(
            say(
                "buildsheet.order.lead_wire",
                wire=plan.wire.conductor.label,
                length=write(plan.lead_m, "m"),
                drop=write(drop_v, "V", 2),
            )
        )
    return build_blocks.run_in(word("buildsheet.order.fit"), build_blocks.escaped(*told), width_pt)


def _charger(plan, width_pt):
    charging = plan.charging
    fields = {"current": write(charging.current_a, "A"), "volts": write(charging.voltage_v, "V")}
    holds = say("buildsheet.order.holds", hours=write(charging.time_h, "h"), **fields)
    told = [charging.charger_words, holds, charging.balance_words, charging.notes[0]]
    told = [*build_blocks.escaped(*told), *build_blocks.said(plan, "charging")]
    return build_blocks.run_in(word("buildsheet.order.charger"), told, width_pt)


def _check(plan):
    if not plan.readings:
        return columns.NOTHING
    heads = (word(f"buildsheet.order.heads.{name}") for name in ("measure", "expect", "read"))
    head = "<th></th>" + "".join(f'<th scope="col">{base.text(each)}</th>' for each in heads)
    body = "".join(
        f"<tr><td>{base.BOX}</td><td>{base.text(each.where)}</td>"
        f'<td class="range">{base.text(each.range_words)}</td><td class="empty"></td></tr>\n'
        for each in plan.readings
    )
    html = base.section(
        word("buildsheet.order.check"),
        f'<table class="grid came"><thead><tr>{head}</tr></thead><tbody>\n{body}</tbody></table>',
    )
    tall = 1 + sum(max(2, columns.lines(each.where, _VALUE_PT)) for each in plan.readings)
    return Block(html, tall * columns.LINE_PT + len(plan.readings) * _ROW_PT + columns.HEAD_PT)
