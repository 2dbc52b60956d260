"""What a task can ask for, the givens, cells, pictures and skills: what a teacher looks up."""

from packlearn._commands.tasks_report import heading, wrapped
from packlearn.words import say, word


def everything():
    """All that can stand in a task file.

    Returns:
        List of lines.
    """
    from packlearn.tasks.answers import ASKED
    from packlearn.tasks.bank_checks import PICTURES
    from packlearn.tasks.givens import UNITS
    from packlearn.tasks.skills import skills

    return [
        *_titled("asked_title", (_asked(name) for name in ASKED)),
        *_titled("givens_title", (_given(name) for name in UNITS)),
        *_titled("cells_title", _cells()),
        *_titled("pictures_title", [wrapped(", ".join(PICTURES), "  ")]),
        *_titled("skills_title", (_skill(each) for each in skills())),
        word("preview.lists.more"),
    ]


def one(name):
    """One thing that can be asked: what it needs, which wrong rules answer it, a task to copy.

    Args:
        name: a name of ``ASKED``.

    Returns:
        List of lines.

    Raises:
        UnknownName: there is no such thing; the message names the nearest.
    """
    import difflib

    from packlearn.errors import UnknownName
    from packlearn.tasks.answers import ASKED

    if name not in ASKED:
        near = difflib.get_close_matches(name, ASKED, n=3, cutoff=0.3) or list(ASKED)
        raise UnknownName("preview.lists.none", value=name[:60], limit=", ".join(near))
    kind = say("preview.answered_by", kind=word(f"preview.kind.{ASKED[name].kind}"))
    return [
        _asked(name),
        wrapped(kind, "  "),
        "",
        *(_given(given) for given in ASKED[name].needs),
        "",
        *_titled("rules_title", _rules(name)),
        *_titled("copy", _example(name)),
    ]


def _titled(key, texts):
    return [heading(word(f"preview.lists.{key}")), *texts, ""]


def _asked(name):
    from packlearn.tasks.answers import ASKED

    unit = say("preview.in_unit", unit=ASKED[name].unit) if ASKED[name].unit else ""
    what = say("preview.lists.asked", name=name, what=word(f"glossary.asked.{name}"), unit=unit)
    needs = say("preview.lists.needs", givens=", ".join(ASKED[name].needs))
    return f"{wrapped(what, '  ', '      ')}\n{wrapped(needs, '      ')}"


def _given(name):
    from packlearn.tasks.givens import UNITS

    what = word(f"glossary.givens.{name}")
    unit = word("preview.lists.share") if UNITS[name] == "%" else UNITS[name]
    if not unit:
        return wrapped(say("preview.lists.given_plain", name=name, what=what), "  ", "      ")
    return wrapped(say("preview.lists.given", name=name, what=what, unit=unit), "  ", "      ")


def _cells():
    from packlearn.cells import catalogue

    for name, cell in catalogue().items():
        yield f"  {say('preview.lists.cell', name=name, title=cell.title)}"


def _skill(skill):
    return wrapped(say("preview.lists.cell", name=skill.id, title=skill.title), "  ", "      ")


def _rules(name):
    from packlearn.tasks.answers import ASKED
    from packlearn.tasks.formulas import names
    from packlearn.tasks.mistakes import wrong_rules

    asked = {name, *ASKED[name].parts}
    needs = set(ASKED[name].needs)
    # One rule may have several formulas, or answer several parts.
    found = {(rule.id, rule.did): rule for rule in wrong_rules() if rule.asked in asked}.values()
    for rule in found:
        formulas = [text for text in (*rule.formula.split(";"), rule.when) if text]
        more = set().union(*map(names, formulas)) - needs
        more = sorted(given for given in more if not given.startswith("cell_"))
        key = "rule_with" if more else "rule"
        fields = {"id": rule.id, "did": rule.did} | ({"givens": ", ".join(more)} if more else {})
        yield wrapped(say(f"preview.lists.{key}", **fields), "  ", "      ")
    if not found:
        yield f"  {word('preview.no_slips')}"


def _example(name):
    """The text of a shipped task that asks for this, with its own words."""
    from packlearn.tasks import bank

    for path in reversed(bank.pages().values()):
        lines = path.read_text(encoding="utf-8").split("\n")
        starts = [at for at, line in enumerate(lines) if line.startswith("[")] + [len(lines)]
        for start, end in zip(starts, starts[1:], strict=False):
            block = lines[start:end]
            if f'asked = "{name}"' in block:
                yield "\n".join(block).rstrip()
                return
