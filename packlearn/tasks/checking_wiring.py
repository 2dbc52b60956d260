"""Checking a wiring that was built, and a fault that was found."""

from packlearn.errors import PackError
from packlearn.finding import LEADS, explain
from packlearn.naming import Graph
from packlearn.quantities import read_name, write
from packlearn.tasks import benches, faults
from packlearn.tasks.mistakes import rules_for
from packlearn.tasks.verdict import Verdict
from packlearn.words import say, word


def check_wire(var, typed):
    """Verdict on a wiring: any that works as the name says, with nothing wrong, is right.

    Args:
        var: the ``Variant``.
        typed: line of the wiring.
    """
    wiring = benches.from_line(typed, benches.loose(var.givens))
    asked = "{series}S{parallel}P".format(**var.givens)
    if wiring.name == asked and not wiring.findings:
        said = say(f"tasks.wire.right_{wiring.form or 'plain'}", name=asked)
        return Verdict("right", (said,))
    if wiring.name is None:
        return Verdict("unknown", wiring.faults)
    says = [say("tasks.wire.other", found=wiring.name, asked=asked)]
    rules = rules_for(var.task.asked, var.givens)
    rules = tuple(rule for rule in rules if rule.value(var.givens) == read_name(wiring.name))
    if len(rules) > 1:
        return Verdict("which", (say("tasks.which"),), rules)
    says += [rule.sentence(var.givens) for rule in rules]
    return Verdict("mistake" if rules else "unknown", (*says, *wiring.faults), rules)


def check_fault(var, typed):
    """Verdict on a fault: only the true one is right.

    Args:
        var: the ``Variant``.
        typed: line of the fault and the readings.
    """
    key, taken = faults.from_line(typed, var.givens)
    if key is None:
        return Verdict("ask", (say("tasks.fault.nothing"),))
    true = faults.hidden(var.givens)
    if key == faults.key_of(true.fault):
        counts = {"count": counted(len(taken)), "fewest": counted(len(true.readings))}
        return Verdict("right", (say("tasks.fault.right", **counts),))
    chosen = faults.known(var.givens)[key]
    for point in taken:
        shown, would = (faults.read(var.givens, point, each) for each in (None, chosen))
        if not _fits(var, shown, key):
            fields = {"point": point_in_words(point), "would": write(would.volts, "V")}
            said = say("tasks.fault.unlike", shown=write(shown.volts, "V"), **fields)
            return Verdict("unknown", (said,))
    return Verdict("unknown", (say("tasks.fault.fits_too" if taken else "tasks.fault.unread"),))


def _fits(var, reading, key):
    found = explain(benches.plan_of(var.givens), [reading])
    return next(each.fits for each in found if faults.key_of(each) == key)


def counted(count):
    """A number of readings in words.

    Args:
        count: how many.
    """
    return say(f"tasks.readings_{'one' if count == 1 else 'many'}", count=count)


def point_in_words(point):
    """Where the probes lie, in words.

    Args:
        point: red, black, and whether the load is on.
    """
    red, black, loaded = point
    ends = {"red": end_in_words(red), "black": end_in_words(black)}
    return say(f"tasks.fault.point{'_loaded' if loaded else ''}", **ends)


def end_in_words(end):
    """A contact by its name, the pack's own leads in words.

    Args:
        end: a contact, "red" or "black".
    """
    return word(f"tasks.fault.{end}") if end in LEADS else end


def answer_in_words(var):
    """A right wiring, or the fault, as text."""
    if var.task.kind == "fault":
        return faults.hidden(var.givens).fault.sentence.rstrip(".")
    made = benches.joined(var.givens)
    heaps = {}
    for contact, joint in Graph.of(made).joint_of.items():
        heaps.setdefault(joint, []).append(contact)
    joints = [_listed(heap) for heap in heaps.values() if len(heap) > 1]
    ends = {"red": made.red, "black": made.black}
    return say("tasks.wire.answer", joints="; ".join(joints), **ends)


def _listed(names):
    return say("wiring.listed", most=", ".join(names[:-1]), last=names[-1])


def typed_in_words(var, typed):
    """A locked wiring or fault as a learner reads it; as it is kept where it cannot be read.

    Args:
        var: the ``Variant``.
        typed: as it is kept.
    """
    try:
        if var.task.kind == "wire":
            count = len(benches.from_line(typed, benches.loose(var.givens)).links)
            return say(f"tasks.wire.links_{'one' if count == 1 else 'many'}", count=count)
        key, taken = faults.from_line(typed, var.givens)
    except PackError:
        return typed.strip()
    if key is None:
        return typed.strip()
    sentence = faults.known(var.givens)[key].sentence.rstrip(".")
    return say("tasks.fault.wrote", fault=sentence, count=counted(len(taken)))


def fields(var):
    """Further fields of the sentences of a working."""
    if var.task.kind != "fault":
        return {}
    shown = [
        say("tasks.fault.shown", point=point_in_words(_point(each)), volts=write(each.volts, "V"))
        for each in faults.hidden(var.givens).readings
    ]
    return {"readings": "; ".join(shown), "fewest": counted(len(shown))}


def _point(reading):
    return reading.red, reading.black, reading.load_ohm is not None
