"""Findings in full: every check with its numbers, what it rests on and its source."""

from __future__ import annotations

from wiring.model.finding import Finding, Verdict
from wiring.sheets.contact_ratings import figure
from wiring.sheets.findings_text import OBJECTIONS
from wiring.sheets.sheet import Block, Material, Sheet, Table, Text, head_of
from wiring.sheets.weak import used
from wiring.sheets.words import sign

COLUMNS = (
    "Verdict", "Danger", "Rule", "Subject", "Found", "Wanted", "Numbers", "Source (basis), rests on",
    "Next step, place",
)  # fmt: skip


def findings(material: Material) -> Sheet:
    """Objections first; passes and the not applicable after them; values used at the end."""
    report = material.plan.report
    blocks: list[Block] = [Text(f"{report.rules_run} rules run. In each part: by danger, then by margin.")]
    bad = tuple(row_of(f) for f in report.findings if f.verdict in OBJECTIONS)
    good = tuple(row_of(f)[2:-1] for f in report.findings if f.verdict is Verdict.PASS)
    blocks += [Table(COLUMNS, bad, "Objections"), Table(COLUMNS[2:-1], good, "Without objection")]
    later = tuple((f.rule, f.due, f.found or f.wanted) for f in report.to_show)
    blocks.append(Table(("Rule", "Due at", "What"), later, "To show later"))
    aside = tuple(
        (f.rule, f.subject, f.found) for f in report.findings if f.verdict is Verdict.NOT_APPLICABLE
    )
    blocks.append(Table(("Rule", "Subject", "Why"), aside, "Not applicable"))
    weak = tuple(
        (u.id, u.figure, u.basis, u.source, ", ".join(u.rules))
        for u in used(material.plan, ("memory", "placeholder"))
    )
    blocks.append(
        Table(
            ("Value", "Figure", "Basis", "Source", "Used by"),
            weak,
            "Recalled figures and placeholders that were used",
        )
    )
    return Sheet("findings", "Findings in full", tuple(blocks), head_of(material.plan), landscape=True)


def row_of(finding: Finding) -> tuple[str, ...]:
    about = " (hoist as found)" if finding.about == "before" else ""
    numbers = [text for text in (figure(finding.measured, finding.unit),) if text]
    if finding.limit is not None:
        numbers.append(f"{finding.sense or 'limit'} {figure(finding.limit, finding.unit)}")
    if finding.margin is not None:
        numbers.append(f"margin {finding.margin * 100:.0f} %")
    rests = f"; rests on {', '.join(finding.rests_on)}" if finding.rests_on else ""
    where = f" [{finding.where}]" if finding.where else ""
    return (
        sign(finding.verdict),
        str(finding.danger),
        finding.rule,
        f"{finding.subject}{about}",
        finding.found,
        finding.wanted,
        ", ".join(numbers),
        f"{finding.source} ({finding.basis}){rests}",
        f"{finding.remedy}{where}",
    )
