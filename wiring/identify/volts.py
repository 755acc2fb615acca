"""Volts between a core and the frame of a live hoist, cord open, nothing pressed."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType

from wiring.identify.meter import FRAME, Answer, Model
from wiring.identify.probe import Probe
from wiring.simulate import Network, settle

#: A supply may be this far from its rated voltage, and a meter off by this much [V].
SUPPLY, METER_VOLT = 0.2, 5.0


@lru_cache(maxsize=64)
def volts_of(model: Model) -> MappingProxyType[str, float]:
    """Role to volts against the frame at rest, the handset taken off; absent where it floats."""
    circuit = model.circuit
    seats = {part.role: part.pins[0] for part in circuit.parts if part.owner == "core"}
    bare = replace(circuit, parts=tuple(p for p in circuit.parts if p.owner not in ("core", "pendant")))
    used = {part.by for part in bare.parts}
    bare = replace(bare, inputs=tuple(i for i in bare.inputs if i.name in used))
    potential = settle(Network(bare), frozenset()).potential
    return MappingProxyType({role: abs(potential[seat]) for role, seat in seats.items() if seat in potential})


def accepts(model: Model, roles: frozenset[str], probe: Probe, answer: Answer) -> bool:
    """True where a live reading from one core to the frame does not contradict a hypothesis: roles
    are those of the cores read. A core that floats shows ghost volts: that excludes nothing."""
    if answer.volts is None or FRAME not in probe.a | probe.b or len(roles) != 1:
        return True
    volts = volts_of(model).get(next(iter(roles)))
    return volts is None or abs(volts - answer.volts) <= SUPPLY * volts + METER_VOLT
