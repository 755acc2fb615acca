"""Every fault a circuit is tried with: its name, its class, and the pairs with a hidden first one.

A fault set is a tuple of names. Most hold one; `receiver:UP on` may come as a
pair of one channel, and a fault that nobody would notice is combined with
every other. What a name does to the circuit stands in `faults_effect`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

from wiring.model.circuit import Circuit, Part
from wiring.simulate.faults_hidden import hidden_contactors

COMMAND, POWER, CONDUCTOR = "command contact", "power contact", "conductor"
LIMIT, STOP, SUPPLY, LOGIC = "limit", "stop device", "supply", "control logic"


@dataclass(frozen=True, slots=True)
class FaultSet:
    """One fault, or several together. kind: the class; hidden: the first name stays unnoticed."""

    names: tuple[str, ...]
    kind: str
    hidden: bool = False


def contact_class(circuit: Circuit, part: Part) -> str:
    """The class of a contact by what operates it."""
    source = part.by.partition(":")[0]
    if source in ("limit", "thermal"):
        return LIMIT
    if source == "stop" or part.by == "key:stop" or _is_stop_output(circuit, part.by):
        return STOP
    if source == "coil" and part.role == "power":
        return POWER
    return COMMAND


def _is_stop_output(circuit: Circuit, by: str) -> bool:
    return any(by == f"output:{out.name}" and out.invert for out in circuit.outputs)


def coil_class(circuit: Circuit, coil: Part) -> str:
    """A contactor with power contacts is one, a relay without is a command device."""
    by = f"coil:{coil.name}"
    power = any(p.by == by and p.role == "power" for p in circuit.parts)
    return POWER if power else COMMAND


def contact_faults(circuit: Circuit) -> Iterator[FaultSet]:
    """Each contact and electronic output stuck closed and stuck open."""
    for part in circuit.parts:
        if part.kind in ("contact", "semiconductor"):
            kind = contact_class(circuit, part)
            yield FaultSet((f"{part.name} stuck-closed",), kind)
            yield FaultSet((f"{part.name} stuck-open",), kind)


def coil_faults(circuit: Circuit) -> Iterator[FaultSet]:
    """Each contactor stuck in as a whole, its coil open, its coil short; jammed interlocks."""
    for part in circuit.parts:
        if part.kind == "coil":
            kind = coil_class(circuit, part)
            for how in ("stuck-in", "open", "short"):
                yield FaultSet((f"{part.name} {how}",), kind)
    for one, other in circuit.interlocks:
        yield FaultSet((f"{one} jammed {other}",), POWER)


def button_faults(circuit: Circuit) -> Iterator[FaultSet]:
    """Each button of the handset caught pressed, all its contacts together."""
    for item in circuit.inputs:
        if item.kind == "button":
            yield FaultSet((f"{item.name} stuck",), COMMAND)


def stop_faults(circuit: Circuit) -> Iterator[FaultSet]:
    """Each stop whose contact blocks no longer follow the actuator."""
    for stop in circuit.stops:
        if stop.input.startswith("stop:"):
            yield FaultSet((f"{stop.input} detached",), STOP)


def wire_faults(circuit: Circuit) -> Iterator[FaultSet]:
    """Each wire, core, conductor and jumper open."""
    for part in circuit.parts:
        if part.kind == "wire":
            kind = LOGIC if part.role == "jumper" else CONDUCTOR
            yield FaultSet((f"{part.name} open",), kind)


def neighbours(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    """Cores and conductors that can touch: side by side where the order is known, else every two."""
    parts = {part.name: part for part in circuit.parts}
    found: dict[tuple[str, str], None] = {}
    bundles = [circuit.core_order, *circuit.conductor_order.values()]
    for order in bundles:
        present = [name for name in order if name in parts]
        for pair in pairwise(present):
            found[pair] = None
    ordered = {name for order in bundles for name in order}
    loose: dict[str, list[str]] = {}
    for part in circuit.parts:
        if is_conductor(part) and part.name not in ordered:
            loose.setdefault(part.cable or part.owner, []).append(part.name)
    for names in loose.values():
        for pair in combinations(names, 2):
            found[pair] = None
    return tuple(found)


def is_conductor(part: Part) -> bool:
    """A core of the cord or a conductor of a cable: a wire that lies beside others."""
    return part.kind == "wire" and (part.owner == "core" or bool(part.cable))


def conductor_faults(circuit: Circuit) -> Iterator[FaultSet]:
    """Neighbours shorted, and each conductor to earth."""
    for one, other in neighbours(circuit):
        yield FaultSet((f"short {one} {other}",), CONDUCTOR)
    if not circuit.earth:
        return
    for part in circuit.parts:
        if is_conductor(part) and part.role != "earth" and circuit.earth not in part.pins:
            yield FaultSet((f"earth {part.name}",), CONDUCTOR)


def supply_faults(circuit: Circuit) -> Iterator[FaultSet]:
    """Phases lost and swapped, fuses, capacitors, suppressors, windings."""
    sources = [p for p in circuit.parts if p.kind == "source"]
    for part in sources:
        yield FaultSet((f"{part.name} open",), SUPPLY)
    if len(sources) > 1 and _three_phase(circuit):
        for one, other in combinations(sources[:3], 2):
            yield FaultSet((f"swap {one.name} {other.name}",), SUPPLY)
    across = {frozenset(p.pins) for p in circuit.parts if p.kind == "capacitor"}
    for part in circuit.parts:
        if part.kind in ("fuse", "transformer", "rectifier", "winding", "brake"):
            yield FaultSet((f"{part.name} open",), SUPPLY)
        elif part.kind == "capacitor":
            yield FaultSet((f"{part.name} open",), SUPPLY)
            yield FaultSet((f"{part.name} short",), SUPPLY)
        elif part.kind == "suppressor" and frozenset(part.pins) not in across:  # else the capacitor's short
            yield FaultSet((f"{part.name} short",), SUPPLY)


def _three_phase(circuit: Circuit) -> bool:
    return any(part.kind == "motor3" for part in circuit.parts)


def logic_faults(circuit: Circuit) -> Iterator[FaultSet]:
    """What the receiver's electronics and the transmitter can do wrong."""
    outputs = circuit.outputs
    for channel in dict.fromkeys(out.channel for out in outputs):
        yield FaultSet((f"receiver:{channel} frozen",), LOGIC)
    for out in outputs:
        yield FaultSet((f"{out.name} on",), LOGIC)
    for one, other in combinations(outputs, 2):
        if one.channel == other.channel:
            yield FaultSet((f"{one.name} on", f"{other.name} on"), LOGIC)
    for out in outputs:
        if not out.invert and out.mode in (None, "momentary"):
            yield FaultSet((f"{out.name} latching",), LOGIC)
    if outputs:
        yield FaultSet(("receiver:loss-timer stuck",), LOGIC)
        yield FaultSet(("receiver:memory restores",), LOGIC)
    for item in circuit.inputs:
        if item.kind == "key":
            word = "dead" if item.name == "key:stop" else "stuck"
            yield FaultSet((f"{item.name} {word}",), LOGIC)


