"""From a circuit to items on their grid, with what the labels need to know."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from wiring.draw.flow import orient
from wiring.draw.gone import removed_circuit, removed_items
from wiring.draw.items import Item, items_of
from wiring.draw.nets import Joined, Wiring, wiring
from wiring.draw.place import blocks, columns, rows
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit


@dataclass(frozen=True, slots=True)
class Facts:
    """What a sheet shows beyond the circuit. ratings, colours: by part name; receiver: its title;
    supply: one line about the supply; state: a settled state to mark."""

    ratings: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    colours: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    receiver: str = "radio receiver"
    supply: str = ""
    state: Settled | None = None


@dataclass(frozen=True, slots=True)
class Placed:
    """Items on their grid, with what the labels need to know."""

    circuit: Circuit
    wiring: Wiring
    items: tuple[Item, ...]
    merged: Mapping[int, int]  # nets joined because they share a side of a terminal
    facts: Facts


def place(circuit: Circuit, facts: Facts, found: Circuit | None = None) -> Placed:
    """Orient, layer and column all items of a circuit. found: the circuit as found; what it has and
    `circuit` has not is placed beside it as removed."""
    seen = wiring(circuit)
    items = items_of(circuit, seen)
    blocks(items)
    orient(items, circuit)
    if found is not None:
        gone = removed_circuit(found, circuit)
        taken, away = removed_items(gone, seen.count)
        items += taken
        seen = _with_removed(seen, away)
        circuit = replace(circuit, parts=(*circuit.parts, *gone.parts), stops=(*circuit.stops, *found.stops))
    merged = _merge_sides(items)
    rows(items)
    columns(items)
    return Placed(circuit, seen, tuple(items), merged, facts)


def _with_removed(seen: Wiring, away: Wiring) -> Wiring:
    """Wire names and points of the removed nets beside those of the circuit."""
    shift = seen.count
    wires = {net + shift: found for net, found in away.wires.items()}
    points = {net + shift: found for net, found in away.points.items()}
    return replace(
        seen,
        wires={**seen.wires, **wires},
        points={**seen.points, **points},
        count=seen.count + away.count,
    )


def _merge_sides(items: list[Item]) -> Mapping[int, int]:
    """Nets on one side of a terminal are one line there; terminals keep one pin a side."""
    joined = Joined()
    for item in items:
        if item.kind == "terminal":
            for side in (item.up, item.down):
                for foot in side:
                    joined.join(side[0].net, foot.net)
    for item in items:
        for side in (item.up, item.down):
            side[:] = [replace(foot, net=_number(joined, foot.net)) for foot in side]
            if item.kind == "terminal":
                del side[1:]
    return {net: _number(joined, net) for item in items for net in item.nets}


def _number(joined: Joined, net: int) -> int:
    found = joined.find(net)
    assert isinstance(found, int)
    return found
