"""A live class: its stages, its votes, and how they are counted."""

import itertools
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packlearn.classroom import live, seats, tallying
from packlearn.errors import BadValue, UnknownName
from packlearn.records import Prediction, Records, RecordsTrouble, queries
from packlearn.tasks import bank, checking

CODE = "HEDGE7"
QUESTION = ("lesson-3", "in-line")
OF_PAGE = ("predict-the-pack", "lantern-volts")


@pytest.fixture(params=["sqlite", "postgresql"])
def records(request, tmp_path):
    if request.param == "sqlite":
        return Records(tmp_path / "class.sqlite")
    postgres = request.getfixturevalue("postgres")
    if not postgres.running():
        postgres.start()
    return Records(postgres.new_database())


def lock(records, seat, typed, attempt=1, question=QUESTION, variant=None, code=CODE):
    page, task = question
    text = seats.seat_text(code, seat)
    number = live.number_of(page, task, text) if variant is None else variant
    fields = {"page": page, "task": task, "variant": number, "attempt": attempt, "givens": {}}
    fields |= {"typed": typed, "value": None, "unit": "", "confidence": "think", "seat": text}
    return records.lock(Prediction(**fields))


def right_of(page, task, number=0):
    return checking.answer_in_words(checking.variant(bank.page(page).task(task), number))


# Stages.


def test_a_class_goes_through_its_stages(records):
    assert live.moment(records, CODE) is None
    asked = live.ask(records, CODE, *QUESTION)
    assert (asked.code, asked.page, asked.task, asked.stage) == (CODE, *QUESTION, "asked")
    assert live.moment(records, "hedge 7") == asked
    for stage in live.STAGES[1:]:
        moved = live.set_stage(records, CODE, stage)
        assert (moved.stage, moved.number) == (stage, asked.number)
        assert moved == live.moment(records, CODE)
        assert moved.changed_at >= asked.changed_at
    assert live.moment(records, "BADGER8") is None


def test_a_new_question_ends_the_one_before(records):
    one = live.ask(records, CODE, *QUESTION)
    two = live.ask(records, CODE, *OF_PAGE)
    assert live.moment(records, CODE) == two
    assert two.number > one.number
    assert not two.shared
    assert one.shared


@pytest.mark.parametrize("pair", list(itertools.product(live.STAGES, repeat=2)), ids="-".join)
def test_only_sensible_steps(tmp_path, pair):
    before, after = pair
    records = Records(tmp_path / "class.sqlite")
    live.ask(records, CODE, *QUESTION)
    for stage in live.STAGES[1 : live.STAGES.index(before) + 1]:
        live.set_stage(records, CODE, stage)
    if after == before or after in live.FOLLOWING[before]:
        assert live.set_stage(records, CODE, after).stage == after
        return
    with pytest.raises(BadValue, match="cannot follow. What can follow: "):
        live.set_stage(records, CODE, after)
    assert live.moment(records, CODE).stage == before


def test_what_was_shown_is_never_hidden_again():
    for stage in ("shown", "why", "done"):
        assert not set(live.FOLLOWING[stage]) & set(live.HELD)


def test_a_step_that_cannot_be_says_why(records):
    with pytest.raises(BadValue, match="has no question before it"):
        live.set_stage(records, CODE, "talking")
    live.ask(records, CODE, *QUESTION)
    with pytest.raises(BadValue, match="talk it over, answer shown, question ended"):
        live.set_stage(records, CODE, "why")
    with pytest.raises(BadValue, match="nonsense"):
        live.set_stage(records, CODE, "nonsense" * 100)
    with pytest.raises(UnknownName):
        live.ask(records, CODE, "lesson-3", "no-such")
    with pytest.raises(BadValue):
        live.ask(records, "no code!", *QUESTION)


def test_what_somebody_forgot_to_end_is_over(records):
    asked = live.ask(records, CODE, *QUESTION)
    hours = timedelta(hours=live.LASTS_H)
    assert live.moment(records, CODE, asked.changed_at + hours) == asked
    assert live.moment(records, CODE, asked.changed_at + hours * 1.01) is None
    # A clock that is slow ends nothing.
    assert live.moment(records, CODE, asked.changed_at - hours) == asked


