"""Requirement list: every clause of the region, how it stands, and by what it is answered on this job."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.model.requirement import Requirement
from wiring.sheets.requirement_text import basis, counted, place, reply_line
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of

OPEN = ("objection", "unknown", "open question")
COLUMNS = ("Id", "State", "Clause", "Asks", "Answered here by", "Basis")


def requirements(material: Material) -> Sheet:
    """Clauses in the order of the catalog, those that are open first."""
    plan, rows = material.plan, material.requirements
    recalled = sum(row.clause.basis == "memory" for row in rows)
    counts = ", ".join(f"{n} {state}" for state, n in counted(rows).items() if n)
    return Sheet(
        id="requirements",
        title="Requirements and their answers",
        head=head_of(plan),
        landscape=True,
        blocks=(
            Text(
                f"{len(rows)} clauses in our own words, {recalled} of them recalled without the text at "
                "hand. The texts themselves decide, and local rules may ask for more."
            ),
            Text(counts + "." if counts else "The list was not worked out.", "strong"),
            _table(rows, "Open", True),
            _table(rows, "Answered, or to show later", False),
        ),
    )


def _table(rows: Sequence[Requirement], title: str, is_open: bool) -> Table:
    mine = tuple(row_of(row) for row in rows if (row.state in OPEN) is is_open)
    return Table(COLUMNS, mine, title)


def row_of(row: Requirement) -> tuple[str, ...]:
    """One clause as cells. A clause that nothing answers here is a question for the electrician."""
    clause = row.clause
    replies = "; ".join(reply_line(reply) for reply in row.replies)
    return (
        clause.id,
        row.state,
        place(clause),
        clause.text,
        replies or "open: ask the electrician",
        basis(clause),
    )
