"""What the conversion takes away, as a block of its own: drawn grey, its ends named, joined to nothing."""

from __future__ import annotations

from dataclasses import replace

from wiring.draw.flow import orient_from
from wiring.draw.items import Item, items_of
from wiring.draw.nets import Wiring, is_run, wiring
from wiring.model.circuit import Circuit

FEEDING = ("feed", "common", "line-1", "line-2", "line-3", "stop-out", "stop-out-2", "neutral")


def removed_circuit(before: Circuit, after: Circuit) -> Circuit:
    """Parts of the circuit as found that the converted one no longer has; shared points become terminals."""
    kept = {part.name for part in after.parts}
    parts = tuple(part for part in before.parts if part.name not in kept)
    used = {pin for part in parts for pin in part.pins}
    staying = {point.name for point in after.points}
    points = tuple(
        replace(point, terminal=point.terminal or point.name in staying)
        for point in before.points
        if point.name in used
    )
    return replace(before, points=points, parts=parts, earth="")


def removed_items(circuit: Circuit, offset: int) -> tuple[list[Item], Wiring]:
    """Items of the removed parts on nets numbered from `offset`, turned so that they read from the feed."""
    seen = wiring(circuit, keep_spares=True)
    items = items_of(circuit, seen)
    start = {
        net
        for item in items
        if item.part and is_run(item.part) and item.part.role in FEEDING
        for net in item.nets[:1]
    }
    for item in items:
        item.block, item.gone = "gone", True
    orient_from(items, start)
    for item in items:
        item.name = f"removed {item.name}"
        item.up = [replace(foot, net=foot.net + offset) for foot in item.up]
        item.down = [replace(foot, net=foot.net + offset) for foot in item.down]
    return items, seen
