"""Pointing at cells and contacts in a diagram: every pick is judged, nothing tells it before."""

import itertools
import re

import pytest
from test_questions import lock, on_show, open_question, said, seen, stored, texts, wrong_text

from packlearn.tasks import bank, checking, picks
from packlearn.tasks.answers_picks import PICKS, strings_of, wiring_of
from packlearn.words import as_shown, say, word

TASKS = [t for name in bank.pages() for t in bank.page(name).tasks if t.kind == "pick"]
every = pytest.mark.parametrize("task", TASKS, ids=lambda task: task.id)


# The answer by a second path: from the links that are drawn, by volts one reads off them.


def joints(wiring):
    """Each contact's joint, by merging what a link joins."""
    joint = {contact: {contact} for contact in wiring.contacts}
    for link in wiring.links:
        first, second = link.ends
        merged = joint[first] | joint[second]
        for contact in merged:
            joint[contact] = merged
    return joint


def line_of(wiring, label):
    """Cells one meets going up and down from a cell while no way branches off."""
    joint, found = joints(wiring), set()
    for own, other in (("+", "-"), ("-", "+")):
        at = label
        while True:
            met = [c[:-1] for c in joint[at + own] if c.endswith(other)]
            same = [c[:-1] for c in joint[at + own] if c.endswith(own)]
            if len(met) != 1 or len(same) != 1:
                break
            at = met[0]
            found.add(at)
    return found


def beside(wiring, label):
    joint = joints(wiring)
    return {
        other
        for other in wiring.labels
        if other != label
        and other + "+" in joint[label + "+"]
        and other + "-" in joint[label + "-"]
    }


def right_cells(var):
    wiring, g = wiring_of(var.givens), var.givens
    if var.task.asked == "pick_in_line":
        return line_of(wiring, f"{g['place']}A")
    if var.task.asked == "pick_side_by_side":
        return beside(wiring, f"{g['place']}A")
    left = {f"{at}A": g[f"{n}_ah"] * g[f"{n}_share"] for at, n in enumerate(WHICH, 1)}
    return {min(left, key=left.get)}


WHICH = ("first", "second", "third")
cells = pytest.mark.parametrize(
    "task", [t for t in TASKS if t.asked != "pick_probes"], ids=lambda task: task.id
)


def test_every_one_is_met_by_a_task():
    assert {task.asked for task in TASKS} == set(PICKS)


@cells
def test_every_pick_of_cells_gets_its_verdict(task):
    for number in range(12):
        var = checking.variant(task, number)
        right, own = right_cells(var), {f"{var.givens.get('place', 99)}A"}
        assert right
        labels = picks.things_of(var)
        for count in range(1, len(labels) + 1):
            for picked in itertools.combinations(labels, count):
                verdict = checking.check(var, picks.to_line(picked))
                assert verdict.right == (set(picked) - own == right), (number, picked)


def test_any_contact_of_the_two_joints_passes_and_no_other():
    (task,) = (task for task in TASKS if task.asked == "pick_probes")
    for number in range(12):
        var = checking.variant(task, number)
        wiring, right = wiring_of(var.givens), 0
        joint, cell = joints(wiring), f"{var.givens['place']}A"
        for pair in itertools.permutations(wiring.contacts, 2):
            wanted = {frozenset(joint[cell + "-"]), frozenset(joint[cell + "+"])}
            holds = {frozenset(joint[contact]) for contact in pair} == wanted
            assert checking.check(var, picks.to_line(pair)).right == holds, (number, pair)
            right += holds
        assert right > 2


def test_what_the_probes_would_read_is_told():
    (task,) = (task for task in TASKS if task.asked == "pick_probes")
    var = checking.variant(task, 0)
    # The place of each cell in the string, counted along the drawn links.
    ends = (wiring_of(var.givens).black, wiring_of(var.givens).red)
    verdict = checking.check(var, picks.to_line(ends))
    count = var.givens["series"]
    assert verdict.says == (say("tasks.picks.pick_probes.many", count=count),)
    one = checking.check(var, picks.to_line(ends[:1]))
    assert (one.kind, one.says) == ("ask", (word("tasks.pick.two"),))
    link = wiring_of(var.givens).links[0].ends
    assert checking.check(var, picks.to_line(link)).says == (word("tasks.picks.pick_probes.none"),)


@every
@pytest.mark.parametrize("typed", ["99A", "<b>", "1A 99A", "="])
def test_what_is_not_in_the_diagram_is_asked_back(task, typed):
    assert checking.check(checking.variant(task, 0), typed).kind == "ask"


