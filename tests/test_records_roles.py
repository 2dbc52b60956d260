"""Roles of seats on PostgreSQL: what one seat's code may reach, and what the database refuses."""

import pytest
import sqlalchemy as sa

from packlearn.classroom import live, roles
from packlearn.records import AlreadyLocked, Records, RecordsTrouble, tables
from tests import predictions
from tests.postgres import run

CODE, SEATS = "HEDGE7", 3
COUNT = "SELECT count(*) FROM {}"


def as_role(url, role):
    return url.replace("tests@", f"{role}@")


def refused(url, *statements):
    """SQLSTATE with which the server refuses the last of some statements."""
    with pytest.raises(sa.exc.DBAPIError) as caught:
        run(url, *statements)
    return caught.value.orig.sqlstate


def prediction(seat, **new):
    return predictions.prediction(seat=seat, **new)


def new_school(postgres):
    if not postgres.running():
        postgres.start()
    url = postgres.new_database()
    owner = Records(url)
    for seat in ("HEDGE7-01", "HEDGE7-02", "MARTEN-01"):
        locked = owner.lock(prediction(seat))
        owner.settle(locked.id, "right", right=True)
        owner.saw(locked.id, "equal")
    for _ in range(2):
        # Again and again: nothing of it may stumble over what is there.
        run(url, *roles.setting_up(), *roles.joining(CODE, SEATS), *roles.joining("MARTEN", 1))
    return url


@pytest.fixture
def school(postgres):
    """Address of a database with a class of three seats and one of another class."""
    return new_school(postgres)


@pytest.fixture
def seat(school, tmp_path, monkeypatch):
    """The same for the first seat of that class, with a folder of its own."""
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "seat-1"))
    return as_role(school, "hedge7-01")


