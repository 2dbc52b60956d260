"""A wiring as its cells lie in the holder: strips between neighbours, wires for what lies apart."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

from packlearn.holders import slots_of
from packlearn.pictures import drawing as d
from packlearn.pictures.bench_lanes import End, Lanes, Wire, bridges, outline
from packlearn.pictures.bench_meter import EQUIPMENT, ends_and_load, meter, probe_tip
from packlearn.pictures.symbols import Lie, cells, minus_sign, plus_sign
from packlearn.quantities import write

NARROW, MIDDLE, WIDE = 430, 600, 860
MOST_NARROW, MOST_MIDDLE = 8, 14
_CASE_EDGE = 5
# Length of a cell, height of its contacts, of a strip and of a channel, by the number of rows [px].
_SIZES = {1: (84, 15, 8, 44), 2: (56, 15, 7, 28), 3: (42, 14, 6, 22)}
_SMALLEST = (38, 8, 6, 12)
NAME_SIZE, _LOWEST_NAMED = 11, 14
# Length of a cell that still holds its name between its signs [px].
_SHORTEST_NAMED = 28


def width_for(count):
    """Width of a picture for so many cells beside each other [px]: two of up to 600 px lie
    beside each other on a bench without being made smaller.
    """
    return NARROW if count <= MOST_NARROW else MIDDLE if count <= MOST_MIDDLE else WIDE


@dataclass(frozen=True, eq=False)
class Frame:
    """Where everything stands that does not change with links.

    Args:
        slots: where the cells lie, by label.
        columns: places in the longest row.
        rows: number of rows.
    """

    slots: dict
    columns: int
    rows: int

    @classmethod
    def of(cls, wiring, strings):
        """Frame for the places of a wiring."""
        slots = {slot.label: slot for slot in slots_of(wiring, strings)}
        columns = max((slot.column for slot in slots.values()), default=0) + 1
        return cls(slots, columns, max((slot.row for slot in slots.values()), default=0) + 1)

    @property
    def width(self):
        """Width of the picture [px]."""
        return width_for(self.columns)

    @property
    def height(self):
        """Height of the picture [px]."""
        return self.channels[-1][1] + self.equipment

    @property
    def equipment(self):
        """Height of what stands below the holder [px]."""
        return EQUIPMENT

    @cached_property
    def sizes(self):
        """Length of a cell, height of contacts, of strips, of channels [px]."""
        return _SIZES.get(self.rows, _SMALLEST)

    @property
    def side(self):
        """Room at the left and right [px]."""
        return 44 if self.width == NARROW else 52

    @cached_property
    def pitch(self):
        """From column to column [px]."""
        return min(48, (self.width - 2 * self.side) // self.columns)

    @cached_property
    def thickness(self):
        """Thickness of a cell [px]."""
        return self.pitch - max(4, min(14, self.pitch // 6 + (self.pitch > 36) * 4))

    @cached_property
    def left(self):
        """Left edge of the first column [px]."""
        return (self.width - self.columns * self.pitch) / 2

    @cached_property
    def channels(self):
        """Upper and lower edge of the room above each row, and below the last [px]."""
        length, pad, strip, room = self.sizes
        row = length + 2 * (pad + strip)
        tops = [2 + k * (room + row) for k in range(self.rows + 1)]
        return [(top, top + room) for top in tops]

    @property
    def gaps(self):
        """Places of the gaps between columns; the outer ones are the sides of the case [px]."""
        inner = [self.left + k * self.pitch for k in range(1, self.columns)]
        right = self.left + self.columns * self.pitch
        return [self.left - _CASE_EDGE - 2, *inner, right + _CASE_EDGE + 2]

    @cached_property
    def bodies(self):
        """Middle of each cell [px], by label."""
        length, pad, strip, _ = self.sizes
        return {
            label: (
                self.left + (slot.column + 0.5) * self.pitch,
                self.channels[slot.row][1] + strip + pad + length / 2,
            )
            for label, slot in self.slots.items()
        }

    def is_up(self, contact):
        """Whether a contact is the upper one of its cell."""
        return self.slots[contact[:-1]].is_up(contact)

    @cached_property
    def places(self):
        """Middle of each contact [px]."""
        off, found = (self.sizes[0] + self.sizes[1]) / 2, {}
        for label, (x, y) in self.bodies.items():
            up = -off if self.slots[label].plus_up else off
            found[f"{label}-"], found[f"{label}+"] = (x, y - up), (x, y + up)
        return found

    def end(self, contact):
        """``End`` of a wire at a contact."""
        slot, (x, y), up = self.slots[contact[:-1]], self.places[contact], self.is_up(contact)
        pad = self.sizes[1] / 2
        return End(slot.row + (not up), slot.column, x, y - pad if up else y + pad)

    @property
    def edge(self):
        """Room between the strips and the edge of the case [px]."""
        return _CASE_EDGE

    @cached_property
    def holder(self):
        """The holder around the cells."""
        edge = self.edge
        top, bottom = self.channels[0][1] - edge + 1, self.channels[-1][0] + edge - 1
        wide = self.columns * self.pitch + 2 * edge
        return d.shape(d.box(self.left - edge, top, wide, bottom - top, 8), "case")

    @cached_property
    def pads(self):
        """The holder's contacts, with their names where there is room."""
        height = self.sizes[1]
        widest = max((d.text_width(name, NAME_SIZE) for name in self.places), default=0)
        named = height >= _LOWEST_NAMED and widest <= self.pitch - 3
        parts, signs = [], []
        for contact, (x, y) in self.places.items():
            pad = d.box(x - self.thickness / 2, y - height / 2, self.thickness, height)
            parts.append(tagged(pad, "tag", contact=contact))
            if named:
                name = contact.replace("-", d.MINUS)
                parts.append(d.text(x, y + 4, name, "quiet", NAME_SIZE, "middle"))
            else:
                signs.append((plus_sign if contact[-1] == "+" else minus_sign)(x, y, 3))
        return "".join([*parts, d.shape("".join(signs), "sign")])

    def neighbours(self, link):
        """Whether a strip reaches from one contact of a link to the other."""
        a, b = (self.slots[end[:-1]] for end in link.ends)
        beside = a.row == b.row and abs(a.column - b.column) == 1
        return beside and self.is_up(link.first) == self.is_up(link.second)


