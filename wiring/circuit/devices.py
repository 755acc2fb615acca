"""Added devices: contactors, relays, stops, limits, terminal boxes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiring.circuit.draft import Draft, add_netlist
from wiring.circuit.names import Namer, device_name
from wiring.model.circuit import Limit
from wiring.model.entry import Catalog, DeviceType, HoistType
from wiring.model.job import Job

#: Role of an overload contact that closes again by itself when the device has cooled.
AUTO_RESET = "auto-reset"


@dataclass
class Added:
    """What the devices bring beside parts."""

    interlocks: list[tuple[str, str]] = field(default_factory=list)
    limits: list[Limit] = field(default_factory=list)
    auto_reset: list[str] = field(default_factory=list)


def add_devices(
    draft: Draft, job: Job, catalog: Catalog, hoist: HoistType, stops: Mapping[str, str]
) -> Added:
    """Put every `[[device]]` of the job into the draft; one whose type is not known is left out."""
    added = Added()
    taken = {limit.id for limit in hoist.limits}
    for device in job.devices:
        kind = catalog.devices.get(device.type)
        if kind is None:
            continue
        name = device_name(device.id, kind.units)
        limits = _limits(kind, device.id, taken)
        stop = stops.get(f"device:{device.id}", f"stop:{device.id}")
        add_netlist(
            draft,
            kind.net,
            name,
            lambda _: "device",
            lambda by, id=device.id, n=name, s=stop, lim=limits: _cause(by, id, n, s, lim),  # type: ignore[misc]
        )
        added.interlocks += [(name(first), name(second)) for first, second in kind.net.interlocks]
        added.limits += _limiters(limits, hoist)
        added.auto_reset += [
            f"thermal:{device.id}"
            for part in kind.net.parts
            if part.by.startswith("thermal:") and part.role == AUTO_RESET
        ]
        taken.update(local for local, full in limits.items() if full == f"limit:{local}")
    return added


def _cause(by: str, device: str, name: Namer, stop: str, limits: Mapping[str, str]) -> str:
    """Full name of what operates a contact of a device.

    `stop:` is the device's own actuator, `coil:` its own coil, `limit:up` a
    limit switch on the way of that motion.
    """
    kind, _, id = by.partition(":")
    if kind == "coil":
        return f"coil:{name(id)}"
    if kind in ("stop", "isolator"):
        return stop
    if kind == "limit":
        return limits[id]
    if kind == "thermal":
        return f"thermal:{device}"
    return f"selector:{device}.{id}" if kind == "selector" else by


def _limits(kind: DeviceType, device: str, taken: set[str]) -> dict[str, str]:
    """Input of each limit of a device: `limit:up`, or its own name where the hoist has that limit
    already: two switches are two things, and each can fail alone."""
    locals_ = {part.by.partition(":")[2] for part in kind.net.parts if part.by.startswith("limit:")}
    return {
        local: f"limit:{local}" if local and local not in taken else f"limit:{device}" for local in locals_
    }


def _limiters(limits: Mapping[str, str], hoist: HoistType) -> list[Limit]:
    motions = {button.id: button.motion for button in hoist.buttons if button.motion}
    return [
        Limit(full, "first" if full == f"limit:{local}" else "back-up", motions[local])
        for local, full in sorted(limits.items())
        if local in motions
    ]
