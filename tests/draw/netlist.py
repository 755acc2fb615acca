"""The circuit's own netlist, in the words of the geometry reader, and what differs between the two."""

from __future__ import annotations

from collections import defaultdict

from tests.draw.geometry import Reading, Ref
from wiring.model.circuit import Circuit


def expected(circuit: Circuit, drawn: set[str], terminals: set[str]) -> set[frozenset[Ref]]:
    """Groups of pins that wires join, of the parts with a symbol; drawn terminals count as (point, 0)."""
    up: dict[str, str] = {}

    def find(point: str) -> str:
        while up.setdefault(point, point) != point:
            point = up[point]
        return point

    for part in circuit.parts:
        if part.kind == "wire" and part.name not in drawn:
            up[find(part.pins[0])] = find(part.pins[1])
    groups: dict[str, set[Ref]] = defaultdict(set)
    for part in circuit.parts:
        if part.name in drawn:
            for number, pin in enumerate(part.pins, 1):
                groups[find(pin)].add((part.name, number))
    for point in circuit.points:
        if point.name in terminals:
            groups[find(point.name)].add((point.name, 0))
    return {frozenset(group) for group in groups.values()}


def differences(circuit: Circuit, reading: Reading, spare: set[str]) -> list[str]:
    """Everything in which the sheet does not say what the circuit says; [] where they agree."""
    found = list(reading.problems)
    names = {part.name for part in circuit.parts}
    points = {point.name for point in circuit.points}
    for part in circuit.parts:
        plain = part.kind == "wire"
        if part.name not in reading.parts and part.name not in spare and not plain:
            found.append(f"{part.name} is not drawn")
    found += [f"{name} is drawn but not in the circuit" for name in reading.parts - names - points]
    terminals = {name for pin in reading.pins for name, number in pin.refs if number == 0}
    terminals = {name for name in terminals if not name.startswith("reference ")}
    wanted = expected(circuit, reading.parts - (terminals - names), terminals)
    found += [f"not joined as in the circuit: {sorted(group)}" for group in wanted - reading.nets]
    found += [f"joined on the sheet only: {sorted(group)}" for group in reading.nets - wanted]
    pins = {part.name: part.pins for part in circuit.parts}
    for pin in reading.pins:
        for name, number in pin.refs:
            if number and pin.printed and name in pins:
                point = pins[name][number - 1]
                if not point.endswith((f".{pin.printed}", f":{pin.printed}")):
                    found.append(f"{name} pin {number} is {point} but the sheet prints {pin.printed}")
                    break
    return found
