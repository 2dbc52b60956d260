"""From readings to the fault: every single fault is found, or tied with what reads the same."""

import time
from itertools import combinations

import numpy as np
import pytest

from packlearn import finding
from packlearn.cells import cell
from packlearn.errors import BadValue, UnknownName
from packlearn.finding import DEAD_OHM, Meter, Reading, explain, next_reading
from packlearn.packs import Pack
from packlearn.wiring import Wiring

AA = cell("nimh-aa")
# A usual meter's last digit below 20 V; it rounds by half of that.
DIGIT_V = 0.01
PACKS = {
    f"{series}S{parallel}P {form}": (series, parallel, form == "strings")
    for series in range(1, 5)
    for parallel in range(1, 4)
    for form in (("groups", "strings") if series > 1 < parallel else ("groups",))
}


def pack(series, parallel=1, strings=False, charge=0.7):
    return Wiring.of(Pack(AA, series, parallel), strings=strings, charge=charge)


def load_of(wiring):
    """A load that takes about an ampere of each string."""
    series = int(wiring.name.partition("S")[0])
    return 1.3 * series**2 / len(wiring.labels)


def at(wiring, end):
    return {"red": wiring.red, "black": wiring.black}.get(end, end)


def shown(wiring, red, black, load_ohm=None):
    return wiring.reading_v(at(wiring, red), at(wiring, black), load_ohm=load_ohm)


def points(wiring):
    """A fair set: across each cell, across each joint, the pack's ends; at rest and loaded."""
    pairs = [(label + "+", label + "-") for label in wiring.labels]
    pairs += [link.ends for link in wiring.links]
    pairs += [(wiring.red, wiring.black), ("red", "black")]
    return [(*pair, load) for pair in pairs for load in (None, load_of(wiring))]


def all_shown(wiring, where):
    """What a meter shows at points, in their order [V]."""
    volts = {}
    for load in {load for *_, load in where}:
        here = [point for point in where if point[2] == load]
        pairs = [(at(wiring, red), at(wiring, black)) for red, black, _ in here]
        found = wiring.readings_v(pairs, load_ohm=load).tolist()
        volts |= dict(zip(here, found, strict=True))
    return np.array([volts[point] for point in where])


def take(wiring, where, digit_v=DIGIT_V):
    """Readings, rounded to the meter's digit."""
    volts = np.round(all_shown(wiring, where) / digit_v) * digit_v
    return [Reading(*point[:2], float(v), point[2]) for point, v in zip(where, volts, strict=True)]


def faults(wiring):
    """Every single fault, put in here: (kind, where) -> wiring."""
    made = {("none", ()): wiring}
    for label in wiring.labels:
        made["turned", (label,)] = wiring.turn(label)
        made["dead", (label,)] = wiring.measured(label, 0.0, DEAD_OHM)
        made["missing", (label,)] = wiring.take_out(label)
        made["shorted", (label,)] = wiring.link(label + "-", label + "+")
    for link in wiring.links:
        made["link_missing", link.ends] = wiring.part(*link.ends)
    made["swapped", (wiring.red, wiring.black)] = wiring.leads(wiring.black, wiring.red)
    return made


def told(explanations):
    return [(each.kind, each.where) for each in explanations if each.rank == 1]


def same(first_v, second_v):
    """Whether two faults read the same within the meter's tolerance and its rounding."""
    return np.all(np.abs(first_v - second_v) <= Meter().tolerance_v(first_v) + DIGIT_V)


def found_or_tied(planned):
    """Puts in every single fault and sees that it is found, or tied with what reads the same."""
    where, made = points(planned), faults(planned)
    volts = {each: all_shown(wrong, where) for each, wrong in made.items()}
    for true, wrong in made.items():
        found = explain(planned, take(wrong, where))
        assert {(each.kind, each.where) for each in found} == set(made)
        best = told(found)
        assert true in best, true
        for rival in best:
            assert same(volts[true], volts[rival]), (true, rival)


