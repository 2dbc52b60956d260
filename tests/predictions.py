"""A prediction that tests of the records lock in, and the databases they lock it into."""

import inspect

from packlearn.records import Prediction, Records

FIELDS = {
    "page": "predict-the-pack",
    "task": "lantern-volts",
    "variant": 7,
    "attempt": 1,
    "givens": {"series": 5},
    "typed": "6,2 V",
    "value": 6.2,
    "unit": "V",
    "confidence": "think",
}


def prediction(**new):
    """The prediction with some fields replaced."""
    return Prediction(**(FIELDS | new))


def on_both_databases(metafunc):
    """Run a test of ``records`` on SQLite and on a server; what looks into the file, on SQLite."""
    asked = inspect.signature(metafunc.function).parameters
    if "records" in asked:
        both = ["sqlite"] if "file" in asked else ["sqlite", "postgresql"]
        metafunc.parametrize("database", both)


def records_on(database, file, request, patience_s):
    """Records in a file, or on a server of the tests' own."""
    if database == "sqlite":
        return Records(file, patience_s=patience_s)
    return Records(request.getfixturevalue("postgres").new_database(), patience_s=patience_s)
