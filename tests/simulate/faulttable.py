"""Hand-checked fault tables: rows of faults, the hazards they lead to, and why."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.circuit import build_type
from wiring.files import load_catalog
from wiring.simulate.fault_run import Inspector
from wiring.simulate.faults import single_list
from wiring.simulate.network import Network

Hazards = set[tuple[str, str, int | None]]


@dataclass(frozen=True)
class Row:
    """faults: fault sets separated by commas, the names of a set by ` + `; reason: one sentence."""

    faults: str
    hazards: Hazards
    reason: str


def names_of(row: Row) -> list[str]:
    """The fault sets of a row."""
    return [name.strip() for name in row.faults.split(",")]


def found_by_fault(type_id: str) -> dict[str, Hazards]:
    """What the engine finds for every single fault of a catalog type."""
    network = Network(build_type(load_catalog().hoists[type_id]))
    inspector = Inspector(network, single_list(network.circuit))
    return {
        " + ".join(fault.names): {(one.hazard, one.motion, one.score) for one in seen}
        for fault, seen in inspector.run()
    }


def missing(found: dict[str, Hazards], rows: list[Row]) -> tuple[set[str], set[str]]:
    """Faults without a row, and names in rows that are no fault."""
    listed = {name for row in rows for name in names_of(row)}
    return found.keys() - listed, listed - found.keys()
