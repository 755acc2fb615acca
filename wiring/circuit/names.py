"""Local names of a catalog entry to full names of a circuit.

A full name is `owner[.unit]:name`. Two things of a type belong to another
owner than `hoist`: the plug (`plug.L` is `plug:L`) and the handset.
"""

from __future__ import annotations

from collections.abc import Callable

Namer = Callable[[str], str]


def hoist_name(local: str) -> str:
    """`X1.3` -> `hoist:X1.3`; `plug.L` -> `plug:L`; `mains.L1` -> `hoist:mains.L1`."""
    if local.startswith("plug."):
        return "plug:" + local.removeprefix("plug.")
    return "hoist:" + local


def pendant_name(local: str) -> str:
    """A handset junction, a core role or a handset contact: `g` -> `pendant:g`."""
    return "pendant:" + local


def receiver_name(local: str) -> str:
    """`COM1` -> `receiver:COM1`."""
    return "receiver:" + local


def device_name(device: str, units: tuple[str, ...]) -> Namer:
    """The namer of one added device.

    With units `up:A1` -> `K10.up:A1` and `up` (the unit's coil) -> `K10.up`;
    without, `A1` -> `K10:A1` and "" (the device's main part) -> `K10`.
    """

    def name(local: str) -> str:
        if not local:
            return device
        unit, colon, rest = local.partition(":")
        if colon and unit in units:
            return f"{device}.{unit}:{rest}"
        return f"{device}.{local}" if local in units else f"{device}:{local}"

    return name


def owner_of(name: str) -> str:
    """`K10.up:A1` -> `K10`; `hoist:X1.3` -> `hoist`; `K10.up` -> `K10`."""
    return name.partition(":")[0].partition(".")[0]
