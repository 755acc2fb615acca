"""One circuit on as few sheets as it can be read on, its groups side by side or below each other."""

from __future__ import annotations

from dataclasses import replace

from wiring.draw.circuit_sheet import circuit_layer, item_sizes, line_widths
from wiring.draw.divide import divided
from wiring.draw.frame import PAPERS, field_of
from wiring.draw.packing import packed
from wiring.draw.parts import TEXT, Layer, Text
from wiring.draw.placed import Placed
from wiring.draw.shift import Box, extent, joined, moved
from wiring.draw.wire_list import list_layer, wire_lines, with_list

READABLE = 1.0  # a circuit is divided rather than set smaller than this
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
    drawn: dict[tuple[object, ...], Layer] = {}  # what was drawn to see whether it fits is not drawn again

    def layer_of(part: Placed) -> Layer:
        key = tuple((item.name, item.others) for item in part.items)
        if key not in drawn:
            drawn[key] = circuit_layer(part, symbols, widths)
        return drawn[key]

    def fits(part: Placed) -> bool:
        return fit(layer_of(part), (wide, high - HEAD)) >= READABLE

    parts = divided(placed, item_sizes(placed, symbols), field, fits)
    return [(NAMES[part.items[0].block], layer_of(part)) for part in parts]


def _packed(
    groups: list[tuple[str, Layer]], symbols: str, room: tuple[float, float]
) -> tuple[tuple[str, Layer], ...]:
    """The groups on sheets, each on the last one that has room, named in the order they then have."""
    if len(groups) == 1:
        return tuple(groups)
    kinds = [kind for kind, _ in groups]
    sizes = [(wide, high + HEAD) for wide, high in (_size(layer) for _, layer in groups)]
    away = {index for index, kind in enumerate(kinds) if kind == NAMES["gone"]}
    seats = packed(sizes, room, symbols == "us", away)
    count = dict.fromkeys(kinds, 0)
    found = []
    for sheet in range(1 + max(seat.sheet for seat in seats)):
        titles, layers = [], []
        for (kind, layer), seat in zip(groups, seats, strict=True):
            if seat.sheet == sheet:
                count[kind] += 1
                titles.append(kind + (f" {count[kind]}" if kinds.count(kind) > 1 else ""))
                layers.append(_headed(titles[-1], layer, seat.box))
        found.append((", ".join(titles), joined(*layers)))
    return tuple(found)


def _headed(name: str, layer: Layer, box: Box) -> Layer:
    """A group in its place, under its name."""
    x0, y0, _, _ = extent(layer)
    head = Text(box[0], box[1] + TEXT, name[0].upper() + name[1:], TEXT, bold=True, role="heading")
    body = moved(layer, box[0] - x0, box[1] + HEAD - y0)
    return replace(body, texts=(*body.texts, head))