def test_a_server_that_is_away_takes_no_stage_and_keeps_the_last_one(
    postgres, tmp_path, monkeypatch
):
    from packlearn.records import waiting

    monkeypatch.setattr(waiting, "AWAY_S", -1.0)
    if not postgres.running():
        postgres.start()
    url = postgres.new_database()
    records = Records(url)
    assert records.kept_moment(CODE) is None
    asked = live.ask(records, CODE, *QUESTION)
    assert live.moment(records, CODE) == asked
    postgres.stop()
    try:
        for call in (live.moment, lambda *about: live.set_stage(*about, "talking")):
            with pytest.raises(RecordsTrouble) as caught:
                call(records, CODE)
            assert caught.value.away
        assert live.current(Records(url).kept_moment(CODE)) == asked
    finally:
        postgres.start()
    # The kept connection is gone, which the first look finds out for itself.
    assert live.moment(records, CODE) == asked
    moved = live.set_stage(records, CODE, "talking")
    assert live.moment(records, CODE) == moved == live.current(records.kept_moment(CODE))


# Votes.


def test_votes_are_first_and_second_attempts_of_the_seats(records):
    lock(records, 3, "6.8 V")
    asked = live.ask(records, CODE, *QUESTION)
    lock(records, 1, "1,36 V")
    lock(records, 1, "6.8 V", 2)
    # Late: no first vote.
    lock(records, 2, "6.8 V", 2)
    # Other classes, other questions, other numbers and further attempts count for nothing.
    lock(records, 5, "6.8 V", code="BADGER8")
    lock(records, 6, "6.8 V", question=("lesson-3", "one-cell"))
    lock(records, 7, "6.8 V", variant=seats.first_variant(CODE, 7))
    lock(records, 1, "6.8 V", 3)
    votes = live.votes(records, asked)
    assert [(one.seat, one.right) for one in votes.first] == [(1, False), (3, True)]
    assert [(one.seat, one.right) for one in votes.again] == [(1, True), (2, True)]
    assert votes.first[0].mistakes == ("M41",)
    assert {one.label for one in votes.again} == {"6.8 V"}


def test_who_has_seen_the_answer_before_has_no_vote(records):
    for seat, revealed in ((1, True), (2, False)):
        locked = lock(records, seat, "1.36 V")
        records.settle(locked.id, "mistake", ("M41",), right=False, revealed=revealed)
    one = live.ask(records, CODE, *QUESTION)
    assert one.past == (1,)
    assert [each.seat for each in live.votes(records, one).first] == [2]
    # What is shown during the moment takes no vote away; asked anew, it does.
    late = lock(records, 3, "6.8 V")
    records.settle(late.id, "right", right=True, revealed=True)
    assert [each.seat for each in live.votes(records, one).first] == [2, 3]
    two = live.ask(records, CODE, *QUESTION)
    assert [each.seat for each in live.votes(records, two).first] == [2]
    # With other numbers everybody has a vote again.
    other = live.ask(records, CODE, *QUESTION, variant=1)
    assert other.past == ()
    assert live.votes(records, other) == live.Votes()
    lock(records, 1, right_of(*QUESTION, 1), variant=1)
    assert [each.right for each in live.votes(records, other).first] == [True]


def test_what_is_locked_after_the_answer_was_told_is_no_vote(records):
    live.ask(records, CODE, *QUESTION)
    lock(records, 1, "6.8 V")
    shown = live.set_stage(records, CODE, "shown")
    late = lock(records, 2, "6.8 V")
    assert [each.seat for each in live.votes(records, shown).first] == [1]
    done = live.set_stage(records, CODE, "done")
    assert (done.told_at, done.told_id) == (shown.told_at, late.id - 1)
    assert [each.seat for each in live.votes(records, done).first] == [1]


def test_a_vote_that_waited_for_the_server_counts(tmp_path):
    records = Records(tmp_path / "class.sqlite")
    live.ask(records, CODE, *QUESTION)
    shown = live.set_stage(records, CODE, "shown")
    before = shown.told_at - timedelta(seconds=1)
    mine = {"page": QUESTION[0], "task": QUESTION[1], "variant": 0, "attempt": 1, "givens": {}}
    mine |= {"typed": "6.8 V", "value": 6.8, "unit": "V", "confidence": "sure"}
    sent = Prediction(**mine, seat=seats.seat_text(CODE, 4))
    records._store.write(lambda c: queries.add_prediction(c, sent, before, "there"))
    assert [each.seat for each in live.votes(records, shown).first] == [4]


