"""Faults put into a circuit by hand, independently of the engine's own way of doing it."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from types import MappingProxyType

from wiring.model.circuit import Circuit, Part


@dataclass(frozen=True)
class Damaged:
    """The circuit with the fault as parts, and the coils that are held in or out."""

    circuit: Circuit
    held: dict[str, bool]


def choose(rng: random.Random, circuit: Circuit, count: int) -> tuple[str, ...]:
    """So many different fault names on different parts."""
    names: dict[str, str] = {}
    taken = {part.name for part in circuit.parts}  # a handset's contact and its core may share a name
    points = [pin for part in circuit.parts for pin in part.pins if pin not in taken]
    while len(names) < count:
        part = rng.choice(circuit.parts)
        words = {
            "contact": ("stuck-closed", "stuck-open"),
            "coil": ("stuck-in", "open", "short"),
            "wire": ("open",),
            "fuse": ("open",),
            "capacitor": ("open", "short"),
            "winding": ("open",),
            "source": ("open",),
        }.get(part.kind)
        if words is not None and rng.random() < 0.8:
            names.setdefault(part.name, f"{part.name} {rng.choice(words)}")
        elif rng.random() < 0.3:
            a, b = rng.sample(points, 2)
            if a != b:
                names.setdefault(f"{a} {b}", f"short {a} {b}")
    return tuple(names.values())


def damaged(circuit: Circuit, faults: tuple[str, ...]) -> Damaged:
    """The circuit with these faults in it."""
    parts = {part.name: part for part in circuit.parts}
    held: dict[str, bool] = {}
    for i, fault in enumerate(faults):
        words = fault.split()
        if words[0] == "short":
            parts[f"fault{i}"] = _bar(f"fault{i}", words[1], words[2])
            continue
        name, how = words
        part = parts[name]
        if how == "stuck-in":
            held[name] = True
        elif how in ("stuck-closed", "short"):
            parts[f"fault{i}"] = _bar(f"fault{i}", *part.pins)
            if part.kind == "coil":
                held[name] = False
                parts[name] = _dead(part)
            else:
                del parts[name]
        elif part.kind == "coil":
            held[name] = False
            parts[name] = _dead(part)
        elif part.kind == "source":
            parts[name] = replace(part, pins=(f"open {name}", part.pins[1]))
        else:
            del parts[name]
    kept = tuple(parts.values())
    names = {part.name for part in kept}
    motors = tuple(m for m in circuit.motors if names.issuperset(m.parts))
    return Damaged(replace(circuit, parts=kept, motors=motors), held)


def _bar(name: str, a: str, b: str) -> Part:
    """A piece of copper: a contact that nothing operates, so that it has a contact's resistance."""
    return Part(name, "contact", (a, b), "fault", "NC", "nothing")


def _dead(part: Part) -> Part:
    """A coil that takes no current worth mentioning."""
    value = next(iter(part.values.values()))
    return replace(
        part,
        values=MappingProxyType({"resistance": replace(value, si=1e12), "voltage": part.values["voltage"]}),
    )
