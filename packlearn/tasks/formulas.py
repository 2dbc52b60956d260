"""Short arithmetic formulas in text files, worked out without ``eval``.

A formula may hold names of givens, numbers, ``+ - * / **``, comparisons,
``and or not`` and the functions in ``FUNCTIONS``. Anything else is refused.
"""

import ast
import functools
import math
import operator

from packlearn.building import family, next_area_mm2, next_rating_a, ratings_between
from packlearn.errors import BadFile

# A millionth keeps 7.000000001 from being rounded up to 8 by binary floats.
GRAIN = 1e-6
LONGEST = 300
LARGEST = 1e12

FUNCTIONS = {
    "up": lambda x: math.ceil(x - GRAIN),
    "down": lambda x: math.floor(x + GRAIN),
    "nearest": lambda x, digits=0: _nearest(x, digits),
    "least": min,
    "most": max,
    "root": math.sqrt,
    # Smallest size or rating that is sold and not below a number, and the largest not above it.
    "wire_size": next_area_mm2,
    "fuse_size": lambda amps, run_share: next_rating_a(amps, _ratings(run_share)),
    "fuse_below": lambda amps, run_share: max(ratings_between(0, amps, _ratings(run_share))),
}


def _ratings(run_share):
    """Standard ratings of the family that runs at its whole rating, or of the other one."""
    return family("iec" if run_share == 1 else "ul").ratings_a


def _nearest(x, digits):
    if digits not in range(10):
        raise ValueError(digits)
    return round(x, int(digits))


_OPERATORS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    # In floats a huge power is an error at once, not minutes of work.
    ast.Pow: lambda base, power: float(base) ** float(power),
    ast.USub: operator.neg,
    ast.Not: operator.not_,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
}


_JOINS = {ast.And: all, ast.Or: any}
_NUMBERS = (int, float, bool)

_ALLOWED = (
    *(ast.Constant, ast.Name, ast.Load, ast.BinOp, ast.UnaryOp, ast.Compare),
    *(ast.BoolOp, ast.And, ast.Or, ast.Call),
    *_OPERATORS,
)


@functools.cache
def _tree(formula):
    if not isinstance(formula, str) or len(formula) > LONGEST:
        raise BadFile("tasks.formula.text", value=str(formula)[:80], limit=LONGEST)
    try:
        tree = ast.parse(formula.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise BadFile("tasks.formula.syntax", value=_printable(formula)) from None
    for node in ast.walk(tree):
        if not _allowed(node):
            part = ast.unparse(node) if isinstance(node, ast.expr) else type(node).__name__
            raise BadFile("tasks.formula.part", value=part[:40], formula=_printable(formula))
    return tree


def _printable(text):
    return text[:80].encode("ascii", "replace").decode()


def _allowed(node):
    match node:
        case ast.Constant(value=value):
            return type(value) in (int, float) and abs(value) <= LARGEST
        case ast.Call(func, args, keywords):
            return isinstance(func, ast.Name) and func.id in FUNCTIONS and args and not keywords
        case ast.Compare(ops=ops):
            return len(ops) == 1 and type(ops[0]) in _OPERATORS
    return isinstance(node, _ALLOWED)


@functools.cache
def names(formula):
    """Names of givens a formula uses, as a frozenset.

    Args:
        formula: its text.

    Raises:
        BadFile: the formula holds something that is not allowed.
    """
    tree = _tree(formula)
    called = {node.func for node in ast.walk(tree) if isinstance(node, ast.Call)}
    found = (node for node in ast.walk(tree) if isinstance(node, ast.Name))
    return frozenset(node.id for node in found if node not in called)


def work_out(formula, givens):
    """Value of a formula.

    Args:
        formula: its text.
        givens: dict of name -> number.

    Returns:
        A finite number, or True or False.

    Raises:
        BadFile: something that is not allowed, a name that is not given, or no finite number.
    """
    try:
        value = _worker(formula)(givens)
    except BadFile:
        raise
    except (ArithmeticError, ValueError, TypeError) as trouble:
        reason = type(trouble).__name__
        raise BadFile("tasks.formula.result", value=formula, limit=reason) from None
    if isinstance(value, complex) or not abs(value) <= LARGEST:
        raise BadFile("tasks.formula.result", value=formula, limit=str(value)[:40])
    return value


@functools.cache
def _worker(formula):
    """A function of the givens that works the formula out; its parts are looked at only once."""
    return _part(_tree(formula), formula)


def _part(node, formula):
    match node:
        case ast.Constant(value=value):
            return lambda givens: value
        case ast.Name(id=name):
            return _given(name, formula)
        case ast.BinOp(left, op, right) | ast.Compare(left, [op], [right]):
            return _joined(_OPERATORS[type(op)], left, right, formula)
        case ast.UnaryOp(op, operand):
            turn, part = _OPERATORS[type(op)], _part(operand, formula)
            return lambda givens: turn(part(givens))
        case ast.BoolOp(op, parts):
            join, parts = _JOINS[type(op)], [_part(part, formula) for part in parts]
            return lambda givens: join(part(givens) for part in parts)
        case ast.Call(ast.Name(id=name), args):
            function, parts = FUNCTIONS[name], [_part(part, formula) for part in args]
            return lambda givens: function(*[part(givens) for part in parts])
    raise BadFile("tasks.formula.part", value=ast.unparse(node)[:40], formula=formula)


def _given(name, formula):
    def value(givens):
        found = givens.get(name)
        if type(found) in _NUMBERS:
            return found
        raise BadFile("tasks.formula.part", value=name[:40], formula=formula)

    return value


def _joined(join, left, right, formula):
    one, other = _part(left, formula), _part(right, formula)
    # Numbers and names are most of what formulas are made of: these take a step less.
    match left, right:
        case _, ast.Constant(value=fixed):
            return lambda givens: join(one(givens), fixed)
        case ast.Constant(value=fixed), _:
            return lambda givens: join(fixed, other(givens))
        case ast.Name(id=first), ast.Name(id=second):
            return lambda givens: (
                join(a, b)
                if type(a := givens.get(first)) in _NUMBERS
                and type(b := givens.get(second)) in _NUMBERS
                else join(one(givens), other(givens))
            )
    return lambda givens: join(one(givens), other(givens))
