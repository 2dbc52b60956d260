"""The shared screen of a class: one task in large letters, over the whole window."""

from packlearn.classroom import hands, showing, sitting
from packlearn.panels import base
from packlearn.panels.base import Panel, area
from packlearn.panels.projecting import screen
from packlearn.panels.ticking import Ticking
from packlearn.records import Records
from packlearn.words import say


def source():
    """Where answers come from: a show of hands, if the teacher counts them, else the seats."""
    where = sitting.sitting()
    if hands.read().on or where is None:
        return showing.Hands()
    return showing.Seats(Records.default(), where.code, where.seats)


class Projector(Ticking, Panel):
    """Shows the class's moment; it has no controls, and follows the teacher's panel by itself."""

    band_key = "class_view.projector.band"

    def build(self):
        """Make the place for the screen."""
        self.screen = area("", "packlearn-shared")

    def parts(self):
        """The screen."""
        return [self.screen]

    def __init__(self):
        super().__init__()
        # No word of instructor mode stands on a shared screen.
        self.children = [child for child in self.children if child not in self.head[1:]]
        self.add_class("packlearn-projector")

    def update(self):
        """Show the moment."""
        self.tick()

    def fetch(self):
        """The news, from seats or hands."""
        return source().news()

    def take(self, news):
        """Show the news; what has not changed is not sent again."""
        self.screen.value = screen(news)

    def lost(self, trouble):
        """Keep what is on the screen; the teacher's panel tells the trouble."""
        if not self.screen.value:
            text = base.escape(say("class_view.projector.waiting"))
            self.screen.value = f"<p class='packlearn-shared-stage'>{text}</p>"
