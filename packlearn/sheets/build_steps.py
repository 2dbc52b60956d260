"""Steps of a build sheet to tick off: joints grouped, what a meter should show, room to write."""

import re
from itertools import groupby

from packlearn._simulation.plans import letters
from packlearn.building.stages import MOST_NOTED
from packlearn.quantities import write
from packlearn.sheets import base, build_blocks, columns
from packlearn.sheets.columns import Block
from packlearn.sheets.letter_widths import wide_em
from packlearn.words import say, word

# Heights of a joint's row, of the room around a step [pt].
JOINT_PT, STEP_PT = 13.0, 2.1
# What larger letters of a reading add to its line [pt].
_MORE_PT = 0.8
# Widths of the box with the number, of the room to write [pt].
_BOX_PT, _READ_PT = 29.0, 34.0
# Of a joint's row: room before it, behind each of its cells, a tick box with its letter, a line,
# a box alone [pt].
_INSIDE_PT, _CELL_PT, _TICK_PT, _LINE_PT, _BARE_PT = 4.0, 3.0, 23.0, 20.0, 16.0
# Lines in a row, strings with a line each.
_IN_A_ROW, _MOST_WRITTEN = 6, 3
# Ranges of a plain meter, just above what it can show [V].
_METER_V = (20, 200)


def steps(plan, width_pt, apart=False):
    """All steps of a plan, and its joints where they stand on a page of their own.

    Args:
        plan: a ``Plan``.
        width_pt: width of the column [pt].
        apart: put the joints on a second page.

    Returns:
        Pair of ``Block`` and HTML of the second page; nothing where it cannot be built yet.
    """
    if not plan.steps:
        return columns.NOTHING, ""
    heading = word("buildsheet.build.heading")
    how = " ".join([*_before(plan), *build_blocks.said(plan, "measuring")])
    tall = columns.HEAD_PT + _tall(how, width_pt)
    rows, second = [], ""
    for number, (kind, found) in enumerate(_grouped(plan.steps), 1):
        if kind == "join" and apart:
            second = _page(plan, number, found)
            row = _row(number, base.text(word("buildsheet.joints.over")), None, width_pt)
        else:
            row = _step(plan, number, kind, found, width_pt)
        rows.append(row)
    body = columns.stacked(*rows)
    table = f'<table class="grid steps"><tbody>\n{body.html}</tbody></table>'
    made = base.section(heading, f"<p>{how}</p>", table)
    return Block(made, tall + body.height_pt), second


def _before(plan):
    """How the meter is set, and what is done to wires first, as HTML."""
    most = max(reading.high_v for reading in plan.readings)
    most = next(each for each in _METER_V if each > most)
    crimp = "crimp" if plan.form != "snap" else "bare"
    return build_blocks.escaped(
        say("buildsheet.build.how", volts=write(most, "V")), word(f"buildsheet.build.{crimp}")
    )


def signed(told):
    """A text with the minus ends of cells written as minus, not as a hyphen."""
    return re.sub(r"(\d[A-Z]*)-(?=\W|$)", "\\1\u2212", told)


def _tall(content, width_pt):
    return columns.lines(content, width_pt) * columns.LINE_PT


def _grouped(steps):
    """Kinds of steps with their steps: all joints of one kind are one step to number."""
    for kind, found in groupby(steps, key=lambda step: step.kind):
        found = list(found)
        if kind in ("join", "close"):
            yield kind, found
        else:
            yield from ((kind, [step]) for step in found)


def _step(plan, number, kind, found, width_pt):
    """One step as rows of the table."""
    if kind == "join":
        return _joined(plan, number, _how(plan), _rows(plan, found), width_pt)
    if kind == "close":
        return _closing(plan, number, found, width_pt)
    step = found[0]
    told = base.text(signed(step.sentence))
    if kind == "lay":
        told = " ".join([told, *build_blocks.said(plan, "laying")])
    if kind == "first_run":
        return _with_lines(
            _row(number, told, None, width_pt), [word("buildsheet.build.last_reading")]
        )
    several = kind in ("each", "string_fuses") and len(step.contacts) > 1
    row = _row(number, told, step.reading, width_pt, step.after, not several)
    if several and len(step.contacts) <= max(MOST_NOTED, plan.pack.parallel):
        return _with_lines(row, step.contacts)
    return row


