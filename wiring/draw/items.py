"""What stands on a circuit sheet: parts, terminals and supply blocks, each with pins on nets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from wiring.draw.nets import Joined, Pad, Wiring
from wiring.model.circuit import Circuit, Part

# Pins of a part with more than two, as (name, number); the first list stands on the supply side.
MANY = {
    "motor3": ((("U", 1), ("V", 2), ("W", 3)), ()),
    "transformer": ((("p1", 1), ("p2", 2)), (("s1", 3), ("s2", 4))),
    "rectifier": ((("ac1", 1), ("ac2", 2)), (("plus", 3), ("minus", 4))),
}


@dataclass(frozen=True, slots=True)
class Foot:
    """A pin of an item: its net, what sits there, and the print beside it."""

    net: int
    refs: tuple[tuple[str, int], ...]
    label: str = ""


@dataclass
class Item:
    """One thing to place. up, down: pins on the supply side and on the far side.

    bridge: a two-pin part between nets of one height, both pins on the supply side.
    row, column, block are filled by the placing passes.
    """

    name: str
    kind: str  # part | terminal | supply
    parts: tuple[Part, ...]
    up: list[Foot] = field(default_factory=list)
    down: list[Foot] = field(default_factory=list)
    bridge: bool = False
    block: str = "power"
    row: int = -1
    column: int = -1
    mates: str = ""  # name of the pole group it belongs to, "" for none
    gone: bool = False  # as found, removed
    seats: tuple[tuple[int, ...], tuple[int, ...]] | None = None  # columns of up and down, if not in a row
    span: int = 0  # columns, if more than the pins need
    point: str = ""  # of a terminal; a part may carry the same name
    earth: bool = False  # the terminal that is the protective earth
    others: tuple[str, ...] = ()  # of a reference: the references it points at

    @property
    def part(self) -> Part | None:
        return self.parts[0] if self.parts else None

    @property
    def columns(self) -> int:
        return max(len(self.up), len(self.down), self.span, 1)

    @property
    def nets(self) -> tuple[int, ...]:
        return tuple(foot.net for foot in (*self.up, *self.down))


def local(point: str) -> str:
    """The print of a terminal: what stands behind the last colon or dot of a point name."""
    tail = point.rpartition(":")[2]
    return tail.rpartition(".")[2] or tail


def items_of(circuit: Circuit, wiring: Wiring) -> list[Item]:
    """All items, supply blocks first, then parts in their order, then terminals."""
    blocks, used = _supplies(circuit, wiring)
    found = list(blocks)
    for part in wiring.drawn:
        if part.name not in used:
            found.append(_part_item(part, wiring))
    for point in wiring.terminals:
        feet = [Foot(net, ((point, 0),)) for net in wiring.terminal_nets[point]]
        found.append(Item(f"at {point}", "terminal", (), feet, [], point=point, earth=point == circuit.earth))
    return found


def _part_item(part: Part, wiring: Wiring) -> Item:
    def foot(number: int) -> Foot:
        return Foot(wiring.net[Pad(part.name, number)], ((part.name, number),), local(part.pins[number - 1]))

    if part.kind in MANY:
        top, bottom = MANY[part.kind]
        return Item(part.name, "part", (part,), [foot(n) for _, n in top], [foot(n) for _, n in bottom])
    return Item(part.name, "part", (part,), [foot(1)], [foot(2)])


def _supplies(circuit: Circuit, wiring: Wiring) -> tuple[list[Item], set[str]]:
    """Sources that share a net, with the bonds that hang on them, as one block each."""
    sources = [part for part in wiring.drawn if part.kind == "source"]
    joined = Joined()
    for part in sources:
        joined.join(_net(wiring, part, 1), _net(wiring, part, 2))
    bonds = [part for part in wiring.drawn if part.kind == "wire" and part.role == "bond"]
    groups: dict[object, list[Part]] = defaultdict(list)
    for part in sources:
        groups[joined.find(_net(wiring, part, 1))].append(part)
    for bond in bonds:
        for number in (1, 2):
            home = joined.find(_net(wiring, bond, number))
            if home in groups:
                groups[home].append(bond)
                break
    blocks = [_block(index, tuple(parts), wiring) for index, parts in enumerate(groups.values())]
    return blocks, {part.name for block in blocks for part in block.parts}


def _net(wiring: Wiring, part: Part, number: int) -> int:
    return wiring.net[Pad(part.name, number)]


def _block(index: int, parts: tuple[Part, ...], wiring: Wiring) -> Item:
    refs: dict[str, list[tuple[str, int]]] = defaultdict(list)
    nets: dict[str, int] = {}
    pins = [(part, number) for number in (1, 2) for part in parts if part.kind == "source"]
    pins += [(part, number) for part in parts if part.kind != "source" for number in (1, 2)]
    for part, number in pins:
        point = part.pins[number - 1]
        nets[point] = _net(wiring, part, number)
        refs[point].append((part.name, number))
    feet = [Foot(nets[point], tuple(found), local(point)) for point, found in refs.items()]
    return Item(f"supply {index + 1}", "supply", parts, [], feet)


def item_nets(items: list[Item]) -> Mapping[int, list[Item]]:
    """Net to the items on it, each once."""
    found: dict[int, list[Item]] = defaultdict(list)
    for item in items:
        for net in dict.fromkeys(item.nets):
            found[net].append(item)
    return found
