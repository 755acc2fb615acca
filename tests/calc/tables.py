"""Catalog tables for the cases: a number by its address, a word by its address."""

from __future__ import annotations

from wiring.files import load_catalog
from wiring.model.entry import Table

CATALOG = load_catalog()


def table(name: str) -> Table:
    return CATALOG.tables[name]


def number(address: str) -> float:
    """The figure at an address, in SI. Raises KeyError where the table prints none."""
    value = CATALOG.value(address)
    if value is None:
        raise KeyError(address)
    return value.si


def word(name: str, row: str, column: str) -> str:
    found = table(name).rows[row][column]
    assert isinstance(found, str), (name, row, column)
    return found
