"""Revision, open questions, answers, confirmations and approvals: who said what, for which digest."""

from __future__ import annotations

from wiring.files.quantity import show
from wiring.model.finding import Verdict
from wiring.model.job import Approval, Confirm
from wiring.model.plan import Plan
from wiring.sheets.sheet import Material, Sheet, Table, Text, head_of, said


def revision(material: Material) -> Sheet:
    """Everything a person still owes the file, and everything persons have given it."""
    plan = material.plan
    job = plan.job
    this = (said(job.revision), said(job.date), said(job.prepared_by), plan.digest)
    answers = tuple((a.requirement, a.text) for a in job.answers)
    return Sheet(
        id="revision",
        title="Revision, open questions, confirmations",
        head=head_of(plan),
        landscape=True,
        blocks=(
            Table(("Revision", "Date", "Prepared by", "Digest"), (this,), "This revision"),
            Table(("Rule", "Subject", "Open", "Next step"), open_rows(plan), "Open questions", "none"),
            Table(
                ("Entry", "Ours", "Read by the person", "By", "Source", "Second person"),
                tuple(confirm_row(plan, c) for c in job.confirms),
                "Confirmations",
                "none given",
            ),
            Table(("Requirement", "Answer"), answers, "Owner's answers", "none given"),
            Table(
                ("By", "Licence", "Date", "Digest", "Holds"),
                tuple(approval_row(plan, a) for a in job.approvals),
                "Approvals",
                "none given",
            ),
            Text(
                "A change of wires, ratings, settings or catalog entries voids approvals and asks for the "
                "tests again."
            ),
        ),
    )


def approval_row(plan: Plan, approval: Approval) -> tuple[str, ...]:
    """One approval; void where it is of another plan."""
    holds = "yes" if approval.digest == plan.digest else "VOID: the plan changed"
    return (approval.by, said(approval.licence), said(approval.date), said(approval.digest), holds)


def open_rows(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """What nobody knows yet, each with its next step; failures are not open, they are counted."""
    alike: dict[tuple[str, str, str], list[str]] = {}
    for f in plan.report.findings:
        if f.verdict is Verdict.UNKNOWN:
            alike.setdefault((f.rule, f.found, f.remedy), []).append(f.subject)
    rows = [(rule, "; ".join(names), found, step) for (rule, found, step), names in alike.items()]
    failed = plan.report.counts.failed
    if failed:
        rows.insert(0, ("-", "-", f"{failed} failures", "sheet Findings in full, part Objections"))
    return tuple(rows)


def confirm_row(plan: Plan, confirm: Confirm) -> tuple[str, ...]:
    """One confirmation beside our figure."""
    value = plan.catalog.value(confirm.entry)
    ours = f"{show(value.si, value.unit)} ({value.basis})" if value else "no such entry"
    told = (said(confirm.by), said(confirm.source), said(confirm.second, "none"))
    return (confirm.entry, ours, confirm.is_, *told)
