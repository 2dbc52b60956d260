"""Wirings that are built and faults that are found in a question, through its own buttons."""

import itertools
import random

import pytest
from test_questions import lock, on_show, said, stored

from packlearn import panels, rules
from packlearn.finding import Reading, explain, next_reading
from packlearn.tasks import bank, benches, checking, faults
from packlearn.tasks.mistakes import rules_for
from packlearn.words import say

WIRES = ("wire-the-name", "wire-in-line", "wire-side-by-side")
FAULTS = ("fault-of-three", "fault-of-six", "fault-of-two-strings")


def variant(page, name, number):
    return checking.variant(bank.page(page).task(name), number)


# Cables.


@pytest.mark.parametrize("name", ["cable-resistance", "mast-cable"])
def test_a_cable_task_gives_the_coppers_figure_the_library_works_with(name):
    for number in range(10):
        var = variant("wiring-names", name, number)
        assert f"{rules.COPPER_OHM_MM2_PER_M} ohm" in checking.text_of(var)
        one_way = next(rule for rule in rules_for(var.task.asked, var.givens) if rule.id == "M33")
        answer = checking.answer_of(var.task, var.givens)
        assert one_way.value(var.givens) == pytest.approx(answer / 2)


# Wirings.


def joints_of(series, parallel, order, turned):
    """Contacts of each joint of each string, minus end first; a turned cell has its ends changed.

    Args:
        order: labels in the order in which they are used.
        turned: labels of cells lying the other way round.
    """
    strings = [order[at : at + series] for at in range(0, len(order), series)]
    assert len(strings) == parallel

    def end(label, sign):
        return label + ("+-"["+-".index(sign) - 1] if label in turned else sign)

    for string in strings:
        pairs = itertools.pairwise(string)
        inner = [[end(low, "+"), end(high, "-")] for low, high in pairs]
        yield [[end(string[0], "-")], *inner, [end(string[-1], "+")]]


def built(question, form, dice):
    """Wire the asked name on the question's bench, by its buttons, in a way of one's own."""
    givens, bench = question.variant.givens, question.answer.bench
    series, parallel = givens["series"], givens["parallel"]
    order = list(bench.wiring.labels)
    dice.shuffle(order)
    turned = dice.sample(order, dice.randrange(0, 3))
    for label in turned:
        bench.choose(label + "+")
        bench.press("turn")
        bench.choose(label + "+")
    strings = list(joints_of(series, parallel, order, turned))
    for level in range(series + 1):
        ends = level in (0, series)
        whole = form == "groups" or (form == "mixed" and dice.random() < 0.5) or ends
        heaps = [string[level] for string in strings]
        for heap in [sum(heaps, [])] if whole else heaps:
            dice.shuffle(heap)
            for first, second in itertools.pairwise(heap):
                join(bench, first, second)
            if len(heap) > 2 and dice.random() < 0.5:
                # One link more than needed, between contacts that are joined anyway.
                join(bench, heap[0], heap[-1])
    lead(bench, "black_lead", dice.choice(strings)[0][0])
    lead(bench, "red_lead", dice.choice(strings)[series][0])
    assert bench.errors == []
    return question.answer.value


def join(bench, first, second):
    bench.choose(first)
    bench.choose(second)
    bench.press("join")


def lead(bench, name, contact):
    bench.choose(contact)
    bench.press(name)
    bench.choose(contact)


@pytest.mark.parametrize("form", ["groups", "strings", "mixed"])
@pytest.mark.parametrize("name", WIRES)
def test_any_wiring_that_works_as_its_name_says_is_right(name, form):
    dice, lines = random.Random(f"{name}/{form}"), set()
    question = panels.Question("wiring-names", name)
    for _ in range(6):
        line = built(question, form, dice)
        lines.add(line)
        lock(question, line)
        last = stored()[-1]
        assert last.result.right, (line, said(question))
        assert last.locked.typed == line
        assert len(line) <= 200
        question.another.click()
    assert len(lines) == 6


def wrong_wirings(made):
    """Ways to go wrong with the right wiring, and what the sentence must hold."""
    first, last = made.links[0], made.links[-1]
    yield made.turn("1A"), "turned"
    yield made.leads(made.black, made.red), "swapped"
    yield made.leads(None, made.black), "lead hangs free"
    yield made.part(*first.ends), "missing"
    yield made.part(*last.ends), "missing"
    yield made.link("2A-", "2A+"), "short circuit"
    yield made.leads(made.red, made.red), ""
    yield made.take_out("1A"), ""


@pytest.mark.parametrize("name", WIRES)
@pytest.mark.parametrize("number", range(4))
def test_a_wrong_wiring_is_answered_with_why(name, number):
    var = variant("wiring-names", name, number)
    for wiring, words in wrong_wirings(benches.joined(var.givens)):
        verdict = checking.check(var, benches.to_line(wiring))
        assert not verdict.right
        assert verdict.kind != "ask"
        told = " ".join(verdict.says)
        assert words in told, (words, told)
        assert told


