"""Wiring benches as lessons lay them out, in one short line of a notebook."""

from packlearn.cells import cell
from packlearn.packs import Pack
from packlearn.panels.bench import Bench
from packlearn.panels.fitting import telling
from packlearn.wiring import Wiring

# Charged in the morning and rested since: NiMH cells read 1.34 V then.
RESTED_CHARGE = 0.9


@telling
def bench_of(name, series, parallel=1, *, of="nimh-aa", joined=True, without=None, **more):
    """A bench with a pack of like cells.

    Args:
        name: name under which its state is kept; another one for every bench of a lesson.
        series, parallel: S and P.
        of: name of the cell in the catalogue.
        joined: False for cells in their places with no link and no lead.
        without: the two contacts of a link that is left out.
        **more: further settings of ``Bench``.

    Returns:
        The ``Bench``.

    Raises:
        UnknownName: no such cell, or no such link.
    """
    wiring = Wiring.of(Pack(cell(of), series, parallel), charge=RESTED_CHARGE)
    if without is not None:
        wiring = wiring.part(*without)
    if not joined:
        wiring = Wiring(wiring.places)
    return Bench(wiring, name=name, **more)