# The true one.


@pytest.mark.parametrize("name", PACKS)
def test_every_single_fault_is_found_or_tied_with_what_reads_the_same(name):
    found_or_tied(pack(*PACKS[name]))


@pytest.mark.long
@pytest.mark.parametrize("charge", [0.2, 1.0])
@pytest.mark.parametrize("name", PACKS)
def test_so_it_is_at_any_charge(name, charge):
    found_or_tied(pack(*PACKS[name], charge=charge))


@pytest.mark.parametrize("series", [2, 3, 4])
def test_cells_in_line_leave_no_doubt(series):
    planned = pack(series)
    for true, wrong in faults(planned).items():
        assert told(explain(planned, take(wrong, points(planned)))) == [true]


def test_in_a_joined_group_nobody_can_say_which_cell_is_missing():
    planned = pack(2, 3)
    missing = {("missing", (label,)) for label in ("2A", "2B", "2C")}
    best = told(explain(planned, take(planned.take_out("2B"), points(planned))))
    # At an ampere a cell its two neighbours sag by 15 mV more: too little for this meter.
    assert missing | {("none", ())} <= set(best)
    fine = Meter(percent=0.05, volts=0.002)
    readings = take(planned.take_out("2B"), points(planned), digit_v=0.001)
    best = told(explain(planned, readings, fine))
    assert missing <= set(best)
    assert {kind for kind, _ in best} <= {"missing", "dead"}
    strings = pack(2, 3, strings=True)
    best = told(explain(strings, take(strings.take_out("2B"), points(strings))))
    assert ("missing", ("2B",)) in best
    assert ("missing", ("2A",)) not in best


def test_ranks_follow_the_misfit():
    planned = pack(3)
    found = explain(planned, take(planned.turn("2A"), points(planned)))
    assert [each.misfit for each in found] == sorted(each.misfit for each in found)
    for each in found:
        assert each.rank == 1 + sum(other.misfit < each.misfit for other in found)
        assert each.fits is (each.misfit == 0)
    assert found[0].wiring == planned.turn("2A")
    assert found[1].misfit > 1


def test_cells_that_are_not_quite_alike_do_not_hide_the_fault():
    # 30 mV up or down each, beyond the meter's tolerance; nothing fits, the true one fits best.
    dice = np.random.default_rng(1)
    planned = pack(4)
    for true, wrong in faults(planned).items():
        for label in wrong.labels:
            placed = wrong.cell_at(label)
            if placed.measured_v is None:
                volts = placed.voltage_v + dice.choice([-0.03, 0.03])
                wrong = wrong.measured(label, volts, placed.resistance_ohm)
        found = explain(planned, take(wrong, points(planned)))
        assert told(found) == [true]
        assert not found[0].fits


# As a technician reasons.


@pytest.mark.parametrize(
    ("volts", "kind"),
    [
        ((1.32, -1.32, 1.32), "turned"),
        ((1.32, 1.32, 1.32), "none"),
        ((0.0, 1.32, 1.32), None),
    ],
)
def test_three_readings_by_hand(volts, kind):
    planned = pack(3).measured("1A", 1.32).measured("2A", 1.32).measured("3A", 1.32)
    three = [Reading(f"{g}A+", f"{g}A-", v) for g, v in enumerate(volts, 1)]
    best = explain(planned, three)
    if kind == "turned":
        assert told(best) == [("turned", ("2A",))]
        assert "2A is turned" in best[0].sentence
    if kind == "none":
        # Cells alone say nothing of links and leads.
        links = [("link_missing", link.ends) for link in planned.links]
        assert set(told(best)) == {("none", ()), ("swapped", ("3A+", "1A-")), *links}
    if kind is None:
        # No voltage across the first: dead, missing or bridged. The pack's ends tell which:
        # nothing through a gap, two cells' voltage else; then a load leaves the bridged one.
        assert {k for k, where in told(best) if where == ("1A",)} == {"dead", "missing", "shorted"}
        open_pack = [*three, Reading("3A+", "1A-", 0.0)]
        assert told(explain(planned, open_pack)) == [("missing", ("1A",))]
        joined = [*three, Reading("3A+", "1A-", 2.64)]
        assert {k for k, _ in told(explain(planned, joined))} == {"dead", "shorted"}
        loaded = [*joined, Reading("3A+", "1A-", 0.0, load_ohm=4.0)]
        assert told(explain(planned, loaded)) == [("dead", ("1A",))]


