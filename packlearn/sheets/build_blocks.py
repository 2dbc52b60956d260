"""Blocks that build sheets and order sheets share: figures, cautions, charging, small print."""

import math
import re
from typing import NamedTuple

from packlearn._simulation.plans import letters
from packlearn.building.measures import measures_of
from packlearn.packs import Pack
from packlearn.quantities import write
from packlearn.sheets import base, columns
from packlearn.sheets.columns import Block
from packlearn.sheets.fitting import fitted
from packlearn.words import say, word

# Letters of a picture's labels beside letters of 10 pt, and the smallest they become [pt].
_LABEL_PT, _LEAST_LABEL_PT = 9.0, 8.5
_ROW_PT, _ITEM_PT, _INDENT_PT, _AFTER_PT = 14.2, 0.9, 10.0, 2.9

# Box and count of a part [pt].
_MARK_PT = 34.0
# Of the table of margins: its first column, the room behind a figure, its letters [pt].
_MARGIN_NAME_PT, _MARGIN_GAP_PT, _MARGIN_SIZE_PT = 76.0, 4.3, 10.5
_COLUMNS = "<colgroup>" + 2 * '<col class="tick"/><col class="count"/><col/>' + "</colgroup>"

# Cells, blocks and strings that are all drawn.
_MOST_DRAWN, _MOST_BLOCKS, _MOST_ROWS = 24, 6, 3

# A wire that becomes less warm than this needs no word [K].
_FELT_K = 3.0

# Where a caution is said beside what it goes for; all others stand under "Take care".
_IN_PLACE = {
    "holder_only": "laying",
    "never_charge": "charging",
    "strings_apart": "charging",
    "nimh_charger": "charging",
    "lead_gas": "charging",
    "own_charger": "charging",
    "no_charge_cold": "charging",
    "watch_charging": "charging",
    "lithium_store": "keeping",
    "lead_store": "keeping",
    "lead_freezes": "keeping",
    "tape_ends": "keeping",
    # The steps, the parts and what is said of the fuse have it.
    "meter_amps": "steps",
    "last_joint": "steps",
    "fuse_first": "fuse",
    "fuse_kind": "fuse",
    # The transport's own sentence says the same.
    "rules_of_transport": "carrying",
}
# Cautions that one cell or block alone does not need.
_OF_SEVERAL = {"last_joint", "no_mixing", "primary_alone", "strings_apart"}
# What goes for loose cells only.
_OF_LOOSE = ("joining", "mixing", "measuring")


def document(plan, title, pages):
    """HTML document of one sheet.

    Args:
        plan: the ``Plan``.
        title: its title.
        pages: HTML of its pages; the small print, or joints, may stand on a second.
    """
    sheets = [f'<section class="sheet build">{page}</section>' for page in pages]
    return columns.kept(base.document(title, sheets, "bench"))


def sized(room, content):
    """A page's HTML in letters of its ``Room``."""
    return f'<div style="font-size: {10 * room.scale:g}pt">{content}</div>'


# Parts of blocks.


def listed(heading, items, width_pt):
    """A heading and a list.

    Args:
        heading: its text.
        items: HTML of each item; empty ones are left out.
        width_pt: width of its column [pt].
    """
    items = [item for item in items if item]
    rows = "".join(f"<li>{item}</li>" for item in items)
    tall = sum(
        columns.lines(item, width_pt - _INDENT_PT) * columns.LINE_PT + _ITEM_PT for item in items
    )
    return Block(base.section(heading, f"<ul>{rows}</ul>"), columns.HEAD_PT + tall)


def run_in(heading, items, width_pt):
    """A paragraph that begins with its heading.

    Args:
        heading: its text.
        items: HTML of its sentences; empty ones are left out.
        width_pt: width of its column [pt].
    """
    told = " ".join(item for item in items if item)
    html = f'<p class="run"><b>{base.text(heading)}</b> {told}</p>'
    return Block(html, columns.lines(html, width_pt) * columns.LINE_PT + _AFTER_PT)


def escaped(*told):
    """Sentences as HTML, those that are empty left out."""
    return [base.text(each) for each in told if each]


def together(*told):
    """Sentences in one item, as HTML."""
    return " ".join(escaped(*told))


def danger(sentence):
    """A sentence on which much depends, marked as such, as HTML."""
    return f"<b>{base.text(word('buildsheet.use.danger'))}</b> {base.text(sentence)}"


def two(pair, room):
    """Two ``Block``s as columns beside each other; below each other on a narrow screen."""
    left, right = (each.html for each in pair)
    return (
        f'<div class="pair"><div class="narrow" style="flex-basis: {em(room.left_pt)}">{left}</div>'
        f'<div class="wide">{right}</div></div>'
    )


def em(width_pt):
    """A width in points of letters of 10 pt, as the style counts it."""
    return f"{width_pt / 10:.2f}em"


# Figures.


