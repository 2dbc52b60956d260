"""The statements of the records; each takes an open connection. Loads SQLAlchemy."""

import json

import sqlalchemy as sa

from packlearn.records.shapes import PREDICTION_FIELDS, Entry, Locked, Result, Trace, canonical
from packlearn.records.tables import KEPT, forgetting, predictions, results, saw

_ALL = (
    sa.select(
        predictions,
        results.c.verdict,
        results.c.mistakes,
        results.c.is_right,
        results.c.revealed,
        results.c.settled_at,
        saw.c.answer,
    )
    .select_from(predictions.outerjoin(results).outerjoin(saw))
    # Not by time: a clock may be set back.
    .order_by(predictions.c.id)
)


def add_prediction(connection, prediction, locked_at, station):
    """Insert a prediction; its number."""
    row = {name: getattr(prediction, name) for name in PREDICTION_FIELDS}
    row["givens"] = canonical(prediction.givens)
    return connection.execute(
        predictions.insert().values(**row, locked_at=locked_at, station=station)
    ).inserted_primary_key[0]


def add_result(connection, number, result):
    """Insert the result of a prediction."""
    connection.execute(
        results.insert().values(
            prediction_id=number,
            verdict=result.verdict,
            mistakes=json.dumps(result.mistakes),
            is_right=result.right,
            revealed=result.revealed,
            settled_at=result.settled_at,
        )
    )


def add_saw(connection, number, answer, said_at):
    """Insert what was seen."""
    connection.execute(saw.insert().values(prediction_id=number, answer=answer, said_at=said_at))


def entries(connection, **where):
    """Entries with these columns, in the order of locking; all of them without any."""
    return entries_where(connection, *(predictions.c[name] == v for name, v in where.items()))


def entries_where(connection, *conditions):
    """Entries that meet all conditions, in the order of locking."""
    return [_entry(row) for row in connection.execute(_ALL.where(*conditions))]


def traces(connection, **where):
    """Entries with these columns, without givens and what was typed, in the order of locking."""
    own = predictions.c
    columns = [own[name] for name in Trace._fields if name in own]
    statement = (
        sa.select(*columns, results.c.is_right, saw.c.answer)
        .select_from(predictions.outerjoin(results).outerjoin(saw))
        .where(*(own[name] == value for name, value in where.items()))
        .order_by(own.id)
    )
    return [Trace(*row) for row in connection.execute(statement)]


def latest_variant(connection, page, task, seat):
    """Variant locked last; None if there is none."""
    return connection.scalar(
        sa.select(predictions.c.variant)
        .where(predictions.c.page == page, predictions.c.task == task, predictions.c.seat == seat)
        .order_by(predictions.c.id.desc())
        .limit(1)
    )


def said_at(connection, number):
    """When it was said what was seen; None if it was not."""
    return connection.scalar(sa.select(saw.c.said_at).where(saw.c.prediction_id == number))


def last_elsewhere(connection, seat, station, since):
    """When this seat last locked something at another station, if that is not long ago.

    The moment of it; None if there is none after ``since``.
    """
    own = predictions.c
    found = connection.execute(
        sa.select(own.locked_at)
        .where(own.seat == seat, own.station != station, own.locked_at >= since)
        .order_by(own.id.desc())
        .limit(1)
    ).first()
    return found and found[0]


def forget(connection, seat):
    """Delete everything of one seat, or of all for None; how many predictions that were."""
    mine = sa.true() if seat is None else predictions.c.seat == seat
    numbers = sa.select(predictions.c.id).where(mine)
    if connection.dialect.name == "postgresql":
        # SQLite's writer is alone already; here somebody may lock something meanwhile. In the
        # order in which a result and its prediction are locked, so that two never block.
        names = ", ".join(table.name for table in KEPT)
        connection.execute(sa.text(f"LOCK TABLE {names} IN EXCLUSIVE MODE"))
    connection.execute(sa.delete(forgetting))
    connection.execute(forgetting.insert().values(id=1))
    counts = [
        connection.execute(
            sa.delete(table).where(
                mine if table is predictions else table.c.prediction_id.in_(numbers)
            )
        ).rowcount
        for table in KEPT
    ]
    connection.execute(sa.delete(forgetting))
    return counts[-1]


def _entry(row):
    fields = {name: getattr(row, name) for name in PREDICTION_FIELDS}
    fields["givens"] = json.loads(row.givens)
    locked = Locked(**fields, id=row.id, locked_at=row.locked_at)
    return Entry(locked, None if row.verdict is None else _result(row), row.answer)


def _result(row):
    return Result(
        verdict=row.verdict,
        mistakes=tuple(json.loads(row.mistakes)),
        right=row.is_right,
        revealed=row.revealed,
        settled_at=row.settled_at,
    )
