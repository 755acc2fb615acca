"""Commissioning on the command line: what to measure next, what was recorded, schema holdrun/record/1."""

from __future__ import annotations

from typing import Any

from wiring.model.commissioning import Outcome
from wiring.model.plan import Plan
from wiring.sheets.words import CAUTION, clean, opening, wrap

SCHEMA = "holdrun/record/1"
SIGNS = {"accept": "·", "reject": "✗", "repeat": "!", "missing": "›"}


def record_verdict(outcomes: tuple[Outcome, ...]) -> str:
    """pass where every test is accepted, fail where one is rejected, else unknown."""
    answers = {o.answer for o in outcomes}
    if "reject" in answers:
        return "fail"
    return "pass" if answers == {"accept"} else "unknown"


def record_text(plan: Plan, outcomes: tuple[Outcome, ...], ascii_only: bool = False) -> str:
    """Every test with its result, the next one to do last."""
    lines = [*opening(plan), wrap(f"Commissioning on digest {plan.digest}")]
    for group in dict.fromkeys(o.step.group for o in outcomes):
        lines += ["", group]
        for outcome in (o for o in outcomes if o.step.group == group):
            lines += outcome_lines(outcome, ascii_only)
    counts = {a: sum(o.answer == a for o in outcomes) for a in SIGNS}
    lines += ["", ", ".join(f"{n} {a}" for a, n in counts.items())]
    following = next((o for o in outcomes if o.answer != "accept"), None)
    if following is not None:
        lines += ["", wrap(f"Next: {following.step.id}. {following.step.do}", 0, 6)]
        lines += [wrap(expected(following), 6, 8)]
        options = f'--test {following.step.id} --measured "..." --by NAME --write'
        lines += [clean(f"      holdrun record {plan.job.file} {options}")]
        lines += ["", "Not handed over: every test must be accepted on this digest."]
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"


def expected(outcome: Outcome) -> str:
    """What a test is to show, on a line of its own."""
    return f"expected: {outcome.step.wanted.removeprefix('expected ')}"


def outcome_lines(outcome: Outcome, ascii_only: bool) -> list[str]:
    """One test: sign, id, what it says; causes and next step where it was not accepted."""
    sign = f"{outcome.answer}" if ascii_only else f"{outcome.answer} {SIGNS[outcome.answer]}"
    step = outcome.step
    if outcome.answer == "missing":
        return [wrap(f"{sign:<10}{step.id:<22}{step.wanted}", 2, 12)]
    lines = [wrap(f"{sign:<10}{step.id:<22}{outcome.why}", 2, 12)]
    lines += [wrap(f"likely: {cause}", 12, 14) for cause in outcome.causes]
    if outcome.next and outcome.answer != "accept":
        lines.append(wrap(f"do: {outcome.next}", 12, 16))
    return lines


def record_json(plan: Plan, outcomes: tuple[Outcome, ...]) -> dict[str, Any]:
    """Every test with expectation and outcome, in working order."""
    return {
        "schema": SCHEMA,
        "job": plan.job.title,
        "example": plan.job.example,
        "file": plan.job.file,
        "digest": plan.digest,
        "verdict": record_verdict(outcomes),
        "handed_over": False if record_verdict(outcomes) != "pass" else plan.report.stage == "hand-over",
        "tests": [outcome_json(o) for o in outcomes],
    }


def outcome_json(outcome: Outcome) -> dict[str, Any]:
    """One test with its expectation and its record."""
    step = outcome.step
    return {
        "test": step.id,
        "group": step.group,
        "answers": step.answers,
        "do": step.do,
        "expected": step.wanted,
        "kind": step.kind,
        "low": step.low,
        "high": step.high,
        "nominal": step.nominal,
        "rests_on": list(step.rests_on),
        "source": step.source,
        "basis": step.basis,
        "measured": outcome.record.measured if outcome.record else None,
        "by": outcome.record.by if outcome.record else None,
        "answer": outcome.answer,
        "why": outcome.why,
        "causes": list(outcome.causes),
        "next": outcome.next,
        "changed": list(outcome.changed),
    }
