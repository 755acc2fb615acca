"""`holdrun check FILE...`: all rules due at the stage; several files become a table."""

from __future__ import annotations

import argparse
from typing import Any

from wiring import InputError, Plan, check_json, check_text
from wiring.cli import exits
from wiring.cli.entry import complain_of
from wiring.cli.lists import lists
from wiring.cli.output import ascii_only, emit, emit_json, files_of, planned
from wiring.sheets.words import CAUTION, clean, wrap


def run(args: argparse.Namespace) -> int:
    """Judge one job or several; exit code of the verdict."""
    files = files_of(args.file)
    if args.requirements or args.recalled is not None:
        return lists(files, args)
    if len(files) == 1:
        plan = planned(files[0], args.stage, args.faults)
        if args.json:
            emit_json(check_json(plan))
        else:
            emit(check_text(plan, args.all, ascii_only()))
        return exits.OF_VERDICT[str(plan.report.verdict)]
    return several(files, args)


def several(files: list[str], args: argparse.Namespace) -> int:
    """Every job judged by itself; one that cannot be read does not hide the others."""
    rows: list[tuple[str, Plan | None]] = []
    codes = []
    for file in files:
        try:
            plan = planned(file, args.stage, args.faults)
        except InputError as error:
            complain_of(error.problems)
            rows.append((file, None))
            codes.append(exits.BAD_INPUT)
            continue
        rows.append((file, plan))
        codes.append(exits.OF_VERDICT[str(plan.report.verdict)])
    code = exits.worst(codes)
    if args.json:
        emit_json(document(rows, code))
    else:
        emit(table(rows))
    return code


def document(rows: list[tuple[str, Plan | None]], code: int) -> dict[str, Any]:
    """Several jobs as one JSON document."""
    words = {exits.OK: "pass", exits.FAIL: "fail", exits.UNKNOWN: "unknown"}
    return {
        "schema": "holdrun/check/1",
        "verdict": words.get(code, "unknown"),
        "jobs": [check_json(p) if p else {"file": f, "verdict": None} for f, p in rows],
    }


def table(rows: list[tuple[str, Plan | None]]) -> str:
    """One line a job: verdict, counts, file, title."""
    lines = [f"{'verdict':<10}{'fail':>5}{'unknown':>9}{'pass':>6}{'to show':>9}  file"]
    for file, plan in rows:
        if plan is None:
            lines.append(f"{'not read':<10}{'':>5}{'':>9}{'':>6}{'':>9}  {clean(file)}")
            continue
        c = plan.report.counts
        shown = len(plan.report.to_show)
        lines.append(
            f"{plan.report.verdict:<10}{c.failed:>5}{c.unknown:>9}{c.passed:>6}{shown:>9}  {clean(file)}"
        )
    return "\n".join([*lines, "", wrap(CAUTION)]) + "\n"
