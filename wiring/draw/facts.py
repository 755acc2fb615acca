"""What a sheet says about the job: title block, verdict box, ratings, colours, supply."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.draw.frame import Title
from wiring.draw.placed import Facts
from wiring.draw.symbols import PRACTICE
from wiring.model.circuit import Circuit
from wiring.model.finding import Verdict
from wiring.model.job import Rating
from wiring.model.plan import Plan

SHOWN = {"before": "as found", "after": "as converted", "both": "as converted; removed parts in grey"}


def title_of(plan: Plan, kind: str, about: str, symbols: str, state: str = "") -> Title:
    """The fields of the title block and the boxes."""
    job = plan.job
    approved = job.approvals[-1] if job.approvals else None
    valid = approved is not None and approved.digest == plan.digest
    return Title(
        title=job.title,
        subtitle=subject(plan, about) + (f"; {state}" if state else ""),
        kind=kind,
        owner="",
        identification=plan.digest,
        revision=job.revision or "",
        date=job.date.isoformat() if job.date else "",
        creator=job.prepared_by or "",
        approved=(approved.by if valid and approved else "not approved"),
        stage=plan.report.stage,
        symbols=PRACTICE[symbols],
        verdict=verdict_lines(plan),
        condition=plan.identity_sentence if plan.identity != "shown" else "",
        example=job.example,
    )


def subject(plan: Plan, about: str) -> str:
    """Hoist type and what is shown of it."""
    hoist = plan.catalog.hoists.get(plan.job.hoist.type or "") if plan.job.hoist.type else None
    name = hoist.title if hoist else "hoist type unknown"
    return f"{name}: {SHOWN[about]}"


def verdict_lines(plan: Plan) -> tuple[str, ...]:
    """The verdict box: objections counted, what is open, or no objection; and what was not checked."""
    counts, stage = plan.report.counts, plan.report.stage
    if plan.report.verdict is Verdict.PASS:
        head = f"{stage.capitalize()}: no objection in {counts.passed} checks; for review"
    elif counts.failed:
        head = f"OBJECTIONS: {counts.failed} fail, {counts.unknown} unknown"
    else:
        head = f"OPEN: {counts.unknown} unknown, no fail"
    later = len(plan.report.to_show)
    lines = [head]
    if plan.report.verdict is not Verdict.PASS:
        lines.append(f"{counts.passed} without objection, {later} to show later.")
    elif later:
        lines.append(f"{later} to show later.")
    if plan.report.not_checked:
        lines.append("Not checked: " + "; ".join(plan.report.not_checked[:6]) + ".")
    return tuple(lines)


def facts_of(plan: Plan, circuit: Circuit) -> Facts:
    """Ratings from the job, conductor colours from the cable types, receiver and supply in words."""
    job = plan.job
    receiver = plan.catalog.receivers.get(job.receiver.type or "") if job.receiver.type else None
    supply = job.supply
    words = [supply.system or "", supply.voltage.text if supply.voltage else ""]
    if supply.frequency:
        words.append(supply.frequency.text)
    return Facts(
        ratings=_ratings(plan, circuit),
        colours=_colours(circuit),
        receiver=receiver.title if receiver else "radio receiver",
        supply=" ".join(word for word in words if word),
    )


def _ratings(plan: Plan, circuit: Circuit) -> Mapping[str, str]:
    outputs = {output.id: output.rating for output in plan.job.receiver.outputs}
    devices = {device.id: device.rating for device in plan.job.devices}
    found: dict[str, str] = {}
    for part in circuit.parts:
        if part.by.startswith("output:receiver:"):
            shown = short_rating(outputs.get(part.by.rpartition(":")[2]), power=True)
        elif part.kind == "contact" and part.role == "power" and part.owner.partition(".")[0] in devices:
            shown = short_rating(devices[part.owner.partition(".")[0]], power=True)
        else:
            continue
        if shown:
            found[part.name] = shown
    return found


def short_rating(rating: Rating | None, power: bool) -> str:
    """The figure that matters for a motor or coil load, with its category; "" where none is given."""
    if rating is None:
        return ""
    for name, value in (
        ("AC-3", rating.ac3), ("motor", rating.motor_120), ("motor", rating.motor_240),
        ("AC-15", rating.ac15_120), ("AC-15", rating.ac15_240),
        ("DC-13", rating.dc13_24), ("pilot", rating.pilot),
        ("resistive", rating.resistive), ("general", rating.general),
    ):  # fmt: skip
        if value:
            return f"{name} {value}"
    return ""


def _colours(circuit: Circuit) -> Mapping[str, str]:
    """Colour of each core and conductor that has one."""
    return {part.name: part.colour for part in circuit.parts if part.colour}
