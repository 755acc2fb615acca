"""`holdrun record FILE`: what to measure, what to expect; takes results, compares, says what to do."""

from __future__ import annotations

import argparse
from dataclasses import replace

from wiring import commissioning, diagnose, record, write_record
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.nearest import hint
from wiring.cli.output import ascii_only, ask, emit, emit_json, planned, talk, ticker
from wiring.model.commissioning import Outcome
from wiring.model.plan import Plan
from wiring.sheets.diagnosis_text import diagnosis_json, diagnosis_text
from wiring.sheets.record_text import (
    expected,
    outcome_json,
    outcome_lines,
    record_json,
    record_text,
    record_verdict,
)
from wiring.sheets.words import CAUTION, opening, wrap


def run(args: argparse.Namespace) -> int:
    """Without --test: every test with its record. With it: one result compared, --write puts it in."""
    plan = planned(args.file, args.stage)
    if plan.after is None:
        raise UsageError("no tests yet: the hoist type or the receiver type is unknown")
    if args.diagnose:
        found = diagnose(plan, ticker)
        emit_json(diagnosis_json(plan, found)) if args.json else emit(diagnosis_text(plan, found))
        return exits.FAIL if found.alarms else exits.OK if found.observed else exits.UNKNOWN
    if args.test is None:
        if args.measured or args.write:
            raise UsageError("--test is missing: which test was measured?")
        outcomes = commissioning(plan)
        emit_json(record_json(plan, outcomes)) if args.json else emit(
            record_text(plan, outcomes, ascii_only())
        )
        return exits.OF_VERDICT[record_verdict(outcomes)]
    return one(plan, args)


def one(plan: Plan, args: argparse.Namespace) -> int:
    """One result: judged against this plan, written with its digest."""
    tests = {o.step.id: o.step for o in commissioning(plan)}
    if args.test not in tests:
        near = hint(args.test, tests)
        raise UsageError(f"no test {args.test} on this plan{near}; all: holdrun record {args.file}")
    step = tests[args.test]
    measured = ask(args, "measured", f"{step.do}\nExpected: {step.wanted}\nMeasured")
    outcome = record(plan, args.test, measured, ask(args, "by", "By"))
    if args.json:
        emit_json({"schema": "holdrun/record/1", "digest": plan.digest, **outcome_json(outcome)})
    else:
        emit(text(plan, outcome))
    if args.write:
        write_record(args.file, plan, outcome)
        talk(f"wrote {args.file}")
    return {"accept": exits.OK, "reject": exits.FAIL}.get(outcome.answer, exits.UNKNOWN)


def text(plan: Plan, outcome: Outcome) -> str:
    """One result beside what was expected."""
    shown = replace(outcome, next="" if outcome.answer == "accept" else outcome.next)
    lines = [*opening(plan), "", *outcome_lines(shown, ascii_only())]
    return "\n".join([*lines, wrap(expected(outcome), 12, 14), "", wrap(CAUTION)]) + "\n"
