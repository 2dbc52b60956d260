"""Any wiring in two views: as its cells lie in the holder, and as a circuit diagram.

Both show the same: cells, what is joined, the pack's leads, a load between them, and a meter with
its two probes. Sizes and places depend on the labels of the places alone, so nothing jumps when
something is linked, turned or taken out.
"""

from packlearn.pictures import bench_circuit, bench_holder
from packlearn.pictures import drawing as d
from packlearn.pictures.bench_large import large_frame
from packlearn.pictures.bench_words import sentence, shown


def holder_view(
    wiring,
    *,
    chosen=None,
    red=None,
    black=None,
    reading=None,
    load_ohm=None,
    name=None,
    kind=None,
    strings=False,
    terminals=True,
    room=None,
):
    """Picture of a wiring as its cells lie in the holder.

    Args:
        wiring: a ``Wiring``.
        chosen: a contact or a label, or several, to be marked.
        red, black: contacts that the meter's probes touch; None for none.
        reading: what the meter shows, a text or volts; None: it shows nothing.
        load_ohm: resistance of a load between the pack's leads [ohm]; None for none.
        name: text beside it, such as the XsYp name; None for none.
        kind: "V" or "A"; None takes it from the reading's unit. An ammeter takes the place of
            the link between its probes.
        strings: one string a row, as ``holders.layout(..., strings=True)`` lays them.
        terminals: draw the ends of the leads; False where no lead is drawn at all.
        room: the ``Room`` of a shared screen, which it fills; None for a page.

    Returns:
        ``Picture``, without ``room`` 430, 600 or 860 px wide. Each contact carries its name as
        ``data-contact``.
    """
    shows = shown(wiring, chosen, red, black, reading, load_ohm, name, kind)
    if room is None:
        seen = bench_holder.frame(wiring, strings)
    else:
        seen = large_frame(wiring, strings, room, shows.has_meter)
    parts = bench_holder.draw(shows, seen, terminals)
    return d.picture(seen.width, seen.height, parts, sentence(shows, "holder", terminals))


def circuit_view(
    wiring,
    *,
    chosen=None,
    red=None,
    black=None,
    reading=None,
    load_ohm=None,
    name=None,
    kind=None,
    room=None,
):
    """Circuit diagram of a wiring, with the symbols of IEC 60617.

    A pack comes out as in a textbook, minus left and plus right; so does any other wiring as far
    as it goes. Dots mark joints of three wires or more; what crosses without a dot is not joined.

    Args:
        wiring, chosen, red, black, reading, load_ohm, name, kind, room: as for ``holder_view``.

    Returns:
        ``Picture``, without ``room`` 430, 600 or 860 px wide. Each contact carries its name as
        ``data-contact``.
    """
    shows = shown(wiring, chosen, red, black, reading, load_ohm, name, kind)
    width, height, parts = bench_circuit.draw(shows, room)
    return d.picture(width, height, parts, sentence(shows, "circuit"))
