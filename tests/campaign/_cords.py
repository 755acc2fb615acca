"""Simulated cords: a hoist type with values of its own, its cores in random order and colour, a meter.

The readings come from the resistance solver of the simulation, not from the bands
that the identification uses.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from wiring.circuit import build_type
from wiring.identify.meter import FRAME, Answer
from wiring.identify.probe import Probe
from wiring.model.circuit import Circuit, Part
from wiring.model.entry import HoistType
from wiring.model.job import Core
from wiring.model.value import Value
from wiring.simulate import Network, expected_ohms

COLOURS = "black white red blue brown grey green orange yellow pink violet 1 2 3"
PLUGGED = ("plug", "isolator")


@dataclass(frozen=True)
class Cord:
    """One unknown cord. at: role to core id; circuit: the hoist behind it, with values of its own."""

    hoist: HoistType
    cores: tuple[Core, ...]
    at: dict[str, str]
    circuit: Circuit

    @cached_property
    def buttons(self) -> frozenset[str]:
        """What a person sees on the handset."""
        used = {part.by for part in self.circuit.parts if part.owner == "pendant"}
        return frozenset("stop" if by.startswith("stop:") else by for by in used if by)

    def read(self, probe: Probe, rng: random.Random) -> Answer:
        """What a meter shows: contacts that are not quite zero, a few per cent off, three digits."""
        ends, ties = [], []
        for group in (probe.a, probe.b):
            points = [point for name in sorted(group) for point in self._point(name, probe.side)]
            ends.append(points[0] if points else None)
            ties += [(points[0], other) for other in points[1:]]
        if None in ends:
            return Answer(word="OL")
        tied = [Part(f"tie:{i}", "wire", pair, "tie") for i, pair in enumerate(ties)]
        tied = [replace(tie, owner="pendant" if probe.side == "handset" else "hoist") for tie in tied]
        network = Network(replace(self.circuit, parts=(*self.circuit.parts, *tied)))
        found = expected_ohms(network, str(ends[0]), str(ends[1]), self._state(probe), probe.side)
        if isinstance(found, str):
            return Answer(word=found)
        return Answer(ohms=float(f"{found * rng.uniform(0.97, 1.03) + rng.uniform(0.0, 0.6):.3g}"))

    def _point(self, name: str, side: str) -> list[str]:
        if name == FRAME:
            return [self.circuit.earth]
        roles = [role for role, core in self.at.items() if core == name]
        if side == "handset":
            return [f"pendant:{role}" for role in roles]
        return [self._plain.full(f"core:{role}") for role in roles]

    @cached_property
    def _plain(self) -> Network:
        return Network(self.circuit)

    def _state(self, probe: Probe) -> frozenset[str]:
        cut = {f"stop:{stop.id}" for stop in self.hoist.stops if stop.kind in PLUGGED}
        handset = [part.by for part in self.circuit.parts if part.owner == "pendant"]
        stops = {by for by in handset if by.startswith("stop:")}
        held = set().union(*(stops if name == "stop" else {name} for name in probe.state), set())
        return frozenset(held | cut)


def wrong(answer: Answer, rng: random.Random) -> Answer:
    """A reading that went wrong: a dirty contact, a slipped probe, the neighbour's core."""
    others = [Answer(word="OL"), Answer(ohms=float(f"{rng.uniform(0.0, 0.6):.3g}"))]
    others.append(Answer(ohms=float(f"{math.exp(rng.uniform(math.log(1.0), math.log(5000.0))):.3g}")))
    kind = 0 if answer.word == "OL" else 1 if answer.ohms is not None and answer.ohms < 1.0 else 2
    return others[rng.choice([i for i in range(3) if i != kind])]


def cord(hoist: HoistType, rng: random.Random, spares: int = 0) -> Cord:
    """A cord of that type with `spares` loose cores, everything about it at random."""
    count = len(hoist.cores) + spares
    ids = [str(i + 1) for i in range(count)]
    colours = rng.sample(COLOURS.split(), count)
    cores = tuple(Core(id, colour) for id, colour in zip(ids, colours, strict=True))
    rng.shuffle(ids)
    at = dict(zip((core.role for core in hoist.cores), ids, strict=False))
    circuit = build_type(hoist)
    return Cord(hoist, cores, at, replace(circuit, parts=tuple(_own(part, rng) for part in circuit.parts)))


def _own(part: Part, rng: random.Random) -> Part:
    """A part with a value somewhere in its spread."""
    return replace(part, values={name: _drawn(value, rng) for name, value in part.values.items()})


def _drawn(value: Value, rng: random.Random) -> Value:
    if value.low <= 0.0 or value.low == value.high:
        return value
    si = math.exp(rng.uniform(math.log(value.low), math.log(value.high)))
    return replace(value, si=si, low=si, high=si)


def drawn(hoists: Iterable[HoistType], rng: random.Random, most: int = 12) -> Cord:
    """A cord of a random type; one in four has a spare core, one in twenty two."""
    hoist = rng.choice(list(hoists))
    spares = rng.choices((0, 1, 2), (70, 25, 5))[0]
    return cord(hoist, rng, min(spares, most - len(hoist.cores)))
