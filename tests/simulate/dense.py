"""The naive solver compiled once per circuit: the yardstick of speed, and a second naive answer.

Closed contacts are 10 milliohm, wires are resistors too (or, merged, one node). Joints that no
contact and no coil touches are eliminated once, exactly, when the circuit is compiled; what is
left is one dense complex matrix that is assembled and solved anew (LAPACK) for every step of
every settling. Nothing is remembered.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable

import numpy as np

from tests.simulate import naive
from wiring.model.circuit import Circuit
from wiring.simulate.impedance import CONTACT_OHM

Pair = tuple[int, int]


class Dense:
    """One circuit of one frequency. merged: a wire's two ends are one node."""

    def __init__(self, circuit: Circuit, merged: bool = False) -> None:
        self.circuit = circuit
        self.merged = merged
        self._nodes()
        coils = [p for p in circuit.parts if p.kind in naive.DECIDING]
        self.coils = [p.name for p in coils]
        self.pairs = [self._pair(p.pins[0], p.pins[1]) for p in coils]
        self.thresholds = [naive.thresholds(circuit, p) for p in coils]
        self.contacts = [p for p in circuit.parts if p.kind == "contact"]
        self.contact_pairs = [self._pair(p.pins[0], p.pins[1]) for p in self.contacts]
        self.against = [
            {self.coils.index(b) for pair in circuit.interlocks if name in pair for b in pair if b != name}
            for name in self.coils
        ]
        f = naive.hertz(circuit)
        extra = []
        for p in coils:
            out = naive.impedance(circuit, p, frozenset(), f)
            sealed = naive.impedance(circuit, p, frozenset((p.name,)), f)
            assert out is not None
            assert sealed is not None
            extra.append(1 / sealed - 1 / out)
        self._condense()
        self._stamps(np.array([1 / CONTACT_OHM] * len(self.contacts) + extra, dtype=complex))

    def _nodes(self) -> None:
        root: dict[str, str] = {}

        def find(x: str) -> str:
            while root.setdefault(x, x) != x:
                x = root[x]
            return x

        for part in self.circuit.parts:
            for pin in part.pins:
                find(pin)
            if self.merged and part.kind in ("wire", "fuse"):
                root[find(part.pins[0])] = find(part.pins[1])
            if part.kind == "motor3":
                find(f"{part.name}*")
        earth = find(self.circuit.earth)
        number: dict[str, int] = {earth: -1}
        for pin in list(root):
            number.setdefault(find(pin), len(number) - 1)
        self.at = {pin: number[find(pin)] for pin in root}
        self.count = len(number) - 1

    def _pair(self, a: str, b: str) -> Pair:
        return self.at[a], self.at[b]

    def _matrix(self) -> tuple[np.ndarray, np.ndarray]:
        """Everything but contacts, with all coils out."""
        circuit = self.circuit
        stiff = [p for p in circuit.parts if p.kind in ("source", "transformer")]
        n = self.count
        matrix = np.zeros((n + len(stiff), n + len(stiff)), dtype=complex)
        right = np.zeros(n + len(stiff), dtype=complex)
        matrix[range(n), range(n)] += naive.GMIN
        for _, a, b, z in naive.branches(circuit, frozenset(), frozenset(), naive.hertz(circuit)):
            if self.at[a] != self.at[b]:
                put(matrix, self._pair(a, b), 1 / z)
        for k, part in enumerate(stiff, start=n):
            if part.kind == "source":
                weights = [(part.pins[0], 1.0), (part.pins[1], -1.0)]
                right[k] = cmath.rect(naive.value(part, "voltage"), math.radians(naive.value(part, "phase")))
                matrix[k, k] = -naive.ohms(circuit, part)
            else:
                ratio, z, idle = naive.two_port(part)
                p1, p2, s1, s2 = part.pins
                weights = [(s1, 1.0), (s2, -1.0), (p1, -ratio), (p2, ratio)]
                matrix[k, k] = -z
                put(matrix, self._pair(s1, s2), idle)
            for pin, weight in weights:
                if self.at[pin] >= 0:
                    matrix[self.at[pin], k] += weight
                    matrix[k, self.at[pin]] += weight
        return matrix, right

    def _condense(self) -> None:
        """Keep the nodes that switch or decide, and one row for earth (the last); drop the others."""
        matrix, right = self._matrix()
        switched = {node for pair in (*self.pairs, *self.contact_pairs) for node in pair}
        kept = [i for i in range(len(right)) if i in switched or i >= self.count]
        gone = [i for i in range(self.count) if i not in switched]
        across, inner = matrix[np.ix_(kept, gone)], matrix[np.ix_(gone, gone)]
        n = len(kept)
        self.base = np.zeros((n + 1, n + 1), dtype=complex)
        self.base[:n, :n] = matrix[np.ix_(kept, kept)]
        if gone:
            self.base[:n, :n] -= across @ np.linalg.solve(inner, matrix[np.ix_(gone, kept)])
        assert not right[gone].any()  # a source's voltage stands in its own row, which is kept
        self.right = right[kept]
        place = {node: i for i, node in enumerate(kept)} | {-1: n}
        self.pairs = [(place[a], place[b]) for a, b in self.pairs]
        self.contact_pairs = [(place[a], place[b]) for a, b in self.contact_pairs]

    def _stamps(self, admittance: np.ndarray) -> None:
        """Where each contact and each coil that is in goes in the matrix, and what it adds there."""
        a, b = np.array([*self.contact_pairs, *self.pairs]).T
        n = len(self.base)
        self.places = np.stack([a * n + a, b * n + b, a * n + b, b * n + a], axis=1)
        self.amounts = admittance[:, None] * np.array([1, 1, -1, -1])
        self.amounts[a == b] = 0
        causes = {name: i for i, name in enumerate({p.by: None for p in self.contacts})}
        self.cause_at = causes
        self.caused = np.array([causes[p.by] for p in self.contacts], dtype=int)
        self.normally_open = np.array([p.form == "NO" for p in self.contacts], dtype=bool)
        self.from_coil = [causes.get(f"coil:{name}", len(causes)) for name in self.coils]
        self.ends = np.array(self.pairs, dtype=int).reshape(-1, 2).T

    def settle(self, state: Iterable[str], start: Iterable[str] = ()) -> tuple[frozenset[str], int]:
        """Coils in at the end, and how many matrices were solved. Raises RuntimeError without an end."""
        operated = np.zeros(len(self.cause_at) + 1, dtype=bool)
        operated[[self.cause_at[name] for name in state if name in self.cause_at]] = True
        begun = set(start)
        now = [name in begun for name in self.coils]
        turn = 0
        for solved in range(1, 4 * len(now) + 10):
            across = self._across(operated, now)
            for step in range(len(now)):
                k = (turn + step) % len(now)
                pick, drop = self.thresholds[k]
                if (across[k] >= (drop if now[k] else pick)) != now[k] and (
                    now[k] or not any(now[other] for other in self.against[k])
                ):
                    now[k] = not now[k]
                    turn = k + 1
                    break
            else:
                return frozenset(n for n, is_in in zip(self.coils, now, strict=True) if is_in), solved
        raise RuntimeError(f"does not come to rest: {sorted(state)}")

    def _across(self, operated: np.ndarray, now: list[bool]) -> list[float]:
        """Volts across each coil with these inputs operated and these coils in."""
        causes = operated.copy()
        causes[self.from_coil] = now
        closed = np.concatenate((causes[self.caused] == self.normally_open, now))
        matrix = self.base.copy()
        np.add.at(matrix.reshape(-1), self.places[closed], self.amounts[closed])
        volts = np.zeros(len(matrix), dtype=complex)
        volts[:-1] = np.linalg.solve(matrix[:-1, :-1], self.right)
        found: list[float] = np.abs(volts[self.ends[0]] - volts[self.ends[1]]).tolist()
        return found


def put(matrix: np.ndarray, pair: Pair, g: complex) -> None:
    """Stamp one admittance between two nodes; -1 is earth."""
    a, b = pair
    if a >= 0:
        matrix[a, a] += g
    if b >= 0:
        matrix[b, b] += g
    if a >= 0 and b >= 0:
        matrix[a, b] -= g
        matrix[b, a] -= g
