"""What a wiring is called, and what is wrong with it.

A wiring deserves its XsYp name when every cell lifts by one from the black lead to the red one,
every lift has as many cells, and at every joint as many cells arrive as leave.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from itertools import combinations

from packlearn._nodes import connected
from packlearn.words import say

# With nothing connected no more than this flows between cells, as a share of their capacity.
QUIET_C = 0.05
# Two turned cells are looked for among no more cells than these.
MOST_FOR_PAIRS = 8


@dataclass(frozen=True)
class Shape:
    """An XsYp wiring; ``form`` is "groups", "strings", "mixed" or None."""

    series: int
    parallel: int
    form: str | None

    @property
    def name(self):
        """XsYp name."""
        return f"{self.series}S{self.parallel}P"


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong.

    Attributes:
        kind: "cell_short", "lead_short", "ring", "uneven", "no_cells", "lead_free", "turned",
            "swapped", "link_missing", "link_extra", "left_out", "open", "unequal", "no_name".
        where: labels of the cells or names of the contacts it is about.
        amps: current that flows with nothing connected [A]; None where that is not the point.
        sentence: in plain words.
    """

    kind: str
    where: tuple[str, ...]
    amps: float | None
    sentence: str


@dataclass(frozen=True)
class Seen:
    """What was seen: a name and a form, or findings."""

    name: str | None
    form: str | None
    findings: tuple[Finding, ...]


def look(wiring):
    """Look at a ``Wiring``.

    Returns:
        ``Seen``.
    """
    graph = Graph.of(wiring)
    shape = graph.shape()
    findings = _currents(wiring, graph)
    if shape:
        return Seen(shape.name, shape.form, tuple(findings))
    wrong = _built_wrongly(wiring, graph)
    # Where a danger has been told, that it has no name is no news.
    findings += [each for each in wrong if not findings or each.kind not in ("unequal", "no_name")]
    return Seen(None, None, tuple(findings))


@dataclass(frozen=True)
class Graph:
    """Cells as arrows from the joint at their minus end to the one at their plus end.

    Attributes:
        arrows: label -> (joint at minus, joint at plus).
        black, red: joints of the leads; None where a lead hangs free.
        joint_of: joint of each contact.
    """

    arrows: dict
    black: int | None
    red: int | None
    joint_of: dict

    @classmethod
    def of(cls, wiring, links=None):
        """Graph of a wiring; ``links`` are taken instead of its own."""
        places = {contact: place for place, contact in enumerate(wiring.contacts)}
        links = wiring.links if links is None else links
        pairs = [[places[end] for end in link.ends] for link in links]
        numbers = connected(len(places), pairs).tolist()
        joint_of = dict(zip(places, numbers, strict=True))
        arrows = {}
        for label in wiring.labels:
            ends = joint_of[label + "-"], joint_of[label + "+"]
            arrows[label] = ends[::-1] if wiring.cell_at(label).turned else ends
        return cls(arrows, joint_of.get(wiring.black), joint_of.get(wiring.red), joint_of)

    def shape(self, turned=(), merged=None):
        """``Shape`` of it, or None.

        Args:
            turned: labels of cells to be taken the other way round.
            merged: pair of joints to be taken as one.
        """
        first, second = merged or (None, None)
        arrows = []
        for label, ends in self.arrows.items():
            low, high = (first if joint == second else joint for joint in ends)
            arrows.append((high, low) if label in turned else (low, high))
        black, red = (first if j == second and j is not None else j for j in (self.black, self.red))
        return shape_of(arrows, black, red)

    def balance(self):
        """Cells that arrive at and leave each joint: joint -> (arriving, leaving)."""
        arriving = Counter(high for _, high in self.arrows.values())
        leaving = Counter(low for low, _ in self.arrows.values())
        return {joint: (arriving[joint], leaving[joint]) for joint in arriving | leaving}


def shape_of(arrows, black, red):
    """``Shape`` of arrows between joints from a black to a red lead, or None."""
    if black is None or red is None or black == red or not arrows:
        return None
    level = _levels(arrows, black)
    if level is None or level.get(red, 0) < 1 or any(low not in level for low, _ in arrows):
        return None
    arriving, leaving = (Counter(ends) for ends in zip(*((h, lo) for lo, h in arrows), strict=True))
    inner = [joint for joint in level if joint not in (black, red)]
    if any(arriving[joint] != leaving[joint] for joint in inner):
        return None
    lifts = Counter(level[low] for low, _ in arrows)
    counts = set(lifts.values())
    if arriving[black] or leaving[red] or set(lifts) != set(range(level[red])) or len(counts) > 1:
        return None
    return Shape(level[red], counts.pop(), _form(arriving, inner, level[red], len(arrows)))


def _levels(arrows, black):
    """How many cells each joint lies above the black lead; None where ways disagree."""
    beside = defaultdict(list)
    for low, high in arrows:
        beside[low].append((high, 1))
        beside[high].append((low, -1))
    level, ahead = {black: 0}, [black]
    while ahead:
        here = ahead.pop()
        for other, lift in beside[here]:
            if other not in level:
                level[other] = level[here] + lift
                ahead.append(other)
            elif level[other] != level[here] + lift:
                return None
    return level


def _form(arriving, inner, series, cells):
    if series == 1 or cells == series:
        return None
    if len(inner) == series - 1:
        return "groups"
    return "strings" if all(arriving[joint] == 1 for joint in inner) else "mixed"


# What flows although nothing is connected.


