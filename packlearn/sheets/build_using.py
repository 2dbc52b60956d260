"""Blocks of a sheet on what is done with the pack: charging it, keeping and carrying it."""

from packlearn.building.carrying import guard_words, lithium_g_words
from packlearn.quantities import write
from packlearn.sheets import build_blocks
from packlearn.words import say, word


def charging(plan, width_pt):
    """How it is charged, or that it is not."""
    heading, grave = word("buildsheet.use.charging"), build_blocks.said(plan, "charging")
    now = plan.charging
    if now is None:
        return build_blocks.run_in(heading, grave, width_pt)
    fields = {"current": write(now.current_a, "A"), "hours": write(now.time_h, "h")}
    if now.holds_voltage:
        # The parts have the charger.
        told = [now.sentence, now.end_words, now.balance_words]
        told.append(say("buildsheet.use.between", **_warmth(now)))
    else:
        name = "singly_block" if plan.form == "snap" else "singly"
        told = [say(f"buildsheet.use.{name}", **fields, **_warmth(now))]
    return build_blocks.run_in(heading, [build_blocks.together(*told), *grave], width_pt)


def _warmth(charging):
    return {"low": f"{charging.lowest_degc:g}", "high": f"{charging.highest_degc:g}"}


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
