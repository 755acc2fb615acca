"""Tables and clauses from their TOML."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, cast

from wiring.files.entry_build import opened
from wiring.files.entry_format import BASES, ClauseFile, ColumnBlock, TableFile
from wiring.files.entry_values import Site, source_text, spread
from wiring.files.fields import shown
from wiring.files.problems import listed, nearest
from wiring.files.quantity import to_si
from wiring.files.units import COLUMN_UNITS, KIND_OF
from wiring.model.entry import Clause, Table
from wiring.model.value import Basis, Value

_OF_ROW = ("basis", "source", "note", "spread")  # keys of a row that are no column
_OF_CELL = ("is", "basis", "source", "spread", "low", "high", "note")


def table(text: str, file: str, stem: str = "") -> Table:
    """A trade table from the text of its file; numbers in SI. Raises InputError with every problem."""
    block, site, digest = opened(TableFile, text, file, stem)
    for name, column in block.columns.items():
        if column.unit is not None and column.unit not in KIND_OF and column.unit not in COLUMN_UNITS:
            allowed = (*KIND_OF, *COLUMN_UNITS)
            site.problem(f"columns.{name}.unit", f'"{column.unit}"', listed(allowed, 90),
                         nearest(column.unit, allowed))  # fmt: skip
    site.finish()
    rows = {row: _row(block, row, cells, site) for row, cells in block.rows.items()}
    site.finish()
    notes = ((block.note,) if block.note else ()) + tuple(block.notes)
    titles = {name: column.title for name, column in block.columns.items()}
    return Table(
        id=block.id,
        title=block.title,
        source=site.source,
        region=block.region,
        rows=MappingProxyType(rows),
        digest=digest,
        titles=MappingProxyType(titles),
        notes=notes,
    )


def _row(
    block: TableFile, row: str, cells: Mapping[str, Any], site: Site
) -> Mapping[str, Value | str | bool]:
    found: dict[str, Value | str | bool] = {}
    for name, raw in cells.items():
        key = f"rows.{row}.{name}"
        if name == "note":
            found[name] = str(raw)
        elif name in _OF_ROW:
            continue
        elif name not in block.columns:
            allowed = (*block.columns, *_OF_ROW)
            site.problem(key, f'unknown column "{name}"', listed(allowed), nearest(name, allowed))
        elif isinstance(raw, (str, bool)):
            found[name] = raw
        else:
            value = _cell(f"{block.id}/{row}/{name}", raw, block.columns[name], cells, site, key)
            if value is not None:
                found[name] = value
    return MappingProxyType(found)


def _cell(
    address: str, raw: Any, column: ColumnBlock, row: Mapping[str, Any], site: Site, key: str
) -> Value | None:
    """One number: basis and source from the cell, else its row, else its column, else the table."""
    own: dict[str, Any] = raw if isinstance(raw, dict) else {"is": raw}
    for extra in own.keys() - set(_OF_CELL):
        site.problem(f"{key}.{extra}", f'unknown key "{extra}"', listed(_OF_CELL), nearest(extra, _OF_CELL))
    number = own.get("is")
    if isinstance(number, bool) or not isinstance(number, (int, float)):
        site.problem(key, shown(number), "a number, a text in quotes, true or false, or { is = number, ... }")
        return None
    if column.unit is None:
        site.problem(key, shown(number), "a text, or a unit for this column in [columns]")
        return None
    basis = own.get("basis") or row.get("basis") or column.basis or site.source.basis
    source = own.get("source") or row.get("source") or column.source or source_text(site.source)
    if basis not in BASES:
        site.problem(f"{key}.basis", shown(basis), listed(BASES), nearest(str(basis), BASES))
        return None
    for bound in ("spread", "low", "high"):
        given = own.get(bound, row.get(bound) if bound == "spread" else None)
        if given is not None and (isinstance(given, bool) or not isinstance(given, (int, float))):
            site.problem(f"{key}.{bound}", shown(given), "a number")
            return None
    chosen = cast(Basis, basis)
    si, unit = to_si(number, column.unit)
    relative = next((e for e in (own.get("spread"), row.get("spread"), column.spread) if e is not None), None)
    low, high = spread(si, chosen, relative)
    low = to_si(own["low"], column.unit)[0] if "low" in own else low
    high = to_si(own["high"], column.unit)[0] if "high" in own else high
    return Value(address, si, unit, chosen, str(source), low, high)


def clauses(text: str, file: str) -> tuple[Clause, ...]:
    """The clauses of one standard from the text of its file. Raises InputError with every problem."""
    block, site, _ = opened(ClauseFile, text, file, "")
    found = tuple(
        Clause(
            id=each.id,
            standard=each.standard or block.standard,
            edition=each.edition or block.edition,
            clause=each.clause,
            text=each.text,
            basis=cast(Basis, each.basis or block.source.basis),
            region=each.region or block.region,
            where_read=each.where_read or block.source.where_read,
            answered_by=tuple(each.answered_by),
        )
        for each in block.clause
    )
    ids = [each.id for each in found]
    for n, name in enumerate(ids):
        if ids.count(name) > 1:
            site.problem(f"clause.{n}.id", f'"{name}" twice', "each clause its own id")
    site.finish()
    return found