@pytest.fixture(scope="module")
def unchanged(postgres, tmp_path_factory):
    """The same school for tests that change nothing in it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PACKLEARN_FOLDER", str(tmp_path_factory.mktemp("owner")))
        return new_school(postgres)


# Names.


def test_names_of_users_go_there_and_back():
    users = roles.users_of(CODE, SEATS)
    assert users == ["hedge7-01", "hedge7-02", "hedge7-03", "hedge7-teacher"]
    assert [roles.place_of(user) for user in users] == [
        ("HEDGE7", 1),
        ("HEDGE7", 2),
        ("HEDGE7", 3),
        ("HEDGE7", 0),
    ]


@pytest.mark.parametrize(
    "name", ["root", "HEDGE7-01", "hedge7-1", "hedge7-41", "hedge7-00", "a-b-teacher", "", "-01"]
)
def test_other_users_have_no_place(name):
    assert roles.place_of(name) is None


def test_every_table_has_its_rights():
    # A new table would be closed to learners, and nobody would know why.
    assert set(tables.metadata.tables) == {*roles._ROWS, *roles._OPEN, *roles._TOLD}


# What a seat does in class works as with the owner's role.


def test_a_seat_locks_settles_reads_and_deletes_its_own(seat):
    mine = Records(seat)
    locked = mine.lock(prediction("HEDGE7-01", attempt=2))
    mine.settle(locked.id, "wrong", ["M01"], right=False)
    mine.saw(locked.id, "less")
    assert [entry.locked.attempt for entry in mine.all()] == [1, 2]
    assert mine.latest_variant("predict-the-pack", "lantern-volts", "HEDGE7-01") == 7
    with pytest.raises(AlreadyLocked):
        mine.lock(prediction("HEDGE7-01"))
    assert mine.waiting() == 0
    # Even of all, it deletes what is its own.
    assert mine.forget_all() == 2
    assert mine.all() == []


def test_what_a_seat_deletes_leaves_the_others(school, seat):
    Records(seat).forget_all()
    left = {entry.locked.seat for entry in Records(school).all()}
    assert left == {"HEDGE7-02", "MARTEN-01"}


def test_a_seat_cannot_lock_for_another(school, seat):
    with pytest.raises(RecordsTrouble):
        Records(seat).lock(prediction("HEDGE7-02", attempt=2))
    assert len(Records(school).all("HEDGE7-02")) == 1


# What hostile code in a notebook may try, past packlearn.


@pytest.mark.parametrize("table", ["predictions", "results", "saw"])
def test_a_seat_sees_its_own_rows_only(unchanged, table):
    assert run(unchanged, COUNT.format(table)) == [(3,)]
    assert run(as_role(unchanged, "hedge7-01"), COUNT.format(table)) == [(1,)]


FIELDS = (
    "seat, page, task, variant, attempt, givens, typed, unit, confidence, reason, locked_at"
    ") VALUES ('HEDGE7-{seat}', 'p', 't', 1, 1, '{{}}', '', '', 'sure', '', now()"
)
WITH_ID = FIELDS.format(seat="01").replace("seat,", "id, seat,").replace("VALUES (", "VALUES (9, ")
MOMENT = (
    "INSERT INTO moments (code, page, task, variant, stage, past, asked_at, changed_at)"
    " VALUES ('{code}', 'lesson-3', 'in-line', 0, 'asked', '', now(), now())"
)


@pytest.mark.parametrize(
    "tried",
    [
        f"INSERT INTO predictions ({FIELDS.format(seat='02')})",
        f"INSERT INTO predictions ({WITH_ID})",
        "INSERT INTO results VALUES (2, 'right', '[]', true, true, now())",
        "UPDATE predictions SET typed = 'mine'",
        "UPDATE results SET is_right = true",
        "TRUNCATE predictions CASCADE",
        "ALTER TABLE predictions DISABLE ROW LEVEL SECURITY",
        "DROP POLICY predictions_packlearn_seats ON predictions",
        "DROP TABLE saw",
        "SELECT setval('predictions_id_seq', 1)",
        "CREATE TABLE mine (id int)",
        "CREATE TEMPORARY TABLE forgetting (id int)",
        "UPDATE schema_version SET version = 99",
        'SET ROLE "hedge7-02"',
        "SET ROLE packlearn_teachers",
        "SET SESSION AUTHORIZATION tests",
        'GRANT packlearn_teachers TO "hedge7-01"',
        "CREATE ROLE mine",
        MOMENT.format(code="HEDGE7"),
        "UPDATE moments SET stage = 'shown'",
        "DELETE FROM moments",
        "COPY predictions TO PROGRAM 'cat'",
        "SELECT pg_read_file('PG_VERSION')",
    ],
)
def test_the_server_refuses(unchanged, tried):
    # Insufficient privilege; a new row against a policy has the same number.
    assert refused(as_role(unchanged, "hedge7-01"), tried) == "42501"


def test_deleting_without_the_table_that_allows_it_is_refused(unchanged):
    assert refused(as_role(unchanged, "hedge7-01"), "DELETE FROM saw") == "23000"


def test_the_rights_are_no_way_round(school, seat):
    # The role that holds the rights is no seat, so it finds nothing.
    assert run(seat, "SET ROLE packlearn_seats", COUNT.format("predictions")) == [(0,)]
    allowed = ("INSERT INTO forgetting VALUES (1)", "DELETE FROM saw", "DELETE FROM results")
    run(seat, *allowed, "DELETE FROM predictions", "DELETE FROM forgetting")
    assert len(Records(school).all()) == 2


def test_one_seat_cannot_take_all_connections(unchanged):
    limits = run(unchanged, "SELECT rolconnlimit FROM pg_roles WHERE rolname ~ '^hedge7-'")
    assert set(limits) == {(roles.CONNECTIONS,)}
    assert len(limits) == SEATS + 1


# A teacher.


def test_a_teacher_reads_the_own_class_and_writes_own_tries(school, tmp_path, monkeypatch):
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "teacher"))
    teacher = Records(as_role(school, "hedge7-teacher"))
    assert {entry.locked.seat for entry in teacher.all()} == {"HEDGE7-01", "HEDGE7-02"}
    teacher.lock(prediction("", attempt=3))
    with pytest.raises(RecordsTrouble):
        teacher.lock(prediction("HEDGE7-01", attempt=3))
    assert (
        refused(as_role(school, "hedge7-teacher"), "UPDATE predictions SET typed = ''") == "42501"
    )


def test_a_teacher_tells_the_own_class_what_it_does_now(school, seat):
    teacher = as_role(school, "hedge7-teacher")
    run(teacher, MOMENT.format(code="HEDGE7"), "UPDATE moments SET stage = 'talking'")
    assert refused(teacher, MOMENT.format(code="MARTEN")) == "42501"
    assert run(seat, "SELECT code, stage FROM moments") == [("HEDGE7", "talking")]
    assert run(as_role(school, "marten-01"), COUNT.format("moments")) == [(0,)]
    run(as_role(school, "marten-teacher"), "DELETE FROM moments")
    run(teacher, "DELETE FROM moments")
    assert run(school, COUNT.format("moments")) == [(0,)]


def test_a_class_works_on_one_question_together(school, seat, tmp_path, monkeypatch):
    mine, teacher = Records(seat), Records(as_role(school, "hedge7-teacher"))
    assert live.moment(mine, CODE) is None
    live.ask(teacher, CODE, "lesson-3", "in-line")
    assert live.moment(mine, CODE).stage == "asked"
    mine.lock(prediction("HEDGE7-01", page="lesson-3", task="in-line", variant=0))
    moment = live.set_stage(teacher, CODE, "talking")
    assert [vote.seat for vote in live.votes(teacher, moment).first] == [1]
    assert live.moment(mine, CODE).stage == "talking"
    with pytest.raises(RecordsTrouble):
        live.set_stage(mine, CODE, "shown")
    with pytest.raises(RecordsTrouble):
        live.ask(mine, CODE, "lesson-3", "name")
    assert live.moment(Records(as_role(school, "marten-01")), CODE) is None


def test_a_teacher_deletes_the_own_class(school, tmp_path, monkeypatch):
    monkeypatch.setenv("PACKLEARN_FOLDER", str(tmp_path / "teacher"))
    assert Records(as_role(school, "hedge7-teacher")).forget_all() == 2
    assert [entry.locked.seat for entry in Records(school).all()] == ["MARTEN-01"]


def test_roles_of_a_class_go_and_the_others_stay(school):
    run(school, *roles.leaving(CODE, SEATS))
    left = run(
        school, "SELECT rolname FROM pg_roles WHERE rolname ~ '-(teacher|[0-9]+)$' ORDER BY 1"
    )
    assert left == [("marten-01",), ("marten-teacher",)]
