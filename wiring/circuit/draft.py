"""A circuit while it is being put together: points and parts by name, before they are frozen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Literal, cast

from wiring.circuit.names import Namer, owner_of
from wiring.model.circuit import Part, Point, Removed
from wiring.model.entry import EntryPart, Netlist
from wiring.model.value import Value

Zone = Literal["supply", "hoist", "cord", "handset", "receiver", "device", "cable"]
Cause = Callable[[str], str]  # local cause of a contact ("coil:K1") to its full name


@dataclass
class Draft:
    """What has been built so far. Only the functions of this room write into it."""

    points: dict[str, Point] = field(default_factory=dict)
    parts: dict[str, Part] = field(default_factory=dict)
    aliases: dict[str, str] = field(default_factory=dict)
    removed: list[Removed] = field(default_factory=list)

    def at(self, name: str) -> str:
        """The point that a name means: itself, or the point it is another name of."""
        return self.aliases.get(name, name)

    def point(self, name: str, zone: Zone, terminal: bool = True, label: str = "") -> None:
        """Add a point; one that is already there stays as it is."""
        if name not in self.points:
            self.points[name] = Point(name, owner_of(name), terminal, zone, label)

    def part(self, part: Part, zone: Zone) -> None:
        """Add a part, and any point of it that nobody has added yet (a terminal)."""
        for pin in part.pins:
            self.point(pin, zone)
        self.parts[part.name] = part

    def remove(self, name: str, why: str, ends: tuple[str, ...] | None = None) -> None:
        """Take a part off and note the ends it leaves; a name that is not there is left to the loader."""
        part = self.parts.pop(name, None)
        if part is not None:
            self.removed.append(Removed(name, part.pins if ends is None else ends, why))


def full_values(values: Mapping[str, Value], name: str) -> Mapping[str, Value]:
    """The same values under the addresses a user can act on: `hoist:K1.resistance`."""
    return MappingProxyType({key: replace(value, id=f"{name}.{key}") for key, value in values.items()})


def add_netlist(draft: Draft, net: Netlist, name: Namer, zone: Callable[[str], Zone], cause: Cause) -> None:
    """Add terminals, junctions, parts and wires of one catalog entry under their full names."""
    for terminal in net.terminals:
        draft.point(name(terminal.id), zone(terminal.id), True, terminal.print)
    for junction in net.junctions:
        draft.point(name(junction), zone(junction), False)
    for part in net.parts:
        if not (part.kind == "wire" and part.role == "jumper" and not part.fitted):
            add_part(draft, part, name, zone, cause)
    for wire in net.wires:
        full = name(wire.id)
        pins = (name(wire.ends[0]), name(wire.ends[1]))
        for end in wire.ends:
            draft.point(name(end), zone(end))
        draft.part(Part(full, "wire", pins, owner_of(full), number=wire.number), zone(wire.id))


def add_part(draft: Draft, part: EntryPart, name: Namer, zone: Callable[[str], Zone], cause: Cause) -> None:
    """Add one part of a catalog entry; its pins become terminals unless they are junctions already."""
    full = name(part.id)
    for local in part.at:
        draft.point(name(local), zone(local))
    built = Part(
        name=full,
        kind=part.kind,
        pins=tuple(name(local) for local in part.at),
        owner=owner_of(full),
        form=cast(Literal["", "NO", "NC"], part.form),
        by=cause(part.by) if part.by else "",
        role=part.role,
        rect=part.rect,
        label=part.label,
        values=full_values(part.values, full),
    )
    draft.part(built, zone(part.id))
