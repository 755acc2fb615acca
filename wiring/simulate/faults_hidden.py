"""Main contactors that weld without anybody noticing: found by playing the circuit.

A contactor that is in while nothing is pressed, and whose weld changes neither rest
nor any commanded motion, stays welded until the day it is needed. Where a mirror
contact in the start path keeps a welded one from being started, the play shows it,
and the weld is not hidden.
"""

from __future__ import annotations

from wiring.model.circuit import Circuit
from wiring.simulate.network import Network
from wiring.simulate.settle import settle

COMMANDS = ("button", "key")
START = frozenset({"key:start", "button:start"})


def hidden_contactors(circuit: Circuit) -> tuple[str, ...]:
    """Faults `<coil> stuck-in` that show nothing until a stop is needed."""
    network = Network(circuit)
    power = {part.by.removeprefix("coil:") for part in circuit.parts if part.role == "power"}
    resting = set(_motions(network, ())[""][1])
    coils = [p.name for p in circuit.parts if p.kind == "coil" and p.name in power & resting]
    if not coils:
        return ()
    sound = {state: motions for state, (motions, _) in _motions(network, ()).items()}
    if not any(sound.values()):
        return ()
    found = []
    for coil in coils:
        fault = f"{coil} stuck-in"
        welded = {state: motions for state, (motions, _) in _motions(network, (fault,)).items()}
        if welded == sound:
            found.append(fault)
    return tuple(found)


def _motions(network: Network, faults: tuple[str, ...]) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    """Motions and coils at rest ("") and with each command alone, from cold, START given first."""
    known = {i.name: i for i in network.circuit.inputs}
    rest = settle(network, frozenset(), faults=faults)
    if start := START & known.keys():
        for step in (frozenset(start), frozenset()):
            rest = settle(network, step, rest.energised, rest.memory, faults)
    found = {"": (rest.motions, rest.energised)}
    for name, one in known.items():
        if one.kind in COMMANDS:
            pressed = frozenset({name, one.implies} - {""})
            now = settle(network, pressed, rest.energised, rest.memory, faults)
            found[name] = (now.motions, now.energised)
    return found
