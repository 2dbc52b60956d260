"""Figures of a pack as pairs of label and text, and the shape a cell is drawn in."""

from packlearn.quantities import write
from packlearn.words import say

_FIGURES = (
    ("nominal", "nominal_voltage_v", "V"),
    ("limit", "current_limit_a", "A"),
    ("capacity", "capacity_ah", "Ah"),
    ("energy", "energy_wh", "Wh"),
)


def pack_figures(pack):
    """Nominal voltage, current limit, capacity and energy of a pack, as pairs of texts.

    Args:
        pack: a ``Pack``.
    """
    return [
        (say(f"panels.figures.{name}"), write(getattr(pack, field), unit))
        for name, field, unit in _FIGURES
    ]


def shape_of(cell):
    """Shape a cell is drawn in: ``round``, ``coin``, ``block`` or ``pouch``.

    Args:
        cell: a ``Cell``.
    """
    if cell.cells_inside > 1:
        return "block"
    flat = cell.size_mm is not None and len(cell.size_mm) == 3
    if flat:
        return "pouch" if min(cell.size_mm) < 15 else "block"
    if cell.size_mm is not None and cell.size_mm[0] > 2 * cell.size_mm[1]:
        return "coin"
    return "round"
