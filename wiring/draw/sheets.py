"""One circuit on one sheet, or on two with references where it is too large to read on one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wiring.draw.circuit_sheet import circuit_layer
from wiring.draw.frame import PAPERS, field_of
from wiring.draw.items import Foot, Item
from wiring.draw.ladder import node_names
from wiring.draw.parts import Layer
from wiring.draw.placed import Placed
from wiring.draw.shift import extent
from wiring.draw.wire_list import list_layer, wire_lines, with_list

READABLE = 0.85  # a sheet is split rather than set smaller than this
WORTH = 1.15  # if that makes both halves this much larger


def circuit_sheets(placed: Placed, symbols: str) -> tuple[tuple[str, Layer], ...]:
    """Named layers, one a sheet: all in one, or the power path and the control circuit apart.

    The list of wires stands where there is room for it, else on a sheet of its own.
    """
    bodies = _circuit(placed, symbols)
    lines = wire_lines(placed)
    for index, (name, layer) in enumerate(bodies):
        scale = max(min(1.0, fit(layer, symbols)), 0.72)
        listed = with_list(layer, lines, _room(symbols), scale)
        if listed is not None:
            return (*bodies[:index], (name, listed), *bodies[index + 1 :])
    return (*bodies, ("wires", list_layer(lines, _room(symbols)[1])))


def _circuit(placed: Placed, symbols: str) -> tuple[tuple[str, Layer], ...]:
    whole = circuit_layer(placed, symbols)
    parts = [block for block in ("power", "control") if any(item.block == block for item in placed.items)]
    if len(parts) < 2 or fit(whole, symbols) >= READABLE:
        return (("circuit", whole),)
    both = _split(placed)
    apart = [circuit_layer(part, symbols) for part in both]
    if min(fit(layer, symbols) for layer in apart) < fit(whole, symbols) * WORTH:
        return (("circuit", whole),)
    return tuple((name, layer) for name, layer in zip(("power", "control"), apart, strict=True))


def _room(symbols: str) -> tuple[float, float]:
    """Width and height of the field on the paper of a symbol set [mm]."""
    left, top, right, bottom = field_of(*PAPERS["a3" if symbols == "iec" else "tabloid"])
    return right - left, bottom - top


def fit(layer: Layer, symbols: str) -> float:
    """The scale at which a layer fills the field of its paper."""
    wide, high = _room(symbols)
    x0, y0, x1, y1 = extent(layer)
    return min(wide / max(x1 - x0, 1.0), high / max(y1 - y0, 1.0))


def _split(placed: Placed) -> tuple[Placed, Placed]:
    """The power block, and everything else, each with references where a net goes on at the other."""
    halves = (
        [item for item in placed.items if item.block == "power"],
        [item for item in placed.items if item.block == "control"],
    )
    gone = [item for item in placed.items if item.gone]
    roomy = min(halves, key=lambda half: max(i.column for i in half) - min(i.column for i in half))
    edge = max(item.column + item.columns for item in roomy)
    first = min((item.column for item in gone), default=0)
    roomy += [replace(item, column=item.column - first + edge) for item in gone]
    nets = [{net for item in half for net in item.nets} for half in halves]
    shared = sorted(nets[0] & nets[1])
    names = node_names(placed)
    made = []
    for index, half in enumerate(halves):
        items = _packed(half)
        for net in shared:
            items = _with_reference(items, net, names.get(net, f"net {net}"), index)
        made.append(replace(placed, items=tuple(items)))
    return made[0], made[1]


def _packed(items: Sequence[Item]) -> list[Item]:
    """Copies of the items with rows and columns counted from 0."""
    top, left = min(item.row for item in items), min(item.column for item in items)
    return [
        replace(item, row=item.row - top, column=item.column - left, up=list(item.up), down=list(item.down))
        for item in items
    ]


def _with_reference(items: list[Item], net: int, name: str, side: int) -> list[Item]:
    """A reference on the net: below what drives it, else above what it feeds."""
    foot = Foot(net, ((f"reference {name} {side + 1}", 0),), name)
    drivers = [item for item in items if any(f.net == net for f in item.down)]
    if drivers:
        row = max(item.row for item in drivers) + 1
        start = min(item.column for item in drivers)
        place = Item(f"reference {name}", "reference", (), [foot], [], row=row, block=items[0].block)
    else:
        fed = [item for item in items if any(f.net == net for f in item.up)]
        row = min(item.row for item in fed) - 1
        start = min(item.column for item in fed)
        if row < 0:
            for item in items:
                item.row += 1
            row = 0
        place = Item(f"reference {name}", "reference", (), [], [foot], row=row, block=items[0].block)
    taken = {c for item in items if item.row == row for c in range(item.column, item.column + item.columns)}
    place.column = next(c for c in range(start, start + len(taken) + 1) if c not in taken)
    return [*items, place]
