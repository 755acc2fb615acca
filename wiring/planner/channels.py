"""What the outputs of a receiver can close: pairs of terminals, seen from outside.

The receiver is taken as a box: with one output on, which terminals are joined that were not
at rest? So a changeover, two relays in series and a direction relay behind a run relay are all
the same kind of thing here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiring.model.entry import EntryPart, ReceiverType

SWITCHES = ("contact", "semiconductor")


@dataclass(frozen=True, slots=True)
class Pole:
    """Terminals a and b are joined while its outputs are on (NO), or until then (NC).

    outputs: one id, or all stop outputs that work together; solid: electronic.
    """

    outputs: tuple[str, ...]
    form: str
    a: str
    b: str
    solid: bool = False


def bars(receiver: ReceiverType, off: Iterable[str] = ()) -> Mapping[str, str]:
    """Terminal or junction to the bar it sits on: pieces joined by copper for good.

    off: ids of jumpers that are taken out.
    """
    joined = Joined()
    for part in receiver.net.parts:
        for pin in part.at:
            joined.root(pin)
        if part.kind == "wire" and part.id not in off and (part.role != "jumper" or part.fitted):
            joined.join(part.at[0], part.at[1])
    for wire in receiver.net.wires:
        joined.join(*wire.ends)
    return {pin: joined.root(pin) for pin in joined.parent}


def poles(receiver: ReceiverType, off: Iterable[str] = ()) -> tuple[Pole, ...]:
    """Every pair of terminals that one output opens or closes; the stop outputs count as one, by the
    pairs that all of them must close where there are such, so that no stop relay is left out."""
    bar = bars(receiver, off)
    stops = tuple(o.id for o in receiver.outputs if o.key == "stop")
    found = [p for o in receiver.outputs if o.id not in stops for p in _poles(receiver, bar, (o.id,))]
    if stops:
        single = {(p.a, p.b) for id in stops for p in _poles(receiver, bar, (id,))}
        together = _poles(receiver, bar, stops)
        series = [p for p in together if (p.a, p.b) not in single]
        found += series if len(stops) > 1 and series else together
    return tuple(found)


def _poles(receiver: ReceiverType, bar: Mapping[str, str], group: tuple[str, ...]) -> list[Pole]:
    """Pairs of bars that outputs working together open or close."""
    inside = set(receiver.net.junctions)
    reachable = {b for pin, b in bar.items() if pin not in inside}
    rest, on = _joined(receiver, bar, ()), _joined(receiver, bar, group)
    touched = [p for p in receiver.net.parts if p.by in {f"output:{o}" for o in group}]
    solid = any(p.kind == "semiconductor" for p in touched)
    near = [b for b in dict.fromkeys(bar[pin] for pin in _near(receiver, group)) if b in reachable]
    pairs = [(a, b) for i, a in enumerate(near) for b in near[i + 1 :] if rest.same(a, b) != on.same(a, b)]
    return [Pole(group, "NO" if on.same(a, b) else "NC", a, b, solid) for a, b in pairs]


def _near(receiver: ReceiverType, group: tuple[str, ...]) -> tuple[str, ...]:
    """Terminals that belong to the contacts of a group and to contacts reached through junctions."""
    inside = set(receiver.net.junctions)
    pins: dict[str, None] = {}
    queue = [p for p in receiver.net.parts if p.by in {f"output:{o}" for o in group} and p.kind in SWITCHES]
    seen: set[str] = set()
    while queue:
        part = queue.pop(0)
        if part.id in seen:
            continue
        seen.add(part.id)
        for pin in part.at:
            pins[pin] = None
            if pin in inside:
                queue += [p for p in receiver.net.parts if pin in p.at and p.kind in SWITCHES]
    return tuple(pins)


def _joined(receiver: ReceiverType, bar: Mapping[str, str], on: tuple[str, ...]) -> Joined:
    joined = Joined()
    causes = {f"output:{id}" for id in on}
    for part in receiver.net.parts:
        if part.kind in SWITCHES and closed(part, causes):
            joined.join(bar[part.at[0]], bar[part.at[1]])
    return joined


def closed(part: EntryPart, causes: set[str]) -> bool:
    """True for a contact that is closed while these causes are on."""
    return (part.form == "NC") != (part.by in causes)


class Joined:
    """Points joined into groups."""

    def __init__(self) -> None:
        self.parent: dict[str, str] = {}

    def root(self, point: str) -> str:
        """The name of the group a point is in."""
        self.parent.setdefault(point, point)
        while self.parent[point] != point:
            point = self.parent[point]
        return point

    def join(self, one: str, other: str) -> None:
        """Make two groups one; the name of the first stays."""
        first, second = self.root(one), self.root(other)
        if first != second:
            self.parent[second] = first

    def same(self, one: str, other: str) -> bool:
        """True where two points are in one group."""
        return self.root(one) == self.root(other)
