"""One notebook with a question of each kind of answer and every panel that can be moved."""

import nbformat

from packlearn.tasks import bank

KINDS = "lessons/kinds.ipynb"
# Everything that can be moved, and what stands around the tasks.
EXPLORERS = (
    "PackExplorer()",
    "CellExplorer()",
    "ConverterExplorer()",
    "ProfileExplorer()",
    "SizingExplorer()",
    "DataSheetExplorer()",
    "LoadExplorer()",
    "ChargeReadingExplorer()",
    "SagExplorer()",
    "JoinExplorer()",
    "UnlikeExplorer()",
    "ScatterExplorer()",
    "WireExplorer()",
    "FuseExplorer()",
    "ChargeExplorer()",
    "ShelfExplorer()",
    'bench_of("volts", 6)',
    "Cautions(lesson=9)",
    "Examples()",
    "OwnPack()",
    "OwnTasks()",
    "Practise()",
    'TaskPage("read-the-need")',
    "MyPredictions()",
)


def one_of_each_kind():
    """The first task of the bank of each kind of answer."""
    found = {}
    for name in bank.pages():
        for task in bank.page(name).tasks:
            found.setdefault(task.kind, task)
    return found


def write(folder):
    """Write the notebook into a learner's folder.

    Args:
        folder: the folder.
    """
    tasks = one_of_each_kind().values()
    lines = [f"panels.Question({task.page!r}, {task.id!r})" for task in tasks]
    lines += [f"panels.{line}" for line in EXPLORERS]
    cells = ["from packlearn import panels\npanels.Opening()", *lines]
    (folder / "lessons").mkdir()
    written = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(source) for source in cells],
        metadata={"packlearn": {"autorun": True}},
    )
    nbformat.write(written, folder / KINDS)
