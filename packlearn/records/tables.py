"""The tables of the records, and the triggers that keep a database from changing them.

SQLAlchemy Core with portable column types, so the same tables stand in SQLite
and in PostgreSQL. This module loads SQLAlchemy; ``packlearn.records`` imports it
only when records are used.
"""

from datetime import UTC

import sqlalchemy as sa
from sqlalchemy import event

from packlearn.records.shapes import LENGTHS, MISTAKES_LENGTH, VERDICT_LENGTH


class UtcTime(sa.types.TypeDecorator):
    """A moment in UTC; comes back with its time zone from every database."""

    impl = sa.DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value, dialect):
        """Moment as the database takes it."""
        return value and value.astimezone(UTC)

    def process_result_value(self, value, dialect):
        """Moment as it was; SQLite keeps no time zone, so it is set again."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def _text(name):
    return sa.Column(name, sa.String(LENGTHS[name]), nullable=False)


STATION_LENGTH = 40
CODE_LENGTH = 20
STAGE_LENGTH = 20

metadata = sa.MetaData()

version_table = sa.Table(
    "schema_version",
    metadata,
    sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("version", sa.Integer, nullable=False),
)

predictions = sa.Table(
    "predictions",
    metadata,
    sa.Column("id", sa.Integer, primary_key=True),
    _text("seat"),
    _text("page"),
    _text("task"),
    sa.Column("variant", sa.BigInteger, nullable=False),
    sa.Column("attempt", sa.Integer, nullable=False),
    sa.Column("givens", sa.Text, nullable=False),
    _text("typed"),
    sa.Column("value", sa.Double),
    _text("unit"),
    sa.Column("confidence", sa.String(10), nullable=False),
    _text("reason"),
    sa.Column("locked_at", UtcTime, nullable=False),
    # Last, where the upgrade of version 1 puts it.
    sa.Column("station", sa.String(STATION_LENGTH), nullable=False, server_default=""),
    sa.UniqueConstraint("seat", "page", "task", "variant", "attempt"),
    # A number is never used twice, so the order of the numbers is the order of locking.
    sqlite_autoincrement=True,
)


def _prediction_id():
    return sa.Column(
        "prediction_id", sa.ForeignKey(predictions.c.id), primary_key=True, autoincrement=False
    )


results = sa.Table(
    "results",
    metadata,
    _prediction_id(),
    sa.Column("verdict", sa.String(VERDICT_LENGTH), nullable=False),
    sa.Column("mistakes", sa.String(MISTAKES_LENGTH), nullable=False),
    sa.Column("is_right", sa.Boolean, nullable=False),
    sa.Column("revealed", sa.Boolean, nullable=False),
    sa.Column("settled_at", UtcTime, nullable=False),
)

saw = sa.Table(
    "saw",
    metadata,
    _prediction_id(),
    sa.Column("answer", sa.String(10), nullable=False),
    sa.Column("said_at", UtcTime, nullable=False),
)

# Holds a row only inside the transaction of forget_all: the triggers let that one delete.
forgetting = sa.Table(
    "forgetting", metadata, sa.Column("id", sa.Integer, primary_key=True, autoincrement=False)
)

KEPT = (saw, results, predictions)

# What a class does right now: one row for each question that a teacher put to it.
moments = sa.Table(
    "moments",
    metadata,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("code", sa.String(CODE_LENGTH), nullable=False),
    _text("page"),
    _text("task"),
    sa.Column("variant", sa.BigInteger, nullable=False),
    sa.Column("stage", sa.String(STAGE_LENGTH), nullable=False),
    sa.Column("past", sa.Text, nullable=False),
    sa.Column("asked_at", UtcTime, nullable=False),
    sa.Column("changed_at", UtcTime, nullable=False),
    # When votes ended, and the last prediction's number then.
    sa.Column("told_at", UtcTime),
    sa.Column("told_id", sa.Integer),
    sa.Index("moments_by_code", "code", "id"),
    sqlite_autoincrement=True,
)

_REFUSE_UPDATE = (
    "CREATE TRIGGER IF NOT EXISTS {table}_stay BEFORE UPDATE ON {table} "
    "BEGIN SELECT RAISE(ABORT, '{table} are never changed'); END"
)
_REFUSE_DELETE = (
    "CREATE TRIGGER IF NOT EXISTS {table}_kept BEFORE DELETE ON {table} "
    "WHEN NOT EXISTS (SELECT 1 FROM forgetting) "
    "BEGIN SELECT RAISE(ABORT, '{table} are deleted only all together'); END"
)
# INSERT OR REPLACE would delete without a word to the trigger above.
_REFUSE_REPLACE = (
    "CREATE TRIGGER IF NOT EXISTS {table}_first BEFORE INSERT ON {table} "
    "WHEN EXISTS (SELECT 1 FROM {table} AS old WHERE {same}) "
    "BEGIN SELECT RAISE(ABORT, '{table} are never replaced'); END"
)
_SAME_ID = "old.prediction_id = NEW.prediction_id"
_SAME_ATTEMPT = (
    "old.id = NEW.id OR (old.seat = NEW.seat AND old.page = NEW.page AND old.task = NEW.task"
    " AND old.variant = NEW.variant AND old.attempt = NEW.attempt)"
)


# PostgreSQL says the same with functions; a statement level trigger sees TRUNCATE too.
_FUNCTIONS = (
    "CREATE OR REPLACE FUNCTION packlearn_stay() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
    " RAISE integrity_constraint_violation"
    " USING MESSAGE = TG_TABLE_NAME || ' are never changed'; END $$",
    "CREATE OR REPLACE FUNCTION packlearn_kept() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
    " IF EXISTS (SELECT 1 FROM forgetting) THEN RETURN OLD; END IF;"
    " RAISE integrity_constraint_violation"
    " USING MESSAGE = TG_TABLE_NAME || ' are deleted only all together'; END $$",
)
_TRIGGERS = (
    "CREATE TRIGGER {table}_stay BEFORE UPDATE ON {table}"
    " FOR EACH ROW EXECUTE FUNCTION packlearn_stay()",
    "CREATE TRIGGER {table}_kept BEFORE DELETE ON {table}"
    " FOR EACH ROW EXECUTE FUNCTION packlearn_kept()",
    "CREATE TRIGGER {table}_whole BEFORE TRUNCATE ON {table}"
    " FOR EACH STATEMENT EXECUTE FUNCTION packlearn_stay()",
)


def guards():
    """Statements that make PostgreSQL refuse changes, in their order."""
    made = [text.format(table=table.name) for table in KEPT for text in _TRIGGERS]
    return [*_FUNCTIONS, *made]


def _guard(table, same):
    for text in (_REFUSE_UPDATE, _REFUSE_DELETE, _REFUSE_REPLACE):
        trigger = sa.DDL(text.format(table=table.name, same=same))
        # After the whole set, as the triggers name the table "forgetting".
        event.listen(metadata, "after_create", trigger.execute_if(dialect="sqlite"))


_guard(predictions, _SAME_ATTEMPT)
_guard(results, _SAME_ID)
_guard(saw, _SAME_ID)
for _statement in guards():
    event.listen(metadata, "after_create", sa.DDL(_statement).execute_if(dialect="postgresql"))
