"""Column widths from what stands in the columns, so that no name is cut and prose gets the room."""

from __future__ import annotations

from wiring.sheets.sheet import Table

PORTRAIT, LANDSCAPE = 112.0, 164.0  # characters of the larger size across a page
SIZES = (8.0, 7.0, 6.0)  # points, largest that fits is taken
ROOM = 2.6  # of a cell's two sides, in characters
WORD, PROSE = 30, 64  # longest word kept whole; cells longer than this wrap


def widths(table: Table, landscape: bool) -> tuple[list[float], float]:
    """Share of each column, and the type size in points."""
    across = LANDSCAPE if landscape else PORTRAIT
    needs = [_need(table, i) for i in range(len(table.columns))]
    wants = [_want(table, i) for i in range(len(table.columns))]
    size = next((s for s in SIZES if sum(needs) <= across * SIZES[0] / s), SIZES[-1])
    room = across * SIZES[0] / size
    spare = max(0.0, room - sum(needs))
    longing = sum(w - n for w, n in zip(wants, needs, strict=True))
    share = min(1.0, spare / longing) if longing else 0.0
    return [round(n + (w - n) * share, 2) for n, w in zip(needs, wants, strict=True)], size


def _cells(table: Table, column: int) -> list[str]:
    # bold heads are a tenth wider
    return [table.columns[column] + "m" * (len(table.columns[column]) // 8), *(r[column] for r in table.rows)]


def _need(table: Table, column: int) -> float:
    words = [word for cell in _cells(table, column) for word in cell.split()]
    return min(WORD, max((len(word) for word in words), default=1)) + ROOM


def _want(table: Table, column: int) -> float:
    return max(_need(table, column), min(PROSE, max(len(c) for c in _cells(table, column))) + ROOM)