def test_another_name_is_called_by_its_own():
    var = variant("wiring-names", "wire-the-name", 0)
    series, parallel = var.givens["series"], var.givens["parallel"]
    other = benches.joined({"series": parallel, "parallel": series})
    verdict = checking.check(var, benches.to_line(other))
    asked, found = f"{series}S{parallel}P", f"{parallel}S{series}P"
    assert verdict.says[0] == say("tasks.wire.other", found=found, asked=asked) or (
        verdict.kind == "which"
    )
    assert "M04" in {rule.id for rule in verdict.rules}


def test_an_empty_or_damaged_or_endless_wiring_costs_no_try():
    var = variant("wiring-names", "wire-the-name", 0)
    lines = ["", "  ", "1A+9Z-", "red=7Q+", "up=1A", "<b>", "1A+1A+", "1A+2A- " * 40, "out=9A"]
    for line in lines:
        assert checking.check(var, line).kind == "ask", line


@pytest.mark.parametrize("number", range(5))
@pytest.mark.parametrize("name", WIRES)
def test_a_wiring_comes_back_from_its_line(name, number):
    givens = variant("wiring-names", name, number).givens
    for strings in (False, True):
        made = benches.joined(givens, strings).turn("1A")
        assert benches.from_line(benches.to_line(made), benches.loose(givens)) == made
    empty = benches.loose(givens).take_out("2A")
    assert benches.from_line(benches.to_line(empty), benches.loose(givens)) == empty


def test_name_and_faults_are_not_told_until_the_answer_is_locked():
    question = panels.Question("wiring-names", "wire-the-name")
    bench = question.answer.bench
    line = built(question, "groups", random.Random(1))
    assert (bench.shows_name, bench.shows_faults, bench.reads) == (False, False, False)
    assert question.variant.givens["series"] > 1
    assert bench.wiring.name not in bench.says.value
    lock(question, line)
    assert bench.reads
    assert bench.wiring.name in bench.says.value
    question.another.click()
    assert not question.answer.bench.reads
    assert question.answer.value == ""


def on_screen(part):
    return part.layout.display != "none"


def test_a_wrong_wiring_lies_beside_a_right_one_and_a_right_one_stays_alone():
    question = panels.Question("wiring-names", "wire-the-name")
    bench = question.answer.bench
    left = bench.children[0].children[0]
    assert on_screen(bench.contacts)
    assert not on_screen(question.picture)
    wrong = benches.to_line(benches.loose(question.variant.givens).link("1A-", "1A+"))
    question.answer.value = wrong
    lock(question, wrong)
    assert on_screen(bench.contacts)
    lock(question, wrong)
    assert on_screen(question.picture)
    assert not on_screen(bench.contacts)
    assert not on_screen(left)
    question.another.click()
    bench = question.answer.bench
    lock(question, built(question, "groups", random.Random(1)))
    assert not on_screen(question.picture)
    assert not on_screen(bench.contacts)
    assert on_screen(bench.children[0].children[0])


def test_an_unlocked_wiring_is_there_after_a_restart():
    question = panels.Question("wiring-names", "wire-the-name")
    line = built(question, "strings", random.Random(2))
    assert panels.Question("wiring-names", "wire-the-name").answer.value == line


# Faults.


def greedy(question):
    """Take the readings a technician takes, by the question's own lists and button."""
    work, givens = question.answer, question.variant.givens
    plan, readings = benches.plan_of(givens), []
    for load in (None, givens["load_ohm"]):
        while (pair := next_reading(plan, readings, load_ohm=load)) is not None:
            work.red.value, work.black.value = pair
            work.load.value = load is not None
            work.read.click()
            volts = float(work.table.value.rpartition(" V</td>")[0].rpartition("<td>")[2])
            readings.append(Reading(*pair, volts, load))
    return explain(plan, readings)


@pytest.mark.parametrize("name", FAULTS)
def test_the_true_fault_is_found_by_the_readings_that_tell_most(name):
    question = panels.Question("find-the-fault", name)
    kinds, seeds = set(), 50 if name == "fault-of-three" else 20
    for _ in range(seeds):
        found = greedy(question)
        assert [each.rank for each in found[:2]] == [1, 2]
        question.answer.fault.value = faults.key_of(found[0])
        kinds.add(found[0].kind)
        count = len(question.answer.taken)
        lock(question, question.answer.value)
        assert stored()[-1].result.right, said(question)
        taken = in_words(count)
        assert say("tasks.fault.right", count=taken, fewest=taken) in said(question)
        question.another.click()
        assert question.answer.taken == []
    assert len(kinds) >= 3


def in_words(count):
    return say("tasks.readings_one") if count == 1 else say("tasks.readings_many", count=count)


