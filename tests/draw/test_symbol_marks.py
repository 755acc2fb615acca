"""Each symbol is made of the lines that are known of it, source or "memory" beside each."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from tests.draw.made import CATALOG

MARKS: dict[str, dict[str, dict[str, Any]]] = tomllib.loads(
    (Path(__file__).parent / "symbol_marks.toml").read_text("utf-8")
)
ALL = [(style, id) for style, rows in MARKS.items() for id in rows]
KINDS = {
    "L": "lines", "W": "wide", "D": "dashes", "P": "polygons", "R": "boxes", "DR": "boxes", "RF": "filled",
    "C": "circles", "EL": "ellipses", "F": "dots", "A": "arcs",
}  # fmt: skip
SAID = {"basis", "source", "letters"}


def test_every_symbol_has_its_marks_listed() -> None:
    """No symbol of the tables is drawn without a line here, and none is listed that is not drawn."""
    for style, rows in MARKS.items():
        assert set(rows) == set(CATALOG.tables[f"symbols-{style}"].rows)


@pytest.mark.parametrize(("style", "id"), ALL)
def test_a_symbol_is_made_of_what_is_known_of_it(style: str, id: str) -> None:
    """Lines, circles, boxes, arcs and letters, each so many."""
    marks = MARKS[style][id]
    assert marks["source"] and marks["basis"] in ("read", "derived", "memory", "own")
    prims = [p.split(None, 3) for p in str(CATALOG.tables[f"symbols-{style}"].rows[id]["prims"]).split(";")]
    letters = sorted(p[3] for p in prims if p[0] == "T")
    drawn = Counter(KINDS[p[0]] for p in prims if p[0] != "T")
    assert letters == marks.get("letters", [])
    assert drawn == {kind: count for kind, count in marks.items() if kind not in SAID}
