"""Random wirings against a general circuit simulator, ngspice.

All wirings are one netlist and one run, each with node names of its own. Contacts under ideal
links are one node; which, is found here and not by the library. Every part that hangs together
is tied to the simulator's ground at one node, through which nothing can flow.
"""

import subprocess
from dataclasses import dataclass, field

import numpy as np
import pytest

from packlearn.cells import Cell, cell
from packlearn.packs import Pack
from packlearn.wiring import METER_OHM, SHUNT_OHM, Wiring

WIRINGS = 240
SEED = 4
# Of the largest voltage; below a microvolt nothing is compared.
SHARE, LEAST_V = 1e-6, 1e-6
# So large that it takes nothing away: what the library shows is the voltage itself.
NO_METER_OHM = 1e18
AA = cell("nimh-aa")


# Random wirings.


@dataclass
class Case:
    """One wiring, its load, and where meters are held."""

    wiring: Wiring
    load_ohm: float | None
    voltmeter: tuple
    ammeter: tuple | None
    kinds: set = field(default_factory=set)


def plain(dice):
    """A cell of any voltage and resistance."""
    return Cell(
        name="any", chemistry="as told", nominal_voltage_v=dice.uniform(0.2, 14.0),
        full_voltage_v=20.0, end_voltage_v=0.1, capacity_ah=1.0, current_limit_a=1.0,
        resistance_ohm=10 ** dice.uniform(-2.5, 1.5),
    )  # fmt: skip


