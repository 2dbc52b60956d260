"""The order sheet: which ready-made protected pack to ask for, its charger, who may fit it."""

from packlearn.quantities import write
from packlearn.sheets import base, build_blocks
from packlearn.words import say, word


def order_sheet(plan):
    """HTML document of the order sheet of a ready-made pack.

    Args:
        plan: a ``building.Plan`` with ``ready_made``.
    """
    title = say("buildsheet.head", kind=word("buildsheet.title_order"), name=plan.name)
    blocks = [
        build_blocks.opening(plan) + build_blocks.trouble(plan, "buildsheet.not_yet_order"),
        base.beside(build_blocks.figures(plan), build_blocks.margins(plan)),
        _ask(plan),
        build_blocks.cautions(plan, ("wiring", "fusing", "charging"), ("storing",)),
        base.beside(_fit(plan), _charger(plan)),
        _check(plan),
        _keeping(plan),
        build_blocks.carrying(plan),
        build_blocks.assumptions(plan),
    ]
    return build_blocks.document(plan, title, blocks)


def _ask(plan):
    heads = (word(f"buildsheet.order.heads.{name}") for name in ("what", "value", "offer"))
    head = "<th></th>" + "".join(f'<th scope="col">{base.text(each)}</th>' for each in heads)
    rows = "".join(
        f"<tr><td>{base.BOX}</td><td>{base.text(what)}</td><td>{base.text(value)}</td>"
        '<td class="empty"></td></tr>\n'
        for what, value in _lines(plan)
    )
    return base.section(
        word("buildsheet.order.ask"),
        base.paragraph(word("buildsheet.order.how")),
        f'<table class="grid ask"><thead><tr>{head}</tr></thead><tbody>\n{rows}</tbody></table>',
    )


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


def _fit(plan):
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
        told += build_blocks.fuse_notes(plan)
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
    return base.section(word("buildsheet.order.fit"), base.bullets(told))


def _charger(plan):
    charging = plan.charging
    fields = {"current": write(charging.current_a, "A"), "volts": write(charging.voltage_v, "V")}
    holds = say("buildsheet.order.holds", hours=write(charging.time_h, "h"), **fields)
    told = [charging.charger_words, holds, charging.balance_words, charging.notes[0]]
    return base.section(word("buildsheet.order.charger"), base.bullets(told))


def _check(plan):
    if not plan.readings:
        return ""
    heads = (word(f"buildsheet.build.heads.{name}") for name in ("measure", "expect", "read"))
    head = "<th></th>" + "".join(f'<th scope="col">{base.text(each)}</th>' for each in heads)
    rows = "".join(
        f"<tr><td>{base.BOX}</td><td>{base.text(each.where)}</td>"
        f'<td class="range">{base.text(each.range_words)}</td><td class="empty"></td></tr>\n'
        for each in plan.readings
    )
    return base.section(
        word("buildsheet.order.check"),
        f'<table class="grid came"><thead><tr>{head}</tr></thead><tbody>\n{rows}</tbody></table>',
    )


def _keeping(plan):
    told = [plan.keeping.sentence, *build_blocks.sentences(plan, "storing", "cold")]
    items = list(map(base.text, told))
    return base.section(word("buildsheet.use.storing"), build_blocks.in_halves(items))