def _currents(wiring, graph):
    """Findings of currents that flow with nothing connected."""
    amps = wiring.currents_a()
    shorted = [label for label, (low, high) in graph.arrows.items() if low == high]
    found = [_short(wiring, label, amps[label]) for label in shorted]
    rest = {label: amps[label] for label in amps if label not in shorted}
    busy = {label: a for label, a in rest.items() if abs(a) > _quiet_a(wiring, label)}
    if not busy:
        return found
    most = max(abs(a) for a in busy.values())
    giving = tuple(label for label, a in busy.items() if a > 0)
    taking = tuple(label for label, a in busy.items() if a < 0)
    if graph.black is not None and graph.black == graph.red and not taking:
        return [_finding("lead_short", (wiring.red, wiring.black), most), *found]
    if not taking:
        return [*found, _finding("ring", giving, most)]
    heavy = any(abs(a) > wiring.cell_at(label).cell.current_limit_a for label, a in busy.items())
    key = "uneven_much" if heavy else "uneven"
    said = {"giving": _listed(giving), "taking": _listed(taking)}
    return [*found, _finding("uneven", giving + taking, most, key=key, **said)]


def _short(wiring, label, amps):
    return _finding("cell_short", (label,), abs(amps))


def _quiet_a(wiring, label):
    return QUIET_C * wiring.cell_at(label).cell.capacity_ah


# What is joined wrongly.


def _built_wrongly(wiring, graph):
    """Findings of a wiring that has no name."""
    if not graph.arrows:
        return [_finding("no_cells", ())]
    free = [word for word in ("red", "black") if getattr(wiring, word) is None]
    if free:
        return [_finding("lead_free", tuple(free), key=f"lead_free_{free[0]}")]
    single = _one_mend(wiring, graph)
    if single:
        return [single]
    out = [label for label in graph.arrows if _loose_ends(wiring, graph, label)]
    found = [_left_out(wiring, graph, label) for label in out]
    if not _one_part(graph):
        return [*found, _finding("open", (wiring.red, wiring.black))]
    return found or [_unequal_or_unnamed(graph)]


def _one_mend(wiring, graph):
    """The one change that would give it a name: a turned cell, leads, a link too few or many."""
    for count in (1, 2) if len(graph.arrows) <= MOST_FOR_PAIRS else (1,):
        for labels in combinations(graph.arrows, count):
            if shape := graph.shape(turned=labels):
                key = "turned" if count == 1 else "turned_two"
                return _finding("turned", labels, key=key, name=shape.name)
    arrows = list(graph.arrows.values())
    if shape := shape_of(arrows, graph.red, graph.black):
        return _finding("swapped", (wiring.red, wiring.black), name=shape.name)
    for joints in combinations(_uneven_joints(graph), 2):
        if shape := graph.shape(merged=joints):
            return _finding("link_missing", _nearest(graph, joints), name=shape.name)
    for link in wiring.links:
        left = [each for each in wiring.links if each is not link]
        if shape := Graph.of(wiring, left).shape():
            return _finding("link_extra", link.ends, name=shape.name)
    return None


def _uneven_joints(graph):
    """Joints at which more cells arrive than leave or the other way round, and the leads'."""
    uneven = [joint for joint, (into, out) in graph.balance().items() if into != out]
    return list(dict.fromkeys([*uneven, graph.black, graph.red]))


def _nearest(graph, joints):
    """The two contacts of two joints that lie nearest to each other."""
    contacts = [[c for c, joint in graph.joint_of.items() if joint == each] for each in joints]
    return min(((a, b) for a in contacts[0] for b in contacts[1]), key=_distance)


def _distance(pair):
    (first, second) = ((int(c[:-1].rstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")), c) for c in pair)
    return abs(first[0] - second[0]), first[1][:-1] != second[1][:-1], first[1], second[1]


def _loose_ends(wiring, graph, label):
    """Contacts of a cell that reach no other cell and no lead."""
    near = Counter(joint for ends in graph.arrows.values() for joint in ends)
    leads = (graph.black, graph.red)
    joints = {sign: graph.joint_of[label + sign] for sign in "-+"}
    return [label + s for s, joint in joints.items() if near[joint] == 1 and joint not in leads]


def _left_out(wiring, graph, label):
    loose = _loose_ends(wiring, graph, label)
    key = "left_out_whole" if len(loose) == 2 else "left_out"
    return _finding("left_out", (label,), key=key, end=loose[0])


def _one_part(graph):
    """Whether a way through cells leads from one lead to the other."""
    joints = sorted({j for ends in graph.arrows.values() for j in ends} | {graph.black, graph.red})
    places = {joint: place for place, joint in enumerate(joints)}
    pairs = [[places[joint] for joint in ends] for ends in graph.arrows.values()]
    parts = connected(len(joints), pairs)
    return parts[places[graph.black]] == parts[places[graph.red]]


def _unequal_or_unnamed(graph):
    level = _levels(list(graph.arrows.values()), graph.black)
    if level is None or level.get(graph.red, 0) < 1:
        return _finding("no_name", ())
    lifts = Counter(level[low] for low, _ in graph.arrows.values())
    if set(lifts) != set(range(level[graph.red])):
        return _finding("no_name", ())
    counts = [str(lifts[lift]) for lift in sorted(lifts)]
    return _finding("unequal", (), counts=_listed(counts))


def _finding(kind, where, amps=None, *, key=None, **said):
    shown = "" if amps is None else f"{amps:.2g}" if amps < 10 else f"{amps:.0f}"
    both = where if len(where) > 1 else (*where, "", "")
    fields = {"where": _listed(where), "first": both[0], "second": both[1], "amps": shown}
    return Finding(kind, tuple(where), amps, say(f"wiring.found.{key or kind}", **fields | said))


def _listed(names):
    names = list(names)
    if len(names) < 2:
        return "".join(names)
    return say("wiring.listed", most=", ".join(names[:-1]), last=names[-1])
