"""Known wrong rules and the working: told apart, true for each variant, giving nothing away."""

import re
import tomllib
from importlib.resources import files

import pytest

from packlearn.tasks import benches, checking, combining, picks
from packlearn.tasks.answers import ASKED
from packlearn.tasks.formulas import names
from packlearn.tasks.givens import UNITS
from packlearn.tasks.mistakes import rules_for, wrong_rules
from packlearn.words import word
from tests.draws import ALL, QUICK, TASKS, three_digits, variants, where

NUMBERED = {
    *("M01", "M02", "M03", "M04", "M05", "M06a", "M06b", "M07", "M08", "M09", "M10a", "M10b"),
    *("M11a", "M11b", "M12", "M13", "M18", "M19a", "M19b", "M20", "M34a", "M34b"),
    *("M14", "M15", "M16", "M17", "M21", "M22", "M23", "M24", "M25", "M27", "M28", "M29"),
    *("M30", "M31a", "M31b", "M32", "M35", "M37", "M26", "M33", "M36a", "M36b"),
}
# A smaller unit of each kind, and how many make one.
SMALLER = {"V": ("mV", 1000), "A": ("mA", 1000), "Ah": ("mAh", 1000), "Wh": ("mWh", 1000)}
SMALLER |= {"h": ("min", 60), "W": ("mW", 1000), "ohm": ("mohm", 1000)}
every_task = pytest.mark.parametrize("task", TASKS, ids=lambda task: f"{task.page}/{task.id}")


def test_a_value_is_typed_with_three_digits():
    assert three_digits(5846.15) == "5850"
    assert three_digits(0.0058462) == "0.00585"
    assert three_digits(4.0) == "4"


# The table and its words.


def test_the_numbered_rules_are_all_there():
    missing = NUMBERED - {rule.id for rule in wrong_rules()}
    assert not missing
    assert len(wrong_rules()) >= 175


@pytest.mark.parametrize("rule", wrong_rules(), ids=lambda rule: f"{rule.id}-{rule.asked}")
def test_a_rule_is_told_by_exactly_one_thing_and_knows_its_names(rule):
    assert rule.asked in ASKED
    assert sum(map(bool, (rule.formula, rule.unit, rule.choice, rule.pick))) == 1
    formulas = [part for part in (*rule.formula.split(";"), rule.when) if part]
    assert set().union(*map(names, formulas)) <= set(UNITS)
    assert all(len(text) > 10 for text in (rule.did, rule._words("says")))
    assert rule.did.startswith("I ")
    assert len(re.findall(r"[.](?= |$)", rule.did)) == 1


def test_no_words_are_left_over():
    texts = tomllib.loads(
        (files("packlearn") / "data" / "words" / "en" / "mistakes.toml").read_text("utf-8")
    )
    asked = {}
    for rule in wrong_rules():
        asked.setdefault(rule.id, set()).add(rule.asked)
    slips = set(combining.slip_ids())
    assert set(texts) == set(asked) | slips | {"two"}
    by_unit = {rule.id for rule in wrong_rules() if rule.unit}
    for rule_id, entries in texts.items():
        assert {"says", "did"} <= set(entries)
        if rule_id in slips | {"two"}:
            continue
        special = {key.split("_", 1)[1] for key in entries if "_" in key}
        assert special <= asked[rule_id] | ({"unit"} if rule_id in by_unit else set())


def test_every_rule_is_met_by_some_task():
    met = {
        (rule.id, rule.asked)
        for task in TASKS
        for var in variants(task)
        for rule in rules_for(task.asked, var.givens)
    }
    assert {(rule.id, rule.asked) for rule in wrong_rules()} - met == set()


def test_every_numbered_rule_is_recognised_in_the_first_40_variants():
    alone, shared = set(), set()
    for task in TASKS:
        for var in variants(task, last=40):
            for rule in rules_for(task.asked, var.givens):
                if rule.id not in alone:
                    verdict = checking.check(var, typed_values(var, rule)[0])
                    found = {match.id for match in verdict.rules}
                    (alone if verdict.kind == "mistake" else shared).update(found)
    assert NUMBERED - alone == set(), f"never alone, though met: {sorted(shared - alone)}"


# What somebody types who follows a rule.


