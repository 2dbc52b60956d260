"""What can go wrong with records, told with the place and the mend."""

from contextlib import contextmanager

from packlearn.errors import PackError

# Beginnings of SQLite's own error names, and the sentence for each.
_BY_SQLITE_NAME = {
    "SQLITE_BUSY": "records.busy",
    "SQLITE_LOCKED": "records.busy",
    "SQLITE_FULL": "records.full",
    # Some disks and quotas say so where there is no room left.
    "SQLITE_IOERR": "records.disk",
    "SQLITE_READONLY": "records.read_only",
    "SQLITE_PERM": "records.read_only",
    "SQLITE_CANTOPEN": "records.cannot_open",
    "SQLITE_NOTADB": "records.damaged",
    "SQLITE_CORRUPT": "records.damaged",
}

# The same for the SQLSTATE of a server, https://www.postgresql.org/docs/current/errcodes-appendix.html
_BY_STATE = {
    "40001": "records.busy",
    "40P01": "records.busy",
    "55P03": "records.busy",
    "53100": "records.full",
    "25006": "records.read_only",
    "42501": "records.read_only",
    # Too many connections; shut down by its keeper, crashed, or not up yet.
    "53300": "records.away",
    "57P": "records.away",
    "08": "records.away",
}


class AlreadyLocked(PackError, ValueError):
    """This attempt at this question was locked before; that one stands.

    Args:
        locked: the prediction that stands.
        prediction: the one that was refused, so that nothing typed is lost.
    """

    def __init__(self, locked, prediction):
        self.locked = locked
        self.prediction = prediction
        when = locked.locked_at.astimezone()
        super().__init__(
            "records.already_locked",
            value=prediction.typed,
            limit=locked.typed,
            day=f"{when:%Y-%m-%d}",
            time=f"{when:%H:%M}",
        )


class AlreadyWritten(PackError, ValueError):
    """A result, or what was seen, is written already and says something else."""


class RecordsTrouble(PackError, OSError):
    """The records cannot be read or written; the message names the place and the mend.

    ``prediction`` holds what was to be locked, so that nothing typed is lost; ``away`` is
    True where a server cannot be reached.

    Args:
        key: key of the message.
        place: file or address of the records.
        **fields: further fields of the message.
    """

    def __init__(self, key, *, place, **fields):
        self.place = place
        self.prediction = None
        self.away = key == "records.away"
        super().__init__(key, place=place, **fields)


class Clash(Exception):
    """Two writers wanted the same place; the first has it. Never leaves the records."""


@contextmanager
def told(place):
    """Turn what a database or a disk says into a RecordsTrouble, or into a Clash.

    Args:
        place: file or address of the records.
    """
    from sqlalchemy.exc import IntegrityError, SQLAlchemyError

    try:
        yield
    except RecordsTrouble:
        raise
    except IntegrityError as error:
        raise Clash(_short(error.orig)) from error
    except (SQLAlchemyError, OSError, ImportError, ValueError, TypeError) as error:
        key, value = _sentence(error)
        raise RecordsTrouble(key, place=place, value=value) from error


def is_busy(error):
    """Whether the database is only busy, so that waiting may help."""
    return _key(error) == "records.busy"


def _sentence(error):
    """Key of the sentence for an error, and the value it names."""
    from sqlalchemy.exc import ArgumentError, SQLAlchemyError

    if isinstance(error, ImportError):
        return "records.driver", error.name
    if isinstance(error, ArgumentError):
        return "records.bad_address", None
    if isinstance(error, OSError):
        return "records.cannot_open", error.strerror
    if not isinstance(error, SQLAlchemyError):
        # A row that was never written by us, such as a date that is none.
        return "records.damaged", _short(error)
    return _key(error) or "records.other", _short(getattr(error, "orig", None) or error)


def _key(error):
    from sqlalchemy.exc import DBAPIError, InterfaceError, OperationalError

    if not isinstance(error, DBAPIError):
        return None
    name, table = getattr(error.orig, "sqlite_errorname", ""), _BY_SQLITE_NAME
    if not name:
        name, table = getattr(error.orig, "sqlstate", None) or "", _BY_STATE
    known = next((key for start, key in table.items() if name.startswith(start)), None)
    # Where the line breaks there is nobody left to send a number.
    lost = not name and isinstance(error, (OperationalError, InterfaceError))
    return "records.away" if lost or error.connection_invalidated else known


def _short(error):
    lines = str(error).strip().splitlines() or [type(error).__name__]
    return lines[0][:200]
