"""Line numbers of keys."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from wiring.files import catalog_root
from wiring.files.lines import line_of

TRICKY = '''\
# [not.a.table]
a = "x # [no] = 1"
"quoted key" = 1
'single.quoted' = 2
b.c.d = [
  1, # one
  "]",
  { e = 1, f = [ { g = 2 },
    3 ] },
]
multi = """
[nothing]
x = 1
\\""" still
"""
lit = \'\'\'
[[no]]
y = '1\'\'\'

[t.u] # comment
v = 2026-11-25T09:10:00
[[p]]
[[p.q]]
r = 1
[[p.q]]
r = 2
[[p]]
s = { t.u = 1, "w" = 2 }
[[p.q]]
r = 3
'''


def test_tricky_texts() -> None:
    """Strings, comments, nested lists, inline tables and nested arrays of tables do not lead astray."""
    tomllib.loads(TRICKY)
    lines = line_of(TRICKY)
    expected = {
        "a": 2, "quoted key": 3, "single.quoted": 4, "b.c.d": 5, "b.c.d.0": 6, "b.c.d.1": 7, "b.c.d.2.e": 8,
        "b.c.d.2.f.0.g": 8, "b.c.d.2.f.1": 9, "multi": 11, "lit": 16, "t.u": 20, "t.u.v": 21, "p": 22,
        "p.0": 22, "p.0.q.0.r": 24, "p.0.q.1.r": 26, "p.1": 27, "p.1.s.t.u": 28, "p.1.s.w": 28,
        "p.1.q.0.r": 30,
    }  # fmt: skip
    assert {key: lines.get(key) for key in expected} == expected
    assert "x" not in lines and "nothing" not in lines and "y" not in lines and "no" not in lines


def _paths(data: Any, at: str = "") -> set[str]:
    found = {at} if at else set()
    pairs = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in pairs:
        found |= _paths(value, f"{at}.{key}" if at else str(key))
    return found


@pytest.mark.parametrize("path", sorted(catalog_root().rglob("*.toml")), ids=lambda path: path.stem)
def test_every_key_of_every_file_has_a_line(path: Path) -> None:
    """Each key path of a real file has a line, and the last word of the path stands on it."""
    text = path.read_text("utf-8")
    lines, rows = line_of(text), text.split("\n")
    wanted = {key for key in _paths(tomllib.loads(text)) if not _only_a_prefix(key, lines)}
    assert wanted <= set(lines)
    for key, line in lines.items():
        word = key.rpartition(".")[2]
        assert word.isdigit() or word in rows[line - 1], (key, line)


def _only_a_prefix(key: str, lines: dict[str, int]) -> bool:
    """True for a table that exists only because a table below it does (`[a.b]` without `[a]`)."""
    return key not in lines and any(other.startswith(f"{key}.") for other in lines)
