"""The hoist with its pendant: the type by itself, and the hoist of a job as found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal, cast

from wiring.circuit.draft import Draft, Zone, add_netlist, add_part
from wiring.circuit.finish import expected_of, freeze, inputs_of, motors_of
from wiring.circuit.names import hoist_name, pendant_name
from wiring.circuit.stops import stop_inputs, stops_found, stops_of_type
from wiring.circuit.values import conductor_resistance, furnish, set_sources, set_stated
from wiring.model.circuit import Circuit, Part
from wiring.model.entry import Catalog, HandsetContact, HoistType
from wiring.model.job import Job
from wiring.model.value import Amount, Value, WireSize


@dataclass(frozen=True, slots=True)
class CoreRun:
    """A core as it lies in the cord. terminal: full name of the hoist terminal, "" where not known."""

    id: str
    role: str
    colour: str
    terminal: str
    size: str = ""
    values: Mapping[str, Value] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def handset(self) -> str:
        """The handset-side end."""
        return pendant_name(self.role if self.terminal else f"core.{self.id}")


def build_type(hoist: HoistType) -> Circuit:
    """The circuit of a hoist type alone, its cores named by their roles (for the self-test)."""
    draft = Draft()
    names = stop_inputs(hoist, None)
    add_hoist(draft, hoist, names)
    cores = tuple(
        CoreRun(core.role, core.role, core.colours[0] if core.colours else "", hoist_name(core.at))
        for core in hoist.cores
    )
    add_cord(draft, cores)
    add_handset(draft, hoist, handset_contacts(hoist, None), names)
    set_sources(draft, hoist, None)
    return freeze(
        draft,
        hoist,
        about="before",
        motors=motors_of(hoist),
        inputs=inputs_of(draft, hoist, handset=True),
        stops=stops_of_type(hoist, draft.parts),
        core_order=tuple(f"core:{core.id}" for core in cores),
        expected=expected_of(hoist, "button"),
    )


def build_before(job: Job, catalog: Catalog) -> Circuit:
    """The hoist as found, with its pendant.

    Raises ValueError where the job does not say which hoist type it is, or
    names one that the catalog does not have.
    """
    hoist = hoist_of(job, catalog)
    names = stop_inputs(hoist, job)
    draft = Draft()
    add_hoist(draft, hoist, names)
    add_cord(draft, cores_of(job, hoist, catalog, job.cord.length))
    add_handset(draft, hoist, handset_contacts(hoist, job), names)
    set_sources(draft, hoist, job)
    motors = set_stated(draft, motors_of(hoist), job.values)
    furnish(draft, hoist, catalog)
    return freeze(
        draft,
        hoist,
        about="before",
        motors=motors,
        inputs=inputs_of(draft, hoist, handset=True),
        stops=stops_found(hoist, job, catalog, draft.parts),
        core_order=tuple(f"core:{id}" for id in job.cord.order or ()),
        expected=expected_of(hoist, "button"),
    )


def hoist_of(job: Job, catalog: Catalog) -> HoistType:
    """The job's hoist type. Raises ValueError where it is not known."""
    if job.hoist.type is None:
        raise ValueError("the hoist type is not known: no circuit can be built")
    if job.hoist.type not in catalog.hoists:
        raise ValueError(f"no hoist type {job.hoist.type!r} in the catalog")
    return catalog.hoists[job.hoist.type]


def add_hoist(draft: Draft, hoist: HoistType, stops: Mapping[str, str]) -> None:
    """Everything on the hoist's side of the cord. stops: input of each stop, by its local id."""

    def zone(local: str) -> Zone:
        return "supply" if local.startswith(("mains.", "plug.")) else "hoist"

    add_netlist(draft, hoist.net, hoist_name, zone, lambda by: cause(by, stops))
    if hoist.earth:
        draft.point(hoist_name(hoist.earth), "hoist")
    for core in hoist.cores:
        draft.point(hoist_name(core.at), "hoist")


