"""Load and rating sheet: each contact that switches, what it must bear, what it is rated for."""

from __future__ import annotations

from wiring.model.finding import Finding
from wiring.sheets.figures import limit, margin, measured
from wiring.sheets.parts_list import rated
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of, said
from wiring.sheets.words import sign

COLUMNS = ("Contact", "Check", "Found", "Wanted", "Measured", "Limit", "Margin", "Verdict")


def contact_ratings(material: Material) -> Sheet:
    """The ratings as stated; then every finding on contacts, contact by contact."""
    plan = material.plan
    rows = judged(material, "contact.")
    outputs = tuple(
        (f"receiver:{o.id}", said(o.key), rated(o.rating), said(o.rating.source if o.rating else None))
        for o in plan.job.receiver.outputs
    )
    devices = tuple(
        (d.id, "", rated(d.rating), said(d.rating.source if d.rating else d.source))
        for d in plan.job.devices
        if d.rating is not None
    )
    return Sheet(
        id="contact-ratings",
        title="Loads and ratings, contact by contact",
        head=head_of(plan),
        landscape=True,
        blocks=(
            Text(
                "A contact is rated by what it switches: motor, coil, lamp. A resistive figure alone "
                "says little."
            ),
            Table(
                ("Contact", "Key", "Rating stated", "Source"), (*outputs, *devices), "Ratings", "none stated"
            ),
            Table(COLUMNS, rows, "Checks", "no contact could be judged: hoist or receiver type is missing"),
        ),
    )


def judged(material: Material, prefix: str) -> tuple[tuple[str, ...], ...]:
    """Findings of the rules with that prefix as rows by subject, those without a subject left out."""
    found = [
        f
        for f in material.plan.report.findings
        if f.rule.startswith(prefix) and str(f.verdict) != "not-applicable"
    ]
    found.sort(key=lambda f: (f.subject, f.rule))
    return tuple(row_of(f, material.plan.job.region) for f in found)


def row_of(finding: Finding, region: str) -> tuple[str, ...]:
    """One finding as a row."""
    return (
        finding.subject,
        finding.rule.partition(".")[2],
        finding.found,
        finding.wanted,
        measured(finding, region),
        limit(finding, region),
        margin(finding),
        sign(finding.verdict),
    )
