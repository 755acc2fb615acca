"""The numbers on the parts: supply voltage, stated values, resistances of wires and contacts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from wiring.circuit.draft import Draft
from wiring.model.circuit import Motor, Part
from wiring.model.entry import Catalog, HoistType
from wiring.model.job import Job, StatedValue
from wiring.model.value import Amount, Value, WireSize, certain

MM2 = 1e-6  # [m2]

#: SI unit of a stated value whose property the entry does not have yet, by kind of quantity.
UNITS = {
    "length": "m",
    "current": "A",
    "voltage": "V",
    "resistance": "ohm",
    "power": "W",
    "apparent power": "VA",
    "time": "s",
    "mass": "kg",
    "frequency": "Hz",
    "speed": "m/s",
    "temperature": "degC",
    "ratio": "1",
    "capacitance": "F",
}


def of_each_source(voltage: float, system: str) -> float:
    """Voltage of one source part [V] from the voltage of the system: phase voltage of a
    three-phase supply, half of a supply between two lines, all of any other."""
    if system.startswith("3ph"):
        return voltage / math.sqrt(3)
    return voltage / 2 if system == "1ph L-L" else voltage


def set_sources(draft: Draft, hoist: HoistType, job: Job | None) -> None:
    """Give every source of the supply its voltage and frequency, the job's where it states them.

    A source whose voltage the entry itself states, and which is not the voltage
    of the supply, is one of its own (a battery beside the mains) and stays.
    """
    nominal = of_each_source(hoist.voltage.si, hoist.supply_system)
    for name, part in list(draft.parts.items()):
        if part.kind != "source":
            continue
        own = part.values.get("voltage")
        if own is not None and not math.isclose(own.si, nominal, rel_tol=0.02):
            continue
        values = dict(part.values)
        values["voltage"] = _supply_voltage(name, hoist, job)
        values["frequency"] = _supply_frequency(name, hoist, job)
        values.setdefault("phase", certain(f"{name}.phase", 0.0, "deg", "stated", hoist.source.title))
        draft.parts[name] = replace(part, values=MappingProxyType(values))


def _supply_voltage(name: str, hoist: HoistType, job: Job | None) -> Value:
    id, stated = f"{name}.voltage", job.supply.voltage if job else None
    if stated is None:
        each = of_each_source(hoist.voltage.si, hoist.supply_system)
        return certain(id, each, "V", hoist.voltage.basis, hoist.voltage.source)
    each = of_each_source(stated.si, hoist.supply_system)
    spread = job.supply.tolerance.si if job and job.supply.tolerance else 0.0
    source = f"[supply] voltage = {stated.text}"
    return Value(id, each, "V", "stated", source, each * (1 - spread), each * (1 + spread))


def _supply_frequency(name: str, hoist: HoistType, job: Job | None) -> Value:
    id, stated = f"{name}.frequency", job.supply.frequency if job else None
    if hoist.supply_system == "dc":
        return certain(id, 0.0, "Hz", "stated", "direct current")
    if stated is None:
        return replace(hoist.frequency, id=id)
    return certain(id, stated.si, "Hz", "stated", f"[supply] frequency = {stated.text}")


def set_stated(draft: Draft, motors: tuple[Motor, ...], values: Iterable[StatedValue]) -> tuple[Motor, ...]:
    """Put the job's `[[value]]` rows in the place of the values they name, on parts and motors.

    Returns the motors with theirs replaced. A row that names nothing here is
    left alone: the loader and the rules speak about it.
    """
    for row in values:
        name, _, key = row.of.rpartition(".")
        part = draft.parts.get(name)
        if part is not None:
            draft.parts[name] = replace(part, values=_replaced(part.values, key, row))
        motors = tuple(
            replace(motor, values=_replaced(motor.values, key, row)) if motor.name == name else motor
            for motor in motors
        )
    return motors


def _replaced(values: Mapping[str, Value], key: str, row: StatedValue) -> Mapping[str, Value]:
    old = values.get(key)
    unit = old.unit if old else UNITS.get(row.is_.kind, "")
    stated = certain(row.of, row.is_.si, unit, "stated", row.source or "stated in the job")
    return MappingProxyType({**values, key: stated})


def conductor_resistance(
    name: str, size: WireSize | None, length: Amount | None, catalog: Catalog
) -> Mapping[str, Value]:
    """Resistance of a conductor of this size and length [ohm], {} where one of them is not known.

    From the resistance tables: hot copper (75 degC) as the value, cold copper as
    the low end; a size that no table has, from its area and the resistivity.
    """
    if size is None or length is None:
        return MappingProxyType({})
    table, hot, cold = (
        ("copper-mm2", "r75_flexible", "r20_class5")
        if size.system == "mm2"
        else ("copper-awg", "r75_stranded", "r20_solid")
    )
    row = f"{table}/{size.name}"
    found, low = catalog.value(f"{row}/{hot}"), catalog.value(f"{row}/{cold}")
    if found is None:
        one_mm2 = catalog.value("practice/copper-20/per_mm2")
        if one_mm2 is None or size.area_m2 <= 0:
            return MappingProxyType({})
        found = replace(one_mm2, si=one_mm2.si * MM2 / size.area_m2)
    ohm = found.si * length.si
    least = low.si * length.si if low else ohm
    basis = found.basis if found.weak else "derived"
    source = f"{found.id}, {length.text} of {size.text}"
    value = Value(f"{name}.resistance", ohm, "ohm", basis, source, min(least, ohm), ohm)
    return MappingProxyType({"resistance": value})


def furnish(draft: Draft, hoist: HoistType, catalog: Catalog | None) -> None:
    """Give wires and contacts that have no resistance of their own the model's small one."""
    if catalog is None:
        return
    tail = "-dc" if hoist.supply_system == "dc" else ""
    wire = catalog.value(f"practice/internal-wire{tail}/resistance")
    control = catalog.value("practice/contact-control/resistance")
    power = catalog.value(f"practice/contact-power{tail}/resistance")
    for name, part in list(draft.parts.items()):
        if part.kind not in ("wire", "contact") or "resistance" in part.values or _cable_run(part):
            continue
        found = wire if part.kind == "wire" else power if part.role == "power" else control
        if found is not None:
            values = {**part.values, "resistance": replace(found, id=f"{name}.resistance")}
            draft.parts[name] = replace(part, values=MappingProxyType(values))


def _cable_run(part: Part) -> bool:
    """True for a core or conductor: without size and length its resistance is not known."""
    return bool(part.cable)
