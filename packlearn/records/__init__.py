"""Locked predictions and their results, kept for good in one small database.

A prediction is committed to disk before ``lock`` returns, so a result may be
shown after it, and is never changed afterwards. The records stay where they
are written: in the file ``records.sqlite`` of the learner's folder, or in the
database named by ``PACKLEARN_RECORDS``.
"""

from packlearn.records.book import Records
from packlearn.records.shapes import CONFIDENCES, SAW, Entry, Locked, Prediction, Result, Trace
from packlearn.records.troubles import AlreadyLocked, AlreadyWritten, RecordsTrouble

__all__ = [
    "CONFIDENCES",
    "SAW",
    "AlreadyLocked",
    "AlreadyWritten",
    "Entry",
    "Locked",
    "Prediction",
    "Records",
    "RecordsTrouble",
    "Result",
    "Trace",
]
