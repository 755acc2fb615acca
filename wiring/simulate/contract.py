"""Closed contacts and stiff sources joined into rigid groups: which voltages are settled by topology.

A *group* is a set of nodes whose voltages against each other are known without
solving anything: joined by closed switches (offset 0) or by sources and fed
transformers (offset = their voltage). Joining two nodes of one group at
different offsets is a source short; the fuse in that loop opens and stays open.
Ideal switches are contracted here and never stamped into a matrix: that keeps
every system small and well conditioned.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

from wiring.simulate.network import Network

#: Two potentials closer than this part of the nominal voltage are one (rounding, not physics).
SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Contraction:
    """Groups of one switch pattern. group: node to group label; offset: node to phasor within
    its group, one tuple per frequency; resolved: transformers whose two sides are known;
    members: group label to its nodes; shorts: texts; blown: mask of the fuses that opened."""

    group: tuple[int, ...]
    offset: tuple[tuple[complex, ...], ...]
    members: tuple[tuple[int, ...], ...]
    resolved: frozenset[int]
    shorts: tuple[str, ...]
    blown: int


class _Groups:
    """Weighted union of nodes at one frequency, by relabelling the smaller group."""

    __slots__ = ("eps", "group", "members", "offset")

    def __init__(self, count: int, eps: float) -> None:
        self.group = list(range(count))
        self.offset = [0j] * count
        self.members: list[tuple[int, ...]] = [(i,) for i in range(count)]
        self.eps = eps

    def copy(self) -> _Groups:
        other = _Groups.__new__(_Groups)
        other.group, other.offset, other.eps = self.group[:], self.offset[:], self.eps
        other.members = self.members[:]
        return other

    def join(self, a: int, b: int, volts: complex) -> bool:
        """Make V(a) = V(b) + volts. False: they were known already, and differ."""
        group, offset = self.group, self.offset
        ga, gb = group[a], group[b]
        shift = offset[b] + volts - offset[a]
        if ga == gb:
            return abs(shift) <= self.eps
        if len(self.members[ga]) > len(self.members[gb]):
            ga, gb, shift = gb, ga, -shift
        for node in self.members[ga]:
            group[node] = gb
            offset[node] += shift
        self.members[gb] += self.members[ga]
        self.members[ga] = ()
        return True


def _base(network: Network, dead: frozenset[str]) -> list[_Groups] | None:
    """Groups of the sources alone, per frequency; None where two sources fight without a switch."""
    key = ("base", dead)
    found = network.solutions.get(key, 0)
    if found != 0:
        return found  # type: ignore[no-any-return]
    result: list[_Groups] | None = []
    for f in range(len(network.hertz)):
        groups = _Groups(network.node_count, SAME * max(network.nominal, 1.0))
        for source in network.sources:
            name = source.part.name
            if name not in dead and not groups.join(source.plus, source.minus, source.volts[f]):
                result = None
        if result is None:
            break
        result.append(groups)
    network.solutions[key] = result
    return result


def _steady(network: Network, mask: int, dead: frozenset[str]) -> list[_Groups] | tuple[int, int, str]:
    """Groups of the sources and the steady switches, memoised: coils and outputs do not move them."""
    key = ("steady", mask, dead)
    found = network.solutions.get(key)
    if found is None:
        found = network.solutions[key] = _join_steady(network, mask, dead)
    return found if isinstance(found, tuple) else [one.copy() for one in found]


def _join_steady(network: Network, mask: int, dead: frozenset[str]) -> list[_Groups] | tuple[int, int, str]:
    base = _base(network, dead)
    if base is None:
        fighting = next(s for s in network.sources if s.part.name not in dead)
        return fighting.plus, fighting.minus, fighting.part.name
    groups = [one.copy() for one in base]
    for i, switch in enumerate(network.switches):
        if mask >> i & 1:
            for one in groups:
                if not one.join(switch.a, switch.b, 0j):
                    return switch.a, switch.b, switch.part.name
    return groups


def _attempt(
    network: Network, mask: int, dead: frozenset[str]
) -> tuple[list[_Groups], set[int]] | tuple[int, int, str]:
    """Join everything closed in `mask`, or the first joint that shorts (node, node, part name)."""
    groups = _steady(network, mask & network.steady, dead)
    if isinstance(groups, tuple):
        return groups
    rest = mask & ~network.steady
    while rest:
        low = rest & -rest
        rest ^= low
        switch = network.switches[low.bit_length() - 1]
        for one in groups:
            if not one.join(switch.a, switch.b, 0j):
                return switch.a, switch.b, switch.part.name
    resolved: set[int] = set()
    open_ = [i for i, t in enumerate(network.transformers) if t.part.name not in dead]
    changed = True
    while changed:
        changed = False
        for i in open_:
            if i not in resolved:
                outcome = _couple(network, groups, i)
                if outcome is None:
                    t = network.transformers[i]
                    return t.s1, t.s2, t.part.name
                if outcome:
                    resolved.add(i)
                    changed = True
    return groups, resolved


def _couple(network: Network, groups: list[_Groups], index: int) -> bool | None:
    """Carry a transformer's known voltage across. None: its other side is shorted."""
    t = network.transformers[index]
    first = groups[0].group
    forward = first[t.p1] == first[t.p2]
    backward = not t.rectifier and first[t.s1] == first[t.s2]
    if not forward and not backward:
        return False
    volts: list[complex] = []
    for one in groups:
        known = one.offset[t.p1] - one.offset[t.p2] if forward else one.offset[t.s1] - one.offset[t.s2]
        if t.rectifier:
            known = complex(abs(known))
        volts.append(known * t.ratio if forward else known / t.ratio)
    if max(map(abs, volts)) <= groups[0].eps:
        return False  # nothing to carry: a dead winding is an impedance like any other
    a, b = (t.s1, t.s2) if forward else (t.p1, t.p2)
    for one, known in zip(groups, volts, strict=True):
        if not one.join(a, b, known):
            return None
    return True


