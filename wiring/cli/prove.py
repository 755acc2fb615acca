"""`holdrun prove FILE`: what moves in every state, after every event, under every fault asked for."""

from __future__ import annotations

import argparse
import csv
import io

from wiring import Plan, proof_json, proof_text, proof_verdict
from wiring.cli import exits
from wiring.cli.output import ascii_only, emit, emit_json, planned, talk, write_file


def run(args: argparse.Namespace) -> int:
    """Prove one job; exit code of the proof rules' verdict."""
    plan = planned(args.file, args.stage, args.faults, progress=True)
    if args.all:
        write_file(args.all, rows(plan))
        talk(f"wrote {args.all}")
    if args.json:
        emit_json(proof_json(plan))
    else:
        emit(proof_text(plan, args.faults, ascii_only()))
    return exits.OF_VERDICT[str(proof_verdict(plan))]


def rows(plan: Plan) -> str:
    """Every truth-table row as CSV, before and after."""
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\n")
    sheet.writerow(["circuit", "pressed", "open", "any", "motions", "energised"])
    if plan.behaviour is not None:
        for about, truth in (("before", plan.behaviour.before), ("after", plan.behaviour.after)):
            for row in truth.rows:
                cells = (row.pressed, row.open, row.any, row.motions, row.energised)
                sheet.writerow([about, *(" ".join(cell) for cell in cells)])
    return out.getvalue()
