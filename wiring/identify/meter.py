"""What a meter on the ohm range may show between cores of a dead hoist, type by type.

One `Sheet` is one side of the cut cord in one state: a net of resistances, each
with the spread of its value, so that an expected reading is a band and never a
single number. Parts with diodes or electronics behind their terminals may
conduct or not, depending on the meter: a path through them excludes nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Set
from dataclasses import dataclass
from functools import lru_cache

from wiring.circuit import build_type
from wiring.model.behaviour import State
from wiring.model.circuit import Circuit, Part
from wiring.model.entry import HoistType

# The bands of this page are definitions of the answer classes, wide on purpose: what lies
# in two bands excludes neither.
CLOSED_OHM = 3.0  # a closed contact with its leads subtracted, old and worn
OPEN_OHM = 20e6  # a handheld meter shows OL from here
METER_SHARE, METER_OHM = 0.1, 0.5  # how far a reading may be off: share of the value, and ohms
UNKNOWN_OHM = (0.5, 1e6)  # a winding or input whose ohms nobody states
KICK_FARAD = 1e-6  # a capacitor of this size visibly moves the ohms of a meter

FRAME = "hoist:PE"  # the metal of the hoist, whatever the type calls it


@dataclass(frozen=True, slots=True)
class Answer:
    """What the person read. ohms: leads subtracted; word: "" or OL | climbs | drops; volts for live ones."""

    ohms: float | None = None
    word: str = ""
    volts: float | None = None


@dataclass(frozen=True, slots=True)
class Expect:
    """What a reading can be: ohms from low to high [ohm] (high < low: no number), open, moving."""

    low: float
    high: float
    open: bool
    moves: bool

    def accepts(self, answer: Answer) -> bool:
        """True where this answer does not contradict the expectation."""
        if answer.word == "OL" or (answer.ohms is not None and answer.ohms >= OPEN_OHM):
            return self.open
        if answer.word:
            return self.moves
        if answer.ohms is None:
            return True
        most = self.high * (1 + METER_SHARE) + METER_OHM
        return self.low * (1 - METER_SHARE) - METER_OHM <= answer.ohms <= max(most, self._contact)

    @property
    def _contact(self) -> float:
        return CLOSED_OHM if self.low <= 0.0 <= self.high else -math.inf


LEADS = (-1, -2)  # the two leads of the meter, beside the numbers of a sheet's nodes
Net = dict[int, dict[int, float]]  # conductance between nodes [S]

CLOSED = Expect(0.0, 0.0, False, False)
OPEN = Expect(0.0, -1.0, True, False)
ANYTHING = Expect(0.0, OPEN_OHM, True, True)


@dataclass(frozen=True, slots=True)
class Edge:
    """A path between two nodes. low, high [ohm]; sure: it conducts whatever meter is used."""

    a: int
    b: int
    low: float
    high: float
    sure: bool = True


class Sheet:
    """One side of one hoist type in one state, as seen from the cores and a few named points."""

    def __init__(self, circuit: Circuit, side: str, state: State) -> None:
        self.side, self.state = side, state
        self._number: dict[str, int] = {}
        self._seats(circuit)
        self._edges: list[Edge] = []
        self._capacitors: list[tuple[int, int, bool]] = []
        for part in circuit.parts:
            handset = part.owner in ("core", "pendant")
            if handset == (side == "handset") and part.owner != "core":
                self._add(part)
        self.zero = self._groups(e for e in self._edges if e.sure and e.high <= 0.0)
        self.sure = self._groups(e for e in self._edges if e.sure)
        self.maybe = self._groups(self._edges)
        kicks = [Edge(a, b, 0.0, 0.0) for a, b, _ in self._capacitors]
        self.moving = self._groups([*self._edges, *kicks])
        self._memo: dict[tuple[frozenset[str], frozenset[str]], Expect] = {}
        self._meshes: dict[tuple[bool, frozenset[str]], Mesh] = {}
        self._known: dict[tuple[object, ...], dict[int, Expect]] = {}

    def _seats(self, circuit: Circuit) -> None:
        """Where each role and named point sits on this side."""
        self.seat: dict[str, int] = {}
        for part in circuit.parts:
            if part.owner == "core":
                end = part.pins[1] if self.side == "handset" else part.pins[0]
                self.seat[part.role] = self._node(end)
        if self.side == "hoist":
            names = {point.name for point in circuit.points}
            names |= {pin for part in circuit.parts for pin in part.pins}
            if circuit.earth:
                self.seat[FRAME] = self._node(circuit.earth)
            for name in sorted(names):
                self.seat.setdefault(name, self._node(name))

    def _node(self, name: str) -> int:
        return self._number.setdefault(name, len(self._number))

    def _add(self, part: Part) -> None:
        nodes = [self._node(pin) for pin in part.pins]
        kind = part.kind
        if kind in ("wire", "fuse"):
            self._edges.append(Edge(nodes[0], nodes[1], 0.0, 0.0))
        elif kind == "contact":
            if (part.by in self.state) == (part.form == "NO"):
                self._edges.append(Edge(nodes[0], nodes[1], 0.0, 0.0))
        elif kind == "motor3":
            star = self._node(f"{part.name} star")
            self._edges += [Edge(node, star, *band(part, "resistance")) for node in nodes]
        elif kind == "transformer":
            self._edges.append(Edge(nodes[0], nodes[1], *band(part, "primary_resistance")))
            self._edges.append(Edge(nodes[2], nodes[3], *band(part, "secondary_resistance")))
        elif kind == "capacitor" or (kind == "suppressor" and part.rect == "rc"):
            value = part.values.get("capacitance")
            big = value is None or value.si >= KICK_FARAD
            self._capacitors.append((nodes[0], nodes[1], big))
        elif kind in ("coil", "winding", "load") or plain(part):
            self._edges.append(Edge(nodes[0], nodes[1], *band(part, "resistance")))
        elif kind == "source":
            self._source(part, nodes)
        elif kind == "rectifier":
            pairs = [(0, 1), (2, 3), (0, 2), (0, 3), (1, 2), (1, 3)]
            self._edges += [Edge(nodes[i], nodes[j], *UNKNOWN_OHM, False) for i, j in pairs]
        else:  # brake behind diodes, electronic inputs and outputs
            self._edges.append(Edge(nodes[0], nodes[1], *band(part, "resistance"), False))

    def _source(self, part: Part, nodes: list[int]) -> None:
        """The mains and a battery are disconnected; the small supply inside a drive stays in circuit."""
        frequency = part.values.get("frequency")
        inner = frequency is not None and frequency.si == 0.0 and not part.pins[0].startswith("hoist:battery")
        if inner:
            self._edges.append(Edge(nodes[0], nodes[1], *UNKNOWN_OHM, False))

    def _groups(self, edges: Iterable[Edge]) -> dict[str, int]:
        """Role or point to the number of its group."""
        parent: dict[int, int] = {}

        def find(x: int) -> int:
            while parent.setdefault(x, x) != x:
                parent[x] = parent[parent[x]]
                x = parent[x]
            return x

        for edge in edges:
            parent[find(edge.a)] = find(edge.b)
        return {name: find(node) for name, node in self.seat.items()}

    # -- what a reading can be ----------------------------------------------------------------
    def expect(self, a: frozenset[str], b: frozenset[str]) -> Expect:
        """The reading between two groups of tied roles or points. A name that this type does not
        have (a spare) floats."""
        key = (a, b)
        found = self._memo.get(key)
        if found is None:
            found = self._memo[key] = self._memo[b, a] = self._expect(a, b)
        return found

    def known(self, *key: object) -> dict[int, Expect]:
        """Readings that were worked out before for such a key, each by a number of the caller's own."""
        return self._known.setdefault(key, {})

    def _expect(self, a: frozenset[str], b: frozenset[str]) -> Expect:
        if joined(self.zero, a, b):
            return CLOSED
        moves = joined(self.moving, a, b)
        if not joined(self.maybe, a, b):
            big = moves and self._big(a, b)
            return Expect(0.0, -1.0, not big, moves)
        low = self._resistance(a, b, True)
        if not joined(self.sure, a, b):
            return Expect(low, OPEN_OHM, True, True)
        return Expect(low, self._resistance(a, b, False), False, False)

    def _big(self, a: frozenset[str], b: frozenset[str]) -> bool:
        """True where large capacitors alone complete the path."""
        kicks = [Edge(x, y, 0.0, 0.0) for x, y, big in self._capacitors if big]
        return joined(self._groups([*self._edges, *kicks]), a, b)

    def _resistance(self, a: frozenset[str], b: frozenset[str], least: bool) -> float:
        """Smallest (every value low, every doubtful path there) or largest resistance [ohm]."""
        mesh = self._mesh(least, frozenset(x for x in a | b if ":" in x and x != FRAME))
        ends = [{mesh.root.get(x, x) for x in nodes} for nodes in (self._nodes(a), self._nodes(b))]
        if ends[0] & ends[1]:
            return 0.0
        tied: dict[int, int] = {x: lead for lead, nodes in zip(LEADS, ends, strict=True) for x in nodes}
        near: Net = {}
        for x, around in mesh.near.items():
            for y, g in around.items():
                p, q = tied.get(x, x), tied.get(y, y)
                if p != q:
                    row = near.setdefault(p, {})
                    row[q] = row.get(q, 0.0) + g
        _eliminate(near, set(LEADS))
        g = near.get(LEADS[0], {}).get(LEADS[1], 0.0)
        return 1.0 / g if g else OPEN_OHM

    def _mesh(self, least: bool, points: frozenset[str]) -> Mesh:
        """The net between cores, frame and these points alone, everything else taken out of it."""
        key = least, points
        found = self._meshes.get(key)
        if found is None:
            keep = [x for name, x in self.seat.items() if ":" not in name or name == FRAME or name in points]
            edges = [e for e in self._edges if least or e.sure]
            found = self._meshes[key] = mesh_of(edges, least, keep)
        return found

    def _nodes(self, group: frozenset[str]) -> list[int]:
        return sorted(self.seat[name] for name in group if name in self.seat)


