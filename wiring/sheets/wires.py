"""The wires of the converted hoist as rows: what is laid, what stays, what comes out."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from wiring.files.quantity import show
from wiring.model.circuit import Circuit, Part
from wiring.model.entry import Catalog
from wiring.model.job import Cable, Connection
from wiring.model.plan import Plan
from wiring.model.value import Value, WireSize
from wiring.sheets.terminals import landed

FERRULES = "ferrules"
STRANDED = ("cord", "flexible", "machine", "control", "pendant", "festoon", "battery")


@dataclass(frozen=True, slots=True)
class WireRow:
    """One wire. id: conductor or wire name; from_, to: the terminals it lands on;
    status: "new" | "stays" | "inside" | "comes out"."""

    id: str
    from_: str
    to: str
    number: str
    size: str
    colour: str
    length: str
    strip: str
    ferrule: str
    status: str

    @property
    def label(self) -> str:
        """What is printed on both its ends: its number, else the conductor of the cable."""
        return self.number if self.number != "none" else self.id

    @property
    def called(self) -> str:
        """The wire in words: the conductor of a cable with its number, or a link with its number."""
        if self.id.startswith("wire:"):
            return f"link {self.number}"
        return f"{self.id} ({self.number})" if self.number != "none" else self.id


def new_wires(plan: Plan) -> tuple[WireRow, ...]:
    """One row a connection of the job, in the order of the file."""
    cables = {cable.id: cable for cable in plan.job.cables}
    return tuple(_new(plan, row, index, cables) for index, row in enumerate(plan.job.connections, 1))


def _new(plan: Plan, row: Connection, index: int, cables: dict[str, Cable]) -> WireRow:
    cable = cables.get(row.conductor.partition(":")[0]) if row.conductor else None
    size = row.size or (cable.size if cable else None)
    strip, ferrule = ends(plan.catalog, size, cable)
    return WireRow(
        id=row.conductor or (f"wire:{row.number}" if row.number else f"wire:c{index}"),
        from_=landed(plan, row.from_ or "not stated"),
        to=landed(plan, row.to or "not stated"),
        number=row.number or ("none" if row.conductor else f"c{index}"),
        size=size.text if size else "not stated",
        colour=_colour(plan, row),
        length=(cable.length.text if cable.length else "not stated") if cable else "in the box",
        strip=strip,
        ferrule=ferrule,
        status="new",
    )


def _colour(plan: Plan, row: Connection) -> str:
    """Colour of a cable's conductor by its type; a link inside a box is free to choose."""
    if not row.conductor:
        return "by circuit"
    if plan.after is not None:
        for part in plan.after.parts:
            if part.name == row.conductor and part.colour:
                return part.colour
    return "not known"


def ends(catalog: Catalog, size: WireSize | None, cable: Cable | None) -> tuple[str, str]:
    """Stripping length and ferrule for a conductor size, from the table of ferrules; solid wire "
    "takes none."""
    kind = catalog.cables.get(cable.type).kind if cable and cable.type in catalog.cables else ""  # type: ignore[union-attr,arg-type]
    if size is None:
        return "by terminal", "by size"
    if kind and not any(word in kind.lower() for word in STRANDED):
        return "by terminal", "none if solid"
    for row in catalog.tables[FERRULES].rows.values():
        area, strip, colour = row.get("area"), row.get("strip"), row.get("colour")
        if isinstance(area, Value) and isinstance(strip, Value) and area.si >= size.area_m2:
            return show(strip.si, "mm", digits=0), f"{show(area.si, 'm2')} {colour}"
    return "by terminal", "lug by size"


def staying_wires(plan: Plan) -> tuple[WireRow, ...]:
    """Wires of the converted circuit that nobody lays: of the hoist, of the cord's tail, inside devices."""
    if plan.after is None:
        return ()
    laid = {row.id for row in new_wires(plan)}
    ends = _lone_ends(plan.after)
    return tuple(
        _stays(part, ends)
        for part in plan.after.parts
        if part.kind == "wire" and part.name not in laid and not _laid(part, laid)
    )


def _laid(part: Part, laid: set[str]) -> bool:
    """A second row on one number is `wire:113.c22` in the circuit: laid all the same."""
    base, _, tail = part.name.rpartition(".c")
    return base in laid and tail.isdigit()


def _lone_ends(circuit: Circuit) -> frozenset[str]:
    """Ends of cores and conductors on which nothing else sits."""
    count = Counter(pin for part in circuit.parts for pin in part.pins)
    free = {p.name for p in circuit.points if p.zone in ("cord", "cable")}
    return frozenset(pin for pin, n in count.items() if n == 1 and pin in free)


def _stays(part: Part, lone: frozenset[str]) -> WireRow:
    if part.role == "jumper":
        status = "jumper fitted"
    elif part.cable and part.owner != "core":
        status = "spare, not landed"
    elif part.owner not in ("hoist", "core", "plug"):
        status = "inside the device"
    else:
        status = "stays; insulate and tag its free end" if lone & set(part.pins) else "stays"
    return WireRow(
        part.name, part.pins[0], part.pins[1], part.number or "none", part.size or "as found",
        part.colour or "as found", "as found", "", "", status,
    )  # fmt: skip


def heirs(plan: Plan, ends: tuple[str, ...]) -> str:
    """Which new wires land where a core sat."""
    wires = [row.called for row in new_wires(plan) if {row.from_, row.to} & set(ends)]
    lands = "lands" if len(wires) == 1 else "land"
    return f"; {', '.join(wires)} {lands} there now" if wires else "; the terminal stays empty"


def removed_rows(plan: Plan) -> tuple[tuple[str, str, str, str], ...]:
    """What comes out: name, its ends, why, and what to do with the end that is left."""
    if plan.after is None:
        return ()
    rows = []
    for gone in plan.after.removed:
        if gone.name.startswith("pendant:"):
            do = "goes with the handset"
        elif gone.name.startswith("core:") and "tail" in gone.why:
            do = "cut; new wires land on the tail's end; insulate the conductors that are not used"
        elif gone.name.startswith("core:"):
            do = f"take off its terminal{heirs(plan, gone.ends)}; nothing of the cord stays in the box"
        else:
            do = "take out, or insulate both ends and tag"
        rows.append((gone.name, ", ".join(gone.ends) or "sealed", gone.why or "not stated", do))
    return tuple(rows)
