"""What a notebook asks for in vain, or in a wrong way, is told in its page with the mend.

A learner sees a sentence there and no traceback. Python's own error stays its cause.
"""

import contextlib
import functools
import inspect

import ipywidgets as widgets

import packlearn
from packlearn.errors import BadValue, PackError, UnknownName
from packlearn.records import Records
from packlearn.tasks.bank import OWN
from packlearn.words import say

# Of what Python says, as much as fits into a sentence.
_WHY = 120


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


class BadArguments(PackError, TypeError):
    """A cell gives a panel an argument it does not take, or leaves one out that it needs."""


class NotMade(BadValue):
    """A panel fails while it is made, as with a list where a name belongs."""


class TellingType(type(widgets.VBox)):
    """The type of every panel: what fails while one is made is told by its sentence alone.

    Raises:
        PackError: BadArguments or NotMade where the error was none of packlearn's own.
    """

    def __call__(cls, *args, **more):
        """A new panel."""
        return _told(super().__call__, cls, args, more)

    @property
    def __signature__(cls):
        # Else help and the hints of an editor would show that of ``__call__``.
        _, *others = inspect.signature(cls.__init__).parameters.values()
        return inspect.Signature(others)


def telling(function):
    """Decorator for a function that makes a panel: its errors are told as those of panels.

    Args:
        function: the function, named as in ``packlearn.panels``.
    """

    @functools.wraps(function)
    def made(*args, **more):
        return _told(function, function, args, more)

    return made


def _told(make, thing, args, more):
    try:
        return make(*args, **more)
    except PackError as trouble:
        _alone(trouble)
        raise
    except Exception as trouble:
        told = _named(trouble, thing, args, more)
        _alone(told)
        raise told from trouble


def _alone(trouble):
    # IPython asks for this before it draws a traceback.
    trouble._render_traceback_ = lambda: [str(trouble)]


def _named(trouble, thing, args, more):
    """The error to tell in place of one of Python's own."""
    signature = inspect.signature(thing)
    about = {
        "value": thing.__name__,
        "limit": ", ".join(signature.parameters) or say("fitting.nothing"),
        "place": Records.default().place,
    }
    try:
        signature.bind(*args, **more)
    except TypeError:
        return BadArguments("fitting.arguments", version=packlearn.__version__, **about)
    why = f"{type(trouble).__name__}: {trouble}"[:_WHY]
    return NotMade("fitting.not_made", why=why, **about)
