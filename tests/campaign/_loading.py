"""A slip into a module that is loaded anew, or into its functions where it is loaded already."""

from __future__ import annotations

import ast
import functools
import gc
import importlib.abc
import importlib.util
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType, FunctionType, ModuleType

from tests.campaign._mutants import Mutant

ROOT = Path(__file__).parents[2]
#: Code objects that never stand alone as a function.
INNER = frozenset({"<genexpr>", "<listcomp>", "<setcomp>", "<dictcomp>", "<lambda>"})


@dataclass(frozen=True)
class Place:
    """Where a slip sits. lines: those of its statement; in_function: runs only when that is called."""

    lines: range
    in_function: bool


@functools.cache
def _parsed(file: Path) -> tuple[list[ast.AST], dict[ast.AST, ast.AST]]:
    """The nodes of a file in the order of the walk, and the parent of each."""
    nodes = list(ast.walk(ast.parse(file.read_text("utf-8"))))
    return nodes, {child: n for n in nodes for child in ast.iter_child_nodes(n)}


def place(mutant: Mutant) -> Place:
    """Where a slip sits in its file."""
    nodes, parents = _parsed(mutant.file)
    node = nodes[mutant.at]
    shown = node.test if isinstance(node, ast.If) else node
    lines, inside, seen = _span(shown), False, False
    while node in parents:
        parent = parents[node]
        if not seen and isinstance(node, ast.stmt):
            seen = True
            lines = _header(node) if node is not nodes[mutant.at] else lines
        if isinstance(parent, ast.FunctionDef):
            inside = node in parent.body
        node = parent
    return Place(lines, inside)


def _header(node: ast.stmt) -> range:
    """The lines of a statement, of one with a body those before it: constants have no lines of their own."""
    body = getattr(node, "body", None)
    return range(node.lineno, max(node.lineno + 1, body[0].lineno)) if body else _span(node)


def _span(node: ast.AST) -> range:
    first = getattr(node, "lineno", 0)
    return range(first, (getattr(node, "end_lineno", None) or first) + 1)


# -- into loaded functions ---------------------------------------------------------------------


def functions_under(folder: Path) -> dict[str, list[FunctionType]]:
    """Every function there is whose code comes from a folder, by file."""
    found: dict[str, list[FunctionType]] = {}
    for one in gc.get_objects():
        if isinstance(one, FunctionType) and one.__code__.co_filename.startswith(f"{folder}/"):
            found.setdefault(one.__code__.co_filename, []).append(one)
    return found


def put_into(functions: Sequence[FunctionType], mutant: Mutant) -> int:
    """Give the functions of a file the code with the slip. Returns how many there were."""
    slipped = dict(_codes(compile(mutant.tree(), str(mutant.file), "exec")))
    changed = 0
    for function in functions:
        code = slipped.get((function.__code__.co_qualname, function.__code__.co_firstlineno))
        if code is not None:
            function.__code__ = code
            changed += 1
    return changed


def _codes(code: CodeType) -> Iterator[tuple[tuple[str, int], CodeType]]:
    for const in code.co_consts:
        if isinstance(const, CodeType):
            if const.co_name not in INNER:
                yield (const.co_qualname, const.co_firstlineno), const
            yield from _codes(const)


# -- into a module before it is loaded ---------------------------------------------------------


@dataclass
class Slipped(importlib.abc.MetaPathFinder):
    """Finds one module with a slip in it, and leaves the others alone."""

    mutant: Mutant

    def find_spec(
        self, name: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """The spec of the one module, None for any other."""
        parts = self.mutant.file.relative_to(ROOT).with_suffix("").parts
        if name != ".".join(parts[:-1] if parts[-1] == "__init__" else parts):
            return None
        loader = SlippedLoader(name, str(self.mutant.file), self.mutant)
        return importlib.util.spec_from_file_location(name, self.mutant.file, loader=loader)


class SlippedLoader(SourceFileLoader):
    """Loads a module from its tree with the slip."""

    def __init__(self, name: str, path: str, mutant: Mutant) -> None:
        super().__init__(name, path)
        self.mutant = mutant

    def get_code(self, fullname: str) -> CodeType:
        """The code of the module with the slip."""
        return compile(self.mutant.tree(), str(self.mutant.file), "exec")  # type: ignore[no-any-return]
