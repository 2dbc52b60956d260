"""Blocks that build sheets and order sheets share: figures, margins, cautions, assumptions."""

import re

from packlearn.building.carrying import guard_words, lithium_g_words
from packlearn.building.stages import at_rest_v
from packlearn.quantities import write
from packlearn.sheets import base
from packlearn.sheets.fitting import fitted
from packlearn.words import say, word

# Widths of pictures beside others, of a circuit alone, of a page; size of their labels [pt].
HALF_PT, LARGE_PT, WHOLE_PT, LABEL_PT = 200.0, 280.0, 490.0, 8.0
IN_A_ROW, MOST_LINES = 8, 48


# Cautions that are said at the bench although they go for charging, too.
_AT_ONCE = {"lead_gas"}
# The transport's own sentence says the same.
_SAID_ALREADY = {"rules_of_transport"}
# Cautions that one cell or block alone does not need.
_OF_SEVERAL = {"last_joint", "no_mixing", "primary_alone", "strings_apart"}
CLOSE = '<div class="close">'
"""Beginning of a block that the next one follows without a gap."""
_ROW = '<td class="block">'


def document(plan, title, blocks):
    """HTML document of one sheet.

    Args:
        plan: the ``Plan``.
        title: its title.
        blocks: HTML of its blocks; none is split between pages.
    """
    head = f"{plan.pack.name} {plan.pack.cell.title}"
    made = base.frame(title, head, blocks, "build")
    made = made.replace(_ROW + CLOSE, f'<td class="block tight">{CLOSE}')
    return base.document(title, [made])


def opening(plan):
    """Name of the pack, what it is made of, and lines for who built it when."""
    made_of = say(
        "buildsheet.made_of",
        pack=f"{plan.pack.name} {plan.pack.cell.title}",
        pieces=plan.choice.pieces_words,
    )
    date = word("buildsheet.date_order" if plan.ready_made else "buildsheet.date")
    lines = base.row(base.field(date), base.field(word("buildsheet.by")))
    return base.beside(f"<h1>{base.text(plan.name)}</h1>" + base.paragraph(made_of, "quiet"), lines)


def trouble(plan, key):
    """A box that says why it is not built yet; empty where it can be."""
    if not plan.trouble:
        return ""
    told = base.bullets(plan.trouble) + base.paragraph(word("buildsheet.trouble"))
    return f'<div class="stop"><h2>{base.text(word(key))}</h2>{told}</div>'


def figures(plan):
    """Key figures as a table."""
    seen = plan.figures
    rows = [
        _figure(
            "voltage",
            nominal=write(seen.nominal_v, "V"),
            full=write(seen.full_v, "V"),
            end=write(seen.end_v, "V"),
        ),
        _figure("energy", charge=write(seen.capacity_ah, "Ah"), energy=write(seen.energy_wh, "Wh")),
        _figure(
            "current",
            limit=write(seen.current_limit_a, "A"),
            short=write(seen.short_circuit_a, "A", 2),
        ),
    ]
    if plan.measures:
        sides = (f"{side:.0f}" for side in plan.measures.box_mm)
        fields = dict(zip(("width", "depth", "height"), sides, strict=True))
        rows.append(_figure("measures", mass=write(plan.measures.mass_g, "g", 2), **fields))
    return base.section(word("buildsheet.figures.heading"), base.table((), rows, look="pairs"))


def _figure(name, **fields):
    key = f"buildsheet.figures.{name}"
    return word(key), say(f"{key}_is", **fields)


def margins(plan):
    """What the pack gives beside what the device asks, with what is left."""
    heads = [word(f"buildsheet.margins.heads.{name}") for name in ("what", "have", "need", "left")]
    rows = [
        (
            word(f"buildsheet.margins.{row.key}"),
            write(row.have, row.unit),
            write(row.need, row.unit),
            write(row.left, row.unit, 2),
        )
        for row in plan.margins
    ]
    return base.table(heads, rows, word("buildsheet.margins.heading"), "margins")


def cautions(plan, situations, elsewhere=()):
    """Cautions of some situations, each once, what matters most first.

    Args:
        plan: a ``Plan``.
        situations: names of situations.
        elsewhere: situations whose cautions stand on another part of the sheet.
    """
    found = {each.key: each for name in situations for each in plan.cautions[name]}
    later = {each.key for name in elsewhere for each in plan.cautions[name]} - _AT_ONCE
    alone = _OF_SEVERAL if plan.pack.cell_count == 1 else set()
    grave = [
        each for each in found.values() if each.severity != "note" and each.key not in later | alone
    ]
    grave.sort(key=lambda each: each.severity != "danger")
    items = [f"<b>{base.text(each.label)}.</b> {base.text(each.sentence)}" for each in grave]
    heading = f"<h2>{base.text(word('buildsheet.use.cautions'))}</h2>"
    return f'<div class="caution">{heading}{in_halves(items)}</div>'


