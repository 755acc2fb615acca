"""The hoist as converted: the drawing, and what was added behind it."""

from __future__ import annotations

from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of, said


def as_converted(material: Material) -> Sheet:
    """Devices and inputs in words; the drawing follows."""
    plan = material.plan
    devices = tuple(
        (d.id, entry.title if (entry := plan.catalog.devices.get(d.type)) else d.type, said(d.source))
        for d in plan.job.devices
    )
    blocks = (
        Text("Removed parts are drawn in grey. Limits and interlocks of the hoist stay in the circuit."),
        Table(("Tag", "Device", "Source"), devices, "Devices added", "none"),
        Table(("Limit", "Kind", "Ends"), limit_rows(material), "Limits in the circuit", "none"),
    )
    figures = material.figures.get("as-converted", ())
    return Sheet("as-converted", "Circuit as converted", (*blocks, *figures), head_of(plan))


def limit_rows(material: Material) -> tuple[tuple[str, str, str], ...]:
    """Each limit of the converted circuit with the motion it stops."""
    circuit = material.plan.after
    return tuple((limit.input, limit.kind, limit.motion) for limit in circuit.limits) if circuit else ()
