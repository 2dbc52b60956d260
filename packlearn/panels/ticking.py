"""Panels that look for news about once a second, all in one thread of the kernel."""

import threading
import time
import weakref

from packlearn.errors import PackError

PERIOD_S = 1.0

# One panel of a kind: a cell that is run again puts a new one in the place of the old one.
_WATCHED = {}
_STARTING = threading.Lock()
_THREADS = []


class Ticking:
    """Part of a panel that has ``fetch()``, ``take(news)`` and ``lost(trouble)``.

    Looking begins when the panel is shown. Fetching may wait for a server, so it is done
    before the panel's turn is taken: a button is never held up by it. A button that was pressed
    meanwhile (``moved``) knows better, and what was fetched is left.
    """

    moves = 0

    def moved(self):
        """Note that what is being fetched at this moment is out of date."""
        self.moves += 1

    def tick(self):
        """Fetch the news and show it; a trouble is told by ``lost``, never raised."""
        moves = self.moves
        try:
            news, trouble = self.fetch(), None
        except PackError as told:
            news, trouble = None, told
        except Exception as slip:
            self._keep(slip)
            return
        with self._turn:
            if moves != self.moves:
                return
            try:
                self.take(news) if trouble is None else self.lost(trouble)
            except Exception as slip:
                self._keep(slip)

    def _keep(self, slip):
        # The same one may come every second.
        if repr(slip) not in map(repr, self.errors):
            self.errors.append(slip)

    def _repr_mimebundle_(self, **more):
        watch(self)
        return super()._repr_mimebundle_(**more)


def watch(panel):
    """Look for news for a panel from now on, as long as it is there.

    Args:
        panel: a ``Ticking`` panel.
    """
    with _STARTING:
        _WATCHED[type(panel)] = weakref.ref(panel)
        if not any(thread.is_alive() for thread in _THREADS):
            thread = threading.Thread(target=_run, name="packlearn-class", daemon=True)
            _THREADS[:] = [thread]
            thread.start()


def _run():
    while True:
        with _STARTING:
            panels = [panel for look in _WATCHED.values() if (panel := look()) is not None]
            if not panels:
                _THREADS.clear()
                return
        for panel in panels:
            panel.tick()
        # Nothing here may keep a panel alive while it waits.
        del panel, panels
        time.sleep(PERIOD_S)
