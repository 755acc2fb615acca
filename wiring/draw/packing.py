"""Several drawings on few sheets: side by side or below each other, in their order."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

from wiring.draw.shift import Box

APART = 12.0  # between two drawings on a sheet [mm]


class Seat(NamedTuple):
    """Where a drawing stands: the sheet, from 0, and its box on it [mm]."""

    sheet: int
    box: Box


def packed(
    sizes: Sequence[tuple[float, float]],
    room: tuple[float, float],
    down: bool,
    anywhere: Collection[int] = (),
) -> tuple[Seat, ...]:
    """A seat for each drawing: on the last sheet that has room for it, else on a new one.

    sizes, room: width and height [mm]; down: below the one before rather than beside it; anywhere:
    drawings, by index, that go on the first sheet with room.
    """
    sheets: list[list[Box]] = []
    seats = []
    for index, (wide, high) in enumerate(sizes):
        order = range(len(sheets)) if index in anywhere else reversed(range(len(sheets)))
        free = ((number, _corner(sheets[number], (wide, high), room, down)) for number in order)
        number, corner = next(((n, c) for n, c in free if c is not None), (len(sheets), (0.0, 0.0)))
        if number == len(sheets):
            sheets.append([])
        box = (*corner, corner[0] + wide, corner[1] + high)
        sheets[number].append(box)
        seats.append(Seat(number, box))
    return tuple(seats)


def _corner(
    taken: Sequence[Box], size: tuple[float, float], room: tuple[float, float], down: bool
) -> tuple[float, float] | None:
    """The first free corner beside or below what stands on a sheet that has room."""
    right = [(box[2] + APART, box[1]) for box in taken]
    below = [(box[0], box[3] + APART) for box in taken]
    for x, y in (*below, *right) if down else (*right, *below):
        box = (x, y, x + size[0], y + size[1])
        if box[2] <= room[0] and box[3] <= room[1] and not any(_meet(box, other) for other in taken):
            return x, y
    return None


def _meet(a: Box, b: Box) -> bool:
    """Whether two boxes are nearer to each other than drawings may stand."""
    return all(a[i] < b[i + 2] + APART - 1e-6 and b[i] < a[i + 2] + APART - 1e-6 for i in (0, 1))
