"""One circuit on as few sheets as it can be read on, its groups side by side or below each other."""

from __future__ import annotations

from dataclasses import replace

from wiring.draw.circuit_sheet import circuit_layer, item_sizes, line_widths
from wiring.draw.divide import divided
from wiring.draw.frame import PAPERS, field_of
from wiring.draw.parts import TEXT, Layer, Text
from wiring.draw.placed import Placed
from wiring.draw.shift import Box, extent, joined, moved
from wiring.draw.wire_list import list_layer, wire_lines, with_list

READABLE = 1.0  # a circuit is divided rather than set smaller than this
APART = 12.0  # between two groups on a sheet [mm]
HEAD = 6.0  # room for the name of a group [mm]
NAMES = {"power": "power", "control": "control", "gone": "removed"}


def circuit_sheets(placed: Placed, symbols: str, paper: str = "") -> tuple[tuple[str, Layer], ...]:
    """Named layers, one a sheet: all in one, or in groups that refer to each other.

    The list of wires stands where there is room for it, else on a sheet of its own.
    paper: a name of PAPERS, "" for the one that goes with the symbols.
    """
    room = room_of(paper_of(symbols, paper))
    bodies = _packed(_groups(placed, symbols, room), symbols, room)
    lines = wire_lines(placed)
    for index, (name, layer) in enumerate(bodies):
        listed = with_list(layer, lines, room, max(min(1.0, fit(layer, room)), 0.72))
        if listed is not None:
            return (*bodies[:index], (name, listed), *bodies[index + 1 :])
    return (*bodies, ("wires", list_layer(lines, room[1])))


def paper_of(symbols: str, paper: str = "") -> tuple[float, float]:
    """Width and height of a paper [mm]; without a name the one that goes with the symbols."""
    return PAPERS[paper or ("a3" if symbols == "iec" else "tabloid")]


def room_of(size: tuple[float, float]) -> tuple[float, float]:
    """Width and height of the field for the drawing on a sheet of this size [mm]."""
    left, top, right, bottom = field_of(*size)
    return right - left, bottom - top


def fit(layer: Layer, room: tuple[float, float]) -> float:
    """The scale at which a layer fills its room."""
    wide, high = _size(layer)
    return min(room[0] / max(wide, 1.0), room[1] / max(high, 1.0))


def _size(layer: Layer) -> tuple[float, float]:
    x0, y0, x1, y1 = extent(layer)
    return x1 - x0, y1 - y0


def _groups(placed: Placed, symbols: str, room: tuple[float, float]) -> list[tuple[str, Layer]]:
    """The circuit in one piece where it is readable so, else in pieces that are."""
    widths = line_widths(placed)
    whole = circuit_layer(placed, symbols, widths)
    if fit(whole, room) >= READABLE:
        return [("circuit", whole)]
    wide, high = room
    field = (high, wide) if symbols == "iec" else (wide, high)

    def fits(part: Placed) -> bool:
        return fit(circuit_layer(part, symbols, widths), (wide, high - HEAD)) >= READABLE

    parts = divided(placed, item_sizes(placed, symbols), field, fits)
    found: list[tuple[str, Layer]] = []
    for part in parts:
        block = part.items[0].block
        count = sum(other.items[0].block == block for other in parts)
        nth = 1 + sum(name.startswith(NAMES[block]) for name, _ in found)
        name = NAMES[block] + (f" {nth}" if count > 1 else "")
        found.append((name, circuit_layer(part, symbols, widths)))
    return found


def _packed(
    groups: list[tuple[str, Layer]], symbols: str, room: tuple[float, float]
) -> tuple[tuple[str, Layer], ...]:
    """The groups on sheets, in their order; several on one where there is room, what is removed on any."""
    if len(groups) == 1:
        return tuple(groups)
    sheets: list[list[tuple[str, Layer, Box]]] = []
    for name, layer in groups:
        body = _headed(name, layer)
        size = _size(body)
        able = sheets if name.startswith(NAMES["gone"]) else sheets[-1:]
        home, corner = next(
            ((sheet, spot) for sheet in able if (spot := _spot(sheet, size, symbols, room))),
            (None, (0.0, 0.0)),
        )
        if home is None:
            sheets.append(home := [])
        x0, y0, _, _ = extent(body)
        box = (*corner, corner[0] + size[0], corner[1] + size[1])
        home.append((name, moved(body, corner[0] - x0, corner[1] - y0), box))
    return tuple(
        (", ".join(name for name, _, _ in sheet), joined(*(layer for _, layer, _ in sheet)))
        for sheet in sheets
    )


def _headed(name: str, layer: Layer) -> Layer:
    """A group under its name."""
    x0, y0, _, _ = extent(layer)
    head = Text(x0, y0 - HEAD + TEXT, name[0].upper() + name[1:], TEXT, bold=True, role="heading")
    return replace(layer, texts=(*layer.texts, head))


def _spot(
    sheet: list[tuple[str, Layer, Box]], size: tuple[float, float], symbols: str, room: tuple[float, float]
) -> tuple[float, float] | None:
    """The first free corner that has room, rungs of one kind going on in their own direction."""
    right = [(box[2] + APART, box[1]) for _, _, box in sheet]
    below = [(box[0], box[3] + APART) for _, _, box in sheet]
    for x, y in (*right, *below) if symbols == "iec" else (*below, *right):
        box = (x, y, x + size[0], y + size[1])
        if box[2] <= room[0] and box[3] <= room[1] and not any(_meet(box, other) for _, _, other in sheet):
            return x, y
    return None


def _meet(a: Box, b: Box) -> bool:
    """Whether two boxes are nearer to each other than groups may stand."""
    return all(a[i] < b[i + 2] + APART - 1e-6 and b[i] < a[i + 2] + APART - 1e-6 for i in (0, 1))
