"""Conductors as they run: size, length, kind of cable, what they carry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiring.check.case import Case
from wiring.check.draft import Missing
from wiring.check.loads import Load, carried, steady_a
from wiring.check.nets import Net
from wiring.model.circuit import Part
from wiring.model.entry import CableType
from wiring.model.value import WireSize


@dataclass(frozen=True, slots=True)
class Run:
    """One conductor of an added cable, or a core of the cord that stays. length [m]; key of its cable."""

    name: str
    part: Part
    cable: str
    size: WireSize | None
    length: float | None
    kind: CableType | None
    ambient: float | None
    key: str
    loads: tuple[Load, ...]
    earth: bool

    @property
    def power(self) -> bool:
        """True where it carries a motor or its brake."""
        return any(x.kind in ("motor", "brake", "transformer") for x in self.loads)


def runs(case: Case) -> tuple[Run, ...]:
    """Every conductor of the added cables and of what stays of the cord, with what it carries."""
    found = case.facts.cache.get("runs")
    if found is None:
        found = case.facts.cache["runs"] = tuple(_all(case))
    return tuple(found)


def _all(case: Case) -> Iterator[Run]:
    for part in case.after.parts:
        if part.kind == "wire" and part.cable:
            yield _cord(case, part) if part.cable == "cord" else _cable(case, part)


def _loads(case: Case, part: Part) -> tuple[Load, ...]:
    return carried(case, "after", part.name)[0]


def _cable(case: Case, part: Part) -> Run:
    job = case.job
    index, cable = next((i, c) for i, c in enumerate(job.cables) if c.id == part.cable)
    row = next((c for c in job.connections if c.conductor == part.name), None)
    size = (row.size if row and row.size else None) or cable.size
    kind = case.catalog.cables.get(cable.type) if cable.type else None
    return Run(
        part.name, part, cable.id, size, cable.length.si if cable.length else None, kind,
        cable.ambient.si if cable.ambient else None, f"cable.{index}", _loads(case, part), earthing(case,
            part),
    )  # fmt: skip


def _cord(case: Case, part: Part) -> Run:
    cord = case.job.cord
    length = cord.length if cord.fate == "kept" or cord.fate is None else cord.kept_length
    kind = case.catalog.cables.get(cord.type) if cord.type else None
    return Run(
        part.name, part, "cord", cord.size, length.si if length else None, kind, None, "cord",
        _loads(case, part), part.role == "earth",
    )  # fmt: skip


def earthing(case: Case, part: Part) -> bool:
    """True for a protective conductor: wires alone join it to earth, and no source pole sits there."""
    net = case.facts.cache.get("wires after")
    if net is None:
        net = case.facts.cache["wires after"] = Net(case.after, ())
    earth = case.after.earth
    return bool(earth) and any(net.same(pin,
        earth) for pin in part.pins) and part.name.rpartition(":")[2].upper() in (
        "PE", "E", "EARTH", "G", "GND", "GNYE")  # fmt: skip


def carrying(case: Case, run: Run) -> int:
    """How many conductors of a run's cable carry current at all."""
    return max(1, sum(1 for r in runs(case) if r.cable == run.cable and r.loads and not r.earth))


def steady(case: Case, run: Run) -> float:
    """Running current of a conductor. [A]"""
    return sum(steady_a(case, case.after, x) for x in run.loads)


def ohm_per_m(case: Case, run: Run) -> float:
    """Resistance of a warm conductor. [ohm/m]"""
    size = wanted_size(run)
    if size.system == "mm2":
        return case.cell("copper-mm2", size.name, "r75_flexible")
    return case.cell("copper-awg", size.name, "r75_stranded")


def wanted_size(run: Run) -> WireSize:
    """The size of a run. Raises Missing naming the key."""
    if run.size is None:
        raise Missing(f"{run.key}.size", "read it on the jacket")
    return run.size


def wanted_length(run: Run) -> float:
    """The length of a run [m]. Raises Missing naming the key."""
    if run.length is None:
        key = f"{run.key}.{'kept_length' if run.cable == 'cord' else 'length'}"
        raise Missing(key, "measure it")
    return run.length
