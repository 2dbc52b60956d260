"""The records: lock a prediction, write its result, read them, forget them."""

import functools
import hashlib
import importlib
import os
import platform
from datetime import UTC, datetime, timedelta

from packlearn.errors import UnknownName
from packlearn.places import learner_folder
from packlearn.records import sheet
from packlearn.records.shapes import PREDICTION_FIELDS, SAW, Locked, Result, one_of
from packlearn.records.troubles import AlreadyLocked, AlreadyWritten, Clash, RecordsTrouble
from packlearn.words import word

FILE = "records.sqlite"


def default_target():
    """Where the records are: an address from the environment, or the Path of a file."""
    address = os.environ.get("PACKLEARN_RECORDS", "").strip()
    if address:
        return address
    return learner_folder() / FILE


def this_station():
    """Text that tells this computer and its running JupyterLab from others, without its name."""
    given = os.environ.get("PACKLEARN_STATION", "").strip()
    # All kernels of one JupyterLab have the same parent.
    parent = os.environ.get("JPY_PARENT_PID") or os.getpid()
    text = given or f"{platform.node()} {parent}"
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()[:16]


class Records:
    """Locked predictions and their results in one database.

    Every call opens a connection of its own and closes it, so one object may be
    used from many threads, and many processes may use one database. Any call
    raises RecordsTrouble if the database cannot be used.

    Args:
        url: SQLAlchemy URL, or Path of an SQLite file; None for ``PACKLEARN_RECORDS``,
            else ``records.sqlite`` in ``PACKLEARN_FOLDER``, else in ``~/packlearn-lessons``.
        patience_s: how long to wait for a busy database, in seconds.
        station: what tells this computer and its running JupyterLab from others; None for
            ``this_station()``.
    """

    def __init__(self, url=None, *, patience_s=30.0, station=None):
        self._target = default_target() if url is None else url
        self._patience_s = patience_s
        self._station = this_station() if station is None else station

    @classmethod
    def default(cls):
        """Records where the environment says they are."""
        return cls()

    @property
    def place(self):
        """File, or address without its password, to show to the learner."""
        return self._store.place

    @property
    def on_server(self):
        """True where the records are on a server, False where they are in a file here."""
        return not self._store.is_sqlite

    @property
    def in_own_folder(self):
        """True where they are in the learner's folder, False where another place was named."""
        own = learner_folder() / FILE
        # A file that is not there yet has its place all the same.
        return not self.on_server and os.path.realpath(self.place) == os.path.realpath(own)

    def lock(self, prediction):
        """Commit a prediction to disk; show a result only after this returns.

        Args:
            prediction: the Prediction.

        Returns:
            It as Locked, with its number and time.

        Raises:
            AlreadyLocked: this attempt was locked before; ``.locked`` is the one that stands.
            RecordsTrouble: it could not be written; ``.prediction`` still holds it.
        """
        try:
            return self._lock(prediction)
        except RecordsTrouble as trouble:
            trouble.prediction = prediction
            raise

    def settle(self, locked_id, verdict, mistakes=(), *, right, revealed=False):
        """Write the result of a locked prediction, once.

        Args:
            locked_id: number of the prediction.
            verdict: one word of the task's checking.
            mistakes: ids of the wrong rules that fit.
            right: whether it was right.
            revealed: whether the answer is shown with it.

        Raises:
            AlreadyWritten: another result is there. The same one again does nothing.
            UnknownName: no prediction has this number.
        """
        result = Result(
            verdict=verdict,
            mistakes=tuple(mistakes),
            right=right,
            revealed=revealed,
            settled_at=_now(),
        )
        try:
            self._write("add_result", locked_id, result)
        except Clash:
            self._compare(locked_id, "result", result)

    def saw(self, locked_id, answer):
        """Write what the learner saw against their prediction, once.

        Args:
            locked_id: number of the prediction.
            answer: "less", "equal" or "more".

        Raises:
            AlreadyWritten: another answer is there. The same one again does nothing.
            BadValue: none of the three.
            UnknownName: no prediction has this number.
        """
        one_of("saw", answer, SAW)
        try:
            self._write("add_saw", locked_id, answer, _now())
        except Clash:
            self._compare(locked_id, "saw", answer)

    def find(self, page, task, seat=""):
        """Entries of one task, in the order of locking.

        Args:
            page: page of tasks.
            task: task on that page.
            seat: seat code; "" when learning alone.
        """
        return self._read("entries", nothing=[], page=page, task=task, seat=seat)

    def latest_variant(self, page, task, seat=""):
        """Variant of one task that was locked last; None if none was.

        Args:
            page: page of tasks.
            task: task on that page.
            seat: seat code; "" when learning alone.
        """
        return self._read("latest_variant", nothing=None, page=page, task=task, seat=seat)

    def all(self, seat=None):
        """Every entry, in the order of locking.

        Args:
            seat: only those of this seat code; None for all.
        """
        return self._read("entries", nothing=[], **({} if seat is None else {"seat": seat}))

    def traces(self, seat=None):
        """Every entry without givens and what was typed, in the order of locking.

        Args:
            seat: only those of this seat code; None for all.

        Returns:
            list of ``Trace``.
        """
        return self._read("traces", nothing=[], **({} if seat is None else {"seat": seat}))

    def forget_all(self, seat=None):
        """Delete every prediction with its result, and their text from the file.

        Args:
            seat: only those of this seat code; None for all.

        Returns:
            How many predictions were deleted.
        """
        if self._waiting is not None:
            return self._waiting.delete(seat)
        forget = _query("forget")
        return self._store.delete(lambda connection: forget(connection, seat))

    def export_csv(self, target, separator=",", seat=None):
        """Write every entry as a table of text for a spreadsheet.

        Args:
            target: path of the file (it is replaced), or an open text file.
            separator: "," or ";" or a tab.
            seat: only those of this seat code; None for all.

        Raises:
            BadValue: another separator.
            RecordsTrouble: the file cannot be written.
        """
        sheet.export(self.all(seat), target, separator)

    def last_elsewhere(self, seat, hours=3.0, after=None):
        """When a seat last locked something at another station, if that is not long ago.

        Args:
            seat: seat code.
            hours: what counts as not long.
            after: a moment before which nothing counts, or None.

        Returns:
            A moment in UTC, or None.
        """
        since = _now() - timedelta(hours=hours)
        since = since if after is None else max(since, after)
        where = {"seat": seat, "station": self._station, "since": since}
        return self._read("last_elsewhere", nothing=None, **where)

    def waiting(self):
        """How many predictions are kept on this computer until their server is back."""
        return 0 if self._waiting is None else self._waiting.waiting()

    def send_waiting(self):
        """Send what waits for its server; every other call does so too.

        Returns:
            How many predictions still wait, because the server is away.
        """
        if self._waiting is None:
            return 0
        try:
            self._waiting.send()
        except RecordsTrouble as trouble:
            if not trouble.away:
                raise
        return self.waiting()

    def refused(self, seat=None):
        """Entries that waited for the server and found another answer in their place.

        Args:
            seat: only those of this seat code; None for all.
        """
        return [] if self._waiting is None else self._waiting.refused(seat)

    def moment(self, code):
        """What a class does right now; asked of the server itself, so it raises while that is away.

        Args:
            code: class code.

        Returns:
            ``moments.Row``, or None.
        """
        if self._waiting is not None:
            return self._waiting.moment(code)
        return self._glance("latest", code)

    def kept_moment(self, code):
        """The moment as it was when the server answered last; None without a server.

        Args:
            code: class code.
        """
        return None if self._waiting is None else self._waiting.kept_moment(code)

    def begin_moment(self, code, page, task, variant, numbers, stage):
        """Put a question to a class; never kept for later, so it raises while a server is away.

        Args:
            code: class code.
            page: page of the question.
            task: the question.
            variant: how many variants beyond each seat's first one.
            numbers: seat's text -> number of its variant.
            stage: the first stage.

        Returns:
            ``moments.Row``.
        """
        work = _query("begin", "moments")
        what = (code, page, task, variant, numbers, stage, _now())
        return self._store.write(lambda connection: work(connection, *what))

    def move_moment(self, code, stage, following, ends):
        """Bring a class to another stage, if that may follow; raises while a server is away.

        Args:
            code: class code.
            stage: the stage.
            following: stage -> those that may follow.
            ends: stages in which no vote is taken any more.

        Returns:
            ``moments.Row`` or None, and whether it has the stage.
        """
        work, what = _query("move", "moments"), (code, stage, following, ends, _now())
        return self._store.write(lambda connection: work(connection, *what))

    def locked_by(self, page, task, numbers):
        """Entries of one question at some seats, in the order of locking.

        Args:
            page: page of the question.
            task: the question.
            numbers: seat's text -> number of its variant.
        """
        return self._glance("locked_by", page, task, numbers) or []

    def _glance(self, query, *args):
        work = _query(query, "moments")
        return self._store.glance(lambda connection: work(connection, *args), None)

    @functools.cached_property
    def _store(self):
        from packlearn.records.store import Store

        return Store(self._target, self._patience_s)

    @functools.cached_property
    def _waiting(self):
        """Where predictions wait for a server; None where the records are in a file here."""
        if self._store.is_sqlite:
            return None
        from packlearn.records.waiting import Waiting

        return Waiting(self._store, learner_folder() / "waiting.sqlite")

    def _lock(self, prediction):
        locked_at = _now()
        try:
            number = self._write("add_prediction", prediction, locked_at, self._station)
        except Clash as clash:
            standing = self._standing(prediction)
            if standing is None:
                raise RecordsTrouble("records.other", place=self.place, value=str(clash)) from clash
            raise AlreadyLocked(standing, prediction) from None
        fields = {name: getattr(prediction, name) for name in PREDICTION_FIELDS}
        return Locked(**fields, id=number, locked_at=locked_at)

    def _standing(self, prediction):
        """The locked prediction that has this one's place; None if there is none."""
        key = {name: getattr(prediction, name) for name in ("seat", "page", "task")}
        key |= {"variant": prediction.variant, "attempt": prediction.attempt}
        found = self._read("entries", nothing=[], **key)
        return found[0].locked if found else None

    def _compare(self, locked_id, what, new):
        """Nothing, if what stands says the same as the new one."""
        found = self._read("entries", nothing=[], id=locked_id)
        if not found:
            raise UnknownName("records.no_prediction", value=locked_id)
        standing = getattr(found[0], what)
        if standing != new:
            raise AlreadyWritten(f"records.other_{what}", value=_shown(new), limit=_shown(standing))

    def _read(self, query, *, nothing, **where):
        if self._waiting is not None:
            return self._waiting.read(query, nothing=nothing, **where)
        work = _query(query)
        return self._store.read(lambda connection: work(connection, **where), nothing)

    def _write(self, query, *args):
        if self._waiting is not None:
            return self._waiting.write(query, *args)
        work = _query(query)
        return self._store.write(lambda connection: work(connection, *args))


def _query(name, module="queries"):
    return getattr(importlib.import_module(f"packlearn.records.{module}"), name)


def _shown(content):
    return word(f"records.saw.{content}") if isinstance(content, str) else str(content)


def _now():
    return datetime.now(UTC)
