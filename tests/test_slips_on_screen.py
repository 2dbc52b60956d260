"""Two slips at once on screen: told in one, asked about, kept in the records, not in the key."""

import html
import json
import re

import pytest
from recognition import digits_of

from packlearn import panels
from packlearn.panels.log import MyPredictions
from packlearn.records import Records
from packlearn.records.tables import MISTAKES_LENGTH
from packlearn.tasks import bank, checking, matching
from packlearn.words import say

PAGE, TASK = "predict-the-pack", "lantern-hours"
VAR = checking.variant(bank.page(PAGE).task(TASK), 0)
TWOS = dict(
    (slip.id, value) for slip, value in matching.known(VAR.task.asked, VAR.givens).combinations
)


def lock(text):
    question = panels.Question(PAGE, TASK)
    question.answer.value, question.confidence.value = text, "think"
    question.lock.click()
    assert question.errors == []
    return question


def said(panel):
    return html.unescape(re.sub(r"<[^>]+>", "\n", panel.status.value))


def hours_of(slip_id):
    return f"{digits_of(TWOS[slip_id], 3)} h"


def test_two_slips_are_told_together_and_kept_by_both_ids():
    question = lock(hours_of("M04+M11b"))
    (rule,) = checking.check(VAR, hours_of("M04+M11b")).rules
    assert rule.id == "M04+M11b"
    assert rule.sentence(VAR.givens) in said(question)
    assert question.which_row.layout.display == "none"
    (entry,) = Records.default().all()
    assert (entry.result.verdict, entry.result.mistakes) == ("mistake", ("M04+M11b",))


def test_two_pairs_of_one_value_are_asked_about_and_each_is_answered():
    question = lock(hours_of("M03+M11b"))
    buttons = question.which_row.children
    assert question.which_row.layout.display != "none"
    assert [button.description for button in buttons] == [
        "I kept one cell's capacity, and I mixed mA with A.",
        "I multiplied the load's current by the strings, and I mixed mA with A.",
        say("panels.none_of_these"),
    ]
    for button, slip_id in zip(buttons, ("M03+M11b", "M05+M11b"), strict=False):
        button.click()
        slips = matching.known(VAR.task.asked, VAR.givens).combinations
        (slip,) = (slip for slip, _ in slips if slip.id == slip_id)
        assert slip.sentence(VAR.givens) in said(question)
    buttons[2].click()
    assert checking.first_step(VAR) in said(question)
    (entry,) = Records.default().all()
    assert entry.result.mistakes == ("M03+M11b", "M05+M11b")


def test_the_own_record_tells_two_slips_in_words():
    lock(hours_of("M04+M11b"))
    assert "I swapped S and P, and I mixed mA with A" in MyPredictions().table.value


def test_the_key_lists_single_rules_only():
    ids = [rule.id for rule, _ in checking.wrong_values(VAR)]
    assert "M04" in ids
    assert not [each for each in ids if "+" in each or each in ("M11c", "M11d")]


@pytest.mark.parametrize("name", bank.pages())
def test_whatever_is_asked_about_fits_into_a_record(name):
    for task in bank.page(name).tasks:
        for number in range(3):
            var = checking.variant(task, number)
            if "missing" in var.givens:
                continue
            for slip, value in matching.known(task.asked, var.givens).combinations:
                if isinstance(value, float):
                    rules = matching.matches(task.asked, var.givens, value, 2)
                    assert slip.id in {rule.id for rule in rules}
                    kept = json.dumps([rule.id for rule in rules])
                    assert len(kept) < MISTAKES_LENGTH
