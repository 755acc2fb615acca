"""Lanes that topology does not settle: grouped by pattern, one scalar solution per pattern.

A node without label may hang between two through loads. `soft` finds those lanes,
`leaves` parts them until every lane of a leaf has the same switches closed around
the hanging nodes, and one lane of each leaf is solved for all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

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


def lane_of(lanes: int) -> int:
    """Number of the lowest lane."""
    return (lanes & -lanes).bit_length() - 1


def solved(batch: Batch, cond: list[int], coils: list[int], lane: int) -> tuple[Solution, int, int]:
    """The scalar solution of one lane, its switch mask and its coil mask."""
    net = batch.net
    mask = net.rest
    for i in batch.active:
        bit = 1 << i
        mask = mask | bit if cond[i] >> lane & 1 else mask & ~bit
    coil_mask = 0
    for k, lanes in enumerate(coils):
        if lanes >> lane & 1:
            coil_mask |= 1 << k
    return solve(net, mask, coil_mask), mask, coil_mask


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
    ways = [(cond[i] & floating[u] & floating[v], u, v) for i, u, v in edges]
    ways += [(floating[u] & floating[v], u, v) for _, u, v in loads]
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


def around(
    edges: list[Edge], loads: list[Hanging], cond: list[int], reach: list[list[int]], touched: list[int]
) -> Iterator[int]:
    """The integers that decide what hangs on the touched nodes: switches at them, labels across loads."""
    for i, u, v in edges:
        near = touched[u] & touched[v]  # a closed switch to a node with a label leaves nothing hanging
        if near:
            yield cond[i] & near
    for _, a, b in loads:
        if touched[a] or touched[b]:
            for one in reach:
                yield one[a] & touched[b]
                yield one[b] & touched[a]


def label_of(batch: Batch, reach: list[list[int]], node: int, lane: int) -> Ends:
    """The label of a node in one lane."""
    for one, label in zip(reach, batch.labels, strict=False):
        if one[node] >> lane & 1:
            return label.frame, label.volts
    return None


def island(
    batch: Batch, loads: list[Hanging], edges: list[Edge], cond: list[int], coils: list[int],
    reach: list[list[int]], touched: list[int], lane: int,
) -> tuple[object, ...]:  # fmt: skip
    """Every load at a touched node in one lane, with the labels or the hanging groups of its ends:
    equal for lanes in which these loads carry the same currents."""
    here = [lanes >> lane & 1 for lanes in touched]
    parent: dict[int, int] = {}

    def find(n: int) -> int:
        while parent.setdefault(n, n) != n:
            n = parent[n]
        return n

    for i, u, v in edges:
        if here[u] and here[v] and cond[i] >> lane & 1:
            parent[find(u)] = find(v)
    found: list[object] = []
    names: dict[int, int] = {}
    for n, a, b in loads:
        if here[a] or here[b]:
            ends = [
                names.setdefault(find(x), len(names)) if here[x] else label_of(batch, reach, x, lane)
                for x in (a, b)
            ]
            coil = batch.net.loads[n].coil
            found.append((n, *ends, coil >= 0 and coils[coil] >> lane & 1))
    return tuple(found)