@lru_cache(maxsize=64)
def _frame(labels, places, strings):
    return Frame.of(places, strings)


@dataclass(frozen=True)
class _Places:
    """The part of a wiring that a frame depends on."""

    places: tuple


def frame(wiring, strings=False):
    """``Frame`` of a wiring; what is linked, turned or taken out does not change it."""
    labels = tuple(label for label, _ in wiring.places)
    return _frame(labels, _Places(tuple((label, None) for label in labels)), bool(strings))


def draw(shows, seen, terminals=True):
    """Parts of the drawing.

    Args:
        shows: a ``bench_words.Shown``.
        seen: its ``Frame``.
        terminals: draw the ends of the leads.
    """
    ends, equipment = ends_and_load(shows, seen)
    sockets, box = meter(shows, seen)
    strips = [link for link in shows.links if not link.ohm and seen.neighbours(link)]
    wires = [link for link in shows.links if link not in strips]
    return [
        seen.holder,
        *_wires(shows, seen, strips, wires, ends, sockets),
        seen.pads,
        _cells(seen, tuple(placed and placed.turned for _, placed in shows.wiring.places)),
        *(equipment if terminals else ()),
        *box,
        *_marks(shows, seen),
    ]


def tagged(content, look, **data):
    """A path that tests and panels can find by its data attributes.

    Args:
        content: its outline.
        look: its class without its prefix.
        **data: names and values of data attributes.
    """
    # Only names of contacts and numbers of joints are told so, which need no escaping.
    told = "".join(f' data-{name}="{value}"' for name, value in data.items())
    return f'<path class="pl-{look}"{told} d="{content}"/>'


# Strips and wires.