def margins(plan, width_pt):
    """What the pack gives beside what the device asks."""
    names = [row.key for row in plan.margins]
    # Behind the leads it is what the device sees.
    rows = [row for row in plan.margins if row.key != "low" or "leads" not in names]
    heads = ["", *(word(f"buildsheet.margins.heads.{name}") for name in ("have", "need", "left"))]
    full = "charged" if plan.pack.cell.rechargeable else "fresh"
    keys = {row: full if row.key == "high" else row.key for row in rows}
    # What the cells could give stands below.
    fused = plan.fuse and not plan.ready_made and not plan.fuse.time_lag
    keys = {row: "fused" if key == "current" and fused else key for row, key in keys.items()}
    told = [_margin(row, word(f"buildsheet.margins.{key}")) for row, key in keys.items()]
    table = base.table(heads, told, look="margins")
    each_pt = (width_pt - _MARGIN_NAME_PT) / 3 - _MARGIN_GAP_PT
    more = sum(
        max(columns.lines(each, each_pt, _MARGIN_SIZE_PT) for each in row[1:]) - 1 for row in told
    )
    return Block(table, (len(rows) + 1) * _ROW_PT + more * _MARGIN_SIZE_PT * 1.07 + 1)


def drawn_rows(plan):
    """How many strings the picture of the cells shows: of many cells two, as the rest lie alike."""
    count = plan.pack.parallel
    if not plan.strings:
        return 1
    most = _MOST_DRAWN if plan.form == "strip" else _MOST_BLOCKS
    return count if plan.pack.cell_count <= most and count <= _MOST_ROWS else min(2, count)


def figures(plan, width_pt):
    """Other key figures, a line for each, and how ends of cells are called."""
    told = [*_figures(plan)]
    if plan.form:
        told.append(word(f"buildsheet.build.names.{plan.form}"))
    if plan.strings:
        what = word(f"build.steps.cells.{'blocks' if plan.form == 'cable' else 'cells'}")
        told[-1] += " " + say("buildsheet.build.names.strings", what=what)
        if (rows := drawn_rows(plan)) < plan.pack.parallel:
            way = "one" if plan.pack.parallel - rows == 1 else "more"
            ends = {"first": letters(rows), "last": letters(plan.pack.parallel - 1)}
            told[-1] += " " + say(f"buildsheet.build.names.like_{way}", **ends)
    html = "".join(base.paragraph(each) for each in told)
    tall = sum(columns.lines(each, width_pt) for each in told) * columns.LINE_PT
    return Block(html, tall)


def _margin(row, told):
    # What hardly fits, or hardly misses, would look alike when rounded.
    digits = 4 if abs(row.left) < 0.02 * row.have else 3
    return (
        told,
        write(row.have, row.unit, digits),
        write(row.need, row.unit, digits),
        write(row.left, row.unit, 2).replace("-", "\u2212"),
    )


def _figures(plan):
    seen = plan.figures
    yield say(
        "buildsheet.figures.voltage",
        nominal=write(seen.nominal_v, "V"),
        end=write(seen.end_v, "V"),
        charge=write(seen.capacity_ah, "Ah"),
        energy=write(seen.energy_wh, "Wh"),
    )
    currents = {
        "limit": write(seen.current_limit_a, "A"),
        "short": write(seen.short_circuit_a, "A", 2),
    }
    yield say("buildsheet.figures.current", **currents)
    if plan.notes and any(row.key == "leads" and row.left < 0 for row in plan.margins):
        yield word("buildsheet.figures.below")
    if plan.measures:
        one = Pack(plan.pack.cell, plan.pack.series, 1)
        seen = measures_of(one) if plan.strings else plan.measures
        sides = (f"{side:.0f}" for side in seen.box_mm)
        fields = dict(zip(("width", "depth", "height"), sides, strict=True))
        name = "measures" if plan.form == "strip" else "measures_bare"
        name = "measures_strings" if plan.strings else name
        yield say(f"buildsheet.figures.{name}", mass=write(plan.measures.mass_g, "g", 2), **fields)


# Cautions.


def _found(plan):
    """Cautions of a plan without mere notes, each once, what matters most first."""
    loose = _OF_LOOSE if plan.ready_made else ()
    alone = _OF_SEVERAL if plan.pack.cell_count == 1 else set()
    alone = alone | ({"strings_apart"} if plan.pack.parallel == 1 else set())
    found = {
        each.key: each
        for situation, cautions in plan.cautions.items()
        if situation not in loose
        for each in cautions
        if each.severity != "note" and each.key not in alone
    }
    return sorted(found.values(), key=lambda each: each.severity != "danger")


def said(plan, place):
    """Cautions that stand beside what they go for, as HTML, what matters most first.

    Args:
        plan: a ``Plan``.
        place: ``"laying"``, ``"charging"`` or ``"keeping"``.
    """
    found = [each for each in _found(plan) if _IN_PLACE.get(each.key) == place]
    grave = [danger(each.sentence) for each in found if each.severity == "danger"]
    rest = escaped(*(each.sentence for each in found if each.severity != "danger"))
    return grave + rest


