"""The hoist as found: circuit, cores and what is known about each, readings."""

from __future__ import annotations

from wiring.model.job import Core
from wiring.model.plan import Plan
from wiring.sheets.handover import BEFORE
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of, said


def as_found(material: Material) -> Sheet:
    """Core table and readings; the drawing follows."""
    plan = material.plan
    head = head_of(plan)
    blocks = (
        Text(head.condition or "The hoist type is shown by readings, trace or diagram."),
        Table(
            ("Core", "Colour seen", "Role", "Hoist terminal", "Known by", "Source"),
            tuple(core_row(plan, core) for core in plan.job.cores),
            "Cores of the pendant cord",
            "no core is listed",
        ),
        Text("A colour is never an identity. A core known by colour or guess is not known.", "quiet"),
        Table(
            ("Between", "Side", "State", "Reading", "Value", "Taken"),
            tuple(
                (
                    " and ".join(r.between),
                    said(r.side),
                    said(r.state),
                    r.quantity,
                    str(r.value),
                    r.at.isoformat(" ", "minutes") if r.at else "not stated",
                )
                for r in plan.job.readings
            ),
            "Meter readings",
            "no reading was taken",
        ),
        Table(("", ""), cord_rows(plan), "Cord and handset"),
        Table(
            ("Tried", "Result", "By"),
            tuple(
                (r.test.removeprefix(BEFORE).strip(), r.measured, said(r.by))
                for r in plan.job.records
                if r.test.startswith(BEFORE)
            ),
            "Function test before the work",
            "not recorded: try every button, limit, stop and the brake before anything is changed",
        ),
    )
    figures = material.figures.get("as-found", ())
    return Sheet("as-found", "Circuit as found", (*blocks, *figures), head)


def core_row(plan: Plan, core: Core) -> tuple[str, ...]:
    """One core; its terminal is that of its role on the hoist type."""
    hoist = plan.catalog.hoists.get(plan.job.hoist.type or "")
    seat = next((c.at for c in hoist.cores if c.role == core.role), None) if hoist else None
    return (
        core.id,
        said(core.colour),
        said(core.role, "unknown"),
        f"hoist:{seat}" if seat else "not known",
        said(core.by, "not known"),
        said(core.source),
    )


def cord_rows(plan: Plan) -> tuple[tuple[str, str], ...]:
    """The cord and what becomes of it and of the handset."""
    cord, pendant = plan.job.cord, plan.job.pendant
    return (
        ("Cord", f"{said(cord.type)}, {said(cord.size)}, {said(cord.length)}"),
        ("Order of the cores in it", ", ".join(cord.order) if cord.order else "not stated"),
        ("What becomes of the cord", said(cord.fate)),
        ("What becomes of the handset", said(pendant.fate)),
    )
