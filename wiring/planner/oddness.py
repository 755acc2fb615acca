"""How odd a list of connections looks by itself, before anything is simulated.

Wire numbers that do not agree, contacts with one end landed, three wires under one screw, an
earth that is joined to something else: a drawing office sees these at a glance. The figure only
orders candidates; whether one is right is for the simulation and the rules to say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from wiring.model.circuit import Circuit, Part
from wiring.model.job import Connection, Job

LANDED = ("contact", "semiconductor", "coil", "fuse", "supply-input", "suppressor", "transformer")
#: What each oddity weighs.
NUMBERS, EARTH, HALF, BARE, CROWD = 4, 4, 2, 2, 1


class Look:
    """The parts of a job that connections land on, looked up once."""

    def __init__(self, job: Job, after: Circuit) -> None:
        owners = {device.id for device in job.devices} | {"receiver"}
        parts = [p for p in after.parts if p.owner.partition(".")[0] in owners and p.kind in LANDED]
        self.resting = _resting_screws(parts)
        self.sides = _sides(parts, after)
        self.must = [p.name for p in after.points if p.owner in owners and p.name.endswith(":PE")]
        self.must += freed(after)
        self.must += [f"core:{core.id}" for core in job.cores if core.role and core.role != "spare"]
        self.put_back = [gone.ends for gone in after.removed if gone.name.startswith("hoist:")]
        self.earths = {p.name for p in after.points if p.name.rpartition(":")[2].rpartition(".")[2] == "PE"}
        self.earths |= {after.earth, *(after.aliases.get(f"core:{c.id}", f"core:{c.id}") for c in job.cores
                                       if c.role == "earth")}  # fmt: skip
        self.conductors = [f"{c.id}:{name}" for c in job.cables for name in c.order or ()]
        self.at = after.aliases

    def oddness(self, rows: Iterable[Connection]) -> int:
        """The figure of a list of connections; 0 is nothing to remark."""
        listed = list(rows)
        count = Counter(self.at.get(e, e) for row in listed for e in (row.from_, row.to))
        group = self._groups(listed)
        numbers: dict[str, set[str]] = {}
        groups: dict[str, set[str]] = {}
        for row in listed:
            if row.number:
                here = group(row.from_)
                numbers.setdefault(here, set()).add(row.number)
                groups.setdefault(row.number, set()).add(here)
        odd = NUMBERS * sum(len(n) - 1 for n in (*numbers.values(), *groups.values()))
        odd += HALF * sum((one in count) != (not others.isdisjoint(count)) for one, others in self.sides)
        odd += BARE * sum(self.at.get(point, point) not in count for point in self.must)
        used = {row.conductor for row in listed}
        odd += BARE * sum(name not in used for name in self.conductors)
        odd += CROWD * sum(pin in count for pin in self.resting)
        odd += CROWD * sum(n - 2 for p, n in count.items() if n > 2 and not p.startswith("hoist:"))
        odd += NUMBERS * sum(len({group(end) for end in ends}) == 1 for ends in self.put_back)
        return odd + EARTH * self._mixed(count, group)

    def mixed(self, rows: Iterable[Connection]) -> int:
        """In how many places these connections join the protective conductor to something else. An edit
        that adds one is never a remedy: an earth that carries current is none."""
        listed = list(rows)
        return self._mixed({e for row in listed for e in (row.from_, row.to)}, self._groups(listed))

    def _groups(self, rows: list[Connection]) -> _Groups:
        groups = _Groups(self.at)
        for row in rows:
            groups.join(row.from_, row.to)
        return groups

    def _mixed(self, points: Iterable[str], group: _Groups) -> int:
        """Groups in which an earth terminal meets something else."""
        kinds: dict[str, set[bool]] = {}
        for point in points:
            name = self.at.get(point, point)
            kinds.setdefault(group(name), set()).add(name in self.earths)
        return sum(len(kind) > 1 for kind in kinds.values())


def _resting_screws(parts: Iterable[Part]) -> set[str]:
    """Screws of the receiver that only a resting contact hangs on: seldom used in a hoist."""
    mine = [p for p in parts if p.owner == "receiver" and p.kind == "contact"]
    closing = {pin for p in mine if p.form == "NO" for pin in p.pins}
    return {pin for p in mine if p.form == "NC" for pin in p.pins} - closing


def _sides(parts: Sequence[Part], after: Circuit) -> list[tuple[str, frozenset[str]]]:
    """A screw of each part, and those of which one has a wire where it has: its far end, of a changeover
    either of the two. Contacts in series may keep the screw between them free."""
    touchable = {p.name for p in after.points if p.terminal}
    keys = {f"output:{o.name}": o.key for o in after.outputs}
    found: list[tuple[str, frozenset[str]]] = []
    for part in parts:
        near = [p for p in parts if p is not part and p.kind == part.kind == "contact" and _meet(p, part)]
        twin = next((p for p in near if p.by == part.by and p.form != part.form), None)
        series = any(p.form == part.form and keys.get(p.by, p.by) == keys.get(part.by) for p in near)
        if twin is not None and part.form == "NO":
            common = next(pin for pin in part.pins if pin in twin.pins)
            found.append((common, frozenset((*part.pins, *twin.pins)) - {common}))
        elif twin is None and not series:
            found += [(a, frozenset((b,))) for a, b in zip(part.pins[::2], part.pins[1::2], strict=False)]
    return [(one, others) for one, others in found if touchable.issuperset((one, *others))]


def _meet(one: Part, other: Part) -> bool:
    """True for parts with a screw in common."""
    return not set(one.pins).isdisjoint(other.pins)


class _Groups:
    """Points joined by connections alone."""

    def __init__(self, at: Mapping[str, str]) -> None:
        self.parent: dict[str, str] = {}
        self.at = at

    def __call__(self, point: str) -> str:
        name = self.at.get(point, point)
        while self.parent.get(name, name) != name:
            name = self.parent[name]
        return name

    def join(self, one: str, other: str) -> None:
        """Make two groups one."""
        first, second = self(one), self(other)
        if first != second:
            self.parent[second] = first


def freed(after: Circuit) -> list[str]:
    """Terminals of the hoist where a wire was taken off: something else has to sit there now."""
    return sorted({end for gone in after.removed if gone.name.startswith("hoist:") for end in gone.ends})
