"""The isolation and lockout sheet as text; its steps come from the catalog."""

from __future__ import annotations

from wiring.model.entry import Catalog
from wiring.sheets.words import CAUTION, wrap

TABLE = "lockout-steps"


def lockout_text(catalog: Catalog) -> str:
    """Numbered steps with a box to tick. Raises KeyError where the catalog has no such table."""
    table = catalog.tables[TABLE]
    lines = ["ISOLATION AND LOCKOUT, before anything is opened and again after any pause", ""]
    for number, row in enumerate(table.rows.values(), 1):
        mark = "" if row.get("basis") != "memory" else " (recalled: check with local rules)"
        lines.append(wrap(f"[ ] {number:>2} {row['do']}{mark}", 0, 7))
    lines += ["", wrap(f"Source: {table.source.title} (basis: {table.source.basis})"), wrap(CAUTION), ""]
    return "\n".join(lines)
