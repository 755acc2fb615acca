"""Cable sheet: each cable and the cord with length, size, and every check on conductors."""

from __future__ import annotations

from wiring.sheets.contact_ratings import COLUMNS, judged
from wiring.sheets.sheet import Material, Sheet, Table, head_of, said


def cables(material: Material) -> Sheet:
    """Ampacity, drop at inrush and sealed, capacitance: as the rules computed them."""
    plan = material.plan
    listed = tuple(
        (
            c.id,
            entry.title if (entry := plan.catalog.cables.get(c.type or "")) else said(c.type),
            said(c.size),
            said(c.length),
            said(c.ambient),
            ", ".join(c.order) if c.order else "not stated",
        )
        for c in plan.job.cables
    )
    return Sheet(
        id="cables",
        title="Cables and conductors",
        head=head_of(plan),
        landscape=True,
        blocks=(
            Table(
                ("Cable", "Type", "Size", "Length", "Ambient", "Conductors as they lie"),
                listed,
                "Cables to lay",
                "none",
            ),
            Table(
                ("Conductor", *COLUMNS[1:]), judged(material, "conductor."), "Checks", "none could be made"
            ),
        ),
    )
