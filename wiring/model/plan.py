"""The plan: one immutable result that every drawing, sheet and screen is a view of."""

from __future__ import annotations

from dataclasses import dataclass, field

from wiring.model.behaviour import Behaviour
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.finding import Finding, Problem, Verdict
from wiring.model.job import Job, Parts


@dataclass(frozen=True, slots=True)
class Counts:
    """Findings by verdict, those about one of the two circuits."""

    passed: int = 0
    failed: int = 0
    unknown: int = 0
    not_applicable: int = 0


@dataclass(frozen=True, slots=True)
class Report:
    """The judged findings. findings: sorted, due ones first; to_show: rules due later."""

    verdict: Verdict
    stage: str
    findings: tuple[Finding, ...]
    to_show: tuple[Finding, ...]
    counts: Counts
    counts_before: Counts
    rules_run: int
    not_checked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """job + catalog -> circuits -> behaviour -> report. before, after, behaviour are None
    where the hoist or receiver type is unknown. identity: "shown" | "not shown"."""

    job: Job
    catalog: Catalog
    before: Circuit | None
    after: Circuit | None
    behaviour: Behaviour | None
    report: Report
    digest: str
    parts: Parts
    identity: str
    identity_sentence: str
    problems: tuple[Problem, ...] = field(default=())
