"""The fault tables that were worked out by hand on the diagrams, against the engine."""

from __future__ import annotations

from functools import cache

import pytest

from tests.simulate import hand_capacitor, hand_contactor
from tests.simulate.faulttable import Hazards, Row, found_by_fault, missing, names_of

TABLES = {table.TYPE: table.ROWS for table in (hand_contactor, hand_capacitor)}
ROWS = [
    pytest.param(type_id, row, id=f"{type_id} {names_of(row)[0]}")
    for type_id, rows in TABLES.items()
    for row in rows
]


@cache
def found(type_id: str) -> dict[str, Hazards]:
    """What the engine finds, once for each type."""
    return found_by_fault(type_id)


@pytest.mark.parametrize(("type_id", "row"), ROWS)
def test_hand_checked_row(type_id: str, row: Row) -> None:
    """The engine finds for each fault what a person finds on the diagram."""
    for name in names_of(row):
        assert found(type_id)[name] == row.hazards, f"{name}: {row.reason}"


@pytest.mark.parametrize("type_id", TABLES)
def test_every_fault_has_a_row(type_id: str) -> None:
    """The table covers the whole fault list, and nothing that is not on it."""
    assert missing(found(type_id), TABLES[type_id]) == (set(), set())
