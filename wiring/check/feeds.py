"""Over which terminals a load is fed: the way from a pole of the supply, in words."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterator

from wiring.check.nets import JOINS, SWITCHES, poles
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit, Part

#: So many loads are told of; the others hang on the same ways.
MOST = 2


def fed_over(circuit: Circuit, settled: Settled) -> str:
    """Which coils are in and over which terminals they are fed; without coils, the windings that run."""
    names = set(settled.energised)
    coils = [p for p in circuit.parts if p.kind == "coil" and p.name in names]
    moving = set(settled.motions)
    running = {name for m in circuit.motors if {m.positive, m.negative} & moving for name in m.parts}
    loads = coils or [p for p in circuit.parts if p.kind in ("winding", "motor3") and p.name in running]
    told = []
    for load in loads[:MOST]:
        ways = [way for pin in load.pins if (way := way_from_pole(circuit, settled.closed, pin))]
        told.append(f"{load.name}: " + " and ".join(" - ".join(way) for way in ways))
    return ". ".join(told)


def way_from_pole(circuit: Circuit, closed: Collection[str], pin: str) -> list[str]:
    """Points from the nearest pole to a pin, over wires, fuses and closed contacts; empty where none is."""
    live = set(poles(circuit))
    came: dict[str, str] = {pin: ""}
    open_: deque[str] = deque((pin,))
    near: dict[str, list[str]] = {}
    for part in circuit.parts:
        if joins(part, closed):
            for one, other in ends(circuit, part):
                near.setdefault(one, []).append(other)
    while open_:
        at = open_.popleft()
        if at in live:
            way = [at]
            while came[way[-1]]:
                way.append(came[way[-1]])
            return way
        for other in near.get(at, ()):
            if other not in came:
                came[other] = at
                open_.append(other)
    return []


def joins(part: Part, closed: Collection[str]) -> bool:
    """True for what carries current between its two pins in this state."""
    return part.kind in JOINS or (part.kind in SWITCHES and part.name in closed)


def ends(circuit: Circuit, part: Part) -> Iterator[tuple[str, str]]:
    """Both directions over a part, points by the name of what they really are."""
    one, other = (circuit.aliases.get(pin, pin) for pin in part.pins[:2])
    yield one, other
    yield other, one
