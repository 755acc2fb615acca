"""Reachability in a circuit: which points are one node, what hangs behind a contact or a wire.

Topology only; nothing is solved here. A rule asks it which loads a contact
carries, which limits stand before a motor, which wire ends are loose.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from wiring.model.circuit import Circuit, Part

#: Kinds that join their two pins while they are closed or fitted.
JOINS = ("wire", "fuse")
SWITCHES = ("contact", "semiconductor")
#: Nets of one circuit that are kept: rules ask for the same few again and again.
KEPT = 300
#: Kinds that take current.
LOADS = (
    "coil",
    "winding",
    "motor3",
    "capacitor",
    "brake",
    "load",
    "supply-input",
    "drive-input",
    "suppressor",
)


class Net:
    """Points joined by wires, fuses and the contacts that are closed."""

    def __init__(self, circuit: Circuit, closed: Collection[str], without: Collection[str] = ()) -> None:
        self.circuit = circuit
        self._live: set[str] | None = None
        shape = shape_of(circuit)
        key = (_hashable(closed), _hashable(without))
        known = shape.nets.get(key)
        if known is None:
            self._parent = dict(shape.joined(frozenset(without) & shape.fixed))
            for part in shape.switches:
                if part.name in closed and part.name not in without:
                    self._join(part.pins[0], part.pins[1])
            if len(shape.nets) >= KEPT:
                shape.nets.clear()
            shape.nets[key] = self
        else:
            self._parent, self._live = known._parent, known.live

    def node(self, point: str) -> str:
        """The node a point belongs to, named by one of its points."""
        point = point if point in self._parent else self.circuit.aliases.get(point, point)
        found = point
        while (up := self._parent.get(found, found)) != found:
            found = up
        return found

    def same(self, a: str, b: str) -> bool:
        """True where two points lie on one net."""
        return self.node(a) == self.node(b)

    def _join(self, a: str, b: str) -> None:
        one, two = self.node(a), self.node(b)
        self._parent.setdefault(one, one)
        self._parent.setdefault(two, one)
        self._parent[two] = one

    @property
    def live(self) -> set[str]:
        """Nodes that hold a pole of a source, a transformer's secondary or a rectifier's output."""
        if self._live is None:
            self._live = {self.node(p) for p in poles(self.circuit)}
        return self._live


def _hashable(names: Collection[str]) -> Collection[str]:
    return names if isinstance(names, (tuple, frozenset)) else frozenset(names)


class Shape:
    """What many nets of a circuit share: its wires and fuses joined, and the nets themselves. fixed:
    their names."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.switches = tuple(p for p in circuit.parts if p.kind in SWITCHES)
        self.fixed = frozenset(p.name for p in circuit.parts if p.kind in JOINS)
        self._joined: dict[frozenset[str], dict[str, str]] = {}
        self.nets: dict[tuple[Collection[str], Collection[str]], Net] = {}
        self.behind: dict[tuple[Collection[str], str], tuple[Part, ...]] = {}  # of `behind`

    def joined(self, without: frozenset[str]) -> dict[str, str]:
        """Each point of wires and fuses at its node, some of them left out."""
        if without not in self._joined:
            net = Net.__new__(Net)
            net.circuit, net._parent = self.circuit, {}
            for part in self.circuit.parts:
                if part.name in self.fixed and part.name not in without:
                    net._join(part.pins[0], part.pins[1])
            self._joined[without] = {point: net.node(point) for point in net._parent}
        return self._joined[without]


#: The shapes of the last circuits asked about: rules ask thousands of times about the same few.
_shapes: dict[int, Shape] = {}


def shape_of(circuit: Circuit) -> Shape:
    """The shape of a circuit, remembered."""
    found = _shapes.get(id(circuit))
    if found is None or found.circuit is not circuit:
        if len(_shapes) > 8:
            _shapes.clear()
        found = _shapes[id(circuit)] = Shape(circuit)
    return found


def poles(circuit: Circuit) -> Iterator[str]:
    """Points that feed: poles of sources, secondaries, rectified outputs."""
    for part in circuit.parts:
        if part.kind == "source":
            yield from part.pins
        elif part.kind in ("transformer", "rectifier"):
            yield from part.pins[2:4]


def idle_pole(circuit: Circuit, names: Iterable[str]) -> Part | None:
    """The first of some contacts whose two pins wires join for good: it opens nothing."""
    wires = Net(circuit, ())
    return next((p for p in map(circuit.part, names) if wires.same(p.pins[0], p.pins[1])), None)


def taking(circuit: Circuit) -> Iterator[tuple[Part, tuple[str, ...]]]:
    """Parts that take current, with the pins they take it at."""
    for part in circuit.parts:
        if part.kind in LOADS:
            yield part, part.pins
        elif part.kind in ("transformer", "rectifier"):
            yield part, part.pins[:2]


def behind(circuit: Circuit, closed: Collection[str], name: str) -> tuple[Part, ...]:
    """Loads that hang on the dead side of a contact or wire when it alone is opened.

    closed: contacts that are closed in the state meant. Nothing where both sides
    are fed, or where something else bridges it. Between two windings of one motor, as
    in series motors, neither side has a pole: the motor it is.
    """
    known = shape_of(circuit).behind
    key = (_hashable(closed), name)
    if key not in known:
        known[key] = _behind(circuit, closed, name)
    return known[key]


def _behind(circuit: Circuit, closed: Collection[str], name: str) -> tuple[Part, ...]:
    """See `behind`."""
    part = circuit.part(name)
    net = Net(circuit, closed, (name,))
    one, two = net.node(part.pins[0]), net.node(part.pins[1])
    dead = [n for n in {one, two} if n not in net.live]
    if one == two or not dead:
        return ()
    at = [[load for load, pins in taking(circuit) if any(net.node(p) == n for p in pins)] for n in dead]
    if len(dead) == 1:
        return tuple(at[0])
    owner = {name: motor.name for motor in circuit.motors for name in motor.parts}
    shared = {owner.get(p.name) for p in at[0]} & {owner.get(p.name) for p in at[1]} - {None}
    return tuple(p for p in (*at[0], *at[1]) if owner.get(p.name) in shared)


def before_loads(circuit: Circuit, loads: Iterable[str], closed: Collection[str]) -> set[str]:
    """Contacts and fuses whose opening alone cuts a load off from one of its poles.

    loads: part names, one thing together (the windings of a motor).
    """
    wanted = set(loads)
    found = set()
    for part in circuit.parts:
        if part.kind == "fuse" or (part.kind in SWITCHES and part.name in closed):
            cut = {p.name for p in behind(circuit, closed, part.name)}
            if cut & wanted:
                found.add(part.name)
    return found


def resting(circuit: Circuit) -> frozenset[str]:
    """Contacts that are closed with nothing operated and every coil out."""
    return frozenset(p.name for p in circuit.parts if p.kind in SWITCHES and p.form == "NC")
