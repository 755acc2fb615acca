"""Ways to spoil a good wiring by one slip, each as a function of a job and a random source."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

from wiring.circuit import build_after
from wiring.circuit.compare import nets
from wiring.model.entry import Catalog
from wiring.model.job import Connection, Job

Spoil = Callable[[Job, Catalog, random.Random], Job | None]
BOXED = ("core", "hoist", "plug")


def swap(job: Job, catalog: Catalog, rng: random.Random) -> Job | None:
    """Two connections exchange an end."""
    net = nets(build_after(job, catalog).parts)
    rows = list(job.connections)
    one, other = rng.sample(range(len(rows)), 2)
    a, b = rows[one], rows[other]
    if net.get(a.to) == net.get(b.to) or a.from_ == b.to or b.from_ == a.to:
        return None
    rows[one], rows[other] = replace(a, to=b.to), replace(b, to=a.to)
    return replace(job, connections=tuple(rows))


def drop(job: Job, catalog: Catalog, rng: random.Random) -> Job | None:
    """One connection is forgotten."""
    n = rng.randrange(len(job.connections))
    return replace(job, connections=(*job.connections[:n], *job.connections[n + 1 :]))


def beyond_limit(job: Job, catalog: Catalog, rng: random.Random) -> Job | None:
    """A motion lands on the motor's side of its limit instead of on its core."""
    after = build_after(job, catalog)
    seats = {f"core:{core.id}": after.aliases.get(f"core:{core.id}", "") for core in job.cores}
    net = nets(after.parts)
    choices = []
    for n, row in enumerate(job.connections):
        for side in ("from_", "to"):
            end = getattr(row, side)
            for part in after.parts:
                if part.by.startswith("limit:") and end in seats and net.get(part.pins[0]) == net[seats[end]]:
                    choices.append((n, side, part.pins[1]))
    if not choices:
        return None
    n, side, point = rng.choice(choices)
    return put(job, n, side, point)


def join_returns(job: Job, catalog: Catalog, rng: random.Random) -> Job | None:
    """Two cores of motions share a terminal."""
    cores = [f"core:{core.id}" for core in job.cores if core.role in RETURNS]
    if len(cores) < 2:
        return None
    one, other = rng.sample(cores, 2)
    return replace(job, connections=(*job.connections, Connection(one, other)))


RETURNS = (
    "up",
    "down",
    "left",
    "right",
    "forward",
    "back",
    "in",
    "out",
    "speed-2",
    "down-second",
    "up-second",
)


def wrong_common(job: Job, catalog: Catalog, rng: random.Random) -> Job | None:
    """A common of the receiver is fed from somewhere else."""
    rows = [n for n, r in enumerate(job.connections) for e in (r.from_, r.to)
            if e.startswith(("receiver:COM", "receiver:8", "receiver:3"))]  # fmt: skip
    cores = [f"core:{core.id}" for core in job.cores if core.role not in ("earth", None)]
    if not rows:
        return None
    n = rng.choice(rows)
    row = job.connections[n]
    side = "from_" if row.to.startswith("receiver:") else "to"
    point = rng.choice(cores)
    return None if point == getattr(row, side) else put(job, n, side, point)


def false_neutral(job: Job, catalog: Catalog, rng: random.Random) -> Job | None:
    """The return of the receiver's supply is taken from a core of a motion."""
    terminals = catalog.receivers[job.receiver.type or ""].supply_terminals
    point = f"receiver:{terminals[1]}"
    cores = [f"core:{core.id}" for core in job.cores if core.role in RETURNS]
    for n, row in enumerate(job.connections):
        if point in (row.from_, row.to) and cores:
            return put(job, n, "from_" if row.to == point else "to", rng.choice(cores))
    return None


def no_interlock(job: Job, catalog: Catalog, rng: random.Random) -> Job | None:
    """The crossed contact of a contactor pair is left out."""
    for device in job.devices:
        for other in ("down", "up"):
            into, out = f"{device.id}.{other}:21", f"{device.id}.{other}:22"
            feeds = [r for r in job.connections if into in (r.from_, r.to)]
            coils = [r for r in job.connections if out in (r.from_, r.to)]
            if len(feeds) == 1 and len(coils) == 1 and rng.random() < 0.5:
                source = feeds[0].from_ if feeds[0].to == into else feeds[0].to
                coil = coils[0].to if coils[0].from_ == out else coils[0].from_
                rows = [r for r in job.connections if r not in (feeds[0], coils[0])]
                return replace(job, connections=(*rows, replace(feeds[0], from_=source, to=coil)))
    return None


def no_stop(job: Job, catalog: Catalog, rng: random.Random) -> Job | None:
    """The wired stop is left out and its wires joined."""
    for device in job.devices:
        if not device.type.startswith("emergency-stop"):
            continue
        mine = [r for r in job.connections if owns(device.id, r.from_) or owns(device.id, r.to)]
        live = [r for r in mine if not any(e.endswith(":PE") for e in (r.from_, r.to))]
        outer = [e for r in live for e in (r.from_, r.to) if not owns(device.id, e)]
        if len(outer) < 2:
            return None
        first = next(r for r in live if outer[0] in (r.from_, r.to))
        rows = [r for r in job.connections if r not in mine]
        rows += [
            Connection(outer[0], e, first.conductor if n == 0 else None) for n, e in enumerate(outer[1:])
        ]
        return replace(
            job,
            connections=tuple(rows),
            devices=tuple(d for d in job.devices if d is not device),
            stops=tuple(s for s in job.stops if s.device != device.id),
            values=tuple(v for v in job.values if not owns(device.id, v.of)),
        )
    return None


def owns(device: str, name: str) -> bool:
    """True for a point or value of a device."""
    return name.partition(":")[0].partition(".")[0] == device


def put(job: Job, n: int, side: str, point: str) -> Job:
    """The job with one end of one connection elsewhere."""
    row = job.connections[n]
    new = replace(row, to=point) if side == "to" else replace(row, from_=point)
    return replace(job, connections=(*job.connections[:n], new, *job.connections[n + 1 :]))


SPOILS: dict[str, Spoil] = {
    "swap": swap,
    "drop": drop,
    "beyond limit": beyond_limit,
    "join returns": join_returns,
    "wrong common": wrong_common,
    "false neutral": false_neutral,
    "no interlock": no_interlock,
    "no stop": no_stop,
}