def cause(by: str, stops: Mapping[str, str]) -> str:
    """Full name of what operates a contact of the hoist or its handset."""
    kind, _, id = by.partition(":")
    if kind == "coil":
        return f"coil:{hoist_name(id)}"
    if kind in ("stop", "isolator"):
        return stops.get(id, f"stop:{id}")
    return by


def cores_of(job: Job, hoist: HoistType, catalog: Catalog, length: Amount | None) -> tuple[CoreRun, ...]:
    """The job's cores on the terminals of their roles. length: of the piece of cord that is meant.
    A core without a role of the type sits on no known terminal."""
    seats = {core.role: hoist_name(core.at) for core in hoist.cores}
    size: WireSize | None = job.cord.size
    runs = []
    for core in job.cores:
        terminal = seats.get(core.role or "", "")
        values = conductor_resistance(f"core:{core.id}", size, length, catalog)
        text = size.text if size else ""
        runs.append(CoreRun(core.id, core.role or "", core.colour or "", terminal, text, values))
    return tuple(runs)


def core_part(core: CoreRun, pins: tuple[str, str]) -> Part:
    """A core, or what is left of it, as a wire between two points."""
    return Part(
        f"core:{core.id}",
        "wire",
        pins,
        "core",
        role=core.role,
        colour=core.colour,
        size=core.size,
        cable="cord",
        values=core.values,
    )


def add_cord(draft: Draft, cores: tuple[CoreRun, ...]) -> None:
    """The whole cord, from the hoist to the handset; `core:2` is the hoist-side end of core 2."""
    for core in cores:
        name = f"core:{core.id}"
        if core.terminal:
            draft.aliases[name] = core.terminal
        else:
            draft.point(name, "cord", label="terminal not known")
        draft.point(core.handset, "handset")
        draft.part(core_part(core, (core.terminal or name, core.handset)), "cord")


def handset_contacts(hoist: HoistType, job: Job | None) -> tuple[HandsetContact, ...]:
    """The type's handset contacts with the job's `[[pendant.contact]]` rows put in.

    A row replaces that pole of its button where the type has one, else it is
    one pole more. Its cores are named by the job's ids.
    """
    contacts = list(hoist.contacts)
    ends = _handset_ends(job, hoist) if job else {}
    for row in job.pendant.contacts if job else ():
        stop = row.button in {stop.id for stop in hoist.stops}
        by = f"stop:{row.button}" if stop else f"button:{row.button.removeprefix('button:')}"
        first, second = (ends.get(end, end) for end in row.between)
        poles = [index for index, contact in enumerate(contacts) if contact.by == by]
        if 0 < row.pole <= len(poles):
            place = poles[row.pole - 1]
            contacts[place] = HandsetContact(contacts[place].id, by, row.form, (first, second))
        else:
            contacts.append(HandsetContact(f"{row.button}.pole-{row.pole}", by, row.form, (first, second)))
    return tuple(contacts)


def _handset_ends(job: Job, hoist: HoistType) -> dict[str, str]:
    """Core id to the local name of its handset end: the role, if the type has that role."""
    seats = {core.role for core in hoist.cores}
    return {
        core.id: core.role if core.role in seats and core.role else f"core.{core.id}" for core in job.cores
    }


def add_handset(
    draft: Draft, hoist: HoistType, contacts: tuple[HandsetContact, ...], stops: Mapping[str, str]
) -> None:
    """Contacts and parts of the handset. Its junctions are inside; its core ends are screws."""
    for junction in hoist.handset_junctions:
        draft.point(pendant_name(junction), "handset", False)
    for contact in contacts:
        name = pendant_name(contact.id)
        pins = (pendant_name(contact.between[0]), pendant_name(contact.between[1]))
        form = cast(Literal["", "NO", "NC"], contact.form)
        draft.part(Part(name, "contact", pins, "pendant", form=form, by=cause(contact.by, stops)), "handset")
    for part in hoist.handset_parts:
        add_part(draft, part, pendant_name, lambda _: "handset", lambda by: cause(by, stops))
