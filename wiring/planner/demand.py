"""What the handset does, as contacts between nets: the thing a receiver has to take over.

A net is named by the core role that lies on it (`feed`, `up`) or by a junction inside the
handset (`g`, the point behind the stop).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from wiring.circuit.found import handset_contacts
from wiring.model.circuit import Circuit
from wiring.model.entry import HoistType, Insertion
from wiring.model.job import Core, Job
from wiring.simulate.network import Network
from wiring.simulate.states import space_of


@dataclass(frozen=True, slots=True)
class Contact:
    """One contact that is wanted. button: "up", "up.2", "start"; amps: what its core carries [A]."""

    button: str
    form: str
    a: str
    b: str
    amps: float | None = None

    def other(self, net: str) -> str:
        """The net at its far end."""
        return self.b if net == self.a else self.a


@dataclass(frozen=True, slots=True)
class Gap:
    """Where a stop of the handset sat: between two nets, supply side first."""

    id: str
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class Demand:
    """points: net to the full name of its core, for the cores whose role is known; missing: roles
    that contacts need and no core of the job has; motor: the handset carries motor current."""

    hoist: HoistType
    points: dict[str, str]
    wants: tuple[Contact, ...]
    gaps: tuple[Gap, ...]
    missing: tuple[str, ...]
    motor: bool

    def place(self, name: str) -> Insertion | None:
        """The type's place of that name, None where it has none."""
        return next((p for p in self.hoist.insertions if p.place == name), None)

    def buttons(self) -> tuple[str, ...]:
        """Buttons in the type's order, those without a contact left out."""
        used = {want.button for want in self.wants}
        return tuple(b.id for b in self.hoist.buttons if b.id in used)


def demand_of(job: Job, hoist: HoistType, before: Circuit) -> Demand:
    """What the handset of this job does. A core whose role is not known has no net: it is never used."""
    points: dict[str, str] = {}
    for core in job.cores:
        if core.role:
            points.setdefault(core.role, f"core:{core.id}")
    amps = {core.role: core.current.si for core in hoist.cores if core.current}
    wants: list[Contact] = []
    gaps: list[Gap] = []
    for contact in handset_contacts(hoist, job):
        kind, _, id = contact.by.partition(":")
        a, b = contact.between
        if kind == "stop":
            gaps.append(Gap(id, a, b) if a in points or b not in points else Gap(id, b, a))
        elif kind == "button":
            carried = [amps[net] for net in (a, b) if net in amps]
            wants.append(Contact(id, contact.form, a, b, min(carried, default=None)))
    used = {net for want in wants for net in (want.a, want.b)} | {n for g in gaps for n in (g.a, g.b)}
    missing = tuple(core.role for core in hoist.cores if core.role in used and core.role not in points)
    return Demand(hoist, points, tuple(wants), tuple(gaps), missing, switches_motor(before))


def with_type_cores(job: Job, hoist: HoistType) -> Job:
    """The job with the cores of its type, each in its role: what to buy does not hang on colours.

    Only to judge receivers by. Nothing that names cores of the job is kept, and nothing made of
    it may be written to the job.
    """
    cores = tuple(Core(core.role, role=core.role) for core in hoist.cores)
    return replace(job, cores=cores, cord=replace(job.cord, order=()), readings=(), connections=())


def switches_motor(before: Circuit) -> bool:
    """True where a button makes something move and no contactor or input stands between."""
    space = space_of(Network(before))
    rest = space.rest.node.coils
    for name in before.expected:
        bit = space.keys.get(name, 0)
        at = space.at(bit | space.needs.get(bit, 0))
        if space.motions(at) and at.node.coils == rest:
            return True
    return False


def behind(demand: Demand, gap: Gap, net: str) -> Demand:
    """The demand with everything that hung on `gap.a` hanging on `net`, behind a stop put in front."""

    def moved(name: str) -> str:
        return net if name == gap.a else name

    return replace(demand, wants=tuple(replace(w, a=moved(w.a), b=moved(w.b)) for w in demand.wants))


def rest_contacts_closed(wants: Iterable[Contact]) -> tuple[Contact, ...]:
    """The wants with each resting contact of one button as a closing contact of the others.

    A contact that is closed while DOWN is not pressed is needed while UP runs: a pole of UP
    does the same, and at rest the load hangs free of the supply.
    """
    listed = tuple(wants)
    buttons = tuple(dict.fromkeys(w.button for w in listed))
    found: list[Contact] = []
    for want in listed:
        if want.form != "NC":
            found.append(want)
            continue
        for button in buttons:
            own = any(w.button == button and want.b in (w.a, w.b) and w.form == "NO" for w in listed)
            if button != want.button and not own:
                found.append(Contact(button, "NO", want.a, want.b, want.amps))
    return tuple(found)
