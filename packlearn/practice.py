"""What a learner's records say of each skill, what is due, and which task comes next.

Pure functions of traces of the records and a moment: the same ones give the same task on every
machine, so nothing else need be kept. The rules are few and are told to the learner
(``data/words/en/practice.toml``): what was right at the first try comes back after two days, a
week and four weeks; what was not comes back the next day. A day is a calendar day of the moment's
time zone. The three gaps follow common advice on spacing; that growing or equal ones matter little
is in Latimier, Peyre, Ramus 2021, doi 10.1007/s10648-020-09572-8.
"""

import functools
from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from packlearn.tasks import bank, checking
from packlearn.tasks.examples import example
from packlearn.tasks.levels import LEVELS
from packlearn.tasks.skills import of_lesson, skills, tasks_of

RIGHT_DAYS = (2, 7, 28)
WRONG_DAYS = 1
REVIEWS_A_DAY = 4
"""Reviews that come before anything new: 3 to 5 minutes of them."""
NEW_A_DAY = 3
"""Tasks of one skill a day, after which another skill comes."""
SAFE_RUN = 2
"""Questions right at the first try, one after the other, that make a skill safe."""

# So many numbers of a task are looked at for some that were not asked before.
_SEARCH = 12
# Kinds of answer of which one says what one saw.
_COMPARED = ("number", "range", "count")


@dataclass(frozen=True)
class Outcome:
    """What came of one question, a task with its numbers.

    Attributes:
        skill: id of its skill.
        day: the day of its first try; ``date.min`` where a clock that was wrong then says a
            day that is still to come.
        at: the moment of its first try.
        right: whether it was right at the first try.
        sure_wrong: whether any try was sure and wrong.
    """

    skill: str
    day: date
    at: datetime
    right: bool
    sure_wrong: bool


@dataclass(frozen=True)
class Standing:
    """How a learner stands in one skill.

    Attributes:
        skill: id of the skill.
        tried: questions answered.
        right_first: how many of them were right at the first try.
        run: how many of the last ones were, without a break.
        stage: how often it came back and was right; 0 after one that was not.
        due: day on which it comes back, None where it was never tried.
        last_right: whether the last one was right at the first try, None where never tried.
        sure_wrong: True from a sure and wrong answer until it came back and was right.
        today: questions answered today.
    """

    skill: str
    tried: int = 0
    right_first: int = 0
    run: int = 0
    stage: int = 0
    due: date | None = None
    last_right: bool | None = None
    sure_wrong: bool = False
    today: int = 0

    @property
    def enough(self):
        """True where it need not be asked again before it comes back."""
        return self.run >= SAFE_RUN

    @property
    def safe(self):
        """True where the last ones were right, and nothing missed waits to come back."""
        return self.enough and self.stage > 0

    @property
    def missed(self):
        """True from an answer that was not right until it came back and was."""
        return self.tried > 0 and self.stage == 0

    def is_due(self, day):
        """Whether it has come back by a day."""
        return self.due is not None and self.due <= day

    def after(self, outcome, today):
        """Standing after one more question.

        Args:
            outcome: the ``Outcome``.
            today: the day that counts as today.
        """
        counted = replace(
            self,
            tried=self.tried + 1,
            right_first=self.right_first + outcome.right,
            run=self.run + 1 if outcome.right else 0,
            last_right=outcome.right,
            today=self.today + (outcome.day == today),
        )
        if not outcome.right:
            due = outcome.day + timedelta(days=WRONG_DAYS)
            sure_wrong = outcome.sure_wrong or self.sure_wrong
            return replace(counted, stage=0, due=due, sure_wrong=sure_wrong)
        if self.due is not None and not self.is_due(outcome.day):
            # Too early to say that it stays: it comes back all the same.
            return counted
        stage = min(self.stage + 1, len(RIGHT_DAYS))
        due = outcome.day + timedelta(days=RIGHT_DAYS[stage - 1])
        return replace(counted, stage=stage, due=due, sure_wrong=False)


