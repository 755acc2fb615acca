"""The naive solver compiled once per circuit: the yardstick of speed, and a second naive answer.

Closed contacts are 10 milliohm, wires are resistors too (or, merged, one node), everything is
one dense complex matrix that is solved anew for every step of every settling. Nothing is
remembered.
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
        self.base, self.right = self._matrix()
        f = naive.hertz(circuit)
        self.extra = []
        for p in coils:
            out = naive.impedance(circuit, p, frozenset(), f)
            sealed = naive.impedance(circuit, p, frozenset((p.name,)), f)
            assert out is not None
            assert sealed is not None
            self.extra.append(1 / sealed - 1 / out)

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

    def settle(self, state: Iterable[str], start: Iterable[str] = ()) -> tuple[frozenset[str], int]:
        """Coils in at the end, and how many matrices were solved. Raises RuntimeError without an end."""
        operated = set(state)
        now = [name in set(start) for name in self.coils]
        turn = 0
        for solved in range(1, 4 * len(now) + 10):
            volts = self._volts(operated, now)
            for step in range(len(now)):
                k = (turn + step) % len(now)
                a, b = self.pairs[k]
                across = abs((volts[a] if a >= 0 else 0j) - (volts[b] if b >= 0 else 0j))
                pick, drop = self.thresholds[k]
                if (across >= (drop if now[k] else pick)) != now[k] and (
                    now[k] or not any(now[other] for other in self.against[k])
                ):
                    now[k] = not now[k]
                    turn = k + 1
                    break
            else:
                return frozenset(n for n, is_in in zip(self.coils, now, strict=True) if is_in), solved
        raise RuntimeError(f"does not come to rest: {sorted(operated)}")

    def _volts(self, operated: set[str], now: list[bool]) -> np.ndarray:
        causes = operated | {f"coil:{n}" for n, is_in in zip(self.coils, now, strict=True) if is_in}
        matrix = self.base.copy()
        for part, pair in zip(self.contacts, self.contact_pairs, strict=True):
            if (part.by in causes) == (part.form == "NO") and pair[0] != pair[1]:
                put(matrix, pair, 1 / CONTACT_OHM)
        for k, is_in in enumerate(now):
            if is_in:
                put(matrix, self.pairs[k], self.extra[k])
        found: np.ndarray = np.linalg.solve(matrix, self.right)
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
