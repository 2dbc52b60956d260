"""Several numbers at once: each is understood and told by itself, right when all are."""

from dataclasses import replace

from packlearn.errors import PackError
from packlearn.tasks import checking_plain, steps
from packlearn.tasks.answers import ASKED
from packlearn.tasks.variants import Variant
from packlearn.tasks.verdict import Verdict
from packlearn.words import say, word

# Stands between the texts of the boxes in the line that is locked in.
BETWEEN = "|"


def to_line(texts):
    """Texts of all boxes as one line; empty where all are.

    Args:
        texts: one text a box.
    """
    texts = [text.replace(BETWEEN, " ").strip() for text in texts]
    return f" {BETWEEN} ".join(texts) if any(texts) else ""


def from_line(line, count):
    """Texts of the boxes of a line; empty ones where it holds too few.

    Args:
        line: what ``to_line`` wrote; it may hold anything.
        count: how many boxes there are.
    """
    texts = [text.strip() for text in line.split(BETWEEN)]
    return (texts + [""] * count)[:count]


def labels_of(task):
    """Label of each box, in order.

    Args:
        task: the ``Task``.
    """
    return tuple(word(f"tasks.parts.{part}") for part in ASKED[task.asked].parts)


def parts_of(var):
    """The single questions, each as a ``Variant`` with the same numbers.

    Args:
        var: the ``Variant``.
    """
    parts = ASKED[var.task.asked].parts
    tasks = (replace(var.task, asked=part) for part in parts)
    return tuple(Variant(task, var.number, var.givens) for task in tasks)


def clear(task, givens):
    """Whether each part's wrong rules stay clear of its answer.

    Args:
        task: the ``Task``.
        givens: the numbers drawn for it.
    """
    parts = parts_of(Variant(task, 0, givens))
    return all(checking_plain.clear(part.task, givens) for part in parts)


def check(var, typed):
    """Verdict on a line of texts, part by part.

    Args:
        var: the ``Variant``.
        typed: what ``to_line`` wrote.
    """
    parts, labels = parts_of(var), labels_of(var.task)
    texts = from_line(typed, len(parts))
    verdicts = [_part(*each) for each in zip(parts, labels, texts, strict=True)]
    asks = [verdict for verdict in verdicts if verdict.kind == "ask"]
    if asks:
        return Verdict("ask", tuple(said for verdict in asks for said in verdict.says))
    pairs = list(zip(labels, verdicts, strict=True))
    understood = " ".join(_labelled(label, v.understood) for label, v in pairs if v.understood)
    wrong = [(label, verdict) for label, verdict in pairs if not verdict.right]
    if not wrong:
        return Verdict("right", (say("tasks.numbers.right"),), (), None, understood)
    label, first = wrong[0]
    says = (_holding(pairs), _labelled(label, first.says[0]), *first.says[1:])
    return Verdict(first.kind, says, first.rules, None, understood)


def _part(var, label, text):
    if not text:
        return Verdict("ask", (say("tasks.numbers.empty", label=label),))
    try:
        return checking_plain.CHECKS[var.task.kind](var, text)
    except PackError as trouble:
        return Verdict("ask", (_labelled(label, str(trouble)),))


def _labelled(label, text):
    return say("tasks.numbers.labelled", label=label, text=text)


def _holding(pairs):
    holds = [label for label, verdict in pairs if verdict.right]
    if not holds:
        return say("tasks.numbers.none")
    return say("tasks.numbers.holds", labels=", ".join(holds))


def answer_in_words(var):
    """All right numbers, each with its label."""
    pairs = zip(labels_of(var.task), parts_of(var), strict=True)
    return _listed((label, checking_plain.answer_in_words(part)) for label, part in pairs)


def typed_in_words(var, typed):
    """What was locked in, each number with its label.

    Args:
        var: the ``Variant``.
        typed: the line.
    """
    labels = labels_of(var.task)
    return _listed(zip(labels, from_line(typed, len(labels)), strict=True))


def _listed(pairs):
    return "; ".join(say("tasks.numbers.pair", label=label, text=text) for label, text in pairs)


def working(var):
    """Steps of each part after the other, its number last."""
    for label, part in zip(labels_of(var.task), parts_of(var), strict=True):
        answer = checking_plain.answer_in_words(part)
        first, *rest = (steps.step(part, text, answer=answer) for text in steps.steps(part))
        yield _labelled(label, first)
        yield from rest
