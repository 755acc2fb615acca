"""The groups that loads join, solved island by island at one frequency."""

from __future__ import annotations

from wiring.simulate.contract import Contraction
from wiring.simulate.elements import Transformer
from wiring.simulate.network import Network

#: edges of a group: (other group, offset here minus offset there, admittance)
Edges = dict[int, list[tuple[int, complex, complex]]]
Port = tuple[tuple[int, complex], ...]


class Islands:
    """Voltages of one contraction. y: admittance of each load [S]; solved: a linear system was needed.

    value: group to the voltage of its offset 0 [V], for the islands looked at so far;
    tied: groups of them that something ties to earth.
    """

    __slots__ = ("cut", "earth", "group", "network", "offset", "ports", "solved", "tied", "value", "y")

    def __init__(self, network: Network, cut: Contraction, f: int, y: tuple[complex, ...]) -> None:
        self.network, self.cut, self.y = network, cut, y
        self.group, self.offset = cut.group, cut.offset[f]
        self.earth = self.group[network.earth] if network.earth >= 0 else -1
        self.value: dict[int, complex] = {self.earth: 0j}
        self.tied: set[int] = {self.earth}
        self.solved = False
        self.ports: list[tuple[Port, set[int]]] = []
        for i, t in enumerate(network.transformers):
            if i not in cut.resolved:
                self._couple(t)

    def across(self, index: int) -> complex:
        """Phasor over one load [V]."""
        load = self.network.loads[index]
        a, b = self.group[load.a], self.group[load.b]
        if a == b:
            return self.offset[load.a] - self.offset[load.b]
        if a not in self.value:
            if self._alone(a, index):
                return 0j
            self._look(a)
        if b not in self.value:
            if self._alone(b, index):
                return 0j
            self._look(b)
        return self.value[a] + self.offset[load.a] - self.value[b] - self.offset[load.b]

    def _alone(self, g: int, index: int) -> bool:
        """True where nothing but this load leads away from the group: no current, no voltage."""
        if self.ports:
            return False
        group, y, near = self.group, self.y, self.network.near
        for node in self.cut.members[g]:
            for i, other in near[node]:
                if i != index and y[i] and group[other] != g:
                    return False
        return True

    def potential(self, node: int) -> complex | None:
        """Phasor of a node against earth [V], None where nothing ties it to earth."""
        group = self.group[node]
        if group not in self.value:
            self._look(group)
        return self.value[group] + self.offset[node] if group in self.tied else None

    def _couple(self, t: Transformer) -> None:
        """A transformer whose sides are not settled: its coupling and its no-load current.

        Each is a port: weights w of nodes, with the current w * sum(w V) into each.
        """
        if self.group[t.p1] == self.group[t.p2] and self.group[t.s1] == self.group[t.s2]:
            return
        root = complex(1.0 / t.impedance) ** 0.5
        ratio = t.ratio * root
        idle = complex(t.no_load or 1e-9) ** 0.5
        for port in (
            ((t.s1, root), (t.s2, -root), (t.p1, -ratio), (t.p2, ratio)),
            ((t.s1, idle), (t.s2, -idle)),
        ):
            self.ports.append((port, {self.group[node] for node, _ in port}))

    # -- one island ---------------------------------------------------------------------------
    def _look(self, start: int) -> None:
        """Give every group of the island of `start` its voltage."""
        edges, island = self._reach(start)
        if len(island) == 1:
            self.value[start] = 0j
            return
        held = {self.earth} if self.earth in island else set()
        for _, groups in self.ports:
            if groups & island:
                held |= groups
        hung = self._hang(edges, held, island)
        grounded = self.earth in island
        left = [g for g in island if g in edges or g in held]
        reference = self.earth if grounded else min(left or island)
        self.value[reference] = 0j
        self._system(edges, sorted(g for g in left if g != reference))
        for g, other, d in reversed(hung):
            self.value[g] = self.value.setdefault(other, 0j) - d
        if grounded:
            self.tied |= island

    def _reach(self, start: int) -> tuple[Edges, set[int]]:
        """The island of a group and the edges in it; the group at earth ends it."""
        network, group, offset, y = self.network, self.group, self.offset, self.y
        seen, queue = {start}, [start]
        edges: Edges = {}
        while queue:
            g = queue.pop()
            if g == self.earth:
                continue
            mine: list[tuple[int, complex, complex]] = []
            for node in self.cut.members[g]:
                for i, other_node in network.near[node]:
                    o = group[other_node]
                    if o != g and y[i]:
                        d = offset[node] - offset[other_node]
                        mine.append((o, d, y[i]))
                        if o == self.earth:
                            edges.setdefault(o, []).append((g, -d, y[i]))
                        if o not in seen:
                            seen.add(o)
                            queue.append(o)
            if mine:
                edges[g] = mine
            for _, groups in self.ports:
                if g in groups:
                    queue += groups - seen
                    seen |= groups
        return edges, seen

    def _hang(self, edges: Edges, held: set[int], island: set[int]) -> list[tuple[int, int, complex]]:
        """Groups tied to one single potential, in the order they were taken off."""
        hung: list[tuple[int, int, complex]] = []
        near = 1e-9 * max(1.0, self.network.nominal)
        queue = [g for g in island if g not in held]
        while queue:
            g = queue.pop()
            mine = edges.get(g)
            if not mine or g in held:
                continue
            other, d, _ = mine[0]
            if any(o != other or abs(x - d) > near for o, x, _ in mine):
                continue
            hung.append((g, other, d))
            del edges[g]
            left = [e for e in edges.get(other, ()) if e[0] != g]
            if left:
                edges[other] = left
            else:
                edges.pop(other, None)
            if other not in held:
                queue.append(other)
        return hung

    def _system(self, edges: Edges, unknown: list[int]) -> None:
        """Node equations of the groups that are left."""
        n = len(unknown)
        if not n:
            return
        self.solved = True
        at = {g: i for i, g in enumerate(unknown)}
        matrix = [[0j] * (n + 1) for _ in range(n)]
        for g in unknown:
            i = at[g]
            row = matrix[i]
            for other, d, y in edges.get(g, ()):
                row[i] += y
                row[n] -= y * d
                if other in at:
                    row[at[other]] -= y
        for port, groups in self.ports:
            if not groups.isdisjoint(at):
                self._stamp(matrix, at, port)
        if n == 1:
            row = matrix[0]
            self.value[unknown[0]] = row[1] / row[0] if row[0] else 0j
            return
        for g, v in zip(unknown, gauss(matrix), strict=True):
            self.value[g] = v

    def _stamp(self, matrix: list[list[complex]], at: dict[int, int], port: Port) -> None:
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
