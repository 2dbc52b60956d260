"""What comes next: from the records alone, whatever they hold and whenever it is."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

from hypothesis import given, settings
from hypothesis import strategies as st

from packlearn import practice
from packlearn.practice import Next, Practice, Standing
from packlearn.records import Prediction, Records, Trace
from packlearn.tasks import bank, checking
from packlearn.tasks.skills import of_lesson, skills, tasks_of

NOW = datetime(2026, 5, 12, 18, 30, tzinfo=UTC)
TODAY = NOW.date()
IDS = [each.id for each in skills()]
TASKS = {(name, task.id): task for name in bank.pages() for task in bank.page(name).tasks}
MEAN, DUTY = ("meet-the-need", "camera-mean"), ("meet-the-need", "camera-duty")
ENERGY = ("meet-the-need", "night-energy")
FAULT = ("find-the-fault", "three-readings")


def day(number, hour=12):
    """A moment so many days before now."""
    return NOW.replace(hour=hour) - timedelta(days=number)


class History:
    """Traces and givens as the records would give them."""

    def __init__(self):
        self.traces = []

    def add(self, key, at, right=True, sure="think", *, number=None, attempt=1, saw="equal"):
        if number is None:
            number = 1 + max((t.variant for t in self.of(key)), default=-1)
        self.traces.append(
            Trace(len(self.traces) + 1, *key, number, attempt, sure, at, 1.0, right, saw)
        )
        return self

    def miss(self, key, at, sure="think"):
        """A question that was wrong in all its tries."""
        found = Next(*key, 1 + max((t.variant for t in self.of(key)), default=-1), "", "")
        self.answer(found, at, False, sure)
        return self

    def of(self, key):
        return [trace for trace in self.traces if (trace.page, trace.task) == key]

    def kept(self, page, task):
        of = self.of((page, task))
        return {t.variant: checking.variant(TASKS[page, task], t.variant).givens for t in of}

    def answer(self, found, at, right=True, sure="think"):
        """Answer the task that comes next: at once rightly, or wrongly in all its tries."""
        task = TASKS[found.page, found.task]
        done = [t.attempt for t in self.of((task.page, task.id)) if t.variant == found.number]
        first = max(done, default=0) + 1
        for attempt in range(first, max(first, 1 if right else task.attempts) + 1):
            key = (task.page, task.id)
            self.add(key, at, right, sure, number=found.number, attempt=attempt)

    def at(self, now=NOW):
        return Practice(self.traces, now)

    def next(self, now=NOW):
        return self.at(now).next(self.kept)


def standing(history, name, now=NOW):
    return history.at(now).standings[name]


# When something comes back.


def test_nothing_was_tried():
    practised = Practice([], NOW)
    assert practised.standings == {name: Standing(name) for name in IDS}
    assert practised.queue == []
    assert practised.reviews_left == 0


def test_right_answers_come_back_after_two_days_a_week_and_four_weeks():
    history, dues = History(), []
    at = day(100)
    for gap in (0, 2, 7, 28, 28):
        at += timedelta(days=gap)
        history.add(MEAN, at)
        dues.append((standing(history, "mean-current").due - at.date()).days)
    assert dues == [2, 7, 28, 28, 28]
    assert standing(history, "mean-current").right_first == 5


def test_a_wrong_answer_comes_back_the_next_day_and_begins_anew():
    history = History().add(MEAN, day(20)).add(MEAN, day(18)).add(MEAN, day(11), right=False)
    found = standing(history, "mean-current")
    assert (found.due, found.stage, found.run, found.tried) == (day(10).date(), 0, 0, 3)
    assert found.missed
    assert not found.safe


def test_right_too_early_does_not_put_the_review_off():
    history = History().add(MEAN, day(1), right=False, sure="sure").add(MEAN, day(1, 13))
    found = standing(history, "mean-current")
    assert (found.due, found.sure_wrong, found.enough) == (TODAY, True, False)
    history.add(MEAN, day(0))
    assert standing(history, "mean-current").due == TODAY + timedelta(days=2)
    assert not standing(history, "mean-current").sure_wrong


def test_right_at_the_second_try_was_not_right_at_once():
    history = History().add(MEAN, day(1), right=False, number=0)
    history.add(MEAN, day(1), number=0, attempt=2)
    found = standing(history, "mean-current")
    assert (found.tried, found.right_first, found.last_right, found.due) == (1, 0, False, TODAY)


def test_sure_and_wrong_at_the_second_try_counts_too():
    history = History().add(MEAN, day(1), right=False, number=0)
    history.add(MEAN, day(1), right=False, sure="sure", number=0, attempt=2)
    assert standing(history, "mean-current").sure_wrong


def test_two_in_a_row_make_a_skill_safe_and_one_miss_unmakes_it():
    history = History().add(MEAN, day(0))
    assert not standing(history, "mean-current").safe
    history.add(DUTY, day(0))
    assert standing(history, "mean-current").safe
    history.add(MEAN, day(0, 14), right=False)
    assert not standing(history, "mean-current").safe


def test_questions_of_lessons_are_evidence_too():
    history = History().add(("lesson-3", "in-line"), day(3))
    assert standing(history, "series-volts").due == day(1).date()


def test_a_prediction_without_a_result_is_no_evidence():
    history = History().add(MEAN, day(3), right=None)
    assert standing(history, "mean-current").tried == 0


def test_tasks_that_left_the_bank_are_passed_over():
    history = History().add(("meet-the-need", "gone"), day(3)).add(("gone", "gone"), day(3))
    assert history.at().standings == Practice([], NOW).standings


def test_a_day_is_one_of_the_learners_clock():
    late = datetime(2026, 5, 11, 23, 30, tzinfo=UTC)
    history = History().add(MEAN, late, right=False)
    east = timezone(timedelta(hours=2))
    assert standing(history, "mean-current").due == date(2026, 5, 12)
    assert standing(history, "mean-current", NOW.astimezone(east)).due == date(2026, 5, 13)


# What comes next.


def test_the_first_task_of_all_is_of_the_first_skill_that_has_one():
    found = Practice([], NOW).next(History().kept)
    assert found.skill == next(name for name in IDS if tasks_of(name))
    assert (found.reason, found.number) == ("new", 0)
    assert not of_lesson(TASKS[found.page, found.task])


def test_sure_and_wrong_comes_first_then_the_oldest():
    history = History().add(ENERGY, day(9)).add(MEAN, day(8))
    history.add(FAULT, day(1), right=False, sure="sure")
    assert [each.skill for each in history.at().queue] == ["fault", "energy", "mean-current"]
    reasons = []
    for hour in (13, 14, 15):
        found = history.next()
        reasons.append((found.skill, found.reason))
        history.answer(found, day(0, hour))
    assert reasons == [("fault", "sure_wrong"), ("energy", "review"), ("mean-current", "review")]
    assert history.at().queue == []


def test_the_last_review_of_a_day_is_the_oldest_of_all():
    history = History().add(ENERGY, day(40))
    keys = [(tasks_of(n)[0].page, tasks_of(n)[0].id) for n in IDS if tasks_of(n) and n != "energy"]
    for key in keys[:5]:
        history.miss(key, day(1), sure="sure")
    found = []
    for minute in range(4):
        found.append(history.next().skill)
        history.answer(history.next(), day(0) + timedelta(minutes=minute), False, "sure")
    assert "energy" not in found[:3]
    assert found[3] == "energy"


def test_what_was_missed_without_being_sure_says_so():
    history = History().miss(MEAN, day(1))
    assert history.next().reason == "missed"


def test_a_review_has_other_numbers_or_is_another_task():
    history = History().add(MEAN, day(5))
    found = history.next()
    assert found.skill == "mean-current"
    assert (found.page, found.task) != MEAN
    # Once all tasks of the skill were asked, one of them comes with other numbers.
    for task in tasks_of("mean-current"):
        if (task.page, task.id) != MEAN:
            history.add((task.page, task.id), day(4))
    assert history.next().number == 1


def test_after_four_reviews_something_new_comes_and_the_rest_stays_due():
    history = History()
    keys = [(tasks_of(n)[0].page, tasks_of(n)[0].id) for n in IDS if tasks_of(n)][:7]
    for key in keys:
        history.add(key, day(9))
    reasons = []
    for minute in range(6):
        found = history.next()
        reasons.append(found.reason)
        history.answer(found, day(0) + timedelta(minutes=minute))
    assert reasons[:4] == ["review"] * 4
    assert not set(reasons[4:]) & {"review", "missed", "sure_wrong"}
    assert len(history.at().queue) == 3
    assert history.at().reviews_left == 0
    tomorrow = NOW + timedelta(days=1)
    assert history.at(tomorrow).reviews_left == 3
    assert history.next(tomorrow).reason == "review"


def test_a_skill_comes_three_times_a_day_at_most_then_another():
    history, found = History(), []
    for minute in range(5):
        following = history.next()
        found.append(following.skill)
        history.answer(following, day(0) + timedelta(minutes=minute), right=False)
    assert found[0] == found[1] == found[2] != found[3]


def test_a_skill_waits_for_those_it_needs():
    history = History()
    for minute in range(3):
        history.miss(ENERGY, day(0) + timedelta(minutes=minute))
    met = []
    while not met or met[-1] != "cell-label":
        found = history.next()
        met.append(found.skill)
        history.answer(found, day(0))
    # converter-in comes before it in order, but stands on energy.
    assert IDS.index("converter-in") < IDS.index("cell-label")
    assert "converter-in" not in met


def test_where_nothing_is_due_and_all_is_safe_the_nearest_comes():
    history = History()
    for at, name in enumerate(n for n in IDS if tasks_of(n)):
        task = tasks_of(name)[0]
        for number in (0, 1):
            moment = day(0) - timedelta(minutes=at)
            history.add((task.page, task.id), moment, number=number)
    assert history.next().reason == "ahead"


def test_a_question_that_is_open_is_gone_on_with():
    history = History().add(MEAN, day(1), right=False, number=0)
    found = history.next()
    assert (found.task, found.number, found.reason) == ("camera-mean", 0, "begun")
    history.add(MEAN, day(0), right=False, number=0, attempt=2, saw=None)
    assert history.next().reason == "begun"
    history.traces[-1] = history.traces[-1]._replace(saw="less")
    assert history.next().reason == "missed"


def test_an_open_question_of_a_lesson_is_left_to_the_lesson():
    history = History().add(("lesson-4", bank.page("lesson-4").tasks[0].id), day(0), saw=None)
    assert history.next().reason != "begun"


def test_an_open_question_whose_numbers_have_changed_is_left_alone():
    history = History().add(MEAN, day(0), right=False, number=0)
    found = Practice(history.traces, NOW).next(lambda page, task: {0: {"sleep_s": 1}})
    assert found.reason != "begun"


def test_tasks_a_teacher_passed_over_are_left_out():
    first = Practice([], NOW).next(History().kept)
    passed = {(first.page, first.task)}
    second = Practice([], NOW).next(History().kept, passed)
    assert (second.page, second.task) not in passed
    assert Practice([], NOW).next(History().kept, set(TASKS)) is None


def test_plain_first_led_after_a_miss_open_once_it_is_known(monkeypatch):
    levels = {"camera-mean": "open", "camera-duty": "led"}
    found = [replace(TASKS[key], level=levels.get(key[1], "plain")) for key in (MEAN, DUTY, ENERGY)]
    monkeypatch.setattr(practice, "tasks_of", lambda name: found if name == "mean-current" else ())
    assert History().next().task == "night-energy"
    history = History().miss(MEAN, day(30))
    assert history.next().task == "camera-duty"
    known = History().add(DUTY, day(30)).add(DUTY, day(25))
    assert known.next().task == "camera-mean"


def test_a_lessons_question_is_a_review_only_where_no_page_has_the_skill(monkeypatch):
    task = TASKS["lesson-3", "in-line"]
    monkeypatch.setattr(practice, "tasks_of", lambda name: (task,) if name == task.skill else ())
    history = History()
    assert history.next() is None
    history.add((task.page, task.id), day(5))
    found = history.next()
    assert (found.page, found.number) == ("lesson-3", 1)


# Whatever the records hold.

moments = st.integers(-40 * 24 * 60, 60 * 24 * 60).map(lambda m: NOW - timedelta(minutes=m))
some_tasks = st.sampled_from(sorted(TASKS))
answers = st.tuples(
    some_tasks,
    st.integers(0, 3),
    moments,
    st.sampled_from([True, True, False, None]),
    st.sampled_from(["guess", "think", "sure"]),
    st.integers(1, 2),
    st.sampled_from(["equal", None]),
)
histories = st.lists(answers, max_size=25)
lasting = settings(deadline=None, derandomize=True, max_examples=60)


def filled(entries):
    history, seen = History(), set()
    for key, number, at, right, sure, attempt, saw in entries:
        # The records hold each try once.
        if (key, number, attempt) not in seen:
            seen.add((key, number, attempt))
            history.add(key, at, right, sure, number=number, attempt=attempt, saw=saw)
    return history


@lasting
@given(histories)
def test_any_history_gives_a_next_task_with_numbers_not_asked_before(entries):
    history = filled(entries)
    found = history.next()
    task = TASKS[found.page, found.task]
    asked = history.kept(found.page, found.task)
    assert found.skill == task.skill
    if found.reason != "begun":
        assert found.number not in asked
        givens = checking.variant(task, found.number).givens
        kinds = {str(checking.variant(task, n).givens) for n in range(12)}
        if len(kinds) == 12:
            assert givens not in asked.values()


@lasting
@given(histories, st.randoms(use_true_random=False))
def test_the_order_in_which_devices_wrote_does_not_matter(entries, dice):
    traces = filled(entries).traces
    numbers = [trace.id for trace in traces]
    dice.shuffle(numbers)
    others = [t._replace(id=number) for t, number in zip(traces, numbers, strict=True)]
    dice.shuffle(others)
    first, second = Practice(traces, NOW), Practice(others, NOW)
    assert first.standings == second.standings
    assert first.queue == second.queue
    assert first.reviews_today == second.reviews_today


@lasting
@given(histories, st.integers(-2000, 2000))
def test_a_clock_set_back_or_forth_breaks_nothing(entries, days):
    history = filled(entries)
    now = NOW + timedelta(days=days)
    practised = history.at(now)
    assert practised.next(history.kept) is not None
    for each in practised.standings.values():
        assert (each.due is None) == (each.tried == 0)
        # Nothing waits longer than the longest gap, whatever the clock said then.
        assert each.due is None or each.due <= now.date() + timedelta(days=28)


@lasting
@given(histories, st.booleans())
def test_nothing_due_is_lost(entries, right):
    history = filled(entries)
    begun = [each.skill for each in history.at().standings.values() if each.tried]
    later = NOW + timedelta(days=70)
    due = [each.skill for each in history.at(later).queue]
    assert sorted(due) == sorted(begun)
    met, now = set(), later
    for _ in range(3 * len(due) + 5):
        found = history.next(now)
        if found.reason in ("sure_wrong", "missed", "review"):
            met.add(found.skill)
        history.answer(found, now, right)
        now += timedelta(hours=6)
    assert set(due) <= met | {found.skill}


@lasting
@given(histories, st.integers(0, 2**10))
def test_practising_is_never_stuck_on_one_task(entries, pattern):
    history, seen = filled(entries), []
    for step in range(8):
        found = history.next()
        seen.append((found.page, found.task, found.number))
        history.answer(found, NOW, bool(pattern >> step & 1))
    assert len(set(seen)) == len(seen)


# With real records.


def test_traces_are_the_entries_of_the_records():
    records = Records.default()
    task = TASKS[MEAN]
    givens = checking.variant(task, 0).givens
    fields = {"page": task.page, "task": task.id, "variant": 0, "givens": givens}
    more = {"typed": "1 A", "value": 1.0, "unit": "A", "confidence": "sure"}
    assert records.traces() == []
    locked = records.lock(Prediction(**fields, **more, attempt=1))
    records.lock(Prediction(**fields, **more, attempt=1, seat="B4"))
    records.settle(locked.id, "unknown", right=False)
    records.saw(locked.id, "less")
    (trace,) = records.traces("")
    (entry,) = records.all("")
    assert (trace.id, trace.locked_at) == (entry.locked.id, entry.locked.locked_at)
    assert (trace.right, trace.saw, trace.value) == (False, "less", 1.0)
    assert len(records.traces()) == 2
    assert records.traces("B4")[0].right is None
    found = Practice([trace], locked.locked_at + timedelta(days=1))
    assert [each.skill for each in found.queue] == ["mean-current"]
    assert found.queue[0].sure_wrong


def test_a_skill_without_a_task_stops_nothing(monkeypatch):
    bare = {IDS[0], "energy"}
    monkeypatch.setattr(practice, "tasks_of", lambda n: () if n in bare else tasks_of(n))
    history, met = History(), set()
    for minute in range(12):
        found = history.next()
        met.add(found.skill)
        history.answer(found, day(0) + timedelta(minutes=minute))
    # Both are needed by skills that come all the same.
    assert not met & bare
    assert {"mean-current", "converter-in"} <= met


def test_numbers_that_were_asked_are_passed_over_as_long_as_there_are_others():
    task = TASKS["wiring-names", "name-the-strings"]

    def told(number):
        return checking.variant(task, number).givens

    # Ask one by one until a number comes whose numbers were asked before.
    repeats = next(n for n in range(1, 12) if told(n) in [told(m) for m in range(n)])
    asked = {n: told(n) for n in range(repeats)}
    history = History()
    for number in asked:
        history.add((task.page, task.id), day(0), number=number)
    others = [n for n in range(repeats, repeats + 12) if told(n) not in asked.values()]
    chosen = history.at().number_of(task, lambda page, name: asked)
    assert chosen == (others[0] if others else repeats)
    assert others
