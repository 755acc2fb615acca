"""Findings as plain text: the three worst first, each with its next step; or all of them."""

from __future__ import annotations

from wiring.model.finding import Finding, Verdict
from wiring.model.plan import Plan
from wiring.sheets.words import CAUTION, opening, sign, verdict_line, wrap

WORST = 3
OBJECTIONS = (Verdict.FAIL, Verdict.UNKNOWN)


def short(finding: Finding, ascii_only: bool = False) -> str:
    """One finding in three or four lines: sign, rule, subject; found, wanted; where; what to do."""
    about = "  (the hoist as found)" if finding.about == "before" else ""
    lines = [f"{sign(finding.verdict, ascii_only):<10}{finding.rule:<23} {finding.subject}{about}".rstrip()]
    where = f" ({finding.where})" if finding.where else ""
    lines.append(wrap(f"{finding.found}{where}", 10))
    if finding.wanted:
        lines.append(wrap(f"wanted: {finding.wanted}", 10, 18))
    if finding.remedy:
        lines.append(wrap(f"do: {finding.remedy}", 10, 14))
    return "\n".join(lines)


def full(finding: Finding, ascii_only: bool = False) -> str:
    """One finding with its numbers, source, what it rests on, and every remedy."""
    lines = [short(finding, ascii_only)]
    if finding.measured is not None or finding.limit is not None:
        parts = []
        unit = "" if finding.unit in (None, "", "1", "count") else f" {finding.unit}"
        if finding.measured is not None:
            parts.append(f"measured {finding.measured:g}{unit}")
        if finding.limit is not None:
            parts.append(f"limit {finding.limit:g}{unit} {finding.sense or ''}".rstrip())
        if finding.margin is not None:
            parts.append(f"margin {finding.margin * 100:.0f} %")
        lines.append(wrap(", ".join(parts), 10))
    if finding.path:
        lines.append(wrap(f"how: {finding.path}", 10, 15))
    for value in finding.values:
        lines.append(wrap(f"uses: {value}", 10, 16))
    if finding.source:
        lines.append(wrap(f"source: {finding.source} (basis: {finding.basis})", 10, 18))
    if finding.rests_on:
        lines.append(wrap("rests on: " + ", ".join(finding.rests_on), 10, 20))
    for other in finding.remedies[1:]:
        lines.append(wrap(f"or: {other}", 10, 14))
    lines.append(f"          danger {finding.danger}, due at {finding.due}")
    return "\n".join(lines)


def check_text(plan: Plan, show_all: bool = False, ascii_only: bool = False) -> str:
    """What `check` prints: opening, verdict, worst findings (or all), what was not checked, caution."""
    report = plan.report
    lines = [*opening(plan), "", wrap(verdict_line(report)), ""]
    objections = [f for f in report.findings if f.verdict in OBJECTIONS]
    if show_all:
        lines += [full(f, ascii_only) + "\n" for f in report.findings]
        lines += [short(f, ascii_only) + "\n" for f in report.to_show]
    elif objections:
        lines.append("Worst first")
        shown, told = worst(objections)
        for finding, also in shown:
            lines.append(short(finding, ascii_only))
            if also:
                lines.append(wrap(f"also: {', '.join(also)}", 10, 16))
        lines += rest_of([f for f in objections if f not in told], plan.job.file)
    lines += before_line(plan)
    if report.not_checked:
        lines.append(wrap("Not checked: " + "; ".join(report.not_checked) + ".", 0, 2))
    lines += ["", wrap(CAUTION)]
    return "\n".join(lines) + "\n"


def worst(objections: list[Finding]) -> tuple[list[tuple[Finding, list[str]]], list[Finding]]:
    """The first three objections that differ in rule and in cause, each with what shares it; and all told.

    Findings of one rule and verdict stand together, and so do those of any rule that wait for the
    same thing: thirty unknowns with one cause are one line and one action.
    """
    shown: list[tuple[Finding, list[Finding]]] = []
    told = []
    for finding in objections:
        same = next((also for first, also in shown if alike(first, finding)), None)
        if same is None and len(shown) == WORST:
            continue
        told.append(finding)
        if same is None:
            shown.append((finding, []))
        else:
            same.append(finding)
    return [(first, others(first, also)) for first, also in shown], told


def alike(one: Finding, other: Finding) -> bool:
    """True for two subjects of one rule, and for two rules with the same cause and next step."""
    if (one.verdict, one.about) != (other.verdict, other.about):
        return False
    return one.rule == other.rule or (one.found, one.remedy) == (other.found, other.remedy)


def others(first: Finding, also: list[Finding]) -> list[str]:
    """The subjects that share a finding's rule, and how many other rules wait for the same."""
    subjects = [f.subject for f in also if f.rule == first.rule]
    rules = {f.rule for f in also} - {first.rule}
    return [*subjects, f"{len(rules)} more rules wait for the same"] if rules else subjects


def rest_of(left: list[Finding], file: str) -> list[str]:
    """The line that says how many objections were not printed, and how to see them."""
    fails = sum(f.verdict is Verdict.FAIL for f in left)
    unknowns = len(left) - fails
    if not fails and not unknowns:
        return []
    more = ", ".join(f"{n} {word}" for n, word in ((fails, "more fail"), (unknowns, "more unknown")) if n)
    return [f"... {more}: holdrun check {file} --all"]


def before_line(plan: Plan) -> list[str]:
    """How many objections are about the hoist as found, counted apart."""
    counts = plan.report.counts_before
    if not counts.failed and not counts.unknown:
        return []
    return [wrap(f"The hoist as found: {counts.failed} fail, {counts.unknown} unknown, counted apart.")]
