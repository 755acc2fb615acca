"""`holdrun check FILE --requirements | --recalled`: the two lists beside the findings."""

from __future__ import annotations

import argparse
from typing import Any

from wiring import (
    Plan,
    recalled,
    recalled_csv,
    recalled_json,
    recalled_text,
    requirement_json,
    requirement_text,
    requirements,
    stray_answers,
)
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.output import emit, emit_json, planned, talk, write_file


def lists(files: list[str], args: argparse.Namespace) -> int:
    """One list for each job; exit code of the jobs' verdicts, as without the list."""
    if args.recalled and not args.recalled.endswith(".csv"):
        raise UsageError(f"--recalled {args.recalled}: a name that ends in .csv; job files stand before it")
    if args.recalled and len(files) > 1:
        raise UsageError("--recalled with a file takes one job")
    plans = [planned(file, args.stage, args.faults) for file in files]
    if args.recalled:
        write_file(args.recalled, recalled_csv(plans[0], recalled(plans[0])))
        talk(f"wrote {args.recalled}")
    if args.json:
        found = [document(plan, args) for plan in plans]
        emit_json(found[0] if len(found) == 1 else {"schema": found[0]["schema"], "jobs": found})
    else:
        emit("\n".join(text(plan, args) for plan in plans))
    return exits.worst([exits.OF_VERDICT[str(plan.report.verdict)] for plan in plans])


def document(plan: Plan, args: argparse.Namespace) -> dict[str, Any]:
    """The list as JSON."""
    if args.requirements:
        return requirement_json(plan, requirements(plan), stray_answers(plan))
    return recalled_json(plan, recalled(plan))


def text(plan: Plan, args: argparse.Namespace) -> str:
    """The list as text."""
    if args.requirements:
        return requirement_text(plan, requirements(plan), stray_answers(plan))
    return recalled_text(plan, recalled(plan))
