"""The first panel of a notebook: the library, the seat in a class, and the teacher's guide."""

from urllib.parse import quote

import ipywidgets as widgets

import packlearn
from packlearn import laying
from packlearn.classroom import live, sitting
from packlearn.classroom.seats import read_seat, seat_text
from packlearn.errors import PackError
from packlearn.panels import base, watching
from packlearn.panels.base import Panel, area, escape, guard, paragraphs, show
from packlearn.panels.guides import guide
from packlearn.places import lessons_folder
from packlearn.records import Records, RecordsTrouble
from packlearn.tasks import bank
from packlearn.words import say


class Opening(Panel):
    """Says that the lesson is alive and where predictions are kept; in a class, asks for the seat.

    Args:
        lesson: number of the lesson, None for a page of tasks.
        made_for: version of packlearn the notebook was written for.
    """

    band_key = "panels.band_opening"

    def __init__(self, lesson=None, made_for=None):
        self.lesson, self.made_for = lesson, made_for
        self.records, self.asking = Records.default(), False
        self.in_use = self._taken_meanwhile()
        super().__init__()
        self._follow_class()

    def build(self):
        """Make the places, and the box for the seat."""
        self.line = area("", "packlearn-opening")
        self.guide = area("", "packlearn-guide")
        self.where = area("", "packlearn-status", "packlearn-feedback")
        self.with_class = area("", "packlearn-status", "packlearn-try")
        label = say("classroom.opening.box")
        self.box = widgets.Text(
            continuous_update=False,
            description=label,
            tooltip=label,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="12em"),
        )
        names = ("take", "go_on", "keep", "other")
        self.buttons = {name: _button(name) for name in names}
        self.seat_row = base.row(self.box, *self.buttons.values())

    def wire(self):
        """Connect the box and the buttons."""
        actions = {
            "take": self.take,
            "go_on": self.go_on,
            "keep": lambda _: self.ask(False),
            "other": lambda _: self.ask(True),
        }
        for name, action in actions.items():
            self.buttons[name].on_click(action)

    def parts(self):
        """One line, the seat in a class, and the guide in instructor mode."""
        return [
            self.line,
            self.with_class,
            self.where,
            self.seat_row,
            *([self.guide] if self.teaching else []),
        ]

    # Callbacks.

    @guard
    def ask(self, asking):
        """Ask for another seat, or leave it as it is.

        Args:
            asking: True to ask.
        """
        self.asking, self.in_use = asking, None
        self.update()

    @guard
    def take(self, _=None):
        """Take the seat that is typed; one in use elsewhere is asked about first."""
        where = sitting.sitting()
        if not self.box.value.strip():
            self._say_where(say("classroom.opening.empty"))
            return
        seat = read_seat(self.box.value, where.seats)
        when = None if seat == where.seat else self._last_elsewhere(where.code, seat)
        if when:
            self.in_use = seat, when
            self.update()
            return
        self._sit(seat)

    @guard
    def go_on(self, _=None):
        """Take the seat that was in use elsewhere."""
        self._sit(self.in_use[0])

    def _sit(self, seat):
        before = base.seat()
        sitting.sit(seat)
        self.asking, self.in_use, self.box.value = False, None, ""
        if base.seat() != before:
            base.seat_changed()
        self.update()
        self._say_where(say("classroom.opening.changed", seat=seat))

    def _taken_meanwhile(self):
        """Seat and moment, where somebody at another computer took the seat of this one."""
        where = sitting.sitting()
        if base.teaching() or where is None or not where.seat or where.fixed:
            return None
        when = self._last_elsewhere(where.code, where.seat, where.since)
        return (where.seat, when) if when else None

    def _last_elsewhere(self, code, seat, after=None):
        try:
            return self.records.last_elsewhere(seat_text(code, seat), after=after)
        except RecordsTrouble:
            # Whoever sits there can sit there with records that cannot be read.
            return None

    # What is shown.

    @guard
    def take_seat(self):
        """Show the seat of this moment."""
        self.asking, self.in_use = False, None
        self.update()
        self._follow_class()

    @guard
    def class_moved(self):
        """Say what the class works on, for those who have another notebook before them."""
        self._show_line()
        self._show_class()

    @guard
    def locked_in(self):
        """Say what waits for a server now, as something was locked in."""
        self._show_line()

    def _follow_class(self):
        watch = watching.watch()
        if watch:
            watch.add(self)

    def _show_class(self):
        watch = watching.watch()
        moment = watch.moment if watch else None
        on = moment is not None and moment.stage in live.HELD
        title = _title_of(moment.page) if on else ""
        told = paragraphs([say("live.elsewhere", title=title)] if title else [])
        self.with_class.value = told + self._way(watch, moment) if title else ""
        show(self.with_class, bool(title))

    def _way(self, watch, moment):
        """Link to the question, which may stand far below, or to the notebook it is in."""
        if moment.page == f"lesson-{self.lesson}" or watch.has_page(moment.page):
            return f"<p><a href='#{watching.PLACE}'>{escape(say('live.go_there'))}</a></p>"
        name = laying.notebook_of(moment.page)
        link = escape(say("live.open_there"))
        return f"<p><a href='../{quote(name)}' target='_blank'>{link}</a></p>" if name else ""

    def update(self):
        """Say where one is."""
        self._show_line()
        self._show_seat()
        self._show_class()
        if self.teaching and self.lesson:
            self.guide.value = self._guide()

    def _show_line(self):
        said = [self._alive()]
        if self.made_for and _major(self.made_for) != _major(packlearn.__version__):
            fields = {"made_for": self.made_for, "here": packlearn.__version__}
            said.append(say("panels.opening.version", **fields))
        self.line.value = paragraphs([*said, *self._waiting()])

    def _alive(self):
        if self.records.on_server:
            # Its address tells a learner nothing.
            served = "panels.opening.alive_server", "panels.opening.alive_page_server"
            return say(served[0] if self.lesson else served[1])
        here = "panels.opening.alive", "panels.opening.alive_page"
        # Another file may lie on a drive that others see.
        named = "panels.opening.alive_named", "panels.opening.alive_page_named"
        keys = here if self.records.in_own_folder else named
        return say(keys[0] if self.lesson else keys[1], place=self.records.place)

    def _waiting(self):
        """What waits for the class's server, and what found another answer there."""
        try:
            count = self.records.send_waiting()
            refused = self.records.refused(base.seat())
        except RecordsTrouble as trouble:
            return [str(trouble)]
        said = [say("classroom.opening.waiting", count=count)] if count else []
        if refused:
            typed = ", ".join(entry.locked.typed for entry in refused)
            said.append(say("classroom.opening.refused", count=len(refused), typed=typed))
        return said

    def _show_seat(self):
        where = None if self.teaching else sitting.sitting()
        show(self.where, where is not None)
        show(self.seat_row, where is not None and not where.fixed)
        if where is None:
            return
        asking = self.asking or not where.seat
        shown = {
            "take": asking and not self.in_use,
            "go_on": self.in_use is not None,
            "keep": bool(self.asking and where.seat),
            "other": not asking or self.in_use is not None,
        }
        for name, button in self.buttons.items():
            show(button, shown[name])
        show(self.box, asking and not self.in_use)
        self.box.placeholder = say("classroom.opening.placeholder", seats=where.seats)
        self._say_where(self._in_use() if self.in_use else _seat_in_words(where))

    def _in_use(self):
        seat, when = self.in_use
        return say("classroom.opening.in_use", seat=seat, time=f"{when.astimezone():%H:%M}")

    def _say_where(self, sentence):
        self.where.value = paragraphs([sentence])

    def _guide(self):
        path = lessons_folder() / "guides" / f"lesson-{self.lesson}.md"
        # A notebook of another version may tell of a lesson that is not there.
        told = guide(path) if path.is_file() else ""
        link = escape(say("class_view.link"))
        page = "../class/live-class.ipynb"
        return f"{told}<p><a href='{page}' target='_blank'>{link}</a></p>"


def _seat_in_words(where):
    if not where.seat:
        return say("classroom.opening.no_seat", code=where.code)
    key = "classroom.opening.server" if where.fixed else "classroom.opening.class"
    return say(key, code=where.code, seat=where.seat)


def _title_of(page):
    """Title of a page of questions; "" where this computer does not have it."""
    try:
        return bank.page(page).title
    except PackError:
        return ""


def _button(name):
    text = say(f"classroom.opening.{name}")
    return widgets.Button(description=text, tooltip=text, layout=widgets.Layout(width="auto"))


def _major(version):
    """The part of a version whose change may break a notebook: 0.1 of 0.1.4, 2 of 2.3.1."""
    parts = str(version).split(".")
    return tuple(parts[:2]) if parts[0] == "0" else (parts[0],)
