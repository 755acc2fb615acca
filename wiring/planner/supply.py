"""Where voltage is to be had in the hoist, and the devices that turn it into another one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from types import MappingProxyType

from wiring.circuit import hoist_name
from wiring.model.circuit import Circuit, Part
from wiring.model.entry import Catalog, DeviceType, ReceiverType
from wiring.model.value import certain
from wiring.planner.demand import Demand
from wiring.simulate.network import Network
from wiring.simulate.states import space_of

#: A voltage within this share of another counts as the same class (115 V and 120 V).
NEAR = 0.12
#: Mean of a full-wave rectified voltage over its effective value, 2 sqrt(2) / pi.
FULL_WAVE = 0.9
PROBE_OHM = 1e6


@dataclass(frozen=True, slots=True)
class Tap:
    """Two points of the hoist with a voltage between them at rest. kind: "AC" | "DC"."""

    hot: str
    ret: str
    volts: float
    kind: str


@dataclass(frozen=True, slots=True)
class Converter:
    """A device that makes another voltage. inputs, outputs: its local terminals, hot first."""

    type: str
    inputs: tuple[str, str]
    outputs: tuple[str, str]
    primary: float
    volts: float
    kind: str
    wished: str  # the id to give it


def volts_between(before: Circuit, one: str, other: str) -> tuple[float, str]:
    """Voltage between two points at rest [V] and its kind, seen by a meter; 0.0 where there is none."""
    probe = Part(
        "probe", "load", (one, other), "probe",
        values=MappingProxyType({"resistance": certain("probe.resistance", PROBE_OHM, "ohm", "stated", "")}),
    )  # fmt: skip
    network = Network(replace(before, parts=(*before.parts, probe)))
    space = space_of(network)
    found = abs(space.settled(space.rest).volts.get("probe", 0j))
    return found, "DC" if direct(before, one) else "AC"


def direct(circuit: Circuit, point: str) -> bool:
    """True where a point is joined, through wires, fuses and contacts, to a source of direct voltage."""
    seen = joined(circuit, point)
    for part in circuit.parts:
        hertz = part.values.get("frequency")
        if part.kind == "source" and hertz is not None and hertz.si == 0 and seen & set(part.pins):
            return True
        if part.kind == "rectifier" and seen & set(part.pins[2:]):
            return True
    return False


def joined(circuit: Circuit, point: str, closed: bool = False) -> set[str]:
    """The points joined to one by wires, fuses and contacts. closed: contacts closed at rest only."""
    near: dict[str, list[str]] = {}
    for part in circuit.parts:
        open_ = part.kind == "contact" and closed and part.form == "NO"
        if part.kind in ("wire", "fuse", "contact") and not open_:
            near.setdefault(part.pins[0], []).append(part.pins[1])
            near.setdefault(part.pins[1], []).append(part.pins[0])
    seen, queue = {point}, [point]
    while queue:
        for other in near.get(queue.pop(), ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return seen


def taps(demand: Demand, before: Circuit) -> tuple[Tap, ...]:
    """The type's place for the receiver's supply first, then the lines before the main contactor."""
    found: list[Tap] = []
    pairs: list[tuple[str, str]] = []
    place = demand.place("receiver-supply")
    if place:
        pairs.append((place.frees[0], place.frees[1]))
    lines = demand.place("main-contactor")
    if lines and len(lines.frees) >= 4:
        pairs.append((lines.frees[0], lines.frees[2]))
    poles = demand.place("isolator")
    if lines and poles and len(poles.frees) == 4:
        pairs.append((lines.frees[0], poles.frees[3]))
    for one, other in pairs:
        hot, ret = hoist_name(one), hoist_name(other)
        volts, kind = volts_between(before, hot, ret)
        if volts > 1.0:
            found.append(Tap(hot, ret, volts, kind))
    return tuple(found)


def feeds(receiver: ReceiverType, volts: float, kind: str) -> bool:
    """True where the receiver may be supplied with this."""
    part = next((p for p in receiver.net.parts if p.kind == "supply-input"), None)
    if part is None:
        return False
    low, high = part.values.get("minimum"), part.values.get("maximum")
    if low is None or high is None or not low.si <= volts <= high.si * 1.02:
        return False
    return receiver.supply_kind == "either" or receiver.supply_kind == kind


def way_to(
    catalog: Catalog, volts: float, kind: str, wanted: ReceiverType | None, coil: float = 0.0, most: int = 2
) -> tuple[Converter, ...] | None:
    """The fewest converters from a voltage to one the receiver (or a coil of `coil` volts AC) takes;
    None where none will do."""
    if (wanted is not None and feeds(wanted, volts, kind)) or (coil and alike(volts, coil) and kind == "AC"):
        return ()
    frontier: list[tuple[float, str, tuple[Converter, ...]]] = [(volts, kind, ())]
    for _ in range(most):
        following = []
        for now, sort, path in frontier:
            for step in converters(catalog, now, sort):
                done = (*path, step)
                reached = wanted is not None and feeds(wanted, step.volts, step.kind)
                if reached or (coil and alike(step.volts, coil) and step.kind == "AC"):
                    return done
                following.append((step.volts, step.kind, done))
        frontier = following
    return None


def alike(one: float, other: float) -> bool:
    """True for voltages of one class."""
    return abs(one - other) <= NEAR * other


def converters(catalog: Catalog, volts: float, kind: str) -> Iterator[Converter]:
    """Devices of the catalog that can be fed with this voltage."""
    if kind != "AC":
        return
    for device in of_kind(catalog, "control-transformer"):
        part = next(p for p in device.net.parts if p.kind == "transformer")
        primary, secondary = part.values["primary"].si, part.values["secondary"].si
        if alike(volts, primary):
            yield Converter(device.id, ("L1", "L2"), ("X1", "X2"), primary, secondary, "AC", "T10")
    for device in of_kind(catalog, "supply-unit"):
        part = next(p for p in device.net.parts if p.kind == "transformer")
        primary, secondary = part.values["primary"].si, part.values["secondary"].si
        if alike(volts, primary):
            yield Converter(device.id, ("L", "N"), ("+", "-"), primary, secondary * FULL_WAVE, "DC", "T11")
    if volts <= 60.0:
        for device in of_kind(catalog, "rectifier"):
            yield Converter(device.id, ("~1", "~2"), ("+", "-"), volts, volts * FULL_WAVE, "DC", "T12")


def of_kind(catalog: Catalog, kind: str) -> Iterator[DeviceType]:
    """Built-in devices of a kind; their ids begin with it, so that the others need not be read."""
    for id in catalog.devices:
        if id.startswith(kind):
            device = catalog.devices[id]
            if device.kind == kind:
                yield device


def by_coil(catalog: Catalog, kind: str, volts: float, current: str) -> DeviceType | None:
    """The device of a kind whose coil is made for this voltage; a contactor pair only with its
    mechanical interlock. current: "AC" | "DC"."""
    best: tuple[float, DeviceType] | None = None
    for device in of_kind(catalog, kind):
        coil = next((p for p in device.net.parts if p.kind == "coil"), None)
        if coil is None or (kind == "contactor-pair" and not device.net.interlocks):
            continue
        hertz = coil.values.get("frequency")
        is_dc = hertz is not None and hertz.si == 0
        rated = coil.values["voltage"].si
        if is_dc == (current == "DC") and alike(volts, rated):
            distance = abs(volts - rated)
            if best is None or distance < best[0]:
                best = (distance, device)
    return best[1] if best else None
