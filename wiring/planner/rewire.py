"""Wiring put right by small edits: a wire added, moved, swapped back or taken off, tried one by one.

Every candidate is looked at with `trial`, which costs milliseconds; what stands is left to the
caller to plan in full. Small edits come first, so the first that stands is the smallest.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from wiring.circuit import build_after
from wiring.circuit.compare import nets
from wiring.model.circuit import Circuit, Part
from wiring.model.entry import Catalog
from wiring.model.job import Connection, Job
from wiring.planner.oddness import Look, freed
from wiring.planner.trial import Trial

#: Wirings tried in one search.
MOST = 4000


@dataclass(frozen=True, slots=True)
class Edited:
    """A job with a small edit of its wiring. what: the edit in words."""

    job: Job
    what: str


class Quick:
    """Converted circuits of jobs that differ in their connections only: everything else is built once.

    The wires have no size and no length; the quick look does not ask for them.
    """

    def __init__(self, job: Job, catalog: Catalog) -> None:
        self.catalog = catalog
        self.bare = build_after(replace(job, connections=()), catalog)

    def after(self, job: Job) -> Circuit:
        """The converted circuit of a job that is this one but for its connections."""
        open_ends = any(
            end.endswith((".from", ".to")) for row in job.connections for end in (row.from_, row.to)
        )
        if open_ends:
            return build_after(job, self.catalog)
        at = self.bare.aliases
        wires = tuple(
            Part(f"wire:row-{n}", "wire", (at.get(row.from_, row.from_), at.get(row.to, row.to)), "wire")
            for n, row in enumerate(job.connections)
        )
        return replace(self.bare, parts=(*self.bare.parts, *wires))


@dataclass(frozen=True, slots=True)
class Wired:
    """The converted wiring as copper nets. net_of: point to its net; members: net to its landing
    points (those of connections and cores); loose: pins of devices and receiver with nothing on them."""

    net_of: dict[str, str]
    members: dict[str, tuple[str, ...]]
    loose: tuple[str, ...]


def wired(job: Job, after: Circuit) -> Wired:
    """The nets of a job's connections."""
    net_of = dict(copper(after))
    points: dict[str, None] = {}
    for core in job.cores:
        points[f"core:{core.id}"] = None
    for row in job.connections:
        points[row.from_] = None
        points[row.to] = None
    members: dict[str, list[str]] = {}
    for point in points:
        real = after.aliases.get(point, point)
        if real in net_of:
            members.setdefault(net_of[real], []).append(point)
            net_of[point] = net_of[real]
    landed = {end for row in job.connections for end in (row.from_, row.to)}
    owners = {d.id for d in job.devices} | {"receiver"}
    pins = [
        pin
        for part in after.parts
        if part.owner.partition(".")[0] in owners and part.kind != "wire"
        for pin in part.pins
    ]
    touchable = {p.name for p in after.points if p.terminal}
    earths = [p.name for p in after.points if p.owner in owners and p.name.endswith(":PE")]
    bare = freed(after)
    loose = tuple(dict.fromkeys(p for p in [*pins, *earths, *bare] if p not in landed and p in touchable))
    return Wired(net_of, {net: tuple(found) for net, found in members.items()}, loose)


def repairs(job: Job, catalog: Catalog, trial: Trial, extra: tuple[str, ...] = ()) -> Iterator[Edited]:
    """Small edits after which each key does what its button did, each of them another circuit; those
    that leave the least odd list of connections first.

    extra: points of the hoist that a wire may be landed on besides those in use.
    """
    seen: set[frozenset[frozenset[str]]] = set()
    quick = Quick(job, catalog)
    for edited in ranked(job, quick, extra)[:MOST]:
        after = quick.after(edited.job)
        if not trial.look(after, enough=1).stands:
            continue
        nature = circuit_of(edited.job, after)
        if nature not in seen:
            seen.add(nature)
            yield edited


def ranked(job: Job, quick: Quick, extra: tuple[str, ...] = ()) -> list[Edited]:
    """Every small edit, the one that leaves the least odd connections first; none that joins the
    protective conductor to anything."""
    after = quick.after(job)
    look = Look(job, after)
    earthed = look.mixed(job.connections)
    found: list[tuple[int, int, Edited]] = []
    for n, edited in enumerate(edits(job, wired(job, after), extra)):
        if look.mixed(edited.job.connections) <= earthed:
            found.append((look.oddness(edited.job.connections), n, edited))
    return [edited for _, _, edited in sorted(found, key=lambda one: one[:2])]


def copper(after: Circuit) -> Mapping[str, str]:
    """Point to its net, joined by wires alone: the two ends of a fuse are two places to land on."""
    return nets(replace(p, kind="contact") if p.kind == "fuse" else p for p in after.parts)


def circuit_of(job: Job, after: Circuit) -> frozenset[frozenset[str]]:
    """The points that lie together: equal for wirings that differ in the order of a chain only."""
    together: dict[str, set[str]] = {}
    for point, net in copper(after).items():
        together.setdefault(net, set()).add(point)
    return frozenset(frozenset(points) for points in together.values() if len(points) > 1)


