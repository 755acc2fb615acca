"""The switching duty of a contact: its loads, voltage and kind, steady and starting current."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiring.check.case import Case
from wiring.check.loads import Load, alternating, carried, input_volts, source_volts, starting_a, steady_a
from wiring.check.rating import Rated, receiver_contacts
from wiring.check.states import settled_at
from wiring.model.circuit import Part


@dataclass(frozen=True, slots=True)
class Duty:
    """What one contact does. volts of its circuit [V]; ac: alternating."""

    contact: Part
    rated: Rated
    loads: tuple[Load, ...]
    volts: float
    ac: bool

    def kinds(self, *names: str) -> tuple[Load, ...]:
        """Its loads of these kinds."""
        return tuple(x for x in self.loads if x.kind in names)


def duties(case: Case) -> Iterator[tuple[str, Duty]]:
    """Every wired contact of the receiver with what it carries."""
    for name, part, rated in receiver_contacts(case):
        yield subject_of(case, name, part), duty_of(case, part, rated)


def subject_of(case: Case, output: str, part: Part) -> str:
    """The output's name, or the contact's where one output has several wired contacts."""
    several = [p for p in case.after.parts if p.by == f"output:{output}"]
    return output if len(several) == 1 or part.form == "NO" else part.name


def duty_of(case: Case, part: Part, rated: Rated) -> Duty:
    """The duty of one contact in its worst state."""
    loads, _ = carried(case, "after", part.name)
    first = loads[0] if loads else None
    ac = alternating(case.after, first.part if first and first.motor is None else None)
    return Duty(part, rated, loads, max((voltage_of(case, x) for x in loads), default=0.0), ac)


def voltage_of(case: Case, load: Load) -> float:
    """Voltage of a load's circuit: its rated one, else what it gets at rest, else the supply's. [V]"""
    if load.motor is not None:
        found = load.motor.values.get("voltage")
        return case.use(found) if found is not None else source_volts(case, case.after)
    prop = "primary" if load.kind == "transformer" else "voltage"
    if prop in load.part.values:
        return case.use(load.part.values[prop])
    if load.kind == "input":
        return input_volts(case, case.after, load.part)
    at_rest = settled_at(case, "after", ()).volts.get(load.name, 0j)
    return abs(at_rest) or source_volts(case, case.after)


def steady(case: Case, duty: Duty) -> float:
    """Current while everything on the contact runs. [A]"""
    return sum(steady_a(case, case.after, x) for x in duty.loads)


def starting(case: Case, duty: Duty) -> float:
    """Largest current at closing: one load starts while the others run. [A]"""
    running = {x.name: steady_a(case, case.after, x) for x in duty.loads}
    total = sum(running.values())
    return max((total - running[x.name] + starting_a(case, case.after, x) for x in duty.loads), default=0.0)