def typed_values(var, rule):
    task = var.task
    if rule.pick:
        return [picked(var, rule)]
    if rule.choice and rule.choice != "any":
        return [rule.choice]
    if rule.choice:
        right = checking.answer_of(task, var.givens)
        return [option for option in checking.options_of(var) if option != right]
    if rule.unit:
        return [f"{three_digits(checking.answer_of(task, var.givens))} {rule.unit}"]
    value = rule.value(var.givens)
    if task.kind == "estimate":
        return ranges_round(value, task.unit)
    if task.kind in ("name", "design"):
        return ["{}S{}P".format(*value), "{}s {}p".format(*value)]
    if task.kind == "wire":
        return [wired(*value, strings) for strings in (True, False)]
    if task.kind == "count":
        return [f"{value}", f"{value} cells"]
    return number_texts(100 * value if task.unit == "%" else value, task.unit)


def wired(series, parallel, strings):
    return benches.to_line(benches.joined({"series": series, "parallel": parallel}, strings))


def number_texts(value, unit):
    number = three_digits(value)
    texts = [f"{number} {unit}", f"{number.replace('.', ',')}{unit}"]
    if unit in SMALLER:
        smaller, factor = SMALLER[unit]
        texts.append(f"{three_digits(value * factor)} {smaller}")
    return texts


def misjudged(var):
    """Wrong values of a variant whose verdict is not the one its rule deserves."""
    for rule, same in families(var):
        for typed in typed_values(var, rule):
            verdict = checking.check(var, typed)
            found = {match.id for match in verdict.rules}
            alone = "unfit" if var.task.kind == "design" else "mistake"
            kind = "which" if len(found) > 1 else alone
            if not same <= found or verdict.kind != kind:
                yield f"{where(var)}: {typed} of {rule.id}: {verdict.kind} {sorted(found)}"


def ranges_round(value, unit):
    return [f"{low * value:.6f} to {low * 1.2 * value:.6f} {unit}" for low in (0.9, 0.99)]


def picked(var, rule):
    """The cells that a slip points at, as one line."""
    return picks.to_line(sorted(dict(picks.wrong_picks(var))[rule]))


def families(var):
    """Each rule of a variant with the ids of all that give the same, its own among them."""
    marked = [
        (rule, rule.unit or rule.choice or mark_of(var, rule))
        for rule in rules_for(var.task.asked, var.givens)
    ]
    for rule, mark in marked:
        yield rule, {other.id for other, others in marked if others == mark}


def mark_of(var, rule):
    return picked(var, rule) if rule.pick else told(rule.value(var.givens))


def told(value):
    return value if isinstance(value, tuple) else f"{value:.9g}"


@every_task
def test_a_wrong_value_is_recognised_by_its_rule(task):
    assert [line for var in variants(task) for line in misjudged(var)] == []


@pytest.mark.long
@every_task
def test_a_wrong_value_is_recognised_by_its_rule_in_200_variants(task):
    assert [line for var in variants(task, QUICK, ALL) for line in misjudged(var)] == []


@every_task
def test_two_rules_of_one_value_are_both_offered(task):
    for var in variants(task):
        for rule, same in families(var):
            if rule.formula and len(same) > 1:
                verdict = checking.check(var, typed_values(var, rule)[0])
                assert verdict.kind == "which", where(var)
                assert verdict.says[-1] == word("tasks.which")
                assert len({match.did for match in verdict.rules}) == len(verdict.rules)


@every_task
def test_two_rules_share_a_number_only_where_they_are_one_thing(task):
    for var in variants(task) if task.kind in ("number", "range") else []:
        for rule, same in families(var):
            if rule.formula:
                one = {combining.one_thing(task.asked, var.givens, rule.id, o) for o in same}
                assert one == {True}, f"{where(var)}: {sorted(same)}"


@pytest.mark.parametrize("asked", ["pack_run_time_h", "profile_run_time_h"])
def test_hours_of_m03_and_m05_are_equal_in_every_variant(asked):
    # teaching.md section 4: dividing the ampere-hours by P or multiplying the load by P is one.
    task = next(task for task in TASKS if task.asked == asked)
    for var in variants(task):
        values = {rule.id: rule.value(var.givens) for rule in rules_for(task.asked, var.givens)}
        assert values["M03"] == pytest.approx(values["M05"])
        verdict = checking.check(var, f"{three_digits(values['M03'])} h")
        assert {"M03", "M05"} <= {rule.id for rule in verdict.rules}


