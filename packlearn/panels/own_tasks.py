"""Pages of tasks that a teacher wrote: a list of the files, and the chosen one as a page."""

import ipywidgets as widgets

from packlearn.panels import base
from packlearn.panels.base import Panel, area, button, guard, paragraphs, show
from packlearn.panels.task_page import TaskPage
from packlearn.tasks import bank, preview
from packlearn.words import say

# Enough to see that a task has numbers and others after them.
TRIED = 2
# Each broken file tells its first mistakes; the rest is told by the command.
MOST_TOLD = 3


class OwnTasks(Panel):
    """The task files in the folder ``own-tasks`` of the learner's folder.

    A file with a mistake tells it; the others work.
    """

    def __init__(self):
        self.files, self.pages, self.page = {}, {}, None
        super().__init__()

    def build(self):
        """Make the list, the button that looks again, and the stage."""
        label = say("panels.own.choose")
        self.chosen = widgets.Dropdown(
            description=label,
            tooltip=label,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="min(38em, 100%)"),
        )
        self.again = button("own.again")
        self.row = base.row(self.chosen, self.again)
        self.told = area("", "packlearn-status")
        self.stage = widgets.VBox([])

    def wire(self):
        """Connect list and button."""
        self.chosen.observe(self.choose, names="value")
        self.again.on_click(self.look_again)

    def parts(self):
        """List, what is wrong with files, the page."""
        return [self.row, self.told, self.stage]

    @guard
    def choose(self, _=None):
        """Show the chosen file's page."""
        self._show(self.chosen.value)

    @guard
    def look_again(self, _=None):
        """Look into the folder again."""
        self.update()

    def update(self):
        """Read the folder; what was chosen stays, if it is still there."""
        self.files, broken = bank.own_pages(), []
        good = []
        for name, path in self.files.items():
            troubles = preview.troubles(path, TRIED)
            broken += [str(trouble) for trouble in troubles[:MOST_TOLD]]
            if not troubles:
                good.append((f"{bank.page(name).title} ({path.name})", name))
        self._offer(good)
        said = [] if self.files else [say("panels.own.none", folder=bank.own_folder())]
        if broken:
            said.append(say("panels.own.broken"))
        self.told.value = paragraphs([*said, *broken])
        show(self.chosen, bool(good))
        self._show(self.chosen.value)

    def _offer(self, good):
        before = self.chosen.value
        names = [name for _, name in good]
        with self.hold_trait_notifications():
            self.chosen.options = good
            self.chosen.value = before if before in names else next(iter(names), None)

    def _show(self, name):
        if name is None:
            self.page, self.stage.children = None, ()
            return
        page = bank.page(name)
        made, panel = self.pages.get(name, (None, None))
        if made != page:
            panel = TaskPage(name).inside()
            self.pages[name] = page, panel
        self.page = panel
        if self.stage.children != (panel,):
            self.stage.children = (panel,)