def test_with_no_reading_nothing_is_ruled_out():
    found = explain(pack(2), [])
    assert {each.rank for each in found} == {1}
    assert found[0].kind == "none"


def test_a_coarser_meter_tells_less():
    planned = pack(2, 2)
    readings = take(planned.take_out("1B"), points(planned))
    fine, coarse = (
        told(explain(planned, readings, Meter(volts=v, percent=p)))
        for v, p in ((0.02, 0.5), (0.1, 5.0))
    )
    assert set(fine) < set(coarse)
    assert ("none", ()) in coarse


@pytest.mark.parametrize("load", [False, True])
@pytest.mark.parametrize("name", ["4S1P groups", "3S2P strings", "2S3P groups"])
def test_asking_on_leads_to_the_fault(name, load):
    planned = pack(*PACKS[name])
    made = faults(planned)
    load_ohm = load_of(planned) if load else None
    everywhere = [(a, b, load_ohm) for a, b in combinations(planned.contacts, 2)]
    everywhere.append(("red", "black", load_ohm))
    volts = {each: all_shown(wrong, everywhere) for each, wrong in made.items()}
    for true, wrong in made.items():
        readings = []
        while pair := next_reading(planned, readings, load_ohm=load_ohm):
            readings += take(wrong, [(*pair, load_ohm)])
        # Halving some thirty to sixty ways takes five to six; uneven ones take a few more.
        assert len(readings) <= 9
        best = told(explain(planned, readings))
        assert true in best
        for rival in best:
            assert same(volts[true], volts[rival]), (true, rival)


@pytest.mark.parametrize("name", ["3S1P groups", "3S2P strings"])
def test_no_other_pair_would_split_better(name):
    planned = pack(*PACKS[name])
    made = list(faults(planned).values())

    def left(pair):
        volts = [shown(each, *pair) for each in made]
        return sum(abs(a - b) <= Meter().tolerance_v(a) for a in volts for b in volts)

    pairs = [(a, b) for a in planned.contacts for b in planned.contacts if a != b]
    best = min(left(pair) for pair in [*pairs, ("red", "black")])
    assert left(next_reading(planned, [])) == best < len(made) ** 2


def test_of_equally_good_pairs_the_plain_one_comes_first():
    # One cell: across it or between the leads is as good; then its leads may be swapped.
    planned = pack(1)
    assert next_reading(planned, []) == ("1A+", "1A-")
    across = take(planned, [("1A+", "1A-", None)])
    assert next_reading(planned, across) == ("red", "black")
    both = [*across, *take(planned, [("red", "black", None)])]
    assert next_reading(planned, both) is None
    assert told(explain(planned, both)) == [("none", ())]
    # One of two is flat: from plus to plus is as good as across either.
    planned = pack(2)
    ends = take(planned.measured("2A", 0.0, DEAD_OHM), [("red", "black", None)])
    assert next_reading(planned, ends) == ("1A+", "1A-")