@every_task
def test_the_teachers_table_names_values_that_are_recognised(task):
    for var in variants(task, last=10) if task.kind != "numbers" else []:
        pairs = checking.wrong_values(var)
        assert [rule for rule, _ in pairs] == list(rules_for(task.asked, var.givens))
        for rule, text in pairs:
            if task.kind == "wire":
                assert text == "{}S{}P".format(*rule.value(var.givens))
                continue
            if rule.pick:
                assert text.split(", ") == picked(var, rule).split()
                continue
            if task.kind == "estimate":
                text = typed_values(var, rule)[0]
            if rule.choice:
                named = checking.options_of(var).get(rule.choice, "any other choice")
                assert text == named
                continue
            found = {match.id for match in checking.check(var, text).rules}
            assert rule.id in found, f"{where(var)}: {text} of {rule.id}: {found}"


# The sentences.


def sentences(var):
    for rule in rules_for(var.task.asked, var.givens):
        yield rule.id, rule.sentence(var.givens, typed="")
    yield "first", checking.first_step(var)


def numbers_in(text):
    return set(re.findall(r"(?<![\w.])\d+(?:\.\d+)?", text))


# Kinds without a number; parts of several numbers have tasks of their own.
NO_NUMBER = ("choice", "design", "wire", "fault", "numbers", "order", "reason", "pick")


def given_away(var):
    """Sentences of a variant that hold the right number, where the question does not."""
    answer = checking.answer_in_words(var)
    if var.task.kind in NO_NUMBER:
        return
    if var.task.kind == "name":
        secret = {answer}
    else:
        # With its unit: the twelve of "12 cells" gives no 12 Ah away.
        number = re.match(r"-?\d+(?:\.\d+)?", answer.removeprefix("between "))[0]
        unit = re.search(r"[A-Za-z%]+|$", answer.removeprefix("between "))[0]
        secret = {f"{number} {unit}".strip(), f"{number}{unit}"}
    question = checking.text_of(var)
    for name, text in sentences(var):
        for told in secret:
            if re.search(rf"(?<![\w.]){re.escape(told)}(?!\w)", text) and told not in question:
                yield f"{where(var)} {name}: {told} in: {text}"


@every_task
def test_a_sentence_never_gives_the_number_away(task):
    assert [line for var in variants(task) for line in given_away(var)] == []


