"""Choosing a row of a trade table: bands, next size, next higher number. The cell keeps its address."""

from __future__ import annotations

from wiring.model.entry import Table
from wiring.model.value import Value


def _ranked(table: Table, column: str) -> list[tuple[float, str]]:
    found = [(value.si, row) for row in table.rows if (value := table.cell(row, column)) is not None]
    return sorted(found)


def band_row(table: Table, number: float, top: str = "high", prefix: str = "") -> str | None:
    """Row of the band a number falls in: the first whose top is not below it. None above the last.

    table: rows with the top of each band in column `top`; prefix: only rows whose id starts so. A
    number between two bands (35.5 between 31-35 and 36-40) takes the upper, which is stricter.
    A row without a top is open-ended.

    >>> from wiring.model.entry import Source
    >>> from wiring.model.value import certain
    >>> rows = {k: {"high": certain(k, h, "degC", "read", "")} for k, h in (("31-35", 35), ("36-40", 40))}
    >>> t = Table("t", "", Source(""), "us", rows)
    >>> band_row(t, 35.5), band_row(t, 30), band_row(t, 41)
    ('36-40', '31-35', None)
    """
    for upper, row in _ranked(table, top):
        if row.startswith(prefix) and number <= upper:
            return row
    return next((row for row in table.rows if row.startswith(prefix) and table.cell(row, top) is None), None)


def first_at_least(table: Table, column: str, number: float) -> str | None:
    """Row with the smallest figure that is not below a number: the smallest wire for a current.

    None where the largest is too small. Rows without a figure in the column are passed over.

    >>> from wiring.model.entry import Source
    >>> from wiring.model.value import certain
    >>> rows = {k: {"c": certain(k, a, "A", "read", "")} for k, a in (("14", 20), ("12", 25))}
    >>> t = Table("t", "", Source(""), "us", rows)
    >>> first_at_least(t, "c", 20), first_at_least(t, "c", 20.1), first_at_least(t, "c", 30)
    ('14', '12', None)
    """
    return next((row for value, row in _ranked(table, column) if value >= number), None)


def same_row(table: Table, column: str, number: float, tolerance: float = 1e-6) -> str | None:
    """Row whose figure equals a number within a relative tolerance: a motor by its rated output.

    >>> from wiring.model.entry import Source
    >>> from wiring.model.value import certain
    >>> t = Table("t", "", Source(""), "us", {"1/3": {"power": certain("1/3", 248.5666, "W", "read", "")}})
    >>> same_row(t, "power", 745.6999 / 3), same_row(t, "power", 250.0)
    ('1/3', None)
    """
    for value, row in _ranked(table, column):
        if abs(value - number) <= tolerance * max(abs(value), abs(number)):
            return row
    return None


def cell(table: Table, row: str | None, column: str) -> Value | None:
    """The figure at a row that may not have been found.

    >>> from wiring.model.entry import Source
    >>> cell(Table("t", "", Source(""), "us", {}), None, "c") is None
    True
    """
    return None if row is None else table.cell(row, column)
