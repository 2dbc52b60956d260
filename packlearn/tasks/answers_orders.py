"""Steps that are to be put in order: what must come before what."""

import random
from dataclasses import dataclass

from packlearn.tasks.asked import Asked


@dataclass(frozen=True)
class Steps:
    """Steps of one job.

    Attributes:
        names: the steps, in one right order.
        before: pairs: the first of each must come before the second. All else is free.
    """

    names: tuple[str, ...]
    before: tuple[tuple[str, str], ...]

    def wrong_pair(self, order):
        """First pair of an order that is the wrong way round, or None.

        Args:
            order: all the steps, as somebody put them.

        Returns:
            The two steps, the one that must come first in front.
        """
        place = {name: at for at, name in enumerate(order)}
        wrong = [pair for pair in self.before if place[pair[0]] > place[pair[1]]]
        return min(wrong, key=lambda pair: (place[pair[1]], place[pair[0]]), default=None)


STEPS = {
    "order_joints": Steps(
        ("plan", "read", "lay", "joints", "last", "measure"),
        (
            ("plan", "lay"),
            ("read", "joints"),
            ("lay", "joints"),
            ("joints", "last"),
            ("last", "measure"),
        ),
    ),
    "order_ammeter": Steps(
        ("off", "range", "open", "between", "on", "back"),
        (
            ("off", "open"),
            ("range", "between"),
            ("open", "between"),
            ("between", "on"),
            ("on", "back"),
        ),
    ),
    "order_design": Steps(
        ("window", "profile", "in_line", "strings", "name", "check"),
        (
            ("window", "in_line"),
            ("profile", "strings"),
            ("in_line", "name"),
            ("strings", "name"),
            ("name", "check"),
        ),
    ),
}


def shuffled(asked, givens):
    """The steps as a variant shows them: never in a right order.

    Args:
        asked: what the task asks for.
        givens: the variant's, with its ``shuffle_number``.
    """
    steps, turn = STEPS[asked], 0
    while True:
        # Only random() of a text seed is promised to stay the same between Python versions.
        dice = random.Random(f"{asked}/{givens['shuffle_number']}/{turn}").random
        order = tuple(sorted(steps.names, key=lambda _: dice()))
        if steps.wrong_pair(order):
            return order
        turn += 1


ORDERS = {
    name: Asked("order", "", lambda givens, names=steps.names: names, ("shuffle_number",))
    for name, steps in STEPS.items()
}
"""What can be asked: name -> ``Asked``."""
