"""Keeping cells: storage, self-discharge, the cold, disposal."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from packlearn.building._data import cell_of, of_chemistry, source_texts, table
from packlearn.errors import BadValue
from packlearn.rules import number, plain
from packlearn.words import say, word


@dataclass(frozen=True)
class Keeping:
    """How cells of a chemistry are kept; made by ``keeping_of``.

    Attributes:
        chemistry: the cells'.
        loss_month: share of the charge lost in a month at 20 degC.
        store_share: charge to store at, least and most, shares.
        look_after_months: months after which to look at it.
        disposal: ``"collect"``, ``"taped"``, ``"cadmium"`` or ``"lead"``.
        rechargeable: whether it is charged again after storage.
    """

    chemistry: str
    loss_month: float
    store_share: tuple[float, float]
    look_after_months: int
    disposal: str
    rechargeable: bool

    @property
    def sources(self):
        """Texts of where the figures come from."""
        return source_texts(*of_chemistry("keeping", self.chemistry)["sources"].values())

    @property
    def sentence(self):
        """How to store it, in words."""
        low, high = (f"{100 * share:g}" for share in self.store_share)
        kind = "charged" if self.rechargeable else "primary"
        months = self.look_after_months
        return say(f"building.keeping.{kind}", low=low, high=high, months=months)

    @property
    def disposal_words(self):
        """Where it goes when it is done, in words."""
        return word(f"building.keeping.disposal.{self.disposal}")


def keeping_of(thing):
    """How the cells of a pack are kept.

    Args:
        thing: a ``Pack`` or a ``Cell``.

    Returns:
        ``Keeping``.

    Raises:
        UnknownName: a chemistry nothing is known of.
    """
    cell = cell_of(thing)
    row = of_chemistry("keeping", cell.chemistry)
    return Keeping(
        cell.chemistry,
        row["loss_month"],
        tuple(row["store_share"]),
        row["look_after_months"],
        row["disposal"],
        bool(cell.rechargeable),
    )


def share_left(thing, months, temperature_degc=20.0):
    """Share of the charge left after months on a shelf.

    Args:
        thing: a ``Pack`` or a ``Cell``.
        months: months, at least 0.
        temperature_degc: temperature of the shelf [degC], 0 to 45.

    Returns:
        Share: ``(1 - loss) ** (months * faster)``, where the loss is a month's at 20 degC and
        ``faster = 2 ** ((T - 20) / 10)``: each 10 K double its pace (common practice, no source).

    Raises:
        BadValue: fewer months than none, or a shelf colder or warmer than is known here.
    """
    months = number("building.keeping.months", months, least=0)
    low, high = table("keeping")["shelf_degc"]
    if not low <= temperature_degc <= high:
        degrees = {"value": f"{temperature_degc:g}", "low": f"{low:g}", "limit": f"{high:g}"}
        raise BadValue("building.keeping.shelf", **degrees)
    faster = 2.0 ** ((temperature_degc - 20.0) / table("keeping")["shelf_doubles_each_k"])
    return (1.0 - keeping_of(thing).loss_month) ** (months * faster)


@plain
def cold_share(thing, temperature_degc):
    """Share of the capacity that comes out in the cold at a light load; typical, from memory.

    Args:
        thing: a ``Pack`` or a ``Cell``.
        temperature_degc: temperature of the cells [degC], from -20; scalar or array.

    Raises:
        BadValue: colder than -20 degC: nothing is known.
    """
    knots = table("keeping")["cold_degc"]
    coldest = float(np.min(temperature_degc))
    if not coldest >= knots[0]:
        raise BadValue("building.keeping.too_cold", value=f"{coldest:g}", limit=f"{knots[0]:g}")
    shares = of_chemistry("keeping", cell_of(thing).chemistry)["cold_share"]
    return np.interp(temperature_degc, knots, shares)