def contract(network: Network, mask: int) -> Contraction:
    """Groups and offsets for the switches closed in `mask`; fuses open where a source is shorted.

    Of the fuses in a shorted loop the smallest opens (all of one rating together). A short
    that no fuse can end takes its source away: the circuit's own supply protection is not
    part of the circuit. Memoised.
    """
    found: Contraction | None = network.solutions.get(mask)
    if found is None:
        found = network.solutions[mask] = _contract(network, mask)
    return found


def _contract(network: Network, mask: int) -> Contraction:
    dead: frozenset[str] = frozenset()
    shorts: list[str] = []
    blown = 0
    while True:
        outcome = _attempt(network, mask & ~blown, dead)
        if len(outcome) == 2:
            groups, resolved = outcome
            return Contraction(
                tuple(groups[0].group),
                tuple(tuple(one.offset) for one in groups),
                tuple(groups[0].members),
                frozenset(resolved),
                tuple(dict.fromkeys(shorts)),
                blown,
            )
        a, b, name = outcome
        path, stiff = _loop(network, mask & ~blown, dead, a, b, name)
        opened = _fuse_to_open(network, mask & ~blown, path)
        text = ", ".join(stiff or (name,)) + " through " + ", ".join(path or (name,))
        shorts.append(text)
        blown |= opened
        if not opened:
            dead |= {(stiff or (name,))[0]}


def _fuse_to_open(network: Network, mask: int, path: tuple[str, ...]) -> int:
    on_path = [
        (network.switches[i].rating, 1 << i)
        for i in range(len(network.switches))
        if mask & network.fuses & (1 << i) and network.switches[i].part.name in path
    ]
    if not on_path:
        return 0
    smallest = min(rating for rating, _ in on_path)
    return sum(bit for rating, bit in on_path if rating == smallest)


def _loop(
    network: Network, mask: int, dead: frozenset[str], a: int, b: int, name: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The shortest way from b back to a without `name`: closed switches on it, sources on it."""
    near: dict[int, list[tuple[int, str, bool]]] = {}

    def edge(x: int, y: int, part: str, stiff: bool) -> None:
        if part != name:
            near.setdefault(x, []).append((y, part, stiff))
            near.setdefault(y, []).append((x, part, stiff))

    for i in network.joint_order:
        switch = network.switches[i]
        if switch.part.name == name:
            break  # only what was joined before it: every way through that carries the same voltage
        if mask & (1 << i):
            edge(switch.a, switch.b, switch.part.name, False)
    for source in network.sources:
        if source.part.name not in dead:
            edge(source.plus, source.minus, source.part.name, True)
    for t in network.transformers:
        if t.part.name not in dead:
            edge(t.s1, t.s2, t.part.name, True)
    before: dict[int, tuple[int, str, bool]] = {b: (-1, "", False)}
    queue = deque([b])
    while queue and a not in before:
        node = queue.popleft()
        for other, part, stiff in near.get(node, ()):
            if other not in before:
                before[other] = (node, part, stiff)
                queue.append(other)
    closed: list[str] = []
    stiffs: list[str] = []
    node = a
    while node in before and node != b:
        node, part, stiff = before[node]
        (stiffs if stiff else closed).append(part)
    own = [name] if name in {switch.part.name for switch in network.switches} else []
    if not own:
        stiffs.insert(0, name)
    return tuple(own + closed), tuple(stiffs)
