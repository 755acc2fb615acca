"""What a meter on the ohm range reads on the dead circuit, in a given state.

Everything is isolated: sources are out, coils are out. A path that only a
capacitor completes "climbs"; no path reads "OL". With the cord unplugged each
side is read alone: `handset` the cord with the handset, `hoist` the rest.
"""

from __future__ import annotations

from wiring.model.behaviour import State
from wiring.model.circuit import Circuit, Part
from wiring.simulate.impedance import dc_ohms, number
from wiring.simulate.islands import gauss
from wiring.simulate.network import Network

Reading = float | str
#: A path of this many ohms and more reads as open on a handheld meter.
OPEN_OHM = 20e6
#: What stands for a capacitor once it is charged by the meter: only to see that it is a path [ohm].
_CAPACITOR_OHM = 1e3


def expected_ohms(network: Network, a: str, b: str, state: State, side: str | None = None) -> Reading:
    """Resistance between two points [ohm], "climbs" or "OL". side: "handset" | "hoist" | None
    (cord plugged in). Raises KeyError for an unknown point."""
    circuit = network.circuit
    one, two = network.full(a), network.full(b)
    for name in (one, two):
        if name not in network.point_id:
            raise KeyError(name)
    edges = _edges(circuit, state, side)
    direct = _resistance(edges, one, two, False)
    if direct is not None and direct < OPEN_OHM:
        return direct
    return "climbs" if _resistance(edges, one, two, True) is not None else "OL"


def _of_side(part: Part, side: str | None) -> bool:
    if side is None:
        return True
    handset = part.owner in ("core", "pendant")
    return handset if side == "handset" else not handset


def _closed(part: Part, state: State) -> bool:
    operated = part.by in state
    return operated if part.form == "NO" else not operated


def _edges(circuit: Circuit, state: State, side: str | None) -> list[tuple[str, str, float | None]]:
    """Resistances between points; None marks a capacitor."""
    found: list[tuple[str, str, float | None]] = []
    for part in circuit.parts:
        if not _of_side(part, side) or part.kind in ("source", "semiconductor"):
            continue
        pins = part.pins
        if part.kind == "contact":
            if _closed(part, state):
                found.append((pins[0], pins[1], number(part, "resistance") or 0.0))
        elif part.kind == "motor3":
            ohms = number(part, "resistance")
            if ohms is not None:
                found += [(pin, f"{part.name} star", ohms) for pin in pins]
        elif part.kind == "transformer":
            for (x, y), name in ((pins[:2], "primary_resistance"), (pins[2:], "secondary_resistance")):
                found.append((x, y, number(part, name) or 0.0))
        elif part.kind == "capacitor" or (part.kind == "suppressor" and part.rect == "rc"):
            found.append((pins[0], pins[1], None))
        else:
            ohms = dc_ohms(part)
            if ohms is not None:
                found.append((pins[0], pins[1], ohms))
    return found


def _resistance(edges: list[tuple[str, str, float | None]], a: str, b: str, capacitors: bool) -> float | None:
    """Resistance between two points, None without a path; capacitors count as a path if asked."""
    root: dict[str, str] = {}

    def find(x: str) -> str:
        while root.setdefault(x, x) != x:
            x = root[x]
        return x

    rest: list[tuple[str, str, float]] = []
    for x, y, ohms in edges:
        if ohms is None:
            if capacitors:
                rest.append((x, y, _CAPACITOR_OHM))
        elif ohms <= 0.0:
            root[find(x)] = find(y)
        else:
            rest.append((x, y, ohms))
    start, end = find(a), find(b)
    if start == end:
        return 0.0
    near: dict[str, list[tuple[str, float]]] = {}
    for x, y, ohms in rest:
        p, q = find(x), find(y)
        if p != q:
            near.setdefault(p, []).append((q, 1.0 / ohms))
            near.setdefault(q, []).append((p, 1.0 / ohms))
    seen, queue = {start}, [start]
    while queue:
        for other, _ in near.get(queue.pop(), ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    if end not in seen:
        return None
    return _between(near, sorted(seen - {end}), start)


def _between(near: dict[str, list[tuple[str, float]]], nodes: list[str], start: str) -> float:
    """Voltage at `start` for 1 A into it, everything not in `nodes` at 0 V [ohm]."""
    at = {node: i for i, node in enumerate(nodes)}
    n = len(nodes)
    matrix = [[0j] * (n + 1) for _ in nodes]
    for node in nodes:
        row = matrix[at[node]]
        for other, g in near[node]:
            row[at[node]] += g
            if other in at:
                row[at[other]] -= g
    matrix[at[start]][n] = 1 + 0j
    return gauss(matrix)[at[start]].real


def core_readings(circuit: Circuit) -> tuple[tuple[str, str, str, str], ...]:
    """Readings to expect between the cores: (side, state, pair, reading), at rest and with each
    button held (handset side only: pressing a button changes nothing at the hoist)."""
    network = Network(circuit)
    ends = {part.name: part.pins[0] for part in circuit.parts if part.owner == "core"}
    cores = list(ends)
    pairs = [(one, two) for i, one in enumerate(cores) for two in cores[i + 1 :]]
    states: list[frozenset[str]] = [frozenset()]
    for item in circuit.inputs:
        if item.kind == "button" or (item.kind == "stop" and _handset(circuit, item.name)):
            states.append(frozenset((item.name, item.implies)) - {""})
    found = []
    for side, listed in (("handset", states), ("hoist", states[:1])):
        for state in listed:
            words = " + ".join(sorted(state)) or "at rest"
            for one, two in pairs:
                reading = expected_ohms(network, ends[one], ends[two], state, side)
                found.append((side, words, f"{one} - {two}", shown(reading)))
    return tuple(found)


def _handset(circuit: Circuit, name: str) -> bool:
    return any(part.by == name and part.owner == "pendant" for part in circuit.parts)


def shown(reading: Reading) -> str:
    """A reading as a meter shows it."""
    if isinstance(reading, str):
        return reading
    return f"{reading:.1f} ohm" if reading < 1000 else f"{reading / 1000:.2f} kohm"
