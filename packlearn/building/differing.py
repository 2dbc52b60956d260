"""Where published values differ: each with its source, the one taken here, and why."""

from __future__ import annotations

from dataclasses import dataclass

from packlearn.building._data import table
from packlearn.words import word


@dataclass(frozen=True)
class Difference:
    """Published values of one quantity that differ.

    Attributes:
        about: its key.
        values: pairs of value and source, smallest value first.
        unit: their unit.
        taken: the value packlearn goes by.
        why: why, a sentence.
    """

    about: str
    values: tuple[tuple[float, str], ...]
    unit: str
    taken: float
    why: str


def differences():
    """Every quantity of which published values differ.

    Returns:
        Tuple of ``Difference``.
    """
    rows = {key: row for key, row in table("disagreements").items() if isinstance(row, dict)}
    return tuple(
        Difference(
            about,
            tuple(
                (value, word(f"building.sources.{source}"))
                for value, source in zip(row["values"], row["sources"], strict=True)
            ),
            row["unit"],
            row["taken"],
            word(f"building.differ.{about}"),
        )
        for about, row in rows.items()
    )