def _row(number, told, reading, width_pt, after="", line=True):
    """A step: its box and number, what to do and where to measure, what to expect, then."""
    box = f'<td class="mark">{base.BOX}{number}</td>'
    inner = width_pt - _BOX_PT
    tall = _tall(told, inner) + STEP_PT
    if reading is None:
        return Block(f"<tr>{box}<td>{told}</td></tr>\n", tall)
    where = say("buildsheet.build.meter", where=signed(reading.where))
    where, expected = base.text(where), base.text(reading.range_words)
    meter = f'<span>{where} <b class="range">{expected}</b></span>{base.LINE if line else ""}'
    after = base.text(after)
    html = f'<tr>{box}<td>{told}<div class="meter">{meter}</div>{after}</td></tr>\n'
    tall += _tall(after, inner) if after else 0
    return Block(html, tall + _tall(meter, min(0.92 * inner, inner - _READ_PT)) + _MORE_PT)


def _with_lines(row, names):
    """A step with a short line to write on for each name."""
    parts = [names[at : at + _IN_A_ROW] for at in range(0, len(names), _IN_A_ROW)]
    fields = "".join(base.row(*map(base.field, part)) for part in parts)
    html = f'<tr><td></td><td class="lines">{fields}</td></tr>\n'
    return Block(row.html + html, row.height_pt + len(parts) * 14 + STEP_PT)


# Joints.


def numbers(plan, *kinds):
    """Numbers of a plan's steps of some kinds, in words: ``2, 3, 8 to 11``; empty for none.

    Args:
        plan: a ``Plan``.
        kinds: names of ``stages.STEPS``.
    """
    found = [
        number for number, (kind, _) in enumerate(_grouped(plan.steps or ()), 1) if kind in kinds
    ]
    runs = []
    for _, run in groupby(enumerate(found), key=lambda each: each[1] - each[0]):
        first, *rest = (number for _, number in run)
        told = [str(first), *map(str, rest)]
        if len(rest) > 1:
            told = [say("buildsheet.build.run", first=first, last=rest[-1])]
        runs += told
    return ", ".join(runs)


def _how(plan):
    """How the joints of a pack are made and measured, in words."""
    told = [word(f"buildsheet.joints.{plan.form}")]
    if plan.strings:
        told += [word("buildsheet.joints.strings"), word("buildsheet.joints.black_strings")]
    else:
        last = letters(plan.pack.parallel - 1)
        told += [say("buildsheet.joints.groups", last=last)] if plan.pack.parallel > 1 else []
        told.append(signed(say("buildsheet.joints.black", black="1A-")))
    return " ".join(map(base.text, told))


def _rows(plan, found):
    """Rows of joints: what is joined, where the red probe goes, what to expect."""
    strings = plan.pack.parallel if plan.strings else 1
    for step in found[::strings]:
        plus = [name for name in step.contacts if name.endswith("+")]
        minus = [name for name in step.contacts if name.endswith("-")]
        plus, minus = plus[0], minus[0]
        if plan.pack.parallel > 1:
            plus, minus = _bare(plus), _bare(minus)
        pair = signed(say("buildsheet.joints.pair", plus=plus, minus=minus))
        if step.reading is None:
            yield pair, "", word("buildsheet.joints.later")
            continue
        red = _bare(step.reading.red) if plan.strings else step.reading.red
        yield pair, red, step.reading.range_words


def _bare(contact):
    return re.sub("[A-Z]", "", contact)


