"""Records on a server, with a file on this computer for the time the server is away.

What is locked goes to the server. A copy of it is put into ``waiting.sqlite`` in the learner's
folder, as durable as records without a server. While the server is away, this file takes new
predictions and answers for it; what waits is sent as soon as the server answers again. A
prediction has one place (seat, page, task, variant, attempt), of which the server takes one
only: so sending one twice, after a crash between sending and noting, changes nothing.

Numbers of predictions that are not on the server yet lie beyond ``BEYOND``, so that they come
last. This module loads SQLAlchemy.
"""

import contextlib
import dataclasses
import threading
import time

import sqlalchemy as sa

from packlearn.records import moments, queries
from packlearn.records.shapes import Prediction
from packlearn.records.store import Store
from packlearn.records.tables import predictions, results, saw
from packlearn.records.troubles import Clash, RecordsTrouble

AWAY_S = 5.0
"""A server that was away is asked again after so many seconds."""

RETRY_S = 20.0
"""What waits is sent after so many seconds, even if nothing is asked for meanwhile."""

# Addresses of servers to which a timer sends what waits.
_RETRYING = set()

# Address of a server that was away -> when it may be asked again; all records of a kernel wait
# together, as an address that nobody answers at costs seconds each time.
_ASK_AGAIN = {}

BEYOND = 10**12
"""No server has so many predictions."""

KEY = ("seat", "page", "task", "variant", "attempt")

more = sa.MetaData()