@every_task
def test_sentences_are_whole_short_and_plain(task):
    for var in variants(task, last=QUICK // 2):
        for name, text in sentences(var):
            told = f"{where(var)} {name}: {text}"
            assert text, told
            assert not set("{}<>_") & set(text), told
            assert "None" not in text, told
            assert text[0].isupper(), told
            assert text[-1] in ".?", told
            assert max(len(part.split()) for part in re.split(r"[.?:;] ", text)) <= 22, told


@every_task
def test_a_mistake_is_answered_with_the_sentence_of_its_rule(task):
    for var in variants(task, last=10):
        for rule in rules_for(task.asked, var.givens):
            for typed in typed_values(var, rule):
                verdict = checking.check(var, typed)
                if verdict.kind == "mistake":
                    # A wiring is first called by its name; of a range its side is told first.
                    told = verdict.says[task.kind in ("wire", "estimate") :]
                    assert told == (rule.sentence(var.givens, typed=typed),), where(var)


def test_a_sentence_names_the_numbers_of_its_variant():
    told = {}
    for task in TASKS:
        for var in variants(task):
            for rule in rules_for(task.asked, var.givens):
                words = rule._words("says")
                if "{" in words:
                    told.setdefault((rule.id, task.asked), set()).add(rule.sentence(var.givens))
    fixed = {key for key, texts in told.items() if len(texts) == 1}
    # Every NiMH cell says 1.2 V and is full at 1.45 V and empty at 1 V; one plans with 80 %.
    assert {rule for rule, _ in fixed} <= {"M19a", "M20", "M45", "M46"}


# The working.

UNIT = r"(?:mm²|mAh|mWh|mohm|mA|mV|mW|Ah|As|Wh|min|cells|ohm|A|V|W|m|h|s|d|C)\b|%"
AMOUNT = rf"\d+(?:\.\d+)?(?: ?(?:{UNIT}))?(?: \d+ (?:s|min|h)\b)?"
SIGN = r" (?:x|\+|-|/|divided by|for|of) "
EQUATION = re.compile(rf"(\(?{AMOUNT}(?:{SIGN}{AMOUNT}\)?)+) = (-?{AMOUNT})")
SIZES = {
    "mohm": 1e-3,
    "mV": 1e-3,
    "mA": 1e-3,
    "mAh": 1e-3,
    "mW": 1e-3,
    "mWh": 1e-3,
    "min": 60,
    "%": 0.01,
}
SIGNS = {" x ": "*", " divided by ": "/", " for ": "*", " of ": "*"}


def amount(text):
    parts = re.findall(rf"(\d+(?:\.\d+)?) ?({UNIT})?", text)
    hours = any(unit in ("h", "d") for _, unit in parts)
    sizes = SIZES | {"min": 1 / 60, "d": 24, "s": 1 / 3600} if hours else SIZES
    size = sum(float(number) * sizes.get(unit, 1) for number, unit in parts)
    return -size if text.startswith("-") else size


def worked(sum_):
    """Value of the left side of a sum, such as ``(7.2 As + 0.2 As) / 61 s``."""
    for sign, python in SIGNS.items():
        sum_ = sum_.replace(sign, python)
    plain = re.sub(AMOUNT, lambda found: repr(amount(found[0])), sum_)
    assert re.fullmatch(r"[\d.e+*/() -]+", plain), sum_
    return eval(plain)


def test_sums_are_read_for_the_test_below():
    assert amount("1 min 7 s") == 67
    assert amount("48.7 mA") == pytest.approx(0.0487)
    assert amount("2 h 30 min") == 2.5
    assert EQUATION.findall("is 2 x 4 Ah = 8 Ah, 6 / 4 = 1.5") == [
        ("2 x 4 Ah", "8 Ah"),
        ("6 / 4", "1.5"),
    ]
    assert worked("(7.2 As + 0.3 As) / 30 s") == 0.25
    assert worked("80 % of 5 A") == 4
    assert amount("-2.6 V") == -2.6
    assert EQUATION.findall("(1 - 3) x 1.3 V = -2.6 V") == [("(1 - 3) x 1.3 V", "-2.6 V")]


@every_task
def test_the_sums_of_the_working_hold(task):
    for var in variants(task, last=QUICK // 2):
        for step in checking.working(var):
            sums = EQUATION.findall(step)
            assert len(sums) == step.count(" = "), step
            for left, result in sums:
                assert amount(result) == pytest.approx(worked(left), rel=0.012), step


@every_task
def test_the_right_number_comes_last(task):
    for var in variants(task, last=QUICK // 2):
        steps = checking.working(var)
        assert steps
        # A right wiring is shown, not spelt out.
        if task.kind not in ("numbers", "wire"):
            # The truth stands behind a range that holds it.
            answer = checking.answer_in_words(var).split("which holds ")[-1]
            assert answer in steps[-1], where(var)


@every_task
def test_texts_are_whole_and_plain(task):
    for var in variants(task, last=10):
        texts = (checking.text_of(var), checking.first_step(var), *checking.working(var))
        for text in texts:
            assert not set("{}<>_") & set(text), text
            assert "None" not in text, text
            assert text[-1] in ".?", text
            assert max(len(part.split()) for part in re.split(r"[.?:;] ", text)) <= 30, text


@pytest.mark.parametrize("asked", ASKED)
def test_whatever_is_asked_has_its_words(asked):
    working = word(f"tasks.working.{asked}")
    assert "Start " in working["first"]
    assert "{answer}" not in working["first"]
    if ASKED[asked].kind == "numbers":
        # The steps are those of the parts.
        assert "steps" not in working
        return
    assert ("{answer}" in working["steps"][-1]) == (ASKED[asked].kind != "wire")
    assert not any("{answer}" in step for step in working["steps"][:-1])
    if ASKED[asked].kind == "choice":
        assert len(word(f"tasks.choices.{asked}")) >= 2


def test_no_words_of_the_working_are_left_over():
    assert set(word("tasks.working")) == set(ASKED)
