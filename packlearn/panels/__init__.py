"""Panels of the lessons and task pages: one line of code each."""

from packlearn.panels.explorers import CellExplorer, ConverterExplorer, ProfileExplorer
from packlearn.panels.log import MyPredictions
from packlearn.panels.opening import Opening
from packlearn.panels.pack_explorer import PackExplorer
from packlearn.panels.question import Question
from packlearn.panels.round import Round
from packlearn.panels.sizing_explorer import SizingExplorer
from packlearn.panels.task_page import TaskPage

__all__ = [
    "CellExplorer",
    "ConverterExplorer",
    "MyPredictions",
    "Opening",
    "PackExplorer",
    "ProfileExplorer",
    "Question",
    "Round",
    "SizingExplorer",
    "TaskPage",
]
