"""Cautions: what to mind for a chemistry in a situation, with how much depends on it."""

from __future__ import annotations

from dataclasses import dataclass

from packlearn._cell_checks import shown
from packlearn.building._data import cell_of, table
from packlearn.cells import CHEMISTRIES
from packlearn.errors import UnknownName
from packlearn.words import word

SITUATIONS = (
    "joining",
    "wiring",
    "fusing",
    "charging",
    "storing",
    "carrying",
    "cold",
    "measuring",
    "disposing",
    "mixing",
)
SEVERITIES = ("danger", "warning", "note")


@dataclass(frozen=True)
class Caution:
    """One thing to mind.

    Attributes:
        key: its key in the data.
        severity: ``"danger"``, ``"warning"`` or ``"note"``.
        sentence: what to do, and whose rules go first.
    """

    key: str
    severity: str
    sentence: str

    @property
    def label(self):
        """The severity in a word."""
        return word(f"cautions.severity.{self.severity}")


def cautions(chemistry, situation):
    """What to mind for a chemistry in a situation, what matters most first.

    Args:
        chemistry: one of ``packlearn.cells.CHEMISTRIES``, or a ``Cell`` or ``Pack``.
        situation: one of ``SITUATIONS``.

    Returns:
        Tuple of ``Caution``, at least one; the last says whose rules go first.

    Raises:
        UnknownName: another chemistry or situation.
    """
    chemistry = chemistry if isinstance(chemistry, str) else cell_of(chemistry).chemistry
    if chemistry not in CHEMISTRIES:
        limit = ", ".join(CHEMISTRIES)
        raise UnknownName("building.chemistry", value=shown(chemistry), limit=limit)
    if situation not in SITUATIONS:
        limit = ", ".join(SITUATIONS)
        raise UnknownName("building.situation", value=shown(situation), limit=limit)
    found = [
        Caution(key, row["severity"], word(f"cautions.said.{key}"))
        for key, row in table("cautions").items()
        if situation in row["situations"] and chemistry in row.get("chemistries", CHEMISTRIES)
    ]
    return tuple(sorted(found, key=lambda each: SEVERITIES.index(each.severity)))
