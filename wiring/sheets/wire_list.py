"""Terminal and wire list: every wire to lay, to leave and to take out, and every terminal used."""

from __future__ import annotations

from wiring.sheets.handover import objections
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of
from wiring.sheets.terminals import screw_of
from wiring.sheets.wires import new_wires, removed_rows, staying_wires


def wire_list(material: Material) -> Sheet:
    """The list a person wires from and a second person checks against."""
    plan = material.plan
    table = plan.catalog.tables["ferrules"]
    return Sheet(
        id="wire-list",
        title="Terminal and wire list",
        head=head_of(plan),
        landscape=True,
        blocks=(
            *objections(plan),
            Text("Lay in this order. Number both ends before landing. Tick when landed and pulled."),
            laid_table(material),
            Text(
                f"Stripping and ferrules for stranded conductors: {table.source.title} (basis: "
                f"{table.source.basis}). The length printed on the terminal goes first. Colours of a "
                f"cable are "
                "those its type gives: a colour is never an identity, so ring out both ends.",
                "quiet",
            ),
            terminal_table(material),
            Table(("What", "Ends", "Why", "Do"), removed_rows(plan), "What comes out", "nothing comes out"),
            stays_table(material),
        ),
    )


def laid_table(material: Material) -> Table:
    """New wires in the order of laying."""
    rows = tuple(
        (
            str(n), "link" if r.id.startswith("wire:") else r.id, r.from_, r.to, r.number, r.size, r.colour,
            r.length, r.strip, r.ferrule, r.status, "☐",
        )
        for n, r in enumerate(new_wires(material.plan), 1)
    )  # fmt: skip
    columns = (
        "No.", "Wire", "From", "To", "Number", "Size", "Colour", "Length", "Strip", "Ferrule",
        "Status", "Done",
    )  # fmt: skip
    return Table(columns, rows, "Wires to lay", "no connection is stated")


def terminal_table(material: Material) -> Table:
    """Each terminal that receives a new wire: how many, which sizes it takes, torque and its source."""
    plan = material.plan
    wires: dict[str, list[str]] = {}
    for row in new_wires(plan):
        for point in (row.from_, row.to):
            wires.setdefault(point, []).append(row.called)
    rows = []
    for point in sorted(wires):
        screw = screw_of(plan, point)
        rows.append(
            (
                point,
                screw.printed,
                ", ".join(wires[point]),
                screw.sizes,
                screw.torque,
                screw.source or "not known",
            )
        )
    columns = ("Terminal", "Print", "New wires on it", "Takes", "Torque", "Source of the figures")
    return Table(columns, tuple(rows), "Terminals", "none used")


def stays_table(material: Material) -> Table:
    """Wires that nobody touches."""
    rows = tuple((r.id, r.from_, r.to, r.size, r.status) for r in staying_wires(material.plan))
    return Table(("Wire", "From", "To", "Size", "Status"), rows, "Wires that stay as they are", "none")
