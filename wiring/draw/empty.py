"""Empty places of a drawing: where a list can stand without touching anything."""

from __future__ import annotations

from wiring.draw.parts import Layer
from wiring.draw.shift import boxes, extent, joined, moved

CELL = 5.0  # of the grid that looks for an empty place [mm]


def put(layer: Layer, body: Layer, room: tuple[float, float], low: bool = True) -> Layer | None:
    """The layer with the body in its lowest (or highest) empty place inside `room`, None without one.

    room: width and height from the layer's own upper left corner [mm].
    """
    left, top, _, _ = extent(layer)
    x0, y0, x1, y1 = extent(body)
    columns, rows = int(room[0] / CELL), int(room[1] / CELL)
    taken = _taken(layer, (left, top), columns, rows)
    wide, high = int((x1 - x0) / CELL) + 3, int((y1 - y0) / CELL) + 3  # a free cell on every side
    places = range(rows - high + 1)
    for row in reversed(places) if low else places:
        for column in range(columns - wide + 1):
            a, b = taken[row + high][column + wide], taken[row][column]
            if a - taken[row][column + wide] - taken[row + high][column] + b == 0:
                x, y = left + (column + 1) * CELL, top + (row + 1) * CELL
                return joined(layer, moved(body, x - x0, y - y0))
    return None


def _taken(layer: Layer, corner: tuple[float, float], columns: int, rows: int) -> list[list[int]]:
    """For each cell, how many filled cells lie left of it and above."""
    left, top = corner
    taken = [[0] * (columns + 1) for _ in range(rows + 1)]
    for x0, y0, x1, y1 in boxes(layer):
        for row in range(int((y0 - top) / CELL), min(rows, int((y1 - top) / CELL) + 1)):
            for column in range(int((x0 - left) / CELL), min(columns, int((x1 - left) / CELL) + 1)):
                taken[row + 1][column + 1] = 1
    for row in range(1, rows + 1):
        for column in range(1, columns + 1):
            taken[row][column] += taken[row - 1][column] + taken[row][column - 1] - taken[row - 1][column - 1]
    return taken
