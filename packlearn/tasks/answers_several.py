"""Several numbers of one pack, asked at once."""

from packlearn.tasks.asked import Asked

# What is asked for -> the single questions it is made of, in the order of their boxes.
SEVERAL = {
    "pack_sheet": ("pack_voltage_v", "capacity_ah", "current_limit_a", "energy_wh"),
    "pack_levels_v": ("full_voltage_v", "pack_voltage_v", "end_voltage_v"),
    "need_sheet": ("need_capacity_ah", "need_energy_wh"),
    "sag_sheet": ("pack_resistance_ohm", "lost_inside_v", "sag_voltage_v"),
}


def several_of(single):
    """Entries that ask for several numbers at once.

    Args:
        single: dict of name -> ``Asked`` of the single questions.

    Returns:
        dict of name -> ``Asked``, whose answer is a tuple, one number a part.
    """
    return {name: _asked(single, parts) for name, parts in SEVERAL.items()}


def _asked(single, parts):
    needs = dict.fromkeys(need for part in parts for need in single[part].needs)
    return Asked(
        "numbers",
        "",
        lambda givens: tuple(single[part].compute(givens) for part in parts),
        tuple(needs),
        parts=parts,
    )
