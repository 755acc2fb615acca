"""Voltages of one switch pattern: by topology where that is enough, by a small linear solve where not.

The groups of `contract` are the unknowns. A group that hangs on one other
potential takes it, without current. What is left is solved island by island, as
complex phasors, with the frequency as a parameter (0 for DC).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from wiring.simulate.contract import Contraction, contract
from wiring.simulate.network import Network

Phasors = tuple[complex, ...]


class Solution:
    """Voltages of one (switch pattern, coil state). across: phasor over each load, by load index
    [V]; contraction: the groups; analog: a linear solve was needed; potential: point to
    phasor against earth, absent where nothing ties the point to earth."""

    __slots__ = ("_amps", "_potential", "_volts", "across", "analog", "base", "contraction", "network", "y")

    def __init__(
        self, network: Network, contraction: Contraction, across: list[complex], y: list[list[complex]],
        base: list[dict[int, complex]], analog: bool,
    ) -> None:  # fmt: skip
        self.network = network
        self.contraction = contraction
        self.across = across
        self.y = y
        self.base = base
        self.analog = analog
        self._volts: Mapping[str, complex] | None = None
        self._amps: Mapping[str, complex] | None = None
        self._potential: Mapping[str, complex] | None = None

    def volts(self) -> Mapping[str, complex]:
        """Part name to phasor across it [V]; a three-phase load also under `name.U`, `.V`, `.W`."""
        if self._volts is None:
            self._volts = named(self.network, self.across)
        return self._volts

    def amps(self) -> Mapping[str, complex]:
        """Part name to phasor through it [A]; a three-phase load: its largest phase."""
        if self._amps is None:
            loads = self.network.loads
            through = [v * self.y[0][i] for i, v in enumerate(self.across)]
            found = {load.name: through[i] for i, load in enumerate(loads)}
            for load, current in zip(loads, through, strict=True):
                if load.part.kind == "motor3":
                    found[load.part.name] = max(found.get(load.part.name, 0j), current, key=abs)
            self._amps = MappingProxyType(found)
        return self._amps

    def potential(self) -> Mapping[str, complex]:
        """Point to phasor against earth [V]; points that float are absent."""
        if self._potential is None:
            network, found = self.network, {}
            for name, i in network.point_id.items():
                node = network.node_of[i]
                group = self.contraction.group[node]
                if group in self.base[0]:
                    parts = [
                        self.base[f][group] + self.contraction.offset[f][node]
                        for f in range(len(network.hertz))
                    ]
                    found[name] = combined(parts)
            self._potential = MappingProxyType(found)
        return self._potential


def named(network: Network, across: list[complex]) -> Mapping[str, complex]:
    """Load voltages by part name; a three-phase part carries its largest line voltage."""
    found = {load.name: across[i] for i, load in enumerate(network.loads)}
    for load in network.loads:
        if load.part.kind == "motor3" and load.part.name not in found:
            u, v, w = (found[f"{load.part.name}.{p}"] for p in "UVW")
            found[load.part.name] = max(u - v, v - w, w - u, key=abs)
    return MappingProxyType(found)


def combined(parts: list[complex]) -> complex:
    """One phasor of the voltages at several frequencies: itself when alone, else the rms sum."""
    if len(parts) == 1:
        return parts[0]
    live = [p for p in parts if abs(p) > 0.0]
    return live[0] if len(live) == 1 else complex(sum(abs(p) ** 2 for p in live) ** 0.5)


def admittances(network: Network, mask: int, coils: int, locked: frozenset[str]) -> list[list[complex]]:
    """Admittance of every load, per frequency: sealed where its coil is in, locked where named."""
    rows: list[list[complex]] = []
    for f in range(len(network.hertz)):
        row = [
            (load.sealed[f] if load.coil >= 0 and coils >> load.coil & 1 else load.out[f])
            for load in network.loads
        ]
        for i, load in enumerate(network.loads):
            if load.switch >= 0 and mask >> load.switch & 1:
                row[i] = 0j
            if locked and load.part.name in locked:
                row[i] = load.locked[f]
        rows.append(row)
    return rows


def solve(network: Network, mask: int, coils: int, locked: frozenset[str] = frozenset()) -> Solution:
    """The ideal-wire solution for the switches closed in `mask` and the coils in `coils`. Memoised."""
    key = (mask, coils, locked)
    found = network.solutions.get(key)
    if found is None:
        cut = network.solutions.get(mask)
        if cut is None:
            cut = network.solutions[mask] = contract(network, mask)
        found = network.solutions[key] = _solve(network, cut, mask & ~cut.blown, coils, locked)
    return found


def _solve(network: Network, cut: Contraction, mask: int, coils: int, locked: frozenset[str]) -> Solution:
    y = admittances(network, mask, coils, locked)
    analog = False
    bases: list[dict[int, complex]] = []
    volts: list[list[complex]] = []
    for f in range(len(network.hertz)):
        island = _Islands(network, cut, f, y[f])
        island.hang()
        analog |= island.finish()
        bases.append(island.grounded())
        group, offset, value = cut.group, cut.offset[f], island.value
        volts.append(
            [
                value.get(group[load.a], 0j) + offset[load.a] - value.get(group[load.b], 0j) - offset[load.b]
                for load in network.loads
            ]
        )
    across = volts[0] if len(volts) == 1 else [combined(list(parts)) for parts in zip(*volts, strict=True)]
    return Solution(network, cut, across, y, bases, analog)


class _Islands:
    """The groups that loads join, at one frequency. value: group to the voltage of its offset 0 [V]."""

    def __init__(self, network: Network, cut: Contraction, f: int, y: list[complex]) -> None:
        self.network, self.cut, self.f = network, cut, f
        self.group, self.offset = cut.group, cut.offset[f]
        self.value: dict[int, complex] = {}
        self.hung: list[tuple[int, int, complex]] = []
        # edges[g]: list of (other group, d, y, constant) with I from g = y (Vg - Vo + d)
        self.edges: dict[int, list[tuple[int, complex, complex]]] = {}
        for i, load in enumerate(network.loads):
            if y[i]:
                self._edge(load.a, load.b, y[i])
        self.two_ports: list[tuple[tuple[int, complex], ...]] = []
        self.fixed: set[int] = set()
        for i, _t in enumerate(network.transformers):
            if i not in cut.resolved:
                self._two_port(i)
        self.earth_group = self.group[network.earth] if network.earth >= 0 else -1

    def _edge(self, a: int, b: int, y: complex) -> None:
        ga, gb = self.group[a], self.group[b]
        if ga != gb:
            d = self.offset[a] - self.offset[b]
            self.edges.setdefault(ga, []).append((gb, d, y))
            self.edges.setdefault(gb, []).append((ga, -d, y))

    def _two_port(self, index: int) -> None:
        """A transformer whose sides are not settled: its no-load current on the primary and its
        coupling as a four-terminal stamp, kept apart from the plain edges."""
        t = self.network.transformers[index]
        if self.group[t.p1] == self.group[t.p2] and self.group[t.s1] == self.group[t.s2]:
            return
        y = 1.0 / t.impedance
        weights = ((t.s1, 1 + 0j), (t.s2, -1 + 0j), (t.p1, -t.ratio + 0j), (t.p2, t.ratio + 0j))
        self.two_ports.append(tuple((node, w * _root(y)) for node, w in weights))
        idle = _root(t.no_load if t.no_load else 1e-9 + 0j)
        self.two_ports.append(((t.s1, idle), (t.s2, -idle)))
        self.fixed |= {self.group[node] for node, _ in weights}

    def hang(self) -> None:
        """Groups tied to one single potential take it: no current flows there."""
        edges = self.edges
        queue = [g for g in edges if g != self.earth_group and g not in self.fixed]
        while queue:
            g = queue.pop()
            mine = edges.get(g)
            if not mine or g in self.fixed or g == self.earth_group:
                continue
            other, d, _ = mine[0]
            if any(o != other or abs(x - d) > 1e-9 * max(1.0, self.network.nominal) for o, x, _ in mine):
                continue
            self.hung.append((g, other, d))
            del edges[g]
            left = [e for e in edges.get(other, ()) if e[0] != g]
            if left:
                edges[other] = left
            else:
                edges.pop(other, None)
            if other != self.earth_group:
                queue.append(other)

    def finish(self) -> bool:
        """Solve what is left, then give the hung groups their value. True: something was solved."""
        left = set(self.edges) | self.fixed
        self.tied: set[int] = {self.earth_group}
        self.value[self.earth_group] = 0j
        solved = False
        while left:
            start = self.earth_group if self.earth_group in left else left.pop()
            island = self._reach(start)
            left -= island
            solved |= self._island(island)
            if self.earth_group in island:
                self.tied |= island
        for g, other, d in reversed(self.hung):
            self.value[g] = self.value.setdefault(other, 0j) - d
            if other in self.tied:
                self.tied.add(g)
        return solved

    def _reach(self, start: int) -> set[int]:
        ports = [{self.group[node] for node, _ in port} for port in self.two_ports]
        seen, queue = {start}, [start]
        while queue:
            g = queue.pop()
            near = {o for o, _, _ in self.edges.get(g, ())}
            for port in ports:
                if g in port:
                    near |= port
            for other in near - seen:
                seen.add(other)
                queue.append(other)
        return seen

    def _island(self, island: set[int]) -> bool:
        """Node equations of one island; the group at earth, or the first one, is the reference."""
        reference = self.earth_group if self.earth_group in island else min(island)
        self.value.setdefault(reference, 0j)
        unknown = sorted(island - {reference})
        at = {g: i for i, g in enumerate(unknown)}
        n = len(unknown)
        if not n:
            return False
        matrix = [[0j] * (n + 1) for _ in range(n)]
        for g in unknown:
            row = matrix[at[g]]
            for other, d, y in self.edges.get(g, ()):
                row[at[g]] += y
                row[n] -= y * d
                if other in at:
                    row[at[other]] -= y
        for port in self.two_ports:
            if self.group[port[0][0]] in island:
                self._stamp(matrix, at, port)
        for g, v in zip(unknown, gauss(matrix), strict=True):
            self.value[g] = v
        return True

    def _stamp(
        self, matrix: list[list[complex]], at: dict[int, int], port: tuple[tuple[int, complex], ...]
    ) -> None:
        n = len(matrix)
        for node, weight in port:
            row = at.get(self.group[node])
            if row is None:
                continue
            for other, factor in port:
                matrix[row][n] -= weight * factor * self.offset[other]
                column = at.get(self.group[other])
                if column is not None:
                    matrix[row][column] += weight * factor

    def grounded(self) -> dict[int, complex]:
        """Values of the groups that something ties to earth."""
        return {g: v for g, v in self.value.items() if g in self.tied}


def _root(y: complex) -> complex:
    return complex(y) ** 0.5


def gauss(matrix: list[list[complex]]) -> list[complex]:
    """Solve an augmented complex system with partial pivoting; a free unknown is 0."""
    n = len(matrix)
    scale = max((abs(x) for row in matrix for x in row[:n]), default=0.0)
    pivots: list[tuple[int, int]] = []
    top = 0
    for column in range(n):
        best = max(range(top, n), key=lambda r: abs(matrix[r][column]), default=-1)
        if best < 0 or abs(matrix[best][column]) <= 1e-14 * scale:
            continue
        matrix[top], matrix[best] = matrix[best], matrix[top]
        lead = matrix[top]
        for row in matrix[top + 1 :]:
            if row[column]:
                factor = row[column] / lead[column]
                for c in range(column, n + 1):
                    row[c] -= factor * lead[c]
        pivots.append((top, column))
        top += 1
    result = [0j] * n
    for r, column in reversed(pivots):
        row = matrix[r]
        rest = row[n] - sum((row[c] * result[c] for c in range(column + 1, n) if row[c]), 0j)
        result[column] = rest / row[column]
    return result
