"""A prediction that tests of the records lock in."""

from packlearn.records import Prediction

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
