"""Tasks of the bank and their variants, as several tests draw them."""

import functools
import os
from decimal import Context

from packlearn.tasks import bank, checking

QUICK, ALL = int(os.environ.get("PACKLEARN_SEEDS", "40")), 200
TASKS = [task for name in bank.pages() for task in bank.page(name).tasks]


@functools.cache
def drawn(page, name, number):
    return checking.variant(bank.page(page).task(name), number)


def variants(task, first=0, last=QUICK):
    """Variants with an answer of their kind; where a figure is missing see test_levels.py."""
    found = (drawn(task.page, task.id, number) for number in range(first, last))
    return [var for var in found if "missing" not in var.givens]


def where(var):
    return f"{var.task.page}/{var.task.id} variant {var.number}"


def three_digits(value):
    text = format(Context(prec=3).create_decimal_from_float(float(value)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