def joined(groups: dict[str, int], a: frozenset[str], b: frozenset[str]) -> bool:
    """True where a group reaches from a name of `a` to a name of `b`."""
    return not {groups[x] for x in a if x in groups}.isdisjoint(groups[y] for y in b if y in groups)


def plain(part: Part) -> bool:
    """True for a brake without diodes and for a bleeder: resistors to any meter."""
    return part.rect == ("bleeder" if part.kind == "suppressor" else "") and part.kind in (
        "brake",
        "suppressor",
    )


def band(part: Part, name: str) -> tuple[float, float]:
    """The spread of a property [ohm]; unknown where the part does not state it."""
    value = part.values.get(name)
    return (value.low, value.high) if value else UNKNOWN_OHM


@dataclass(frozen=True, slots=True)
class Mesh:
    """Conductances between places [S]. root: a place to the one that stands for all joined with it."""

    root: dict[int, int]
    near: Net


def mesh_of(edges: list[Edge], least: bool, keep: Iterable[int]) -> Mesh:
    """The net with every value at one end of its spread, reduced to the places to keep."""
    parent: dict[int, int] = {}

    def find(x: int) -> int:
        while parent.setdefault(x, x) != x:
            parent[x] = parent[parent[x]]
            x = parent[x]
        return x

    for edge in edges:
        if edge.high <= 0.0:
            parent[find(edge.a)] = find(edge.b)
    near: Net = {}
    for edge in edges:
        x, y = find(edge.a), find(edge.b)
        ohms = edge.low if least else edge.high
        if x != y and edge.high > 0.0:
            g = 1.0 / max(ohms, 1e-3)
            near.setdefault(x, {})[y] = near.setdefault(x, {}).get(y, 0.0) + g
            near.setdefault(y, {})[x] = near.setdefault(y, {}).get(x, 0.0) + g
    _eliminate(near, {find(node) for node in keep})
    return Mesh({node: find(node) for node in list(parent)}, near)


