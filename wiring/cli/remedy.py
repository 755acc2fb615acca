"""`holdrun remedy FILE`: the smallest change that answers each failure, as a diff of the job file."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from wiring import Plan, remedy, save_job
from wiring.cli import exits
from wiring.cli.output import emit, emit_json, planned, talk
from wiring.model.proposal import Change
from wiring.sheets.words import CAUTION, EXAMPLE, clean, verdict_line, wrap


def run(args: argparse.Namespace) -> int:
    """Print the changes; --write puts the whole one into the file, comments kept."""
    plan = planned(args.file, None, args.faults)
    found = remedy(plan, faults=args.faults)
    if args.json:
        emit_json(
            {
                "schema": "holdrun/remedy/1",
                "job": plan.job.title,
                "file": plan.job.file,
                "example": plan.job.example,
                "fails": plan.report.counts.failed,
                "changes": [facts(change) for change in found],
            }
        )
    else:
        emit(text(plan, found))
    if args.write and found:
        save_job(Path(args.file), found[-1].text, plan.job.stamp)
        talk(f"wrote {args.file}")
    return exits.OK if found or not plan.report.counts.failed else exits.UNKNOWN


def facts(change: Change) -> dict[str, Any]:
    """One change as JSON."""
    counts = change.plan.report.counts if change.plan else None
    return {
        "whole": change.whole,
        "answers": list(change.answers),
        "leaves": list(change.leaves),
        "diff": change.diff,
        "fails": counts.failed if counts else None,
        "unknown": counts.unknown if counts else None,
    }


def text(plan: Plan, found: tuple[Change, ...]) -> str:
    """Each change with what it answers, the whole one last."""
    lines = [EXAMPLE] if plan.job.example else []
    failed = plan.report.counts.failed
    if not found:
        reason = (
            "nothing fails" if not failed else f"{failed} findings fail; no edit of the file answers them"
        )
        lines.append(f"No change to propose: {reason}.")
    for change in found:
        lines.append("The whole change" if change.whole else "A change")
        lines += [wrap(f"answers {one}", 2, 4) for one in change.answers]
        lines += [wrap(f"still fails: {one}", 2, 4) for one in change.leaves]
        lines += ["", *(clean(line) for line in change.diff.splitlines()), ""]
        if change.whole and change.plan is not None:
            lines.append(wrap(f"With it: {verdict_line(change.plan.report)}"))
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"
