"""Panels of the lessons and task pages: one line of code each."""

from packlearn.panels.bench import Bench
from packlearn.panels.bench_laid import bench_of
from packlearn.panels.cell_pack_explorers import (
    JoinExplorer,
    SagExplorer,
    ScatterExplorer,
    UnlikeExplorer,
)
from packlearn.panels.curve_explorers import (
    ChargeReadingExplorer,
    DataSheetExplorer,
    LoadExplorer,
)
from packlearn.panels.explorers import CellExplorer, ConverterExplorer, ProfileExplorer
from packlearn.panels.faded import Examples, Faded
from packlearn.panels.fitting import GonePanel
from packlearn.panels.live_class import LiveClass
from packlearn.panels.log import MyPredictions
from packlearn.panels.minding import Cautions
from packlearn.panels.opening import Opening
from packlearn.panels.own_pack import OwnPack
from packlearn.panels.own_tasks import OwnTasks
from packlearn.panels.pack_explorer import PackExplorer
from packlearn.panels.practice import Practise
from packlearn.panels.projector import Projector
from packlearn.panels.protect_explorers import (
    ChargeExplorer,
    FuseExplorer,
    ShelfExplorer,
    WireExplorer,
)
from packlearn.panels.question import Question
from packlearn.panels.round import Round
from packlearn.panels.sizing_explorer import SizingExplorer
from packlearn.panels.task_page import TaskPage

__all__ = [
    "Bench",
    "Cautions",
    "CellExplorer",
    "ChargeExplorer",
    "ChargeReadingExplorer",
    "ConverterExplorer",
    "DataSheetExplorer",
    "Examples",
    "Faded",
    "FuseExplorer",
    "JoinExplorer",
    "LiveClass",
    "LoadExplorer",
    "MyPredictions",
    "Opening",
    "OwnPack",
    "OwnTasks",
    "PackExplorer",
    "Practise",
    "ProfileExplorer",
    "Projector",
    "Question",
    "Round",
    "SagExplorer",
    "ScatterExplorer",
    "ShelfExplorer",
    "SizingExplorer",
    "TaskPage",
    "UnlikeExplorer",
    "WireExplorer",
    "bench_of",
]


def __getattr__(name):
    """A panel that is not there; an import of one must tell it, too, so it is an ImportError."""
    if name[:1].isupper():
        raise GonePanel(f"panels.{name}")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
