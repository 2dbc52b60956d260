"""What a wiring bench tells of its wiring, and how it understands what is typed."""

from packlearn.cells import cell
from packlearn.errors import BadValue
from packlearn.panels.base import escape
from packlearn.quantities import read
from packlearn.words import say

# Laid into a place that never held a cell, where the holder never held any at all.
_ANY_CELL = "nimh-aa"
_CHOSEN = ("bench.panel.chosen_none", "bench.panel.chosen_one", "bench.panel.chosen_two")


def chosen(contacts):
    """Sentence on what is chosen.

    Args:
        contacts: up to two names of contacts.
    """
    first, second = (*contacts, "", "")[:2]
    return say(_CHOSEN[len(contacts)], first=first, second=second)


def named(wiring):
    """Sentence with the XsYp name, in a list; an empty list where there is none.

    Args:
        wiring: a ``Wiring``.
    """
    form = wiring.form or "plain"
    return [say(f"bench.panel.named.{form}", name=wiring.name)] if wiring.name else []


def faults(wiring, shows_name, shows_faults):
    """Sentences on dangers, and on what else is wrong, as two lists.

    Args:
        wiring: a ``Wiring``.
        shows_name, shows_faults: as for ``Bench``.
    """
    if shows_faults is False:
        return [], []
    # What lets a current flow with nothing connected is a danger.
    dangers = [each.sentence for each in wiring.findings if each.amps is not None]
    rest = [each.sentence for each in wiring.findings if each.amps is None]
    return dangers, rest if shows_faults or shows_name else []


def marked(sentences, look):
    """Sentences as HTML that stands out.

    Args:
        sentences: texts.
        look: "answer" or "alert", a class of the style sheet.
    """
    return "".join(f"<p class='packlearn-{look}'>{escape(text)}</p>" for text in sentences)


def for_eyes(sentence):
    """A picture's sentence for those who read; a screen reader gets it from the picture.

    Args:
        sentence: the text.
    """
    return f"<p class='packlearn-sentence' aria-hidden='true'>{escape(sentence)}</p>"


def put_in(wiring, label, before):
    """A wiring with a cell in an empty place: the one that lay there, else one like the others.

    Args:
        wiring: a ``Wiring``.
        label: label of the place.
        before: wirings of earlier, the newest first.
    """
    held = next((each for each in before if label in each.labels), None)
    if held is None:
        others = (each.cell_at(each.labels[0]).cell for each in (wiring, *before) if each.labels)
        return wiring.place(label, next(others, None) or cell(_ANY_CELL))
    placed = held.cell_at(label)
    laid = wiring.place(label, placed.cell, charge=placed.charge, turned=placed.turned)
    if placed.measured_v is None:
        return laid
    return laid.measured(label, placed.measured_v, placed.measured_ohm)


def ohms(typed):
    """Resistance [ohm] of a load as it was typed.

    Args:
        typed: the text.

    Raises:
        PackError: no resistance above 0; the message names the mend.
    """
    found = read(typed, "ohm")
    if not found.same_kind:
        raise BadValue("bench.panel.no_resistance", value=found.typed)
    if found.value <= 0:
        raise BadValue("bench.panel.no_ohms", value=found.typed)
    return found.value


def percent(typed):
    """A share [%] from 0 to 100 as it was typed.

    Args:
        typed: the text.

    Raises:
        PackError: no such share; the message names the mend.
    """
    found = read(typed, "%")
    if not found.same_kind or not 0 <= found.value <= 100:
        raise BadValue("bench.panel.percent", value=found.typed, limit=100)
    return found.value
