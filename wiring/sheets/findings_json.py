"""The JSON document of `check`: schema holdrun/check/1."""

from __future__ import annotations

from typing import Any

from wiring.model.finding import Finding
from wiring.model.plan import Counts, Plan

SCHEMA = "holdrun/check/1"


def finding_json(finding: Finding) -> dict[str, Any]:
    """One finding with the keys of the document, numbers in SI words independent of region."""
    return {
        "rule": finding.rule,
        "subject": finding.subject,
        "about": finding.about,
        "verdict": str(finding.verdict),
        "due": finding.due,
        "danger": finding.danger,
        "found": finding.found,
        "wanted": finding.wanted,
        "measured": finding.measured,
        "limit": finding.limit,
        "sense": finding.sense,
        "unit": finding.unit,
        "margin": finding.margin,
        "source": finding.source,
        "basis": finding.basis,
        "rests_on": list(finding.rests_on),
        "remedy": finding.remedy,
        "remedies": list(finding.remedies),
        "where": finding.where,
        "path": finding.path,
        "values": list(finding.values),
    }


def counts_json(counts: Counts) -> dict[str, int]:
    """Counts by verdict word."""
    return {
        "pass": counts.passed,
        "fail": counts.failed,
        "unknown": counts.unknown,
        "not-applicable": counts.not_applicable,
    }


def check_json(plan: Plan) -> dict[str, Any]:
    """The whole report of one job."""
    report = plan.report
    return {
        "schema": SCHEMA,
        "job": plan.job.title,
        "example": plan.job.example,
        "file": plan.job.file,
        "digest": plan.digest,
        "stage": report.stage,
        "verdict": str(report.verdict),
        "counts": counts_json(report.counts),
        "counts_before": counts_json(report.counts_before),
        "to_show": len(report.to_show),
        "rules_run": report.rules_run,
        "not_checked": list(report.not_checked),
        "findings": [finding_json(f) for f in (*report.findings, *report.to_show)],
    }
