"""What every panel shares: building, one guard for callbacks, the band of instructor mode."""

import functools
import html
import os
import re
import threading

import ipywidgets as widgets

from packlearn.classroom import sitting
from packlearn.errors import PackError, UnknownName
from packlearn.panels.fitting import TellingType
from packlearn.panels.living import Living
from packlearn.pictures import style_sheet
from packlearn.words import as_shown, say


def teaching():
    """True in instructor mode, which the ``packlearn teach`` command starts."""
    return os.environ.get("PACKLEARN_MODE") == "teach"


def seat():
    """Text of the learner's seat; empty when learning alone, and until one is chosen."""
    return sitting.seat_of_records()


def seat_changed():
    """Tell all panels of this kernel that somebody sits at another seat now."""
    # Questions first: others show what their questions say.
    for panel in _SEATED.all():
        panel.take_seat()


def locked_in():
    """Tell the lists of this kernel that something was locked in."""
    for panel in _SEATED.all():
        if hasattr(panel, "locked_in"):
            panel.locked_in()


# Panels that hold something of a seat.
_SEATED = Living()


def guard(method):
    """Decorator for callbacks: one at a time, and every failure told to the learner.

    JupyterLab runs callbacks in a second thread and shows none of their errors.
    Errors that are not the learner's are kept in ``self.errors`` for the tests.
    """

    @functools.wraps(method)
    def guarded(self, *args, **more):
        with self._turn:
            try:
                self.alert.value = ""
                return method(self, *args, **more)
            except PackError as trouble:
                self.alert.value = alert(str(trouble))
            except Exception as trouble:
                self.errors.append(trouble)
                self.alert.value = alert(say("panels.trouble", name=type(trouble).__name__))
            return None

    return guarded


class Panel(widgets.VBox, metaclass=TellingType):
    """A panel: ``build`` makes its controls, ``wire`` connects them, ``update`` shows the state.

    A panel holds no physics and no marking. Deriving classes give ``build``, ``wire``,
    ``update`` and ``parts``.
    """

    band_key = "panels.band"
    # What a round says while this panel is still veiled.
    veil_key = "panels.veiled"
    # A panel with something of a seat has ``take_seat``; those with low numbers are told first.
    seat_order = 1

    def __init__(self):
        super().__init__()
        self.errors = []
        self._turn = threading.RLock()
        self.teaching = teaching()
        self.alert = area("", "packlearn-status")
        self.build()
        self.wire()
        self.head = [style(), *([band(self.band_key)] if self.teaching else [])]
        self.children = [*self.head, *self.parts(), self.alert]
        self.add_class("packlearn-panel")
        if hasattr(self, "take_seat"):
            _SEATED.add(self)
        # As every callback: what is slow here may not end after, and cover, what is newer.
        with self._turn:
            self.update()

    def inside(self):
        """Make the panel part of another one, which brings the style and the band."""
        self.children = [child for child in self.children if child not in self.head]
        self.remove_class("packlearn-panel")
        return self

    def build(self):
        """Make the controls."""

    def wire(self):
        """Connect the controls to callbacks."""

    def parts(self):
        """Controls in the order they are shown and reached by Tab."""
        return []

    def update(self):
        """Show the state."""

    def _repr_mimebundle_(self, **more):
        """The panel itself, and plain words for a page that cannot show it."""
        bundle = super()._repr_mimebundle_(**more)
        if isinstance(bundle, dict):
            bundle["text/plain"] = say("panels.not_alive")
        return bundle


def area(value, *classes):
    """Place for text that changes.

    Args:
        value: its HTML.
        *classes: names from the style sheet.
    """
    place = widgets.HTML(value)
    for name in classes:
        place.add_class(name)
    return place


def style():
    """The product's style sheet as a part of a panel."""
    return area(f"<style>{style_sheet()}</style>", "packlearn-style")


def band(key):
    """The band that tells instructor mode.

    Args:
        key: key of its words.
    """
    return area(f"<p>{escape(say(key))}</p>", "packlearn-band")


def row(*parts):
    """Controls side by side, none stretched.

    Args:
        *parts: widgets.
    """
    box = widgets.HBox(parts)
    box.add_class("packlearn-row")
    return box


def button(key, hint="", **more):
    """Button with its words.

    Args:
        key: key of its text in ``panels.toml``.
        hint: longer text; the button's own text where left out.
        **more: further traits.
    """
    text = say(f"panels.{key}")
    return widgets.Button(
        description=text, tooltip=hint or text, layout=widgets.Layout(width="auto"), **more
    )


def slider(key, low, high, value, step=1, unit="", wide=True):
    """Slider with its words; whole numbers where ``step`` is whole.

    Args:
        key: key of its label in ``panels.toml``.
        low: lowest value.
        high: highest value.
        value: value at the start.
        step: step of one key press.
        unit: unit shown behind the label.
        wide: False where sliders stand in two columns.
    """
    whole = isinstance(step, int) and isinstance(low, int)
    kind = widgets.IntSlider if whole else widgets.FloatSlider
    form = "d" if whole else f".{len(f'{step:g}'.partition('.')[2])}f"
    label = say(f"panels.sliders.{key}")
    return kind(
        value=value,
        min=low,
        max=high,
        step=step,
        description=f"{label} ({unit})" if unit else label,
        tooltip=label,
        readout_format=form,
        **_width(wide),
    )


def _width(wide):
    label, whole = ("13em", "min(38em, 100%)") if wide else ("12em", "98%")
    return {"style": {"description_width": label}, "layout": widgets.Layout(width=whole)}


def dropdown(key, options, value, wide=True):
    """Drop-down list with its words.

    Args:
        key: key of its label in ``panels.toml``.
        options: pairs of text and value.
        value: value at the start.
        wide: False where controls stand in two columns.

    Raises:
        UnknownName: the value is none of the options.
    """
    label = say(f"panels.sliders.{key}")
    known = [each for _, each in options]
    if value is not None and value not in known:
        raise UnknownName("fitting.choice", value=str(value)[:60], limit=", ".join(map(str, known)))
    return widgets.Dropdown(
        options=options, value=value, description=label, tooltip=label, **_width(wide)
    )


def show(part, shown):
    """Show or hide a part; a hidden one is out of the Tab order and of a reader's way.

    Args:
        part: a widget.
        shown: True to show it.
    """
    part.layout.display = None if shown else "none"


def paragraphs(sentences, *, tag="p"):
    """Sentences as HTML, escaped.

    Args:
        sentences: texts.
        tag: element that holds each.
    """
    return "".join(f"<{tag}>{escape(text)}</{tag}>" for text in sentences)


def alert(text):
    """A sentence about trouble, as HTML that a screen reader speaks at once."""
    return f'<p role="alert" class="packlearn-alert">{escape(text)}</p>'


def caution(text):
    """What nobody should do, beside the sliders that could tempt one to."""
    return area(paragraphs([text]), "packlearn-caution")


# Signs that turn the direction of what follows could make another text of what somebody typed.
_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")


def escape(text):
    """Text safe to put into HTML, as it stands on screen."""
    return html.escape(as_shown(_TURNING.sub("\ufffd", str(text))))


def picture(drawn):
    """HTML of a ``Picture`` with its sentence below, for those who read it.

    A screen reader gets the sentence from the picture itself, so it is not read twice.
    """
    said = escape(drawn.sentence)
    return f"{drawn.svg}<p class='packlearn-sentence' aria-hidden='true'>{said}</p>"
