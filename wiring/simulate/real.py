"""The same circuit with real wires: every wire, closed contact, fuse and source has a resistance.

Nodal equations over all points, eliminated sparsely in order of least degree
(the circuits are nearly trees). Shorts and open fuses are taken from the ideal
contraction: this mode gives voltages and currents, not topology.
"""

from __future__ import annotations

from collections.abc import Mapping
from heapq import heapify, heappop, heappush
from types import MappingProxyType

from wiring.simulate.contract import Contraction, contract
from wiring.simulate.elements import Transformer
from wiring.simulate.network import Network
from wiring.simulate.solve import admittances, combined, named


class RealSolution:
    """Voltages with real wires. across: by load index [V]; through: part name to phasor [A]."""

    __slots__ = ("_potential", "across", "analog", "contraction", "network", "through")

    def __init__(
        self, network: Network, cut: Contraction, across: list[complex],
        potential: dict[str, complex], through: dict[str, complex],
    ) -> None:  # fmt: skip
        self.network, self.contraction, self.across = network, cut, across
        self._potential, self.through = potential, through
        self.analog = True

    def volts(self) -> Mapping[str, complex]:
        """As `Solution.volts`."""
        return named(self.network, self.across)

    def amps(self) -> Mapping[str, complex]:
        """Current of every part, wires and contacts too [A]."""
        return MappingProxyType(self.through)

    def potential(self) -> Mapping[str, complex]:
        """As `Solution.potential`."""
        return MappingProxyType(self._potential)


def real_solution(
    network: Network, mask: int, coils: int, locked: frozenset[str] = frozenset()
) -> RealSolution:
    """Solve one switch pattern with real wires. Memoised."""
    key = ("real", mask, coils, locked)
    found = network.solutions.get(key)
    if found is None:
        found = network.solutions[key] = _solve(network, mask, coils, locked)
    return found


def _solve(network: Network, mask: int, coils: int, locked: frozenset[str]) -> RealSolution:
    cut = contract(network, mask)
    mask &= ~cut.blown
    rows = admittances(network, mask, coils, locked)
    results = [_Nodal(network, mask, rows[f], f) for f in range(len(network.hertz))]
    across = [combined([one.across[i] for one in results]) for i in range(len(network.loads))]
    potential = {name: combined([one.potential[name] for one in results]) for name in results[0].potential}
    through = {name: combined([one.through.get(name, 0j) for one in results]) for name in results[0].through}
    return RealSolution(network, cut, across, potential, through)


