"""Wires on the grid: feeds through rows, tracks in the channels between them.

Channel k lies above row k. A net runs on one horizontal track in every channel
it needs and passes rows on feeds: in an empty place of a column, or in a lane
of a gap between columns. Two nets never share a piece of line, and a crossing
never falls on a corner, so that a dot is the only thing that joins.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

PITCH = 2.5  # between tracks and between lanes [mm]
MARGIN = 1.5  # between a row and the next track [mm]


class Spot(NamedTuple):
    """A place across the rows: the middle of a column, or lane `lane` of the gap right of `column`."""

    column: int
    lane: int = -1


class Port(NamedTuple):
    """Where a net enters a channel. above: from the row over it."""

    spot: Spot
    above: bool


@dataclass(frozen=True, slots=True)
class Tap:
    """A pin on the grid. top: on the upper edge of its row."""

    net: int
    row: int
    column: int
    top: bool


@dataclass
class Plan:
    """Feeds and ports of every net, and how many lanes each gap has."""

    rows: int
    columns: int
    ports: dict[int, dict[int, list[Port]]] = field(default_factory=dict)  # channel -> net -> ports
    feeds: list[tuple[int, int, int, Spot]] = field(default_factory=list)  # net, first row, last row, where
    lanes: dict[int, int] = field(default_factory=dict)  # gap -> lanes
    inside: set[tuple[int, int]] = field(default_factory=set)  # (row, gap) that a lane cannot use


def plan_feeds(
    taps: Iterable[Tap], taken: set[tuple[int, int]], inside: set[tuple[int, int]], rows: int, columns: int
) -> Plan:
    """Choose how each net passes the rows between its pins.

    taken: (row, column) with an item; inside: (row, gap) between two columns of one item.
    """
    plan = Plan(rows, columns, {k: defaultdict(list) for k in range(rows + 1)}, inside=inside)
    by_net: dict[int, list[Tap]] = defaultdict(list)
    for tap in taps:
        by_net[tap.net].append(tap)
        channel = tap.row if tap.top else tap.row + 1
        plan.ports[channel][tap.net].append(Port(Spot(tap.column), not tap.top))
    busy = set(taken)
    lanes: dict[int, list[set[int]]] = defaultdict(list)
    jobs: list[tuple[int, int, int]] = []
    for net in sorted(by_net):
        channels = sorted({tap.row if tap.top else tap.row + 1 for tap in by_net[net]})
        jobs += [(net, a, b) for a, b in itertools.pairwise(channels)]
    # straight feeds first: they must not lose their column to another net
    ranked = sorted(jobs, key=lambda job: (_straight(plan, busy, job) < 2, job[2] - job[1], job))
    for net, a, b in ranked:
        spot = _feed_column(plan, busy, net, a, b)
        crossing = range(a, b)
        if spot is None:
            spot = _lane(plan, lanes, net, a, b)
        else:
            busy.update((row, spot.column) for row in crossing)
        plan.feeds.append((net, a, b - 1, spot))
        plan.ports[a][net].append(Port(spot, False))
        plan.ports[b][net].append(Port(spot, True))
    plan.lanes = {gap: len(rows_of) for gap, rows_of in lanes.items()}
    return plan


def _straight(plan: Plan, busy: set[tuple[int, int]], job: tuple[int, int, int]) -> int:
    """2 where one column has a pin of the net on both sides and is empty between, 1 for one side, else 0."""
    net, a, b = job
    upper = {port.spot.column for port in plan.ports[a][net]}
    lower = {port.spot.column for port in plan.ports[b][net]}
    best = 0
    for column in upper | lower:
        if all((row, column) not in busy for row in range(a, b)):
            best = max(best, (column in upper) + (column in lower))
    return best


def _feed_column(plan: Plan, busy: set[tuple[int, int]], net: int, a: int, b: int) -> Spot | None:
    upper = [port.spot.column for port in plan.ports[a][net] if port.spot.lane < 0]
    lower = [port.spot.column for port in plan.ports[b][net] if port.spot.lane < 0]
    both = [column for column in upper if column in lower]
    for column in [*both, *lower, *upper]:
        if all((row, column) not in busy for row in range(a, b)):
            return Spot(column)
    return None


def _lane(plan: Plan, lanes: dict[int, list[set[int]]], net: int, a: int, b: int) -> Spot:
    """The nearest gap, and its first lane that is free in these rows."""
    near = [port.spot.column for port in (*plan.ports[a][net], *plan.ports[b][net])]
    middle = math.fsum(near) / len(near) if near else 0.0
    rows = set(range(a, b))
    gaps = [gap for gap in range(-1, plan.columns) if not any((row, gap) in plan.inside for row in rows)]

    def cost(gap: int) -> tuple[float, int]:
        crowd = sum(bool(used & rows) for used in lanes[gap])
        return (abs(gap + 0.5 - middle) + 0.6 * crowd, gap)

    gap = min(gaps, key=cost)
    for index, used in enumerate(lanes[gap]):
        if not used & rows:
            used |= rows
            return Spot(gap, index)
    lanes[gap].append(set(rows))
    return Spot(gap, len(lanes[gap]) - 1)


@dataclass
class Channel:
    """Tracks of one channel. track: net to its track, counted from above; jogs: bottom ports that
    step aside to the next half column on the lowest track."""

    track: dict[int, int]
    count: int
    jogs: set[Port] = field(default_factory=set)


def tracks(ports: Mapping[int, list[Port]], across: Mapping[Spot, float]) -> Channel:
    """Tracks for the nets of one channel (left edge method; cycles are broken by a step aside)."""
    jogs: set[Port] = set()
    while True:
        spans = {net: _span(found, across, jogs) for net, found in ports.items()}
        wide = {net: span for net, span in spans.items() if _needs_track(ports[net], jogs)}
        over = _constraints(ports, wide, jogs)
        order, stuck = _assign(wide, over)
        if not stuck:
            extra = 1 if jogs else 0
            return Channel(order, max(order.values(), default=-1) + 1 + extra, jogs)
        jogs.add(_to_jog(ports, stuck, over, jogs))


def _needs_track(ports: list[Port], jogs: set[Port]) -> bool:
    if any(port in jogs for port in ports):
        return True
    return len({port.spot for port in ports}) > 1


def _span(ports: list[Port], across: Mapping[Spot, float], jogs: set[Port]) -> tuple[float, float]:
    at = [across[port.spot] + (PITCH / 2 if port in jogs else 0.0) for port in ports]
    return min(at), max(at)


def _constraints(
    ports: Mapping[int, list[Port]], wide: Mapping[int, tuple[float, float]], jogs: set[Port]
) -> dict[int, set[int]]:
    """For each net those that must lie above it: they come from above where it comes from below."""
    above: dict[Spot, int] = {}
    for net in wide:
        for port in ports[net]:
            if port.above:
                above[port.spot] = net
    over: dict[int, set[int]] = {net: set() for net in wide}
    for net in wide:
        for port in ports[net]:
            other = above.get(port.spot)
            if not port.above and port not in jogs and other is not None and other != net:
                over[net].add(other)
    return over


def _assign(
    wide: Mapping[int, tuple[float, float]], over: Mapping[int, set[int]]
) -> tuple[dict[int, int], list[int]]:
    order: dict[int, int] = {}
    level = 0
    while len(order) < len(wide):
        ready = [net for net in wide if net not in order and over[net] <= order.keys()]
        if not ready:
            return {}, [net for net in wide if net not in order]
        end = float("-inf")
        for net in sorted(ready, key=lambda n: (wide[n][0], wide[n][1], n)):
            if wide[net][0] > end + PITCH / 4:
                order[net] = level
                end = wide[net][1]
        level += 1
    return order, []


def _to_jog(
    ports: Mapping[int, list[Port]], stuck: list[int], over: Mapping[int, set[int]], jogs: set[Port]
) -> Port:
    """A bottom port of a net in the cycle that meets another net's top port."""
    for net in sorted(stuck):
        for port in ports[net]:
            if not port.above and port not in jogs and over[net] & set(stuck):
                meets = any(Port(port.spot, True) in ports[other] for other in over[net])
                if meets:
                    return port
    raise ValueError("no way out of a cycle of tracks")  # cannot be: a cycle needs such a port
