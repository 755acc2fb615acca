"""What is known about a terminal named by a point: its print, the wires it takes, its torque."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.model.entry import Terminal
from wiring.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Screw:
    """A terminal and the entry it comes from; terminal is None where the type does not list it."""

    point: str
    terminal: Terminal | None
    source: str

    @property
    def torque(self) -> str:
        """Torque with its unit, or that it is not known."""
        found = self.terminal.torque if self.terminal else None
        return found.text if found else "see device"

    @property
    def sizes(self) -> str:
        """Conductor sizes it takes."""
        found = self.terminal
        if found is None or (found.size_min is None and found.size_max is None):
            return "not known"
        low = found.size_min.text if found.size_min else "?"
        high = found.size_max.text if found.size_max else "?"
        return f"{low} to {high}"

    @property
    def printed(self) -> str:
        """What is printed on it."""
        return self.terminal.print if self.terminal and self.terminal.print else "not known"


def landed(plan: Plan, point: str) -> str:
    """The point a name stands for: `core:2` is the hoist terminal where core 2 sat, or, where its tail
    is kept, the tail's end."""
    circuit = plan.after or plan.before
    return circuit.aliases.get(point, point) if circuit is not None else point


def screw_of(plan: Plan, point: str) -> Screw:
    """The terminal behind a point, with the title of the type it belongs to."""
    owner, _, rest = landed(plan, point).partition(":")
    catalog, job = plan.catalog, plan.job
    if owner == "hoist" and job.hoist.type in catalog.hoists:
        hoist = catalog.hoists[job.hoist.type or ""]
        return Screw(point, _named(hoist.net.terminals, rest), hoist.title)
    if owner == "receiver" and job.receiver.type in catalog.receivers:
        receiver = catalog.receivers[job.receiver.type or ""]
        return Screw(point, _named(receiver.net.terminals, rest), job.receiver.source or receiver.title)
    id, _, unit = owner.partition(".")
    for device in job.devices:
        if device.id == id and device.type in catalog.devices:
            entry = catalog.devices[device.type]
            local = f"{unit}:{rest}" if unit else rest
            return Screw(point, _named(entry.net.terminals, local), device.source or entry.title)
    return Screw(point, None, "")


def _named(terminals: tuple[Terminal, ...], id: str) -> Terminal | None:
    return next((t for t in terminals if t.id == id), None)
