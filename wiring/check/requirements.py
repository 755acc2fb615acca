"""The requirement list: every clause of the region answered by rules, proof, tests or the user.

A clause stands as its worst answer does. Nothing here judges anew: rules and
commissioning tests have spoken already, and a question is met by words only,
which is why it is never called met.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence

from wiring.check.registry import RULES
from wiring.check.verdict import counts_for_job, due_now, sort_key
from wiring.model.commissioning import Outcome
from wiring.model.entry import Catalog, Clause
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Job
from wiring.model.plan import Report
from wiring.model.requirement import STATES, Reply, Requirement

QUESTION = "question"
PROOF = "proof"
TEST = "commissioning:"

_STATE = {
    Verdict.FAIL: "objection", Verdict.UNKNOWN: "unknown", Verdict.TO_SHOW: "to show", Verdict.PASS: "met",
    Verdict.NOT_APPLICABLE: "not applicable",
}  # fmt: skip


def requirements(
    job: Job, catalog: Catalog, report: Report, outcomes: Sequence[Outcome], built: bool
) -> tuple[Requirement, ...]:
    """Every clause of the job's region in the order of the catalog.

    outcomes: commissioning tests with their records; built: there is a converted circuit, so that a
    test that is not among them does not apply.
    """
    by_rule: dict[str, list[Finding]] = {}
    for finding in (*report.findings, *report.to_show):
        by_rule.setdefault(finding.rule, []).append(finding)
    found = []
    for clause in catalog.clauses.values():
        if clause.region not in (job.region, "both"):
            continue
        replies = [
            _asked(job, clause) if name == QUESTION
            else _tested(name.removeprefix(TEST), outcomes, built, report.stage) if name.startswith(TEST)
            else _ruled(name, by_rule, built)
            for name in clause.answered_by
        ]  # fmt: skip
        found.append(Requirement(clause, tuple(replies), worst(r.state for r in replies)))
    return tuple(found)


def worst(states: Iterable[str]) -> str:
    """The state a clause has by several answers; without any it is an open question."""
    seen = set(states)
    return next((state for state in STATES if state in seen), "open question")


def _ruled(name: str, by_rule: Mapping[str, Sequence[Finding]], built: bool) -> Reply:
    """What a rule, or every rule of the proof, says. Where there is no converted circuit yet, a rule
    without a subject says nothing."""
    rules = [r for r in by_rule if r.startswith("proof.")] if name == PROOF else [name]
    found = sorted((f for r in rules for f in by_rule.get(r, ())), key=sort_key)
    if not found:
        return Reply(name, "unknown", "not run")
    found = [f for f in found if counts_for_job(f)]
    if not found:
        return Reply(name, "not applicable", "nothing of the kind on the converted hoist")
    state = worst(_STATE[f.verdict] for f in found)
    first = next(f for f in found if _STATE[f.verdict] == state)
    more = sum(_STATE[f.verdict] == state for f in found) - 1
    if state == "not applicable" and not built:
        return Reply(name, "unknown", "nothing to judge while hoist or receiver is unknown")
    subject = "" if first.subject == name else f"{first.subject}: "
    says = f"{subject}{first.found}" + (f" (and {more} more)" if more else "")
    return Reply(name, state, says)


def _asked(job: Job, clause: Clause) -> Reply:
    """What the user answered. A plain no is an objection; silence leaves the question open."""
    said = [a.text.strip() for a in job.answers if a.requirement == clause.id]
    if not said or not said[-1]:
        return Reply(QUESTION, "open question", f'[[answer]] requirement = "{clause.id}"')
    return Reply(QUESTION, "objection" if said[-1].lower() in ("no", "not met") else "your answer", said[-1])


def _tested(kind: str, outcomes: Sequence[Outcome], built: bool, stage: str) -> Reply:
    """What the records of the commissioning tests of one kind say."""
    name = f"test {kind}"
    own = [o for o in outcomes if o.step.answers == kind]
    if not own:
        return Reply(name, *(("not applicable", "no such test on this circuit") if built else ("to show",)))
    count = {word: sum(o.answer == word for o in own) for word in ("reject", "repeat", "missing", "accept")}
    says = ", ".join(f"{n} {word}" for word, n in count.items() if n)
    if count["reject"]:
        return Reply(name, "objection", says)
    if count["repeat"] or count["missing"]:
        return Reply(name, "unknown" if due_now("commissioned", stage) else "to show", says)
    return Reply(name, "met", says)


def stray_answers(job: Job, catalog: Catalog) -> tuple[tuple[str, str], ...]:
    """Answers to no requirement and no rule, each with the nearest name there is ("" where none is near)."""
    known = {*catalog.clauses, *RULES}
    stray = []
    for answer in job.answers:
        name = answer.requirement
        if name in known or any(name.startswith(f"{rule}.") for rule in RULES):
            continue
        stray.append((name, next(iter(difflib.get_close_matches(name, known, 1)), "")))
    return tuple(stray)
