"""Which way current runs on the sheet: every item gets a supply side and a far side.

Heights come from two distances counted in parts: from the live ends of the
sources and from their returns. They only decide how the sheet reads; any
outcome is drawn correctly.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiring.draw.items import Item
from wiring.draw.potential import potentials
from wiring.model.circuit import Circuit

FAR = 10_000
LOADS = ("coil", "supply-input", "drive-input", "load")
TURNING = ("motor3", "winding", "brake", "rectifier")


@dataclass(frozen=True, slots=True)
class Heights:
    """Distances [parts] of each net from the live ends of one block and from any supply pin, and its
    potential if that is used."""

    live: Mapping[int, int]
    cold: frozenset[int]
    supply: Mapping[int, int]
    potential: Mapping[int, float] | None = None

    def key(self, net: int) -> tuple[float, int, int, int]:
        """Sorts nets from the live end to the return.

        In the power block by distance from the supply, because a load near the
        supply says nothing about the others; in the control block by potential.
        """
        up, near = self.live.get(net, FAR), self.supply.get(net, FAR)
        if self.potential is None:
            return (float(net in self.cold), up, near, net)
        return (-round(self.potential.get(net, 0.5), 9), up, near, net)


def orient(items: list[Item], circuit: Circuit) -> None:
    """Put each two-pin part and terminal the right way round; mark bridges. Changes the items.

    Needs `block` of every item.
    """
    hot, cold = _poles(items, circuit)
    outward = _leaves(items, hot | cold)
    ends = {net for item in items if item.kind == "supply" for net in item.nets}
    supply = _spread(_edges(items), ends, ())
    groups = _groups(items)
    for block in ("power", "control"):
        mine = [item for item in items if item.block == block]
        pairs = _edges(mine)
        heights = Heights(_spread(pairs, hot, cold), frozenset(cold), supply)
        if block == "control":
            heights = _fed(pairs, items, (hot, cold), supply)
        for item in mine:
            if item.kind == "terminal":
                _turn_terminal(item, heights, outward)
            elif item.kind == "part" and len(item.up) == 1 and len(item.down) == 1:
                _turn(item, heights, outward, supply if item.name in groups else None)


def orient_from(items: list[Item], start: set[int]) -> None:
    """Turn items that hang on no supply so that they read away from the nets in `start`."""
    pairs = _edges(items)
    first = start or {net for pair in pairs[:1] for net in pair[:1]}
    heights = Heights(_spread(pairs, first, ()), frozenset(), {})
    for item in items:
        if item.kind == "terminal" and len(item.up) == 1 and heights.live.get(item.up[0].net, FAR) == 0:
            item.up, item.down = [], item.up
        elif item.kind == "terminal":
            _turn_terminal(item, heights, {})
        elif len(item.up) == len(item.down) == 1 and _upside_down(item, heights):
            item.up, item.down = item.down, item.up


def _upside_down(item: Item, heights: Heights) -> bool:
    return heights.key(item.up[0].net) > heights.key(item.down[0].net)


def _fed(
    pairs: list[tuple[int, int]],
    items: list[Item],
    poles: tuple[set[int], set[int]],
    supply: Mapping[int, int],
) -> Heights:
    """A control block fed from the power block: nets shared with it are live, unless coils return there."""
    hot, cold = poles
    power = {net for item in items if item.block == "power" for net in item.nets}
    mine = {net for pair in pairs for net in pair}
    coils = [item for item in items if item.part and item.part.kind in LOADS and item.kind == "part"]
    returns: dict[int, int] = defaultdict(int)
    for item in coils:
        for net in item.nets:
            returns[net] += 1
    shared = (power & mine) - cold
    back = {net for net in cold if net in mine}
    if not back and len(shared) > 1:
        back = {max(shared, key=lambda net: (returns[net], net))}
    live = (shared - back) | (hot & mine)
    distances = _spread(pairs, live, back)
    return Heights(distances, frozenset(back | cold), supply, potentials(pairs, live, back))


def _turn(item: Item, heights: Heights, outward: Mapping[str, int], supply: Mapping[int, int] | None) -> None:
    first, second = item.up[0], item.down[0]
    if item.name in outward:
        turned = outward[item.name] != first.net
    elif supply is not None:
        turned = supply.get(first.net, FAR) > supply.get(second.net, FAR)
    else:
        turned = _upside_down(item, heights)
    if turned:
        item.up, item.down = [second], [first]
    _maybe_bridge(item, heights)


def _maybe_bridge(item: Item, heights: Heights) -> None:
    part = item.part
    if part is None or part.kind not in ("capacitor", "brake"):
        return
    ends = {item.up[0].net, item.down[0].net}
    if not ends & heights.cold:
        item.bridge = True
        item.up, item.down = [item.up[0], item.down[0]], []


def _turn_terminal(item: Item, heights: Heights, outward: Mapping[str, int]) -> None:
    nets = sorted(item.up, key=lambda foot: (foot.net in outward.values(), heights.key(foot.net)))
    leaf = [foot for foot in nets if outward.get(f"{item.name}|{foot.net}") == foot.net]
    rest = [foot for foot in nets if foot not in leaf]
    if not leaf and len(rest) > 1:
        leaf, rest = rest[1:], rest[:1]
    item.up, item.down = rest, leaf


def _edges(items: list[Item]) -> list[tuple[int, int]]:
    """Pairs of nets that an item lies between. Suppressors are no path, a motor is a load."""
    pairs: list[tuple[int, int]] = []
    for item in items:
        part = item.part
        if item.kind == "terminal":
            pairs += [(item.nets[0], other) for other in item.nets[1:]]
        elif part and item.kind == "part" and part.kind != "suppressor" and len(item.nets) == 2:
            pairs.append((item.nets[0], item.nets[1]))
    return pairs


def _spread(pairs: Iterable[tuple[int, int]], start: set[int], walls: Iterable[int]) -> dict[int, int]:
    """Distances from a set of nets; nets in `walls` are reached but not passed."""
    near: dict[int, list[int]] = defaultdict(list)
    for a, b in pairs:
        near[a].append(b)
        near[b].append(a)
    stop = set(walls)
    found = dict.fromkeys(sorted(start), 0)
    queue = deque(found)
    while queue:
        net = queue.popleft()
        if net in stop and net not in start:
            continue
        for other in near[net]:
            if other not in found:
                found[other] = found[net] + 1
                queue.append(other)
    return found


def _poles(items: list[Item], circuit: Circuit) -> tuple[set[int], set[int]]:
    """Live nets and return nets of sources, transformers and rectifiers."""
    hot: set[int] = set()
    cold: set[int] = set()
    earth = {
        net for item in items if item.kind == "terminal" and item.point == circuit.earth for net in item.nets
    }
    for item in items:
        part = item.part
        if item.kind == "supply":
            plus = [f.net for f in item.down if any(n == 1 and name in _sources(item) for name, n in f.refs)]
            hot.update(plus)
            cold.update(foot.net for foot in item.down if foot.net not in plus)
            if len(plus) == 2 and not _neutral_used(item, items):
                cold.add(plus[1])  # between two lines: the second one is the way back
        elif part and part.kind in ("transformer", "rectifier"):
            first, second = item.down[0].net, item.down[1].net
            swap = first in earth and second not in earth
            hot.add(second if swap else first)
            cold.add(first if swap else second)
    cold |= _rails(items, cold)
    return hot - cold, cold


def _rails(items: list[Item], cold: set[int]) -> set[int]:
    """Nets that are a return too, behind poles, terminals, fuses and cores without a choice of path."""
    pairs: list[tuple[int, int]] = []
    for item in items:
        part = item.part
        if item.kind == "terminal":
            pairs += [(item.nets[0], other) for other in item.nets[1:]]
        elif part and item.kind == "part" and len(item.nets) == 2:
            pole = part.kind == "contact" and part.by.startswith("stop:") and part.role == "power"
            if pole or part.kind in ("wire", "fuse"):
                pairs.append((item.nets[0], item.nets[1]))
    return set(_spread(pairs, cold, ()))


def _neutral_used(supply: Item, items: list[Item]) -> bool:
    back = {f.net for f in supply.down if any(n == 2 and name in _sources(supply) for name, n in f.refs)}
    return any(back & set(item.nets) for item in items if item is not supply)


def _sources(item: Item) -> set[str]:
    return {part.name for part in item.parts if part.kind == "source"}


def _leaves(items: list[Item], poles: set[int]) -> dict[str, int]:
    """Items that lead nowhere, with the net they hang on; terminals as `name|net` of the hanging side."""
    fixed = set(poles)
    count: dict[int, int] = defaultdict(int)
    alive: dict[str, tuple[Item, set[int]]] = {}
    for item in items:
        nets = set(item.nets)
        if item.kind == "terminal" and len(nets) == 1:
            continue  # the end of a run
        alive[item.name] = (item, nets)
        for net in nets:
            count[net] += 1
        if item.kind == "supply" or (len(item.nets) > 2 and item.kind != "terminal"):
            fixed |= nets
    outward: dict[str, int] = {}
    changed = True
    while changed:
        changed = False
        for name, (item, nets) in list(alive.items()):
            loose = {net for net in nets if count[net] <= 1 and net not in fixed}
            if (
                not loose
                or item.kind == "supply"
                or (len(item.up) + len(item.down) > 2 and item.kind == "part")
            ):
                continue
            if item.kind == "part":
                keep = nets - loose or {item.up[0].net}
                outward[name] = min(keep)
                del alive[name]
                for net in nets:
                    count[net] -= 1
            else:
                for net in loose:
                    outward[f"{name}|{net}"] = net
                    nets.discard(net)
                    count[net] -= 1
                if len(nets) <= 1:
                    del alive[name]
                    for net in nets:
                        count[net] -= 1
            changed = True
    return outward


def _groups(items: list[Item]) -> set[str]:
    """Names of poles that move together at the supply: isolator, plug, breaker."""
    by: dict[str, list[str]] = defaultdict(list)
    for item in items:
        part = item.part
        if part and part.kind == "contact" and part.by.startswith("stop:") and part.role == "power":
            by[part.by + part.owner].append(item.name)
    return {name for names in by.values() if len(names) > 1 for name in names}
