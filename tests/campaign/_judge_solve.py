"""The judge's own circuit arithmetic: closed contacts merge points, what is left is solved as it is.

Sources are ideal. Points tied by sources move together, so the unknowns are one per tied group;
alternating and direct current are solved apart and added. A loop of sources that does not close is
a short.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable

import numpy as np

from tests.campaign._judge_net import Net, Piece

#: Leak from every group to the reference [S]: keeps a floating group solvable, far below any load.
LEAK = 1e-9
MEAN = {"half": math.sqrt(2) / math.pi, "full": 2 * math.sqrt(2) / math.pi}


class Solved:
    """Voltages of one pattern of closed contacts. shorts: sources that are bridged."""

    def __init__(self, volts: dict[str, tuple[complex, float]], shorts: tuple[str, ...]) -> None:
        self.volts = volts  # piece to (alternating phasor, direct volts) across it, first pin first
        self.shorts = shorts

    def across(self, name: str) -> float:
        """Voltage across a piece, alternating and direct together [V rms]."""
        ac, dc = self.volts.get(name, (0j, 0.0))
        return math.hypot(abs(ac), dc)


class Solver:
    """One net, solved for any pattern of closed contacts and coil states; answers are kept."""

    def __init__(self, net: Net, bridges: Iterable[tuple[str, str]] = ()) -> None:
        self.net = net
        pieces = net.pieces.values()
        points = sorted({pin for p in pieces for pin in p.pins} | {end for b in bridges for end in b})
        self.index = {point: n for n, point in enumerate(points)}
        self.base = list(range(len(points)))
        for piece in pieces:
            if piece.kind in ("wire", "fuse"):
                join(self.base, self.index[piece.pins[0]], self.index[piece.pins[1]])
        for one, other in bridges:
            join(self.base, self.index[one], self.index[other])
        self.hertz = max((p.figures["frequency"] for p in pieces if p.kind == "source"), default=0.0)
        self.sources = [p for p in pieces if p.kind == "source"]
        self.transformers = [p for p in pieces if p.kind in ("transformer", "rectifier")]
        still = ("contact", "wire", "fuse", "source")
        self.loads = [p for p in pieces if p.kind not in (*still, "rectifier")]
        self.memo: dict[tuple[frozenset[str], frozenset[str]], Solved] = {}

    def solve(self, closed: frozenset[str], coils: frozenset[str]) -> Solved:
        """The voltages with these contacts closed and these coils in."""
        key = (closed, coils)
        if key not in self.memo:
            self.memo[key] = self.work(closed, coils)
        return self.memo[key]

    def nodes(self, closed: Iterable[str]) -> list[int]:
        """The merged node of every point."""
        merged = list(self.base)
        for name in closed:
            piece = self.net.pieces[name]
            join(merged, self.index[piece.pins[0]], self.index[piece.pins[1]])
        return [root(merged, n) for n in range(len(merged))]

    def work(self, closed: frozenset[str], coils: frozenset[str]) -> Solved:
        """Sources first, then what transformers and rectifiers make of them, until nothing is new."""
        node = self.nodes(closed)
        ties = [(self.at(node, p), *self.emf(p), p.name) for p in self.sources]
        known: dict[str, tuple[complex, float]] = {}
        for _ in range(4):
            answer = self.linear(node, ties, coils)
            fresh = []
            for piece in self.transformers:
                made = secondary(piece, answer.volts)
                old = known.get(piece.name)
                if made and (old is None or abs(made[0] - old[0]) + abs(made[1] - old[1]) > 1e-6):
                    known[piece.name] = made
                    fresh.append(piece.name)
            if not fresh:
                return answer
            ties = [(self.at(node, p), *self.emf(p), p.name) for p in self.sources]
            ties += [
                ((node[self.index[p.pins[2]]], node[self.index[p.pins[3]]]), *known[p.name], p.name)
                for p in self.transformers if p.name in known
            ]  # fmt: skip
        return answer

    def at(self, node: list[int], piece: Piece) -> tuple[int, int]:
        """The two nodes of a piece."""
        return node[self.index[piece.pins[0]]], node[self.index[piece.pins[1]]]

    def emf(self, piece: Piece) -> tuple[complex, float]:
        """Alternating phasor and direct voltage of a source."""
        volts = piece.figures["voltage"]
        if piece.figures["frequency"]:
            return cmath.rect(volts, math.radians(piece.figures.get("phase", 0.0))), 0.0
        return 0j, volts

    def branches(self, node: list[int], coils: frozenset[str]) -> list[tuple[str, int, int, complex, float]]:
        """Every load as (name, node, node, admittance at the supply's frequency, at direct current)."""
        found = []
        for piece in self.loads:
            at = [node[self.index[pin]] for pin in piece.pins]
            ac, dc = admittance(piece, self.hertz, piece.name in coils)
            if piece.kind == "motor3":
                found += [(f"{piece.name}.{a}{b}", at[i], at[j], ac, dc) for a, b, i, j in DELTA]
            else:
                found.append((piece.name, at[0], at[1], ac, dc))
        for piece in self.transformers:
            if piece.kind == "rectifier":
                found.append((piece.name, *self.at(node, piece), 1e-6 + 0j, 1e-6))
        return found

    def linear(
        self, node: list[int], ties: list[tuple[tuple[int, int], complex, float, str]], coils: frozenset[str]
    ) -> Solved:
        """One solution with every source known."""
        group, level, shorts = tied(set(node), ties)
        branches = self.branches(node, coils)
        volts: dict[str, tuple[complex, float]] = {}
        acs = solve_groups(group, {n: v[0] for n, v in level.items()}, [(b[1], b[2], b[3]) for b in branches])
        direct = any(v[1] for v in level.values())
        dcs = (
            solve_groups(group, {n: v[1] for n, v in level.items()}, [(b[1], b[2], b[4]) for b in branches])
            if direct else {}
        )  # fmt: skip
        for name, one, other, _, _ in branches:
            dc = (dcs[one] - dcs[other]).real if direct else 0.0
            volts[name] = (acs[one] - acs[other], dc)
        return Solved(volts, tuple(shorts))


DELTA = (("U", "V", 0, 1), ("V", "W", 1, 2), ("W", "U", 2, 0))


def root(merged: list[int], n: int) -> int:
    """The representative of a point."""
    while merged[n] != n:
        merged[n] = merged[merged[n]]
        n = merged[n]
    return n


def join(merged: list[int], one: int, other: int) -> None:
    """Two points become one node."""
    a, b = root(merged, one), root(merged, other)
    merged[max(a, b)] = min(a, b)


def tied(
    nodes: set[int], ties: list[tuple[tuple[int, int], complex, float, str]]
) -> tuple[dict[int, int], dict[int, tuple[complex, float]], list[str]]:
    """Group of every node, its level in it, and the sources whose loop does not close."""
    group = {n: n for n in nodes}
    level: dict[int, tuple[complex, float]] = dict.fromkeys(nodes, (0j, 0.0))
    members: dict[int, list[int]] = {n: [n] for n in nodes}
    shorts = []
    for (plus, minus), ac, dc, name in ties:
        gap = (level[plus][0] - level[minus][0] - ac, level[plus][1] - level[minus][1] - dc)
        if group[plus] == group[minus]:
            if abs(gap[0]) + abs(gap[1]) > 0.02 * (abs(ac) + abs(dc)) + 1e-6:
                shorts.append(name)
            continue
        kept, gone = group[minus], group[plus]
        for n in members.pop(gone):
            level[n] = (level[n][0] - gap[0], level[n][1] - gap[1])
            group[n] = kept
            members[kept].append(n)
    return group, level, shorts


def solve_groups(
    group: dict[int, int], level: dict[int, complex], branches: list[tuple[int, int, complex]]
) -> dict[int, complex]:
    """Potential of every node: one unknown per tied group, the leak as the reference."""
    ids = {g: n for n, g in enumerate(sorted(set(group.values())))}
    matrix = np.zeros((len(ids), len(ids)), dtype=complex)
    right = np.zeros(len(ids), dtype=complex)
    for one, other, admit in branches:
        a, b = ids[group[one]], ids[group[other]]
        if a == b or not admit:
            continue
        push = admit * (level[one] - level[other])
        matrix[a, a] += admit
        matrix[b, b] += admit
        matrix[a, b] -= admit
        matrix[b, a] -= admit
        right[a] -= push
        right[b] += push
    matrix[np.diag_indices(len(ids))] += LEAK
    found = np.linalg.solve(matrix, right)
    return {n: complex(found[ids[g]]) + level[n] for n, g in group.items()}


def secondary(piece: Piece, volts: dict[str, tuple[complex, float]]) -> tuple[complex, float] | None:
    """What a transformer or rectifier makes of the voltage at its input; None where there is none."""
    ac, _ = volts.get(piece.name, (0j, 0.0))
    if abs(ac) < 1.0:
        return None
    if piece.kind == "rectifier":
        return 0j, abs(ac) * MEAN.get(piece.rect, MEAN["full"])
    return ac * piece.figures["secondary"] / piece.figures["primary"], 0.0


def admittance(piece: Piece, hertz: float, sealed: bool) -> tuple[complex, float]:
    """Admittance [S] of a load at the supply's frequency and at direct current."""
    f = piece.figures
    kind = piece.kind
    if kind == "coil":
        direct = 1.0 / f["resistance"] if "resistance" in f else 0.0
        key = "sealed" if sealed else "inrush"
        if not hertz or f.get("frequency") == 0.0 or key not in f:
            return complex(direct), direct
        size, cosine = f[key] / f["voltage"] ** 2, f[f"{key}_pf"]
        return size * complex(cosine, -math.sqrt(1 - cosine**2)), direct
    if kind in ("winding", "motor3"):
        ohms = complex(f["run_r"], f["run_x"] if hertz else 0.0)
        share = 1 / 3 if kind == "motor3" else 1.0
        return share / ohms, share / (f["resistance"] if hertz else f["run_r"])
    if kind == "capacitor":
        return complex(0, 2 * math.pi * hertz * f["capacitance"]), 0.0
    if kind == "brake":
        return complex(MEAN.get(piece.rect, 1.0) ** 2 / f["resistance"]), 1.0 / f["resistance"]
    if kind == "supply-input":
        return complex(f["power"] / (f["minimum"] * f["maximum"])), f["power"] / (f["minimum"] * f["maximum"])
    if kind == "load":
        return 1 / complex(f["resistance"], f.get("reactance", 0.0)), 1 / f["resistance"]
    if kind == "drive-input":
        return complex(1 / f["resistance"]), 1 / f["resistance"]
    if kind == "semiconductor":
        return complex(f.get("leakage", 0.0) / 230.0), f.get("leakage", 0.0) / 24.0
    if kind == "suppressor":
        if piece.rect == "bleeder":
            return complex(1 / f["resistance"]), 1 / f["resistance"]
        if piece.rect == "rc" and hertz:
            return 1 / complex(f["resistance"], -1 / (2 * math.pi * hertz * f["capacitance"])), 0.0
        return 0j, 0.0
    return complex(1e-6), 1e-6  # a transformer's primary draws next to nothing
