"""A catalog entry as a page: what to look for, the circuit as text, cores, meter readings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from wiring.model.entry import Catalog, HoistType, Source, Table
from wiring.model.page import Page
from wiring.model.value import Value
from wiring.sheets.words import CAUTION, wrap

Ladder = Callable[[HoistType], str]
Readings = Callable[[HoistType], tuple[tuple[str, str, str, str], ...]]


def entry_page(kind: str, id: str, catalog: Catalog, ladder: Ladder, readings: Readings) -> Page:
    """The page of one entry. Raises KeyError for an unknown id.

    ladder: a hoist type to its circuit as text; readings: to (side, state, pair, reading) rows.
    """
    if kind == "hoist":
        return hoist_page(catalog.hoists[id], ladder, readings)
    if kind == "table":
        return table_page(catalog.tables[id])
    if kind == "clause":
        return clause_page(catalog, id)
    entries: Mapping[str, Any] = {
        "receiver": catalog.receivers,
        "device": catalog.devices,
        "cable": catalog.cables,
    }[kind]
    return plain_page(kind, entries[id])


def source_line(source: Source) -> str:
    """Where an entry is from, and its basis."""
    parts = [source.title, source.edition, source.table, source.where_read]
    return wrap("source: " + ", ".join(p for p in parts if p) + f" (basis: {source.basis})", 0, 8)


def hoist_page(hoist: HoistType, ladder: Ladder, readings: Readings) -> Page:
    """How to recognise it, its circuit, its cores, the readings to expect."""
    lines = [hoist.id, wrap(hoist.title), "", "Look for"]
    lines += [wrap(one, 2, 4) for one in hoist.recognise]
    lines += ["", "Circuit as found", ladder(hoist), "", "Cores (a colour never tells what a core does)"]
    for core in hoist.cores:
        seen = ", ".join(core.colours)
        lines.append(wrap(f"{core.role:<12} at hoist:{core.at}; seen as {seen}. {core.about}", 2, 15))
    lines += [
        "",
        "Meter readings to expect, dead and isolated, leads subtracted (placeholders of the right size)",
    ]
    rows = readings(hoist)
    for side, state, pair, reading in rows:
        lines.append(f"  {side:<8} {state:<16} {pair:<24} {reading}")
    lines += ["", *(wrap(note) for note in hoist.notes), source_line(hoist.source), "", wrap(CAUTION)]
    document = {
        "schema": "holdrun/type/1",
        "id": hoist.id,
        "title": hoist.title,
        "recognise": list(hoist.recognise),
        "cores": [{"role": c.role, "at": c.at, "colours": list(c.colours)} for c in hoist.cores],
        "readings": [{"side": s, "state": t, "between": p, "reading": r} for s, t, p, r in rows],
    }
    return Page("\n".join(lines) + "\n", document)


def value_text(value: Value) -> str:
    """A number with its unit and basis."""
    return f"{value.si:g} {value.unit} ({value.basis})"


def plain_page(kind: str, entry: Any) -> Page:
    """A receiver, device or cable: what it is, its terminals, ratings and values with basis."""
    lines = [entry.id, wrap(entry.title), ""]
    lines += [wrap(f"look for: {one}", 0, 10) for one in getattr(entry, "recognise", ())]
    net = getattr(entry, "net", None)
    if net is not None:
        pins = sorted({pin for part in net.parts for pin in part.at} | {t.id for t in net.terminals})
        lines.append(wrap("terminals: " + ", ".join(pins), 0, 11))
        lines += [
            wrap(f"{p.kind} {p.id or entry.id}: {' - '.join(p.at)} {p.by}".rstrip(), 2, 4) for p in net.parts
        ]
    for heading in ("rating", "values"):
        values: Mapping[str, Value] = getattr(entry, heading, {})
        lines += [f"  {heading} {name}: {value_text(v)}" for name, v in values.items()]
    lines += [wrap(note) for note in entry.notes]
    lines += [source_line(entry.source), "", wrap(CAUTION)]
    return Page(
        "\n".join(lines) + "\n",
        {"schema": "holdrun/type/1", "kind": kind, "id": entry.id, "title": entry.title},
    )


def table_page(table: Table) -> Page:
    """A table row by row, each cell with its address, so that it can be confirmed."""
    lines = [table.id, wrap(table.title), ""]
    rows = []
    for row, cells in table.rows.items():
        for column, cell in cells.items():
            shown = value_text(cell) if isinstance(cell, Value) else str(cell)
            lines.append(wrap(f"{table.id}/{row}/{column}: {shown}", 2, 6))
            rows.append({"address": f"{table.id}/{row}/{column}", "is": shown})
    lines += ["", source_line(table.source)]
    return Page("\n".join(lines) + "\n", {"schema": "holdrun/table/1", "id": table.id, "cells": rows})


def clause_page(catalog: Catalog, id: str) -> Page:
    """A clause in our own words, and what answers it."""
    clause = catalog.clauses[id]
    lines = [
        f"{clause.id}  {clause.standard} {clause.clause} {clause.edition}".rstrip(),
        wrap(clause.text, 2),
        wrap(f"answered by: {', '.join(clause.answered_by) or 'a question put to the user'}", 2, 4),
        wrap(f"basis: {clause.basis}. {clause.where_read}", 2, 4),
    ]
    document = {"schema": "holdrun/clause/1", "id": clause.id, "text": clause.text, "basis": clause.basis}
    return Page("\n".join(lines) + "\n", document)
