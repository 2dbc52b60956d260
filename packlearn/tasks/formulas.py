"""Short arithmetic formulas in text files, worked out without ``eval``.

A formula may hold names of givens, numbers, ``+ - * / **``, comparisons,
``and or not`` and the functions in ``FUNCTIONS``. Anything else is refused.
"""

import ast
import functools
import math
import operator

from packlearn.errors import BadFile

# A millionth keeps 7.000000001 from being rounded up to 8 by binary floats.
GRAIN = 1e-6

FUNCTIONS = {
    "up": lambda x: math.ceil(x - GRAIN),
    "down": lambda x: math.floor(x + GRAIN),
    "nearest": lambda x, digits=0: round(x, int(digits)),
    "least": min,
    "most": max,
    "root": math.sqrt,
}

_OPERATORS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
    ast.Not: operator.not_,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
}


@functools.cache
def _tree(formula):
    try:
        return ast.parse(formula, mode="eval").body
    except SyntaxError:
        raise BadFile("tasks.formula.syntax", value=formula[:80]) from None


def names(formula):
    """Names of givens a formula uses.

    Args:
        formula: its text.

    Raises:
        BadFile: the formula holds something that is not allowed.
    """
    return {
        node.id
        for node in ast.walk(_tree(formula))
        if isinstance(node, ast.Name) and node.id not in FUNCTIONS
    }


def work_out(formula, givens):
    """Value of a formula.

    Args:
        formula: its text.
        givens: dict of name -> number.

    Raises:
        BadFile: something that is not allowed, or a name that is not given.
    """
    return _value(_tree(formula), givens, formula)


def _value(node, givens, formula):
    def value(part):
        return _value(part, givens, formula)

    match node:
        case ast.Constant(value=int() | float()):
            return node.value
        case ast.Name(id=name) if name in givens:
            return givens[name]
        case ast.BinOp(left, op, right) if type(op) in _OPERATORS:
            return _OPERATORS[type(op)](value(left), value(right))
        case ast.UnaryOp(op, operand) if type(op) in _OPERATORS:
            return _OPERATORS[type(op)](value(operand))
        case ast.Compare(left, [op], [right]) if type(op) in _OPERATORS:
            return _OPERATORS[type(op)](value(left), value(right))
        case ast.BoolOp(ast.And(), parts):
            return all(value(part) for part in parts)
        case ast.BoolOp(ast.Or(), parts):
            return any(value(part) for part in parts)
        case ast.Call(ast.Name(id=name), args, []) if name in FUNCTIONS:
            return FUNCTIONS[name](*(value(part) for part in args))
    part = ast.unparse(node)
    raise BadFile("tasks.formula.part", value=part[:40], formula=formula[:80])
