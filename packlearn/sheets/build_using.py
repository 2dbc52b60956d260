"""What stands beside the steps of a sheet: wrong readings, charging, keeping, assumptions."""

from packlearn.building.carrying import guard_words, lithium_g_words
from packlearn.building.stages import at_rest_v, resting, turned
from packlearn.quantities import write
from packlearn.sheets import base, build_blocks, build_steps, columns
from packlearn.words import say, word

# From line to line of the small print, in sizes of its letters.
_SMALL_LINE = 1.1


def wrong_readings(plan, width_pt):
    """What a reading outside its range comes from."""
    what = word(f"buildsheet.wrong.{'cell' if plan.form == 'strip' else 'block'}")
    way = "fused" if plan.fuse else "bare"
    way += "_guarded" if plan.protection.kind == "cut_off" else "_plain"
    told = [word("buildsheet.wrong.minus"), word(f"buildsheet.wrong.leads.{way}")]
    told.append(say("buildsheet.wrong.loaded", what=what))
    if plan.pack.series > 1:
        told = [*_wrong_in_line(plan, what), *told]
    heading = say("buildsheet.wrong.heading", off=_off(plan))
    return build_blocks.run_in(heading, build_blocks.escaped(*told), width_pt)


def _off(plan):
    """What is off and out before one looks or charges."""
    way = "strings" if plan.string_fuse else "fused" if plan.fuse else "bare"
    return word(f"buildsheet.off.{way}")


def _wrong_in_line(plan, what):
    """What a reading of cells in line tells: one turned, one left out, one weak."""
    count, cell = plan.pack.series, plan.pack.cell
    if plan.pack.parallel == 1 or plan.strings:
        letter = "" if plan.strings else "A"
        yield say("buildsheet.wrong.first", contact=f"2{letter}+", what=what)
        if count > 2:
            fields = {"range": turned(cell, count).range_words, "contact": f"{count}{letter}+"}
            twice = write(sum(at_rest_v(cell)), "V", 2)
            yield say("buildsheet.wrong.turned", twice=twice, what=what, **fields)
    one = write(sum(at_rest_v(cell)) / 2, "V", 2)
    yield say("buildsheet.wrong.far", one=one, what=what)
    kind = "charged" if cell.rechargeable else "fresh"
    each = resting("cell", cell).range_words
    yield say(f"buildsheet.wrong.weak.{kind}", what=what, range=each)


# In use.


def charging(plan, width_pt):
    """How it is charged, or that it is not."""
    heading, grave = word("buildsheet.use.charging"), build_blocks.said(plan, "charging")
    now = plan.charging
    if now is None:
        return build_blocks.run_in(heading, grave, width_pt)
    fields = {"current": write(now.current_a, "A"), "hours": write(now.time_h, "h")}
    if now.holds_voltage:
        # The parts have the charger.
        balance = now.balance_words if plan.pack.series > 1 else ""
        told = [_charger_first(plan), _charger_at(plan), now.sentence, now.end_words, balance]
        told.append(say("buildsheet.use.between", **_warmth(now)))
    else:
        name = "singly_block" if plan.form == "snap" else "singly"
        told = [say(f"buildsheet.use.{name}", off=_off(plan), **fields, **_warmth(now))]
        told.append(_back_in(plan))
    return build_blocks.run_in(heading, [build_blocks.together(*told), *grave], width_pt)


def _back_in(plan):
    """Which steps bring charged cells back; nothing where a pack is not built yet."""
    if not plan.steps:
        return ""
    again = ("each", "lay", "close", "alike", "string_fuses", "fuse")
    return say("buildsheet.use.back_in", steps=build_steps.numbers(plan, *again))


def _charger_first(plan):
    """How the blocks of a pack are charged before they are joined."""
    if plan.ready_made or not plan.steps:
        return ""
    volts = write(plan.charging.voltage_v / plan.pack.series, "V")
    return say("buildsheet.use.charger_first", step=build_steps.numbers(plan, "cells"), volts=volts)


def _charger_at(plan):
    """Where the charger of a pack one builds goes, and what is off and out before."""
    if plan.ready_made:
        return ""
    ends = {"plus": f"{plan.pack.series}A+", "minus": "1A\u2212"}
    if not plan.strings:
        off = _off(plan)
        return say("buildsheet.use.charger_at", off=f"{off[0].lower()}{off[1:]}", **ends)
    # Their own fuses stay in.
    return word("buildsheet.use.charger_each")


def _warmth(charging):
    return {"low": f"{charging.lowest_degc:g}", "high": f"{charging.highest_degc:g}"}


def wire(plan, width_pt):
    """Cut-off, wire, and what to mind though it fits."""
    guard = plan.protection
    told = [guard.sentence, build_blocks.wire_words(plan), *plan.notes]
    if guard.kind == "cut_off":
        told[0] = say("buildsheet.lead.guarded", volts=write(guard.pack_under_v, "V"))
        if plan.steps:
            step = build_steps.numbers(plan, "black")
            told.insert(1, say("buildsheet.lead.set", step=step))
    return build_blocks.run_in(
        word("buildsheet.lead.cut_off"), build_blocks.escaped(*told), width_pt
    )


def keeping(plan, width_pt):
    """How it is stored and carried, and where it goes when it is done."""
    told = build_blocks.said(plan, "keeping")
    # What a caution says of lead batteries is more than that.
    if plan.form != "cable":
        told = [*build_blocks.escaped(plan.keeping.sentence), *told]
    away = _away(plan.transport)
    # The label of a pack one builds has the marking.
    marking = plan.transport.marking if plan.ready_made else ""
    told += build_blocks.escaped(guard_words(), away, lithium_g_words(plan.pack), marking)
    told += build_blocks.escaped(plan.keeping.disposal_words)
    return build_blocks.run_in(word("buildsheet.use.keeping"), told, width_pt)


def _away(transport):
    """What a passenger meets; of dry cells, which have no limit, only whom to ask."""
    if transport.kind == "dry":
        return word("buildsheet.use.dry")
    energy = write(transport.energy_wh, "Wh")
    told = say(f"building.carrying.{transport.kind}.{transport.passenger}", energy=energy)
    return f"{told} {say('buildsheet.use.ask', date=transport.date)}"


def assumptions(plan, room):
    """What is taken for granted, with its sources, in small print across a page's ``Room``."""
    by_source = {}
    for sentence, source in plan.assumptions:
        by_source.setdefault(source, []).append(sentence)
    items = [f"<b>{base.text(word('buildsheet.use.assumptions'))}</b>"]
    items += [
        f"{base.text(' '.join(each))} <i>{base.text(source)}.</i>"
        for source, each in by_source.items()
    ]
    wide, small_pt = (room.page_pt - columns.GAP_PT) / 2, room.small_pt
    left, right = columns.halves(" ".join(items), wide, small_pt)
    tall = max(columns.lines(each, wide, small_pt) for each in (left, right))
    size = f"font-size: {build_blocks.em(small_pt)}"
    html = f'<div class="assumed" style="{size}"><div>{left}</div><div>{right}</div></div>'
    return columns.Block(html, tall * small_pt * _SMALL_LINE + 6)
