"""Labels: one for each end of each new wire, and the signs to fix on boxes."""

from __future__ import annotations

from wiring.sheets.sheet import Labels, Material, Sheet, Text, head_of
from wiring.sheets.signs import signs
from wiring.sheets.wires import new_wires


def wire_labels(material: Material) -> Sheet:
    """Two labels a wire, in the order of the wire list; then the signs."""
    rows = []
    for row in new_wires(material.plan):
        rows.append((row.label, row.from_, f"to {row.to}"))
        rows.append((row.label, row.to, f"to {row.from_}"))
    return Sheet(
        id="wire-labels",
        title="Wire labels and signs",
        head=head_of(material.plan),
        blocks=(
            Text("Cut and fix: number, the terminal this end goes to, then where the other end is."),
            Labels(tuple(rows), "Wire ends"),
            Labels(signs(material.plan, material.live_after), "Signs to fix on boxes", wide=True),
        ),
    )
