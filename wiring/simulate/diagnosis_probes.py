"""What can be observed on a converted hoist to find a fault: what moves after each action, and voltages.

A probe is a sequence of states, gone through from rest with START given, and one thing
looked at in the last of them. Order of the list: cheap and without power first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from wiring.model.behaviour import Settled, State
from wiring.model.circuit import Circuit
from wiring.simulate.expect_keys import holding, named
from wiring.simulate.network import Network
from wiring.simulate.settle import settle

NOTHING: State = frozenset()
Keys = dict[str, State]
Seen = tuple[str, ...] | float


@dataclass(frozen=True, slots=True)
class Probe:
    """One observation. kind: "moves" (what moves), "volts" (across the subject), "point" (the
    subject against earth) or "time" (from the last change to standstill, infinite where it
    goes on); do: what a person does, in words."""

    id: str
    kind: Literal["moves", "volts", "point", "time"]
    subject: str
    states: tuple[State, ...]
    do: str


def probes(network: Network) -> tuple[Probe, ...]:
    """Function tests first, then times, voltages across loads, terminals against earth."""
    circuit, keys = network.circuit, holding(network)
    found = (
        *function_probes(circuit, keys), *time_probes(circuit, keys), *volt_probes(circuit, keys),
        *point_probes(circuit, keys),
    )  # fmt: skip
    return tuple({probe.id: probe for probe in found}.values())


def bare(name: str) -> str:
    """A name without its owner, fit for an id."""
    return name.partition(":")[2].replace(".", "-")


def function_probes(circuit: Circuit, keys: Keys) -> Iterator[Probe]:
    """What moves: at rest, held, let go, link and supply lost and back, limits, stops, two keys."""
    names = {item.name: item.kind for item in circuit.inputs}
    yield Probe("rest", "moves", "", (NOTHING,), "switch on, touch nothing")
    for key, held in keys.items():
        id = bare(key)
        yield Probe(f"hold-{id}", "moves", key, (held,), f"hold {named(key, held)}")
        yield Probe(f"release-{id}", "moves", key, (held, NOTHING), f"hold {named(key, held)}, let go")
        for cut in ("link", "supply"):
            if cut in names:
                gone = held | {cut}
                yield Probe(f"{cut}-{id}", "moves", key, (held, gone), f"hold {named(key, held)}, {cut} off")
                yield Probe(
                    f"{cut}-back-{id}",
                    "moves",
                    key,
                    (held, gone, held),
                    f"hold {named(key, held)}, {cut} off and on",
                )
        for limit in (name for name, kind in names.items() if kind == "limit"):
            yield Probe(
                f"{limit}-{id}",
                "moves",
                key,
                (held | {limit},),
                f"{limit} open by hand, hold {named(key, held)}",
            )
        for stop in (name for name, kind in names.items() if kind == "stop" or name == "key:stop"):
            pressed = held | {stop}
            yield Probe(f"{stop}-{id}", "moves", key, (held, pressed), f"hold {named(key, held)}, {stop}")
            yield Probe(
                f"{stop}-reset-{id}",
                "moves",
                key,
                (held, pressed, held),
                f"hold {named(key, held)}, {stop}, reset it",
            )
    for one, held in keys.items():
        for two, other in keys.items():
            if one != two and "." not in one and "." not in two:
                id = f"both-{bare(one)}-{bare(two)}"
                yield Probe(id, "moves", one, (held, held | other), f"hold {named(one, held)}, add {two}")


def time_probes(circuit: Circuit, keys: Keys) -> Iterator[Probe]:
    """How long it runs on after the key is let go and after the link is lost."""
    for key, held in keys.items():
        id = bare(key)
        yield Probe(
            f"time-release-{id}",
            "time",
            key,
            (held, NOTHING),
            f"time {named(key, held)} from let go to standstill",
        )
        if any(item.name == "link" for item in circuit.inputs):
            lost = held | {"link"}
            yield Probe(
                f"time-link-{id}",
                "time",
                key,
                (held, lost),
                f"time {named(key, held)} from battery out to standstill",
            )


def volt_probes(circuit: Circuit, keys: Keys) -> Iterator[Probe]:
    """Voltage across each coil, drive input and receiver supply, at rest and with each key."""
    loads = [p.name for p in circuit.parts if p.kind in ("coil", "drive-input", "supply-input")]
    for load in loads:
        yield Probe(f"volts-{load}-rest", "volts", load, (NOTHING,), f"volts across {load}, nothing pressed")
        for key, held in keys.items():
            yield Probe(
                f"volts-{load}-{bare(key)}",
                "volts",
                load,
                (held,),
                f"volts across {load}, hold {named(key, held)}",
            )


def point_probes(circuit: Circuit, keys: Keys) -> Iterator[Probe]:
    """Voltage of each terminal of receiver and added devices against earth, with each key."""
    if not circuit.earth:
        return
    touch = [p.name for p in circuit.points if p.terminal and p.zone in ("receiver", "device")]
    for name in touch:
        for key, held in keys.items():
            yield Probe(
                f"point-{name}-{bare(key)}",
                "point",
                name,
                (held,),
                f"volts {name} to earth, hold {named(key, held)}",
            )


class Watcher:
    """One circuit, sound or with one fault, on which probes are read."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.runs: dict[tuple[tuple[State, ...], str], Settled] = {}

    def read(self, probe: Probe) -> Seen:
        """What the probe shows: names of motions (a hum or a stall among them), or a voltage [V]."""
        if probe.kind == "moves":
            end = self.run(probe.states, "ideal")
            stalled = tuple(f"{m} hums" for m, t in end.torque.items() if t in ("stall", "single-phase"))
            return (*end.motions, *stalled)
        if probe.kind == "time":
            return self.time(probe)
        end = self.run(probe.states, "real")
        if probe.kind == "volts":
            known = probe.subject in {load.part.name for load in self.network.loads}
            return abs(end.volts[probe.subject]) if known else 0.0
        return abs(end.potential.get(probe.subject, 0j))

    def time(self, probe: Probe) -> float:
        """Longest opening time of the coils that let go in the last step; infinite while it moves. [s]"""
        before, after = self.run(probe.states[:-1], "ideal"), self.run(probe.states, "ideal")
        if after.motions:
            return math.inf
        dropped = set(before.energised) - set(after.energised)
        opening = (self.network.parts[n].values.get("open_time") for n in dropped if n in self.network.parts)
        return max((value.si for value in opening if value is not None), default=0.0)

    def run(self, states: tuple[State, ...], mode: str) -> Settled:
        """The circuit after a sequence of states, from rest with START given."""
        found = self.runs.get((states, mode))
        if found is None:
            before = self.run(states[:-1], mode) if len(states) > 1 else self.rest(mode)
            found = settle(self.network, states[-1], before.energised, before.memory, mode=mode)
            self.runs[(states, mode)] = found
        return found

    def rest(self, mode: str) -> Settled:
        found = self.runs.get(((), mode))
        if found is None:
            found = settle(self.network, NOTHING, mode=mode)
            if "key:start" in self.network.input_bit:
                given = settle(
                    self.network, frozenset(("key:start",)), found.energised, found.memory, mode=mode
                )
                found = settle(self.network, NOTHING, given.energised, given.memory, mode=mode)
            self.runs[((), mode)] = found
        return found
