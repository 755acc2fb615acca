"""Stops of the type and of the job: their inputs, the contacts they open, their rank.

A stop counts only as a part of the circuit. One thing has one input: a stop of
the job that names a stop of the type gives it its name in both circuits.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wiring.circuit.names import owner_of
from wiring.model.circuit import Output, Part, Stop
from wiring.model.entry import Catalog, EntryStop, HoistType
from wiring.model.job import Job, StopFact
from wiring.model.value import Value

OPERATOR, NEAR, ELSEWHERE = 3, 2, 1
RADIO = "key:stop"


def stop_inputs(hoist: HoistType, job: Job | None) -> Mapping[str, str]:
    """Local stop ids to input names: "ES" of the type, `device:S1` for the actuator of a device.

    Where two things would get one name, the type's own stop gives way, so that
    operating the one never operates the other.
    """
    facts = job.stops if job else ()
    devices = tuple(device.id for device in job.devices) if job else ()
    names: dict[str, str] = {}
    for fact in facts:
        local = _meant(fact, hoist, devices)
        if local and local not in names:
            names[local] = f"stop:{fact.id}"
    for device in devices:
        names.setdefault(f"device:{device}", _free(f"stop:{device}", names.values()))
    for id in _type_stops(hoist):
        names.setdefault(id, _free(f"stop:{id}", names.values()))
    return names


def _free(name: str, taken: Iterable[str]) -> str:
    return f"{name}.own" if name in set(taken) else name


def _type_stops(hoist: HoistType) -> tuple[str, ...]:
    """Every stop id of the type, declared or only used by a contact."""
    causes = [part.by for part in hoist.net.parts] + [contact.by for contact in hoist.contacts]
    used = [cause.partition(":")[2] for cause in causes if cause.startswith(("stop:", "isolator:"))]
    return tuple(dict.fromkeys([*(stop.id for stop in hoist.stops), *used]))


def _meant(fact: StopFact, hoist: HoistType, devices: tuple[str, ...]) -> str:
    """What `device = "..."` of a stop names: "" (nothing), a stop id of the type, `device:<id>`."""
    if not fact.device:
        return ""
    owner = owner_of(fact.device)
    if owner in devices:
        return f"device:{owner}"
    rest = fact.device.partition(":")[2]
    if owner == "plug":
        plugs = [stop.id for stop in hoist.stops if stop.kind == "plug"]
        return plugs[0] if plugs else ""
    if owner not in ("hoist", "pendant"):
        return ""
    if rest in _type_stops(hoist):
        return rest
    causes = {part.id: part.by for part in hoist.net.parts} | {c.id: c.by for c in hoist.contacts}
    kind, _, id = causes.get(rest, "").partition(":")
    return id if kind in ("stop", "isolator") else ""


def rank(fact: StopFact, catalog: Catalog) -> int:
    """3 at the operator's hand, 2 near with a clear way, 1 anywhere else.

    Near needs a stated distance within the limit of common practice and a
    stated clear way; a fact that is not stated never raises the rank.
    """
    if fact.reach == "operator":
        return OPERATOR
    limit = catalog.value("practice/stop-near/distance")
    if fact.reach != "near" or fact.distance is None or fact.path_clear is not True or limit is None:
        return ELSEWHERE
    return NEAR if _within(fact.distance.si, limit) else ELSEWHERE


def _within(distance: float, limit: Value) -> bool:
    # a distance typed in feet is not failed by its own rounding
    return distance <= limit.si * (1 + 1e-9)


def stops_found(hoist: HoistType, job: Job, catalog: Catalog, parts: Mapping[str, Part]) -> tuple[Stop, ...]:
    """The stops of the hoist as found: the pendant's own is at the operator's hand."""
    names = stop_inputs(hoist, job)
    facts = _facts(job, hoist)
    found = []
    for stop in hoist.stops:
        on_handset = any(contact.by == f"stop:{stop.id}" for contact in hoist.contacts)
        fact = facts.get(stop.id)
        reach = OPERATOR if on_handset else rank(fact, catalog) if fact else ELSEWHERE
        found.append(_stop(names[stop.id], stop, fact, reach, parts))
    return tuple(stop for stop in found if stop.parts)


def stops_converted(
    hoist: HoistType, job: Job, catalog: Catalog, parts: Mapping[str, Part], outputs: tuple[Output, ...]
) -> tuple[Stop, ...]:
    """The stops of the hoist as converted: the type's that are left, the job's, the radio stop.

    A pendant that stays in place as a stop box has no stated reach of its own:
    it counts as elsewhere until a stop of the job says where it hangs.
    """
    names = stop_inputs(hoist, job)
    facts = _facts(job, hoist)
    found = []
    for stop in hoist.stops:
        fact = facts.get(stop.id)
        found.append(_stop(names[stop.id], stop, fact, rank(fact, catalog) if fact else ELSEWHERE, parts))
    for local, fact in facts.items():
        if local.startswith("device:"):
            opened = _opened(names[local], parts)
            kind = fact.kind or "local stop"
            found.append(
                Stop(names[local], kind, rank(fact, catalog), opened, fact.where or "", fact.lockable)
            )
    found.extend(_radio(job, catalog, parts, outputs))
    return tuple(stop for stop in found if stop.parts)


def stops_of_type(hoist: HoistType, parts: Mapping[str, Part]) -> tuple[Stop, ...]:
    """The stops of a type by itself, the handset's at the operator's hand."""
    names = stop_inputs(hoist, None)
    handset = {contact.by.partition(":")[2] for contact in hoist.contacts}
    found = [
        _stop(names[stop.id], stop, None, OPERATOR if stop.id in handset else ELSEWHERE, parts)
        for stop in hoist.stops
    ]
    return tuple(stop for stop in found if stop.parts)


def _facts(job: Job, hoist: HoistType) -> Mapping[str, StopFact]:
    devices = tuple(device.id for device in job.devices)
    facts: dict[str, StopFact] = {}
    for fact in job.stops:
        local = _meant(fact, hoist, devices)
        if local:
            facts.setdefault(local, fact)
    return facts


def _stop(input: str, stop: EntryStop, fact: StopFact | None, reach: int, parts: Mapping[str, Part]) -> Stop:
    kind = (fact.kind if fact else None) or stop.kind
    where = (fact.where if fact else None) or ""
    return Stop(input, kind, reach, _opened(input, parts), where, fact.lockable if fact else None)


def _opened(input: str, parts: Mapping[str, Part]) -> tuple[str, ...]:
    return tuple(
        part.name for part in parts.values() if part.by == input and part.kind in ("contact", "semiconductor")
    )


def _radio(
    job: Job, catalog: Catalog, parts: Mapping[str, Part], outputs: tuple[Output, ...]
) -> tuple[Stop, ...]:
    """The stop of the transmitter: there if an output follows it and a transmitter has the key."""
    causes = {f"output:{output.name}" for output in outputs if output.key == RADIO}
    opened = tuple(part.name for part in parts.values() if part.by in causes)
    has_key = any("stop" in transmitter.keys for transmitter in job.transmitters)
    fact = next((fact for fact in job.stops if fact.kind == "radio stop"), None)
    if not opened or not has_key:
        return ()
    reach = rank(fact, catalog) if fact and fact.reach else OPERATOR
    return (Stop(RADIO, "radio stop", reach, opened, (fact.where if fact else None) or ""),)