@dataclass(frozen=True)
class Next:
    """The task that comes now.

    Attributes:
        page: page of the task.
        task: its id.
        number: which variant.
        skill: id of its skill.
        reason: ``begun``, ``sure_wrong``, ``missed``, ``review``, ``new``, ``again`` or ``ahead``.
    """

    page: str
    task: str
    number: int
    skill: str
    reason: str


class Practice:
    """Standings, what is due and what comes next.

    Args:
        traces: ``Trace`` of the records, of one learner, in any order.
        now: the moment, with the time zone whose days count.
        first: number of the first variant of every task; a seat has one of its own.
    """

    def __init__(self, traces, now, first=0):
        self.today, self.first = now.date(), first
        self._tries = defaultdict(list)
        for trace in traces:
            if (trace.page, trace.task) in _tasks():
                self._tries[trace.page, trace.task, trace.variant].append(trace)
        self._numbers = defaultdict(set)
        for page, task, number in self._tries:
            self._numbers[page, task].add(number)
        self.standings = {each.id: Standing(each.id) for each in skills()}
        self.reviews_today = 0
        for outcome in sorted(self._outcomes(now), key=_order):
            self._count(outcome)

    def _outcomes(self, now):
        for (page, task, _), tries in self._tries.items():
            first = min(tries, key=lambda trace: trace.attempt)
            skill = _tasks()[page, task].skill
            # A kernel killed between lock and result left no result; opening settles it.
            if first.right is None or skill not in self.standings:
                continue
            day = first.locked_at.astimezone(now.tzinfo).date()
            sure_wrong = any(t.right is False and t.confidence == "sure" for t in tries)
            # A day still to come was told by a wrong clock: it counts as long ago.
            day = day if day <= self.today else date.min
            yield Outcome(skill, day, first.locked_at, first.right, sure_wrong)

    def _count(self, outcome):
        before = self.standings[outcome.skill]
        self.reviews_today += outcome.day == self.today and before.is_due(self.today)
        self.standings[outcome.skill] = before.after(outcome, self.today)

    @property
    def queue(self):
        """Standings that are due: sure and wrong first, then the oldest.

        The last review of a day is the oldest of all, so that none waits for ever.
        """
        found = [each for each in self.standings.values() if each.is_due(self.today)]
        last = self.reviews_today >= REVIEWS_A_DAY - 1
        # Sorting keeps the order of the skills among equals.
        return sorted(found, key=lambda each: (not each.sure_wrong and not last, each.due))

    @property
    def reviews_left(self):
        """How many of those that are due come before anything new, today."""
        return min(len(self.queue), max(0, REVIEWS_A_DAY - self.reviews_today))

    def next(self, kept, passed=()):
        """The task that comes now.

        Args:
            kept: function of page and task id that returns the givens already asked, a dict of
                variant number -> givens.
            passed: pages and ids of tasks to leave out.

        Returns:
            ``Next``; None only where the bank has no other task at all.
        """
        begun = self._begun(kept)
        if begun and (begun.page, begun.task) not in passed:
            return begun
        for standing, reason in self._wanted():
            chosen = self._chosen(standing, kept, passed)
            if chosen:
                return Next(chosen[0].page, chosen[0].id, chosen[1], standing.skill, reason)
        return None

    def _wanted(self):
        """Standings in the order in which they are wanted, with the reason."""
        queue = [(each, _why_due(each)) for each in self.queue]
        yield from queue[: self.reviews_left]
        # What is due and has no place today any more waits, unless nothing else is left.
        others = (each for each in self.standings.values() if not each.is_due(self.today))
        new = [each for each in others if not each.enough]
        for met in (True, False):
            for each in new:
                if each.today < NEW_A_DAY and self._met(each) == met:
                    yield each, "again" if each.tried else "new"
        yield from queue
        rest = self.standings.values()
        yield from ((each, "ahead") for each in sorted(rest, key=lambda each: each.due or date.max))

    def _met(self, standing):
        """True where the skills it stands on are known, or have no task."""
        return all(
            self.standings[need].enough or not self._usable(need)
            for need in _needs()[standing.skill]
        )

    def _usable(self, skill):
        """Tasks of a skill; a lesson asks its questions first, and only where no page does."""
        tasks = tasks_of(skill)
        of_pages = [task for task in tasks if not of_lesson(task)]
        return of_pages or [task for task in tasks if self._numbers[task.page, task.id]]

    def _chosen(self, standing, kept, passed):
        """Task of a skill and the number of a variant not asked before; None without a task."""
        usable = [t for t in self._usable(standing.skill) if (t.page, t.id) not in passed]
        ranked = sorted(usable, key=lambda task: self._rank(standing, task))
        for task in ranked:
            number = self._fresh(task, kept(task.page, task.id))
            if number is not None:
                return task, number
        # All numbers of all its tasks were asked: the one asked least comes again.
        return (ranked[0], self._after_last(ranked[0])) if ranked else None

    def _rank(self, standing, task):
        level, wanted = LEVELS.index(task.level), LEVELS.index(_wanted_level(standing))
        return abs(level - wanted), level, len(self._numbers[task.page, task.id])

    def number_of(self, task, kept):
        """Number of a variant of a task that was not asked before.

        Args:
            task: the ``Task``.
            kept: as for ``next``.
        """
        number = self._fresh(task, kept(task.page, task.id))
        return self._after_last(task) if number is None else number

    def _after_last(self, task):
        # A seat's lesson questions begin with variant 0, all that comes after is its own.
        return max(self.first, max(self._numbers[task.page, task.id], default=-1) + 1)

    def _fresh(self, task, asked):
        known = {_told(givens) for givens in asked.values()} | _of_examples(task)
        start = self._after_last(task)
        numbers = range(start, start + _SEARCH)
        fresh = (n for n in numbers if _told(checking.variant(task, n).givens) not in known)
        return next(fresh, None)

    def _begun(self, kept):
        """The question locked in last, where it is still open or waits for what was seen."""
        if not self._tries:
            return None
        page, name, number = max(self._tries, key=lambda key: max(t.id for t in self._tries[key]))
        task, tries = _tasks()[page, name], self._tries[page, name, number]
        if number == 0 and of_lesson(task):
            return None
        if _finished(task, max(tries, key=lambda trace: trace.attempt), tries):
            return None
        # The bank may have changed since; a question is only shown with its own numbers.
        if kept(page, name).get(number) != checking.variant(task, number).givens:
            return None
        return Next(page, name, number, task.skill, "begun")


