"""A question while a class works on it together: votes held back, then released by the teacher."""

import ipywidgets as widgets

from packlearn.classroom import live
from packlearn.classroom.seats import parted
from packlearn.panels import watching
from packlearn.panels.base import area, guard, paragraphs, show
from packlearn.words import say


class InClass:
    """Part of a question that follows its class; for one that is ``Seated``.

    All is told by the last moment that was seen (``self.moment``) and the records, so that a
    restart goes on in the same stage.
    """

    def join_class(self):
        """Know the class of this moment's seat."""
        self.watch = watching.watch()
        # Number of a moment that this learner left; task numbers explained; what was left open.
        self.left_moment, self.explained, self.left = None, set(), None
        self.see()

    def see(self):
        """Take over what is known of the class now."""
        self.moment = self.watch.moment if self.watch else None
        self.line = self.watch.line if self.watch else ""

    def follow_class(self):
        """Be told from now on; for a question that is built."""
        if self.watch:
            self.watch.add(self)
            self.class_moved()

    # State.

    @property
    def class_number(self):
        """Number of the variant that the class works on now; None where it is another question.

        None too where this seat has no vote, since its answer was shown before.
        """
        moment, where = self.moment, parted(self.seat)
        if moment is None or where is None or moment.stage == "done":
            return None
        mine = (moment.page, moment.task, moment.code) == (self.task.page, self.task.id, where[0])
        if not mine or where[1] in moment.past or moment.number == self.left_moment:
            return None
        return moment.number_at(where[1])

    @property
    def stage(self):
        """Stage of the class, where it works on this very question; else ""."""
        return self.moment.stage if self.class_number == self.number else ""

    @property
    def held(self):
        """True while nothing of the answer may be told, because the class is not there yet."""
        return self.stage in live.HELD and not _revealed(self.entries)

    def held_at(self, number, entries):
        """Whether entries of a variant must wait for their result."""
        on = self.class_number == number and self.moment.stage in live.HELD
        return on and not _revealed(entries)

    @property
    def vote(self):
        """Attempt that may be locked in now; None while no vote is open, or it is cast."""
        attempt = {"asked": live.FIRST, "again": live.AGAIN}.get(self.stage)
        return attempt if attempt and self._tries < attempt else None

    @property
    def class_phase(self):
        """Phase of a question that the class works on; None where it is as without a class."""
        if self.held:
            return "open" if self.vote else "held"
        if self.stage in live.TOLD and not self.entries:
            return "missed"
        return None

    @property
    def told_only(self):
        """True where the answer is told, and the why is still to come."""
        return self.stage == "shown" and self.number not in self.explained

    # Controls.

    def build_class(self):
        """Make the line on the class, and the button that leaves it."""
        self.with_class = area("", "packlearn-status", "packlearn-try")
        text = say("live.learner.go_alone")
        self.go_alone = widgets.Button(
            description=text, tooltip=text, layout=widgets.Layout(width="auto")
        )

    # Callbacks.

    def class_moved(self):
        """Follow the class, where it has moved in what this question shows."""
        with self._turn:
            before = self._seen()
            self.see()
            if self._seen() != before:
                self._follow()

    @guard
    def _follow(self):
        """Show the stage of the class and, where it asks other numbers, those."""
        number = self._class_target()
        if number not in (None, self.number):
            open_ = self.phase == "open" and not self.entries
            self.left = (self.number, self.answer.value, self.confidence.value) if open_ else None
            self.turn_to(number)
        elif self.class_number is None and self.left:
            self._turn_back()
        else:
            self.entries = self._settled_entries(self.number)
            self._changed()

    def _seen(self):
        moment = self.moment
        on = moment and (moment.page, moment.task) == (self.task.page, self.task.id)
        return moment if on else None, self.line if self.stage else ""

    def look_at_class(self):
        """See where the class is at this very moment; True where it has moved."""
        if self.watch is None:
            return False
        before = self._seen()
        self.watch.look()
        self.see()
        return self._seen() != before

    def _class_target(self):
        """Number to show, where the class works on this task and its answer is not known here."""
        asks = self.asked_for is None and self.moment and self.moment.stage in live.HELD
        number = self.class_number if asks else None
        return None if number is None or _revealed(self._entries(number)) else number

    def _turn_back(self):
        """Show what was open before the class came, with what was typed."""
        number, typed, sure = self.left
        self.left = None
        if not self.entries:
            self.turn_to(number)
            self.answer.value, self.confidence.value = typed, sure
        else:
            self.entries = self._settled_entries(self.number)
            self._changed()

    @guard
    def leave_class(self, _=None):
        """Go on alone with this question, because the class cannot be reached."""
        self.see()
        if self.line != "lost" and self.stage:
            self._changed()
            return
        self.left_moment = self.moment.number if self.moment else None
        self.entries = self._settled_entries(self.number)
        self._changed()

    # What is shown.

    def show_class(self):
        """Say where the class is, and offer to leave it where it cannot be reached."""
        if self.stage == "why" and self.entries:
            self.explained.add(self.number)
        key = self._class_key()
        said = [say(f"live.learner.{key}")] if key else []
        if self.stage and self.line:
            said.append(say(f"live.learner.{self.line}"))
        # The first panel of the notebook leads here.
        mark = f"<span id='{watching.PLACE}'></span>"
        self.with_class.value = mark + paragraphs(said) if said else ""
        show(self.with_class, bool(said))
        show(self.go_alone, bool(self.stage) and self.line == "lost" and self.phase != "done")

    def _class_key(self):
        """Key of the sentence on the stage; "" where there is nothing to say."""
        stage, voted = self.stage, bool(self.entries)
        if not stage:
            return "past" if self._seen_before() else ""
        if stage in live.TOLD and not voted:
            return "missed"
        if stage == "talking":
            return "talking" if voted else "talking_late"
        if stage == "asked":
            return "locked" if self.vote is None else "asked"
        if stage == "again":
            late = "again" if voted else "again_late"
            return "locked_again" if self.vote is None else late
        return {"shown": "shown", "why": ""}[stage]

    def _seen_before(self):
        moment, where = self.moment, parted(self.seat)
        on = moment is not None and where is not None and moment.stage in live.HELD
        mine = on and (moment.page, moment.task) == (self.task.page, self.task.id)
        return mine and (where[1] in moment.past or _revealed(self._entries_of_moment(where)))

    def _entries_of_moment(self, where):
        number = self.moment.number_at(where[1])
        return self.entries if number == self.number else self._entries(number)


def _revealed(entries):
    """Whether the answer was shown with one of them."""
    return any(entry.result and entry.result.revealed for entry in entries)
