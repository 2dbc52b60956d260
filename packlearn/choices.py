"""One pack held against one need: whether it fits, by how much, and why not."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from packlearn.packs import Pack
from packlearn.quantities import write
from packlearn.words import fill, say, word

# Order of the conditions in ``Choice.shares`` and ``Choice.met``.
CONDITIONS = (
    "high",
    "low",
    "current",
    "run_time",
    "safe_voltage",
    "most_in_line",
    "most_side_by_side",
)
# Middle of each price class, in prices of one alkaline AA cell (data/cells.toml).
RELATIVE_PRICES = {1: 1.0, 2: 2.5, 3: 6.0, 4: 15.0, 5: 60.0}
# Above this many times the current its capacity was measured at, a capacity is a hope.
CAPACITY_CURRENT_RATIO = 2.0


def relative_price(cell):
    """Rough price of one piece, in prices of one alkaline AA cell; infinite where unknown.

    Args:
        cell: a ``Cell`` with a ``price_class``.
    """
    return RELATIVE_PRICES.get(cell.price_class, float("inf"))


@dataclass(frozen=True, repr=False)
class Choice:
    """One pack held against one need; made by ``size`` and ``check``.

    Attributes:
        pack: the pack.
        full_v: its full-charge voltage [V].
        lowest_v: its voltage [V] at the end of the run while the load takes its peak.
        peak_a, allowed_a: largest current of the load, and the derated limit [A].
        mean_a: mean current at nominal voltage [A].
        run_time_h: run time by the rule of thumb, with the capacity derated [h].
        shares: by which share each of ``CONDITIONS`` is met (below 0: missed).
    """

    need: object
    pack: Pack
    shares: tuple[float, ...]
    met: tuple[bool, ...]
    full_v: float
    lowest_v: float
    peak_a: float
    allowed_a: float
    mean_a: float
    run_time_h: float

    def __repr__(self):
        return f"<Choice {self.title}, fits={self.fits}>"

    @property
    def fits(self):
        """True where every condition is met."""
        return all(self.met)

    @property
    def title(self):
        """Name and cell, such as ``6S1P NiMH AA``."""
        return f"{self.pack.name} {self.pack.cell.title}"

    @property
    def mass_g(self):
        """Mass of the cells [g], or None where unknown."""
        mass_g = self.pack.cell.mass_g
        return None if mass_g is None else mass_g * self.pack.cell_count

    @property
    def margins(self):
        """What is left: dict of ``high_v``, ``low_v`` [V], ``current_a`` [A], ``run_time_h`` [h].

        Below 0 means missing. The current is held against the derated limit.
        """
        low, high = self.need.voltage_v
        return {
            "high_v": high - self.full_v,
            "low_v": self.lowest_v - low,
            "current_a": self.allowed_a - self.peak_a,
            "run_time_h": self.run_time_h - self.need.run_time_h,
        }

    @property
    def binds(self):
        """The condition met by the smallest share, one of ``CONDITIONS``."""
        # The counts a cell allows are rules of the trade, not a need that one could ease.
        needed = self.shares[:4]
        return CONDITIONS[min(range(4), key=needed.__getitem__)]

    @property
    def binds_words(self):
        """A sentence on the condition that binds."""
        return say(f"sizing.binds.{self.binds}", **self._fields)

    @property
    def why_not(self):
        """One sentence for each condition missed; empty where the pack fits."""
        return self._said(word("sizing.why_not"))

    @property
    def why_not_in_table(self):
        """As ``why_not``, less what ``why_not_of_all`` tells."""
        return self._said(word("sizing.in_table"))

    @property
    def why_not_of_all(self):
        """Sentences that hold for every pack of a list that misses the same conditions."""
        return self._said(word("sizing.of_all"))

    def _said(self, texts):
        """One of the texts for each condition missed, where there is one."""
        missed = (name for name, met in zip(CONDITIONS, self.met, strict=True) if not met)
        keys = filter(texts.__contains__, map(self._advice, missed))
        return tuple(fill(texts[key], **self._fields) for key in keys)

    def _advice(self, condition):
        """The condition, with ``_stuck`` where one cell more or fewer would break another one."""
        pack, (low, high) = self.pack, self.need.voltage_v
        if condition == "high" and pack.series == 1:
            return "high_alone"
        stuck = {
            "high": (pack.series - 1) * pack.cell.end_voltage_v < low,
            "low": (pack.series + 1) * pack.cell.full_voltage_v > high + 1e-9,
            "current": pack.parallel >= (pack.cell.max_parallel or float("inf")),
            "run_time": pack.parallel >= (pack.cell.max_parallel or float("inf")),
        }
        return f"{condition}_stuck" if stuck.get(condition) else condition

    @property
    def short_reason(self):
        """The first missed condition in a few words; empty where the pack fits."""
        missed = (name for name, met in zip(CONDITIONS, self.met, strict=True) if not met)
        return next((say(f"sizing.short.{name}") for name in missed), "")

    @property
    def pieces_words(self):
        """How many pieces to buy: cells, or blocks with the cells in them."""
        count, inside = self.pack.cell_count, self.pack.cell.cells_inside
        if self.pack.cell.ready_made_only:
            return say("sizing.pieces.ready_made", cells=count)
        key = "blocks" if inside > 1 else "cells"
        key += "_one" if count == 1 else "_many"
        return say(f"sizing.pieces.{key}", count=count, cells=count * inside)

    @property
    def notes(self):
        """Sentences on what to mind even where the pack fits."""
        cell = self.pack.cell
        notes = []
        if cell.ready_made_only:
            notes.append(say("sizing.notes.ready_made_only"))
        each_a = self.mean_a / self.pack.parallel
        if cell.capacity_at_a and each_a > CAPACITY_CURRENT_RATIO * cell.capacity_at_a:
            stated, here = write(cell.capacity_at_a, "A"), write(each_a, "A")
            notes.append(say("sizing.notes.capacity_current", stated=stated, here=here))
        return tuple(notes)

    @cached_property
    def _fields(self):
        low, high = self.need.voltage_v
        cell = self.pack.cell
        return {
            "full": write(self.full_v, "V"),
            "lowest": write(self.lowest_v, "V"),
            "low": write(low, "V"),
            "high": write(high, "V"),
            "peak": write(self.peak_a, "A"),
            "allowed": write(self.allowed_a, "A"),
            "hours": write(self.run_time_h, "h"),
            "needed_hours": write(self.need.run_time_h, "h"),
            "series": self.pack.series,
            "parallel": self.pack.parallel,
            "max_series": cell.max_series,
            "max_parallel": cell.max_parallel,
            "series_reason": cell.max_series_reason,
            "parallel_reason": cell.max_parallel_reason,
        }
