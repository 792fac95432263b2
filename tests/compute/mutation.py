"""Small wrongs done to a module's source, one at a time: what a slip of the pen would look like."""

import ast
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass

ARITHMETIC = {
    ast.Add: (ast.Sub,),
    ast.Sub: (ast.Add,),
    ast.Mult: (ast.Div,),
    ast.Div: (ast.Mult,),
    ast.FloorDiv: (ast.Mult,),
    ast.Mod: (ast.Mult,),
    ast.Pow: (ast.Mult,),
    ast.BitXor: (ast.BitAnd, ast.BitOr),
}
COMPARISON = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
LOGIC = {ast.And: (ast.Or,), ast.Or: (ast.And,)}
NAMES = {"min": "max", "max": "min", "sin": "cos", "cos": "sin", "any": "all", "all": "any"}
WORDING = ast.JoinedStr


@dataclass(frozen=True)
class Mutant:
    """One wrong, and the module with it."""

    line: int
    text: str  # the line as it stands in the source
    wrong: str  # `a + b -> a - b`
    tree: ast.Module


def mutants(source: str) -> Iterator[Mutant]:
    """Every wrong that can be done to it, in the order of its lines."""
    tree = ast.parse(source)
    lines = source.splitlines()
    for place, node in enumerate(_nodes(tree)):
        for other in _wrongs(node):
            broken = deepcopy(tree)
            _replace(broken, list(_nodes(broken))[place], other)
            wrong = f"{ast.unparse(node)} -> {ast.unparse(other)}"
            yield Mutant(node.lineno, lines[node.lineno - 1].strip(), wrong, broken)


def _nodes(node: ast.AST) -> Iterator[ast.expr]:
    """The expressions that compute something: no annotations, decorators, wording, or `zip(strict=True)`."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if not isinstance(child, ast.AST) or isinstance(child, WORDING) or _is_guard(child):
                continue
            if isinstance(child, ast.expr):
                yield child
            yield from _nodes(child)


def _is_guard(node: ast.AST) -> bool:
    return isinstance(node, ast.keyword) and node.arg == "strict"


def _wrongs(node: ast.expr) -> Iterator[ast.expr]:
    match node:
        case ast.BinOp(left, op, right) if not _is_type(node):
            yield from (ast.BinOp(left, other(), right) for other in ARITHMETIC.get(type(op), ()))
        case ast.Compare(left, ops, comparators):
            for n, op in enumerate(ops):
                for other in COMPARISON[type(op)]:
                    yield ast.Compare(left, [*ops[:n], other(), *ops[n + 1 :]], comparators)
        case ast.BoolOp(op, values):
            yield from (ast.BoolOp(other(), values) for other in LOGIC[type(op)])
        case ast.UnaryOp(ast.USub() | ast.Not(), operand):
            yield operand
        case ast.IfExp(test, body, orelse):
            yield ast.IfExp(test, orelse, body)
        case ast.Constant(bool() as value):
            yield ast.Constant(not value)
        case ast.Constant(int() as value):
            yield ast.Constant(value + 1)
        case ast.Constant(float() as value):
            yield ast.Constant(value * 1.1 if value else 1.0)
        case ast.Name(id, ast.Load()) if id in NAMES:
            yield ast.Name(NAMES[id], ast.Load())


def _is_type(node: ast.BinOp) -> bool:
    return isinstance(node.op, ast.BitOr)


def _replace(tree: ast.Module, old: ast.expr, new: ast.expr) -> None:
    for parent in ast.walk(tree):
        for name, value in ast.iter_fields(parent):
            if value is old:
                setattr(parent, name, new)
            elif isinstance(value, list) and any(child is old for child in value):
                setattr(parent, name, [new if child is old else child for child in value])
    ast.fix_missing_locations(tree)