def _eliminate(near: Net, keep: Set[int]) -> None:
    """Star-mesh: take every other node out, fewest neighbours first."""
    for node in sorted(set(near) - keep, key=lambda n: len(near[n])):
        around = near.pop(node)
        total = sum(around.values())
        for other in around:
            near[other].pop(node, None)
        names = list(around)
        for i, x in enumerate(names):
            for y in names[:i]:
                g = around[x] * around[y] / total
                near[x][y] = near[x].get(y, 0.0) + g
                near[y][x] = near[y].get(x, 0.0) + g


class Model:
    """One hoist type as a source of expected readings. Sheets are made when they are asked for."""

    def __init__(self, hoist: HoistType) -> None:
        self.id, self.title = hoist.id, hoist.title
        self.hoist = hoist
        self.circuit = build_type(hoist)
        self.roles: tuple[str, ...] = tuple(core.role for core in hoist.cores)
        handset = {p.by for p in self.circuit.parts if p.owner == "pendant"}
        known = {item.name: item for item in self.circuit.inputs}
        self.operated = tuple(name for name in known if name in handset)
        self.buttons = frozenset("stop" if name.startswith("stop:") else name for name in self.operated)
        self.implied = {name: item.implies for name, item in known.items() if item.implies}
        self.limits = tuple(name for name in known if name.startswith("limit:"))
        self.cut = frozenset(
            f"stop:{stop.id}" for stop in hoist.stops if stop.kind in ("plug", "isolator")
        )  # what the isolation has opened
        self._sheets: dict[tuple[str, State], Sheet] = {}

    def state(self, wanted: State) -> State:
        """A state in the type's own names: `stop` is its stop button, second steps imply the first."""
        stops = [name for name in self.operated if name.startswith("stop:")]
        found = {name for each in wanted for name in (stops if each == "stop" else [each])}
        return frozenset(found | {self.implied[name] for name in found if name in self.implied})

    def sheet(self, side: str, wanted: State) -> Sheet:
        """The sheet of a side in a state; the supply is isolated whatever is operated."""
        state = self.state(wanted) | self.cut
        found = self._sheets.get((side, state))
        if found is None:
            found = self._sheets[side, state] = Sheet(self.circuit, side, state)
        return found


@lru_cache(maxsize=256)
def _model(id: str, digest: str, hoist: Held) -> Model:
    return Model(hoist.hoist)


class Held:
    """A hoist type as a cache key that compares by nothing: id and digest decide."""

    __slots__ = ("hoist",)

    def __init__(self, hoist: HoistType) -> None:
        self.hoist = hoist

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Held)

    def __hash__(self) -> int:
        return 0


def model(hoist: HoistType) -> Model:
    """The model of a hoist type, made once for a content of its file."""
    if not hoist.digest:
        return Model(hoist)
    return _model(hoist.id, hoist.digest, Held(hoist))


def stop_names(models: Iterable[Model]) -> tuple[str, ...]:
    """Names under which a stop button may stand in a job's readings."""
    return tuple({name for m in models for name in m.operated if name.startswith("stop:")})


def frame_names(models: Iterable[Model]) -> tuple[str, ...]:
    """Points that are the metal of the hoist in some type."""
    return tuple({m.circuit.earth for m in models if m.circuit.earth})
