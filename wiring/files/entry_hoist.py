"""What a hoist type has beyond its netlist: cord, handset, limits, stops, motors, self-test."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any, cast

from wiring.files.entry_format import HoistBlock, MotorBlock, StopBlock
from wiring.files.entry_net import part, points, touchable
from wiring.files.entry_values import MOTOR_PROPERTIES, Site, value_of, values_of
from wiring.files.fields import freeze, shown
from wiring.files.quantity import QuantityError, parse
from wiring.model.entry import EntryCore, EntryMotor, EntryStop, Netlist
from wiring.model.job import ROLES
from wiring.model.value import Basis, Value


def hoist_fields(block: HoistBlock, net: Netlist, site: Site) -> dict[str, Any]:
    """The fields of `HoistType` below its netlist; problems go to the site."""
    cord = block.cord
    fields: dict[str, Any] = {
        "supply_system": block.supply_system,
        "voltage": _certain("voltage", block.voltage.text, "voltage", site),
        "frequency": _certain("frequency", block.frequency, "frequency", site),
        "earth": block.earth,
        "load_holding": block.load_holding,
        "colourings": tuple(cord.colourings),
        "cores": tuple(_cores(block, site)),
        "handset_junctions": tuple(cord.handset_junctions),
        "buttons": freeze(block.button),
        "contacts": tuple(freeze(each) for each in cord.contacts),
        "handset_parts": tuple(
            part(p, site, f"cord.handset_parts.{n}") for n, p in enumerate(cord.handset_parts)
        ),
        "exclusive": tuple(tuple(group) for group in block.exclusive),
        "limits": freeze(block.limit),
        "thermals": tuple((each.id, each.auto_reset) for each in block.thermals),
        "stops": tuple(_stop(each, block, net) for each in block.stop),
        "motors": tuple(_motor(each, site, f"motor.{n}") for n, each in enumerate(block.motor)),
        "brakes": freeze(block.brake),
        "insertions": freeze(block.insertion),
        "expected": freeze(block.expect),
    }
    _check_points(block, net, site)
    _check_inputs(block, net, site)
    _check_cord(block, site)
    return fields


def _certain(prop: str, raw: Any, kind: str, site: Site) -> Value | None:
    return value_of(raw, "", prop, (kind,), site, prop, "stated", "the choice of this type")


def _cores(block: HoistBlock, site: Site) -> list[EntryCore]:
    """The cores of the cord; colours one per colouring."""
    found = []
    for n, core in enumerate(block.cord.cores):
        current = None
        if core.current is not None:
            try:
                current = parse(core.current, "current") if isinstance(core.current, str) else None
            except QuantityError as error:
                site.problem(f"cord.cores.{n}.current", error.found, error.allowed, error.nearest)
            if not isinstance(core.current, str):
                site.problem(f"cord.cores.{n}.current", shown(core.current), 'a current such as "0.35 A"')
        if len(core.colours) not in (0, len(block.cord.colourings)):
            site.problem(f"cord.cores.{n}.colours", f"{len(core.colours)} colours",
                         f"one per colouring, {len(block.cord.colourings)}")  # fmt: skip
        found.append(EntryCore(core.role, core.at, tuple(core.colours), current, core.about))
    return found


def _stop(block: StopBlock, hoist: HoistBlock, net: Netlist) -> EntryStop:
    """A stop with the contacts it opens: those named, else every contact operated by it."""
    cause = f"stop:{block.id}"
    own = [each.id for each in net.parts if each.by == cause]
    own += [each.id for each in hoist.cord.contacts if each.by == cause]
    return EntryStop(block.id, block.kind, block.reach, tuple(block.parts or own))


def _motor(block: MotorBlock, site: Site, at: str) -> EntryMotor:
    """A motor with its nameplate."""
    raw = {name: value for name in MOTOR_PROPERTIES if (value := getattr(block, name)) is not None}
    values = values_of(
        raw, block.id, MOTOR_PROPERTIES, site, at, cast(Basis | None, block.basis), block.source
    )
    return EntryMotor(
        block.id, block.kind, tuple(block.parts), block.positive, block.negative, block.duty, block.hook,
        MappingProxyType(dict(values)),
    )  # fmt: skip


def _check_points(block: HoistBlock, net: Netlist, site: Site) -> None:
    """Places that the entry names exist: earth, cores, insertion places, motors, brakes."""
    every, land = points(net), touchable(net)
    site.known("earth", block.earth, every, "a point of this type")
    for n, core in enumerate(block.cord.cores):
        site.known(f"cord.cores.{n}.at", core.at, land, "a terminal of this type")
    names = tuple(each.id for each in net.parts)
    wires = tuple(wire.id for wire in net.wires) + names
    for n, place in enumerate(block.insertion):
        for name in place.remove:
            site.known(f"insertion.{n}.remove", name, wires, "a wire of this type")
        for name in place.frees:
            site.known(f"insertion.{n}.frees", name, every, "a point of this type")
    for n, motor in enumerate(block.motor):
        for name in motor.parts:
            site.known(f"motor.{n}.parts", name, names, "a part of this type")
    motors = tuple(motor.id for motor in block.motor)
    for n, brake in enumerate(block.brake):
        if brake.part:
            site.known(f"brake.{n}.part", brake.part, names, "a part of this type")
        for name in brake.motors:
            site.known(f"brake.{n}.motors", name, motors, "a motor of this type")


def _check_inputs(block: HoistBlock, net: Netlist, site: Site) -> None:
    """What contacts are operated by exists, and so does everything the self-test names."""
    ids = {
        "button": tuple(each.id for each in block.button),
        "limit": tuple(each.id for each in block.limit),
        "stop": tuple(each.id for each in block.stop),
        "thermal": tuple(each.id for each in block.thermals),
    }
    causes = [(f"parts.{n}.by", each.by) for n, each in enumerate(net.parts)]
    causes += [(f"cord.contacts.{n}.by", each.by) for n, each in enumerate(block.cord.contacts)]
    causes += [(f"cord.handset_parts.{n}.by", each.by) for n, each in enumerate(block.cord.handset_parts)]
    causes += [(f"expect.{n}.open", name) for n, row in enumerate(block.expect) for name in row.open]
    for key, cause in causes:
        kind, _, name = cause.partition(":")
        if kind in ids:
            site.known(key, name, ids[kind], f"a {kind} of this type")
    motions = tuple(dict.fromkeys(m for motor in block.motor for m in (motor.positive, motor.negative)))
    motions += tuple(each.motion for each in block.button if each.motion)
    for n, row in enumerate(block.expect):
        for name in row.press:
            site.known(f"expect.{n}.press", name, ids["button"], "a button of this type")
        for motion in row.motions:
            site.known(f"expect.{n}.motions", motion, motions, "a motion of this type")
    for n, group in enumerate(block.exclusive):
        for name in group:
            site.known(f"exclusive.{n}", name.removeprefix("button:"), ids["button"], "a button of this type")


def _check_cord(block: HoistBlock, site: Site) -> None:
    """Roles are roles, each once; handset contacts lie between roles or junctions."""
    roles = [core.role for core in block.cord.cores]
    for n, role in enumerate(roles):
        site.known(f"cord.cores.{n}.role", role, ROLES, "a role")
        if roles.count(role) > 1 and role != "spare":
            site.problem(f"cord.cores.{n}.role", f'"{role}" twice', "each role once")
    ends = (*roles, *block.cord.handset_junctions)
    contacts = [each.id for each in block.cord.contacts]
    for n, contact in enumerate(block.cord.contacts):
        if contacts.count(contact.id) > 1:
            site.problem(f"cord.contacts.{n}.id", f'"{contact.id}" twice', "each contact its own id")
        for end in contact.between:
            site.known(f"cord.contacts.{n}.between", end, ends, "a core role or handset junction")
