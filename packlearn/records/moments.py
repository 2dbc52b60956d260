"""What a class does right now: the statements of the moments. Loads SQLAlchemy.

A row is one question that a teacher put to a class, with the stage it has reached. The last row
of a class counts. Notebooks of learners ask for it about once a second, so that is one small
query by an index.
"""

import json
from datetime import datetime
from typing import NamedTuple

import sqlalchemy as sa

from packlearn.records import queries
from packlearn.records.tables import moments, predictions, results


class Row(NamedTuple):
    """One row.

    ``past`` holds the seats' texts whose answer was shown before it began. ``told_at`` and
    ``told_id`` say when votes ended, and which prediction was the last one then; None before.
    """

    id: int
    code: str
    page: str
    task: str
    variant: int
    stage: str
    past: tuple
    changed_at: datetime
    told_at: datetime | None
    told_id: int | None


_COLUMNS = [moments.c[name] for name in Row._fields]
_LATEST = (
    sa.select(*_COLUMNS)
    .where(moments.c.code == sa.bindparam("of_code"))
    .order_by(moments.c.id.desc())
    .limit(1)
)


def latest(connection, code):
    """Last ``Row`` of a class; None if there is none."""
    found = connection.execute(_LATEST, {"of_code": code}).first()
    return found and Row(*found)._replace(past=tuple(json.loads(found.past)))


def begin(connection, code, page, task, variant, numbers, stage, at):
    """Insert a row, so that it is the class's last one.

    Args:
        connection: an open one that may write.
        code: class code.
        page: page of the question.
        task: the question.
        variant: how many variants beyond each seat's first one.
        numbers: seat's text -> number of its variant.
        stage: the first stage.
        at: the moment.

    Returns:
        The ``Row``.
    """
    row = {"code": code, "page": page, "task": task, "variant": variant, "stage": stage}
    shown = _shown(connection, page, task, numbers)
    past = sorted(shown | _released(connection, row, numbers))
    connection.execute(
        moments.insert().values(**row, past=json.dumps(past), asked_at=at, changed_at=at)
    )
    return latest(connection, code)


def move(connection, code, stage, following, ends, at):
    """Bring the last row of a class to another stage, if that may follow.

    Args:
        connection: an open one that may write.
        code: class code.
        stage: the stage.
        following: stage -> those that may follow.
        ends: stages in which no vote is taken any more.
        at: the moment.

    Returns:
        The ``Row`` as it is then, None without one, and whether it has the stage.
    """
    if connection.dialect.name == "postgresql":
        # SQLite's writer is alone already.
        own = sa.select(moments.c.id).where(moments.c.code == code)
        connection.execute(own.order_by(moments.c.id.desc()).limit(1).with_for_update())
    row = latest(connection, code)
    if row is None or row.stage == stage:
        return row, row is not None
    if stage not in following.get(row.stage, ()):
        return row, False
    new = {"stage": stage, "changed_at": at}
    if stage in ends and row.told_at is None:
        last = connection.scalar(sa.select(sa.func.max(predictions.c.id)))
        new |= {"told_at": at, "told_id": last or 0}
    connection.execute(moments.update().where(moments.c.id == row.id).values(**new))
    return latest(connection, code), True


def keep(connection, row):
    """Keep a copy of a row that came from elsewhere, in place of those that were there."""
    connection.execute(sa.delete(moments).where(moments.c.code == row.code))
    fields = row._asdict() | {"past": json.dumps(row.past), "asked_at": row.changed_at}
    connection.execute(moments.insert().values(**fields))


def locked_by(connection, page, task, numbers):
    """Entries of a question at some seats, each seat with its own variant, in their order.

    Args:
        connection: an open one.
        page: page of the question.
        task: the question.
        numbers: seat's text -> number of its variant.
    """
    # Seats one by one: the index of a prediction's place begins with the seat.
    own = predictions.c
    where = (own.seat.in_(numbers), own.page == page, own.task == task)
    found = queries.entries_where(connection, *where)
    return [each for each in found if each.locked.variant == numbers[each.locked.seat]]


def _released(connection, row, numbers):
    """Seats that voted before the class was shown the answer, at an earlier time it was asked.

    Their notebooks may not have fetched it yet.
    """
    asked = [moments.c[name] == row[name] for name in ("code", "page", "task", "variant")]
    told = connection.scalar(sa.select(sa.func.max(moments.c.told_id)).where(*asked))
    if told is None:
        return set()
    own = predictions.c
    found = connection.execute(
        sa.select(own.seat, own.variant).where(
            own.seat.in_(numbers), own.page == row["page"], own.task == row["task"], own.id <= told
        )
    )
    return {each.seat for each in found if each.variant == numbers[each.seat]}


def _shown(connection, page, task, numbers):
    """Seats at which the answer was shown already."""
    own = predictions.c
    found = connection.execute(
        sa.select(own.seat, own.variant)
        .join(results)
        .where(own.seat.in_(numbers), own.page == page, own.task == task, results.c.revealed)
    )
    return {row.seat for row in found if row.variant == numbers[row.seat]}
