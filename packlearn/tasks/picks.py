"""Checking what was pointed at in a diagram: any correct pick is right."""

from packlearn.naming import Graph
from packlearn.tasks.answers import ASKED
from packlearn.tasks.answers_picks import CONTACTS, WRONG, named, strings_of, wiring_of
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.steps import first_step, verdict_of
from packlearn.tasks.verdict import Verdict
from packlearn.words import say, word

PROBES = 2


def to_line(picked):
    """What was pointed at, as one line.

    Args:
        picked: labels of cells, or names of contacts.
    """
    return " ".join(picked)


def from_line(line, var):
    """What a line points at, each thing once; what is not in the diagram is left out.

    Args:
        line: what ``to_line`` wrote; it may hold anything.
        var: the ``Variant``.
    """
    known = things_of(var)
    return tuple(dict.fromkeys(name for name in line.split() if name in known))


def things_of(var):
    """Everything one can point at: labels of cells, or names of contacts.

    Args:
        var: the ``Variant``.
    """
    wiring = wiring_of(var.givens)
    contacts = ASKED[var.task.asked].picks == CONTACTS
    return tuple(wiring.contacts if contacts else wiring.labels)


def clear(task, givens):
    """Whether the cell that is named is there."""
    return givens.get("place", 1) <= givens["series"] * givens["parallel"]


def told(task, givens):
    """What a learner sees of a variant's numbers: two of them may shuffle alike."""
    return {"shuffle_number": strings_of(givens)}


def check(var, typed):
    """Verdict on what was pointed at.

    Args:
        var: the ``Variant``.
        typed: what ``to_line`` wrote.
    """
    picked = from_line(typed, var)
    if not picked or set(picked) < set(typed.split()):
        return Verdict("ask", (say("tasks.pick.nothing"),))
    if ASKED[var.task.asked].picks == CONTACTS:
        return _check_probes(var, picked)
    return _check_cells(var, picked)


def _check_cells(var, picked):
    answer, texts = ASKED[var.task.asked].compute(var.givens), f"tasks.picks.{var.task.asked}"
    own = {named(var.givens)} if "place" in var.givens else set()
    wrong = [label for label in picked if label not in answer and label not in own]
    slips = [rule for rule, labels in wrong_picks(var) if labels == set(picked) - own]
    if slips:
        return verdict_of(var, slips, None)
    if wrong:
        return Verdict("unknown", (say(f"{texts}.wrong", cell=wrong[0]), first_step(var)))
    if set(answer) - set(picked):
        return Verdict("unknown", (word("tasks.pick.more"),))
    return Verdict("right", (say("tasks.right"),))


def wrong_picks(var):
    """What each known slip points at: pairs of rule and labels.

    Args:
        var: the ``Variant``.
    """
    rules = rules_for(var.task.asked, var.givens)
    return tuple((rule, WRONG[rule.pick](var.givens)) for rule in rules if rule.pick)


def in_words(labels):
    """Labels as one text, in the order of their numbers."""
    return ", ".join(sorted(labels, key=lambda label: (len(label), label)))


def _check_probes(var, picked):
    if len(picked) != PROBES:
        return Verdict("ask", (say("tasks.pick.two"),))
    joint_of = Graph.of(wiring_of(var.givens)).joint_of
    wanted = {joint_of[contact] for contact in ASKED[var.task.asked].compute(var.givens)}
    if {joint_of[contact] for contact in picked} == wanted:
        return Verdict("right", (say("tasks.right"),))
    between = abs(_step(var, picked[0]) - _step(var, picked[1]))
    if between == 1:
        said = say("tasks.picks.pick_probes.other")
    elif between:
        said = say("tasks.picks.pick_probes.many", count=between)
    else:
        said = say("tasks.picks.pick_probes.none")
    return Verdict("unknown", (said,))


def _step(var, contact):
    """How many cells of its string lie below a contact."""
    (string,) = (string for string in strings_of(var.givens) if contact[:-1] in string)
    return string.index(contact[:-1]) + contact.endswith("+")


def answer_in_words(var):
    """What is right to point at."""
    answer = ASKED[var.task.asked].compute(var.givens)
    if ASKED[var.task.asked].picks == CONTACTS:
        return say("tasks.pick.probes", first=answer[0], second=answer[1])
    return ", ".join(answer)


def typed_in_words(var, typed):
    """What was pointed at, as a learner reads it."""
    return ", ".join(from_line(typed, var)) or typed.strip()