def in_halves(items, line=54):
    """A list in two columns of about the same height.

    Print engines differ in how they balance columns, so it is done here.

    Args:
        items: HTML of each item.
        line: signs in one line of a column.
    """
    high = [-(-len(re.sub("<[^>]*>", "", item)) // line) for item in items]
    half = min(range(len(items) + 1), key=lambda at: max(sum(high[:at]), sum(high[at:])))
    lists = ("".join(f"<li>{item}</li>" for item in part) for part in (items[:half], items[half:]))
    return base.beside(*(f"<ul>{part}</ul>" for part in lists))


def sentences(plan, *situations, without=()):
    """Sentences of the cautions of some situations, each once, without mere notes.

    Args:
        plan: a ``Plan``.
        *situations: names of situations.
        without: keys of cautions that stand elsewhere.
    """
    found = {each.key: each for name in situations for each in plan.cautions[name]}
    return [
        say("buildsheet.use.caution", label=each.label, sentence=each.sentence)
        for each in found.values()
        if each.severity != "note" and each.key not in without
    ]


def lines_for(names):
    """A short line to write on for each name; nothing for very many."""
    if len(names) > MOST_LINES:
        return ""
    rows = [names[at : at + IN_A_ROW] for at in range(0, len(names), IN_A_ROW)]
    lines = ""
    for row in rows:
        cells = "".join(f"<td>{base.field(name)}</td>" for name in row)
        lines += f"<tr>{cells}{'<td></td>' * (IN_A_ROW - len(row))}</tr>"
    return f'<div class="lines"><table><tbody>{lines}</tbody></table></div>'


def steps_heads():
    """Heads of the columns of ``steps_table``, as a table of their own."""
    names = ("do", "measure", "expect", "read")
    heads = (word(f"buildsheet.build.heads.{name}") for name in names)
    head = "".join(f'<th scope="col">{base.text(each)}</th>' for each in heads)
    return f'<table class="grid steps"><thead><tr><th></th>{head}</tr></thead></table>'


def steps_table(rows):
    """Steps to tick off: what to do, where to measure, what to expect, room to write.

    Args:
        rows: number, sentence, and None or a pair of where to measure and the range.
    """
    body = "".join(
        f"<tr><td>{base.BOX}</td><td>{number}. {base.text(sentence)}</td>{_measured(reading)}</tr>"
        for number, sentence, reading in rows
    )
    return f'<table class="grid steps"><tbody>\n{body}</tbody></table>\n'


def wrong_readings(plan):
    """What a reading outside its range comes from."""
    what = word(f"buildsheet.wrong.{'cell' if plan.form == 'strip' else 'block'}")
    told = [word("buildsheet.wrong.open"), word("buildsheet.wrong.minus")]
    if plan.pack.series > 1:
        twice = write(sum(at_rest_v(plan.pack.cell)), "V", 2)
        told.insert(1, say("buildsheet.wrong.turned", twice=twice, what=what))
    told.append(say("buildsheet.wrong.loaded", what=what))
    return base.section(word("buildsheet.wrong.heading"), in_halves(list(map(base.text, told))))


def parts_table(parts):
    """Parts to tick off, each with its count."""
    rows = "".join(
        f'<tr><td>{base.BOX}</td><td class="count">{part.count}</td>'
        f"<td>{base.text(part.what)}</td></tr>\n"
        for part in parts
    )
    return f'<table class="grid parts"><tbody>\n{rows}</tbody></table>'


def _measured(reading):
    if reading is None:
        return ""
    where, expected = map(base.text, reading)
    return f'<td>{where}</td><td class="range">{expected}</td><td class="empty"></td>'


def drawn(picture, key, width_pt):
    """A picture with its name above it."""
    shown = fitted(picture.svg, width_pt, LABEL_PT)
    return f'<p class="quiet name">{base.text(word(key))}</p><div class="picture">{shown}</div>'


def wire_words(plan):
    """The wire in words; empty where none was found."""
    if plan.wire is None:
        return ""
    drop_v = plan.wire.drop_v * plan.figures.peak_a / plan.figures.steady_a
    return say(
        "buildsheet.lead.wire",
        wire=plan.wire.conductor.label,
        length=write(plan.lead_m, "m"),
        drop=write(drop_v, "V", 2),
        heat=_degrees(plan.wire.heating_k),
    )


def _degrees(kelvin):
    if kelvin < 1:
        return word("buildsheet.lead.under_one")
    return say("buildsheet.lead.degrees", count=f"{kelvin:.2g}")


def fuse_words(plan):
    """The main fuse in words: rating, the two ends of its range, what it must break."""
    fuse = plan.fuse
    return say(
        "buildsheet.lead.fuse",
        rating=write(fuse.rating_a, "A"),
        least=write(fuse.least_a, "A", 2),
        most=write(fuse.most_a, "A", 2),
        upper=word(f"buildsheet.lead.upper.{fuse.binds_most}"),
        needed=write(fuse.breaking_capacity_needed_a, "A", 2),
        volts=write(fuse.voltage_v, "V"),
    )


def fuse_notes(plan):
    """What to mind with the main fuse: peaks above its rating, how its breaking is stated."""
    fuse, told = plan.fuse, []
    if fuse.time_lag:
        told.append(say("building.fuses.time_lag", peak=write(fuse.peak_a, "A")))
    if fuse.family.ac:
        told.append(word("building.fuses.ac"))
    return told


def carrying(plan):
    """How it is carried, and where it goes when it is done."""
    told = [plan.transport.sentence, plan.transport.marking, lithium_g_words(plan.pack)]
    told += [guard_words(), plan.keeping.disposal_words]
    before = ("wiring", "measuring", "storing")
    shown = {each.key for name in before for each in plan.cautions[name]}
    told += sentences(plan, "carrying", "disposing", without=shown | _SAID_ALREADY)
    items = [base.text(each) for each in told if each]
    return base.section(word("buildsheet.use.carrying"), in_halves(items))


def assumptions(plan):
    """What is taken for granted, with its sources; and whose rules go first."""
    by_source = {}
    for sentence, source in plan.assumptions:
        by_source.setdefault(source, []).append(sentence)
    items = [
        f"{base.text(' '.join(each))} <i>{base.text(source)}.</i>"
        for source, each in by_source.items()
    ]
    told = base.section(word("buildsheet.use.assumptions"), in_halves(items, 64))
    return f'<div class="assumed">{told}</div>{base.paragraph(_own_rules(plan))}'


def _own_rules(plan):
    return next(each.sentence for each in plan.cautions["joining"] if each.key == "own_rules")
