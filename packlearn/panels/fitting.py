"""A notebook of another version: what it asks for and is not there is told with the mend."""

import contextlib

import packlearn
from packlearn.errors import PackError, UnknownName
from packlearn.records import Records
from packlearn.tasks.bank import OWN


class _Told:
    """An error of which a notebook shows the sentence alone."""

    def __init__(self, value):
        places = {"limit": packlearn.__version__, "place": Records.default().place}
        super().__init__("panels.opening.gone", value=value[:60], **places)

    def _render_traceback_(self):
        # IPython asks for this before it draws a traceback.
        return [str(self)]


class GonePanel(_Told, PackError, ImportError):
    """A panel that this version does not have."""


class GonePart(_Told, UnknownName):
    """A page, a round or a task that this version does not have."""


@contextlib.contextmanager
def fitting(*names):
    """Tell what a notebook asks for in vain, and what to do.

    A teacher's own page is told as it is: its file is not there.

    Args:
        *names: page, and round or task, as the notebook names them.

    Raises:
        GonePart: the bank has no such page, round or task.
    """
    try:
        yield
    except UnknownName as trouble:
        if str(names[0]).startswith(OWN):
            raise
        raise GonePart(" / ".join(map(str, names))) from trouble
