"""The wiring as nets while it is laid out, and the rows of the job that say the same."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from wiring.model.job import AddedDevice, Cable, Connection, Job, Remove, StopFact
from wiring.planner.channels import Joined
from wiring.planner.order import apart

BOX = ("core", "hoist", "plug")
#: Wire numbers of the proposal start here.
FIRST_NUMBER = 101


@dataclass
class Sheet:
    """What is put together for one proposal. nets: net to its points in the order they were put;
    why: point to the sentence that says what it is there for; hot: nets that must lie apart in a cable;
    inside: devices that sit in the hoist's own box, so that no cable leads to them."""

    job: Job
    nets: dict[str, dict[str, None]] = field(default_factory=dict)
    why: dict[str, str] = field(default_factory=dict)
    devices: list[AddedDevice] = field(default_factory=list)
    removes: list[Remove] = field(default_factory=list)
    stops: list[StopFact] = field(default_factory=list)
    open: list[str] = field(default_factory=list)
    same: Joined = field(default_factory=Joined)
    hot: list[str] = field(default_factory=list)
    inside: set[str] = field(default_factory=set)

    def put(self, net: str, point: str, why: str = "") -> None:
        """Land a point on a net."""
        self.nets.setdefault(net, {})[point] = None
        if why:
            self.why.setdefault(point, why)

    def tie(self, one: str, other: str) -> None:
        """Make two nets one."""
        self.same.join(one, other)

    def device(self, wished: str, type: str) -> str:
        """Add a device and give its id: one of the job's of that type first, else the next free id."""
        mine = {device.id for device in self.devices}
        for device in self.job.devices:
            if device.type == type and device.id not in mine:
                self.devices.append(device)
                return device.id
        taken = mine | {d.id for d in self.job.devices} | {c.id for c in self.job.cables}
        letters, number = wished.rstrip("0123456789"), int(wished[len(wished.rstrip("0123456789")) :] or 1)
        while f"{letters}{number}" in taken:
            number += 1
        self.devices.append(AddedDevice(f"{letters}{number}", type))
        return f"{letters}{number}"

    def take_off(self, wires: Iterable[str], why: str) -> None:
        """Wires of the hoist that go."""
        for wire in wires:
            if all(row.name != f"hoist:{wire}" for row in self.removes):
                self.removes.append(Remove(f"hoist:{wire}", why))

    def boxed(self, point: str) -> bool:
        """True for points in the hoist's own box."""
        owner = point.partition(":")[0].partition(".")[0]
        return owner in BOX or owner in self.inside

    def merged(self) -> dict[str, list[str]]:
        """Net to points, nets that were tied as one; nets with a single point left out."""
        found: dict[str, dict[str, None]] = {}
        for net, points in self.nets.items():
            found.setdefault(self.same.root(net), {}).update(points)
        return {net: list(points) for net, points in found.items() if len(points) > 1}


@dataclass(frozen=True, slots=True)
class Rows:
    """Connections with their reasons, and the cables that carry them."""

    connections: tuple[Connection, ...]
    reasons: tuple[str, ...]
    cables: tuple[Cable, ...]
    new_cable: bool


def rows_of(sheet: Sheet) -> Rows:
    """The nets as rows: what the job already joins stays joined so, the rest in a chain."""
    job = sheet.job
    found: list[tuple[Connection, str]] = []
    carrier = _carrier(job)
    kept: set[int] = set()
    edges_of = {net: _edges(sheet, points, kept) for net, points in sheet.merged().items()}
    stay = [edge for edges in edges_of.values() for edge in edges if isinstance(edge, Connection)]
    taken = {row.conductor for row in stay if row.conductor}
    numbered = {row.number for row in stay if row.number}
    order: dict[str, str] = {}
    for net, edges in edges_of.items():
        mine = [edge.number for edge in edges if isinstance(edge, Connection) and edge.number]
        label = mine[0] if mine else next(n for n in map(str, range(FIRST_NUMBER, 999)) if n not in numbered)
        numbered.add(label)
        for edge in edges:
            if isinstance(edge, Connection):
                row = edge
            else:
                crosses = sheet.boxed(edge[0]) != sheet.boxed(edge[1])
                row = Connection(*edge, _conductor(sheet, carrier, edge, taken) if crosses else None, label)
            if row.conductor:
                taken.add(row.conductor)
                order[row.conductor] = net
            found.append((row, _reason(sheet, row)))
    found.sort(key=lambda pair: _place_in(job, pair[0]))
    cables, new = _cables(sheet, carrier, order)
    return Rows(tuple(c for c, _ in found), tuple(why for _, why in found), cables, new)