def cautions(plan, width_pt):
    """Cautions of the whole sheet."""
    found = [each for each in _found(plan) if each.key not in _IN_PLACE]
    told = "".join(
        f"<p><b>{base.text(each.label)}.</b> {base.text(each.sentence)}</p>" for each in found
    )
    tall = sum(columns.lines(f"{each.label}. {each.sentence}", width_pt - 8) for each in found)
    return Block(f'<div class="caution">{told}</div>', tall * columns.LINE_PT + 4)


def rules(plan, width_pt):
    """Whose rules go first."""
    own = next(each for each in plan.cautions["wiring"] if each.key == "own_rules")
    return run_in(word("buildsheet.use.rules"), escaped(own.sentence), width_pt)


# Parts, leads.


class Drawn(NamedTuple):
    """A picture of a sheet: its HTML, its width and height, in points of letters of 10 pt."""

    html: str
    width_pt: float
    height_pt: float


def drawn(picture, share, room, most_pt=math.inf):
    """``Drawn``: a picture whose labels have 9 pt beside letters of 10 pt, never below 8.5 pt.

    Args:
        picture: a ``Picture``.
        share: its size against the one on a screen, points against pixels.
        room: the page's ``Room``.
        most_pt: most of its width [pt].
    """
    on_screen = float(re.search(r' width="([\d.]+)"', picture.svg)[1])
    label = max(_LABEL_PT * room.scale, _LEAST_LABEL_PT)
    shown = fitted(picture.svg, min(most_pt, share * on_screen) * room.scale, label)
    sides = re.search(r'width="([\d.]+)pt" height="([\d.]+)pt"', shown).groups()
    wide, tall = (float(side) / room.scale for side in sides)
    return Drawn(f'<div class="picture">{shown}</div>', wide, tall)


def parts(plan, width_pt):
    """Parts to tick off, each with its count; two short ones share a row."""
    rows = _paired(plan.parts, width_pt / 2 - _MARK_PT)
    told, tall = "", 0
    for row in rows:
        wide = ' colspan="4"' if len(row) == 1 else ""
        cells = "".join(
            f'<td class="tick">{base.BOX}</td><td class="count">{part.count}</td>'
            f"<td{wide}>{base.text(part.what)}</td>"
            for part in row
        )
        told += f"<tr>{cells}</tr>\n"
        room = width_pt / len(row) - _MARK_PT
        tall += max(columns.lines(part.what, room) for part in row)
    table = f'<table class="grid parts">{_COLUMNS}<tbody>\n{told}</tbody></table>'
    tall = tall * columns.LINE_PT + len(rows) * 0.5
    return Block(base.section(word("buildsheet.parts.heading"), table), tall + columns.HEAD_PT)


def _paired(parts, room_pt):
    """Rows of one part or of two short ones, in order but for what waits for its pair."""
    rows, waiting = [], None
    for part in parts:
        if columns.lines(part.what, room_pt) > 1:
            rows.append((part,))
        elif waiting is None:
            waiting = len(rows)
            rows.append((part,))
        else:
            rows[waiting], waiting = (*rows[waiting], part), None
    return rows


def fuses(plan, width_pt):
    """Where the fuses go, and why they are what they are."""
    told = []
    if plan.fuse:
        told += [
            word("buildsheet.lead.place"),
            word("buildsheet.lead.mend"),
            fuse_words(plan),
            *fuse_notes(plan),
        ]
    if plan.string_fuse:
        count = "two" if plan.pack.parallel == 2 else "more"
        told.append(word(f"buildsheet.lead.strings.{count}"))
    if not told:
        return columns.NOTHING
    return run_in(word("buildsheet.lead.heading"), escaped(*told), width_pt)


def wire_words(plan):
    """The wire in words; empty where none was found."""
    if plan.wire is None:
        return ""
    drop_v = plan.wire.drop_v * plan.figures.peak_a / plan.figures.steady_a
    fields = {"drop": write(drop_v, "V", 2)}
    if plan.wire.heating_k < _FELT_K:
        # What it may lose stands among the assumptions.
        return ""
    return say("buildsheet.lead.warm", heat=f"{plan.wire.heating_k:.2g}", **fields)


def fuse_words(plan):
    """The two ends of the main fuse's range, in words; the parts have what it must break."""
    fuse = plan.fuse
    return say(
        "buildsheet.lead.fuse",
        least=write(fuse.least_a, "A", 2),
        most=write(fuse.most_a, "A", 2),
        upper=word(f"buildsheet.lead.upper.{fuse.binds_most}"),
    )


def fuse_notes(plan):
    """What to mind with the main fuse: peaks above its rating, how its breaking is stated."""
    fuse, told = plan.fuse, []
    if fuse.time_lag:
        told.append(say("building.fuses.time_lag", peak=write(fuse.peak_a, "A")))
    if fuse.family.ac:
        told.append(word("buildsheet.lead.ac"))
    return told
