"""Where a class's answers come from: its seats, or a show of hands; one face for both."""

from dataclasses import replace
from typing import NamedTuple

from packlearn.classroom import hands, live
from packlearn.errors import BadValue
from packlearn.tasks import bank, checking

# Stages in which the second vote is open or over.
_AFTER_AGAIN = ("again", "shown", "why", "done")


class News(NamedTuple):
    """What there is to show of the moment.

    Attributes:
        moment: a ``live.Moment``, or None where nothing was asked yet.
        first: ``live.Tally`` of the first vote, None without a moment.
        again: ``live.Tally`` of the second vote, None as long as there is none.
    """

    moment: object = None
    first: object = None
    again: object = None

    @property
    def variant(self):
        """The question's ``Variant``; None where nothing was asked."""
        return variant_of(self.moment) if self.moment else None

    @property
    def locked(self):
        """How many have answered in the vote that is open, or was last."""
        last = self.again if self._second else self.first
        return last.locked if last else 0

    @property
    def _second(self):
        return self.again is not None and (self.again.locked or self.moment.stage == "again")


def variant_of(moment):
    """The ``Variant`` that a moment asks."""
    return checking.variant(bank.page(moment.page).task(moment.task), moment.variant)


class Seats:
    """Answers that the seats of a class lock in.

    Args:
        records: the ``Records`` that the class shares.
        code: the class code.
        count: number of seats.
    """

    def __init__(self, records, code, count):
        self.records, self.code, self.count = records, code, count

    def ask(self, page, task):
        """Begin with a question; what was asked before ends."""
        live.ask(self.records, self.code, page, task)

    def set_stage(self, stage):
        """Go on to a stage of ``live.STAGES``."""
        live.set_stage(self.records, self.code, stage)

    def moment(self):
        """The ``live.Moment``, or None."""
        return live.moment(self.records, self.code)

    def news(self):
        """What there is to show; ``RecordsTrouble`` while the records cannot be read."""
        moment = self.moment()
        if moment is None:
            return News()
        votes = live.votes(self.records, moment)
        second = moment.stage in _AFTER_AGAIN and (votes.again or moment.stage == "again")
        again = live.tally(votes.again, self.count) if second else None
        return News(moment, live.tally(votes.first, self.count), again)


class Hands:
    """Answers that a teacher counts."""

    def ask(self, page, task):
        """Begin with a question."""
        hands.keep(replace(hands.read(), on=True, page=page, task=task, stage="asked"))

    def set_stage(self, stage):
        """Go on to a stage of ``live.STAGES``.

        Raises:
            BadValue: nothing was asked yet.
        """
        shown = hands.read()
        if not shown.page:
            raise BadValue("class_view.nothing_asked")
        hands.keep(replace(shown, on=True, stage=stage))

    def moment(self):
        """The ``live.Moment``, of no class; None where nothing was asked yet."""
        shown = hands.read()
        if not shown.page:
            return None
        return live.Moment("", shown.page, shown.task, shown.stage, None)

    def news(self):
        """What there is to show; ``BadValue`` where a number of hands cannot be."""
        shown, moment = hands.read(), self.moment()
        if moment is None:
            return News()
        variant, rows = variant_of(moment), shown.rows(shown.page, shown.task)
        first = hands.votes(variant, rows, 1)
        again = hands.votes(variant, rows, 2)
        # Nobody says how many are in the room; the larger vote is all that is known.
        count = max(len(first), len(again), 1)
        second = shown.stage in _AFTER_AGAIN and (again or shown.stage == "again")
        told = live.tally(again, count) if second else None
        return News(moment, live.tally(first, count), told)
