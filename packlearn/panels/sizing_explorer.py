"""The panel of lesson 4: a need by sliders, the packs that meet it, and why others fail."""

from packlearn import pictures
from packlearn.loads import Load
from packlearn.panels.base import alert, area, dropdown, escape, paragraphs, slider
from packlearn.panels.curve_figures import in_columns
from packlearn.panels.explorers import Explorer
from packlearn.quantities import write
from packlearn.sizing import RANKS, Need, size
from packlearn.words import say

ROWS = 8


class SizingExplorer(Explorer):
    """Sliders for voltage window, current, hours and derating; choices as picture and table."""

    def make_controls(self):
        """The need, and how choices are ranked."""
        ranks = [(say(f"panels.rank.{name.replace(' ', '_')}"), name) for name in RANKS]
        return {
            "low_v": slider("low_v", 2.0, 24.0, 5.5, 0.1, "V", wide=False),
            "high_v": slider("high_v", 2.5, 30.0, 8.7, 0.1, "V", wide=False),
            "current_a": slider("current_a", 0.05, 10.0, 0.6, 0.05, "A", wide=False),
            "hours": slider("hours", 0.5, 48.0, 9.0, 0.5, "h", wide=False),
            "derating": slider("derating", 50, 100, 80, 5, "%", wide=False),
            "rank": dropdown("rank", ranks, "cells", wide=False),
        }

    def build(self):
        """Make controls, picture, sentences and table."""
        super().build()
        self.table = area("", "packlearn-choices")

    def parts(self):
        """Controls in two columns, then picture, sentences and table."""
        return [in_columns(self.controls.values()), self.picture, self.says, self.table]

    def _say_trouble(self, now):
        """Ask for a window that can be; the picture stays, so that nothing jumps."""
        fields = {"value": now.low_v, "limit": now.high_v}
        self.table.value = ""
        self.says.value = alert(say("loads.window", **fields))

    @property
    def need(self):
        """The ``Need`` of the sliders."""
        return _need(self.setting())

    def draw(self, now):
        """Show the choices."""
        if now.low_v >= now.high_v:
            self._say_trouble(now)
            return
        need = _need(now)
        sizing = size(need, rank_by=now.rank)
        # What one may build comes before what is bought ready-made.
        choices = sorted(sizing.best_of_each_cell(), key=place_of)
        drawn = pictures.windows(
            [picture_row(choice) for choice in choices[:ROWS]], need.voltage_v, need.run_time_h
        )
        # The table below tells what the picture's sentence would tell again.
        self.picture.value = drawn.svg
        self.says.value = paragraphs(_sentences(choices))
        self.table.value = table_of(choices)


def _need(now):
    return Need(
        load=Load.current(now.current_a),
        run_time_h=now.hours,
        voltage_v=(now.low_v, now.high_v),
        current_derating=now.derating / 100,
    )


def place_of(choice):
    """Place of a choice in a list: what one may build, what is bought ready-made, the rest.

    Args:
        choice: a ``Choice``.
    """
    return not choice.fits, choice.fits and choice.pack.cell.ready_made_only


def picture_row(choice):
    """A choice as a ``Row`` of the picture of choices.

    Args:
        choice: a ``Choice``.
    """
    return pictures.Row(
        choice.title,
        choice.pack.end_voltage_v,
        choice.pack.nominal_voltage_v,
        choice.full_v,
        choice.run_time_h,
        choice.fits,
        "" if choice.fits else choice.short_reason,
    )


def _sentences(choices):
    best = choices[0]
    if not best.fits:
        said = [say("panels.sizing.nothing", nearest=best.title)]
        return [*said, *best.why_not]
    said = [say("panels.sizing.best", name=best.title), best.binds_words, *best.notes]
    failed = next((choice for choice in choices if not choice.fits), None)
    if failed:
        said += [say("panels.sizing.failed", name=failed.title, why=failed.why_not[0])]
    return said


def table_of(choices):
    """Table of choices as HTML: figures of each, why it fits or not, and what holds for several.

    Args:
        choices: some ``Choice``.
    """
    names = ("name", "pieces", "mass", "full", "lowest", "hours", "verdict")
    heads = "".join(f"<th scope='col'>{escape(say(f'panels.sizing.{n}'))}</th>" for n in names)
    rows = "".join(_table_row(choice) for choice in choices)
    caption = escape(say("panels.sizing.caption"))
    of_all = paragraphs(dict.fromkeys(said for each in choices for said in each.why_not_of_all))
    return (
        f"<table class='packlearn-table'><caption>{caption}</caption><tr>{heads}</tr>{rows}</table>"
        f"{of_all}"
    )


def _table_row(choice):
    verdict = say("panels.sizing.fits") if choice.fits else " ".join(choice.why_not_in_table)
    notes = " ".join(choice.notes) if choice.fits else ""
    cells = (
        choice.title,
        choice.pieces_words,
        write(choice.mass_g, "g") if choice.mass_g else "",
        write(choice.full_v, "V"),
        write(choice.lowest_v, "V"),
        write(choice.run_time_h, "h"),
        f"{verdict} {notes}".strip(),
    )
    return f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in cells)}</tr>"
