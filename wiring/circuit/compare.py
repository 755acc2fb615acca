"""What the conversion changed, read from the two circuits without solving anything.

Joined and parted speak about wires and fuses alone, in no state: which points
are one for good after that were not before, and the reverse. What closed
contacts join in a state is shown by the simulation.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiring.model.circuit import Circuit, Part

FOR_GOOD = ("wire", "fuse")


@dataclass(frozen=True, slots=True)
class Change:
    """removed, added: part names; moved: parts of both circuits on other points; set: parts of
    both whose values differ; joined, parted: groups of points, one for each net that was (or
    became) apart, the terminal of a core first where there is one."""

    removed: tuple[str, ...]
    added: tuple[str, ...]
    moved: tuple[str, ...]
    set: tuple[str, ...]
    joined: tuple[tuple[str, ...], ...]
    parted: tuple[tuple[str, ...], ...]


def changes(before: Circuit, after: Circuit) -> Change:
    """What was removed, added, moved, joined and parted between two circuits."""
    old = {part.name: part for part in before.parts}
    new = {part.name: part for part in after.parts}
    both = [name for name in old if name in new]
    shared = {point.name for point in before.points} & {point.name for point in after.points}
    preferred = set(before.aliases.values()) | set(after.aliases.values())
    return Change(
        removed=tuple(name for name in old if name not in new),
        added=tuple(name for name in new if name not in old),
        moved=tuple(name for name in both if old[name].pins != new[name].pins),
        set=tuple(name for name in both if _numbers(old[name]) != _numbers(new[name])),
        joined=_newly_one(nets(old.values()), nets(new.values()), shared, preferred),
        parted=_newly_one(nets(new.values()), nets(old.values()), shared, preferred),
    )


def _numbers(part: Part) -> Mapping[str, float]:
    return {key: value.si for key, value in part.values.items()}


def nets(parts: Iterable[Part]) -> Mapping[str, str]:
    """Point to the name of its net: points that wires and fuses alone make one."""
    parent: dict[str, str] = {}

    def root(point: str) -> str:
        parent.setdefault(point, point)
        while parent[point] != point:
            parent[point] = parent[parent[point]]
            point = parent[point]
        return point

    for part in parts:
        for pin in part.pins:
            root(pin)
        if part.kind in FOR_GOOD:
            first, second = root(part.pins[0]), root(part.pins[1])
            parent[max(first, second)] = min(first, second)
    return {point: root(point) for point in parent}


def _newly_one(
    apart: Mapping[str, str], one: Mapping[str, str], shared: set[str], preferred: set[str]
) -> tuple[tuple[str, ...], ...]:
    """Groups of points that lie in one net of `one` and in several nets of `apart`."""
    groups: dict[str, dict[str, list[str]]] = {}
    for point in sorted(shared):
        net = one.get(point, point)
        groups.setdefault(net, {}).setdefault(apart.get(point, point), []).append(point)
    found = []
    for parts in groups.values():
        if len(parts) > 1:
            named = (min(points, key=lambda p: (p not in preferred, p)) for points in parts.values())
            found.append(tuple(sorted(named)))
    return tuple(sorted(found))
