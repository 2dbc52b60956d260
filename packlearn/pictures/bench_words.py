"""What the pictures of a wiring say, and which contacts of it are joined."""

from dataclasses import dataclass

from packlearn.pictures import drawing as d
from packlearn.quantities import write
from packlearn.words import say, word


@dataclass(frozen=True)
class Shown:
    """What a picture of a wiring shows.

    Args:
        wiring: the ``Wiring``.
        chosen: contacts and labels to be marked.
        red, black: contacts the meter's probes touch, or None.
        reading: what the meter shows, or "".
        kind: "V", "A" or "" where it is not told.
        load_ohm: resistance of a load between the leads [ohm], or None.
        name: text beside it, or "".
        links: the links that are drawn; an ammeter takes the place of the one between its probes.
    """

    wiring: object
    chosen: tuple = ()
    red: str | None = None
    black: str | None = None
    reading: str = ""
    kind: str = ""
    load_ohm: float | None = None
    name: str = ""
    links: tuple = ()

    @property
    def has_meter(self):
        """Whether there is a meter to be drawn."""
        return bool(self.red or self.black or self.reading)


def shown(
    wiring, chosen=None, red=None, black=None, reading=None, load_ohm=None, name=None, kind=None
):
    """``Shown`` of what a caller gives; see ``packlearn.pictures.bench``."""
    told = "" if reading is None else reading
    text = d.clean(told) if isinstance(told, str) else d.reading(told)
    kind = kind or (text[-1:] if text[-1:] in ("A", "V") else "")
    links = wiring.links
    if kind == "A" and red and black:
        links = tuple(link for link in links if {red, black} != {link.first, link.second})
    picked = (chosen,) if isinstance(chosen, str) else tuple(chosen or ())
    title = "" if name is None else d.clean(name)
    return Shown(wiring, picked, red, black, text, kind, load_ohm, title, links)


def joints(contacts, links):
    """Contacts that are joined by ideal links, each joint a list, in the order of the contacts.

    Args:
        contacts: names of all contacts.
        links: ``Link``s.
    """
    joint_of = {contact: [contact] for contact in contacts}
    for link in links:
        one, other = joint_of[link.first], joint_of[link.second]
        if not link.ohm and one is not other:
            one += other
            for contact in other:
                joint_of[contact] = one
    order = {contact: place for place, contact in enumerate(contacts)}
    found = {id(joint): joint for joint in joint_of.values()}
    return [sorted(joint, key=order.get) for joint in found.values()]


def sentence(shows, view, ends=True):
    """What a picture shows, with every number in it.

    Args:
        shows: a ``Shown``.
        view: "holder" or "circuit".
        ends: whether the ends of the leads are drawn.
    """
    wiring = shows.wiring
    empty = [label for label, placed in wiring.places if placed is None]
    turned = [label for label, placed in wiring.places if placed and placed.turned]
    start = f"bench.pictures.{view}" if wiring.labels else f"bench.pictures.{view}_empty"
    return d.sentences(
        say("bench.pictures.named", name=shows.name) if shows.name else "",
        say(start, cells=d.series_of(wiring.labels)) if wiring.labels else word(start),
        say("bench.pictures.turned", cells=d.series_of(turned)) if turned else "",
        say("bench.pictures.empty", cells=d.series_of(empty)) if empty else "",
        *_joined(shows),
        *(_leads(shows) if ends else ()),
        *_meter(shows),
        say("bench.pictures.chosen", names=d.series_of(shows.chosen)) if shows.chosen else "",
    )


def _joined(shows):
    told = [
        say("bench.pictures.joint", contacts=d.series_of(joint))
        for joint in joints(shows.wiring.contacts, shows.links)
        if len(joint) > 1
    ]
    told += [
        say(
            "bench.pictures.link", ohms=write(link.ohm, "ohm"), first=link.first, second=link.second
        )
        for link in shows.links
        if link.ohm
    ]
    return told or [word("bench.pictures.no_joint")]


def _leads(shows):
    wiring = shows.wiring
    for colour in ("black", "red"):
        contact = getattr(wiring, colour)
        key = f"bench.pictures.{colour}_lead" if contact else f"bench.pictures.{colour}_free"
        yield say(key, contact=contact) if contact else word(key)
    if shows.load_ohm is not None:
        yield say("bench.pictures.load", ohms=write(shows.load_ohm, "ohm"))


def _meter(shows):
    if not shows.has_meter:
        return
    for colour in ("red", "black"):
        contact = getattr(shows, colour)
        key = f"bench.pictures.{colour}_probe" if contact else f"bench.pictures.{colour}_off"
        yield say(key, contact=contact) if contact else word(key)
    if len(shows.links) < len(shows.wiring.links):
        yield say("bench.pictures.instead", first=shows.red, second=shows.black)
    if shows.reading:
        yield say("bench.pictures.reads", reading=shows.reading)
    else:
        yield word("bench.pictures.dark")
