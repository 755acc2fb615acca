"""The part of a batch that one source terminal can reach, and how it spreads there.

Most of a control circuit is a tree of contacts: there one pass from the terminal outwards
is the whole answer. Only where contacts form a ring does the spreading have to be repeated
until nothing changes; a region knows its rings.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

Edge = tuple[int, int, int]  # switch number, node, node


@dataclass(frozen=True, slots=True)
class Region:
    """edges: nearest first; numbers: their switches; nodes: all their ends and the start; steps:
    (is a ring, edges) from the start outwards, edges outside rings as (switch, from, to)."""

    edges: tuple[Edge, ...]
    numbers: frozenset[int]
    nodes: tuple[int, ...]
    steps: tuple[tuple[bool, tuple[Edge, ...]], ...]


def neighbours(edges: list[Edge]) -> dict[int, list[Edge]]:
    """Node to the edges at it."""
    near: dict[int, list[Edge]] = {}
    for edge in edges:
        near.setdefault(edge[1], []).append(edge)
        near.setdefault(edge[2], []).append(edge)
    return near


def region(start: int, near: dict[int, list[Edge]], walls: set[int]) -> Region:
    """What `start` can reach. walls: nodes that end the search (other terminals of its frame)."""
    parent: dict[int, int] = {start: start}
    depth = {start: 0}
    order: dict[int, Edge] = {}
    queue = deque([start])
    while queue:
        node = queue.popleft()
        if node in walls:
            continue
        for edge in near.get(node, ()):
            if edge[0] not in order:
                order[edge[0]] = edge
                other = edge[2] if edge[1] == node else edge[1]
                if other not in parent:
                    parent[other], depth[other] = node, depth[node] + 1
                    queue.append(other)
    edges = tuple(order.values())
    return Region(edges, frozenset(order), tuple(parent), _steps(start, edges, parent, depth))


def _steps(
    start: int, edges: tuple[Edge, ...], parent: dict[int, int], depth: dict[int, int]
) -> tuple[tuple[bool, tuple[Edge, ...]], ...]:
    """The edges as a tree of rings: every ring is named by its node nearest the start."""
    top = {node: node for node in parent}

    def find(node: int) -> int:
        while top[node] != node:
            top[node] = node = top[top[node]]
        return node

    for _, u, v in edges:
        if parent[u] == v or parent[v] == u:
            continue
        u, v = find(u), find(v)
        while u != v:
            if depth[u] < depth[v]:
                u, v = v, u
            top[u] = find(parent[u])
            u = top[u]
    rings: dict[int, list[Edge]] = {}
    ways: dict[int, list[Edge]] = {}
    for i, u, v in edges:
        at = find(u)
        if at == find(v):
            rings.setdefault(at, []).append((i, u, v))
        elif parent[v] == u:
            ways.setdefault(at, []).append((i, u, v))
        else:
            ways.setdefault(find(v), []).append((i, v, u))
    steps: list[tuple[bool, list[Edge]]] = []
    queue = deque([find(start)])
    while queue:
        at = queue.popleft()
        if at in rings:
            steps.append((True, rings[at]))
        if at in ways:
            if steps and not steps[-1][0]:
                steps[-1][1].extend(ways[at])
            else:
                steps.append((False, list(ways[at])))
            queue.extend(dict.fromkeys(find(v) for _, _, v in ways[at]))
    return tuple((ring, tuple(found)) for ring, found in steps)


def flood(part: Region, cond: list[int], node: int, lanes: int, count: int) -> list[int]:
    """In which lanes each node is joined to `node` (there: `lanes`), by closed switches."""
    reach = [0] * count
    reach[node] = lanes
    for ring, edges in part.steps:
        if ring:
            _around(edges, cond, reach)
            continue
        for i, u, v in edges:
            new = reach[u] & cond[i]
            if new:
                reach[v] |= new
    return reach


def _around(edges: tuple[Edge, ...], cond: list[int], reach: list[int]) -> None:
    """Spread over a ring, there and back, until nothing changes."""
    ways = (edges, edges[::-1])
    turn, again = 0, True
    while again:
        again = False
        for i, u, v in ways[turn]:
            new = (reach[u] ^ reach[v]) & cond[i]
            if new:
                reach[u] |= new
                reach[v] |= new
                again = True
        turn ^= 1
