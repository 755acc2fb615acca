"""Column widths from what stands in the columns, so that no name is cut and prose gets the room."""

from __future__ import annotations

import math

from wiring.sheets.sheet import Table

PORTRAIT, LANDSCAPE = 112.0, 164.0  # characters of the largest size across a page
SIZES = (8.0, 7.0, 6.0)  # points; the largest that fits is taken
CARD = 18.0  # points, on a card that is read from a distance
ROOM = 2.6  # of a cell's two sides, in characters
WORD = 30  # longest word kept whole
SHORT = 11  # cells up to this stay on one line: a number with its unit
BLANK = 34  # characters left for a hand to write in


def widths(table: Table, landscape: bool, card: bool = False) -> tuple[list[float], float]:
    """Share of each column, and the type size in points."""
    across = LANDSCAPE if landscape else PORTRAIT
    needs = [_need(table, i) for i in range(len(table.columns))]
    fits = [s for s in SIZES if sum(needs) <= across * SIZES[0] / s]
    size = CARD if card else (fits[0] if fits else SIZES[-1])
    return _poured([_weight(table, i) for i in range(len(needs))], needs, across * SIZES[0] / size), size


def _need(table: Table, column: int) -> float:
    """The longest word that stays whole; bold heads are wider."""
    head = max((len(word) * 1.12 for word in table.columns[column].split()), default=1.0)
    cells = (len(piece) for row in table.rows for piece in pieces(row[column]))
    return min(WORD, max(head, max(cells, default=1))) + ROOM


def pieces(cell: str) -> list[str]:
    """What must not be broken: the whole of a short cell, else its words."""
    return [cell] if len(cell) <= SHORT else cell.split()


def _weight(table: Table, column: int) -> float:
    """How much text a column holds: long cells count more than many short ones."""
    lengths = [len(row[column]) for row in table.rows]
    filled = [n for n in lengths if n]
    if lengths and not filled:
        return BLANK
    if table.columns[column] in table.written and len(filled) < len(lengths):
        return max(BLANK, *filled)
    share = math.sqrt(len(filled) / len(lengths)) if filled else 0.0  # a column with few entries gets less
    return (math.sqrt(sum(n * n for n in filled) / len(filled)) * share if filled else 1.0) + ROOM


def _poured(weights: list[float], needs: list[float], room: float) -> list[float]:
    """Room shared by weight, no column below its need."""
    fixed: set[int] = set()
    while True:
        free = room - sum(needs[i] for i in fixed)
        total = sum(w for i, w in enumerate(weights) if i not in fixed) or 1.0
        short = {i for i, w in enumerate(weights) if i not in fixed and free * w / total < needs[i]}
        if not short or len(fixed) == len(needs):
            break
        fixed |= short
    return [round(needs[i] if i in fixed else max(free * w / total, 1.0), 2) for i, w in enumerate(weights)]
