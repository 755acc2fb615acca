"""The isolation and lockout sheet as text; its steps come from the catalog, by region."""

from __future__ import annotations

from wiring.model.entry import Catalog, Table
from wiring.sheets.words import CAUTION, wrap

#: Steps by region; those of the first where no region is known yet.
TABLES = {"us": "lockout-steps", "iec": "lockout-steps-iec"}


def steps_of(catalog: Catalog, region: str | None) -> Table:
    """The table of steps of a region. Raises KeyError where the catalog has no such table."""
    return catalog.tables[TABLES.get(region or "us", TABLES["us"])]


def told_source(table: Table) -> str:
    """Where the steps come from, and how that is known."""
    note = "; recalled: hold it against the rules of your country"
    recalled = note if table.source.basis == "memory" else ""
    return f"Source: {table.source.title} (basis: {table.source.basis}{recalled})."


def lockout_text(catalog: Catalog, region: str | None = None) -> str:
    """Numbered steps with a box to tick. Raises KeyError where the catalog has no such table."""
    table = steps_of(catalog, region)
    lines = ["ISOLATION AND LOCKOUT, before anything is opened and again after any pause", ""]
    for number, row in enumerate(table.rows.values(), 1):
        mark = "" if row.get("basis") != "memory" else " (recalled: check with local rules)"
        lines.append(wrap(f"[ ] {number:>2} {row['do']}{mark}", 0, 7))
    lines += ["", wrap(told_source(table)), wrap(CAUTION), ""]
    return "\n".join(lines)