# By hand: cells in line at rest, none, one turned, one flat, one way open.
def by_hand(kind, at, place, volts):
    if place == at:
        return {"turned": -volts, "dead": 0.0, "shorted": 0.0, "missing": 0.0}[kind]
    return volts


@pytest.mark.parametrize("number", range(30))
def test_across_each_cell_the_meter_shows_what_one_works_out_by_hand(number):
    givens = variant("find-the-fault", "fault-of-three", number).givens
    fault = faults.hidden(givens).fault
    volts = benches.plan_of(givens).cell_at("1A").voltage_v
    for place in range(1, givens["series"] + 1):
        shown = faults.read(givens, (f"{place}A+", f"{place}A-", False)).volts
        alone = fault.kind in ("link_missing", "swapped")
        at = 0 if alone else int(fault.where[0][:-1])
        assert shown == pytest.approx(by_hand(fault.kind, at, place, volts), abs=0.006)


def test_a_wrong_fault_hears_what_it_would_show_or_that_it_fits_too():
    heard = set()
    for number in range(12):
        var = variant("find-the-fault", "fault-of-three", number)
        true = faults.key_of(faults.hidden(var.givens).fault)
        taken = [("red", "black", False)]
        for key in faults.known(var.givens):
            verdict = checking.check(var, faults.to_line(key, taken))
            assert verdict.right == (key == true)
            if verdict.says == (say("tasks.fault.fits_too"),):
                shown, would = (
                    faults.read(var.givens, taken[0], each).volts
                    for each in (None, faults.known(var.givens)[key])
                )
                assert abs(shown - would) < 0.06
                heard.add("fits")
            elif not verdict.right:
                assert verdict.says[0].startswith("Then the meter would show ")
                heard.add("unlike")
            assert checking.answer_in_words(var) not in " ".join(verdict.says)
    assert heard == {"fits", "unlike"}


def test_without_a_reading_a_wrong_fault_is_sent_to_the_meter():
    var = variant("find-the-fault", "fault-of-three", 0)
    true = faults.key_of(faults.hidden(var.givens).fault)
    other = next(key for key in faults.known(var.givens) if key != true)
    assert checking.check(var, other).says == (say("tasks.fault.unread"),)


@pytest.mark.parametrize("line", ["- red/black", "turned=9A", "turned=1A red", "x <b>/</b>", "/"])
def test_a_fault_that_is_none_costs_no_try(line):
    var = variant("find-the-fault", "fault-of-three", 0)
    assert checking.check(var, line).kind == "ask"


def test_readings_are_listed_counted_once_and_bounded():
    question = panels.Question("find-the-fault", "fault-of-six")
    work = question.answer
    for _ in range(2):
        work.read.click()
    assert work.taken == [("red", "black", False)]
    for end in faults.points(question.variant.givens):
        for loaded in (False, True):
            work.red.value, work.load.value = end, loaded
            work.read.click()
    assert work.table.value.count("<tr>") == 16
    assert say("panels.work.most", most=15) in work.table.value
    work.fault.value = next(iter(faults.known(question.variant.givens)))
    assert len(work.value) <= 200
    work.anew.click()
    assert (work.taken, work.errors) == ([], [])


def test_readings_of_the_last_try_are_there_after_a_restart():
    question = panels.Question("find-the-fault", "fault-of-three")
    question.answer.read.click()
    true = checking.answer_of(question.task, question.variant.givens)
    keys = faults.known(question.variant.givens)
    question.answer.fault.value = next(key for key in keys if key != true)
    lock(question, question.answer.value)
    again = panels.Question("find-the-fault", "fault-of-three")
    assert again.answer.taken == [("red", "black", False)]
    again.answer.fault.value = true
    lock(again, again.answer.value)
    assert again.phase == "done"
    assert again.answer.measuring not in on_show(again)
    assert again.answer.table in on_show(again)


def test_a_teacher_who_shows_the_answer_can_still_measure(monkeypatch):
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    question = panels.Question("find-the-fault", "fault-of-three")
    question.key.buttons["answer"].click()
    fault = faults.hidden(question.variant.givens).fault
    assert fault.sentence.rstrip(".") in question.key.told.value
    for part in (question.answer.measuring, question.answer.fault, question.entry):
        assert part in on_show(question)


def test_nobody_is_said_to_take_only_the_packs_own_ends_for_dangerous_where_those_touch():
    told = {
        (red, black): "M88" in {rule.id for rule in rules_for("bare_ends_touch", givens)}
        for red, black in itertools.product(range(5), repeat=2)
        for givens in ({"series": 4, "red_joint": red, "black_joint": black},)
    }
    # Ends that are one joint touch nothing, ends that are the pack's own are the slip's own rule.
    quiet = {pair for pair, is_told in told.items() if not is_told}
    assert quiet == {(0, 4), (4, 0), *((joint, joint) for joint in range(5))}
