"""The netlist of a catalog entry: terminals, parts, wires, and whether their names fit together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any, cast

from wiring.files.entry_format import NetBlock, PartBlock, TerminalBlock
from wiring.files.entry_values import PART_PROPERTIES, Site, values_of
from wiring.files.explain import validate
from wiring.files.fields import freeze, shown
from wiring.model.circuit import PartKind
from wiring.model.entry import EntryPart, EntryWire, Netlist, Terminal
from wiring.model.value import Basis

PINS = {
    "motor3": 3, "transformer": 4, "rectifier": 4,
}  # all other kinds of part have two  # fmt: skip
_VALUE_FIELDS = tuple(
    name for name in PartBlock.model_fields
    if any(name in properties for properties in PART_PROPERTIES.values())
)  # fmt: skip


def netlist(block: NetBlock, site: Site) -> Netlist:
    """Terminals, junctions, parts, wires and interlocks of an entry; problems go to the site."""
    parts = tuple(part(each, site, f"parts.{n}") for n, each in enumerate(block.parts))
    wires = tuple(EntryWire(w[0], (w[1], w[2]), w[3] if len(w) > 3 else "") for w in block.wires)
    net = Netlist(
        terminals=tuple(_terminals(block.terminals, site)),
        junctions=tuple(block.junctions),
        parts=parts,
        wires=wires,
        interlocks=tuple((first, second) for first, second in block.interlocks),
    )
    _check(net, site)
    return net


def _terminals(raw: list[Any], site: Site) -> Iterator[Terminal]:
    """Terminals written as names or as tables with details."""
    for n, each in enumerate(raw):
        key = f"terminals.{n}"
        data = {"id": each} if isinstance(each, str) else each
        if not isinstance(data, dict):
            site.problem(key, shown(each), 'a name, or { id = "...", print = "...", torque = "..." }')
            continue
        block, problems = validate(TerminalBlock, data, site.file, site.lines, key)
        site.problems.extend(problems)
        if block is not None:
            yield cast(Terminal, freeze(block))


def part(block: PartBlock, site: Site, at: str) -> EntryPart:
    """One part with its values."""
    raw = {name: value for name in _VALUE_FIELDS if (value := getattr(block, name)) is not None}
    values = values_of(
        raw, block.id, PART_PROPERTIES[block.kind], site, at, cast(Basis | None, block.basis), block.source
    )
    wanted = PINS.get(block.kind, 2)
    if len(block.at) != wanted:
        site.problem(f"{at}.at", f"{len(block.at)} pins", f"{wanted} pins on a {block.kind}")
    if block.by and not block.form:
        site.problem(f"{at}.form", "nothing", "NO or NC, where `by` says what operates it")
    return EntryPart(
        id=block.id,
        kind=cast(PartKind, block.kind),
        at=tuple(block.at),
        form=block.form,
        by=block.by,
        role=block.role,
        rect=block.rect,
        label=block.label,
        fitted=block.fitted,
        values=values,
    )


def points(net: Netlist) -> tuple[str, ...]:
    """Every local point of a netlist in the order of the file: terminals first, then pins, then junctions."""
    found = dict.fromkeys(terminal.id for terminal in net.terminals)
    for each in net.parts:
        found.update(dict.fromkeys(each.at))
    for wire in net.wires:
        found.update(dict.fromkeys(wire.ends))
    found.update(dict.fromkeys(net.junctions))
    return tuple(found)


def touchable(net: Netlist) -> tuple[str, ...]:
    """The points on which a person can land a wire."""
    sealed = set(net.junctions)
    return tuple(point for point in points(net) if point not in sealed)


def _check(net: Netlist, site: Site) -> None:
    """Ids once, wire ends on points that exist, contacts driven by coils that exist."""
    ids = Counter([each.id for each in net.parts] + [wire.id for wire in net.wires])
    for name, count in ids.items():
        if count > 1:
            site.problem("parts", f'id "{name}" {count} times', "each part and wire its own id")
    ends = {terminal.id for terminal in net.terminals} | set(net.junctions)
    for each in net.parts:
        ends.update(each.at)
    for n, wire in enumerate(net.wires):
        for end in wire.ends:
            site.known(f"wires.{n}", end, tuple(ends), "a terminal, junction or pin")
        if wire.ends[0] == wire.ends[1]:
            site.problem(f"wires.{n}", f'both ends on "{wire.ends[0]}"', "two different points")
    coils = tuple(each.id for each in net.parts if each.kind in ("coil", "brake"))
    for n, each in enumerate(net.parts):
        cause, _, name = each.by.partition(":")
        if cause == "coil":
            site.known(f"parts.{n}.by", name, coils, "a coil of this entry")
    for n, pair in enumerate(net.interlocks):
        for name in pair:
            site.known(f"interlocks.{n}", name, coils, "a coil of this entry")
