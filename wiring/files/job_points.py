"""Every name that a job may point at: terminals, parts, wires, values, by owner."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from wiring.files.entry_net import points, touchable
from wiring.files.entry_values import ENTRY_PROPERTIES, MOTOR_PROPERTIES, PART_PROPERTIES
from wiring.model.entry import DeviceType, EntryPart, HoistType, ReceiverType
from wiring.model.job import Job


@dataclass
class World:
    """A job with the types it names. None: not known, or not usable; its names are then not judged.

    landing: full point names on which a wire can be landed, by owner; an owner
    whose type is not known has None.
    """

    job: Job
    hoist: HoistType | None = None
    receiver: ReceiverType | None = None
    devices: dict[str, DeviceType | None] = field(default_factory=dict)
    landing: dict[str, frozenset[str] | None] = field(default_factory=dict)

    def fill(self) -> None:
        """Work out the landing points once the types are known."""
        self.landing["core"] = frozenset(f"core:{core.id}" for core in self.job.cores)
        self.landing["hoist"] = self.landing["plug"] = self.landing["pendant"] = self.landing["receiver"] = (
            None
        )
        if self.hoist is not None:
            every = frozenset(hoist_point(name) for name in landable(self.hoist))
            self.landing["hoist"] = frozenset(name for name in every if name.startswith("hoist:"))
            self.landing["plug"] = frozenset(name for name in every if name.startswith("plug:"))
            self.landing["pendant"] = frozenset(
                f"pendant:{core.role}" for core in self.hoist.cores
            ) | frozenset(f"pendant:{name}" for name in self.hoist.handset_junctions)
        if self.receiver is not None:
            self.landing["receiver"] = frozenset(f"receiver:{name}" for name in touchable(self.receiver.net))
        for id, kind in self.devices.items():
            if kind is None:
                self.landing[id] = None
            else:
                self.landing[id] = frozenset(device_name(id, kind, name) for name in touchable(kind.net))

    def keys(self) -> tuple[str, ...] | None:
        """Keys that a transmitter can have for this hoist, None where the type is not known."""
        if self.hoist is None:
            return None
        return (*(button.id for button in self.hoist.buttons), "stop", "start")


def landable(hoist: HoistType) -> tuple[str, ...]:
    """Local points of a hoist that a wire can be landed on: terminals, and what a change of wires frees."""
    freed = [name for place in hoist.insertions for name in place.frees]
    plug = [name for name in points(hoist.net) if name.startswith("plug.")]
    cores = [core.at for core in hoist.cores]
    return tuple(dict.fromkeys([*touchable(hoist.net), *freed, *plug, *cores, hoist.earth]))


def hoist_point(local: str) -> str:
    """`X1.3` -> `hoist:X1.3`; a pin of the plug belongs to the plug: `plug.L` -> `plug:L`."""
    return f"plug:{local.removeprefix('plug.')}" if local.startswith("plug.") else f"hoist:{local}"


def device_name(id: str, kind: DeviceType, local: str) -> str:
    """Full name of a device's part or terminal: `up:A1` -> `K10.up:A1`, `up` -> `K10.up`, "" -> `K10`."""
    unit, colon, rest = local.partition(":")
    if not local:
        return id
    if colon and unit in kind.units:
        return f"{id}.{unit}:{rest}"
    return f"{id}.{local}" if local in kind.units else f"{id}:{local}"


def stop_devices(world: World) -> tuple[str, ...] | None:
    """What a stop may name as its device; None where the hoist type is not known."""
    if world.hoist is None:
        return None
    found = [f"hoist:{stop.id}" for stop in world.hoist.stops]
    found += [f"pendant:{contact.id}" for contact in world.hoist.contacts]
    found += [f"hoist:{part.id}" for part in world.hoist.net.parts]
    if any(name.startswith("plug.") for name in points(world.hoist.net)):
        found.append("plug")
    if world.receiver is not None:
        found += ["receiver", *(f"receiver:{output.id}" for output in world.receiver.outputs)]
    for id, kind in world.devices.items():
        found.append(id)
        found += [device_name(id, kind, part.id) for part in kind.net.parts] if kind else []
    return tuple(dict.fromkeys(found))


def addresses(world: World) -> dict[str, tuple[str, ...]] | None:
    """Every `owner:part.property` a job can state, with its kinds of quantity; None where a type
    is not known."""
    if world.hoist is None or (world.job.receiver.type and world.receiver is None):
        return None
    found: dict[str, tuple[str, ...]] = {}
    for name, part in _parts(world):
        found.update({f"{name}.{prop}": kinds for prop, kinds in PART_PROPERTIES[part.kind].items()})
    for motor in world.hoist.motors:
        found.update({f"hoist:{motor.id}.{prop}": kinds for prop, kinds in MOTOR_PROPERTIES.items()})
    for owner in ("receiver", *world.devices):
        found.update({f"{owner}.{prop}": kinds for prop, kinds in ENTRY_PROPERTIES.items()})
    return found


def _parts(world: World) -> Iterator[tuple[str, EntryPart]]:
    """Every part of the types by its full name."""
    if world.hoist is not None:
        yield from ((f"hoist:{part.id}", part) for part in world.hoist.net.parts)
        yield from ((f"pendant:{part.id}", part) for part in world.hoist.handset_parts)
    if world.receiver is not None:
        yield from ((f"receiver:{part.id}", part) for part in world.receiver.net.parts)
    for id, kind in world.devices.items():
        if kind is not None:
            yield from ((device_name(id, kind, part.id), part) for part in kind.net.parts)