# What has reached the server: no row, not yet. ``refused``: another answer stands there.
sent = sa.Table(
    "sent",
    more,
    sa.Column("prediction_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("what", sa.String(10), primary_key=True),
    sa.Column("server_id", sa.BigInteger, nullable=False),
    sa.Column("refused", sa.Boolean, nullable=False),
)

_TABLES = {"result": results, "saw": saw}


class Waiting:
    """A server's store that never leaves a prediction without a place.

    Args:
        server: its ``Store``.
        file: Path of the file on this computer.
    """

    def __init__(self, server, file):
        self.server = server
        self.local = Store(file, server.patience_s, more)
        self.place = server.place
        self._kept_row = None

    # What Records asks for.

    def write(self, query, *args):
        """Do one of the writing ``queries`` at the server, or here while it is away.

        Returns:
            What the query returns; for a prediction that waits a number beyond ``BEYOND``.
        """
        try:
            self._try_to_send()
            there = self._there(args)
            done = self._at_server("write", lambda c: getattr(queries, query)(c, *there))
        except RecordsTrouble as trouble:
            if not trouble.away:
                raise
            return self._keep(query, args, trouble)
        self._copy(query, there, done)
        return done

    def read(self, query, *, nothing, **where):
        """Do one of the reading ``queries`` at the server, or here while it is away."""
        try:
            self._try_to_send()
            asked = where | ({"id": self._number(where["id"])} if "id" in where else {})
            return self._at_server("read", lambda c: getattr(queries, query)(c, **asked), nothing)
        except RecordsTrouble as trouble:
            if not trouble.away:
                raise
        return self._read_here(query, nothing, where)

    def delete(self, seat):
        """Delete everything of one seat, there and here; all of them for None."""
        self.send()
        count = self._at_server("delete", lambda c: queries.forget(c, seat))
        self.local.delete(lambda c: _forget_here(c, seat))
        return count

    def waiting(self):
        """How many predictions wait for the server."""
        return self.local.read(lambda c: len(_unsent(c)), 0)

    def refused(self, seat):
        """Entries of a seat in whose place another answer stood at the server already."""
        return self.local.read(lambda c: _refused(c, seat), [])

    def send(self):
        """Send what waits, in its order; what the server will not take waits on.

        Raises:
            RecordsTrouble: the server is away, or the file here cannot be read.
        """
        if self.local.missing():
            return
        for number in self.local.read(_unsent, []):
            self._one_by_one(self._send_prediction, number)
        for row in self.local.read(_unsent_more, []):
            self._one_by_one(self._send_more, *row)

    def moment(self, code):
        """Last row of a class at the server; a copy is kept here for the time it is away."""
        row = self._at_server("glance", lambda c: moments.latest(c, code), None)
        if row is not None and row != self._kept_row:
            # Seen all the same; only a restart while the server is away will not know it.
            with contextlib.suppress(Clash, RecordsTrouble):
                self.local.write(lambda c: moments.keep(c, row))
            self._kept_row = row
        return row

    def kept_moment(self, code):
        """Last row of a class as the server told it when it answered last."""
        return self.local.read(lambda c: moments.latest(c, code), None)

    # Sending.

    def _try_to_send(self):
        """Send what waits; trouble with the file here keeps nobody from the server."""
        try:
            self.send()
        except RecordsTrouble as trouble:
            if trouble.away:
                raise

    def _one_by_one(self, step, *args):
        try:
            step(*args)
        except RecordsTrouble as trouble:
            # One that the server refuses must not keep the others waiting.
            if trouble.away:
                raise

    def _send_prediction(self, number):
        # Before anything is read: with many that wait, that takes its time.
        self._see_that_it_may_be_asked()
        found = self.local.read(lambda c: _entry(c, number), None)
        if found is None:
            # Deleted by another notebook at this very moment.
            return
        locked, station = found
        mine = locked.prediction
        try:
            server_id = self._at_server(
                "write", lambda c: queries.add_prediction(c, mine, locked.locked_at, station)
            )
            standing = None
        except Clash:
            key = {name: getattr(mine, name) for name in KEY}
            found = self._at_server("read", lambda c: queries.entries(c, **key), [])
            if not found:
                # Deleted at this very moment.
                return
            standing, server_id = found[0].locked, found[0].locked.id
        # Sent before, where the one that stands is this very one.
        same = standing is None or (
            standing.prediction == mine and standing.locked_at == locked.locked_at
        )
        self._note(locked.id, "prediction", server_id, refused=not same)

    def _send_more(self, number, server_id, what):
        found = self.local.read(lambda c: queries.entries(c, id=number), [])
        if not found:
            return
        entry = found[0]
        try:
            if what == "result":
                self._at_server("write", lambda c: queries.add_result(c, server_id, entry.result))
            else:
                at = self.local.read(lambda c: queries.said_at(c, number), None)
                self._at_server("write", lambda c: queries.add_saw(c, server_id, entry.saw, at))
        except Clash:
            # One is there already; it stands.
            pass
        self._note(number, what, server_id, refused=False)

    def _send_later(self):
        """Send what waits once in a while, though nobody asks for anything."""
        if self.server.url in _RETRYING:
            return
        _RETRYING.add(self.server.url)
        timer = threading.Timer(RETRY_S, self._retry)
        timer.daemon = True
        timer.start()

    def _retry(self):
        _RETRYING.discard(self.server.url)
        try:
            self.send()
        except RecordsTrouble:
            self._send_later()

    def _note(self, number, what, server_id, *, refused):
        row = {"prediction_id": number, "what": what, "server_id": server_id, "refused": refused}

        def note(connection):
            here = sa.select(sent.c.what).where(sent.c.prediction_id == number, sent.c.what == what)
            # Another notebook may have sent it at the same time.
            if connection.execute(here).first() is None:
                connection.execute(sent.insert().values(**row))

        self.local.write(note)

    def _at_server(self, name, *args):
        self._see_that_it_may_be_asked()
        try:
            return getattr(self.server, name)(*args)
        except RecordsTrouble as trouble:
            if trouble.away:
                _ASK_AGAIN[self.server.url] = time.monotonic() + AWAY_S
            raise

    def _see_that_it_may_be_asked(self):
        if time.monotonic() < _ASK_AGAIN.get(self.server.url, 0.0):
            raise RecordsTrouble("records.away", place=self.place)

    # Keeping here.

    def _keep(self, query, args, trouble):
        self._send_later()
        if query == "add_prediction":
            return BEYOND + self.local.write(lambda c: queries.add_prediction(c, *args))
        number = self._number_here(args[0])
        if number is None:
            raise trouble
        self.local.write(lambda c: getattr(queries, query)(c, number, *args[1:]))
        return None

    def _copy(self, query, args, done):
        """Put what the server took into the file here as well, so that it can be read away."""
        try:
            if query == "add_prediction":
                number = self.local.write(lambda c: queries.add_prediction(c, *args))
                self._note(number, "prediction", done, refused=False)
                return
            number = self._number_here(args[0])
            if number is not None:
                self.local.write(lambda c: getattr(queries, query)(c, number, *args[1:]))
                self._note(number, query.removeprefix("add_"), args[0], refused=False)
        except (Clash, RecordsTrouble):
            # The server has it; without the copy it cannot be seen while the server is away.
            pass

    def _there(self, args):
        """Arguments of a query with the server's number of a prediction that was kept here."""
        if isinstance(args[0], Prediction) or args[0] <= BEYOND:
            return args
        return (self._number(args[0]), *args[1:])

    def _number(self, number):
        """The server's number of a prediction; as it is where it has none."""
        if number <= BEYOND:
            return number
        statement = sa.select(sent.c.server_id).where(
            sent.c.prediction_id == number - BEYOND, sent.c.what == "prediction"
        )
        return self.local.read(lambda c: c.scalar(statement), None) or number

    def _number_here(self, number):
        """The number of a prediction in the file here; None where it has none."""
        if number > BEYOND:
            return number - BEYOND
        statement = sa.select(sent.c.prediction_id).where(
            sent.c.server_id == number, sent.c.what == "prediction"
        )
        return self.local.read(lambda c: c.scalar(statement), None)

    def _read_here(self, query, nothing, where):
        if "id" in where:
            number = self._number_here(where["id"])
            if number is None:
                return nothing
            where = where | {"id": number}

        def read(connection):
            found = getattr(queries, query)(connection, **where)
            if query not in ("entries", "traces"):
                return found
            known = {here: there for here, there in connection.execute(_KNOWN)}
            return [_with_number(one, known) for one in found]

        return self.local.read(read, nothing)


_KNOWN = sa.select(sent.c.prediction_id, sent.c.server_id).where(sent.c.what == "prediction")


def _with_number(one, known):
    """An entry or trace with its number at the server, or its own one here."""
    if hasattr(one, "locked"):
        number = known.get(one.locked.id, BEYOND + one.locked.id)
        return dataclasses.replace(one, locked=dataclasses.replace(one.locked, id=number))
    return one._replace(id=known.get(one.id, BEYOND + one.id))


def _unsent(connection):
    """Numbers of the predictions that wait, in the order of locking."""
    numbers = sa.select(sent.c.prediction_id).where(sent.c.what == "prediction")
    statement = sa.select(predictions.c.id).where(predictions.c.id.not_in(numbers))
    return connection.scalars(statement.order_by(predictions.c.id)).all()


def _entry(connection, number):
    """A prediction that waits, and its station; None where it is gone."""
    station = connection.scalar(sa.select(predictions.c.station).where(predictions.c.id == number))
    return None if station is None else (queries.entries(connection, id=number)[0].locked, station)


def _unsent_more(connection):
    """Results and what was seen of sent predictions that wait: number, server's number, what."""
    found = []
    for what, table in _TABLES.items():
        done = sa.select(sent.c.prediction_id).where(sent.c.what == what)
        rows = connection.execute(
            sa.select(sent.c.prediction_id, sent.c.server_id)
            .join(table, table.c.prediction_id == sent.c.prediction_id)
            .where(sent.c.what == "prediction", ~sent.c.refused, table.c.prediction_id.not_in(done))
        )
        found += [(row.prediction_id, row.server_id, what) for row in rows]
    return found


def _refused(connection, seat):
    numbers = sa.select(sent.c.prediction_id).where(sent.c.refused)
    found = queries.entries(connection, **({} if seat is None else {"seat": seat}))
    refused = set(connection.scalars(numbers))
    return [entry for entry in found if entry.locked.id in refused]


def _forget_here(connection, seat):
    mine = sa.true() if seat is None else predictions.c.seat == seat
    numbers = sa.select(predictions.c.id).where(mine)
    connection.execute(sa.delete(sent).where(sent.c.prediction_id.in_(numbers)))
    return queries.forget(connection, seat)