def _joined(plan, number, how, rows, width_pt):
    """A step of several joints, with a table of its own."""
    rows = list(rows)
    box = f'<td class="mark">{base.BOX}{number}</td>'
    table = _table(plan, rows)
    html = f'<tr>{box}<td>{how}</td></tr>\n<tr><td colspan="2" class="inner">{table}</td></tr>\n'
    strings = plan.pack.parallel if plan.strings else 1
    # What does not fit beside each other takes two lines.
    each = max(2 - (_row_pt(row, strings) <= width_pt - _INSIDE_PT) for row in rows)
    tall = _tall(how, width_pt - _BOX_PT) + (len(rows) * each + _headed(plan)) * JOINT_PT
    return Block(html, tall + 2 * STEP_PT)


def _row_pt(row, strings):
    """How wide a joint's row is [pt]."""
    pair, red, expected = row
    told = columns.SIZE_PT * (wide_em(f"{pair}{red}") + wide_em(expected, bold=True)) + 3 * _CELL_PT
    return told + strings * (_TICK_PT + _LINE_PT if strings <= _MOST_WRITTEN else _BARE_PT)


def _headed(plan):
    """Whether strings have their letters above their boxes; few have them beside."""
    return plan.strings and plan.pack.parallel > _MOST_WRITTEN


def _table(plan, rows):
    names = [letters(place) for place in range(plan.pack.parallel)] if plan.strings else [""]
    written = len(names) <= _MOST_WRITTEN
    look = f"joints of{len(names)}" if written else "joints ticks"
    ticks = "".join(
        f'<td class="tick">{base.text(name) if written else ""}{base.BOX}'
        f"{base.LINE if written else ''}</td>"
        for name in names
    )
    # Nothing is read there yet.
    bare = ticks.replace(base.LINE, "")
    head = ""
    if _headed(plan):
        heads = "".join(f'<th scope="col" class="tick">{base.text(name)}</th>' for name in names)
        head = f"<thead><tr><th></th><th></th><th></th>{heads}</tr></thead>"
    body = "".join(
        f"<tr><td>{base.text(pair)}</td>{_expected(red, expected)}"
        f"{bare if expected == word('buildsheet.joints.later') else ticks}</tr>\n"
        for pair, red, expected in rows
    )
    return f'<table class="{look}">{head}<tbody>\n{body}</tbody></table>'


def _expected(red, expected):
    """Cells with where the red probe goes and what it reads; one where there is nothing to read."""
    if not red:
        return f'<td class="range" colspan="2">{base.text(expected)}</td>'
    return f'<td>{base.text(red)}</td><td class="range">{base.text(expected)}</td>'


def _closing(plan, number, found, width_pt):
    """What closes the pack, or each string: the last cell or the last cable."""
    if not plan.strings:
        step = found[0]
        return _row(number, base.text(signed(step.sentence)), step.reading, width_pt)
    reading, told = found[0].reading, []
    if not any(step.kind == "join" for step in plan.steps):
        told.append(word("buildsheet.joints.strings"))
    pair = ""
    if plan.form == "cable":
        ((pair, *_),) = _rows(plan, found)
        told.append(say("buildsheet.joints.last_strings", ends=pair))
    else:
        cells = ", ".join(cell for step in found for cell in step.contacts)
        told.append(say(f"buildsheet.joints.last_{plan.form}", cells=cells))
    # In words, so that nobody takes it for a joint to make.
    told.append(signed(say("buildsheet.joints.ends", plus=_bare(reading.red), minus="1-")))
    rows = [(pair, "", reading.range_words)]
    return _joined(plan, number, base.text(" ".join(told)), rows, width_pt)


def _page(plan, number, found):
    """The second page: the joints of a large pack."""
    heading = say("buildsheet.joints.page", step=number, name=plan.name)
    table = _table(plan, list(_rows(plan, found)))
    return base.section(heading, f"<p>{_how(plan)}</p>", table)
