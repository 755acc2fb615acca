"""Lanes that topology does not settle: grouped by pattern, one scalar solution per pattern.

A node without label may hang between two through loads. `soft` finds those lanes,
`leaves` parts them until every lane of a leaf has the same switches closed around
the hanging nodes, and one lane of each leaf is solved for all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from wiring.simulate.lanes_batch import Batch
from wiring.simulate.lanes_region import Edge
from wiring.simulate.motions import Turning, turning
from wiring.simulate.solve import Solution, solve

#: A load in lanes: its number and its two nodes in the batch.
Hanging = tuple[int, int, int]
#: What a node is joined to in one lane: frame and voltage of a label, None where it hangs.
Ends = tuple[int, complex] | None


def leaves(lanes: int, bits: Iterable[int]) -> Iterator[int]:
    """Part `lanes` until no integer of `bits` splits a part."""
    parts = [lanes] if lanes else []
    for bit in bits:
        if not bit & lanes:
            continue
        split = []
        for part in parts:
            inside = part & bit
            if inside and inside != part:
                split += [inside, part ^ inside]
            else:
                split.append(part)
        parts = split
    return iter(parts)


def parted(lanes: int, marks: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Part `lanes` as `leaves` does. marks: (bits of a name, lanes in which it holds); every part comes
    with the bits of all that hold in it."""
    alike: dict[int, int] = {}
    for sign, where in marks:
        if where & lanes:
            alike[where & lanes] = alike.get(where & lanes, 0) | sign
    parts = [(lanes, 0)] if lanes else []
    for where, sign in alike.items():
        split = []
        for part, signs in parts:
            inside = part & where
            if inside == part:
                split.append((part, signs | sign))
            elif inside:
                split += [(inside, signs | sign), (part ^ inside, signs)]
            else:
                split.append((part, signs))
        parts = split
    return parts


def lane_of(lanes: int) -> int:
    """Number of the lowest lane."""
    return (lanes & -lanes).bit_length() - 1


class Masks:
    """Switch and coil masks of single lanes of one moment. lanes: where they are asked for."""

    def __init__(self, batch: Batch, cond: Sequence[int], coils: Sequence[int], lanes: int) -> None:
        self.net = batch.net
        self.mask, self.moving = self.net.rest, list[tuple[int, int]]()
        for i in batch.active:
            closed = cond[i] & lanes
            self.mask = self.mask | 1 << i if closed == lanes else self.mask & ~(1 << i)
            if closed and closed != lanes:
                self.moving.append((closed, 1 << i))
        self.coils = [(got, 1 << k) for k, got in enumerate(coils) if got]

    def solved(self, lane: int) -> tuple[Solution, int, int]:
        """The scalar solution of one lane, its switch mask and its coil mask."""
        bit, mask, coils = 1 << lane, self.mask, 0
        for lanes, one in self.moving:
            if lanes & bit:
                mask |= one
        for lanes, one in self.coils:
            if lanes & bit:
                coils |= one
        return solve(self.net, mask, coils), mask, coils


def solved(batch: Batch, cond: list[int], coils: list[int], lane: int) -> tuple[Solution, int, int]:
    """The scalar solution of one lane, its switch mask and its coil mask."""
    return Masks(batch, cond, coils, 1 << lane).solved(lane)


def turned(batch: Batch, cond: list[int], coils: list[int], lane: int) -> Turning:
    """What moves in one lane. Memoised by its pattern."""
    solution, mask, coil_mask = solved(batch, cond, coils, lane)
    key = ("turning", mask, coil_mask)
    found = batch.board.memo.get(key)
    if found is None:
        found = batch.board.memo[key] = turning(batch.net, solution, coil_mask)
    return found  # type: ignore[return-value]


def hanging(batch: Batch) -> list[Hanging]:
    """Every load that can carry current between two nodes of the batch."""
    net = batch.net
    found = []
    for i, load in enumerate(net.loads):
        a = batch.node[load.a]
        b = batch.node[load.b]
        if a != b and load.switch < 0:
            found.append((i, a, b))
    return found


