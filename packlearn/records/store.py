"""How the database of the records is opened: one connection per call, safe among many.

Several threads and several processes may write at once. Each call opens its
own connection and closes it; a writer asks for the write lock before it reads
anything, so that two never wait for each other. This module loads SQLAlchemy.
"""

import functools
import random
import time
import weakref
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.exc import ArgumentError, DBAPIError
from sqlalchemy.pool import NullPool

from packlearn.records.tables import guards, metadata, version_table
from packlearn.records.troubles import RecordsTrouble, is_busy, told

VERSION = 3


def _stations(connection):
    connection.exec_driver_sql(
        "ALTER TABLE predictions ADD COLUMN station VARCHAR(40) DEFAULT '' NOT NULL"
    )
    if connection.dialect.name == "postgresql":
        # Version 1 left PostgreSQL without them.
        for statement in guards():
            connection.execute(sa.DDL(statement))


def _moments(connection):
    postgres = connection.dialect.name == "postgresql"
    number = "SERIAL NOT NULL PRIMARY KEY" if postgres else _SQLITE_NUMBER
    time_ = "TIMESTAMP WITH TIME ZONE" if postgres else "DATETIME"
    connection.exec_driver_sql(
        f"CREATE TABLE moments (id {number}, code VARCHAR(20) NOT NULL, page VARCHAR(100) NOT NULL,"
        " task VARCHAR(100) NOT NULL, variant BIGINT NOT NULL, stage VARCHAR(20) NOT NULL,"
        f" past TEXT NOT NULL, asked_at {time_} NOT NULL, changed_at {time_} NOT NULL,"
        f" told_at {time_}, told_id INTEGER)"
    )
    connection.exec_driver_sql("CREATE INDEX moments_by_code ON moments (code, id)")


_SQLITE_NUMBER = "INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT"

# How a database of an older version becomes the next one: {1: function(connection)}
# turns version 1 into version 2, in one transaction with its new number.
UPGRADES = {1: _stations, 2: _moments}

_PSYCOPG = "postgresql+psycopg"

# Number of the lock that PostgreSQL holds while tables are made; any number of ours does.
_MAKING = 5_303_001

_PRAGMAS = (
    # On disk before commit returns.
    "PRAGMA synchronous = FULL",
    "PRAGMA foreign_keys = ON",
    # What is deleted is overwritten, and no copy goes to the system's temporary folder.
    "PRAGMA secure_delete = ON",
    "PRAGMA temp_store = MEMORY",
)


# A server that does not answer is away after so many seconds; psycopg's own parameters.
_AWAY = {"connect_timeout": 3, "tcp_user_timeout": 10_000}
# On disk before commit returns, whatever the server is set to.
_DURABLE = {"options": "-c synchronous_commit=on"}


