"""Runs the rules: once as the numbers stand, then with every weak number moved; judges the job.

A verdict that changes when a recalled or placeholder value moves inside its
spread rests on that value, and may not stand as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from wiring.check.case import Case, Facts, broken
from wiring.check.corners import Corners, Resimulate
from wiring.check.digest import digest
from wiring.check.draft import Draft, Missing, lacking, not_applicable, unknown
from wiring.check.registry import RULES
from wiring.check.rests import Outcome, settle_weak
from wiring.check.rule import Rule
from wiring.check.verdict import count, counts_for_job, due_now, job_verdict, sort_key
from wiring.model.behaviour import Behaviour
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Job
from wiring.model.plan import Report
from wiring.model.value import Value


def judge(
    job: Job,
    catalog: Catalog,
    before: Circuit | None,
    after: Circuit | None,
    behaviour: Behaviour | None,
    stage: str | None = None,
    resimulate: Resimulate | None = None,
    rules: Mapping[str, Rule] | None = None,
    complete: Callable[[], Behaviour] | None = None,
) -> Report:
    """Every rule's findings about a job at a stage (default: the job's own).

    resimulate: how to get a behaviour from two circuits, for the corners of
    placeholder values; default: no faults, by `wiring.simulate`. rules: default all.
    complete: waits for the behaviour with its faults, where these are still under way; rules that
    want them are asked last.
    """
    stage = stage or job.stage
    chosen = RULES if rules is None else rules
    whole, parts = digest(job, catalog)
    facts = Facts(job, catalog, before, after, behaviour, whole, parts, complete=complete)
    corners = Corners(facts, resimulate)
    due: list[Finding] = []
    later: list[Finding] = []
    order = sorted(chosen.values(), key=lambda rule: rule.wants == "faults" or rule.faults_too)
    found = {rule.id: findings_of(rule, facts, corners) for rule in order}
    for id in chosen:
        for finding in found[id]:
            (due if due_now(finding.due, stage) else later).append(finding)
    due.sort(key=sort_key)
    to_show = [replace(f, verdict=Verdict.TO_SHOW) for f in later if f.verdict is not Verdict.NOT_APPLICABLE]
    return Report(
        verdict=job_verdict(due),
        stage=stage,
        findings=tuple(due),
        to_show=tuple(sorted(to_show, key=sort_key)),
        counts=count(f for f in due if counts_for_job(f)),
        counts_before=count(f for f in due if not counts_for_job(f)),
        rules_run=sum(1 for r in chosen.values() if due_now(r.stage, stage)),
        not_checked=_not_checked(facts, due),
    )


def findings_of(rule: Rule, facts: Facts, corners: Corners) -> list[Finding]:
    """One rule's findings, weak values tried."""
    try:
        outcomes = answer(rule, facts)
        outcomes = settle_weak(rule, outcomes, lambda moved: _drafts(rule, facts, moved), corners)
    except Exception as error:  # noqa: BLE001 - a rule that breaks is unknown, others answer
        outcomes = [Outcome(broken(rule.id, error), ())]
    return [_finding(rule, facts.job, o) for o in outcomes]


def answer(rule: Rule, facts: Facts, moved: Mapping[str, float] | None = None) -> list[Outcome]:
    """Drafts of one rule with the values behind each; one not-applicable where it has no subject."""
    if facts.job.region not in rule.regions:
        text = f"the {facts.job.region} rules have no requirement of this kind"
        return [Outcome(not_applicable(rule.id, text), ())]
    absent = _absent(rule, facts)
    if absent is not None:
        return [Outcome(absent, ())]
    case = Case(facts, rule.danger, moved)
    found: list[Outcome] = []
    try:
        for draft in rule.check(case):
            found.append(Outcome(draft, case.taken()))
    except Missing as missing:
        found.append(Outcome(lacking(rule.id, missing), case.taken()))
    return found or [Outcome(not_applicable(rule.id, "nothing in this job to judge"), ())]


def _drafts(rule: Rule, facts: Facts, moved: Mapping[str, float]) -> list[Draft]:
    return [o.draft for o in answer(rule, facts, moved)]


def _absent(rule: Rule, facts: Facts) -> Draft | None:
    """What a rule lacks before it can be asked at all."""
    job = facts.job
    if rule.wants == "job":
        return None
    if facts.before is None:
        how = "find the type first: holdrun identify asks for the next best reading"
        return unknown(rule.id, "the hoist's type is not known, so there is no circuit to judge",
                       "the hoist's type", how, key="hoist.type")  # fmt: skip
    if rule.wants != "before" and facts.after is None:
        how = "name the receiver type, or run holdrun fit for the specification to buy by"
        return unknown(rule.id, "the receiver's type is not known, so there is no circuit as converted",
                       "the receiver's type", how, key="receiver.type")  # fmt: skip
    if rule.wants in ("behaviour", "faults") and facts.behaviour is None:
        return unknown(rule.id, "the circuits were not run", "a simulation of both circuits",
                       f"holdrun prove {job.file}")  # fmt: skip
    if rule.wants == "faults" and facts.behaviour is not None and facts.faults is None:
        return unknown(rule.id, "single faults not run", "every single fault tried",
                       f"holdrun prove {job.file} --faults single")  # fmt: skip
    return None


def _finding(rule: Rule, job: Job, outcome: Outcome) -> Finding:
    draft = outcome.draft
    basis = draft.basis or outcome.basis or rule.basis_for(job.region)
    source = draft.source or rule.source_for(job.region)
    return Finding(
        rule=rule.id,
        subject=draft.subject,
        about=draft.about,
        verdict=draft.verdict,
        due=draft.due or rule.stage,
        danger=draft.danger or rule.danger,
        found=draft.found,
        wanted=draft.wanted,
        measured=draft.measured,
        limit=draft.limit,
        sense=draft.sense,
        unit=draft.unit,
        margin=draft.margin,
        source=source,
        basis=basis,
        rests_on=outcome.rests_on,
        remedies=draft.remedies,
        where=job.where(draft.key) if draft.key else "",
        path=draft.path,
        values=tuple(value_line(v) for v in outcome.values),
    )


def value_line(value: Value) -> str:
    """One value as a finding lists it: `id = number unit (basis: source)`."""
    unit = "" if value.unit in ("1", "count") else f" {value.unit}"
    return f"{value.id} = {value.si:.6g}{unit} ({value.basis}: {value.source})"


def _not_checked(facts: Facts, findings: Iterable[Finding]) -> tuple[str, ...]:
    """What nobody should read out of a verdict."""
    lines: list[str] = []
    if facts.behaviour is None:
        lines.append("behaviour: the circuits were not run")
    else:
        shown = facts.complete() if facts.complete is not None else facts.behaviour
        lines.extend(shown.not_shown)
        if facts.faults is None:
            lines.append("single faults not run")
    rules = sorted({f.rule for f in findings if f.verdict is Verdict.UNKNOWN})
    if rules:
        lines.append("unknown: " + ", ".join(rules))
    return tuple(lines)