def soft(
    batch: Batch, loads: list[Hanging], edges: list[Edge], cond: list[int],
    reach: list[list[int]], hard: list[int], own: list[int], lanes: int,
) -> tuple[list[int], list[int]]:  # fmt: skip
    """Nodes without label that some label reaches through loads (`touched`), and those reached
    from two different labels (`torn`), as lanes per node."""
    touched, torn = [0] * batch.count, [0] * batch.count
    floating = [lanes & (lanes ^ h) for h in hard]
    ways = []
    for i, u, v in edges:
        if cond[i] and floating[u] and floating[v]:
            ways.append((cond[i] & floating[u] & floating[v], u, v))
    for _, u, v in loads:
        if floating[u] and floating[v]:
            ways.append((floating[u] & floating[v], u, v))
    ways = [way for way in ways if way[0]]
    ends = [(a, b) for _, a, b in loads if floating[a] or floating[b]]
    for one, mine in zip(reach, own, strict=True):
        here = [0] * batch.count
        for a, b in ends:
            if one[a]:
                here[b] |= one[a] & floating[b] & mine
            if one[b]:
                here[a] |= one[b] & floating[a] & mine
        if any(here):
            _spread(ways, here)
            for node, got in enumerate(here):
                if got:
                    torn[node] |= touched[node] & got
                    touched[node] |= got
    return touched, torn


def _spread(ways: list[tuple[int, int, int]], here: list[int]) -> None:
    """Let the lanes of `here` run along the ways (lanes, node, node) until nothing changes."""
    again = True
    while again:
        again = False
        for lanes, u, v in ways:
            new = (here[u] ^ here[v]) & lanes
            if new:
                here[u] |= new
                here[v] |= new
                again = True


#: What holds in some lanes: a closed switch, or a label across a load from a node that hangs.
Name = tuple[object, ...]


def around(
    edges: list[Edge], loads: list[Hanging], cond: list[int], reach: list[list[int]], touched: list[int]
) -> Iterator[tuple[Name, int]]:
    """What decides what hangs on the touched nodes, with its lanes: switches at them, labels (by
    number) across loads."""
    for i, u, v in edges:
        near = touched[u] & touched[v]  # a closed switch to a node with a label leaves nothing hanging
        if near and cond[i] & near:
            yield ("switch", i), cond[i] & near
    for n, a, b in loads:
        if touched[a] or touched[b]:
            for label, one in enumerate(reach):
                if one[a] & touched[b]:
                    yield ("load", n, 0, label), one[a] & touched[b]
                if one[b] & touched[a]:
                    yield ("load", n, 1, label), one[b] & touched[a]


def label_of(batch: Batch, reach: list[list[int]], node: int, lane: int) -> Ends:
    """The label of a node in one lane."""
    for one, label in zip(reach, batch.labels, strict=False):
        if one[node] >> lane & 1:
            return label.frame, label.volts
    return None


class Islands:
    """What hangs on the touched nodes of one moment, lane by lane."""

    def __init__(
        self, batch: Batch, loads: list[Hanging], edges: list[Edge], cond: list[int], coils: list[int],
        reach: list[list[int]], touched: list[int],
    ) -> None:  # fmt: skip
        self.touched = touched
        self.known: dict[int, tuple[object, ...]] = {}
        ties = ((cond[i] & touched[u] & touched[v], u, v) for i, u, v in edges)
        self.ties = [tie for tie in ties if tie[0]]
        self.loads: list[tuple[int, int, int, int, int]] = []
        for n, a, b in loads:
            either = touched[a] | touched[b]
            if either:
                coil = batch.net.loads[n].coil
                self.loads.append((n, a, b, either, coils[coil] if coil >= 0 else 0))
        self.labels: dict[int, list[tuple[int, Ends]]] = {}
        for node in {node for _, a, b, _, _ in self.loads for node in (a, b)}:
            pairs = zip(reach, batch.labels, strict=False)
            self.labels[node] = [(one[node], (at.frame, at.volts)) for one, at in pairs if one[node]]

    def key(self, lane: int) -> tuple[object, ...]:
        """Every load at a touched node in one lane, with the labels or the hanging groups of its ends:
        equal for lanes in which these loads carry the same currents."""
        found = self.known.get(lane)
        if found is None:
            found = self.known[lane] = self._key(1 << lane)
        return found

    def _key(self, bit: int) -> tuple[object, ...]:
        parent: dict[int, int] = {}
        for lanes, u, v in self.ties:
            if lanes & bit:
                while u in parent:
                    u = parent[u]
                while v in parent:
                    v = parent[v]
                if u != v:
                    parent[u] = v
        touched, names = self.touched, dict[int, int]()
        ends: dict[int, int | Ends] = {}  # node to the number of its hanging group, or its label
        found: list[object] = []
        for n, a, b, either, sealed in self.loads:
            if either & bit:
                for node in (a, b):
                    if node in ends:
                        continue
                    if touched[node] & bit:
                        top = node
                        while top in parent:
                            top = parent[top]
                        ends[node] = names.setdefault(top, len(names))
                    else:
                        ends[node] = next((at for lanes, at in self.labels[node] if lanes & bit), None)
                found.append((n, ends[a], ends[b], bool(sealed & bit)))
        return tuple(found)
