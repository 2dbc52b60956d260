"""The teacher's panel of a live class: ask, see who has locked, go on step by step."""

import ipywidgets as widgets

from packlearn.classroom import hands, live, sitting
from packlearn.errors import BadValue, PackError
from packlearn.panels import base, projector
from packlearn.panels.base import Panel, area, guard, paragraphs, show
from packlearn.panels.guides import guide
from packlearn.panels.key import Key
from packlearn.panels.live_hands import HandsTable, turn
from packlearn.panels.projecting import votes_picture
from packlearn.panels.ticking import Ticking
from packlearn.places import lessons_folder
from packlearn.records import RecordsTrouble
from packlearn.tasks import bank, checking
from packlearn.words import say

# Buttons in the order of a question's way through the lesson; the first one asks.
STEPS = live.STAGES
# In these the first vote is what the teacher decides by.
_FIRST_VOTE = ("asked", "talking")
_LONGEST_OPTION = 96


class LiveClass(Ticking, Panel):
    """Choose a question, ask the class, and take it through its steps.

    Only this panel shows answers by value before the class has voted twice; it belongs on the
    teacher's own window.
    """

    band_key = "class_view.band"

    def __init__(self):
        self.news, self.key, self.begun, self.unheard = None, None, False, False
        self.where = sitting.sitting()
        super().__init__()
        self.add_class("packlearn-class-view")

    # Building.

    def build(self):
        """Make the lists, the steps, the table of hands and the places."""
        kept = hands.read()
        self.mode = widgets.ToggleButtons(
            options=[(say(f"class_view.mode.{name}"), name) for name in ("seats", "hands")],
            value="hands" if kept.on or self.where is None else "seats",
            description=say("class_view.mode.label"),
            tooltip=say("class_view.mode.label"),
            style={"description_width": "initial", "button_width": "auto"},
        )
        self.page = _list("page", [(_page_title(name), name) for name in _in_order()])
        self.task = _list("task", [])
        self._offer_tasks()
        self.text = area("", "packlearn-question")
        self.buttons = {name: _button(name) for name in STEPS}
        self.now = area("", "packlearn-status", "packlearn-now")
        # Not read aloud every second, as a status would be.
        self.count = area("", "packlearn-count")
        self.advice = area("", "packlearn-status")
        self.hands = HandsTable(self.hands_typed)
        self.picture = area("", "packlearn-picture", "packlearn-votes")
        self.key_place = widgets.VBox([])
        self.lead = area(self._lead(), "packlearn-intro")

    def _lead(self):
        link = (
            f"<a href='projector.ipynb' target='_blank'>{base.escape(say('class_view.open'))}</a>"
        )
        where = self.where
        told = "class_view.no_class" if where is None else "class_view.class"
        fields = {"code": where.code, "seats": where.seats} if where else {}
        return f"<p>{base.escape(say(told, **fields))} {link}</p>"

    def wire(self):
        """Connect lists and buttons."""
        self.mode.observe(self.change_mode, names="value")
        self.page.observe(self.choose_page, names="value")
        self.task.observe(self.choose_task, names="value")
        for name, control in self.buttons.items():
            control.on_click(lambda _, name=name: self.step(name))

    def parts(self):
        """Controls in the order of the page; none where it is no teacher's window."""
        if not self.teaching:
            return [area(paragraphs([say("class_view.teachers_only")]))]
        choose = base.row(self.mode, self.page, self.task)
        choose.add_class("packlearn-class-choose")
        steps = base.row(*self.buttons.values())
        steps.add_class("packlearn-class-steps")
        # Hands are typed while the class waits, so nothing that grows stands above them.
        left = widgets.VBox([self.hands, self.count, self.advice])
        sides = widgets.HBox([left, self.picture])
        sides.add_class("packlearn-class-sides")
        yours = area(paragraphs([say("class_view.yours")]), "packlearn-where")
        about = area(guide(lessons_folder() / "class" / "a-class.md"), "packlearn-guide")
        asked = [self.text, steps, self.now]
        return [self.lead, choose, *asked, sides, yours, self.key_place, about]

    # Callbacks.

    @guard
    def change_mode(self, _=None):
        """Count hands, or look at the seats."""
        moment = self.news.moment if self.news else None
        # A server that goes away is no reason to begin anew.
        on_going = moment is not None and moment.code and moment.stage != "done"
        turn(self.mode.value == "hands", moment if on_going else None)
        self.moved()
        self.update()

    @guard
    def choose_page(self, _=None):
        """Offer the questions of another page."""
        self._offer_tasks()
        self.update()

    @guard
    def choose_task(self, _=None):
        """Show another question; the class stays where it is."""
        self.update()

    @guard
    def step(self, name):
        """Ask the class the chosen question, or take it a step on.

        Args:
            name: one of ``STEPS``.
        """
        self.unheard = False
        try:
            self._tell_class(name)
        except RecordsTrouble as trouble:
            self._tell_unheard(name, trouble)
        self.moved()
        self.take(self.source.news())

    def _tell_class(self, name):
        if name == "asked" and not self._reopens():
            self.source.ask(self.page.value, self.task.value)
        else:
            self._see_that_it_follows(name)
            self.source.set_stage(name)

    def _tell_unheard(self, name, trouble):
        """Say that a button has reached nobody, instead of what a learner would be told."""
        if not trouble.away:
            raise trouble
        self.unheard = True
        raise BadValue("class_view.unheard", value=self.buttons[name].description) from trouble

    def _reopens(self):
        """True where the first vote of the question was closed too soon."""
        return self.asked and "asked" in live.FOLLOWING[self.news.moment.stage]

    def _see_that_it_follows(self, name):
        moment = self.news.moment if self.news else None
        if moment is None:
            raise BadValue("class_view.nothing_asked")
        follow = live.FOLLOWING[moment.stage]
        if name not in (moment.stage, *follow):
            names = [self.buttons[each].description for each in follow]
            limit = ", ".join(names) or say("class_view.nothing_left")
            raise BadValue("class_view.step", value=self.buttons[name].description, limit=limit)

    @guard
    def hands_typed(self):
        """Keep what was typed of a show of hands, then count it."""
        self.hands.keep()
        self.moved()
        self.tick()

    # State.

    @property
    def source(self):
        """Seats or hands, as chosen."""
        return projector.source()

    @property
    def variant(self):
        """The chosen question."""
        return checking.variant(bank.page(self.page.value).task(self.task.value), 0)

    @property
    def asked(self):
        """True while the chosen question is the one the class is at."""
        moment = self.news.moment if self.news else None
        return moment is not None and (moment.page, moment.task) == (
            self.page.value,
            self.task.value,
        )

    def _offer_tasks(self):
        found = [(_short(task), task.id) for task in bank.page(self.page.value).tasks]
        self.task.options = found
        self.task.value = found[0][1]

    # News.

    def fetch(self):
        """The news, from seats or hands."""
        return self.source.news()

    def take(self, news):
        """Show the news; what has not changed is not sent again."""
        self.news = news
        if self.unheard:
            # The server answers again, so the button can be pressed again.
            self.unheard, self.alert.value = False, ""
        self._show_news()

    def lost(self, trouble):
        """Tell why there is no news; what was shown stays."""
        # What was asked stays on the seats; a teacher can go on at once.
        away = getattr(trouble, "away", False)
        told = say("class_view.server_away", place=trouble.place) if away else str(trouble)
        more = [say("class_view.away")] if away else []
        self.count.value = base.alert(told) + paragraphs(more)
        self.advice.value = ""

    # What is shown.

    def update(self):
        """Show the chosen question and the moment."""
        if not self.begun:
            self.begun = True
            self._go_where_the_class_is()
        var, by_hands = self.variant, self.mode.value == "hands"
        self.text.value = paragraphs([checking.text_of(var)])
        if self.key is None or self.key.variant is not var:
            self._make_key(var)
        self.hands.show_question(var)
        show(self.hands, by_hands)
        self.tick()

    def _go_where_the_class_is(self):
        """Choose the question that a restarted kernel finds the class at."""
        try:
            moment = self.source.moment()
            task = bank.page(moment.page).task(moment.task) if moment else None
        except PackError:
            # Told by the first look for news.
            return
        if task is not None:
            self.page.value = task.page
            self._offer_tasks()
            self.task.value = task.id

    def _make_key(self, var):
        if self.key is not None:
            self.key.restart(var)
            return
        self.key = Key(var)
        for control, action in self.key.actions:
            control.on_click(lambda _, action=action: self.turn_key(action))
        self.key_place.children = (self.key,)

    @guard
    def turn_key(self, action):
        """Show something of the key.

        Args:
            action: a method of the ``Key``.
        """
        action()

    def _show_news(self):
        moment = self.news.moment
        stage = moment.stage if moment else ""
        for name, control in self.buttons.items():
            (control.add_class if name == stage else control.remove_class)("packlearn-chosen")
        if moment is None:
            self.now.value = paragraphs([say("class_view.now.nothing")])
        elif not self.asked:
            other = _short(bank.page(moment.page).task(moment.task))
            self.now.value = paragraphs([say("class_view.now.elsewhere", question=other)])
        else:
            self.now.value = paragraphs([say(f"class_view.now.{stage}")])
        self.count.value = paragraphs(self._counted()) if self.asked else ""
        self.advice.value = paragraphs(self._advice()) if self.asked else ""
        drawn = votes_picture(self.news.first, self.news.again) if self.asked else None
        self.picture.value = drawn.svg if drawn else ""

    def _counted(self):
        first, again = self.news.first, self.news.again
        by_hands = not self.news.moment.code
        said = [_count("first", first, by_hands)]
        if again is not None:
            said.append(_count("again", again, by_hands))
        last = again if again is not None else first
        if not last.enough:
            said.append(say("class_view.few", limit=5))
        return said

    def _advice(self):
        first, again = self.news.first, self.news.again
        if self.news.moment.stage == "again":
            return _no_better(first, again)
        if self.news.moment.stage not in _FIRST_VOTE or not first.enough:
            return []
        if not self.news.moment.code and not hands.complete(self.hands.rows):
            # The share of half a count would advise the wrong thing.
            return [say("class_view.hands.rest")]
        share = round(100 * first.right_share)
        return [say(f"class_view.advice.{live.advice(first.right_share)}", share=share)]