def test_what_was_read_is_not_asked_for_again_but_under_a_load():
    # Half a volt off, this meter takes a cell for full and for flat alike.
    planned, coarse = pack(1), Meter(percent=0, volts=0.7)
    twice = [Reading("1A+", "1A-", 0.65), Reading("red", "black", 0.65)]
    assert {("none", ()), ("dead", ("1A",))} < set(told(explain(planned, twice, coarse)))
    assert next_reading(planned, twice, coarse) is None
    # At rest a dead cell and a bridged one read alike everywhere, under a load they do not.
    planned = pack(3)
    pairs = [*combinations(planned.contacts, 2), ("red", "black")]
    readings = take(planned.measured("1A", 0.0, DEAD_OHM), [(*pair, None) for pair in pairs])
    assert {kind for kind, _ in told(explain(planned, readings))} == {"dead", "shorted"}
    assert next_reading(planned, readings) is None
    assert next_reading(planned, readings, load_ohm=4.0) == ("1A+", "1A-")


def test_of_explanations_that_fit_alike_the_closest_comes_first():
    planned = pack(1)
    for volts, kinds in ((0.1, ["dead", "missing", "shorted", "none"]), (0.9, ["none"])):
        found = explain(planned, [Reading("1A+", "1A-", volts)], Meter(percent=0, volts=1.3))
        fits = [each.kind for each in found if each.fits and each.kind != "swapped"]
        assert fits[: len(kinds)] == kinds


def test_a_hair_beyond_the_tolerance_does_not_fit():
    planned = pack(1)
    volts = planned.reading_v("1A+", "1A-")
    for over, fits in ((0.099, True), (0.103, False)):
        found = explain(planned, [Reading("1A+", "1A-", volts + over)], Meter(0.0, 0.1))
        assert [each.fits for each in found if each.kind == "none"] == [fits]


def test_the_meters_own_resistance_counts():
    # Two cells behind 10 kilohm, read with 10 kilohm: half of it.
    planned = pack(2).link("1A+", "2A-", ohm=1e4)
    half = planned.reading_v("2A+", "1A-") / 2
    (best, *_) = explain(planned, [Reading("red", "black", half)], Meter(ohm=1e4))
    assert (best.kind, best.fits) == ("none", True)


def test_large_packs_leave_no_solved_networks_behind():
    small, large = (explain(pack(series), [Reading("red", "black", 1.3)]) for series in (4, 26))
    assert all(each.wiring._networks for each in small)
    assert not any(each.wiring._networks for each in large)


def test_a_cell_that_is_bridged_by_plan_is_no_suspect_of_that():
    planned = pack(2).link("1A-", "1A+")
    kinds = [(each.kind, each.where) for each in explain(planned, [])]
    assert ("shorted", ("1A",)) not in kinds
    assert ("shorted", ("2A",)) in kinds


# Speed, and what is refused.


def test_an_explanation_takes_less_than_a_second():
    planned = pack(4, 3)
    readings = take(planned.turn("3B"), points(planned))
    for cached in (finding._shown_v, finding._suspects):
        cached.cache_clear()
    start = time.perf_counter()
    explain(planned, readings)
    assert time.perf_counter() - start < 1


@pytest.mark.parametrize(
    ("job", "error", "words"),
    [
        (lambda w: Reading("1A+", "1A-", "1,3"), BadValue, ["1,3", "1.32"]),
        (lambda w: explain(w, [("1A+", "1A-", 1.3)]), BadValue, ["('1A+'", "Reading("]),
        (lambda w: explain(w, [Reading("9A+", "1A-", 1.3)]), UnknownName, ["9A+", "2A-"]),
        (lambda w: explain(w, [Reading("1A+", "1A-", 1.3, -2)]), BadValue, ["-2"]),
        (lambda w: explain(w.leads(None, "1A-"), [Reading("red", "1A-", 1.3)]), BadValue, ["red"]),
        (lambda w: Meter(percent=-1), BadValue, ["-1"]),
        (lambda w: Meter(volts=0), BadValue, ["0.02"]),
        (lambda w: Meter(ohm=0), BadValue, ["10 megohm"]),
    ],
)
def test_what_is_refused_is_told_with_its_mend(job, error, words):
    with pytest.raises(error) as refused:
        job(pack(2))
    for part in words:
        assert part in str(refused.value)