def edits(job: Job, now: Wired, extra: tuple[str, ...] = ()) -> Iterator[Edited]:
    """Every small edit: taken off, added, exchanged, moved."""
    yield from taken_off(job)
    yield from added(job, now)
    yield from swapped(job)
    yield from moved(job, now, extra)


def before_limits(job: Job, after: Circuit) -> Iterator[Edited]:
    """Ends that sit on the motor's side of a limit, moved to the core before that limit."""
    net = nets(after.parts)
    cores = {
        net.get(after.aliases.get(f"core:{c.id}", f"core:{c.id}"), ""): f"core:{c.id}" for c in job.cores
    }
    for n, row in enumerate(job.connections):
        for side in ("from_", "to"):
            for part in after.parts:
                behind = part.by.startswith("limit:") and net.get(getattr(row, side)) == net[part.pins[1]]
                if behind and net[part.pins[0]] in cores:
                    core = cores[net[part.pins[0]]]
                    rows = (*job.connections[:n], with_end(row, side, core), *job.connections[n + 1 :])
                    yield Edited(replace(job, connections=rows), f"land {row.to} on {core}")


def taken_off(job: Job) -> Iterator[Edited]:
    """One connection less."""
    for n, row in enumerate(job.connections):
        rest = (*job.connections[:n], *job.connections[n + 1 :])
        yield Edited(replace(job, connections=rest), f"take off {row.from_} to {row.to}")


def added(job: Job, now: Wired) -> Iterator[Edited]:
    """One connection more: between two loose pins, a loose pin and a net, or two nets."""
    ends = [*now.loose, *(best_point(job, m) for m in now.members.values())]
    for one, other in combinations(ends, 2):
        if now.net_of.get(one, one) != now.net_of.get(other, other):
            row = new_row(job, now, one, other)
            yield Edited(replace(job, connections=(*job.connections, row)), f"join {row.from_} and {row.to}")


def best_point(job: Job, points: tuple[str, ...]) -> str:
    """The point of a net to land on: where fewest wires sit already, a core before others, and none
    of the protective conductor where the hoist itself earths the net."""
    earths = {f"core:{core.id}" for core in job.cores if core.role == "earth"}
    small = {d.id for d in job.devices if d.type.startswith(("suppressor", "bleeder"))}
    count = {p: sum(p in (r.from_, r.to) for r in job.connections) for p in points}

    def rank(point: str) -> tuple[bool, bool, int, bool, int]:
        earth = point in earths or point.endswith((":PE", ".PE"))
        lead = point.partition(":")[0] in small
        return earth, lead, count[point], not point.startswith("core:"), points.index(point)

    return min(points, key=rank)


def moved(job: Job, now: Wired, extra: tuple[str, ...]) -> Iterator[Edited]:
    """One end of one connection somewhere else."""
    places = [*now.loose, *(best_point(job, m) for m in now.members.values()), *extra]
    for n, row in enumerate(job.connections):
        for side in ("to", "from_"):
            end, stays = getattr(row, side), row.from_ if side == "to" else row.to
            for place in places:
                if place == stays or now.net_of.get(place, place) == now.net_of.get(end, end):
                    continue
                put = with_end(row, side, place)
                rows = (*job.connections[:n], put, *job.connections[n + 1 :])
                yield Edited(replace(job, connections=rows), f"move {end} to {place}")


def swapped(job: Job) -> Iterator[Edited]:
    """Two ends of two connections exchanged."""
    rows = job.connections
    for i, k in combinations(range(len(rows)), 2):
        for one in ("to", "from_"):
            for other in ("to", "from_"):
                a, b = getattr(rows[i], one), getattr(rows[k], other)
                if a == b:
                    continue
                new = list(rows)
                new[i], new[k] = with_end(rows[i], one, b), with_end(rows[k], other, a)
                if any(r.from_ == r.to for r in (new[i], new[k])):
                    continue
                yield Edited(replace(job, connections=tuple(new)), f"exchange {a} and {b}")


def with_end(row: Connection, side: str, point: str) -> Connection:
    """A connection with its "to" or "from_" end elsewhere."""
    return replace(row, to=point) if side == "to" else replace(row, from_=point)


def new_row(job: Job, now: Wired, one: str, other: str) -> Connection:
    """A connection between two points, with the number of the net and a free conductor where it
    crosses from the hoist's box."""
    boxed = [p.partition(":")[0] in ("core", "hoist", "plug") for p in (one, other)]
    if boxed[1] and not boxed[0]:
        one, other = other, one
    net = {now.net_of.get(one), now.net_of.get(other)} - {None}
    numbers = [r.number for r in job.connections if r.number and now.net_of.get(r.from_) in net]
    conductor = free_conductor(job, one) if boxed[0] != boxed[1] else None
    return Connection(one, other, conductor, numbers[0] if numbers else None)


def free_conductor(job: Job, point: str) -> str | None:
    """A conductor that no row uses: named like the core first; None where every one is taken."""
    taken = {row.conductor for row in job.connections}
    free = [f"{c.id}:{n}" for c in job.cables for n in c.order or () if f"{c.id}:{n}" not in taken]
    wanted = point.partition(":")[2]
    named = [name for name in free if name.partition(":")[2] == wanted]
    return next(iter([*named, *free]), None)
