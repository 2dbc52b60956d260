"""Which cautions belong to a task, a lesson, a panel or a bench: ``data/situations.toml``."""

from packlearn.building import cautions
from packlearn.building._data import table
from packlearn.cells import cell as find_cell

# Told last: it holds of all the others.
_LAST = "own_rules"


def situations_of(task):
    """Situations of building that a task touches; none for most.

    Args:
        task: a ``Task`` of the bank.
    """
    rows = table("situations")
    return tuple(rows["asked"].get(task.asked) or rows["skill"].get(task.skill, ()))


def of_variant(variant):
    """Cautions that belong to a variant of a task, what matters most first.

    Args:
        variant: a ``Variant``.

    Returns:
        Tuple of ``Caution``, empty where the task touches no situation.
    """
    kinds = table("situations")["chemistry"]
    chemistry = kinds.get(variant.task.asked, kinds["usual"])
    if "cell" in variant.givens:
        chemistry = find_cell(variant.givens["cell"]).chemistry
    return together(chemistry, situations_of(variant.task))


def of_lesson(number):
    """Cautions of what a lesson says to do on one's own; empty where it says none here.

    Args:
        number: number of the lesson.
    """
    row = table("situations")["lesson"].get(str(number), {"situations": ()})
    return together(table("situations")["chemistry"]["usual"], row["situations"])


def of_panel(name, chemistry="NiMH"):
    """Cautions of a panel with sliders.

    Args:
        name: name of its class.
        chemistry: of the cell it shows.
    """
    return together(chemistry, table("situations")["panel"].get(name, ()))


def of_bench(chemistry, can):
    """Cautions of a wiring bench.

    Args:
        chemistry: of its cells.
        can: what can be done at it, such as ``"link"``.
    """
    rows = table("situations")["bench"]
    return together(chemistry, [name for each in can for name in rows.get(each, ())])


def together(chemistry, situations):
    """Cautions of several situations, each once; what matters most first.

    Args:
        chemistry: the cells'.
        situations: some of ``packlearn.building.SITUATIONS``.

    Returns:
        Tuple of ``Caution``; whose rules go first is told last.
    """
    found = {each.key: each for name in situations for each in cautions(chemistry, name)}
    order = ("danger", "warning", "note")
    return tuple(
        sorted(found.values(), key=lambda each: (each.key == _LAST, order.index(each.severity)))
    )
