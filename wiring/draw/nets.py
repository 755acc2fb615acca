"""Which pins are joined by plain wires, and which things get a symbol.

A wire that a person handles by itself (core, cable conductor, jumper, heater,
bond) is drawn as a thing with two ends. Every other wire is conductor only
and melts into a net. A terminal without a part behind it is a symbol in the
run: what lies on its far side is another net of the same point.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiring.model.circuit import Circuit, Part


@dataclass(frozen=True, slots=True)
class Pad:
    """One end of a drawn part (number from 1), or one side of a terminal (number 0)."""

    name: str
    number: int


@dataclass(frozen=True, slots=True)
class Wiring:
    """The circuit as a drawing sees it.

    net: pad to net number; terminal_nets: terminal point to its nets; wires: net to
    the plain wires in it; points: net to its points.
    """

    drawn: tuple[Part, ...]
    spare: tuple[Part, ...]
    terminals: tuple[str, ...]
    net: Mapping[Pad, int]
    terminal_nets: Mapping[str, tuple[int, ...]]
    wires: Mapping[int, tuple[str, ...]]
    points: Mapping[int, tuple[str, ...]]
    count: int


def is_plain(part: Part) -> bool:
    """True for a wire that is conductor only: no core, no cable, no role of its own."""
    return part.kind == "wire" and not part.role and not part.cable and part.owner not in ("core", "cord")


def is_run(part: Part) -> bool:
    """True for a core or a cable conductor: a wire with a colour that a person handles."""
    return part.kind == "wire" and (bool(part.cable) or part.owner in ("core", "cord"))


class Joined:
    """Disjoint sets over anything hashable (union by first seen, path halving)."""

    def __init__(self) -> None:
        self._up: dict[object, object] = {}

    def find(self, item: object) -> object:
        up = self._up
        up.setdefault(item, item)
        while up[item] != item:
            up[item] = up[up[item]]
            item = up[item]
        return item

    def join(self, a: object, b: object) -> None:
        first, second = self.find(a), self.find(b)
        if first != second:
            self._up[second] = first


def wiring(circuit: Circuit, keep_spares: bool = False) -> Wiring:
    """Nets, drawn parts, terminals and spare contacts of a circuit."""
    spare = () if keep_spares else spares(circuit)
    gone = {part.name for part in spare}
    drawn = tuple(p for p in circuit.parts if not is_plain(p) and p.name not in gone)
    plain = [p for p in circuit.parts if is_plain(p)]
    cuts = terminal_points(circuit, drawn, plain)
    return _nets(drawn, spare, plain, cuts)


def spares(circuit: Circuit) -> tuple[Part, ...]:
    """Contacts of receivers, devices and hoist with an end that leads nowhere."""
    weight: dict[str, int] = defaultdict(int)
    for part in circuit.parts:
        for pin in part.pins:
            weight[pin] += 1
    fixed = {circuit.earth}
    return tuple(
        part
        for part in circuit.parts
        if part.kind in ("contact", "semiconductor")
        and not part.owner.startswith("pendant")
        and any(weight[pin] == 1 and pin not in fixed for pin in part.pins)
    )


def terminal_points(circuit: Circuit, drawn: Iterable[Part], plain: Iterable[Part]) -> tuple[str, ...]:
    """Touchable points that carry wires only: strip terminals, studs, the earth terminal."""
    behind = {pin for part in drawn if not is_run(part) for pin in part.pins}
    wired = {pin for part in (*drawn, *plain) if part.kind == "wire" for pin in part.pins}
    return tuple(
        point.name
        for point in circuit.points
        if point.terminal and point.name in wired and point.name not in behind
    )


def _nets(
    drawn: tuple[Part, ...], spare: tuple[Part, ...], plain: list[Part], cuts: tuple[str, ...]
) -> Wiring:
    joined = Joined()
    touching: dict[str, list[object]] = defaultdict(list)
    is_cut = set(cuts)
    members: list[tuple[str, object]] = []  # (what, key) in order of appearance
    for part in drawn:
        for number, pin in enumerate(part.pins, 1):
            pad = Pad(part.name, number)
            members.append(("pad", pad))
            if pin in is_cut:
                touching[pin].append(pad)
                joined.find(pad)
            else:
                joined.join(pin, pad)
    for wire in plain:
        ends = [pin for pin in wire.pins if pin not in is_cut]
        if len(ends) == 2:
            joined.join(ends[0], ends[1])
        for pin in wire.pins:
            if pin in is_cut:
                key: object = ends[0] if ends else wire.name
                joined.find(key)
                touching[pin].append(key)
    return _numbered(drawn, spare, plain, cuts, joined, touching, members)


def _numbered(
    drawn: tuple[Part, ...],
    spare: tuple[Part, ...],
    plain: list[Part],
    cuts: tuple[str, ...],
    joined: Joined,
    touching: Mapping[str, list[object]],
    members: list[tuple[str, object]],
) -> Wiring:
    number: dict[object, int] = {}

    def index(key: object) -> int:
        return number.setdefault(joined.find(key), len(number))

    net = {key: index(key) for _, key in members if isinstance(key, Pad)}
    terminal_nets = {cut: tuple(dict.fromkeys(index(key) for key in touching[cut])) for cut in cuts}
    wires: dict[int, list[str]] = defaultdict(list)
    points: dict[int, list[str]] = defaultdict(list)
    is_cut = set(cuts)
    for wire in plain:
        ends = [pin for pin in wire.pins if pin not in is_cut]
        wires[index(ends[0] if ends else wire.name)].append(wire.name)
    for part in (*drawn, *plain):
        for pin in part.pins:
            if pin not in is_cut:
                at = points[index(pin)]
                if pin not in at:
                    at.append(pin)
    return Wiring(
        drawn,
        spare,
        cuts,
        net,
        terminal_nets,
        {k: tuple(v) for k, v in wires.items()},
        {k: tuple(v) for k, v in points.items()},
        len(number),
    )