def _order(outcome):
    return outcome.day, outcome.at, outcome.skill, outcome.right, outcome.sure_wrong


def _why_due(standing):
    if standing.sure_wrong:
        return "sure_wrong"
    return "missed" if standing.missed else "review"


def _wanted_level(standing):
    """Led after a miss, open once it is known, plain between."""
    if standing.last_right is False:
        return "led"
    return "open" if standing.enough else "plain"


def _finished(task, last, tries):
    closed = any(trace.right for trace in tries) or last.attempt >= task.attempts
    if not closed or last.right is None:
        return False
    return task.kind not in _COMPARED or last.value is None or last.saw is not None


def _told(givens):
    """Givens as one value to compare, without helpers that are not told."""
    return frozenset(item for item in givens.items() if not item[0].startswith("fit_"))


@functools.cache
def _of_examples(task):
    """Numbers of a task that stand in a worked example."""
    found = example(task.skill)
    if not found or found.task != task:
        return frozenset()
    return frozenset(_told(found.variant(stage).givens) for stage in (0, 1))


@functools.cache
def _tasks():
    """Every task of the bank by page and id."""
    return {(name, task.id): task for name in bank.pages() for task in bank.page(name).tasks}


@functools.cache
def _needs():
    return {each.id: each.needs for each in skills()}
