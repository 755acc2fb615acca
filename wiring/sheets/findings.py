"""Findings in full: every check with its numbers, what it rests on and its source."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.model.finding import Finding, Verdict
from wiring.sheets.figures import limit, margin, measured
from wiring.sheets.findings_text import OBJECTIONS
from wiring.sheets.sheet import Block, Material, Sheet, Table, Text, head_of
from wiring.sheets.weak import used
from wiring.sheets.words import sign

BAD = (
    "Verdict, danger", "Rule", "Subject", "Found", "Wanted", "Source (basis), rests on", "Next step, place",
)  # fmt: skip
GOOD = ("Rule", "Subject", "Found", "Wanted, rests on")
LATER = ("Rule", "Subject", "Due at", "What")


def findings(material: Material) -> Sheet:
    """Objections first; passes and the not applicable after them; values used at the end."""
    report, region = material.plan.report, material.plan.job.region
    blocks: list[Block] = [Text(f"{report.rules_run} rules run. In each part: by danger, then by margin.")]
    bad = tuple(bad_row(f, region) for f in report.findings if f.verdict in OBJECTIONS)
    good = [f for f in report.findings if f.verdict is Verdict.PASS]
    blocks += [Table(BAD, bad, "Objections"), Table(GOOD, good_rows(good, region), "Without objection")]
    blocks.append(Table(("Rule", "Source (basis)"), sources(good), "Sources of what was without objection"))
    blocks.append(Table(LATER, later_rows(report.to_show), "To show later"))
    aside = tuple(
        (f.rule, f.subject if f.subject != f.rule else "-", f.found)
        for f in report.findings
        if f.verdict is Verdict.NOT_APPLICABLE
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


def bad_row(finding: Finding, region: str) -> tuple[str, ...]:
    """An objection with all there is to it."""
    where = f" [{finding.where}]" if finding.where else ""
    rests = f"; rests on {', '.join(finding.rests_on)}" if finding.rests_on else ""
    return (
        f"{sign(finding.verdict)}, danger {finding.danger}",
        finding.rule,
        subject(finding),
        finding.found,
        wanted(finding, region),
        f"{source(finding)}{rests}",
        f"{finding.remedy}{where}",
    )


def good_rows(found: Sequence[Finding], region: str) -> tuple[tuple[str, ...], ...]:
    """Findings without objection; those that say the same of several subjects share a row."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for f in found:
        rests = f"; rests on {', '.join(f.rests_on)}" if f.rests_on else ""
        key = (f.rule, f.found, wanted(f, region) + rests)
        alike.setdefault(key, []).append(subject(f))
    return tuple((rule, "; ".join(subjects), *rest) for (rule, *rest), subjects in alike.items())


def later_rows(found: Sequence[Finding]) -> tuple[tuple[str, ...], ...]:
    """What is due at a later stage; what is said of several subjects shares a row."""
    alike: dict[tuple[str, str, str], list[str]] = {}
    for f in found:
        alike.setdefault((f.rule, f.due, f.found or f.wanted), []).append(subject(f))
    return tuple((rule, "; ".join(names), due, what) for (rule, due, what), names in alike.items())


def sources(found: Sequence[Finding]) -> tuple[tuple[str, str], ...]:
    """Every rule with its sources, each once, in the order of their first findings."""
    known: dict[str, dict[str, None]] = {}
    for f in found:
        known.setdefault(f.rule, {})[source(f)] = None
    return tuple((rule, "; ".join(texts)) for rule, texts in known.items())


def source(finding: Finding) -> str:
    """Source and basis of a finding."""
    return f"{finding.source} ({finding.basis})"


def subject(finding: Finding) -> str:
    """What a finding is about, marked where it is about the hoist as found."""
    return finding.subject + (" (hoist as found)" if finding.about == "before" else "")


def wanted(finding: Finding, region: str) -> str:
    """What was wanted, and the numbers it was compared by."""
    numbers = [text for text in (measured(finding, region),) if text]
    if finding.limit is not None:
        numbers.append(f"{finding.sense or 'limit'} {limit(finding, region)}")
    if finding.margin is not None:
        numbers.append(f"margin {margin(finding)}")
    return finding.wanted + (f" ({', '.join(numbers)})" if numbers else "")
