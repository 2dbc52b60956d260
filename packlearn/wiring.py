"""Any wiring of cells: what flows, what a meter shows, what the wiring is called.

A cell lies between two contacts of a holder, ``2B-`` and ``2B+``. A turned cell has its ends at
the other contacts. Links join contacts; two leads, red and black, go to the device. Cells count
with their rested voltage and the resistance about one second after a step.
"""

from __future__ import annotations

import functools
import re
import string
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from packlearn import naming
from packlearn._nodes import LEAST_OHM, Network
from packlearn._placing import Link, Placed, group_links, rows_of, string_links
from packlearn._simulation.plans import letters
from packlearn.cells import Cell
from packlearn.errors import BadValue, UnknownName
from packlearn.packs import Pack, PackOfCells
from packlearn.rules import number

METER_OHM = 10e6
# What an ammeter puts in the way; common practice for a 10 A range, no source.
SHUNT_OHM = 0.01
MOST_CELLS = 96
# A reading below this is what rounding leaves of 0 V.
ROUNDING_V = 1e-12
# Solved ones kept with a wiring, so that a load's slider does not fill the memory.
MOST_NETWORKS = 8
_LABEL = re.compile(r"[1-9][0-9]?[A-Z]{1,2}")


@dataclass(frozen=True)
class Wiring:
    """Cells in their places, links between contacts, and two leads.

    Every change returns a new one, so that undoing is going back in a list.

    Attributes:
        places: pairs of a label, such as ``2B``, and what lies there: a ``Placed``, or None.
        links: the ``Link``s, in the order they were made.
        red, black: contacts of the leads; None where a lead hangs free.
    """

    places: tuple[tuple[str, Placed | None], ...] = ()
    links: tuple[Link, ...] = ()
    red: str | None = None
    black: str | None = None

    @classmethod
    def of(cls, pack, *, strings=False, charge=1.0):
        """Wiring of a pack, its leads at the first cells of its end groups.

        Args:
            pack: a ``Pack``, also of unlike cells.
            strings: cells in line first, the strings joined at their ends only; else every
                group is joined.
            charge: share of the charge left in each cell.

        Raises:
            BadValue: no pack, or strings of unequal length.
        """
        if not isinstance(pack, (Pack, PackOfCells)):
            raise BadValue("wiring.pack", value=repr(pack)[:40])
        rows = rows_of(pack)
        if strings and len({len(row) for row in rows}) > 1:
            raise BadValue("wiring.strings", value=[len(row) for row in rows])
        made = cls()
        for group, row in enumerate(rows, 1):
            for place, cell in enumerate(row):
                made = made.place(f"{group}{letters(place)}", cell, charge=charge)
        pairs = string_links(rows) if strings else group_links(rows)
        made = functools.reduce(lambda wiring, pair: wiring.link(*pair), pairs, made)
        return replace(made, red=f"{len(rows)}A+", black="1A-")

    # Changes.

    def place(self, label, cell, *, charge=1.0, turned=False):
        """Lay a cell into a place; one that lies there already is taken out.

        Args:
            label: number and letter of the place, such as ``"2B"``.
            cell: a ``Cell``.
            charge: share of its charge left, 0 to 1.
            turned: its ends the other way round.

        Raises:
            BadValue: no such label, no cell, too many cells, or a charge outside 0 to 1.
        """
        if not _LABEL.fullmatch(str(label)):
            raise BadValue("wiring.label", value=repr(label)[:40])
        if not isinstance(cell, Cell):
            raise BadValue("packs.not_a_cell", value=repr(cell)[:40])
        placed = Placed(cell, _share(charge), bool(turned))
        places = dict(self.places) | {label: placed}
        if len(places) > MOST_CELLS:
            raise BadValue("wiring.most", value=len(places), limit=MOST_CELLS)
        return replace(self, places=tuple(sorted(places.items(), key=_order)))

    def take_out(self, label):
        """Take the cell of a label out; its place and what is linked to its contacts stay."""
        self.cell_at(label)
        return replace(self, places=tuple((dict(self.places) | {label: None}).items()))

    def turn(self, label):
        """Turn the cell of a label in its place."""
        return self._changed(label, turned=not self.cell_at(label).turned)

    def charged(self, label, charge):
        """Give the cell of a label another share of its charge, 0 to 1."""
        return self._changed(label, charge=_share(charge), measured_v=None)

    def measured(self, label, volts, ohm=None):
        """Give the cell of a label volts with no load [V], and a resistance [ohm] where known."""
        number("wiring.volts", volts)
        if ohm is not None:
            number("wiring.ohm", ohm, least=0)
        return self._changed(label, measured_v=float(volts), measured_ohm=ohm)

    def link(self, first, second, ohm=0.0):
        """Join two contacts.

        Args:
            first, second: names of contacts, such as ``"1A+"``.
            ohm: resistance of the strip or wire [ohm]; 0 for an ideal one.

        Raises:
            BadValue: a contact with itself, or a negative resistance.
            UnknownName: no such contact.
        """
        ends = self._ends(first, second)
        ohm = number("wiring.ohm", ohm, least=0)
        return replace(self, links=(*self._others(ends), Link(*ends, ohm)))

    def part(self, first, second):
        """Take the link between two contacts, first and second, away.

        Raises:
            UnknownName: no such contact, or no such link.
        """
        ends = self._ends(first, second)
        kept = self._others(ends)
        if len(kept) == len(self.links):
            known = ", ".join("-".join(link.ends) for link in self.links)
            raise UnknownName("wiring.no_link", value=f"{first}, {second}", limit=known)
        return replace(self, links=kept)

    def leads(self, red, black):
        """Put the red and the black lead on contacts; None lets one hang free."""
        points = [None if lead is None else self._point(lead) for lead in (red, black)]
        red, black = (None if point is None else self.contacts[point] for point in points)
        return replace(self, red=red, black=black)

    # What there is.

    @property
    def labels(self):
        """Labels of the places that hold a cell, in order."""
        return tuple(label for label, placed in self.places if placed)

    @cached_property
    def contacts(self):
        """Names of all contacts, in order."""
        return tuple(label + sign for label, _ in self.places for sign in "-+")

    def cell_at(self, label):
        """The ``Placed`` cell of a place, told by its label.

        Raises:
            UnknownName: no such place, or it is empty.
        """
        found = dict(self.places).get(label)
        if found is None:
            raise UnknownName("wiring.no_cell", value=label, limit=", ".join(self.labels))
        return found

    def linked(self, first, second):
        """Whether a link joins the first contact and the second."""
        return self._ends(first, second) in [link.ends for link in self.links]

    # What flows.

    def currents_a(self, load_ohm=None):
        """Current of each cell [A], positive where it delivers.

        Args:
            load_ohm: resistance of a load between the leads [ohm]; None for no load.

        Returns:
            label -> current [A].
        """
        amps = self._network(load_ohm).branch_a
        return dict(zip(self.labels, amps[: len(self.labels)].tolist(), strict=True))

    def load_current_a(self, load_ohm):
        """Current [A] of a load of load_ohm [ohm] at the leads, positive out of the red one."""
        at = len(self.labels) + sum(link.ohm > 0 for link in self.links)
        # The load is a source of no voltage, so what it drives is what does not flow through it.
        return -float(self._network(load_ohm).branch_a[at])

    def link_currents_a(self, load_ohm=None):
        """Current of each link [A], from its first contact to its second.

        Ideal links that make a ring share their current as equal strips would.

        Args:
            load_ohm: resistance of a load between the leads [ohm]; None for no load.

        Returns:
            (first, second) -> current [A].
        """
        network = self._network(load_ohm)
        ideal = iter(network.join_a().tolist())
        real = iter(network.branch_a[len(self.labels) :].tolist())
        return {link.ends: -next(real) if link.ohm else next(ideal) for link in self.links}

    def reading_v(self, red, black, *, load_ohm=None, meter_ohm=METER_OHM):
        """What a voltmeter shows between two contacts [V].

        Args:
            red, black: contacts its leads touch.
            load_ohm: resistance of a load between the pack's leads [ohm]; None for no load.
            meter_ohm: the meter's own resistance [ohm]; 10 megohm is usual.

        Between parts that do not hang together it shows 0.
        """
        pairs = [(red, black)]
        return float(self.readings_v(pairs, load_ohm=load_ohm, meter_ohm=meter_ohm)[0])

    def readings_v(self, pairs, *, load_ohm=None, meter_ohm=METER_OHM):
        """What a voltmeter shows between many pairs of contacts [V], one after the other.

        Args:
            pairs: (red, black) of each reading.
            load_ohm, meter_ohm: as in ``reading_v``.

        Returns:
            Readings [V], (pairs,).
        """
        number("wiring.meter", meter_ohm, above=0)
        places = [(self._point(red), self._point(black)) for red, black in pairs]
        red, black = np.array(places, dtype=int).reshape(-1, 2).T
        volts, ohm = self._network(load_ohm).between(red, black)
        readings = volts / (1.0 + ohm / meter_ohm)
        # So that no reading of nothing is told as -0.00 V on one machine and 0.00 V on another.
        return np.where(np.abs(readings) < ROUNDING_V, 0.0, readings)

    def ammeter_a(self, red, black, *, load_ohm=None, shunt_ohm=SHUNT_OHM):
        """What an ammeter shows between two contacts [A], positive into its red lead.

        Where a link joins the two, the meter takes its place; elsewhere it is one more path,
        and across a cell almost a short circuit.

        Args:
            red, black: contacts its leads touch.
            load_ohm: resistance of a load between the pack's leads [ohm]; None for no load.
            shunt_ohm: resistance between the meter's own leads [ohm].
        """
        number("wiring.shunt", shunt_ohm, least=0)
        ends = self._ends(red, black)
        there = self.part(red, black) if ends in [link.ends for link in self.links] else self
        volts, ohm = there._network(load_ohm).between(self._point(red), self._point(black))
        return float(volts / max(ohm + shunt_ohm, LEAST_OHM))

    def _network(self, load_ohm):
        if load_ohm is not None:
            number("wiring.load", load_ohm, least=0)
            if self.red is None or self.black is None:
                raise BadValue("wiring.lead_free", value=self.red or self.black or "-")
        if load_ohm not in self._networks:
            if len(self._networks) > MOST_NETWORKS:
                self._networks.clear()
            self._networks[load_ohm] = self._joined(load_ohm)
        return self._networks[load_ohm]

    @cached_property
    def _networks(self):
        """Networks that were asked for, by the load: a wiring never changes."""
        return {}

    def _joined(self, load_ohm):
        """The ``Network``: cells, links with resistance, the load."""
        point = self._points
        rows = [self._branch(label) for label in self.labels]
        rows += [(point[a], point[b], 0.0, ohm) for a, b, ohm in self._real_links]
        if load_ohm is not None:
            rows.append((point[self.red], point[self.black], 0.0, load_ohm))
        plus, minus, volts, ohm = np.array(rows, dtype=float).reshape(-1, 4).T
        joins = [[point[end] for end in link.ends] for link in self.links if not link.ohm]
        joins = np.array(joins, dtype=int).reshape(-1, 2)
        return Network(len(point), joins, plus.astype(int), minus.astype(int), volts, ohm)

    @property
    def _real_links(self):
        return [(*link.ends, link.ohm) for link in self.links if link.ohm]

    def _branch(self, label):
        """Plus contact, minus contact, voltage and resistance of a cell."""
        placed = self.cell_at(label)
        signs = "-+" if placed.turned else "+-"
        ends = [self._points[label + sign] for sign in signs]
        return (*ends, placed.voltage_v, placed.resistance_ohm)

    # What it is called.

    @cached_property
    def _seen(self):
        return naming.look(self)

    @property
    def name(self):
        """XsYp name, such as ``"5S3P"``; None where it has none."""
        return self._seen.name

    @property
    def form(self):
        """``"groups"``, ``"strings"`` or ``"mixed"``; None where there is no such difference."""
        return self._seen.form

    @property
    def findings(self):
        """What is wrong, as ``Finding``s, the most dangerous first."""
        return self._seen.findings

    @property
    def faults(self):
        """What is wrong, in plain words."""
        return tuple(finding.sentence for finding in self.findings)

    # Names and places.

    @cached_property
    def _points(self):
        return {contact: place for place, contact in enumerate(self.contacts)}

    def _point(self, contact):
        try:
            # A name copied from a picture has a minus sign for its hyphen.
            return self._points[contact.replace("\u2212", "-")]
        except (KeyError, TypeError, AttributeError):
            known = ", ".join(self.contacts)
            raise UnknownName("wiring.no_contact", value=contact, limit=known) from None

    def _ends(self, first, second):
        places = sorted((self._point(first), self._point(second)))
        if places[0] == places[1]:
            raise BadValue("wiring.itself", value=first)
        return tuple(self.contacts[place] for place in places)

    def _others(self, ends):
        return tuple(link for link in self.links if link.ends != ends)

    def _changed(self, label, **changes):
        placed = replace(self.cell_at(label), **changes)
        return replace(self, places=tuple((dict(self.places) | {label: placed}).items()))


def _order(place):
    """Places in the order of their numbers, then of their letters."""
    digits = place[0].rstrip(string.ascii_uppercase)
    return int(digits), len(place[0]), place[0]


def _share(charge):
    share = number("wiring.charge", charge, least=0)
    if share > 1:
        raise BadValue("wiring.charge", value=charge, limit=0)
    return share