def test_tasks_of_pages_have_each_seats_own_numbers(records):
    asked = live.ask(records, CODE, *OF_PAGE)
    for seat in range(1, 8):
        number = asked.number_at(seat)
        assert number == seats.first_variant(CODE, seat)
        lock(records, seat, right_of(*OF_PAGE, number), question=OF_PAGE)
    tally = live.tally(live.votes(records, asked).first, 7)
    assert (tally.right_share, tally.bars) == (
        1,
        (tallying.Bar("the right answer", "rule", 7, True),),
    )


# Counting.

HOSTILE = "<script>alert(1)</script>"


def cast(*typed):
    variant = checking.variant(bank.page(QUESTION[0]).task(QUESTION[1]), 0)
    return [live.vote(variant, text, seat) for seat, text in enumerate(typed, 1)]


def test_equal_values_in_equal_units_are_one_bar():
    tally = live.tally(cast("6.8 V", "6,80 V", "6800 mV", "1.36 V", HOSTILE, "7 W"), 30)
    values = {bar.label: (bar.count, bar.right) for bar in tally.bars if bar.kind == "value"}
    assert values == {"6.8 V": (3, True), "1.36 V": (1, False), "another answer": (2, False)}
    rules = {bar.label: bar.count for bar in tally.bars if bar.kind == "rule"}
    assert rules == {"the right answer": 3, "I kept one cell's voltage.": 1, "another answer": 2}
    assert (tally.locked, tally.seats, tally.right_share) == (6, 30, 0.5)
    assert HOSTILE not in str(tally)


def test_under_five_answers_nothing_is_told():
    for count in range(tallying.FEWEST):
        tally = live.tally(cast(*["6.8 V"] * count), 30)
        assert tally == (count, 30, None, (), False)
        assert live.advice(tally.right_share) is None
    assert live.tally(cast(*["6.8 V"] * 5), 30).enough


ANSWERS = st.sampled_from(["6.8 V", "6,80 V", "1.36 V", "7 W", HOSTILE, "=1+1"]) | st.text()


@given(st.lists(ANSWERS | st.integers(1, 99).map("{} V".format), max_size=40))
def test_every_vote_is_in_one_bar_of_each_kind(typed):
    votes = cast(*typed)
    tally = live.tally(votes, 40)
    assert tally.locked == len(typed)
    for kind in {bar.kind for bar in tally.bars}:
        bars = [bar for bar in tally.bars if bar.kind == kind]
        assert sum(bar.count for bar in bars) == len(typed)
        assert sum(bar.count for bar in bars if bar.right) == sum(one.right for one in votes)
        assert len(bars) <= tallying.MOST_BARS + 1
        assert all(len(bar.label) <= tallying.LONGEST_LABEL for bar in bars)
    assert "<" not in "".join(bar.label for bar in tally.bars)


@pytest.mark.parametrize("page", [name for name in bank.pages() if name.startswith("lesson-")])
def test_every_question_of_a_lesson_can_be_counted(page):
    for task in bank.page(page).tasks:
        variant = checking.variant(task, 0)
        for typed in ("", HOSTILE, "1 V", "2S2P", "5", "1|2", "1 to 2 V"):
            vote = live.vote(variant, typed)
            assert "<" not in vote.label + vote.rule
            assert live.tally([vote] * 5, 5).enough


@pytest.mark.parametrize(
    ("share", "told"),
    [(0, "explain"), (0.29, "explain"), (0.3, "discuss"), (0.7, "discuss"), (0.71, "confirm")],
)
def test_the_share_of_right_votes_advises(share, told):
    assert live.advice(share) == told


def test_a_show_of_hands_is_counted_the_same_way():
    hands = live.Hands({"6.8 V": 6, "1.36 V": 12, "more than 6.8 V": 0}, right="6.8 V", seats=20)
    assert hands.tally.bars == (("1.36 V", "value", 12, False), ("6.8 V", "value", 6, True))
    assert (hands.tally.locked, hands.tally.seats) == (18, 20)
    assert hands.advice == "discuss"
    assert live.Hands({"a": 3, "b": 2}).advice is None
    assert not live.Hands({"a": 3, "b": 1}, right="a").tally.enough
    for count in (-1, 201, 1.5, True, "3"):
        with pytest.raises(BadValue, match="from 0 to 200"):
            live.Hands({"a": count})
