"""Where a learner sits: the class and the seat of this folder, for all its notebooks.

Who learns alone has no class and is never asked for one. A class comes from ``packlearn --class
CODE``, kept in ``class.json`` of the learner's folder, or from ``PACKLEARN_CLASS`` (and
``PACKLEARN_SEATS``) on a class server, which may also give the seat: ``PACKLEARN_SEAT``.
"""

import json
import os
import secrets
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

from packlearn.classroom import seats
from packlearn.errors import BadFile, BadValue, PackError
from packlearn.places import learner_folder, write_whole

FILE = "class.json"
_LARGEST = 10_000


class BadSitting(BadValue):
    """Class, seats or seat in the environment cannot be; JupyterLab shows the message alone."""

    def _render_traceback_(self):
        return [str(self)]


@dataclass(frozen=True)
class Sitting:
    """A class and, once it is chosen, a seat.

    Attributes:
        code: the class code.
        seats: number of seats of the class.
        seat: the seat, 0 until it is chosen.
        shared: True where each start of packlearn asks for the seat anew.
        fixed: True where the class server has given the seat.
        since: when the seat was taken, None where that is not known.
    """

    code: str
    seats: int = seats.MOST_SEATS
    seat: int = 0
    shared: bool = False
    fixed: bool = False
    since: datetime | None = field(default=None, compare=False)

    @property
    def text(self):
        """The seat's text, "" until it is chosen."""
        return seats.seat_text(self.code, self.seat) if self.seat else ""


def sitting():
    """The class and seat of this moment.

    Returns:
        ``Sitting``, or None for who learns alone.

    Raises:
        BadSitting: class, seats or seat in the environment cannot be.
    """
    code = _given("PACKLEARN_CLASS", seats.read_code, "")
    kept = _kept()
    if not code:
        return kept
    count = _given("PACKLEARN_SEATS", seats.read_seats, seats.MOST_SEATS)
    found = Sitting(code, count)
    seat = _given("PACKLEARN_SEAT", lambda text: seats.read_seat(text, count), 0)
    if seat:
        return replace(found, seat=seat, fixed=True)
    if kept and kept.code == found.code and kept.seat <= count:
        return replace(found, seat=kept.seat, shared=kept.shared, since=kept.since)
    return found


def _given(name, read, nothing):
    """What a variable of the environment says, or ``nothing`` where it is not set."""
    text = os.environ.get(name, "").strip()
    if not text:
        return nothing
    try:
        return read(text)
    except BadValue as trouble:
        raise BadSitting("classroom.sitting.environment", value=name, limit=trouble) from None


def seat_of_records():
    """Text of the seat whose records these are: "" alone, and until a seat is chosen."""
    where = sitting()
    if where:
        return where.text
    return os.environ.get("PACKLEARN_SEAT", "").strip()


def needs_seat():
    """True in a class as long as no seat is chosen."""
    where = sitting()
    return where is not None and not where.seat


def join(code, count=seats.MOST_SEATS, shared=False):
    """Make this folder one of a class; its seat stays if it was of this class before.

    Args:
        code: the class code.
        count: number of seats.
        shared: True where several learners share the computer.

    Returns:
        The ``Sitting``.

    Raises:
        BadValue: the code or the number of seats cannot be.
        BadFile: it cannot be kept in the learner's folder.
    """
    found = Sitting(seats.read_code(code), seats.read_seats(count), shared=shared)
    before = _kept()
    if before and before.code == found.code and before.seat <= found.seats:
        found = replace(found, seat=before.seat, since=before.since)
    return _keep(found)


def sit(number):
    """Take a seat of the class.

    Args:
        number: the seat, as typed.

    Returns:
        The ``Sitting``.

    Raises:
        BadValue: no seat of this class, or the class server has given another one.
        BadFile: nobody is in a class, or it cannot be kept.
    """
    where = sitting()
    if where is None:
        raise BadFile("classroom.sitting.no_class")
    seat = seats.read_seat(number, where.seats)
    if where.fixed:
        return where
    return _keep(replace(where, seat=seat, since=datetime.now(UTC)))


def station():
    """What tells this computer from others; where learners share it, this start from others."""
    told = _told()
    if told.get("shared") is not True and isinstance(told.get("start"), str) and told["start"]:
        return told["start"][:60]
    return secrets.token_hex(8)


def leave():
    """Learn alone again in this folder; what was locked at the seat stays.

    Raises:
        BadFile: the class cannot be taken out of the learner's folder.
    """
    try:
        (learner_folder() / FILE).unlink(missing_ok=True)
    except OSError as error:
        raise _not_kept(error) from error


def _keep(where):
    path = learner_folder() / FILE
    start = os.environ.get("PACKLEARN_STATION", "")
    told = {"class": where.code, "seats": where.seats, "seat": where.seat}
    since = where.since.isoformat() if where.since else ""
    told |= {"shared": where.shared, "start": start, "since": since}
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, (json.dumps(told, indent=1) + "\n").encode("utf-8"))
    except OSError as error:
        raise _not_kept(error) from error
    return where


def _not_kept(error):
    reason = error.strerror or type(error).__name__
    return BadFile("classroom.sitting.not_kept", value=str(learner_folder()), limit=reason)


def _told():
    """What stands in the file; nothing without one, or where it is damaged."""
    try:
        with open(learner_folder() / FILE, "rb") as file:
            told = json.loads(file.read(_LARGEST))
    except (OSError, ValueError, RecursionError):
        return {}
    return told if isinstance(told, dict) else {}


def _kept():
    """The class and seat of the file; None without one, or where it is damaged."""
    told = _told()
    try:
        code, count = seats.read_code(told["class"]), seats.read_seats(told["seats"])
        seat = seats.read_seat(told["seat"], count) if told["seat"] else 0
        shared, start = told["shared"] is True, str(told["start"])
        since = datetime.fromisoformat(told["since"]) if told["since"] else None
    except (ValueError, KeyError, TypeError, PackError):
        return None
    if since is not None and since.tzinfo is None:
        return None
    if shared and start != os.environ.get("PACKLEARN_STATION", ""):
        # Somebody else may sit here now.
        seat = 0
    return Sitting(code, count, seat, shared, since=since)
