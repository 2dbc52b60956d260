"""Which known slips give a typed value, for whatever kind of task asks for one."""

from packlearn.tasks.mistakes import rules_for

TOLERANCE = 0.02
# Two wrong rules nearer than this cannot be told apart by their values.
SAME = 0.005


def matches(asked, givens, value, digits=2, step=None):
    """Known slips that give a typed value, each once; nothing where none does.

    Args:
        asked: what is asked for, a name of ``ASKED``.
        givens: the variant's numbers.
        value: the number typed, in the unit asked for, a share where that is per cent; for the
            name of a pack, series and parallel.
        digits: significant digits typed; 0 for a count or a name, which fit or do not.
        step: what one more in the last digit typed would add [unit of ``value``], where that is
            known; minutes typed for hours are told apart by it.

    Returns:
        Tuple of slips with ``id``, ``did`` and ``sentence(givens)``.
    """
    pairs = [(rule, rule.value(givens)) for rule in rules_for(asked, givens)]
    pairs = [(rule, wrong) for rule, wrong in pairs if wrong is not None]
    fitting = _fitting(pairs, value, digits) if digits else _equal(pairs, value)
    return tuple({rule.id: rule for rule in fitting}.values())


def _equal(pairs, value):
    return [rule for rule, wrong in pairs if wrong == value]


def _fitting(pairs, value, digits):
    rounded = [pair for pair in pairs if digits >= 2 and _rounds_to(pair[1], value, digits)]
    near = [pair for pair in pairs if abs(pair[1] - value) <= TOLERANCE * abs(pair[1])]
    hits = rounded or near
    if not hits:
        return []
    _, nearest = min(hits, key=lambda pair: abs(pair[1] - value))
    return [rule for rule, wrong in pairs if abs(wrong - nearest) <= SAME * abs(nearest)]


def _rounds_to(wrong, value, digits):
    return float(f"{wrong:.{digits}g}") == float(f"{value:.{digits}g}")
