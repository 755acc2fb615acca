"""The list of wires: which wires one number on the circuit sheet stands for, and from where to where."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.draw.circuit_sheet import wire_names
from wiring.draw.empty import put
from wiring.draw.parts import SMALL, TEXT, Block, Layer, Text
from wiring.draw.placed import Placed
from wiring.draw.shift import extent, joined, moved
from wiring.draw.words import width

HEAD = "Wires"
LINE = 2.9  # base line to base line [mm]
BETWEEN = 4.0  # between columns of the list [mm]
AWAY = 10.0  # between drawing and list [mm]


def wire_lines(placed: Placed) -> tuple[str, ...]:
    """One line for each number that stands for several wires: `W7+2: W7 W10 W24`."""
    found = [f"{label}: {' '.join(wires)}" for label, wires in wire_names(placed).values() if len(wires) > 1]
    return tuple(dict.fromkeys(found))


def wire_block(placed: Placed) -> tuple[Block, ...]:
    """The list for the text writer; () where every number is one wire."""
    lines = wire_lines(placed)
    return (Block(HEAD, lines=lines),) if lines else ()


def with_list(layer: Layer, lines: Sequence[str], room: tuple[float, float], scale: float) -> Layer | None:
    """The layer with the list beside or below it, None where neither fits `room` at `scale`."""
    if not lines:
        return layer
    x0, y0, x1, y1 = extent(layer)
    wide, high = room[0] / scale, room[1] / scale
    beside = list_layer(lines, max(y1 - y0, high * 0.6))
    _, _, across, _ = extent(beside)
    if x1 - x0 + AWAY + across <= wide:
        return joined(layer, moved(beside, x1 + AWAY, y0))
    for tall in (12.0, 24.0, 40.0, 60.0):
        below = list_layer(lines, tall)
        _, _, across, down = extent(below)
        if across <= max(wide, x1 - x0) and y1 - y0 + AWAY + down <= high:
            return joined(layer, moved(below, x0, y1 + AWAY))
    return _inside(layer, lines)


def _inside(layer: Layer, lines: Sequence[str]) -> Layer | None:
    """The list in an empty place of the drawing, None where there is none."""
    x0, y0, x1, y1 = extent(layer)
    heights = (200.0, 60.0, 40.0, 24.0, 12.0)
    tried = (put(layer, list_layer(lines, tall), (x1 - x0, y1 - y0)) for tall in heights)
    return next((found for found in tried if found is not None), None)


def list_layer(lines: Sequence[str], height: float) -> Layer:
    """The list in columns no taller than `height`."""
    per = max(1, int(height / LINE) - 2)
    texts = [Text(0.0, TEXT, HEAD, TEXT, bold=True, role="heading")]
    x = 0.0
    for start in range(0, len(lines), per):
        column = lines[start : start + per]
        texts += [Text(x, TEXT + LINE * (n + 1.4), line, SMALL) for n, line in enumerate(column)]
        x += max(width(line, SMALL) for line in column) + BETWEEN
    return Layer(texts=tuple(texts))