def _no_better(first, again):
    """Advice where talking did not help; none while seats are still to vote."""
    whole = again is not None and first.enough and again.locked >= first.locked
    if not whole or again.right_share > first.right_share:
        return []
    shares = {"first": round(100 * first.right_share), "again": round(100 * again.right_share)}
    return [say("class_view.advice.no_better", **shares)]


def _count(name, tally, by_hands):
    vote = say(f"class_view.picture.{name}")
    if by_hands:
        told = [say("class_view.count.hands", vote=vote, count=tally.locked)]
    else:
        fields = {"count": tally.locked, "seats": tally.seats}
        told = [say("class_view.count.seats", vote=vote, **fields)]
    if tally.enough:
        told.append(say("class_view.count.right", share=round(100 * tally.right_share)))
    return " ".join(told)


def _in_order():
    # By the number of the lesson, not by its signs: 10 comes after 9. Pages of tasks follow.
    shipped = sorted(bank.pages(), key=lambda name: int(name.partition("lesson-")[2] or 99))
    return [*shipped, *filter(_whole, bank.own_pages())]


def _whole(name):
    """Whether a page of a teacher's own can be asked; what is wrong with it is told elsewhere."""
    try:
        return all(_short(task) for task in bank.page(name).tasks)
    except PackError:
        return False


def _page_title(name):
    lesson, title = name.partition("lesson-")[2], bank.page(name).title
    if name.startswith(bank.OWN):
        return say("class_view.list.own", title=title)
    return say("class_view.list.lesson", number=lesson, title=title) if lesson else title


def _short(task):
    text = checking.text_of(checking.variant(task, 0))
    return text if len(text) <= _LONGEST_OPTION else f"{text[: _LONGEST_OPTION - 1].rstrip()}\u2026"


def _button(name):
    text = say(f"class_view.steps.{name}")
    return widgets.Button(description=text, tooltip=text, layout=widgets.Layout(width="auto"))


def _list(name, options):
    label = say(f"class_view.list.{name}")
    return widgets.Dropdown(
        options=options,
        description=label,
        tooltip=label,
        style={"description_width": "initial"},
        layout=widgets.Layout(width="23em" if name == "page" else "min(44em, 100%)"),
    )