class _Nodal:
    """Nodal equations at one frequency: terms, elimination, voltages and currents.

    Nodes are the circuit's points, then one star point for each three-phase load.
    """

    def __init__(self, network: Network, mask: int, y: tuple[complex, ...], f: int) -> None:
        self.network, self.f = network, f
        self.matrix: dict[int, dict[int, complex]] = {}
        self.right: dict[int, complex] = {}
        self.galvanic: dict[int, set[int]] = {}
        self.branches: list[tuple[str, int, int, complex, complex]] = []
        self.pins = self._load_pins()
        self._conductors(mask)
        for load, (a, b), admitted in zip(network.loads, self.pins, y, strict=True):
            self._branch(load.name, a, b, admitted)
        for t in network.transformers:
            self._transformer(t)
        self.tied = self._ground()
        value = self._eliminate()
        self.across = [value.get(a, 0j) - value.get(b, 0j) for a, b in self.pins]
        self.potential = {name: value.get(i, 0j) for name, i in network.point_id.items() if i in self.tied}
        self.through: dict[str, complex] = {}
        for name, a, b, g, drive in self.branches:
            self.through[name] = (value.get(a, 0j) - value.get(b, 0j)) * g - drive
        for load in network.loads:
            if load.part.kind == "motor3":
                old = self.through.get(load.part.name, 0j)
                self.through[load.part.name] = max(old, self.through.get(load.name, 0j), key=abs)

    def _id(self, point: str) -> int:
        return self.network.point_id[self.network.full(point)]

    def _load_pins(self) -> list[tuple[int, int]]:
        stars: dict[str, int] = {}
        found = []
        for load in self.network.loads:
            pins = load.part.pins
            if load.part.kind == "motor3":
                star = stars.setdefault(load.part.name, len(self.network.point_id) + len(stars))
                found.append((self._id(pins["UVW".index(load.name[-1])]), star))
            else:
                found.append((self._id(pins[0]), self._id(pins[1])))
        return found

    def _conductors(self, mask: int) -> None:
        network = self.network
        for part in network.circuit.parts:
            if part.kind == "wire":
                self._branch(
                    part.name, self._id(part.pins[0]), self._id(part.pins[1]), 1 / network.ohms(part) + 0j
                )
        for one, two in network.forced.joined:
            self._branch(f"{one} {two}", self._id(one), self._id(two), 1 / network.joint_ohms + 0j)
        for i, switch in enumerate(network.switches):
            if mask >> i & 1:
                a, b = (self._id(pin) for pin in switch.part.pins)
                self._branch(switch.part.name, a, b, 1 / network.ohms(switch.part) + 0j)
        for source in network.sources:
            a, b = (self._id(pin) for pin in source.part.pins)
            g = 1 / network.ohms(source.part) + 0j
            self._branch(source.part.name, a, b, g, g * source.volts[self.f])

    def _branch(self, name: str, a: int, b: int, g: complex, drive: complex = 0j) -> None:
        """A branch with admittance g whose Norton current `drive` flows from b to a inside it."""
        if not g or a == b:
            return
        self.branches.append((name, a, b, g, drive))
        self.galvanic.setdefault(a, set()).add(b)
        self.galvanic.setdefault(b, set()).add(a)
        self._add(((a, 1 + 0j), (b, -1 + 0j)), g)
        if drive:
            self.right[a] = self.right.get(a, 0j) + drive
            self.right[b] = self.right.get(b, 0j) - drive

    def _add(self, weights: tuple[tuple[int, complex], ...], g: complex) -> None:
        for one, w in weights:
            row = self.matrix.setdefault(one, {})
            for two, v in weights:
                row[two] = row.get(two, 0j) + w * v * g

    def _transformer(self, t: Transformer) -> None:
        p1, p2, s1, s2 = (self._id(pin) for pin in t.part.pins)
        self._add(((s1, 1 + 0j), (s2, -1 + 0j), (p1, -t.ratio + 0j), (p2, t.ratio + 0j)), 1.0 / t.impedance)
        self._add(((s1, 1 + 0j), (s2, -1 + 0j)), t.no_load)
        for a, b in ((p1, p2), (s1, s2)):
            self.galvanic.setdefault(a, set()).add(b)
            self.galvanic.setdefault(b, set()).add(a)

    def _ground(self) -> set[int]:
        """Give every galvanic part one reference, earth where it has it; the part of earth."""
        earth = self._id(self.network.circuit.earth) if self.network.circuit.earth else -1
        left = set(self.galvanic)
        tied = {earth} if earth >= 0 else set()
        self.references: set[int] = set(tied)
        while left:
            seen, queue = set(), [earth if earth in left else min(left)]
            self.references.add(queue[0])
            while queue:
                node = queue.pop()
                if node not in seen:
                    seen.add(node)
                    queue += self.galvanic[node] - seen
            left -= seen
            if earth in seen:
                tied = seen
        return tied

    def _eliminate(self) -> dict[int, complex]:
        """Gaussian elimination, least neighbours first; references are 0 V."""
        rows = {
            node: {other: g for other, g in row.items() if other not in self.references}
            for node, row in self.matrix.items()
            if node not in self.references
        }
        right = {node: self.right.get(node, 0j) for node in rows}
        done: list[tuple[int, dict[int, complex], complex]] = []
        rank = {node: i for i, node in enumerate(rows)}  # among equals the first one
        waiting = [(len(row), rank[node], node) for node, row in rows.items()]
        heapify(waiting)
        while rows:
            count, _, node = heappop(waiting)
            if node not in rows or len(rows[node]) != count:
                continue  # its row has changed since, it waits again further on
            row = rows.pop(node)
            pivot = row.pop(node, 0j)
            done.append((node, row, pivot))
            for other, g in row.items():
                target = rows[other]
                target.pop(node, None)
                if pivot:
                    factor = g / pivot
                    for column, entry in row.items():
                        target[column] = target.get(column, 0j) - factor * entry
                    right[other] -= factor * right[node]
                heappush(waiting, (len(target), rank[other], other))
        value: dict[int, complex] = dict.fromkeys(self.references, 0j)
        for node, row, pivot in reversed(done):
            rest = right[node] - sum(g * value[other] for other, g in row.items())
            value[node] = rest / pivot if pivot else 0j
        return value
