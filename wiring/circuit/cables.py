"""Added cables and connections: every conductor is a wire between the two points it lands on."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.draft import Draft, Zone
from wiring.circuit.names import owner_of
from wiring.circuit.values import conductor_resistance
from wiring.model.circuit import Part
from wiring.model.entry import Catalog
from wiring.model.job import Cable, Connection, Job
from wiring.model.value import Value

ENDS = (".from", ".to")
ZONES: Mapping[str, Zone] = {"hoist": "hoist", "plug": "supply", "core": "cord", "receiver": "receiver"}


def add_connections(draft: Draft, job: Job, catalog: Catalog) -> Mapping[str, tuple[str, ...]]:
    """Add every connection, then the conductors that land nowhere. Returns conductors by cable, as they lie.

    An end that is not stated stays open at the conductor's own end
    (`W1:3.from`), so that what is not landed can be seen.
    """
    cables = {cable.id: cable for cable in job.cables}
    colours = conductor_colours(job, catalog)
    landed = {row.conductor: row for row in reversed(job.connections) if row.conductor}
    for index, row in enumerate(job.connections, start=1):
        _add(draft, row, index, cables, landed, catalog, colours)
    for cable in job.cables:
        for conductor in cable.order or ():
            name = f"{cable.id}:{conductor}"
            if name not in draft.parts:
                pins = (f"{name}.from", f"{name}.to")
                draft.part(_conductor(name, pins, cable, "", catalog, colours), "cable")
    return {cable.id: tuple(f"{cable.id}:{c}" for c in cable.order) for cable in job.cables if cable.order}


def _add(
    draft: Draft,
    row: Connection,
    index: int,
    cables: Mapping[str, Cable],
    landed: Mapping[str, Connection],
    catalog: Catalog,
    colours: Mapping[str, str],
) -> None:
    name = _name(draft, row, index)
    pins = (_end(draft, row.from_, f"{name}.from", landed), _end(draft, row.to, f"{name}.to", landed))
    for pin in pins:
        draft.point(pin, ZONES.get(owner_of(pin), "cable" if pin.endswith(ENDS) else "device"))
    cable = cables.get(owner_of(row.conductor)) if row.conductor else None
    if row.conductor and name == row.conductor:
        for end, pin in zip(ENDS, pins, strict=True):
            if pin != name + end:
                draft.aliases[name + end] = pin
    if row.conductor:
        draft.part(_conductor(name, pins, cable, row.number or "", catalog, colours, row), "cable")
        return
    size = row.size.text if row.size else ""
    draft.part(Part(name, "wire", pins, "wire", size=size, number=row.number or ""), "device")


def _name(draft: Draft, row: Connection, index: int) -> str:
    """The conductor; or `wire:<number>` of a link inside one box, `wire:c<row>` where it has none.
    A conductor that two rows use is a mistake, but both wires must be seen."""
    name = row.conductor or (f"wire:{row.number}" if row.number else f"wire:c{index}")
    return name if name not in draft.parts else f"{name}.c{index}"


def _end(draft: Draft, stated: str, open_end: str, landed: Mapping[str, Connection]) -> str:
    """The point an end lands on. `W1:2.to` means the point where conductor 2 of W1 ends."""
    seen: set[str] = set()
    while stated and stated.endswith(ENDS) and stated not in seen:
        seen.add(stated)
        conductor, _, side = stated.rpartition(".")
        row = landed.get(conductor)
        further = (row.from_ if side == "from" else row.to) if row else ""
        if not further:
            return stated
        stated = further
    return draft.at(stated) if stated else open_end


def _conductor(
    name: str,
    pins: tuple[str, str],
    cable: Cable | None,
    number: str,
    catalog: Catalog,
    colours: Mapping[str, str],
    row: Connection | None = None,
) -> Part:
    size = (row.size if row and row.size else None) or (cable.size if cable else None)
    values: Mapping[str, Value] = conductor_resistance(name, size, cable.length if cable else None, catalog)
    owner = owner_of(name)
    return Part(
        name, "wire", pins, owner, colour=colours.get(name, ""), size=size.text if size else "",
        number=number, cable=owner, values=values,
    )  # fmt: skip


def conductor_colours(job: Job, catalog: Catalog) -> Mapping[str, str]:
    """Colour of each cable conductor where its type gives colours for that number of conductors.

    The protective conductor takes the green one and no other does, a neutral the white or blue one;
    the others take what is left, as they lie. What the user finds in the cable may
    differ: a colour is never an identity.
    """
    earths = {core.id for core in job.cores if core.role == "earth"}
    ends = {row.conductor: (row.from_, row.to) for row in job.connections if row.conductor}
    found: dict[str, str] = {}
    for cable in job.cables:
        kind = catalog.cables.get(cable.type) if cable.type else None
        order = [f"{cable.id}:{id}" for id in cable.order or ()]
        left = list(kind.colours.get(str(len(order)), ())) if kind else []
        for name in order:
            neutral = ("white", "blue") if _is_neutral(name) else ()
            wanted = ("green",) if _is_earth(name, ends, earths) else neutral
            match = next((colour for colour in left if wanted and colour.startswith(wanted)), None)
            if match:
                found[name] = match
                left.remove(match)
        left = [colour for colour in left if not colour.startswith("green")]  # earth and nothing else
        found.update(zip([n for n in order if n not in found], left, strict=False))
    return found


def _is_earth(name: str, ends: Mapping[str, tuple[str, str]], earths: set[str]) -> bool:
    landed = ends.get(name, ())
    cores = {f"core:{id}" for id in earths}
    return name.endswith(":PE") or any(end in cores or end.endswith((":PE", ".PE")) for end in landed)


def _is_neutral(name: str) -> bool:
    return name.endswith(":N")