def made(dice):
    """A pack of 1 to 24 cells, or cells joined at random."""
    series = int(dice.integers(1, 13))
    parallel = 1 if dice.random() < 0.3 else int(dice.integers(1, 24 // series + 1))
    if dice.random() < 0.7:
        one = AA if dice.random() < 0.5 else plain(dice)
        return Wiring.of(Pack(one, series, parallel), strings=dice.random() < 0.5)
    wiring = Wiring()
    for place in range(1, series * parallel + 1):
        wiring = wiring.place(f"{place}A", plain(dice), turned=dice.random() < 0.3)
    for _ in range(int(1.3 * series * parallel)):
        wiring = link(wiring, dice)
    return wiring.leads(*two(wiring, dice))


def two(wiring, dice):
    return tuple(str(each) for each in dice.choice(wiring.contacts, 2, replace=False))


def some(wiring, dice):
    return str(dice.choice(wiring.labels))


def link(wiring, dice):
    return wiring.link(*two(wiring, dice))


def resistive(wiring, dice):
    ends = two(wiring, dice)
    if wiring.links and dice.random() < 0.7:
        ends = wiring.links[dice.integers(len(wiring.links))].ends
    return wiring.link(*ends, ohm=10 ** dice.uniform(-3, 4))


def part(wiring, dice):
    if not wiring.links:
        return wiring
    return wiring.part(*wiring.links[dice.integers(len(wiring.links))].ends)


def turn(wiring, dice):
    return wiring.turn(some(wiring, dice))


def take_out(wiring, dice):
    return wiring.take_out(some(wiring, dice)) if len(wiring.labels) > 1 else wiring


def short(wiring, dice):
    label = some(wiring, dice)
    return wiring.link(f"{label}-", f"{label}+", ohm=0.0 if dice.random() < 0.7 else 0.01)


def charge(wiring, dice):
    return wiring.charged(some(wiring, dice), dice.random())


def measured(wiring, dice):
    ohm = float(dice.choice([0.05, 3.0, 1e4, 1e6]))
    return wiring.measured(some(wiring, dice), dice.uniform(-1.0, 5.0), ohm)


def leads(wiring, dice):
    return wiring.leads(*two(wiring, dice))


CHANGES = (link, resistive, part, turn, take_out, short, charge, measured, leads)


def case(dice):
    wiring, kinds = made(dice), set()
    for change in dice.choice(np.array(CHANGES), int(dice.integers(0, 6))):
        wiring = change(wiring, dice)
        kinds.add(change.__name__)
    load_ohm = 10 ** dice.uniform(-1, 5) if dice.random() < 0.6 else None
    ammeter = None
    if wiring.links and dice.random() < 0.5:
        ammeter = wiring.links[dice.integers(len(wiring.links))].ends
    return Case(wiring, load_ohm, two(wiring, dice), ammeter, kinds)


# The netlist.


class Apart:
    """Which things hang together: each points at another of its kind, the last at itself."""

    def __init__(self):
        self.above = {}

    def of(self, thing):
        while (above := self.above.setdefault(thing, thing)) != thing:
            thing = above
        return thing

    def join(self, first, second):
        self.above[self.of(first)] = self.of(second)

    def all(self):
        return sorted({self.of(thing) for thing in list(self.above)})


class Netlist:
    """One circuit: nodes under ideal links merged, each part tied to ground once."""

    def __init__(self, tag, wiring, load_ohm, more=()):
        self.tag, self.nodes, self.parts, self.lines = tag, Apart(), Apart(), []
        for contact in wiring.contacts:
            self.nodes.of(contact)
        for each in wiring.links:
            if not each.ohm:
                self.nodes.join(*each.ends)
        for label in wiring.labels:
            self.cell(label, wiring.cell_at(label))
        paths = [(*each.ends, each.ohm) for each in wiring.links if each.ohm]
        paths += [(wiring.red, wiring.black, load_ohm)] if load_ohm else []
        for number, (first, second, ohm) in enumerate([*paths, *more]):
            # A source of nothing in line, whose current is written.
            self.line(f"V{tag}p{number}", self.node(first), f"{tag}p{number}", 0.0)
            self.line(f"R{tag}p{number}", f"{tag}p{number}", self.node(second), ohm)
            self.parts.join(self.node(first), self.node(second))
        for contact in wiring.contacts:
            self.parts.of(self.node(contact))
        for number, node in enumerate(self.parts.all()):
            self.line(f"R{tag}g{number}", node, "0", 1.0)

    def node(self, contact):
        return f"n{self.tag}_{self.nodes.of(contact)[:-1]}{'pm'[self.nodes.of(contact)[-1] == '-']}"

    def part(self, contact):
        return self.parts.of(self.node(contact))

    def cell(self, label, placed):
        top, bottom = (self.node(label + sign) for sign in ("-+" if placed.turned else "+-"))
        self.line(f"V{self.tag}c{label}", f"{self.tag}c{label}", bottom, placed.voltage_v)
        self.line(f"R{self.tag}c{label}", f"{self.tag}c{label}", top, placed.resistance_ohm)
        self.parts.join(top, bottom)

    def line(self, name, first, second, value):
        self.lines.append(f"{name} {first} {second} {value:.17g}")


def netlists(cases):
    """Plain, voltmeter's and ammeter's netlist of each case."""
    for number, each in enumerate(cases):
        yield Netlist(f"a{number}", each.wiring, each.load_ohm)
        volt = [(*each.voltmeter, METER_OHM)]
        yield Netlist(f"v{number}", each.wiring, each.load_ohm, volt)
        if each.ammeter:
            there = each.wiring.part(*each.ammeter)
            yield Netlist(f"i{number}", there, each.load_ohm, [(*each.ammeter, SHUNT_OHM)])


def run(program, folder, circuits):
    """What the simulator finds: lower-case name -> volts or amperes."""
    lines = ["* wirings", *(line for each in circuits.values() for line in each.lines)]
    lines += [".control", "set filetype=ascii", "op", "write found.raw", ".endc", ".end"]
    (folder / "wirings.cir").write_text("\n".join(lines) + "\n", encoding="utf-8")
    ran = subprocess.run(
        [program, "-b", "wirings.cir"], cwd=folder, capture_output=True, text=True, timeout=60
    )
    found = folder / "found.raw"
    assert found.exists(), ran.stdout[-500:] + ran.stderr[-500:]
    head, _, values = found.read_text(encoding="utf-8").partition("Values:\n")
    names = [line.split()[1] for line in head.partition("\nVariables:")[2].split("\n") if line]
    # The first value follows the number of its point.
    return dict(zip(names, map(float, values.split()[1:]), strict=True))


# What is compared.


@pytest.fixture(scope="module")
def cases():
    dice = np.random.default_rng(SEED)
    return [case(dice) for _ in range(WIRINGS)]


@pytest.fixture(scope="module")
def circuits(cases):
    return {each.tag: each for each in netlists(cases)}


@pytest.fixture(scope="module")
def found(ngspice, circuits, tmp_path_factory):
    return run(ngspice, tmp_path_factory.mktemp("wirings"), circuits)


def voltage(found, circuit, red, black):
    """Voltage between two contacts by the simulator; 0 between parts."""
    if circuit.part(red) != circuit.part(black):
        return 0.0
    return found[f"v({circuit.node(red)})".lower()] - found[f"v({circuit.node(black)})".lower()]


def within(off, largest):
    return np.max(np.abs(off), initial=0.0) <= max(SHARE * largest, LEAST_V)


def node_voltages(found, circuit, each):
    """Of every contact against the first of its part: ours and the simulator's [V]."""
    first = {}
    pairs = [(c, first.setdefault(circuit.part(c), c)) for c in each.wiring.contacts]
    theirs = np.array([voltage(found, circuit, *pair) for pair in pairs])
    ours = each.wiring.readings_v(pairs, load_ohm=each.load_ohm, meter_ohm=NO_METER_OHM)
    return ours, theirs


def test_the_wirings_are_of_many_kinds(cases):
    assert len(cases) >= 200
    seen = {kind for each in cases for kind in each.kinds}
    assert seen == {change.__name__ for change in CHANGES}
    sizes = {len(each.wiring.labels) for each in cases}
    assert {1, 24} <= sizes <= set(range(1, 25))
    assert len(sizes) > 15
    assert 100 < sum(each.load_ohm is not None for each in cases) < 250
    assert sum("lead_short" in kinds_of(each) for each in cases) >= 2
    assert sum("cell_short" in kinds_of(each) for each in cases) >= 20
    assert sum(each.ammeter is not None for each in cases) >= 50
    names = [each.wiring.name for each in cases]
    assert names.count(None) >= 30
    assert len(names) - names.count(None) >= 30


def kinds_of(each):
    return [finding.kind for finding in each.wiring.findings]


def test_some_wirings_fall_apart_into_parts(cases, circuits):
    parts = [len(circuits[f"a{number}"].parts.all()) for number in range(len(cases))]
    assert sum(count > 1 for count in parts) >= 50
    assert max(parts) >= 4


def test_every_node_has_the_simulators_voltage(cases, circuits, found):
    for number, each in enumerate(cases):
        ours, theirs = node_voltages(found, circuits[f"a{number}"], each)
        assert within(ours - theirs, np.abs(theirs).max(initial=0.0)), number


def test_every_cell_and_load_has_the_simulators_current(cases, circuits, found):
    for number, each in enumerate(cases):
        # A source's current counts into its plus end there.
        names = [f"i(va{number}c{label})".lower() for label in each.wiring.labels]
        theirs = -np.array([found[name] for name in names])
        ours = np.array(list(each.wiring.currents_a(each.load_ohm).values()))
        assert within(ours - theirs, np.abs(theirs).max(initial=0.0)), number
        paths = [link for link in each.wiring.links if link.ohm]
        flows = each.wiring.link_currents_a(each.load_ohm)
        ours = [flows[link.ends] for link in paths]
        if each.load_ohm:
            ours.append(each.wiring.load_current_a(each.load_ohm))
        theirs = [found[f"i(va{number}p{place})"] for place in range(len(ours))]
        largest = np.abs([*theirs, *ours]).max(initial=0.0)
        assert within(np.subtract(ours, theirs), largest), number


def test_a_voltmeter_shows_what_it_shows_in_the_simulator(cases, circuits, found):
    apart = 0
    for number, each in enumerate(cases):
        theirs = voltage(found, circuits[f"v{number}"], *each.voltmeter)
        ours = each.wiring.reading_v(*each.voltmeter, load_ohm=each.load_ohm)
        red, black = (circuits[f"a{number}"].part(contact) for contact in each.voltmeter)
        if red == black:
            volts = [placed.voltage_v for _, placed in each.wiring.places if placed]
            assert within(ours - theirs, np.abs(volts).max()), number
        else:
            # By hand: no current can flow back, so none flows. The simulator's rounding, some
            # picoamperes, is microvolts in a meter.
            assert ours == 0.0
            assert theirs == pytest.approx(0.0, abs=1e-3)
            apart += 1
    assert 20 <= apart <= len(cases) / 2


def test_an_ammeter_shows_what_it_shows_in_the_simulator(cases, found):
    for number, each in enumerate(cases):
        if each.ammeter:
            others = sum(link.ohm > 0 for link in each.wiring.part(*each.ammeter).links)
            # It is the last path of its netlist.
            theirs = found[f"i(vi{number}p{others + (each.load_ohm is not None)})"]
            ours = each.wiring.ammeter_a(*each.ammeter, load_ohm=each.load_ohm)
            amps = each.wiring.currents_a(each.load_ohm).values()
            assert within(ours - theirs, max(map(abs, amps))), number


def test_what_flows_to_a_contact_flows_away(cases):
    for number, each in enumerate(cases):
        into_a = dict.fromkeys(each.wiring.contacts, 0.0)
        amps = each.wiring.currents_a(each.load_ohm)
        for label, flow in amps.items():
            turned = each.wiring.cell_at(label).turned
            into_a[label + "+"] += -flow if turned else flow
            into_a[label + "-"] -= -flow if turned else flow
        for (first, second), flow in each.wiring.link_currents_a(each.load_ohm).items():
            into_a[first] -= flow
            into_a[second] += flow
        if each.load_ohm:
            flow = each.wiring.load_current_a(each.load_ohm)
            into_a[each.wiring.red] -= flow
            into_a[each.wiring.black] += flow
        largest = max(map(abs, amps.values()), default=0.0)
        assert within(list(into_a.values()), largest), number


def test_the_simulator_would_notice(cases, circuits, found):
    # One cell of one per mille more voltage: beyond what is allowed.
    noticed = 0
    for number, each in enumerate(cases):
        label = each.wiring.labels[0]
        volts = 1.001 * each.wiring.cell_at(label).voltage_v
        ohm = each.wiring.cell_at(label).resistance_ohm
        other = Case(each.wiring.measured(label, volts, ohm), each.load_ohm, each.voltmeter, None)
        ours, theirs = node_voltages(found, circuits[f"a{number}"], other)
        noticed += not within(ours - theirs, np.abs(theirs).max(initial=0.0))
    assert noticed > 0.8 * len(cases)
