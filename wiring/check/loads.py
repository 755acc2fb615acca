"""What a contact or conductor carries: loads, their running and starting currents, kind of current.

Currents come from plates and data sheets (values of coils and motors), not from
the solved phasors, so that a verdict names the figure that a person can state.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wiring.calc.lookup import cell, same_row
from wiring.calc.motor import locked_by_ratio
from wiring.check.case import Case
from wiring.check.draft import Missing
from wiring.check.nets import behind
from wiring.check.sources import between, direct, inner_source
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit, Motor, Part


@dataclass(frozen=True, slots=True)
class Load:
    """One thing that takes current. kind: coil | motor | brake | lamp | input | receiver | transformer."""

    kind: str
    name: str
    part: Part
    motor: Motor | None = None


_KINDS = {
    "coil": "coil", "brake": "brake", "load": "lamp", "drive-input": "input", "supply-input": "receiver",
    "transformer": "transformer",
}  # fmt: skip


def as_loads(circuit: Circuit, parts: Iterable[Part]) -> tuple[Load, ...]:
    """Parts as things a person knows: the windings of a motor are one motor, its capacitor belongs to it,
    and a rectifier is what hangs on its direct-current side."""
    owner = {name: motor for motor in circuit.motors for name in motor.parts}
    found: dict[str, Load] = {}
    for part in parts:
        motor = owner.get(part.name)
        if motor is not None and part.kind != "drive-input":
            found[motor.name] = Load("motor", motor.name, part, motor)
        elif part.kind == "rectifier":
            fed = [p for p in circuit.parts if p.kind in _KINDS and between(circuit, part.pins[2:4], p)]
            found.update({load.name: load for load in as_loads(circuit, fed)})
        elif part.kind in _KINDS:
            found[part.name] = Load(_KINDS[part.kind], part.name, part)
    return tuple(found.values())


def carried(case: Case, about: str, name: str) -> tuple[tuple[Load, ...], Settled | None]:
    """The loads a contact or wire carries in its worst state, and that state.

    Worst is the state with most motors, then with most loads, among those with at most two keys
    held and nothing else operated.
    """
    key = ("carried", about, name)
    found: tuple[tuple[Load, ...], Settled | None] | None = case.facts.cache.get(key)
    if found is None:
        found = case.facts.cache[key] = _carried(case, about, name)
    return found


def _carried(case: Case, about: str, name: str) -> tuple[tuple[Load, ...], Settled | None]:
    circuit = case.circuit(about)
    best: tuple[Load, ...] = ()
    at: Settled | None = None
    seen: set[tuple[str, ...]] = set()
    for settled in case.settled(about):
        if len(settled.state) > 2 or any(not s.startswith(("key:", "button:")) for s in settled.state):
            continue
        if settled.closed in seen:
            continue
        seen.add(settled.closed)
        part = circuit.part(name)
        if part.kind in ("contact", "semiconductor") and name not in settled.closed:
            continue
        loads = as_loads(circuit, behind(circuit, settled.closed, name))
        if at is None or _weight(loads) > _weight(best):
            best, at = loads, settled
    return best, at


def _weight(loads: tuple[Load, ...]) -> tuple[int, int]:
    """How heavy a set of loads is: one motor outweighs any number of coils."""
    return sum(x.kind == "motor" for x in loads), len(loads)


def alternating(circuit: Circuit, part: Part | None = None) -> bool:
    """True where the supply alternates, and neither a rectifier nor a source inside a device feeds the
    part."""
    hertz = [
        p.values["frequency"].si for p in circuit.parts if p.kind == "source" and "frequency" in p.values
    ]
    if not any(hertz):
        return False
    if part is None or part.kind == "brake":
        return True
    return part.rect == "" and not direct(circuit, part)


def hertz(circuit: Circuit) -> float:
    """Frequency of the supply, 0 for direct current. [Hz]"""
    found = [
        p.values["frequency"].si for p in circuit.parts if p.kind == "source" and "frequency" in p.values
    ]
    return max(found, default=0.0)


def coil_volts(case: Case, part: Part) -> float:
    """Rated voltage of a coil. [V]"""
    return case.of(part, "voltage", "read the coil's voltage on its plate")


def inrush_va(case: Case, part: Part) -> float:
    """Apparent power of a coil at the moment it closes [VA]; of a DC coil its steady power."""
    found = case.of_or_none(part, "inrush")
    return found if found is not None else coil_volts(case, part) ** 2 / case.of(part, "resistance")


def sealed_va(case: Case, part: Part) -> float:
    """Apparent power of a coil that is in [VA]; of a DC coil its steady power."""
    found = case.of_or_none(part, "sealed")
    return found if found is not None else coil_volts(case, part) ** 2 / case.of(part, "resistance")


def power_factor(case: Case, circuit: Circuit, part: Part, state: str) -> float:
    """Power factor of a coil, "inrush" or "sealed": its own, else the usual one; 1 on direct current."""
    if not alternating(circuit, part):
        return 1.0
    row = {"inrush": "inrush-iec", "sealed": "sealed"}[state]
    own = case.of_or_none(part, f"{state}_pf")
    return own if own is not None else case.cell("coil-power-factor", row, "power_factor")


def steady_a(case: Case, circuit: Circuit, load: Load) -> float:
    """Running or sealed current of a load. [A]"""
    if load.motor is not None:
        return case.of(load.motor, "full_load_current", "read the motor's current on its plate")
    part = load.part
    if load.kind == "coil":
        return sealed_va(case, part) / coil_volts(case, part)
    if load.kind == "receiver":
        power = case.of(part, "power", "read the receiver's own consumption")
        return power / supply_volts(case, circuit, part)
    if load.kind == "transformer":
        return case.of(part, "power") / case.of(part, "primary")
    if load.kind == "input":
        return input_volts(case, circuit, part) / case.of(part, "resistance")
    volts = case.of_or_none(part, "voltage")
    ohms = case.of(part, "resistance")
    reactance = case.of_or_none(part, "reactance") or 0.0
    return (volts if volts is not None else supply_volts(case, circuit, part)) / abs(complex(ohms, reactance))


def starting_a(case: Case, circuit: Circuit, load: Load) -> float:
    """Current of a load at the moment of closing. [A]"""
    if load.motor is not None:
        return locked_a(case, circuit, load.motor)
    if load.kind == "coil":
        return inrush_va(case, load.part) / coil_volts(case, load.part)
    return steady_a(case, circuit, load)


def locked_a(case: Case, circuit: Circuit, motor: Motor) -> float:
    """Locked-rotor current: the plate's, else the table's by power and volts, else a multiple of full
    load, larger for three-phase motors. [A]

    The larger of plate and table where the plate figure is only a placeholder would be guesswork:
    a stated figure stands, a missing one comes from the table.
    """
    own = case.of_or_none(motor, "locked_rotor_current")
    if own is not None:
        return own
    power, volts = case.of_or_none(motor, "power"), case.of_or_none(motor, "voltage")
    table = case.catalog.tables.get("nec-430-251-b" if motor.kind == "three-phase" else "nec-430-251-a")
    if power is not None and volts is not None and table is not None and case.region == "us":
        value = cell(table, same_row(table, "power", power, 0.02), f"v{nearest_volts(volts):.0f}")
        if value is not None:
            return case.use(value)
    full = case.of_or_none(motor, "full_load_current")
    if full is None:
        raise Missing(f"{motor.name}.full_load_current", "read the motor's current on its plate")
    row = "motor-inrush-three-phase" if motor.kind == "three-phase" else "motor-inrush"
    return locked_by_ratio(full, case.cell("relay-screening", row, "ratio"))


def nearest_volts(volts: float) -> float:
    """The motor voltage class of the tables nearest to a supply voltage. [V]"""
    return min((115.0, 200.0, 208.0, 230.0, 460.0, 575.0), key=lambda v: abs(v - volts))


def supply_volts(case: Case, circuit: Circuit, part: Part) -> float:
    """Voltage a part is meant for: its own rated one, or the lowest of its range, which takes most
    current; else the supply's. [V]"""
    for prop in ("voltage", "minimum"):
        if prop in part.values:
            return case.use(part.values[prop])
    return source_volts(case, circuit)


def input_volts(case: Case, circuit: Circuit, part: Part) -> float:
    """Voltage on a drive input that is called: its drive's own source, else the supply. [V]"""
    source = inner_source(circuit, part)
    if source is not None and "voltage" in source.values:
        return case.use(source.values["voltage"])
    return source_volts(case, circuit)


def source_volts(case: Case, circuit: Circuit) -> float:
    """Voltage between the poles of the supply: the largest source, or both where two lines stand
    opposite each other. [V]"""
    sources = [p for p in circuit.parts if p.kind == "source" and "voltage" in p.values]
    found = [case.of(p, "voltage") for p in sources]
    phases = [case.of_or_none(p, "phase") or 0.0 for p in sources]
    if len(found) == 2 and round(abs(phases[0] - phases[1])) == 180:
        return sum(found)
    return max(found, default=0.0)


def describe(loads: Iterable[Load]) -> str:
    """Loads in words, for a finding."""
    words = {"coil": "coil", "motor": "motor", "brake": "brake", "lamp": "load", "input": "drive input",
             "receiver": "receiver supply", "transformer": "transformer"}  # fmt: skip
    return ", ".join(f"{words[x.kind]} {x.name}" for x in loads) or "nothing"