class Store:
    """One database, by its address; every method raises RecordsTrouble or Clash.

    Args:
        target: SQLAlchemy URL, or the Path of an SQLite file.
        patience_s: how long to wait for a busy database, in seconds.
        more: tables that stand beside those of the records, a ``MetaData`` or None.

    Raises:
        RecordsTrouble: not an address, or a database in memory only.
    """

    def __init__(self, target, patience_s, more=None):
        self.url = _url(target)
        self.more = more
        self.is_sqlite = self.url.get_backend_name() == "sqlite"
        self.file = _file(self.url) if self.is_sqlite else None
        self.place = str(self.file or self.url.render_as_string(hide_password=True))
        self.patience_s = patience_s

    @functools.cached_property
    def engine(self):
        """SQLAlchemy engine that keeps no connection open."""
        engine = sa.create_engine(
            self.url, poolclass=NullPool, hide_parameters=True, connect_args=self._options()
        )
        if self.is_sqlite:
            event.listen(engine, "connect", _prepare)
            event.listen(engine, "begin", _begin)
        return engine

    def _options(self):
        if self.is_sqlite:
            return {"timeout": self.patience_s}
        if self.url.drivername == _PSYCOPG:
            wanted = _AWAY | _DURABLE
            return {name: value for name, value in wanted.items() if name not in self.url.query}
        return {}

    def read(self, work, nothing):
        """What ``work(connection)`` returns, or ``nothing`` if there are no records yet."""
        with told(self.place):
            if self.missing():
                return nothing
            return self._patiently(lambda: self._read_once(work, nothing))

    def glance(self, work, nothing):
        """What ``work(connection)`` returns; quick, for what is asked for once a second.

        The versions are not looked at, and a server's connection stays open between two calls.
        """
        with told(self.place):
            if self.missing():
                return nothing
            try:
                return self._glance_once(work)
            except DBAPIError as error:
                # A server that was started anew has closed the connection that was kept.
                if error.connection_invalidated:
                    return self._glance_once(work)
        # The tables may be those of an older version.
        return self.read(work, nothing)

    def _glance_once(self, work):
        with self._glancing.connect() as connection:
            return work(connection)

    @functools.cached_property
    def _glancing(self):
        if self.is_sqlite:
            return self.engine
        engine = sa.create_engine(
            self.url,
            pool_size=1,
            hide_parameters=True,
            isolation_level="AUTOCOMMIT",
            connect_args=self._options(),
        )
        # The kept connection ends with its store, at the end of the program at the latest.
        weakref.finalize(self, engine.dispose)
        return engine

    def write(self, work):
        """Do ``work(connection)`` in one transaction that is on disk on return."""
        with told(self.place):
            if self.file is not None:
                self.file.parent.mkdir(parents=True, exist_ok=True)
            return self._patiently(lambda: self._write_once(work))

    def delete(self, work):
        """Do ``work(connection)``, then rebuild an SQLite file without what it deleted."""
        with told(self.place):
            if self.missing():
                return 0
            count = self._patiently(lambda: self._write_once(work))
            if self.is_sqlite:
                self._patiently(self._clean_once)
            return count

    def missing(self):
        """Whether there is no file of records yet."""
        return self.file is not None and not self.file.exists()

    def _connection(self, begin):
        return self.engine.connect().execution_options(packlearn_begin=begin)

    def _read_once(self, work, nothing):
        with self._connection("BEGIN") as connection:
            found = self._version(connection)
            if found == VERSION:
                return work(connection)
        return nothing if found is None else self._write_once(work)

    def _write_once(self, work):
        with self._connection("BEGIN IMMEDIATE") as connection, connection.begin():
            self._bring_up(connection)
            return work(connection)

    def _clean_once(self):
        with self._connection(None) as connection:
            connection.exec_driver_sql("VACUUM")
            # Somebody may have switched the file to a write-ahead log.
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").all()

    def _version(self, connection):
        """Version of the database; None if it is empty."""
        if not sa.inspect(connection).has_table(version_table.name):
            return None
        found = connection.scalar(sa.select(version_table.c.version))
        if found is not None and found > VERSION:
            raise RecordsTrouble("records.newer", place=self.place, value=found, limit=VERSION)
        return found

    def _bring_up(self, connection):
        """Make the tables, or bring them from an older version to this one."""
        if self._version(connection) == VERSION:
            return
        if connection.dialect.name == "postgresql":
            # SQLite's writer is alone already; here thirty may come to an empty database.
            connection.execute(sa.select(sa.func.pg_advisory_xact_lock(_MAKING)))
        found = self._version(connection)
        if found is None:
            metadata.create_all(connection)
            if self.more is not None:
                self.more.create_all(connection)
            connection.execute(version_table.insert().values(id=1, version=VERSION))
        elif found < VERSION:
            for step in range(found, VERSION):
                UPGRADES[step](connection)
            connection.execute(version_table.update().values(version=VERSION))

    def _patiently(self, action):
        """Do the action; do it again while the database is busy, up to the patience."""
        give_up = time.monotonic() + self.patience_s
        while True:
            try:
                return action()
            except DBAPIError as error:
                if not is_busy(error) or time.monotonic() >= give_up:
                    raise
            time.sleep(random.uniform(0.005, 0.05))


def _url(target):
    if isinstance(target, Path):
        return sa.URL.create("sqlite", database=str(target))
    try:
        url = sa.make_url(target)
        # Of the drivers of PostgreSQL, the one that packlearn brings along.
        plain = url.drivername in ("postgres", "postgresql")
        return url.set(drivername=_PSYCOPG) if plain else url
    except (ArgumentError, ValueError) as error:
        # Not shown as it is: a password may stand in it.
        raise RecordsTrouble("records.bad_address", place="PACKLEARN_RECORDS") from error


def _file(url):
    """File of an SQLite address; None for one in SQLite's own ``file:`` spelling."""
    name = url.database or ""
    if not name or ":memory:" in name or url.query.get("mode") == "memory":
        raise RecordsTrouble("records.in_memory", place=str(url))
    return None if name.startswith("file:") else Path(name).absolute()


def _prepare(driver_connection, _record):
    # The driver must not open transactions of its own; _begin does.
    driver_connection.isolation_level = None
    for pragma in _PRAGMAS:
        driver_connection.execute(pragma).close()


def _begin(connection):
    begin = connection.get_execution_options().get("packlearn_begin")
    if begin:
        connection.exec_driver_sql(begin)