def _wires(shows, seen, strips, wires, ends, sockets):
    """Strips, wires, the pack's leads and the meter's, none on top of another."""
    leads = [(side, getattr(shows.wiring, side)) for side in ("black", "red")]
    leads = [(side, contact) for side, contact in leads if contact]
    probes = [(side, getattr(shows, side)) for side in ("black", "red") if getattr(shows, side)]
    asked = [Wire((seen.end(a.first), seen.end(a.second)), _box_width(a)) for a in wires]
    asked += [Wire((seen.end(contact), ends[side])) for side, contact in leads]
    asked += [Wire((seen.end(contact), sockets[side])) for side, contact in probes]
    lanes = Lanes(
        asked, seen.channels, seen.gaps, seen.thickness, seen.pitch - seen.thickness,
        seen.left - _CASE_EDGE - 4, _struck(seen, strips),
    )  # fmt: skip
    ways = lanes.ways()
    at = len(wires) + len(leads)
    links, of_leads, of_probes = ways[: len(wires)], ways[len(wires) : at], ways[at:]
    looks = ["amp-line" if side == "red" else "limit-dash" for side, _ in probes]
    parts = [_link(link, way) for link, way in zip(wires, links, strict=True)]
    parts += [_strip(seen, link) for link in strips]
    for (side, contact), way in zip(leads, of_leads, strict=True):
        dot = d.ring(*way.points[0], 2.5)
        parts.append(tagged(outline(way), "wire", lead=side, at=contact) + d.shape(dot, "head"))
    for (side, contact), look, way in zip(probes, looks, of_probes, strict=True):
        tip = probe_tip(side, *way.points[0], seen.is_up(contact))
        parts.append(tagged(outline(way), look, probe=side, at=contact) + tip)
    return [*parts, *_bridged(ways, ["thin-strip"] * len(wires) + ["wire"] * len(leads) + looks)]


def _bridged(ways, looks):
    """Crossings drawn once more, the level wire over the broken upright one."""
    for pieces, look in zip(bridges(ways), looks, strict=True):
        over = "".join(d.polyline(piece) for piece in pieces)
        if over:
            yield d.shape(over, "bridge") + d.shape(over, look)


def _struck(seen, strips):
    """Row and gap that each strip lies across."""
    for link in strips:
        a, b = (seen.slots[end[:-1]] for end in link.ends)
        yield a.row, max(a.column, b.column)


def _strip(seen, link):
    (x1, y), (x2, _) = sorted(seen.places[end] for end in link.ends)
    _, pad, strip, _ = seen.sizes
    top = y - pad / 2 - strip if seen.is_up(link.first) else y + pad / 2
    half = seen.thickness / 2
    plate = d.box(x1 - half, top, x2 - x1 + 2 * half, strip, 2)
    return tagged(plate, "plate", link=" ".join(link.ends))


def _box_width(link):
    return d.text_width(write(link.ohm, "ohm"), NAME_SIZE) + 8 if link.ohm else 0


def _link(link, way):
    drawn = tagged(outline(way), "thin-strip", link=" ".join(link.ends))
    drawn += d.shape(d.ring(*way.points[0], 2.5) + d.ring(*way.points[-1], 2.5), "head")
    if way.box:
        x, y, wide, high = way.box
        wide = wide if high >= 13 else 24
        drawn += d.shape(d.box(x - wide / 2, y - high / 2, wide, high), "tag")
        if high >= 13:
            drawn += d.text(x, y + 4, write(link.ohm, "ohm"), "", NAME_SIZE, "middle")
    return drawn


# Cells.


@lru_cache(maxsize=64)
def _cells(seen, turned):
    """Cells, and dashed outlines where there is none.

    Args:
        seen: the ``Frame``.
        turned: whether each cell is turned; None where there is none.
    """
    length, thick = seen.sizes[0] - 2, seen.thickness - 1
    lies, empty, names = [], [], []
    for (label, slot), round_ in zip(seen.slots.items(), turned, strict=True):
        x, y = seen.bodies[label]
        if round_ is None:
            empty.append(d.box(x - thick / 2, y - length / 2 + 2, thick, length - 4, 4))
        else:
            lies.append(Lie(x, y, length, thick, "up" if slot.plus_up != round_ else "down"))
        if d.text_width(label, NAME_SIZE) <= thick and length >= _SHORTEST_NAMED:
            look = "quiet" if round_ is None else "on-cell"
            names.append(d.text(x, y + 4, label, look, NAME_SIZE, "middle"))
    return "".join([cells(lies, "round"), d.shape("".join(empty), "guide"), *names])


def _marks(shows, seen):
    """Frames around what is chosen."""
    frames = []
    length, pad, strip, _ = seen.sizes
    wide = seen.thickness + 6
    for name in shows.chosen:
        if name in seen.bodies:
            x, y = seen.bodies[name]
            high = length + 2 * pad + 4
        elif name[:-1] in seen.bodies:
            x, y = seen.places[name]
            high = pad + 6
        else:
            continue
        frames.append(d.box(x - wide / 2, y - high / 2, wide, high, 5))
    return [d.shape("".join(frames), "tick")]
