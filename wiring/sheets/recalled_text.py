"""Recalled values with room to fill in what the book says: as text, as CSV, as a JSON document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wiring.model.plan import Plan
from wiring.model.recalled import Recalled
from wiring.sheets.csv_text import csv_text
from wiring.sheets.sheet import head_of
from wiring.sheets.words import CAUTION, opening, wrap

SCHEMA = "holdrun/recalled/1"
COLUMNS = (
    "entry", "ours", "unit", "what it is", "source as recalled", "used by", "decides", "names needed",
    "state",
)  # fmt: skip
FILL = ("edition", "page", "number read", "by", "second")
_HANG = 4
_LINE = "_" * 12


def recalled_text(plan: Plan, rows: Sequence[Recalled]) -> str:
    """Every recalled value, deciding ones first, each with blanks for edition, page, number and names."""
    deciding = sum(bool(r.decides) for r in rows)
    open_ = sum(r.state != "confirmed" for r in rows)
    lines = [
        *opening(plan),
        "",
        wrap(f"Recalled figures used here: {len(rows)}; that decide a verdict: {deciding}; not confirmed: "
             f"{open_}. Read each in its source and enter what you read as [[confirm]]; where the danger is "
             "1 or 2 somebody else reads it as well. A figure that was confirmed replaces ours."),
        "",
    ]  # fmt: skip
    for row in rows:
        lines += row_lines(row)
    return "\n".join([*lines, wrap(CAUTION)]) + "\n"


def row_lines(row: Recalled) -> list[str]:
    """One value: address and number, what it is, who uses it, then what was read or the blanks."""
    lines = [f"{row.id} = {figure(row.ours, row.unit)}"]
    lines.append(wrap(row.about or "no table", _HANG))
    lines.append(wrap(f"recalled from: {row.source}", _HANG, _HANG + 2))
    readers = f"danger {row.danger}, names needed: {row.names}"
    lines.append(wrap(f"used by: {', '.join(row.rules)} ({readers})", _HANG, 6))
    if row.decides:
        lines.append(wrap(f"decides: {', '.join(row.decides)}", _HANG, 6))
    if row.theirs is None:
        blanks = [f"{name} {_LINE}" for name in FILL]
        return [*lines, wrap(f"state: {row.state}", _HANG, 6), wrap("  ".join(blanks[:3]), _HANG),
                wrap("  ".join(blanks[3:]), _HANG), ""]  # fmt: skip
    lines.append(wrap(f"state: {row.state}", _HANG, 6))
    read = f"{figure(row.theirs, row.unit)}{difference(row)}"
    lines.append(wrap(f"read: {read}, {names(row)}, {row.place or 'no place given'}", _HANG, 6))
    return [*lines, ""]


def figure(si: float, unit: str) -> str:
    """A number with every digit it has: a limit is not rounded for the person who compares it."""
    return f"{si:.7g} {unit}".removesuffix(" 1").removesuffix(" count")


def difference(row: Recalled) -> str:
    """How far theirs is from ours, in words."""
    if row.theirs == row.ours:
        return ", as ours"
    return f", {row.differs * 100:+.1f} % from ours" if row.differs is not None else f", ours is {row.ours:g}"


def names(row: Recalled) -> str:
    """Who read it."""
    both = " and ".join(name for name in (row.by, row.second) if name)
    return f"by {both}" if both else "no name"


def recalled_csv(plan: Plan, rows: Sequence[Recalled]) -> str:
    """The same as a table for a spreadsheet; what is confirmed already is filled in."""
    table: list[tuple[str, ...]] = [(*COLUMNS, *FILL)]
    for row in rows:
        theirs = "" if row.theirs is None else f"{row.theirs:.7g} {row.unit}".removesuffix(" 1")
        table.append((
            row.id, f"{row.ours:.7g}", row.unit, row.about, row.source, ", ".join(row.rules),
            ", ".join(row.decides), str(row.names), row.state, row.place, "", theirs, row.by, row.second,
        ))  # fmt: skip
    return csv_text(table, head_of(plan), "recalled figures")


def recalled_json(plan: Plan, rows: Sequence[Recalled]) -> dict[str, Any]:
    """The document of `check --recalled --json`."""
    return {
        "schema": SCHEMA,
        "job": plan.job.title,
        "example": plan.job.example,
        "file": plan.job.file,
        "digest": plan.digest,
        "verdict": str(plan.report.verdict),
        "rows": [
            {
                "entry": r.id,
                "ours": r.ours,
                "unit": r.unit,
                "about": r.about,
                "source": r.source,
                "rules": list(r.rules),
                "decides": list(r.decides),
                "danger": r.danger,
                "names_needed": r.names,
                "state": r.state,
                "theirs": r.theirs,
                "differs": r.differs,
                "by": r.by,
                "second": r.second,
                "place": r.place,
            }
            for r in rows
        ],
    }
