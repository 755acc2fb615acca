"""Small slips put into a module, one at a time: another comparison, another number, another word."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
}
OPERATIONS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult,
}  # fmt: skip
NAMES = {
    "min": "max", "max": "min", "any": "all", "all": "any", "passed": "failed", "failed": "passed",
}  # fmt: skip
SENSES = {"at-most": "at-least", "at-least": "at-most", "up": "down", "down": "up"}
#: Conditions that have slips of their own.
OTHERWISE = (ast.Compare, ast.BoolOp, ast.UnaryOp)
#: Numbers smaller than this guard against rounding and decide nothing.
TINY = 1e-4

#: The slips that change a limit or a comparison.
LIMITS = frozenset({"comparison", "number", "sense", "name"})


@dataclass(frozen=True)
class Mutant:
    """One slip. at: index of the node in the walk of its module; to: what stands there instead."""

    file: Path
    at: int
    line: int
    kind: str
    to: str
    text: str

    def tree(self) -> ast.Module:
        """The module with the slip in it."""
        tree = ast.parse(self.file.read_text("utf-8"))
        node = next(n for index, n in enumerate(ast.walk(tree)) if index == self.at)
        if self.kind == "dropped":
            tree = _Dropping(node).visit(tree)
        else:
            _apply(node, self.to)
        return ast.fix_missing_locations(tree)


def mutants(file: Path) -> Iterator[Mutant]:
    """Every slip that can be made in a file, in a fixed order."""
    tree = ast.parse(file.read_text("utf-8"))
    left_out = _left_out(tree)
    indices = {id(x) for n in ast.walk(tree) if isinstance(n, ast.Subscript) for x in ast.walk(n.slice)}
    for index, node in enumerate(ast.walk(tree)):
        if id(node) in left_out:
            continue
        for kind, to in _slips(node):
            changed: ast.AST = copy.deepcopy(node)
            if kind == "dropped":
                changed = ast.Pass()
            else:
                _apply(changed, to)
            if kind == "number" and id(node) in indices:
                kind = "index"
            text = f"{_short(node)} -> {_short(changed)}"
            yield Mutant(file, index, getattr(node, "lineno", 0), kind, to, text)


def _short(node: ast.AST) -> str:
    """A node as one line of source; of an `if` the condition only."""
    if isinstance(node, ast.If):
        return f"if {ast.unparse(node.test)}"
    return " ".join(ast.unparse(node).split())


class _Dropping(ast.NodeTransformer):
    """Puts `pass` where a statement stood."""

    def __init__(self, target: ast.AST) -> None:
        self.target = target

    def visit(self, node: ast.AST) -> ast.AST:
        """The node, or `pass` in its place."""
        return ast.Pass() if node is self.target else self.generic_visit(node)


def _left_out(tree: ast.Module) -> set[int]:
    """Nodes without effect on a verdict: docstrings, annotations, decorators, f-string layout."""
    found: set[int] = set()
    for node in ast.walk(tree):
        dropped: list[ast.AST] = []
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            dropped += node.decorator_list
        if isinstance(node, ast.FunctionDef):
            dropped += [x for x in (node.returns,) if x is not None]
            dropped += [a.annotation for a in ast.walk(node.args) if isinstance(a, ast.arg) and a.annotation]
        if isinstance(node, ast.AnnAssign):
            dropped.append(node.annotation)
        if isinstance(node, ast.FormattedValue) and node.format_spec is not None:
            dropped.append(node.format_spec)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            dropped.append(node)
        for one in dropped:
            found |= {id(x) for x in ast.walk(one)}
    return found


def _slips(node: ast.AST) -> Iterator[tuple[str, str]]:
    """Kind and name of each slip that fits a node."""
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        yield from (("comparison", to.__name__) for to in COMPARISONS[type(node.ops[0])])
    elif isinstance(node, ast.BinOp) and type(node.op) in OPERATIONS:
        if not _words(node.left) and not _words(node.right):
            yield "operation", OPERATIONS[type(node.op)].__name__
    elif isinstance(node, ast.BoolOp):
        yield "logic", "Or" if isinstance(node.op, ast.And) else "And"
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "logic", "drop"
    elif isinstance(node, ast.Name) and node.id in NAMES:
        yield "name", NAMES[node.id]
    elif isinstance(node, ast.If | ast.IfExp) and not isinstance(node.test, OTHERWISE):
        yield from (("branch", to) for to in ("True", "False"))
    elif isinstance(node, ast.AugAssign | ast.Continue | ast.Raise | ast.Expr):
        if not isinstance(node, ast.Expr) or isinstance(node.value, ast.Call):
            yield "dropped", ""
    elif isinstance(node, ast.Constant):
        yield from _constant(node.value)


def _constant(value: object) -> Iterator[tuple[str, str]]:
    if isinstance(value, bool):
        yield "truth", str(not value)
    elif isinstance(value, int):
        yield "number", str(value + 1)
    elif isinstance(value, float) and abs(value) >= TINY:
        yield "number", str(value * 1.1)
    elif isinstance(value, str) and value in SENSES:
        yield "sense", SENSES[value]


def _words(node: ast.AST) -> bool:
    """Whether something is text or a sequence, for which only `+` has a meaning."""
    if isinstance(node, ast.BinOp):
        return _words(node.left) or _words(node.right)
    return isinstance(node, ast.JoinedStr | ast.List | ast.Tuple) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _apply(node: ast.AST, to: str) -> None:
    if isinstance(node, ast.If | ast.IfExp):
        node.test = ast.Constant(to == "True")
    elif isinstance(node, ast.Compare):
        node.ops = [getattr(ast, to)()]
    elif isinstance(node, ast.BinOp | ast.BoolOp):
        node.op = getattr(ast, to)()
    elif isinstance(node, ast.UnaryOp):
        node.op, node.operand = ast.Not(), ast.UnaryOp(ast.Not(), node.operand)
    elif isinstance(node, ast.Name):
        node.id = to
    elif isinstance(node, ast.Constant):
        kind = type(node.value)
        node.value = to == "True" if kind is bool else kind(to)