def _place_in(job: Job, row: Connection) -> int:
    """Rows of the job in their old order, new ones behind."""
    return job.connections.index(row) if row in job.connections else len(job.connections)


def _edges(sheet: Sheet, points: list[str], kept: set[int]) -> list[Connection | tuple[str, str]]:
    """Edges that make the points one net: rows of the job first, then hoist box, then the rest in a chain."""
    job, tree = sheet.job, Joined()
    edges: list[Connection | tuple[str, str]] = []
    inside = set(points)
    for index, row in enumerate(job.connections):
        ends = (row.from_, row.to)
        if index not in kept and inside.issuperset(ends) and not tree.same(*ends):
            tree.join(*ends)
            edges.append(row)
            kept.add(index)
    ordered = [p for p in points if sheet.boxed(p)] + [p for p in points if not sheet.boxed(p)]
    last = ordered[0]
    for point in ordered[1:]:
        if not tree.same(last, point):
            tree.join(last, point)
            edges.append((last, point))
        last = point
    return edges


def _boxed(point: str) -> bool:
    """True for points in the hoist's own box."""
    return point.partition(":")[0] in BOX


def _carrier(job: Job) -> Cable:
    """The cable between hoist and receiver: the one that carries a core already, the first, or a new one."""
    for row in job.connections:
        owner = (row.conductor or "").partition(":")[0]
        crossing = _boxed(row.from_) != _boxed(row.to)
        found = next((c for c in job.cables if c.id == owner and crossing), None)
        if found:
            return found
    if job.cables:
        return job.cables[0]
    taken = {d.id for d in job.devices}
    return Cable(next(f"W{n}" for n in range(1, 99) if f"W{n}" not in taken))


def _conductor(sheet: Sheet, carrier: Cable, edge: tuple[str, str], taken: set[str]) -> str:
    """A conductor that nothing uses: the one that was on the same point, one named like the point,
    a free one of the cable, else the first free number."""
    job = sheet.job
    inner = next(p for p in edge if sheet.boxed(p))
    owner, _, rest = inner.partition(":")
    was = [row.conductor for row in job.connections if row.conductor and inner in (row.from_, row.to)]
    tail = rest.rpartition(".")[2]
    named = [
        f"{carrier.id}:{name}" for name in ([rest] if owner == "core" else [tail] if tail.isalpha() else [])
    ]
    free = [f"{carrier.id}:{name}" for name in carrier.order or () if name != "PE"]
    numbers = [f"{carrier.id}:{n}" for n in range(1, 99)]
    return next(name for name in [*was, *named, *free, *numbers] if name not in taken)


def _cables(sheet: Sheet, carrier: Cable, order: Mapping[str, str]) -> tuple[tuple[Cable, ...], bool]:
    """The job's cables, the carrier with every conductor it needs, in an order that keeps apart what must."""
    mine = [name for name in order if name.partition(":")[0] == carrier.id]
    if not mine:
        return sheet.job.cables, False
    names = [name.partition(":")[2] for name in mine]
    wanted = list(carrier.order or ())
    if not set(names) <= set(wanted):
        hot = {name.partition(":")[2] for name in mine if _is_hot(sheet, order[name])}
        wanted = list(apart(wanted + [n for n in names if n not in wanted], hot, _earths(sheet, mine, order)))
    cable = replace(carrier, order=tuple(wanted)) if tuple(wanted) != (carrier.order or ()) else carrier
    if all(cable.id != c.id for c in sheet.job.cables):
        return (*sheet.job.cables, cable), True
    return tuple(cable if c.id == cable.id else c for c in sheet.job.cables), False


def _is_hot(sheet: Sheet, net: str) -> bool:
    return net in {sheet.same.root(n) for n in sheet.hot}


def _earths(sheet: Sheet, mine: Sequence[str], order: Mapping[str, str]) -> set[str]:
    root = sheet.same.root("earth")
    return {name.partition(":")[2] for name in mine if order[name] == root}


def _reason(sheet: Sheet, row: Connection) -> str:
    """The sentence of one row: what its far end is there for, else its near end."""
    parts = [sheet.why[p] for p in (row.to, row.from_) if p in sheet.why]
    return parts[0] if parts else "one point of the circuit: both ends lie on the same potential"
