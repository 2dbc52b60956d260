"""Panels of a kernel that are still there; cells make them while other threads go through them."""

import threading
import weakref


class Living:
    """Panels, none of them kept alive by being in here."""

    def __init__(self):
        self._panels, self._turn = weakref.WeakSet(), threading.Lock()

    def add(self, panel):
        """Add a panel.

        Args:
            panel: the panel.
        """
        with self._turn:
            self._panels.add(panel)

    def all(self):
        """List of the panels that are there now, by their ``seat_order``."""
        with self._turn:
            panels = list(self._panels)
        return sorted(panels, key=lambda panel: panel.seat_order)
