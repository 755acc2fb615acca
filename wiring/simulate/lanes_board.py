"""A circuit in which every listed fault is a switch, compiled once for the lanes engine.

The lanes engine settles many states under many faults in one go: lane i of every
integer is one (fault set, state). For that a broken wire must be a switch that is
open in some lanes, and a short one that is closed in some. `switchboard` rewrites
the circuit so: no part is added or lost, only made able to open or close.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from wiring.model.circuit import Circuit, Input, Part
from wiring.simulate.faults_effect import Effect, effect
from wiring.simulate.network import Network

#: The cause of every switch that only a fault operates.
FAULT = "fault"


def _series(part: Part) -> tuple[Part, Part]:
    """The part behind a closed switch that can cut it out."""
    inner = f"{part.name}~"
    cut = Part(f"{part.name} cut", "contact", (part.pins[0], inner), part.owner, form="NC", by=FAULT)
    return cut, replace(part, pins=(inner, *part.pins[1:]))


def _join(pair: tuple[str, str]) -> Part:
    return Part(f"join {pair[0]} {pair[1]}", "contact", pair, "fault", form="NO", by=FAULT)


def _swappable(parts: dict[str, Part], pair: tuple[str, str]) -> list[Part]:
    """Two sources whose plus ends can trade places."""
    found: list[Part] = []
    one, other = (parts[name] for name in pair)
    for source, partner in ((one, other), (other, one)):
        inner = f"{source.name}~swap"
        ends = (source.pins[0], partner.pins[0])
        label = f"{source.name}/{partner.name}"
        found.append(Part(f"{label} straight", "contact", (inner, ends[0]), "fault", form="NC", by=FAULT))
        found.append(Part(f"{label} crossed", "contact", (inner, ends[1]), "fault", form="NO", by=FAULT))
    return found


def switchboard(circuit: Circuit, effects: list[Effect]) -> Circuit:
    """The circuit with a switch for everything that one of the effects opens, cuts out or joins."""
    opened = frozenset().union(*(e.opened for e in effects))
    dead = frozenset().union(*(e.dead for e in effects))
    swaps = sorted(frozenset().union(*(e.swaps for e in effects)))
    joins = sorted(frozenset().union(*(e.joins for e in effects)))
    parts = {part.name: part for part in circuit.parts}
    extra: list[Part] = []
    if swaps:
        sources = [name for pair in swaps for name in pair]
        for pair in swaps:
            extra += _swappable(parts, pair)
        extra = list({part.name: part for part in extra}.values())
        for name in dict.fromkeys(sources):
            parts[name] = replace(parts[name], pins=(f"{name}~swap", *parts[name].pins[1:]))
        extra = _one_straight(extra)
    for name, part in list(parts.items()):
        if part.kind == "wire" and name in opened:
            parts[name] = replace(part, kind="contact", form="NC", by=FAULT)
        elif name in dead:
            cut, parts[name] = _series(part)
            extra.append(cut)
    extra += [_join(pair) for pair in joins]
    inputs = (*circuit.inputs, Input(FAULT, "selector"))
    return replace(circuit, parts=(*parts.values(), *extra), inputs=inputs)


def _one_straight(extra: list[Part]) -> list[Part]:
    """A source in several swaps keeps one straight switch, named for the source alone."""
    kept: dict[str, Part] = {}
    for part in extra:
        if part.name.endswith(" straight"):
            part = replace(part, name=f"{part.name.partition('/')[0]} straight")
        kept.setdefault(part.name, part)
    return list(kept.values())


@dataclass(frozen=True, slots=True)
class Setting:
    """A fault set as switch numbers of the board. opened, closed: held so in its lanes."""

    names: tuple[str, ...]
    effect: Effect
    opened: tuple[int, ...]
    closed: tuple[int, ...]


class Board:
    """One circuit with all its fault sets, compiled. settings: one per set, in order."""

    def __init__(self, circuit: Circuit, sets: tuple[tuple[str, ...], ...]) -> None:
        self.plain = circuit
        effects = [effect(circuit, names) for names in sets]
        self.circuit = switchboard(circuit, effects)
        self.network = Network(self.circuit)
        self.index = {switch.part.name: i for i, switch in enumerate(self.network.switches)}
        self.coil_index = {coil.name: k for k, coil in enumerate(self.network.coils)}
        self.settings = tuple(self._setting(names, made) for names, made in zip(sets, effects, strict=True))
        self.memo: dict[object, object] = {}  # pattern to what it does, see lanes_pattern
        self.marks: dict[object, int] = {}  # name to its bit, see lanes_power

    def setting(self, names: tuple[str, ...]) -> Setting:
        """A fault set made of faults of the board. Raises KeyError for one it has no switch for."""
        return self._setting(names, effect(self.plain, names))

    def _setting(self, names: tuple[str, ...], made: Effect) -> Setting:
        index = self.index
        opened = {index[name] for name in made.opened} | {index[f"{name} cut"] for name in made.dead}
        closed = {index[name] for name in made.closed}
        closed |= {index[f"join {a} {b}"] for a, b in made.joins}
        for one, other in made.swaps:
            for source, partner in ((one, other), (other, one)):
                opened.add(index[f"{source} straight"])
                closed.add(index[f"{source}/{partner} crossed"])
        for i, switch in enumerate(self.network.switches):
            if switch.cause in made.detached:
                (closed if switch.part.form == "NC" else opened).add(i)
        return Setting(names, made, tuple(sorted(opened - closed)), tuple(sorted(closed)))


def merged(one: Setting, other: Setting) -> Setting:
    """Two fault sets at once. A part that one holds open and the other closed stays closed."""
    total = Effect(*(getattr(one.effect, f.name) | getattr(other.effect, f.name) for f in fields(Effect)))
    closed = set(one.closed) | set(other.closed)
    opened = (set(one.opened) | set(other.opened)) - closed
    return Setting((*one.names, *other.names), total, tuple(sorted(opened)), tuple(sorted(closed)))
