"""The panel of lesson 3: sliders for S and P, the wiring and its figures."""

from packlearn import pictures
from packlearn.cells import cell as find_cell
from packlearn.packs import Pack
from packlearn.panels.base import dropdown, slider
from packlearn.panels.explorers import Explorer
from packlearn.panels.figures import pack_figures, shape_of
from packlearn.quantities import write, write_plain
from packlearn.words import say

LARGEST_COUNT = 8


class PackExplorer(Explorer):
    """Cells in line and side by side.

    Args:
        moves: sliders that can be moved: ``"series"``, ``"parallel"`` or ``"both"``.
        cell: name of the cell.
        cells: names of cells to choose from; none leaves the choice out.
        series, parallel: counts at the start.
        window_v: lowest and highest voltage [V] of the device it is held against.
        load_a: current [A] of the device.
        reading_v: what one cell reads now [V]; None takes its nominal voltage.
    """

    def __init__(
        self,
        moves="both",
        *,
        cell="nimh-aa",
        cells=(),
        series=1,
        parallel=1,
        window_v=(5.5, 8.7),
        load_a=0.6,
        reading_v=None,
    ):
        self.moves = ("series", "parallel") if moves == "both" else (moves,)
        self.cell_name, self.cell_names = cell, cells
        self.counts = {"series": series, "parallel": parallel}
        self.window_v, self.load_a, self.reading_v = window_v, load_a, reading_v
        super().__init__()

    def make_controls(self):
        """Cell, S and P, as far as they can be moved."""
        controls = {}
        if self.cell_names:
            options = [(find_cell(name).title, name) for name in self.cell_names]
            controls["cell"] = dropdown("cell", options, self.cell_name)
        for name in self.moves:
            controls[name] = slider(name, 1, LARGEST_COUNT, self.counts[name])
        return controls

    def names(self):
        """Cell and counts, whether they can be moved or not."""
        return ("cell", *self.counts)

    def value(self, name):
        """Value of a control, or the fixed one where it cannot be moved."""
        fixed = {"cell": self.cell_name, **self.counts}
        return super().value(name) if name in self.controls else fixed[name]

    def draw(self, now):
        """Show the wiring, its figures and how it meets the device."""
        pack = Pack(find_cell(now.cell), now.series, now.parallel)
        drawn = pictures.pack(
            pack.series,
            pack.parallel,
            pack.cell.title,
            cell_voltage_v=self.reading_v or pack.cell.nominal_voltage_v,
            readings="volts",
            figures=pack_figures(pack),
            shape=shape_of(pack.cell),
            label=pack.name,
        )
        self.show(drawn, self._sentences(pack))

    def _sentences(self, pack):
        key = "panels.pack.load" if pack.parallel > 1 else "panels.pack.load_one"
        load = say(
            key,
            load=write(self.load_a, "A"),
            share=write_plain(self.load_a / pack.parallel, "A"),
            hours=write(pack.run_time_h(self.load_a), "h"),
        )
        if "series" not in self.moves:
            return [load]
        key = self._window_key(pack)
        # A device outside its window takes no current that hours could be counted from.
        return [*([load] if key == "fits" else []), self._window_words(pack, key)]

    def _window_key(self, pack):
        low, high = self.window_v
        # 6 x 1.45 V must count as 8.7 V, which binary floats miss.
        if pack.full_voltage_v > high + 1e-9:
            return "high"
        return "low" if pack.end_voltage_v < low - 1e-9 else "fits"

    def _window_words(self, pack, key):
        low, high = self.window_v
        return say(
            f"panels.pack.{key}",
            full=write(pack.full_voltage_v, "V"),
            end=write(pack.end_voltage_v, "V"),
            low=write(low, "V"),
            high=write(high, "V"),
        )
