"""The hoist as converted: minus pendant and removed parts, plus receiver, devices, cables."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.cables import add_connections
from wiring.circuit.devices import add_devices
from wiring.circuit.draft import Draft
from wiring.circuit.finish import expected_of, freeze, inputs_of, motors_of
from wiring.circuit.found import (
    CoreRun,
    add_cord,
    add_handset,
    add_hoist,
    core_part,
    cores_of,
    handset_contacts,
    hoist_of,
)
from wiring.circuit.receiver import add_receiver, keys_of, outputs_of, receiver_of
from wiring.circuit.stops import stop_inputs, stops_converted
from wiring.circuit.values import furnish, set_sources, set_stated
from wiring.model.circuit import Circuit, Removed
from wiring.model.entry import Catalog, HandsetContact, HoistType
from wiring.model.job import Job

KEEPING = ("stop-kept", "kept-with-selector")


def build_after(job: Job, catalog: Catalog) -> Circuit:
    """The hoist as converted.

    Raises ValueError where the job does not say which hoist or receiver type it
    is, or names one that the catalog does not have. Everything else that is
    missing is simply not there: an end that lands nowhere stays open.
    """
    hoist, receiver = hoist_of(job, catalog), receiver_of(job, catalog)
    stops = stop_inputs(hoist, job)
    draft = Draft()
    add_hoist(draft, hoist, stops)
    _convert_pendant(draft, job, hoist, catalog, stops)
    add_receiver(draft, receiver, job)
    added = add_devices(draft, job, catalog, hoist, stops)
    for row in job.removes:
        draft.remove(row.name, row.why or "")
    conductors = add_connections(draft, job, catalog)
    set_sources(draft, hoist, job)
    motors = set_stated(draft, motors_of(hoist), job.values)
    furnish(draft, hoist, catalog)
    outputs = outputs_of(job, receiver)
    keys = keys_of(job, hoist, outputs)
    expected = {key: motion for key, motion in expected_of(hoist, "key").items() if key in keys}
    return freeze(
        draft,
        hoist,
        about="after",
        motors=motors,
        inputs=inputs_of(draft, hoist, handset=False, keys=keys, receiver=True),
        stops=stops_converted(hoist, job, catalog, draft.parts, outputs),
        core_order=tuple(f"core:{id}" for id in job.cord.order or ()),
        conductor_order=conductors,
        expected=expected,
        outputs=outputs,
        limits=tuple(added.limits),
        interlocks=tuple(added.interlocks),
        auto_reset=tuple(added.auto_reset),
    )


def _convert_pendant(
    draft: Draft, job: Job, hoist: HoistType, catalog: Catalog, stops: Mapping[str, str]
) -> None:
    """Cord and handset by their fates. Contacts of the handset can only stay on a cord that stays."""
    cord_stays = job.cord.fate in ("kept", None)
    contacts = handset_contacts(hoist, job)
    if cord_stays and job.pendant.fate in KEEPING:
        kept = _kept(job, contacts)
        add_cord(draft, cores_of(job, hoist, catalog, job.cord.length))
        add_handset(draft, hoist, contacts, stops)
        parts = () if job.pendant.fate == "kept-with-selector" else hoist.handset_parts
        gone = [c.id for c in contacts if c.id not in kept] + [part.id for part in parts]
        for id in gone:
            draft.remove(f"pendant:{id}", "not kept in the handset")
        return
    length = {"kept": job.cord.length, "tail-kept": job.cord.kept_length}.get(job.cord.fate or "")
    for core in cores_of(job, hoist, catalog, length):
        _convert_core(draft, core, job.cord.fate)
    for id in [c.id for c in contacts] + [part.id for part in hoist.handset_parts]:
        draft.removed.append(Removed(f"pendant:{id}", (), "goes with the pendant"))


def _kept(job: Job, contacts: tuple[HandsetContact, ...]) -> set[str]:
    """Ids of the handset contacts that stay: the stops always, with a selector all or those named."""
    stops = {contact.id for contact in contacts if contact.by.startswith("stop:")}
    if job.pendant.fate == "kept-with-selector" and not job.pendant.keep:
        return {contact.id for contact in contacts}
    return stops | set(job.pendant.keep)


def _convert_core(draft: Draft, core: CoreRun, fate: str | None) -> None:
    """One core without its handset: off its terminal, or a tail whose far end is `core:2`."""
    name = f"core:{core.id}"
    if fate in ("kept", "tail-kept"):
        seat = core.terminal or f"{name}.at"
        draft.point(seat, "hoist", label="terminal not known" if not core.terminal else "")
        draft.point(name, "cord")
        draft.part(core_part(core, (seat, name)), "cord")
        why = "cut, the tail stays" if fate == "tail-kept" else "off the handset, the cord stays"
        draft.removed.append(Removed(name, (name,), why))
        return
    if core.terminal:
        draft.aliases[name] = core.terminal
    else:
        draft.point(name, "cord", label="terminal not known")
    draft.removed.append(Removed(name, (core.terminal or name,), "goes with the cord"))
