"""How well wrong values are recognised: every slip's value, typed as people round it.

``python -m tests.recognition`` prints a table by task; test_recognition.py holds it to bounds.
"""

import functools
import sys
from collections import Counter
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from itertools import product

from packlearn.tasks import bank, benches, checking, matching, picks
from packlearn.tasks.answers import ASKED
from packlearn.tasks.combining import one_thing
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.variants import Variant

TASKS = [task for name in bank.pages() for task in bank.page(name).tasks]
# A smaller unit of each kind, and how many make one.
SMALLER = {"V": ("mV", 1000), "A": ("mA", 1000), "Ah": ("mAh", 1000), "Wh": ("mWh", 1000)}
SMALLER |= {"h": ("min", 60), "W": ("mW", 1000), "ohm": ("mohm", 1000)}
OUTCOMES = ("named", "asked", "listed", "unknown", "wrongly")


@functools.cache
def drawn(page, name, number):
    return checking.variant(bank.page(page).task(name), number)


def parts(task, number):
    """A variant as single questions; none where a figure is left out."""
    var = drawn(task.page, task.id, number)
    if "missing" in var.givens:
        return ()
    several = (replace(task, asked=part) for part in ASKED[task.asked].parts)
    return tuple(Variant(part, number, var.givens) for part in several) or (var,)


# As people type.


def digits_of(value, digits):
    """Text of a number with so many digits; a half is rounded up, zeros at the end fall away."""
    exact = Decimal(f"{float(value):.12g}")
    if exact == 0:
        return "0"
    step = Decimal((0, (1,), exact.adjusted() - digits + 1))
    text = format(exact.quantize(step, rounding=ROUND_HALF_UP), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def forms(value, unit):
    """A number in every form: 3 digits and 2, unit asked for and smaller one, point and comma."""
    value = 100 * value if unit == "%" else value
    units = [(unit, 1), *([SMALLER[unit]] if unit in SMALLER else [])]
    marks = (".", ",")
    for place, (digits, (name, factor), mark) in enumerate(product((3, 2), units, marks)):
        text = digits_of(value * factor, digits).replace(".", mark)
        yield f"{text}{' ' * (place % 3 > 0)}{name}"


def typed(var, slip, wrong):
    """Everything somebody may type who makes a slip."""
    task = var.task
    if getattr(slip, "pick", ""):
        return [picks.to_line(sorted(dict(picks.wrong_picks(var))[slip]))]
    if slip.choice:
        options = checking.options_of(var)
        right = checking.answer_of(task, var.givens)
        return [slip.choice] if slip.choice != "any" else [key for key in options if key != right]
    if slip.unit:
        right = checking.answer_of(task, var.givens)
        return [f"{digits_of(right, digits)} {slip.unit}" for digits in (3, 2)]
    if task.kind == "wire":
        held = {"series": wrong[0], "parallel": wrong[1]}
        return [benches.to_line(benches.joined(held, strings)) for strings in (True, False)]
    if task.kind == "estimate":
        return [f"{digits_of(0.9 * wrong, 3)} to {digits_of(1.1 * wrong, 3)} {task.unit}"]
    if task.kind in ("name", "design"):
        return ["{}S{}P".format(*wrong), "{}s {}p".format(*wrong), "{1}P{0}S".format(*wrong)]
    if task.kind == "count":
        return [f"{wrong}", f"{wrong} {task.unit or 'cells'}"[: None if task.unit else -6]]
    ends = (*wrong, sum(wrong) / 2) if isinstance(wrong, tuple) else (wrong,)
    return [text for end in ends for text in forms(end, task.unit)]


def slips_of(var):
    """Slips of a variant with what they give: single rules, and combinations apart."""
    known = matching.known(var.task.asked, var.givens)
    untold = [(rule, None) for rule in rules_for(var.task.asked, var.givens) if not rule.formula]
    return [*known.singles, *untold], list(known.combinations)


# What came of it.


def outcome(var, slip, text):
    """One of ``OUTCOMES``: what the verdict on a typed value makes of the slip behind it."""
    verdict = checking.check(var, text)
    found = {match.id for match in verdict.rules}
    if verdict.kind in ("mistake", "unfit") and found:
        return "named" if found == {slip.id} else "wrongly"
    if verdict.kind == "which" and slip.id in found:
        asked, givens = var.task.asked, var.givens
        listed = all(one_thing(asked, givens, slip.id, other) for other in found)
        return "listed" if listed else "asked"
    return "unknown" if verdict.kind in ("unknown", "ask", "unfit") else "wrongly"


def some(texts, most, turn):
    """So many of the texts, others at every turn."""
    if len(texts) <= most:
        return texts
    return [texts[(turn * most + place) % len(texts)] for place in range(most)]


def measure(task, first, last, singles=2, combinations=1, twos=99):
    """Outcomes of a task's wrong values.

    Args:
        task: the ``Task``.
        first: first variant.
        last: the one after the last.
        singles: how many forms of each single rule's value are typed in one variant.
        combinations: the same of combinations.
        twos: how many combinations of each variant are looked at, others at every variant.

    Returns:
        Two ``Counter``, of single rules and of combinations, and lines on what went wrong.
    """
    counts, lines = (Counter(), Counter()), []
    for number in range(first, last):
        for var in parts(task, number):
            single, two = slips_of(var)
            both = (single, singles), (some(two, twos, number), combinations)
            for count, (slips, most) in zip(counts, both, strict=True):
                for place, (slip, wrong) in enumerate(slips):
                    for text in some(typed(var, slip, wrong), most, number + place):
                        came = outcome(var, slip, text)
                        count[came] += 1
                        if came not in ("named", "listed"):
                            where = f"{task.page}/{task.id} {number}"
                            lines.append(f"{came}: {where}: {text} of {slip.id}")
    return *counts, lines


def share_named(count):
    """Share of values without a listed tie that are named rightly."""
    told = count.total() - count["listed"]
    return count["named"] / told if told else 1.0


def main(last=40):
    """Print a table by task."""
    head = f"{'task':44}" + "".join(f"{name:>9}" for name in OUTCOMES)
    print(head + "   of two:" + "".join(f"{name:>9}" for name in OUTCOMES))
    sums = [Counter(), Counter()]
    for task in TASKS:
        *counts, lines = measure(task, 0, last, singles=99, combinations=99)
        if any(counts):
            cells = ["".join(f"{count[name]:>9}" for name in OUTCOMES) for count in counts]
            print(f"{task.page + '/' + task.id:44}{cells[0]}{' ' * 10}{cells[1]}")
        for line in lines if "-v" in sys.argv else []:
            print("   ", line)
        for total, count in zip(sums, counts, strict=True):
            total.update(count)
    for name, total in zip(("single rules", "combinations"), sums, strict=True):
        print(f"{name}: {total.total()} values, {100 * share_named(total):.2f} % named,", end=" ")
        print(", ".join(f"{total[key]} {key}" for key in OUTCOMES))


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] and sys.argv[1].isdigit() else 40)
