"""Recalled values with room to fill in what the book says: as text, as CSV, as a JSON document."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Any

from wiring.files.quantity import show
from wiring.model.plan import Plan
from wiring.model.recalled import Recalled
from wiring.sheets.words import CAUTION, EXAMPLE, clean, opening, wrap

SCHEMA = "holdrun/recalled/1"
COLUMNS = ("entry", "ours", "unit", "what it is", "source as recalled", "used by", "decides", "names needed", "state")
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
        wrap(f"{len(rows)} recalled figures are used here, {deciding} of them decide a verdict, {open_} are not "
             "confirmed. Read each in its source and enter what you read as [[confirm]]; where the danger is 1 "
             "or 2 somebody else reads it as well. A figure that was confirmed replaces ours."),
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
    lines.append(wrap(f"used by: {', '.join(row.rules)} (danger {row.danger}, names needed: {row.names})", _HANG, 6))
    if row.decides:
        lines.append(wrap(f"decides: {', '.join(row.decides)}", _HANG, 6))
    if row.theirs is None:
        blanks = "  ".join(f"{name} {_LINE}" for name in FILL)
        return [*lines, wrap(f"state: {row.state}", _HANG, 6), wrap(blanks, _HANG), ""]
    lines.append(wrap(f"state: {row.state}", _HANG, 6))
    lines.append(wrap(f"read: {figure(row.theirs, row.unit)}{difference(row)}, {names(row)}, {row.place}", _HANG, 6))
    return [*lines, ""]


def figure(si: float, unit: str) -> str:
    """A number with every digit it has: a limit is not rounded for the person who compares it."""
    return f"{si:.7g} {unit}".removesuffix(" 1") + ("" if unit in ("1", "count") else f" ({show(si, unit)})")


def difference(row: Recalled) -> str:
    """How far theirs is from ours, in words."""
    if row.theirs == row.ours:
        return ", as ours"
    return f", {row.differs * 100:+.1f} % from ours" if row.differs is not None else f", ours is {row.ours:g}"


def names(row: Recalled) -> str:
    both = " and ".join(name for name in (row.by, row.second) if name)
    return f"by {both}" if both else "no name"


def recalled_csv(plan: Plan, rows: Sequence[Recalled]) -> str:
    """The same as a table for a spreadsheet; cells that a formula could start in are quoted as text."""
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\n")
    if plan.job.example:
        sheet.writerow([EXAMPLE])
    sheet.writerow([*COLUMNS, *FILL])
    for row in rows:
        theirs = "" if row.theirs is None else f"{row.theirs:.7g} {row.unit}".removesuffix(" 1")
        cells = (
            row.id, f"{row.ours:.7g}", row.unit, row.about, row.source, ", ".join(row.rules),
            ", ".join(row.decides), row.names, row.state, row.place, "", theirs, row.by, row.second,
        )  # fmt: skip
        sheet.writerow([_cell(str(cell)) for cell in cells])
    return out.getvalue()


def _cell(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    plain = clean(text)
    return f"'{plain}" if plain[:1] in ("=", "+", "-", "@") else plain


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
