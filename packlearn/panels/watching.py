"""What the class does right now, asked for once a second by one thread of the kernel.

Who learns alone, or has no seat yet, has no such thread, and neither has a teacher's notebook.
"""

import random
import threading
import time
from collections import deque

from packlearn.classroom import live, sitting
from packlearn.panels import base
from packlearn.panels.living import Living
from packlearn.records import Records, RecordsTrouble
from packlearn.records.book import default_target

PERIOD_S = 1.0
AWAY_S = 5.0
"""A server that does not answer is spoken of after so many seconds."""
PATIENCE_S = 2.0
"""Who presses a button waits no longer than this for a look that is under way."""
PLACE = "packlearn-class-question"
"""Where the question of the class stands in a notebook: the id of an element."""
LOST_S = 60.0
"""After so many seconds a learner may go on without the class."""

_TURN = threading.Lock()
_now = time.monotonic


class Watch:
    """The moment of one class, as this kernel knows it.

    Attributes:
        moment: the ``live.Moment``, or None.
        errors: the last errors of the thread, for the tests.

    Args:
        key: where the records are, and the class code.
    """

    def __init__(self, key):
        self.key, self.code = key, key[1]
        self.records = Records.default()
        self.moment, self.errors = None, deque(maxlen=20)
        self._silent_since, self._asked, self._told = None, False, (None, "")
        self._panels, self._thread = Living(), None
        self._looking = threading.Lock()

    @property
    def line(self):
        """How the server is: "" where it answers, else "away", and "lost" after a minute."""
        if self._silent_since is None:
            return ""
        silent = _now() - self._silent_since
        if silent >= LOST_S:
            return "lost"
        return "away" if silent >= AWAY_S else ""

    def look(self):
        """Ask for the moment now; what was known stays where the server does not answer."""
        # A line that is dead takes its time to be found out.
        if not self._looking.acquire(timeout=PATIENCE_S):
            return
        try:
            back = self._look()
        finally:
            self._looking.release()
        if back:
            # Votes that waited shall not wait for somebody to ask for something.
            self.records.send_waiting()
            # Panels that say what waits have to look anew.
            self._told = None

    def _look(self):
        """Ask; True where the server answers again."""
        try:
            found = live.moment(self.records, self.code)
        except RecordsTrouble as trouble:
            self._missed(trouble)
            return False
        back, self._silent_since, self._asked = self._silent_since is not None, None, True
        self.moment = found
        return back

    def _missed(self, trouble):
        if not trouble.away:
            self.errors.append(trouble)
        if self._silent_since is None:
            self._silent_since = _now()
        if not self._asked:
            self._asked = True
            self.moment = live.current(self.records.kept_moment(self.code))

    def tick(self):
        """Ask for the moment, and tell the panels where something is new."""
        self.look()
        state = self.moment, self.line
        if state != self._told:
            self._told = state
            for panel in self._alive():
                self._safely(panel.class_moved)

    def add(self, panel):
        """Tell this panel too from now on; starts the thread where none is running.

        Args:
            panel: a panel with ``class_moved``.
        """
        with _TURN:
            self._panels.add(panel)
            # Those that were here first may show something of this panel, such as the way to it.
            self._told = None
            if self._thread is None or not self._thread.is_alive():
                self._thread = _start(self._run)

    def has_page(self, name):
        """True where this notebook shows tasks of a page.

        Args:
            name: name of the page.
        """
        pages = (getattr(panel, "page", None) for panel in self._panels.all())
        return any(page is not None and page.name == name for page in pages)

    def _alive(self):
        return [panel for panel in self._panels.all() if panel.comm is not None]

    def _run(self):
        pause = threading.Event()
        while True:
            # Thirty notebooks opened at once shall not ask at once for ever.
            pause.wait(PERIOD_S * random.uniform(0.8, 1.0))
            if self._over():
                return
            self._safely(self.tick)

    def _over(self):
        """True where nobody is left to tell, or they sit in another class."""
        moved = self._safely(_key) != self.key
        # In one step with adding a panel, or the last look could miss a panel that has just come.
        with _TURN:
            over = moved or not self._alive()
            if over and self._thread is threading.current_thread():
                self._thread = None
        return over

    def _safely(self, action):
        try:
            return action()
        except Exception as error:
            self.errors.append(error)
            return None


def _start(run):
    thread = threading.Thread(target=run, name="packlearn-class", daemon=True)
    thread.start()
    return thread


class _Current:
    """The watch of this kernel; one at a time."""

    watch = None


def watch():
    """The ``Watch`` of this kernel's class; None alone, without a seat, and in instructor mode."""
    key = _key()
    if key is None:
        return None
    with _TURN:
        if _Current.watch is None or _Current.watch.key != key:
            _Current.watch = Watch(key)
            _Current.watch.look()
        return _Current.watch


def _key():
    where = None if base.teaching() else sitting.sitting()
    return (str(default_target()), where.code) if where and where.seat else None
