"""Connections: the picture a person wires from, with jumpers and removed ends in words."""

from __future__ import annotations

from wiring.model.plan import Plan
from wiring.sheets.handover import objections
from wiring.sheets.sheet import Block, Material, Sheet, Table, Text, head_of
from wiring.sheets.wires import removed_rows


def connections(material: Material) -> Sheet:
    """Jumpers and loose ends; the drawing follows."""
    plan = material.plan
    loose = tuple(row for row in removed_rows(plan) if not row[0].startswith("pendant:"))
    blocks: tuple[Block, ...] = (
        *objections(plan),
        Text(
            "Wire from the drawing that follows and tick each wire on the wire list. Nothing else is changed."
        ),
        Table(("Jumper", "Position"), jumper_rows(plan), "Jumpers of the receiver", "it has none"),
        Table(("What", "Ends", "Why", "Do"), loose, "Ends to insulate and tag", "none"),
    )
    figures = material.figures.get("connections", ())
    return Sheet("connections", "Connections", (*blocks, *figures), head_of(plan))


def jumper_rows(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Every jumper of the receiver, as the job says or, where it is silent, as delivered."""
    entry = plan.catalog.receivers.get(plan.job.receiver.type or "")
    stated = {j.id: j.fitted for j in plan.job.receiver.jumpers}
    rows = []
    for part in entry.net.parts if entry else ():
        if part.role != "jumper":
            continue
        fitted = stated.get(part.id)
        if fitted is None:
            rows.append((part.id, f"not stated; as delivered: {'fitted' if part.fitted else 'out'}"))
        else:
            rows.append((part.id, "FITTED" if fitted else "TAKEN OUT"))
    return tuple(rows)
