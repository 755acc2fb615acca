"""Lint and self-test of one catalog entry: what a person would get wrong in writing one."""

from __future__ import annotations

from collections import Counter

from wiring.circuit import build_type
from wiring.model.circuit import Circuit
from wiring.model.entry import CableType, DeviceType, HoistType, Netlist, ReceiverType, Table
from wiring.model.page import Page
from wiring.simulate.selftest import self_test

POSITIVE = (
    "resistance",
    "voltage",
    "rating",
    "power",
    "capacitance",
    "inrush",
    "sealed",
    "primary",
    "secondary",
)


def lint(entry: object) -> Page:
    """Every fault found, and for a hoist type the expected rows that did not come out.

    A cable type or a table has no netlist: that it could be read is all there is to say.
    Raises TypeError for what is no entry.
    """
    if isinstance(entry, CableType | Table):
        return report(entry.id, [], [], 0, "every key and figure reads; there is no netlist to test")
    if isinstance(entry, HoistType):
        faults = net_faults(entry.net) + hoist_faults(entry)
        failures = [str(f) for f in self_test(entry)] if not faults else []
        rows = len(entry.expected)
    elif isinstance(entry, ReceiverType):
        faults = net_faults(entry.net) + receiver_faults(entry)
        failures, rows = [], 0
    elif isinstance(entry, DeviceType):
        faults, failures, rows = net_faults(entry.net), [], 0
    else:
        raise TypeError(f"no lint for {type(entry).__name__}")
    return report(entry.id, faults, failures, rows)


def report(id: str, faults: list[str], failures: list[str], rows: int, said: str = "") -> Page:
    """The findings as text and JSON; any fault or failed row is a fail. said: in place of their number."""
    lines = [f"{id}: {said or f'{len(faults)} objections to the netlist'}"]
    lines += [f"  FAIL ✗  {fault}" for fault in faults]
    if faults and rows:
        lines.append(f"  self-test not run: {rows} rows wait until the netlist has no objection")
    elif rows:
        lines.append(f"self-test: {rows - len(failures)} of {rows} rows come out as expected")
        lines += [f"  FAIL ✗  {failure}" for failure in failures]
    verdict = "fail" if faults or failures else "pass"
    document = {
        "schema": "holdrun/lint/1",
        "id": id,
        "verdict": verdict,
        "faults": faults,
        "failures": failures,
    }
    return Page("\n".join(lines) + "\n", document, verdict)


def net_faults(net: Netlist) -> list[str]:
    """Faults that any netlist can have: ends nobody has, floating parts, impossible values."""
    pins = Counter(pin for part in net.parts for pin in part.at)
    known = set(pins) | {t.id for t in net.terminals} | set(net.junctions)
    found = []
    for wire in net.wires:
        found += [f"wire {wire.id}: end {end} is no terminal" for end in wire.ends if end not in known]
        if wire.ends[0] == wire.ends[1]:
            found.append(f"wire {wire.id}: both ends at {wire.ends[0]}")
    names = Counter(part.id for part in net.parts) + Counter(wire.id for wire in net.wires)
    found += [f"{name}: the id stands {count} times" for name, count in names.items() if count > 1]
    coils = {part.id for part in net.parts if part.kind == "coil"}
    for part in net.parts:
        cause, _, by = part.by.partition(":")
        if cause == "coil" and by and by not in coils:
            found.append(f"{part.id}: operated by coil {by}, which is not there")
        if part.kind == "contact" and not part.by:
            found.append(f"{part.id}: nothing operates this contact")
        for name, value in part.values.items():
            if name in POSITIVE and not value.si > 0:
                found.append(f"{part.id}.{name}: {value.si:g} {value.unit}; allowed: more than 0")
    return found


def hoist_faults(hoist: HoistType) -> list[str]:
    """Faults of a hoist type: crowded nodes, lost parts, cores without contact, motors without supply."""
    found = crowded(hoist) + floating(hoist)
    used = {end for contact in hoist.contacts for end in contact.between}
    used |= {pin for part in hoist.handset_parts for pin in part.at}
    for core in hoist.cores:
        if core.role not in used and core.role not in ("earth", "spare"):
            found.append(f"core {core.role}: no contact of the handset uses it")
    ends = {core.role for core in hoist.cores} | set(hoist.handset_junctions)
    for contact in hoist.contacts:
        found += [
            f"contact {contact.id}: {end} is no core or junction"
            for end in contact.between
            if end not in ends
        ]
    pressed = {contact.by for contact in hoist.contacts}
    pressed |= {part.by for part in (*hoist.net.parts, *hoist.handset_parts)}
    for button in hoist.buttons:
        if f"button:{button.id}" not in pressed:
            found.append(f"button {button.id}: it has no contact")
    parts = {part.id for part in hoist.net.parts}
    for motor in hoist.motors:
        found += [f"motor {motor.id}: part {part} is not there" for part in motor.parts if part not in parts]
    if not hoist.expected:
        found.append("no expected rows: the type cannot test itself")
    return found


def crowded(hoist: HoistType) -> list[str]:
    """Points where parts meet without a wire: a person could not take them apart."""
    pins = Counter(pin for part in hoist.net.parts for pin in part.at)
    sealed = set(hoist.net.junctions)
    listed = {t.id for t in hoist.net.terminals}
    return [
        f"{pin}: {count} parts meet here; give each its own terminal and join them with wires"
        for pin, count in pins.items()
        if count > 2 and pin not in sealed and pin not in listed
    ]


def floating(hoist: HoistType) -> list[str]:
    """Parts with an end that leads nowhere, and motors that no chain of parts joins to a source."""
    circuit = build_type(hoist)
    touched = Counter(pin for part in circuit.parts for pin in part.pins)
    found = [
        f"{part.name}: {pin} leads nowhere"
        for part in circuit.parts
        for pin in part.pins
        if touched[pin] == 1 and part.kind not in ("wire", "contact", "source")
    ]
    fed = reach(circuit)
    for motor in circuit.motors:
        pins = [pin for name in motor.parts for pin in circuit.part(name).pins]
        if not any(pin in fed for pin in pins):
            found.append(f"motor {motor.name}: no chain of parts joins it to a source")
    return found


def reach(circuit: Circuit) -> set[str]:
    """Points that a chain of parts of any kind joins to a source."""
    near: dict[str, set[str]] = {}
    for part in circuit.parts:
        for pin in part.pins:
            near.setdefault(pin, set()).update(part.pins)
    todo = [pin for part in circuit.parts if part.kind == "source" for pin in part.pins]
    seen = set(todo)
    while todo:
        for other in near[todo.pop()] - seen:
            seen.add(other)
            todo.append(other)
    return seen


def receiver_faults(receiver: ReceiverType) -> list[str]:
    """Outputs without contact, contacts of an output that is not there, no supply input."""
    found = []
    driven = {part.by for part in receiver.net.parts if part.by}
    outputs = {f"output:{out.id}" for out in receiver.outputs}
    found += [f"{out}: it has no contact" for out in sorted(outputs - driven)]
    found += [f"{by}: no such output" for by in sorted(driven - outputs) if by.startswith("output:")]
    if not any(part.kind == "supply-input" for part in receiver.net.parts):
        found.append("no supply input: the receiver is never powered")
    return found