def plain_faults(circuit: Circuit) -> tuple[FaultSet, ...]:
    """Every fault that one cause can bring about, in the order of the circuit."""
    return (
        *contact_faults(circuit),
        *coil_faults(circuit),
        *button_faults(circuit),
        *stop_faults(circuit),
        *wire_faults(circuit),
        *conductor_faults(circuit),
        *supply_faults(circuit),
        *logic_faults(circuit),
    )


def hidden_first(circuit: Circuit) -> tuple[str, ...]:
    """Faults that show nothing: one of several stop relays welded, a lost bond, a lost box earth."""
    stops = [out for out in circuit.outputs if out.invert]
    found = []
    if len(stops) > 1:
        for out in stops:
            found += [f"{p.name} stuck-closed" for p in circuit.parts if p.by == f"output:{out.name}"]
    return tuple(found)


def bond_first(circuit: Circuit) -> tuple[str, ...]:
    """Wires whose loss takes the earth away from a control supply or from the box: silent until
    the first earth fault."""
    if not circuit.earth:
        return ()
    secondary = {pin for p in circuit.parts if p.kind == "transformer" for pin in p.pins[2:]}
    found = []
    for part in circuit.parts:
        if part.kind != "wire" or circuit.earth not in part.pins:
            continue
        other = part.pins[0] if part.pins[1] == circuit.earth else part.pins[1]
        if part.role == "bond" or other in secondary or other.endswith((".PE", ":PE")):
            found.append(f"{part.name} open")
    return tuple(found)


def hidden_pairs(circuit: Circuit, plain: tuple[FaultSet, ...]) -> tuple[FaultSet, ...]:
    """Each hidden first fault with every second one that could follow it."""
    found: dict[frozenset[str], FaultSet] = {}
    for first in (*hidden_first(circuit), *hidden_contactors(circuit)):
        for second in plain:
            if first not in second.names:
                names = (first, *second.names)
                found.setdefault(frozenset(names), FaultSet(names, second.kind, hidden=True))
    for first in bond_first(circuit):
        for second in plain:
            if second.names[0].startswith("earth "):
                names = (first, *second.names)
                found.setdefault(frozenset(names), FaultSet(names, CONDUCTOR, hidden=True))
    for first in bond_first(circuit):
        live = live_point(circuit)
        if live and circuit.earth:
            names = (first, f"live {circuit.earth} {live}")
            found.setdefault(frozenset(names), FaultSet(names, CONDUCTOR, hidden=True))
    return tuple(found.values())


def live_point(circuit: Circuit) -> str:
    """A point of the hoist's own wiring that is live at rest: behind the first line fuse."""
    for part in circuit.parts:
        if part.kind == "fuse" and part.owner == "hoist":
            return part.pins[1]
    return ""


def single_list(circuit: Circuit) -> tuple[FaultSet, ...]:
    """All single faults, and the pairs whose first fault stays hidden."""
    plain = plain_faults(circuit)
    return (*plain, *hidden_pairs(circuit, plain))


def together(one: FaultSet, other: FaultSet) -> bool:
    """True where two single faults can happen at once: one part is not stuck open and closed."""
    return set(one.names).isdisjoint(other.names) and _subject(one) != _subject(other)


def _subject(fault: FaultSet) -> str:
    """What the fault happens to: one part cannot be stuck open and stuck closed at once."""
    name = fault.names[0]
    if name.startswith(("short ", "earth ", "swap ")) or " jammed " in name:
        return name
    return name.rpartition(" ")[0]
