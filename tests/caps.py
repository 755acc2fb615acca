"""Size caps and the fixed top level: `python -m tests.caps` exits 1 and names each breach."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

FILE_LINES = 400
FUNCTION_LINES = 50
TOP = {
    "pyproject.toml",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "uv.lock",
    "wiring",
    "tui",
    "tests",
    "catalogs",
}


def breaches(root: Path) -> list[str]:
    """Every file over the line cap, every function over its cap, every stray top-level entry."""
    found = []
    tracked = subprocess.run(["git", "ls-files"], cwd=root, capture_output=True, text=True, check=True)
    names = tracked.stdout.split("\n")
    for top in sorted({name.split("/")[0] for name in names if name}):
        if top not in TOP and not top.startswith("."):
            found.append(f"{top}: not one of the fixed top-level entries")
    for name in names:
        if not name.endswith(".py") or not (root / name).exists():
            continue
        text = (root / name).read_text(encoding="utf-8")
        lines = text.count("\n") + 1
        if lines > FILE_LINES + 1:
            found.append(f"{name}: {lines} lines, cap {FILE_LINES}")
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                size = (node.end_lineno or node.lineno) - node.lineno + 1
                if size > FUNCTION_LINES:
                    found.append(f"{name}:{node.lineno}: {node.name} has {size} lines, cap {FUNCTION_LINES}")
    return found


def main() -> int:
    found = breaches(Path(__file__).resolve().parent.parent)
    print("\n".join(found) or "caps kept")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
