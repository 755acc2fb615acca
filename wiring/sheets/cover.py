"""Cover: what hoist, what scope, what stage, what was decided and what is in the way of use."""

from __future__ import annotations

from wiring.sheets.handover import handover_line, in_the_way
from wiring.sheets.sheet import Block, Heading, Material, Sheet, Table, Text, head_of, said
from wiring.sheets.words import proof_end

LIMITS = (
    "This pack is a plan worked out by a program from the facts in one file. It looks at the circuit only: "
    "mechanical condition, rope, chain, hook, structure and the radio link itself are outside it. It "
    "gives no "
    "permission. A licensed electrician reviews it, changes it where needed, and decides."
)


def cover(material: Material) -> Sheet:
    """First sheet of the pack."""
    plan = material.plan
    head = head_of(plan)
    way = in_the_way(material)
    faults = plan.behaviour.faults.kind if plan.behaviour and plan.behaviour.faults else "none"
    blocks: list[Block] = [
        Text(head.verdict, "strong"),
        Text(handover_line(material), "strong"),
        Table(("In the way of use",), tuple((line,) for line in way), empty="nothing by this file"),
        Table(("", ""), facts(material), "The job"),
        Heading("Scope and limits"),
        Text(LIMITS),
    ]
    if head.condition:
        blocks.insert(0, Text(head.condition, "strong"))
    if plan.behaviour is not None:
        blocks.append(Text(proof_end(faults)))
    if plan.report.not_checked:
        blocks.append(Text("Not checked: " + "; ".join(plan.report.not_checked) + "."))
    return Sheet("cover", "Conversion of a hoist pendant to radio", tuple(blocks), head)


def facts(material: Material) -> tuple[tuple[str, str], ...]:
    """Hoist, receiver, supply, people: as the file says, gaps named."""
    job, catalog = material.plan.job, material.plan.catalog
    hoist = catalog.hoists.get(job.hoist.type or "")
    receiver = catalog.receivers.get(job.receiver.type or "")
    supply = job.supply
    words = (supply.system, supply.voltage, supply.frequency)
    return (
        ("Hoist", hoist.title if hoist else said(job.hoist.type, "type not known")),
        ("Known by", said(job.hoist.type_by)),
        ("Receiver", receiver.title if receiver else said(job.receiver.type, "type not known")),
        ("Supply", ", ".join(str(w) for w in words if w) or "not stated"),
        ("Country, rules", f"{said(job.country)}, {job.region}"),
        ("People near the load", said(job.people)),
        ("Prepared by", said(job.prepared_by)),
        ("Revision, date", f"{said(job.revision)}, {said(job.date)}"),
        ("Stage", material.plan.report.stage),
        ("Digest", material.plan.digest),
    )