@every
def test_variants_shuffle_the_places(task):
    found = [checking.variant(task, n) for n in range(40)]
    orders = [checking.text_of(var) + str(picks.told(task, var.givens)) for var in found]
    assert all(a != b for a, b in itertools.pairwise(orders))
    assert len(set(orders)) > 4


@every
def test_it_is_chosen_by_buttons_and_comes_back(task):
    question = open_question(task.page, task.id)
    lock(question, question.answer.value)
    assert word("tasks.pick.nothing") in said(question)
    var = question.variant
    wrong = wrong_text(var)
    for name in wrong.split():
        question.answer.grid.buttons[name].click()
    assert question.answer.value == wrong
    named = as_shown(", ".join(wrong.split()))
    assert say("panels.pick.chosen", named=named) in seen(question.answer)
    lock(question, question.answer.value)
    assert not stored()[0].result.right
    assert len(stored()[0].locked.typed) <= 200
    again = open_question(task.page, task.id)
    assert again.answer.value == wrong
    assert said(again) == said(question)
    for name in wrong.split():
        # Chosen once more, it is given back.
        again.answer.grid.buttons[name].click()
    assert again.answer.value == ""
    for name in checking.answer_of(task, var.givens):
        again.answer.grid.buttons[name].click()
    lock(again, again.answer.value)
    assert stored()[-1].result.right
    assert again.answer.place not in on_show(again)
    assert again.answer.errors == []


@every
def test_each_button_says_what_it_is_and_each_contact_is_drawn(task):
    question = open_question(task.page, task.id)
    drawn = set(re.findall(r'data-contact="([^"]+)"', question.answer.drawn.value))
    for name, button in question.answer.grid.buttons.items():
        assert button.description == as_shown(name)
        assert as_shown(name) in button.tooltip
        assert name in drawn or {f"{name}+", f"{name}-"} <= drawn


@every
def test_the_diagram_names_neither_pack_nor_answer(task):
    question = open_question(task.page, task.id)
    shown = "\n".join(texts([question.answer.drawn]))
    g = question.variant.givens
    assert f"{g['series']}S{g['parallel']}P" not in shown
    # Every cell is drawn alike: no class or mark stands at some only.
    marks = re.findall(r'class="([^"]*chosen[^"]*)"', question.answer.drawn.value)
    assert marks == []


# Known slips.


def told(task, number, labels):
    return checking.check(checking.variant(task, number), picks.to_line(labels))


@pytest.mark.parametrize(
    ("asked", "slip", "of"),
    [
        ("pick_side_by_side", "M123", lambda string, group, every: string),
        ("pick_side_by_side", "M121", lambda string, group, every: every),
        ("pick_in_line", "M122", lambda string, group, every: every - string),
        ("pick_in_line", "M121", lambda string, group, every: every),
    ],
)
def test_a_typical_wrong_set_is_named(asked, slip, of):
    task = next(task for task in TASKS if task.asked == asked)
    for number in range(20):
        givens = checking.variant(task, number).givens
        strings, name = strings_of(givens), f"{givens['place']}A"
        (at,) = (string.index(name) for string in strings if name in string)
        (string,) = ({*string} - {name} for string in strings if name in string)
        group = {string[at] for string in strings} - {name}
        every = {label for string in strings for label in string} - {name}
        for labels in (of(string, group, every), of(string, group, every) | {name}):
            verdict = told(task, number, sorted(labels))
            assert (verdict.kind, [rule.id for rule in verdict.rules]) == ("mistake", [slip])
            # Another cell too, or one less, is no such set.
            less = told(task, number, sorted(labels - {name})[1:] or ["9Z"])
            assert slip not in [rule.id for rule in less.rules]


def test_the_smallest_cell_and_the_least_share_are_named_where_they_are_wrong():
    task = next(task for task in TASKS if task.asked == "pick_first_empty")
    met = set()
    for number in range(40):
        g = checking.variant(task, number).givens
        names = ("first", "second", "third")
        full = [g[f"{name}_ah"] for name in names]
        share = [g[f"{name}_share"] for name in names]
        left = [one * other for one, other in zip(full, share, strict=True)]
        right = left.index(min(left))
        wrong = {}
        for slip, values in (("M124", full), ("M125", share)):
            if values.index(min(values)) != right:
                wrong.setdefault(values.index(min(values)), set()).add(slip)
        for at in range(3):
            verdict = told(task, number, [f"{at + 1}A"])
            assert verdict.right == (at == right)
            assert {rule.id for rule in verdict.rules} == wrong.get(at, set())
            met |= wrong.get(at, set())
    assert met == {"M124", "M125"}
