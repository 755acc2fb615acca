"""What a meter reads on the converted hoist while it runs: real wires, and the ends of what is uncertain.

The circuit is settled with wire, contact and source resistance. Values that nobody
stated are set to both ends of their spread, so that a figure comes with the band in
which it must lie if the circuit is as planned.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from wiring.model.behaviour import Settled, State
from wiring.model.circuit import Circuit, Part
from wiring.model.value import Value
from wiring.simulate.network import Network
from wiring.simulate.readings import expected_ohms
from wiring.simulate.settle import engine, settle

NOTHING: State = frozenset()
#: A point counts as live above this share of the supply voltage: what is left is leakage of the model.
LIVE = 0.01
#: A figure that moves less than this share over all corners does not rest on what is uncertain.
FIRM = 0.01
#: Kinds of part whose uncertain values are named; those of wires and contacts shape the model only.
LOADS = ("coil", "transformer", "winding", "motor3", "capacitor", "load", "brake", "supply-input")


@dataclass(frozen=True, slots=True)
class Level:
    """A figure with the band it may lie in [SI], and the placeholder values that make the band."""

    nominal: float
    low: float
    high: float
    rests_on: tuple[str, ...] = ()


class Meter:
    """Readings on one converted circuit, and on the same with every weak value at either end."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.weak = tuple(v.id for p in circuit.parts if p.kind in LOADS for v in p.values.values() if v.weak)
        corners = [circuit]
        if any(v.weak for p in circuit.parts for v in p.values.values()):
            corners += [at_end(circuit, lambda v: v.low), at_end(circuit, lambda v: v.high)]
        self.networks = tuple(Network(corner) for corner in corners)
        self.rests = {id(n): armed(n) for n in self.networks}

    @property
    def network(self) -> Network:
        """The circuit as stated."""
        return self.networks[0]

    def state(self, network: Network, held: State) -> Settled:
        """Settled with `held` operated, from rest with START given."""
        rest = self.rests[id(network)]
        return settle(network, held, rest.energised, rest.memory, mode="real")

    def level(self, held: State, read: Callable[[Network], float]) -> Level:
        """A reading on every corner in which the same coils are in as with the stated values."""
        wanted = self.state(self.network, held).energised
        kept = [n for n in self.networks if self.state(n, held).energised == wanted]
        figures = [read(network) for network in kept]
        moved = max(figures) - min(figures) > FIRM * max(map(abs, figures))
        return Level(figures[0], min(figures), max(figures), self.weak if moved else ())

    def volts(self, part: str, held: State) -> Level:
        """Voltage across a load while inputs are held. [V]"""
        return self.level(held, lambda n: abs(self.state(n, held).volts[part]))

    def current(self, part: str, held: State) -> complex:
        """Current through a part while inputs are held, circuit as stated. [A]"""
        return self.state(self.network, held).amps.get(part, 0j)

    def line_amps(self, held: State) -> Level:
        """Largest current of a source while inputs are held. [A]"""
        sources = [p.name for p in self.circuit.parts if p.kind == "source"]
        return self.level(held, lambda n: max(abs(self.state(n, held).amps.get(s, 0j)) for s in sources))

    def starting_volts(self, part: str, held: State) -> Level:
        """Voltage across a load at the moment in which every motor that will turn still stands. [V]"""
        return self.level(held, lambda n: starting(n, self.state(n, held), part))

    def ohms(self, a: str, b: str) -> float | str:
        """Resistance between two points, everything dead. [ohm]"""
        return expected_ohms(self.network, a, b, NOTHING)


def at_end(circuit: Circuit, end: Callable[[Value], float]) -> Circuit:
    """The circuit with every weak value at one end of its spread."""

    def moved(part: Part) -> Part:
        if not any(v.weak for v in part.values.values()):
            return part
        values = {k: v.moved(end(v)) if v.weak else v for k, v in part.values.items()}
        return replace(part, values=values)

    return replace(circuit, parts=tuple(moved(part) for part in circuit.parts))


def armed(network: Network) -> Settled:
    """At rest; START pressed and let go where the circuit has one."""
    rest = settle(network, NOTHING, mode="real")
    start = next((i.name for i in network.inputs if i.name in ("key:start", "button:start")), None)
    if start is None:
        return rest
    given = settle(network, frozenset((start,)), rest.energised, rest.memory, mode="real")
    return settle(network, NOTHING, given.energised, given.memory, mode="real")


def starting(network: Network, running: Settled, part: str) -> float:
    """Voltage across a load with the motors of `running` at locked-rotor impedance. [V]"""
    power = engine(network, "real")
    mask = sum(1 << i for i, name in enumerate(network.closed_names) if name in set(always(network, running)))
    coils = sum(network.coil_bit[name] for name in running.energised if name in network.coil_bit)
    locked = frozenset(
        name
        for motor in network.circuit.motors
        if running.torque.get(motor.name) in ("positive", "negative")
        for name in motor.parts
    )
    return abs(power.solution(mask, coils, locked).volts()[part])


def always(network: Network, running: Settled) -> Iterable[str]:
    """Switches closed in a settled state, those without a cause included."""
    yield from running.closed
    for i, name in enumerate(network.closed_names):
        if not network.switches[i].cause and network.rest >> i & 1:
            yield name


def live_after(circuit: Circuit | None) -> tuple[str, ...]:
    """Stops after which a terminal of the receiver still has a voltage to earth."""
    if circuit is None:
        return ()
    network = Network(circuit)
    rest = armed(network)
    points = [p.name for p in circuit.points if p.owner == "receiver"]
    highest = max((abs(v) for v in rest.potential.values()), default=0.0)
    found = []
    for stop in circuit.stops:
        if stop.input not in network.input_bit:
            continue
        stopped = settle(network, frozenset((stop.input,)), rest.energised, rest.memory, mode="real")
        if any(abs(stopped.potential.get(p, 0j)) > LIVE * highest for p in points):
            found.append(stop.input)
    return tuple(found)
